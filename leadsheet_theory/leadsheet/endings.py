"""Endings in full: how far each reaches, whatever its bracket is drawn over.

A bracket is often drawn over the first bar of an ending alone.  The first ending lasts
to its end repeat, and the last one as long as the first, unless a sign says otherwise
before that (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Sequence

from attrs import evolve

from .form import draw_out_endings
from .model import Bar

__all__ = ("whole_endings",)


def whole_endings(bars: Sequence[Bar], /) -> tuple[Bar, ...]:
    """The bars with each ending marked over all of its bars; nothing else changes.

    >>> from fractions import Fraction
    >>> from leadsheet_theory.key import Key
    >>> from leadsheet_theory.leadsheet.signs import FormSigns
    >>> from leadsheet_theory.rhythm import Meter
    >>> def bar(number, **signs):
    ...     return Bar(number=number, key=Key.parse("C"), meter=Meter(4, 4),
    ...                length=Fraction(4), form=FormSigns(**signs))
    >>> first = {"ending": (1,), "ending_starts": True}
    >>> second = {"ending": (2,), "ending_starts": True}
    >>> tune = (bar(1), bar(2, **first), bar(3, repeat_end=2), bar(4, **second),
    ...         bar(5), bar(6))
    >>> [each.form.ending for each in whole_endings(tune)]
    [(), (1,), (1,), (2,), (2,), ()]
    """
    if not any(bar.form.ending for bar in bars):
        return tuple(bars)
    whole = list(draw_out_endings(bars))
    longest = here = 0  # bars of the longest ending of this repeat, and of this ending
    for index, bar in enumerate(whole):
        before = whole[index - 1] if index else None
        if bar.form.ending:
            if before is None or not before.form.ending:
                longest = here = 0  # the endings of another repeat
            here = 1 if bar.form.ending_starts else here + 1
            longest = max(longest, here)
        elif (
            before is not None
            and before.form.ending
            and here < longest
            and not before.form.ends
            and not bar.form.begins
        ):
            here += 1
            form = evolve(bar.form, ending=before.form.ending)
            whole[index] = evolve(bar, form=form)
    return tuple(whole)
