"""Books and instruments on the command line: for whom parts are made."""

from __future__ import annotations

import argparse

__all__ = ("add_reader_arguments",)


def add_reader_arguments(parser: argparse.ArgumentParser, /) -> None:
    """Say what every command that makes parts takes."""
    group = parser.add_argument_group("books and instruments")
    group.add_argument(
        "--book",
        action="append",
        default=[],
        metavar="NAME",
        help="books to make: C, Bb, Eb, F, 'bass clef', rhythm, drums, several with "
        "commas between, all, or 'all but F'; may be given again",
    )
    group.add_argument(
        "--instrument",
        action="append",
        default=[],
        metavar="NAME",
        help="an instrument to make a part for, such as 'tenor sax'; may be given "
        "again",
    )
