"""Systems of music as pictures, drawn by verovio.

Every system is drawn for itself and cut to what is drawn, so that its height is known
before a page is planned.  Lengths are in millimetres, to scale.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from attrs import frozen

from ..errors import DrawingError
from ._drawing_copy import bar_numbers, mei_copy, musicxml_copy
from ._libraries import check_libraries, music_toolkit
from .look import PageLook

if TYPE_CHECKING:
    import verovio

__all__ = ("GUTTER", "System", "draw_systems")

GUTTER: Final = 6.0
"""Room to the left of the staff for bar numbers and brackets, in millimetres."""

_FIXED: Final[dict[str, object]] = {
    "breaks": "encoded",
    "expandNever": True,
    "header": "none",
    "footer": "none",
    "font": "Leipzig",
    "smuflTextFont": "none",
    "svgViewBox": True,
    "svgFormatRaw": True,
    "adjustPageHeight": True,
    "pageHeight": 6000,
    "pageMarginTop": 0,
    "pageMarginBottom": 0,
    "pageMarginRight": 0,
    "pageMarginLeft": round(GUTTER * 10),
    "lyricSize": 4.2,
    "lyricLineThickness": 0.12,
    "lyricTopMinMargin": 1.5,
    "lyricWordSpace": 1.0,
    "harmDist": 1.0,
    "topMarginHarm": 0.8,
    "spacingLinear": 0.25,
    "spacingNonLinear": 0.55,
    "minLastJustification": 0.0,
    "mnumInterval": 0,
    "xmlIdSeed": 1,
}


@frozen(order=False)
class System:
    """One system as an SVG picture, `width` by `height` millimetres, of so many
    bars.  The staff begins :data:`GUTTER` from the left."""

    svg: str
    width: float
    height: float
    bars: int


@lru_cache(maxsize=32)
def draw_systems(
    part: bytes, /, *, staff: float, width: float, look: PageLook
) -> tuple[System, ...]:
    """The systems of a written part, each `width` millimetres wide beside the gutter.

    Raises:
        PagesExtraError: if the libraries are missing.
        DrawingError: if the part can't be drawn.
    """
    check_libraries()
    toolkit = music_toolkit()
    # half a staff space in tenths of a millimetre, which the library takes from 4.5
    # to 12: staves of 3.6 to 9.6 mm
    toolkit.setOptions(
        {
            **_FIXED,
            "unit": staff / 8 * 10,
            "pageWidth": round((width + GUTTER) * 10),
            "staffLineWidth": look.staff_line * 2,
            "stemWidth": look.stem * 2,
            "barLineWidth": look.bar_line * 2,
            "slurMidpointThickness": look.slur * 2,
            "tieMidpointThickness": look.slur * 2,
        }
    )
    _load(toolkit, musicxml_copy(part))
    mei = mei_copy(toolkit.getMEI(), chord_size=look.chord_size)
    _load(toolkit, mei)
    numbers = bar_numbers(mei)
    systems: list[System] = []
    bar = 0
    for page in range(1, toolkit.getPageCount() + 1):
        number = numbers[bar] if bar else ""
        systems.append(_system(toolkit.renderToSVG(page), number, look))
        bar += systems[-1].bars
    return tuple(systems)


def _load(toolkit: verovio.toolkit, music: str) -> None:
    if not toolkit.loadData(music):
        raise DrawingError("the part can't be drawn: the drawing library refuses it")


_BOX: Final = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')
_EDGE: Final = 1.0
"""What is added above and below: boxes of words are taken with too little room."""


def _system(svg: str, number: str, look: PageLook) -> System:
    boxes = _BOX.findall(svg)
    if len(boxes) < 2:
        raise DrawingError("the part can't be drawn: a system came out empty")
    (width, height), (inner_width, inner_height) = [
        (float(across), float(down)) for across, down in boxes[:2]
    ]
    scale = inner_width / width
    edge = 10 * _EDGE
    svg = svg.replace(
        f'viewBox="0 0 {boxes[0][0]} {boxes[0][1]}"',
        f'viewBox="0 {-edge:g} {width:g} {height + 2 * edge:g}"',
        1,
    )
    svg = svg.replace(
        f'viewBox="0 0 {boxes[1][0]} {boxes[1][1]}"',
        f'x="0" y="{-edge:g}" width="{width:g}" height="{height + 2 * edge:g}" '
        f'viewBox="0 {-edge * scale:g} {inner_width:g} '
        f'{inner_height + 2 * edge * scale:g}"',
        1,
    )
    svg = _letters_at_the_margin(svg)
    if number and 'class="mNum' not in svg:
        svg = _numbered(svg, number)
    return System(
        _tidied(svg, look),
        width / 10,
        height / 10 + 2 * _EDGE,
        svg.count('class="measure"'),
    )


_LETTER: Final = re.compile(
    r'(class="reh"[^>]*>)(<rect [^>]*?x="(-?[\d.]+)"[^>]*/>.*?</text>)', re.DOTALL
)
_FIRST_STAFF_LINE: Final = re.compile(
    r'class="staff"[^>]*><path d="M(-?[\d.]+) (-?[\d.]+) '
)


def _letters_at_the_margin(svg: str) -> str:
    """A section's sign over a system's first bar begins where the staff does."""
    first = svg.find('class="measure"')
    second = svg.find('class="measure"', first + 1)
    letter = _LETTER.search(svg, first, second if second > 0 else len(svg))
    if letter is None:
        return svg
    x = float(letter[3])
    moved = f'{letter[1]}<g transform="translate({-x:g}, 0)">{letter[2]}</g>'
    return svg[: letter.start()] + moved + svg[letter.end() :]


def _numbered(svg: str, number: str) -> str:
    """The bar number that the library leaves out where a section's sign stands."""
    line = _FIRST_STAFF_LINE.search(svg)
    place = svg.find('class="measure"')
    if line is None or place < 0:
        return svg
    at = svg.find(">", place) + 1
    drawn = (
        f'<g class="mNum"><text x="{line[1]}" y="{float(line[2]) - 91:g}" '
        f'text-anchor="middle" font-size="314px">{number}</text></g>'
    )
    return svg[:at] + drawn + svg[at:]


