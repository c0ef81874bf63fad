"""Books and instruments on the command line: for whom parts are made."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from ..errors import TheoryError
from ..instruments.books import STANDARD_BOOKS, Book, find_book
from ..instruments.instrument import Instrument
from ..instruments.table import find_instrument
from ._say import UsageError

__all__ = ("add_reader_arguments", "readers_asked")


def add_reader_arguments(parser: argparse.ArgumentParser, /) -> None:
    """Say what every command that makes parts takes."""
    parser.add_argument(
        "--book",
        action="append",
        default=[],
        metavar="NAME",
        help="books to make: C, Bb, Eb, F, 'bass clef', several with commas between, "
        "all, or 'all but F'; may be given again",
    )
    parser.add_argument(
        "--instrument",
        action="append",
        default=[],
        metavar="NAME",
        help="an instrument to make a part for, such as 'tenor sax'; may be given "
        "again",
    )


def readers_asked(
    books: Sequence[str], instruments: Sequence[str], /
) -> tuple[Book | Instrument, ...]:
    """The books and instruments meant by their names; the five books if none is named.

    Raises:
        UsageError: if there is none of that name.
    """
    try:
        chosen: list[Book | Instrument] = [
            book for names in books for book in _books(names)
        ]
        chosen += [find_instrument(name) for name in instruments]
    except TheoryError as error:
        raise UsageError(str(error)) from None
    return tuple(dict.fromkeys(chosen)) or STANDARD_BOOKS


def _books(names: str) -> tuple[Book, ...]:
    """The books meant by ``Bb``, ``C, Bb``, ``all`` or ``all but F, Eb``."""
    first, _, rest = names.partition(" but ")
    if first.strip().casefold() == "all":
        without = [find_book(name) for name in rest.split(",") if name.strip()]
        return tuple(book for book in STANDARD_BOOKS if book not in without)
    return tuple(find_book(name) for name in names.split(","))
