"""Systems and pages: which bar begins a line, which one a page.

So many bars to a system (four are the norm of the lead sheet: common practice,
no source), the pickup not counted, and a bar that a sign divides counted once: its
second part starts a system, as a pickup does, where the bar after it would.  A section
starts at the left margin where it can (J. Gates, "Berklee blogs", on layout: double
bars at the right margin, sections at the left) and a system is never spent on it unless
asked.  Every part is laid out by the same plan, as the plan depends on the form alone.

Lengths are in millimetres.  Paper: ISO 216 (A4), ANSI/ASME Y14.1 (letter).  Staff
and systems to a page: staves of 7.5 to 8 mm, 8 or 9 systems on the first page and
10 on later ones (D. J. Argue, "Music preparation" guidelines, 2023).
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Collection, Mapping, Sequence
from itertools import accumulate, pairwise
from types import MappingProxyType
from typing import Final, Literal, get_args

from attrs import field, frozen

from .._arguments import check_choice
from .._doors import door
from ..errors import DecisionError, LayoutError
from ..leadsheet.divided_bars import parts_at_a_sign
from ..leadsheet.findings import Finding
from ..leadsheet.lead_in import lead_in
from ..leadsheet.model import Bar
from ..leadsheet.signs import NO_SIGNS

__all__ = (
    "A4",
    "LETTER",
    "NO_BREAKS",
    "PAPERS",
    "BreaksAsked",
    "Page",
    "PagePlan",
    "SectionStarts",
    "check_same_plan",
    "plan_systems",
)

SectionStarts = Literal["page has room", "where free", "always", "as they fall"]
"""Whether a section starts a system: all do if that costs no page more, or those that
cost no system more; the latter alone; always; or only by chance."""


@frozen(order=False, kw_only=True)
class Page:
    """A sheet of paper and how it is filled; all lengths in millimetres.

    `staff` is the height of the five lines, `heading` what the title takes on the
    first page and `running_heading` on the later ones, `system` the distance
    from one system's top line to the next one's.

    Raises:
        LayoutError: if a length is not above zero, or the first page has no room
            for a system.
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

    def __attrs_post_init__(self) -> None:
        lengths = (self.width, self.height, self.staff, self.system)
        if min(lengths) <= 0:
            raise LayoutError("a page needs a width, a height, staves and systems")
        across = self.width - self.left - self.right
        down = self.height - self.top - self.bottom - self.heading
        if across <= 0 or down < self.system:
            raise LayoutError(
                f"no room for a system on {self.width:g} by {self.height:g} mm: "
                "expected smaller margins, heading or staves"
            )

    @property
    def first_page_systems(self) -> int:
        """How many systems the first page holds ."""
        return self._systems(self.heading)

    @property
    def later_page_systems(self) -> int:
        """How many systems every later page holds ."""
        return self._systems(self.running_heading)

    def _systems(self, heading: float) -> int:
        free = self.height - self.top - self.bottom - heading
        return int(free / self.system + 1e-9)


A4: Final = Page(width=210.0, height=297.0)
"""ISO 216 A4, upright."""
LETTER: Final = Page(width=215.9, height=279.4)
"""ANSI/ASME Y14.1 size A (8½ by 11 inches), upright."""

PAPERS: Final[Mapping[str, Page]] = MappingProxyType(
    {
        "A4": A4,
        "letter": LETTER,
        "9x12": Page(width=228.6, height=304.8, staff=8.0, system=26.0),
        "9.5x12.5": Page(width=241.3, height=317.5, staff=8.0, system=26.0),
        "10x13": Page(width=254.0, height=330.2, staff=8.0, system=26.0),
        "B4": Page(width=257.0, height=364.0, staff=8.0, system=26.0),
    }
)
"""Papers that players' parts are printed on, by name, all upright.

Sizes in inches are those of American part paper (D. J. Argue, "Music preparation"
guidelines, 2019 and 2023, and orchestras' rules for large parts); B4 is the Japanese
size, 257 by 364 mm, that European radio orchestras ask for (Metropole Orkest, rules for
parts).  Staves are 7.5 mm high on A4 and letter, 8 mm on larger paper (the same rules).
"""


@frozen(order=False)
class PagePlan:
    """Where systems and pages begin, as indices of bars (not bar numbers).

    Index 0 begins the first system and the first page.  `measured` says that the plan
    was made from drawn widths and heights, not from estimates.
    """

    bar_count: int
    system_starts: tuple[int, ...]
    page_starts: tuple[int, ...]
    page: Page = field(default=A4)
    measured: bool = False

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


