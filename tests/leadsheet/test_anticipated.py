"""A chord that comes early belongs to its bar on every pass: one rule for the solo
page, the grid and the sound (common practice, no source)."""

from __future__ import annotations

import pytest
from attrs import evolve
from form_charts import bar, changes, chart, sheet

from leadsheet_theory import make_parts, solo_changes
from leadsheet_theory.leadsheet import LeadSheet, anticipated_chords, felt_chords
from leadsheet_theory.midi._played import play_out


def pushed() -> LeadSheet:
    """The chord of bar 1 is pushed into the pickup, and the repeat leaves that out."""
    chords = {0: "1.5 F", 2: "1 Gm7", 3: "1 C7", 4: "1 F", 5: "1 C7"}
    return sheet(
        [
            evolve(bar, chords=changes(chords.get(bar.number, "")))
            for bar in chart("0 |: 1-3 [1: 4 :|] [2: 5]")
        ]
    )


def test_it_belongs_to_the_bar_after() -> None:
    found = anticipated_chords(pushed().bars)
    assert [str(chord) if chord else "" for chord in found] == ["", "F", *[""] * 4]


def test_every_pass_sounds_it() -> None:
    played = play_out(pushed(), choruses=0, count_in=0)
    first = [each.bar for each in played.bars if each.bar.number == 1]
    assert [[str(c.symbol) for c in bar.chords] for bar in first] == [[], []]
    repeated = evolve(
        pushed(),
        bars=tuple(
            evolve(bar, chords=changes("1 Bb7")) if bar.number == 4 else bar
            for bar in pushed().bars
        ),
    )
    played = play_out(repeated, choruses=0, count_in=0)
    first = [each.bar for each in played.bars if each.bar.number == 1]
    assert [[str(c.symbol) for c in bar.chords] for bar in first] == [[], ["F"]]
    assert [each.time for each in played.bars if each.bar.number == 1] == [1, 2]


def test_the_solo_page_opens_with_it() -> None:
    page = solo_changes(pushed()).bars
    assert str(page[0].chords[0].symbol) == "F"
    (part,) = make_parts(pushed(), books=["C"])
    assert part.order.head == (0, 1, 2, 3, 4, 1, 2, 3, 5)


@pytest.mark.parametrize(
    ("beat", "felt"),
    [("4", "3"), ("4.5", "7/2"), ("5", "9/2")],
    ids=["on it", "in its first half", "in its second half"],
)
def test_only_the_second_half_of_a_beat_anticipates_the_next(
    beat: str, felt: str
) -> None:
    chart = [bar(1, "12/8", chords=changes(f"1 F, {beat} C7"))]
    found = felt_chords(chart)
    assert [str(placed.onset) for placed in found.chords[0]] == ["0", felt]
    told = [str(each) for each in found.remarks]
    late = "C7 stays off the beat: it comes in the first half of it"
    assert told == ([f"bar 1, beat 8: {late}"] if felt == "7/2" else [])
