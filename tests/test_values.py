"""Values are values: every public class is frozen, slotted, hashable and picklable."""

from __future__ import annotations

import copy
import importlib
import inspect
import pickle
from fractions import Fraction

import attrs
import pytest
from test_public_names import ROOT, leaf_modules

from leadsheet_theory import (
    HouseStyle,
    Interval,
    Key,
    Meter,
    NoteName,
    NoteValue,
    Pitch,
    errors,
    find_book,
    find_instrument,
    make_parts,
    parse_chord,
    play_order,
    proofread,
    read_lead_sheet,
    solo_changes,
)

VALUES = sorted(
    {
        thing
        for module in map(importlib.import_module, leaf_modules())
        for thing in (getattr(module, name) for name in module.__all__)
        if isinstance(thing, type) and attrs.has(thing)
    },
    key=lambda thing: (thing.__module__, thing.__name__),
)
ERRORS = [getattr(errors, name) for name in errors.__all__]


@pytest.mark.parametrize("kind", VALUES, ids=lambda kind: kind.__name__)
def test_a_class_of_values_is_frozen_slotted_and_unordered(kind: type) -> None:
    assert kind.__setattr__ is not object.__setattr__, "not frozen"
    assert "__dict__" not in dir(kind), "not slotted"
    assert kind.__hash__ is not None, "not hashable"
    assert kind.__hash__ is not object.__hash__, "hashed by identity"
    assert "__lt__" not in vars(kind), "an order that means nothing"


def test_no_class_is_forgotten() -> None:
    names = {kind.__name__ for kind in VALUES}
    assert {"Pitch", "Chord", "LeadSheet", "Part", "Finding", "Instrument"} <= names


RESULT = read_lead_sheet(ROOT / "shared/charts/harbourmasters_day_off.musicxml")
EXAMPLES = [
    Pitch.parse("Bb4"),
    NoteName.parse("F#"),
    Interval.parse("-M9"),
    Key.parse("Eb major"),
    Meter.parse("2+2+3/8"),
    NoteValue("eighth"),
    HouseStyle("ours", minor="-"),
    parse_chord("F#m7b5/C"),
    find_instrument("tenor sax"),
    find_book("Bb"),
    RESULT,
    make_parts(RESULT.sheet)[1],
    play_order(RESULT.sheet.bars),
    solo_changes(RESULT.sheet),
    proofread(RESULT.sheet),
]


@pytest.mark.parametrize("value", EXAMPLES, ids=lambda value: type(value).__name__)
def test_a_value_comes_back_from_a_copy(value: object) -> None:
    for again in (pickle.loads(pickle.dumps(value)), copy.deepcopy(value)):
        assert again == value
        assert hash(again) == hash(value)
        assert repr(again) == repr(value)


def own(kind: type) -> bool:
    return kind.__module__ == errors.__name__


def example(kind: type[errors.TheoryError]) -> errors.TheoryError:
    """An error of that kind, its parameters filled in by their types."""
    fillings = {
        "text": "Qb7",
        "start": 1,
        "ambiguous": True,
        "beats": 5,
        "beat_type": 3,
        "onset": Fraction(1, 2),
        "duration": Fraction(-1),
        "suggestions": ("Horn in F", "Alto Horn"),
        "known": ("C", "Bb"),
        "choices": ("never", "always"),
        "grouping": (2, 2),
        "line": 3,
        "column": 4,
        "end": 2,
    }
    given, named = [], {}
    if not any("__init__" in vars(base) for base in kind.__mro__ if own(base)):
        return kind("a message")
    for name, parameter in inspect.signature(kind).parameters.items():
        filling = fillings.get(name, f"some {name}")
        if parameter.kind is parameter.KEYWORD_ONLY:
            named[name] = filling
        else:
            given.append(filling)
    return kind(*given, **named)


@pytest.mark.parametrize("kind", ERRORS, ids=lambda kind: kind.__name__)
def test_an_error_keeps_its_data_when_pickled(kind: type[errors.TheoryError]) -> None:
    error = example(kind)
    again = pickle.loads(pickle.dumps(error))
    assert type(again) is kind
    assert str(again) == str(error)
    assert vars(again) == vars(error)


@pytest.mark.parametrize("kind", ERRORS, ids=lambda kind: kind.__name__)
def test_an_error_is_also_one_of_pythons(kind: type[errors.TheoryError]) -> None:
    assert issubclass(kind, errors.TheoryError)
    if kind is not errors.TheoryError:
        assert issubclass(kind, ValueError | LookupError | TypeError)