@frozen(order=False)
class BreaksAsked:
    """The bars, by their numbers in the parts, with which systems are to begin; the
    bars of the solo page count on from the tune's."""

    numbers: tuple[int, ...] = ()

    def in_tune(self, tune: Sequence[Bar], /) -> tuple[int, ...]:
        """The indices of those that are in the tune; bar 1 stays with its pickup."""
        first = 2 if tune and tune[0].is_pickup else 1
        return tuple(
            index
            for index in range(first, len(tune))
            if tune[index].number in self.numbers
        )

    def in_solos(self, tune: Sequence[Bar], solo: Sequence[Bar], /) -> tuple[int, ...]:
        """The indices, among the bars of the solo page, of those that are there."""
        before = max((bar.number for bar in tune), default=0) + 1
        return tuple(
            number - before
            for number in sorted(set(self.numbers))
            if 0 < number - before < len(solo)
        )

    def check(self, tune: Sequence[Bar], solo: Sequence[Bar], /) -> None:
        """Make sure that there are such bars.

        Raises:
            DecisionError: if one is not there.
        """
        there = {bar.number for bar in tune}
        last = max(there, default=0) + len(solo)
        for number in self.numbers:
            if number not in there and not max(there, default=0) < number <= last:
                raise DecisionError(f"no bar {number}: the part ends with bar {last}")


NO_BREAKS: Final = BreaksAsked()
"""No bar in particular begins a system."""


@door
def plan_systems(
    bars: Sequence[Bar],
    /,
    *,
    bars_per_system: int = 4,
    section_starts: SectionStarts = "page has room",
    page: Page = A4,
    later_page: bool = False,
    shares: Sequence[float] = (),
    starts: Collection[int] = (),
) -> PagePlan:
    """Choose the bars that begin systems and pages.

    The number of systems is the least that holds the bars, or the least with which
    every letter and coda starts one where that takes no page more.  Where that leaves
    room, shorter systems are placed so that, in this order, no single bar is
    left for the last system, sections and then endings start a system, no
    system holds a single bar, and as many systems as can be are full.

    Args:
        bars: written bars; their sections, endings and numbers are read.
        bars_per_system: the most bars in a system, the pickup not counted, nor a whole
            bar that leads in (:func:`.lead_in`).
        section_starts: whether sections start systems.
        page: the paper.
        later_page: whether the first page carries the running heading only, as
            the solo page does.
        shares: how much of a line each bar takes at least (1 for a whole line), as
            it is drawn; without them only the number of bars counts.
        starts: the indices of bars with which systems are to begin in any case.

    Raises:
        LayoutError: if `bars_per_system` is below 1, or there are not as many
            `shares` as bars.
        ChoiceError: if `section_starts` is no :data:`SectionStarts`.

    >>> from fractions import Fraction
    >>> from leadsheet_theory.key import Key
    >>> from leadsheet_theory.rhythm import Meter
    >>> chart = [Bar(number=n, key=Key.parse("F major"), meter=Meter(4, 4),
    ...              length=Fraction(4))
    ...          for n in range(10)]  # a pickup and nine bars
    >>> plan_systems(chart).system_starts
    (0, 5, 8)
    """
    if bars_per_system < 1:
        raise LayoutError(f"{bars_per_system} bars to a system: expected at least 1")
    if shares and len(shares) != len(bars):
        raise LayoutError(f"the shares of {len(shares)} bars for {len(bars)} bars")
    check_choice("section_starts", section_starts, get_args(SectionStarts))
    count = len(bars)
    begins = [_begins(bars, index) for index in range(count)]
    if section_starts == "as they fall":
        begins = [""] * count
    leads_in = lead_in(bars) == 1
    first = 2 if leads_in else 1
    first_page = page.later_page_systems if later_page else page.first_page_systems

    counted = _counted(bars, begins, leads_in=leads_in)

    def planned(cuts: Sequence[int]) -> PagePlan:
        found: list[int] = []
        for start, end in pairwise([*sorted({0, *cuts, *starts}), count]):
            found += _break(counted, start, end, bars_per_system, shares)
        on_section = [begins[start] == "section" for start in found]
        pages = _pages(on_section, first_page, page.later_page_systems)
        return PagePlan(
            count, tuple(found), tuple(found[place] for place in pages), page
        )

    if section_starts == "always":
        return planned([at for at in range(first, count) if begins[at] == "section"])
    close = planned(())
    if section_starts != "page has room":
        return close
    named = [at for at in range(first, count) if _is_named(bars[at])]
    if close.system_starts and not set(named).issubset(close.system_starts):
        wide = planned(named)
        if len(wide.page_starts) == len(close.page_starts) and (
            _lone_bars(wide) <= _lone_bars(close)
        ):
            return wide
    return close


def _is_named(bar: Bar) -> bool:
    """Whether a reader looks for this bar where a system starts: a letter, a coda."""
    return bool(bar.form.section or bar.form.coda)


def _lone_bars(plan: PagePlan) -> int:
    """How many systems hold a single bar."""
    starts = (*plan.system_starts, plan.bar_count)
    return sum(right == left + 1 for left, right in pairwise(starts))


