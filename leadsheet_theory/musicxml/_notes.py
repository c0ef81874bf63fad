"""The ``note`` element: pitch, value, ties, lyrics, marks, slurs."""

from __future__ import annotations

from fractions import Fraction
from typing import Final, Literal
from xml.etree.ElementTree import Element

from attrs import evolve

from ..errors import PitchRangeError
from ..interval import Interval
from ..leadsheet.model import Direction, Lyric, Mark, Note, Rest, Slur
from ..pitch import Pitch
from ._raw import RawBar, RawLine
from ._report import Report
from ._values import (
    Number,
    plain_number,
    quarters,
    read_integer,
    read_pitch,
    shift_pitch,
    written_value,
)
from ._write_signs import DYNAMICS
from ._write_text import MARK_GROUPS

__all__ = ("MAX_QUARTERS", "SLASHES", "NoteReader", "dynamics_text")

_SYLLABIC: Final[dict[str, Literal["single", "begin", "middle", "end"]]] = {
    "single": "single", "begin": "begin", "middle": "middle", "end": "end",
}  # fmt: skip
_SLUR_ENDS: Final[dict[str, Literal["start", "stop"]]] = {
    "start": "start",
    "stop": "stop",
}
_SLUR_KINDS: Final[dict[str, Literal["slur", "glissando", "slide"]]] = {
    "slur": "slur", "glissando": "glissando", "slide": "slide",
}  # fmt: skip
# marks that are one end of a line: a name alone would not say which
_NOT_MARKS: Final = frozenset({"wavy-line"})
_MARKS: Final = {name: Mark(name) for name in MARK_GROUPS if name not in _NOT_MARKS}
SLASHES: Final = "slashes (play time) are carried as rests"
_MARK_GROUPS: Final = frozenset({"articulations", "ornaments", "technical"})
_SLUR_NUMBERS: Final = frozenset(str(number) for number in range(1, 17))
MAX_QUARTERS: Final = 1000
"""The longest duration read."""

_TIE_FROM: Final = 1
_TIE_TO: Final = 2
_TIES: Final = {"start": _TIE_TO, "stop": _TIE_FROM, "continue": _TIE_FROM | _TIE_TO}


