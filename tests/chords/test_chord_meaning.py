"""What chord symbols mean: tones, bass, guide tones, tensions, readings, moves.

Spelling by thirds follows any handbook of theory (e.g. Open Music Theory v2,
"Seventh chords"); the checks that name no source are common practice.
"""

from __future__ import annotations

import pytest

from leadsheet_theory.chords import (
    Chord,
    Degree,
    NoChord,
    PolyChord,
    Quality,
    parse_symbol,
)
from leadsheet_theory.errors import ChordFormulaError, ChordSpellingError
from leadsheet_theory.interval import Interval
from leadsheet_theory.key import Key
from leadsheet_theory.pitch import NoteName


def chord(text: str) -> Chord:
    symbol = parse_symbol(text)
    assert isinstance(symbol, Chord)
    return symbol


# The dim7 rows: Schmidt-Jones, "Beyond Triads"; Bb and F#: Integrated Music
# Theory 3c; the rest by the same rule.
TONES = {
    "C7b9": "C E G Bb Db",
    "C°7": "C Eb Gb Bbb",
    "F#7": "F# A# C# E",
    "Ddim7": "D F Ab Cb",
    "Fdim7": "F Ab Cb Ebb",
    "G#dim7": "G# B D F",
    "Bbdim": "Bb Db Fb",
    "B+": "B D# F##",
    "E7#9": "E G# B D F##",
    "Gb7": "Gb Bb Db Fb",
    "Abm6": "Ab Cb Eb F",
    "B#7": "B# D## F## A#",
    "C6/9": "C E G A D",
    "C7alt": "C E Gb G# Bb Db D#",
    "Cadd2": "C D E G",
}


# With the seventh that the altered tone asks for, as a flat ninth does ("sus(b9)":
# common practice, no source).
TONES |= {
    "Csus(b13)": "C F G Bb Ab",
    "Csus4b13": "C F G Bb Ab",
    "C7sus(b13)": "C F G Bb Ab",
    "Csus(b9,b13)": "C F G Bb Db Ab",
}


@pytest.mark.parametrize(("text", "tones"), TONES.items())
def test_tones_are_spelled_by_thirds(text: str, tones: str) -> None:
    assert " ".join(map(str, chord(text).tones)) == tones


# third and seventh | tensions
COLOURS = {
    "Cmaj7": ("E B", "D F# A"),
    "C7": ("E Bb", "Db D D# F# Ab A"),
    "C7b9": ("E Bb", "D# F# Ab A"),
    "C13": ("E Bb", ""),
    "Cm7": ("Eb Bb", "D F A"),
    "Cø7": ("Eb Bb", "D F Ab"),
    "C°7": ("Eb Bbb", "D F Ab B"),
    "Cm(maj7)": ("Eb B", "D F A"),
    "C6": ("E A", "D F#"),
    "C7sus4": ("F Bb", "Db D Ab A"),
    "C7#5": ("E Bb", "Db D D# F#"),
    "C": ("E", "D F# A"),
    "C5": ("", "D A"),
}


@pytest.mark.parametrize(("text", "colours"), COLOURS.items())
def test_guide_tones_and_tensions(text: str, colours: tuple[str, str]) -> None:
    guide, tensions = colours
    assert " ".join(map(str, chord(text).guide_tones)) == guide
    assert " ".join(map(str, chord(text).tensions)) == tensions


def test_bass() -> None:
    assert " ".join(map(str, chord("C7/E").notes)) == "E C G Bb"
    assert " ".join(map(str, chord("Gm7/C").notes)) == "C G Bb D F"
    assert chord("Gm7/C").pitch_classes == {0, 2, 5, 7, 10}
    assert chord("C7/Bb").bass_degree == Degree(7, -1)
    assert chord("C7/A#").bass_degree == Degree(7, -1)
    assert chord("C7/D").bass_degree is None
    assert chord("C7").bass_degree == Degree(1)
    assert chord("C/C") == chord("C")


