"""Systems stacked into pages by their drawn heights, in millimetres.

As few pages as can be; among these the ones most evenly filled, so that no last page
is left with a single system where the pages before can give one (D. J. Argue, "Music
preparation" guidelines, 2023; an arranging course's advice to spread a last line's bars
over the pages before).
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Final

__all__ = ("LEAST_GAP", "MOST_SPREAD", "gap_between", "stack")

LEAST_GAP: Final = 3.0
"""The least room between two systems, in millimetres."""
MOST_SPREAD: Final = 8.0
"""The most that is added to the least room to fill a page, in millimetres."""


def stack(
    heights: Sequence[float],
    /,
    *,
    first: float,
    later: float,
    new_pages: Collection[int] = (),
) -> tuple[int, ...]:
    """The systems that begin pages.

    Args:
        heights: of each system.
        first: the room on the first page.
        later: the room on each later one.
        new_pages: systems that begin a page in any case.
    """
    count = len(heights)
    # from the end: pages, lone last systems, and the unevenness from each system on
    best: list[tuple[int, int, float]] = [(0, 0, 0.0)] * (count + 1)
    end_of = [0] * count
    for start in range(count - 1, -1, -1):
        room = later if start else first
        found: tuple[int, int, float] | None = None
        used = -LEAST_GAP
        for end in range(start + 1, count + 1):
            used += heights[end - 1] + LEAST_GAP
            if end > start + 1 and (used > room or end - 1 in new_pages):
                break
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


def gap_between(heights: Sequence[float], room: float, /) -> float:
    """The room between the systems of a page that fills it without tearing them
    apart."""
    if len(heights) < 2:
        return LEAST_GAP
    free = (room - sum(heights)) / (len(heights) - 1)
    return max(LEAST_GAP, min(free, LEAST_GAP + MOST_SPREAD))
