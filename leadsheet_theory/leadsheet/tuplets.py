"""Tuplets: where a group of notes begins and ends."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final, TypeVar

from attrs import evolve

from ..rhythm.values import TREMOLO
from .model import Hit, Note, Rest

__all__ = ("mark_tuplets",)

_START: Final = Fraction(0)
_Event = TypeVar("_Event", Note | Rest, Hit | Rest)


def mark_tuplets(events: Sequence[_Event], /) -> list[_Event]:
    """The events with the first and last of each tuplet marked, where the file
    says only the ratio: a group ends where its notes add up to the time that its
    shortest value says, so many plain ones for the tuplet."""
    done = list(events)
    group: list[int] = []
    total = shortest = _START
    ratio = None
    marked = False
    for place, event in enumerate(events):
        tuplet = event.value.tuplet if event.value is not None else None
        if tuplet == TREMOLO:
            tuplet = None
        if event.duration == 0:
            continue
        here = None if tuplet is None else (tuplet.actual, tuplet.normal)
        if here != ratio or tuplet is None or tuplet.starts:
            group, total, ratio, marked = [], _START, here, False
        if tuplet is None:
            continue
        marked = marked or tuplet.starts
        if marked:
            continue
        group.append(place)
        total += event.duration
        shortest = min(shortest, event.duration) if len(group) > 1 else event.duration
        if len(group) > 1 and total % (shortest * tuplet.actual) == 0:
            _mark(done, group)
            group, total = [], _START
    return done


def _mark(events: list[_Event], group: Sequence[int]) -> None:
    first, last = group[0], group[-1]
    for place in (first, last):
        event = events[place]
        value = event.value
        if value is not None and value.tuplet is not None:
            tuplet = evolve(
                value.tuplet,
                starts=value.tuplet.starts or place == first,
                ends=value.tuplet.ends or place == last,
            )
            events[place] = evolve(event, value=evolve(value, tuplet=tuplet))
