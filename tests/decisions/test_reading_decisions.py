"""Decisions as values: read from a text, merged, and put to use without any file."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadsheet_theory import read_lead_sheet
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
from leadsheet_theory.pages import LOOKS

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
        if key.holds != "a list of texts":
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
