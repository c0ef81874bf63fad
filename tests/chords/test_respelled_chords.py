"""The chords of transposed parts, spelled for their readers.

The cases of the table ``shared/spelling_cases.csv`` name their sources; the others are
common practice, no source.
"""

from __future__ import annotations

import csv
import pickle
from pathlib import Path

import pytest

from leadsheet_theory.chords import NoChord, parse_chord
from leadsheet_theory.chords.respell import written_chords
from leadsheet_theory.errors import ChordSpellingError, LengthMismatchError
from leadsheet_theory.interval import Interval
from leadsheet_theory.key import Key
from leadsheet_theory.pitch import NoteName

TABLE = Path(__file__).resolve().parents[2] / "shared" / "spelling_cases.csv"
with TABLE.open(encoding="utf-8", newline="") as lines:
    PART_CHORDS = [row for row in csv.DictReader(lines) if row["task"] == "part chords"]


@pytest.mark.parametrize(
    "row", PART_CHORDS, ids=lambda row: f"{row['key']} {row['by']} {row['expected']}"
)
def test_the_chords_of_a_part(row: dict[str, str]) -> None:
    key = Key.parse(row["key"])
    changes = [(key, parse_chord(text)) for text in row["given"].split()]
    part = written_chords(changes, Interval.parse(row["by"]))
    expected = tuple(parse_chord(text) for text in row["expected"].split())
    assert part.symbols == expected
    for one in part.respelled:
        assert one.reason
        assert one.plain != one.written


def changes(key: str, text: str) -> list[tuple[Key, object]]:
    return [(Key.parse(key), parse_chord(word)) for word in text.split()]


def test_one_chord_of_one_part_can_be_asked_for() -> None:
    source = changes("Eb", "Ebmaj7 F#m7 B7 Ebmaj7")
    up = Interval.parse("M2")
    part = written_chords(source, up, asked={1: NoteName.parse("G#")})  # type: ignore[arg-type]
    assert " ".join(map(str, part.symbols)) == "Fmaj7 G#m7 C#7 Fmaj7"
    plain = written_chords(source, up)  # type: ignore[arg-type]
    assert " ".join(map(str, plain.symbols)) == "Fmaj7 Abm7 Db7 Fmaj7"


def test_asking_for_another_sound_is_refused() -> None:
    source = changes("Eb", "Ebmaj7 F#m7")
    with pytest.raises(ChordSpellingError) as error:
        written_chords(source, Interval.parse("M2"), asked={1: NoteName("A")})  # type: ignore[arg-type]
    assert str(error.value) == "A does not sound like G♯, the root of G♯m7"
    with pytest.raises(LengthMismatchError) as missing:
        written_chords(source, Interval.parse("M2"), asked={9: NoteName("A")})  # type: ignore[arg-type]
    assert str(missing.value) == "a root is asked for at 9: no chord there"
    with pytest.raises(LengthMismatchError) as keys:
        written_chords(source, Interval.parse("M2"), keys=[])  # type: ignore[arg-type]
    assert str(keys.value) == "0 keys for 2 chords"
    again = pickle.loads(pickle.dumps(error.value))
    assert str(again) == str(error.value)


def test_no_chord_and_chords_over_chords_go_along() -> None:
    source = [
        (Key.parse("Eb"), NoChord()),
        (Key.parse("Eb"), parse_chord("F#m7")),
        (Key.parse("Eb"), parse_chord("B7")),
    ]
    part = written_chords(source, Interval.parse("M2"))
    assert part.symbols[0] == NoChord()
    assert str(part.respelled[0]) == (
        "Abm7, not G#m7: the ii and V of a pair stand on one side"
    )


def test_slash_basses_follow_their_chord() -> None:
    part = written_chords(changes("Eb", "F#m7/C# B7/D# Ebmaj7"), Interval.parse("M2"))  # type: ignore[arg-type]
    assert " ".join(map(str, part.symbols)) == "Abm7/Eb Db7/F Fmaj7"


def test_no_double_accidental_in_the_bass_where_the_source_has_none() -> None:
    part = written_chords(changes("E", "E C#7/E# F#m7 B7"), Interval.parse("M2"))  # type: ignore[arg-type]
    assert " ".join(map(str, part.symbols)) == "F# D#7/G G#m7 C#7"
    assert [str(one) for one in part.respelled] == [
        "D#7/G, not D#7/F##: no double accidental where the source has none"
    ]


def test_concert_charts_can_be_respelled_in_place() -> None:
    part = written_chords(changes("F", "Fmaj7 A#7 A7 D#7 D7"))  # type: ignore[arg-type]
    assert " ".join(map(str, part.symbols)) == "Fmaj7 Bb7 A7 Eb7 D7"
    assert written_chords([]).symbols == ()
