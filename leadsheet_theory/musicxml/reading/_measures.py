"""One ``part``: its measures, their attributes, directions and bar lines."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from fractions import Fraction
from math import lcm
from operator import itemgetter
from typing import Final, Literal
from xml.etree.ElementTree import Element

from ...chords import ChordSymbol
from ...errors import KeySignatureError
from ...interval import Interval
from ...key import Key
from ...leadsheet.model import Direction, Tempo
from ...leadsheet.signs import Barline, Jump
from ...rhythm.meter import Meter
from ...rhythm.values import NoteValue
from ._harmony import read_harmony
from ._notes import MAX_QUARTERS, NoteReader, dynamics_text
from ._raw import RawBar
from ._report import Report
from ._settle import copy_bar, order_chords, place_typed, play_slashes
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
from ._words import MAX_WORDS, clean_words, meaning_of

__all__ = ("PartReader", "common_grid")

_COMMON_TIME: Final = Meter(4, 4)
_C_MAJOR: Final = Key.from_signature(0)
_MAX_GRID: Final = 10**15
_MAX_DIVISIONS: Final = 10**6
_DIMINISHED_SECOND: Final = Interval(1, 0)
_RANGE: Final = re.compile(r"([0-9]{1,2})(?:\.? ?[-–] ?([0-9]{1,2}))?", re.ASCII)
_CHORD_LETTER: Final = re.compile(r"[A-G][#b♯♭]?")
_PER_MINUTE: Final = re.compile(r"[0-9]{1,4}(?:\.[0-9]{1,4})?", re.ASCII)
# bar-style of MusicXML 4.0: our bar lines, and those that none of ours shows
_BARLINES: Final[dict[str, Barline]] = {
    "regular": "regular", "light-light": "double", "light-heavy": "final",
    "dashed": "dashed", "dotted": "dashed", "heavy-light": "regular",
    "heavy-heavy": "final",
}  # fmt: skip


def common_grid(root: Element, report: Report) -> int:
    """Ticks to a quarter note that every ``divisions`` of the score falls on."""
    grid = 1
    said = {
        divisions.text or ""
        for part in root.iterfind("part")
        for measure in part
        for attributes in measure
        if attributes.tag == "attributes"
        for divisions in attributes
        if divisions.tag == "divisions"
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


class PartReader:
    """Reads the measures of one part, in order, into raw bars.

    `tick` is what a division lasts where the part does not say it: what it does
    in the part before.  When all is read it is what the part says first, and
    `stated` names which of divisions, key and time it says at all.
    """

    __slots__ = (
        "_actions",
        "_bar",
        "_carried",
        "_changes",
        "_copied",
        "_notes",
        "_repeat_next",
        "_slash",
        "_slash_voices",
        "_spread",
        "_transpose",
        "_typed",
        "_written_key",
        "bars",
        "grid",
        "key",
        "meter",
        "percussion",
        "report",
        "stated",
        "tick",
    )

    def __init__(
        self, report: Report, grid: int, tick: Number | None, *, spread_chords: bool
    ) -> None:
        self._spread = spread_chords
        self.report = report
        self.grid = grid
        self.bars: list[RawBar] = []
        self.key = self._written_key = _C_MAJOR
        self.meter = _COMMON_TIME
        self.stated: set[str] = set()
        self.percussion: set[str] = set()
        self._transpose: Interval | None = None
        self._slash: Literal["", "time", "rhythm"] = ""
        self._slash_voices: frozenset[str] = frozenset()
        self._copied = 0
        self._repeat_next = False
        self._carried: list[tuple[Number, ChordSymbol]] = []
        self._typed: list[tuple[Number, str, ChordSymbol]] = []
        self._changes: list[tuple[Number, str]] = []
        self._bar = RawBar("", implicit=False, key=self.key, meter=self.meter)
        self._notes = NoteReader(report, grid, self._bar)
        self.tick = tick
        if tick is not None:
            self._notes.tick = tick
        self._actions: dict[str, Callable[[Element], None]] = {
            "note": self._notes.read,
            "harmony": self._harmony,
            "attributes": self._attributes,
            "barline": self._barline,
            "direction": self._direction,
            "backup": self._notes.go_back,
            "forward": self._notes.go_forward,
            "sound": self._sound,
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
            bar = RawBar(
                report.measure, measure.get("implicit") == "yes", self.key, self.meter
            )
            bar.slash, bar.slash_voices = self._slash, self._slash_voices
            bar.chords, self._carried = self._carried, []
            bar.repeat_start, self._repeat_next = self._repeat_next, False
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
        if self._carried:
            report.unread("harmony", "it stands past the last bar's end")
        report.index = None
        report.measure = ""

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
        if self._typed:
            place_typed(bar, self._typed, report, self.grid)
            self._typed.clear()
        if self._copied > len(self.bars):
            raise report.error("repeats bars before the first", "measure-repeat")
        if self._copied:
            copy_bar(bar, self.bars[-self._copied], report)
        elif bar.slash:
            play_slashes(bar, report)
        if not bar.length:
            bar.length = plain(self.grid * bar.meter.bar_length)
        if bar.chords:
            self._carried = order_chords(
                bar, report, self.grid, spread_chords=self._spread
            )
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
            elif tag == "clef":
                self._clef(child)
            elif tag == "measure-style":
                self._measure_style(child)
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
        if key == self.key:
            return
        self.key = key
        if self._notes.cursor:
            self._changes.append((self._notes.cursor, "key"))
        else:
            self._bar.key = key

    def _change_meter(self, meter: Meter) -> None:
        if meter == self.meter:
            return
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
        if sign == "percussion":
            self.percussion.add(element.get("number", "1"))

    def _measure_style(self, element: Element) -> None:
        for child in element:
            tag = child.tag
            starts = child.get("type") == "start"
            if tag == "slash":
                rhythm = child.get("use-stems") == "yes"
                self._slash = ("rhythm" if rhythm else "time") if starts else ""
                self._slash_voices = self._excepted(child)
                if not self._notes.cursor:
                    self._bar.slash = self._slash
                    self._bar.slash_voices = self._slash_voices
            elif tag == "measure-repeat":
                self._copied = read_integer(child, self.report, 1, 99) if starts else 0
            else:
                self.report.unread(tag)

    def _excepted(self, slash: Element) -> frozenset[str]:
        """The voices that slash notation leaves as they are."""
        voices = set()
        for child in slash:
            if child.tag == "except-voice":
                voices.add((child.text or "").strip())
            elif child.tag not in ("slash-type", "slash-dot"):
                self.report.unread(child.tag)
        return frozenset(voices)

    # --- chords and directions ------------------------------------------------------

    def _place(self, offset: Element | None) -> Number:
        """Where something stands that is `offset` divisions from here."""
        place = self._notes.cursor
        if offset is None:
            return place
        try:
            place += plain_number(offset.text or "") * self._notes.tick
        except ValueError:
            raise self.report.error(
                f"{(offset.text or '')[:20]!r}: expected a number of divisions",
                "offset",
            ) from None
        if place < 0 or place > self.grid * MAX_QUARTERS:
            self.report.gather(
                "offset", "warning", "an offset leads out of the bar; it is left out"
            )
            return self._notes.cursor
        return place

    def _harmony(self, element: Element) -> None:
        symbol, offset = read_harmony(element, self.report, self._notes.shift)
        if symbol is not None:
            self._bar.chords.append((self._place(offset), symbol))

    def _direction(self, element: Element) -> None:
        report = self.report
        place = self._place(element.find("offset"))
        above = element.get("placement") != "below"
        words: list[str] = []
        enclosed = False
        for child in element:
            tag = child.tag
            if tag == "direction-type":
                for kind in child:
                    if kind.tag == "words":
                        words.append(kind.text or "")
                        enclosed = kind.get("enclosure", "none") != "none"
                    else:
                        self._direction_type(kind, place, above)
            elif tag == "sound":
                self._sound(child)
            elif tag not in ("offset", "staff", "voice"):
                report.unread(tag)
        text = joined(words)
        if len(text) > MAX_WORDS:
            self._print(place, "words", text, above)
        elif text:
            self._words(text, place, above, enclosed)
        elif words:
            report.gather("unread", "note", "<words> without text", element="words")

    def _direction_type(self, element: Element, place: Number, above: bool) -> None:
        tag = element.tag
        if tag == "segno" or tag == "coda":
            self._sign(tag, place)
        elif tag == "rehearsal":
            self._section(clean_words(element.text or ""))
        elif tag == "dynamics":
            text = dynamics_text(element, self.report)
            if text:
                self._print(place, "dynamics", text, above)
        elif tag == "metronome":
            self._metronome(element, place, above)
        elif tag == "symbol" and element.text in ("segno", "coda"):
            self._sign(element.text, place)
        else:
            self.report.unread(tag)

    def _sign(self, sign: str, place: Number) -> None:
        if sign == "segno":
            self._bar.segno = place
        else:
            self._bar.coda = place

    def _section(self, name: str) -> None:
        if self._bar.section and name != self._bar.section:
            self.report.unread("rehearsal", f"{name[:40]!r}, a second section name")
        else:
            self._bar.section = name

    def _print(
        self,
        place: Number,
        kind: Literal["words", "dynamics"],
        text: str,
        above: bool,
    ) -> None:
        onset = quarters(place, self.grid)
        direction = Direction(onset, kind, text, above=above)
        self._bar.directions.append((place, direction))

    def _words(self, text: str, place: Number, above: bool, enclosed: bool) -> None:
        bar = self._bar
        meaning = meaning_of(text, enclosed=enclosed)
        rest = meaning.rest
        if meaning.kind == "jump":
            if bar.jump is None or bar.jump_by_sound:
                bar.jump, bar.jump_by_sound = meaning.jump, False
            elif bar.jump != meaning.jump:
                self.report.unread("words", f"{text[:40]!r}, a second jump in the bar")
        elif meaning.kind == "fine":
            bar.fine = True
        elif meaning.kind == "to-coda":
            bar.to_coda = True
        elif meaning.kind == "coda" or meaning.kind == "segno":
            self._sign(meaning.kind, place)
        elif meaning.kind == "times":
            bar.times = meaning.times
            bar.fine = bar.fine or meaning.fine
        elif meaning.kind == "section" and (enclosed or not bar.section):
            self._section(rest)
            rest = ""
        elif meaning.symbol is not None:
            shift = self._notes.shift
            symbol = meaning.symbol
            self._typed.append(
                (place, text, symbol if shift is None else symbol.transposed(shift))
            )
            return
        if rest:
            self._print(place, "words", rest, above)
        if _CHORD_LETTER.fullmatch(text) or not text.isprintable():
            self.report.add(
                "chord-words",
                "warning",
                f"the words {text[:20]!r} may be part of a chord symbol; "
                "words are not transposed",
                element="words",
                onset=quarters(place, self.grid),
                meter=bar.meter,
            )

    def _metronome(self, element: Element, place: Number, above: bool) -> None:
        units: list[str] = []
        dots = 0
        minute = ""
        for child in element:
            tag = child.tag
            if tag == "beat-unit":
                units.append(child.text or "")
            elif tag == "beat-unit-dot":
                dots += 1
            elif tag == "per-minute":
                minute = child.text or ""
            elif tag.startswith("metronome-"):
                # one value against another
                units.append("")
            else:
                self.report.unread(tag)
        name = value_name(units[0]) if units else None
        number = _PER_MINUTE.search(minute)
        if len(units) != 1 or name is None or number is None or not float(number[0]):
            self.report.unread("metronome", minute[:20])
            return
        if number[0] != minute.strip():
            self.report.add(
                "tempo", "note", f"tempo {minute[:20]!r} is read as {number[0]}"
            )
        tempo = Tempo(NoteValue(name, min(dots, 3)), Fraction(number[0]))
        onset = quarters(place, self.grid)
        direction = Direction(onset, "tempo", tempo=tempo, above=above)
        self._bar.directions.append((place, direction))

    def _sound(self, element: Element) -> None:
        bar = self._bar
        for name, value in element.items():
            if name == "dacapo" or name == "dalsegno":
                if bar.jump is None and value != "no":
                    # how far it goes is known when the whole part has been read
                    bar.jump = Jump("capo" if name == "dacapo" else "segno")
                    bar.jump_by_sound = True
            elif name == "fine":
                bar.fine = bar.fine or value != "no"
            elif name == "tocoda":
                bar.to_coda = True
            elif name == "segno" or name == "coda":
                self._sign(name, self._notes.cursor)
            elif name == "forward-repeat" and value == "yes":
                bar.repeat_start = True
            else:
                self.report.passed.add("sound")
        for child in element:
            self.report.unread(child.tag)

    # --- bar lines --------------------------------------------------------------------

    def _barline(self, element: Element) -> None:
        bar = self._bar
        report = self.report
        location = element.get("location", "right")
        if location == "middle":
            report.unread("barline", "a bar line within the bar")
            return
        left = location == "left"
        for child in element:
            tag = child.tag
            if tag == "bar-style":
                style = _BARLINES.get((child.text or "").strip())
                if style is None:
                    report.unread("bar-style", (child.text or "")[:20])
                elif left:
                    bar.left_barline = style
                else:
                    bar.barline = style
            elif tag == "repeat":
                self._repeat(child, left)
            elif tag == "ending":
                self._ending(child)
            elif tag == "segno" or tag == "coda":
                self._sign(tag, 0 if left else bar.length or self._notes.cursor)
            else:
                report.unread(tag)

    def _repeat(self, element: Element, left: bool) -> None:
        """A repeat sign; at the wrong edge of a bar it belongs to the bar beside."""
        direction = element.get("direction")
        if direction == "forward" and left:
            self._bar.repeat_start = True
        elif direction == "forward":
            self._repeat_next = True
        elif direction == "backward":
            times = element.get("times", "2")
            passes = int(times) if times.isdecimal() and len(times) < 3 else 2
            bar = self.bars[-1] if left and self.bars else self._bar
            bar.repeat_end = max(2, passes)
        else:
            raise self.report.error(
                f"direction {(direction or '')[:20]!r}: expected forward or backward",
                "repeat",
            )

    def _ending(self, element: Element) -> None:
        kind = element.get("type")
        if kind == "start":
            numbers = ending_numbers(element.get("number", ""))
            self._bar.ending_start = numbers or ending_numbers(element.text or "")
            if not self._bar.ending_start:
                self.report.unread("ending", "it has no number")
        elif kind == "stop" or kind == "discontinue":
            self._bar.ending_stop = True
        else:
            self.report.unread("ending", f"type {(kind or '')[:20]!r}")


def ending_numbers(text: str) -> tuple[int, ...]:
    """The passes an ending is for, from ``1``, ``1, 2``, ``1.-3.`` and the like.

    >>> ending_numbers("1.-3."), ending_numbers("1, 3"), ending_numbers("x")
    ((1, 2, 3), (1, 3), ())
    """
    passes: set[int] = set()
    for first, last in _RANGE.findall(text[:60]):
        passes.update(range(int(first), int(last or first) + 1))
    passes.discard(0)
    return tuple(sorted(passes))


def joined(pieces: Iterable[str]) -> str:
    """Words that a file gives in several pieces, as one text."""
    text = ""
    for piece in pieces:
        open_end = text and not text[-1].isspace()
        text += f" {piece}" if open_end and piece[:1].isalnum() else piece
    return clean_words(text)
