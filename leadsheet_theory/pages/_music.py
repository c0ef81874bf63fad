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
from ._drawing_copy import (
    TIED_IN,
    TIED_OUT,
    DrawingCopy,
    drawing_copy,
    in_systems,
    mended,
)
from ._libraries import check_libraries, music_toolkit
from .look import PageLook

if TYPE_CHECKING:
    import verovio

__all__ = ("GUTTER", "PREFIX", "System", "bar_widths", "draw_systems")

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
    "condenseFirstPage": True,
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


def draw_systems(
    part: bytes, /, *, staff: float, width: float, look: PageLook
) -> tuple[System, ...]:
    """The systems of a written part, `width` millimetres wide beside the gutter.

    A short last line of one or two bars is not stretched to the full width.

    Raises:
        PagesExtraError: if the libraries are missing.
        DrawingError: if the part can't be drawn.
    """
    return _drawn(drawing_copy(part), staff, width, look)


@lru_cache(maxsize=64)
def _drawn(
    copy: DrawingCopy, staff: float, width: float, look: PageLook
) -> tuple[System, ...]:
    toolkit = _toolkit(staff, look)
    full = round((width + GUTTER) * 10)
    toolkit.setOptions({"pageWidth": full})
    _load(toolkit, in_systems(_mei(copy.musicxml, look.chord_size), copy.system_starts))
    count = toolkit.getPageCount()
    if count != len(copy.system_starts):
        raise DrawingError(
            f"the part can't be drawn: {len(copy.system_starts)} systems came out as "
            f"{count}"
        )
    pictures = [toolkit.renderToSVG(page) for page in range(1, count + 1)]
    for index, ragged in _ragged(copy, staff, width, look).items():
        toolkit.setOptions({"pageWidth": round((ragged + GUTTER) * 10)})
        toolkit.redoLayout()
        pictures[index] = toolkit.renderToSVG(index + 1)
    numbers = ("", *(copy.numbers[start] for start in copy.system_starts[1:]))
    return tuple(
        _system(svg, number, look, full)
        for svg, number in zip(pictures, numbers, strict=True)
    )


def bar_widths(part: bytes, /, *, staff: float, look: PageLook) -> tuple[float, ...]:
    """The natural width of each bar in millimetres, as wide as its notes, syllables and
    chord symbols ask for; that of the first bar is without clef, key and metre.

    Raises:
        PagesExtraError: if the libraries are missing.
        DrawingError: if the part can't be drawn.
    """
    return _widths(drawing_copy(part).musicxml, staff, look)


_STAFF: Final = re.compile(r'class="staff"[^>]*><path d="M(-?[\d.]+) \S+ L(-?[\d.]+) ')


@lru_cache(maxsize=64)
def _widths(musicxml: str, staff: float, look: PageLook) -> tuple[float, ...]:
    toolkit = _toolkit(staff, look)
    toolkit.setOptions(
        {
            "breaks": "none",
            "noJustification": True,
            "adjustPageWidth": True,
            "pageWidth": 100_000,
        }
    )
    mei = _mei(musicxml, look.chord_size)
    _load(toolkit, mei)
    drawn = toolkit.renderToSVG(1)
    widths = []
    for measure in drawn.split('class="measure"')[1:]:
        line = _STAFF.search(measure)
        if line is None:
            raise DrawingError("the part can't be drawn: a bar has no staff")
        widths.append((float(line[2]) - float(line[1])) / 100)
    if len(widths) != mei.count("<measure "):
        raise DrawingError("the part can't be drawn: a bar got lost")
    if widths:
        widths[0] -= _start_width(drawn)
    return tuple(widths)


_METER_END: Final = re.compile(r'class="(?:clef|keyAccid|meterSig)".*?translate\((\d+)')


def _start_width(drawn: str) -> float:
    """What clef, key and metre take at the start, in millimetres."""
    first = drawn.split('class="layer"', 1)[0]
    places = [int(x) for x in _METER_END.findall(first)]
    return max(places, default=0) / 100 + 4


