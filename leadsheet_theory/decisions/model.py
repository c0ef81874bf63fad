"""Decisions as values: what was decided, and where that stands."""

from __future__ import annotations

from attrs import frozen

from ..errors import DecisionError, TheoryError
from .keys import key_called

__all__ = ("Decision", "DecisionValue", "Decisions")

DecisionValue = str | int | float
"""What stands after a key; true and false are among the whole numbers."""


@frozen(order=False)
class Decision:
    """What is decided under one key; of a key that holds a list, one entry of it.

    `file` and `line` (from 1) say where it stands; no file where it was asked for
    otherwise.
    """

    key: str
    value: DecisionValue
    file: str = ""
    line: int | None = None

    def wrong(self, error: TheoryError, /) -> DecisionError:
        """The error of a decision that doesn't fit its chart, or says nothing."""
        problem = error.problem if isinstance(error, DecisionError) else str(error)
        return DecisionError(problem, key=self.key, file=self.file, line=self.line)


@frozen(order=False)
class Decisions:
    """All that is decided for a chart, the earlier before the later.

    >>> from leadsheet_theory.decisions import read_decisions
    >>> band = read_decisions('books = ["C", "Bb"]', of_band=True)
    >>> tune = read_decisions('books = ["F"]\\nkey = "Eb"')
    >>> both = band.followed_by(tune)
    >>> both.texts("books"), both.text("key"), both.text("title")
    (('F',), 'Eb', '')
    """

    each: tuple[Decision, ...] = ()

    def of(self, key: str, /) -> tuple[Decision, ...]:
        """What is decided under a key: for a list its entries, else one or none."""
        return tuple(each for each in self.each if each.key == key)

    def texts(self, key: str, /) -> tuple[str, ...]:
        """The entries of a key that holds a list."""
        return tuple(str(each.value) for each in self.of(key))

    def text(self, key: str, /, default: str = "") -> str:
        """The text or number under a key, as a text."""
        return next(iter(self.texts(key)), default)

    def numbers(self, key: str, /) -> tuple[int, ...]:
        """The entries of a key that holds a list of numbers."""
        return tuple(int(each.value) for each in self.of(key))

    def says(self, key: str, /) -> bool:
        """Whether a key that is true or false says true."""
        return any(each.value is True for each in self.of(key))

    def without(self, *keys: str) -> Decisions:
        """These decisions save those under some keys."""
        return Decisions(tuple(each for each in self.each if each.key not in keys))

    def only(self, *keys: str) -> Decisions:
        """These decisions as far as they stand under some keys."""
        return Decisions(tuple(each for each in self.each if each.key in keys))

    def followed_by(self, later: Decisions, /) -> Decisions:
        """These and later ones, which win: a band's, then those of a tune.

        The entries of lists come together, in order; but whoever names books or
        instruments names them all.
        """
        settled = {each.key for each in later.each if not key_called(each.key).listed}
        if later.of("books") or later.of("instruments"):
            settled |= {"books", "instruments"}
        return Decisions((*self.without(*settled).each, *later.each))
