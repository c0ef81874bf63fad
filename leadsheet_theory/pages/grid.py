"""The chord grid: the changes alone, in boxes, for chairs that need no staff.

Four bars to a row, a bar a box, a chord in its part of the box where it begins; letters
at the left, each section in a row of its own; repeats and endings as in the part, a bar
that only goes on with the chord before marked with the sign of repetition (common
practice, no source).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from html import escape
from itertools import pairwise
from typing import Final

from attrs import evolve, frozen

from ..chords.styles import PLAIN_LETTERS, HouseStyle
from ..errors import LayoutError
from ..leadsheet.signs import FormSigns
from ..musicxml.writing._signs import jump_words
from ..parts.model import Part, PartBar
from ..parts.systems import Page
from ._headings import Heading
from ._libraries import check_libraries
from ._sheets import Picture, Sheet
from .draw import Pages
from .look import ENGRAVED, PageLook

__all__ = ("ChordGrid", "GridBar", "chord_grid", "draw_grid")

HEADING: Final = "{name} – chords"


@frozen(order=False, kw_only=True)
class GridBar:
    """One box: its chords as they are printed, each with its place from 0 (the start
    of the bar) to 1, and the signs of form at its edges.  A bar without chords goes on
    with the chord before."""

    chords: tuple[tuple[Fraction, str], ...]
    form: FormSigns
    ending_stops: bool = False

    @property
    def before(self) -> str:
        """The words over its start."""
        form = self.form
        return ", ".join(
            word
            for word, there in (("Segno", form.segno), ("Coda", form.coda))
            if there
        )

    @property
    def after(self) -> str:
        """The words over its end: where the reading goes on."""
        form = self.form
        words = []
        if form.to_coda:
            words.append("To Coda")
        if form.fine:
            words.append("Fine")
        if form.jump is not None:
            words.append(jump_words(form.jump))
        if form.repeat_end > 2:
            words.append(f"{form.repeat_end}x")
        return ", ".join(words)

    @property
    def ending(self) -> str:
        """The number over an ending that begins here."""
        form = self.form
        if not form.ending_starts:
            return ""
        return ", ".join(f"{number}." for number in form.ending)


@frozen(order=False)
class ChordGrid:
    """The changes of a part, row by row."""

    part: Part
    rows: tuple[tuple[GridBar, ...], ...]
    columns: int = 4

    def __str__(self) -> str:
        return "\n".join(map(_row_text, self.rows))

    def html(self) -> str:
        """The grid as a web page of its own, that asks for nothing else."""
        sheet = self.part.source
        rows = "\n".join(_row_html(row, self.columns) for row in self.rows)
        below = " · ".join(filter(None, (self.part.name, sheet.style, sheet.composer)))
        return _HTML.format(title=escape(sheet.title), below=escape(below), rows=rows)

    def fragment(self) -> str:
        """The grid as a piece of a web page, in that page's colours."""
        rows = "".join(_row_html(row, self.columns) for row in self.rows)
        return _FRAGMENT.format(rows=rows)


def chord_grid(
    part: Part, /, *, style: HouseStyle = PLAIN_LETTERS, columns: int = 4
) -> ChordGrid:
    """The chord grid of a part: of its solo changes, or of the tune where it has none.

    Args:
        part: the part.
        style: how chord symbols are printed; accidentals are always glyphs.
        columns: the most bars in a row.

    Raises:
        LayoutError: if there is no column.

    >>> from leadsheet_theory.musicxml import read_lead_sheet
    >>> from leadsheet_theory.parts import make_parts
    >>> tune = read_lead_sheet("shared/charts/rope_walk.musicxml").sheet
    >>> print(chord_grid(make_parts(tune)[0]))
    A | : Dm7 | Gm7 | Dm7 | Am7 |
      | Dm7 | Gm7 C7 | A7 | Dm6 |
    B | Fmaj7 | B♭maj7 | E7(♭9) | A7 |
    A | Dm7 | Gm7 | Dm7 | Am7 |
      | Dm7 | Gm7 C7 | A7 | Dm7 |
      | E7 A7 | Dm6 (After solos, D.C.) : |
    """
    if columns < 1:
        raise LayoutError(f"{columns} bars to a row: expected at least 1")
    bars = [
        bar for bar in part.solo or part.bars if not bar.bar.is_pickup or bar.symbols
    ]
    rows: list[tuple[GridBar, ...]] = []
    row: list[GridBar] = []
    for bar in bars:
        form = bar.bar.form
        if row and (len(row) == columns or form.section or form.coda):
            rows.append(tuple(row))
            row = []
        row.append(_box(bar, style))
    if row:
        rows.append(tuple(row))
    return ChordGrid(part, tuple(rows), columns)


