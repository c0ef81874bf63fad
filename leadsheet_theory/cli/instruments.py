"""``instruments``: the books and instruments there are."""

from __future__ import annotations

import argparse

from ..instruments.books import STANDARD_BOOKS
from ..instruments.rhythm_books import RHYTHM_BOOKS, PartReader, RhythmBook
from ..instruments.table import INSTRUMENTS
from ._say import UsageError, say

__all__ = ("DESCRIPTION", "add_arguments", "run")

DESCRIPTION = """\
List the books and the instruments that parts can be made for: name, clef, the
interval from the written to the sounding note, and the written range.  With words only
those that have them in their name.

  python -m leadsheet_theory instruments
  python -m leadsheet_theory instruments sax
"""
_HEAD = ("name", "clef", "sounds", "written range")


def add_arguments(parser: argparse.ArgumentParser, /) -> None:
    """Say what the command takes."""
    parser.add_argument("words", nargs="*", metavar="WORD", help="part of a name")


def run(options: argparse.Namespace, /) -> int:
    """Print the table; the exit code."""
    words = [word.casefold() for word in options.words]
    readers: tuple[PartReader, ...] = (*STANDARD_BOOKS, *RHYTHM_BOOKS, *INSTRUMENTS)
    rows = [
        _row(reader)
        for reader in readers
        if all(word in _names(reader) for word in words)
    ]
    if not rows:
        raise UsageError(f"no book or instrument called {' '.join(options.words)!r}")
    table = [_HEAD, *rows]
    widths = [max(len(row[at]) for row in table) for at in range(len(_HEAD))]
    for row in table:
        cells = zip(row, widths, strict=True)
        say("  ".join(cell.ljust(width) for cell, width in cells).rstrip())
    return 0


def _names(reader: PartReader) -> str:
    """What is searched for a word; a drum set has a book, and no other row."""
    names = [reader.name, reader.ascii_name]
    if isinstance(reader, RhythmBook):
        names += reader.aliases
    return " ".join(names).casefold()


def _row(reader: PartReader) -> tuple[str, str, str, str]:
    if isinstance(reader, RhythmBook):
        called = f"{reader.name} ({reader.aliases[0]})"
        return called, reader.clef.name, "–", "–"
    return (
        reader.name,
        reader.clef.name,
        str(reader.transposition),
        reader.written_range.glyphs,
    )
