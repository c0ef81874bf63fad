"""Plain data: nothing is lost on the way to JSON and back, and nothing is made up.

The schema is held to JSON Schema 2020-12 by jsonschema.
"""

from __future__ import annotations

import json
from contextlib import suppress
from fractions import Fraction
from pathlib import Path
from random import Random
from types import UnionType
from typing import (
    Literal,
    NewType,
    TypeVar,
    Union,
    get_args,
    get_origin,
    get_type_hints,
)

import attrs
import jsonschema
import pytest
from data_keeping import KEPT, SCHEMA, VERSION, examples
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from strategies import (
    any_qualities,
    chords,
    house_styles,
    instruments,
    intervals,
    keys,
    meters,
    note_names,
    pitches,
    rough_sheets,
)

from leadsheet_theory import (
    Chord,
    HouseStyle,
    Instrument,
    Interval,
    LeadSheet,
    Meter,
    NoteName,
    NoteValue,
    Pitch,
    make_parts,
    parse_chord,
    proofread,
    read_lead_sheet,
    solo_changes,
)
from leadsheet_theory.chords import Quality
from leadsheet_theory.data import (
    DATA_TYPES,
    Json,
    Value,
    data_schema,
    from_data,
    read_data,
    to_data,
)
from leadsheet_theory.errors import DataError, TheoryError
from leadsheet_theory.instruments import CLEFS, STANDARD_BOOKS, Book, Clef, PitchRange
from leadsheet_theory.key import Key
from leadsheet_theory.leadsheet import Bar, PlacedChord
from leadsheet_theory.parts import A4, LETTER, Page

SHEETS = Path(__file__).resolve().parents[2].parent / "shared" / "leadsheets"
VALIDATOR = jsonschema.Draft202012Validator(data_schema())


def through_json(value: Value | tuple[Value, ...]) -> Value | tuple[Value, ...]:
    """A value written as JSON and read back."""
    return from_data(json.loads(json.dumps(to_data(value))))


@pytest.mark.parametrize("value", examples(), ids=lambda value: type(value).__name__)
def test_a_value_comes_back(value: Value) -> None:
    assert through_json(value) == value
    VALIDATOR.validate(to_data(value))


def test_several_values_come_back_as_a_tuple() -> None:
    values = tuple(examples())
    assert through_json(values) == values
    assert through_json(()) == ()


@settings(max_examples=30)
@given(rough_sheets())
def test_generated_sheets_come_back(sheet: LeadSheet) -> None:
    assert through_json(sheet) == sheet
    assert through_json(proofread(sheet)) == proofread(sheet)
    VALIDATOR.validate(to_data(sheet))


@given(st.one_of(chords(), house_styles(), instruments()))
def test_generated_values_come_back(value: Value) -> None:
    assert through_json(value) == value
    VALIDATOR.validate(to_data(value))


@settings(max_examples=12)
@given(rough_sheets())
def test_generated_parts_and_solos_come_back(sheet: LeadSheet) -> None:
    try:
        values = (*make_parts(sheet), solo_changes(sheet))
    except TheoryError:
        return  # not every rough sheet makes parts
    assert through_json(values) == values


# small values that their own strategies know how to make
LEAVES: dict[object, st.SearchStrategy[object]] = {
    str: st.text(st.characters(exclude_categories=["Cs"]), max_size=6),
    int: st.integers(1, 4),
    bool: st.booleans(),
    float: st.floats(allow_nan=False, allow_infinity=False),
    type(None): st.none(),
    Fraction: st.fractions(-4, 40, max_denominator=96),
    Pitch: pitches(),
    NoteName: note_names(),
    Interval: intervals(),
    Key: keys(),
    Meter: meters(),
    Quality: any_qualities(),
    Chord: chords(),
    HouseStyle: house_styles(),
    Instrument: instruments(),
    Book: st.sampled_from(STANDARD_BOOKS),
    Clef: st.sampled_from(list(CLEFS.values())),
    Page: st.sampled_from([A4, LETTER]),
    PitchRange: instruments().map(lambda each: each.written_range),
}


