"""Bars written out, proofread, slashed and stemmed."""

from __future__ import annotations

import pickle
from fractions import Fraction

import pytest

from leadsheet_theory.errors import RhythmError
from leadsheet_theory.rhythm import (
    Meter,
    NoteValue,
    RhythmEvent,
    has_open_head,
    lay_out,
    rhythm_problems,
    rhythm_slashes,
    slash_under,
    spell_bar,
    spell_duration,
    stem,
    stems,
    time_slashes,
)

COMMON = Meter(4, 4)


def shown(events: tuple[RhythmEvent, ...]) -> str:
    """A bar in short: r rest, ~ tie, ( ) the ends of a tuplet."""
    words = []
    for event in events:
        value, ratio = event.value, event.value.tuplet
        word = "r" * (event.kind == "rest") + value.name + "." * value.dots
        if ratio:
            word += f":{ratio.actual}"
            word = "(" * ratio.starts + word + ")" * ratio.ends
        words.append(word + "~" * event.tied_to_next)
    return " ".join(words)


def quarters(text: str) -> list[tuple[Fraction, Fraction]]:
    """Onsets and durations such as ``0:1/2 3/2:1``."""
    pairs = (word.split(":") for word in text.split())
    return [(Fraction(onset), Fraction(duration)) for onset, duration in pairs]


# metre, notes as onset:duration, the bar as written
BARS = [
    ("4/4", "", "rwhole"),
    ("3/4", "", "rwhole"),
    ("4/2", "", "rbreve"),
    ("4/4", "3/2:5/2", "rquarter reighth eighth~ half"),
    ("4/4", "7/2:2", "rhalf rquarter reighth eighth~"),
    (
        "4/4",
        "0:1/3 1/3:1/3 2/3:4/3",
        "(eighth:3 eighth:3 eighth:3)~ quarter rhalf",
    ),
    ("4/4", "0:2/3 2/3:2/3 4/3:2/3", "(quarter:3 quarter:3 quarter:3) rhalf"),
    ("4/4", "1/3:1/3 2/3:1/3", "(reighth:3 eighth:3 eighth:3) rquarter rhalf"),
    ("4/4", "0:1/6 1/6:1/6 1/3:1/6 1/2:1/2", "(16th:3 16th:3 16th:3) eighth "
     "rquarter rhalf"),
    ("4/4", "0:4/3 4/3:4/3 8/3:4/3", "(half:3 half:3 half:3)"),
    ("4/4", "0:1/5 1/5:3/5 4/5:1/5", "(16th:5 eighth.:5 16th:5) rquarter rhalf"),
    ("6/8", "0:3/4 3/4:3/4 3/2:3/2", "eighth. eighth. quarter."),
]  # fmt: skip


@pytest.mark.parametrize(("meter", "notes", "written"), BARS)
def test_bars_written_out(meter: str, notes: str, written: str) -> None:
    assert shown(spell_bar(quarters(notes), Meter.parse(meter))) == written


def test_a_pickup_written_out() -> None:
    start = COMMON.pickup_start(Fraction(3, 2))
    bar = spell_bar(quarters("0:1"), COMMON, length=Fraction(3, 2), start=start)
    assert shown(bar) == "quarter reighth"
    bar = spell_bar([], COMMON, length=Fraction(3, 2), start=start)
    assert shown(bar) == "reighth rquarter"


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


# metre, values (r before a rest), what is said
PROBLEMS = [
    ("4/4", "quarter eighth quarter eighth quarter",
     ["the quarter hides the middle of the bar: write an eighth and an eighth"]),
    ("4/4", "eighth quarter eighth half", []),
    ("4/4", "quarter half quarter", []),
    ("4/4", "quarter rhalf quarter",
     ["the half rest hides the middle of the bar: write a quarter and a quarter"]),
    ("4/4", "reighth rquarter eighth half",
     ["the quarter rest hides beat 2: write an eighth and an eighth"]),
    ("4/4", "half reighth reighth quarter",
     ["2 rests where 1 would do: write a quarter"]),
    ("4/4", "16th quarter 16th eighth half",
     ["the quarter hides beat 2: write a dotted eighth and a 16th"]),
    ("6/8", "half half",
     ["the half hides the middle of the bar: write a dotted quarter and an eighth"]),
    ("3/4", "quarter. quarter.", []),
    ("2/4", "eighth quarter.", []),
    ("3/4", "whole", []),
    ("3/4", "rwhole", []),
    ("7/8", "half quarter.", []),
    ("6/8", "rquarter. reighth reighth eighth", []),
    # one dot on a rest inside a beat is let pass, two are not (MyMusicTheory, grade 3,
    # lesson 8, has no dotted rest in simple time at all)
    ("4/4", "reighth. 16th quarter half", []),
    ("4/4", "reighth.. 32nd quarter half",
     ["the double-dotted eighth rest hides the half of beat 1: write an eighth and a "
      "16th and a 32nd"]),
]  # fmt: skip


@pytest.mark.parametrize(("meter", "values", "said"), PROBLEMS)
def test_problems_named(meter: str, values: str, said: list[str]) -> None:
    words = values.split()
    rests = [i for i, word in enumerate(words) if word.startswith("r")]
    names = (word.removeprefix("r") for word in words)
    events = lay_out(
        (NoteValue(name.rstrip("."), name.count(".")) for name in names), rests=rests
    )
    assert [str(each) for each in rhythm_problems(events, Meter.parse(meter))] == said


def test_rhythm_slashes_stop_at_the_last_hit() -> None:
    hits = quarters("3/2:1/2 2:1/2")
    cue = rhythm_slashes(hits, COMMON)
    assert shown(cue) == "rquarter reighth eighth eighth"
    full = rhythm_slashes(hits, COMMON, closing_rests=True)
    assert shown(full) == "rquarter reighth eighth eighth reighth rquarter"
    assert rhythm_slashes([], COMMON) == ()


def test_time_slashes() -> None:
    assert shown(time_slashes(COMMON)) == "quarter quarter quarter quarter"
    assert shown(time_slashes(Meter.parse("C|"))) == "half half"
    assert shown(time_slashes(Meter(7, 8))) == "quarter quarter quarter."
    start = COMMON.pickup_start(Fraction(3, 2))
    pickup = time_slashes(COMMON, length=Fraction(3, 2), start=start)
    assert shown(pickup) == "eighth quarter"
    assert [slash.onset for slash in pickup] == [0, Fraction(1, 2)]


def test_chords_over_slashes() -> None:
    slashes = time_slashes(COMMON)
    assert [slash_under(Fraction(beat), slashes) for beat in range(5)] == [
        0, 1, 2, 3, None,
    ]  # fmt: skip
    assert slash_under(Fraction(3, 2), slashes) is None
    assert has_open_head(NoteValue("whole"))


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
