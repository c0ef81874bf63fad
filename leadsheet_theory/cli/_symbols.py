"""Chord symbols on the command line: printed plainly, or in a house style."""

from __future__ import annotations

from typing import Final

from ..chords.styles import STYLES, PrintStyle
from ..chords.symbol import ChordSymbol

__all__ = ("HOUSE_STYLES", "PRINT_STYLES", "plain", "symbol_text")

HOUSE_STYLES: Final = {style.name: style for style in STYLES}
"""The house styles of chord symbols, by name."""

PRINT_STYLES: Final[dict[str, PrintStyle]] = {
    **HOUSE_STYLES,
    "as printed": "as printed",
}
"""The ways to print the chord symbols of a page, by name."""


def symbol_text(symbol: ChordSymbol) -> str:
    """A chord symbol as it is printed."""
    return str(symbol).replace("b", "♭").replace("#", "♯")


def plain(name: str) -> str:
    """A name as it is typed and as files are called: ``Bb`` for B♭."""
    return name.replace("♭", "b").replace("♯", "#")
