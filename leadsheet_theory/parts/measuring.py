"""Systems and pages planned from what the parts look like as they are drawn.

The theory of parts knows nothing of drawing: whoever draws hands in a
:class:`Measure`.  Every part of a set gets the same plan, so the part that needs the
most room decides.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import accumulate, pairwise, repeat
from typing import Final, Protocol

from attrs import evolve

from .._doors import door
from ._road_signs import turned_to
from .model import Part, PartBar
from .systems import NO_BREAKS, BreaksAsked, PagePlan, SectionStarts, plan_systems

__all__ = ("Measure", "planned_by", "with_room_for_staves")


class Measure(Protocol):
    """Tells how much room parts take as they are drawn."""

    def bar_shares(self, parts: Sequence[Part], /) -> Sequence[float]:
        """How much of a line each bar takes at least in the part where it is widest; 1
        stands for a whole line.  The bars are those of the tune, then those of the
        solo page."""

    def page_starts(self, parts: Sequence[Part], /) -> Sequence[int]:
        """The indices of the bars that begin pages, so that no page of any part is
        overfull; the systems are those that the parts have."""


@door
def planned_by(
    measure: Measure,
    parts: Sequence[Part],
    /,
    *,
    bars_per_system: int,
    headings: Callable[[Part, PagePlan], tuple[str, ...]],
    breaks: BreaksAsked = NO_BREAKS,
) -> tuple[Part, ...]:
    """The parts with the systems and pages that their drawn sizes ask for.

    Args:
        measure: what tells the sizes.
        parts: the parts of one set, which have the same bars.
        bars_per_system: the most bars in a system, the pickup not counted.
        headings: the headings of a part by that plan.
        breaks: the bars with which systems are to begin.
    """
    if not parts:
        return ()
    model = parts[0]
    shares = measure.bar_shares(parts)
    tune = [bar.shared.source for bar in model.bars]
    solo = [bar.shared.source for bar in model.solo]
    page = model.plan.page

    def tried(section_starts: SectionStarts) -> tuple[list[Part], PagePlan]:
        plan = plan_systems(
            tune,
            bars_per_system=bars_per_system,
            section_starts=section_starts,
            page=page,
            shares=shares[: len(tune)],
            starts=breaks.in_tune(tune),
        )
        if solo:
            plan = plan.followed_by(
                plan_systems(
                    solo,
                    bars_per_system=bars_per_system,
                    section_starts="always",
                    page=page,
                    later_page=True,
                    shares=shares[len(tune) :],
                    starts=breaks.in_solos(tune, solo),
                )
            )
        plan = evolve(plan, measured=True)
        drafts = [_with_plan(part, plan, part.headings) for part in parts]
        pages = tuple(measure.page_starts(drafts))
        return drafts, evolve(plan, page_starts=pages)

    estimated = len(model.plan.page_starts)
    drafts, plan = tried("page has room")
    if len(plan.page_starts) > estimated:
        # as they are drawn the pages had no room for it
        closer, close = tried("where free")
        if len(close.page_starts) < len(plan.page_starts):
            drafts, plan = closer, close
    return tuple(_with_plan(part, plan, headings(part, plan)) for part in drafts)


_BESIDE: Final = 0.6
"""How much a staff beside a part's own adds to a system's height, as an estimate."""


def with_room_for_staves(
    parts: Sequence[Part], /, *, headings: Callable[[Part, PagePlan], tuple[str, ...]]
) -> tuple[Part, ...]:
    """The parts with the pages of the tune begun anew where staves beside a part's own
    would not find room on them, by an estimate; the same parts where all do.

    Args:
        parts: the parts of one set, which have the same plan.
        headings: the headings of a part by a plan.
    """
    if not any(part.added for part in parts):
        return tuple(parts)
    plan, count = parts[0].plan, len(parts[0].bars)
    starts = [start for start in plan.system_starts if start < count]
    heights = [
        1 + _BESIDE * max(_staves_beside(part, *span) for part in parts)
        for span in pairwise([*starts, count])
    ]
    page = plan.page
    rooms = page.first_page_systems, page.later_page_systems
    old = [starts.index(start) for start in plan.page_starts if start < count]
    if _fit(heights, old, rooms):
        return tuple(parts)
    solos = [start for start in plan.page_starts if start >= count]
    tune = [starts[place] for place in _pages_of(heights, rooms)]
    plan = evolve(plan, page_starts=(*tune, *solos))
    return tuple(_with_plan(part, plan, headings(part, plan)) for part in parts)


def _staves_beside(part: Part, start: int, end: int) -> int:
    """How many staves beside the part's own stand in a system."""
    return sum(
        any(bar.has_notes for bar in staff.bars[start:end]) for staff in part.added
    )


def _fit(
    heights: Sequence[float], starts: Sequence[int], rooms: tuple[int, int]
) -> bool:
    return all(
        sum(heights[start:end]) <= rooms[start > 0] + 1e-9
        for start, end in pairwise([*starts, len(heights)])
    )


def _pages_of(heights: Sequence[float], rooms: tuple[int, int]) -> list[int]:
    """The systems that begin pages: as few pages as can be, filled alike."""
    full = _filled(heights, rooms, sum(heights))
    return next(
        found
        for share in accumulate(repeat(0.5), initial=sum(heights) / len(full))
        if len(found := _filled(heights, rooms, share)) <= len(full)
    )


def _filled(heights: Sequence[float], rooms: tuple[int, int], most: float) -> list[int]:
    """The systems that begin pages which are filled up to so much, and never beyond
    their room; one system stands on a page in any case."""
    starts: list[int] = []
    used = 0.0
    for place, height in enumerate(heights):
        room = min(rooms[len(starts) > 1], most) + 1e-9
        if not starts or used + height > room:
            starts.append(place)
            used = 0.0
        used += height
    return starts


def _with_plan(part: Part, plan: PagePlan, headings: tuple[str, ...]) -> Part:
    count = len(part.bars)
    solos = sum(start < count for start in plan.page_starts) + 1
    bars = tuple(
        turned_to(bar, page=solos) for bar in _laid_out((*part.bars, *part.solo), plan)
    )
    return evolve(
        part, plan=plan, headings=headings, bars=bars[:count], solo=bars[count:]
    )


def _laid_out(bars: Sequence[PartBar], plan: PagePlan) -> Iterator[PartBar]:
    systems, pages = set(plan.system_starts), set(plan.page_starts)
    for index, bar in enumerate(bars):
        shared, system, page = bar.shared, index in systems, index in pages
        if (shared.starts_system, shared.starts_page) != (system, page):
            shared = evolve(shared, starts_system=system, starts_page=page)
            bar = evolve(bar, shared=shared)
        yield bar
