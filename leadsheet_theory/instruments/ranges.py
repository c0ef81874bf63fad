"""A melody against an instrument: what lies out of range, and where it lies.

A melody is a series of :class:`PlacedNote`, or of bare pitches where places and
durations don't matter; pitches are sounding pitches unless said otherwise.  A
reader is an :class:`~.instrument.Instrument` or a :class:`~.books.Book`.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Literal, TypeAlias

from attrs import frozen

from .._doors import door
from ..interval import OCTAVE, Interval
from ..pitch import Pitch
from ._notes import PlacedNote, shape_of
from .books import Book
from .instrument import Instrument
from .transposing import check_sounds

__all__ = (
    "Melody",
    "OutOfRange",
    "PlacedNote",
    "Reader",
    "Tessitura",
    "check_range",
    "placed_notes",
    "tessitura",
)

Melody: TypeAlias = Iterable[PlacedNote | Pitch]
"""What a melody may be given as."""


Reader: TypeAlias = Instrument | Book
"""Who reads a part: an instrument, or a book."""


@door
def placed_notes(melody: Melody, /) -> tuple[PlacedNote, ...]:
    """A melody's notes with their places; bare pitches are quarter notes in a row."""
    return tuple(
        note if isinstance(note, PlacedNote) else PlacedNote(note, Fraction(place))
        for place, note in enumerate(melody)
    )


# ── What lies out of range ───────────────────────────────────────────────────────


@frozen(order=False, kw_only=True)
class OutOfRange:
    """A note beyond an instrument's range, or only beyond its comfortable range.

    `index` counts the melody's notes from 0; `written` is the note as this
    reader would have it; `limit` the end of the range it passes; `by` how far,
    in semitones.
    """

    index: int
    written: Pitch
    limit: Pitch
    side: Literal["below", "above"]
    comfortable_only: bool
    reader: str
    bar: int | None = None
    beat: Fraction | None = None

    @property
    def by(self) -> int:
        """How far beyond the limit the note lies, in semitones."""
        return abs(self.written.midi - self.limit.midi)

    @property
    def message(self) -> str:
        """What is wrong, without the place."""
        which = "comfortable range" if self.comfortable_only else "range"
        return (
            f"{self.written.glyphs} is {self.side} the {which} of {self.reader} "
            f"(written, {'from' if self.side == 'below' else 'to'} {self.limit.glyphs})"
        )


def _called(reader: Reader) -> str:
    return f"the {reader.name} book" if isinstance(reader, Book) else reader.name


@door
def check_range(
    melody: Melody, reader: Reader, /, *, octaves: int = 0, written: bool = False
) -> tuple[OutOfRange, ...]:
    """Every note of a melody that lies beyond a reader's ranges, in order.

    Args:
        melody: the notes; one without notes has none out of range.
        reader: the instrument or book.
        octaves: how many octaves the part is moved from the concert melody.
        written: whether the pitches are already this reader's written pitches.

    Raises:
        PitchRangeError: if a sounding pitch is no MIDI key.

    >>> from leadsheet_theory.instruments import find_instrument
    >>> trumpet = find_instrument("trumpet")
    >>> tune = [PlacedNote(Pitch.parse("D3"), bar=3, beat=Fraction(2))]
    >>> check_range(tune, trumpet)[0].message
    'E3 is below the range of Trumpet in B♭ (written, from F♯3)'
    """
    move = OCTAVE * octaves if written else OCTAVE * octaves - reader.transposition
    easy = reader.comfortable_range
    # sounding ends of what is comfortable: nothing else is worked out within them
    low = easy.low.midi - move.chromatic
    high = easy.high.midi - move.chromatic
    found = []
    for index, each in enumerate(melody):
        pitch = each.pitch if isinstance(each, PlacedNote) else each
        if not low <= pitch.midi <= high:
            placed = each if isinstance(each, PlacedNote) else PlacedNote(each)
            found.append(_out_of_range(index, placed, placed.pitch + move, reader))
    return tuple(found)


def _out_of_range(
    index: int, placed: PlacedNote, written: Pitch, reader: Reader
) -> OutOfRange:
    check_sounds(written + reader.transposition)
    hard, easy = reader.written_range, reader.comfortable_range
    span = easy if written in hard else hard
    below = written.midi < span.low.midi
    return OutOfRange(
        index=index,
        written=written,
        limit=span.low if below else span.high,
        side="below" if below else "above",
        comfortable_only=written in hard,
        reader=_called(reader),
        bar=placed.bar,
        beat=placed.beat,
    )


# ── Tessitura ────────────────────────────────────────────────────────────────────


@frozen(order=False)
class Tessitura:
    """Where a melody lies: its lowest and highest note, and its median.

    Half of the sounding time lies at or below `median`.
    """

    low: Pitch
    high: Pitch
    median: Pitch

    @property
    def span(self) -> Interval:
        """From the lowest to the highest note."""
        return Interval.between(self.low, self.high)

    def __str__(self) -> str:
        return f"{self.low.glyphs}–{self.high.glyphs}, median {self.median.glyphs}"


@door
def tessitura(melody: Melody, /) -> Tessitura:
    """Where a melody lies, its notes weighted by duration.

    Raises:
        EmptyMelodyError: if there is no note.
        PitchRangeError: if a pitch is no MIDI key.

    >>> print(tessitura(map(Pitch.parse, ("C4", "E4", "E4", "G4", "A5"))))
    C4–A5, median E4
    """
    shape = shape_of(placed_notes(melody))
    return Tessitura(shape.pitches[0], shape.pitches[-1], shape.median)
