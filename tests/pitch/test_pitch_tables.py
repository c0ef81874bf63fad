"""Names, octaves, intervals and keys against standards, handbooks and music21."""

from __future__ import annotations

import pickle

import pytest

from leadsheet_theory.errors import (
    IntervalSyntaxError,
    KeySignatureError,
    KeySyntaxError,
    PitchRangeError,
    PitchSyntaxError,
)
from leadsheet_theory.interval import Interval
from leadsheet_theory.key import MODES, Key
from leadsheet_theory.pitch import STEPS, NoteName, Pitch

# ── Octaves change between B and C (Acoustical Society of America, 1939) ─────────


@pytest.mark.parametrize(
    ("text", "midi"),
    [
        ("C4", 60), ("B3", 59), ("Cb4", 59), ("B#3", 60), ("Cbb4", 58), ("B##3", 61),
        ("C-1", 0), ("G9", 127), ("A4", 69), ("Fb4", 64), ("E#4", 65), ("A0", 21),
        ("C8", 108),
    ],
)  # fmt: skip
def test_midi_numbers(text: str, midi: int) -> None:
    """MIDI 1.0: middle C is 60; the piano goes from 21 (A0) to 108 (C8)."""
    assert Pitch.parse(text).midi == midi


@pytest.mark.parametrize(
    ("text", "hertz"),
    [("A4", 440.0), ("A3", 220.0), ("C4", 261.626), ("E4", 329.628), ("C5", 523.251)],
)
def test_frequencies(text: str, hertz: float) -> None:
    """ISO 16 gives A4; the others follow in equal temperament."""
    assert Pitch.parse(text).frequency() == pytest.approx(hertz, abs=5e-4)


def test_other_tuning() -> None:
    assert Pitch.parse("A4").frequency(a4=442) == 442
    assert Pitch.parse("Cb4").frequency() == Pitch.parse("B3").frequency()


@pytest.mark.parametrize("octave", [-1, 0, 3, 4, 9])
@pytest.mark.parametrize("alter", [-2, -1, 0, 1, 2])
@pytest.mark.parametrize("step", STEPS)
def test_pitches_agree_with_music21(step: str, alter: int, octave: int) -> None:
    music21_pitch = pytest.importorskip("music21.pitch")
    ours = Pitch(step, alter, octave)  # type: ignore[arg-type]
    sign = "#" * alter if alter > 0 else "-" * -alter
    theirs = music21_pitch.Pitch(f"{step}{sign}")
    theirs.octave = octave
    assert ours.midi == theirs.ps
    assert ours.place == theirs.diatonicNoteNum - 1
    assert ours.frequency() == pytest.approx(theirs.frequency)


# ── Intervals ────────────────────────────────────────────────────────────────────


@pytest.mark.parametrize(
    ("low", "high", "name"),
    [
        ("C4", "E4", "M3"), ("C4", "Eb4", "m3"), ("C4", "D#4", "A2"),
        ("C4", "F#4", "A4"), ("C4", "Gb4", "d5"), ("B3", "F4", "d5"),
        ("C4", "D5", "M9"), ("C4", "Bb5", "m14"), ("C4", "C4", "P1"),
        ("C4", "C#4", "A1"), ("C4", "Cb4", "-A1"), ("C4", "A3", "-m3"),
        ("C4", "Bb2", "-M9"), ("Fb4", "F#4", "AA1"), ("F4", "B##4", "AAA4"),
        ("C4", "Dbb4", "d2"), ("C#4", "Dbb4", "dd2"), ("B#3", "C4", "d2"),
        ("C4", "C5", "P8"), ("C#4", "C5", "d8"), ("E4", "Bb5", "d12"),
    ],
)  # fmt: skip
def test_interval_names(low: str, high: str, name: str) -> None:
    """*Open Music Theory* v2, "Intervals"; the rarer ones follow from its rule."""
    between = Interval.between(Pitch.parse(low), Pitch.parse(high))
    assert str(between) == name
    assert Interval.parse(name) == between
    assert Pitch.parse(low) + between == Pitch.parse(high)
    assert Pitch.parse(high) - between == Pitch.parse(low)


