"""Drawn pages of parts: PDF, SVG and PNG, all in memory.

The same part gives the same bytes every time, in every process: ids and dates are
fixed, and no font of the system is used.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import Final

from attrs import evolve, field, frozen

from .._doors import door
from ..chords.styles import PLAIN_LETTERS, PrintStyle
from ..leadsheet.findings import Finding
from ..musicxml.writing.write import write_part
from ..parts.model import Part
from ..parts.systems import Page
from ._headings import Heading
from ._inline import self_contained
from ._libraries import (
    OutputFormat,
    can_draw,
    check_libraries,
    not_in_fonts,
    set_pages,
)
from ._music import GUTTER, draw_systems
from ._sheets import TEMPLATE, Picture, Sheet
from ._stacking import MOST_GAP, Run, fits, gap_between, runs_of, stack
from .look import ENGRAVED, PageLook

__all__ = ("Pages", "can_draw", "draw_pages", "join_pages")

SIGN_FONT: Final = "Leadsheet Chords"

# beyond the letters and signs that the fonts of both looks surely have
_UNUSUAL: Final = re.compile(
    "[^\\t\\n\x20-\x7e\xa0-\u017f\u2002\u2003\u2010-\u2026"
    "\u035c\u2044♭♮♯♩♪△Δ∅\ueca2\ueca3]"
)


@frozen(order=False)
class Pages:
    """Drawn pages, ready to be written as PDF, SVG or PNG.

    `title` and `authors` stand in the PDF's own data; `part` names who plays from
    them, where it is one.

    >>> print(Pages("Slack Water", ()))
    Slack Water, 0 pages
    """

    title: str
    _sheets: tuple[Sheet, ...] = field(repr=False, alias="sheets")
    authors: tuple[str, ...] = ()
    part: str = ""

    def __len__(self) -> int:
        return len(self._sheets)

    def __str__(self) -> str:
        count = len(self)
        return f"{self.title}, {count} page{'' if count == 1 else 's'}"

    def pdf(self) -> bytes:
        """All pages as one PDF.

        Raises:
            DrawingError: if the pages can't be set.
        """
        (made,) = self._made("pdf")
        return made

    def svgs(self) -> tuple[str, ...]:
        """Each page as an SVG picture that needs nothing else: its fonts are in it.

        Raises:
            DrawingError: if the pages can't be set.
        """
        return tuple(self_contained(each.decode()) for each in self._made("svg"))

    def pngs(self, *, dots_per_inch: float = 144) -> tuple[bytes, ...]:
        """Each page as a PNG picture.

        Raises:
            DrawingError: if the pages can't be set.
        """
        return tuple(self._made("png", dots_per_inch))

    def _made(self, kind: OutputFormat, dots_per_inch: float = 144) -> list[bytes]:
        check_libraries()
        return set_pages(TEMPLATE, self._data, kind, dots_per_inch=dots_per_inch)

    @property
    def _data(self) -> str:
        data = {
            "title": self.title,
            "authors": self.authors,
            "signs": SIGN_FONT,
            "sheets": [sheet.as_data() for sheet in self._sheets],
        }
        return json.dumps(data, ensure_ascii=False)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What can't be drawn as it is meant: words in a script that the fonts of the
        pages don't have."""
        data = self._data
        if not _UNUSUAL.search(data):
            return ()
        words = not_in_fonts(TEMPLATE, data)
        if not words:
            return ()
        return (
            Finding(
                rule="page-fonts",
                severity="warning",
                message=f"the fonts of the pages have no letters for {words}",
                advice="write them in Latin, Greek or Cyrillic letters",
            ),
        )


