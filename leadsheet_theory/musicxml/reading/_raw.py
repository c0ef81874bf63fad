"""One measure of one part as the file has it, before it is known what it is for.

Mutable, and private to one reading.
"""

from __future__ import annotations

from typing import Literal

from ...chords import ChordSymbol
from ...key import Key
from ...leadsheet.model import Direction, Note, Rest
from ...leadsheet.signs import Barline, Jump
from ...rhythm.meter import Meter
from ._values import Number

__all__ = ("RawBar", "RawLine")


class RawLine:
    """One voice on one staff: its pitched notes and rests, and apart from them the
    strokes, notes without a pitch of their own (slash heads, unpitched notes)."""

    __slots__ = ("end", "events", "gaps", "staff", "strokes", "tuplets", "voice")

    def __init__(self, staff: str, voice: str) -> None:
        self.staff = staff
        self.voice = voice
        self.events: list[Note | Rest] = []
        self.strokes: list[Note] = []
        self.end: Number = 0
        self.gaps = False
        self.tuplets = False

    @property
    def has_notes(self) -> bool:
        """Whether there is a pitched note."""
        return any(isinstance(event, Note) for event in self.events)


class RawBar:
    """One measure.  Times are in ticks of the reading's grid."""

    __slots__ = (
        "barline",
        "chords",
        "coda",
        "directions",
        "ending_start",
        "ending_stop",
        "fine",
        "implicit",
        "jump",
        "jump_by_sound",
        "key",
        "left_barline",
        "length",
        "lines",
        "meter",
        "number",
        "repeat_end",
        "repeat_start",
        "section",
        "segno",
        "slash",
        "slash_voices",
        "times",
        "to_coda",
    )

    def __init__(self, number: str, implicit: bool, key: Key, meter: Meter) -> None:
        self.number = number
        self.implicit = implicit
        self.key = key
        self.meter = meter
        self.length: Number = 0
        self.lines: list[RawLine] = []
        self.chords: list[tuple[Number, ChordSymbol]] = []
        self.directions: list[tuple[Number, Direction]] = []
        self.section = ""
        self.repeat_start = False
        self.repeat_end = 0
        self.times = 0
        self.ending_start: tuple[int, ...] = ()
        self.ending_stop = False
        self.barline: Barline = "regular"
        self.left_barline: Barline = "regular"
        self.segno: Number | None = None
        self.coda: Number | None = None
        self.to_coda = False
        self.fine = False
        self.jump: Jump | None = None
        self.jump_by_sound = False
        self.slash: Literal["", "time", "rhythm"] = ""
        self.slash_voices: frozenset[str] = frozenset()

    def take_signs(self, other: RawBar) -> None:
        """Take over the signs of the form that only another part has here."""
        self.section = self.section or other.section
        self.segno = other.segno if self.segno is None else self.segno
        self.coda = other.coda if self.coda is None else self.coda
        self.to_coda = self.to_coda or other.to_coda
        self.fine = self.fine or other.fine
        if self.jump is None:
            self.jump, self.jump_by_sound = other.jump, other.jump_by_sound
        self.directions = self.directions or other.directions
