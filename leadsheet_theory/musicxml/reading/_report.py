"""What a reader has to say: where it stands, what it could not carry.

Findings are gathered by the measure's index and get their bar numbers at the
end, when it is known whether the first measure is a pickup.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final

from attrs import evolve, frozen

from ...errors import MusicXMLReadError
from ...leadsheet.findings import Finding, Severity, bar_list
from ...rhythm.meter import Meter

__all__ = ("ABOUT_THE_FILE", "ENGRAVING", "PLAYBACK", "Place", "Report")

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


@frozen(order=False)
class Place:
    """Where a measure of the file stands: the number of its bar, the file's own where
    that is another, and where in the metre it starts."""

    bar: int
    own: str
    start: Fraction


class Report:
    """The findings of one reading.  It never leaves the function that makes it."""

    __slots__ = (
        "_found", "_gathered", "index", "measure", "part", "passed", "places",
    )  # fmt: skip

    def __init__(self) -> None:
        self.part = ""
        self.measure = ""
        self.index: int | None = None
        self._found: list[tuple[int | None, Fraction | None, Meter | None, Finding]]
        self._found = []
        self._gathered: dict[tuple[str, Severity, str, str, str], list[int | None]]
        self._gathered = {}
        self.passed: set[str] = set()
        self.places: Sequence[Place] = ()

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
        self._found.append((self.index, onset, meter, finding))

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

    @property
    def says_where(self) -> bool:
        """Whether some finding stands in a measure."""
        return any(found[0] is not None for found in self._found) or any(
            index is not None for at in self._gathered.values() for index in at
        )

    def place(self, index: int, first: int, pickup_start: Fraction) -> Place:
        """Where the measure of an index stands."""
        if index < len(self.places):
            return self.places[index]
        return Place(index + first, "", _START if index else pickup_start)

    def findings(self, first: int, pickup_start: Fraction) -> tuple[Finding, ...]:
        """All findings, by bar; `first` is the first bar's number, and a pickup
        starts `pickup_start` into its metre."""
        done = [finding for _, finding in self.placed(first, pickup_start)]
        done.sort(key=lambda finding: -1 if finding.bar is None else finding.bar)
        return tuple(done)

    def placed(
        self, first: int, pickup_start: Fraction
    ) -> Iterator[tuple[int | None, Finding]]:
        """All findings, with the index of the measure that each stands in."""
        for index, onset, meter, finding in self._found:
            if index is None:
                yield None, finding
                continue
            place = self.place(index, first, pickup_start)
            beat = None
            if onset is not None and meter is not None:
                beat = meter.beat_at(onset, start=place.start)
            yield (
                index,
                evolve(finding, bar=place.bar, source_number=place.own, beat=beat),
            )
        for (rule, severity, message, element, advice), at in self._gathered.items():
            indices = sorted({index for index in at if index is not None})
            places = [self.place(index, first, pickup_start) for index in indices]
            bars = list(dict.fromkeys(place.bar for place in places))
            if len(bars) > 1:
                message += f" (bars {bar_list(bars)})"
            yield (
                indices[0] if indices else None,
                Finding(
                    rule=rule,
                    severity=severity,
                    message=message,
                    bar=places[0].bar if places else None,
                    element=element,
                    advice=advice,
                    source_number=places[0].own if places else "",
                ),
            )
        for group, rule, what in _SUMMARIES:
            found = sorted(self.passed & group)
            if found:
                message = f"{what}: {', '.join(found)}"
                yield None, Finding(rule=rule, severity="note", message=message)


_START: Final = Fraction(0)
