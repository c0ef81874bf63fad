"""The ``note`` element: pitch, value, ties, lyrics, marks, slurs."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Final
from xml.etree.ElementTree import Element

from attrs import evolve

from ...errors import PitchRangeError
from ...interval import Interval
from ...leadsheet.model import (
    Direction,
    Note,
    Rest,
)
from ...pitch import Pitch
from ...rhythm.values import TREMOLO, NoteValue
from ._about_notes import (
    MOST,
    PLAIN_HEAD,
    PLAIN_RATIO,
    TIES,
    TOO_MANY,
    NoteWords,
    read_lyric,
    read_notations,
    read_notehead,
)
from ._brackets import Bracket
from ._durations import is_hair, is_plain, settled_end, settled_place
from ._raw import RawBar, RawLine
from ._report import Report
from ._values import (
    Number,
    plain,
    plain_number,
    quarters,
    read_integer,
    read_pitch,
    shift_pitch,
    written_value,
)

__all__ = ("MAX_QUARTERS", "NoteReader")

MAX_QUARTERS: Final = 1000
"""The longest duration read."""

_START: Final = Fraction(0)
_SMALL: Final = ("cue", "grace-cue")  # MusicXML 4.0, symbol-size
_TREMOLO: Final = (TREMOLO.actual, TREMOLO.normal)


class NoteReader:
    """Reads notes into the voices of the bar it stands in.

    `cursor` is the place in the bar, in ticks of the grid; `tick` is one
    division of the file in those ticks.
    """

    __slots__ = (
        "_last",
        "_lines",
        "_slip",
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
        self._lines: dict[tuple[str, str, bool], RawLine] = {}
        self._last: RawLine | None = None
        self._stroke = False
        # how far the file has gone on beyond the cursor, in quarter notes
        self._slip = _START

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
        self._go(-self._move(element))
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
        self._go(self._move(element))
        self._reach(self.cursor)

    def _go(self, ticks: Number) -> None:
        """Go so far from the place that the file means to be at."""
        if self._slip:
            place = settled_place(quarters(self.cursor + ticks, self.grid) + self._slip)
            self.cursor = plain(place * self.grid)
            self._slip = _START
        else:
            self.cursor += ticks

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
        said = NoteWords()
        for child in element:
            handle = _HANDLERS.get(child.tag)
            if handle is None:
                report.unread(child.tag)
            else:
                handle(self, child, said)
        if said.grace:
            said.ticks = 0
        ticks = said.ticks
        if ticks is None:
            raise report.error("a note without a duration", "note")
        hidden = element.get("print-object") == "no"
        if hidden and said.rest is not None:
            said.shown, hidden = "hidden", False
        if said.chord:
            self._join(said, ticks)
        elif hidden:
            report.unread("note", "hidden in the source")
            self._advance(ticks)
        elif not ticks and not said.grace:
            report.unread("note", "it has no duration")
        else:
            self._place(said, ticks)

    def _pitch(self, element: Element, said: NoteWords) -> None:
        said.pitch = read_pitch(element, self.report)

    def _unpitched(self, element: Element, said: NoteWords) -> None:
        said.pitch = read_pitch(element, self.report)
        said.unpitched = True

    def _duration(self, element: Element, said: NoteWords) -> None:
        said.ticks = self.duration(element)

    def _type(self, element: Element, said: NoteWords) -> None:
        said.type = (element.text or "")[:20]
        said.small = element.get("size") in _SMALL

    def _stem(self, element: Element, said: NoteWords) -> None:
        said.stem = element.text or ""
        self.report.passed.add("stem")

    def _passed(self, element: Element, _: NoteWords) -> None:
        self.report.passed.add(element.tag)

    def _voice(self, element: Element, said: NoteWords) -> None:
        said.voice = element.text or ""

    def _staff(self, element: Element, said: NoteWords) -> None:
        said.staff = element.text or ""

    def _dot(self, _: Element, said: NoteWords) -> None:
        said.dots += 1

    def _tie(self, element: Element, said: NoteWords) -> None:
        said.ties |= TIES.get(element.get("type", ""), 0)

    def _rest_of(self, element: Element, said: NoteWords) -> None:
        said.rest = element

    def _chord(self, _: Element, said: NoteWords) -> None:
        said.chord = True

    def _grace(self, element: Element, said: NoteWords) -> None:
        said.grace = "slashed" if element.get("slash") == "yes" else "plain"

    def _cue(self, _: Element, said: NoteWords) -> None:
        said.cue = True

    def _place(self, said: NoteWords, ticks: Number) -> None:
        """Put a note or rest into its voice and go to its end."""
        grouped = said.ratio is not PLAIN_RATIO or said.brackets
        if grouped:
            self._settle_ratio(said)
        value, duration, oddity = written_value(
            said.type, said.dots, said.ratio, said.tuplet_end, ticks,
            grid=self.grid, tick=self.tick,
        )  # fmt: skip
        if value is None and (self._slip or not is_plain(duration)):
            start = quarters(self.cursor, self.grid)
            end = start + self._slip + duration
            duration = settled_end(end, duration, after=start) - start
        stated = quarters(ticks, self.grid)
        if duration is not stated and duration != stated:
            self._told(oddity, stated, duration)
            self._slip += stated - duration
            ticks = plain(duration * self.grid)
        line = self._line(said)
        line.large |= said.is_large
        if self.cursor > line.end:
            line.gaps = True
        if grouped and said.ratio not in (PLAIN_RATIO, _TREMOLO):
            _group(line, said)
        onset = quarters(self.cursor, self.grid)
        if said.dynamics:
            direction = Direction(onset, "dynamics", said.dynamics)
            self.bar.directions.append((self.cursor, direction))
        self._stroke = said.unpitched or said.head == "slash"
        if said.rest is not None:
            line.events.append(self._rest(said.rest, said, onset, duration, value))
        elif self._stroke and said.stem == "none":
            line.events.append(Rest(onset, duration, shown="slashes"))
        elif self._stroke:
            line.strokes.append(self._note(said, onset, duration, value))
            line.gaps = True
        else:
            line.events.append(self._note(said, onset, duration, value))
        if oddity == "unlike" and not (said.rest is not None and said.type == "whole"):
            self._unlike(said, duration)
        self._advance(ticks)
        line.end = self.cursor
        self._last = line

    def _settle_ratio(self, said: NoteWords) -> None:
        """Take a tremolo's ratio for no tuplet, and no bracket without a ratio."""
        if said.ratio == _TREMOLO:
            # each of the two notes has the value of both
            said.tuplet_end, said.brackets = "", ()
            if not any(mark.end for mark in said.marks):
                said.type, said.ratio = "", PLAIN_RATIO
        elif said.brackets and said.ratio == PLAIN_RATIO:
            self.report.unread("tuplet", "a bracket over a note that is in no tuplet")

    def _told(self, oddity: str, stated: Fraction, meant: Fraction) -> None:
        """Say that a length was taken otherwise than it is stated."""
        if oddity == "rounded":
            return
        if oddity == "hair" or is_hair(stated, meant):
            self.report.gather(
                "written-value",
                "note",
                "lengths a hair off the values that are meant are taken as these",
                element="duration",
            )
        else:
            self.report.gather(
                "written-value",
                "warning",
                f"a length of {stated} quarter notes, which no values show, is read "
                f"as {meant}",
                element="duration",
            )

    def _rest(
        self,
        element: Element,
        said: NoteWords,
        onset: Fraction,
        duration: Fraction,
        value: NoteValue | None,
    ) -> Rest:
        for child in element:
            if child.tag not in ("display-step", "display-octave"):
                self.report.unread(child.tag)
        for what, there in (("lyric", said.lyrics), ("slur", said.slurs)):
            if there:
                self.report.unread(what, "it belongs to a rest")
        # a whole rest that lasts something else stands for the bar
        whole = element.get("measure") == "yes" or (
            value is None and said.type == "whole"
        )
        return Rest(
            onset,
            duration,
            None if whole else value,
            whole,
            said.marks,
            shown=said.shown,
        )

    def _note(
        self,
        said: NoteWords,
        onset: Fraction,
        duration: Fraction,
        value: NoteValue | None,
    ) -> Note:
        if said.pitch is None:
            raise self.report.error("a note without a pitch, nor a rest", "note")
        if self._stroke and said.lyrics:
            self.report.unread("lyric", "it belongs to a rhythm")
        look = said.look
        looks = look is not PLAIN_HEAD and look != PLAIN_HEAD and not self._stroke
        tied = said.tie_ends
        return Note(
            onset=onset,
            duration=duration,
            pitches=(self._sounding(said.pitch),),
            value=value,
            tied_from_previous=tied[0],
            tied_to_next=tied[1],
            grace=said.grace,
            lyrics=said.lyrics,
            marks=said.marks,
            slurs=said.slurs,
            heads=(said.look,) if looks else (),
        )

    def _advance(self, ticks: Number) -> None:
        self.cursor += ticks
        if self.cursor > self.bar.length:
            self.bar.length = self.cursor

    def _line(self, said: NoteWords) -> RawLine:
        """The voice to write to; a new one where the voice overlaps itself.  Cues have
        voices of their own."""
        cue = said.is_cue
        key = said.staff, said.voice, cue
        line = self._lines.get(key)
        if line is None or line.end > self.cursor:
            line = self._lines[key] = RawLine(said.staff.strip(), said.voice.strip())
            (self.bar.small if cue else self.bar.lines).append(line)
        return line

    def _sounding(self, pitch: Pitch) -> Pitch:
        if self.shift is None:
            return pitch
        try:
            return shift_pitch(pitch, self.shift)
        except PitchRangeError as error:
            raise self.report.error(str(error), "pitch") from None

    def _join(self, said: NoteWords, ticks: Number) -> None:
        """A further note of the chord that the note before began: highest first."""
        if self._stroke:
            # a rhythm has no chords: what else is struck means nothing
            return
        events = self._last.events if self._last is not None else []
        first = events[-1] if events else None
        if not isinstance(first, Note) or said.pitch is None:
            self.report.unread("note", "a chord note with no note before it")
            return
        if len(first.pitches) + len(first.lyrics) + len(first.marks) >= 3 * MOST:
            self.report.unread("note", TOO_MANY)
            return
        if ticks and quarters(ticks, self.grid) != first.duration:
            self.report.gather(
                "chord-lengths",
                "warning",
                "notes of one chord differ in length; they get that of the first",
            )
        pitch = self._sounding(said.pitch)
        ties = said.tie_ends
        melody = first.tied_from_previous, first.tied_to_next
        if ties != melody:
            self.report.gather(
                "chord-ties",
                "note",
                "notes of one chord differ in their ties; those of the highest hold",
            )
            if pitch.midi > first.pitch.midi:
                melody = ties
        heads = first.heads or (PLAIN_HEAD,) * len(first.pitches)
        looks = {pitch: said.look} | dict(zip(first.pitches, heads, strict=True))
        highest_first = sorted(looks, key=lambda note: (-note.midi, -note.place))
        plain_heads = all(look == PLAIN_HEAD for look in looks.values())
        events[-1] = evolve(
            first,
            pitches=tuple(highest_first),
            tied_from_previous=melody[0],
            tied_to_next=melody[1],
            lyrics=first.lyrics + said.lyrics,
            marks=first.marks
            + tuple(mark for mark in said.marks if mark not in first.marks),
            slurs=first.slurs + said.slurs,
            heads=() if plain_heads else tuple(looks[each] for each in highest_first),
        )

    def _unlike(self, said: NoteWords, duration: Fraction) -> None:
        self.report.add(
            "written-value",
            "warning",
            f"a {said.type}{' with dots' if said.dots else ''} that lasts {duration} "
            "quarter notes; the duration is kept",
            element="type",
            onset=quarters(self.cursor, self.grid),
            meter=self.bar.meter,
        )

    def _time_modification(self, element: Element, said: NoteWords) -> None:
        actual = normal = 1
        for child in element:
            tag = child.tag
            if tag == "actual-notes":
                actual = read_integer(child, self.report, 1, 999)
            elif tag == "normal-notes":
                normal = read_integer(child, self.report, 1, 999)
            elif tag != "normal-type" and tag != "normal-dot":
                self.report.unread(tag)
        said.ratio = actual, normal

    # --- what stands about a note -----------------------------------------------------

    def _lyric(self, element: Element, said: NoteWords) -> None:
        read_lyric(element, said, self.report)

    def _notations(self, element: Element, said: NoteWords) -> None:
        read_notations(element, said, self.report)

    def _notehead(self, element: Element, said: NoteWords) -> None:
        read_notehead(element, said, self.report)


def _group(line: RawLine, said: NoteWords) -> None:
    """Note that the next note of a line is in a tuplet, and its brackets."""
    line.tuplets = True
    line.brackets += [Bracket(len(line.events), *each) for each in said.brackets]


# what each element of a note says
_HANDLERS: Final[dict[str, Callable[[NoteReader, Element, NoteWords], None]]] = {
    "pitch": NoteReader._pitch,
    "unpitched": NoteReader._unpitched,
    "duration": NoteReader._duration,
    "type": NoteReader._type,
    "dot": NoteReader._dot,
    "time-modification": NoteReader._time_modification,
    "rest": NoteReader._rest_of,
    "chord": NoteReader._chord,
    "grace": NoteReader._grace,
    "cue": NoteReader._cue,
    "voice": NoteReader._voice,
    "staff": NoteReader._staff,
    "stem": NoteReader._stem,
    "beam": NoteReader._passed,
    "accidental": NoteReader._passed,
    "notehead": NoteReader._notehead,
    "tie": NoteReader._tie,
    "notations": NoteReader._notations,
    "lyric": NoteReader._lyric,
}
