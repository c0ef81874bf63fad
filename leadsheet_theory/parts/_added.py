"""A line on a staff beside a part's own: transposed, beamed, its accidentals shown."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from attrs import evolve, frozen

from ..instruments.clefs import Clef
from ..interval import Interval
from ..key import Key
from ..leadsheet.model import Hit, Note, Rest
from ..pitch import Pitch
from ..rhythm.stems import MIDDLE_LINE, stems
from ..spelling.accidentals import shown_accidentals
from ..spelling.transposing import transpose_melody
from ._pitch import raised
from ._rhythm import LineRhythm, written_line
from ._shared import Shared
from .model import AddedBar, Look

__all__ = ("Events", "line_bars", "moved")

Events = tuple[Note | Rest, ...]


@frozen(order=False)
class _Line:
    """A line in one bar: its events with values, how they are written, and their
    written pitches."""

    events: Events
    rhythm: LineRhythm
    pitches: tuple[Pitch, ...]


def line_bars(
    shared: Shared,
    lines: Sequence[Events],
    *,
    clef: Clef,
    keys: Sequence[Key],
    moves: Sequence[Interval],
    octaves: int = 0,
    label: str = "",
    slashes: Sequence[tuple[Hit, ...]] = (),
) -> tuple[AddedBar, ...]:
    """The bars of a staff with a line of the tune.

    Args:
        shared: the tune.
        lines: the line's notes and rests in each bar of the tune at concert pitch.
        clef: the clef of the staff.
        keys: the written key of each bar.
        moves: the interval from the source to the part in each bar.
        octaves: how many octaves higher (negative: lower) it is written besides.
        label: what stands over the first note, and again after a bar without one.
        slashes: time slashes for each bar that has no line.
    """
    written = list(_written(shared, lines, moves, octaves))
    signs = shown_accidentals(
        [list(zip(each.pitches, each.rhythm.tied, strict=True)) for each in written],
        keys[: len(written)],
        before=shared.before,
        system_starts=shared.plan.system_starts,
    )
    middle = clef.bottom_place + MIDDLE_LINE
    bars: list[AddedBar] = []
    labelled = False
    for index, (each, shown) in enumerate(zip(written, signs, strict=True)):
        if not each.events:
            bars.append(AddedBar(slashes=slashes[index] if slashes else ()))
            labelled = False
            continue
        rhythm = each.rhythm
        look = Look(
            rhythm.beams,
            stems(
                list(_places(rhythm.counts, each.pitches)),
                rhythm.groups,
                middle=middle,
                graces=rhythm.graces,
            ),
            shown,
        )
        bar = AddedBar(events=tuple(_at_pitches(each.events, each.pitches)), look=look)
        if bar.has_notes and not labelled:
            bar, labelled = evolve(bar, label=label), True
        bars.append(bar)
    return tuple(bars)


def _written(
    shared: Shared, lines: Sequence[Events], moves: Sequence[Interval], octaves: int
) -> Iterator[_Line]:
    for index, events in enumerate(lines):
        bar = shared.rhythms[index].bar
        valued, rhythm = written_line(events, bar, style=shared.style)
        pitches = transpose_melody(rhythm.pitches, moves[index]).pitches
        yield _Line(valued, rhythm, raised(pitches, octaves))


def _places(counts: Sequence[int], pitches: Sequence[Pitch]) -> Iterator[Sequence[int]]:
    at = 0
    for count in counts:
        yield [pitch.place for pitch in pitches[at : at + count]]
        at += count


def moved(events: Events, move: Interval) -> Events:
    """A line of one bar moved by an interval, its notes spelled as parts have them."""
    pitches = [
        pitch for event in events if isinstance(event, Note) for pitch in event.pitches
    ]
    return tuple(_at_pitches(events, transpose_melody(pitches, move).pitches))


def _at_pitches(events: Events, written: Sequence[Pitch]) -> Iterator[Note | Rest]:
    pitches = iter(written)
    for event in events:
        if isinstance(event, Note):
            yield evolve(event, pitches=tuple(next(pitches) for _ in event.pitches))
        else:
            yield event
