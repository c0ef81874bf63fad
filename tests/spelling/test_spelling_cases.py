"""Worked cases of enharmonic practice, each with its source in the table."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from leadsheet_theory.chords import parse_chord
from leadsheet_theory.chords.respell import chord_colour
from leadsheet_theory.interval import Interval
from leadsheet_theory.key import Key
from leadsheet_theory.pitch import Pitch
from leadsheet_theory.spelling import (
    HeardChord,
    spell_chord_roots,
    spell_melody,
    written_key,
)

TABLE = Path(__file__).resolve().parents[2] / "shared" / "spelling_cases.csv"


def rows(*tasks: str) -> list[object]:
    with TABLE.open(encoding="utf-8", newline="") as lines:
        return [
            pytest.param(row, id=f"{row['key']} {row['by']} {row['expected']}")
            for row in csv.DictReader(lines)
            if row["task"] in tasks
        ]


@pytest.mark.parametrize("row", rows("written key"))
def test_the_key_of_a_part(row: dict[str, str]) -> None:
    written = written_key(Key.parse(row["key"]), Interval.parse(row["by"]))
    assert str(written) == row["expected"]


@pytest.mark.parametrize("row", rows("roots"))
def test_roots_come_back_when_their_names_are_hidden(row: dict[str, str]) -> None:
    chords = [parse_chord(text) for text in row["expected"].split()]
    heard = [HeardChord(c.root.pitch_class, chord_colour(c)) for c in chords]
    found = spell_chord_roots(heard, key=Key.parse(row["key"]))
    assert list(map(str, found)) == [str(chord.root) for chord in chords]


@pytest.mark.parametrize("row", rows("melody", "melody with chords"))
def test_melodies_come_back_when_their_names_are_hidden(row: dict[str, str]) -> None:
    pitches = [Pitch.parse(text) for text in row["expected"].split()]
    chords = None
    if row["given"]:
        over = [each.split(" over ") for each in row["given"].split(", ")]
        chords = [
            parse_chord(chord).tones for notes, chord in over for _ in notes.split()
        ]
    found = spell_melody(
        [pitch.midi for pitch in pitches], key=Key.parse(row["key"]), chords=chords
    )
    assert " ".join(map(str, found)) == row["expected"]


def test_every_case_names_its_source() -> None:
    with TABLE.open(encoding="utf-8", newline="") as lines:
        assert all(row["source"] for row in csv.DictReader(lines))
