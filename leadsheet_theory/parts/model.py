"""A part as a value: what stands in each bar and how it is drawn."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Literal

from attrs import evolve, field, frozen

from .._printed import Drawn, Told
from ..chords import ChordSymbol
from ..instruments.clefs import Clef
from ..interval import Interval
from ..key import Key
from ..leadsheet.findings import Finding
from ..leadsheet.model import Bar, Hit, LeadSheet, Note, PlacedChord, Rest
from ..leadsheet.open_ties import NO_OPEN_TIES, OpenTies
from ..leadsheet.running_order import RunningOrder
from ..pitch import NoteName, Pitch
from ..rhythm.beams import BeamMark
from ..rhythm.stems import StemDirection
from ..spelling.accidentals import Accidental
from ..spelling.respelling import Respelling
from .systems import PagePlan

__all__ = (
    "AddedBar",
    "AddedStaff",
    "Look",
    "OctaveIn",
    "Part",
    "PartBar",
    "PartReport",
    "Rebeam",
    "Respell",
    "RespellNote",
    "SharedBar",
)


@frozen(order=False)
class Respell:
    """The wish to see one chord of one part spelled otherwise.

    `bar` is the bar's number, `beat` counts from 1 in the metre's printed unit
    (2½ is ``Fraction(5, 2)``), `root` is the root as the part should show it.
    `book` names the book or instrument it is meant for; where it is empty the
    wish goes to every part in which the root asked for has that sound.  The other
    chord of a pair of ii and V goes along, so do the notes over the chord, and the
    chord's place on the solo page.
    """

    bar: int
    beat: Fraction = field(converter=Fraction)
    root: NoteName
    book: str = ""


@frozen(order=False)
class RespellNote:
    """The wish to see one note of one part under another name; its sound stays.

    `bar`, `beat` and `book` are as in :class:`Respell`; `name` is the note as the part
    should show it.  A note tied on goes along.

    >>> wish = RespellNote(12, Fraction(5, 2), NoteName.parse("Gb"), "B♭")
    """

    bar: int
    beat: Fraction = field(converter=Fraction)
    name: NoteName
    book: str = ""


@frozen(order=False)
class OctaveIn:
    """The wish that a part sounds so many octaves above the chart (negative: below) in
    some bars: from the bar numbered `first` to the one numbered `last`.

    `book` names the book or instrument.  A note that is tied into the first bar keeps
    its octave.
    """

    first: int
    last: int
    octaves: int
    book: str


@frozen(order=False)
class Rebeam:
    """The wish that the melody's beam is broken (``"apart"``) before a note, or reaches
    it from the one before (``"joined"``), in all parts.

    `bar` and `beat` are as in :class:`Respell`.
    """

    bar: int
    beat: Fraction = field(converter=Fraction)
    how: Literal["apart", "joined"]


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


@frozen(order=False, repr=False, kw_only=True)
class SharedBar(Told):
    """What all parts of a tune have in common in one bar.

    `source` is the concert bar, in which every note and rest has a value;
    `number` is the bar's number in the parts, in which the solo page counts on from
    the tune.  `cue` is the rhythm section's figure above the staff, from the
    start of the bar to its last hit; `slashes` are the time slashes of a bar
    without melody, over which the counterline is small notes, of which the first have a
    `counterline_label`; `figure` is a rhythm in the staff itself, slash heads with
    stems, where no time is played; `shows_number` says whether the number is printed,
    which on the solo page would be a second one for the head's letters; `ending_stops`
    whether an ending bracket stops here; `open_ties` which halves of ties lead
    elsewhere.
    """

    number: int
    source: Bar
    melody_beams: tuple[tuple[BeamMark, ...], ...] = ()
    counterline_beams: tuple[tuple[BeamMark, ...], ...] = ()
    cue: tuple[Hit | Rest, ...] = ()
    cue_beams: tuple[tuple[BeamMark, ...], ...] = ()
    cue_label: str = ""
    counterline_label: str = ""
    slashes: tuple[Hit, ...] = ()
    figure: tuple[Hit | Rest, ...] = ()
    figure_beams: tuple[tuple[BeamMark, ...], ...] = ()
    shows_number: bool = True
    starts_system: bool = False
    starts_page: bool = False
    ending_stops: bool = False
    open_ties: OpenTies = NO_OPEN_TIES

    def __str__(self) -> str:
        return str(self.source)

    @property
    def on_solo_page(self) -> bool:
        """Whether the bar stands on the solo page."""
        return not self.shows_number


@frozen(order=False, repr=False, kw_only=True)
class PartBar(Told):
    """One bar of a part: what all parts share, and what this one has of its own.

    In place of the source's key, pitches and chord symbols the part has `key`,
    `pitches`, `lower_pitches` (those of the counterline) and `symbols`, in reading
    order; :attr:`bar` puts them into the bar.
    """

    shared: SharedBar
    key: Key
    symbols: tuple[ChordSymbol, ...] = ()
    pitches: tuple[Pitch, ...] = ()
    stems: tuple[StemDirection | None, ...] = ()
    accidentals: tuple[Accidental | None, ...] = ()
    lower_pitches: tuple[Pitch, ...] = ()
    lower_stems: tuple[StemDirection | None, ...] = ()
    lower_accidentals: tuple[Accidental | None, ...] = ()

    @classmethod
    def at_pitch(
        cls,
        source: Bar,
        /,
        *,
        ending_stops: bool,
        open_ties: OpenTies = NO_OPEN_TIES,
    ) -> PartBar:
        """A bar as it stands in the source, with nothing decided about its look."""
        return cls(
            shared=SharedBar(
                number=source.number,
                source=source,
                ending_stops=ending_stops,
                open_ties=open_ties,
            ),
            key=source.key,
            symbols=tuple(placed.symbol for placed in source.chords),
            pitches=_pitches(source.melody),
            lower_pitches=_pitches(source.counterline),
        )

    def __str__(self) -> str:
        return str(self.bar)

    @property
    def bar(self) -> Bar:
        """The bar as this part has it: written key, pitches and chord symbols."""
        source = self.shared.source
        return evolve(
            source,
            number=self.shared.number,
            key=self.key,
            melody=tuple(_with_pitches(source.melody, self.pitches)),
            counterline=tuple(_with_pitches(source.counterline, self.lower_pitches)),
            chords=tuple(
                PlacedChord(placed.onset, symbol)
                for placed, symbol in zip(source.chords, self.symbols, strict=True)
            ),
        )

    @property
    def melody_look(self) -> Look:
        """How the melody is drawn."""
        return Look(self.shared.melody_beams, self.stems, self.accidentals)

    @property
    def counterline_look(self) -> Look:
        """How the counterline is drawn."""
        return Look(
            self.shared.counterline_beams, self.lower_stems, self.lower_accidentals
        )

    @property
    def cue(self) -> tuple[Hit | Rest, ...]:
        """The rhythm section's figure above the staff."""
        return self.shared.cue

    @property
    def cue_beams(self) -> tuple[tuple[BeamMark, ...], ...]:
        """The beam marks of the cue."""
        return self.shared.cue_beams

    @property
    def cue_label(self) -> str:
        """What stands over the cue."""
        return self.shared.cue_label

    @property
    def slashes(self) -> tuple[Hit, ...]:
        """The time slashes of a bar without melody."""
        return self.shared.slashes

    @property
    def starts_system(self) -> bool:
        """Whether a system starts here."""
        return self.shared.starts_system

    @property
    def starts_page(self) -> bool:
        """Whether a page starts here."""
        return self.shared.starts_page


