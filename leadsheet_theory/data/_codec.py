"""From values to JSON types and back, by the type hints of their fields.

A codec stands for one hint.  Nothing here knows a class of the model: what the model
gains is carried as it is.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from fractions import Fraction
from functools import lru_cache
from types import NoneType, UnionType
from typing import (
    Final,
    Generic,
    Literal,
    NewType,
    Protocol,
    TypeAlias,
    TypeVar,
    Union,
    get_args,
    get_origin,
    get_type_hints,
)

import attrs

from ..chords import Quality
from ..errors import DataError, TheoryError
from ..instruments import PitchRange
from ..interval import Interval
from ..key import Key
from ..pitch import NoteName, Pitch
from ..rhythm import Meter

__all__ = (
    "Codec",
    "Defs",
    "Json",
    "ObjectCodec",
    "Unread",
    "codec_of",
    "object_codec",
)

Json: TypeAlias = "bool | int | float | str | list[Json] | dict[str, Json] | None"
"""What JSON can say."""

Unread = Callable[[str], None]
"""Told the place of each field that is not known."""

Defs = dict[str, Json]
"""The parts of a schema that others refer to, by name."""


class Codec(Protocol):
    """What one type hint asks for."""

    def fits(self, value: object) -> bool:
        """Whether a value is of the hint's type."""

    def accepts(self, data: Json) -> bool:
        """Whether data may be a value of the hint's type, at a first look."""

    def encode(self, value: object) -> Json:
        """A value as data."""

    def decode(self, data: Json, place: str, unread: Unread) -> object:
        """Data as a value; a DataError tells of what it is not."""

    def schema(self, defs: Defs) -> dict[str, Json]:
        """What JSON Schema says of it; what it refers to is added to `defs`."""


def _wrong(data: Json, place: str, expected: str) -> DataError:
    if isinstance(data, list | dict):
        shown = "a list" if isinstance(data, list) else "an object"
    else:
        shown = repr(data[:40] if isinstance(data, str) else data)
    return DataError(f"expected {expected}, not {shown}", place)


@attrs.frozen
class _Plain:
    """A type that JSON has itself."""

    kind: type
    name: str
    expected: str

    def fits(self, value: object) -> bool:
        return type(value) is self.kind or (self.kind is float and type(value) is int)

    accepts = fits

    def encode(self, value: object) -> Json:
        assert value is None or isinstance(value, bool | int | float | str)
        return value

    def decode(self, data: Json, place: str, unread: Unread) -> object:  # noqa: ARG002
        if not self.fits(data):
            raise _wrong(data, place, self.expected)
        return data

    def schema(self, defs: Defs) -> dict[str, Json]:  # noqa: ARG002
        return {"type": self.name}


_PLAIN: Final = {
    str: _Plain(str, "string", "a text"),
    int: _Plain(int, "integer", "a whole number"),
    bool: _Plain(bool, "boolean", "true or false"),
    float: _Plain(float, "number", "a number"),
    NoneType: _Plain(NoneType, "null", "null"),
}

_FRACTION: Final = r"-?\d+(/[1-9]\d*)?"
_ACCIDENTALS: Final = "(b*|#*)"


@attrs.frozen
class _Fractions:
    """Exact times, as text: ``3/2``."""

    def fits(self, value: object) -> bool:
        return isinstance(value, Fraction | int) and not isinstance(value, bool)

    def accepts(self, data: Json) -> bool:
        return isinstance(data, str) and re.fullmatch(_FRACTION, data) is not None

    def encode(self, value: object) -> Json:
        assert isinstance(value, Fraction | int)
        return str(value)

    def decode(self, data: Json, place: str, unread: Unread) -> object:  # noqa: ARG002
        if not isinstance(data, str) or not self.accepts(data) or len(data) > 400:
            raise _wrong(data, place, "a fraction such as '3/2'")
        return Fraction(data)

    def schema(self, defs: Defs) -> dict[str, Json]:
        defs["Fraction"] = {"type": "string", "pattern": f"^{_FRACTION}$"}
        return {"$ref": "#/$defs/Fraction"}


