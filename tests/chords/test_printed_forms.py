"""Every printed form of the table is read as the chord that its source names."""

from __future__ import annotations

import pytest

from leadsheet_theory._scan import Scanner
from leadsheet_theory.chords import (
    STYLES,
    Chord,
    NoChord,
    Quality,
    parse_chord,
    parse_symbol,
)
from leadsheet_theory.chords._suffix import read_suffix
from leadsheet_theory.chords._words import SIGNS
from leadsheet_theory.chords.table import FORMS
from leadsheet_theory.pitch import NoteName

C = NoteName("C")
ROWS = [
    (form, formula, source)
    for formula, source, forms in FORMS
    for form in forms.split() or [""]
]


@pytest.mark.parametrize(("form", "formula", "source"), ROWS)
def test_the_grammar_agrees_with_the_table(
    form: str, formula: str, source: str
) -> None:
    scan = Scanner(form.translate(SIGNS))
    assert read_suffix(scan) == Quality.from_formula(formula), source
    assert scan.done


@pytest.mark.parametrize(("form", "formula", "source"), ROWS)
def test_on_another_root_and_over_a_bass(form: str, formula: str, source: str) -> None:
    quality = Quality.from_formula(formula)
    assert parse_chord(f"F♯{form}/E") == Chord(
        NoteName("F", 1), quality, NoteName("E")
    ), source


@pytest.mark.parametrize("style", STYLES, ids=lambda style: style.name)
def test_every_form_prints_and_reads_back(style: object) -> None:
    for form, formula, _ in ROWS:
        chord = parse_chord("C" + form)
        assert isinstance(chord, Chord)
        assert chord.quality.formula == Quality.from_formula(formula).formula
        assert parse_chord(chord.text(style)) == chord  # type: ignore[arg-type]


def test_no_form_stands_in_two_rows() -> None:
    forms = [form.translate(SIGNS) for form, _, _ in ROWS]
    twice = {form for form in forms if forms.count(form) > 1}
    assert twice <= {"-", "Δ", "Δ7", "ø", "ø7", "°", "°7", "7b9", "7#9"}, twice
    for form in twice:
        meanings = {
            Quality.from_formula(formula)
            for other, formula, _ in ROWS
            if other.translate(SIGNS) == form
        }
        assert len(meanings) == 1, form


# What the grammar reads beyond the table, and the tones on C.  These are common
# practice, no source, but for those marked.
BEYOND = [
    ("C⁷", "C E G Bb"),
    ("Cᵐᵃʲ⁷", "C E G B"),
    ("CMAJ7", "C E G B"),
    ("C Maj 7", "C E G B"),
    ("C major 7", "C E G B"),
    ("Cminor", "C Eb G"),
    ("Cmin.7", "C Eb G Bb"),
    ("C–7", "C Eb G Bb"),
    ("C-7♭5", "C Eb Gb Bb"),
    ("C⌀", "C Eb Gb Bb"),
    ("C\ue871", "C Eb Gb Bb"),  # SMuFL 1.4, csymHalfDiminished
    ("C\ue8737", "C E G B"),  # SMuFL 1.4, csymMajorSeventh
    ("C\ue870\ued60", None),
    ("Cdiminished7", "C Eb Gb Bbb"),
    ("Chalf-dim7", "C Eb Gb Bb"),
    ("Caugmented", "C E G#"),
    ("C7dim5", "C E Gb Bb"),  # music21 writes the seventh with a flat five so
    ("Cdom7dim5", "C E Gb Bb"),
    ("C7[b9,#11]", "C E G Bb Db F#"),
    ("C7(b9)(#11)", "C E G Bb Db F#"),
    ("C7(b9;#11)", "C E G Bb Db F#"),
    ("C7(b9/#11)", "C E G Bb Db F#"),
    ("C7 b9 #11", "C E G Bb Db F#"),
    ("C7b9,13", "C E G Bb Db A"),
    ("C7b9(♮13)", "C E G Bb Db A"),
    ("C7/b9", "C E G Bb Db"),
    ("C7(9,13)", "C E G Bb D A"),
    ("C11sus", "C F G Bb D"),
    ("C13sus4(b9)", "C F G Bb Db A"),
    ("C7sus4(add3)", "C E F G Bb"),
    ("C7(sus2)", "C D G Bb"),
    ("Csus#4", "C F# G"),
    ("Csus2/4", "C D F G"),
    ("Cquartal", "C F Bb"),
    ("Cpedal", "C"),
    ("Cadd#11", "C E G F#"),
    ("Cmadd11", "C Eb G F"),
    ("C(add9,no3)", "C D G"),
    ("C(no 3rd)", "C G"),
    ("Comit5", "C E"),
    ("C7(no root)", "E G Bb"),
    ("C9(no5)", "C E Bb D"),
    ("C6(maj7)", "C E G A B"),
    ("C(maj7)", "C E G B"),
    ("C9M", "C E G B D"),
    ("Cm+", "C Eb G#"),
    ("Cm7+", "C Eb G# Bb"),
    ("C-5", "C E Gb"),
    ("C-7-5", "C Eb Gb Bb"),
    ("Cmaj7(#9)", "C E G B D#"),
    ("C7(#4)", "C E G Bb F#"),
    ("C5(add9)", "C G D"),
    ("C/9", "C E G D"),
    ("C x", None),
    # Italian and Brazilian prints
    ("C7(5+)", "C E G# Bb"),
    ("C5+", "C E G#"),
    ("C7M(5+)", "C E G# B"),
    ("Cm7(5-)", "C Eb Gb Bb"),
    ("C7(9-)", "C E G Bb Db"),
    ("C7(9-,13)", "C E G Bb Db A"),
    ("Cm7M", "C Eb G B"),
    ("C7 alt.", "C E Gb G# Bb Db D#"),
    ("C7+5+9", "C E G# Bb D#"),
    ("C7/4", "C E F G Bb"),
    ("C-(△7)", "C Eb G B"),
    ("C6(9)sus4", "C F G A D"),
    ("C(69)", "C E G A D"),
    ("Cmaj7/9", "C E G B D"),
    ("Cadd+9", "C E G D#"),
    ("C13sus(b9)", "C F G Bb Db A"),
    ("C7b9sus", "C F G Bb Db"),
    ("Csus4(add9)", "C F G D"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "tones"), BEYOND)
