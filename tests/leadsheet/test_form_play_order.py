"""The order of playing: handbook cases, a shared table, and signs that disagree."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from form_charts import bar, chart

from leadsheet_theory.leadsheet import FormSigns
from leadsheet_theory.leadsheet.form import (
    MOST_BARS_PLAYED,
    Section,
    play_order,
    sections,
)

TABLE = Path(__file__).resolve().parents[2] / "../shared/reference/play_order_cases.csv"


def played(text: str) -> str:
    bars = chart(text)
    return " ".join(str(bars[index].number) for index in play_order(bars).indices)


def problems(text: str) -> list[str]:
    return [str(problem) for problem in play_order(chart(text)).problems]


# The source of each block is named above it.
HANDBOOK = [
    # Introduction to Music Theory, lesson 2 (bar orders printed there).
    ("1-4 :| |: 5-6 :| 7-10", "1 2 3 4 1 2 3 4 5 6 5 6 7 8 9 10"),
    ("1-4 Fine 5-8 DC.Fine", "1 2 3 4 5 6 7 8 1 2 3 4"),
    ("1 Segno 2-4 Fine 5-8 DS.Fine", "1 2 3 4 5 6 7 8 2 3 4"),
    ("1-8 DC", "1 2 3 4 5 6 7 8 1 2 3 4 5 6 7 8"),
    # Wikipedia, "Repeat sign" (printed as A B C B D).
    ("1 |: 2 [1: 3 :|] [2: 4]", "1 2 3 2 4"),
    # C. Schmidt-Jones, Understanding Basic Music Theory, "Repeats and Other
    # Musical Road Map Signs": any number of endings.
    ("|: 1-3 [1: 4 :|] [2: 5 :|] [3: 6]", "1 2 3 4 1 2 3 5 1 2 3 6"),
    # MusicXML 4.0, type "ending": one bracket for several passes.
    ("|: 1 [1,3: 2 :|] [2: 3 :|] [4: 4]", "1 2 1 3 1 2 1 4"),
    ("|: 1 [1,2: 2 :|] 3", "1 2 1 2 1 3"),
    # Music Theory v1.0 (open textbook), 1.3: x3 is three passes in all.
    ("|: 1-2 :|x3 3", "1 2 1 2 1 2 3"),
    # LearnMusicTheory.net, High-Yield Theory 1.8: no repeats after the jump,
    # first endings skipped.
    ("|: 1 [1: 2 :|] [2: 3 Fine] 4 DC.Fine", "1 2 1 3 4 1 3"),
    ("1 Segno |: 2 :| ToCoda 3 DS.Coda Coda 4", "1 2 2 3 2 4"),
    # MusicXML 4.0, type "sound": a jump acts the first time, to coda after it.
    ("1 ToCoda 2 DC.Coda Coda 3", "1 2 1 3"),
    # J. Feist, "Measure 0", Berklee music blogs, 2007.
    ("0 |: 1-2 [1: 3 :|] [2: 4]", "0 1 2 3 1 2 4"),
    # Common practice, no source.
    ("", ""),
    ("1-4", "1 2 3 4"),
    ("0 1-2 :|", "0 1 2 0 1 2"),
    ("1-2 :| 3-4 :|", "1 2 1 2 3 4 3 4"),
    ("|: 1-2 [1: 3 :|] [2: 4 :|]", "1 2 3 1 2 4"),
    ("|: 1-2 ToCoda 3-4 :| Coda 5", "1 2 3 4 1 2 5"),
    ("|: 1 :| 2 DC.Fine+rep Fine", "1 1 2 1 1 2"),
    ("1 ToCoda 2 DC.Coda Coda |: 3 :|", "1 2 1 3 3"),  # new music: repeat taken
    ("|: 1-2 [1: 3 :|] 4", "1 2 3 1 2 4"),  # no bracket over the second ending
    ("|: 1 [1: 2 :|] [2: 3 4 :|] [3: 5]", "1 2 1 3 4 1 5"),  # bridge in an ending
    ("1 Segno |: 2 3 :| 4 DS", "1 2 3 2 3 4 2 3 4"),
    ("|: 1 Segno 2 :| 3 DS.Fine+rep 4 Fine", "1 2 1 2 3 2 1 2 3 4"),
]


@pytest.mark.parametrize(("text", "order"), HANDBOOK)
def test_order_of_playing(text: str, order: str) -> None:
    assert played(text) == order
    assert not problems(text) or text == "1-2 :| 3-4 :|"


@pytest.mark.skipif(not TABLE.exists(), reason="../shared/reference is not here")
def test_shared_table() -> None:
    with TABLE.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    wrong = [
        (row["structure"], row["expected_bar_order"], played(row["structure"]))
        for row in rows
        if played(row["structure"]) != row["expected_bar_order"]
    ]
    assert len(rows) >= 31
    assert wrong == []


# Signs that contradict one another: the order taken, and what is said.
ILL_FORMED = [
    (
        "|: 1-2 |: 3-4 :|",
        "1 2 3 4 3 4",
        ["bar 1: a start repeat that nothing closes: left out"],
    ),
    (
        "|: 1 |: 2 :| 3 :|",
        "1 2 2 3 1 2 2 3",
        [
            "bar 1: a repeat with another one inside: the inner one is played out on "
            "every pass"
        ],
    ),
    (
        "1-2 :| 3-4 :|",
        "1 2 1 2 3 4 3 4",
        [
            "bar 4: an end repeat with no start after the one before: read as back to "
            "bar 3"
        ],
    ),
    (
        "|: 1 [1: 2 :|] [3: 3]",
        "1 2 1 3",
        ["bar 2: endings numbered 1, 3: taken in written order"],
    ),
    (
        "|: 1 [1: 2] [2: 3]",
        "1 2 1 3",
        ["bar 2: an ending that another one follows has no end repeat: read as one"],
    ),
    (
        "|: 1 [1: 2] 3 :| [2: 4]",
        "1 2 3 1 4",
        ["bar 2: ending 1 stops short of its end repeat: drawn out to bar 3"],
    ),
    (
        "1 [1: 2] 3",
        "1 2 3",
        ["bar 2: an ending without an end repeat: played as it stands"],
    ),
    ("|: 1 :|x1 2", "1 2", ["bar 1: a repeat of one pass: read as no repeat"]),
    (
        "1-2 DS.Fine Fine",
        "1 2 1 2",
        ["bar 2: D.S., but no segno before it: read as D.C."],
    ),
    ("1 DC.Fine", "1 1", ["bar 1: D.C. al fine, but no fine: played to the end"]),
    (
        "1 DC.Coda Coda 2",
        "1 1 2",
        ["bar 1: D.C. al coda, but no to coda: played to the end"],
    ),
    ("1 ToCoda 2 DC.Coda", "1 2 1 2", ["bar 1: to coda, but no coda: played on"]),
    ("1 Coda 2", "1 2", ["bar 2: a coda that nothing leads to: played on"]),
    ("1 Fine 2", "1 2", ["bar 1: fine, but no D.C. or D.S.: played on"]),
    (
        "1 Fine 2 DC.Fine 3-4",
        "1 2 1",
        ["bar 3: bars up to 4 are never played"],
    ),
    # to coda is for a jump that names the coda: al fine plays past it
    (
        "1 ToCoda 2 Fine 3 DC.Fine Coda 4",
        "1 2 3 1 2",
        ["bar 4: a bar that is never played"],
    ),
    (
        "1 Segno 2 ToCoda 3 Fine 4 DS.Fine Coda 5",
        "1 2 3 4 2 3",
        ["bar 5: a bar that is never played"],
    ),
]


@pytest.mark.parametrize(("text", "order", "said"), ILL_FORMED)
def test_signs_that_disagree(text: str, order: str, said: list[str]) -> None:
    assert played(text) == order
    assert problems(text) == said


def test_a_jump_out_of_a_repeat_need_not_wait_for_its_last_pass() -> None:
    # The coda is reached although the outer repeat has a pass to go.
    assert played("|: Segno 1 ToCoda 2 DS.Coda Coda 3 :| 4") == "1 2 1 3 1 2 3 4"


def test_a_misread_count_is_cut() -> None:
    order = play_order(chart("|: 1-2 :|x999999"))
    assert len(order.indices) == MOST_BARS_PLAYED
    assert [str(problem) for problem in order.problems] == [
        "bar 1: more than 20000 bars: cut there"
    ]


def test_sections() -> None:
    assert sections(chart("0 A= 1-2 B= 3")) == (
        Section("", 0, 1),
        Section("A", 1, 3),
        Section("B", 3, 4),
    )
    assert sections(()) == ()


def test_a_repeat_that_is_entered_past_its_start_is_played_all_the_same():
    """A bracket that holds a start repeat contradicts itself; it is never an error."""
    signs = (
        FormSigns(ending=(1, 2), ending_starts=True, repeat_end=2),
        FormSigns(ending=(1, 2), repeat_start=True),
        FormSigns(repeat_end=2),
    )
    bars = [bar(number, form=form) for number, form in enumerate(signs, 1)]
    assert set(play_order(bars).indices) == {0, 1, 2}
