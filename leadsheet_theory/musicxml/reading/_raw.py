"""One measure of one part as the file has it, before it is known what it is for.

Mutable, and private to one reading.
"""

from __future__ import annotations

from attrs import frozen

from ...chords import ChordSymbol
from ...key import Key
from ...leadsheet.model import Direction, Note, Rest, Swing
from ...leadsheet.slash_time import has_slashes
from ...rhythm.meter import Meter
from ._brackets import Bracket
from ._form import RawSigns
from ._values import Number

__all__ = ("RawBar", "RawLine", "SlashSpan")


@frozen(order=False)
class SlashSpan:
    """A stretch of a bar in slash notation, from one place to another (None: the bar's
    end): `rhythm` with stems or the beats alone, on a staff (empty: on all), but for
    the voices that are `spared`."""

    start: Number
    end: Number | None = None
    rhythm: bool = False
    staff: str = ""
    spared: frozenset[str] = frozenset()

    def covers(self, line: RawLine) -> bool:
        """Whether a voice is in slash notation here."""
        return self.staff in ("", line.staff) and line.voice not in self.spared


class RawLine:
    """One voice on one staff: its pitched notes and rests, and apart from them the
    strokes, notes without a pitch of their own (slash heads, unpitched notes).
    `large` says whether one of its notes has its full size."""

    __slots__ = (
        "brackets", "end", "events", "gaps", "large", "staff", "strokes", "tuplets",
        "voice",
    )  # fmt: skip

    def __init__(self, staff: str, voice: str) -> None:
        self.staff = staff
        self.voice = voice
        self.events: list[Note | Rest] = []
        self.strokes: list[Note] = []
        self.end: Number = 0
        self.gaps = False
        self.large = False
        self.tuplets = False
        self.brackets: list[Bracket] = []

    @property
    def is_hidden(self) -> bool:
        """Whether it holds nothing but rests that are not printed."""
        return not self.strokes and all(
            isinstance(event, Rest) and event.hidden for event in self.events
        )

    @property
    def has_notes(self) -> bool:
        """Whether there is a pitched note."""
        return Note in map(type, self.events)

    @property
    def has_slashes(self) -> bool:
        """Whether there is time to be filled."""
        return has_slashes(self.events)


class RawBar:
    """One measure.  Times are in ticks of the reading's grid."""

    __slots__ = (
        "alternates",
        "chords",
        "directions",
        "implicit",
        "key",
        "length",
        "lines",
        "meter",
        "number",
        "signs",
        "slashes",
        "small",
        "swing",
        "typed",
    )

    def __init__(
        self, number: str, key: Key, meter: Meter, signs: RawSigns, *, implicit: bool
    ) -> None:
        self.number = number
        self.implicit = implicit
        self.key = key
        self.meter = meter
        self.signs = signs
        self.length: Number = 0
        self.lines: list[RawLine] = []
        self.small: list[RawLine] = []  # of notes that are cues
        self.alternates: list[tuple[Number, ChordSymbol]] = []
        self.chords: list[tuple[Number, ChordSymbol]] = []
        self.swing: Swing | None = None
        # chord symbols typed as words: place, words, symbols
        self.typed: list[tuple[Number, str, tuple[ChordSymbol, ...]]] = []
        self.directions: list[tuple[Number, Direction]] = []
        self.slashes: list[SlashSpan] = []
