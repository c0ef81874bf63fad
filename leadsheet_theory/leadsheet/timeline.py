"""The melody of a lead sheet as one line, for what looks at its range.

Times run through the bars as they are written, not as they are played.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import accumulate

from ..instruments._notes import PlacedNote
from ..pitch import Pitch
from .form import sections
from .model import Bar, LeadSheet, Note

__all__ = ("placed_melody", "section_starts")


def placed_melody(sheet: LeadSheet, /) -> tuple[PlacedNote, ...]:
    """The melody's notes with their bar and beat, tied ones as one note.

    Of notes that sound together each is listed, the melody's own first.

    >>> from leadsheet_theory.key import Key
    >>> from leadsheet_theory.leadsheet.model import Bar
    >>> from leadsheet_theory.rhythm import Meter
    >>> from leadsheet_theory.pitch import Pitch
    >>> C, four, half = Key.parse("C"), Meter(4, 4), Fraction(2)
    >>> D5 = (Pitch.parse("D5"),)
    >>> first = Bar(1, C, four, Fraction(4),
    ...             (Note(half, half, D5, tied_to_next=True),))
    >>> second = Bar(2, C, four, Fraction(4),
    ...              (Note(Fraction(0), half, D5, tied_from_previous=True),))
    >>> note, = placed_melody(LeadSheet("A tie", (first, second)))
    >>> note.bar, note.beat, note.duration
    (1, Fraction(3, 1), Fraction(4, 1))
    """
    starts = _bar_starts(sheet)
    placed: list[PlacedNote] = []
    for at, note, pitch, duration in held_notes(sheet.bars):
        bar = sheet.bars[at]
        origin = bar.meter.pickup_start(bar.length) if bar.is_pickup else Fraction(0)
        beat = bar.meter.beat_at(note.onset, start=origin)
        start = starts[at] + note.onset
        placed.append(PlacedNote(pitch, start, duration, bar.number, beat))
    return tuple(placed)


def held_notes(bars: Sequence[Bar], /) -> list[tuple[int, Note, Pitch, Fraction]]:
    """The notes that start in the melody: the bar's index, the note, one of its
    pitches, and how long that sounds with the notes tied to it."""
    found: list[tuple[int, Note, Pitch, Fraction]] = []
    held: dict[int, int] = {}  # MIDI key: index of the note that is held into this one
    for at, bar in enumerate(bars):
        for note in bar.melody:
            if not isinstance(note, Note):
                held = {}
                continue
            holding: dict[int, int] = {}
            for pitch in note.pitches:
                index = held.get(pitch.midi) if note.tied_from_previous else None
                if index is None:
                    index = len(found)
                    found.append((at, note, pitch, note.duration))
                else:
                    first, its_note, its_pitch, so_far = found[index]
                    found[index] = first, its_note, its_pitch, so_far + note.duration
                if note.tied_to_next:
                    holding[pitch.midi] = index
            if not note.grace:
                held = holding
    return found


def section_starts(sheet: LeadSheet, /) -> tuple[Fraction, ...]:
    """Where the tune's sections start, in quarter notes from its beginning.

    They are those of :func:`~.form.sections`; a tune without letters is one.
    """
    starts = _bar_starts(sheet)
    return tuple(starts[section.start] for section in sections(sheet.bars))


def _bar_starts(sheet: LeadSheet) -> list[Fraction]:
    lengths = [bar.length for bar in sheet.bars]
    return list(accumulate(lengths, initial=Fraction(0)))[: len(lengths)]
