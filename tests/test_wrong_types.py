"""Values of wrong types, one at a time, at every public function and in the values
that callers build: each is met with a sentence, none passes, none fails inside."""

from __future__ import annotations

import importlib
import inspect
from collections.abc import Callable, Iterator
from fractions import Fraction
from pathlib import Path
from typing import get_type_hints

import pytest
from test_public_names import LEAVES

from leadsheet_theory import (
    Bar,
    Chord,
    Interval,
    Key,
    LeadSheet,
    Meter,
    NoteName,
    NoteValue,
    Pitch,
    find_book,
    find_instrument,
    lay_out,
    make_parts,
    parse_chord,
    proofread,
    read_lead_sheet,
    spell_note,
    write_part,
)
from leadsheet_theory._doors import _Door, look_for_wrong
from leadsheet_theory.chords import SYMBOLS, Degree, PolyChord, Quality, harmony_of
from leadsheet_theory.errors import TheoryError, UnknownInstrumentError, WrongTypeError
from leadsheet_theory.instruments import Clef, PitchRange, PlacedNote
from leadsheet_theory.rhythm import Tuplet
from leadsheet_theory.spelling import HeardChord, HeardNote

ROOT = Path(__file__).resolve().parent.parent
TUNE = ROOT / "shared/charts/rope_walk.musicxml"
SHEET = read_lead_sheet(TUNE).sheet
PARTS = make_parts(SHEET, books="Bb")
C7 = parse_chord("C7")
C4 = Pitch.parse("C4")
EVENTS = lay_out([NoteValue("eighth")] * 8)
ROOMS = ("chords", "instruments", "interval", "key", "leadsheet", "musicxml", "parts",
         "pitch", "proof", "rhythm", "spelling")  # fmt: skip
# values that callers build, with the fields that say all
BUILT = {
    Pitch: ("C", 0, 4),
    NoteName: ("C", 0),
    Interval: (1, 2),
    Key: (NoteName("C"), "major"),
    Meter: (4, 4),
    Tuplet: (3, 2),
    NoteValue: ("half", 0),
    Degree: (9, -1),
    Quality: ([Degree(1)],),
    Chord: (NoteName("C"), C7.quality, NoteName("E")),
    PolyChord: (C7, C7),
    PitchRange: (C4, C4),
    Clef: ("treble", "G", 2, 0),
}
# an argument by its name, or by the type that it is stated to have
BY_NAME: dict[str, object] = {
    "midi": 60,
    "sounds": [0, 4, 7],
    "events": EVENTS,
    "positions": [1],
    "groups": [[0]],
    "data": TUNE.read_bytes(),
    "source": TUNE,
    "keys": [Key.parse("C")],
    "written": [C4],
    "plans": {},
    "form": "A8 B8",
    "old": write_part(PARTS[0]),
    "new": write_part(PARTS[0]),
    "measure": None,
}
BY_TYPE: dict[str, object] = {
    "Key": Key.parse("C"),
    "Key | str": "C major",
    "Interval": Interval.parse("M2"),
    "Meter": Meter(4, 4),
    "Fraction": Fraction(1),
    "Chord": C7,
    "ChordSymbol": C7,
    "Quality": C7.quality,
    "NoteName": NoteName("C"),
    "HouseStyle": SYMBOLS,
    "PrintStyle": SYMBOLS,
    "LeadSheet": SHEET,
    "Sequence[Bar]": SHEET.bars,
    "Part": PARTS[0],
    "Iterable[Part]": PARTS,
    "Melody": [PlacedNote(C4)],
    "Sequence[PlacedNote]": [PlacedNote(C4)],
    "Reader": find_book("Bb"),
    "Instrument": find_instrument("flute"),
    "Iterable[Reader]": [find_book("Bb")],
    "Iterable[Pitch]": [C4],
    "Sequence[Pitch]": [C4],
    "Sequence[Fraction]": [Fraction(0)],
    "Iterable[NoteValue]": [NoteValue("half")],
    "Iterable[tuple[Fraction, Fraction]]": [(Fraction(0), Fraction(1))],
    "Sequence[HeardNote]": [HeardNote(60, 0, 1)],
    "Sequence[HeardChord]": [HeardChord(0)],
    "Sequence[tuple[Key, ChordSymbol]]": [(Key.parse("C"), C7)],
    "HarmonyParts": harmony_of(C7)[0],
    "Iterable[ChordSymbol]": [C7],
}
# the texts that some read, by the function's name
TEXTS = {
    "parse_number": "4m7",
    "parse_numeral": "V7",
    "read_number_chart": "1 | 4",
    "parse_form": "A8 B8",
    "blank_sheet": "Slack Water",
}
BY_TYPE["Clef"] = find_book("C").clef
BY_TYPE["Pitch"] = C4
BY_TYPE["Iterable[Bar]"] = SHEET.bars
BY_TYPE["Key | str | Sequence[Key | str]"] = "C major"
BY_TYPE["Sequence[Sequence[tuple[Pitch, bool]]]"] = [[(C4, False)]]
BY_TYPE["Iterable[int]"] = [1]
BY_TYPE["str | Sequence[FormStretch]"] = "A8 B8"
# what touches files or is told of a part that is ready
OTHERS = {"other_readings", "part_changes", "planned_by", "write_files", "write_parts"}
WRONG = (None, 3.5, object(), [None], [3.5], C4, SHEET.bars[0], "nonsense")


