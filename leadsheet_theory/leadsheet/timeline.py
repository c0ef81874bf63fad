"""The melody of a lead sheet as one line in time, tied notes joined.

Times run through the bars as they are written, not as they are played.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import accumulate
from math import lcm
from typing import Literal

from attrs import frozen

from .._doors import door
from ..instruments._notes import PlacedNote
from ..pitch import Pitch
from .form import sections
from .model import Bar, LeadSheet, Note

__all__ = (
    "HeldNote",
    "Line",
    "bar_starts",
    "held_notes",
    "placed_melody",
    "section_starts",
)


Line = Literal["melody", "counterline"]
"""The lines of notes that a bar has."""


@frozen(order=False)
class HeldNote:
    """A pitch of a line from its attack to its end, tied notes joined.

    `bar` is the index of the bar that it starts in, `note` the note as it is written
    there; `bar_start`, from the beginning of the tune to that bar, and `duration` are
    in quarter notes.  `indices` count the line's pitches in reading order: those that
    are written for this one.
    """

    bar: int
    note: Note
    pitch: Pitch
    bar_start: Fraction
    duration: Fraction
    indices: tuple[int, ...]

    @property
    def start(self) -> Fraction:
        """Where it starts, in quarter notes from the beginning of the tune."""
        return self.bar_start + self.note.onset

    @property
    def end(self) -> Fraction:
        """Where it ends, in quarter notes from the beginning of the tune."""
        return self.start + self.duration


def held_notes(
    bars: Sequence[Bar], /, *, line: Line = "melody"
) -> tuple[HeldNote, ...]:
    """The pitches of a line in reading order, each with all that is tied to it.

    A tie joins two notes of one sound that follow one another at once, the first
    tied on and the second tied to what was before: half a tie joins nothing, and
    none reaches over a rest.

    >>> from leadsheet_theory.key import Key
    >>> from leadsheet_theory.rhythm import Meter
    >>> one, D5 = Fraction(1), (Pitch.parse("D5"),)
    >>> bar = Bar(number=1, key=Key.parse("C"), meter=Meter(2, 4), length=Fraction(2),
    ...           melody=(Note(onset=Fraction(0), duration=one, pitches=D5,
    ...                        tied_to_next=True),
    ...                   Note(onset=one, duration=one, pitches=D5,
    ...                        tied_from_previous=True)))
    >>> [(str(held.pitch), held.duration) for held in held_notes([bar])]
    [('D5', Fraction(2, 1))]
    """
    found: list[HeldNote] = []
    going_on: dict[int, int] = {}  # MIDI key: index of the note held into the next
    count = 0
    for at, (bar, start) in enumerate(zip(bars, bar_starts(bars), strict=True)):
        for note in bar.melody if line == "melody" else bar.counterline:
            if not isinstance(note, Note):
                going_on = {}
                continue
            if not (note.tied_from_previous or note.tied_to_next):
                for pitch in note.pitches:
                    found.append(
                        HeldNote(at, note, pitch, start, note.duration, (count,))
                    )
                    count += 1
                if going_on and not note.grace:
                    going_on = {}
                continue
            holding: dict[int, int] = {}
            for pitch in note.pitches:
                index = going_on.get(pitch.midi) if note.tied_from_previous else None
                if index is not None and found[index].end == start + note.onset:
                    before = found[index]
                    found[index] = HeldNote(
                        before.bar,
                        before.note,
                        before.pitch,
                        before.bar_start,
                        before.duration + note.duration,
                        (*before.indices, count),
                    )
                else:
                    index = len(found)
                    found.append(
                        HeldNote(at, note, pitch, start, note.duration, (count,))
                    )
                count += 1
                if note.tied_to_next:
                    holding[pitch.midi] = index
            if not note.grace:
                going_on = holding
    return tuple(found)


@door
def placed_melody(sheet: LeadSheet, /) -> tuple[PlacedNote, ...]:
    """The melody's notes with their bar and beat, tied ones as one note.

    Of notes that sound together each is listed, the melody's own first.

    >>> from leadsheet_theory.key import Key
    >>> from leadsheet_theory.leadsheet.model import Bar
    >>> from leadsheet_theory.rhythm import Meter
    >>> from leadsheet_theory.pitch import Pitch
    >>> C, four, half = Key.parse("C"), Meter(4, 4), Fraction(2)
    >>> D5 = (Pitch.parse("D5"),)
    >>> first = Bar(number=1, key=C, meter=four, length=Fraction(4),
    ...             melody=(Note(onset=half, duration=half, pitches=D5,
    ...                          tied_to_next=True),))
    >>> second = Bar(number=2, key=C, meter=four, length=Fraction(4),
    ...              melody=(Note(onset=Fraction(0), duration=half, pitches=D5,
    ...                           tied_from_previous=True),))
    >>> note, = placed_melody(LeadSheet(title="A tie", bars=(first, second)))
    >>> note.bar, note.beat, note.duration
    (1, Fraction(3, 1), Fraction(4, 1))
    """
    return placed_notes(sheet.bars, held_notes(sheet.bars))


def placed_notes(
    bars: Sequence[Bar], held: Sequence[HeldNote]
) -> tuple[PlacedNote, ...]:
    """The held notes of a melody with the number of their bar and their beat."""
    return tuple(
        [
            PlacedNote(
                each.pitch,
                each.start,
                each.duration,
                bars[each.bar].number,
                bars[each.bar].beat_of(each.note.onset),
            )
            for each in held
        ]
    )


@door
def section_starts(sheet: LeadSheet, /) -> tuple[Fraction, ...]:
    """Where the tune's sections start, in quarter notes from its beginning.

    They are those of :func:`~.form.sections`; a tune without letters is one.
    """
    starts = bar_starts(sheet.bars)
    return tuple(starts[section.start] for section in sections(sheet.bars))


def bar_starts(bars: Sequence[Bar], /) -> list[Fraction]:
    """Where each bar starts, in quarter notes from the first.

    >>> from leadsheet_theory.key import Key
    >>> from leadsheet_theory.rhythm import Meter
    >>> bar = Bar(number=1, key=Key.parse("C"), meter=Meter(3, 4), length=Fraction(3))
    >>> bar_starts([bar, bar])
    [Fraction(0, 1), Fraction(3, 1)]
    """
    # added up as whole numbers of their finest part: fractions are slow to add
    lengths = [bar.length.as_integer_ratio() for bar in bars]
    finest = lcm(*[denominator for _, denominator in lengths])
    ends = accumulate([finest // parts * length for length, parts in lengths])
    return [Fraction(start, finest) for start in (0, *ends)][: len(lengths)]
