"""Metres: groups, beats, half bars, and what is no metre."""

from __future__ import annotations

import pickle
from fractions import Fraction

import pytest

from leadsheet_theory.errors import MeterError, MeterSyntaxError
from leadsheet_theory.rhythm import Meter, MeterKind

# kinds and beats: Open Music Theory v2, simple and compound meter; Integrated Music
# Theory ch. 21; 8/8, 10/8 and 11/8 without a stated grouping: common practice, no
# source
METERS: list[tuple[str, MeterKind, str, str]] = [
    # text, kind, beats (lengths in quarters), half bar
    ("4/4", "simple", "1 1 1 1", "2"),
    ("C", "simple", "1 1 1 1", "2"),
    ("C|", "simple", "2 2", "2"),
    ("2/2", "simple", "2 2", "2"),
    ("3/4", "simple", "1 1 1", ""),
    ("2/4", "simple", "1 1", "1"),
    ("1/4", "simple", "1", ""),
    ("4/2", "simple", "2 2 2 2", "4"),
    ("3/2", "simple", "2 2 2", ""),
    ("3/8", "simple", "3/2", ""),
    ("4/8", "simple", "1/2 1/2 1/2 1/2", "1"),
    ("6/8", "compound", "3/2 3/2", "3/2"),
    ("9/8", "compound", "3/2 3/2 3/2", ""),
    ("12/8", "compound", "3/2 3/2 3/2 3/2", "3"),
    ("6/4", "compound", "3 3", "3"),
    ("5/4", "additive", "1 1 1 1 1", ""),
    ("5/8", "additive", "3/2 1", ""),
    ("2+3/8", "additive", "1 3/2", ""),
    ("7/8", "additive", "1 1 3/2", ""),
    ("3/8+2/8+3/4", "additive", "3/2 1 1 1 1", ""),
    ("2/4+3/8", "additive", "1 1 3/2", ""),
    ("3+2+2/8", "additive", "3/2 1 1", ""),
    ("7/4", "additive", "1 1 1 1 1 1 1", ""),
    ("8/8", "additive", "3/2 3/2 1", ""),
    ("10/8", "additive", "3/2 1 3/2 1", ""),
    ("10/4", "additive", "1 1 1 1 1 1 1 1 1 1", ""),
    ("11/8", "additive", "3/2 3/2 3/2 1", ""),
    ("2+2+2/8", "simple", "1 1 1", ""),
    ("13/8", "additive", "3/2 3/2 3/2 1 1", ""),
]


@pytest.mark.parametrize(("text", "kind", "beats", "half"), METERS)
def test_metre(text: str, kind: MeterKind, beats: str, half: str) -> None:
    meter = Meter.parse(text)
    assert meter.kind == kind
    assert [str(span.length) for span in meter.beat_spans] == beats.split()
    assert meter.half_bar == (Fraction(half) if half else None)
    assert str(meter) in (text, "C|" if text == "C|" else text)
    assert Meter.parse(str(meter)) == meter


def test_four_four_in_two_shows_half_note_beats() -> None:
    assert [b.length for b in Meter(4, 4, symbol="cut").beat_spans] == [2, 2]


def test_places_in_the_bar() -> None:
    assert Meter(4, 4).beat_at(Fraction(0)) == 1
    assert Meter(7, 8).beat_at(Fraction(2)) == 5
    assert Meter(4, 4).pickup_start(Fraction(1)) == 3
    assert Meter(4, 4).pickup_start(Fraction(9)) == 0
    assert Meter(4, 4).beat_at(Fraction(0), start=Fraction(3)) == 4


@pytest.mark.parametrize(
    ("one", "other", "alike"),
    [
        ("C", "4/4", True),
        ("C|", "2/2", True),
        ("5/8", "3+2/8", True),
        ("2/4+3/8", "4+3/8", False),
        ("C|", "4/4", False),
        ("3/4", "6/8", False),
    ],
)
def test_what_is_one_metre(one: str, other: str, alike: bool) -> None:
    assert Meter.parse(one).is_like(Meter.parse(other)) is alike


BAD_NUMBERS = [
    ((0, 4), "0 beats in a bar: expected at least 1"),
    ((4, 5), "a beat type of 5: expected 1, 2, 4, 8, 16, 32, 64 or 128"),
    ((5, 4, (3, 3)), "groups of 3+3: expected a sum of 5"),
    ((3, 4, (), "common"), "a C for 3/4: it stands for 4/4"),
    (
        (5, 8, (3, 2), "numbers", (4, 8)),
        "lower numbers 4, 8: expected one for each group, the largest 8",
    ),
    (
        (3, 4, (), "cut"),
        "a cut C for 3/4: it stands for 2/2, 4/4 in two, or 4/2",
    ),
]


@pytest.mark.parametrize(("numbers", "message"), BAD_NUMBERS)
def test_numbers_that_make_no_metre(numbers: tuple[object, ...], message: str) -> None:
    with pytest.raises(MeterError) as caught:
        Meter(*numbers)
    assert str(caught.value) == message
    again = pickle.loads(pickle.dumps(caught.value))
    assert (str(again), again.beats) == (message, numbers[0])


BAD_TEXTS = [
    ("", "not a time signature: expected a number such as 4\n  \n  ^"),
    ("four/4", "not a time signature: expected a number such as 4\n  four/4\n  ^"),
    ("4", "not a time signature: expected '/'\n  4\n   ^"),
    ("3+/4", "not a time signature: expected a number such as 4\n  3+/4\n    ^"),
    ("3/8+2", "not a time signature: expected '/'\n  3/8+2\n       ^"),
    ("4/4 ", "not a time signature: expected the end\n  4/4 \n     ^"),
]


@pytest.mark.parametrize(("text", "message"), BAD_TEXTS)
def test_texts_that_are_no_metre(text: str, message: str) -> None:
    with pytest.raises(MeterSyntaxError) as caught:
        Meter.parse(text)
    assert str(caught.value) == message
