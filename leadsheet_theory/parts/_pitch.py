"""What differs from part to part: written pitches, accidentals and stems."""

from __future__ import annotations

from collections.abc import Sequence

from attrs import evolve

from ..interval import OCTAVE, Interval
from ..key import Key
from ..leadsheet.model import Note
from ..pitch import Pitch
from ..rhythm.stems import StemDirection, StemVoice, stems
from ..spelling.accidentals import Accidental, AccidentalRules, shown_accidentals
from ..spelling.respelling import Respelling
from ..spelling.transposing import transpose_melody
from ._rhythm import BarRhythm, LineRhythm
from ._shared import Melody, Shared

__all__ = (
    "AccidentalRow",
    "Respelled",
    "StemRow",
    "in_bars",
    "lower_pitches",
    "melody_pitches",
    "raised",
    "stem_directions",
)

AccidentalRow = tuple[Accidental | None, ...]
StemRow = tuple[StemDirection | None, ...]

Respelled = dict[int, Respelling[Pitch]]
"""What was respelled, by the index of its pitch in the tune."""


def melody_pitches(
    melody: Melody, moves: Sequence[Interval]
) -> tuple[list[Pitch], Respelled]:
    """The melody in written pitches, moved bar by bar by the interval from the source
    to the part."""
    pitches: list[Pitch] = []
    respelled: Respelled = {}
    bar = 0
    while bar < len(moves):
        end = bar + 1
        while end < len(moves) and moves[end] is moves[bar]:
            end += 1
        start = melody.pitch_starts[bar]
        moved = transpose_melody(
            melody.pitches[start : melody.pitch_starts[end]], moves[bar]
        )
        pitches += moved.pitches
        for each in moved.respelled:
            index = start + each.index
            respelled[index] = evolve(each, index=index)
        bar = end
    return pitches, respelled


def lower_pitches(
    shared: Shared, moves: Sequence[Interval]
) -> tuple[list[Pitch], Respelled]:
    """The counterline in written pitches, moved bar by bar, and what was respelled."""
    pitches: list[Pitch] = []
    respelled: Respelled = {}
    for rhythm, move in zip(shared.rhythms, moves, strict=False):
        if not rhythm.counterline.pitches:
            continue
        moved = transpose_melody(rhythm.counterline.pitches, move)
        for each in moved.respelled:
            index = len(pitches) + each.index
            respelled[index] = evolve(each, index=index)
        pitches += moved.pitches
    return pitches, respelled


def in_bars(shared: Shared, lower: Sequence[Pitch]) -> list[tuple[Pitch, ...]]:
    """The counterline's pitches, bar by bar."""
    at = 0
    bars: list[tuple[Pitch, ...]] = []
    for rhythm in shared.rhythms:
        end = at + len(rhythm.counterline.pitches)
        bars.append(tuple(lower[at:end]))
        at = end
    return bars


def raised(pitches: Sequence[Pitch], octaves: int) -> tuple[Pitch, ...]:
    """The pitches so many octaves higher (negative: lower)."""
    if not octaves or not pitches:
        return tuple(pitches)
    new = {pitch: pitch + OCTAVE * octaves for pitch in set(pitches)}
    return tuple([new[pitch] for pitch in pitches])


def stem_directions(
    shared: Shared,
    pitches: Sequence[Pitch],
    lower: Sequence[tuple[Pitch, ...]],
    middle: int,
    *,
    cues: bool = True,
) -> list[tuple[StemRow, StemRow]]:
    """The stems of the melody and of the counterline, bar by bar.

    Under a cue (if the part has `cues`) the melody's stems go down; beside a
    counterline they go up.
    `middle` is the staff place of the middle line.
    """
    melody = shared.melody
    together = stems(
        _positions(melody.counts, pitches),
        melody.groups,
        middle=middle,
        graces=melody.graces,
    )
    found: list[tuple[StemRow, StemRow]] = []
    for index, rhythm in enumerate(shared.rhythms):
        if lower[index]:
            start, end = melody.pitch_starts[index : index + 2]
            upper = _shared_staff(rhythm.melody, pitches[start:end], middle, "upper")
            below = _shared_staff(rhythm.counterline, lower[index], middle, "lower")
            found.append((upper, below))
            continue
        upper = together[melody.event_starts[index] : melody.event_starts[index + 1]]
        found.append(
            (_turned_down(upper, rhythm) if cues and rhythm.cue else upper, ())
        )
    return found


def _shared_staff(
    line: LineRhythm, pitches: Sequence[Pitch], middle: int, voice: StemVoice
) -> StemRow:
    return stems(
        _positions(line.counts, pitches),
        line.groups,
        middle=middle,
        voice=voice,
        graces=line.graces,
    )


def _positions(counts: Sequence[int], pitches: Sequence[Pitch]) -> list[Sequence[int]]:
    """The staff places of each event's pitches, none for a rest."""
    places = [pitch.place for pitch in pitches]
    positions: list[Sequence[int]] = []
    at = 0
    for count in counts:
        positions.append(places[at : at + count])
        at += count
    return positions


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
) -> list[tuple[AccidentalRow, AccidentalRow]]:
    """The accidentals of each bar: the melody's and the counterline's.

    Both stand on one staff, so they are read together from left to right.
    """
    starts = shared.melody.pitch_starts
    orders: dict[int, list[int]] = {}
    bars: list[list[tuple[Pitch, bool]]] = []
    for index, rhythm in enumerate(shared.rhythms):
        upper = pitches[starts[index] : starts[index + 1]]
        here = list(zip(upper, rhythm.melody.tied, strict=True))
        if lower[index]:
            here += zip(lower[index], rhythm.counterline.tied, strict=True)
            orders[index] = order = _reading_order(rhythm)
            here = [here[place] for place in order]
        bars.append(here)
    shown = shown_accidentals(
        bars,
        keys,
        rules=rules,
        before=shared.before,
        system_starts=shared.plan.system_starts,
    )
    if not orders:
        return [(together, ()) for together in shown]
    found: list[tuple[AccidentalRow, AccidentalRow]] = []
    for index, together in enumerate(shown):
        upper_count = starts[index + 1] - starts[index]
        if index in orders:
            apart = dict(zip(orders[index], together, strict=True))
            together = tuple(apart[place] for place in range(len(together)))
        found.append((together[:upper_count], together[upper_count:]))
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
