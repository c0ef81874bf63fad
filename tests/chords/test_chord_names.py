"""Naming chords from their notes.  The order is by judgement (common practice)."""

from __future__ import annotations

import pytest

from leadsheet_theory.chords import Chord, Quality, parse_chord
from leadsheet_theory.chords.naming import _spell_root, name_chord
from leadsheet_theory.chords.table import PRINTED_FORMS
from leadsheet_theory.key import Key
from leadsheet_theory.pitch import NoteName, Pitch, PitchClass


def names(notes: str, key: str) -> list[str]:
    midi = [Pitch.parse(note).midi for note in notes.split()]
    return [str(name) for name in name_chord(midi, key=Key.parse(key), bass=min(midi))]


# notes from the bass up, key | the first names
CASES = [
    ("C3 E3 G3", "C", ["C"]),
    ("E3 G3 C4", "C", ["C/E"]),
    ("C3 E3 G3 A3", "C", ["C6", "Am7/C"]),
    ("A2 C3 E3 G3", "C", ["Am7", "C6/A"]),
    ("Db3 F3 Ab3 Cb4", "Gb", ["Db7"]),
    ("C#3 E#3 G#3 B3", "F#", ["C#7"]),
    ("F#3 A3 C4 Eb4", "G", ["F#dim7"]),
    ("B2 D3 F3 A3", "C", ["Bm7(b5)", "Dm6/B"]),
    ("G2 F3 B3 E4", "C", ["G13 without 5, 9, 11"]),
    ("G2 B3 F3 A3 E4", "C", ["G13 without 5, 11"]),
    ("C3 Bb3 D4 F4", "F", ["Bb/C"]),
    ("D3 G3 C4", "C", ["Gsus4/D"]),
    ("C3 E3", "C", ["C without 5"]),
    ("C3 G3", "C", ["C5"]),
    ("Ab2 Cb3 Eb3 Gb3", "Gb", ["Abm7"]),
]


@pytest.mark.parametrize(("notes", "key", "first"), CASES)
def test_first_names(notes: str, key: str, first: list[str]) -> None:
    assert names(notes, key)[: len(first)] == first


@pytest.mark.parametrize("form", PRINTED_FORMS)
def test_a_name_sounds_what_it_names(form: str) -> None:
    chord = Chord(NoteName("C"), PRINTED_FORMS[form])
    for name in name_chord(chord.pitch_classes, key=Key.parse("C"), bass=0):
        lacking = {
            (name.chord.root.pitch_class + degree.semitones) % 12
            for degree in name.missing
        }
        assert name.chord.pitch_classes - lacking == chord.pitch_classes


def test_everyday_chords_are_named_as_themselves() -> None:
    everyday = "C Cm C7 Cmaj7 Cm7 Cm7b5 Cdim7 C6 Cm6 C9 C7b9 C7sus4 C13 Cm9 C+ Cdim"
    for text in everyday.split():
        chord = parse_chord(text)
        best = name_chord(chord.pitch_classes, key=Key.parse("F"), bass=0)[0]
        assert best.chord == chord


def test_nothing_sounds_like_nothing() -> None:
    assert name_chord([], key=Key.parse("C")) == ()


def test_roots_in_a_key() -> None:
    dominant = Quality.from_formula("1 3 5 b7")
    spelled = [
        str(_spell_root(PitchClass(sound), dominant, key=Key.parse(key)))
        for sound, key in ((1, "Ab"), (1, "D"), (8, "A"), (8, "Db"), (11, "Gb"))
    ]
    assert spelled == ["Db", "C#", "G#", "Ab", "Cb"]