def doors() -> Iterator[Callable[..., object]]:
    """The public functions of the rooms."""
    for name in LEAVES:
        module = importlib.import_module(name)
        if name.split(".")[1] in ROOMS:
            for each in module.__all__:
                thing = getattr(module, each)
                if type(thing) is _Door and each not in OTHERS:
                    yield thing


def sample(function: Callable[..., object], parameter: inspect.Parameter) -> object:
    """A right value for a parameter."""
    name, kind = parameter.name, str(parameter.annotation)
    if kind == "str":
        return TEXTS[function.__name__]
    return BY_NAME[name] if name in BY_NAME else BY_TYPE[kind]


def wrong_calls(
    function: Callable[..., object],
) -> Iterator[tuple[str, Callable[[], object]]]:
    """Calls with one wrong value each, and what is wrong in them."""
    parameters = inspect.signature(function).parameters.values()
    hints = get_type_hints(inspect.unwrap(function))
    right = {
        each.name: sample(function, each)
        for each in parameters
        if each.default is each.empty
    }
    for each in parameters:
        if hints[each.name] is bool:
            continue
        for wrong in WRONG:
            if is_right(wrong, hints[each.name]):
                continue
            given = {**right, each.name: wrong}
            data = [
                given.pop(p.name)
                for p in parameters
                if p.kind is not p.KEYWORD_ONLY and p.name in given
            ]
            yield (
                f"{each.name}={wrong!r}",
                lambda data=data, given=given: function(*data, **given),  # type: ignore[misc]
            )


def is_right(value: object, hint: object) -> bool:
    try:
        look_for_wrong("", value, hint)
    except TypeError:
        return False
    return True


def refused(call: Callable[[], object]) -> str:
    """How a wrong call is met: nothing to complain of, or what happened instead."""
    try:
        call()
    except (TheoryError, TypeError) as error:
        return "" if str(error) else "no sentence"
    except Exception as error:
        return repr(error)
    return "passes"


@pytest.mark.parametrize("function", [*doors()], ids=lambda each: each.__name__)
def test_functions_refuse_values_of_wrong_types(
    function: Callable[..., object],
) -> None:
    met = {what: refused(call) for what, call in wrong_calls(function)}
    assert not {what: how for what, how in met.items() if how}


@pytest.mark.parametrize("kind", BUILT, ids=lambda kind: kind.__name__)
def test_values_refuse_fields_of_wrong_types(kind: Callable[..., object]) -> None:
    right = BUILT[kind]
    for place in range(len(right)):
        for wrong in (None, 3.5, object(), [None], SHEET):
            given = (*right[:place], wrong, *right[place + 1 :])
            if not (kind is Chord and given[2] is None):
                assert not refused(lambda given=given: kind(*given)), given  # type: ignore[misc]


def test_a_sentence_names_the_place_and_what_was_meant() -> None:
    with pytest.raises(WrongTypeError) as caught:
        make_parts(read_lead_sheet(TUNE))  # type: ignore[arg-type]
    assert str(caught.value) == (
        "sheet can't be a value of type ReadResult: expected LeadSheet; "
        "did you mean its .sheet?"
    )
    bar = Bar(number=1, key="C major", meter=Meter(4, 4), length=Fraction(4))  # type: ignore[arg-type]
    with pytest.raises(WrongTypeError) as caught:
        make_parts(LeadSheet(title="Low Tide", bars=(bar,)))
    assert str(caught.value) == (
        "sheet.bars[0].key can't be a value of type str: expected Key"
    )


def test_names_are_taken_for_books_instruments_and_keys() -> None:
    assert [part.name for part in make_parts(SHEET, books=["Bb", "tuba"])] == [
        "B♭",
        find_instrument("tuba").name,
    ]
    assert make_parts(SHEET, books="Eb")[0].name == "E♭"
    assert proofread(SHEET, readers="flute") == proofread(
        SHEET, readers=[find_instrument("flute")]
    )
    assert spell_note(60, key="C major") == C4
    with pytest.raises(UnknownInstrumentError, match="no instrument called 'kazooo'"):
        make_parts(SHEET, books=["kazooo"])
