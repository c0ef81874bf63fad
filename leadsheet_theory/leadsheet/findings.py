"""Findings: what a reader could not carry, or what a proofreader would ask."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from attrs import frozen

__all__ = ("Finding", "Severity", "beat_text")

Severity = Literal["note", "warning", "error"]
"""How much a finding matters: for information, to look at, to mend."""


@frozen(order=False)
class Finding:
    """One remark about a chart, with its place.

    `rule` is a short name that can be filtered on (``unread``, ``range``,
    ``chord-text``).  `bar` is the bar's number (0 for a pickup), `beat` counts
    from 1 in the metre's written unit; both are None where they don't apply.
    `element` names the MusicXML element where one is meant.  `advice` says
    what to do.

    >>> print(Finding("range", "warning", "C3 is below the trumpet", bar=4,
    ...               beat=Fraction(5, 2), advice="play it an octave up"))
    bar 4, beat 2½: C3 is below the trumpet (play it an octave up)
    """

    rule: str
    severity: Severity
    message: str
    bar: int | None = None
    beat: Fraction | None = None
    element: str = ""
    advice: str = ""

    def __str__(self) -> str:
        place = "" if self.bar is None else f"bar {self.bar}"
        if self.beat is not None:
            place += f", beat {beat_text(self.beat)}"
        says = f"{place}: {self.message}" if place else self.message
        return f"{says} ({self.advice})" if self.advice else says


def beat_text(beat: Fraction, /) -> str:
    """A beat as it is printed: ``2½``."""
    whole, part = divmod(beat, 1)
    glyph = {
        Fraction(1, 2): "½",
        Fraction(1, 4): "¼",
        Fraction(3, 4): "¾",
        Fraction(1, 3): "⅓",
        Fraction(2, 3): "⅔",
    }.get(part)
    return f"{whole}{glyph}" if glyph else f"{whole}+{part}" if part else str(whole)
