"""How drawn pages look: fonts and the weight of lines, as values to build upon.

A look is a choice of taste, not of theory: the sizes follow what is common in printed
lead sheets (common practice, no source), so chord symbols are never smaller than
lyrics and heavier than they.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from attrs import frozen

__all__ = ("ENGRAVED", "HANDWRITTEN", "LOOKS", "PageLook")


@frozen(order=False, kw_only=True)
class PageLook:
    """The look of drawn pages.

    `chord_font` sets chord symbols, section letters, words of form and tempo;
    `text_font` lyrics and other words; `heading_font` what stands around the music.
    They are names of font families that the pages ship: ``"Leadsheet Chords"`` (bold),
    ``"Leadsheet Hand"`` and ``"Libertinus Serif"``.  `chord_size` is the size of chord
    symbols, in sizes of the lyrics.  The strengths of staff lines, stems and bar lines
    are in staff spaces, from the middle of SMuFL's usual values.  `pen` is drawn round
    the letters of chord symbols and of all words in `chord_font`, in millimetres.

    >>> from attrs import evolve
    >>> evolve(ENGRAVED, name="large print", chord_size=1.4).chord_font
    'Leadsheet Chords'
    """

    name: str
    chord_font: str
    text_font: str
    heading_font: str
    chord_weight: int = 700
    chord_size: float = 1.2
    staff_line: float = 0.08
    stem: float = 0.11
    bar_line: float = 0.15
    beam: float = 0.5
    slur: float = 0.25
    pen: float = 0.0


ENGRAVED: Final = PageLook(
    name="engraved",
    chord_font="Leadsheet Chords",
    text_font="Libertinus Serif",
    heading_font="Libertinus Serif",
)
"""As engraved music looks: a bold sans for chord symbols, a roman for words."""

HANDWRITTEN: Final = PageLook(
    name="handwritten",
    chord_font="Leadsheet Hand",
    text_font="Leadsheet Hand",
    heading_font="Leadsheet Hand",
    chord_weight=400,
    chord_size=1.35,
    staff_line=0.1,
    stem=0.14,
    bar_line=0.2,
    beam=0.55,
    slur=0.32,
    pen=0.1,
)
"""As a copyist's pen writes: hand-lettered words, heavier lines, the same notes."""

LOOKS: Final[Mapping[str, PageLook]] = MappingProxyType(
    {look.name: look for look in (ENGRAVED, HANDWRITTEN)}
)
"""The looks by their names."""
