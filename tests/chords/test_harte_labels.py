"""Harte labels against mir_eval 0.8.2 (C. Harte et al., ISMIR 2005; C. Harte,
PhD thesis, 2010)."""

from __future__ import annotations

import pytest

from leadsheet_theory.chords import Chord, NoChord, parse_symbol
from leadsheet_theory.chords.harte import SHORTHANDS, harte_label, parse_harte
from leadsheet_theory.chords.table import PRINTED_FORMS
from leadsheet_theory.errors import ChordSymbolError
from leadsheet_theory.pitch import STEPS, NoteName

ROOTS = [f"{step}{sign}" for step in STEPS for sign in ("", "b", "#")]
# mir_eval 0.8.2 admits these in its grammar and has no bitmap for them
NO_BITMAP = {"aug7", "maj11"}


@pytest.mark.parametrize("shorthand", [s for s in SHORTHANDS if s not in NO_BITMAP])
def test_every_shorthand_on_21_roots_is_mir_evals(shorthand: str) -> None:
    mir_eval = pytest.importorskip("mir_eval.chord")
    for root in ROOTS:
        label = f"{root}:{shorthand}"
        number, bitmap, _ = mir_eval.encode(label, reduce_extended_chords=True)
        chord = parse_harte(label)
        assert isinstance(chord, Chord)
        assert chord.root.pitch_class == number
        ours = {(sound - number) % 12 for sound in chord.pitch_classes}
        assert ours == {n for n in range(12) if bitmap[n]}, label
        assert harte_label(chord) == label


def test_every_shorthand_of_mir_eval_is_known() -> None:
    mir_eval = pytest.importorskip("mir_eval.chord")
    for shorthand in {*mir_eval.QUALITIES, *mir_eval.EXTENDED_QUALITY_REDUX} - {""}:
        assert isinstance(parse_harte(f"C:{shorthand}"), Chord)


@pytest.mark.parametrize("form", PRINTED_FORMS)
def test_mir_eval_hears_every_printed_form_alike(form: str) -> None:
    mir_eval = pytest.importorskip("mir_eval.chord")
    quality = PRINTED_FORMS[form]
    label = harte_label(Chord(NoteName("C"), quality))
    _, bitmap, _ = mir_eval.encode(label, reduce_extended_chords=True)
    assert quality.semitones == {n for n in range(12) if bitmap[n]}, label


LABELS = [
    ("C", "C"),
    ("C:maj", "C"),
    ("F#:min7/b3", "F#m7/A"),
    ("Bb:maj6(9)", "Bb6/9"),
    ("C:7(*5,b5)", "C7b5"),
    ("C:(b3,5)", "Cm"),
    ("C:(*1,3,5)", "C(no1)"),
    ("C:maj(10)", "C"),
    ("C:sus4(b7)/2", "C7sus4/D"),
    ("N", "N.C."),
]


@pytest.mark.parametrize(("label", "text"), LABELS)
def test_reading_labels(label: str, text: str) -> None:
    assert parse_harte(label) == parse_symbol(text)


WRONG = {
    "C:mim7": (
        "no such shorthand: expected a shorthand such as maj7 or min; "
        "did you mean 'C:min7'?\n  C:mim7\n    ^^^^"
    ),
    "C:": "not a chord label: expected a shorthand or a list of degrees\n  C:\n    ^",
    "C:maj(9": "not a chord label: expected ',' or ')'\n  C:maj(9\n         ^",
    "C:maj/14": "not a chord label: expected a degree 1 to 13\n  C:maj/14\n        ^^",
}


@pytest.mark.parametrize(("label", "message"), WRONG.items())
def test_wrong_labels(label: str, message: str) -> None:
    with pytest.raises(ChordSymbolError) as caught:
        parse_harte(label)
    assert str(caught.value) == message


def test_writing() -> None:
    assert harte_label(NoChord()) == "N"
    with pytest.raises(ChordSymbolError):
        harte_label(parse_symbol("D|C"))
