"""What differs from part to part: written keys, pitches, accidentals and stems."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Collection, Iterable, Sequence
from functools import lru_cache
from itertools import pairwise

from attrs import define, evolve

from ..interval import OCTAVE, UNISON, Interval
from ..key import Key
from ..leadsheet.model import Note
from ..pitch import Pitch
from ..rhythm.stems import (
    StemDirection,
    StemVoice,
    directions,
    doubled_centres,
    stem,
)
from ..spelling.accidentals import Accidental, AccidentalRules, signs_in_bars
from ..spelling.respelling import Respelling
from ..spelling.transposing import (
    SixSigns,
    WrittenMelody,
    transpose_melody,
    written_interval,
    written_keys,
)
from ._melody import Melody, positions_of
from ._rhythm import BarRhythm, LineRhythm
from ._shared import Shared

__all__ = (
    "AccidentalRow",
    "Centres",
    "Respelled",
    "StemRow",
    "WrittenLine",
    "accidental_rows",
    "centres_of",
    "in_bars",
    "lower_pitches",
    "melody_pitches",
    "moved_keys",
    "raised",
    "stem_directions",
    "written_centres",
)

AccidentalRow = tuple[Accidental | None, ...]
StemRow = tuple[StemDirection | None, ...]

Respelled = dict[int, Respelling[Pitch]]
"""What was respelled, by the index of its pitch in the tune."""


@define(eq=False)
class WrittenLine:
    """A line of a part while its notes are named: its `pitches`, the `different` ones
    among them (or more), and what has been `respelled`."""

    pitches: list[Pitch]
    different: list[Pitch]
    respelled: Respelled


@lru_cache(maxsize=1024)
def moved_keys(
    sources: tuple[Key, ...], by: Interval, six_signs: SixSigns
) -> tuple[tuple[Key, Interval], ...]:
    """The written keys of a tune, each with the interval that leads to it."""
    keys = written_keys(sources, by, six_signs=six_signs)
    return tuple(
        [
            (key, written_interval(by, source, key))
            for source, key in zip(sources, keys, strict=True)
        ]
    )


def melody_pitches(melody: Melody, moves: Sequence[Interval]) -> WrittenLine:
    """The melody in written pitches, moved bar by bar by the interval from the source
    to the part."""
    line = WrittenLine([], [], {})
    bar = 0
    while bar < len(moves):
        end = bar + 1
        while end < len(moves) and moves[end] is moves[bar]:
            end += 1
        start = melody.pitch_starts[bar]
        numbers = melody.numbers[start : melody.pitch_starts[end]]
        move = moves[bar]
        moved = (
            WrittenMelody(melody.different)
            if move == UNISON
            else transpose_melody(melody.different, move)
        )
        line.pitches.extend([moved.pitches[number] for number in numbers])
        line.different.extend(moved.pitches)
        changed = {each.index: each for each in moved.respelled}
        if changed:
            for index, number in enumerate(numbers, start):
                if number in changed:
                    line.respelled[index] = evolve(changed[number], index=index)
        bar = end
    return line


def lower_pitches(shared: Shared, moves: Sequence[Interval]) -> WrittenLine:
    """The counterline in written pitches, moved bar by bar."""
    line = WrittenLine([], [], {})
    for bar in shared.melody.doubled:
        pitches = shared.rhythms[bar].counterline.pitches
        moved = transpose_melody(pitches, moves[bar])
        for each in moved.respelled:
            index = len(line.pitches) + each.index
            line.respelled[index] = evolve(each, index=index)
        line.pitches.extend(moved.pitches)
        line.different.extend(moved.pitches)
    return line


def in_bars(shared: Shared, lower: Sequence[Pitch]) -> list[tuple[Pitch, ...]]:
    """The counterline's pitches, bar by bar."""
    bars: list[tuple[Pitch, ...]] = [()] * len(shared.rhythms)
    at = 0
    for bar in shared.melody.doubled:
        end = at + len(shared.rhythms[bar].counterline.pitches)
        bars[bar] = tuple(lower[at:end])
        at = end
    return bars


def raised(pitches: Sequence[Pitch], octaves: int) -> tuple[Pitch, ...]:
    """The pitches so many octaves higher (negative: lower)."""
    if not octaves or not pitches:
        return tuple(pitches)
    # pitches alike are mostly one
    new = {
        each: _raised(pitch, octaves)
        for each, pitch in {id(pitch): pitch for pitch in pitches}.items()
    }
    return tuple([new[id(pitch)] for pitch in pitches])


@lru_cache(maxsize=1024)
def _raised(pitch: Pitch, octaves: int) -> Pitch:
    return pitch + OCTAVE * octaves


Centres = Sequence[int | None]
"""Where the events of the melody lie (:func:`~.rhythm.stems.doubled_centres`)."""


