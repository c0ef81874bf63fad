"""Plain wrong values are met with an error of our own that says what was expected."""

from fractions import Fraction

import pytest

from leadsheet_theory import (
    Chord,
    Instrument,
    Interval,
    Key,
    Meter,
    NoteName,
    NoteValue,
    Pitch,
    find_book,
    find_instrument,
    parse_chord,
    read_chord,
    spell_duration,
)
from leadsheet_theory.chords import parse_harte
from leadsheet_theory.clefs import TREBLE_CLEF, Clef
from leadsheet_theory.errors import NotTextError, TheoryError
from leadsheet_theory.instruments import PitchRange
from leadsheet_theory.rhythm import Tuplet

COMMON = Meter(4, 4)
OCTAVE = PitchRange.parse("C4-C5")


@pytest.mark.parametrize(
    "read",
    [
        Pitch.parse,
        NoteName.parse,
        Interval.parse,
        Key.parse,
        Meter.parse,
        PitchRange.parse,
        parse_chord,
        read_chord,
        parse_harte,
        find_instrument,
        find_book,
    ],
)
def test_what_is_no_text_is_not_read(read):
    with pytest.raises(NotTextError) as caught:
        read(None)
    assert str(caught.value) == (
        "nothing to read in a value of type NoneType: expected a text (str)"
    )
    assert isinstance(caught.value, TypeError)


def instrument(*clefs):
    return Instrument("Quay Horn", clefs, Interval.parse("P1"), OCTAVE, OCTAVE)


WRONG = {
    "no note is called 'H': expected A to G": lambda: Pitch("H"),
    "no note is called 'c': expected A to G": lambda: NoteName("c"),
    "+0.5 semitones: only whole ones are named": lambda: Pitch("C", 0.5),
    "-8 is too many accidentals: at most 7 are named": lambda: Pitch("C", -8),
    "no clef 'X' on line 2: expected G, F or C on line 1 to 5": (
        lambda: Clef("none", "X", 2)
    ),
    "no clef 'G' on line 6: expected G, F or C on line 1 to 5": (
        lambda: Clef("high", "G", 6)
    ),
    "Quay Horn has no clef: expected one, or two for a grand staff": instrument,
    "0 notes in the time of 2: expected 1 or more": lambda: Tuplet(0, 2),
    "-1 dots: expected 0 or more": lambda: NoteValue("half", -1),
    "times that are not exact: expected a Fraction or an int "
    "(at 0.5, lasting 1.5 quarters)": lambda: spell_duration(0.5, 1.5, COMMON),
    "too long for one note: expected at most 1000 bars "
    "(at 0, lasting 4001 quarters)": lambda: spell_duration(0, 4001, COMMON),
    "no book called 'Bb': there are none": lambda: find_book("Bb", books=()),
}


@pytest.mark.parametrize("message", WRONG)
def test_wrong_values_are_refused(message):
    with pytest.raises(TheoryError) as caught:
        WRONG[message]()
    assert str(caught.value) == message


def test_whole_numbers_are_exact_times():
    assert spell_duration(0, 2, COMMON) == (NoteValue("half"),)
    assert spell_duration(Fraction(0), 4000, COMMON)[-1] == NoteValue("whole")


def test_a_chord_is_named_by_notes_that_are():
    assert str(Chord(NoteName("B", -1))) == "Bb"


@pytest.mark.parametrize(
    ("transposition", "words"),
    [
        ("-P29", "4 octaves lower"),
        ("A4", "an augmented fourth higher"),
        ("-m9", "an octave and a minor second lower"),
        ("A8", "an octave and an augmented unison higher"),
    ],
)
def test_any_transposition_can_be_said_in_words(transposition, words):
    reach = PitchRange.parse("C6-C7") if "29" in transposition else OCTAVE
    own = Instrument(
        "Fog Horn", (TREBLE_CLEF,), Interval.parse(transposition), reach, reach
    )
    assert own.sounds == words
