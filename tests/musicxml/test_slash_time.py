"""Stretches of slashes: from the file into every part and back.

That a slash without a stem stands for a beat to be filled, and where slash notation
begins and ends, is MusicXML 4.0 (``slash``, ``measure-style``, ``except-voice``); that
a player goes on under slashes and stops under rests is common practice, no source."""

from __future__ import annotations

from fractions import Fraction

import pytest
from attrs import evolve
from form_charts import changes, chart, sheet
from score_elements import FULL, bars, harmony, note, read, said, start

from leadsheet_theory import make_parts, write_lead_sheet, write_part
from leadsheet_theory.abc import write_abc
from leadsheet_theory.leadsheet import (
    LeadSheet,
    Note,
    Rest,
    joined_slashes,
    running_order,
    silent_bars,
    to_be_slashed,
)
from leadsheet_theory.musicxml import parse_lead_sheet
from leadsheet_theory.pitch import Pitch

HEAD = "<stem>none</stem><notehead>slash</notehead>"
SLASH = note("B4", 1, HEAD)
STEMMED = note("B4", 1, "<notehead>slash</notehead>")


def style(attributes: str, inside: str = "") -> str:
    slash = f"<measure-style><slash {attributes}>{inside}</slash></measure-style>"
    return f"<attributes>{slash}</attributes>"


def line(events: tuple[Note | Rest, ...]) -> str:
    """Notes, rests and slashes in short."""
    return " ".join(
        f"{event.pitch}:{event.duration}"
        if isinstance(event, Note)
        else f"{'/' if event.slashes else '-'}:{event.duration}"
        for event in events
    )


@pytest.mark.parametrize(
    ("measures", "lines"),
    [
        pytest.param([SLASH * 4], ["/:4"], id="heads without stems"),
        pytest.param([note("C5", 2) + SLASH * 2], ["C5:2 /:2"], id="from mid-bar"),
        pytest.param([SLASH * 2 + note("C5", 2)], ["/:2 C5:2"], id="to mid-bar"),
        pytest.param(
            [style('type="start"') + FULL, FULL, style('type="stop"') + FULL],
            ["/:4", "/:4", "C5:4"],
            id="by style",
        ),
        pytest.param(
            [
                note("C5", 2) + style('type="start"') + note("D5", 2),
                note("rest", 4),
                note("D5", 2) + style('type="stop"') + note("C5", 2),
            ],
            ["C5:2 /:2", "/:4", "/:2 C5:2"],
            id="by style in mid-bar",
        ),
        pytest.param(
            [style('type="start"', "<except-voice>1</except-voice>") + FULL],
            ["C5:4"],
            id="a spared voice",
        ),
        pytest.param([SLASH * 2 + STEMMED * 2], ["/:4"], id="a rhythm over the time"),
        pytest.param(
            [note("C5", 3) + style('type="start"') + note("D5", 1)],
            ["C5:3 /:1"],
            id="one beat",
        ),
    ],
)
def test_slashes_are_read_and_stay(measures: list[str], lines: list[str]) -> None:
    first, *others = measures
    result = read(start() + harmony() + FULL, first, *others)
    found = result.sheet
    assert [line(bar.melody) for bar in found.bars[1:]] == lines
    assert not said(result)
    assert parse_lead_sheet(write_lead_sheet(found)).sheet == found
    for part in make_parts(found, slashes="as written"):
        again = parse_lead_sheet(write_part(part)).sheet
        for bar, source in zip(again.bars, found.bars, strict=True):
            assert [_slash(e) for e in bar.melody] == [_slash(e) for e in source.melody]


def _slash(event: Note | Rest) -> tuple[Fraction, Fraction, bool]:
    return event.onset, event.duration, isinstance(event, Rest) and event.slashes


def test_a_rhythm_among_slashes_is_hits() -> None:
    (bar,) = bars(start() + SLASH * 2 + STEMMED * 2)
    assert [hit.onset for hit in bar.hits] == [2, 3]