@attrs.frozen
class _Choice:
    """One of some words or numbers."""

    choices: tuple[str | int, ...]

    def fits(self, value: object) -> bool:
        return any(type(value) is type(each) and value == each for each in self.choices)

    accepts = fits

    def encode(self, value: object) -> Json:
        assert isinstance(value, str | int)
        return value

    def decode(self, data: Json, place: str, unread: Unread) -> object:  # noqa: ARG002
        if not self.fits(data):
            raise _wrong(data, place, f"one of {', '.join(map(repr, self.choices))}")
        return data

    def schema(self, defs: Defs) -> dict[str, Json]:  # noqa: ARG002
        return {"enum": list(self.choices)}


@attrs.frozen
class _Several:
    """A tuple: all items alike, or each with a type of its own."""

    items: tuple[Codec, ...]
    alike: bool

    def fits(self, value: object) -> bool:
        return isinstance(value, tuple)

    def accepts(self, data: Json) -> bool:
        return isinstance(data, list)

    def _codecs(self, count: int) -> Iterator[Codec]:
        for index in range(count):
            yield self.items[0 if self.alike else index]

    def encode(self, value: object) -> Json:
        assert isinstance(value, tuple)
        codecs = self._codecs(len(value))
        return [codec.encode(item) for codec, item in zip(codecs, value, strict=True)]

    def decode(self, data: Json, place: str, unread: Unread) -> object:
        count = None if self.alike else len(self.items)
        if not isinstance(data, list) or count not in (None, len(data)):
            number = "" if count is None else f" of {count}"
            raise _wrong(data, place, f"a list{number}")
        codecs = self._codecs(len(data))
        return tuple(
            codec.decode(item, f"{place}[{index}]", unread)
            for index, (codec, item) in enumerate(zip(codecs, data, strict=True))
        )

    def schema(self, defs: Defs) -> dict[str, Json]:
        if self.alike:
            return {"type": "array", "items": self.items[0].schema(defs)}
        return {
            "type": "array",
            "prefixItems": [item.schema(defs) for item in self.items],
            "minItems": len(self.items),
            "maxItems": len(self.items),
        }


@attrs.frozen
class _OneOf:
    """Any of several types."""

    ways: tuple[Codec, ...]

    def fits(self, value: object) -> bool:
        return any(way.fits(value) for way in self.ways)

    def accepts(self, data: Json) -> bool:
        return any(way.accepts(data) for way in self.ways)

    def encode(self, value: object) -> Json:
        return next(way for way in self.ways if way.fits(value)).encode(value)

    def decode(self, data: Json, place: str, unread: Unread) -> object:
        for way in self.ways:
            if way.accepts(data):
                return way.decode(data, place, unread)
        return self.ways[0].decode(data, place, unread)

    def schema(self, defs: Defs) -> dict[str, Json]:
        return {"anyOf": [way.schema(defs) for way in self.ways]}


@attrs.frozen
class _Field:
    """A field of a class."""

    name: str
    codec: Codec
    default: object