# SMuFL code points that stand in words, as Unicode where it has them; whole and half
# notes have code points of SMuFL in our fonts
_SIGNS: Final = {
    "\ue260": "♭", "\ue261": "♮", "\ue262": "♯",
    "\uea64": "♭", "\uea65": "♮", "\uea66": "♯",
    "\ueca5": "♩", "\ueca7": "♪", "\uecb7": ".",
    "\ue550": "\u035c", "\ue551": "\u035c", "\ue552": "\u035c", "\u203f": "\u035c",
}  # fmt: skip
_IN_MUSIC_FONT: Final = re.compile(
    r'<tspan font-family="Leipzig" font-size="\d+px">([^<]*)</tspan>'
)
_SIZE: Final = re.compile(r'font-size="(\d\d+)px"')
_CHORD_LIKE: Final = re.compile(r'class="(harm|tempo|reh|voltaBracket)"')
_LEDGER_LINES_OF_HITS: Final = re.compile(
    r'<g class="ledgerLines above cue">(?:<g[^>]*>)?(?:<path[^>]*/>)*(?:</g>)?</g>'
)


def _tidied(svg: str, look: PageLook) -> str:
    """The picture with its words in our fonts, and without lines that no hit needs."""
    svg = _LEDGER_LINES_OF_HITS.sub("", svg)
    svg = svg.replace(
        'font-family="Times, serif"', f'font-family="{look.text_font}"', 1
    )
    face = f'font-family="{look.chord_font}" font-weight="{look.chord_weight}"'
    svg = _CHORD_LIKE.sub(rf'class="\1" {face}', svg)
    if "Leipzig" in svg:
        svg = "".join(_words_in_one_face(svg))
    for music, text in _SIGNS.items():
        svg = svg.replace(music, text)
    return svg


_TEXT: Final = re.compile(r"<text .*?</text>", re.DOTALL)


def _words_in_one_face(svg: str) -> Iterator[str]:
    """Signs of the music font set in the face and size of the words beside them."""
    done = 0
    for text in _TEXT.finditer(svg):
        if "Leipzig" not in text[0]:
            continue
        sizes = [int(size) for size in _SIZE.findall(_IN_MUSIC_FONT.sub("", text[0]))]
        size = sizes[0] if sizes else 393
        yield svg[done : text.start()]
        yield _IN_MUSIC_FONT.sub(rf'<tspan font-size="{size}px">\1</tspan>', text[0])
        done = text.end()
    yield svg[done:]
