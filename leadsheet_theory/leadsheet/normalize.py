"""All chord symbols of a chart in one house style, with a report of the changes."""

from __future__ import annotations

from fractions import Fraction

from attrs import evolve, frozen

from ..chords import ChordSymbol, HouseStyle, print_chord
from .model import Bar, LeadSheet, PlacedChord

__all__ = ("ChordTextChange", "normalize_chords")


@frozen(order=False)
class ChordTextChange:
    """A chord symbol whose printed text changed, and where it stands.

    `onset` is in quarter notes from the start of the bar.  `old` is ``""``
    where the source told no text.
    """

    bar: int
    onset: Fraction
    symbol: ChordSymbol
    old: str
    new: str

    def __str__(self) -> str:
        return f"bar {self.bar}: {self.old or 'no text'} → {self.new}"


def normalize_chords(
    sheet: LeadSheet, style: HouseStyle, /
) -> tuple[LeadSheet, tuple[ChordTextChange, ...]]:
    """The sheet with every chord symbol printed in one style, and what changed.

    The chords mean what they meant; only the text that each keeps as its source
    is new.  Symbols that were printed so already are no changes.

    >>> from leadsheet_theory.chords import SYMBOLS, parse_chord
    >>> from leadsheet_theory.key import Key
    >>> from leadsheet_theory.rhythm import Meter
    >>> chords = tuple(PlacedChord(Fraction(n), parse_chord(text))
    ...                for n, text in enumerate(("Cmaj7", "A7", "Dmin7", "G7sus4")))
    >>> bar = Bar(1, Key.parse("C"), Meter(4, 4), Fraction(4), chords=chords)
    >>> sheet, changes = normalize_chords(LeadSheet("Low Tide", (bar,)), SYMBOLS)
    >>> print(*changes, sep="; ")
    bar 1: Cmaj7 → CΔ7; bar 1: Dmin7 → D-7
    """
    changes: list[ChordTextChange] = []
    bars = tuple(_bar(bar, style, changes) for bar in sheet.bars)
    return evolve(sheet, bars=bars), tuple(changes)


def _bar(bar: Bar, style: HouseStyle, changes: list[ChordTextChange]) -> Bar:
    placed: list[PlacedChord] = []
    for chord in bar.chords:
        symbol = chord.symbol
        text = print_chord(symbol, style)
        if text != symbol.source:
            changes.append(
                ChordTextChange(bar.number, chord.onset, symbol, symbol.source, text)
            )
            chord = evolve(chord, symbol=evolve(symbol, source=text))
        placed.append(chord)
    return evolve(bar, chords=tuple(placed)) if placed else bar
