"""Spelling and keys of notes of which only the sound is known."""

from __future__ import annotations

import pytest

from leadsheet_theory.chords import parse_chord
from leadsheet_theory.errors import (
    EmptyMelodyError,
    LengthMismatchError,
    PitchRangeError,
)
from leadsheet_theory.key import Key
from leadsheet_theory.pitch import Pitch
from leadsheet_theory.spelling import (
    HeardChord,
    HeardNote,
    find_key,
    spell_chord_roots,
    spell_melody,
    spell_note,
    spell_notes,
)


def take(text: str) -> list[HeardNote]:
    """Quarter notes in bars of four."""
    return [
        HeardNote(Pitch.parse(word).midi, onset, 1, onset // 4)
        for onset, word in enumerate(text.split())
    ]


@pytest.mark.parametrize(
    ("midi", "key", "name"),
    [
        # melody notes counted over the 180 OpenEWLD lead sheets: F# 162, Gb 4;
        # Bb 164, A# 27; G# 114, Ab 47; C# 104, Db 11; in Eb major B 40, Cb 10
        (66, "C major", "F#4"), (70, "C major", "Bb4"), (68, "C major", "G#4"),
        (61, "C major", "C#4"), (71, "Eb major", "B4"),
        # Open Music Theory v1, "Scales and scale degrees": raised 6 and 7 in minor
        (66, "A minor", "F#4"), (68, "A minor", "G#4"), (71, "C minor", "B4"),
        # the key's own notes, however odd (W. G. Howlett)
        (71, "Gb major", "Cb5"), (65, "F# major", "E#4"), (63, "Bb major", "Eb4"),
    ],
)  # fmt: skip
def test_single_notes(midi: int, key: str, name: str) -> None:
    assert str(spell_note(midi, key=Key.parse(key))) == name


@pytest.mark.parametrize(
    ("tune", "key"),
    [
        ("C4 D4 E4 F4 G4 A4 B4 C5", "C major"),
        ("Bb4 D5 F5 Eb5 D5 C5 A4 Bb4", "Bb major"),
        ("E4 F#4 G4 A4 B4 A4 G4 E4 D#4 F#4 E4 E4", "E minor"),
        ("Db4 F4 Ab4 Gb4 F4 Eb4 C4 Db4", "Db major"),
        ("B4 C#5 D#5 E5 F#5 E5 D#5 B4", "B major"),
    ],
)
def test_keys_of_tunes(tune: str, key: str) -> None:
    notes = take(tune)
    assert str(find_key(notes)) == key
    assert " ".join(map(str, spell_notes(notes).pitches)) == tune


def test_a_take_may_change_its_key() -> None:
    first = "C4 E4 G4 A4 F4 D4 B4 G4 C5 B4 A4 G4 F4 E4 D4 C4 " * 3
    second = "Ab4 C5 Eb5 F5 Db5 Bb4 G4 Eb4 Ab4 Bb4 C5 Db5 Eb5 Db5 Bb4 Ab4 " * 3
    notes = take(first + second)
    found = spell_notes(notes)
    assert " ".join(map(str, found.pitches)) == (first + second).strip()
    assert [str(key) for key in found.keys] == ["C major"] * 12 + ["Ab major"] * 12


def test_voices_and_chords_are_heard_together() -> None:
    """G sharp over E and B, A flat under F and C."""
    chords = ("C4 E4 G4", "E4 G#4 B4", "A4 C5 E5", "Ab4 C5 F5", "G4 C5 E5")
    voices = []
    for bar, chord in enumerate(chords):
        for voice, name in enumerate(chord.split()):
            midi = Pitch.parse(name).midi
            voices.append(HeardNote(midi, 4 * bar, 4, bar, voice))
    found = spell_notes(voices, keys=[Key.parse("C")] * len(chords))
    assert " ".join(map(str, found.pitches)) == " ".join(chords)


def test_a_melody_goes_along_with_chords_from_outside_the_key() -> None:
    """Common practice, no source: over Bm7 and E7 in A flat major a player reads
    B and D, not C flat and E double flat."""
    melody = "Ab4 C5 Eb5 C5 D5 B4 F#4 D5 E5 B4 D5 E5 Eb5 C5 Ab4 Eb4"
    symbols = ["Abmaj7"] * 4 + ["Bm7"] * 4 + ["E7"] * 4 + ["Abmaj7"] * 4
    found = spell_melody(
        [Pitch.parse(word).midi for word in melody.split()],
        key=Key.parse("Ab"),
        bars=[number // 4 for number in range(16)],
        chords=[parse_chord(symbol).tones for symbol in symbols],
    )
    assert " ".join(map(str, found)) == melody


def test_nothing_gives_nothing() -> None:
    assert spell_melody((), key=Key.parse("C")) == ()
    assert spell_notes(()).pitches == ()
    assert spell_chord_roots((), key=Key.parse("C")) == ()


def test_errors() -> None:
    C = Key.parse("C")  # noqa: N806
    with pytest.raises(EmptyMelodyError) as empty:
        find_key(())
    assert str(empty.value) == "no notes, no key"
    with pytest.raises(PitchRangeError) as outside:
        spell_note(128, key=C)
    assert str(outside.value) == "128 is no MIDI number: expected 0 to 127"
    with pytest.raises(LengthMismatchError) as length:
        spell_melody((60, 62), key=[C])
    assert (
        str(length.value)
        == "1 key for 2 notes or chords: expected one key for all, or one for each"
    )
    with pytest.raises(LengthMismatchError) as bars:
        spell_melody((60, 62), key=C, bars=[1])
    assert str(bars.value) == "1 bars for 2 notes or chords"
    with pytest.raises(LengthMismatchError) as chords:
        spell_chord_roots([HeardChord(0)], key=())
    assert str(chords.value) == (
        "0 keys for 1 notes or chords: expected one key for all, or one for each"
    )
    with pytest.raises(LengthMismatchError) as few:
        spell_notes([HeardNote(60, 0, 1, bar=2)], keys=[C])
    assert str(few.value) == "1 keys for 3 bars"
    with pytest.raises(LengthMismatchError) as early:
        spell_notes([HeardNote(60, 0, 1, bar=-1)])
    assert str(early.value) == "a note stands before bar 0"
