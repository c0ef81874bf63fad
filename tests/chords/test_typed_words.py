"""Chord symbols among words: which words are chords, which hold some, which only look
so (common practice, no source; the cases are of kinds met in amateurs' charts)."""

import pytest

from leadsheet_theory.chords import typed_chords, typed_sounds


@pytest.mark.parametrize(
    ("words", "chords"),
    [
        ("Dm7(b5)", "Dm7(b5)"),
        ("Eb 7/Bb", "Eb7/Bb"),
        ("Bb-Bdim-Cm7-F7", "Bb Bdim Cm7 F7"),
        ("A7D7", "A7 D7"),
        ("Dm7(b5)G7(b9)", "Dm7(b5) G7(b9)"),
        ("A-7D7", "Am7 D7"),
        ("Gm7 - C7 | F", "Gm7 C7 F"),
        ("Gm7, C7", "Gm7 C7"),
        ("C7/E7", "C7 E7"),
        # letters alone may name anything
        ("A", ""),
        ("A-B", ""),
        ("C D", ""),
        ("B2", ""),
        ("Ad lib.", ""),
        ("Play Bb7", ""),
    ],
)
def test_words_that_are_chords(words, chords):
    assert " ".join(map(str, typed_chords(words))) == chords


@pytest.mark.parametrize(
    ("words", "sounds", "unreadable"),
    [
        ("over a Bb pedal", "Bb", ""),
        ("Play Bb7 here", "Bb7", ""),
        ("1st time Am7, then D7", "Am7 D7", ""),
        ("(Bb7)", "Bb7", ""),
        ("Bridge: Eb", "Eb", ""),
        ("F5b5", "F(b5,no3)", ""),
        ("C²", "Csus2", ""),
        ("F79", "", "F79"),
        ("try F79", "", "F79"),
        ("G", "", "G"),
        ("F#", "", "F#"),
        # through a wrong encoding: nothing of it is moved
        ("Fè", "", "Fè"),
        ("Fèm7 Bb7", "", "Fèm7"),
        ("Bb instruments only", "", ""),
        ("Eb sax", "", ""),
        ("Am I late?", "", ""),
        ("Für die Bühne", "", ""),
        ("A tempo", "", ""),
        ("D.S. al Coda", "", ""),
        ("To B", "", ""),
        ("section A1, B2", "", ""),
    ],
)
def test_sounds_that_words_name(words, sounds, unreadable):
    found = typed_sounds(words)
    assert " ".join(str(sound.symbol) for sound in found.sounds) == sounds
    assert " ".join(found.unreadable) == unreadable
    for sound in found.sounds:
        assert (
            words[sound.start : sound.end].strip("()") == words[sound.start : sound.end]
        )