def of_type(hint: object) -> st.SearchStrategy[object]:
    """Values of a type hint."""
    origin, args = get_origin(hint), get_args(hint)
    if hint in LEAVES:
        return LEAVES[hint]
    if isinstance(hint, NewType):
        return of_type(hint.__supertype__)
    if origin in (Union, UnionType):
        return st.one_of(*map(of_type, args))
    if origin is Literal:
        return st.sampled_from(args)
    if origin is tuple and args[-1] is Ellipsis:
        return st.lists(st.deferred(lambda: of_type(args[0])), max_size=2).map(tuple)
    if origin is tuple:
        return st.tuples(*map(of_type, args))
    return made(origin or hint, args)  # type: ignore[arg-type]


@st.composite
def made(draw: st.DrawFn, kind: type, types: tuple[object, ...]) -> object:
    made_for = dict(zip(getattr(kind, "__parameters__", ()), types, strict=False))
    hints = {
        name: made_for.get(hint, Pitch) if isinstance(hint, TypeVar) else hint
        for name, hint in get_type_hints(kind).items()
    }
    fields = [field for field in attrs.fields(kind) if field.init]
    given = {field.name: draw(of_type(hints[field.name])) for field in fields}
    return kind(**given)


# parts are made from sheets above: out of any values at all they are long in the making
SMALL = [kind for name, kind in DATA_TYPES.items() if not name.startswith("Part")]


@settings(max_examples=5, suppress_health_check=list(HealthCheck))
@given(st.data())
def test_generated_values_of_every_type_come_back(data: st.DataObject) -> None:
    values = []
    for kind in SMALL:
        with suppress(TheoryError):  # values that its own checks refuse
            values.append(data.draw(of_type(kind)))
    assert through_json(tuple(values)) == tuple(values)
    VALIDATOR.validate(json.loads(json.dumps(to_data(values))))


@given(meters())
def test_metres_come_back_however_they_are_printed(meter: Meter) -> None:
    for each in (meter, Meter(4, 4, symbol="cut"), Meter(7, 8, (2, 2, 3))):
        bar = Bar(number=1, key=Key.parse("C"), meter=each, length=each.bar_length)
        sheet = LeadSheet(title="Low Tide", bars=(bar,))
        assert through_json(sheet) == sheet
        VALIDATOR.validate(to_data(sheet))


def test_the_text_of_a_chord_comes_back_though_it_does_not_count() -> None:
    chord = PlacedChord(Fraction(0), parse_chord("C△7"))
    bar = Bar(
        number=1,
        key=Key.parse("C"),
        meter=Meter(4, 4),
        length=Fraction(4),
        chords=(chord,),
    )
    back = through_json(LeadSheet(title="Low Tide", bars=(bar,)))
    assert isinstance(back, LeadSheet)
    assert back.bars[0].chords[0].symbol.source == "C△7"


@pytest.mark.skipif(not SHEETS.exists(), reason="../shared/leadsheets is not here")
def test_real_sheets_come_back() -> None:
    for path in sorted(SHEETS.glob("*.mxl")):
        result = read_lead_sheet(path)
        assert through_json(result) == result, path.name


# ── The schema, and what is kept ─────────────────────────────────────────────────

KEEP = "the model has changed: run python tests/data_keeping.py, and read its top"


def test_the_package_holds_a_schema() -> None:
    """That it is the one of this state of the model is held by
    ``tests/data_keeping.py --check``."""
    shipped = json.loads(SCHEMA.read_text(encoding="utf-8"))
    assert shipped.keys() == data_schema().keys()
    jsonschema.Draft202012Validator.check_schema(shipped)
    jsonschema.Draft202012Validator.check_schema(data_schema())


def test_every_class_is_in_the_schema() -> None:
    defs = {name.partition("-of-")[0] for name in data_schema()["$defs"]}  # type: ignore[union-attr]
    assert set(DATA_TYPES) <= defs