def _box(bar: PartBar, style: HouseStyle) -> GridBar:
    length = bar.bar.length
    return GridBar(
        chords=tuple(
            (placed.onset / length, with_glyphs(placed.symbol.text(style)))
            for placed in bar.bar.chords
        ),
        form=bar.bar.form,
        ending_stops=bar.shared.ending_stops,
    )


_FLAT: Final = re.compile(r"(?<=[A-G])b|b(?=\d)")


def with_glyphs(text: str) -> str:
    """A printed chord symbol with ♭ and ♯ for b and # that were typed."""
    return _FLAT.sub("♭", text).replace("#", "♯")


def _row_text(row: Sequence[GridBar]) -> str:
    letter = row[0].form.section or " "
    cells = []
    for bar in row:
        words = [text for _, text in bar.chords] or ["%"]
        if bar.before:
            words.insert(0, f"({bar.before})")
        if bar.after:
            words.append(f"({bar.after})")
        cell = " ".join(words)
        if bar.ending:
            cell = f"[{bar.ending} {cell}"
        if bar.form.repeat_start:
            cell = f": {cell}"
        if bar.form.repeat_end:
            cell = f"{cell} :"
        cells.append(cell)
    return f"{letter} | {' | '.join(cells)} |"


# ── As a web page ────────────────────────────────────────────────────────────────

_HTML: Final = """<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><title>{title}</title><style>
body {{ font-family: sans-serif; margin: 1.5em auto; max-width: 50em; }}
table {{ border-collapse: collapse; width: 100%; table-layout: fixed; }}
th {{ width: 2.2em; text-align: left; font-size: 1.2em; }}
td {{ border: 1px solid #000; height: 3.6em; padding: 0; vertical-align: top; }}
td.none {{ border: 0; }}
td.from {{ border-left: 5px double #000; }}
td.to {{ border-right: 5px double #000; }}
.over {{ display: flex; justify-content: space-between; height: 1em;
  font-size: .75em; padding: .1em .3em; }}
.chords {{ display: flex; font-weight: bold; font-size: 1.15em; padding: .1em .3em; }}
.same {{ text-align: center; }}
</style></head><body><h1>{title}</h1><p>{below}</p>
<table>
{rows}
</table></body></html>
"""


_FRAGMENT: Final = """<div class="changes"><style>
.changes table {{ border-collapse: collapse; width: 100%; table-layout: fixed; }}
.changes th, .changes td, .changes tr {{ background: transparent; color: inherit; }}
.changes th {{ width: 2.2em; text-align: left; font-size: 1.2em; border: 0; }}
.changes td {{ border: 1px solid currentColor; height: 3.4em; padding: 0;
  vertical-align: top; text-align: left; }}
.changes td.none {{ border: 0; }}
.changes td.from {{ border-left: 5px double currentColor; }}
.changes td.to {{ border-right: 5px double currentColor; }}
.changes .over {{ display: flex; justify-content: space-between; height: 1.3em;
  font-size: .75em; padding: .1em .3em; }}
.changes .chords {{ display: flex; font-weight: bold; font-size: 1.1em;
  padding: .1em .3em; }}
.changes .same {{ display: block; text-align: center; }}
</style><table>{rows}</table></div>"""


def _row_html(row: Sequence[GridBar], columns: int) -> str:
    cells = "".join(map(_cell_html, row))
    cells += '<td class="none"></td>' * (columns - len(row))
    return f"<tr><th>{escape(row[0].form.section)}</th>{cells}</tr>"


