"""Bars written out, proofread, slashed and stemmed."""

from __future__ import annotations

import pickle
from fractions import Fraction

import pytest
from written_values import events_of, events_text

from leadsheet_theory.errors import RhythmError
from leadsheet_theory.rhythm import (
    Meter,
    rhythm_problems,
    spell_bar,
    spell_duration,
    stem,
    stems,
    time_slashes,
)

COMMON = Meter(4, 4)


def quarters(text: str) -> list[tuple[Fraction, Fraction]]:
    """Onsets and durations such as ``0:1/2 3/2:1``."""
    pairs = (word.split(":") for word in text.split())
    return [(Fraction(onset), Fraction(duration)) for onset, duration in pairs]


# metre, notes as onset:duration, the bar as written
BARS = [
    ("4/4", "", "whole rest"),
    ("3/4", "", "whole rest"),
    ("4/2", "", "breve rest"),
    ("4/4", "3/2:5/2", "quarter rest, eighth rest, eighth +, half"),
    ("4/4", "7/2:2", "half rest, quarter rest, eighth rest, eighth +"),
    ("4/4", "0:1/3 1/3:1/3 2/3:4/3", "3[eighth, eighth, eighth +], quarter, half rest"),
    ("4/4", "0:2/3 2/3:2/3 4/3:2/3", "3[quarter, quarter, quarter], half rest"),
    (
        "4/4",
        "1/3:1/3 2/3:1/3",
        "3[eighth rest, eighth, eighth], quarter rest, half rest",
    ),
    (
        "4/4",
        "0:1/6 1/6:1/6 1/3:1/6 1/2:1/2",
        "3[16th, 16th, 16th], eighth, quarter rest, half rest",
    ),
    ("4/4", "0:4/3 4/3:4/3 8/3:4/3", "3[half, half, half]"),
    (
        "4/4",
        "0:1/5 1/5:3/5 4/5:1/5",
        "5[16th, dotted eighth, 16th], quarter rest, half rest",
    ),
    ("6/8", "0:3/4 3/4:3/4 3/2:3/2", "dotted eighth, dotted eighth, dotted quarter"),
]


@pytest.mark.parametrize(("meter", "notes", "written"), BARS)
def test_bars_written_out(meter: str, notes: str, written: str) -> None:
    assert events_text(spell_bar(quarters(notes), Meter.parse(meter))) == written


def test_a_pickup_written_out() -> None:
    start = COMMON.pickup_start(Fraction(3, 2))
    bar = spell_bar(quarters("0:1"), COMMON, length=Fraction(3, 2), start=start)
    assert events_text(bar) == "quarter, eighth rest"
    bar = spell_bar([], COMMON, length=Fraction(3, 2), start=start)
    assert events_text(bar) == "eighth rest, quarter rest"


@pytest.mark.parametrize("notes", ["0:1 1/2:1", "1:1 0:1", "0:0", "4:1"])
def test_bars_that_cannot_be(notes: str) -> None:
    onset, duration = quarters(notes)[-1]
    with pytest.raises(RhythmError) as caught:
        spell_bar(quarters(notes), COMMON)
    assert str(caught.value) == (
        "notes of one bar: expected onsets in order inside it, durations above 0, "
        f"and no overlap (at {onset}, lasting {duration} quarters)"
    )


@pytest.mark.parametrize(
    ("onset", "duration", "problem"),
    [
        (
            "0",
            "0",
            "no such place in a bar: expected an onset from 0 and a duration above 0",
        ),
        (
            "1/17",
            "1",
            "too fine for written values: expected multiples of a 1024th, "
            "or of a tuplet of up to 15",
        ),
    ],
)
def test_durations_without_values(onset: str, duration: str, problem: str) -> None:
    with pytest.raises(RhythmError) as caught:
        spell_duration(Fraction(onset), Fraction(duration), COMMON)
    message = f"{problem} (at {onset}, lasting {duration} quarters)"
    assert str(caught.value) == message
    assert str(pickle.loads(pickle.dumps(caught.value))) == message


