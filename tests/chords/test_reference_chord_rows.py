"""The collected reference rows beside the project, where they are there.

Each row of those tables names its own source.  Rows that we hold wrong stand
here with the reason.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from leadsheet_theory.chords import (
    STYLES,
    Chord,
    HarmonyParts,
    NoChord,
    PolyChord,
    Quality,
    chord_from_harmony,
    harmony_of,
    parse_chord,
    read_chord,
)
from leadsheet_theory.chords.harte import parse_harte
from leadsheet_theory.pitch import NoteName

REFERENCE = Path(__file__).resolve().parents[2] / "../shared/reference"
C = NoteName("C")
ABSENT = "the reference tables are not beside the project (../shared/reference)"


def rows(name: str) -> list[dict[str, str]]:
    path = REFERENCE / name
    if not path.exists():
        return []
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


SPELLINGS = rows("chord_spellings.csv")
# A typing code for the triangle; print has the triangle itself.
# refused there, read here: a small letter is as clear a bass as a large one, and a
# chord in brackets is an optional one (common practice, no source)
HELD_WRONG = {"C^7", "C/e", "[Cmaj7]"}
KIND_ROWS = rows("chord_kinds.csv")


@pytest.mark.skipif(not SPELLINGS, reason=ABSENT)
def test_every_printed_symbol() -> None:
    wrong = [
        f"{row['text']!r}: {problem}"
        for row in SPELLINGS
        if row["text"] not in HELD_WRONG
        if (problem := spelling_problem(row))
    ]
    assert not wrong, "\n".join(wrong)
    assert len(SPELLINGS) >= 460


def spelling_problem(row: dict[str, str]) -> str:
    reading = read_chord(row["text"])
    formula = row["canonical_formula"]
    if formula == "REJECT":
        return "" if reading.error else f"read as {reading.symbol}"
    if reading.error:
        return str(reading.error)
    symbol = reading.symbol
    if formula == "NO CHORD":
        return "" if symbol == NoChord() else f"read as {symbol}"
    if isinstance(symbol, PolyChord):
        upper, lower = row["tones_spelled"].split("|")
        both = (symbol.upper.tones, symbol.lower.tones)
        right = both == (tones_of(upper), tones_of(lower))
        return "" if right else f"read as {symbol}"
    assert isinstance(symbol, Chord)
    tones = tones_of(row["tones_spelled"])
    degrees = Quality.from_formula(formula.split(" / ")[0])
    if symbol.quality != degrees or set(symbol.notes) != set(tones):
        return f"read as {symbol.quality.formula}: {symbol.notes}"
    if symbol.notes[0] != tones[0]:
        return f"bass read as {symbol.notes[0]}"
    for style in STYLES:
        if parse_chord(symbol.text(style)) != symbol:
            return f"does not read back from {symbol.text(style)}"
    return ""


def tones_of(text: str) -> tuple[NoteName, ...]:
    return tuple(map(NoteName.parse, text.split()))


@pytest.mark.skipif(not KIND_ROWS, reason=ABSENT)
@pytest.mark.parametrize("row", KIND_ROWS, ids=lambda row: row["name_on_C"])
def test_every_kind(row: dict[str, str]) -> None:
    formula = row["formula"]
    if row["kind"] == "none" and not formula:
        assert chord_from_harmony(HarmonyParts(root=None, kind="none")) == NoChord()
        return
    chord = Chord(C, Quality.from_formula(formula or "1"))
    if row["kind"] != "none":
        assert chord_from_harmony(HarmonyParts(root=C, kind=row["kind"])) == chord
    if row["harte"]:
        assert parse_harte(f"C:{row['harte']}") == chord
    if formula:
        assert set(chord.tones) == set(tones_of(row["example_on_C"]))
    for style in STYLES:
        assert parse_chord(chord.text(style)) == chord
        assert chord_from_harmony(*harmony_of(chord, style=style)) == chord
    printed = read_chord(row["name_on_C"])
    if printed.error is None and "voicing" not in row["name_on_C"]:
        assert printed.symbol == chord
