"""The collected rows on enharmonic practice beside the project, where they are there.

Each row of that table names its own source.  A row is found by its first two
columns; what is asserted here is how a caller gets what the row asks for.  Rows
that we depart from stand in `DEPARTED` with the reason and with what we do instead.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

from leadsheet_theory.chords import chord_colour, parse_chord
from leadsheet_theory.interval import Interval
from leadsheet_theory.key import Key
from leadsheet_theory.pitch import NoteName, Pitch
from leadsheet_theory.spelling import (
    HeardChord,
    SixSigns,
    spell_chord_roots,
    spell_melody,
    transpose_melody,
    written_interval,
    written_key,
)

TABLE = (
    Path(__file__).resolve().parents[2] / "../shared/reference/enharmonic_practice.csv"
)
ABSENT = "the reference tables are not beside the project (../shared/reference)"


def part_key(key: str, by: str, six: SixSigns = "source") -> str:
    return str(written_key(Key.parse(key), Interval.parse(by), six_signs=six))


def roots(key: str, chords: str) -> str:
    """The chords' roots, found again from their sound."""
    parsed = [parse_chord(text) for text in chords.split()]
    heard = [
        HeardChord(
            chord.root.pitch_class,
            chord_colour(chord),
            (chord.bass or chord.root).pitch_class,
        )
        for chord in parsed
    ]
    return " ".join(map(str, spell_chord_roots(heard, key=Key.parse(key))))


def same_roots(key: str, chords: str) -> bool:
    expected = " ".join(str(parse_chord(text).root) for text in chords.split())
    return roots(key, chords) == expected


def tune(key: str, notes: str, chords: str = "") -> str:
    """The notes' names, found again from their sound."""
    pitches = [Pitch.parse(text) for text in notes.split()]
    names = chords.split()
    found = spell_melody(
        [pitch.midi for pitch in pitches],
        key=Key.parse(key),
        chords=[parse_chord(name).tones for name in names] if names else None,
    )
    return " ".join(map(str, found))


def same_tune(key: str, notes: str, chords: str = "") -> bool:
    return tune(key, notes, chords) == notes


def tones(chord: str) -> str:
    return " ".join(map(str, parse_chord(chord).tones))


def moved(notes: str, by: str, key: str) -> str:
    source = Key.parse(key)
    plain = Interval.parse(by)
    letters = written_interval(plain, source, written_key(source, plain))
    pitches = [Pitch.parse(text) for text in notes.split()]
    return " ".join(str(p.name) for p in transpose_melody(pitches, letters).pitches)


def _substitutes(pairs: dict[str, str]) -> bool:
    """In each key the chord a semitone above the tonic, between ii and I."""
    for tonic, chord in pairs.items():
        ii = NoteName.parse(tonic) + Interval.parse("M2")
        if not same_roots(f"{tonic} major", f"{ii}m7 {chord} {tonic}"):
            return False
    return True


