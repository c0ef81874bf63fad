"""The way through a part: to the solos, round their page, and back to the head.

The chart has a repeat right after its pickup, twenty bars without letters and its first
chord pushed into the pickup; what its pages must say is common practice, no source."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from pathlib import Path

from leadsheet_theory import Part, make_parts, read_lead_sheet
from leadsheet_theory.instruments import find_book
from leadsheet_theory.musicxml import write_part

PROJECT = Path(__file__).resolve().parents[2]
CHART = PROJECT / "shared/charts/solos/two_tides_a_day.musicxml"


def two_tides() -> Part:
    sheet = read_lead_sheet(CHART).sheet
    return make_parts(sheet, books=[find_book("Bb")])[0]


def test_sections_stay_whole_and_have_letters() -> None:
    part = two_tides()
    assert len(part.bars) == 21
    assert len(part.solo) == 24
    letters = {at: bar.bar.form.section for at, bar in enumerate(part.solo)}
    assert {at: name for at, name in letters.items() if name} == {
        0: "A",
        8: "B",
        16: "C",
    }
    endings = [bar.bar.form.ending for bar in part.solo]
    assert endings == [()] * 8 + [(1,)] * 8 + [(2,)] * 8


def test_the_page_opens_with_the_chord_that_the_pickup_pushes() -> None:
    assert [str(symbol) for symbol in two_tides().solo[0].symbols] == ["Cmaj7"]


def test_the_pages_say_where_to_go() -> None:
    part = two_tides()
    assert [each.text for each in part.bars[-1].bar.directions] == ["to Solos, p. 2"]
    label = part.solo[0].bar.directions[0]
    assert (label.text, label.onset) == ("Solos: repeat form till cue", 0)
    jump = part.solo[-1].bar.form.jump
    assert jump is not None
    assert (str(jump), jump.after_solos) == ("D.C. with repeats", True)
    assert part.headings == ("B♭ – lead sheet", "B♭ – lead sheet, solos")


def test_the_pickup_leads_back_in_small_notes_over_the_last_slashes() -> None:
    part = two_tides()
    last = part.solo[-1]
    assert [str(pitch) for pitch in last.lower_pitches] == ["G4", "A4", "B4"]
    assert last.shared.counterline_label == "last x"
    assert [note.onset for note in last.bar.counterline] == [2.5, 3, 3.5]
    assert len(last.slashes) == 4


def test_the_last_slashes_stand_clear_below_the_small_notes() -> None:
    part = two_tides()
    last = ET.fromstring(write_part(part)).findall("./part/measure")[-1]
    small = [note for note in last.iter("note") if note.find("cue") is not None]
    assert len(small) == 3
    slashes = [
        note.findtext("unpitched/display-step", "")
        + note.findtext("unpitched/display-octave", "")
        for note in last.iter("note")
        if note.find("unpitched") is not None
    ]
    assert slashes == ["C4"] * 4
