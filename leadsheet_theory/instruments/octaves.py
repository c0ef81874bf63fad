"""The octave in which a melody is best written for a reader.

The cost of an octave is stated, never hidden.  First come the notes outside
the range: no octave is advised that leaves more of them than another would.
Then come the :attr:`~OctaveCost.points`, whose weights are this library's own.
That a part moves by an octave when notes need more than three ledger lines,
and that a treble melody goes down an octave for a trombone or another reader
of the bass clef where it lies too high, is common practice, without a
published source.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Final

from attrs import evolve, frozen

from .._doors import door
from ..errors import ChoiceError, EmptyMelodyError
from ..interval import OCTAVE, Interval
from ..pitch import Pitch
from ._notes import NO_NOTES, PlacedNote, Shape, shape_of
from .clefs import MAX_LEDGER_LINES, ledger_lines_at
from .ranges import Melody, Reader, placed_notes
from .transposing import PitchRange, transpose_element

__all__ = (
    "BREATH",
    "OctaveAdvice",
    "OctaveCost",
    "SectionAdvice",
    "best_octave",
    "best_octave_by_section",
    "best_octaves",
    "octave_costs",
    "phrases",
)

BREATH: Final = Fraction(1)
"""The silence, in quarter notes, that parts one phrase from the next."""


# What each fault of an octave costs, in points
_BEYOND_COMFORT: Final = 4  # if every note lay beyond the comfortable range


_EXCESS: Final = 4  # if every note lay an octave outside the range


_HARD_TO_READ: Final = 4  # if every note needed more than three ledger lines


_LEDGER_LINES: Final = 1  # for two ledger lines a note, on average


_DISTANCE: Final = 1  # for two octaves from the comfortable middle


_MOVED: Final = 1  # for every octave the part is moved from the plain page


_CHANGED: Final = 1  # for every octave between one section and the next


# ── The best octave ──────────────────────────────────────────────────────────────


@frozen(order=False, kw_only=True)
class OctaveCost:
    """What it costs to have a melody so many octaves from concert pitch.

    `notes` is how many notes there are; of those, `outside` lie outside the
    range, by `excess` semitones in all, `beyond_comfort` beyond the comfortable
    range (those outside are counted here too), and `hard_to_read` need more than
    three ledger lines.
    `ledger_lines` counts all lines; `distance` is from the median note to the
    middle of the comfortable range, in semitones; `moved` counts the octaves
    from the plain page, on which a tenor saxophone or a guitar sounds an octave
    below concert pitch.
    """

    octaves: int
    notes: int
    outside: int
    excess: int
    beyond_comfort: int
    hard_to_read: int
    ledger_lines: int
    distance: int
    moved: int

    @property
    def points(self) -> Fraction:
        """The cost beside the notes outside, 0 for the best part there can be.

        4 points for all notes beyond comfort, 4 for all notes hard to read, 4 for
        all notes an octave outside the range (fewer in proportion), ½ for each
        ledger line a note has on average, ½ for each octave from the comfortable
        middle, 1 for each octave moved.
        """
        return Fraction(self.weight, 24 * self.notes)

    @property
    def weight(self) -> int:
        """The points of all notes together, in 24ths, which are whole."""
        return (
            24 * _BEYOND_COMFORT * self.beyond_comfort
            + 2 * _EXCESS * self.excess
            + 24 * _HARD_TO_READ * self.hard_to_read
            + 12 * _LEDGER_LINES * self.ledger_lines
            + (_DISTANCE * self.distance + 24 * _MOVED * self.moved) * self.notes
        )

    @property
    def rank(self) -> tuple[int, int, int, int]:
        """What octaves of a melody are compared by: the notes outside, the weight, then
        how far it moves, and of two ways as far the one down."""
        return self.outside, self.weight, self.moved, self.octaves


@frozen(order=False, kw_only=True)
class OctaveAdvice:
    """The octave a reader is best given a melody in, and why.

    `octaves` counts from the plain transposition: -1 is an octave lower than
    the concert melody sounds.  `interval` leads from the concert melody to the
    written part.  `low` and `high` are the part's written extremes.  `costs` holds
    the cost of every octave that was weighed, from the lowest.
    """

    octaves: int
    interval: Interval
    low: Pitch
    high: Pitch
    reader: str
    written_range: PitchRange
    comfortable_range: PitchRange
    costs: tuple[OctaveCost, ...]

    def cost_of(self, octaves: int, /) -> OctaveCost:
        """The cost of another octave.

        Raises:
            KeyError: if it was not weighed, for it would leave MIDI's keys.
        """
        for cost in self.costs:
            if cost.octaves == octaves:
                return cost
        raise KeyError(octaves)

    def moved_to(self, octaves: int, /) -> OctaveAdvice:
        """The same melody in another octave, asked for by name.

        Raises:
            ChoiceError: if it would leave MIDI's keys.
        """
        weighed = tuple(str(cost.octaves) for cost in self.costs)
        if str(octaves) not in weighed:
            raise ChoiceError(f"octaves of {self.reader}", str(octaves), weighed)
        by = OCTAVE * (octaves - self.octaves)
        return evolve(
            self,
            octaves=octaves,
            interval=self.interval + by,
            low=self.low + by,
            high=self.high + by,
        )

    @property
    def cost(self) -> OctaveCost:
        """The cost of the advised octave."""
        return self.cost_of(self.octaves)

    @property
    def reason(self) -> str:
        """Why, in a sentence that can be printed."""
        here = (
            f"{self.reader}: {self.place}, written {self.low.glyphs}–"
            f"{self.high.glyphs}: {self._faults(self.cost) or 'all comfortable'}"
        )
        if not self.cost.moved:
            return here
        plain = next(cost for cost in self.costs if not cost.moved)
        there = self._faults(plain) or "far from the comfortable middle"
        return f"{here}; unmoved, {there}"

    @property
    def place(self) -> str:
        """Where the part sounds: ``at concert pitch``, ``an octave down`` …"""
        if not self.octaves:
            return "at concert pitch"
        count = abs(self.octaves)
        moved = "an octave" if count == 1 else f"{count} octaves"
        return f"{moved} {'down' if self.octaves < 0 else 'up'}"

    def _faults(self, cost: OctaveCost) -> str:
        says = []
        if cost.outside:
            says.append(
                f"{cost.outside} of {cost.notes} notes outside "
                f"{self.written_range.glyphs}"
            )
        if cost.beyond_comfort > cost.outside:
            says.append(
                f"{cost.beyond_comfort} of {cost.notes} beyond the comfortable "
                f"{self.comfortable_range.glyphs}"
            )
        if cost.hard_to_read:
            says.append(f"{cost.hard_to_read} on more than three ledger lines")
        return ", ".join(says)


@door
def octave_costs(melody: Melody, reader: Reader, /) -> tuple[OctaveCost, ...]:
    """The cost of every octave that keeps a melody within MIDI's keys, from the lowest.

    Raises:
        EmptyMelodyError: if there is no note.
        PitchRangeError: if a pitch is no MIDI key.

    >>> from leadsheet_theory.instruments import find_book
    >>> tune = [Pitch.parse(name) for name in ("C4", "E4", "G4", "D5")]
    >>> costs = octave_costs(tune, find_book("bass clef"))
    >>> [(cost.octaves, cost.points) for cost in costs if not cost.outside]
    [(-1, Fraction(7, 6)), (0, Fraction(29, 6))]
    """
    return _costs(shape_of(placed_notes(melody)), reader)


def _costs(shape: Shape, reader: Reader) -> tuple[OctaveCost, ...]:
    plain = reader.transposition
    bottom = reader.clef.bottom_place
    weighed = [
        (pitch.midi - plain.chromatic, pitch.place - plain.diatonic - bottom, count)
        for pitch, count in zip(shape.pitches, shape.counts, strict=True)
    ]
    hard, easy = reader.written_range, reader.comfortable_range
    low, high = hard.low.midi, hard.high.midi
    easy_low, easy_high, middle = easy.low.midi, easy.high.midi, easy.middle
    median = shape.median.midi - plain.chromatic
    plain_page = transpose_element(plain).octave_change
    notes = sum(shape.counts)
    lowest, highest = shape.pitches[0].midi, shape.pitches[-1].midi
    costs = []
    for octaves in range(-(lowest // 12), (127 - highest) // 12 + 1):
        outside = excess = beyond = unread = lines = 0
        up, steps = 12 * octaves, 7 * octaves
        for midi, place, count in weighed:
            key, position = midi + up, place + steps
            if key < easy_low:
                beyond += count
                if key < low:
                    outside += count
                    excess += count * (low - key)
            elif key > easy_high:
                beyond += count
                if key > high:
                    outside += count
                    excess += count * (key - high)
            if position < 0 or position > 8:
                needed = ledger_lines_at(position)
                lines += count * needed
                if needed > MAX_LEDGER_LINES:
                    unread += count
        costs.append(
            OctaveCost(
                octaves=octaves,
                notes=notes,
                outside=outside,
                excess=excess,
                beyond_comfort=beyond,
                hard_to_read=unread,
                ledger_lines=lines,
                distance=abs(median + up - middle),
                moved=abs(octaves - plain_page),
            )
        )
    return tuple(costs)


@door
def best_octave(melody: Melody, reader: Reader, /) -> OctaveAdvice:
    """The octave a reader is best given a whole melody in.

    No octave is advised that leaves more notes outside the range than another;
    among equals the one with the fewest points.

    Raises:
        EmptyMelodyError: if there is no note.
        PitchRangeError: if a pitch is no MIDI key.

    >>> from leadsheet_theory.instruments import find_instrument
    >>> tune = [Pitch.parse(name) for name in ("C4", "E4", "G4", "D5")]
    >>> advice = best_octave(tune, find_instrument("trombone"))
    >>> advice.octaves, str(advice.interval)
    (-1, '-P8')
    >>> print(advice.reason)
    Trombone: an octave down, written C3–D4: all comfortable;
    unmoved, 2 of 4 beyond the comfortable F2–F4, 1 on more than three ledger lines
    """
    return best_octaves(melody, (reader,))[0]


@door
def best_octaves(
    melody: Melody, readers: Iterable[Reader], /
) -> tuple[OctaveAdvice, ...]:
    """As :func:`best_octave`, for several readers of one melody, in their order."""
    return advised(shape_of(placed_notes(melody)), readers)


def advised(shape: Shape, readers: Iterable[Reader]) -> tuple[OctaveAdvice, ...]:
    """The advice for a melody of this shape, for each reader."""
    return tuple([_best(shape, reader) for reader in readers])


def _best(shape: Shape, reader: Reader) -> OctaveAdvice:
    costs = _costs(shape, reader)
    fewest = min(cost.outside for cost in costs)
    best = min(
        (cost for cost in costs if cost.outside == fewest), key=lambda cost: cost.rank
    )
    return _advice(best.octaves, costs, shape, reader)


def _advice(
    octaves: int,
    costs: tuple[OctaveCost, ...],
    shape: Shape,
    reader: Reader,
) -> OctaveAdvice:
    interval = OCTAVE * octaves - reader.transposition
    return OctaveAdvice(
        octaves=octaves,
        interval=interval,
        low=shape.pitches[0] + interval,
        high=shape.pitches[-1] + interval,
        reader=reader.name,
        written_range=reader.written_range,
        comfortable_range=reader.comfortable_range,
        costs=costs,
    )


# ── Section by section ───────────────────────────────────────────────────────────


@door
def phrases(
    melody: Sequence[PlacedNote], /, *, breath: Fraction = BREATH
) -> tuple[range, ...]:
    """The phrases of a melody, as ranges of note indices.

    A phrase ends where a silence of at least `breath` quarter notes follows.

    >>> q = Fraction(1)
    >>> tune = [PlacedNote(Pitch.parse("C4"), q * at) for at in (0, 1, 2, 4, 5)]
    >>> phrases(tune)
    (range(0, 3), range(3, 5))
    """
    breaks = [
        index
        for index, (note, after) in enumerate(pairwise(melody), 1)
        if after.start - note.start - note.duration >= breath
    ]
    edges = [0, *breaks, len(melody)]
    return tuple(range(a, b) for a, b in pairwise(edges) if a < b)


@frozen(order=False)
class SectionAdvice:
    """The octave for the notes `first` to `last` (indices from 0, both included):
    the phrases of the section that starts at `start`."""

    start: Fraction
    first: int
    last: int
    advice: OctaveAdvice


@door
def best_octave_by_section(
    melody: Sequence[PlacedNote],
    reader: Reader,
    /,
    *,
    sections: Sequence[Fraction],
    breath: Fraction = BREATH,
) -> tuple[SectionAdvice, ...]:
    """The best octave for each section of a tune.

    A phrase is never split: one that reaches over the start of a section, such
    as a pickup, goes with the section that holds most of its time.  A change of
    octave between two sections costs a point for each octave.  As with
    :func:`best_octave`, no note is left outside the range to save points.

    Args:
        melody: the notes in order, with their `start`.
        reader: the instrument or book.
        sections: where sections start, in quarter notes from the beginning of
            the tune, rising.  What comes before the first belongs to the first.
        breath: the silence that parts phrases, in quarter notes.

    Raises:
        EmptyMelodyError: if there is no note.
        PitchRangeError: if a pitch is no MIDI key.
    """
    notes = placed_notes(melody)
    if not notes:
        raise EmptyMelodyError(NO_NOTES)
    parts: list[tuple[Fraction, list[int]]] = []
    for phrase in phrases(notes, breath=breath):
        start = _section_of([notes[index] for index in phrase], sections)
        if not parts or parts[-1][0] != start:
            parts.append((start, []))
        parts[-1][1].extend(phrase)
    shapes = [shape_of([notes[index] for index in part]) for _, part in parts]
    tables = [_costs(shape, reader) for shape in shapes]
    return tuple(
        SectionAdvice(start, part[0], part[-1], _advice(octaves, costs, shape, reader))
        for (start, part), shape, costs, octaves in zip(
            parts, shapes, tables, _cheapest_path(tables), strict=True
        )
    )


def _section_of(phrase: Sequence[PlacedNote], sections: Sequence[Fraction]) -> Fraction:
    """The start of the section that holds most of a phrase (the later of equals)."""
    edges = [*sections] or [phrase[0].start]
    held: dict[Fraction, Fraction] = {}
    for note in phrase:
        end = note.start + note.duration
        for place, start in enumerate(edges):
            begins = min(note.start, start) if place == 0 else start
            stops = edges[place + 1] if place + 1 < len(edges) else max(end, start)
            inside = min(end, stops) - max(note.start, begins)
            if inside > 0 or begins <= note.start < stops:
                held[start] = held.get(start, Fraction(0)) + max(inside, Fraction(0))
    return max(held, key=lambda start: (held[start], start))


def _cheapest_path(tables: Sequence[tuple[OctaveCost, ...]]) -> list[int]:
    """One octave for each section, with the smallest sum of costs and changes.

    Sections weigh as many notes as they hold.  Costs are pairs of notes
    outside and points, so that the first always decides.
    """
    whole = sum(table[0].notes for table in tables)
    paths: dict[int, tuple[int, Fraction, list[int]]] = {0: (0, Fraction(0), [])}
    for number, table in enumerate(tables):
        longer: dict[int, tuple[int, Fraction, list[int]]] = {}
        for cost in table:
            own = cost.points * Fraction(cost.notes, whole)
            longer[cost.octaves] = min(
                (
                    outside + cost.outside,
                    points
                    + own
                    + (_CHANGED * abs(cost.octaves - before) if number else 0),
                    [*path, cost.octaves],
                )
                for before, (outside, points, path) in paths.items()
            )
        paths = longer
    return min(paths.values())[2]
