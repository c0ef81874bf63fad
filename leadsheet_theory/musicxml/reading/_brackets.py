"""Tuplets within tuplets, from the brackets of a file to groups that hold one another.

MusicXML 4.0: ``time-modification`` says the ratio of a note with all groups that it is
in, ``tuplet`` where the bracket of each group starts and stops (``number``), and
sometimes the ratio that the bracket prints.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from attrs import evolve, frozen

from ...leadsheet.model import Note, Rest
from ...rhythm.values import Tuplet

__all__ = ("Bracket", "nested")

Event = Note | Rest


@frozen(order=False)
class Bracket:
    """One end of a bracket: at which note or rest of its line, and the ratio it
    prints, if the file says it."""

    at: int
    number: str
    end: str
    ratio: tuple[int, int] | None = None


@frozen(order=False)
class _Group:
    first: int
    last: int
    number: str
    ratio: tuple[int, int] | None

    def holds(self, other: _Group) -> bool:
        """Whether another group is inside this one."""
        if (self.first, self.last) == (other.first, other.last):
            return self.number < other.number
        return self.first <= other.first and other.last <= self.last


def nested(events: Sequence[Event], brackets: Sequence[Bracket]) -> list[Event] | None:
    """The events with their groups as the brackets say; None if these are no groups
    of at most two levels, or their ratios can't be told apart."""
    groups = _groups(brackets)
    if groups is None:
        return None
    done = list(events)
    inside = [each for each in groups if any(g.holds(each) for g in groups)]
    for group in groups:
        if group in inside:
            continue
        inner = [each for each in inside if group.holds(each)]
        if any(one.holds(other) for one in inner for other in inner if one != other):
            return None
        ratio = _outer_ratio(events, group, inner)
        for at in range(group.first, group.last + 1):
            within = next((g for g in inner if g.first <= at <= g.last), None)
            event = _grouped(done[at], ratio, group, within, at)
            if event is None:
                return None
            done[at] = event
    return done


def _groups(brackets: Sequence[Bracket]) -> list[_Group] | None:
    """The groups that the brackets enclose, the outer ones first."""
    started: dict[str, Bracket] = {}
    groups: list[_Group] = []
    for each in brackets:
        if each.end == "start":
            if each.number in started:
                return None
            started[each.number] = each
        elif each.number in started:
            start = started.pop(each.number)
            groups.append(_Group(start.at, each.at, each.number, start.ratio))
        else:
            return None
    groups.sort(key=lambda group: (group.first, -group.last, group.number))
    return None if started else groups


def _outer_ratio(
    events: Sequence[Event], group: _Group, inner: Sequence[_Group]
) -> tuple[int, int] | None:
    """What an outer group says, or its notes that are in no other."""
    if group.ratio is not None:
        return group.ratio
    for at in range(group.first, group.last + 1):
        if not any(each.first <= at <= each.last for each in inner):
            found = _tuplet(events[at])
            if found is not None:
                return found.actual, found.normal
    for each in inner:
        whole = _tuplet(events[each.first])
        if whole is not None and each.ratio is not None:
            return _without(whole, each.ratio)
    return None


def _without(whole: Tuplet, part: tuple[int, int]) -> tuple[int, int] | None:
    """The other of two ratios that make up one; None if the part is none of them."""
    rest = Fraction(whole.actual * part[1], whole.normal * part[0])
    actual, uneven = divmod(whole.actual, part[0])
    normal, odd = divmod(whole.normal, part[1])
    if not uneven and not odd:
        return actual, normal
    return None if rest == 1 else (rest.numerator, rest.denominator)


def _grouped(
    event: Event,
    ratio: tuple[int, int] | None,
    group: _Group,
    within: _Group | None,
    at: int,
) -> Event | None:
    """A note or rest with its groups; None where they can't be told apart."""
    value, found = event.value, _tuplet(event)
    if value is None or found is None:
        return event if within is None else None
    tuplet = found
    if within is not None:
        part = None if ratio is None else _without(found, ratio)
        if ratio is None or part is None:
            return None
        inner = Tuplet(*part, starts=at == within.first, ends=at == within.last)
        tuplet = Tuplet(*ratio, inner=inner)
    marked = evolve(tuplet, starts=at == group.first, ends=at == group.last)
    return evolve(event, value=evolve(value, tuplet=marked))


def _tuplet(event: Event) -> Tuplet | None:
    return None if event.value is None else event.value.tuplet
