"""What a reader has to say: where it stands, what it could not carry.

Findings are gathered by the measure's index and get their bar numbers at the
end, when it is known whether the first measure is a pickup.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from ...errors import MusicXMLReadError
from ...leadsheet.findings import Finding, Severity, bar_list
from ...rhythm.meter import Meter

__all__ = ("ABOUT_THE_FILE", "ENGRAVING", "PLAYBACK", "Report")

ENGRAVING: Final = frozenset(
    {
        "accidental", "appearance", "beam", "bookmark", "cancel", "clef",
        "concert-score", "credit-image", "credit-symbol", "credit-type",
        "defaults", "directive", "footnote", "for-part", "group", "group-link",
        "grouping", "instrument-link", "key-octave", "level", "line-detail",
        "link", "multiple-rest", "notehead-text", "part-abbreviation",
        "part-abbreviation-display", "part-group", "part-link",
        "part-name-display", "part-symbol", "print", "staff", "staff-details",
        "staff-layout", "staff-lines", "staves", "stem", "tuplet-actual",
        "tuplet-normal", "voice",
    }
)  # fmt: skip
"""MusicXML 4.0 elements that say how the source was engraved.  The library
decides all of that anew for each part, so they are left out on purpose, and one
finding names those that a file holds."""

PLAYBACK: Final = frozenset(
    {
        "assess", "instrument", "instrument-change", "instruments", "listen",
        "listening", "midi-device", "midi-instrument", "play", "player",
        "score-instrument", "sound",
    }
)  # fmt: skip
"""Elements for playback alone; named in one finding."""

ABOUT_THE_FILE: Final = frozenset(
    {
        "encoding", "miscellaneous", "movement-number", "opus", "relation", "source",
        "work-number",
    }
)  # fmt: skip
"""Elements about the file or the edition; named in one finding."""

_SUMMARIES: Final = (
    (ENGRAVING, "layout", "left to the engraving of the parts"),
    (PLAYBACK, "playback", "for playback only, not carried"),
    (ABOUT_THE_FILE, "metadata", "about the file, not carried"),
)


class Report:
    """The findings of one reading.  It never leaves the function that makes it."""

    __slots__ = (
        "_gathered", "_places", "index", "measure", "numbers", "part", "passed",
    )  # fmt: skip

    def __init__(self) -> None:
        self.part = ""
        self.measure = ""
        self.index: int | None = None
        self._places: list[tuple[int | None, Fraction | None, Meter | None, Finding]]
        self._places = []
        self._gathered: dict[tuple[str, Severity, str, str, str], list[int | None]]
        self._gathered = {}
        self.passed: set[str] = set()
        # for each measure its bar's number, and the file's own where it is another
        self.numbers: Sequence[tuple[int, str]] = ()

    def error(self, problem: str, element: str) -> MusicXMLReadError:
        """The error to raise here."""
        return MusicXMLReadError(
            problem, part=self.part, measure=self.measure, element=element
        )

    def add(
        self,
        rule: str,
        severity: Severity,
        message: str,
        *,
        element: str = "",
        advice: str = "",
        onset: Fraction | None = None,
        meter: Meter | None = None,
    ) -> None:
        """Note a finding here, at an onset in the metre where that is known."""
        finding = Finding(
            rule=rule,
            severity=severity,
            message=message,
            element=element,
            advice=advice,
        )
        self._places.append((self.index, onset, meter, finding))

    def gather(
        self,
        rule: str,
        severity: Severity,
        message: str,
        *,
        element: str = "",
        advice: str = "",
    ) -> None:
        """Note a finding here that may come again: equal ones become one."""
        same = (rule, severity, message, element, advice)
        self._gathered.setdefault(same, []).append(self.index)

    def unread(self, element: str, why: str = "") -> None:
        """Note that an element here is not carried, and why or what it says."""
        if element in ENGRAVING or element in PLAYBACK or element in ABOUT_THE_FILE:
            self.passed.add(element)
        else:
            message = f"<{element}> is not carried"
            if why:
                message += f": {why}"
            self.gather("unread", "warning", message, element=element)

    def take_passed(self, other: Report) -> None:
        """Name what another report left out on purpose with what this one did."""
        self.passed |= other.passed
        other.passed.clear()

    def _number(self, index: int, first: int) -> tuple[int, str]:
        if index < len(self.numbers):
            return self.numbers[index]
        return index + first, ""

    def findings(self, first: int, pickup_start: Fraction) -> tuple[Finding, ...]:
        """All findings, by bar; `first` is the first bar's number, and a pickup
        starts `pickup_start` into its metre."""
        done = [
            Finding(
                rule=finding.rule,
                severity=finding.severity,
                message=finding.message,
                bar=None if index is None else self._number(index, first)[0],
                source_number="" if index is None else self._number(index, first)[1],
                beat=None
                if onset is None or meter is None
                else meter.beat_at(onset, start=pickup_start if not index else _START),
                element=finding.element,
                advice=finding.advice,
            )
            for index, onset, meter, finding in self._places
        ]
        for (rule, severity, message, element, advice), at in self._gathered.items():
            places = sorted({self._number(i, first) for i in at if i is not None})
            bars = sorted({bar for bar, _ in places})
            if len(bars) > 1:
                message += f" (bars {bar_list(bars)})"
            bar, own = places[0] if places else (None, "")
            done.append(
                Finding(
                    rule=rule,
                    severity=severity,
                    message=message,
                    bar=bar,
                    element=element,
                    advice=advice,
                    source_number=own,
                )
            )
        for group, rule, what in _SUMMARIES:
            found = sorted(self.passed & group)
            if found:
                done.append(
                    Finding(
                        rule=rule,
                        severity="note",
                        message=f"{what}: {', '.join(found)}",
                    )
                )
        done.sort(key=lambda finding: -1 if finding.bar is None else finding.bar)
        return tuple(done)


_START: Final = Fraction(0)
