"""The demo tune, from the file to the written parts, as a copyist would check it.

The tune is invented; what is right for each reader was read by eye.
"""

from __future__ import annotations

import xml.etree.ElementTree as ET
from fractions import Fraction
from pathlib import Path

import pytest

from leadsheet_theory import (
    LeadSheet,
    Part,
    make_parts,
    play_order,
    proofread,
    read_lead_sheet,
    write_part,
)
from leadsheet_theory.leadsheet import Hit, Note
from leadsheet_theory.parts import PartBar, check_same_plan

CHART = (
    Path(__file__).resolve().parents[1]
    / "shared"
    / "charts"
    / "harbourmasters_day_off.musicxml"
)
BOOKS = ("C", "B♭", "E♭", "F", "Bass clef")


@pytest.fixture(scope="module")
def tune() -> LeadSheet:
    return read_lead_sheet(CHART).sheet


@pytest.fixture(scope="module")
def parts(tune: LeadSheet) -> dict[str, Part]:
    return {part.name: part for part in make_parts(tune)}


def changes(bars: tuple[PartBar, ...], first: int, last: int) -> str:
    """The chord symbols of the bars with these numbers, bar by bar."""
    return " | ".join(
        " ".join(str(chord.symbol) for chord in each.bar.chords)
        for each in bars
        if first <= each.bar.number <= last
    )


def names(part: Part, first: int, last: int) -> str:
    """The melody's note names in the bars with these numbers, ties once."""
    return " ".join(
        str(note.pitch.name)
        for each in part.bars
        if first <= each.bar.number <= last
        for note in each.bar.melody
        if isinstance(note, Note) and not note.tied_from_previous
    )


class TestTheChart:
    def test_its_form(self, tune: LeadSheet) -> None:
        assert (tune.title, str(tune.key), len(tune.bars)) == (
            "Harbourmaster's Day Off", "Ab major", 33,
        )  # fmt: skip
        assert [(b.number, b.form.section) for b in tune.bars if b.form.section] == [
            (1, "A"), (13, "B"), (21, "C"),
        ]  # fmt: skip
        endings = [(b.number, b.form.ending) for b in tune.bars if b.form.ending_starts]
        assert endings == [(5, (1,)), (9, (2,))]
        pickup = tune.pickup
        assert pickup is not None
        assert (pickup.number, pickup.length) == (0, Fraction(3, 2))

    def test_how_it_is_played(self, tune: LeadSheet) -> None:
        order = play_order(tune.bars)
        played = [tune.bars[index].number for index in order.indices]
        assert played == [*range(9), *range(1, 5), *range(9, 33)]
        assert not order.problems

    def test_the_proofreader_finds_nothing(self, tune: LeadSheet) -> None:
        assert proofread(tune) == ()

    def test_only_engraving_is_left_unread(self) -> None:
        assert {f.rule for f in read_lead_sheet(CHART).findings} == {"hits", "layout"}


class TestEachPart:
    @pytest.mark.parametrize(
        ("book", "key", "low", "high", "octaves"),
        [
            ("C", "Ab major", "C4", "F5", 0),
            ("B♭", "Bb major", "D4", "G5", 0),
            ("E♭", "F major", "A4", "D6", 0),
            ("F", "Eb major", "G4", "C6", 0),
            ("Bass clef", "Ab major", "C3", "F4", -1),
        ],
    )
    def test_key_range_and_octave(
        self,
        parts: dict[str, Part],
        book: str,
        key: str,
        low: str,
        high: str,
        octaves: int,
    ) -> None:
        report = parts[book].report
        assert (str(report.key), str(report.low), str(report.high)) == (key, low, high)
        assert report.octaves == octaves

    @pytest.mark.parametrize("book", BOOKS)
    def test_heading_on_every_page(self, parts: dict[str, Part], book: str) -> None:
        assert len(parts[book].headings) == 2
        assert all(head.startswith(book) for head in parts[book].headings)

    def test_the_phrase_in_the_bridge_stays_on_one_side(
        self, parts: dict[str, Part]
    ) -> None:
        """Concert C♯m7–F♯7–Bmaj7: in naive transposition D♯m7–G♯7–C♯maj7 and
        A♯m7–D♯7–G♯maj7."""
        assert changes(parts["C"].bars, 15, 16) == "C#m7 F#7 | Bmaj7"
        assert changes(parts["B♭"].bars, 15, 16) == "Ebm7 Ab7 | Dbmaj7"
        assert changes(parts["E♭"].bars, 15, 16) == "Bbm7 Eb7 | Abmaj7"
        assert changes(parts["F"].bars, 15, 16) == "Abm7 Db7 | Gbmaj7"

    def test_the_melody_goes_along_with_its_chords(
        self, parts: dict[str, Part]
    ) -> None:
        assert names(parts["C"], 15, 16) == "B G# A# E D# F# A#"
        assert names(parts["B♭"], 15, 16) == "Db Bb C Gb F Ab C"
        assert names(parts["E♭"], 15, 16) == "Ab F G Db C Eb G"
        assert names(parts["F"], 15, 16) == "Gb Eb F Cb Bb Db F"

    def test_the_flat_two_dominant(self, parts: dict[str, Part]) -> None:
        """Concert A7 on its way down to A♭6."""
        assert changes(parts["C"].bars, 6, 6) == "Bbm7 A7 Ab6"
        assert changes(parts["B♭"].bars, 6, 6) == "Cm7 B7 Bb6"
        assert changes(parts["E♭"].bars, 6, 6) == "Gm7 Gb7 F6"
        assert changes(parts["F"].bars, 6, 6) == "Fm7 E7 Eb6"

    @pytest.mark.parametrize("book", BOOKS)
    def test_nobody_reads_a_double_accidental(
        self, parts: dict[str, Part], book: str
    ) -> None:
        for each in (*parts[book].bars, *parts[book].solo):
            for note in each.bar.melody:
                if isinstance(note, Note):
                    assert abs(note.pitch.alter) < 2
            for chord in each.bar.chords:
                assert abs(chord.symbol.root.alter) < 2  # type: ignore[union-attr]


