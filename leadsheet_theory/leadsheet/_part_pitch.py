"""What differs from part to part: written pitches, accidentals and stems."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from attrs import frozen

from ..accidentals import Accidental, AccidentalRules, shown_accidentals
from ..interval import Interval
from ..key import Key
from ..pitch import Pitch
from ..spelling import RespelledNote, transpose_melody
from ..stems import StemDirection, StemVoice, stems
from ._part_rhythm import BarRhythm, LineRhythm
from .model import Note, Rest

__all__ = ("Signs", "WrittenLine", "bar_stems", "signs", "written_line")

Signs = tuple[Accidental | None, ...]
Stems = tuple[StemDirection | None, ...]


@frozen(order=False)
class WrittenLine:
    """A bar's line of notes in written pitches, which are listed too."""

    events: tuple[Note | Rest, ...] = ()
    pitches: tuple[Pitch, ...] = ()
    respelled: tuple[RespelledNote, ...] = ()


def written_line(line: LineRhythm, by: Interval) -> WrittenLine:
    """A line of notes moved by the interval from the source to the part."""
    if not line.pitches:
        return WrittenLine(line.events)
    moved = transpose_melody(line.pitches, by)
    new = iter(moved.pitches)
    return WrittenLine(
        tuple([_with_pitches(event, new) for event in line.events]),
        moved.pitches,
        moved.respelled,
    )


def _with_pitches(event: Note | Rest, new: Iterator[Pitch]) -> Note | Rest:
    if isinstance(event, Rest):
        return event
    return Note(
        event.onset,
        event.duration,
        tuple([next(new) for _ in event.pitches]),
        event.value,
        event.tied_from_previous,
        event.tied_to_next,
        event.grace,
        event.lyrics,
        event.marks,
        event.slurs,
    )


def signs(
    rhythms: Sequence[BarRhythm],
    lines: Sequence[tuple[WrittenLine, WrittenLine]],
    keys: Sequence[Key],
    *,
    rules: AccidentalRules | None,
    before: Sequence[Sequence[int]] | None,
    system_starts: Collection[int],
) -> list[tuple[Signs, Signs]]:
    """The accidentals of each bar: the melody's and the counterline's.

    Both stand on one staff, so they are read together from left to right.
    """
    orders = [_reading_order(rhythm) for rhythm in rhythms]
    shown = shown_accidentals(
        [
            _in_order(
                (*upper.pitches, *lower.pitches),
                (*rhythm.melody.tied, *rhythm.counterline.tied),
                order,
            )
            for rhythm, (upper, lower), order in zip(
                rhythms, lines, orders, strict=True
            )
        ],
        keys,
        rules=rules,
        before=before,
        system_starts=system_starts,
    )
    found: list[tuple[Signs, Signs]] = []
    for (upper, _), order, together in zip(lines, orders, shown, strict=True):
        if order is None:
            found.append((together, ()))
            continue
        apart = dict(zip(order, together, strict=True))
        both = tuple(apart[place] for place in range(len(order)))
        found.append((both[: len(upper.pitches)], both[len(upper.pitches) :]))
    return found


def _in_order(
    pitches: tuple[Pitch, ...], tied: tuple[bool, ...], order: list[int] | None
) -> list[tuple[Pitch, bool]]:
    if order is None:
        return list(zip(pitches, tied, strict=True))
    return [(pitches[place], tied[place]) for place in order]


def _reading_order(rhythm: BarRhythm) -> list[int] | None:
    """The order in which the pitches of both lines are read; None if one line alone
    has any."""
    if not rhythm.counterline.pitches:
        return None
    onsets = [
        event.onset
        for line in (rhythm.melody, rhythm.counterline)
        for event in line.events
        if isinstance(event, Note)
        for _ in event.pitches
    ]
    return sorted(range(len(onsets)), key=onsets.__getitem__)


def bar_stems(
    rhythm: BarRhythm, melody: WrittenLine, counterline: WrittenLine, middle: int
) -> tuple[Stems, Stems]:
    """The stems of the melody and of the counterline.

    Under a cue the melody's stems go down; beside a counterline they go up.
    `middle` is the staff place of the middle line.
    """
    if counterline.pitches:
        return (
            _stems(rhythm.melody, melody, middle, "upper"),
            _stems(rhythm.counterline, counterline, middle, "lower"),
        )
    found = _stems(rhythm.melody, melody, middle, "only")
    if rhythm.cue:
        found = _turned_down(found, rhythm)
    return found, ()


def _stems(
    line: LineRhythm, written: WrittenLine, middle: int, voice: StemVoice
) -> Stems:
    positions = [
        [pitch.place for pitch in event.pitches] if isinstance(event, Note) else ()
        for event in written.events
    ]
    return stems(positions, line.groups, middle=middle, voice=voice, graces=line.graces)


def _turned_down(found: Stems, rhythm: BarRhythm) -> Stems:
    """The stems with those under the cue turned down, whole beams together."""
    under = {
        place
        for place, event in enumerate(rhythm.melody.events)
        if event.onset < rhythm.cue_end
    }
    for group in rhythm.melody.groups:
        if not under.isdisjoint(group):
            under.update(group)
    return tuple(
        "down" if stem is not None and place in under else stem
        for place, stem in enumerate(found)
    )