def test_forms_beyond_the_table(text: str, tones: str | None) -> None:
    if tones is None:
        with pytest.raises(ValueError):
            parse_symbol(text)
        return
    chord = parse_symbol(text)
    assert set(map(str, chord.tones)) == set(tones.split())


ROOTS = [
    ("B♭7", "Bb7"),
    ("E𝄫", "Ebb"),
    ("F𝄪°7", "F##dim7"),
    ("Fx7", "F##7"),
    ("  G7 ", "G7"),
    ("D/F♯", "D/F#"),
    ("C/E bass", "C/E"),
    ("C6/9/E", "C6/9/E"),
    ("C/C", "C"),
    ("D♭|C7", "Db|C7"),
    ("D | C", "D|C"),
]


@pytest.mark.parametrize(("text", "canonical"), ROOTS)
def test_roots_basses_and_polychords(text: str, canonical: str) -> None:
    assert str(parse_symbol(text)) == canonical


# Common practice, no source: German and fixed-do root names.
OTHER_NAMES = [
    ("H7", "german", "B7"),
    ("B", "german", "Bb"),
    ("Bb7", "german", "Bb7"),
    ("Hes", "german", None),
    ("Heses", "german", "Bbb"),
    ("Fis7/Ais", "german", "F#7/A#"),
    ("Es", "german", "Eb"),
    ("Esus4", "german", "Esus4"),
    ("Asus4", "german", "Asus4"),
    ("As7", "german", "Ab7"),
    ("Ases", "german", "Abb"),
    ("Dm7", "german", "Dm7"),
    ("C#m", "german", "C#m"),
    ("Do7", "solfege", "C7"),
    ("Sol7sus4/Do", "solfege", "G7sus4/C"),
    ("Ré♭maj7", "solfege", "Dbmaj7"),
    ("Mim7/Si", "solfege", "Em7/B"),
    ("Si♭", "solfege", "Bb"),
    ("Lab", "solfege", "Ab"),
    ("C7", "solfege", None),
]


@pytest.mark.parametrize(("text", "names", "canonical"), OTHER_NAMES)
def test_other_root_names(text: str, names: str, canonical: str | None) -> None:
    if canonical is None:
        with pytest.raises(ValueError):
            parse_symbol(text, roots=names)  # type: ignore[arg-type]
        return
    assert str(parse_symbol(text, roots=names)) == canonical  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "text", ["N.C.", "NC", "N.C", "N", "no chord", "(N.C.)", " n.c. "]
)
def test_no_chord(text: str) -> None:
    assert parse_symbol(text) == NoChord()