def _pitches(events: tuple[Note | Rest, ...]) -> tuple[Pitch, ...]:
    return tuple(
        pitch for event in events if isinstance(event, Note) for pitch in event.pitches
    )


def _with_pitches(
    events: tuple[Note | Rest, ...], pitches: tuple[Pitch, ...]
) -> Iterator[Note | Rest]:
    new = iter(pitches)
    for event in events:
        if isinstance(event, Note):
            yield evolve(event, pitches=tuple(next(new) for _ in event.pitches))
        else:
            yield event


@frozen(order=False, kw_only=True)
class AddedBar:
    """One bar of a staff beside a part's own.

    `events` are its notes and rests at written pitch, `look` how they are drawn,
    `label` what stands over the first of them; `slashes` are time slashes where the
    line is not written out.  A bar without either is left blank.
    """

    events: tuple[Note | Rest, ...] = ()
    look: Look = Look()
    label: str = ""
    slashes: tuple[Hit, ...] = ()

    @property
    def has_notes(self) -> bool:
        """Whether there is a note in it."""
        return any(isinstance(event, Note) for event in self.events)


@frozen(order=False, kw_only=True)
class AddedStaff:
    """A staff beside a part's own, printed in those systems alone that have notes on
    it: a bass line below, another player's line in small notes (`small`).

    `bars` are as many as the tune has; the solo page has none.
    """

    clef: Clef
    bars: tuple[AddedBar, ...]
    above: bool = False
    small: bool = False


@frozen(order=False, repr=False, kw_only=True)
class PartReport(Told):
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
    chords: tuple[Respelling[ChordSymbol], ...] = ()
    notes: tuple[Respelling[Pitch], ...] = ()
    findings: tuple[Finding, ...] = ()

    def __str__(self) -> str:
        if self.low is None or self.high is None:
            return f"{self.key}, no melody"
        return f"{self.key}, {self.low.glyphs} to {self.high.glyphs}"


@frozen(order=False, repr=False, kw_only=True)
class Part(Told, Drawn):
    """What one reader of the band plays from.

    `name` is the book's or the instrument's; `headings` holds the line that
    stands at the top of each page; `to_sounding` leads from the written to the
    sounding pitch; `sound_id` is the instrument's MusicXML sound id; `bars` is the tune
    and `solo` the page of changes after it; `added` are staves beside the part's own.
    Every onset and duration falls on one of `divisions` equal parts of a quarter note.
    `revision` is a number or a date that stands at the foot of each page, after *rev.*
    """

    name: str
    source: LeadSheet
    headings: tuple[str, ...]
    clef: Clef
    to_sounding: Interval
    sound_id: str
    plan: PagePlan
    divisions: int
    bars: tuple[PartBar, ...]
    solo: tuple[PartBar, ...]
    report: PartReport
    order: RunningOrder
    added: tuple[AddedStaff, ...] = ()
    revision: str = ""

    def __str__(self) -> str:
        return f"{self.source.title or 'untitled'}, {self.name} in {self.report}"
