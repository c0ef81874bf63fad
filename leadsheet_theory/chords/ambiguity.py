"""Symbols that handbooks read in two ways: the reading taken, and the other.

The parser follows one rule for each (the first column of :data:`TWO_READINGS`
read as the grammar reads it); this table keeps the other reading, so that a
proofreader can ask which was meant.
"""

from __future__ import annotations

from typing import Final

from ..pitch import NoteName
from ._words import SIGNS
from .quality import Quality
from .roots import ROOT_NAMES, roots_in

__all__ = ("TWO_READINGS", "other_readings")

TWO_READINGS: Final[tuple[tuple[str, str, str], ...]] = (
    # printed after the root, degrees of the other reading, who reads it so
    ("M", "1 b3 5", "M and m look alike by hand: Tachoir, 'Chord Spelling "
     "Standardization'"),
    ("Δ", "1 3 5", "the triangle of the plain major triad: MusicXML 4.0, kind"),
    ("+7 7+", "1 3 5 7", "European prints raise the seventh: common practice"),
    ("+9", "1 3 5 b7 #9", "the plus read as a sharp: Garcia, 'Clear Chord Symbols'"),
    ("+11", "1 3 5 b7 #11", "the plus read as a sharp: Garcia, 'Clear Chord Symbols'"),
    ("11", "1 4 5 b7 9", "the third is left out: Wikipedia, 'Eleventh chord'; "
     "Dobrian 2014"),
    ("13", "1 3 5 b7 9 13", "the 11th is left out: Integrated Music Theory 19a"),
    ("maj13 Maj13 MAJ13 ma13 Ma13 MA13 M13 Δ13", "1 3 5 7 9 13", "the 11th is left "
     "out: common practice"),
    ("° o dim", "1 b3 b5 bb7", "jazz charts mean four notes: Wikipedia, "
     "'Diminished seventh chord'"),
    ("0", "1 b3 b5 bb7", "jazz charts mean four notes: common practice"),
    ("2", "1 2 3 5", "the second is added, the third stays: Schmidt-Jones, 'Beyond "
     "Triads'"),
    ("4", "1 3 4 5", "the fourth is added, the third stays: OpenEWLD data set"),
    ("sus", "1 4 5 b7 9", "jazz charts mean 9sus4: common practice"),
    ("msus msus4 misus4 minsus4 -sus -sus4", "1 b3 4 5", "the fourth is added, the "
     "minor third stays: common practice"),
    ("m7sus m7sus4 mi7sus4 min7sus4 -7sus -7sus4", "1 b3 4 5 b7", "the fourth is "
     "added, the minor third stays: common practice"),
    ("(#9)", "1 3 5 b7 #9", "an altered ninth takes a seventh for granted: common "
     "practice"),
    ("(b9)", "1 3 5 b7 b9", "an altered ninth takes a seventh for granted: common "
     "practice"),
    ("-5", "1 b3 5", "the dash read as minor: common practice"),
    ("-6", "1 3 5 b6", "the dash read as a flat: Garcia, 'Clear Chord Symbols'"),
    ("-9", "1 3 5 b7 b9", "the dash read as a flat: Garcia, 'Clear Chord Symbols'"),
    ("-13", "1 3 5 b7 b13", "the dash read as a flat: Garcia, 'Clear Chord Symbols'"),
)  # fmt: skip
"""Printed forms, the degrees of the other reading, and who reads it so."""

# After a root with an accidental: the accidental read as the degree's.
_ROOT_OR_DEGREE: Final[dict[tuple[int, str], str]] = {
    (-1, "5"): "1 3 b5",
    (1, "5"): "1 3 #5",
    (1, "9"): "1 3 5 b7 #9",
    (1, "11"): "1 3 5 b7 #11",
}
_OTHER: Final[dict[str, tuple[Quality, str]]] = {
    form: (Quality.from_formula(formula), why)
    for forms, formula, why in TWO_READINGS
    for form in forms.split()
}


def other_readings(
    source: str, root: NoteName, /
) -> tuple[tuple[NoteName, Quality, str], ...]:
    """Root, quality and reason of each other reading of a printed chord.

    Args:
        source: the text that was read, without a slash bass.
        root: the root it was read with.
    """
    plain = source.translate(SIGNS).replace(" ", "")
    suffix = _after_root(plain, root)
    if suffix is None:
        return ()
    readings: list[tuple[NoteName, Quality, str]] = []
    if suffix in _OTHER:
        quality, why = _OTHER[suffix]
        readings.append((root, quality, why))
    formula = _ROOT_OR_DEGREE.get((root.alter, suffix))
    if formula:
        sign = "flat" if root.alter < 0 else "sharp"
        readings.append(
            (
                NoteName(root.step),
                Quality.from_formula(formula),
                f"the {sign} read as that of the {suffix}: common practice",
            )
        )
    if plain in ("Do", "Do7"):
        readings.append(
            (
                NoteName("C"),
                Quality.from_formula("1 3 5 b7" if plain == "Do7" else "1 3 5"),
                "read as the syllable Do: common practice",
            )
        )
    return tuple(readings)


def _after_root(plain: str, root: NoteName) -> str | None:
    """What follows the root in a text, whatever names it was read by."""
    for names in ROOT_NAMES:
        for width in (3, 2, 1, 4, 5):
            if roots_in(names).get(plain[:width]) == root and width <= len(plain):
                return plain[width:]
    return None