Check = Callable[[], bool]
CHECKS: dict[tuple[str, str], Check] = {
    ("transposed part, 7 flats", "Cb major"): lambda: (
        part_key("Bbb", "M2") == "B major" and part_key("A", "d3") == "B major"
    ),
    ("transposed part, 7 sharps", "C# major"): lambda: (
        part_key("B", "M2") == part_key("E", "M6") == "Db major"
    ),
    ("transposed part, 8+ signs", "Fb, Bbb, G#, D# ... major"): lambda: (
        [part_key("C", by) for by in ("d4", "d7", "A5", "A2")]
        == ["E major", "A major", "Ab major", "Eb major"]
    ),
    ("transposed part, 6 signs (wind)", "F#/Gb major"): lambda: (
        part_key("E", "M2", "flats") == "Gb major"
    ),
    ("transposed part, 6 signs (strings, guitar)", "F#/Gb major"): lambda: (
        part_key("Ab", "m7", "sharps") == "F# major"
    ),
    ("transposed part, 6 signs, no instrument known", "F#/Gb major"): lambda: (
        part_key("E", "M2") == "F# major" and part_key("Db", "P4") == "Gb major"
    ),
    ("minor key, 6 signs", "D#/Eb minor"): lambda: (
        part_key("C# minor", "M2", "flats") == "Eb minor"
    ),
    ("minor key, 7 signs", "A# / Ab minor"): lambda: (
        part_key("G# minor", "M2") == "Bb minor"
        and part_key("Gb minor", "M2") == "G# minor"
    ),
    ("Eb-instrument part of concert E major", "key"): lambda: (
        part_key("E", "M6") == "Db major"
    ),
    ("Bb-instrument part of concert B major", "key"): lambda: (
        part_key("B", "M2") == "Db major"
    ),
    ("Bb-instrument part of concert E major", "key"): lambda: (
        part_key("E", "M2") in ("F# major", "Gb major")
    ),
    ("Eb-instrument part of concert A major", "key"): lambda: (
        part_key("A", "M6") in ("F# major", "Gb major")
    ),
    ("transposing accidentals", "raised note in Eb (B natural) moved to D"): lambda: (
        moved("B4", "-m2", "Eb") == "A#"
    ),
    ("any key", "tones of a tertian chord"): lambda: (
        tones("C13#11") == "C E G Bb D F# A" and same_tune("Eb", "B3 D#4", "B7 B7")
    ),
    ("any key", "G# augmented triad"): lambda: tones("G#aug") == "G# B# D##",
    ("any key", "dim7 chord, e.g. Abdim7"): lambda: tones("Abdim7") == "Ab Cb Ebb Gbb",
    ("any key", "b5 vs #11"): lambda: (
        "Gb" in tones("C7b5").split() and "F#" in tones("C7#11").split()
    ),
    ("any key", "#5 vs b13"): lambda: (
        "G#" in tones("C7#5").split() and "Ab" in tones("C7b13").split()
    ),
    ("any key", "#9 of a dominant"): lambda: "D#" in tones("C7#9").split(),
    ("any key", "extensions over a flat root"): lambda: "Eb" in tones("Db9").split(),
    ("any key", "root of a chord"): lambda: (
        same_roots("C", "C Am Dm G7 C") and same_roots("Ab", "Ab Db Eb7 Ab")
    ),
    ("any key", "diminished-seventh chord with leading-tone function"): lambda: (
        same_roots("C", "C F#dim7 G C")
    ),
    ("any key", "roots Cb, Fb, E#, B#"): lambda: (
        same_roots("Eb", "Eb B7 Bb7") and same_roots("Gb", "Gb Cb Db7 Gb")
    ),
    ("flat keys (-1..-3)", "pc 1 root"): lambda: all(
        same_roots(key, f"{key} Db {key}") for key in ("F", "Bb", "Eb")
    ),
    ("flat keys (-1..-4)", "pc 6 root"): lambda: (
        same_roots("F", "Gm F#dim7 Gm") and same_roots("Eb", "Eb Gb Fm7 Bb7")
    ),
    ("F major (-1)", "pc 8 root"): lambda: (
        same_roots("F", "F Ab Bb F") and same_roots("F", "F G#dim7 Am")
    ),
    ("Eb major (-3)", "pc 11 root"): lambda: same_roots("Eb", "Eb B7 Bb7 Eb"),
    ("Eb major (-3)", "pc 4 root"): lambda: same_roots("Eb", "Fm7 E7 Eb"),
    ("Gb major / F# major", "scale-degree 4 or 7"): lambda: (
        same_tune("Gb", "Gb4 Bb4 Cb5 Bb4") and same_tune("F#", "F#4 E#4 F#4")
    ),
    ("C major (0)", "pc 10 root"): lambda: same_roots("C", "C Bb F C"),
    ("C major (0)", "pc 3 root"): lambda: (
        same_roots("C", "C Eb F C") and same_roots("C", "Em Ebdim7 Dm")
    ),
    ("C major (0)", "pc 8 root"): lambda: (
        same_roots("C", "C Ab G7 C") and same_roots("C", "G7 G#dim7 Am")
    ),
    ("C major (0)", "pc 1 root"): lambda: (
        same_roots("C", "Dm7 Db7 C") and same_roots("C", "C C#dim7 Dm7")
    ),
    ("G major (1)", "pc 3 root"): lambda: same_roots("G", "G Eb D7 G"),
    ("G major (1)", "pc 10 root"): lambda: same_roots("G", "G Bb Am7 D7"),
    ("sharp keys D, A, E", "chromatic roots"): lambda: (
        same_roots("D", "D C G D")
        and same_roots("A", "A C D A")
        and same_roots("E", "E C B7 E")
        and same_roots("D", "D D#dim7 Em7")
    ),
    ("C major", "V7/V third"): lambda: same_tune("C", "F#4 A4 G4", "D7 D7 G7"),
    ("C major", "third of E7 and A7"): lambda: (
        same_tune("C", "G#4 A4", "E7 Am") and same_tune("C", "C#5 D5", "A7 Dm")
    ),
    ("Eb major", "V7/V"): lambda: same_tune("Eb", "F4 A4 C5 Bb4", "F7 F7 F7 Bb7"),
    ("any key", "half-diminished with b5"): lambda: tones("Em7b5") == "E G Bb D",
    ("C major", "tritone substitute of V7"): lambda: (
        _substitutes({"C": "Db7"}) and tones("Db7") == "Db F Ab Cb"
    ),
    ("Eb major", "tritone substitute of V7"): lambda: _substitutes({"Eb": "E7"}),
    ("Ab major", "tritone substitute of V7"): lambda: _substitutes({"Ab": "A7"}),
    ("Bb major", "tritone substitute of V7"): lambda: _substitutes({"Bb": "B7"}),
    ("Gb major", "tritone substitute of V7"): lambda: _substitutes({"Gb": "G7"}),
    ("Db major", "tritone substitute of V7"): lambda: _substitutes({"Db": "D7"}),
    ("F major", "tritone substitute of V7"): lambda: _substitutes({"F": "Gb7"}),
    ("G, D, A major", "tritone substitute of V7"): lambda: _substitutes(
        {"G": "Ab7", "D": "Eb7", "A": "Bb7"}
    ),
    ("E and B major", "tritone substitute of V7"): lambda: _substitutes(
        {"E": "F7", "B": "C7"}
    ),
    ("E major", "half-dim on #IV before V"): lambda: same_roots("E", "E A#m7b5 B7"),
    ("C major", "Neapolitan / bII"): lambda: (
        same_roots("C", "C Db G7 C") and same_tune("C", "F4 Ab4 Db5 C5", "Db Db Db C")
    ),
    ("any major key", "passing dim7 I to ii"): lambda: same_roots("C", "C C#dim7 Dm7"),
    ("any major key", "passing dim7 ii to iii"): lambda: same_roots(
        "C", "Dm D#dim7 Em"
    ),
    ("any major key", "passing dim7 iii to ii"): lambda: same_roots(
        "C", "Em Ebdim7 Dm"
    ),
    ("any major key", "dim7 before V"): lambda: same_roots("C", "F F#dim7 G7"),
    ("any major key", "dim7 to vi"): lambda: same_roots("C", "G G#dim7 Am7"),
    ("any major key", "dim7 above V, falling"): lambda: same_roots("C", "Am Abdim7 G"),
    ("any major key", "dim7 with common root"): lambda: (
        same_roots("C", "C Cdim7 C") and same_roots("C", "G7 Gdim7 G7")
    ),
    ("all keys", "dim root a semitone below the next root"): lambda: (
        same_roots("Ab", "Ab Adim7 Bbm7") and same_roots("G", "G G#dim7 Am7")
    ),
    ("all keys", "dim root a semitone above the next root"): lambda: (
        same_roots("G", "Bm7 Bbdim7 Am7") and same_roots("F", "Am7 Abdim7 Gm7")
    ),
    ("major key", "ascending chromatic"): lambda: same_tune(
        "C", "C4 C#4 D4 D#4 E4 F4 F#4 G4 G#4 A4 A#4 B4 C5"
    ),
    ("major key", "descending chromatic"): lambda: same_tune(
        "C", "C5 B4 Bb4 A4 Ab4 G4 F#4 F4 E4 Eb4 D4 Db4 C4"
    ),
    ("major key", "#4/b5 in melody"): lambda: same_tune("C", "G4 F#4 F4 E4"),
    ("minor key", "ascending chromatic"): lambda: same_tune(
        "C minor", "C4 D4 Eb4 F4 F#4 G4 Ab4 A4 Bb4 B4 C5"
    ),
    ("minor key", "leading tone"): lambda: (
        same_tune("A minor", "A4 G#4 A4") and same_tune("C minor", "C5 B4 C5")
    ),
    ("minor key", "raised 6 in melodic minor ascending"): lambda: same_tune(
        "A minor", "E4 F#4 G#4 A4"
    ),
    ("any key", "chromatic neighbours"): lambda: (
        same_tune("C", "D4 C#4 D4") and same_tune("C", "C5 Db5 C5")
    ),
    ("any key", "chromatic run"): lambda: same_tune("C", "C4 C#4 D4 D#4 E4"),
    ("any key", "direction arrow"): lambda: (
        same_tune("C", "A4 A#4 B4") and same_tune("C", "B4 Bb4 A4")
    ),
    ("C major", "raised 4 in a tune"): lambda: same_tune("C", "E4 F#4 G4 E4"),
    ("all keys", "chromatic tone followed by +1 semitone"): lambda: (
        same_tune("G", "B4 C#5 D5") and same_tune("F", "F4 G#4 A4")
    ),
    ("all keys", "chromatic tone followed by -1 semitone"): lambda: (
        same_tune("F", "F4 Eb4 D4") and same_tune("C", "A4 Ab4 G4")
    ),
    ("C major (0)", "pc 6 in melody"): lambda: same_tune("C", "C4 F#4 G4"),
    ("C major (0)", "pc 10 in melody"): lambda: same_tune("C", "C5 Bb4 A4"),
    ("C major (0)", "pc 8 in melody"): lambda: (
        same_tune("C", "G4 G#4 A4") and same_tune("C", "A4 Ab4 G4", "F Fm C")
    ),
    ("C major (0)", "pc 3 in melody"): lambda: (
        same_tune("C", "D4 D#4 E4") and same_tune("C", "E4 Eb4 D4")
    ),
    ("C major (0)", "pc 1 in melody"): lambda: same_tune("C", "E4 C#4 D4", "A7 A7 Dm"),
    ("Eb major (-3)", "pc 11 in melody"): lambda: same_tune(
        "Eb", "G4 B4 D5 C5", "G7 G7 G7 Cm"
    ),
}

