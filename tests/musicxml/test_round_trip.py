"""Reading what was written gives back what was written."""

from fractions import Fraction
from pathlib import Path

import pytest
from attrs import evolve
from hypothesis import given, settings
from parts_check import schema_errors
from round_trip import lost
from strategies import written_sheets

from leadsheet_theory import make_parts, read_lead_sheet, write_lead_sheet, write_part
from leadsheet_theory.key import Key
from leadsheet_theory.leadsheet import (
    Bar,
    LeadSheet,
    Note,
    Rest,
    close_words,
    join_divided_bars,
    shorten_pickup,
)
from leadsheet_theory.pitch import Pitch
from leadsheet_theory.rhythm import Meter, NoteValue

PROJECT = Path(__file__).resolve().parents[2]
SHEETS = PROJECT / "../shared/leadsheets"


@settings(max_examples=30)
@given(written_sheets())
def test_a_sheet_read_back_is_the_sheet(sheet):
    whole = shorten_pickup(join_divided_bars(sheet.bars))
    closed = evolve(sheet, bars=close_words(whole).bars)
    assert read_lead_sheet(write_lead_sheet(sheet)).sheet == closed


@settings(max_examples=5)
@given(written_sheets())
def test_whatever_is_written_is_valid(sheet):
    assert schema_errors(write_lead_sheet(sheet)) == []
    for part in make_parts(sheet)[1::3]:
        assert schema_errors(write_part(part)) == []


@pytest.mark.parametrize(
    "chart", sorted((PROJECT / "shared/charts").glob("*.musicxml"))
)
def test_the_demo_charts_read_back_alike(chart):
    sheet = read_lead_sheet(chart).sheet
    assert read_lead_sheet(write_lead_sheet(sheet)).sheet == sheet


def test_real_lead_sheets_read_back_alike():
    if not SHEETS.is_dir():
        pytest.skip("no ../shared/leadsheets on this machine")
    for path in sorted(SHEETS.glob("*.mxl"))[::12]:
        sheet = read_lead_sheet(path).sheet
        assert read_lead_sheet(write_lead_sheet(sheet)).sheet == sheet, path.name


def test_a_part_reads_back_at_concert_pitch():
    """What a B♭ part writes sounds as the source does."""
    chart = PROJECT / "shared/charts/harbourmasters_day_off.musicxml"
    sheet = read_lead_sheet(chart).sheet
    for part in make_parts(sheet):
        again = read_lead_sheet(write_part(part)).sheet
        moved = 12 * part.report.octaves
        for source, bar in zip(sheet.bars, again.bars, strict=False):
            assert [
                p.midi - moved for n in bar.melody for p in getattr(n, "pitches", ())
            ] == [p.midi for n in source.melody for p in getattr(n, "pitches", ())]
            assert [c.symbol.pitch_classes for c in bar.chords] == [
                c.symbol.pitch_classes for c in source.chords
            ]


@pytest.mark.parametrize(
    "chart",
    sorted((PROJECT / "shared/charts").rglob("*.musicxml")),
    ids=lambda chart: chart.stem,
)
def test_what_a_part_says_is_what_is_read(chart):
    """The pages of the tune; the solo page is read apart (test_solos_read_back)."""
    for part in make_parts(read_lead_sheet(chart).sheet, solo_page=False):
        assert list(lost(part)) == [], part.name


def test_what_parts_of_real_lead_sheets_say_is_what_is_read():
    if not SHEETS.is_dir():
        pytest.skip("no ../shared/leadsheets on this machine")
    for path in sorted(SHEETS.glob("*.mxl"))[::15]:
        for part in make_parts(read_lead_sheet(path).sheet, solo_page=False):
            assert list(lost(part)) == [], (path.name, part.name)


@pytest.mark.parametrize("low", ["E1", "C3", "C5"])
def test_a_bass_line_comes_back_whatever_its_pitches(low):
    """Also beside a melody at rest, which it is not taken for."""
    note = Note(onset=Fraction(0), duration=Fraction(4), pitches=(Pitch.parse(low),),
                value=NoteValue("whole"))  # fmt: skip
    rest = Rest(Fraction(0), Fraction(4), whole_bar=True)
    bars = tuple(
        Bar(number=number, key=Key.parse("F"), meter=Meter(4, 4), length=Fraction(4),
            melody=(rest,), bass_line=(note,) if number % 2 else ())
        for number in range(1, 5)
    )  # fmt: skip
    sheet = LeadSheet(title="Bollard Line", bars=bars)
    assert read_lead_sheet(write_lead_sheet(sheet)).sheet == sheet
    assert b"clef-octave-change" in write_lead_sheet(sheet) or low != "E1"
