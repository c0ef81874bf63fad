"""Melodies against ranges: what lies out, where it lies, which octave is best."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path

import pytest

from leadsheet_theory.errors import EmptyMelodyError, PitchRangeError
from leadsheet_theory.instruments import (
    INSTRUMENTS,
    STANDARD_BOOKS,
    OctaveCost,
    PlacedNote,
    Reader,
    best_octave,
    best_octave_by_section,
    check_range,
    find_book,
    find_instrument,
    octave_costs,
    phrases,
    tessitura,
)
from leadsheet_theory.interval import OCTAVE
from leadsheet_theory.key import Key
from leadsheet_theory.leadsheet import FormSigns
from leadsheet_theory.leadsheet.model import Bar, LeadSheet, Note, Rest
from leadsheet_theory.leadsheet.timeline import placed_melody, section_starts
from leadsheet_theory.musicxml import read_lead_sheet
from leadsheet_theory.pitch import Pitch
from leadsheet_theory.rhythm import Meter

SHEETS = Path(__file__).resolve().parents[2] / ".." / "shared" / "leadsheets"


def tune(text: str) -> tuple[Pitch, ...]:
    return tuple(map(Pitch.parse, text.split()))


# ── Out of range ─────────────────────────────────────────────────────────────────


def test_notes_out_of_range_are_named_with_their_place() -> None:
    melody = [
        PlacedNote(Pitch.parse("D3"), Fraction(0), Fraction(1), 3, Fraction(2)),
        PlacedNote(Pitch.parse("C4"), Fraction(1), Fraction(1), 3, Fraction(3)),
        PlacedNote(Pitch.parse("F#3"), Fraction(2), Fraction(1), 3, Fraction(7, 2)),
        PlacedNote(Pitch.parse("E6"), Fraction(3), Fraction(1), 4, Fraction(1)),
    ]
    found = check_range(melody, find_instrument("trumpet"))
    assert [(each.index, each.bar, each.beat, each.by) for each in found] == [
        (0, 3, Fraction(2), 2),
        (2, 3, Fraction(7, 2), 1),
        (3, 4, Fraction(1), 2),
    ]
    assert [each.message for each in found] == [
        "E3 is below the range of Trumpet in B♭ (written, from F♯3)",
        "G♯3 is below the comfortable range of Trumpet in B♭ (written, from A3)",
        "F♯6 is above the range of Trumpet in B♭ (written, to E6)",
    ]
    assert [each.comfortable_only for each in found] == [False, True, False]


def test_the_enharmonic_end_of_a_range_is_in_it() -> None:
    trumpet = find_instrument("trumpet")
    assert not [
        each
        for each in check_range(tune("Gb3 Fb6"), trumpet, written=True)
        if not each.comfortable_only
    ]


def test_written_and_sounding_melodies_are_told_apart() -> None:
    tenor = find_instrument("tenor sax")
    assert check_range(tune("Bb3"), tenor, written=True)[0].comfortable_only
    assert str(check_range(tune("Ab2 E5"), tenor)[0].written) == "Bb3"
    assert str(check_range(tune("G2"), tenor)[0].written) == "A3"
    assert check_range(tune("C4"), tenor, octaves=-1) == ()


def test_a_melody_without_notes() -> None:
    flute = find_instrument("flute")
    assert check_range((), flute) == ()
    for ask in (
        lambda: best_octave((), flute),
        lambda: octave_costs((), flute),
        lambda: tessitura(()),
        lambda: best_octave_by_section((), flute, sections=(Fraction(0),)),
    ):
        with pytest.raises(EmptyMelodyError) as caught:
            ask()
        assert str(caught.value) == "a melody without notes has no range"


def test_pitches_beyond_midi() -> None:
    high = tune("C4 A9")
    message = "A9 would be MIDI key 129: only 0 to 127 sound"
    for ask in (
        lambda: best_octave(high, find_instrument("flute")),
        lambda: check_range(high, find_instrument("trumpet")),
        lambda: tessitura(high),
    ):
        with pytest.raises(PitchRangeError) as caught:
            ask()
        assert str(caught.value) == message


# ── Tessitura ────────────────────────────────────────────────────────────────────


def test_the_median_is_weighted_by_duration() -> None:
    long, short = Fraction(3), Fraction(1, 3)
    low, high = Pitch.parse("C4"), Pitch.parse("A4")
    melody = [PlacedNote(low, Fraction(0), short)] * 3 + [
        PlacedNote(high, Fraction(1), long)
    ]
    where = tessitura(melody)
    assert (where.low, where.high, where.median) == (low, high, high)
    assert str(where) == "C4–A4, median A4"
    assert str(where.span) == "M6"


def test_grace_notes_alone_count_one_each() -> None:
    graces = [PlacedNote(pitch, duration=Fraction(0)) for pitch in tune("C4 D4 E4")]
    assert str(tessitura(graces).median) == "D4"


# ── The best octave ──────────────────────────────────────────────────────────────

# Where a treble melody in the middle of the staff goes (common practice, no source):
# at pitch for treble readers, an octave up for the flute, an octave down for the
# trombone, and where the instrument sounds an octave below its page, there.
MIDDLE = tune("C4 E4 G4 A4 C5 D5 B4 G4 E4")
USUAL = {
    "flute": 1,
    "violin": 0,
    "clarinet": 0,
    "trumpet": 0,
    "alto sax": 0,
    "soprano sax": 0,
    "vibraphone": 0,
    "piano": 0,
    "horn": 0,
    "trombone": -1,
    "cello": -1,
    "bassoon": -1,
    "euphonium": -1,
    "tenor sax": -1,
    "bari": -1,
    "guitar": -1,
    "bass clarinet": -1,
    "double bass": -2,
    "piccolo": 2,
    "xylophone": 1,
}


@pytest.mark.parametrize(("name", "octaves"), USUAL.items())
def test_where_a_melody_usually_goes(name: str, octaves: int) -> None:
    assert best_octave(MIDDLE, find_instrument(name)).octaves == octaves


@pytest.mark.parametrize(
    ("book", "octaves"), [("C", 0), ("Bb", 0), ("Eb", 0), ("F", 0), ("Bass clef", -1)]
)
def test_the_five_books(book: str, octaves: int) -> None:
    advice = best_octave(MIDDLE, find_book(book))
    assert advice.octaves == octaves
    assert advice.cost.outside == 0


def test_the_trombone_rule_leaves_what_already_lies_well() -> None:
    trombone = find_instrument("trombone")
    assert best_octave(tune("E4 F4 A4 C5 B4 G4"), trombone).octaves == -1
    assert best_octave(tune("F3 A3 C4 Bb3 G3 E3"), trombone).octaves == 0
    assert best_octave(tune("C3 D3 F3 E3"), trombone).octaves == 0


def test_the_advice_says_what_and_why() -> None:
    advice = best_octave(MIDDLE, find_instrument("trombone"))
    assert str(advice.interval) == "-P8"
    assert (str(advice.low), str(advice.high)) == ("C3", "D4")
    assert advice.reason == (
        "Trombone: an octave down, written C3–D4: all comfortable; unmoved, "
        "6 of 9 beyond the comfortable F2–F4, 3 on more than three ledger lines"
    )
    stays = best_octave(MIDDLE, find_instrument("tenor sax"))
    assert stays.reason == (
        "Tenor Saxophone in B♭: an octave down, written D4–E5: all comfortable"
    )
    assert str(stays.interval) == "M2"
    wide = best_octave(tune("E3 G4 C7"), find_instrument("trumpet"))
    assert wide.reason == (
        "Trumpet in B♭: at concert pitch, written F♯3–D7: 1 of 3 notes outside F♯3–E6, "
        "2 of 3 beyond the comfortable A3–A5, 1 on more than three ledger lines"
    )
    (outside,) = (cost for cost in wide.costs if not cost.octaves)
    assert (outside.outside, outside.excess) == (1, 10)


def test_what_an_octave_costs_is_stated() -> None:
    costs = {
        cost.octaves: cost for cost in octave_costs(MIDDLE, find_instrument("trombone"))
    }
    assert costs[0] == OctaveCost(
        octaves=0, notes=9, outside=0, excess=0, beyond_comfort=6, hard_to_read=3,
        ledger_lines=27, distance=14, moved=0,
    )  # fmt: skip
    assert costs[0].points == Fraction(4 * 6 + 4 * 3, 9) + Fraction(27, 18) + Fraction(
        14, 24
    )
    with pytest.raises(KeyError):
        best_octave(MIDDLE, find_instrument("trombone")).cost_of(9)


# ── By section ───────────────────────────────────────────────────────────────────


def placed(text: str) -> tuple[PlacedNote, ...]:
    """Quarter notes in 4/4; ``-`` is a rest."""
    return tuple(
        PlacedNote(Pitch.parse(word), Fraction(at), Fraction(1), at // 4 + 1)
        for at, word in enumerate(text.split())
        if word != "-"
    )


def test_phrases_end_where_the_melody_breathes() -> None:
    melody = placed("C4 D4 E4 - F4 G4 - - A4")
    assert phrases(melody) == (range(3), range(3, 5), range(5, 6))
    assert phrases(melody, breath=Fraction(2)) == (range(5), range(5, 6))
    assert phrases(()) == ()


LOW_THEN_HIGH = (
    "A3 C4 D4 E4 D4 C4 A3 - C4 D4 E4 C4 A3 - E5 F5 "
    "A5 B5 C6 B5 A5 G5 A5 - C6 B5 A5 G5 A5 B5 C6 -"
)


def test_sections_may_lie_in_different_octaves() -> None:
    alto = find_instrument("alto sax")
    first, second = best_octave_by_section(
        placed(LOW_THEN_HIGH), alto, sections=(Fraction(0), Fraction(16))
    )
    assert (first.advice.octaves, second.advice.octaves) == (0, -1)
    assert (first.start, second.start) == (0, 16)


def test_a_pickup_goes_with_the_section_it_leads_to() -> None:
    melody = placed(LOW_THEN_HIGH)
    first, second = best_octave_by_section(
        melody, find_instrument("alto sax"), sections=(Fraction(0), Fraction(16))
    )
    assert first.last + 1 == second.first
    assert str(melody[second.first].pitch) == "E5"
    assert melody[second.first].start == 14


def test_a_phrase_over_the_double_bar_is_not_split() -> None:
    text = LOW_THEN_HIGH.replace("-", "C5")
    advice = best_octave_by_section(
        placed(text), find_instrument("alto sax"), sections=(Fraction(0), Fraction(16))
    )
    assert len(advice) == 1
    assert (advice[0].first, advice[0].last) == (0, 31)


def test_an_octave_is_not_changed_for_a_trifle() -> None:
    text = "C4 E4 G4 E4 C4 E4 G4 - " + "G4 C5 E5 C5 G4 C5 F5 - " * 2
    advice = best_octave_by_section(
        placed(text), find_instrument("horn"), sections=(Fraction(0), Fraction(8))
    )
    assert len({section.advice.octaves for section in advice}) == 1


def test_what_comes_before_the_first_section_belongs_to_it() -> None:
    melody = placed("C4 D4 - - E4 F4 G4 A4")
    (only,) = best_octave_by_section(
        melody, find_instrument("flute"), sections=(Fraction(4),)
    )
    assert (only.start, only.first, only.last) == (4, 0, 5)


def test_no_section_leaves_a_note_out_that_need_not_be() -> None:
    melody = placed(LOW_THEN_HIGH)
    sections = (Fraction(0), Fraction(16))
    for instrument in INSTRUMENTS:
        for section in best_octave_by_section(melody, instrument, sections=sections):
            notes = melody[section.first : section.last + 1]
            fewest = min(cost.outside for cost in octave_costs(notes, instrument))
            assert section.advice.cost.outside == fewest


# ── From a lead sheet ────────────────────────────────────────────────────────────


def test_the_melody_of_a_sheet_with_places_and_ties() -> None:
    key, meter = Key.parse("G"), Meter(4, 4)
    half, whole = Fraction(2), Fraction(4)
    g, b = tune("G4 B4")
    sheet = LeadSheet(
        title="Kettle Song",
        bars=(
            Bar(number=0, key=key, meter=meter, length=Fraction(1),
                melody=(Note(onset=Fraction(0), duration=Fraction(1), pitches=(g,)),)),
            Bar(number=1, key=key, meter=meter, length=whole, melody=(
                    Note(onset=Fraction(0), duration=half, pitches=(b, g)),
                    Note(onset=half, duration=half, pitches=(b,), tied_to_next=True),
                ), form=FormSigns(section="A")),
            Bar(
                number=2, key=key, meter=meter, length=whole,
                melody=(
                    Note(onset=Fraction(0), duration=half, pitches=(b,),
                         tied_from_previous=True),
                    Rest(half, half),
                ),
            ),
            Bar(
                number=3, key=key, meter=meter, length=whole,
                melody=(Note(onset=half, duration=half, pitches=(g,)),),
                form=FormSigns(section="B"),
            ),
        ),
    )  # fmt: skip
    assert [
        (str(note.pitch), note.start, note.duration, note.bar, note.beat)
        for note in placed_melody(sheet)
    ] == [
        ("G4", 0, 1, 0, 4),
        ("B4", 1, 2, 1, 1),
        ("G4", 1, 2, 1, 1),
        ("B4", 3, 4, 1, 3),
        ("G4", 11, 2, 3, 3),
    ]
    assert section_starts(sheet) == (0, 1, 9)


# ── By brute force ───────────────────────────────────────────────────────────────


def fewest_outside(melody: Iterable[PlacedNote], reader: Reader) -> int:
    """Shift by every octave there is and count, without the library's counting."""
    keys = [note.pitch.midi - reader.transposition.chromatic for note in melody]
    low, high = reader.written_range.low.midi, reader.written_range.high.midi
    return min(
        sum(1 for key in keys if not low <= key + 12 * octaves <= high)
        for octaves in range(-11, 12)
    )


def outside_as_advised(melody: Iterable[PlacedNote], reader: Reader) -> int:
    """Count the notes outside in the part as it would be written."""
    notes = tuple(melody)
    interval = best_octave(notes, reader).interval
    assert (
        interval == OCTAVE * best_octave(notes, reader).octaves - reader.transposition
    )
    return sum(1 for note in notes if note.pitch + interval not in reader.written_range)


SAMPLE = sorted(SHEETS.glob("*.mxl"))[::15] if SHEETS.exists() else []


@pytest.mark.skipif(not SAMPLE, reason="the lead sheets beside the project are absent")
def test_no_octave_does_better_on_real_melodies() -> None:
    """All sheets are tried by tests/benchmarks/octave_advice.py."""
    for path in SAMPLE:
        melody = placed_melody(read_lead_sheet(path).sheet)
        for reader in (*INSTRUMENTS, *STANDARD_BOOKS):
            assert outside_as_advised(melody, reader) == fewest_outside(melody, reader)