class TestAllPartsAlike:
    @pytest.mark.parametrize("book", BOOKS)
    def test_four_bars_to_a_system(self, parts: dict[str, Part], book: str) -> None:
        part = parts[book]
        starts = [each.bar.number for each in part.bars if each.starts_system]
        assert starts == [0, 5, 9, 13, 17, 21, 25, 29]
        assert part.solo[0].starts_page

    @pytest.mark.parametrize("book", BOOKS)
    def test_solo_changes_stand_on_strong_beats(
        self, parts: dict[str, Part], book: str
    ) -> None:
        for each in parts[book].solo:
            assert {chord.onset for chord in each.bar.chords} <= {0, 2}
            assert len(each.slashes) == 4
            assert not each.bar.melody or not any(
                isinstance(event, Note) for event in each.bar.melody
            )

    @pytest.mark.parametrize("book", BOOKS)
    def test_the_hits_end_with_the_last_of_them(
        self, parts: dict[str, Part], book: str
    ) -> None:
        cued = {each.bar.number: each.cue for each in parts[book].bars if each.cue}
        assert sorted(cued) == [25, 26, 27, 29, 30, 31]
        assert all(isinstance(cued[number][-1], Hit) for number in (27, 31))
        for number in (25, 26, 29, 30):  # inside a figure there is no gap
            assert cued[number][-1].onset + cued[number][-1].duration == 4
        assert cued == {
            each.bar.number: each.cue for each in parts["C"].bars if each.cue
        }

    @pytest.mark.parametrize("book", BOOKS)
    def test_a_lone_off_beat_keeps_its_flag(
        self, parts: dict[str, Part], book: str
    ) -> None:
        """The "and" of 2 in bar 1, and the pickup's first note."""
        beams = {each.bar.number: each.melody_look.beams for each in parts[book].bars}
        assert beams[0] == ((), ("begin",), ("end",))
        assert beams[1] == ((), (), (), ("begin",), ("end",))


@pytest.mark.parametrize("book", BOOKS)
class TestWrittenFiles:
    def test_cues_in_the_file(self, parts: dict[str, Part], book: str) -> None:
        """Slash heads in a voice of their own, stems up; the melody's down there."""
        root = ET.fromstring(write_part(parts[book]))
        for measure in root.iter("measure"):
            notes = measure.findall("note")
            heads = [note for note in notes if note.findtext("notehead") == "slash"]
            if int(measure.get("number", "0")) not in (25, 26, 27, 29, 30, 31):
                continue
            assert heads
            (voice,) = {note.findtext("voice") for note in heads}
            assert {note.findtext("stem") for note in heads} == {"up"}
            cue = [note for note in notes if note.findtext("voice") == voice]
            figure_ends = measure.get("number") in ("27", "31")
            assert not figure_ends or cue[-1].find("rest") is None
            last = sum(int(note.findtext("duration", "0")) for note in cue)
            marks = [
                mark for note in cue for mark in note.iterfind(".//articulations/*")
            ]
            assert all(mark.get("placement") == "above" for mark in marks)
            at = 0
            for note in notes:
                if note.findtext("voice") == voice or note.find("grace") is not None:
                    continue
                if note.find("pitch") is not None and at < last:
                    assert note.findtext("stem") == "down"
                rest = note.find("rest")
                if rest is not None:  # held a space below the middle, clear of the cue
                    lower = "B" if book == "Bass clef" else "G"
                    assert rest.findtext("display-step") == lower
                at += int(note.findtext("duration", "0"))

    def test_pickup_systems_and_pages(self, parts: dict[str, Part], book: str) -> None:
        root = ET.fromstring(write_part(parts[book]))
        measures = root.findall("part/measure")
        assert (measures[0].get("number"), measures[0].get("implicit")) == ("0", "yes")
        systems = [
            measure.get("number")
            for measure in measures
            if measure.find("print[@new-system='yes']") is not None
        ]
        assert systems[:7] == ["5", "9", "13", "17", "21", "25", "29"]
        pages = [
            measure.get("number")
            for measure in measures[1:]
            if measure.find("print[@new-page='yes']") is not None
        ]
        assert pages == ["33"]

    def test_the_file_says_how_it_transposes(
        self, parts: dict[str, Part], book: str
    ) -> None:
        root = ET.fromstring(write_part(parts[book]))
        found = [
            root.findtext(f"part/measure/attributes/transpose/{name}")
            for name in ("diatonic", "chromatic", "octave-change")
        ]
        assert (
            found
            == {
                "C": [None, None, None],
                "B♭": ["-1", "-2", None],
                "E♭": ["-5", "-9", None],
                "F": ["-4", "-7", None],
                "Bass clef": [None, None, None],
            }[book]
        )


def test_one_plan_for_all(parts: dict[str, Part]) -> None:
    assert check_same_plan({name: part.plan for name, part in parts.items()}) == ()
