"""Checks of arguments that a type checker would have caught, for those without one."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from types import UnionType

from .errors import (
    ChoiceError,
    LengthMismatchError,
    NotTextError,
    WrongTypeError,
)

__all__ = ("check_choice", "check_length", "check_text", "check_type")


def check_text(text: object) -> None:
    """Raise a NotTextError for anything but a text."""
    if not isinstance(text, str):
        raise NotTextError(text)


def check_type(what: str, given: object, kind: type | UnionType, expected: str) -> None:
    """Raise a WrongTypeError for anything but that kind; True is no number."""
    if not isinstance(given, kind) or isinstance(given, bool):
        raise WrongTypeError(what, given, expected)


def check_choice(option: str, value: str, choices: Collection[str]) -> None:
    """Raise a ChoiceError for a value that an option does not have."""
    if value not in choices:
        raise ChoiceError(option, value, tuple(choices))


def check_length(what: str, given: Sequence[object], count: int) -> None:
    """Raise a LengthMismatchError unless each note or chord has one of them."""
    if len(given) != count:
        raise LengthMismatchError(f"{len(given)} {what} for {count} notes or chords")
