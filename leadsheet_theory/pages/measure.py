"""How much room drawn parts take: what systems and pages are planned from."""

from __future__ import annotations

from collections.abc import Sequence

from attrs import frozen

from ..chords.styles import PLAIN_LETTERS, PrintStyle
from ..musicxml.writing.write import write_part
from ..parts.model import Part
from ._headings import Heading
from ._music import PREFIX, bar_widths, draw_systems
from ._stacking import Rooms, runs_of, stack
from .look import ENGRAVED, PageLook

__all__ = ("DrawnSizes",)


@frozen(order=False)
class DrawnSizes:
    """The sizes of parts as :func:`.draw_pages` draws them with a look, a style and, if
    asked, a road map; to be handed to :func:`.make_parts`.

    >>> from leadsheet_theory.musicxml import read_lead_sheet
    >>> from leadsheet_theory.parts import make_parts
    >>> tune = read_lead_sheet("shared/charts/rope_walk.musicxml").sheet
    >>> part, *_ = make_parts(tune, measure=DrawnSizes())
    >>> part.plan.measured, part.plan.system_starts[:3]
    (True, (0, 4, 8))
    """

    look: PageLook = ENGRAVED
    style: PrintStyle = PLAIN_LETTERS
    road_map: bool = False

    def bar_shares(self, parts: Sequence[Part], /) -> tuple[float, ...]:
        """How much of a line each bar takes at least in the part where it is widest.

        Raises:
            PagesExtraError: if the extra ``pages`` is not installed.
            DrawingError: if a part can't be drawn.
        """
        widths = []
        for part in parts:
            page = part.plan.page
            line = page.width - page.left - page.right - PREFIX
            natural = bar_widths(
                write_part(part, style=self.style), staff=page.staff, look=self.look
            )
            widths.append([width / line for width in natural])
        return tuple(max(each) for each in zip(*widths, strict=True))

    def page_starts(self, parts: Sequence[Part], /) -> tuple[int, ...]:
        """The indices of the bars that begin pages, so that none is overfull.

        Raises:
            PagesExtraError: if the extra ``pages`` is not installed.
            DrawingError: if a part can't be drawn.
        """
        heights: list[tuple[float, ...]] = []
        rooms: list[list[Rooms]] = []
        for part in parts:
            page = part.plan.page
            systems = draw_systems(
                write_part(part, style=self.style),
                staff=page.staff,
                width=page.width - page.left - page.right,
                look=self.look,
            )
            runs = runs_of(part, systems)
            heading = Heading(part, page, self.look, self.road_map)
            heights.append(tuple(system.height for system in systems))
            rooms.append([heading.rooms(solo=each.solo) for each in runs])
        highest = [max(each) for each in zip(*heights, strict=True)]
        starts: list[int] = []
        done = 0
        for number, run in enumerate(runs):
            count = len(run.systems)
            least = Rooms(
                min(each[number].first for each in rooms),
                min(each[number].later for each in rooms),
            )
            pages = stack(highest[done : done + count], least)
            starts += (run.first_bars[place] for place in pages)
            done += count
        return tuple(starts)
