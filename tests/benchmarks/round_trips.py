"""Write parts, read them back, and compare: the same notes, chords, form and words.

    python tests/benchmarks/round_trips.py [--every 3] [--first 0] [--instruments]

For every chart of ``shared/charts`` and one in so many lead sheets beside the project,
the part of every book (or of every instrument of the table) is written and read back,
and what differs is printed (:mod:`round_trip`).  The exit code is 1 if anything does.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path

HOME = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(HOME), str(HOME / "tests")]

from round_trip import lost  # noqa: E402

from leadsheet_theory import make_parts, read_lead_sheet  # noqa: E402
from leadsheet_theory.errors import TheoryError  # noqa: E402
from leadsheet_theory.instruments import (  # noqa: E402
    INSTRUMENTS,
    STANDARD_BOOKS,
    Book,
    Instrument,
)


def charts(every: int, first: int) -> Iterator[Path]:
    """The project's own charts, and one in so many of those beside it."""
    yield from sorted((HOME / "shared/charts").rglob("*.musicxml"))
    yield from sorted((HOME.parent / "shared/leadsheets").glob("*.mxl"))[first::every]


def main() -> int:
    """Go there and back, and print what got lost."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--every", type=int, default=3)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--instruments", action="store_true")
    options = parser.parse_args()
    readers: list[Book | Instrument] = list(STANDARD_BOOKS)
    if options.instruments:
        readers = list(INSTRUMENTS)
    count = parts = wrong = 0
    for path in charts(options.every, options.first):
        count += 1
        sheet = read_lead_sheet(path).sheet
        for reader in readers:
            try:
                (part,) = make_parts(sheet, books=[reader], solo_page=False)
                found = list(lost(part))
            except TheoryError as error:
                found = [(0, type(error).__name__, str(error), "")]
            parts += 1
            wrong += bool(found)
            for bar, what, before, after in found[:2]:
                print(f"{path.stem}, {reader.name}, bar {bar}, {what}:")
                print(f"    {str(before)[:200]}\n    {str(after)[:200]}")
    print(f"{count} charts, {parts} parts: {wrong} differ when they are read back")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
