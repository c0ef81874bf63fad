"""Drawn pages: parts, books, chord grids, lyrics, set lists, as PDF, SVG and PNG.

This room needs the extra ``pages`` (``pip install 'leadsheet-theory[pages]'``), with
the libraries verovio and typst; it can be imported without them.
"""

from .book import bind, bound_pages, title_order
from .draw import Pages, can_draw, draw_pages, join_pages
from .grid import ChordGrid, GridBar, chord_grid, draw_grid
from .look import ENGRAVED, HANDWRITTEN, LOOKS, PageLook
from .lyrics import LyricLine, draw_lyrics, lyric_lines
from .measure import DrawnSizes
from .set_list import SetListTune, draw_set_list, read_set_list

__all__ = (
    "ENGRAVED",
    "HANDWRITTEN",
    "LOOKS",
    "ChordGrid",
    "DrawnSizes",
    "GridBar",
    "LyricLine",
    "PageLook",
    "Pages",
    "SetListTune",
    "bind",
    "bound_pages",
    "can_draw",
    "chord_grid",
    "draw_grid",
    "draw_lyrics",
    "draw_pages",
    "draw_set_list",
    "join_pages",
    "lyric_lines",
    "read_set_list",
    "title_order",
)
