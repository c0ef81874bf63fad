"""Chord symbols on the command line: printed plainly, or in a house style."""

from __future__ import annotations

from typing import Final

from ..chords.styles import STYLES, PrintStyle

__all__ = ("HOUSE_STYLES", "PRINT_STYLES")

HOUSE_STYLES: Final = {style.name: style for style in STYLES}
"""The house styles of chord symbols, by name."""

PRINT_STYLES: Final[dict[str, PrintStyle]] = {
    **HOUSE_STYLES,
    "as printed": "as printed",
}
"""The ways to print the chord symbols of a page, by name."""
