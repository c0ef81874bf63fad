"""The two libraries of the extra ``pages``, where they are installed.

``verovio`` draws the music, ``typst`` sets the pages.  Every other module of this room
takes them from here, so that the room can be imported without them and says in one
place how to get them.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import Final, Literal

from ..errors import DrawingError, PagesExtraError

try:
    import typst
    import verovio
except ImportError as error:  # the extra is not installed, or only in part
    _missing: str = error.name or str(error)
else:
    _missing = ""
    verovio.enableLog(verovio.LOG_OFF)  # else it writes to standard error

__all__ = (
    "OutputFormat",
    "can_draw",
    "check_libraries",
    "music_toolkit",
    "not_in_fonts",
    "set_pages",
)

OutputFormat = Literal["pdf", "svg", "png"]

FONT_FOLDER: Final = Path(__file__).parent / "fonts"


def can_draw() -> bool:
    """Whether the libraries of the extra ``pages`` are there.

    >>> can_draw()
    True
    """
    return not _missing


def check_libraries() -> None:
    """Make sure that the libraries are there.

    Raises:
        PagesExtraError: if one is missing.
    """
    if _missing:
        raise PagesExtraError(_missing)


def music_toolkit() -> verovio.toolkit:
    """A drawing toolkit of this thread."""
    # verovio keeps the folder of its glyphs a thread, and says nothing without it
    data = Path(verovio.__file__).parent / "data"
    verovio.setDefaultResourcePath(str(data))
    return verovio.toolkit()


@cache
def _fonts() -> typst.Fonts:
    """The fonts of the pages: ours and typst's own, never those of the system, so
    that pages come out alike everywhere."""
    return typst.Fonts(include_system_fonts=False, font_paths=[FONT_FOLDER])


def set_pages(
    template: str, data: str, kind: OutputFormat, *, dots_per_inch: float = 144
) -> list[bytes]:
    """What typst makes of a template and its data: one PDF, or a picture a page.

    Raises:
        DrawingError: if it complains, such as of a font that is not there.
    """
    try:
        made, warnings = typst.compile_with_warnings(
            template.encode(),
            format=kind,
            ppi=dots_per_inch,
            font_paths=_fonts(),
            sys_inputs={"data": data},
            timestamp=0,
            pdf_tags=False,
        )
    except typst.TypstError as error:
        raise DrawingError(f"the pages can't be set: {error.message}") from None
    if warnings:  # such as of a font that is not there
        raise DrawingError(f"the pages can't be set: {warnings[0].message}")
    return [made] if isinstance(made, bytes) else list(made or ())


_NOT_SHOWN: Final = re.compile(r'text `"(.+?)"` could not be displayed')


def not_in_fonts(template: str, data: str) -> str:
    """The first words that the fonts have no letters for; nothing where they have all.

    The standard for archives, PDF/A-2b, demands it, so typst looks (ISO 19005-2).
    """
    try:
        typst.compile(
            template.encode(),
            format="pdf",
            font_paths=_fonts(),
            sys_inputs={"data": data},
            timestamp=0,
            pdf_standards="a-2b",
        )
    except typst.TypstError as error:
        words = _NOT_SHOWN.search(error.message)
        return words[1] if words else ""
    return ""
