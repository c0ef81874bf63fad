"""Keys and melodies of transposed parts."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest

from leadsheet_theory.chords import parse_chord
from leadsheet_theory.errors import (
    EnharmonicError,
)
from leadsheet_theory.interval import Interval
from leadsheet_theory.key import Key
from leadsheet_theory.pitch import NoteName, Pitch
from leadsheet_theory.spelling import (
    transpose_melody,
    written_interval,
    written_key,
    written_keys,
)

EXAMPLES = (
    Path(__file__).resolve().parents[2]
    / "../shared/reference/transposition_examples.csv"
)
# from the sounding up (or down) to the written note, octaves as the name has them
INTERVALS = {
    "B-flat instruments": "M2",
    "E-flat instruments": "M6",
    "F instruments": "P5",
    "Clarinet in B-flat": "M2",
    "Clarinet in A": "m3",
    "Clarinet in E-flat": "-m3",
    "Clarinet in F / basset horn in F": "P5",
    "Trumpet in B-flat": "M2",
    "English Horn": "P5",
    "Alto Flute": "P4",
    "Piccolo in D-flat": "-m2",
    "Horn in F": "P5",
    "Soprano Saxophone in B-flat": "M2",
    "Alto Saxophone in E-flat": "M6",
    "Tenor Saxophone in B-flat": "M9",
    "Euphonium in B-flat (treble clef)": "M9",
    "Euphonium (bass clef)": "P1",
    "E-flat Bass (treble clef)": "M6",
    "Cornet in B-flat": "M2",
    "Alto Horn in E-flat": "M6",
    "Bass Trombone": "P1",
}


def examples() -> list[dict[str, str]]:
    if not EXAMPLES.exists():
        return []
    with EXAMPLES.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


@pytest.mark.skipif(
    not examples(), reason="the reference tables don't lie beside the project"
)
@pytest.mark.parametrize(
    "row", examples(), ids=lambda row: f"{row['instrument']} {row['concert']}"
)
def test_published_examples(row: dict[str, str]) -> None:
    by = Interval.parse(INTERVALS[row["instrument"]])
    if row["what"] == "key":
        good = re.findall(r"[A-G][#b]? (?:major|minor)", row["written"])
        good += [
            f"{name} {good[0].split()[1]}"
            for name in re.findall(r"or ([A-G][#b]?) ", "")
        ]
        assert str(written_key(Key.parse(row["concert"]), by)) in good
    elif row["what"] == "chord":
        moved = parse_chord(row["concert"]).transposed(by)
        assert moved == parse_chord(row["written"])
    elif row["concert"][-1].isdigit():
        assert str(Pitch.parse(row["concert"]) + by) == row["written"]
    else:
        names = [NoteName.parse(name) + by for name in row["concert"].split("/")]
        assert set(map(str, names)) & set(row["written"].split("/"))


# ── Keys ─────────────────────────────────────────────────────────────────────────


def test_six_signs_keep_the_side_of_the_source_unless_asked() -> None:
    up = Interval.parse("M2")
    E = Key.parse("E")  # noqa: N806
    assert str(written_key(E, up)) == "F# major"
    assert str(written_key(E, up, six_signs="flats")) == "Gb major"
    assert str(written_key(Key.parse("Fb"), up, six_signs="sharps")) == "F# major"
    assert str(written_key(Key.parse("C"), Interval.parse("d5"))) == "Gb major"
    assert str(written_key(Key.parse("C"), Interval.parse("A4"))) == "F# major"


def test_seven_signs_are_written_only_if_asked() -> None:
    up = Interval.parse("M2")
    B = Key.parse("B")  # noqa: N806
    assert str(written_key(B, up)) == "Db major"
    assert str(B + up) == "C# major"


def test_a_tune_that_changes_key_stays_on_one_side() -> None:
    """Not to jump sides in a passage: the article on enharmonic signatures that
    keeps C# major beside F# major; here both go to flats."""
    keys = [Key.parse(name) for name in ("E", "B", "E")]
    written = written_keys(keys, Interval.parse("M2"))
    assert list(map(str, written)) == ["Gb major", "Db major", "Gb major"]
    alone = written_keys(keys[:1], Interval.parse("M2"))
    assert list(map(str, alone)) == ["F# major"]


@pytest.mark.parametrize(
    ("source", "by", "written"),
    [
        ("Abm Am", "P5", "Eb minor, E minor"),
        ("C# C", "P4", "F# major, F major"),
    ],
)
def test_a_key_without_signs_pulls_no_other_to_its_side(
    source: str, by: str, written: str
) -> None:
    """Six signs stay on the side of the source (common practice, no source), and C
    major or A minor has none to change."""
    keys = written_keys(
        [Key.parse(each) for each in source.split()], Interval.parse(by)
    )
    assert ", ".join(map(str, keys)) == written


def test_the_interval_between_keys_moves_all_letters_together() -> None:
    by = Interval.parse("M2")
    B = Key.parse("B")  # noqa: N806
    moved = written_interval(by, B, written_key(B, by))
    assert str(moved) == "d3"
    melody = [Pitch.parse(p) for p in ("B4", "C#5", "D#5", "A#4")]
    assert " ".join(map(str, transpose_melody(melody, moved).pitches)) == (
        "Db5 Eb5 F5 C5"
    )
    with pytest.raises(EnharmonicError) as error:
        written_interval(by, B, Key.parse("C"))
    assert str(error.value) == "C major is not B major transposed by M2"


# ── Melodies ─────────────────────────────────────────────────────────────────────


def test_letters_and_meaning_are_kept() -> None:
    """A raised note stays raised: B natural in E flat, a semitone lower A sharp
    (C. Schmidt-Jones, "Transposition: Changing Keys")."""
    down = Interval.parse("-m2")
    part = transpose_melody([Pitch.parse("B4"), Pitch.parse("C5")], down)
    assert " ".join(map(str, part.pitches)) == "A#4 B4"
    assert part.respelled == ()


def test_no_double_accidental_where_the_source_has_none() -> None:
    up = Interval.parse("M6")
    melody = [Pitch.parse(p) for p in ("B4", "A#4", "B4", "F##4")]
    part = transpose_melody(melody, up)
    assert " ".join(map(str, part.pitches)) == "G#5 G5 G#5 D##5"
    assert [str(one) for one in part.respelled] == [
        "G5, not F𝄪5: no double accidental where the source has none"
    ]
    kept = transpose_melody(melody, up, doubles="keep")
    assert " ".join(map(str, kept.pitches)) == "G#5 F##5 G#5 D##5"
