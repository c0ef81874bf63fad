"""Roman numerals and numbers, both ways.

Tables: *Open Music Theory* v2, "Roman numerals and SATB chord construction" (diatonic
sevenths in major and minor) and "Applied chords"; numbers: common practice, no source.
What a numeral means is checked against music21's roman module.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from music21 import key as music21_key
from music21 import roman
from strategies import chords, keys

from leadsheet_theory.chords import (
    Chord,
    PolyChord,
    chord_number,
    number_chart,
    parse_chord,
    parse_number,
    parse_numeral,
    read_number_chart,
    roman_numeral,
)
from leadsheet_theory.errors import ChordDegreeError
from leadsheet_theory.key import Key
from leadsheet_theory.pitch import NoteName

TABLE = (
    # Open Music Theory v2: diatonic sevenths in major, then in minor with the leading
    # note of V and vii°
    ("C major", "Cmaj7 Dm7 Em7 Fmaj7 G7 Am7 Bm7b5",
     "Imaj7 ii7 iii7 IVmaj7 V7 vi7 viiø7"),
    ("A minor", "Am7 Bm7b5 Cmaj7 Dm7 E7 Fmaj7 G#dim7",
     "i7 iiø7 IIImaj7 iv7 V7 VImaj7 vii°7"),
    ("A minor", "G7 Em7 F#m7b5 C+", "VII7 v7 viø7 III+"),
    # the same: applied chords, to every degree that is major or minor
    ("C major", "A7 B7 C7 D7 E7", "V7/ii V7/iii V7/IV V7/V V7/vi"),
    ("C major", "C#dim7 D#dim7 F#dim7 G#dim", "vii°7/ii vii°7/iii vii°7/V vii°/vi"),
    ("A minor", "A7 B7 C7 D#dim7", "V7/iv V7/v V7/VI vii°7/v"),
    # inversions by figured bass
    ("C major", "C/E C/G G7/B G7/D G7/F Dm7/C Bdim/D",
     "I6 I64 V65 V43 V42 ii42 vii°6"),
    # chromatic roots; common practice, no source: sevenths as lead sheets have them
    ("C major", "Db7 Eb Abmaj7 Bb7 Fm6 F#m7b5 F7",
     "bII7 bIII bVImaj7 bVII7 iv(add6) #ivø7 IV7"),
    ("C major", "G7/A Dm7/G G13 G7sus4 C6/9 Cm(maj7)",
     "V7/6 ii7/5 V13 V7sus4 I(add6,add9) i(maj7)"),
)  # fmt: skip


@pytest.mark.parametrize(("key", "texts", "numerals"), TABLE)
def test_numerals_both_ways(key: str, texts: str, numerals: str) -> None:
    where = Key.parse(key)
    found = [roman_numeral(one(text), where) for text in texts.split()]
    assert " ".join(found) == numerals
    again = [parse_numeral(numeral, where) for numeral in numerals.split()]
    assert again == [one(text) for text in texts.split()]


NUMBERS = (
    ("C major", "C Dm7 G7 Cmaj7 Bb F#m7b5 C/E", "1 2m7 5⁷ 1maj7 b7 #4m7(b5) 1/3"),
    ("E major", "E F#m7 B7 A6 D C#7(b9)", "1 2m7 5⁷ 4⁶ b7 6⁷(b9)"),
    ("C minor", "Cm Fm7 G7 Ab Bdim7", "1m 4m7 5⁷ b6 7dim7"),
)


@pytest.mark.parametrize(("key", "texts", "numbers"), NUMBERS)
def test_numbers_both_ways(key: str, texts: str, numbers: str) -> None:
    where = Key.parse(key)
    assert number_chart([one(text) for text in texts.split()], where) == numbers
    again = [parse_number(number, where) for number in numbers.split()]
    assert again == [one(text) for text in texts.split()]


def one(text: str) -> Chord:
    chord = parse_chord(text)
    assert isinstance(chord, Chord)
    return chord


def test_a_minor_tune_may_count_from_its_relative_major() -> None:
    a = Key.parse("A minor")
    changes = [one(text) for text in ("Am", "Dm7", "E7", "F")]
    line = number_chart(changes, a, count_from="relative major")
    assert line == "6m 2m7 3⁷ 4"
    assert list(read_number_chart(line, a, count_from="relative major")) == changes


def test_a_line_of_numbers_gives_the_chart_in_any_key() -> None:
    """Spelled for reading: A7, not B double flat 7, in A flat."""
    line = "| 1maj7 | 6⁷ | 2m7 | b2⁷ | 1 | N.C."
    told = {
        "C": "Cmaj7 A7 Dm7 Db7 C N.C.",
        "Ab": "Abmaj7 F7 Bbm7 A7 Ab N.C.",
        "B": "Bmaj7 G#7 C#m7 C7 B N.C.",
    }
    for key, chart in told.items():
        found = read_number_chart(line, Key.parse(key))
        assert " ".join(map(str, found)) == chart


@given(chords(), keys(), st.sampled_from(("tonic", "relative major")))
def test_every_chord_comes_back(chord: Chord, key: Key, count_from: str) -> None:
    number = chord_number(chord, key, count_from=count_from)  # type: ignore[arg-type]
    assert parse_number(number, key, count_from=count_from) == chord  # type: ignore[arg-type]
    assert parse_numeral(roman_numeral(chord, key), key) == chord
    assert parse_numeral(roman_numeral(chord, key, applied=False), key) == chord


def test_brackets_stay() -> None:
    key = Key.parse("F")
    assert roman_numeral(one("(C7)"), key) == "(V7)"
    assert parse_numeral("(V7)", key) == parse_number("(5⁷)", key) == one("(C7)")


def test_figures_with_a_slash_and_other_prints() -> None:
    key = Key.parse("C")
    assert parse_numeral("V6/5", key) == one("G7/B")
    assert parse_numeral("I6/4", key) == one("C/G")
    assert parse_numeral("viio7", key) == parse_numeral("vii°7", key) == one("Bdim7")
    assert parse_numeral("♭VI", key) == one("Ab")
    assert parse_numeral("V7/V/V", key) == one("A7")
    assert parse_number("♭7", key) == one("Bb")
    assert parse_number("57", key) == parse_number("5⁷", key) == one("G7")


@pytest.mark.parametrize(
    ("read", "text", "message"),
    [
        (parse_numeral, "X", "no degree of a key: expected a numeral I to VII"),
        (parse_numeral, "iV7", "no degree of a key: expected a numeral I to VII"),
        (parse_numeral, "", "no degree of a key: expected a numeral I to VII"),
        (parse_number, "8", "no degree of a key: expected a number 1 to 7"),
        (parse_number, "5foo", "no degree of a key: expected"),
    ],
)
def test_wrong_degrees(read, text: str, message: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ChordDegreeError) as error:
        read(text, Key.parse("C"))
    assert str(error.value).startswith(message)


def test_a_polychord_has_no_number() -> None:
    with pytest.raises(ChordDegreeError, match="no polychord"):
        number_chart([PolyChord(one("D"), one("C"))], Key.parse("C"))


# ── Against music21 ──────────────────────────────────────────────────────────────

QUALITIES = ("", "m", "dim", "+", "7", "m7", "maj7", "m7b5", "dim7")


def as_music21(numeral: str) -> str:
    """A numeral in music21's writing: there a plain 7 is the scale's own seventh and d7
    a dominant one."""
    head, slash, over = numeral.partition("/")
    if any(sign in head for sign in "°øiv") or "maj" in head:
        return numeral
    for figure in ("7", "65", "43", "42"):
        if head.endswith(figure):
            return f"{head[: -len(figure)]}d{figure}{slash}{over}"
    return numeral


@pytest.mark.parametrize("signature", [-3, 0, 2])
@pytest.mark.parametrize("mode", ["major", "minor"])
def test_music21_reads_the_same_chord(signature: int, mode: str) -> None:
    """A minor or major seventh that the scale doesn't have music21 cannot print: there
    the triad is compared."""
    key = Key.from_signature(signature, mode)  # type: ignore[arg-type]
    tonic = str(key.tonic).replace("b", "-")
    theirs = music21_key.Key(tonic if mode == "major" else tonic.lower())
    wrong = []
    for place in range(signature - 4, signature + 9):
        for quality in QUALITIES:
            root = one(f"{NoteName.from_fifths(place)}{quality}")
            basses = root.tones[1:] if quality in ("", "m", "7", "m7b5", "dim7") else ()
            for chord in (root, *(Chord(root.root, root.quality, b) for b in basses)):
                numeral = roman_numeral(chord, key, applied=place % 2 > 0)
                found = roman.RomanNumeral(as_music21(numeral), theirs)
                names = {pitch.name.replace("-", "b") for pitch in found.pitches}
                low = found.bass().name.replace("-", "b")
                tones = set(map(str, chord.tones))
                if quality in ("maj7", "m7") and names != tones:
                    names &= (tones := set(map(str, chord.tones[:3])))
                if names != tones or low != str(chord.bass or chord.root):
                    wrong.append(f"{chord} {numeral}: {low} of {sorted(names)}")
    assert wrong == []
