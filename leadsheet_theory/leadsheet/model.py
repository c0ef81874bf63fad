"""A lead sheet as a value: bars with melody, chord symbols, form and hits.

Everything here is immutable.  Pitches are sounding (concert) pitches unless
a :class:`~.parts.model.Part` holds them; times are exact `Fraction` quarter notes,
and an onset counts from the start of its bar.
"""

from __future__ import annotations

from fractions import Fraction
from math import lcm
from typing import Final, Literal

from attrs import field, frozen

from .._arguments import check_choice
from .._printed import Drawn, Told
from ..chords import ChordSymbol
from ..errors import EmptyMelodyError, EmptySheetError, NoteValueError
from ..key import Key
from ..pitch import Pitch
from ..rhythm.meter import Meter
from ..rhythm.values import NoteValue, check_exact
from .signs import NO_SIGNS, FormSigns

__all__ = (
    "Bar",
    "Direction",
    "HeadShape",
    "Hit",
    "LeadSheet",
    "Lyric",
    "Mark",
    "Note",
    "NoteHead",
    "PlacedChord",
    "Rest",
    "RestLook",
    "Slur",
    "SoloChorus",
    "Solos",
    "Swing",
    "Tempo",
)


_AT_ONCE: Final = Fraction(0)


@frozen(order=False)
class Lyric:
    """One syllable under a note; `extend` says which part of the line that holds it
    over further notes starts, goes on or stops here, also without a text."""

    text: str
    syllabic: Literal["single", "begin", "middle", "end"] = "single"
    verse: int = 1
    extend: Literal["", "start", "continue", "stop"] = ""


@frozen(order=False)
class Mark:
    """An articulation, ornament or fermata on a note, by its MusicXML 4.0 name
    (``staccato``, ``accent``, ``strong-accent``, ``scoop``, ``doit``, ``falloff``,
    ``fermata``, ``trill-mark`` …).

    A ``tremolo`` has so many `strokes` (none for an unmeasured one), and an `end` where
    it goes from one note to another.
    """

    kind: str
    strokes: int = 0
    end: Literal["", "start", "stop"] = ""


HeadShape = Literal[
    "normal", "x", "diamond", "triangle", "square", "cross", "circle-x",
    "inverted triangle", "arrow down", "arrow up", "circled", "slashed",
    "back slashed", "cluster", "circle dot", "left triangle", "rectangle", "none",
    "do", "re", "mi", "fa", "fa up", "so", "la", "ti", "slash",
]  # fmt: skip
"""The shapes of note heads, as MusicXML 4.0 names them (``notehead-value``)."""


@frozen(order=False)
class NoteHead:
    """How the head of a note looks, where it is not the plain one; in parentheses for
    a note that is rather felt than played."""

    shape: HeadShape = "normal"
    parentheses: bool = False
    filled: Literal["", "yes", "no"] = ""


@frozen(order=False)
class Slur:
    """One end of a slur or glissando; both ends carry the same `number`."""

    end: Literal["start", "stop"]
    number: int = 1
    kind: Literal["slur", "glissando", "slide"] = "slur"


@frozen(order=False, kw_only=True)
class Note:
    """A melody note, or several sounding together.

    `onset` and `duration` are in quarter notes; a grace note has duration 0.
    `pitches` holds at least one pitch, the melody's own first.  `value` is the
    value written in the source, or None where the library is to choose.  `heads` has
    one for each pitch, or is empty where all are plain.
    """

    onset: Fraction
    duration: Fraction
    pitches: tuple[Pitch, ...]
    value: NoteValue | None = None
    tied_from_previous: bool = False
    tied_to_next: bool = False
    grace: Literal["", "plain", "slashed"] = ""
    lyrics: tuple[Lyric, ...] = ()
    marks: tuple[Mark, ...] = ()
    slurs: tuple[Slur, ...] = ()
    heads: tuple[NoteHead, ...] = ()

    def __attrs_post_init__(self) -> None:
        if not self.pitches:
            raise EmptyMelodyError("a note without a pitch: expected at least one")

    @property
    def pitch(self) -> Pitch:
        """The melody's own pitch."""
        return self.pitches[0]


RestLook = Literal["rest", "slashes", "hidden"]
"""How a rest is shown: as a rest; as slashes, a stretch of time that the player fills;
or not at all, though it takes its time."""