def test_a_style_with_stems_is_a_rhythm() -> None:
    found = bars(
        start() + FULL,
        style('type="start" use-stems="yes"') + note("B4", 1) + note("B4", 3),
        style('type="stop"') + FULL,
    )
    assert [len(bar.hits) for bar in found] == [0, 2, 0]
    assert line(found[1].melody) == "-:4"


def test_notes_shown_as_slashes_are_told() -> None:
    result = read(start() + FULL, style('type="start"') + FULL)
    assert [str(each) for each in result.findings if each.rule == "slashes"] == [
        "bar 2: notes that are shown as slashes are carried as slashes"
    ]


def test_the_parts_have_a_slash_on_each_beat() -> None:
    source = read(start() + FULL, note("C5", 2) + SLASH * 2).sheet
    (part,) = make_parts(source, books=["C"])
    assert line(part.bars[1].bar.melody) == "C5:2 /:1 /:1"


def test_slashes_that_follow_one_another_are_one_stretch() -> None:
    beats = [Rest(Fraction(at), Fraction(1), shown="slashes") for at in range(4)]
    assert joined_slashes(beats) == (Rest(Fraction(0), Fraction(4), shown="slashes"),)


def silent_at(*places: int) -> LeadSheet:
    """Eight bars with chords and a note in each, but for these bars."""
    sung = Note(onset=Fraction(0), duration=Fraction(4), pitches=(Pitch.parse("C5"),))
    return sheet(
        [
            evolve(
                bar,
                chords=changes("1 F"),
                melody=() if bar.number in places else (sung,),
            )
            for bar in chart("1-8")
        ]
    )


def test_silent_bars_before_the_solos_get_slashes() -> None:
    tune = silent_at(4, 7, 8)
    order = running_order(tune)
    assert silent_bars(tune.bars) == (3, 6, 7)
    assert to_be_slashed(tune.bars, order, which="into the solos") == (
        6,
        7,
    )
    assert to_be_slashed(tune.bars, order, which="wherever silent") == (
        3,
        6,
        7,
    )
    assert to_be_slashed(tune.bars, order, which="as written") == ()
    alone = running_order(tune, solos="none")
    assert to_be_slashed(tune.bars, alone, which="into the solos") == ()


def test_the_parts_tell_where_slashes_stand_and_where_they_could() -> None:
    (part,) = make_parts(silent_at(4, 8), books=["C"])
    assert line(part.bars[7].bar.melody) == "/:1 /:1 /:1 /:1"
    assert line(part.bars[3].bar.melody) == "-:4"
    assert [str(each) for each in part.report.findings if each.rule == "slashes"] == [
        'bar 4: the melody is silent under the chords (slashes="wherever silent" puts '
        "slashes there)",
        "bar 8: the melody is silent under the chords: slashes stand there "
        '(slashes="as written" leaves the rests)',
    ]


def test_abc_has_rests_and_says_so() -> None:
    source = read(start() + FULL, note("C5", 2) + SLASH * 2).sheet
    assert [
        str(each) for each in write_abc(source).findings if "slash" in str(each)
    ] == ["bar 2: slashes are written as rests"]


def test_a_break_gets_no_slashes() -> None:
    tune = silent_at(8)
    stopped = evolve(tune.bars[7], chords=changes("1 N.C."))
    tune = evolve(tune, bars=(*tune.bars[:7], stopped))
    assert silent_bars(tune.bars) == ()


def test_a_whole_form_of_slashes_behind_the_head_is_the_solo_chorus() -> None:
    closes = "<barline location='right'><bar-style>light-light</bar-style></barline>"
    sung = [harmony() + FULL] * 11 + [FULL + closes]
    result = read(start() + sung[0], *sung[1:], *[harmony("F") + SLASH * 4] * 12)
    found = result.sheet
    assert (len(found.bars), found.solo_chorus is not None) == (12, True)
    told = "bar 13: the solo chorus from here on is kept as the solo page"
    assert told in map(str, result.findings)
    (part,) = make_parts(found, books=["C"])
    assert (len(part.bars), len(part.solo)) == (12, 12)
    # a few bars of slashes at the end are the tune's
    short = read(start() + sung[0], *sung[1:], *[harmony("F") + SLASH * 4] * 4)
    assert short.sheet.solo_chorus is None