def _cell_html(bar: GridBar) -> str:
    form = bar.form
    kinds = [
        kind
        for kind, there in (("from", form.repeat_start), ("to", form.repeat_end))
        if there
    ]
    kind = f' class="{" ".join(kinds)}"' if kinds else ""
    left = " ".join(filter(None, (bar.ending, bar.before)))
    if form.repeat_start:
        left = f"‖: {left}".strip()
    right = " ".join(filter(None, (bar.after, ":‖" if form.repeat_end else "")))
    over = f'<div class="over"><span>{escape(left)}</span>'
    over += f"<span>{escape(right)}</span></div>"
    if not bar.chords:
        return f'<td{kind}>{over}<div class="chords same">%</div></td>'
    ends = [place for place, _ in bar.chords[1:]] + [Fraction(1)]
    chords = "".join(
        f'<span style="flex:{float(end - place):g}">{escape(text)}</span>'
        for (place, text), end in zip(bar.chords, ends, strict=True)
    )
    lead = bar.chords[0][0]
    if lead:
        chords = f'<span style="flex:{float(lead):g}"></span>{chords}'
    return f'<td{kind}>{over}<div class="chords">{chords}</div></td>'


# ── As a page ────────────────────────────────────────────────────────────────────

_LETTERS: Final = 10.0  # the room for letters at the left, in millimetres
_BOX: Final = 14.0  # the height of a box
_ABOVE: Final = 6.0  # the room above a row, for endings and words
_CHORD: Final = 6.2  # the size of the letters of a chord
_WIDTH: Final = 0.55  # about how wide a letter is, in sizes (estimate)


def draw_grid(
    grid: ChordGrid, /, *, page: Page | None = None, look: PageLook = ENGRAVED
) -> Pages:
    """Draw a chord grid.

    Args:
        grid: the grid.
        page: the paper, if not that of the part.
        look: fonts and strength of lines.

    Raises:
        PagesExtraError: if the extra ``pages`` is not installed.

    >>> from leadsheet_theory.musicxml import read_lead_sheet
    >>> from leadsheet_theory.parts import make_parts
    >>> tune = read_lead_sheet("shared/charts/rope_walk.musicxml").sheet
    >>> print(draw_grid(chord_grid(make_parts(tune)[0])))
    Rope Walk, 1 page
    """
    check_libraries()
    part = evolve(grid.part, headings=(HEADING.format(name=grid.part.name),), solo=())
    paper = page or part.plan.page
    heading = Heading(part, paper, look)
    width = paper.width - paper.left - paper.right
    sheets: list[Sheet] = []
    rows = list(grid.rows)
    while rows:
        number = len(sheets) + 1
        fit = max(1, int(heading.room(number, solo=False) / (_BOX + _ABOVE)))
        y = paper.top + heading.height(number, solo=False)
        pictures = []
        for row in rows[:fit]:
            svg = _row_svg(row, width, grid.columns, look)
            pictures.append(Picture(svg, paper.left, y, width, _BOX + _ABOVE))
            y += _BOX + _ABOVE
        words = tuple(w for w in heading.words(number, solo=False) if w.text)
        sheets.append(
            Sheet(
                width=paper.width,
                height=paper.height,
                pictures=tuple(pictures),
                words=words,
                bookmark="" if sheets else f"{part.source.title} ({part.name}, chords)",
            )
        )
        rows = rows[fit:]
    return Pages(part.source.title or part.name, tuple(sheets), part=part.name)


def _row_svg(row: Sequence[GridBar], width: float, columns: int, look: PageLook) -> str:
    box = (width - _LETTERS) / columns
    inside = "".join(_row_parts(row, box, look))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} '
        f'{_BOX + _ABOVE:g}" font-family="{look.chord_font}" '
        f'font-weight="{look.chord_weight}">{inside}</svg>'
    )