class NoteReader:
    """Reads notes into the voices of the bar it stands in.

    `cursor` is the place in the bar, in ticks of the grid; `tick` is one
    division of the file in those ticks.
    """

    __slots__ = (
        "_last",
        "_lines",
        "_stroke",
        "bar",
        "cursor",
        "grid",
        "report",
        "shift",
        "tick",
    )

    def __init__(self, report: Report, grid: int, bar: RawBar) -> None:
        self.report = report
        self.grid = grid
        self.tick: Number = grid
        self.shift: Interval | None = None
        self.start(bar)

    def start(self, bar: RawBar) -> None:
        """Go to the start of a bar."""
        self.bar = bar
        self.cursor: Number = 0
        self._lines: dict[tuple[str, str], RawLine] = {}
        self._last: RawLine | None = None
        self._stroke = False

    def duration(self, element: Element) -> Number:
        """The ticks that a ``duration`` states."""
        text = element.text or ""
        try:
            divisions: Number = plain_number(text)
        except ValueError:
            raise self.report.error(
                f"{text[:20]!r} is no duration: expected a number of divisions",
                element.tag,
            ) from None
        if divisions < 0:
            raise self.report.error(
                f"a duration of {text[:20].strip()}: expected 0 or more", element.tag
            )
        ticks = divisions * self.tick
        if ticks > self.grid * MAX_QUARTERS:
            raise self.report.error(
                f"a duration of {text[:20].strip()} divisions: "
                f"at most {MAX_QUARTERS} quarter notes are read",
                element.tag,
            )
        return ticks

    def go_back(self, element: Element) -> None:
        """Read ``backup``."""
        self.cursor -= self._move(element)
        # a bar of rounded durations may come out a little short
        if -self.tick < self.cursor < self.tick:
            self.cursor = 0
        if self.cursor < 0:
            self.cursor = 0
            self.report.gather(
                "backup",
                "warning",
                "goes back before the bar's start; the start is taken",
                element=element.tag,
            )

    def go_forward(self, element: Element) -> None:
        """Read ``forward``."""
        self._advance(self._move(element))

    def _move(self, element: Element) -> Number:
        ticks: Number | None = None
        for child in element:
            if child.tag == "duration":
                ticks = self.duration(child)
            elif child.tag != "voice" and child.tag != "staff":
                self.report.unread(child.tag)
        if ticks is None:
            raise self.report.error("no duration", element.tag)
        self._last = None
        return ticks

    def _reach(self, place: Number) -> None:
        if place > self.bar.length:
            self.bar.length = place

    # --- one note ------------------------------------------------------------------

    def read(self, element: Element) -> None:
        """Read a ``note``."""
        report = self.report
        passed = report.passed
        pitch: Pitch | None = None
        ticks: Number | None = None
        name = head = stem = ""
        grace: Literal["", "plain", "slashed"] = ""
        voice = staff = "1"
        dots = ties = 0
        ratio = (1, 1)
        rest: Element | None = None
        chord = cue = unpitched = False
        lyrics: list[Lyric] = []
        said = _Said()
        for child in element:
            tag = child.tag
            if tag == "pitch":
                pitch = read_pitch(child, report)
            elif tag == "duration":
                ticks = self.duration(child)
            elif tag == "type":
                name = child.text or ""
            elif tag == "stem":
                stem = child.text or ""
                passed.add(tag)
            elif tag == "lyric":
                self._lyric(child, lyrics)
            elif tag == "beam" or tag == "accidental":
                passed.add(tag)
            elif tag == "voice":
                voice = child.text or ""
            elif tag == "dot":
                dots += 1
            elif tag == "tie":
                ties |= _TIES.get(child.get("type", ""), 0)
            elif tag == "notations":
                self._notations(child, said)
            elif tag == "rest":
                rest = child
            elif tag == "time-modification":
                ratio = self._time_modification(child)
            elif tag == "staff":
                staff = child.text or ""
            elif tag == "chord":
                chord = True
            elif tag == "grace":
                grace = "slashed" if child.get("slash") == "yes" else "plain"
            elif tag == "notehead":
                head = (child.text or "").strip()
            elif tag == "unpitched":
                pitch = read_pitch(child, report)
                unpitched = True
            elif tag == "cue":
                cue = True
            else:
                report.unread(tag)
        if grace:
            ticks = 0
        elif ticks is None:
            raise report.error("a note without a duration", "note")

        if chord:
            self._join(pitch, ticks)
            return
        if cue or (rest is None and element.get("print-object") == "no"):
            report.unread("note", "a cue note" if cue else "hidden in the source")
            self._advance(ticks)
            return
        if not ticks and not grace:
            report.unread("note", "it has no duration")
            return
        value, duration, oddity = written_value(
            name[:20], dots, *ratio, said.tuplet_end, ticks, self.grid, self.tick
        )
        if oddity == "rounded":
            ticks = duration * self.grid
        line = self._line(staff, voice)
        onset = quarters(self.cursor, self.grid)
        slash = head == "slash"
        if head and not slash and head != "normal":
            report.unread("notehead", head[:20])
        if said.dynamics:
            direction = Direction(onset, "dynamics", said.dynamics)
            self.bar.directions.append((self.cursor, direction))

        if self.cursor > line.end:
            line.gaps = True
        if rest is not None:
            whole = rest.get("measure") == "yes" or (
                oddity == "unlike" and name == "whole"
            )
            if oddity == "unlike" and not whole:
                self._unlike(name, dots, duration)
            if len(rest):
                self._rest_place(rest)
            line.events.append(
                Rest(
                    onset, duration, None if whole else value, whole, tuple(said.marks)
                )
            )
        elif slash and stem == "none":
            report.gather("slashes", "note", SLASHES)
            line.gaps = True
        else:
            if oddity == "unlike":
                self._unlike(name, dots, duration)
            if pitch is None:
                raise report.error("a note without a pitch, nor a rest", "note")
            note = Note(
                onset,
                duration,
                (self._sounding(pitch),),
                value,
                bool((ties | said.ties) & _TIE_FROM),
                bool((ties | said.ties) & _TIE_TO),
                grace,
                tuple(lyrics),
                tuple(said.marks),
                tuple(said.slurs),
            )
            self._stroke = unpitched or slash
            if self._stroke:
                line.strokes.append(note)
                line.gaps = True
            else:
                line.events.append(note)
        if ratio != (1, 1):
            line.tuplets = True
        self._advance(ticks)
        line.end = self.cursor
        self._last = line

    def _advance(self, ticks: Number) -> None:
        self.cursor += ticks
        self._reach(self.cursor)

    def _line(self, staff: str, voice: str) -> RawLine:
        """The voice to write to; a new one where the voice overlaps itself."""
        line = self._lines.get((staff, voice))
        if line is None or line.end > self.cursor:
            line = self._lines[staff, voice] = RawLine(staff.strip(), voice.strip())
            self.bar.lines.append(line)
        return line

    def _sounding(self, pitch: Pitch) -> Pitch:
        if self.shift is None:
            return pitch
        try:
            return shift_pitch(pitch, self.shift)
        except PitchRangeError as error:
            raise self.report.error(str(error), "pitch") from None

    def _join(self, pitch: Pitch | None, ticks: Number) -> None:
        """A further note of the chord that the note before began: highest first."""
        if self._stroke:
            # a rhythm has no chords: what else is struck means nothing
            return
        events = self._last.events if self._last is not None else []
        first = events[-1] if events else None
        if not isinstance(first, Note) or pitch is None:
            self.report.unread("note", "a chord note with no note before it")
            return
        if ticks and quarters(ticks, self.grid) != first.duration:
            self.report.gather(
                "chord-lengths",
                "warning",
                "notes of one chord differ in length; they get that of the first",
            )
        pitches = {*first.pitches, self._sounding(pitch)}
        highest_first = sorted(pitches, key=lambda note: (-note.midi, -note.place))
        events[-1] = evolve(first, pitches=tuple(highest_first))

    def _unlike(self, name: str, dots: int, duration: Fraction) -> None:
        self.report.add(
            "written-value",
            "warning",
            f"a {name}{' with dots' if dots else ''} that lasts {duration} quarter "
            "notes; the duration is kept",
            element="type",
            onset=quarters(self.cursor, self.grid),
            meter=self.bar.meter,
        )

    def _rest_place(self, rest: Element) -> None:
        for child in rest:
            if child.tag not in ("display-step", "display-octave"):
                self.report.unread(child.tag)

    def _time_modification(self, element: Element) -> tuple[int, int]:
        actual = normal = 1
        for child in element:
            tag = child.tag
            if tag == "actual-notes":
                actual = read_integer(child, self.report, 1, 999)
            elif tag == "normal-notes":
                normal = read_integer(child, self.report, 1, 999)
            elif tag != "normal-type" and tag != "normal-dot":
                self.report.unread(tag)
        return actual, normal

    # --- what stands about a note -----------------------------------------------------

    def _lyric(self, element: Element, lyrics: list[Lyric]) -> None:
        syllabic: Literal["single", "begin", "middle", "end"] = "single"
        words = ""
        extend = False
        for child in element:
            tag = child.tag
            if tag == "text":
                words += child.text or ""
            elif tag == "syllabic":
                if not words:
                    syllabic = _SYLLABIC.get(child.text or "", "single")
                elif child.text in ("begin", "middle"):
                    # two syllables on one note: the second one goes on
                    syllabic = "middle" if syllabic in ("middle", "end") else "begin"
            elif tag == "elision":
                words += child.text or "‿"
            elif tag == "extend":
                extend = extend or child.get("type") != "stop"
            elif tag not in ("end-line", "end-paragraph"):
                self.report.unread(tag)
        if words or extend:
            number = element.get("number", "1")
            verse = int(number) if number.isdecimal() and len(number) < 3 else 1
            lyrics.append(Lyric(words, syllabic, verse, extend))

    def _notations(self, element: Element, said: _Said) -> None:
        for child in element:
            tag = child.tag
            if tag == "tied":
                kind = child.get("type", "")
                said.ties |= _TIES.get(kind, 0)
                if kind not in _TIES:
                    self.report.unread(tag, kind[:20])
            elif tag in _SLUR_KINDS:
                end = _SLUR_ENDS.get(child.get("type", ""))
                if end is not None:
                    number = child.get("number", "1")
                    place = int(number) if number in _SLUR_NUMBERS else 1
                    said.slurs.append(Slur(end, place, _SLUR_KINDS[tag]))
            elif tag == "tuplet":
                self._tuplet(child, said)
            elif tag in _MARK_GROUPS:
                self._marks(child, said)
            elif tag in _MARKS:
                said.marks.append(_MARKS[tag])
            elif tag == "dynamics":
                said.dynamics = dynamics_text(child, self.report)
            else:
                self.report.unread(tag)

    def _tuplet(self, element: Element, said: _Said) -> None:
        end = _SLUR_ENDS.get(element.get("type", ""))
        if end is not None:
            said.tuplet_end = end if said.tuplet_end in ("", end) else "both"
        for child in element:
            self.report.unread(child.tag)

    def _marks(self, group: Element, said: _Said) -> None:
        for child in group:
            mark = _MARKS.get(child.tag)
            if mark is None:
                self.report.unread(child.tag, (child.text or "").strip()[:20])
            else:
                said.marks.append(mark)


class _Said:
    """What the notations of one note say."""

    __slots__ = ("dynamics", "marks", "slurs", "ties", "tuplet_end")

    def __init__(self) -> None:
        self.ties = 0
        self.marks: list[Mark] = []
        self.slurs: list[Slur] = []
        self.tuplet_end: Literal["", "start", "stop", "both"] = ""
        self.dynamics = ""


def dynamics_text(element: Element, report: Report) -> str:
    """The mark that a ``dynamics`` holds, by its MusicXML name or its own words."""
    marks = []
    for child in element:
        if child.tag in DYNAMICS:
            marks.append(child.tag)
        elif child.tag == "other-dynamics":
            marks.append((child.text or "").strip())
        else:
            report.unread(child.tag)
    return " ".join(marks)
