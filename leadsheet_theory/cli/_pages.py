"""Pages on the command line: paper, staff, look, and files that are written whole."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Final

from ..errors import PagesExtraError
from ..files import write_files
from ..pages._libraries import check_libraries
from ..pages.look import LOOKS
from ..parts.systems import PAPERS
from ._say import UsageError

__all__ = (
    "NO_PAGES",
    "add_most_bars",
    "add_page_arguments",
    "need_pages",
    "text_of",
    "write_files",
)

NO_PAGES: Final = (
    "for PDF pages: pip install 'leadsheet-theory[pages]', then run it again"
)


def add_page_arguments(parser: argparse.ArgumentParser, /) -> None:
    """Say what every command that draws pages takes."""
    group = parser.add_argument_group("pages")
    group.add_argument(
        "--paper",
        choices=PAPERS,
        default="A4",
        help="the size of the pages (default: %(default)s; inches where two numbers "
        "stand; B4 is 257 by 364 mm)",
    )
    group.add_argument(
        "--staff-size",
        type=float,
        metavar="MM",
        help="the height of a staff in millimetres, from 4 to 9.5 (default: 7.5 on A4 "
        "and letter, 8 on larger paper)",
    )
    group.add_argument(
        "--look",
        choices=LOOKS,
        default="engraved",
        help="how the pages look (default: %(default)s)",
    )


def add_most_bars(
    options: argparse.ArgumentParser | argparse._ArgumentGroup, line: str, /
) -> None:
    """Say how many bars a system takes, or a row of a grid."""
    options.add_argument(
        f"--bars-per-{line}",
        type=int,
        choices=range(1, 17),
        default=4,
        metavar="N",
        help=f"the most bars in a {line} (default: %(default)s)",
    )


def need_pages() -> None:
    """Make sure that pages can be drawn.

    Raises:
        UsageError: if the libraries are missing.
    """
    try:
        check_libraries()
    except PagesExtraError as error:
        raise UsageError(str(error)) from None


def text_of(file: Path, /) -> str:
    """The text of a file.

    Raises:
        UsageError: if it can't be read.
    """
    try:
        return file.read_text("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise UsageError(f"{file}: {error}") from None
