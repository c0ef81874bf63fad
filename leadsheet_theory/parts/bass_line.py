"""The bass line of a tune: the clef it is written in, and how it is cued.

It is kept at the pitch it sounds.  A double bass sounds an octave below what its
players read (D. Bristol, "Rhythm section ranges"), so a line at its sounding pitch
stands under a bass clef with an 8 (:data:`~.clefs.BASS_CLEF_8VB`) where it would hang
from ledger lines else; where that is, is common practice, no source.

A cue of it is read up by octaves into a player's staff, and its label says so (common
practice, no source).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from ..instruments.clefs import BASS_CLEF, BASS_CLEF_8VB, Clef
from ..instruments.ranges import Reader
from ..interval import OCTAVE
from ..leadsheet.model import Bar, Note
from ..pitch import Pitch

__all__ = ("bass_line_clef", "cue_label", "cue_octaves")

_SECOND_LEDGER_LINE: Final = -4
"""The staff position of the second ledger line below."""


def bass_line_clef(bars: Sequence[Bar], /) -> Clef:
    """The bass clef, or that with an 8 below for a line that hangs below two ledger
    lines and needs fewer of them so.

    >>> bass_line_clef(()).name
    'bass'
    """
    pitches = [
        pitch
        for bar in bars
        for event in bar.bass_line
        if isinstance(event, Note)
        for pitch in event.pitches
    ]

    def lines(clef: Clef) -> int:
        return sum(map(clef.ledger_lines, pitches))

    hangs = any(BASS_CLEF.position(pitch) < _SECOND_LEDGER_LINE for pitch in pitches)
    fewer = lines(BASS_CLEF_8VB) < lines(BASS_CLEF)
    return BASS_CLEF_8VB if hangs and fewer else BASS_CLEF


_MOST_OCTAVES: Final = 4
_OUT_OF_RANGE: Final = 4
"""A note that the reader doesn't have counts like so many ledger lines."""


def cue_octaves(written: Sequence[Pitch], reader: Reader, /) -> int:
    """How many octaves higher than it sounds a line is cued for a reader: so many that
    it needs the fewest ledger lines and stays within the reader's range.

    `written` are the pitches with which the reader would sound the line itself.

    >>> from leadsheet_theory.instruments import find_book
    >>> line = [Pitch.parse(name) for name in ("F2", "A2", "C3")]
    >>> cue_octaves(line, find_book("C")), cue_octaves(line, find_book("bass clef"))
    (2, 0)
    """

    def cost(octaves: int) -> int:
        pitches = [pitch + OCTAVE * octaves for pitch in written]
        outside = sum(pitch not in reader.written_range for pitch in pitches)
        return sum(map(reader.clef.ledger_lines, pitches)) + _OUT_OF_RANGE * outside

    return min(range(_MOST_OCTAVES + 1), key=cost)


_OCTAVE_SIGNS: Final = ("", "8vb", "15mb", "22mb", "29mb")


def cue_label(octaves: int, /) -> str:
    """What stands over a cue of the bass line that is written so many octaves up.

    >>> cue_label(0), cue_label(1)
    ('bass', 'bass (8vb)')
    """
    return f"bass ({_OCTAVE_SIGNS[octaves]})" if octaves else "bass"
