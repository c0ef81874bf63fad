"""Ties that lead over a repeat or into a second ending: the far end is tied too.

That such a tie has two elements on its one note is MusicXML 4.0 (``tied-type``); that
players see half a tie there is common practice, no source."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from fractions import Fraction

import pytest
from attrs import evolve
from form_charts import chart, sheet

from leadsheet_theory import make_parts, write_lead_sheet, write_part
from leadsheet_theory.leadsheet import LeadSheet, Lyric, Note, complete_ties, open_ties
from leadsheet_theory.midi import write_midi
from leadsheet_theory.musicxml import parse_lead_sheet
from leadsheet_theory.pitch import Pitch


def tune(form: str, tied_out: int, *, at: str = "C5") -> LeadSheet:
    """A chart of that form with a long note in each bar, all alike but those of bar 9,
    one of them tied on."""
    return sheet(
        [
            evolve(
                bar,
                melody=(
                    Note(
                        onset=Fraction(0),
                        duration=bar.length,
                        pitches=(Pitch.parse("D5" if bar.number == 9 else at),),
                        tied_to_next=bar.number == tied_out,
                        tied_from_previous=bar.number == tied_out + 1,
                    ),
                ),
            )
            for bar in chart(form)
        ]
    )


FORMS = [
    # form, the bar that is tied on, the bars that it is tied into
    ("1-2 |: 3-4 :| 5", 4, [5, 3]),
    ("|: 1-2 [1: 3 :|] [2: 4] 5", 2, [3, 4]),
    ("|: 1-2 [1: 3 :|] [2: 4] 5", 3, [1, 4]),
    ("1-4 DC 5", 4, [1, 5]),
]


@pytest.mark.parametrize(("form", "tied_out", "into"), FORMS)
def test_the_far_end_is_tied_and_comes_back(
    form: str, tied_out: int, into: list[int]
) -> None:
    source = tune(form, tied_out)
    done = complete_ties(source.bars)
    tied = {
        bar.number
        for bar in done.bars
        if isinstance(bar.melody[0], Note) and bar.melody[0].tied_from_previous
    }
    assert tied == set(into)
    assert all("a tie leads here" in str(remark) for remark in done.remarks)
    again = complete_ties(done.bars)
    assert (again.bars, again.remarks) == (done.bars, ())
    mended = evolve(source, bars=done.bars)
    assert parse_lead_sheet(write_lead_sheet(mended)).sheet.bars == done.bars


def test_another_note_is_struck() -> None:
    source = tune("1-8 |: 9-10 :|", 10)
    assert complete_ties(source.bars).bars == source.bars


def test_open_halves_are_written_with_two_elements() -> None:
    source = tune("|: 1-2 [1: 3 :|] [2: 4] 5", 2)
    source = evolve(source, bars=complete_ties(source.bars).bars)
    assert [(each.into, each.out) for each in open_ties(source.bars)] == [
        (False, False),
        (False, False),
        (False, False),
        (True, False),
        (False, False),
    ]
    (part,) = make_parts(source, books=["C"])
    ending = ET.fromstring(write_part(part)).findall("./part/measure")[3]
    kinds = [each.get("type") for each in ending.iter("tied")]
    assert kinds == ["stop", "start"]
    assert [each.get("type") for each in ending.iter("tie")] == ["stop"]


def test_the_sound_is_held_on_as_it_is_played() -> None:
    source = tune("|: 1-2 [1: 3 :|] [2: 4] 5", 2)
    mended = evolve(source, bars=complete_ties(source.bars).bars)
    assert write_midi(mended) != write_midi(source)


@pytest.mark.parametrize("end", ["tied_to_next", "tied_from_previous"])
@pytest.mark.parametrize(("left", "right"), [(1, 2), (2, 3)])
def test_a_tie_with_one_end_written_has_both(end: str, left: int, right: int) -> None:
    """Programs that lose one of the two elements leave a held note behind."""
    note = Note(onset=Fraction(0), duration=Fraction(4), pitches=(Pitch.parse("C5"),))
    marked = [evolve(bar, melody=(note,)) for bar in chart("1-2 |: 3-4 :| 5")]
    at = left if end == "tied_to_next" else right
    half = evolve(
        note,
        tied_to_next=end == "tied_to_next",
        tied_from_previous=end == "tied_from_previous",
    )
    marked[at - 1] = evolve(marked[at - 1], melody=(half,))
    done = complete_ties(marked)
    # what is tied into a repeat may come from its end
    if (end, right) == ("tied_from_previous", 3):
        assert done.bars == tuple(marked)
        return
    tied = [
        (bar.melody[0].tied_from_previous, bar.melody[0].tied_to_next)
        for bar in done.bars
        if isinstance(bar.melody[0], Note)
    ]
    assert tied[left - 1][1] and tied[right - 1][0]
    assert sum(map(sum, tied)) == 2
    assert [remark.bar for remark in done.remarks] == [left]
    sung = evolve(note, lyrics=(Lyric("oh"),))
    marked[right - 1] = evolve(
        marked[right - 1],
        melody=(evolve(sung, tied_from_previous=end == "tied_from_previous"),),
    )
    assert complete_ties(marked).bars == tuple(marked)
