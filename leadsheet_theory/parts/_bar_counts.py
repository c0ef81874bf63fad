"""How far a section has come, counted for who improvises over it.

A soloist who looks up finds the place by the letter and the count, such as *(4)* and
*(8)* over the fourth and the eighth bar of a section (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from attrs import evolve

from ..errors import LayoutError
from ..leadsheet.model import Bar, Direction

__all__ = ("counted",)

_START: Final = Fraction(0)


def counted(bars: Sequence[Bar], /, *, every: int) -> tuple[Bar, ...]:
    """The bars with the count of every so many bars of a section over them; a later
    ending counts on from where the first one began.

    Raises:
        LayoutError: if `every` is below 0.
    """
    if every < 0:
        raise LayoutError(f"a count every {every} bars: expected 0 or more")
    if not every:
        return tuple(bars)
    done: list[Bar] = []
    count = before_endings = 0
    closed = False
    for bar in bars:
        form = bar.form
        if form.section or form.coda or (closed and not form.ending):
            count = 0
        elif form.ending_starts:
            if form.ending[0] == 1:
                before_endings = count
            else:
                count = before_endings
        count += 1
        if count % every == 0:
            words = Direction(_START, "words", f"({count})")
            bar = evolve(bar, directions=(*bar.directions, words))
        done.append(bar)
        closed = bool(form.repeat_end) or form.barline in ("double", "final")
    return tuple(done)
