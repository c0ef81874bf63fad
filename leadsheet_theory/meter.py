"""Metres: the bar's length, its beats, its half bar.

Source of the terms simple, compound, additive: any handbook of theory (e.g.
*Open Music Theory* v2, "Simple meter and time signatures", "Compound meter
and time signatures").
"""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from attrs import field, frozen

__all__ = ("Meter",)


@frozen(order=False)
class Meter:
    """A time signature.

    `beats` and `beat_type` are the printed numbers (6 and 8 for 6/8);
    `grouping` says how an additive metre falls into groups of the printed
    unit, such as ``(3, 2)`` for 5/4 as 3+2 and ``()`` for the usual way;
    `symbol` is how it is printed.

    >>> Meter(6, 8).bar_length
    Fraction(3, 1)
    """

    beats: int
    beat_type: int
    grouping: tuple[int, ...] = ()
    symbol: Literal["numbers", "common", "cut"] = field(default="numbers")

    @property
    def bar_length(self) -> Fraction:
        """The length of a full bar in quarter notes."""
        return Fraction(4 * self.beats, self.beat_type)