@frozen(order=False)
class Rest:
    """A rest of the melody, or what is `shown` in its place."""

    onset: Fraction
    duration: Fraction
    value: NoteValue | None = None
    whole_bar: bool = False
    marks: tuple[Mark, ...] = ()
    shown: RestLook = "rest"

    @property
    def slashes(self) -> bool:
        """Whether it is a stretch of time that the player fills."""
        return self.shown == "slashes"

    @property
    def hidden(self) -> bool:
        """Whether nothing is printed."""
        return self.shown == "hidden"


@frozen(order=False)
class PlacedChord:
    """A chord symbol over a beat."""

    onset: Fraction
    symbol: ChordSymbol


@frozen(order=False)
class Hit:
    """One attack of the rhythm section's figure, held for `duration` quarter notes."""

    onset: Fraction
    duration: Fraction
    value: NoteValue | None = None
    tied_from_previous: bool = False
    tied_to_next: bool = False
    marks: tuple[Mark, ...] = ()


@frozen(order=False)
class Tempo:
    """A metronome mark: `beat` = `per_minute`."""

    beat: NoteValue
    per_minute: Fraction


@frozen(order=False)
class Swing:
    """How pairs of a value are played: the first note takes `first` parts of the pair,
    the second `second` (MusicXML 4.0, ``swing``); 1 to 1 is straight.

    `unit` is the value that is swung, `equation` says whether the chart prints it as
    an equation of note values.

    >>> str(Swing()), str(Swing(1, 1)), str(Swing(3, 1, "16th"))
    ('eighths 2:1', 'straight eighths', '16ths 3:1')

    Raises:
        NoteValueError: if a part is not a whole number from 1 to 99.
    """

    first: int = 2
    second: int = 1
    unit: Literal["eighth", "16th"] = "eighth"
    equation: bool = False

    def __attrs_post_init__(self) -> None:
        check_choice("unit", self.unit, ("eighth", "16th"))
        for part in (self.first, self.second):
            if not isinstance(part, int) or not 0 < part < 100:
                raise NoteValueError(
                    f"a swing of {self.first}:{self.second}: "
                    "expected whole numbers from 1 to 99"
                )

    def __str__(self) -> str:
        if self.is_straight:
            return f"straight {self.unit}s"
        return f"{self.unit}s {self.first}:{self.second}"

    @property
    def is_straight(self) -> bool:
        """Whether both notes of a pair are alike."""
        return self.first == self.second

    @property
    def swings_eighths(self) -> bool:
        """Whether it is eighths that are uneven."""
        return self.unit == "eighth" and not self.is_straight


@frozen(order=False)
class Direction:
    """Words, a dynamic mark or a tempo at a place in the bar.

    For `kind` "dynamics" the text is the MusicXML 4.0 name (``mf``).
    """

    onset: Fraction
    kind: Literal["words", "dynamics", "tempo"]
    text: str = ""
    tempo: Tempo | None = None
    above: bool = True


