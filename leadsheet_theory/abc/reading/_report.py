"""What the reader of a tune has to say, with line and column."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from attrs import evolve

from ...leadsheet.findings import Finding, Severity
from ...musicxml.reading._report import Report

__all__ = ("AbcReport",)


class AbcReport(Report):
    """The findings of one tune.

    Those that belong to a bar of the melody get its number at the end, when it is
    known whether the first is a pickup; `bar_places` are the lines and columns where
    the bars begin.
    """

    __slots__ = ("_at", "bar_places")

    def __init__(self) -> None:
        super().__init__()
        self._at: list[tuple[int | None, Finding]] = []
        self.bar_places: Sequence[tuple[int, int]] = ()

    def at(
        self,
        rule: str,
        severity: Severity,
        message: str,
        line: int,
        column: int = 1,
        *,
        bar: int | None = None,
        advice: str = "",
    ) -> None:
        """Note a finding at a place of the text, in the bar of an index."""
        finding = Finding(
            rule=rule,
            severity=severity,
            message=message,
            advice=advice,
            line=line,
            column=column,
        )
        self._at.append((bar, finding))

    def findings(self, first: int, pickup_start: Fraction) -> tuple[Finding, ...]:
        """All findings, in the order of the text."""
        done = [
            finding
            if bar is None
            else evolve(finding, bar=self.place(bar, first, pickup_start).bar)
            for bar, finding in self._at
        ]
        for index, finding in self.placed(first, pickup_start):
            if index is not None and index < len(self.bar_places):
                line, column = self.bar_places[index]
                finding = evolve(finding, line=line, column=column)
            done.append(finding)
        done.sort(key=lambda each: (each.line or 0, each.column or 0))
        return tuple(done)
