"""A part read back gives the tune, its running order and its solo page."""

from __future__ import annotations

import pytest
from attrs import evolve
from form_charts import changes, chart, sheet
from test_public_names import ROOT

from leadsheet_theory import make_parts, read_lead_sheet
from leadsheet_theory.instruments import DRUMS, RHYTHM, RhythmBook, find_book
from leadsheet_theory.leadsheet import Bar, LeadSheet, running_order
from leadsheet_theory.musicxml import parse_lead_sheet, write_part


def tune(form: str) -> LeadSheet:
    """A chart of that form with a chord and a note in each bar."""
    demo = read_lead_sheet(ROOT / "shared/charts/harbourmasters_day_off.musicxml").sheet
    melody = demo.bars[1].melody
    bars: list[Bar] = [
        evolve(bar, chords=changes("1 F, 3 C7"), melody=() if bar.is_pickup else melody)
        for bar in chart(form)
    ]
    return sheet(bars)


C = find_book("C")
FORMS = [
    "1-8",
    "|: 1-6 [1: 7-8 :|] [2: 9-10] 11-18",
    "1-4 ToCoda 5-8 DC.Coda Coda 9-10",
    "|: Segno 1-6 [1: 7-8 :|] [2: 9-10] 11-18 ToCoda 19-20 DS.Coda Coda 21-24",
    "1-4 Fine 5-8 DC.Fine",
    "1-8 Segno 9-16 Fine 17-24 DS.Fine",
    "1-6 ToCoda 7-8 Coda 9-10",
    "1-8 ToCoda 9-20 DC.Coda Coda 21-22",
    "1-8 DC",
]


@pytest.mark.parametrize("form", FORMS)
def test_the_running_order_comes_back(form: str) -> None:
    source = tune(form)
    (part,) = make_parts(source, books=[C])
    again = parse_lead_sheet(write_part(part)).sheet
    assert len(again.bars) == len(source.bars)
    assert again.solo_chorus is not None
    assert len(again.solo_chorus.bars) == len(part.solo)
    wanted, found = running_order(source), running_order(again)
    assert (found.head, found.out_head) == (wanted.head, wanted.out_head)
    assert str(found) == str(wanted)


@pytest.mark.parametrize("form", FORMS)
def test_the_solo_page_comes_back_and_nothing_is_added(form: str) -> None:
    source = tune(form)
    (part,) = make_parts(source, books=[C])
    again = parse_lead_sheet(write_part(part)).sheet
    (second,) = make_parts(again, books=[C])
    assert len(second.bars) == len(part.bars)
    assert [bar.symbols for bar in second.solo] == [bar.symbols for bar in part.solo]
    assert [bar.bar.form for bar in second.solo] == [bar.bar.form for bar in part.solo]


@pytest.mark.parametrize("form", FORMS[:5])
@pytest.mark.parametrize("book", [RHYTHM, DRUMS], ids=str)
def test_a_head_of_slashes_comes_back_without_its_solo_page(
    form: str, book: RhythmBook
) -> None:
    (part,) = make_parts(tune(form), books=book)
    again = parse_lead_sheet(write_part(part)).sheet
    assert len(again.bars) == len(part.bars)
    assert again.solo_chorus is not None
    assert len(again.solo_chorus.bars) == len(part.solo)