@door
def draw_pages(
    part: Part,
    /,
    *,
    page: Page | None = None,
    look: PageLook = ENGRAVED,
    style: PrintStyle = PLAIN_LETTERS,
    road_map: bool = False,
) -> Pages:
    """Draw the pages of a part.

    Systems begin where the part has them.  Pages do too, if every one of them fits
    its page as it is drawn; if not, the systems are spread over as few pages as can
    be.

    Args:
        part: the part.
        page: the paper, if not the one that the part was laid out for.
        look: fonts and strength of lines.
        style: how chord symbols are printed, as :func:`.write_part` has it.

    Raises:
        PagesExtraError: if the extra ``pages`` is not installed.
        DrawingError: if the part can't be drawn.
        MusicXMLWriteError: if something of the part cannot be written, such as a
            note in octave 10.

    >>> from leadsheet_theory.musicxml import read_lead_sheet
    >>> from leadsheet_theory.parts import make_parts
    >>> tune = read_lead_sheet("shared/charts/rope_walk.musicxml").sheet
    >>> for part in make_parts(tune)[:2]:
    ...     print(draw_pages(part), draw_pages(part).pdf()[:5])
    Rope Walk, 2 pages b'%PDF-'
    Rope Walk, 2 pages b'%PDF-'
    """
    check_libraries()
    paper = page or part.plan.page
    systems = draw_systems(
        write_part(part, style=style),
        staff=paper.staff,
        width=paper.width - paper.left - paper.right,
        look=look,
    )
    heading = Heading(part, paper, look, road_map)
    runs = runs_of(part, systems)
    layout = _own_pages(part, runs, heading) or tuple(
        stack(run.heights, heading.rooms(solo=run.solo)) for run in runs
    )
    sheets = tuple(_sheets(runs, layout, heading))
    name = f"{part.source.title} ({part.name})" if part.source.title else part.name
    sheets = (evolve(sheets[0], bookmark=name), *sheets[1:])
    authors = tuple(filter(None, (part.source.composer, part.source.arranger)))
    return Pages(part.source.title or part.name, sheets, authors, part.name)


@door
def join_pages(title: str, parts: Iterable[Pages], /) -> Pages:
    """Several drawn parts as one set of pages, in order, each with its bookmark.

    >>> print(join_pages("Slack Water", [Pages("C", ()), Pages("F", ())]))
    Slack Water, 0 pages
    """
    all_pages = tuple(parts)
    authors = dict.fromkeys(name for pages in all_pages for name in pages.authors)
    return Pages(
        title,
        tuple(sheet for pages in all_pages for sheet in pages._sheets),
        tuple(authors),
    )


def _own_pages(
    part: Part, runs: Sequence[Run], heading: Heading
) -> tuple[tuple[int, ...], ...] | None:
    """The systems of each run that begin pages in the part's own plan; None if one
    of its pages doesn't fit."""
    found = []
    for run in runs:
        rooms = heading.rooms(solo=run.solo)
        starts = tuple(
            index
            for index, bar in enumerate(run.first_bars)
            if not index or bar in part.plan.page_starts
        )
        if not fits(run.heights, starts, rooms):
            return None
        found.append(starts)
    return tuple(found)


def _sheets(
    runs: Sequence[Run], layout: Sequence[Sequence[int]], heading: Heading
) -> Iterator[Sheet]:
    paper = heading.page
    number = 0
    for run, starts in zip(runs, layout, strict=True):
        before = MOST_GAP
        for start, end in pairwise([*starts, len(run.systems)]):
            number += 1
            solo = run.solo and not start
            heights = run.heights[start:end]
            # a short last page is not drawn further apart than the one before
            gap = min(gap_between(heights, heading.room(number, solo=solo)), before)
            before = gap
            y = paper.top + heading.height(number, solo=solo)
            pictures = []
            for system in run.systems[start:end]:
                x = paper.left - GUTTER
                pictures.append(Picture(system.svg, x, y, system.width, system.height))
                y += system.height + gap
            words = heading.words(number, solo=solo)
            yield Sheet(
                width=paper.width,
                height=paper.height,
                pictures=tuple(pictures),
                words=tuple(line for line in words if line.text or line.signs),
            )
