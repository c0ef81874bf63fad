"""The project's own tables of beams and values, each row with its source.

Values are in words (:mod:`written_values`), groups count from 1.
"""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest
from written_values import events_of, values_of

from leadsheet_theory.rhythm import (
    BY_BEAT,
    HALF_BAR_WHEN_FILLED,
    HALF_BAR_WHEREVER,
    WHOLE_BAR,
    BeamSetting,
    BeamStyle,
    Meter,
    NoteValue,
    RhythmEvent,
    Tuplet,
    beam,
    beam_groups,
    lay_out,
    spell_duration,
)

TABLES = Path(__file__).resolve().parents[2] / "shared"
WAYS = {
    "by beat": BY_BEAT,
    "half bar filled": HALF_BAR_WHEN_FILLED,
    "half bar wherever": HALF_BAR_WHEREVER,
    "whole bar filled": WHOLE_BAR,
    "whole beats filled": BeamStyle(half_bar="beats", short_bar="beats"),
    "quarters of 2/2": BeamStyle(long_beat="never"),
    "over rests": BeamStyle(over_rests=True),
}


def rows(name: str) -> list[dict[str, str]]:
    with (TABLES / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize(
    "row", rows("beam_cases.csv"), ids=lambda r: f"{r['meter']} {r['way']} {r['bar']}"
)
def test_beams(row: dict[str, str]) -> None:
    groups = beam_groups(
        events_of(row["bar"]), Meter.parse(row["meter"]), style=WAYS[row["way"]]
    )
    shown = " ".join(f"{group[0] + 1}-{group[-1] + 1}" for group in groups)
    assert shown == row["groups"]


@pytest.mark.parametrize(
    "row",
    rows("rhythm_cases.csv"),
    ids=lambda r: f"{r['meter']} {r['onset']} {r['duration']} {r['kind']}",
)
def test_values(row: dict[str, str]) -> None:
    values = spell_duration(
        Fraction(row["onset"]),
        Fraction(row["duration"]),
        Meter.parse(row["meter"]),
        rest=row["kind"] == "rest",
    )
    assert list(values) == values_of(row["written"].replace(" + ", ", "))


# every beam line from the outermost in: the first and last note under each beam, a hook
# by its note and the way it points
LINES = [
    ("4/4", "2 eighths, quarter, half", "1-2"),
    ("4/4", "dotted eighth, 16th, quarter, half", "1-2; back at 2"),
    ("4/4", "16th, dotted eighth, quarter, half", "1-2; ahead at 1"),
    ("4/4", "16th, eighth, 16th, quarter, half", "1-3; ahead at 1, back at 3"),
    ("4/4", "eighth, 2 16ths, quarter, half", "1-3; 2-3"),
    ("4/4", "2 16ths, eighth, quarter, half", "1-3; 1-2"),
    ("4/4", "double-dotted eighth, 32nd, quarter, half", "1-2; back at 2; back at 2"),
    ("4/4", "8 32nds, quarter, half", "1-8; 1-8; 1-8"),
    ("4/4", "eighth, 4 32nds, quarter, half", "1-5; 2-5; 2-5"),
    (
        "4/4",
        "dotted 16th, 32nd, dotted 16th, 32nd, quarter, half",
        "1-4; 1-4; back at 2, back at 4",
    ),
    ("4/4", "4 64ths, 16th, eighth, quarter, half", "1-6; 1-5; 1-4; 1-4"),
    ("6/8", "dotted eighth, 16th, eighth, dotted quarter", "1-3; back at 2"),
    ("6/8", "eighth, 4 16ths, dotted quarter", "1-5; 2-5"),
    ("6/8", "16th, 2 eighths, 16th, dotted quarter", "1-4; ahead at 1, back at 4"),
    ("3/8", "eighth, dotted eighth, 16th", "1-3; back at 3"),
    ("4/4", "3 triplet eighths, quarter, half", "1-3"),
    ("4/4", "3 triplet 16ths, eighth, quarter, half", "1-4; 1-3"),
]
HOOKS = {"forward hook": "ahead", "backward hook": "back"}


@pytest.mark.parametrize(("meter", "values", "lines"), LINES)
def test_beam_lines(meter: str, values: str, lines: str) -> None:
    marks = beam(events_of(values), Meter.parse(meter))
    shown = []
    for line in range(max(map(len, marks))):
        beams, first = [], 0
        for place, each in enumerate(marks, start=1):
            mark = each[line] if line < len(each) else ""
            if mark in HOOKS:
                beams.append(f"{HOOKS[mark]} at {place}")
            elif mark == "begin":
                first = place
            elif mark == "end":
                beams.append(f"{first}-{place}")
                first = 0
            else:
                assert (mark == "continue") == bool(first)
        shown.append(", ".join(beams))
    assert "; ".join(shown) == lines


def test_a_pickup_counts_from_the_end() -> None:
    """Three eighths before the bar: the "and" of 3 is flagged, beat 4 beamed
    (common practice, no source)."""
    pickup, meter = events_of("3 eighths"), Meter(4, 4)
    start = meter.pickup_start(Fraction(3, 2))
    assert beam_groups(pickup, meter, start=start) == ((1, 2),)
    assert beam_groups(pickup, meter) == ((0, 1),)


def test_triplets_that_a_file_has_rounded_keep_their_beam() -> None:
    """MusicXML counts in whole divisions, and 256 to a quarter have no third: a triplet
    comes as 85, 86 and 85 of them."""
    third = NoteValue("eighth", tuplet=Tuplet(3, 2))
    onsets = (0, 85, 171)
    triplet = [RhythmEvent(Fraction(onset, 256), third) for onset in onsets]
    assert beam_groups(triplet, Meter(4, 4)) == ((0, 1, 2),)
    torn = [*triplet[:2], RhythmEvent(Fraction(3, 4), third)]
    assert beam_groups(torn, Meter(4, 4)) == ((0, 1),)


def test_grace_notes_take_beams_of_their_own() -> None:
    half = Fraction(1, 2)
    sixteenth, eighth = NoteValue("16th"), NoteValue("eighth")
    events = (
        RhythmEvent(Fraction(0), eighth),
        RhythmEvent(half, sixteenth, "grace"),
        RhythmEvent(half, sixteenth, "grace"),
        RhythmEvent(half, eighth),
        RhythmEvent(Fraction(1), sixteenth, "grace"),
        RhythmEvent(Fraction(1), NoteValue("quarter")),
    )
    assert beam_groups(events, Meter(4, 4)) == ((0, 3), (1, 2))
    assert beam(events, Meter(4, 4)) == (
        ("begin",),
        ("begin", "begin"),
        ("end", "end"),
        ("end",),
        (),
        (),
    )


def test_a_setting_rules_one_metre() -> None:
    in_threes = BeamSetting((Fraction(3, 2), Fraction(3, 2)))
    style = HALF_BAR_WHEN_FILLED.with_setting(Meter(3, 4), in_threes)
    six = events_of("6 eighths")
    assert beam_groups(six, Meter(3, 4), style=style) == ((0, 1, 2), (3, 4, 5))
    assert beam_groups(six, Meter(6, 8), style=style) == ((0, 1, 2), (3, 4, 5))
    assert style.with_setting(Meter(3, 4), BeamSetting((Fraction(3),))).settings == (
        (Meter(3, 4), BeamSetting((Fraction(3),))),
    )


def test_beams_may_follow_the_words() -> None:
    """Older vocal music: a flag for each syllable, a beam for a melisma."""
    four = events_of("4 eighths, half")
    assert beam_groups(four, Meter(4, 4), syllables=[0, 1, 2]) == ((2, 3),)


def test_a_tuplet_over_two_beats_is_beamed_by_its_own_quarters() -> None:
    opening = NoteValue("quarter", tuplet=Tuplet(3, 2, starts=True))
    inner = NoteValue("eighth", tuplet=Tuplet(3, 2))
    closing = NoteValue("quarter", tuplet=Tuplet(3, 2, ends=True))
    events = lay_out([opening, inner, inner, closing, NoteValue("half")])
    assert beam_groups(events, Meter(4, 4)) == ((1, 2),)
    assert (
        beam_groups(
            events_of("triplet quarter, 2 triplet eighths, triplet quarter, half"),
            Meter(4, 4),
        )
        == ()
    )  # two, a beat each
