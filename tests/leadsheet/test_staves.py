"""What a staff beside the melody is for.

The figures are invented; what each is called is common practice, no source, save where
MusicXML 4.0 says it (percussion clef, ``unpitched``, slash heads).  The shares behind
the rules were measured on melodies, piano staves and choral parts.
"""

from __future__ import annotations

import re
from fractions import Fraction

import pytest

from leadsheet_theory.leadsheet.staves import (
    Attack,
    StaffMusic,
    judge_staff,
    judge_staves,
)
from leadsheet_theory.pitch import Pitch

BAR = Fraction(4)


def staff(text: str, name: str = "Piano", *, bars: int = 0, **more: object):
    """A staff from words such as ``r 3/2 G4 1/2 r 2``: a pitch, several joined by a
    plus sign, ``x`` for a note without pitch, or ``r`` for a rest; then its length."""
    attacks, at = [], Fraction(0)
    for what, length in re.findall(r"(\S+) (\S+)", text):
        duration = Fraction(length)
        if what != "r":
            names = () if what == "x" else what.split("+")
            keys = frozenset(Pitch.parse(each).midi for each in names)
            attacks.append(Attack(at, duration, keys))
        at += duration
    count = bars or -(-at // BAR)
    starts = tuple(BAR * number for number in range(int(count) + 1))
    return StaffMusic(attacks=tuple(attacks), bars=starts, name=name, **more)


PUSH = "r 3/2 G4 1/2 r 2 r 4 C5 1 r 3 r 7/2 A4 1/2 "
WALK = "F2 1 A2 1 C3 1 D3 1 " * 4
RUN = "E5 1/2 D5 1/2 C5 1/2 B4 1/2 A4 1/2 G4 1/2 F4 1/2 E4 1/2 " * 4


@pytest.mark.parametrize(
    ("music", "role"),
    [
        (staff(PUSH), "hits"),
        (staff("r 3/2 E4+A4+D5 1/2 r 2 r 4 D4+G4+C5 1 r 3 r 4"), "hits"),
        (staff("r 3/2 E4+A4 1/2 r 2 D4+G4 8 r 4"), "hits"),
        (staff("B4 4 " * 4), "hits"),
        (staff("r 7/2 B4 9/2 r 8"), "hits"),
        (staff("r 3/2 B4 1/2 r 14", bars=32), "hits"),
        (staff("r 3/2 x 1/2 r 2 r 4 x 1 r 3", "Drums", unpitched=True), "hits"),
        (staff("x 1 " * 16, "Drums", unpitched=True), "left out"),
        (staff("x 1 " * 8, "Click", bars=32, unpitched=True), "left out"),
        (staff("E4+A4+D5 1 " * 16), "left out"),
        (staff(RUN), "left out"),
        (staff("", bars=4), "empty"),
        (staff("", bars=4, beat_slashes=True), "left out"),
        (staff("G4 4", bars=32), "ask"),
        (staff("r 3/2 B4 1/2 r 2", bars=8, small=True), "ask"),
        (staff(WALK, "Bass", low_clef=True), "bass line"),
        (staff("r 3/2 F2 1/2 r 2 r 4 F2 1 r 3", "Bass", low_clef=True), "bass line"),
        (staff("F3 3/2 G3 1/2 A3 2 " * 4, "Trombone", low_clef=True), "counterline"),
        (staff("A4 2 G4 2 F4 3 r 1", ""), "counterline"),
        (staff("A4 4 G4 4 F4 4 E4 4", "Strings"), "ask"),
        (staff(PUSH, "Trumpet 2"), "ask"),
        (staff(PUSH, "Vocal 2", sung=True), "counterline"),
        (staff(PUSH, "", voice=True), "hits"),
        (staff(RUN, "", voice=True), "counterline"),
        (staff("E4 4 " * 4, "", voice=True), "counterline"),
        (staff("C3 4 C3 4 G2 4 C3 4", "", voice=True, low_clef=True), "counterline"),
        (staff(RUN, "Hits"), "ask"),
        (staff(PUSH, "Ensemble"), "hits"),
        (staff(RUN, "Guitar", tablature=True), "left out"),
        (staff(RUN, ornaments=True), "left out"),
        (staff(PUSH, staves=3), "ask"),
        (staff("r 8 E5 1/2 D5 1/2 C5 1/2 B4 1/2 r 6 " * 2), "ask"),
    ],
    ids=lambda case: getattr(case, "name", case),
)
def test_one_staff(music: StaffMusic, role: str) -> None:
    assert judge_staff(music).role == role


@pytest.mark.parametrize(
    ("upper", "lower", "roles"),
    [
        (PUSH, WALK, ["hits", "bass line"]),
        (PUSH, "r 3/2 F2 1/2 r 2 r 4 F2 1 r 3 r 7/2 F2 1/2", ["hits", "bass line"]),
        (PUSH, "", ["hits", "empty"]),
        ("", WALK, ["empty", "bass line"]),
        ("", "r 3/2 F2 1/2 r 2 r 4 F2 1 r 3 r 4", ["empty", "ask"]),
        (RUN, WALK, ["left out", "ask"]),
        ("E4+A4+D5 1 " * 16, "F2 2 C3 2 " * 4, ["left out", "bass line"]),
        ("E4+A4 4 D4+G4 4 " * 2, "F2 4 Bb2 4 " * 2, ["ask", "bass line"]),
        (
            "E4+A4 3/2 E4+A4 3/2 D4+G4 1 " * 4,
            "F2 3/2 F2 3/2 C2 1 " * 4,
            ["ask", "bass line"],
        ),
    ],
)
def test_the_two_staves_of_a_piano(upper: str, lower: str, roles: list[str]) -> None:
    both = (
        staff(upper, bars=4, staves=2),
        staff(lower, bars=4, staves=2, number=2, low_clef=True),
    )
    assert [each.role for each in judge_staves(both)] == roles


def melody_of(music: StaffMusic) -> dict[Fraction, int]:
    return {attack.onset: max(attack.keys) for attack in music.attacks}


def test_a_player_who_doubles_the_melody() -> None:
    tune = staff(RUN)
    assert judge_staff(tune, melody=melody_of(tune)).role == "doubling"
    up = staff(RUN.replace("5 ", "6 ").replace("4 ", "5 "), "Flute")
    assert judge_staff(up, melody=melody_of(tune)).role == "doubling"


def test_thirds_below_the_melody_are_offered_as_a_counterline() -> None:
    tune = staff("C5 1 D5 1 E5 2 " * 4)
    thirds = staff("A4+C5 1 B4+D5 1 C5+E5 2 " * 4)
    verdict = judge_staff(thirds, melody=melody_of(tune))
    assert (verdict.role, verdict.offers[0]) == ("left out", "counterline")


def test_sections_that_differ_are_asked_about() -> None:
    music = staff(PUSH * 2 + RUN * 2)
    sections = (Fraction(0), BAR * 8)
    (verdict,) = judge_staves([music], sections=sections)
    assert verdict.role == "ask"
    assert verdict.reason == (
        "its sections differ: hits in one, other music in another"
    )


def test_two_parts_of_hits_that_differ() -> None:
    one, other = staff(PUSH), staff("B4 1 r 3 " * 4, "Guitar")
    assert [v.role for v in judge_staves([one, other])] == ["ask", "ask"]
    named = staff(PUSH, "Hits")
    assert [v.role for v in judge_staves([named, other])] == ["hits", "left out"]


def test_a_walking_line_under_a_part_named_for_rhythm_is_no_hit() -> None:
    both = (
        staff(PUSH, "Rhythm", staves=2),
        staff(WALK, "Rhythm", staves=2, number=2, low_clef=True),
    )
    assert [v.role for v in judge_staves(both)] == ["hits", "bass line"]
