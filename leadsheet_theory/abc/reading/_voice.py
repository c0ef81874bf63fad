"""One voice while it is read: its bars, and all that lasts from note to note."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from typing import Final, Literal

from attrs import frozen

from ...interval import Interval
from ...key import Key
from ...leadsheet.model import Lyric, Mark, Slur
from ...leadsheet.signs import Barline
from ...musicxml.reading._form import RawSigns
from ...musicxml.reading._raw import RawBar
from ...pitch import Pitch, Step
from ...rhythm.meter import Meter
from ...rhythm.values import Tuplet
from .._signs import Decoration
from ._fields import KeyField, VoiceWords
from ._quotes import Quoted

__all__ = (
    "COMMON_TIME",
    "BarSign",
    "Event",
    "OpenSlur",
    "OpenTuplet",
    "Pending",
    "TuneBar",
    "Voice",
    "read_bar_sign",
)

COMMON_TIME: Final = Meter(4, 4)
_C_MAJOR: Final = Key.from_signature(0)
_NOTHING: Final = Fraction(0)
_NO_WORDS: Final = VoiceWords()


class Event:
    """A note, a grace note or a rest, while it may still change."""

    __slots__ = (
        "column", "duration", "grace", "joined", "line", "lyrics", "marks", "onset",
        "pitches", "slurs", "tied_from", "tied_to", "tuplet", "typed", "whole_bar",
        "written",
    )  # fmt: skip

    def __init__(
        self,
        onset: Fraction,
        duration: Fraction,
        written: Fraction,
        pitches: list[Pitch] | None,
        line: int,
        column: int,
    ) -> None:
        self.onset = onset
        self.duration = duration
        self.written = self.typed = written
        self.pitches = pitches
        self.line = line
        self.column = column
        self.tuplet: Tuplet | None = None
        self.grace: Literal["", "plain", "slashed"] = ""
        self.whole_bar = self.joined = False
        self.tied_from = self.tied_to = False
        self.lyrics: list[Lyric] | tuple[()] = ()
        self.marks: list[Mark] | tuple[()] = ()
        self.slurs: list[Slur] | tuple[()] = ()

    def add_mark(self, kind: str) -> None:
        """Put a mark on it."""
        self.marks = [*self.marks, Mark(kind)]

    def add_slur(self, end: Literal["start", "stop"], number: int) -> None:
        """Begin or end a slur on it."""
        self.slurs = [*self.slurs, Slur(end, number)]


class TuneBar:
    """A bar while it is read: its signs, and its notes in one layer or several."""

    __slots__ = ("column", "free", "layers", "line", "raw")

    def __init__(self, key: Key, meter: Meter | None) -> None:
        self.raw = RawBar("", key, meter or COMMON_TIME, RawSigns(), implicit=False)
        self.free = meter is None
        self.layers: list[list[Event]] = [[]]
        self.line = self.column = 0

    @property
    def is_empty(self) -> bool:
        """Whether nothing in it takes time."""
        return not any(self.layers)


@frozen(order=False)
class Pending:
    """Something that waits for the note it stands before."""

    thing: Quoted | Decoration
    line: int
    column: int


class OpenTuplet:
    """A tuplet whose notes are being counted."""

    __slots__ = ("actual", "column", "first", "left", "line", "normal", "scale")

    def __init__(
        self, actual: int, normal: int, count: int, line: int, column: int
    ) -> None:
        self.scale = Fraction(normal, actual)
        self.actual, self.normal = actual, normal
        self.left = count
        self.first = True
        self.line, self.column = line, column


class OpenSlur:
    """A slur that has begun, on which note, and where."""

    __slots__ = ("column", "event", "line", "number")

    def __init__(
        self, number: int, event: Event | None, line: int, column: int
    ) -> None:
        self.number = number
        self.event = event
        self.line, self.column = line, column


_Open = tuple[
    Event | None, dict[tuple[Step, int], int], tuple[int, int], list[OpenSlur]
]
"""What is open at the end of a line of notes: its tie and its slurs."""


@frozen(order=False)
class BarSign:
    """A bar line: how often in all what it ends is played (0 for no repeat), whether a
    repeat starts after it, and its looks."""

    ends: int
    starts: bool
    style: Barline
    complaint: str = ""


@lru_cache(maxsize=256)
def read_bar_sign(text: str) -> BarSign:
    """What a run of bar line signs says (4.8).

    >>> read_bar_sign("::|").ends, read_bar_sign(":||:").starts
    (3, True)
    """
    if not text.strip(":"):
        if len(text) == 1:
            return BarSign(0, False, "regular", "a colon without a bar line")
        return BarSign(max(2, len(text)), True, "regular")
    complaint = ""
    if text.startswith("]"):
        complaint = "a closing bracket without an opening one"
        text = text.lstrip("]")
        if not text:
            return BarSign(0, False, "regular", complaint)
    before = len(text) - len(text.lstrip(":"))
    after = len(text) - len(text.rstrip(":"))
    lines = text.strip(":")
    ends = before + 1 if before else 0
    style: Barline = "double"
    if lines in ("|", "[|]"):
        style = "regular"
    elif lines == ".|":
        style = "dashed"
    elif lines.endswith("]") or lines == "|[|":
        style = "final"
    return BarSign(ends, after > 0, style, complaint)


class Voice:
    """A voice: what it has read, and what is in force where it stands."""

    def __init__(self, name: str, key: KeyField, meter: Meter | None) -> None:
        self.name = name
        self.words = _NO_WORDS
        self.bars: list[TuneBar] = []
        self.key = _C_MAJOR
        self.alters: dict[Step, int] = {}
        self.accidentals: dict[tuple[Step, int], int] = {}
        self.meter = meter
        self.sounds: Interval | None = None
        self.octave = 0
        self.set_key(key)
        self.bar = TuneBar(self.key, meter)
        self.layer = self.bar.layers[0]
        self.cursor = _NOTHING
        self.unit = Fraction(1, 2)
        self.lengths: dict[str, Fraction] = {}
        self.pending: list[Pending] = []
        self.graces: list[Event] = []
        self.ties: dict[tuple[Step, int], int] = {}
        self.tied: Event | None = None
        self.tie_at = (0, 0)
        self.last: Event | None = None
        self.broken: tuple[Fraction, Fraction, int, int] | None = None
        self.tuplet: OpenTuplet | None = None
        self.slurs: list[OpenSlur] = []
        self.seat = False
        self._other_layers: dict[int, _Open] = {}
        self.waiting_slurs: list[tuple[int, int]] = []
        # notes that take words, each with its bar's index
        self.notes: list[tuple[Event, int]] = []
        self.line_start = self.covered = self.verse_start = 0
        self.verse = 0
        # by verse: the note and syllable sung last, and whether a hyphen follows
        self.sung: dict[int, tuple[Event, Lyric] | None] = {}
        self.hyphen: dict[int, bool] = {}
        # repeats and endings
        self.open_repeat: tuple[int, int] | None = None
        self.ending: tuple[int, ...] = ()
        self.endings: set[int] = set()
        self.ending_closed_at = -1
        self.back_to = 0
        self.next_section = ""
        self.full_at_line_end = False
        self.bar_line_at = (0, 0)

    def set_unit(self, unit: Fraction) -> None:
        """Take another unit note length, in quarter notes."""
        self.unit = unit
        self.lengths = {}

    def set_key(self, field: KeyField) -> None:
        """Take another key; accidentals of the bar so far end with it."""
        if field.key is None:
            return
        self.key = field.key
        self.alters = dict(field.alters)
        self.accidentals = {}

    def set_words(self, words: VoiceWords) -> None:
        """Take what K: or V: say of clef and octaves."""
        self.words = words
        self.octave = words.octave

    def start_bar(self) -> None:
        """Begin an empty bar."""
        if self.layer is not self.bar.layers[0]:
            self._go_to_layer(0)
        self.bar = TuneBar(self.key, self.meter)
        self.layer = self.bar.layers[0]
        self.cursor = _NOTHING
        self.last = None
        self.seat = False
        if self.next_section:
            self.bar.raw.signs.section, self.next_section = self.next_section, ""

    def start_layer(self) -> None:
        """Go back to the start of the bar, with another line of notes."""
        layers = self.bar.layers
        layers.append([])
        self._go_to_layer(len(layers) - 1)
        self.layer = layers[-1]
        self.cursor = _NOTHING
        self.last = None

    def _go_to_layer(self, index: int) -> None:
        """Take up the ties and slurs of another line of notes."""
        now = next(at for at, each in enumerate(self.bar.layers) if each is self.layer)
        self._other_layers[now] = (self.tied, self.ties, self.tie_at, self.slurs)
        self.tied, self.ties, self.tie_at, self.slurs = self._other_layers.pop(
            index, (None, {}, (0, 0), [])
        )

    def close_bar(self) -> TuneBar:
        """End the bar, which holds music, and begin the next."""
        done = self.bar
        ends = [layer[-1].onset + layer[-1].duration for layer in done.layers if layer]
        done.raw.length = max(ends)
        self.bars.append(done)
        self.accidentals = {}
        self.start_bar()
        return done