@pytest.mark.parametrize(
    "path", sorted(KEPT.glob("*.json")), ids=lambda path: path.stem
)
def test_what_a_release_has_written_is_read(path: Path) -> None:
    data = json.loads(path.read_text(encoding="utf-8"))
    assert isinstance(from_data(data), tuple), KEEP


def test_this_version_has_kept_something() -> None:
    assert (KEPT / f"{VERSION}.json").exists(), KEEP


# ── What is no such data ─────────────────────────────────────────────────────────


def chord_data(**more: Json) -> Json:
    data = to_data(parse_chord("C7"))
    assert isinstance(data["value"], dict)
    data["value"] |= more
    return data


WRONG: dict[str, Json] = {
    "no data of the format 'leadsheet_theory'": {"is": "Chord"},
    "version: expected a version from 1, not '1'": {
        "format": "leadsheet_theory",
        "version": "1",
    },
    "version: written in version 7: this library reads up to 1": {
        "format": "leadsheet_theory",
        "version": 7,
        "value": [],
    },
    "value: no type 'Tune'": {
        "format": "leadsheet_theory",
        "version": 1,
        "value": {"is": "Tune"},
    },
    "value[0]: no type None": {
        "format": "leadsheet_theory",
        "version": 1,
        "value": [3],
    },
    "value.source: expected a text, not 7": chord_data(source=7),
    "value.root: expected a text such as 'Bb', not a list": chord_data(root=[]),
    "value.voicing: 'voicing' is not known to this version and is left out": (
        chord_data(voicing="open")
    ),
}


@pytest.mark.parametrize("message", WRONG)
def test_what_is_no_such_data_is_refused(message: str) -> None:
    with pytest.raises(DataError) as caught:
        from_data(WRONG[message])
    assert str(caught.value) == message


def test_what_a_value_may_not_be_is_told_with_its_place() -> None:
    with pytest.raises(DataError) as caught:
        from_data(chord_data(root="H"))
    assert str(caught.value).startswith("value.root: not a note name: ")
    data = to_data(LeadSheet(title="Low Tide", bars=()))
    assert isinstance(data["value"], dict)
    del data["value"]["bars"]
    with pytest.raises(DataError) as caught:
        from_data(data)
    assert str(caught.value) == "value: LeadSheet has no 'bars'"
    assert caught.value.place == "value"


def test_an_unknown_field_is_told_and_the_rest_is_read() -> None:
    result = read_data(chord_data(voicing="open"))
    assert result.value == parse_chord("C7")
    (finding,) = result.findings
    assert (finding.rule, finding.element) == ("data", "value.voicing")


def test_what_has_no_data_is_refused() -> None:
    with pytest.raises(DataError) as caught:
        to_data(NoteValue)  # type: ignore[arg-type]
    assert str(caught.value).startswith("value: type can't be plain data: expected one")


def damaged(data: Json, random: Random) -> Json:
    """Data with one thing in it changed."""
    odd: tuple[Json, ...] = (
        None, True, -1, 10**30, 0.5, "", "H", "1/0", "-7", [], {}, [[]], "C|", "٣",
        {"is": "Note"}, {"is": "Chord"}, "b" * 500,
    )  # fmt: skip
    if isinstance(data, dict) and data and random.random() < 0.9:
        key = random.choice(sorted(data))
        if random.random() < 0.1:
            return {name: each for name, each in data.items() if name != key}
        return {**data, key: damaged(data[key], random)}
    if isinstance(data, list) and data and random.random() < 0.9:
        index = random.randrange(len(data))
        return [*data[:index], damaged(data[index], random), *data[index + 1 :]]
    return random.choice(odd)


def test_damaged_data_is_read_or_refused() -> None:
    random = Random(17)
    whole = [to_data(value) for value in examples()]
    read = 0
    for _ in range(3000):
        try:
            from_data(damaged(random.choice(whole), random))
            read += 1
        except DataError as error:
            assert str(error)
    assert 0 < read < 3000
