"""One ``part``: its measures, their attributes, directions and bar lines."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from fractions import Fraction
from math import lcm
from operator import itemgetter
from typing import Final
from xml.etree.ElementTree import Element

from attrs import evolve

from ...chords import ChordSymbol
from ...errors import KeySignatureError
from ...interval import Interval
from ...key import Key
from ...rhythm.meter import Meter
from ...rhythm.values import NoteValue
from ._directions import DirectionReader
from ._form import FormReader
from ._harmony import Preference
from ._notes import NoteReader
from ._raw import RawBar, SlashSpan
from ._report import Report
from ._settle import copy_bar, fill_rests, order_chords, place_typed, play_slashes
from ._values import (
    Number,
    plain,
    plain_number,
    quarters,
    read_integer,
    read_key,
    read_meter,
    read_transpose,
    value_name,
)

__all__ = ("COMMON_TIME", "PartReader", "beams_in", "common_grid", "first_tick")

COMMON_TIME: Final = Meter(4, 4)
"""The metre of a file that has said none."""

_C_MAJOR: Final = Key.from_signature(0)
_MAX_GRID: Final = 10**15
_MAX_DIVISIONS: Final = 10**6
_DIMINISHED_SECOND: Final = Interval(1, 0)


def common_grid(root: Element, report: Report) -> int:
    """Ticks to a quarter note that every ``divisions`` of the score falls on."""
    grid = 1
    said = {
        divisions.text or ""
        for part in root.iterfind("part")
        for measure in part
        for attributes in measure.findall("attributes")
        for divisions in attributes.findall("divisions")
    }
    for text in said:
        try:
            number = plain_number(text)
        except ValueError:
            continue
        if isinstance(number, int) and 0 < number <= _MAX_DIVISIONS:
            grid = lcm(grid, number)
        if grid > _MAX_GRID:
            raise report.error("too many different divisions", "divisions")
    return grid


def first_tick(root: Element, grid: int) -> Number | None:
    """What a division lasts by the first ``divisions`` of a score, in ticks of its
    grid: a part that says none goes by it."""
    said = root.find("part/measure/attributes/divisions")
    try:
        divisions = plain_number("" if said is None else said.text or "")
    except ValueError:
        return None
    if not 0 < divisions <= _MAX_DIVISIONS:
        return None
    return plain(Fraction(grid) / divisions)


def beams_in(root: Element) -> list[Fraction]:
    """What each beam of a score lasts by the written values, in quarter notes."""
    beams: list[Fraction] = []
    total: Fraction | None = None
    for note in root.iterfind("part/measure/note"):
        beam = note.find("beam")
        name = value_name(note.findtext("type") or "")
        if beam is None or name is None or note.find("chord") is not None:
            continue
        if beam.text == "begin":
            total = Fraction(0)
        if total is not None:
            total += NoteValue(name, min(len(note.findall("dot")), 3)).duration
            if beam.text == "end":
                beams.append(total)
                total = None
    return beams


class PartReader:
    """Reads the measures of one part, in order, into raw bars.

    `tick` is what a division lasts where the part does not say it: what it does
    in the part before.  When all is read it is what the part says first, and
    `stated` names which of divisions, key and time it says at all; `known` are the key
    and the metre of each measure that another part says, in force where it says none.
    """

    __slots__ = (
        "_actions",
        "_bar",
        "_carried",
        "_changes",
        "_copied",
        "_directions",
        "_form",
        "_known",
        "_notes",
        "_of_staves",
        "_slashes",
        "_small",
        "_transpose",
        "_written_key",
        "bars",
        "grid",
        "key",
        "low",
        "meter",
        "percussion",
        "report",
        "shifts",
        "stated",
        "tablature",
        "tick",
    )

    def __init__(
        self,
        report: Report,
        grid: int,
        tick: Number | None,
        *,
        prefer: Preference | None = None,
        meter: Meter = COMMON_TIME,
        known: Sequence[tuple[Key | None, Meter | None]] = (),
    ) -> None:
        self.report = report
        self._known = known
        self.grid = grid
        self.bars: list[RawBar] = []
        self.key = self._written_key = _C_MAJOR
        self.meter = meter
        self.stated: set[str] = set()
        self.shifts: set[Interval | None] = set()
        self.percussion: set[str] = set()
        self.low: set[str] = set()
        self.tablature: set[str] = set()
        self._transpose: Interval | None = None
        self._slashes: list[SlashSpan] = []
        self._copied = 0
        self._carried: list[tuple[Number, ChordSymbol]] = []
        self._changes: list[tuple[Number, str]] = []
        self._form = FormReader(report)
        self._bar = self._raw_bar("", implicit=False)
        self._notes = NoteReader(report, grid, self._bar)
        self.tick = tick
        if tick is not None:
            self._notes.tick = tick
        self._small: set[str] = set()  # staves of cues
        directions = DirectionReader(self._notes, self._form, prefer)
        self._directions = directions
        self._of_staves: dict[str, Callable[[Element], None]] = {
            "clef": self._clef,
            "measure-style": self._measure_style,
            "staff-details": self._staff_details,
        }
        self._actions: dict[str, Callable[[Element], None]] = {
            "note": self._notes.read,
            "harmony": directions.harmony,
            "attributes": self._attributes,
            "barline": self._barline,
            "direction": self._direction,
            "backup": self._notes.go_back,
            "forward": self._notes.go_forward,
            "sound": directions.sound,
        }

    def read(self, measures: Iterable[Element]) -> None:
        """Read all measures."""
        report = self.report
        actions = self._actions
        for index, measure in enumerate(measures):
            if measure.tag != "measure":
                report.unread(measure.tag)
                continue
            report.index = len(self.bars)
            report.measure = measure.get("number", str(index + 1))[:20]
            self._take_known(len(self.bars))
            bar = self._raw_bar(
                report.measure, implicit=measure.get("implicit") == "yes"
            )
            bar.slashes = list(self._slashes)
            self._bar = bar
            self._notes.start(bar)
            for child in measure:
                action = actions.get(child.tag)
                if action is None:
                    report.unread(child.tag)
                else:
                    action(child)
            self._finish(bar)
            self.bars.append(bar)
            self.shifts.add(self._notes.shift)
        if self._carried:
            report.unread("harmony", "it stands past the last bar's end")
        report.index = None
        report.measure = ""

    def _take_known(self, index: int) -> None:
        if index >= len(self._known):
            return
        key, meter = self._known[index]
        if key is not None and "key" not in self.stated:
            self.key = key
        if meter is not None and "time" not in self.stated:
            self.meter = meter

    def _raw_bar(self, number: str, *, implicit: bool) -> RawBar:
        return RawBar(
            number,
            self.key,
            self.meter,
            self._form.start(first=not self.bars),
            implicit=implicit,
        )

    def _direction(self, element: Element) -> None:
        if self._small and element.findtext("staff") in self._small:
            self.report.unread("direction", "it stands over a staff of small notes")
        else:
            self._directions.direction(element)

    def _barline(self, element: Element) -> None:
        self._form.barline(element, self._bar.length or self._notes.cursor)

    def _finish(self, bar: RawBar) -> None:
        """What can be said of a measure when all of it has been read."""
        report = self.report
        for place, what in self._changes:
            if place < bar.length:
                report.add(
                    what,
                    "warning",
                    f"the {what} changes within the bar; it is carried "
                    "from the next bar on",
                    element="attributes",
                    onset=quarters(place, self.grid),
                    meter=bar.meter,
                )
        self._changes.clear()
        if bar.typed:
            place_typed(bar, report, self.grid)
        if self._copied > len(self.bars):
            raise report.error("repeats bars before the first", "measure-repeat")
        if self._copied:
            copy_bar(bar, self.bars[-self._copied], report)
        elif bar.slashes:
            play_slashes(bar, report, self.grid)
        fill_rests(bar, self.grid, whole=bool(self.bars) and not bar.implicit)
        if not bar.length:
            bar.length = plain(self.grid * bar.meter.bar_length)
        if bar.chords or self._carried:
            before = self.bars[-1] if self.bars else None
            self._carried = order_chords(bar, self._carried, before, report, self.grid)
        if bar.directions:
            bar.directions.sort(key=itemgetter(0))

    # --- attributes ---------------------------------------------------------------

    def _attributes(self, element: Element) -> None:
        report = self.report
        notes = self._notes
        for child in element:
            tag = child.tag
            if tag == "divisions":
                notes.tick = self._tick(child)
                if tag not in self.stated:
                    self.stated.add(tag)
                    self.tick = notes.tick
            elif tag == "key":
                key = read_key(child, report)
                if key is not None:
                    self.stated.add(tag)
                    self._written_key = key
                    self._tune()
            elif tag == "time":
                meter = read_meter(child, report)
                if meter is not None:
                    self.stated.add(tag)
                    self._change_meter(meter)
            elif tag == "transpose":
                self._transpose = read_transpose(child, report)
                self._tune()
            elif tag in self._of_staves:
                self._of_staves[tag](child)
            else:
                report.unread(tag)

    def _tick(self, element: Element) -> Number:
        try:
            divisions = plain_number(element.text or "")
        except ValueError:
            divisions = 0
        if not 0 < divisions <= _MAX_DIVISIONS:
            raise self.report.error(
                f"{(element.text or '')[:20]!r} divisions of a quarter note: "
                f"expected a number from 1 to {_MAX_DIVISIONS:,}",
                "divisions",
            )
        return plain(Fraction(self.grid) / divisions)

    def _tune(self) -> None:
        """Key and transposition together: the sounding key and the way to it."""
        shift = self._transpose
        key = self._written_key
        if shift is not None:
            try:
                key = key + shift
                # no one thinks in more than seven sharps or flats
                if key.signature > 7:
                    shift, key = shift + _DIMINISHED_SECOND, key + _DIMINISHED_SECOND
                elif key.signature < -7:
                    shift, key = shift - _DIMINISHED_SECOND, key - _DIMINISHED_SECOND
            except KeySignatureError as error:
                raise self.report.error(str(error), "transpose") from None
        self._notes.shift = shift
        elsewhere = self._known and self._known[0][0] and "key" not in self.stated
        if key == self.key or elsewhere:
            return
        self.key = key
        if self._notes.cursor:
            self._changes.append((self._notes.cursor, "key"))
        else:
            self._bar.key = key

    def _change_meter(self, meter: Meter) -> None:
        if meter.is_like(self.meter) and self.bars:
            return  # printed again, perhaps with another sign
        self.meter = meter
        if self._notes.cursor:
            self._changes.append((self._notes.cursor, "meter"))
        else:
            self._bar.meter = meter

    def _clef(self, element: Element) -> None:
        sign = ""
        for child in element:
            if child.tag == "sign":
                sign = child.text or ""
            elif child.tag not in ("line", "clef-octave-change"):
                self.report.unread(child.tag)
        self.report.passed.add("clef")
        known = {"percussion": self.percussion, "F": self.low, "TAB": self.tablature}
        if sign in known:
            known[sign].add(element.get("number", "1"))

    def _staff_details(self, element: Element) -> None:
        self.report.unread(element.tag)
        if element.findtext("staff-type") == "cue":
            self._small.add(element.get("number", "1"))

    def _measure_style(self, element: Element) -> None:
        for child in element:
            tag = child.tag
            starts = child.get("type") == "start"
            if tag == "slash":
                self._slash(child, element.get("number", ""), starts=starts)
            elif tag == "measure-repeat":
                self._copied = read_integer(child, self.report, 1, 99) if starts else 0
            else:
                self.report.unread(tag)

    def _slash(self, element: Element, staff: str, *, starts: bool) -> None:
        """Slash notation that begins or ends here, on one staff or all."""
        here = self._notes.cursor
        stay: list[SlashSpan] = []
        for span in self._bar.slashes:
            if span.end is not None or (staff and span.staff not in ("", staff)):
                stay.append(span)
            elif span.start < here:
                stay.append(evolve(span, end=here))
        if starts:
            rhythm = element.get("use-stems") == "yes"
            spared = self._spared(element)
            stay.append(SlashSpan(here, None, rhythm, staff, spared))
        self._bar.slashes = stay
        self._slashes = [evolve(span, start=0) for span in stay if span.end is None]

    def _spared(self, slash: Element) -> frozenset[str]:
        """The voices that slash notation leaves as they are."""
        voices = set()
        for child in slash:
            if child.tag == "except-voice":
                voices.add((child.text or "").strip())
            elif child.tag not in ("slash-type", "slash-dot"):
                self.report.unread(child.tag)
        return frozenset(voices)