DEPARTED: dict[tuple[str, str], tuple[str, Check]] = {
    ("modulation inside a sharp key", "F# major to its dominant"): (
        "the row asks for a signature of seven sharps, which the rows on seven signs "
        "refuse; `key + interval` keeps the letter",
        lambda: str(Key.parse("B") + Interval.parse("M2")) == "C# major",
    ),
    ("transposing accidentals", "raise a note already sharp in the key"): (
        "a part takes no double accidental where the source has none; "
        "`doubles='keep'` keeps the letter",
        lambda: (
            str(
                transpose_melody(
                    [Pitch.parse("A#4")], Interval.parse("M6"), doubles="keep"
                )
                .pitches[0]
                .name
            )
            == "F##"
        ),
    ),
    ("A major", "common-tone dim7 of I"): (
        "its tones A B# D# F# contradict the row on diminished sevenths, which "
        "stacks them in thirds: the melody over the symbol follows the symbol",
        lambda: tones("Adim7") == "A C Eb Gb",
    ),
}

NOT_CALLS: dict[tuple[str, str], str] = {
    ("any major key", "tonic choice"): "a count of signatures, not a choice",
    ("any key", "printed notes of a chord symbol (voicing shown to players)"): (
        "the library writes chord symbols, no voicings"
    ),
    ("any key", "11 and 13 alterations"): "which alterations exist: tested with chords",
    ("any key", "common tones between neighbours"): "notes of voicings",
    ("any key", "augmented unison between chords"): "notes of voicings",
    ("any key", "augmented sixth chords"): "chords of four-part writing, no symbols",
    ("any key", "Swiss vs German sixth in major"): "as above",
    ("minor key", "descending chromatic"): "the same as the row on major",
    ("any key", "tie-break"): "where nothing else decides: here a key always does",
}


