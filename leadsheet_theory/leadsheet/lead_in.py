"""The bars that lead into a tune, its form beginning after them.

A pickup is a bar that is not full.  Many charts have it filled up with rests, as whole
bars: rests, then the notes that lead in, and the first chord on the first beat of the
bar after them.  Where a repeat starts there, one such bar leads in with its chords.
Such bars are numbered as the chart has them, but soloists don't play them (common
practice, no source).
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import takewhile
from typing import Final

from .model import Bar, Note, Rest

__all__ = ("lead_in",)

_MOST_BARS: Final = 2
"""How many whole bars lead in at most: more are an introduction."""


def lead_in(bars: Sequence[Bar], /) -> int:
    """How many bars lead in: the pickup, and whole bars that begin with rests.

    >>> from fractions import Fraction
    >>> from leadsheet_theory import Key, Meter, Pitch, parse_symbol
    >>> from leadsheet_theory.leadsheet import PlacedChord
    >>> def bar(number, melody=(), chords=()):
    ...     return Bar(number=number, key=Key.parse("F"), meter=Meter(4, 4),
    ...                length=Fraction(4), melody=melody, chords=chords)
    >>> note = Note(onset=Fraction(3), duration=Fraction(1),
    ...             pitches=(Pitch.parse("C5"),))
    >>> first = bar(1, (Rest(Fraction(0), Fraction(3)), note))
    >>> chord = PlacedChord(Fraction(0), parse_symbol("F6"))
    >>> lead_in([first, bar(2, chords=(chord,)), bar(3)])
    1
    """
    if bars and bars[0].is_pickup:
        return 1
    count = sum(1 for _ in takewhile(_may_lead_in, bars[: _MOST_BARS + 1]))
    if len(bars) > 1 and not count and bars[1].form.repeat_start:
        count = 0 if bars[0].form.leads else 1  # its chords lead in with it
    if not 0 < count <= min(_MOST_BARS, len(bars) - 1):
        return 0
    first = bars[0].melody[:1]
    begins = bars[count].chords[:1]
    leads_in = (
        first
        and isinstance(first[0], Rest)
        and not first[0].slashes
        and any(isinstance(event, Note) for event in bars[count - 1].melody)
        and begins
        and not begins[0].onset
    )
    return count if leads_in else 0


def _may_lead_in(bar: Bar) -> bool:
    """Whether a bar has a melody, but no chord and no sign that leads elsewhere."""
    return bool(bar.melody) and not (bar.chords or bar.form.leads)