def _begins(bars: Sequence[Bar], index: int) -> Literal["section", "ending", ""]:
    """What begins with a bar: a section (a letter, a place that is come back to, or
    what follows a double bar), an ending, or nothing."""
    form = bars[index].form
    if form is not NO_SIGNS:
        if form.section or form.arrives:
            return "section"
        if form.ending_starts:
            return "ending"
    if index and bars[index - 1].form.barline in ("double", "final"):
        return "section"
    return ""


@frozen(order=False)
class _Counted:
    """The bars that are counted, since only these matter: a pickup joins the bar after
    it, and so does the second part of a bar that a sign divides.

    `bars` are their indices, `firsts` where a system starts that is to start with each
    of them, and `gains` what a system saves by that.
    """

    bars: Sequence[int]
    firsts: Sequence[int]
    gains: Sequence[int]


def _counted(bars: Sequence[Bar], begins: Sequence[str], *, leads_in: bool) -> _Counted:
    counted = [
        index
        for index, bar in enumerate(bars)
        if bar.counts and not (leads_in and index == 0)
    ]
    parts = {
        index
        for index, bar in enumerate(bars)
        if bar.divided_at and index and parts_at_a_sign(bars[index - 1], bar)
    }
    firsts = [index - (index - 1 in parts) for index in counted] if parts else counted
    gains = [
        _GAIN[begins[index]]
        if first == index
        else max(_GAIN[begins[first]], _GAIN[begins[index]])
        for first, index in zip(firsts, counted, strict=True)
    ]
    return _Counted(counted, firsts, gains)


_GAIN: Final = {"section": 10_000, "ending": 100, "": 0}
_SHORT_SYSTEM: Final = 10
_LONE_BAR: Final = 1_000
_LONE_LAST_BAR: Final = 1_000_000
_NEVER: Final = 1 << 40
_LINE: Final = 1.0 + 1e-9


def _break(
    counted: _Counted,
    start: int,
    end: int,
    most: int,
    shares: Sequence[float],
) -> list[int]:
    """The system starts of one stretch of bars."""
    low, high = bisect_left(counted.bars, start), bisect_left(counted.bars, end)
    if low == high:
        return [start] if start < end else []
    firsts = [start, *counted.firsts[low + 1 : high]]
    count = len(firsts)
    if not shares and not count % most:
        return firsts[::most]
    before = list(accumulate(shares[start:end], initial=0.0)) if shares else []
    used = [before[first - start] for first in (*firsts, end)] if shares else []
    sizes = _cheapest_sizes(counted.gains[low:high], used, most)
    found: list[int] = []
    place = 0
    while place < count:
        found.append(firsts[place])
        place += sizes[place]
    return found


def _cheapest_sizes(gain: Sequence[int], used: Sequence[float], most: int) -> list[int]:
    """How many bars a system takes that begins at each place, so that it and all after
    it are the fewest, and among those the cheapest.

    `gain` is what a system saves by beginning at a place, `used` how many lines are
    filled before it, or nothing where only the number of bars counts.
    """
    count = len(gain)
    # From the end: how many systems the bars from each place on take, and their cost.
    cost = [(0, 0)] * (count + 1)
    sizes = [0] * count
    for place in range(count - 1, -1, -1):
        rest = count - place
        cost[place] = _NEVER, 0
        for size in range(min(most, rest), 0, -1):
            if used and size > 1 and used[place + size] - used[place] > _LINE:
                continue
            systems, price = cost[place + size]
            price += _SHORT_SYSTEM * (size < most)
            if size < rest:
                price -= gain[place + size]
            if size == 1:
                price += _LONE_LAST_BAR if rest == 1 else _LONE_BAR
            if (systems + 1, price) < cost[place]:
                cost[place], sizes[place] = (systems + 1, price), size
    return sizes


def _pages(on_section: Sequence[bool], first: int, later: int) -> list[int]:
    """The systems that begin pages: as few pages as can be, filled alike, begun with a
    section where one starts in the lower half of the page before, and never with a
    single system left over."""
    count = len(on_section)
    starts = [0] if count else []
    place, room = 0, first
    while count - place > room:
        left = count - place
        pages_left = -(-(left - room) // later)
        fewest = max(1, left - pages_left * later)
        even = place + max(fewest, min(room, -(-left // (pages_left + 1))))
        if count - even == 1 and even - place > max(2, fewest):
            even -= 1
        near = range(place + max(fewest, room // 2), min(place + room, count - 2) + 1)
        on = [at for at in near if on_section[at]]
        place = min((abs(at - even), at) for at in on)[1] if on else even
        starts.append(place)
        room = later
    return starts


@door
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
                    Finding(
                        rule="plan",
                        severity="error",
                        message=f"{what} of {other} differ from {name}",
                    )
                )
    return tuple(found)