class ObjectCodec:
    """A value with fields: an object with its class under ``is``, as no field can be
    called.  Fields that have their default are left out, so that what a later version
    adds changes no file."""

    def __init__(self, kind: type, types: tuple[object, ...] = ()) -> None:
        self.kind, self.types = kind, types

    @property
    def fields(self) -> tuple[_Field, ...]:
        """The fields that it is built with."""
        return _fields_of(self.kind, self.types)

    def fits(self, value: object) -> bool:
        """See :class:`Codec`."""
        return type(value) is self.kind

    def accepts(self, data: Json) -> bool:
        """See :class:`Codec`."""
        return isinstance(data, dict) and data.get("is") == self.kind.__name__

    def encode(self, value: object) -> Json:
        """See :class:`Codec`."""
        data: dict[str, Json] = {"is": self.kind.__name__}
        for field in self.fields:
            part = getattr(value, field.name)
            if not field.codec.fits(part):
                raise DataError(
                    f"{part!r} is no {field.name} of a {self.kind.__name__}", ""
                )
            if part != field.default:
                data[field.name] = field.codec.encode(part)
        return data

    def decode(self, data: Json, place: str, unread: Unread) -> object:
        """See :class:`Codec`."""
        name = self.kind.__name__
        if not isinstance(data, dict) or data.get("is") != name:
            raise _wrong(data, place, f"an object of the type {name!r}")
        given: dict[str, object] = {}
        for field in self.fields:
            if field.name in data:
                inside = f"{place}.{field.name}"
                given[field.name] = field.codec.decode(data[field.name], inside, unread)
            elif field.default is attrs.NOTHING:
                raise DataError(f"{name} has no {field.name!r}", place)
        for key in data.keys() - given.keys() - {"is"}:
            unread(f"{place}.{key}")
        try:
            made: object = self.kind(**given)
        except TheoryError as error:
            raise DataError(str(error), place) from error
        return made

    def schema(self, defs: Defs) -> dict[str, Json]:
        """See :class:`Codec`."""
        name = self.kind.__name__
        title = "-of-".join((name, *map(_title, self.types)))
        if title not in defs:
            defs[title] = None  # a class may hold itself
            properties: dict[str, Json] = {"is": {"const": name}}
            properties |= {f.name: f.codec.schema(defs) for f in self.fields}
            needed = [f.name for f in self.fields if f.default is attrs.NOTHING]
            defs[title] = {
                "type": "object",
                "properties": properties,
                "required": ["is", *needed],
                "additionalProperties": False,
            }
        return {"$ref": f"#/$defs/{title}"}


def _title(hint: object) -> str:
    """A type in words, for a class that is made for several."""
    if isinstance(hint, type):
        return hint.__name__
    return "-or-".join(map(_title, get_args(hint)))


_TextT = TypeVar("_TextT")


@attrs.frozen
class _Text(Generic[_TextT]):
    """A small value as musicians write it; as an object where that would not read
    back."""

    kind: type[_TextT]
    write: Callable[[_TextT], str]
    read: Callable[[str], _TextT]
    pattern: str
    example: str

    def _whole(self) -> ObjectCodec:
        kind: type = self.kind
        return object_codec(kind)

    def fits(self, value: object) -> bool:
        return type(value) is self.kind

    def accepts(self, data: Json) -> bool:
        if isinstance(data, str):
            return re.fullmatch(self.pattern, data) is not None
        return self._whole().accepts(data)

    def encode(self, value: object) -> Json:
        text = _text_of(self, value)
        return self._whole().encode(value) if text is None else text

    def decode(self, data: Json, place: str, unread: Unread) -> object:
        if not isinstance(data, str):
            if self._whole().accepts(data):
                return self._whole().decode(data, place, unread)
            raise _wrong(data, place, f"a text such as {self.example!r}")
        try:
            return self.read(data)
        except TheoryError as error:
            raise DataError(str(error), place) from error

    def schema(self, defs: Defs) -> dict[str, Json]:
        name = f"{self.kind.__name__}-text"
        defs[name] = {"type": "string", "pattern": f"^{self.pattern}$"}
        return {
            "anyOf": [{"$ref": f"#/$defs/{name}"}, self._whole().schema(defs)],
        }


@lru_cache(maxsize=4096)
def _text_of(codec: _Text[_TextT], value: _TextT) -> str | None:
    """A value as text, if it reads back."""
    text = codec.write(value)
    try:
        back = codec.read(text)
    except TheoryError:
        return None
    return text if back == value and re.fullmatch(codec.pattern, text) else None


