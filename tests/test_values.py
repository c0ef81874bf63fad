"""Values are values: every public class is frozen, slotted, hashable and picklable."""

from __future__ import annotations

import copy
import importlib
import inspect
import pickle
from fractions import Fraction

import attrs
import pytest
from test_public_names import LEAVES, PACKAGE, ROOT

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
        for module in map(importlib.import_module, LEAVES)
        for thing in (getattr(module, name) for name in module.__all__)
        if isinstance(thing, type) and attrs.has(thing)
    },
    key=lambda thing: (thing.__module__, thing.__name__),
)
ERRORS = [getattr(errors, name) for name in errors.__all__]
MOST_FIELDS_BY_PLACE = 6


def complaints(kind: type) -> dict[str, bool]:
    """What a class of values may not be, and whether it is."""
    fields = attrs.fields(kind)
    return {
        "wide, and filled by place": len(fields) > MOST_FIELDS_BY_PLACE
        and not all(each.kw_only for each in fields),
        "not frozen": kind.__setattr__ is object.__setattr__,
        "not slotted": "__dict__" in dir(kind),
        "not hashable": kind.__hash__ is None,
        "hashed by identity": kind.__hash__ is object.__hash__,
        "ordered, which means nothing": "__lt__" in vars(kind),
    }


def test_classes_of_values_are_frozen_slotted_unordered_and_wide_ones_by_keyword() -> (
    None
):
    wrong = [
        f"{kind.__name__} is {said}"
        for kind in VALUES
        for said, holds in complaints(kind).items()
        if holds
    ]
    assert not wrong


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
    HouseStyle(name="ours", minor="-"),
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
    if inspect.signature(kind) == inspect.signature(errors.TheoryError):
        return kind("a message")
    for name, parameter in inspect.signature(kind).parameters.items():
        filling = fillings.get(name, f"some {name}")
        if parameter.kind is parameter.KEYWORD_ONLY:
            named[name] = filling
        else:
            given.append(filling)
    return kind(*given, **named)


def survives(error: errors.TheoryError) -> bool:
    """Whether an error comes back from pickling with its kind, data and message."""
    again = pickle.loads(pickle.dumps(error))
    return (type(again), str(again), vars(again)) == (
        type(error),
        str(error),
        vars(error),
    )


def test_errors_keep_their_data_when_pickled() -> None:
    assert not [kind.__name__ for kind in ERRORS if not survives(example(kind))]


PYTHONS = (ValueError, LookupError, TypeError, RuntimeError, ImportError)


def test_every_error_is_also_one_of_pythons() -> None:
    strange = [
        kind.__name__
        for kind in ERRORS
        if kind is not errors.TheoryError
        if not issubclass(kind, errors.TheoryError) or not issubclass(kind, PYTHONS)
    ]
    assert not strange


def test_every_error_is_raised_somewhere() -> None:
    code = "\n".join(
        path.read_text(encoding="utf-8")
        for path in PACKAGE.rglob("*.py")
        if path.name != "errors.py"
    )
    unused = [
        kind.__name__
        for kind in ERRORS
        if not kind.__subclasses__() and f"{kind.__name__}(" not in code
    ]
    assert not unused
