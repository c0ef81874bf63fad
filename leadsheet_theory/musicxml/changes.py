"""What changed from one printing of a part to the next, for a correction at rehearsal.

Two files of one part are compared as a player would compare two printed parts: bar by
bar, and page by page.  A mark that says which revision a page is doesn't count.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from difflib import SequenceMatcher
from typing import Final
from xml.etree import ElementTree

from attrs import frozen

from .._doors import door
from ..errors import MusicXMLReadError

__all__ = ("PartChanges", "part_changes")

_REVISION: Final = "revision"
_SPACE: Final = re.compile(rb">\s+<")


@frozen(order=False)
class PartChanges:
    """The numbers of the bars that are not as they were, and of the pages (from 1)
    that need printing anew; a bar that is gone is told by the one before it."""

    bars: tuple[int, ...] = ()
    pages: tuple[int, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.bars or self.pages)


@door
def part_changes(old: bytes, new: bytes, /) -> PartChanges:
    """What changed from an old file of a part, as :func:`.write_part` makes it, to a
    new one.

    Raises:
        MusicXMLReadError: if one of them is no such file.

    >>> from leadsheet_theory import make_parts, read_lead_sheet, write_part
    >>> from leadsheet_theory.decisions import decided_sheet, decisions_from
    >>> tune = read_lead_sheet("shared/charts/harbourmasters_day_off.musicxml").sheet
    >>> better = decided_sheet(tune, decisions_from({"correct-note": ["6 1 Ab4"]}))
    >>> old, new = (write_part(make_parts(sheet, books="Bb")[0])
    ...             for sheet in (tune, better))
    >>> part_changes(old, new)
    PartChanges(bars=(6,), pages=(1,))
    """
    before, after = _pages(old), _pages(new)
    pages = tuple(
        number
        for number, page in enumerate(after, 1)
        if number > len(before) or page.signs != before[number - 1].signs
    )
    return PartChanges(_bars(before, after), pages)


@frozen(order=False)
class _Page:
    """A printed page: all that stands on it, and its bars with their numbers."""

    signs: tuple[bytes, ...]
    bars: tuple[tuple[int, bytes], ...]


def _pages(file: bytes) -> tuple[_Page, ...]:
    try:
        root = ElementTree.fromstring(file)
    except ElementTree.ParseError as error:
        raise MusicXMLReadError(f"no file of a part: {error}") from None
    measures = root.findall("part/measure")
    pages: list[list[ElementTree.Element]] = [[]]
    for measure in measures:
        if pages[-1] and measure.find("print[@new-page='yes']") is not None:
            pages.append([])
        pages[-1].append(measure)
    layout = [_text(each) for each in root.findall("defaults")]
    return tuple(
        _Page(
            (*layout, *_words(root, number), *map(_text, page)),
            tuple(map(_bar, page)),
        )
        for number, page in enumerate(pages, 1)
    )


def _words(root: ElementTree.Element, page: int) -> Iterator[bytes]:
    """The words around the music of a page."""
    for credit in root.findall(f"credit[@page='{page}']"):
        if credit.findtext("credit-type") != _REVISION:
            yield _text(credit)


def _text(element: ElementTree.Element) -> bytes:
    return _SPACE.sub(b"><", ElementTree.tostring(element)).strip()


def _bar(measure: ElementTree.Element) -> tuple[int, bytes]:
    """The number of a measure, and what stands in it wherever it stands."""
    number = re.match(r"\d+", measure.get("number", ""))
    inside = b"".join(_text(child) for child in measure if child.tag != "print")
    return int(number[0]) if number else 0, inside


def _bars(before: Sequence[_Page], after: Sequence[_Page]) -> tuple[int, ...]:
    old = [bar for page in before for bar in page.bars]
    new = [bar for page in after for bar in page.bars]
    matcher = SequenceMatcher(
        None, [bar for _, bar in old], [bar for _, bar in new], autojunk=False
    )
    changed: set[int] = set()
    for what, _, _, start, end in matcher.get_opcodes():
        if what == "delete":
            start, end = max(start - 1, 0), max(start, 1)
        if what != "equal":
            changed.update(number for number, _ in new[start:end])
    return tuple(sorted(changed))
