"""Findings: what a reader could not carry, or what a proofreader would ask."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Literal

from attrs import field, frozen

from .._printed import Shown

__all__ = ("Finding", "Severity", "bar_list", "beat_text")

Severity = Literal["note", "query", "warning", "error"]
"""How much a finding matters: for information; to ask the arranger; very likely a
slip; cannot be played as written."""


@frozen(order=False, kw_only=True)
class Finding(Shown):
    """One remark about a chart, with its place.

    `rule` is a short name that can be filtered on (``unread``, ``range``,
    ``chord-text``).  `bar` is the bar's number (0 for a pickup), `beat` counts
    from 1 in the metre's written unit; both are None where they don't apply.
    `element` names the MusicXML element where one is meant.  `advice` says
    what to do.  `line` and `column`, from 1, are the place in a chart typed as text.

    A proofreader's finding also says what is there (`found`) and what is `proposed`
    in its place, both as they are printed (``F5``, ``Bb7``, ``3/4``, ``bar 4, beat
    1``), `why`, on whose word (`source`), and whose `part` or book it concerns.
    `source_number` is the bar's number in the file where that differs.

    >>> print(Finding(rule="range", severity="warning",
    ...               message="C3 is below the trumpet", bar=4,
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
    found: str = field(default="", kw_only=True)
    proposed: str = field(default="", kw_only=True)
    why: str = field(default="", kw_only=True)
    source: str = field(default="", kw_only=True)
    part: str = field(default="", kw_only=True)
    source_number: str = field(default="", kw_only=True)
    line: int | None = field(default=None, kw_only=True)
    column: int | None = field(default=None, kw_only=True)

    def __str__(self) -> str:
        place = "" if self.bar is None else f"bar {self.bar}"
        if place and self.source_number:
            place += f" ({self.source_number} in the file)"
        if self.beat is not None:
            place += f", beat {beat_text(self.beat)}"
        if self.line is not None:
            spot = f"line {self.line}"
            if self.column is not None:
                spot += f", column {self.column}"
            place = f"{place} ({spot})" if place else spot
        says = f"{place}: {self.message}" if place else self.message
        return f"{says} ({self.advice})" if self.advice else says


def beat_text(beat: Fraction, /) -> str:
    """A beat, or a number of beats, as it is printed.

    >>> beat_text(Fraction(5, 2)), beat_text(Fraction(1, 2)), beat_text(Fraction(8, 5))
    ('2½', '½', '1+3/5')
    """
    whole, part = divmod(beat, 1)
    glyph = {
        Fraction(1, 2): "½",
        Fraction(1, 4): "¼",
        Fraction(3, 4): "¾",
        Fraction(1, 3): "⅓",
        Fraction(2, 3): "⅔",
    }.get(part)
    if glyph:
        return f"{whole or ''}{glyph}"
    return f"{whole}+{part}" if part else str(whole)


def bar_list(bars: Iterable[int], /) -> str:
    """Bar numbers in order, runs drawn together.

    >>> bar_list([1, 2, 3, 7, 9, 10])
    '1–3, 7, 9, 10'
    """
    runs: list[list[int]] = []
    for bar in bars:
        if runs and bar == runs[-1][-1] + 1:
            runs[-1].append(bar)
        else:
            runs.append([bar])
    return ", ".join(
        f"{run[0]}–{run[-1]}" if len(run) > 2 else ", ".join(map(str, run))
        for run in runs
    )
