"""The rhythm section's books.

What stands in them: E. Rogers, *Big band arranging* 17 (slashes mean to accompany, in a
drum part time); K. Williams, errata to p. 183 of his arranging book, and drum.town,
*Reading complex charts* (rhythm in the staff is played exactly, above it over time);
B. Hable 2019 after R. Boras 2005 (stop time); M. Tracy, *Glossary of terms* (break);
*OnMusic Dictionary* (time).  The rest is common practice, no source.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import pytest
from attrs import evolve
from form_charts import bar
from hypothesis import given
from hypothesis import strategies as st
from parts_check import parsed, schema_errors
from round_trip import lost
from strategies import meters, sounding_bars

from leadsheet_theory import find_instrument, make_parts, read_lead_sheet, write_part
from leadsheet_theory.chords import parse_symbol
from leadsheet_theory.errors import DecisionError, UnknownInstrumentError
from leadsheet_theory.instruments import (
    DRUMS,
    RHYTHM,
    STANDARD_BOOKS,
    PartReader,
    RhythmBook,
    as_part_readers,
    find_rhythm_book,
)
from leadsheet_theory.leadsheet import (
    Direction,
    FormSigns,
    Hit,
    Jump,
    Note,
    PlacedChord,
)
from leadsheet_theory.leadsheet.model import Bar, LeadSheet, Mark, Rest
from leadsheet_theory.musicxml import parse_lead_sheet
from leadsheet_theory.parts import cue_bars, in_key, rhythm_bars, time_stops
from leadsheet_theory.pitch import Pitch
from leadsheet_theory.rhythm import NoteValue

CHARTS = Path(__file__).resolve().parents[2] / "shared/charts"
ALL = (*STANDARD_BOOKS, RHYTHM, DRUMS)


def said(number: int, words: str = "", *chords: str, hit: bool = False, **form: object):
    """A bar of 4/4 with words and chords, each ``symbol@beat``, and perhaps a hit on
    beat 2."""
    text, _, beat = words.partition("@")
    return bar(
        number,
        directions=(Direction(Fraction(beat or 1) - 1, "words", text),) if text else (),
        chords=tuple(
            PlacedChord(Fraction(at or 1) - 1, parse_symbol(symbol))
            for symbol, _, at in (chord.partition("@") for chord in chords)
        ),
        hits=(Hit(Fraction(1), Fraction(1, 2)),) if hit else (),
        form=FormSigns(**form),  # type: ignore[arg-type]
    )


def stopped(*bars: Bar, **options: Any) -> str:
    """The bars in which time stops, with the beats where it is not all of the bar."""
    found = []
    for each, stops in zip(bars, time_stops(bars, **options), strict=True):
        for stop in stops:
            whole = stop.end - stop.start == each.length
            beats = "" if whole else f":{stop.start + 1}-{stop.end + 1}"
            found.append(f"{each.number}{beats}")
    return " ".join(found)


@pytest.mark.parametrize(
    ("bars", "expected"),
    [
        # Hable after Boras: in stop time only the hits are played
        ([said(1, "Stop time"), said(2), said(3)], "1 2 3"),
        ([said(1, "stop-time"), said(2), said(3, section="B")], "1 2"),
        ([said(1), said(2, "stop time@3"), said(3, "time@3")], "2:3-5 3:1-3"),
        # Tracy: in a break the rhythm section stops too, for two or four bars
        ([said(1, "2-bar break"), said(2), said(3), said(4)], "1 2"),
        ([said(1, "break"), *map(said, range(2, 7))], "1 2 3 4"),
        ([said(1, "solo break"), said(2, barline="double"), said(3)], "1 2"),
        # common practice: the chord that follows its N.C. ends a break
        ([said(1, "break", "N.C."), said(2, "", "C7@3"), said(3)], "1 2:1-3"),
        ([said(1, "tacet"), said(2, "in 4"), said(3)], "1"),
        # hits under N.C. stop time; N.C. alone does not
        ([said(1, "", "N.C.", hit=True), said(2), said(3, "", "F7")], "1 2"),
        ([said(1, "", "N.C."), said(2), said(3, "", "F7", hit=True)], ""),
        # words that are no such sign
        ([said(1, "2nd time only"), said(2, "breakdown"), said(3, "swing")], ""),
    ],
    ids=lambda case: case if isinstance(case, str) else "",
)  # fmt: skip
def test_where_time_stops(bars: list[Bar], expected: str) -> None:
    assert stopped(*bars) == expected


def test_the_bars_of_the_arranger_go_before_the_words() -> None:
    bars = [said(1, "stop time"), said(2), said(3)]
    assert stopped(*bars, only=[3]) == "3"
    assert stopped(*bars, only=[]) == ""


def test_a_drum_break_is_the_drummers_own() -> None:
    """Common practice, no source."""
    bars = [said(1, "drum break"), said(2, section="B")]
    assert (stopped(*bars), stopped(*bars, player="drum")) == ("1", "")
    assert stopped(said(1, "solo break"), player="drum") == "1"


def test_a_drummer_goes_on_under_no_chord() -> None:
    bars = [said(1, "", "N.C.", hit=True), said(2, "", "F7")]
    assert stopped(*bars, at_no_chord=False) == ""


@st.composite
def charts_with_hits(draw: st.DrawFn) -> list[Bar]:
    """Bars of one metre with hits, words and chords."""
    meter = draw(meters())
    texts = ("", "", "stop time", "break", "time", "tacet")
    bars = []
    for number in range(1, draw(st.integers(1, 5)) + 1):
        each = bar(number, str(meter))
        at = draw(st.sampled_from(meter.beat_starts))
        bars.append(
            evolve(
                each,
                hits=tuple(Hit(*span) for span in draw(sounding_bars(meter))),
                directions=(Direction(at, "words", draw(st.sampled_from(texts))),),
                chords=(
                    PlacedChord(
                        at, parse_symbol(draw(st.sampled_from(("N.C.", "F7"))))
                    ),
                ),
            )
        )
    return bars


@given(charts_with_hits())
def test_every_bar_is_filled_and_every_hit_is_there_once(bars: list[Bar]) -> None:
    """Slashes and figure fill the bar between them; the hits of figure and cue are
    those of the chart."""
    for each, shown in zip(bars, rhythm_bars(bars), strict=True):
        events = sorted((*shown.slashes, *shown.figure), key=lambda event: event.onset)
        at = Fraction(0)
        for event in events:
            assert event.onset == at
            at += event.duration
        assert at == each.length
        hits = [
            event.onset
            for event in (*shown.figure, *shown.cue.events)
            if isinstance(event, Hit)
        ]
        assert sorted(hits) == [hit.onset for hit in each.hits]


# ── The parts ────────────────────────────────────────────────────────────────────


def demo_charts() -> list[Path]:
    return sorted(CHARTS.rglob("*.musicxml"))


def plan_of(file: bytes) -> list[tuple[str, str]]:
    """The bars of a file by number, with what begins at each: a system, a page."""
    bars = []
    for measure in ET.fromstring(file).iterfind("part[1]/measure"):
        begins = measure.find("print")
        bars.append(
            (
                measure.get("number", ""),
                "" if begins is None else " ".join(sorted(begins.attrib)),
            )
        )
    return bars


@pytest.mark.parametrize("chart", demo_charts(), ids=lambda chart: chart.stem)
def test_written_files_are_valid_and_alike_in_bars_systems_and_pages(
    chart: Path,
) -> None:
    sheet = read_lead_sheet(chart).sheet
    files = [write_part(part) for part in make_parts(sheet, books=ALL)]
    assert [schema_errors(file) for file in files[-2:]] == [[], []]
    assert all(plan_of(file) == plan_of(files[0]) for file in files)


def read(part_bars: tuple[Bar, ...]) -> list[object]:
    return [
        (
            each.number,
            [(hit.onset, hit.tied_from_previous) for hit in each.hits],
            [(c.onset, str(c.symbol)) for c in each.chords],
            [
                (event.onset, event.pitches, event.value)
                for event in each.bass_line
                if isinstance(event, Note)
            ],
            each.form,
        )
        for each in part_bars
    ]


@pytest.mark.parametrize("chart", demo_charts(), ids=lambda chart: chart.stem)
def test_a_rhythm_part_reads_back_as_the_tune_without_its_melody(chart: Path) -> None:
    sheet = read_lead_sheet(chart).sheet
    for book in (RHYTHM, evolve(RHYTHM, melody=True), evolve(DRUMS, chords=True)):
        (part,) = make_parts(sheet, books=book, solo_page=False)
        again = parse_lead_sheet(write_part(part)).sheet
        tune = tuple(each.bar for each in part.bars)
        if not book.bass_line:
            tune = tuple(evolve(each, bass_line=()) for each in tune)
        assert read(again.bars) == read(tune)
        assert not any(
            isinstance(event, Note) for each in again.bars for event in each.melody
        )


def test_a_sheet_of_the_rhythm_section() -> None:
    """Written by hand: what stands where, bar by bar (common practice, no source)."""
    sheet = read_lead_sheet(CHARTS / "as_they_come/mooring_bell_strut.musicxml").sheet
    rhythm, drums = make_parts(sheet, books=["rhythm section", "drum set"])
    shown = [(len(b.slashes), len(b.cue), len(b.shared.figure)) for b in rhythm.bars]
    assert shown[0] == (0, 0, 1)  # the pickup: a rest of its length
    (rest,) = rhythm.bars[0].shared.figure
    assert isinstance(rest, Rest)
    assert (rest.duration, rest.value, rest.whole_bar) == (
        1,
        NoteValue("quarter"),
        False,
    )
    assert shown[1] == (4, 0, 0)  # time
    assert shown[9] == (4, 4, 0)  # rest, rest, hit, rest above the slashes
    assert shown[13:17] == [(0, 0, 4), (0, 0, 4), (0, 0, 4), (0, 0, 5)]  # stop time
    assert shown[17] == (4, 0, 0)
    (bass,) = rhythm.added
    assert [i for i, b in enumerate(bass.bars) if b.has_notes] == [1, 2, 3, 4, 17, 18,
                                                                  19, 20]  # fmt: skip
    assert not drums.added
    assert not any(b.symbols for b in drums.bars)
    assert drums.clef.sign == "percussion"
    assert [len(b.cue) for b in drums.bars[9:13]] == [
        len(b.cue) for b in rhythm.bars[9:13]
    ]


def test_the_bass_staff_is_printed_where_it_has_notes() -> None:
    sheet = read_lead_sheet(CHARTS / "as_they_come/mooring_bell_strut.musicxml").sheet
    (part,) = make_parts(sheet, books="Rhythm")
    file = ET.fromstring(write_part(part))
    printed = {
        measure.get("number"): details.get("print-object")
        for measure in file.iterfind("part/measure")
        for details in measure.iterfind("attributes/staff-details[@number='2']")
    }
    assert printed == {"5": "no", "17": "yes", "21": "no"}


def test_signs_at_the_end_of_a_bar_stand_over_the_upper_staff() -> None:
    """A direction without a staff is put on the last one by many programs."""
    sheet = read_lead_sheet(CHARTS / "as_they_come/mooring_bell_strut.musicxml").sheet
    jump = FormSigns(jump=Jump("capo"), to_coda=True)
    sheet = evolve(sheet, bars=(*sheet.bars[:-1], evolve(sheet.bars[-1], form=jump)))
    (part,) = make_parts(sheet, books="Rhythm")
    said = ET.fromstring(write_part(part)).findall("part/measure/direction")
    assert len(said) > 2
    assert {each.findtext("staff") for each in said} == {"1"}


@pytest.mark.parametrize(
    ("name", "book"),
    [
        ("Rhythm", "Rhythm"), ("rhythm section", "Rhythm"), ("Drums", "Drums"),
        ("drum set", "Drums"), ("Drum Kit", "Drums"), ("Schlagzeug", "Drums"),
        ("batterie", "Drums"), ("batteria", "Drums"), ("batería", "Drums"),
        ("steel drums", None), ("rhythm guitar", None), ("bass drum", None),
    ],
)  # fmt: skip
def test_names_of_the_books(name: str, book: str | None) -> None:
    found = find_rhythm_book(name)
    assert (None if found is None else found.name) == book


@pytest.mark.parametrize("name", ["drums", "drum set", "Schlagzeug"])
def test_a_drum_set_is_no_instrument_of_pitches(name: str) -> None:
    with pytest.raises(UnknownInstrumentError, match="the book Drums") as caught:
        find_instrument(name)
    assert "Steel" not in str(caught.value)
    assert as_part_readers(name) == (DRUMS,)


def test_real_lead_sheets_are_alike_in_bars_systems_and_pages() -> None:
    folder = CHARTS.parents[2] / "shared/leadsheets"
    if not folder.is_dir():
        pytest.skip("no ../shared/leadsheets on this machine")
    for path in sorted(folder.glob("*.mxl"))[::20]:
        parts = make_parts(read_lead_sheet(path).sheet, books=("C", RHYTHM, DRUMS))
        plan, *others = (plan_of(write_part(part)) for part in parts)
        assert all(other == plan for other in others), path.name


# ── The bass line for other players ──────────────────────────────────────────────


@pytest.mark.parametrize("book", [*STANDARD_BOOKS, find_instrument("tenor sax")])
def test_a_cue_of_the_bass_line_sounds_as_its_label_says(book: PartReader) -> None:
    sheet = read_lead_sheet(CHARTS / "as_they_come/mooring_bell_strut.musicxml").sheet
    (part,) = make_parts(sheet, books=book, bass_cue=[1, 2, 17])
    (staff,) = part.added
    down = {"bass": 0, "bass (8vb)": 12, "bass (15mb)": 24}[staff.bars[1].label]
    assert staff.bars[17].label == staff.bars[1].label  # again after a break
    for each, shown in zip(sheet.bars, staff.bars, strict=True):
        asked = each.number in (1, 2, 17)
        assert [
            event.pitch.midi + part.to_sounding.chromatic - down
            for event in shown.events
            if isinstance(event, Note)
        ] == [
            event.pitch.midi
            for event in each.bass_line
            if asked and isinstance(event, Note)
        ]
    assert schema_errors(write_part(part)) == []


def test_a_part_with_a_cue_reads_back_without_it() -> None:
    sheet = read_lead_sheet(CHARTS / "as_they_come/mooring_bell_strut.musicxml").sheet
    for part in make_parts(sheet, solo_page=False, bass_cue=True):
        assert list(lost(part)) == [], part.name
        again = parse_lead_sheet(write_part(part)).sheet
        assert not any(each.bass_line for each in again.bars)


def test_a_bass_line_that_is_not_there_cannot_be_cued() -> None:
    sheet = read_lead_sheet(CHARTS / "as_they_come/mooring_bell_strut.musicxml").sheet
    with pytest.raises(DecisionError, match="in bar 9: there is one in 1-4, 17-20"):
        make_parts(sheet, books="C", bass_cue=[9])
    (part,) = make_parts(sheet, books="C", bass_cue=[1], without_cues=["C"])
    assert not part.added


def test_another_key_takes_the_bass_line_along() -> None:
    sheet = read_lead_sheet(CHARTS / "as_they_come/mooring_bell_strut.musicxml").sheet
    moved = in_key(sheet, "F")
    assert [
        event.pitches[0].midi - 2
        for each in moved.bars
        for event in each.bass_line
        if isinstance(event, Note)
    ] == [
        event.pitches[0].midi
        for each in sheet.bars
        for event in each.bass_line
        if isinstance(event, Note)
    ]


def test_under_no_chord_the_section_stops_and_the_drummer_goes_on() -> None:
    """Common practice, no source."""
    bars = (said(1, "", "N.C.", hit=True), said(2, "", "F7"))
    rhythm, drums = make_parts(LeadSheet(title="Two Bells", bars=bars),
                               books=(RHYTHM, DRUMS), solo_page=False)  # fmt: skip
    assert [len(each.slashes) for each in rhythm.bars] == [0, 4]
    assert [len(each.slashes) for each in drums.bars] == [4, 4]
    assert [bool(each.cue) for each in drums.bars] == [True, False]
    told = [f.message for f in rhythm.report.findings if f.rule == "stop-time"]
    assert told == ["time stops, and hits stand in the staff: bar 1"]


def test_a_section_that_wants_no_cues_keeps_its_stops() -> None:
    sheet = read_lead_sheet(CHARTS / "as_they_come/mooring_bell_strut.musicxml").sheet
    (part,) = make_parts(sheet, books="Rhythm", without_cues=["Rhythm"])
    assert not any(each.cue for each in part.bars)
    assert any(each.shared.figure for each in part.bars)


def test_the_section_holds_where_the_melody_does() -> None:
    """Common practice, no source."""
    note = Note(onset=Fraction(2), duration=Fraction(2), pitches=(Pitch.parse("C5"),),
                marks=(Mark("fermata"),))  # fmt: skip
    bars = (bar(1), evolve(said(2, "", "F6"), melody=(note,)))
    (part,) = make_parts(LeadSheet(title="Last Ferry", bars=bars), books=RHYTHM)
    assert [len(slash.marks) for slash in part.bars[1].slashes] == [0, 0, 1, 0]
    file = write_part(part)
    assert file.count(b"<fermata/>") == 1
    assert schema_errors(file) == []


@pytest.mark.parametrize("book", [RHYTHM, DRUMS], ids=str)
def test_another_reader_finds_the_hits_and_the_bass_line(book: RhythmBook) -> None:
    """Music21 reads slashes with stems where the chart has hits, and the bass line."""
    sheet = read_lead_sheet(CHARTS / "as_they_come/mooring_bell_strut.musicxml").sheet
    (part,) = make_parts(sheet, books=book, solo_page=False)
    upper, *below = parsed(write_part(part)).parts
    hits = [
        (measure.number, Fraction(note.getOffsetInHierarchy(measure)))
        for measure in upper.getElementsByClass("Measure")
        for note in measure.recurse().notes
        if note.notehead == "slash" and note.stemDirection != "noStem"
    ]
    assert hits == [
        (each.number, hit.onset) for each in sheet.bars for hit in each.hits
    ]
    keys = [
        note.pitch.midi
        for staff in below
        for note in staff.recurse().notes
        if note.isNote and note.notehead != "slash"
    ]
    assert keys == [
        event.pitch.midi
        for each in sheet.bars
        for event in each.bass_line
        if book.bass_line and isinstance(event, Note)
    ]


def test_cues_are_cut_and_labelled_as_in_the_other_parts() -> None:
    sheet = read_lead_sheet(CHARTS / "as_they_come/mooring_bell_strut.musicxml").sheet
    cues = cue_bars(sheet.bars, cut="bar", labels={9: "horns"})
    lead, rhythm = make_parts(sheet, books=("C", RHYTHM), cues=cues)
    for of_lead, of_section in zip(lead.bars[9:13], rhythm.bars[9:13], strict=True):
        assert of_section.cue == of_lead.cue
        assert of_section.cue_label == of_lead.cue_label
    assert rhythm.bars[9].cue_label == "horns"
    (alone,) = make_parts(sheet, books=RHYTHM, cues=False)
    assert all(each.cue for each in alone.bars[9:13])


@pytest.mark.parametrize("count", [12, 32, 64])
def test_estimated_pages_have_room_for_the_bass_staff(count: int) -> None:
    """A system with a second staff takes about as much room as one and a half."""
    low = Note(onset=Fraction(0), duration=Fraction(4), pitches=(Pitch.parse("F2"),))
    bars = tuple(
        evolve(said(number, "", "F6"), bass_line=(low,))
        for number in range(1, count + 1)
    )
    sheet = LeadSheet(title="Long Haul", bars=bars)
    lead, rhythm = make_parts(sheet, books=("C", RHYTHM), solo_page=False)
    assert lead.plan == rhythm.plan
    assert len(lead.headings) == len(lead.plan.page_starts)
    starts = [*lead.plan.page_starts, count]
    systems = [
        sum(left <= start < right for start in lead.plan.system_starts)
        for left, right in pairwise(starts)
    ]
    page = lead.plan.page
    rooms = [page.first_page_systems, *[page.later_page_systems] * count]
    assert all(1.6 * each <= room for each, room in zip(systems, rooms, strict=False))
    assert max(systems) - min(systems) <= 2


def test_the_melody_above_a_drum_part_has_its_key() -> None:
    sheet = read_lead_sheet(CHARTS / "as_they_come/mooring_bell_strut.musicxml").sheet
    (part,) = make_parts(sheet, books=evolve(DRUMS, melody=True))
    file = write_part(part)
    keys = ET.fromstring(file).findall("part/measure/attributes/key")
    shown = [(key.get("number"), key.get("print-object", "yes")) for key in keys]
    assert shown == [("1", "yes"), ("2", "no")]
    assert schema_errors(file) == []
    assert parse_lead_sheet(file).sheet.key == sheet.key
