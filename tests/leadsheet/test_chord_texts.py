"""What a house style changes in a chart."""

from __future__ import annotations

from fractions import Fraction

from leadsheet_theory.chords import PLAIN_LETTERS, SYMBOLS, Chord, parse_symbol
from leadsheet_theory.key import Key
from leadsheet_theory.leadsheet.chord_texts import chord_text_changes
from leadsheet_theory.leadsheet.model import Bar, LeadSheet, PlacedChord
from leadsheet_theory.pitch import NoteName
from leadsheet_theory.rhythm import Meter


def sheet(*bars: tuple[str, ...]) -> LeadSheet:
    return LeadSheet(
        title="Two Gulls",
        bars=tuple(
            Bar(
                number=number,
                key=Key.parse("Bb"),
                meter=Meter(4, 4),
                length=Fraction(4),
                chords=tuple(
                    PlacedChord(Fraction(2 * n), parse_symbol(text))
                    for n, text in enumerate(texts)
                ),
            )
            for number, texts in enumerate(bars, 1)
        ),
    )


CHART = sheet(("Bb△", "G7+9"), ("C-7", "F13-9"), ("N.C.",), (), ("Eb7/Bb", "D|C"))


def test_what_is_printed_otherwise_is_told() -> None:
    assert [str(change) for change in chord_text_changes(CHART, SYMBOLS)] == [
        "bar 1: Bb△ → B♭Δ7",
        "bar 1: G7+9 → G7(♯9)",
        "bar 2: F13-9 → F13(♭9)",
        "bar 5: Eb7/Bb → E♭7/B♭",
    ]


def test_a_chord_without_text_gets_one() -> None:
    bar = CHART.bars[0]
    plain = Bar(
        number=1, key=bar.key, meter=bar.meter, length=bar.length, chords=(
            PlacedChord(Fraction(0), Chord(NoteName("C"))),
        ),
    )  # fmt: skip
    (change,) = chord_text_changes(
        LeadSheet(title="Two Gulls", bars=(plain,)), PLAIN_LETTERS
    )
    assert str(change) == "bar 1: no text → C"
