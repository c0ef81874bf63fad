"""Chord symbols on the command line: printed plainly, or in a house style."""

from __future__ import annotations

from typing import Final

from ..chords.styles import STYLES
from ..chords.symbol import ChordSymbol

__all__ = ("HOUSE_STYLES", "symbol_text")

HOUSE_STYLES: Final = {style.name: style for style in STYLES}
"""The ways to print chord symbols, by name."""


def symbol_text(symbol: ChordSymbol) -> str:
    """A chord symbol as it is printed."""
    return str(symbol).replace("b", "♭").replace("#", "♯")
