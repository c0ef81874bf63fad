"""The project's own tables of beams and values, each row with its source.

Values are written by their number: ``8`` an eighth, ``4.`` a dotted quarter, ``8t``
an eighth of a triplet, ``r8`` an eighth rest; ``~`` is a tie.  Groups count from 1.
"""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest

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
    ValueName,
    beam,
    beam_groups,
    lay_out,
    spell_duration,
)

TABLES = Path(__file__).resolve().parents[2] / "shared"
NAMES: dict[str, ValueName] = {
    "1": "whole",
    "2": "half",
    "4": "quarter",
    "8": "eighth",
    "16": "16th",
    "32": "32nd",
    "64": "64th",
}
WAYS = {
    "by beat": BY_BEAT,
    "half bar filled": HALF_BAR_WHEN_FILLED,
    "half bar wherever": HALF_BAR_WHEREVER,
    "whole bar filled": WHOLE_BAR,
    "whole beats filled": BeamStyle("beats", "beats"),
    "quarters of 2/2": BeamStyle(long_beat="never"),
    "over rests": BeamStyle(over_rests=True),
}


def rows(name: str) -> list[dict[str, str]]:
    with (TABLES / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def value(text: str) -> NoteValue:
    plain = text.strip("r~t.")
    tuplet = Tuplet(3, 2) if "t" in text else None
    return NoteValue(NAMES[plain], text.count("."), tuplet)


def bar(text: str) -> tuple[RhythmEvent, ...]:
    words = text.split()
    rests = [i for i, word in enumerate(words) if word.startswith("r")]
    return lay_out(map(value, words), rests=rests)


@pytest.mark.parametrize(
    "row", rows("beam_cases.csv"), ids=lambda r: f"{r['meter']} {r['way']} {r['bar']}"
)
def test_beams(row: dict[str, str]) -> None:
    groups = beam_groups(
        bar(row["bar"]), Meter.parse(row["meter"]), style=WAYS[row["way"]]
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
    assert list(values) == [value(v) for v in row["written"].replace("~", " ").split()]


# every beam line, by the MusicXML 4.0 names: b begin, c continue, e end, f forward
# hook, r backward hook; "-" no beam
LINES = [
    ("4/4", "8 8 4 2", "b e - -"),
    ("4/4", "8. 16 4 2", "b er - -"),
    ("4/4", "16 8. 4 2", "bf e - -"),
    ("4/4", "16 8 16 4 2", "bf c er - -"),
    ("4/4", "8 16 16 4 2", "b cb ee - -"),
    ("4/4", "16 16 8 4 2", "bb ce e - -"),
    ("4/4", "8.. 32 4 2", "b err - -"),
    ("4/4", "32 32 32 32 32 32 32 32 4 2", "bbb" + " ccc" * 6 + " eee - -"),
    ("4/4", "8 32 32 32 32 4 2", "b cbb ccc ccc eee - -"),
    ("4/4", "16. 32 16. 32 4 2", "bb ccr cc eer - -"),
    ("4/4", "64 64 64 64 16 8 4 2", "bbbb cccc cccc ccee ce e - -"),
    ("6/8", "8. 16 8 4.", "b cr e -"),
    ("6/8", "8 16 16 16 16 4.", "b cb cc cc ee -"),
    ("6/8", "16 8 8 16 4.", "bf c c er -"),
    ("3/8", "8 8. 16", "b c er"),
    ("4/4", "8t 8t 8t 4 2", "b c e - -"),
    ("4/4", "16t 16t 16t 8 4 2", "bb cc ce e - -"),
]


@pytest.mark.parametrize(("meter", "values", "lines"), LINES)
def test_beam_lines(meter: str, values: str, lines: str) -> None:
    letters = {
        "begin": "b",
        "continue": "c",
        "end": "e",
        "forward hook": "f",
        "backward hook": "r",
    }
    marks = beam(bar(values), Meter.parse(meter))
    assert " ".join("".join(map(letters.get, m)) or "-" for m in marks) == lines


def test_a_pickup_counts_from_the_end() -> None:
    """Three eighths before the bar: the "and" of 3 is flagged, beat 4 beamed
    (common practice, no source)."""
    pickup, meter = bar("8 8 8"), Meter(4, 4)
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
    six = bar("8 8 8 8 8 8")
    assert beam_groups(six, Meter(3, 4), style=style) == ((0, 1, 2), (3, 4, 5))
    assert beam_groups(six, Meter(6, 8), style=style) == ((0, 1, 2), (3, 4, 5))
    assert style.with_setting(Meter(3, 4), BeamSetting((Fraction(3),))).settings == (
        (Meter(3, 4), BeamSetting((Fraction(3),))),
    )


def test_beams_may_follow_the_words() -> None:
    """Older vocal music: a flag for each syllable, a beam for a melisma."""
    four = bar("8 8 8 8 2")
    assert beam_groups(four, Meter(4, 4), syllables=[0, 1, 2]) == ((2, 3),)


def test_a_tuplet_over_two_beats_is_beamed_by_its_own_quarters() -> None:
    opening = NoteValue("quarter", tuplet=Tuplet(3, 2, starts=True))
    inner = NoteValue("eighth", tuplet=Tuplet(3, 2))
    closing = NoteValue("quarter", tuplet=Tuplet(3, 2, ends=True))
    events = lay_out([opening, inner, inner, closing, NoteValue("half")])
    assert beam_groups(events, Meter(4, 4)) == ((1, 2),)
    assert beam_groups(bar("4t 8t 8t 4t 2"), Meter(4, 4)) == ()  # two, a beat each
