"""The public doors of the library: who comes in with a value of the wrong type is
told which one, and what was expected.

To check every argument through and through would cost more than many a function.  So
a door looks at the arguments from outside, and at the first of a sequence.  Only when
something goes wrong inside are they held against the stated types deep into the
values, and the first that is none is named.
"""

from __future__ import annotations

import types
from collections.abc import Callable, Collection, Iterable, Mapping
from fractions import Fraction
from functools import update_wrapper
from inspect import signature
from numbers import Integral, Real
from typing import (
    Any,
    Final,
    Literal,
    NewType,
    TypeVar,
    Union,
    cast,
    get_args,
    get_origin,
    get_type_hints,
)

from attrs import fields, has

from .errors import TheoryError, WrongTypeError

__all__ = ("door", "look_for_wrong")

_Function = TypeVar("_Function", bound=Callable[..., object])
# what is taken for a number; whether a time is exact is for the function to say
_NUMBERS: Final[dict[object, tuple[type, ...]]] = {
    int: (int, Integral),
    float: (float, int, Real),
    Fraction: (Fraction, int, Real),
}


_Kinds = tuple[type, ...]


class _Stated:
    """What a parameter is stated to take, as it can be looked at from outside."""

    __slots__ = ("firsts", "kinds", "text")

    def __init__(self, hint: object) -> None:
        self.kinds = _kinds(hint)
        self.text = issubclass(str, self.kinds) and any(
            each in (str, object) for each in self.kinds
        )
        element = _element(hint)
        self.firsts = _kinds(element) if element is not None else ()

    def takes(self, given: object) -> bool:
        """Whether a value, and the first in it, is of the stated type."""
        if not isinstance(given, self.kinds):
            return False
        kind = given.__class__
        if kind is str:
            return self.text
        if self.firsts and given and (kind is list or kind is tuple):
            return isinstance(given[0], self.firsts)  # type: ignore[index]
        return True


class _Door:
    """A function of the public interface."""

    def __init__(self, function: Callable[..., object]) -> None:
        self.function = function
        self.stated: dict[str, _Stated] | None = None
        self.positional: list[_Stated] = []
        update_wrapper(self, function)

    def __call__(self, *args: object, **options: object) -> object:
        stated = self.stated
        if stated is None:
            stated = self._read_hints()
        for given, parameter in zip(args, self.positional, strict=False):
            if not parameter.takes(given):
                self._explain(args, options)
        for name, given in options.items():
            if name in stated and not stated[name].takes(given):
                self._explain(args, options)
        try:
            return self.function(*args, **options)
        except (AttributeError, TypeError, ValueError, LookupError) as error:
            if isinstance(error, WrongTypeError) or not isinstance(error, TheoryError):
                self._explain(args, options)
            raise

    def __get__(self, instance: object, owner: type | None = None) -> object:
        return self if instance is None else types.MethodType(self, instance)

    def __reduce__(self) -> str:
        return self.function.__qualname__

    def _read_hints(self) -> dict[str, _Stated]:
        hints = get_type_hints(self.function)
        names = [name for name in signature(self.function).parameters if name in hints]
        self.stated = {name: _Stated(hints[name]) for name in names}
        self.positional = list(self.stated.values())
        return self.stated

    def _explain(self, args: tuple[object, ...], options: Mapping[str, object]) -> None:
        """Raise a WrongTypeError for the first argument of a wrong type, if any is."""
        hints = get_type_hints(self.function)
        given = signature(self.function).bind(*args, **options).arguments
        for name, value in given.items():
            if name in hints:
                look_for_wrong(name, value, hints[name])


def door(function: _Function, /) -> _Function:
    """The function, with a sentence for arguments of a wrong type."""
    return cast(_Function, _Door(function))


def look_for_wrong(where: str, given: object, hint: object) -> None:
    """Raise a WrongTypeError for a value, or something in it, that doesn't fit."""
    if not _fits(given, hint):
        raise WrongTypeError(where, given, _words(hint), _mend(given, hint))
    kind = type(given)
    if has(kind):
        hints = get_type_hints(kind)
        for field in fields(kind):
            inside = getattr(given, field.name)
            look_for_wrong(f"{where}.{field.name}", inside, hints[field.name])
        return
    element = _element(hint)
    if element is not None and isinstance(given, Collection):
        for index, each in enumerate(given):
            look_for_wrong(f"{where}[{index}]", each, element)


def _members(hint: Any) -> tuple[Any, ...]:
    """The types that a type consists of."""
    if get_origin(hint) in (Union, types.UnionType):
        return tuple(member for each in get_args(hint) for member in _members(each))
    if isinstance(hint, NewType):
        return _members(hint.__supertype__)
    return (hint,)


def _kinds(hint: object) -> _Kinds:
    """The classes that a value of a type can be of."""
    kinds: list[type] = []
    for member in _members(hint):
        origin = get_origin(member) or member
        if origin in _NUMBERS:
            kinds += _NUMBERS[origin]
        else:
            kinds.append(origin if _is_plain(origin) else object)
    return tuple(kinds)


def _is_plain(kind: object) -> bool:
    """Whether `isinstance` knows a class: a protocol only where it says so."""
    protocol = getattr(kind, "_is_protocol", False)
    return isinstance(kind, type) and (
        not protocol or getattr(kind, "_is_runtime_protocol", False)
    )


def _fits(given: object, hint: object) -> bool:
    """Whether a value is of a type, as far as it shows from outside."""
    for member in _members(hint):
        if get_origin(member) is Literal:
            if any(given == each for each in get_args(member)):
                return True
        elif isinstance(given, str):
            if member is str or not _is_plain(get_origin(member) or member):
                return True
        elif isinstance(given, bool):
            if member in (bool, object) or not _is_plain(get_origin(member) or member):
                return True
        elif isinstance(given, _kinds(member)):
            return True
    return False


def _element(hint: object) -> object:
    """The type of what a sequence holds; None for what is none."""
    for member in _members(hint):
        origin, inside = get_origin(member), get_args(member)
        if (
            isinstance(origin, type)
            and issubclass(origin, Iterable)
            and (len(inside) == 1 or inside[1:] == (...,))
        ):
            return cast(object, inside[0])
    return None


def _words(hint: object) -> str:
    """A type in words."""
    words: list[str] = []
    for member in _members(hint):
        origin = get_origin(member)
        if origin is Literal:
            words += [repr(each) for each in get_args(member)]
        elif origin is None:
            name = getattr(member, "__name__", str(member))
            words.append("None" if member is types.NoneType else name)
        else:
            inside = [_words(each) for each in get_args(member) if each is not ...]
            words.append(f"{origin.__name__.lower()} of {', '.join(inside)}")
    return " or ".join(words)


def _mend(given: object, hint: object) -> str:
    """The field of a value that is what was meant, or ``""``."""
    kind = type(given)
    if has(kind):
        for field in fields(kind):
            if _fits(getattr(given, field.name), hint):
                return f"its .{field.name}"
    return ""
