"""Notes of a melody by their chord and by where they go, in every key.

The sounding chord comes first: its root, third, fifth and seventh are named in thirds
(R. T. Kelley 2003).  Other notes go by direction: raised upward, lowered downward,
lower neighbours raised, upper ones lowered (*Open Music Theory* v1, "Chromatic solfege
syllables"; B. Ligon, "Purposeful Accidentals"), blue thirds and fifths lowered
(Wikipedia, "Blue note").
"""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest

from leadsheet_theory.chords import parse_chord
from leadsheet_theory.key import Key
from leadsheet_theory.pitch import NoteName, Pitch
from leadsheet_theory.spelling import spell_melody

TABLE = Path(__file__).resolve().parents[2] / "../shared/reference/chord_idioms.csv"
ABSENT = "the reference tables are not beside the project (../shared/reference)"

# key, passage with the names in question in brackets, chord
ROWS = (
    # the chord's own tones, whatever the direction
    ("F major", "C5 [Db5] D5", "Db7"),
    ("C major", "[Ab4] A4", "Bb7"),
    ("G major", "E5 [Eb5] B4", "F7"),
    ("C major", "[F#4] F4", "D7"),
    ("C major", "[G#4] G4", "E7"),
    ("C major", "[Ab4] A4", "Fm6"),
    ("G major", "[Eb5] D5", "Cm6"),
    ("A minor", "[G#4] A4", "E7"),
    ("C minor", "A4 [B4] C5", "G7"),
    # direction
    ("C major", "C5 [C#5] D5", "C"),
    ("C major", "E5 [Eb5] D5", "Dm7"),
    ("C major", "A4 [A#4] B4", "G7"),
    ("C major", "G4 [F#4] F4", "C"),
    # neighbours
    ("C major", "A4 [G#4] A4", "Am7"),
    ("Eb major", "G4 [F#4] G4", "Eb"),
    ("C major", "G4 [Ab4] G4", "C"),
    ("C major", "D5 F5 [D#5] E5", "G7"),
    # blue notes
    ("C major", "E5 [Eb5] C5", "C7"),
    ("C major", "F4 [F#4] G4", "C7"),
    ("C major", "[Bb4] G4", "C7"),
    # altered tones of a dominant
    ("C major", "[Ab4] G4", "G7(b9)"),
    ("C major", "[Eb5] D5", "G7(b13)"),
)


def moved(name: NoteName, by: int) -> NoteName:
    return NoteName.from_fifths(name.fifths + by)


def hard(name: NoteName, key: Key) -> bool:
    """A double sign, or a C♭, F♭, E♯ or B♯ that the key doesn't have."""
    odd = str(name) in ("Cb", "Fb", "E#", "B#") and not key.is_diatonic(name)
    return abs(name.alter) > 1 or odd


def broken(
    home: Key, notes: list[Pitch], asked: list[int], good: list[list[NoteName]],
    chords: list[str],
) -> list[str]:  # fmt: skip
    """The keys in which none of the good names comes out."""
    wrong = []
    for signature in range(-6, 7):
        by = signature - home.signature
        key = Key.from_signature(signature, home.mode)
        up = (7 * by + 6) % 12 - 6
        tones = [
            tuple(moved(tone, by) for tone in parse_chord(chord).tones)
            for chord in chords
        ]
        found = spell_melody([n.midi + up for n in notes], key=key, chords=tones)
        names = [found[at].name for at in asked]
        choices = [[moved(name, by) for name in each] for each in good]
        if names in choices or any(hard(n, key) for each in choices for n in each):
            continue
        wrong.append(f"{key}: {' '.join(map(str, found))} over {tones[asked[0]]}")
    return wrong


@pytest.mark.parametrize("row", ROWS, ids=" ".join)
def test_melodies_in_every_key(row: tuple[str, str, str]) -> None:
    key, passage, chord = row
    words = passage.split()
    notes = [Pitch.parse(word.strip("[]")) for word in words]
    asked = [at for at, word in enumerate(words) if word.startswith("[")]
    good = [[notes[at].name for at in asked]]
    assert broken(Key.parse(key), notes, asked, good, [chord] * len(notes)) == []


# ── The collected rows ───────────────────────────────────────────────────────────

_ITEM = re.compile(r"\[([^]|]+)(?:\|[^]]+)?\]|(\S+)")


def reference() -> list[dict[str, str]]:
    if not TABLE.exists():
        return []
    with TABLE.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def pitch(text: str) -> Pitch:
    return Pitch.parse(text if text[-1].isdigit() else f"{text}4")


def in_question(context: str) -> tuple[list[Pitch], list[int], list[str]] | None:
    """The notes of a row, those in question and their chords."""
    plain = re.sub(r"\((?:written|enclosure)[^)]*\)|then", "", context)
    over = re.match(r"over ([^: ]+)[^:]*: (.*)", plain)
    if over is not None:
        chords, text = [over[1]], over[2]
    else:
        after = re.match(r".*melody (.*) over (.*)", plain)
        if after is None:
            return None
        chords, text = after[2].replace(",", " ").split(), after[1]
    items = _ITEM.findall(text)
    notes = [pitch(one or other) for one, other in items]
    # a pair of names, or one that the row only shows
    asked = [
        at
        for at, part in enumerate(re.findall(r"\[[^]]+\]|\S+", text))
        if part.startswith("[") and "|" in part
    ]
    if len(chords) != len(notes):
        chords = chords[:1] * len(notes)
    return notes, asked, chords


@pytest.mark.skipif(not reference(), reason=ABSENT)
def test_the_collected_rows_hold_in_every_key() -> None:
    wrong, count = [], 0
    for row in reference():
        if "[" not in row["context"] or row["key"] == "any key":
            continue
        if "over " not in row["context"]:
            continue
        found = in_question(row["context"])
        if found is None:
            continue
        notes, asked, chords = found
        good = [
            [pitch(name).name for name in names.split()]
            for names in (row["right"], row["also_accepted"])
            if names
        ]
        count += 1
        wrong += [
            f"{row['key']}, {row['context']}: {each}"
            for each in broken(Key.parse(row["key"]), notes, asked, good, chords)
        ]
    assert wrong == []
    assert count > 40
