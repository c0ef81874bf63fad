"""What stands around the music of a part: headings, page numbers, the foot.

The places: part name at the left, title in the middle, composer at the right, arranger
below (D. J. Argue, "Music preparation" guidelines, 2023); on later pages title, part
name and page number; odd pages are right-hand pages with their number at the outside
(MOLA, "Guidelines for music preparation").
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from attrs import evolve, frozen

from ..leadsheet.findings import beat_text
from ..leadsheet.model import Tempo
from ..leadsheet.running_order import solos_text
from ..parts.model import Part
from ..parts.systems import Page
from ._equation import swing_equation
from ._sheets import DrawnSign, Words
from ._stacking import Rooms
from .look import PageLook

__all__ = ("Heading", "road_map", "tempo_mark")

_TITLE: Final = 11.0  # what each line takes, in millimetres
_LINE: Final = 6.5
_SMALL_LINE: Final = 5.0
_SOLOS: Final = 7.5
_RUNNING: Final = 7.0
_GAP: Final = 2.0
_NUMBER: Final = 16.0  # the width kept for a page number
_BEATS: Final = {
    "whole": "\ueca2", "half": "\ueca3", "quarter": "♩", "eighth": "♪",
}  # fmt: skip


def tempo_mark(tempo: Tempo) -> str:
    """A metronome mark as it is printed, in the signs of our fonts."""
    beat = _BEATS.get(tempo.beat.name, tempo.beat.name) + "." * tempo.beat.dots
    return f"{beat} = {beat_text(tempo.per_minute)}"


def road_map(part: Part) -> str:
    """The way through a part in a line: the sections of its head as they are played,
    the solos, the way back.  Nothing where no section has a name."""
    bars, order = part.source.bars, part.order
    names = " ".join(filter(None, (bars[at].form.section for at in order.head)))
    if not names:
        return ""
    back = "" if order.way_back is None else str(order.way_back)
    solos = solos_text(order.solos) if order.has_solos else ""
    return ", ".join(filter(None, (names, solos, back)))


@frozen(order=False)
class Heading:
    """The words around the music of one part."""

    part: Part
    page: Page
    look: PageLook
    road_map: bool = False

    def height(self, number: int, *, solo: bool) -> float:
        """What the heading takes on the page of that number, in millimetres; `solo` if
        the solo changes begin there."""
        sheet = self.part.source
        if number > 1:
            height = _RUNNING
        else:
            height = _TITLE + _LINE
            opening = self._opening or self._equation
            lines = (sheet.subtitle, opening, self._road_map)
            height += _LINE * sum(map(bool, lines))
            height += _SMALL_LINE * bool(sheet.lyricist or sheet.arranger)
        if solo and self._solos:
            height += _SOLOS
        return height + _GAP

    def room(self, number: int, *, solo: bool) -> float:
        """The room for systems on the page of that number."""
        down = self.page.height - self.page.top - self.page.bottom
        return down - self.height(number, solo=solo)

    def rooms(self, *, solo: bool) -> Rooms:
        """The rooms of the tune's pages, or of those of the solo changes."""
        first = 2 if solo else 1
        return Rooms(self.room(first, solo=solo), self.room(2, solo=False))

    def words(self, number: int, *, solo: bool) -> Iterator[Words]:
        """The words around the music on the page of that number."""
        if self.part.revision:
            foot = self.page.height - self.page.bottom + 1
            yield self._line(f"rev. {self.part.revision}", foot, "right", 8)
        names = self.part.headings
        name = names[min(number, len(names)) - 1] if names else ""
        if number > 1:
            yield from self._later(number, name)
        else:
            yield from self._first(name)
        if solo:
            y = self.page.top + self.height(number, solo=True) - _GAP - _SOLOS
            yield self._line(self._solos, y, "left", 14, font=self.look.chord_font)

    @property
    def _solos(self) -> str:
        """What stands over the solo changes, unless the part says it itself."""
        bar = self.part.solo[0].bar if self.part.solo else None
        if bar is None or any("solo" in each.text.lower() for each in bar.directions):
            return ""
        return "Solos"

    def _first(self, name: str) -> Iterator[Words]:
        sheet, y = self.part.source, self.page.top
        across = self._across
        side = across - 2 * _NUMBER
        yield self._line(sheet.title, y, "center", 24, width=side, inset=_NUMBER)
        yield self._line("1", y, "right", 12)
        y += _TITLE
        if sheet.subtitle:
            yield self._line(sheet.subtitle, y, "center", 13)
            y += _LINE
        if self._road_map:
            yield self._line(self._road_map, y, "center", 11)
            y += _LINE
        half = across / 2 - 2
        yield self._line(name, y, "left", 13, width=half, weight=600)
        yield self._line(
            sheet.composer, y, "right", 12, width=half, inset=across - half
        )
        y += _LINE
        yield self._line(sheet.lyricist, y, "left", 10, width=half)
        yield self._line(
            sheet.arranger, y, "right", 10, width=half, inset=across - half
        )
        if sheet.lyricist or sheet.arranger:
            y += _SMALL_LINE
        opening = self._line(self._opening, y, "left", 12, font=self.look.chord_font)
        yield evolve(opening, signs=self._equation)
        foot = self.page.height - self.page.bottom + 1
        yield self._line(sheet.rights, foot, "center", 8)

    def _later(self, number: int, name: str) -> Iterator[Words]:
        y = self.page.top
        third = self._across / 3
        number_side, name_side = ("right", "left") if number % 2 else ("left", "right")
        yield self._line(
            self.part.source.title, y, "center", 13, width=third, inset=third
        )
        inset = {"left": 0.0, "right": 2 * third}
        yield self._line(name, y, name_side, 12, width=third, inset=inset[name_side])
        yield self._line(str(number), y, number_side, 12)

    @property
    def _road_map(self) -> str:
        return road_map(self.part) if self.road_map else ""

    @property
    def _opening(self) -> str:
        """Style and tempo, as they stand over the first bar."""
        words, tempo = self.part.source.style, self.part.source.tempo
        if tempo is None:
            return words
        mark = tempo_mark(tempo)
        return f"{words}\u2003{mark}" if words else mark

    @property
    def _equation(self) -> tuple[DrawnSign, ...]:
        """The equation of the swing, after style and tempo."""
        signs = swing_equation(self.part.source.swing, self.look)
        if not signs or not self._opening:
            return signs
        first, *others = signs
        return (evolve(first, before=f"\u2003{first.before}"), *others)

    @property
    def _across(self) -> float:
        return self.page.width - self.page.left - self.page.right

    def _line(
        self,
        text: str,
        y: float,
        align: str,
        size: float,
        /,
        *,
        width: float = 0.0,
        inset: float = 0.0,
        font: str = "",
        weight: int = 400,
    ) -> Words:
        return Words(
            text=text,
            x=self.page.left + inset,
            y=y,
            width=width or self._across,
            align=align,
            size=size,
            font=font or self.look.heading_font,
            weight=self.look.chord_weight if font else weight,
        )
