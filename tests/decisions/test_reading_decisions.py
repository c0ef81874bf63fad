"""Decisions as values: read from a text, merged, and put to use without any file."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st

from leadsheet_theory import parse_chord, read_lead_sheet
from leadsheet_theory.decisions import (
    DECISION_KEYS,
    Decision,
    Decisions,
    decided_parts,
    decided_readers,
    decided_sheet,
    decisions_from,
    read_decisions,
)
from leadsheet_theory.errors import DecisionError
from leadsheet_theory.leadsheet import Note, PlacedChord, SoloChorus, blank_sheet
from leadsheet_theory.pages import LOOKS
from leadsheet_theory.parts import Part

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "shared" / "charts" / "harbourmasters_day_off.musicxml"
GUIDE = (ROOT / "docs" / "howto" / "decisions.rst").read_text(encoding="utf-8")

ENTRIES = st.builds(
    Decision, st.sampled_from(sorted(DECISION_KEYS)), st.sampled_from(["1", "2"])
)
LAYERS = st.builds(Decisions, st.lists(ENTRIES, max_size=6).map(tuple))


@given(LAYERS, LAYERS, LAYERS)
def test_merging_does_not_depend_on_what_is_merged_first(
    band: Decisions, tune: Decisions, typed: Decisions
) -> None:
    left = band.followed_by(tune).followed_by(typed)
    assert left == band.followed_by(tune.followed_by(typed))
    assert band.followed_by(Decisions()) == Decisions().followed_by(band) == band


@given(LAYERS, LAYERS)
def test_the_later_wins_and_lists_come_together(
    band: Decisions, tune: Decisions
) -> None:
    both = band.followed_by(tune)
    for name, key in DECISION_KEYS.items():
        if not key.listed:
            assert both.of(name) == (tune.of(name) or band.of(name))
        elif name not in ("books", "instruments"):
            assert both.of(name) == (*band.of(name), *tune.of(name))


def test_the_guide_has_every_key_and_its_option() -> None:
    for key in DECISION_KEYS.values():
        assert f"``{key.name}``" in GUIDE
        assert f"``--{key.option}``" in GUIDE


def test_the_looks_are_those_of_the_pages() -> None:
    for look in LOOKS:
        assert decisions_from({"look": look}).text("look") == look
    with pytest.raises(DecisionError, match=r"none of engraved, handwritten$"):
        decisions_from({"look": "etched"})


def test_bytes_and_values_say_the_same_as_a_text() -> None:
    text = 'title = "♭"\nrespell = ["Bb 16 1 C#"]\n[octaves]\nC = -1'
    asked = {"title": "♭", "respell": ["Bb 16 1 C#"], "octaves": ["C = -1"]}
    of_text, of_bytes = read_decisions(text), read_decisions(text.encode())
    assert of_text == of_bytes
    asked_for = decisions_from(asked)
    assert [each.value for each in of_text.each] == [e.value for e in asked_for.each]


def test_bytes_that_are_no_utf_8() -> None:
    with pytest.raises(DecisionError, match=r"^tune\.toml, line 1: "):
        read_decisions(b'title = "\xff"', file="tune.toml")


def test_a_key_without_its_mode_is_taken_in_the_tunes() -> None:
    sheet = read_lead_sheet(DEMO).sheet
    assert decided_sheet(sheet, decisions_from({"key": "F"})).key.mode == "major"
    with pytest.raises(DecisionError, match=r"^key: the tune is in Ab major, not in"):
        decided_sheet(sheet, decisions_from({"key": "F minor"}))


def test_what_is_decided_for_a_book_reaches_its_instruments() -> None:
    sheet = read_lead_sheet(DEMO).sheet
    wish = {"instruments": ["tenor sax", "clarinet"], "respell": ["Bb 16 1 C#"]}
    parts = decided_parts(sheet, decisions_from(wish))
    roots = {
        str(chord.symbol.root)  # type: ignore[union-attr]
        for part in parts
        for bar in part.bars
        if bar.bar.number == 16
        for chord in bar.bar.chords[:1]
    }
    assert roots == {"C#"}
    octaves = decisions_from({**wish, "octaves": ["Bb = 1"]})
    assert {p.report.octaves for p in decided_parts(sheet, octaves)} == {1}


def test_readers_under_their_names() -> None:
    asked = decisions_from({"books": ["C"], "names": ["C = Concert B♭ band"]})
    (book,) = decided_readers(asked)
    assert (book.name, book.ascii_name) == ("Concert B♭ band", "Concert Bb band")


def part_of(asked: dict[str, object], book: str = "Bb") -> Part:
    decisions = decisions_from({"books": [book], **asked})
    sheet = decided_sheet(read_lead_sheet(DEMO).sheet, decisions)
    (part,) = decided_parts(sheet, decisions)
    return part


def test_another_octave_in_some_bars() -> None:
    usual, moved = part_of({}), part_of({"octaves": ["Bb 2-4 = -1"]})
    for old, new in zip(usual.bars, moved.bars, strict=True):
        tied = sum(
            len(event.pitches)
            for event in new.bar.melody[:1]
            if isinstance(event, Note) and event.tied_from_previous
        )
        by = -12 if 2 <= new.bar.number <= 4 else 0
        steps = [b.midi - a.midi for a, b in zip(old.pitches, new.pitches, strict=True)]
        assert steps[tied:] == [by] * len(steps[tied:])
        # a note that is tied over keeps the octave it was struck in
        held = {2: 0, 5: -12}.get(new.bar.number, by)
        assert steps[:tied] == [held] * tied
        assert old.bar.chords == new.bar.chords
    assert moved.report.low is not None and usual.report.low is not None
    assert moved.report.low.midi < usual.report.low.midi
    assert any(f.rule == "range" and f.bar == 4 for f in moved.report.findings)


def test_a_corrected_chord_is_right_in_all_its_places() -> None:
    before, after = part_of({}, "C"), part_of({"correct-chord": ["13 1 Ebm9"]}, "C")
    bars = {bar.bar.number: str(bar.symbols[0]) for bar in after.bars if bar.symbols}
    assert bars[13] == "Ebm9"
    assert sum(str(s) == "Ebm9" for bar in after.solo for s in bar.symbols) == 1
    assert not any(str(s) == "Ebm9" for bar in before.solo for s in bar.symbols)


def test_a_corrected_note_takes_its_ties_along() -> None:
    part = part_of({"correct-note": ["6 5/2 G4"]}, "C")
    (bar,) = (each.bar for each in part.bars if each.bar.number == 6)
    names = [str(e.pitch) for e in bar.melody if isinstance(e, Note)]
    assert names[2:4] == ["G4", "G4"]


def test_systems_begin_where_they_are_to() -> None:
    starts = {bar.bar.number for bar in part_of({}).bars if bar.starts_system}
    part = part_of({"system-breaks": [1, 7, 15, 40]})
    assert {b.bar.number for b in part.bars if b.starts_system} >= {0, 7, 15}
    assert 1 not in {b.bar.number for b in part.bars if b.starts_system}
    assert 40 in {b.shared.number for b in part.solo if b.starts_system}
    assert 7 not in starts


def test_beams_are_broken_and_joined() -> None:
    part = part_of({"beam-apart": ["17 2"], "beam-joined": ["25 4"]})
    beams = {bar.bar.number: bar.melody_look.beams for bar in part.bars}
    assert [marks[:1] for marks in beams[17][:4]] == [
        ("begin",), ("end",), ("begin",), ("end",)
    ]  # fmt: skip
    assert [marks[:1] for marks in beams[25][-3:]] == [
        ("begin",), ("continue",), ("end",)
    ]  # fmt: skip


def test_a_corrected_chord_is_right_in_a_solo_chorus_of_the_chart_s_own() -> None:
    tune = blank_sheet("Rope", form="A4 1:2 2:2")
    first = PlacedChord(Fraction(0), parse_chord("Dm7"))
    bars = tuple(evolve(bar, chords=(first,)) for bar in tune.bars)
    long = blank_sheet("Rope", form="12").bars  # the head as it is played
    chorus = SoloChorus(tuple(evolve(bar, chords=(first,)) for bar in long))
    tune = evolve(tune, bars=bars, solo_chorus=chorus)
    made = decided_sheet(tune, decisions_from({"correct-chord": ["2 1 G7", "8 1 C6"]}))
    assert made.solo_chorus is not None
    chords = [str(bar.chords[0].symbol) for bar in made.solo_chorus.bars]
    assert [n for n, chord in enumerate(chords, 1) if chord == "G7"] == [2, 8]
    assert [n for n, chord in enumerate(chords, 1) if chord == "C6"] == [12]
    # one of another length is left alone
    short = evolve(tune, solo_chorus=SoloChorus(chorus.bars[:8]))
    again = decided_sheet(short, decisions_from({"correct-chord": ["2 1 G7"]}))
    assert again.solo_chorus == short.solo_chorus
