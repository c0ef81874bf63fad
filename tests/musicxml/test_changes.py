"""What changed from one printing of a part to the next."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from leadsheet_theory import make_parts, read_lead_sheet, write_part
from leadsheet_theory.errors import MusicXMLReadError
from leadsheet_theory.leadsheet import LeadSheet, Note
from leadsheet_theory.musicxml import PartChanges, part_changes

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "shared" / "charts" / "harbourmasters_day_off.musicxml"
SHEET = read_lead_sheet(DEMO).sheet


@cache
def written(sheet: LeadSheet, revision: str = "") -> bytes:
    (part,) = make_parts(sheet, books="C", revision=revision)
    return write_part(part)


def softer(index: int) -> LeadSheet:
    """The tune with its last note of a bar left without marks, a bit shorter of ink."""
    bar = SHEET.bars[index]
    melody = tuple(
        evolve(event, pitches=event.pitches[:1], tied_to_next=False)
        if isinstance(event, Note)
        else event
        for event in bar.melody[:-1]
    )
    bars = list(SHEET.bars)
    bars[index] = evolve(bar, melody=melody)
    return evolve(SHEET, bars=tuple(bars))


@settings(max_examples=12)
@given(st.integers(1, len(SHEET.bars) - 1))
def test_a_changed_bar_is_told_with_its_page(index: int) -> None:
    changes = part_changes(written(SHEET), written(softer(index)))
    assert SHEET.bars[index].number in changes.bars
    assert 1 in changes.pages
    # and it is the same the other way round
    assert part_changes(written(softer(index)), written(SHEET)) == changes


def test_nothing_changes_from_a_file_to_itself_nor_by_its_revision() -> None:
    assert part_changes(written(SHEET), written(SHEET)) == PartChanges()
    assert not part_changes(written(SHEET, "1"), written(SHEET, "2"))


def test_a_bar_that_is_gone_is_told_by_the_one_before() -> None:
    bars = tuple(bar for bar in SHEET.bars if bar.number != 14)
    changes = part_changes(written(SHEET), written(evolve(SHEET, bars=bars)))
    assert 13 in changes.bars
    assert changes.pages[0] == 1


def test_a_title_changes_pages_alone() -> None:
    renamed = evolve(SHEET, title="Harbourmaster's Night")
    changes = part_changes(written(SHEET), written(renamed))
    assert (changes.bars, changes.pages) == ((), (1, 2))


def test_what_is_no_file_of_a_part() -> None:
    with pytest.raises(MusicXMLReadError, match="no file of a part"):
        part_changes(b"", written(SHEET))
