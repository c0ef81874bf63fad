"""Systems and pages planned from what the parts look like as they are drawn.

The theory of parts knows nothing of drawing: whoever draws hands in a
:class:`Measure`.  Every part of a set gets the same plan, so the part that needs the
most room decides.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Protocol

from attrs import evolve

from .._doors import door
from ._road_signs import turned_to
from .model import Part, PartBar
from .systems import NO_BREAKS, BreaksAsked, PagePlan, SectionStarts, plan_systems

__all__ = ("Measure", "planned_by")


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
