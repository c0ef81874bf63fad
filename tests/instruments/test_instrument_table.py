"""The table of instruments: complete, consistent, and as other references have it."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from music21 import instrument as reference

from leadsheet_theory.errors import UnknownInstrumentError
from leadsheet_theory.instruments import (
    FAMILIES,
    INSTRUMENTS,
    Instrument,
    find_instrument,
    transpose_element,
)
from leadsheet_theory.instruments._rows import ROWS, SOURCES
from leadsheet_theory.interval import Interval
from leadsheet_theory.pitch import Pitch

SHARED = Path(__file__).resolve().parents[2] / ".." / "shared" / "reference"


# ── The table itself ─────────────────────────────────────────────────────────────


def test_there_are_enough_instruments_of_every_family() -> None:
    assert len(INSTRUMENTS) >= 75
    assert {instrument.family for instrument in INSTRUMENTS} == set(FAMILIES)


def test_every_name_stands_once() -> None:
    names = [instrument.name for instrument in INSTRUMENTS]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize("instrument", INSTRUMENTS, ids=str)
def test_every_row_is_whole(instrument: Instrument) -> None:
    assert instrument.sound_id.count(".") >= 1
    assert instrument.clefs
    assert instrument.source.count(";") == 2
    assert "comfortable range: " in instrument.source
    assert instrument.transposition.quality in ("P", "M", "m")


def test_every_source_is_used_and_named() -> None:
    used = {
        letter for rows in ROWS.values() for row in rows for letter in row[7].split()
    }
    assert used == set(SOURCES)


@pytest.mark.parametrize("instrument", INSTRUMENTS, ids=str)
def test_every_instrument_is_found_by_its_names(instrument: Instrument) -> None:
    assert find_instrument(instrument.name) == instrument
    assert find_instrument(instrument.ascii_name) == instrument
    assert find_instrument(instrument.name.upper()) == instrument
    for alias in instrument.aliases:
        try:
            assert find_instrument(alias) == instrument
        except UnknownInstrumentError as error:
            assert error.ambiguous
            assert instrument.name in error.suggestions


# ── music21 ──────────────────────────────────────────────────────────────────────

# Source: music21, module instrument (its classes' `transposition`).
MUSIC21 = {
    "Accordion (right hand)": "Accordion",
    "Alto Saxophone in E♭": "AltoSaxophone",
    "Alto Voice": "Alto",
    "Banjo": "Banjo",
    "Baritone Saxophone in E♭": "BaritoneSaxophone",
    "Baritone Voice": "Baritone",
    "Bass Clarinet in B♭ (treble clef)": "BassClarinet",
    "Bass Guitar": "ElectricBass",
    "Bass Trombone": "BassTrombone",
    "Bass Voice": "Bass",
    "Bassoon": "Bassoon",
    "Celesta": "Celesta",
    "Cello": "Violoncello",
    "Clarinet in B♭": "Clarinet",
    "Contrabassoon": "Contrabassoon",
    "Double Bass": "Contrabass",
    "Electric Piano": "ElectricPiano",
    "English Horn": "EnglishHorn",
    "Flute": "Flute",
    "Glockenspiel": "Glockenspiel",
    "Guitar": "Guitar",
    "Guitar (octave clef)": "AcousticGuitar",
    "Chromatic Harmonica": "Harmonica",
    "Harp": "Harp",
    "Harpsichord": "Harpsichord",
    "Horn in F (treble clef)": "Horn",
    "Mandolin": "Mandolin",
    "Marimba": "Marimba",
    "Mezzo-Soprano Voice": "MezzoSoprano",
    "Oboe": "Oboe",
    "Organ (manuals)": "Organ",
    "Piano": "Piano",
    "Piccolo": "Piccolo",
    "Soprano Saxophone in B♭": "SopranoSaxophone",
    "Steel Pan (tenor)": "SteelDrum",
    "Soprano Voice": "Soprano",
    "Tenor Saxophone in B♭": "TenorSaxophone",
    "Tenor Voice (bass clef)": "Tenor",
    "Timpani": "Timpani",
    "Trombone": "Trombone",
    "Trumpet in B♭": "Trumpet",
    "Tuba": "Tuba",
    "Tubular Bells": "TubularBells",
    "Ukulele": "Ukulele",
    "Vibraphone": "Vibraphone",
    "Viola": "Viola",
    "Violin": "Violin",
    "Xylophone": "Xylophone",
}

# Where music21 states no transposition though parts are written with one.
MUSIC21_LEAVES_OUT = {
    "Bass Guitar": "written an octave above its sound; music21 has the sounding E1",
    "Celesta": "written an octave below its sound (Zager p. 108)",
    "Contrabassoon": "written an octave above its sound (Georgetown handout 6)",
    "Glockenspiel": "written two octaves below its sound (Hansen)",
    "Guitar": "written an octave above its sound; music21 has the sounding E2",
    "Xylophone": "written an octave below its sound (Zager p. 109)",
}


@pytest.mark.parametrize(("name", "class_name"), MUSIC21.items())
def test_transposition_agrees_with_music21(name: str, class_name: str) -> None:
    theirs = getattr(reference, class_name)().transposition
    ours = find_instrument(name).transposition
    if name in MUSIC21_LEAVES_OUT:
        assert theirs is None, "no exception any more"
        assert ours.diatonic % 7 == 0
        return
    number, semitones = (
        (0, 0) if theirs is None else (theirs.generic.staffDistance, theirs.semitones)
    )
    assert (ours.diatonic, ours.chromatic) == (number, semitones)


# Where music21's lowest sounding note is another than ours, and why.
MUSIC21_LOWEST = {
    "Baritone Saxophone in E♭": "music21 has the B♭ horn; many have the low A key",
    "Electric Piano": "music21 has all 88 keys; ours is the usual 73-key one",
    "Harp": "music21 has C1 by its strings; the pedals reach C♭1 (Jarrett and Day)",
    "Chromatic Harmonica": "music21 has the 16 holes from C3; ours has 12",
    "Horn in F (treble clef)": "music21 has C2 written; ours is F♯2 (studystack)",
}


@pytest.mark.parametrize(("name", "class_name"), MUSIC21.items())
def test_lowest_note_agrees_with_music21(name: str, class_name: str) -> None:
    """music21 gives some lowest notes as written, some as they sound."""
    theirs = getattr(reference, class_name)().lowestNote
    if theirs is None:
        pytest.skip("music21 states no lowest note")
    ours = find_instrument(name)
    lows = {ours.written_range.low.midi, ours.sounding_range.low.midi}
    assert (theirs.midi in lows) != (name in MUSIC21_LOWEST)


def test_sound_ids_are_ones_music21_knows_or_stand_below_them() -> None:
    """music21 writes MusicXML sound ids; every family it writes is spelled alike."""
    theirs = {
        str(getattr(reference, class_name)().instrumentSound).split(".")[0]
        for class_name in MUSIC21.values()
    }
    ours = {instrument.sound_id.split(".")[0] for instrument in INSTRUMENTS}
    assert ours - theirs <= {"synth"}


# ── The reference table beside the project ───────────────────────────────────────


def _reference_rows(name: str) -> list[dict[str, str]]:
    path = SHARED / name
    if not path.exists():
        return []
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


ROWS_BESIDE = _reference_rows("instruments.csv")
needs_rows = pytest.mark.skipif(
    not ROWS_BESIDE, reason="the reference tables beside the project are absent"
)

OCTAVE_CLEF = (
    "the row counts the octave twice: its clef has the 8, and its transposition the "
    "octave; with an octave clef the pitch is written where it sounds (MusicXML 4.0, "
    "clef-octave-change)"
)
DIFFERENT_ROWS = {"Tenor Voice (treble clef, octave down)": OCTAVE_CLEF}
SEVERAL_ARE_SO_CALLED = {
    "alto", "Bar.", "baritone", "bass", "soprano", "tenor",
}  # fmt: skip

# A harp of the blues is the diatonic instrument; the row calls the chromatic one so.
CALLED_OTHERWISE = {"harp (blues)": "Diatonic Harmonica in C"}


@needs_rows
def test_every_reference_row_is_there() -> None:
    assert len(ROWS_BESIDE) >= 68


@needs_rows
@pytest.mark.parametrize("row", ROWS_BESIDE, ids=lambda row: row["name"])
def test_the_table_agrees_with_the_reference_row(row: dict[str, str]) -> None:
    ours = find_instrument(row["name"])
    assert ours.family == row["family"]
    assert ours.sound_id == row["musicxml_sound_id"]
    clef = "grand" if len(ours.clefs) == 2 else ours.clef.name.replace(" ", "_")
    assert clef == row["clef"]
    octaves = int(row["octave_change"])
    theirs = Interval(
        int(row["written_to_sounding_diatonic"]) + 7 * octaves,
        int(row["written_to_sounding_chromatic"]) + 12 * octaves,
    )
    if row["name"] in DIFFERENT_ROWS:
        assert theirs != ours.transposition, "no exception any more"
        written = Pitch.parse(row["written_low"]), Pitch.parse(row["written_high"])
        assert written[0] + theirs == ours.sounding_range.low
        assert written[1] + theirs == ours.sounding_range.high
        return
    assert theirs == ours.transposition
    assert str(ours.written_range.low) == row["written_low"]
    assert str(ours.written_range.high) == row["written_high"]
    assert str(ours.comfortable_range.low) == row["comfortable_written_low"]
    assert str(ours.comfortable_range.high) == row["comfortable_written_high"]


@needs_rows
@pytest.mark.parametrize("row", ROWS_BESIDE, ids=lambda row: row["name"])
def test_the_reference_aliases_are_understood(row: dict[str, str]) -> None:
    ours = find_instrument(row["name"])
    for alias in row["aliases"].split(";"):
        if alias in SEVERAL_ARE_SO_CALLED:
            with pytest.raises(UnknownInstrumentError) as caught:
                find_instrument(alias)
            assert ours.name in caught.value.suggestions
        else:
            assert find_instrument(alias).name == CALLED_OTHERWISE.get(alias, ours.name)


# ── The numbers of MusicXML ──────────────────────────────────────────────────────


# Source: MusicXML 4.0, transpose: diatonic, chromatic, octave-change.
@pytest.mark.parametrize(
    ("name", "numbers"),
    [
        ("Flute", (0, 0, 0)),
        ("Trumpet in B♭", (-1, -2, 0)),
        ("Alto Saxophone in E♭", (-5, -9, 0)),
        ("Tenor Saxophone in B♭", (-1, -2, -1)),
        ("Baritone Saxophone in E♭", (-5, -9, -1)),
        ("Bass Saxophone in B♭", (-1, -2, -2)),
        ("Horn in F (treble clef)", (-4, -7, 0)),
        ("Clarinet in E♭", (2, 3, 0)),
        ("Piccolo", (0, 0, 1)),
        ("Glockenspiel", (0, 0, 2)),
        ("Double Bass", (0, 0, -1)),
        ("Piccolo Trumpet in B♭", (6, 10, 0)),
    ],
)
def test_transpose_element(name: str, numbers: tuple[int, int, int]) -> None:
    element = transpose_element(find_instrument(name).transposition)
    assert (element.diatonic, element.chromatic, element.octave_change) == numbers
