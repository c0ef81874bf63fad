"""Drawn pages: each part as PDF, SVG and PNG.

This room needs the extra ``pages`` (``pip install 'leadsheet-theory[pages]'``), with
the libraries verovio and typst; it can be imported without them.
"""

from .book import bind, bound_pages, title_order
from .draw import Pages, can_draw, draw_pages, join_pages
from .look import ENGRAVED, HANDWRITTEN, LOOKS, PageLook
from .measure import DrawnSizes

__all__ = (
    "ENGRAVED",
    "HANDWRITTEN",
    "LOOKS",
    "DrawnSizes",
    "PageLook",
    "Pages",
    "bind",
    "bound_pages",
    "can_draw",
    "draw_pages",
    "join_pages",
    "title_order",
)
