"""Lengths as files really state them: a hair off, rounded, or none that values show.

A written value decides the length of its note where the stated one is no more than a
32nd part of it away.  A length without a written value ends on the simplest place
within the same tolerance.  What then still is no sum of values ends on the nearest
place of 32nds or triplets of 16ths, so that the bar keeps its sum.  (Common practice,
no source: programs count in ticks, played notes in milliseconds.)
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from typing import Final

__all__ = ("is_hair", "is_plain", "settled_end", "settled_place")

_TOLERANCE: Final = 32
# the simplest first: values, triplets, quintuplets, septuplets
_UNITS: Final = tuple(
    Fraction(1, parts) for parts in (1, 2, 4, 8, 3, 6, 12, 5, 10, 7, 14, 16, 24, 32)
)
# the finest part of a quarter note that is split into so many parts first
_FINEST: Final = {1: 32, 3: 8, 5: 4, 7: 4, 9: 4}
_LAST_RESORT: Final = (Fraction(1, 8), Fraction(1, 6))
# how far, in quarter notes, a place in the bar may be off
_SLIP: Final = Fraction(1, 48)


def is_hair(stated: Fraction, written: Fraction) -> bool:
    """Whether a stated length is a hair off a written one."""
    return abs(stated - written) * _TOLERANCE <= written


def is_plain(length: Fraction) -> bool:
    """Whether values and the usual tuplets add up to a length."""
    parts = length.denominator
    halves = parts & -parts
    return halves <= _FINEST.get(parts // halves, 0)


@lru_cache(maxsize=4096)
def settled_end(end: Fraction, length: Fraction, *, after: Fraction) -> Fraction:
    """Where a note that begins at `after` is meant to end if the file says that it ends
    at a place of its bar and is so long, all in quarter notes.

    >>> zero = Fraction(0)
    >>> print(settled_end(Fraction(479, 480), Fraction(479, 480), after=zero))
    1
    >>> print(settled_end(Fraction(1, 13), Fraction(1, 13), after=zero))
    1/8
    """
    if is_plain(end) and end > after:
        return end
    for unit in _UNITS:
        near = round(end / unit) * unit
        if near > after and abs(near - end) * _TOLERANCE <= length:
            return near
    return min(
        (_later(round(end / unit) * unit, after, unit) for unit in _LAST_RESORT),
        key=lambda near: abs(near - end),
    )


def _later(near: Fraction, after: Fraction, unit: Fraction) -> Fraction:
    """A place, or the first one of its kind after another."""
    return near if near > after else (after // unit + 1) * unit


@lru_cache(maxsize=4096)
def settled_place(stated: Fraction) -> Fraction:
    """The place in the bar that is meant by a stated one, in quarter notes.

    >>> print(settled_place(Fraction(1, 480)), settled_place(Fraction(1919, 480)))
    0 4
    """
    if is_plain(stated):
        return stated
    for unit in _UNITS:
        near = round(stated / unit) * unit
        if abs(near - stated) <= _SLIP:
            return near
    return stated