_DEGREE: Final = r"[b#]*\d+"
_TEXTS: Final[Mapping[type, Codec]] = {
    NoteName: _Text(NoteName, str, NoteName.parse, f"[A-G]{_ACCIDENTALS}", "Bb"),
    Pitch: _Text(Pitch, str, Pitch.parse, rf"[A-G]{_ACCIDENTALS}-?\d+", "Bb4"),
    PitchRange: _Text(
        PitchRange,
        str,
        PitchRange.parse,
        rf"[A-G]{_ACCIDENTALS}-?\d+-[A-G]{_ACCIDENTALS}-?\d+",
        "F#3-E6",
    ),
    Interval: _Text(Interval, str, Interval.parse, r"-?(P|M|m|A+|d+)\d+", "-M2"),
    Key: _Text(Key, str, Key.parse, f"[A-G]{_ACCIDENTALS} [a-z]+", "Eb major"),
    Meter: _Text(Meter, str, Meter.parse, r"C\|?|\d+(\+\d+)*/\d+", "4/4"),
    Quality: _Text(
        Quality,
        lambda quality: quality.formula,
        Quality.from_formula,
        rf"({_DEGREE}( {_DEGREE})*)?",
        "1 b3 5 b7",
    ),
}


@lru_cache(maxsize=512)
def object_codec(kind: type, *types: object) -> ObjectCodec:
    """The codec of a class of values, as an object; `types` are those that a class
    for several is made for."""
    return ObjectCodec(kind, types)


@lru_cache(maxsize=512)
def _fields_of(kind: type, types: tuple[object, ...]) -> tuple[_Field, ...]:
    hints = get_type_hints(kind)
    made_for = dict(zip(getattr(kind, "__parameters__", ()), types, strict=True))
    return tuple(
        _Field(
            field.name,
            codec_of(_filled(hints[field.name], made_for)),
            _default_of(field),
        )
        for field in attrs.fields(kind)
        if field.init
    )


def _filled(hint: object, types: Mapping[object, object]) -> object:
    """A type hint with types for its variables."""
    if isinstance(hint, TypeVar):
        return types[hint]
    variables = getattr(hint, "__parameters__", ())
    if not variables or isinstance(hint, type):
        return hint
    filled: object = hint[tuple(types[each] for each in variables)]  # type: ignore[index]
    return filled


def _default_of(field: attrs.Attribute[object]) -> object:
    default: object = field.default
    if isinstance(default, attrs.Factory):  # type: ignore[arg-type]
        if default.takes_self:  # type: ignore[attr-defined]
            return _FROM_THE_OTHERS
        return default.factory()  # type: ignore[attr-defined]
    return default


_FROM_THE_OTHERS: Final = object()
"""The default of a field that is made from the value's other fields: it is always
written, and where it is missing the class makes it."""


def codec_of(hint: object) -> Codec:
    """The codec of a type hint.

    Raises:
        DataError: if plain data has nothing for it.
    """
    if isinstance(hint, NewType):
        return codec_of(hint.__supertype__)
    origin, args = get_origin(hint), get_args(hint)
    if origin in (Union, UnionType):
        return _one_of(map(codec_of, args))
    if origin is Literal:
        return _Choice(args)
    if origin is tuple:
        alike = len(args) == 2 and args[1] is Ellipsis
        return _Several(tuple(map(codec_of, args[: 1 if alike else None])), alike)
    if hint is Fraction:
        return _Fractions()
    if isinstance(origin, type) and attrs.has(origin):
        return object_codec(origin, *args)
    if isinstance(hint, type):
        known = _PLAIN.get(hint) or _TEXTS.get(hint)
        if known is not None:
            return known
        if attrs.has(hint):
            return object_codec(hint)
    raise DataError(f"plain data has nothing for {hint}", "")


def _one_of(ways: Iterable[Codec]) -> Codec:
    """One of several types; words of several lists are one list."""
    flat = tuple(ways)
    if all(isinstance(way, _Choice) for way in flat):
        return _Choice(
            tuple(each for way in flat for each in getattr(way, "choices", ()))
        )
    return _OneOf(flat)