def _row_parts(row: Sequence[GridBar], box: float, look: PageLook) -> Iterator[str]:
    thin = look.bar_line * 2
    if row[0].form.section:
        yield _text(row[0].form.section, 0, _ABOVE + _BOX / 2 + 2.5, 7, _LETTERS - 2)
    for place, bar in enumerate(row):
        x = _LETTERS + place * box
        yield _rect(x, _ABOVE, box, _BOX, thin)
        yield from _chords(bar, x, box)
        if bar.ending or bar.form.ending:
            yield from _bracket(bar, x, box, thin)
        left = " ".join(filter(None, (bar.ending, bar.before)))
        if left:
            yield _text(left, x + 1, _ABOVE - 1.2, 3.6, box / 2)
        if bar.after:
            yield _text(bar.after, x + box - 1, _ABOVE - 1.2, 3.6, box * 0.7, "end")
        if bar.form.repeat_start:
            yield from _repeat(x, 1, thin)
        if bar.form.repeat_end:
            yield from _repeat(x + box, -1, thin)


def _chords(bar: GridBar, x: float, box: float) -> Iterator[str]:
    middle = _ABOVE + _BOX / 2
    if not bar.chords:
        center = x + box / 2
        yield _line(center - 2.2, middle + 2.2, center + 2.2, middle - 2.2, 1.0)
        for side in (-1, 1):
            yield _dot(center + 2.2 * side, middle + 1.2 * side, 0.6)
        return
    left = 4.2 if bar.form.repeat_start else 2.0
    inner = box - left - (3.4 if bar.form.repeat_end else 0.8)
    edges = [float(place) for place, _ in bar.chords] + [1.0]
    size = min(
        _fitting(text, _CHORD, (end - start) * inner - 1.0)
        for (start, end), (_, text) in zip(pairwise(edges), bar.chords, strict=True)
    )
    for start, (_, text) in zip(edges, bar.chords, strict=False):
        yield _text(text, x + left + start * inner, middle + 2.2, size, inner)


def _bracket(bar: GridBar, x: float, box: float, thin: float) -> Iterator[str]:
    top = _ABOVE - 5
    yield _line(x, top, x + box - (0.6 if bar.ending_stops else 0), top, thin)
    if bar.form.ending_starts:
        yield _line(x, top, x, _ABOVE, thin)
    if bar.ending_stops and bar.form.repeat_end:
        yield _line(x + box - 0.6, top, x + box - 0.6, _ABOVE, thin)


def _repeat(x: float, side: int, thin: float) -> Iterator[str]:
    """A repeat sign at a box's edge; `side` 1 opens to the right."""
    yield _rect(x - 0.5, _ABOVE, 1.0, _BOX, 0, fill="black")
    yield _line(x + 1.3 * side, _ABOVE, x + 1.3 * side, _ABOVE + _BOX, thin)
    for up in (-1.6, 1.6):
        yield _dot(x + 2.4 * side, _ABOVE + _BOX / 2 + up, 0.55)


def _text(
    text: str, x: float, y: float, size: float, room: float, anchor: str = "start"
) -> str:
    size = _fitting(text, size, room)
    return (
        f'<text x="{x:g}" y="{y:g}" font-size="{size:.3g}" text-anchor="{anchor}">'
        f"{escape(text)}</text>"
    )


def _fitting(text: str, size: float, room: float) -> float:
    """The size, or the largest one below it at which a text fits the room."""
    return min(size, room / (_WIDTH * max(len(text), 1)))


def _rect(
    x: float, y: float, width: float, height: float, line: float, fill: str = "none"
) -> str:
    return (
        f'<rect x="{x:g}" y="{y:g}" width="{width:g}" height="{height:g}" '
        f'fill="{fill}" stroke="black" stroke-width="{line:g}"/>'
    )


def _line(x1: float, y1: float, x2: float, y2: float, line: float) -> str:
    return (
        f'<path d="M{x1:g} {y1:g}L{x2:g} {y2:g}" stroke="black" '
        f'stroke-width="{line:g}"/>'
    )


def _dot(x: float, y: float, radius: float) -> str:
    return f'<circle cx="{x:g}" cy="{y:g}" r="{radius:g}"/>'
