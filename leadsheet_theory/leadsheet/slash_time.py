"""Time without melody: stretches that the player fills, shown as slashes.

A stretch is one :class:`~.model.Rest` with `slashes`, as long as it lasts; the parts
show a slash on each beat.  Where a chart has chords but no melody, for a bar or more,
slashes can be offered: a player rests under rests, and goes on playing time under
slashes (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from typing import Final, Literal

from attrs import evolve

from ..chords import NoChord
from ..rhythm.meter import Meter
from ..rhythm.slashes import time_slashes
from .model import Bar, Note, Rest
from .running_order import RunningOrder

__all__ = (
    "SlashedBars",
    "has_slashes",
    "joined_slashes",
    "on_beats",
    "silent_bars",
    "slashed",
    "to_be_slashed",
)

SlashedBars = Literal["into the solos", "wherever silent", "as written"]
"""Which silent bars under chords get slashes: those at the end of a head that goes into
the solos, all, or none that the chart does not have."""

_START: Final = Fraction(0)


def has_slashes(events: Iterable[Note | Rest], /) -> bool:
    """Whether a line has a stretch of slashes."""
    return "slashes" in [event.shown for event in events if isinstance(event, Rest)]


def joined_slashes(events: Iterable[Note | Rest], /) -> tuple[Note | Rest, ...]:
    """The line with slashes that follow one another as one stretch.

    >>> half = Fraction(2)
    >>> joined_slashes((Rest(half * 0, half, shown="slashes"),
    ...                 Rest(half, half, shown="slashes")))[0].duration
    Fraction(4, 1)
    """
    line: list[Note | Rest] = []
    for event in events:
        before = line[-1] if line else None
        if isinstance(event, Rest) and event.slashes:
            event = evolve(event, value=None, whole_bar=False)
            if (
                isinstance(before, Rest)
                and before.slashes
                and before.onset + before.duration == event.onset
            ):
                line[-1] = evolve(before, duration=before.duration + event.duration)
                continue
        line.append(event)
    return tuple(line)


def on_beats(stretch: Rest, meter: Meter, start: Fraction, /) -> Iterator[Rest]:
    """A slash for each beat of a stretch, whose bar starts so far into its metre.

    >>> stretch = Rest(Fraction(2), Fraction(2), shown="slashes")
    >>> [str(rest.onset) for rest in on_beats(stretch, Meter(4, 4), Fraction(0))]
    ['2', '3']
    """
    for slash in time_slashes(
        meter, length=stretch.duration, start=start + stretch.onset
    ):
        yield evolve(
            stretch,
            onset=stretch.onset + slash.onset,
            duration=slash.duration,
            value=slash.value,
            whole_bar=False,
        )


def slashed(bar: Bar, /) -> Bar:
    """The bar with slashes for its melody."""
    return evolve(bar, melody=(Rest(_START, bar.length, shown="slashes"),))


def silent_bars(bars: Sequence[Bar], /) -> tuple[int, ...]:
    """The places of the bars in which nothing is written to play while a chord sounds:
    no note, no slash, and no N.C."""
    found = []
    sounding = False
    for index, bar in enumerate(bars):
        if bar.chords:
            sounding = not isinstance(bar.chords[-1].symbol, NoChord)
        if not sounding or bar.is_pickup:
            continue
        if any(map(_plays, bar.melody)) or any(map(_plays, bar.counterline)):
            continue
        if not any(isinstance(each.symbol, NoChord) for each in bar.chords):
            found.append(index)
    return tuple(found)


def _plays(event: Note | Rest) -> bool:
    return isinstance(event, Note) or event.slashes


def to_be_slashed(
    bars: Sequence[Bar], order: RunningOrder, /, *, which: SlashedBars
) -> tuple[int, ...]:
    """The places of the silent bars that get slashes."""
    if which == "as written":
        return ()
    silent = silent_bars(bars)
    if which == "wherever silent":
        return silent
    if not order.has_solos:
        return ()
    last: list[int] = []
    at = order.to_solos
    while at in silent:
        last.insert(0, at)
        at -= 1
    return tuple(last) if at >= 0 else ()
