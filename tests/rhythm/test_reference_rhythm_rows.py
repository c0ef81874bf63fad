"""The rows of the reference tables beside the project, where they are at hand.

Each row names the published source it was read in.  A result equal to the row's
second reading is right too.
"""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest

from leadsheet_theory.rhythm import (
    HALF_BAR_WHEN_FILLED,
    HALF_BAR_WHEREVER,
    Meter,
    NoteValue,
    Tuplet,
    beam_groups,
    lay_out,
    single_value,
    spell_duration,
)

REFERENCE = Path(__file__).resolve().parents[2] / "../shared/reference"
STYLES = {"straight": HALF_BAR_WHEREVER, "swing": HALF_BAR_WHEN_FILLED}


def _rows(name: str) -> list[dict[str, str]]:
    path = REFERENCE / name
    if not path.is_file():
        return []
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


BEAM_ROWS = _rows("beaming_cases.csv")
SPELLING_ROWS = _rows("rhythm_spelling_cases.csv")

needs_reference = pytest.mark.skipif(
    not (BEAM_ROWS and SPELLING_ROWS),
    reason=f"the reference tables are not at {REFERENCE}",
)


def _meter(row: dict[str, str]) -> Meter:
    beats, beat_type = map(int, row["meter"].split("/"))
    grouping = tuple(map(int, row["grouping"].split("+"))) if row["grouping"] else ()
    return Meter(beats, beat_type, grouping)


def _value(token: str) -> NoteValue:
    token = token.removeprefix("r").rstrip("~")
    tuplet = Tuplet(3, 2) if token.startswith("t") else None
    value = single_value(Fraction(token.removeprefix("t")), tuplet=tuplet)
    assert value is not None, token
    return value


def _groups(text: str) -> tuple[tuple[int, ...], ...]:
    pairs = (tuple(map(int, pair.split("-"))) for pair in text.split())
    return tuple(tuple(range(first, last + 1)) for first, last in pairs)


@needs_reference
@pytest.mark.parametrize(
    "row",
    BEAM_ROWS,
    ids=lambda row: " ".join([row["meter"], row["style"], row["rhythm"]]),
)
def test_beaming_row(row: dict[str, str]) -> None:
    meter = _meter(row)
    tokens = row["rhythm"].split()
    events = lay_out(
        map(_value, tokens),
        rests=[place for place, token in enumerate(tokens) if token.startswith("r")],
    )
    length = sum(event.duration for event in events)
    start = meter.pickup_start(length) if row["pickup"] == "yes" else Fraction(0)
    groups = beam_groups(events, meter, style=STYLES[row["style"]], start=start)
    notes = tuple(
        tuple(place for place in group if events[place].kind == "note")
        for group in _groups(row["expected_beams"])
    )
    assert groups == notes


@needs_reference
@pytest.mark.parametrize(
    "row",
    SPELLING_ROWS,
    ids=lambda row: " ".join(
        [row["meter"], row["grouping"], row["kind"], row["onset"], row["duration"]]
    ),
)
def test_spelling_row(row: dict[str, str]) -> None:
    meter, rest = _meter(row), row["kind"] == "rest"
    onset, duration = Fraction(row["onset"]), Fraction(row["duration"])
    values = spell_duration(onset, duration, meter, rest=rest)
    if row["expected"] == "rbar":
        assert values == (NoteValue("whole"),)
        return
    tokens = row["expected"].split() if rest else row["expected"].split("~")
    expected = [Fraction(token.removeprefix("r")) for token in tokens]
    assert [value.duration for value in values] == expected