def test_equality_is_of_meaning_and_text_is_another_matter() -> None:
    one, two = chord("C-7b5"), chord("Cø7")
    assert one == two and hash(one) == hash(two) and str(one) == str(two)
    assert not one.same_text(two) and one.same_text(chord("C-7b5"))
    assert chord("C#7") != chord("Db7")
    assert chord("C#7").sounds_like(chord("Db7"))
    assert chord("C7#5") != chord("C7b13") != chord("C7")
    assert not chord("C6").sounds_like(chord("Am7"))
    assert chord("C6").sounds_like(chord("Am7/C"))


# Wikipedia, 'Eleventh chord'; Dobrian 2014; the others as their reasons say.
AMBIGUOUS = {
    "C7+": ["Cmaj7"],
    "C+7": ["Cmaj7"],
    "C11": ["C9sus4"],
    "C°": ["Cdim7"],
    "Cdim": ["Cdim7"],
    "CM": ["Cm"],
    "C2": ["C(add2)"],
    "C4": ["C(add4)"],
    "Cb5": ["C(b5)"],
    "Bb5": ["B(b5)"],
    "C#11": ["C#9sus4", "C7(#11)"],
    "A(#9)": ["A7(#9)"],
    "C-9": ["C7(b9)"],
    "CΔ": ["C"],
    "C△/E": ["C/E"],
    "Csus": ["C9sus4"],
    "Cm7sus4": ["Cm7(add4)"],
    "C-sus": ["Cm(add4)"],
    "Do7": ["C7"],
    "C": [],
    "C7": [],
    "Bb9": [],
    "C-7": [],
    "Cmaj7": [],
    "N.C.": [],
    "C11|D": ["C9sus4"],
}


@pytest.mark.parametrize(("text", "others"), AMBIGUOUS.items())
def test_ambiguities(text: str, others: list[str]) -> None:
    readings = parse_symbol(text).ambiguities
    assert [str(reading.chord) for reading in readings] == others
    assert all(reading.why for reading in readings)


def test_a_chord_not_read_from_text_is_not_ambiguous() -> None:
    assert Chord(NoteName("C"), Quality.from_formula("1 b3 b5")).ambiguities == ()


def test_transposition() -> None:
    up = Interval.parse("M2")
    assert str(chord("F#m7/E").transposed(up)) == "G#m7/F#"
    assert str(parse_symbol("D|C7").transposed(up)) == "E|D7"
    assert parse_symbol("N.C.").transposed(up) == NoChord()
    moved = chord("Bb7/D").into_key(Key.parse("Eb"), Key.parse("A"))
    assert str(moved) == "E7/G#"


# "A part is to be read": Tachoir; Lavengood (the bass is spelled as chord tone)
RESPELLED = [
    ("G#m7", "Ab", "Abm7"),
    ("C#7", "Db", "Db7"),
    ("G#m7/D#", "Ab", "Abm7/Eb"),
    ("C7/A#", "C", "C7/Bb"),
    ("F#7/C", "Gb", "Gb7/C"),
    ("B/F", "Cb", "Cb/F"),
]


@pytest.mark.parametrize(("text", "root", "respelled"), RESPELLED)
def test_respelling(text: str, root: str, respelled: str) -> None:
    assert str(chord(text).respelled(NoteName.parse(root))) == respelled


def test_respelling_must_keep_the_sound() -> None:
    with pytest.raises(ChordSpellingError) as caught:
        chord("G#m7").respelled(NoteName.parse("A"))
    assert str(caught.value) == "A does not sound like G♯, the root of G#m7"


def test_polychord() -> None:
    both = parse_symbol("D|C7")
    assert isinstance(both, PolyChord)
    assert " ".join(map(str, both.tones)) == "C E G Bb D F# A"
    assert both.pitch_classes == {0, 2, 4, 6, 7, 9, 10}


def test_qualities() -> None:
    quality = Quality.from_formula("b7 1 5 3 3")
    assert quality.formula == "1 3 5 b7"
    assert Degree.parse("b7") in quality
    assert quality.degree(9) is None
    assert [str(i) for i in quality.intervals] == ["P1", "M3", "P5", "m7"]
    for bad in ("1 8", "1 b", "1 bbbb3", "1 x", "1 b#3"):
        with pytest.raises(ChordFormulaError):
            Quality.from_formula(bad)