def reference() -> list[tuple[str, str]]:
    if not TABLE.exists():
        return []
    with TABLE.open(encoding="utf-8", newline="") as lines:
        return [
            (row["context_key"], row["pitch_class_or_chord"])
            for row in csv.DictReader(lines)
        ]


ROWS = reference()
ON_ROWS = pytest.mark.skipif(not ROWS, reason=ABSENT)


@ON_ROWS
def test_every_row_is_accounted_for() -> None:
    known = {*CHECKS, *DEPARTED, *NOT_CALLS}
    assert [row for row in ROWS if row not in known] == []
    assert sorted(known - set(ROWS)) == []


@pytest.mark.parametrize("row", CHECKS, ids=" | ".join)
def test_rows_that_hold(row: tuple[str, str]) -> None:
    assert CHECKS[row]()


@pytest.mark.parametrize("row", DEPARTED, ids=" | ".join)
def test_rows_departed_from(row: tuple[str, str]) -> None:
    reason, instead = DEPARTED[row]
    assert reason
    assert instead()


def test_six_signs_follow_the_source_unless_asked() -> None:
    """Two rows hold for flats asked for: a chart that names no side keeps its own."""
    assert part_key("C# minor", "M2") == "D# minor"
    assert part_key("E", "M2") == "F# major"


ODD_NAMES = frozenset(map(NoteName.parse, ("E#", "B#", "Fb", "Cb")))
KEYS = tuple(Key.from_signature(signs) for signs in range(-6, 7))
QUALITIES = ("", "m", "7", "maj7", "m7", "m7b5", "dim", "aug")


@pytest.mark.parametrize("quality", QUALITIES)
@pytest.mark.parametrize("key", KEYS, ids=str)
def test_a_lone_arpeggio_is_spelled_from_its_root(key: Key, quality: str) -> None:
    """Common practice, no source: over a printed chord its own tones are read.

    Roots from five places below the key's to ten above, ordinary names only: a chord
    printed an enharmonic step off its key pulls the tune less far.
    """
    for place in range(key.signature - 5, key.signature + 11):
        chord = parse_chord(f"{NoteName.from_fifths(place)}{quality}")
        names = chord.tones
        if any(abs(name.alter) > 1 or name in ODD_NAMES for name in names):
            continue
        midi = [60 + name.pitch_class for name in names]
        found = spell_melody(midi, key=key, chords=[names] * len(midi))
        assert [pitch.name for pitch in found] == list(names), str(chord)
