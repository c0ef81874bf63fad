"""What stands before the first bar: titles, page, headings, instruments."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Final

from ...instruments.clefs import PERCUSSION_CLEF, Clef
from ...instruments.transposing import transpose_element
from ...interval import UNISON, Interval
from ...leadsheet.model import LeadSheet
from ...parts.systems import Page
from ._text import PROLOGUE, escape

__all__ = (
    "clef_xml",
    "credits_xml",
    "defaults_xml",
    "head_xml",
    "part_entry",
    "transpose_xml",
)

_LINE: Final = 8
"""From one line of the heading to the next, in millimetres."""


def head_xml(sheet: LeadSheet) -> str:
    """The prologue, the root's start tag, the titles and who made it."""
    out = [PROLOGUE, '<score-partwise version="4.0">\n']
    out.append(f"<work><work-title>{escape(sheet.title)}</work-title></work>\n")
    out.append("<identification>")
    for kind in ("composer", "lyricist", "arranger"):
        name = getattr(sheet, kind)
        if name:
            out.append(f'<creator type="{kind}">{escape(name)}</creator>')
    if sheet.rights:
        out.append(f"<rights>{escape(sheet.rights)}</rights>")
    out.append(
        "<encoding><software>leadsheet_theory</software>"
        '<supports element="accidental" type="yes"/>'
        '<supports element="beam" type="yes"/>'
        '<supports element="stem" type="yes"/>'
        '<supports element="print" attribute="new-system" type="yes" value="yes"/>'
        '<supports element="print" attribute="new-page" type="yes" value="yes"/>'
        "</encoding></identification>\n"
    )
    return "".join(out)


def _tenths(millimetres: float, page: Page) -> str:
    """A length in tenths of a staff space: 40 to the height of the staff."""
    return f"{millimetres * 40 / page.staff:.2f}"


# the faces that pages are drawn in, then what any program has
_FONTS: Final = (
    '<music-font font-family="Leipzig,engraved"/>'
    '<word-font font-family="Libertinus Serif,serif" font-size="11"/>'
    '<lyric-font font-family="Libertinus Serif,serif" font-size="11"/>'
)


@lru_cache(maxsize=16)
def defaults_xml(page: Page) -> str:
    """The defaults element: the sizes of the page and of the staff, and from one
    system's bottom line to the next one's top line."""
    margins = "".join(
        f"<{side}-margin>{_tenths(size, page)}</{side}-margin>"
        for side, size in (
            ("left", page.left),
            ("right", page.right),
            ("top", page.top),
            ("bottom", page.bottom),
        )
    )
    return (
        f"<defaults><scaling><millimeters>{page.staff:g}</millimeters>"
        "<tenths>40</tenths></scaling><page-layout>"
        f"<page-height>{_tenths(page.height, page)}</page-height>"
        f"<page-width>{_tenths(page.width, page)}</page-width>"
        f'<page-margins type="both">{margins}</page-margins></page-layout>'
        "<system-layout><system-distance>"
        f"{_tenths(page.system - page.staff, page)}"
        f"</system-distance></system-layout>{_FONTS}</defaults>\n"
    )


