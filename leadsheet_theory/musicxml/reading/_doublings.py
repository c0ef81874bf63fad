"""The staves of players who have the melody again, as they are written."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from ...chords.respell import deciding_chord
from ...interval import UNISON, Interval
from ...leadsheet.doublings import Doubling, WrittenNote, WrittenRoot
from ...leadsheet.model import Bar
from ._staves import Staff
from ._values import quarters

__all__ = ("doublings_of",)


def doublings_of(
    staves: Iterable[Staff], read: Sequence[Bar], bars: Sequence[Bar], grid: int
) -> tuple[Doubling, ...]:
    """What the staves say; nothing where measures of the file were joined or cut, so
    that places in it are not those of the tune, or where a player changes instrument.

    Args:
        staves: the staves that double the melody.
        read: the bars as the file has them.
        bars: those of the tune.
        grid: the ticks of a quarter note.
    """
    if [bar.length for bar in read[: len(bars)]] != [bar.length for bar in bars]:
        return ()
    return tuple(
        _doubling(staff, bars, grid) for staff in staves if len(staff.part.shifts) == 1
    )


def _doubling(staff: Staff, bars: Sequence[Bar], grid: int) -> Doubling:
    (shift,) = staff.part.shifts
    sounding = UNISON if shift is None else shift
    roots = [
        WrittenRoot(bar.number, quarters(place, grid), chord.root - sounding)
        for bar, raw in zip(bars, staff.part.bars, strict=False)
        for place, symbol in raw.chords
        if (chord := deciding_chord(symbol)) is not None
    ]
    return Doubling(
        name=staff.title,
        transposition=sounding,
        low_clef=staff.name in staff.part.low,
        notes=tuple(_notes(staff, bars, sounding)),
        roots=tuple(roots),
    )


def _notes(
    staff: Staff, bars: Sequence[Bar], sounding: Interval
) -> Iterator[WrittenNote]:
    for index, note in staff.notes():
        if index < len(bars) and not (note.tied_from_previous or note.grace):
            yield WrittenNote(bars[index].number, note.onset, note.pitch - sounding)
