"""The equation of a swing, drawn for a line of words: two eighths are played as a
triplet's quarter and eighth (MusicXML 4.0, ``metronome-note``; common practice on
printed lead sheets, no source)."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final

from ..errors import DrawingError
from ..leadsheet.model import Swing
from ..musicxml._vocabulary import SWING_VALUES
from ..rhythm.values import NoteValue
from ._libraries import check_libraries, music_toolkit
from ._sheets import DrawnSign
from .look import PageLook

__all__ = ("swing_equation",)

_OPTIONS: Final[dict[str, object]] = {
    "breaks": "none",
    "header": "none",
    "footer": "none",
    "font": "Leipzig",
    "svgViewBox": True,
    "svgFormatRaw": True,
    "adjustPageHeight": True,
    "adjustPageWidth": True,
    "noJustification": True,
    "pageMarginTop": 0,
    "pageMarginBottom": 0,
    "pageMarginLeft": 0,
    "pageMarginRight": 0,
    "spacingLinear": 0.2,
    "spacingNonLinear": 0.5,
    "unit": 6,
    "xmlIdSeed": 1,
}
_SPACE: Final = 120  # a staff space of the picture, in its own units
_SIZE: Final = 0.28  # a staff space beside words, in sizes of their letters
_SCORE: Final = (
    '<mei xmlns="http://www.music-encoding.org/ns/mei" meiversion="5.0"><music><body>'
    '<mdiv><score><scoreDef><staffGrp><staffDef n="1" lines="0" clef.visible="false" '
    'clef.shape="G" clef.line="2"/></staffGrp></scoreDef><section>'
    '<measure n="1" right="invis"><staff n="1"><layer n="1">{}</layer></staff>'
    "</measure></section></score></mdiv></body></music></mei>"
)
_NAMES: Final = {"eighth": "8", "16th": "16", "32nd": "32", "quarter": "4"}


def swing_equation(swing: Swing | None, look: PageLook, /) -> tuple[DrawnSign, ...]:
    """The two sides of the equation that a chart prints, in brackets; nothing for a
    chart without one, or where no two values say it.

    Raises:
        PagesExtraError: if the libraries are missing.
        DrawingError: if the drawing library refuses the notes.
    """
    if swing is None or not swing.equation:
        return ()
    played = SWING_VALUES.get((swing.unit, swing.first, swing.second))
    if played is None:
        return ()
    unit = NoteValue(swing.unit)
    left = _drawn((unit, unit), look)
    right = _drawn(played, look)
    return (
        DrawnSign(before="(", svg=left[0], height=left[1]),
        DrawnSign(before=" = ", svg=right[0], height=right[1], after=")"),
    )


@lru_cache(maxsize=32)
def _drawn(values: tuple[NoteValue, NoteValue], look: PageLook) -> tuple[str, float]:
    """Two notes side by side as a picture, and its height in sizes of the words."""
    check_libraries()
    toolkit = music_toolkit()
    toolkit.setOptions({**_OPTIONS, "stemWidth": look.stem * 2})
    toolkit.resetXmlIdSeed(1)
    if not toolkit.loadData(_SCORE.format(_notes(values))):
        raise DrawingError("the swing can't be drawn: the drawing library refuses it")
    return _cropped(toolkit.renderToSVG(1))


def _notes(values: tuple[NoteValue, NoteValue]) -> str:
    text = "".join(
        f'<note dur="{_NAMES[value.name]}" dots="{value.dots}" pname="b" oct="4" '
        'stem.dir="up"/>'.replace(' dots="0"', "")
        for value in values
    )
    tuplet = values[0].tuplet
    if tuplet is None:
        return f"<beam>{text}</beam>"
    return (
        f'<tuplet num="{tuplet.actual}" numbase="{tuplet.normal}" num.place="above" '
        f'bracket.visible="true" bracket.place="above">{text}</tuplet>'
    )


_LEDGER_LINES: Final = re.compile(
    r'<g class="ledgerLines[^"]*">(?:<g[^>]*>)?(?:<path[^>]*/>)*(?:</g>)?</g>'
)
_HEAD: Final = re.compile(
    r'class="notehead"[^>]*><use [^>]*?translate\(([-\d.]+), ([-\d.]+)\)'
)
_BOX: Final = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')


def _cropped(svg: str) -> tuple[str, float]:
    """The picture down to the foot of its notes, which stand on the line of the
    words."""
    svg = _LEDGER_LINES.sub("", svg)
    heads = _HEAD.findall(svg)
    boxes = _BOX.findall(svg)
    if not heads or len(boxes) < 2:
        raise DrawingError("the swing can't be drawn: its notes came out empty")
    left = float(heads[0][0]) - _SPACE / 10
    foot = float(heads[0][1]) + _SPACE * 0.55
    wide = float(boxes[1][0]) - left
    outer = f'viewBox="0 0 {wide / 10:g} {foot / 10:g}"'
    inner = f'viewBox="{left:g} 0 {wide:g} {foot:g}"'
    svg = svg.replace(f'viewBox="0 0 {boxes[0][0]} {boxes[0][1]}"', outer, 1)
    svg = svg.replace(f'viewBox="0 0 {boxes[1][0]} {boxes[1][1]}"', inner, 1)
    svg = svg.replace('font-family="Leipzig"', 'font-family="Libertinus Serif"')
    return svg, foot / _SPACE * _SIZE
