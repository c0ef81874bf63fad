"""The notes of a melody with their places, and the shape of their pitches."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from fractions import Fraction
from itertools import accumulate
from math import lcm
from typing import Final, Protocol

from attrs import frozen

from ..errors import EmptyMelodyError, RhythmError
from ..pitch import Pitch
from .transposing import check_sounds

__all__ = ("NO_NOTES", "PlacedNote", "Shape", "Sounding", "shape_of")

NO_NOTES: Final = "a melody without notes has no range"


@frozen(order=False)
class PlacedNote:
    """A note of a melody with its place.

    `start` and `duration` are in quarter notes, `start` from the beginning of
    the tune; `bar` and `beat` are what a finding names (the pickup is bar 0,
    beats count from 1).
    """

    pitch: Pitch
    start: Fraction = Fraction(0)
    duration: Fraction = Fraction(1)
    bar: int | None = None
    beat: Fraction | None = None

    def __attrs_post_init__(self) -> None:
        if self.duration.numerator < 0:
            raise RhythmError(
                "a note that ends before it starts: expected a duration from 0",
                self.start,
                self.duration,
            )


@frozen(order=False)
class Shape:
    """The pitches of a melody from the lowest, how many notes have each, and the
    median of the sounding time."""

    pitches: tuple[Pitch, ...]
    counts: tuple[int, ...]
    median: Pitch


class Sounding(Protocol):
    """A note as far as it has a pitch and a duration in quarter notes."""

    @property
    def pitch(self) -> Pitch:
        """The sounding pitch."""

    @property
    def duration(self) -> Fraction:
        """How long it sounds."""


def shape_of(notes: Sequence[Sounding]) -> Shape:
    if not notes:
        raise EmptyMelodyError(NO_NOTES)
    lengths = [note.duration.as_integer_ratio() for note in notes]
    scale = lcm(*{denominator for _, denominator in lengths})
    counts: dict[int, int] = {}  # pitches alike are mostly one
    ticks: dict[int, int] = {}
    for note, (numerator, denominator) in zip(notes, lengths, strict=True):
        each = id(note.pitch)
        counts[each] = counts.get(each, 0) + 1
        ticks[each] = ticks.get(each, 0) + numerator * (scale // denominator)
    tally: dict[tuple[int, int], tuple[Pitch, int, int]] = {}
    for each, pitch in {id(note.pitch): note.pitch for note in notes}.items():
        key = pitch.midi, pitch.place
        _, count, weight = tally.get(key, (pitch, 0, 0))
        tally[key] = pitch, count + counts[each], weight + ticks[each]
    rows = [tally[key] for key in sorted(tally)]
    pitches = tuple([pitch for pitch, _, _ in rows])
    check_sounds(pitches[0])
    check_sounds(pitches[-1])
    heard = tuple([count for _, count, _ in rows])
    weights = [weight for _, _, weight in rows]
    return Shape(pitches, heard, _median(pitches, weights if any(weights) else heard))


def _median(pitches: Sequence[Pitch], weights: Sequence[int]) -> Pitch:
    """The pitch at or below which half of the weight lies."""
    passed = accumulate(weights)
    return pitches[bisect_left(list(passed), Fraction(sum(weights), 2))]
