"""What the rhythm section reads: time, hits and what else it needs to know.

Slashes with chord symbols mean to accompany, slashes in a drum part to play time
(E. Rogers, *Big band arranging* 17).  Hits stand above the staff while time goes on
below, and in the staff, with rests, where it stops (:mod:`.stop_time`).  A written bass
line stands on a bass staff below, in those systems alone that have one; where it is not
written out in such a system, its staff has slashes.  The melody stands above in small
notes, without words, where it is asked for; its fermatas stand in any case (common
practice, no source).

Bars, systems, pages and the solo page are those of all other parts.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from fractions import Fraction
from typing import Final, TypeVar

from attrs import evolve, frozen

from .._doors import door
from ..leadsheet.model import Bar, Hit, Mark, Rest
from ._rhythm import beat_slashes
from .hits import CueBar, cue_bars
from .stop_time import TimeStop, time_stops

__all__ = ("RhythmBar", "rhythm_bars")

_EventT = TypeVar("_EventT", bound=Hit | Rest)

_START: Final = Fraction(0)
_FERMATA: Final = Mark("fermata")
_NO_CUE: Final = CueBar()


@frozen(order=False)
class RhythmBar:
    """What one bar of the rhythm section's sheet shows.

    `slashes` are the beats on which time is played; `figure` the hits and rests in the
    staff where it isn't, both together filling the bar; `cue` the hits above the staff.
    """

    slashes: tuple[Hit, ...] = ()
    figure: tuple[Hit | Rest, ...] = ()
    cue: CueBar = _NO_CUE


@door
def rhythm_bars(
    bars: Sequence[Bar],
    /,
    *,
    label: str = "",
    at_no_chord: bool = True,
    player: str = "",
    only: Collection[int] | None = None,
) -> tuple[RhythmBar, ...]:
    """What the rhythm section reads in each bar.

    Args:
        bars: written bars; their hits, words, chords and signs of form are read.
        label: printed over the first hit of each stretch of cues.
        at_no_chord, player, only: as in :func:`.time_stops`.

    >>> from leadsheet_theory.key import Key
    >>> from leadsheet_theory.leadsheet.model import Direction
    >>> from leadsheet_theory.rhythm import Meter
    >>> push = Hit(Fraction(3, 2), Fraction(1, 2))
    >>> bar = Bar(number=1, key=Key.parse("F"), meter=Meter(4, 4), length=Fraction(4),
    ...           hits=(push,))
    >>> words = Direction(Fraction(0), "words", "stop time")
    >>> time, stops = rhythm_bars([bar, evolve(bar, directions=(words,))])
    >>> len(time.slashes), len(time.cue.events), len(time.figure)
    (4, 2, 0)
    >>> len(stops.slashes), [type(each).__name__ for each in stops.figure]
    (0, ['Rest', 'Hit', 'Rest'])
    """
    stops = time_stops(bars, at_no_chord=at_no_chord, player=player, only=only)
    both = list(zip(bars, stops, strict=True))
    inside = cue_bars([_with_hits(bar, here, stopped=True) for bar, here in both])
    outside = cue_bars(
        [_with_hits(bar, here, stopped=False) for bar, here in both], label=label
    )
    return tuple(
        _held(bar, _rhythm_bar(bar, here, figure, cue))
        for (bar, here), figure, cue in zip(both, inside, outside, strict=True)
    )


def _held(bar: Bar, shown: RhythmBar) -> RhythmBar:
    """The bar with the fermatas of the melody on what sounds or rests there."""
    places = {
        event.onset
        for event in bar.melody
        if any(mark.kind == _FERMATA.kind for mark in event.marks)
    }
    if not places:
        return shown
    return evolve(
        shown,
        slashes=tuple(_with_fermata(each, places) for each in shown.slashes),
        figure=tuple(_with_fermata(each, places) for each in shown.figure),
    )


def _with_fermata(event: _EventT, places: Collection[Fraction]) -> _EventT:
    if not any(event.onset <= at < event.onset + event.duration for at in places):
        return event
    marks: tuple[Mark, ...] = event.marks
    others = [mark for mark in marks if mark.kind != _FERMATA.kind]
    return evolve(event, marks=(*others, _FERMATA))


def _with_hits(bar: Bar, stops: Sequence[TimeStop], *, stopped: bool) -> Bar:
    """The bar with those hits alone that fall where time stops, or where it goes on."""
    if not stops:
        return evolve(bar, hits=()) if stopped and bar.hits else bar
    hits = tuple(hit for hit in bar.hits if _within(hit.onset, stops) is stopped)
    return evolve(bar, hits=hits)


def _within(onset: Fraction, stops: Sequence[TimeStop]) -> bool:
    return any(stop.start <= onset < stop.end for stop in stops)


def _rhythm_bar(
    bar: Bar, stops: Sequence[TimeStop], figure: CueBar, cue: CueBar
) -> RhythmBar:
    slashes = beat_slashes(bar)
    hits = [event for event in figure.events if isinstance(event, Hit)]
    if not stops and not hits:
        return RhythmBar(slashes, (), cue)
    if not hits and stops[0] == TimeStop(_START, bar.length):
        rest = Rest(_START, bar.length, whole_bar=not bar.is_pickup)
        return RhythmBar((), (rest,), cue)
    slashes = tuple(
        slash
        for slash in slashes
        if not _within(slash.onset, stops)
        and not any(h.onset <= slash.onset < h.onset + h.duration for h in hits)
    )
    events: list[Hit | Rest] = []
    at = _START
    for event in sorted([*hits, *slashes], key=lambda event: event.onset):
        if event.onset > at:
            events.append(Rest(at, event.onset - at))
        if event in hits:
            events.append(event)
        at = event.onset + event.duration
    if at < bar.length:
        events.append(Rest(at, bar.length - at))
    return RhythmBar(slashes, tuple(events), cue)
