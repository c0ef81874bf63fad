"""Written durations: note values, dots, tuplets.

Units: quarter notes, as exact `Fraction`.  The names of the values are those
of MusicXML 4.0 (``note-type-value``).
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final, Literal, get_args

from attrs import frozen

__all__ = ("VALUE_NAMES", "NoteValue", "Tuplet", "ValueName")

ValueName = Literal[
    "maxima", "long", "breve", "whole", "half", "quarter", "eighth",
    "16th", "32nd", "64th", "128th", "256th", "512th", "1024th",
]  # fmt: skip
"""The written values, as MusicXML 4.0 names them."""

VALUE_NAMES: Final[tuple[ValueName, ...]] = get_args(ValueName)

_QUARTERS: Final[dict[ValueName, Fraction]] = {
    name: Fraction(32) / 2**place for place, name in enumerate(VALUE_NAMES)
}


@frozen(order=False)
class Tuplet:
    """So many notes in the time of so many: a triplet is ``Tuplet(3, 2)``.

    `starts` and `ends` mark the first and the last note of the group.
    """

    actual: int
    normal: int
    starts: bool = False
    ends: bool = False


@frozen(order=False)
class NoteValue:
    """A written note or rest value: its name, dots and tuplet.

    >>> NoteValue("quarter", dots=1).duration
    Fraction(3, 2)
    >>> NoteValue("eighth", tuplet=Tuplet(3, 2)).duration
    Fraction(1, 3)
    """

    name: ValueName
    dots: int = 0
    tuplet: Tuplet | None = None

    @property
    def duration(self) -> Fraction:
        """The duration in quarter notes."""
        plain = _QUARTERS[self.name] * (2 - Fraction(1, 2**self.dots))
        if self.tuplet is None:
            return plain
        return plain * self.tuplet.normal / self.tuplet.actual
