"""Words and symbols that are aligned to the notes: the fields w: and s:.

Source: The abc music standard 2.1, chapter 5 (lyrics) and section 4.15 (symbol lines).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final, Literal

from attrs import evolve, frozen

from ...leadsheet.model import Lyric
from .._text import plain_text
from ._voice import Event, Voice

__all__ = ("align_words", "syllables", "symbol_places")

_PIECE: Final = re.compile(
    r"(?P<syllable>(?:\\-|[^\s\-_*|])+)|(?P<sign>[-_*|])|(?P<space>\s+)"
)
_BLANK: Final = re.compile(r"(?<!\\)~")
_Kind = Literal["single", "begin", "middle", "end"]
# by whether a hyphen stands before a syllable, and whether one follows
_KINDS: Final[dict[tuple[bool, bool], _Kind]] = {
    (False, False): "single", (False, True): "begin",
    (True, True): "middle", (True, False): "end",
}  # fmt: skip
_SYMBOL: Final = re.compile(r'"[^"]*"|![^!\s]*!|\+[^+\s]*\+|[*|]|\S')


@frozen(order=False)
class Syllable:
    """What one note gets: a syllable, or ``""`` for none of its own; `joined` says
    that a hyphen follows, `held` that the syllable before is held on."""

    text: str
    column: int
    joined: bool = False
    held: bool = False


def syllables(text: str, column: int) -> list[Syllable | None]:
    """The syllables of a line in order; None stands for *go to the next bar*.

    >>> [each.text for each in syllables("syll-a-ble *", 1) if each]
    ['syll', 'a', 'ble', '']
    """
    found: list[Syllable | None] = []
    touching = False  # whether a hyphen here belongs to the syllable just read
    for piece in _PIECE.finditer(text):
        at = column + piece.start()
        if piece.lastgroup == "space":
            touching = False
            continue
        if piece.lastgroup == "syllable":
            said = plain_text(_BLANK.sub(" ", piece[0].replace("\\-", "-"))).strip()
            found.append(Syllable(said, at))
            touching = True
            continue
        sign = piece[0]
        last = found[-1] if found else None
        if sign == "-":
            if touching and last is not None:
                found[-1] = evolve(last, joined=True)
                touching = False
            else:
                if last is not None and last.text:
                    found[-1] = evolve(last, joined=True)
                found.append(Syllable("", at, joined=True))
        elif sign == "_":
            found.append(Syllable("", at, held=True))
        elif sign == "*":
            found.append(Syllable("", at))
        else:
            found.append(None)
        touching = False if sign != "-" else touching
    return found


def align_words(voice: Voice, text: str, column: int, *, strict: bool) -> list[int]:
    """Give the words of a line to the notes; the columns of syllables left over.

    A line adjacent to another is the next verse.  The first one starts after the notes
    that have words already, as 2.1 says; in a file that does not claim 2.1, a line
    that fits the line of music above it starts there, as it did in 2.0.
    """
    said = syllables(text, column)
    if not voice.verse:
        voice.verse_start = _verse_start(voice, said, strict=strict)
    voice.verse += 1
    notes = voice.notes
    at = voice.verse_start
    bar = notes[at][1] if at < len(notes) else 0
    left: list[int] = []
    for each in said:
        if each is None:
            bar += 1
            at = _reaching(bar, notes, at)
        elif at >= len(notes):
            left.append(each.column)
        else:
            _sing(voice, notes[at][0], each)
            at += 1
    voice.covered = max(voice.covered, at) if said else len(notes)
    return left


def _verse_start(voice: Voice, said: Sequence[Syllable | None], *, strict: bool) -> int:
    """The index of the note that a first verse starts at."""
    wanted = sum(each is not None for each in said)
    above = len(voice.notes) - voice.line_start
    if not strict and voice.line_start > voice.covered and wanted <= above:
        return voice.line_start
    return voice.covered


def _reaching(bar: int, notes: Sequence[tuple[Event, int]], at: int) -> int:
    """The index of the first note from one on that stands in a bar or after it."""
    while at < len(notes) and notes[at][1] < bar:
        at += 1
    return at


def _sing(voice: Voice, event: Event, syllable: Syllable) -> None:
    """Give a note its syllable of the verse, or hold the one before over it."""
    verse = voice.verse
    if syllable.text:
        kind = _KINDS[voice.hyphen.get(verse, False), syllable.joined]
        lyric = Lyric(syllable.text, kind, verse)
        event.lyrics = [*event.lyrics, lyric]
        voice.sung[verse] = (event, lyric)
        voice.hyphen[verse] = syllable.joined
    elif syllable.held:
        _hold(voice)


def _hold(voice: Voice) -> None:
    """Draw a line after the syllable of the verse sung last."""
    singer = voice.sung.get(voice.verse)
    if singer is None or singer[1].extend:
        return
    event, lyric = singer
    held = evolve(lyric, extend="start")
    event.lyrics = [held if known is lyric else known for known in event.lyrics]
    voice.sung[voice.verse] = (event, held)


def symbol_places(voice: Voice, text: str, column: int) -> list[tuple[str, int, int]]:
    """The symbols of an s: line, each with the index of its note and its column."""
    placed: list[tuple[str, int, int]] = []
    notes = voice.notes
    at = voice.line_start
    bar = notes[at][1] if at < len(notes) else 0
    for found in _SYMBOL.finditer(text):
        if found[0] == "|":
            bar += 1
            at = _reaching(bar, notes, at)
            continue
        if found[0] != "*" and at < len(notes):
            placed.append((found[0], at, column + found.start()))
        at += 1
    return placed
