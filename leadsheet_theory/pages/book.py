"""Bound books: all tunes that one chair plays from, as one set of pages.

A cover, the contents, then the tunes.  Even pages lie at the left: a tune of two pages
begins there, so that both lie open (K. Bird, "Get your chart together", 2014), and so
does a longer one, which then turns as seldom as can be (common practice, no source).
The numbers of a chair's pages run through the book and stand outside at the foot.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from attrs import evolve, frozen

from .._doors import door
from ..chords.styles import PLAIN_LETTERS, PrintStyle
from ..parts.model import Part
from ..parts.systems import A4, Page
from ._sheets import Sheet, Words
from .draw import Pages, draw_pages
from .look import ENGRAVED, PageLook

__all__ = ("bind", "bound_pages", "title_order")

EMPTY_PAGE: Final = "This page is left empty so that no tune needs a page turn."


@door
def bind(
    parts: Iterable[Part],
    /,
    *,
    title: str,
    chair: str = "",
    page: Page = A4,
    look: PageLook = ENGRAVED,
    style: PrintStyle = PLAIN_LETTERS,
    numbered: bool = False,
) -> bytes:
    """Bind the parts of several tunes into one PDF: cover, contents, bookmarks, tunes.

    The parts of a player who doubles may be of two books, one after the other; the
    contents then name them apart.

    Args:
        parts: the parts, in the order of the book.
        title: what the book is called, such as the band's name.
        chair: who plays from it; by default the parts' own name.
        page: the paper.
        look: fonts and strength of lines.
        style: how chord symbols are printed.
        numbered: whether the tunes are numbered.

    Raises:
        PagesExtraError: if the extra ``pages`` is not installed.
        DrawingError: if a part can't be drawn.

    >>> from leadsheet_theory.musicxml import read_lead_sheet
    >>> from leadsheet_theory.parts import make_parts
    >>> tune = read_lead_sheet("shared/charts/rope_walk.musicxml").sheet
    >>> bind(make_parts(tune)[:1], title="The Net Loft Seven")[:5]
    b'%PDF-'
    """
    drawn = [draw_pages(part, page=page, look=look, style=style) for part in parts]
    return bound_pages(
        drawn, title=title, chair=chair, page=page, look=look, numbered=numbered
    ).pdf()


@door
def bound_pages(
    tunes: Sequence[Pages],
    /,
    *,
    title: str,
    chair: str = "",
    page: Page = A4,
    look: PageLook = ENGRAVED,
    numbered: bool = False,
    lengths: Sequence[int] = (),
    left_out: Sequence[str] = (),
) -> Pages:
    """Bind drawn parts; as :func:`bind`, but for pages that are drawn already.

    Args:
        tunes: the drawn parts, in the order of the book.
        title: what the book is called.
        chair: who plays from it; by default the parts' own name.
        page: the paper.
        look: fonts and strength of lines of what stands around the tunes.
        numbered: whether the tunes are numbered.
        lengths: how many pages each tune takes at least, so that it stands on the same
            page in the book of every chair.
        left_out: what is to be said at the foot of the contents, such as of charts that
            could not be read.
    """
    names = dict.fromkeys(tune.part for tune in tunes)
    player = chair or " and ".join(filter(None, names))
    setter = _Setter(page, look)
    contents = setter.contents_pages(tunes, left_out)
    places = _places(tunes, 1 + contents, lengths)
    sheets = [
        setter.cover(title, player, len(tunes)),
        *setter.contents(tunes, places, left_out, numbered=numbered),
    ]
    for index, (tune, place) in enumerate(zip(tunes, places, strict=True)):
        while len(sheets) + 1 < place:
            sheets.append(setter.empty(len(sheets) + 1))
        for number, sheet in enumerate(tune._sheets):
            bookmark = _entry(tune, index, numbered=numbered) if not number else ""
            sheet = evolve(sheet, bookmark=bookmark)
            sheets.append(setter.with_foot(sheet, len(sheets) + 1))
    authors = dict.fromkeys(name for tune in tunes for name in tune.authors)
    name = f"{title} – {player}" if player else title
    return Pages(name, tuple(sheets), tuple(authors), player)


_ARTICLES: Final = ("the ", "a ", "an ")


@door
def title_order(title: str, /) -> str:
    """What a title is sorted by: without a leading article, case passed over; numbers
    come before letters (common practice, no source).

    >>> sorted(["Rope Walk", "The Ebb", "3 Buoys"], key=title_order)
    ['3 Buoys', 'The Ebb', 'Rope Walk']
    """
    folded = title.casefold()
    for article in _ARTICLES:
        folded = folded.removeprefix(article)
    return folded


def _places(
    tunes: Sequence[Pages], before: int, lengths: Sequence[int]
) -> tuple[int, ...]:
    """The number of the page that each tune begins on."""
    places = []
    free = before + 1
    for index, tune in enumerate(tunes):
        length = max(len(tune), lengths[index] if lengths else 0)
        if length > 1 and free % 2:
            free += 1
        places.append(free)
        free += length
    return tuple(places)


def _entry(tune: Pages, index: int, *, numbered: bool) -> str:
    return f"{index + 1}  {tune.title}" if numbered else tune.title


_ROW: Final = 7.5  # the height of a line of the contents, in millimetres
_HEAD: Final = 20.0


@frozen(order=False)
class _Setter:
    """Sets what stands around the tunes."""

    page: Page
    look: PageLook

    @property
    def _rows(self) -> int:
        page = self.page
        return int((page.height - page.top - page.bottom - _HEAD) / _ROW)

    def contents_pages(self, tunes: Sequence[Pages], left_out: Sequence[str]) -> int:
        """How many pages the contents take."""
        return -(-max(len(self._lines(tunes, left_out)), 1) // self._rows)

    @staticmethod
    def _lines(
        tunes: Sequence[Pages], left_out: Sequence[str]
    ) -> list[tuple[str, int | None]]:
        """The lines of the contents: words, or the index of a tune."""
        lines: list[tuple[str, int | None]] = []
        several = len({tune.part for tune in tunes}) > 1
        part = ""
        for index, tune in enumerate(tunes):
            if several and tune.part != part:
                lines.append((tune.part, None))
                part = tune.part
            lines.append((tune.title, index))
        if left_out:
            lines.append(("", None))
            lines += [(line, None) for line in left_out]
        return lines

    def cover(self, title: str, player: str, count: int) -> Sheet:
        """The first page."""
        third = self.page.height / 3
        tunes = f"{count} tune{'' if count == 1 else 's'}"
        return self._sheet(
            (
                self._line(title, third, "center", 34),
                self._line(player, third + 22, "center", 22),
                self._line(tunes, self.page.height - 50, "center", 13),
            )
        )

    def contents(
        self,
        tunes: Sequence[Pages],
        places: Sequence[int],
        left_out: Sequence[str],
        *,
        numbered: bool,
    ) -> Iterator[Sheet]:
        """The pages of contents."""
        lines = self._lines(tunes, left_out)
        pages = self.contents_pages(tunes, left_out)
        for number in range(pages):
            words = [self._line("Contents", self.page.top, "left", 20)]
            y = self.page.top + _HEAD
            for text, tune in lines[number * self._rows : (number + 1) * self._rows]:
                if tune is None:
                    line = self._line(text, y, "left", 11)
                    words.append(
                        evolve(line, weight=600 if text in _names(tunes) else 400)
                    )
                else:
                    entry = _entry(tunes[tune], tune, numbered=numbered)
                    line = self._line(entry, y, "left", 13)
                    place = places[tune]
                    words.append(evolve(line, end=str(place), link=place))
                y += _ROW
            sheet = self._sheet(words, bookmark="" if number else "Contents")
            yield self.with_foot(sheet, 2 + number)

    def empty(self, number: int) -> Sheet:
        """A page that is left empty."""
        line = self._line(EMPTY_PAGE, self.page.height / 2, "center", 11)
        return self.with_foot(self._sheet((line,)), number)

    def with_foot(self, sheet: Sheet, number: int) -> Sheet:
        """The sheet with its number in the book outside at the foot."""
        foot = self.page.height - self.page.bottom + 1
        side = "right" if number % 2 else "left"
        line = self._line(str(number), foot, side, 11)
        return evolve(sheet, words=(*sheet.words, line))

    def _sheet(self, words: Iterable[Words], *, bookmark: str = "") -> Sheet:
        return Sheet(
            width=self.page.width,
            height=self.page.height,
            words=tuple(words),
            bookmark=bookmark,
        )

    def _line(self, text: str, y: float, align: str, size: float, /) -> Words:
        return Words(
            text=text,
            x=self.page.left,
            y=y,
            width=self.page.width - self.page.left - self.page.right,
            align=align,
            size=size,
            font=self.look.heading_font,
        )


def _names(tunes: Sequence[Pages]) -> set[str]:
    return {tune.part for tune in tunes}
