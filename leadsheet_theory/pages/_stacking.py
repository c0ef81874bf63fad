"""Systems stacked into pages by their drawn heights, in millimetres.

As few pages as can be; among these the ones most evenly filled, so that no last page
is left with a single system where the pages before can give one (D. J. Argue, "Music
preparation" guidelines, 2023; an arranging course's advice to spread a last line's bars
over the pages before).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import accumulate, pairwise
from typing import Final

from attrs import frozen

from ..parts.model import Part
from ._music import System

__all__ = (
    "LEAST_GAP",
    "MOST_GAP",
    "Rooms",
    "Run",
    "fits",
    "gap_between",
    "runs_of",
    "stack",
)

LEAST_GAP: Final = 0.8
"""The least room between two systems, in millimetres, beside the edges of both."""
MOST_GAP: Final = 11.0
"""The most room between two systems, in millimetres."""


@frozen(order=False)
class Rooms:
    """The room for systems on a first page and on each later one, in millimetres."""

    first: float
    later: float


@frozen(order=False)
class Run:
    """Systems that begin a page of their own: those of the tune, or of the solo page.

    `first_bars` are the indices of the bars that begin the systems, among all bars of
    the part.
    """

    systems: tuple[System, ...]
    first_bars: tuple[int, ...]
    solo: bool

    @property
    def heights(self) -> tuple[float, ...]:
        """The heights of the systems."""
        return tuple(system.height for system in self.systems)


def runs_of(part: Part, systems: Sequence[System], /) -> tuple[Run, ...]:
    """The systems of a part, the solo page apart."""
    first_bars = tuple(accumulate((each.bars for each in systems), initial=0))[:-1]
    solo = next(
        (at for at, bar in enumerate(first_bars) if bar >= len(part.bars)), len(systems)
    )
    both = (
        Run(tuple(systems[:solo]), first_bars[:solo], solo=False),
        Run(tuple(systems[solo:]), first_bars[solo:], solo=True),
    )
    return tuple(run for run in both if run.systems)


def stack(heights: Sequence[float], rooms: Rooms, /) -> tuple[int, ...]:
    """The systems of one run that begin pages.

    >>> stack([30.0] * 9, Rooms(first=250.0, later=270.0))  # seven would fit, then two
    (0, 4)
    """
    count = len(heights)
    # from the end: pages, lone last systems, and the unevenness from each system on
    best: list[tuple[int, int, float]] = [(0, 0, 0.0)] * (count + 1)
    end_of = [0] * count
    for start in range(count - 1, -1, -1):
        room = rooms.later if start else rooms.first
        found: tuple[int, int, float] | None = None
        for end, used in _fillings(heights, start, room):
            pages, lone, uneven = best[end]
            lone += end - start == 1 and end == count and start > 0
            cost = pages + 1, lone, uneven + (room - used) ** 2
            if found is None or cost < found:
                found, end_of[start] = cost, end
        assert found is not None
        best[start] = found
    starts = []
    place = 0
    while place < count:
        starts.append(place)
        place = end_of[place]
    return tuple(starts)


def _fillings(
    heights: Sequence[float], start: int, room: float
) -> Iterator[tuple[int, float]]:
    """How far a page from that system on can go, and how much of the room it uses.
    One system stands on it even if it is too high."""
    used = heights[start]
    yield start + 1, used
    for end in range(start + 2, len(heights) + 1):
        used += LEAST_GAP + heights[end - 1]
        if used > room:
            return
        yield end, used


def fits(heights: Sequence[float], starts: Sequence[int], rooms: Rooms, /) -> bool:
    """Whether pages that begin with these systems hold them."""
    return all(
        sum(heights[start:end]) + LEAST_GAP * (end - start - 1)
        <= (rooms.later if start else rooms.first)
        for start, end in pairwise([*starts, len(heights)])
    )


def gap_between(heights: Sequence[float], room: float, /) -> float:
    """The room between the systems of a page that fills it without tearing them
    apart."""
    if len(heights) < 2:
        return LEAST_GAP
    free = (room - sum(heights)) / (len(heights) - 1)
    return max(LEAST_GAP, min(free, MOST_GAP))