def written_centres(
    melody: Melody, moves: Sequence[Interval], line: WrittenLine
) -> Centres:
    """Where the events of the melody lie as it is written, moved bar by bar."""
    if line.respelled or len(set(map(id, moves))) > 1:
        return centres_of(melody, line.pitches)
    up = 2 * moves[0].diatonic
    return [None if each is None else each + up for each in melody.centres]


def centres_of(melody: Melody, pitches: Sequence[Pitch]) -> Centres:
    """Where the events of the melody lie in these pitches."""
    places = [pitch.place for pitch in pitches]
    return doubled_centres(positions_of(melody.counts, places), melody.groups)


def stem_directions(
    shared: Shared, centres: Centres, middle: int, *, cues: bool = True
) -> list[tuple[StemRow, StemRow]]:
    """The stems of the melody and of the counterline, bar by bar.

    Under a cue (if the part has `cues`) the melody's stems go down; beside a
    counterline they go up.

    Args:
        shared: the tune.
        centres: where the events of the melody lie.
        middle: the staff place of the middle line.
        cues: whether the part has any.
    """
    melody = shared.melody
    together = directions(centres, middle)
    for place in melody.graces:
        together[place] = "up"
    found: list[tuple[StemRow, StemRow]] = []
    for rhythm, (start, end) in zip(
        shared.rhythms, pairwise(melody.event_starts), strict=True
    ):
        upper = tuple(together[start:end])
        if cues and rhythm.cue:
            upper = _turned_down(upper, rhythm)
        found.append((upper, ()))
    for bar in melody.doubled:
        rhythm = shared.rhythms[bar]
        found[bar] = (
            _shared_staff(rhythm.melody, "upper"),
            _shared_staff(rhythm.counterline, "lower"),
        )
    return found


def _shared_staff(line: LineRhythm, voice: StemVoice) -> StemRow:
    side = stem((), voice=voice)
    return tuple([side if count else None for count in line.counts])


def _turned_down(found: StemRow, rhythm: BarRhythm) -> StemRow:
    """The stems with those under the cue turned down, whole beams together."""
    start = rhythm.cue[0].onset
    under = {
        place
        for place, event in enumerate(rhythm.bar.melody)
        if event.onset < rhythm.cue_end and event.onset + event.duration > start
    }
    for group in rhythm.melody.groups:
        if not under.isdisjoint(group):
            under.update(group)
    return tuple(
        "down" if stem is not None and place in under else stem
        for place, stem in enumerate(found)
    )


def accidental_rows(
    shared: Shared,
    pitches: Sequence[Pitch],
    lower: Sequence[tuple[Pitch, ...]],
    keys: Sequence[Key],
    *,
    rules: AccidentalRules | None,
    respelled: Iterable[int] | None,
) -> list[tuple[AccidentalRow, AccidentalRow]]:
    """The accidentals of each bar: the melody's and the counterline's.

    Both stand on one staff, so they are read together from left to right.
    `respelled` are the indices of the melody's pitches that didn't just move with the
    key, None where all may have been.
    """
    starts = shared.melody.pitch_starts
    orders: dict[int, list[int]] = {}

    def notes_of(index: int) -> Sequence[tuple[Pitch, bool]]:
        rhythm = shared.rhythms[index]
        upper = pitches[starts[index] : starts[index + 1]]
        here = list(zip(upper, rhythm.melody.tied, strict=True))
        if lower[index]:
            here += zip(lower[index], rhythm.counterline.tied, strict=True)
            orders[index] = order = _reading_order(rhythm)
            here = [here[place] for place in order]
        return here

    altered: Collection[int] = range(len(lower))
    if respelled is not None:
        altered = {bisect_right(starts, index) - 1 for index in respelled}
        altered |= shared.melody.altered
        altered.update(shared.melody.doubled)
    shown = signs_in_bars(
        notes_of,
        keys,
        altered,
        rules=rules,
        before=shared.before,
        system_starts=shared.plan.system_starts,
    )
    found: list[tuple[AccidentalRow, AccidentalRow]] = [
        ((None,) * (end - start), ()) for start, end in pairwise(starts)
    ]
    for index, together in shown.items():
        upper_count = starts[index + 1] - starts[index]
        if index in orders:
            apart = dict(zip(orders[index], together, strict=True))
            together = tuple(apart[place] for place in range(len(together)))
        found[index] = together[:upper_count], together[upper_count:]
    return found


def _reading_order(rhythm: BarRhythm) -> list[int]:
    """The order in which the pitches of both lines are read."""
    onsets = [
        event.onset
        for line in (rhythm.bar.melody, rhythm.bar.counterline)
        for event in line
        if isinstance(event, Note)
        for _ in event.pitches
    ]
    return sorted(range(len(onsets)), key=onsets.__getitem__)
