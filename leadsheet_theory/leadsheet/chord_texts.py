"""What a house style changes in the chord symbols of a chart.

The style itself is chosen where a page is written
(:func:`~leadsheet_theory.musicxml.writing.write.write_part`); the tune keeps the text
that its source has.
"""

from __future__ import annotations

from fractions import Fraction

from attrs import frozen

from .._doors import door
from ..chords import ChordSymbol, HouseStyle, print_chord
from .model import LeadSheet

__all__ = ("ChordTextChange", "chord_text_changes")


@frozen(order=False)
class ChordTextChange:
    """A chord symbol that a house style prints otherwise than its source.

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


@door
def chord_text_changes(
    sheet: LeadSheet, style: HouseStyle, /
) -> tuple[ChordTextChange, ...]:
    """The chord symbols that a house style prints otherwise than the source has them.

    >>> from leadsheet_theory.chords import SYMBOLS, parse_chord
    >>> from leadsheet_theory.key import Key
    >>> from leadsheet_theory.leadsheet import Bar, PlacedChord
    >>> from leadsheet_theory.rhythm import Meter
    >>> chords = tuple(PlacedChord(Fraction(n), parse_chord(text))
    ...                for n, text in enumerate(("Cmaj7", "A7", "Dmin7", "G7sus4")))
    >>> bar = Bar(number=1, key=Key.parse("C"), meter=Meter(4, 4), length=Fraction(4),
    ...           chords=chords)
    >>> print(*chord_text_changes(LeadSheet(title="Low Tide", bars=(bar,)), SYMBOLS),
    ...       sep="; ")
    bar 1: Cmaj7 → CΔ7; bar 1: Dmin7 → D-7
    """
    return tuple(
        ChordTextChange(
            bar.number, placed.onset, placed.symbol, placed.symbol.source, text
        )
        for bar in sheet.bars
        for placed in bar.chords
        if (text := print_chord(placed.symbol, style)) != placed.symbol.source
    )
