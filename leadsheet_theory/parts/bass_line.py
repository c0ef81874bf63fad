"""The bass line of a tune: the clef it is written in.

It is kept at the pitch it sounds.  A double bass sounds an octave below what its
players read (D. Bristol, "Rhythm section ranges"), so a line at its sounding pitch
stands under a bass clef with an 8 where it would hang from ledger lines else
(:data:`~.clefs.BASS_CLEF_8VB`; which of the two needs fewer is common practice, no
source).
"""

from __future__ import annotations

from collections.abc import Sequence

from ..instruments.clefs import BASS_CLEF, BASS_CLEF_8VB, Clef
from ..leadsheet.model import Bar, Note

__all__ = ("bass_line_clef",)


def bass_line_clef(bars: Sequence[Bar], /) -> Clef:
    """The bass clef, or that with an 8 below where it needs fewer ledger lines.

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

    return BASS_CLEF_8VB if lines(BASS_CLEF_8VB) < lines(BASS_CLEF) else BASS_CLEF
