"""A part as a value: what stands in each bar and how it is drawn."""

from __future__ import annotations

from fractions import Fraction

from attrs import field, frozen

from ..accidentals import Accidental
from ..beams import BeamMark
from ..chords import ChordSymbol
from ..clefs import Clef
from ..interval import Interval
from ..key import Key
from ..pitch import NoteName, Pitch
from ..stems import StemDirection
from .findings import Finding
from .model import Bar, Hit, LeadSheet, Rest
from .systems import PagePlan

__all__ = (
    "ChordRespelling",
    "Look",
    "NoteRespelling",
    "Part",
    "PartBar",
    "PartReport",
    "Respell",
)


@frozen(order=False)
class Respell:
    """The wish to see one chord of one part spelled otherwise.

    `bar` is the bar's number, `beat` counts from 1 in the metre's printed unit
    (2½ is ``Fraction(5, 2)``), `root` is the root as the part should show it.
    `book` names the book or instrument it is meant for; where it is empty the
    wish goes to every part in which the root asked for has that sound.
    """

    bar: int
    beat: Fraction = field(converter=Fraction)
    root: NoteName
    book: str = ""


@frozen(order=False)
class Look:
    """How a line of notes is drawn.

    `beams` and `stems` hold one entry for each note or rest of the line,
    `accidentals` one for each pitch in reading order; a tuple left empty
    leaves the choice to whoever draws the music.
    """

    beams: tuple[tuple[BeamMark, ...], ...] = ()
    stems: tuple[StemDirection | None, ...] = ()
    accidentals: tuple[Accidental | None, ...] = ()


@frozen(order=False)
class PartBar:
    """One bar of a part.

    `bar` holds written pitches, written chord symbols and the written key, and
    every note and rest of it has a value.  `cue` is the rhythm section's figure
    above the staff (empty where there is none; gaps are left open), `slashes`
    the time slashes of a bar without melody.
    """

    bar: Bar
    melody: Look = Look()
    counterline: Look = Look()
    cue: tuple[Hit | Rest, ...] = ()
    cue_beams: tuple[tuple[BeamMark, ...], ...] = ()
    cue_label: str = ""
    slashes: tuple[Hit, ...] = ()
    starts_system: bool = False
    starts_page: bool = False


@frozen(order=False)
class ChordRespelling:
    """A chord symbol of a part that did not keep its plain transposition."""

    bar: int
    beat: Fraction
    plain: ChordSymbol
    written: ChordSymbol
    reason: str

    def __str__(self) -> str:
        return f"bar {self.bar}: {self.written}, not {self.plain} ({self.reason})"


@frozen(order=False)
class NoteRespelling:
    """A melody note of a part that did not keep its plain transposition."""

    bar: int
    beat: Fraction
    plain: Pitch
    written: Pitch
    reason: str

    def __str__(self) -> str:
        return (
            f"bar {self.bar}: {self.written.glyphs}, not {self.plain.glyphs} "
            f"({self.reason})"
        )


@frozen(order=False)
class PartReport:
    """What was decided for a part, in a form to read.

    `key` is the written key at the start; `low` and `high` are the written
    ends of the melody (None where there is no note); `octaves` says how many
    octaves higher (negative: lower) than the source the part sounds, and
    `octave_reason` why.
    """

    key: Key
    low: Pitch | None
    high: Pitch | None
    octaves: int = 0
    octave_reason: str = ""
    chords: tuple[ChordRespelling, ...] = ()
    notes: tuple[NoteRespelling, ...] = ()
    findings: tuple[Finding, ...] = ()


@frozen(order=False)
class Part:
    """What one reader of the band plays from.

    `name` is the book's or the instrument's; `headings` holds the line that
    stands at the top of each page; `to_sounding` leads from the written to the
    sounding pitch; `bars` is the tune and `solo` the page of changes after it.
    """

    name: str
    source: LeadSheet
    headings: tuple[str, ...]
    clef: Clef
    to_sounding: Interval
    sound: str
    plan: PagePlan
    bars: tuple[PartBar, ...]
    solo: tuple[PartBar, ...]
    report: PartReport
