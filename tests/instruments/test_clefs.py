"""Clefs: which note is where, ledger lines, octave signs, the choice of a clef."""

from __future__ import annotations

import pytest

from leadsheet_theory.instruments import (
    ALTO_CLEF,
    BASS_CLEF,
    CLEFS,
    TENOR_CLEF,
    TREBLE_CLEF,
    Clef,
    choose_clef,
    octave_signs,
)
from leadsheet_theory.pitch import Pitch


def pitches(text: str) -> list[Pitch]:
    return list(map(Pitch.parse, text.split()))


# Source: any handbook of theory (Open Music Theory v2, "Other clefs").
BOTTOM_LINES = {
    "treble": "E4",
    "bass": "G2",
    "alto": "F3",
    "tenor": "D3",
    "treble 8va": "E5",
    "treble 8vb": "E3",
    "bass 8vb": "G1",
}


def test_every_clef_has_its_bottom_line() -> None:
    assert CLEFS.keys() == BOTTOM_LINES.keys()
    for name, note in BOTTOM_LINES.items():
        assert CLEFS[name].position(Pitch.parse(note)) == 0


# The line that is a clef's own: G4, F3 and middle C.
@pytest.mark.parametrize(
    ("clef", "note"),
    [(TREBLE_CLEF, "G4"), (BASS_CLEF, "F3"), (ALTO_CLEF, "C4"), (TENOR_CLEF, "C4")],
)
def test_the_sign_stands_on_its_line(clef: Clef, note: str) -> None:
    assert clef.position(Pitch.parse(note)) == 2 * (clef.line - 1)


@pytest.mark.parametrize(
    ("clef", "note", "lines"),
    [
        (TREBLE_CLEF, "D4", 0),
        (TREBLE_CLEF, "C4", 1),
        (TREBLE_CLEF, "B3", 1),
        (TREBLE_CLEF, "A3", 2),
        (TREBLE_CLEF, "G5", 0),
        (TREBLE_CLEF, "A5", 1),
        (TREBLE_CLEF, "C6", 2),
        (TREBLE_CLEF, "E6", 3),
        (TREBLE_CLEF, "G6", 4),
        (BASS_CLEF, "B3", 0),
        (BASS_CLEF, "C4", 1),
        (BASS_CLEF, "A4", 3),
        (BASS_CLEF, "E2", 1),
        (TENOR_CLEF, "A4", 1),
        (ALTO_CLEF, "C4", 0),
    ],
)
def test_ledger_lines(clef: Clef, note: str, lines: int) -> None:
    assert clef.ledger_lines(Pitch.parse(note)) == lines


def test_the_tenor_clef_only_if_asked_for_and_where_it_helps() -> None:
    high, low = pitches("E4 G4 A4 F4"), pitches("F2 A2 C3 D3")
    assert choose_clef(high) == BASS_CLEF
    assert choose_clef(high, tenor=True) == TENOR_CLEF
    assert choose_clef(low, tenor=True) == BASS_CLEF
    assert choose_clef(high, usual=TREBLE_CLEF, tenor=True) == TREBLE_CLEF
    assert choose_clef([], tenor=True) == BASS_CLEF


# Source: Wikipedia, "Ledger line": more than three or four are hard to read.
@pytest.mark.parametrize(
    ("notes", "clef", "signs"),
    [
        ("C5 D5 E5", TREBLE_CLEF, []),
        ("G6 A6 B6", TREBLE_CLEF, [("8va", 0, 2)]),
        ("C6 G6 C6 A6 D6", TREBLE_CLEF, [("8va", 1, 3)]),
        ("G6 A6", TREBLE_CLEF, []),
        ("C5 A6 B6 C7 C5 A6 B6 C7", TREBLE_CLEF, [("8va", 1, 3), ("8va", 5, 7)]),
        ("G7 A7 B7", TREBLE_CLEF, [("15ma", 0, 2)]),
        ("A1 G1 F1", BASS_CLEF, []),
        ("F1 E1 D1", BASS_CLEF, [("8vb", 0, 2)]),
        ("A0 B0 A0", BASS_CLEF, [("8vb", 0, 2)]),
        ("", TREBLE_CLEF, []),
    ],
)
def test_octave_signs(
    notes: str, clef: Clef, signs: list[tuple[str, int, int]]
) -> None:
    found = octave_signs(pitches(notes), clef=clef)
    assert [(sign.text, sign.first, sign.last) for sign in found] == signs


def test_an_octave_sign_makes_it_readable() -> None:
    high = pitches("G6 C7 E7 C7 A6")
    (sign,) = octave_signs(high, clef=TREBLE_CLEF)
    assert (sign.text, sign.size, sign.octaves) == ("8va", 8, -1)
    for pitch in high[sign.first : sign.last + 1]:
        lower = Pitch.of(pitch.name, pitch.octave + sign.octaves)
        assert TREBLE_CLEF.ledger_lines(lower) <= 3
