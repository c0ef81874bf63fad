"""The changes of a tune written as a line of text: ``Dm7 G7 | C6 | % | Fm7 Bb7``.

Bars stand apart by bar lines, chords by blanks; the simile mark ``%`` alone in a
bar repeats the bar before (common practice; the sign is SMuFL's ``repeat1Bar`` as
a typewriter has it).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from .._arguments import check_text
from ..errors import ChordSymbolError
from ._parse import parse_symbol
from .roots import RootNames
from .symbol import ChordSymbol

__all__ = ("parse_changes",)

_SIMILE: Final = "%"
_BAR_LINE: Final = re.compile(r"\|+")
_WORD: Final = re.compile(r"\S+")


def parse_changes(
    text: str, /, *, roots: RootNames = "letters"
) -> tuple[tuple[ChordSymbol, ...], ...]:
    """The chord symbols of each bar of a line of changes.

    A bar line before the first and behind the last bar may stand or not, and the
    end of a line of text is a bar line too.  A bar with nothing in it has no new
    chord.  A bar line is never the stroke of a polychord.

    >>> for bar in parse_changes("Dm7 G7(b9) | C6 | % | N.C."):
    ...     print(*bar)
    Dm7 G7(b9)
    C6
    C6
    N.C.

    Args:
        text: the line, or several.
        roots: what the roots are called, as in :func:`~.chords.parse_chord`.

    Raises:
        ChordSymbolError: where a word is no chord symbol, or a simile mark has
            company in its bar or no bar before it; the place is told in the whole
            text.
    """
    check_text(text)
    bars: list[tuple[ChordSymbol, ...]] = []
    for start, end in _bars(text):
        words = list(_WORD.finditer(text, start, end))
        simile = next((word for word in words if word[0] == _SIMILE), None)
        if simile is None:
            bars.append(tuple(_symbol(word, roots) for word in words))
        elif len(words) > 1:
            raise _wrong(simile, "a simile mark beside chords", "it alone in its bar")
        elif not bars:
            raise _wrong(simile, "nothing to repeat", "a bar of chords before it")
        else:
            bars.append(bars[-1])
    return tuple(bars)


def _bars(text: str) -> Iterator[tuple[int, int]]:
    """Where each bar starts and ends in the text."""
    offset = 0
    for line in text.splitlines(keepends=True):
        edges = [offset]
        for bar_line in _BAR_LINE.finditer(text, offset, offset + len(line)):
            edges += bar_line.span()
        offset += len(line)
        edges.append(offset)
        spans = list(zip(edges[::2], edges[1::2], strict=True))
        for index, (start, end) in enumerate(spans):
            outer = index in (0, len(spans) - 1)
            if not outer or text[start:end].strip():
                yield start, end


def _symbol(word: re.Match[str], roots: RootNames) -> ChordSymbol:
    try:
        return parse_symbol(word[0], roots=roots)
    except ChordSymbolError as error:
        at = word.start()
        raise ChordSymbolError(
            error.problem,
            text=word.string,
            start=at + error.start,
            end=at + error.end,
            expected=error.expected,
            suggestion=error.suggestion,
        ) from None


def _wrong(word: re.Match[str], problem: str, expected: str) -> ChordSymbolError:
    return ChordSymbolError(
        problem,
        text=word.string,
        start=word.start(),
        end=word.end(),
        expected=expected,
    )