@pytest.mark.parametrize(
    "name",
    [
        "P1", "m2", "M2", "A2", "d3", "m3", "M3", "P4", "A4", "d5", "P5", "A5", "m6",
        "M6", "d7", "m7", "M7", "P8", "m9", "M9", "A11", "M13", "P15",
    ],
)  # fmt: skip
def test_intervals_agree_with_music21(name: str) -> None:
    theirs = pytest.importorskip("music21.interval").Interval(name)
    ours = Interval.parse(name)
    assert ours.chromatic == theirs.semitones
    assert ours.diatonic == theirs.generic.staffDistance
    assert str(-ours.simple) in (
        "P1",
        f"-{theirs.semiSimpleName}",
        f"-{theirs.simpleName}",
    )


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("P3", "a perfect 3 does not exist: expected M, m, A or d; did you mean 'M3'?"),
        ("M5", "a major or minor 5 does not exist: expected P, A or d; "
               "did you mean 'P5'?"),
        ("x2", "not an interval: expected P, M, m, A or d and a number from 1, "
               "such as P5 or -M2"),
        ("M" + "9" * 5000, "not an interval: expected P, M, m, A or d and a number "
               "from 1, such as P5 or -M2"),
        ("P0", "not an interval: expected P, M, m, A or d and a number from 1, "
               "such as P5 or -M2"),
    ],
)  # fmt: skip
def test_intervals_that_cannot_be(text: str, message: str) -> None:
    with pytest.raises(IntervalSyntaxError) as error:
        Interval.parse(text)
    assert str(error.value).splitlines()[0] == message
    assert pickle.loads(pickle.dumps(error.value)).text == text


# ── Keys ─────────────────────────────────────────────────────────────────────────


@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("signature", range(-7, 8))
def test_keys_agree_with_music21(signature: int, mode: str) -> None:
    key = pytest.importorskip("music21.key")
    ours = Key.from_signature(signature, mode)  # type: ignore[arg-type]
    name = str(ours.tonic).replace("b", "-")
    theirs = key.Key(name, mode)
    assert theirs.sharps == signature
    scale = [p.name.replace("-", "b") for p in theirs.pitches[:7]]
    assert [str(note) for note in ours.scale] == scale
    assert all(ours.is_diatonic(note) for note in ours.scale)
    altered = {p.step: int(p.accidental.alter) for p in theirs.alteredPitches}
    assert {s: ours.alter_of(s) for s in STEPS} == {s: altered.get(s, 0) for s in STEPS}


@pytest.mark.parametrize(
    ("key", "relative", "parallel"),
    [
        ("C major", "A minor", "C minor"),
        ("Eb major", "C minor", "Eb minor"),
        ("F# minor", "A major", "F# major"),
        ("D dorian", "C major", "D major"),
    ],
)
def test_relatives(key: str, relative: str, parallel: str) -> None:
    """*Open Music Theory* v2, "Minor scales, scale degrees, and key signatures"."""
    assert str(Key.parse(key).relative) == relative
    assert str(Key.parse(key).parallel) == parallel


# ── Refusals ─────────────────────────────────────────────────────────────────────


@pytest.mark.parametrize(
    "text", ["", "H", "C#b", "Cbbbbbbbb", "C4", "♭", "C #", "１", "C\n"]
)
def test_names_that_are_none(text: str) -> None:
    with pytest.raises(PitchSyntaxError):
        NoteName.parse(text)


@pytest.mark.parametrize("text", ["", "C", "C4x", "C444", "4", "C--1", "C#b4", "C４"])
def test_pitches_that_are_none(text: str) -> None:
    with pytest.raises(PitchSyntaxError):
        Pitch.parse(text)


def test_key_errors() -> None:
    with pytest.raises(KeySyntaxError) as error:
        Key.parse("Bb mayor")
    assert str(error.value).splitlines()[0] == (
        "no such mode: expected major, minor or the name of a mode; "
        "did you mean 'Bb major'?"
    )
    with pytest.raises(KeySignatureError) as signature:
        Key.from_signature(15)
    assert str(signature.value) == (
        "a signature of 15 accidentals: at most 14 are named"
    )
    with pytest.raises(PitchRangeError):
        NoteName("C", 8)
