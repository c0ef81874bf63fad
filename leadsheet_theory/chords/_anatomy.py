"""The parts that a printed symbol is made of, found back from its degrees.

This is the reading grammar turned round: what :mod:`._suffix` adds up, a
quality is taken apart into here, in one way for every set of degrees.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final, Literal

from attrs import frozen

from ._words import Pair
from .quality import Quality

__all__ = ("Anatomy", "anatomy")

Family = Literal[
    "major", "minor", "diminished", "half-diminished", "power", "altered", "pedal"
]

_PEDAL: Final = {(1, 0)}
_ALTERED: Final = {(1, 0), (3, 0), (5, -1), (5, 1), (7, -1), (9, -1), (9, 1)}
_NINTH: Final = (9, 0)
_ELEVENTH: Final = (11, 0)
_THIRTEENTH: Final = (13, 0)


@frozen(order=False, kw_only=True)
class Anatomy:
    """What a symbol has to print.

    `number` is 0 for a triad, 6, or the highest degree of the stack on the
    seventh; `nine` is the 9 of 6/9; `seventh` the alteration of the seventh.
    The flat fifth of the diminished families is theirs, not among `altered`.
    """

    family: Family
    number: int = 0
    seventh: int = -1
    nine: bool = False
    suspended: tuple[int, ...] = ()
    altered: tuple[Pair, ...] = ()
    added: tuple[Pair, ...] = ()
    omitted: tuple[int, ...] = ()


@lru_cache(maxsize=4096)
def anatomy(quality: Quality, /) -> Anatomy:
    """Take a quality apart.

    >>> parts = anatomy(Quality.from_formula("1 3 5 b7 b9 13"))
    >>> parts.number, parts.altered
    (13, ((9, -1),))
    """
    left = {(degree.number, degree.alter) for degree in quality.degrees}
    if left == _ALTERED:
        return Anatomy(family="altered", number=7)
    if left == _PEDAL:
        return Anatomy(family="pedal")
    return _taken_apart(left)


def _taken_apart(left: set[Pair]) -> Anatomy:
    """Take degrees apart that are no family of their own."""
    omitted = [] if (1, 0) in left else [1]
    left.discard((1, 0))
    third = _take_first(left, (3, 0), (3, -1))
    suspended = () if third else tuple(n for n in (2, 4) if (n, 0) in left)
    left.difference_update((n, 0) for n in suspended)
    minor = third == (3, -1)
    family = _family(left, minor)
    seventh = _take_first(left, *_sevenths(family))
    bare = not third and not suspended
    fifth, altered = _fifth(left, family)
    if not fifth:
        omitted.append(5)
    if bare and fifth == "perfect" and not seventh and (6, 0) not in left:
        family = "power"
    elif bare:
        omitted.append(3)
    number, nine = 0, False
    if seventh:
        flat_five = (5, -1) in altered or family in ("diminished", "half-diminished")
        number, colours, lacks_11 = _upper(left, suspended, minor, flat_five)
        altered += colours
        if lacks_11:
            omitted.append(11)
    elif _take_first(left, (6, 0)):
        number = 6
        nine = _take_first(left, _NINTH) is not None
        if (5, -1) not in altered:
            altered += _take(left, (11, 1))
    return Anatomy(
        family=family,
        number=number,
        seventh=seventh[1] if seventh else -1,
        nine=nine,
        suspended=suspended,
        altered=tuple(sorted(altered)),
        added=tuple(sorted(left)),
        omitted=tuple(sorted(omitted)),
    )


def _fifth(
    left: set[Pair], family: Family
) -> tuple[Literal["", "perfect", "flat", "altered"], list[Pair]]:
    """Take the fifth: which it is (the flat one of a diminished family is its own),
    and what is printed as an alteration."""
    if (5, 0) in left:
        left.remove((5, 0))
        return "perfect", []
    if family in ("diminished", "half-diminished") and (5, -1) in left:
        left.discard((5, -1))
        return "flat", []
    altered = _take(left, (5, -1), (5, 1))
    return "altered" if altered else "", altered


def _upper(
    left: set[Pair], suspended: tuple[int, ...], minor: bool, flat_five: bool
) -> tuple[int, list[Pair], bool]:
    """Take what stands on a seventh: the number it is called by, the alterations,
    and whether the number implies an eleventh that isn't there."""
    ninths = [] if _NINTH in left else [(9, -1)] if minor else [(9, -1), (9, 1)]
    number = _number(left, suspended, any(pair in left for pair in ninths))
    stacked_11 = number == 11 or (number == 13 and _ELEVENTH in left)
    eleventh = [] if flat_five or stacked_11 else [(11, 1)]
    replaced_11 = bool(eleventh) and (11, 1) in left
    lacks_11 = _take_stack(left, number, suspended) and not replaced_11
    thirteenth = [] if number == 13 else [(13, -1)]
    return number, _take(left, *ninths, *eleventh, *thirteenth), lacks_11


def _take_first(left: set[Pair], *wanted: Pair) -> Pair | None:
    """Take the first of the wanted degrees that is left."""
    for pair in wanted:
        if pair in left:
            left.remove(pair)
            return pair
    return None


def _family(left: set[Pair], minor: bool) -> Family:
    """The triad family, before it is known whether the third is suspended."""
    if not minor:
        return "major"
    if (7, -2) in left and not any(number == 5 for number, _ in left):
        return "diminished"
    if (5, -1) not in left or (5, 0) in left or (5, 1) in left:
        return "minor"
    if (7, -1) in left:
        return "half-diminished"
    plain_six = (6, 0) in left and not {(7, 0), (7, -2)} & left
    return "minor" if plain_six else "diminished"


def _sevenths(family: Family) -> tuple[Pair, ...]:
    """The sevenths that a number can mean in a family, the usual one first."""
    if family == "diminished":
        return (7, -2), (7, 0)
    return (7, -1), (7, 0)


def _take(left: set[Pair], *wanted: Pair) -> list[Pair]:
    """Take all of the wanted degrees that are left."""
    taken = [pair for pair in wanted if pair in left]
    left.difference_update(taken)
    return taken


def _number(left: set[Pair], suspended: tuple[int, ...], altered_nine: bool) -> int:
    """The highest degree of the stack that a seventh chord is called by."""
    if _THIRTEENTH in left and (
        _NINTH in left or (altered_nine and _ELEVENTH not in left)
    ):
        return 13
    if _NINTH not in left:
        return 7
    return 11 if _ELEVENTH in left and 4 not in suspended else 9


def _take_stack(left: set[Pair], number: int, suspended: tuple[int, ...]) -> bool:
    """Take the degrees that the number implies; whether it implies an absent 11th."""
    natural_nine = _NINTH in left
    if number >= 9:
        left.discard(_NINTH)
    if number >= 13:
        left.discard(_THIRTEENTH)
    if number < 11 or 4 in suspended:
        return False
    if _ELEVENTH in left:
        left.remove(_ELEVENTH)
        return False
    return natural_nine
