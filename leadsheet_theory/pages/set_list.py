"""The set list: a page for the evening with order, title, key, tempo and feel.

It is read from a plain text, a tune on each line; columns that stand after the title,
set apart by ``|``, are key, tempo and feel.  Where a tune's chart is known its own are
taken for those that are left open.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from attrs import evolve, frozen

from ..leadsheet.model import LeadSheet
from ..parts.systems import A4, Page
from ._headings import tempo_mark
from ._libraries import check_libraries
from ._sheets import Sheet, Words
from .draw import Pages
from .look import ENGRAVED, PageLook

__all__ = ("SetListTune", "draw_set_list", "read_set_list")


@frozen(order=False)
class SetListTune:
    """One line of a set list: a title, and key, tempo and feel as they are printed."""

    title: str
    key: str = ""
    tempo: str = ""
    feel: str = ""

    def filled_from(self, sheet: LeadSheet, /) -> SetListTune:
        """With the title of a chart, and with its key, tempo and style where the list
        leaves them open."""
        return SetListTune(
            sheet.title or self.title,
            self.key or sheet.key.glyphs,
            self.tempo or (tempo_mark(sheet.tempo) if sheet.tempo else ""),
            self.feel or sheet.style,
        )


_NUMBER: Final = re.compile(r"\d+[.)]\s+")


def read_set_list(text: str, /) -> tuple[SetListTune, ...]:
    """The tunes of a set list in order.  Empty lines, and those that begin with ``#``,
    are passed over, and so are numbers before titles (``1.``, ``2)``).

    >>> for tune in read_set_list("1. Rope Walk | Dm | 84\\nHarbourmaster's Day Off"):
    ...     print(tune)
    SetListTune(title='Rope Walk', key='Dm', tempo='84', feel='')
    SetListTune(title="Harbourmaster's Day Off", key='', tempo='', feel='')
    """
    tunes = []
    for line in text.splitlines():
        stripped = _NUMBER.sub("", line.strip(), count=1)
        if not stripped or stripped.startswith("#"):
            continue
        columns = [column.strip() for column in stripped.split("|")]
        tunes.append(SetListTune(*columns[:4]))
    return tuple(tunes)


_ROW: Final = 13.0  # millimetres: to be read from the floor
_HEAD: Final = 24.0


def draw_set_list(
    tunes: Sequence[SetListTune],
    /,
    *,
    title: str,
    page: Page = A4,
    look: PageLook = ENGRAVED,
) -> Pages:
    """Draw a set list.

    Args:
        tunes: its tunes in order.
        title: what stands above them, such as the evening.
        page: the paper.
        look: the fonts.

    Raises:
        PagesExtraError: if the extra ``pages`` is not installed.

    >>> tunes = read_set_list("Rope Walk | Dm\\nWaltz for a Moored Ferry | Db")
    >>> print(draw_set_list(tunes, title="Friday"))
    Friday, 1 page
    """
    check_libraries()
    across = page.width - page.left - page.right
    fit = max(1, int((page.height - page.top - page.bottom - _HEAD) / _ROW))
    line = Words(
        text=title,
        x=page.left,
        y=page.top,
        width=across,
        align="center",
        size=26,
        font=look.heading_font,
    )
    sheets: list[Sheet] = []
    for start in range(0, max(len(tunes), 1), fit):
        words = [line]
        y = page.top + _HEAD
        for number, tune in enumerate(tunes[start : start + fit], start + 1):
            for text, left, width, size in (
                (str(number), 0.0, 0.06, 20),
                (tune.title, 0.07, 0.45, 20),
                (tune.key, 0.54, 0.14, 15),
                (tune.tempo, 0.69, 0.12, 15),
                (tune.feel, 0.82, 0.18, 13),
            ):
                if text:
                    words.append(
                        evolve(
                            line,
                            text=text,
                            x=page.left + left * across,
                            y=y + (20 - size) * 0.3,  # on one base line
                            width=width * across,
                            align="left",
                            size=size,
                        )
                    )
            y += _ROW
        bookmark = "" if sheets else title
        sheets.append(
            Sheet(
                width=page.width,
                height=page.height,
                words=tuple(words),
                bookmark=bookmark,
            )
        )
    return Pages(title, tuple(sheets))