@frozen(order=False, repr=False, kw_only=True)
class Bar(Told):
    """One written bar.

    `number` counts from 1; a pickup is 0.  `key` and `meter` are those in
    force at its start.  `length` is the bar's actual length in quarter notes,
    shorter than the metre's in a pickup and in either part of a bar that a sign of
    form divides: these share their number, and `divided_at` says how many quarter
    notes of the bar stand before the second one.

    `alternate_chords` are another choice of changes, which no part prints.
    `form` holds the signs at its edges; `source_number` the bar's number in the file.
    """

    number: int
    key: Key
    meter: Meter
    length: Fraction
    melody: tuple[Note | Rest, ...] = ()
    counterline: tuple[Note | Rest, ...] = ()
    chords: tuple[PlacedChord, ...] = ()
    hits: tuple[Hit, ...] = ()
    bass_line: tuple[Note | Rest, ...] = ()
    directions: tuple[Direction, ...] = ()
    form: FormSigns = NO_SIGNS
    alternate_chords: tuple[PlacedChord, ...] = ()
    divided_at: Fraction = _AT_ONCE
    source_number: str = field(default="", eq=False)

    def __str__(self) -> str:
        notes = sum(isinstance(event, Note) for event in self.melody)
        chords = " ".join(str(chord.symbol) for chord in self.chords)
        says = f"{self.number or 'pickup'}, {notes} note{'' if notes == 1 else 's'}"
        return f"{says}, {chords}" if chords else says

    @property
    def is_pickup(self) -> bool:
        """Whether this is the pickup, bar 0."""
        return self.number == 0

    @property
    def counts(self) -> bool:
        """Whether the bar is counted: it is neither a pickup nor the second part of a
        bar that a sign of form divides."""
        return self.number != 0 and not self.divided_at

    @property
    def starts_at(self) -> Fraction:
        """Where the bar's content starts in the full bar of its metre, in quarter
        notes: that of a pickup stands at the end.

        >>> pickup = Bar(number=0, key=Key.parse("C"), meter=Meter(4, 4),
        ...              length=Fraction(3, 2))
        >>> pickup.starts_at, pickup.beat_of(Fraction(1))
        (Fraction(5, 2), Fraction(9, 2))
        """
        if not self.is_pickup:
            return self.divided_at
        return self.meter.pickup_start(self.length)

    def beat_of(self, onset: Fraction, /) -> Fraction:
        """Which beat an onset is, counted from 1 in the metre's printed unit."""
        return self.meter.beat_at(onset, start=self.starts_at)

    def ending_stops_before(self, following: Bar | None, /) -> bool:
        """Whether the ending bracket over this bar stops here, given the next bar
        (None after the last)."""
        return bool(self.form.ending) and (
            following is None
            or following.form.ending_starts
            or following.form.ending != self.form.ending
        )


Solos = Literal["open", "none"] | int
"""How long the solos last: ``"open"``, until the leader gives a cue; a number of
choruses in all; or ``"none"``."""


@frozen(order=False)
class SoloChorus:
    """The chorus of changes that a chart has for its solos beside the head, and how
    long they last; without bars it is made from the head."""

    bars: tuple[Bar, ...]
    times: Solos = "open"


@frozen(order=False, repr=False, kw_only=True)
class LeadSheet(Told, Drawn):
    """A tune, entered once at concert pitch; `swing` is None where the chart says
    nothing of it.

    >>> bar = Bar(number=1, key=Key.parse("F major"), meter=Meter(3, 4),
    ...           length=Fraction(3))
    >>> print(LeadSheet(title="Slack Water", bars=(bar,)))
    Slack Water (1 bar, F major, 3/4)
    """

    title: str
    bars: tuple[Bar, ...]
    composer: str = ""
    lyricist: str = ""
    arranger: str = ""
    subtitle: str = ""
    style: str = ""
    tempo: Tempo | None = None
    rights: str = ""
    swing: Swing | None = None
    solo_chorus: SoloChorus | None = None

    def __str__(self) -> str:
        count = sum(not bar.divided_at for bar in self.bars)
        bars = "no bars" if not count else "1 bar" if count == 1 else f"{count} bars"
        start = f", {self.key}, {self.meter}" if count else ""
        return f"{self.title or 'untitled'} ({bars}{start})"

    @property
    def key(self) -> Key:
        """The key at the start.

        Raises:
            EmptySheetError: if there is no bar.
        """
        return self._first.key

    @property
    def meter(self) -> Meter:
        """The metre at the start.

        Raises:
            EmptySheetError: if there is no bar.
        """
        return self._first.meter

    @property
    def _first(self) -> Bar:
        if not self.bars:
            raise EmptySheetError(self.title)
        return self.bars[0]

    @property
    def pickup(self) -> Bar | None:
        """The pickup bar, if there is one."""
        return self.bars[0] if self.bars and self.bars[0].is_pickup else None

    @property
    def divisions(self) -> int:
        """The fewest equal parts of a quarter note on which every onset and every
        duration falls (MusicXML 4.0, ``divisions``).

        Raises:
            RhythmError: if a time is not exact, such as a float.
        """
        events = [
            event
            for bar in self.bars
            for line in (bar.melody, bar.counterline, bar.hits, bar.bass_line)
            for event in line
        ]
        try:
            times = {event.onset.denominator for event in events}
            times |= {event.duration.denominator for event in events}
        except AttributeError:
            for event in events:
                check_exact(event.onset, event.duration)
            raise
        return lcm(
            *times,
            *{c.onset.denominator for bar in self.bars for c in bar.chords},
            *{d.onset.denominator for bar in self.bars for d in bar.directions},
            *{bar.length.denominator for bar in self.bars},
        )
