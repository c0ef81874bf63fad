"""Laws of the proofreader, over charts as a careless hand enters them."""

from __future__ import annotations

from attrs import evolve
from hypothesis import given, settings
from strategies import rough_sheets

from leadsheet_theory import LeadSheet, proofread
from leadsheet_theory.proof import PROOF_RULES

RULES = {rule.name: rule for rule in PROOF_RULES}


@settings(max_examples=30)
@given(rough_sheets())
def test_it_never_stumbles(sheet: LeadSheet) -> None:
    numbers = {bar.number for bar in sheet.bars}
    for finding in proofread(sheet):
        assert finding.rule in RULES
        assert finding.message
        assert finding.bar is None or finding.bar in numbers
        assert str(finding)


@settings(max_examples=30)
@given(rough_sheets())
def test_it_goes_through_the_bars_in_order(sheet: LeadSheet) -> None:
    bars = [finding.bar for finding in proofread(sheet) if finding.bar is not None]
    assert bars == sorted(bars)


@settings(max_examples=30)
@given(rough_sheets())
def test_skipping_a_rule_takes_away_its_findings_alone(sheet: LeadSheet) -> None:
    found = proofread(sheet)
    for rule in {finding.rule for finding in found}:
        rest = tuple(finding for finding in found if finding.rule != rule)
        assert proofread(sheet, skip=[rule]) == rest


@settings(max_examples=30)
@given(rough_sheets())
def test_a_title_changes_only_what_is_said_of_titles(sheet: LeadSheet) -> None:
    sheet = evolve(sheet, composer="the pilot")
    untitled = proofread(evolve(sheet, title=""))
    assert {f.rule for f in untitled} - {f.rule for f in proofread(sheet)} == {
        "heading"
    }
