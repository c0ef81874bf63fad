"""Whole charts in one house style."""

from __future__ import annotations

from fractions import Fraction

from leadsheet_theory.chords import CAPITALS, PLAIN_LETTERS, SYMBOLS, Chord, parse_chord
from leadsheet_theory.key import Key
from leadsheet_theory.leadsheet.model import Bar, LeadSheet, PlacedChord
from leadsheet_theory.leadsheet.normalize import normalize_chords
from leadsheet_theory.pitch import NoteName
from leadsheet_theory.rhythm import Meter


def sheet(*bars: tuple[str, ...]) -> LeadSheet:
    return LeadSheet(
        "Two Gulls",
        tuple(
            Bar(
                number,
                Key.parse("Bb"),
                Meter(4, 4),
                Fraction(4),
                chords=tuple(
                    PlacedChord(Fraction(2 * n), parse_chord(text))
                    for n, text in enumerate(texts)
                ),
            )
            for number, texts in enumerate(bars, 1)
        ),
    )


CHART = sheet(("Bb△", "G7+9"), ("C-7", "F13-9"), ("N.C.",), (), ("Eb7/Bb", "D|C"))


def test_every_symbol_in_one_style() -> None:
    normal, changes = normalize_chords(CHART, SYMBOLS)
    assert normal == CHART
    texts = [placed.symbol.source for bar in normal.bars for placed in bar.chords]
    assert texts == ["B♭Δ7", "G7(♯9)", "C-7", "F13(♭9)", "N.C.", "E♭7/B♭", "D|C"]
    assert [str(change) for change in changes] == [
        "bar 1: Bb△ → B♭Δ7",
        "bar 1: G7+9 → G7(♯9)",
        "bar 2: F13-9 → F13(♭9)",
        "bar 5: Eb7/Bb → E♭7/B♭",
    ]


def test_a_second_time_changes_nothing() -> None:
    for style in (PLAIN_LETTERS, CAPITALS):
        once, _ = normalize_chords(CHART, style)
        again, changes = normalize_chords(once, style)
        assert again == once and not changes


def test_a_chord_without_text_gets_one() -> None:
    bar = CHART.bars[0]
    plain = Bar(
        1, bar.key, bar.meter, bar.length, chords=(
            PlacedChord(Fraction(0), Chord(NoteName("C"))),
        ),
    )  # fmt: skip
    _, (change,) = normalize_chords(LeadSheet("Two Gulls", (plain,)), PLAIN_LETTERS)
    assert str(change) == "bar 1: no text → C"
