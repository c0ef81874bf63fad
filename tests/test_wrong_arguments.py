"""Plain wrong values are met with an error of our own that says what was expected."""

from fractions import Fraction

import pytest

from leadsheet_theory import (
    Bar,
    Chord,
    HouseStyle,
    Instrument,
    Interval,
    Key,
    LeadSheet,
    Meter,
    Note,
    NoteName,
    NoteValue,
    Pitch,
    find_book,
    find_instrument,
    make_parts,
    parse_chord,
    read_chord,
    solo_changes,
    spell_duration,
    write_lead_sheet,
)
from leadsheet_theory.chords import parse_harte
from leadsheet_theory.errors import EmptySheetError, NotTextError, TheoryError
from leadsheet_theory.instruments import TREBLE_CLEF, Clef, PitchRange, PlacedNote
from leadsheet_theory.leadsheet import fold
from leadsheet_theory.parts import cue_bars, plan_systems
from leadsheet_theory.rhythm import BeamStyle, Tuplet, stem, time_slashes
from leadsheet_theory.spelling import (
    HeardChord,
    HeardNote,
    spell_melody,
    spell_notes,
)

COMMON = Meter(4, 4)
OCTAVE = PitchRange.parse("C4-C5")
C4 = Pitch.parse("C4")


def tune(*melody):
    """One bar with these notes."""
    bar = Bar(
        number=1,
        key=Key.parse("C major"),
        meter=COMMON,
        length=Fraction(4),
        melody=melody,
    )
    return LeadSheet(title="High Tide", bars=(bar,))


TUNE = tune()


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
    return Instrument(
        name="Quay Horn",
        clefs=clefs,
        transposition=Interval.parse("P1"),
        written_range=OCTAVE,
        comfortable_range=OCTAVE,
    )


WRONG = {
    "1000000 beats in a bar: expected at most 999": lambda: Meter(10**6, 8),
    "times that are not exact: expected a Fraction or an int "
    "(at 0, lasting inf quarters)": lambda: time_slashes(COMMON, length=float("inf")),
    "too long for slashes: expected at most 1000 bars (at 0, lasting 4001 quarters)": (
        lambda: time_slashes(COMMON, length=Fraction(4001))
    ),
    "1 key for 2 notes or chords: expected one key for all, or one for each": (
        lambda: spell_melody([60, 62], key=["C major"])
    ),
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
    "form can't be 'folded': expected one of 'sections clear', 'as written', "
    "'page short', 'written out'": lambda: solo_changes(TUNE, form="folded"),
    "pushes can't be 'moved': expected one of 'onto the beat', 'kept'": (
        lambda: solo_changes(TUNE, pushes="moved")
    ),
    "cut can't be 'bars': expected one of 'bar', 'figure', 'never'": (
        lambda: cue_bars(TUNE.bars, cut="bars")
    ),
    "aim can't be 'short': expected one of 'sections clear', 'page short'": (
        lambda: fold(TUNE.bars, aim="short")
    ),
    "section_starts can't be 'never': expected one of 'page has room', "
    "'where free', 'always', "
    "'as they fall'": lambda: plan_systems(TUNE.bars, section_starts="never"),
    "roots can't be 'french': expected one of 'letters', 'german', 'solfege'": (
        lambda: HouseStyle(name="ours", roots="french")
    ),
    "half_bar can't be 'full': expected one of 'never', 'filled', 'beats', 'runs', "
    "'always'": lambda: BeamStyle(half_bar="full"),
    "voice can't be 'third': expected one of 'only', 'upper', 'lower'": (
        lambda: stem([3], voice="third")
    ),
    "the name of a note value can't be 'crotchet': expected one of 'maxima', 'long', "
    "'breve', 'whole', 'half', 'quarter', 'eighth', '16th', '32nd', '64th', '128th', "
    "'256th', '512th', '1024th'": lambda: NoteValue("crotchet"),
    "six_signs can't be 'sharp': expected one of 'source', 'sharps', 'flats'": (
        lambda: make_parts(TUNE, six_signs="sharp")
    ),
    "colour can't be 'm': expected one of 'major', 'minor', 'dominant', "
    "'half-diminished', 'diminished', 'augmented', 'suspended'": (
        lambda: HeardChord(0, "m")
    ),
    "notes without a time: expected finite numbers (at 0, lasting nan quarters)": (
        lambda: spell_notes([HeardNote(60, 0, 1), HeardNote(60, 0, float("nan"))])
    ),
    "a note without a pitch: expected at least one": lambda: Note(
        onset=0, duration=1, pitches=()
    ),
    "times that are not exact: expected a Fraction or an int "
    "(at 0.5, lasting 1 quarters)": lambda: make_parts(
        tune(Note(onset=0.5, duration=1, pitches=(C4,)))
    ),
    "a note that ends before it starts: expected a duration from 0 "
    "(at 0, lasting -1 quarters)": (lambda: PlacedNote(C4, Fraction(0), Fraction(-1))),
    "no book called 'Bb': there are none": lambda: find_book("Bb", books=()),
}


@pytest.mark.parametrize("message", WRONG)
def test_wrong_values_are_refused(message):
    with pytest.raises(TheoryError) as caught:
        WRONG[message]()
    assert str(caught.value) == message


@pytest.mark.parametrize(
    "wanted",
    [lambda sheet: sheet.key, lambda sheet: sheet.meter, make_parts, write_lead_sheet],
)
def test_a_sheet_without_a_bar_has_no_key_and_makes_no_parts(wanted):
    with pytest.raises(EmptySheetError) as caught:
        wanted(LeadSheet(title="Low Tide", bars=()))
    assert str(caught.value) == "'Low Tide' has no bar: expected at least one"


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
        name="Fog Horn",
        clefs=(TREBLE_CLEF,),
        transposition=Interval.parse(transposition),
        written_range=reach,
        comfortable_range=reach,
    )
    assert own.sounds == words
