"""Pickups and pushes: what is played before its bar, and what must go with it.

A repeat or a *da capo* that goes back to the pickup needs a bar before it that leaves
the pickup its room (J. Feist 2007; from memory beyond that); one that restates the
pickup restates what belongs to it.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise
from typing import Final

from ..leadsheet.model import Bar, Note
from ..leadsheet.running_order import running_order
from ._remarks import Remark, place_text
from ._view import View

__all__ = ("check_pickups", "check_pushes")

_EARLY: Final = Fraction(1, 2)
"""A push comes at most an eighth early."""


def check_pickups(view: View) -> Iterator[Remark]:
    """A pickup against the bars that lead back to it or past it."""
    bars = view.bars
    if len(bars) < _LEAST or not bars[0].is_pickup:
        return
    pickup = bars[0]
    if not 0 < pickup.length < pickup.meter.bar_length:
        return
    order = running_order(view.sheet)
    ways = [*pairwise(order.head), *pairwise(order.out_head)]
    jump = bars[order.to_solos].form.jump
    if order.out_head and jump is not None and not jump.after_solos:
        ways.append((order.to_solos, order.out_head[0]))
    told: set[int] = set()
    for at, after in ways:
        if after > at or at in told:
            continue
        told.add(at)
        if after == 0:
            yield from _goes_back(bars[at], pickup)
        elif after == 1:
            yield from _restated(bars[at], pickup)


_LEAST: Final = 3


def _goes_back(bar: Bar, pickup: Bar) -> Iterator[Remark]:
    """A bar from which the pickup is played again."""
    full = bar.meter.bar_length
    if bar.length + pickup.length == full or bar.length < full:
        return
    sign = "D.C." if bar.form.jump is not None else "repeat"
    stated = pickup.form.repeat_start or bar.form.jump is not None
    yield Remark(
        "pickup",
        f"the {sign} goes back to the pickup, but this bar is full",
        bar,
        advice="leave the pickup its beats in this bar, or go back to the bar after it",
        why="the pickup's beats would be played on top of a full bar",
        severity=None if stated else "query",
    )


def _restated(bar: Bar, pickup: Bar) -> Iterator[Remark]:
    """A full bar that goes back past the pickup and ends with its notes: what the
    pickup has must stand there too."""
    start = bar.length - pickup.length
    if start < 0 or _notes(bar, start) != _notes(pickup, Fraction(0)):
        return
    if not _notes(pickup, Fraction(0)):
        return
    here = {placed.onset: placed.symbol for placed in bar.chords}
    for placed in pickup.chords:
        if placed.onset + start not in here:
            running = [c.symbol for c in bar.chords if c.onset <= placed.onset + start]
            if running and running[-1] == placed.symbol:
                continue
            yield Remark(
                "pickup",
                f"the pickup comes again here, without its {placed.symbol}",
                bar,
                placed.onset + start,
                proposed=str(placed.symbol),
                why="the same notes as in the pickup",
                severity="query",
            )
    struck = {hit.onset for hit in bar.hits}
    missing = [
        hit.onset + start for hit in pickup.hits if hit.onset + start not in struck
    ]
    if missing:
        yield Remark(
            "pickup",
            "the pickup comes again here, without its hits",
            bar,
            missing[0],
            why="the same notes as in the pickup",
            severity="query",
        )


def _notes(bar: Bar, start: Fraction) -> list[tuple[Fraction, int]]:
    return [
        (event.onset - start, event.pitch.midi)
        for event in bar.melody
        if isinstance(event, Note) and event.onset >= start and event.duration
    ]


def check_pushes(view: View) -> Iterator[Remark]:
    """Hits that anticipate a chord together with the melody, while the symbol stands
    on the beat after."""
    if not any(bar.hits for bar in view.bars):
        return
    attacks = {note.start: note for note in view.sung}
    placed = {span.start for span in view.spans}
    for index, bar in enumerate(view.bars):
        for hit in bar.hits:
            start = view.starts[index] + view.ticks(hit.onset)
            end = start + view.ticks(hit.duration)
            note = attacks.get(start)
            if hit.tied_from_previous or note is None or start in placed:
                continue
            reach = start + view.ticks(_EARLY)
            late = [s for s in view.spans if start < s.start <= reach]
            if not late:
                continue
            beat = late[0].start
            held = end > beat or hit.tied_to_next
            if held and note.start + note.length > beat:
                span = late[0]
                there = view.bars[span.bar]
                yield Remark(
                    "push",
                    f"hit and melody push {span.symbol}, which stands on the beat "
                    "after",
                    there,
                    span.placed.onset,
                    found=str(span.symbol),
                    proposed=place_text(bar, hit.onset),
                    why="the band plays the chord with the hit",
                )
