"""Marked answers.

The worked cases are those of any handbook of theory: *Open Music Theory* v2 ("Triads",
"Seventh chords", "Key signatures", "Intervals") and C. Schmidt-Jones, *Understanding
Basic Music Theory* ("Transposition: Changing Keys"); what is said of a slip is this
library's own.
"""

from __future__ import annotations

import pickle

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import chords, intervals, keys, pitches

from leadsheet_theory import Chord, Interval, Key, NoteName, Pitch, find_book
from leadsheet_theory.errors import ChordSymbolError, ExerciseError, PitchSyntaxError
from leadsheet_theory.exercises import (
    VERDICTS,
    Marking,
    check_interval,
    check_signature,
    check_spelling,
    check_transposition,
)


def verdicts(marking: Marking) -> str:
    """``Eb right, A misspelled``."""
    return ", ".join(
        f"{note.given or note.wanted} {note.verdict}" for note in marking.notes
    )


@pytest.mark.parametrize(
    ("chord", "answer", "marked"),
    [
        ("Ebm7b5", "Eb Gb A Db", "Eb right, Gb right, A misspelled, Db right"),
        ("Ebm7b5", "Eb Gb Bbb Db", "Eb right, Gb right, Bbb right, Db right"),
        ("G7", "F B D G", "F right, B right, D right, G right"),  # in any order
        ("G7", "G B D", "G right, B right, D right, F missing"),
        ("C7", "C E G B", "C right, E right, G right, B foreign, Bb missing"),
        ("C", "C E G G", "C right, E right, G right, G repeated"),
        ("C", "C E G A", "C right, E right, G right, A foreign"),
        ("C°7", "C Eb Gb A", "C right, Eb right, Gb right, A misspelled"),
        ("E+", "E G# C", "E right, G# right, C misspelled"),
        ("C7#9", "C E G Bb Eb", "C right, E right, G right, Bb right, Eb misspelled"),
        ("C7/D", "D, C, E, G, Bb", "D right, C right, E right, G right, Bb right"),
        ("D|C", "C E G D A", "C right, E right, G right, D right, A right, F# missing"),
        ("C", "E D# Eb", "E right, D# foreign, Eb foreign, C missing, G missing"),
        ("C", "Fb E", "Fb misspelled, E right, C missing, G missing"),
        ("Am", "", "A missing, C missing, E missing"),
    ],
)
def test_chord_tones(chord: str, answer: str, marked: str) -> None:
    marking = check_spelling(chord, answer)
    assert verdicts(marking) == marked
    assert marking.right == ({note.verdict for note in marking.notes} == {"right"})


SENTENCES = {
    ("Ebm7b5", "A"): "A sounds right, but the diminished fifth of E♭ is B𝄫: a fifth "
    "counts five letters",
    ("C7#9", "Eb"): "E♭ sounds right, but the augmented ninth of C is D♯: a ninth "
    "counts nine letters",
    ("C7", "B"): "B is no tone of C7: the minor seventh of C is B♭",
    ("C7", "C#"): "C♯ is no tone of C7: the root is C",
    ("C7/D", "Ebb"): "E𝄫 sounds right, but the bass is D",
    ("C7", "A"): "A is no tone of C7",
    ("D|C", "Gb"): "G♭ sounds right, but the chord has F♯",
}


@pytest.mark.parametrize(("chord", "note"), SENTENCES)
def test_why_a_note_is_wrong(chord: str, note: str) -> None:
    first = check_spelling(chord, note).notes[0]
    assert first.why == SENTENCES[chord, note]


def test_a_marking_is_a_sentence_and_a_value() -> None:
    marking = check_spelling("F7", ["F", NoteName.parse("A"), "C"])
    assert str(marking) == "F7: F, A and C are right; E♭ is missing"
    assert str(check_spelling("F", "F A C")) == "F: all right"
    assert str(check_spelling("Am", "A")) == "Am: A is right; C and E are missing"
    assert str(marking.notes[-1]) == "E♭: missing"
    assert pickle.loads(pickle.dumps(marking)) == marking
    assert hash(marking) == hash(check_spelling("F7", "F A C"))