def _ragged(
    copy: DrawingCopy, staff: float, width: float, look: PageLook
) -> dict[int, float]:
    """The widths of the systems that are too short for the full width.

    A last line of one or two bars is as wide as it comes, and so is any line that would
    fill less than half of the width; all others have the full width (common practice,
    no source).
    """
    starts = copy.system_starts
    ends = (*starts[1:], len(copy.numbers))
    short = [
        index
        for index, (start, end) in enumerate(zip(starts, ends, strict=True))
        if end - start <= 2
    ]
    if not short or len(starts) < 2:
        return {}
    widths = _widths(copy.musicxml, staff, look)
    natural = [sum(widths[start:end]) for start, end in zip(starts, ends, strict=True)]
    room = width - PREFIX
    loose = sorted(room / each for at, each in enumerate(natural) if at not in short)
    stretch = min(loose[len(loose) // 2], 1.5) if loose else 1.3
    found = {
        index: max(natural[index] * max(stretch, 1.0) + PREFIX, width / 4)
        for index in short
    }
    last = {index for index, end in enumerate(ends) if end - 1 in copy.finals}
    return {
        index: wide
        for index, wide in found.items()
        if wide < width * (_FULL if index in last else _HALF)
    }


PREFIX: Final = 18.0
"""What clef and key take at the start of a line, in millimetres."""
_FULL: Final = 0.8
"""A last line that would fill so much of the width is drawn at full width."""
_HALF: Final = 0.5
"""Any other line that would."""


def _toolkit(staff: float, look: PageLook) -> verovio.toolkit:
    """A toolkit with the options of a page; the width is still to be set."""
    check_libraries()
    toolkit = music_toolkit()
    # the unit is half a staff space in tenths of a millimetre, from 4.5 to 12: staves
    # of 3.6 to 9.6 mm
    toolkit.setOptions(
        {
            **_FIXED,
            "unit": staff / 8 * 10,
            "staffLineWidth": look.staff_line * 2,
            "stemWidth": look.stem * 2,
            "barLineWidth": look.bar_line * 2,
            "slurMidpointThickness": look.slur * 2,
            "tieMidpointThickness": look.slur * 2,
        }
    )
    return toolkit


@lru_cache(maxsize=64)
def _mei(musicxml: str, chord_size: float) -> str:
    toolkit = music_toolkit()
    toolkit.setOptions(_FIXED)
    _load(toolkit, musicxml, seed=1)
    return mended(toolkit.getMEI(), chord_size=chord_size)


def _load(toolkit: verovio.toolkit, music: str, *, seed: int = 2) -> None:
    # ids go on from the last load of any toolkit, so each load begins them anew; those
    # of the MEI that is loaded must not come again, or ties find the wrong notes
    toolkit.resetXmlIdSeed(seed)
    if not toolkit.loadData(music):
        raise DrawingError("the part can't be drawn: the drawing library refuses it")


_BOX: Final = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')
_EDGE: Final = 1.0
"""What is added above and below: boxes of words are taken with too little room."""


def _system(svg: str, number: str, look: PageLook, full: int) -> System:
    """The picture of a system, as wide as a full one: what stands above a short line
    may go on where its staff ends."""
    boxes = _BOX.findall(svg)
    if len(boxes) < 2:
        raise DrawingError("the part can't be drawn: a system came out empty")
    (width, height), (inner_width, _) = [
        (float(across), float(down)) for across, down in boxes[:2]
    ]
    scale = inner_width / width
    width, inner_width = max(width, full), max(width, full) * scale
    svg = _SIGN_BOX.sub(_wider, svg)
    svg = _letters_before_bar_lines(svg)
    svg, raised = _letters_at_the_margin(svg)
    top, bottom = 10 * _EDGE + raised / scale, 10 * _EDGE
    high = height + top + bottom
    svg = svg.replace(
        f'viewBox="0 0 {boxes[0][0]} {boxes[0][1]}"',
        f'viewBox="0 {-top:g} {width:g} {high:g}"',
        1,
    )
    svg = svg.replace(
        f'viewBox="0 0 {boxes[1][0]} {boxes[1][1]}"',
        f'x="0" y="{-top:g}" width="{width:g}" height="{high:g}" '
        f'viewBox="0 {-top * scale:g} {inner_width:g} {high * scale:g}"',
        1,
    )
    svg = _OPEN_TIE.sub(_with_half_tie, svg)
    if svg.count('class="staff"') == svg.count('class="measure"'):
        svg = _BRACE.sub(r"\1", svg)  # of staves that are not printed here
    svg = _EMPTY_NUMBER.sub("", svg)
    if number and 'class="mNum' not in svg:
        svg = _numbered(svg, number)
    return System(
        _tidied(svg, look),
        width / 10,
        high / 10,
        svg.count('class="measure"'),
    )


_BRACE: Final = re.compile(
    r'(class="system">)<path [^>]*/><g [^>]*class="grpSym">(?:<path [^>]*/>)*</g>'
)
_LETTER: Final = re.compile(
    r'(class="reh"[^>]*>)'
    r'(<rect [^>]*?x="(-?[\d.]+)" y="(-?[\d.]+)" height="([\d.]+)" '
    r'width="([\d.]+)"[^>]*/>.*?</text>)',
    re.DOTALL,
)
_FIRST_STAFF_LINE: Final = re.compile(
    r'class="staff"[^>]*><path d="M(-?[\d.]+) (-?[\d.]+) '
)


_OPEN_TIE: Final = re.compile(
    rf'<g id="({TIED_IN}|{TIED_OUT})[^"]*" class="note"><g class="notehead">'
    r"<use [^>]*?translate\(([-\d.]+), ([-\d.]+)\)[^>]*/></g>"
    r'(?:<g [^>]*class="stem"><path d="M\S+ ([-\d.]+) L\S+ ([-\d.]+)")?'
)
_HEAD: Final = 230  # the width of a notehead, and how long half a tie is
_HALF_TIE: Final = 330


def _with_half_tie(note: re.Match[str]) -> str:
    """A note with half a tie into it or out of it, on the side where no stem is."""
    x, y = float(note[2]), float(note[3])
    start = x - _HALF_TIE - 20 if note[1] == TIED_IN else x + _HEAD + 40
    side = 1 if note[4] and float(note[5]) < float(note[4]) else -1
    y += 60 * side
    end, high, low = start + _HALF_TIE, y + 110 * side, y + 75 * side
    left, right = start + 80, end - 80
    return (
        f'<path class="tie" fill="currentColor" stroke-width="10" d="M{start:g},{y:g} '
        f"C{left:g},{high:g} {right:g},{high:g} {end:g},{y:g} "
        f'C{right:g},{low:g} {left:g},{low:g} {start:g},{y:g}"/>{note[0]}'
    )


_SIGN_BOX: Final = re.compile(
    r'(class="reh"[^>]*><rect [^>]*?x=")(-?[\d.]+)("[^>]*?width=")([\d.]+)"'
)


def _wider(box: re.Match[str]) -> str:
    """A section's box with room for our letters, wider than those it was made for."""
    x, width = float(box[2]), float(box[4])
    return f'{box[1]}{x - width * 0.06:g}{box[3]}{width * 1.12:g}"'


_BESIDE: Final = 160  # between a section's sign and the chord symbol after it
_SYMBOL: Final = re.compile(r'class="harm"[^>]*><text x="(-?[\d.]+)"')


def _letters_before_bar_lines(svg: str) -> str:
    """A section's sign inside a system stands clear of the chord symbol over the first
    beat, before its bar line."""
    first, *bars = svg.split('class="measure"')
    for place, bar in enumerate(bars[1:], 1):
        letter, symbol = _LETTER.search(bar), _SYMBOL.search(bar)
        if letter is None or symbol is None:
            continue
        by = float(letter[3]) + float(letter[6]) + _BESIDE - float(symbol[1])
        if by > 0:
            moved = f'<g transform="translate({-by:g}, 0)">{letter[2]}</g>'
            bars[place] = bar[: letter.start(2)] + moved + bar[letter.end(2) :]
    return 'class="measure"'.join([first, *bars])


def _letters_at_the_margin(svg: str) -> tuple[str, float]:
    """A section's sign over a system's first bar doesn't reach beyond the staff: a
    long name begins where the staff does, above the clef; and how much room it asks for
    above the picture.  The bar number then gives way."""
    first = svg.find('class="measure"')
    second = svg.find('class="measure"', first + 1)
    letter = _LETTER.search(svg, first, second if second > 0 else len(svg))
    line = _FIRST_STAFF_LINE.search(svg)
    if letter is None or line is None:
        return svg, 0.0
    x, y, tall, wide = (float(number) for number in letter.groups()[2:6])
    if x >= 0 and wide <= 1000:
        return svg, 0.0
    # our letters come closer to the chord symbols below than the library thinks
    up = max(60.0, y + tall - (float(line[2]) - _CLEF))
    moved = f'{letter[1]}<g transform="translate({-x:g}, {-up:g})">{letter[2]}</g>'
    svg = svg[: letter.start()] + moved + svg[letter.end() :]
    return _OWN_NUMBER.sub("", svg, count=1), max(0.0, up - y)


_CLEF: Final = 330  # how far clefs reach above the staff
_EMPTY_NUMBER: Final = re.compile(r'<g [^>]*class="mNum"><text [^>]*/></g>')
_OWN_NUMBER: Final = re.compile(
    r'<g [^>]*class="mNum autogenerated">.*?</text></g>', re.DOTALL
)


def _numbered(svg: str, number: str) -> str:
    """The bar number that the library leaves out where a section's sign stands."""
    line = _FIRST_STAFF_LINE.search(svg)
    place = svg.find('class="measure"')
    if line is None or place < 0:
        return svg
    at = svg.find(">", place) + 1
    drawn = (
        f'<g class="mNum"><text x="{float(line[1]) - 90:g}" y="{line[2]}" '
        f'text-anchor="end" font-size="314px" font-style="italic">{number}</text></g>'
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
# those of a bar whose first voice is slashes alone
_LEDGER_LINES_OF_SLASHES: Final = re.compile(
    r'<g class="ledgerLines below">(?:<path[^>]*/>)*</g>'
    r'(?=(?:<g class="ledgerLines[^"]*">(?:<path[^>]*/>)*</g>)*'
    r'<g [^>]*class="layer">(?:<g [^>]*class="note"><g class="notehead">'
    r'<use xlink:href="#E10[0-3][^>]*/></g></g>)+</g>)'
)


def _tidied(svg: str, look: PageLook) -> str:
    """The picture with its words in our fonts, without lines that no slash needs."""
    svg = _LEDGER_LINES_OF_HITS.sub("", svg)
    svg = _LEDGER_LINES_OF_SLASHES.sub("", svg)
    svg = svg.replace(
        'font-family="Times, serif"', f'font-family="{look.text_font}"', 1
    )
    face = f'font-family="{look.chord_font}" font-weight="{look.chord_weight}"'
    if look.pen:
        face += f' stroke="black" stroke-width="{look.pen * 100:g}"'
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