def credits_xml(
    sheet: LeadSheet, headings: Sequence[str], page: Page, *, revision: str = ""
) -> str:
    """The words at the head of each page: the part's heading at the left, the title in
    the middle and, on the first page, who made it at the right and the rights at the
    foot; on each page at the foot which revision it is.

    On the first page the title has a line to itself; a long one is set smaller.
    """
    (left, middle, right), (first, second, third, foot) = _places(page)
    room = page.width - page.left - page.right
    out: list[str] = []
    for number, heading in enumerate(headings, 1):
        if revision:
            words = f"rev. {revision}"
            out.append(_credit(number, "revision", words, (right, foot), "right", 8))
        if number > 1:
            beside = 2 * (_width(heading, 12) + _LINE)
            size = _fitting(sheet.title, 14, room - beside)
            out += (
                _credit(number, "title", sheet.title, (middle, first), "center", size),
                _credit(number, "part name", heading, (left, first), "left", 12),
                _credit(
                    number, "page number", str(number), (right, first), "right", 12
                ),
            )
            continue
        size = _fitting(sheet.title, 22, room)
        out += (
            _credit(number, "title", sheet.title, (middle, first), "center", size),
            _credit(number, "part name", heading, (left, second), "left", 12),
            _credit(number, "subtitle", sheet.subtitle, (middle, second), "center", 14),
            _credit(number, "composer", sheet.composer, (right, second), "right", 12),
            _credit(number, "lyricist", sheet.lyricist, (left, third), "left", 10),
            _credit(number, "arranger", sheet.arranger, (right, third), "right", 10),
            _credit(
                number,
                "rights",
                sheet.rights,
                (middle, foot),
                "center",
                8,
            ),
        )
    return "".join(out)


@lru_cache(maxsize=16)
def _places(page: Page) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Where words stand on a page, in tenths: from its left at the left, in the middle
    and at the right; from its foot on three lines at the head, and at the foot."""
    across = page.left, page.width / 2, page.width - page.right
    top = page.height - page.top
    up = *(top - line * _LINE for line in range(3)), page.bottom / 2
    return (
        tuple(_tenths(length, page) for length in across),
        tuple(_tenths(length, page) for length in up),
    )


def _width(words: str, size: int) -> float:
    """About how many millimetres words take: half an em a letter (a common estimate,
    no source), an em being as many points of 25.4 / 72 mm as the size."""
    return len(words) * size * 25.4 / 72 / 2


def _fitting(words: str, size: int, room: float) -> int:
    """The size, or the largest one below it at which words fit; 8 at least."""
    while size > 8 and _width(words, size) > room:
        size -= 1
    return size


def _credit(
    page: int, kind: str, words: str, at: tuple[str, str], justify: str, size: int
) -> str:
    """Words on a page, if there are any, `at` so many tenths from its left and foot."""
    if not words:
        return ""
    x, y = at
    return (
        f'<credit page="{page}"><credit-type>{kind}</credit-type>'
        f'<credit-words default-x="{x}" default-y="{y}" font-size="{size}" '
        f'justify="{justify}" halign="{justify}" valign="top">{escape(words)}'
        "</credit-words></credit>\n"
    )


def part_entry(number: int, name: str, *, sound: str = "", shown: bool = True) -> str:
    """The score-part element; a `name` that is not `shown` only names the part."""
    hidden = "" if shown else ' print-object="no"'
    instrument = (
        f'<score-instrument id="P{number}-I1">'
        f"<instrument-name>{escape(name)}</instrument-name>"
        f"<instrument-sound>{sound}</instrument-sound></score-instrument>"
        if sound
        else ""
    )
    return (
        f'<score-part id="P{number}"><part-name{hidden}>{escape(name)}</part-name>'
        f"{instrument}</score-part>\n"
    )


def clef_xml(clef: Clef, *, number: int = 0) -> str:
    """The clef element; `number` is that of its staff, where there are several."""
    staff = f' number="{number}"' if number else ""
    if clef == PERCUSSION_CLEF:
        return f"<clef{staff}><sign>percussion</sign></clef>"
    octave = (
        f"<clef-octave-change>{clef.octave_change}</clef-octave-change>"
        if clef.octave_change
        else ""
    )
    return (
        f"<clef{staff}><sign>{clef.sign}</sign><line>{clef.line}</line>{octave}</clef>"
    )


def transpose_xml(to_sounding: Interval) -> str:
    """The transpose element; nothing for a part that sounds as written."""
    if to_sounding == UNISON:
        return ""
    element = transpose_element(to_sounding)
    change = element.octave_change
    octaves = f"<octave-change>{change}</octave-change>" if change else ""
    return (
        f"<transpose><diatonic>{element.diatonic}</diatonic>"
        f"<chromatic>{element.chromatic}</chromatic>{octaves}</transpose>"
    )
