"""What can be decided of a tune's form and its solo page."""

from __future__ import annotations

from pathlib import Path

from attrs import evolve

from leadsheet_theory import read_lead_sheet
from leadsheet_theory.decisions import decided_parts, decided_sheet, decisions_from
from leadsheet_theory.leadsheet import Rest, unfold

CHARTS = Path(__file__).resolve().parents[2] / "shared/charts"
TIDES = read_lead_sheet(CHARTS / "solos/two_tides_a_day.musicxml").sheet
DEMO = read_lead_sheet(CHARTS / "harbourmasters_day_off.musicxml").sheet


def test_a_tune_that_is_written_out_is_folded() -> None:
    written_out = evolve(DEMO, bars=unfold(DEMO.bars))
    folded = decided_sheet(written_out, decisions_from({"fold": "page short"}))
    assert (len(written_out.bars), len(folded.bars)) == (37, 33)


def test_a_tune_without_letters_gets_some() -> None:
    lettered = decided_sheet(TIDES, decisions_from({"letters": True}))
    named = {bar.number: bar.form.section for bar in lettered.bars if bar.form.section}
    assert named == {1: "A", 9: "B"}
    assert decided_sheet(DEMO, decisions_from({"letters": True})).bars == DEMO.bars


def test_the_solo_page_has_hits_and_counts() -> None:
    asked = decisions_from({"solo-hits": True, "bar-counts": 4, "books": ["C"]})
    (part,) = decided_parts(TIDES, asked)
    assert any(bar.cue for bar in part.solo)
    counts = [
        each.text
        for bar in part.solo
        for each in bar.bar.directions
        if each.text.startswith("(")
    ]
    assert counts == ["(4)", "(8)"] * 3


def test_silent_bars_get_slashes() -> None:
    rest = (Rest(TIDES.bars[5].length * 0, TIDES.bars[5].length, whole_bar=True),)
    bars = [evolve(bar, melody=rest) if bar.number == 5 else bar for bar in TIDES.bars]
    tune = evolve(TIDES, bars=tuple(bars))
    for slashes, drawn in (("wherever silent", True), ("as written", False)):
        asked = decisions_from({"slashes": slashes, "books": ["C"]})
        (part,) = decided_parts(tune, asked)
        assert any(
            e.slashes for e in part.bars[5].bar.melody if isinstance(e, Rest)
        ) is (drawn)