# metre, values, what is said
PROBLEMS = [
    ("4/4", "quarter, eighth, quarter, eighth, quarter",
     ["the quarter hides the middle of the bar: write an eighth and an eighth"]),
    ("4/4", "eighth, quarter, eighth, half", []),
    ("4/4", "quarter, half, quarter", []),
    ("4/4", "quarter, half rest, quarter",
     ["the half rest hides the middle of the bar: write a quarter and a quarter"]),
    ("4/4", "eighth rest, quarter rest, eighth, half",
     ["the quarter rest hides beat 2: write an eighth and an eighth"]),
    ("4/4", "half, 2 eighth rests, quarter",
     ["2 rests where 1 would do: write a quarter"]),
    ("4/4", "16th, quarter, 16th, eighth, half",
     ["the quarter hides beat 2: write a dotted eighth and a 16th"]),
    ("6/8", "2 halves",
     ["the half hides the middle of the bar: write a dotted quarter and an eighth"]),
    ("3/4", "2 dotted quarters", []),
    ("2/4", "eighth, dotted quarter", []),
    ("3/4", "whole", []),
    ("3/4", "whole rest", []),
    ("7/8", "half, dotted quarter", []),
    ("6/8", "dotted quarter rest, 2 eighth rests, eighth", []),
    # one dot on a rest inside a beat is let pass, two are not (MyMusicTheory, grade 3,
    # lesson 8, has no dotted rest in simple time at all)
    ("4/4", "dotted eighth rest, 16th, quarter, half", []),
    ("4/4", "double-dotted eighth rest, 32nd, quarter, half",
     ["the double-dotted eighth rest hides the half of beat 1: write an eighth and a "
      "16th and a 32nd"]),
]  # fmt: skip


@pytest.mark.parametrize(("meter", "values", "said"), PROBLEMS)
def test_problems_named(meter: str, values: str, said: list[str]) -> None:
    events = events_of(values)
    assert [str(each) for each in rhythm_problems(events, Meter.parse(meter))] == said


def test_a_cue_stops_at_its_last_hit() -> None:
    hits = quarters("3/2:1/2 2:1/2")
    cue = spell_bar(hits, COMMON, closing_rests=False)
    assert events_text(cue) == "quarter rest, eighth rest, eighth, eighth"
    full = spell_bar(hits, COMMON)
    assert (
        events_text(full)
        == "quarter rest, eighth rest, eighth, eighth, eighth rest, quarter rest"
    )
    assert spell_bar([], COMMON, closing_rests=False) == ()


def test_time_slashes() -> None:
    assert events_text(time_slashes(COMMON)) == "quarter, quarter, quarter, quarter"
    assert events_text(time_slashes(Meter.parse("C|"))) == (
        "quarter, quarter, quarter, quarter"
    )
    assert events_text(time_slashes(Meter(7, 8))) == "quarter, quarter, dotted quarter"
    start = COMMON.pickup_start(Fraction(3, 2))
    pickup = time_slashes(COMMON, length=Fraction(3, 2), start=start)
    assert events_text(pickup) == "eighth, quarter"
    assert [slash.onset for slash in pickup] == [0, Fraction(1, 2)]


# positions: 0 bottom line, 4 middle line; Gould, Behind Bars, pp. 14-15 (as sampled)
STEMS = [
    ([0], "up"),
    ([3], "up"),
    ([4], "down"),
    ([8], "down"),
    ([0, 8], "down"),
    ([-1, 8], "up"),
    ([3, 4, 5], "down"),
]


@pytest.mark.parametrize(("positions", "direction"), STEMS)
def test_stem(positions: list[int], direction: str) -> None:
    assert stem(positions) == direction


def test_stems_under_a_cue() -> None:
    melody = [[0], [9], [], [3]]
    assert stems(melody, [(0, 1)], voice="lower") == ("down", "down", None, "down")
    assert stems(melody, [(0, 1)]) == ("down", "down", None, "up")
    assert stems(melody, graces=[1]) == ("up", "up", None, "up")
