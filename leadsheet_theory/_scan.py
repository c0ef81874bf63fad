"""A cursor over a text, for the readers of names and symbols."""

from __future__ import annotations

from collections.abc import Iterable

from ._arguments import check_text

__all__ = ("Scanner", "nearest")


class Scanner:
    """A text and a position in it.  The only mutable object of the library;
    it never leaves the function that makes it."""

    __slots__ = ("at", "text")

    def __init__(self, text: str) -> None:
        check_text(text)
        self.text = text
        self.at = 0

    @property
    def rest(self) -> str:
        """What has not been read."""
        return self.text[self.at :]

    @property
    def done(self) -> bool:
        """Whether everything has been read."""
        return self.at >= len(self.text)

    def peek(self, width: int = 1) -> str:
        """The next `width` characters, unread."""
        return self.text[self.at : self.at + width]

    def take(self, *words: str) -> str:
        """Read the first of `words` that stands here; ``""`` if none does."""
        for word in words:
            if self.text.startswith(word, self.at):
                self.at += len(word)
                return word
        return ""

    def take_while(self, characters: str) -> str:
        """Read as long as the next character is one of `characters`."""
        start = self.at
        text = self.text
        end = len(text)
        while self.at < end and text[self.at] in characters:
            self.at += 1
        return text[start : self.at]


def nearest(word: str, known: Iterable[str], /, *, within: int = 3) -> str:
    """The member of `known` with the fewest edits to `word`, or ``""``.

    At most `within` edits (insert, delete, replace) are forgiven.

    >>> nearest("Bb mayor", ["Bb major", "B minor"])
    'Bb major'
    >>> nearest("xyzzy", ["Bb major"])
    ''
    """
    best, fewest = "", within + 1
    for candidate in known:
        if abs(len(candidate) - len(word)) >= fewest:
            continue
        edits = _edits(word, candidate)
        if edits < fewest:
            best, fewest = candidate, edits
    return best


def _edits(a: str, b: str) -> int:
    row = list(range(len(b) + 1))
    for i, ca in enumerate(a, 1):
        previous, row[0] = row[0], i
        for j, cb in enumerate(b, 1):
            previous, row[j] = (
                row[j],
                min(row[j] + 1, row[j - 1] + 1, previous + (ca != cb)),
            )
    return row[-1]
