"""Systems and pages: which bar begins a line, which one a page.

So many bars to a system (four are the norm of the lead sheet: common practice,
no source), the pickup not counted.  A section starts at the left margin where
it can (J. Gates, "Berklee blogs", on layout: double bars at the right margin,
sections at the left) and a system is never spent on it unless asked.  Every
part is laid out by the same plan, as the plan depends on the form alone.

Lengths are in millimetres.  Paper: ISO 216 (A4), ANSI/ASME Y14.1 (letter).  Staff
and systems to a page: staves of 7.5 to 8 mm, 8 or 9 systems on the first page and
10 on later ones (D. J. Argue, "Music preparation" guidelines, 2023).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final, Literal

from attrs import field, frozen

from .findings import Finding
from .model import Bar

__all__ = (
    "A4",
    "LETTER",
    "Page",
    "PagePlan",
    "SectionStarts",
    "check_same_plan",
    "plan_systems",
)

SectionStarts = Literal["where free", "always", "as they fall"]
"""Whether a section starts a system: where it costs no system more, always, or
only by chance."""


@frozen(order=False)
class Page:
    """A sheet of paper and how it is filled; all lengths in millimetres.

    `staff` is the height of the five lines, `heading` what the title takes on the
    first page and `running_heading` on the later ones, `system` the distance
    from one system's top line to the next one's.
    """

    width: float
    height: float
    left: float = 15.0
    right: float = 15.0
    top: float = 15.0
    bottom: float = 15.0
    staff: float = 7.5
    heading: float = 30.0
    running_heading: float = 15.0
    system: float = 24.0

    @property
    def first_page_systems(self) -> int:
        """How many systems the first page holds (at least 1)."""
        return self._systems(self.heading)

    @property
    def later_page_systems(self) -> int:
        """How many systems every later page holds (at least 1)."""
        return self._systems(self.running_heading)

    def _systems(self, heading: float) -> int:
        free = self.height - self.top - self.bottom - heading
        return max(1, int(free / self.system + 1e-9))


A4: Final = Page(210.0, 297.0)
"""ISO 216 A4, upright."""
LETTER: Final = Page(215.9, 279.4)
"""ANSI/ASME Y14.1 size A (8½ by 11 inches), upright."""


@frozen(order=False)
class PagePlan:
    """Where systems and pages begin, as indices of bars (not bar numbers).

    Index 0 begins the first system and the first page.
    """

    bar_count: int
    system_starts: tuple[int, ...]
    page_starts: tuple[int, ...]
    page: Page = field(default=A4)

    def followed_by(self, other: PagePlan, /) -> PagePlan:
        """Both plans as one, the other beginning on a page of its own; its bars
        are counted on from these."""
        by = self.bar_count
        return PagePlan(
            by + other.bar_count,
            self.system_starts + tuple(start + by for start in other.system_starts),
            self.page_starts + tuple(start + by for start in other.page_starts),
            self.page,
        )


def plan_systems(
    bars: Sequence[Bar],
    /,
    *,
    bars_per_system: int = 4,
    section_starts: SectionStarts = "where free",
    page: Page = A4,
    later_page: bool = False,
) -> PagePlan:
    """Choose the bars that begin systems and pages.

    The number of systems is the least that holds the bars.  Where that leaves
    room, shorter systems are placed so that, in this order, no single bar is
    left for the last system, sections and then endings start a system, no
    system holds a single bar, and as many systems as can be are full.

    Args:
        bars: written bars; their sections, endings and numbers are read.
        bars_per_system: the most bars in a system, the pickup not counted.
        section_starts: whether sections start systems.
        page: the paper.
        later_page: whether the first page carries the running heading only, as
            the solo page does.

    Raises:
        ValueError: if `bars_per_system` is below 1.

    >>> from fractions import Fraction
    >>> from leadsheet_theory.key import Key
    >>> from leadsheet_theory.meter import Meter
    >>> chart = [Bar(n, Key.parse("F major"), Meter(4, 4), Fraction(4))
    ...          for n in range(10)]  # a pickup and nine bars
    >>> plan_systems(chart).system_starts
    (0, 5, 8)
    """
    if bars_per_system < 1:
        raise ValueError(f"{bars_per_system} bars to a system: expected at least 1")
    count = len(bars)
    segments = [0]
    if section_starts == "always":
        segments += [at for at in range(1, count) if bars[at].section]
        if len(segments) > 1 and segments[1] == 1 and bars[0].is_pickup:
            del segments[1]
    starts: list[int] = []
    for start, end in zip(segments, [*segments[1:], count], strict=True):
        starts += _break(
            bars, start, end, bars_per_system, section_starts != "as they fall"
        )
    first = page.later_page_systems if later_page else page.first_page_systems
    return PagePlan(
        count,
        tuple(starts),
        tuple(_pages(starts, first, page.later_page_systems)),
        page,
    )


def _break(
    bars: Sequence[Bar], start: int, end: int, most: int, at_signs: bool
) -> list[int]:
    """The system starts of one stretch of bars."""
    # Only counted bars matter: a pickup joins the bar after it.
    firsts = [at for at in range(start, end) if not bars[at].is_pickup]
    if not firsts:
        return [start] if start < end else []
    if start < firsts[0]:
        firsts[0] = start
    count = len(firsts)
    systems = -(-count // most)
    slack = systems * most - count
    if not slack:
        return firsts[::most]
    # gain[i]: what a system is worth for starting at the i-th counted bar.
    gain = [0] * (count + 1)
    if at_signs:
        for place, at in enumerate(firsts):
            bar = bars[at] if not bars[at].is_pickup else bars[at + 1]
            if place:
                gain[place] = 10_000 * bool(bar.section) + 100 * bar.ending_starts
    best: dict[tuple[int, int], tuple[int, int]] = {(count, 0): (0, 0)}
    for place in range(count - 1, -1, -1):
        rest = count - place
        for left in range(slack + 1):
            if (rest + left) % most:
                continue
            choice: tuple[int, int] | None = None
            for size in range(min(most, rest), 0, -1):
                after = best.get((place + size, left - (most - size)))
                if after is None:
                    continue
                cost = after[0] - gain[place + size]
                if size < most:
                    cost += 10
                if size == 1:
                    cost += 1_000_000 if place + size == count else 1000
                if choice is None or cost < choice[0]:
                    choice = (cost, size)
            if choice is not None:
                best[place, left] = choice
    found: list[int] = []
    place = 0
    while place < count:
        found.append(firsts[place])
        size = best[place, slack][1]
        slack -= most - size
        place += size
    return found


def _pages(starts: Sequence[int], first: int, later: int) -> list[int]:
    """The page starts: as few pages as can be, none with a single system left over."""
    found: list[int] = []
    place, room = 0, first
    while place < len(starts):
        found.append(starts[place])
        left = len(starts) - place
        if left == room + 1 and room > 2:
            room -= 1  # two systems go over, not one
        place += room
        room = later
    return found


def check_same_plan(plans: Mapping[str, PagePlan], /) -> tuple[Finding, ...]:
    """What differs between the plans of several parts, named by part.

    Players who read from different parts name places by line and page; the
    first plan is the one the others are held against.
    """
    found: list[Finding] = []
    (name, model), *others = plans.items() or [("", PagePlan(0, (), ()))]
    for other, plan in others:
        for what, ours, theirs in (
            ("number of bars", (model.bar_count,), (plan.bar_count,)),
            ("systems", model.system_starts, plan.system_starts),
            ("pages", model.page_starts, plan.page_starts),
        ):
            if ours != theirs:
                found.append(
                    Finding("plan", "error", f"{what} of {other} differ from {name}")
                )
    return tuple(found)