@pytest.mark.parametrize(
    ("key", "answer", "marked"),
    [
        ("E", "F# C# G# D#", "F# right, C# right, G# right, D# right"),
        (
            "E",
            "F# C# D# G#",
            "F# right, C# right, D# out of order, G# out of order",
        ),
        ("E", "F# C# G#", "F# right, C# right, G# right, D# missing"),
        ("Cm", "Bb Eb G#", "Bb right, Eb right, G# misspelled"),
        ("F", "Bb Eb", "Bb right, Eb foreign"),
        ("Bb", "B Eb", "B foreign, Eb right, Bb missing"),
        ("C", "", ""),
        ("D dorian", "", ""),
        ("Cb", "Bb Eb Ab Db Gb Cb Fb", ", ".join(
            f"{name} right" for name in ["Bb", "Eb", "Ab", "Db", "Gb", "Cb", "Fb"])),
    ],
)  # fmt: skip
def test_signatures(key: str, answer: str, marked: str) -> None:
    assert verdicts(check_signature(key, answer)) == marked


@pytest.mark.parametrize(
    ("low", "interval", "answer", "verdict"),
    [
        ("Eb4", "m3", "Gb4", "right"),
        ("Eb4", "m3", "F#4", "misspelled"),
        ("Eb4", "m3", "Gb5", "wrong octave"),
        ("Eb4", "m3", "G4", "foreign"),
        ("B", "A4", "E#", "right"),
        ("B", "A4", "F", "misspelled"),
        ("C4", "-m2", "B3", "right"),
        ("C4", "-m2", "Cb4", "misspelled"),
        ("B3", "d2", "Cb4", "right"),
        ("B3", "d2", "Cb5", "wrong octave"),
    ],
)
def test_intervals(low: str, interval: str, answer: str, verdict: str) -> None:
    (note,) = check_interval(low, interval, answer).notes
    assert note.verdict == verdict


def test_transpositions() -> None:
    book = find_book("Bb")
    assert check_transposition("Eb4 G4", book, "F4 A4").right
    marking = check_transposition("Eb4 G4 Bb4", book, "F4 Bbb4 C4 D5")
    assert verdicts(marking) == (
        "F4 right, Bbb4 misspelled, C4 wrong octave, D5 foreign"
    )
    assert [note.why for note in marking.notes[1:]] == [
        "B𝄫4 sounds right, but G4 moves to A4",
        "C4 stands an octave too low: B♭4 moves to C5",
        "D5 has no note to come from",
    ]
    short = check_transposition("C D E", "M2", "D")
    assert str(short) == "a major second up: D is right; E and F♯ are missing"


def test_what_cannot_be_marked() -> None:
    with pytest.raises(ExerciseError) as caught:
        check_spelling("N.C.", "C")
    assert str(caught.value) == "N.C. has no tones: expected a chord"
    with pytest.raises(ExerciseError) as caught:
        check_signature("G# major", "F#")
    assert str(caught.value) == (
        "G# major has no usual signature: expected at most seven sharps or flats"
    )
    with pytest.raises(ExerciseError) as caught:
        check_interval("C4", "m3", "Eb")
    assert str(caught.value) == (
        "C4 and E♭: expected an octave with both, or with neither"
    )
    with pytest.raises(ExerciseError):
        check_transposition("C4 D", "M2", "D4")
    with pytest.raises(ChordSymbolError):
        check_spelling("Hm7", "C")
    with pytest.raises(PitchSyntaxError):
        check_spelling("C", "C E Q")


@given(chords())
def test_a_chords_own_tones_are_right_and_others_of_their_sound_misspelled(
    chord: Chord,
) -> None:
    assert check_spelling(chord, chord.notes).right
    other = [
        NoteName.from_fifths(tone.fifths + (12 if tone.fifths < 0 else -12))
        for tone in chord.notes
    ]
    marking = check_spelling(chord, other)
    assert {note.verdict for note in marking.notes} <= {"misspelled", "right"}
    assert marking.right == (set(other) == set(chord.notes))
    missing = check_spelling(chord, ()).notes
    assert tuple(note.wanted for note in missing) == chord.notes


@given(keys())
def test_a_keys_own_signature_is_right(key: Key) -> None:
    if abs(key.signature) <= 7:
        scale = [name for name in key.scale if name.alter]
        up = key.signature > 0
        ordered = sorted(scale, key=lambda name: name.fifths, reverse=not up)
        assert check_signature(key, ordered).right


@given(pitches(), intervals(), st.data())
def test_an_interval_is_right_where_it_leads(
    low: Pitch, by: Interval, data: st.DataObject
) -> None:
    assert check_interval(low, by, low + by).right
    other = data.draw(pitches())
    (note,) = check_interval(low, by, other).notes
    assert note.verdict in VERDICTS
    assert (note.verdict == "right") == (other == low + by)
    assert (note.verdict in ("right", "misspelled")) == (other.midi == (low + by).midi)
