"""Values as plain data, made of what JSON has: to keep, to send, to read elsewhere.

Times are text (``3/2``), and so are notes (``Bb4``), intervals, keys, metres and the
degrees of a chord.  Everything else is an object that names its class under ``is``;
fields that have their default are left out.  The whole is versioned::

    {"format": "leadsheet_theory", "version": 1, "value": {"is": "Finding", …}}

The JSON Schema (2020-12) of it is in the package, as ``data/schema.json``, and as
:func:`~leadsheet_theory.data.schema.data_schema`.  Within a version the format only
grows: what one release writes, later ones read.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import Final, TypeAlias, cast, get_args, get_origin, get_type_hints

import attrs

from .. import (
    abc,
    chords,
    exercises,
    instruments,
    leadsheet,
    musicxml,
    parts,
    proof,
    rhythm,
    spelling,
)
from ..errors import DataError
from ..leadsheet import Finding
from ..pitch import Pitch
from ._codec import Codec, Defs, Json, codec_of, object_codec

__all__ = (
    "DATA_FORMAT",
    "DATA_TYPES",
    "DATA_VERSION",
    "DataResult",
    "Json",
    "Value",
    "from_data",
    "read_data",
    "to_data",
)

DATA_FORMAT: Final = "leadsheet_theory"
"""What plain data of this library says of itself."""
DATA_VERSION: Final = 1
"""The version of the format; it changes only if older data could no longer be read."""

Value: TypeAlias = attrs.AttrsInstance
"""A value of one of the classes in :data:`DATA_TYPES`."""

# whose values can be plain data: what these rooms give, and what it is made of
_ROOMS: Final = (
    abc, chords, exercises, instruments, leadsheet, musicxml, parts, proof, rhythm,
    spelling,
)  # fmt: skip
# the one holds an error, the other a picture
_LEFT_OUT: Final = (chords.ChordReading, instruments.RangePicture)

# classes made for several types, with all of these
_WIDEST: Final[Mapping[type, object]] = MappingProxyType(
    {spelling.Respelling: spelling.Respelling[Pitch | chords.ChordSymbol]}
)


def _given() -> Iterator[type]:
    """The classes of values that the rooms give."""
    for room in _ROOMS:
        for name in room.__all__:
            kind: object = getattr(room, name)
            if isinstance(kind, type) and attrs.has(kind) and kind not in _LEFT_OUT:
                yield kind


def _inside(hint: object) -> Iterator[type]:
    """The classes of values in a type hint."""
    for each in (hint, get_origin(hint)):
        if isinstance(each, type) and attrs.has(each):
            yield each
    for each in get_args(hint):
        yield from _inside(each)


def _reachable(roots: Iterable[type]) -> dict[str, type]:
    found: dict[str, type] = {}
    waiting = list(roots)
    while waiting:
        kind = waiting.pop()
        if found.setdefault(kind.__name__, kind) is not kind:
            raise TypeError(f"two classes are called {kind.__name__}")
        for hint in get_type_hints(kind).values():
            waiting += [each for each in _inside(hint) if each.__name__ not in found]
    return dict(sorted(found.items()))


DATA_TYPES: Final[Mapping[str, type]] = MappingProxyType(_reachable(_given()))
"""The classes whose values can be plain data, by name."""


def _codec(kind: type) -> Codec:
    return codec_of(_WIDEST[kind]) if kind in _WIDEST else object_codec(kind)


@attrs.frozen(order=False)
class DataResult:
    """What plain data held: the value (or several), and what in it is not known here,
    such as a field of a later version."""

    value: Value | tuple[Value, ...]
    findings: tuple[Finding, ...] = ()


def to_data(value: Value | Sequence[Value], /) -> dict[str, Json]:
    """A value as plain data; or several, such as the findings of a chart.

    >>> from leadsheet_theory.chords import parse_chord
    >>> data = to_data(parse_chord("Ebm7/Bb"))
    >>> data["value"] == {"is": "Chord", "root": "Eb", "quality": "1 b3 5 b7",
    ...                   "bass": "Bb", "source": "Ebm7/Bb"}
    True

    Raises:
        DataError: if it is no value of :data:`DATA_TYPES`.
    """
    inside: Json
    if isinstance(value, list | tuple):
        inside = [_object(each) for each in value]
    else:
        inside = _object(value)
    return {"format": DATA_FORMAT, "version": DATA_VERSION, "value": inside}


def _object(value: object) -> Json:
    kind: type = type(value)
    if DATA_TYPES.get(kind.__name__) is not kind:
        raise DataError(
            f"{kind.__name__} can't be plain data: expected one of "
            f"{', '.join(DATA_TYPES)}",
            "value",
        )
    return _codec(kind).encode(value)


def from_data(data: Json, /) -> Value | tuple[Value, ...]:
    """The value that plain data holds; or several, as a tuple.

    >>> from leadsheet_theory.chords import parse_chord
    >>> chord = parse_chord("Ebm7/Bb")
    >>> from_data(to_data(chord)) == chord
    True

    Raises:
        DataError: if it is not such data, or has a field that is not known here:
            :func:`read_data` reads on and tells of it.
    """
    result = read_data(data)
    if result.findings:
        first = result.findings[0]
        raise DataError(first.message, first.element)
    return result.value


def read_data(data: Json, /) -> DataResult:
    """The value that plain data holds, and a finding for each field that is not known
    here.

    >>> from leadsheet_theory.chords import NoChord
    >>> data = to_data(NoChord())
    >>> data["value"]["voicing"] = "open"
    >>> print(*read_data(data).findings)
    'voicing' is not known to this version and is left out

    Raises:
        DataError: if it is not such data.
    """
    if not isinstance(data, dict) or data.get("format") != DATA_FORMAT:
        raise DataError(f"no data of the format {DATA_FORMAT!r}", "")
    version = data.get("version")
    if type(version) is not int or version < 1:
        raise DataError(f"expected a version from 1, not {version!r}", "version")
    if version > DATA_VERSION:
        raise DataError(
            f"written in version {version}: this library reads up to {DATA_VERSION}",
            "version",
        )
    findings: list[Finding] = []

    def unread(place: str) -> None:
        name = place.rpartition(".")[2]
        message = f"{name!r} is not known to this version and is left out"
        findings.append(
            Finding(rule="data", severity="warning", message=message, element=place)
        )

    inside = data.get("value")
    for key in data.keys() - {"format", "version", "value"}:
        unread(key)
    several = isinstance(inside, list)
    values = []
    for index, each in enumerate(inside if isinstance(inside, list) else [inside]):
        place = f"value[{index}]" if several else "value"
        name = each.get("is") if isinstance(each, dict) else None
        kind = DATA_TYPES.get(name) if isinstance(name, str) else None
        if kind is None:
            raise DataError(f"no type {name!r}", place)
        values.append(cast(Value, _codec(kind).decode(each, place, unread)))
    return DataResult(tuple(values) if several else values[0], tuple(findings))


def schemas_of_types(defs: Defs, /) -> list[Json]:
    """What JSON Schema says of each of the types; what it refers to is added to
    `defs`."""
    return [_codec(kind).schema(defs) for kind in DATA_TYPES.values()]
