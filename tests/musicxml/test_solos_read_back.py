"""A part read back gives the tune, its running order and its solo page."""

from __future__ import annotations

import pytest
from attrs import evolve
from form_charts import changes, chart, sheet
from test_public_names import ROOT

from leadsheet_theory import make_parts, read_lead_sheet
from leadsheet_theory.instruments import DRUMS, RHYTHM, RhythmBook, find_book
from leadsheet_theory.leadsheet import Bar, LeadSheet, Solos, running_order
from leadsheet_theory.leadsheet.solo_chorus import part_solo_chorus
from leadsheet_theory.musicxml import parse_lead_sheet, write_part
from leadsheet_theory.musicxml.reading._form_words import form_words


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


@pytest.mark.parametrize(
    ("words", "kind", "rest"),
    [
        ("D.C. after solos", "jump", ""),
        ("After solos, D.C. al Coda", "jump", ""),
        ("D.S. al Coda last x", "jump", ""),
        ("On cue D.S. al Coda", "jump", "on cue"),
        ("To Coda (last time)", "to-coda", "last time"),
        ("on cue to Coda 2", "to-coda", "on cue"),
        ("Fine last time", "fine", "last time"),
        ("to Solos, p. 2", "to-solos", ""),
        ("2nd x to Solos, p. 2", "to-solos", ""),
    ],
)
def test_words_that_say_when_the_solos_are_over(
    words: str, kind: str, rest: str
) -> None:
    said = form_words(words)
    assert said is not None
    assert (said.kind, said.rest) == (kind, rest)
    assert said.jump is None or said.jump.after_solos is (rest == "")


@pytest.mark.parametrize(
    ("label", "times"),
    [
        ("Solos", "open"),
        ("Open for solos", "open"),
        ("Solos till cue", "open"),
        ("Solos: 2 choruses", 2),
        ("Solos (3x)", 3),
    ],
)
def test_labels_say_how_long_the_solos_last(label: str, times: Solos) -> None:
    source = tune("1-16")
    silent = [
        evolve(bar, melody=(), form=evolve(bar.form, section=label * (at == 0)))
        for at, bar in enumerate(source.bars[8:])
    ]
    parted, _ = part_solo_chorus(evolve(source, bars=(*source.bars[:8], *silent)))
    assert parted.solo_chorus is not None
    assert (len(parted.bars), parted.solo_chorus.times) == (8, times)
