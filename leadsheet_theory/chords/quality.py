"""What a chord symbol means: degrees above a root.

A quality is a set of degrees, each a number of the major scale with an
alteration: ``1 b3 b5 b7``.  Unlike in figured bass, 7 is the major seventh.
Two symbols mean the same exactly if their degrees are the same, so ``C7b13``
(A♭) and ``C7#5`` (G♯) differ, and ``Cm7b5`` and ``Cø7`` don't.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import Final

from attrs import field, frozen

from .._arguments import check_text, check_type
from .._printed import Parsed
from .._scan import Scanner
from ..errors import ChordFormulaError
from ..interval import Interval

__all__ = ("MAJOR_TRIAD", "Degree", "Quality")

# semitones of the degrees 1 to 7 of the major scale
_MAJOR_SCALE: Final = (0, 2, 4, 5, 7, 9, 11)
_MAX_NUMBER: Final = 13
_MAX_ALTER: Final = 3


def _check_number(_instance: object, _attribute: object, value: int) -> None:
    check_type("a degree", value, int, "a whole number")
    if not 1 <= value <= _MAX_NUMBER or value in (8, 10, 12):
        raise ChordFormulaError(
            f"{value} is no degree of a chord: expected 1 to 7, 9, 11 or 13"
        )


def _check_alter(_instance: object, _attribute: object, value: int) -> None:
    check_type("an alteration", value, int, "a whole number of semitones")
    if not -_MAX_ALTER <= value <= _MAX_ALTER:
        raise ChordFormulaError(
            f"a degree altered by {value:+d}: expected at most {_MAX_ALTER} semitones"
        )


@frozen(order=False, cache_hash=True, repr=False)
class Degree(Parsed):
    """A degree of a chord: a number of the major scale and its alteration.

    >>> Degree.parse("b9"), str(Degree(7, -2)), Degree(13).semitones
    (Degree.parse('b9'), 'bb7', 21)
    """

    number: int = field(validator=_check_number)
    alter: int = field(default=0, validator=_check_alter)

    @classmethod
    def parse(cls, text: str, /) -> Degree:
        """Read ``5``, ``b9``, ``#11``, ``bb7``.

        Raises:
            ChordFormulaError: if the text is no degree.
        """
        scan = Scanner(text)
        flats = scan.take_while("b♭")
        sharps = scan.take_while("#♯")
        digits = scan.take_while("0123456789")
        if not digits or not scan.done or (flats and sharps) or len(digits) > 2:
            raise ChordFormulaError(f"{text!r} is no degree: expected one like 'b9'")
        return cls(int(digits), len(sharps) - len(flats))

    @property
    def semitones(self) -> int:
        """The distance from the root; degrees from 9 up lie beyond the octave."""
        octave, step = divmod(self.number - 1, 7)
        return 12 * octave + _MAJOR_SCALE[step] + self.alter

    @property
    def interval(self) -> Interval:
        """The interval from the root."""
        return Interval(self.number - 1, self.semitones)

    def __str__(self) -> str:
        sign = "#" * self.alter if self.alter > 0 else "b" * -self.alter
        return f"{sign}{self.number}"


def _in_order(degrees: Iterable[Degree]) -> tuple[Degree, ...]:
    given = set(degrees)
    for degree in given:
        check_type("a degree", degree, Degree, "a Degree")
    return tuple(sorted(given, key=_sort_key))


def _sort_key(degree: Degree) -> tuple[int, int]:
    return degree.number, degree.alter


@frozen(order=False, cache_hash=True, repr=False)
class Quality:
    """The degrees of a chord, in rising order and each once.

    >>> q = Quality.from_formula("1 b3 b5 b7")
    >>> q.formula, sorted(q.semitones)
    ('1 b3 b5 b7', [0, 3, 6, 10])
    """

    degrees: tuple[Degree, ...] = field(converter=_in_order)

    @classmethod
    def from_formula(cls, formula: str, /) -> Quality:
        """Read degrees parted by spaces, in any order: ``1 3 5 b7``.

        Raises:
            ChordFormulaError: if a word is no degree.
        """
        check_text(formula)
        return _read_formula(formula)

    @property
    def formula(self) -> str:
        """The degrees as text: ``1 b3 5 b7``."""
        return " ".join(map(str, self.degrees))

    @property
    def intervals(self) -> tuple[Interval, ...]:
        """The intervals from the root."""
        return tuple(degree.interval for degree in self.degrees)

    @property
    def semitones(self) -> frozenset[int]:
        """The pitch classes above the root, 0 to 11."""
        return frozenset(degree.semitones % 12 for degree in self.degrees)

    def __repr__(self) -> str:
        return f"Quality.from_formula({self.formula!r})"

    def __contains__(self, degree: Degree) -> bool:
        return degree in self.degrees

    def degree(self, number: int, /) -> Degree | None:
        """The (lowest) degree of that number, or None if the chord has none.

        >>> print(Quality.from_formula("1 3 #5 b7").degree(5))
        #5
        """
        for degree in self.degrees:
            if degree.number == number:
                return degree
        return None


@lru_cache(maxsize=1024)
def _read_formula(formula: str) -> Quality:
    return Quality(_read_degree(word) for word in formula.split())


@lru_cache(maxsize=128)
def _read_degree(text: str) -> Degree:
    return Degree.parse(text)


@lru_cache(maxsize=4096)
def quality_of(pairs: frozenset[tuple[int, int]]) -> Quality:
    """The quality with these (number, alter) pairs, one value for each."""
    return Quality(_degree_of(number, alter) for number, alter in pairs)


@lru_cache(maxsize=128)
def _degree_of(number: int, alter: int) -> Degree:
    return Degree(number, alter)


MAJOR_TRIAD: Final = Quality.from_formula("1 3 5")
"""What a root alone means."""
