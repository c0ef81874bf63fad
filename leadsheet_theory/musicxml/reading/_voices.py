"""Which of the voices of a staff has the melody.

Two voices on a staff are the upper and the lower one (*Open Music Theory*, stems);
programs number the upper one first, but write them in either order, and some number
them the other way round.  The melody is the upper one (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from ...leadsheet.model import Note
from ._raw import RawLine

__all__ = ("main_voice",)

_OFTEN: Final = Fraction(2, 3)
"""A voice is a line of its own with notes in so many of the bars of the busiest."""
_ABOVE: Final = Fraction(9, 10)
"""In so many of the bars that both sound in the upper voice is above the other."""
_SOUNDS: Final = Fraction(3, 5)
"""A melody sounds so much of the time of its bars; hits sound less."""

Bars = dict[int, RawLine]


def main_voice(lines: Sequence[Sequence[RawLine]]) -> str:
    """The voice of a staff that has the melody, given its lines bar by bar: the first
    with notes, else with strokes, of those that have notes as often; or one above it
    that goes on as a melody does."""
    bars: dict[str, Bars] = {}
    for index, here in enumerate(lines):
        for line in here:
            if line.has_notes:
                bars.setdefault(line.voice, {}).setdefault(index, line)
    if len(bars) == 1:
        return next(iter(bars))
    if not bars:
        every = [line for here in lines for line in here]
        return min(
            every, key=lambda line: not line.strokes, default=RawLine("", "")
        ).voice
    most = max(map(len, bars.values()))
    often = [voice for voice in bars if len(bars[voice]) >= most * _OFTEN]
    first = min(often, key=_number)
    upper = [voice for voice in often if _is_above(bars[voice], bars[first])]
    return min(upper, key=_number, default=first)


def _number(voice: str) -> tuple[bool, int, str]:
    """Voices in the order of their numbers, those without one last."""
    numbered = voice.isdecimal() and len(voice) < 6
    return (not numbered, int(voice) if numbered else 0, voice)


def _is_above(voice: Bars, other: Bars) -> bool:
    """Whether a voice is a melody above another."""
    shared = voice.keys() & other.keys()
    if len(shared) < 2 or voice is other:
        return False
    above = sum(_height(voice[at]) > _height(other[at]) for at in shared)
    if above < len(shared) * _ABOVE:
        return False
    notes = [n for line in voice.values() for n in line.events if isinstance(n, Note)]
    time = sum((n.duration for n in notes), Fraction(0))
    lengths = sum(
        (e.duration for line in other.values() for e in line.events), Fraction(0)
    )
    pitches = {note.pitches for note in notes}
    share = Fraction(len(voice), len(other)) if other else Fraction(1)
    return len(pitches) > 2 and time >= lengths * share * _SOUNDS


def _height(line: RawLine) -> Fraction:
    """The mean height of a line's notes, in MIDI keys."""
    keys = [note.pitch.midi for note in line.events if isinstance(note, Note)]
    return Fraction(sum(keys), len(keys))
