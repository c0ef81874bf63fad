"""The bass line of a tune: the clef it is written in.

It is kept at the pitch it sounds.  A double bass sounds an octave below what its
players read (D. Bristol, "Rhythm section ranges"), so a line at its sounding pitch
stands under a bass clef with an 8 (:data:`~.clefs.BASS_CLEF_8VB`) where it would hang
from ledger lines else; where that is, is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from ..instruments.clefs import BASS_CLEF, BASS_CLEF_8VB, Clef
from ..leadsheet.model import Bar, Note

__all__ = ("bass_line_clef",)

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
