"""``new``: a blank chart, to be filled in."""

from __future__ import annotations

import argparse
import re
from fractions import Fraction
from pathlib import Path

from attrs import evolve

from ..errors import TheoryError
from ..files import write_files
from ..leadsheet.blank import blank_sheet
from ..musicxml.writing.write import write_lead_sheet
from ._say import UsageError, count, say

__all__ = ("DESCRIPTION", "add_arguments", "run")

DESCRIPTION = """\
Write a blank chart as MusicXML, with a staff for the melody, one for the rhythm
section's hits and one for a bass line, to be filled in any editor of MusicXML.

The form is said as players say it: A8 is section A of eight bars, 4 four bars without a
letter, 1:4 a first ending of four bars, |: and :| repeat signs.  What has endings is
repeated from the last |:, else from where the last repeat ended, else from the start.

  python -m leadsheet_theory new "Low Tide" --key Eb --metre 4/4 --pickup 1 \\
      --form "A8 B4 1:4 2:4"
"""


def add_arguments(parser: argparse.ArgumentParser, /) -> None:
    """Say what the command takes."""
    parser.add_argument("title", metavar="TITLE", help="what the tune is called")
    parser.add_argument(
        "--form", required=True, metavar="TEXT", help="its form: 'A8 B4 1:4 2:4'"
    )
    parser.add_argument(
        "--key", default="C", metavar="KEY", help="its concert key (default: C)"
    )
    parser.add_argument(
        "--metre", default="4/4", metavar="METRE", help="its metre (default: 4/4)"
    )
    parser.add_argument(
        "--pickup",
        default="0",
        metavar="BEATS",
        help="how many beats stand before bar 1: 1, 3/2, 1.5 (default: none)",
    )
    parser.add_argument("--composer", default="", metavar="TEXT", help="who wrote it")
    parser.add_argument(
        "--feel", default="", metavar="TEXT", help="words over bar 1: 'Medium swing'"
    )
    parser.add_argument(
        "--to",
        type=Path,
        metavar="FILE",
        help="the file to write (default: after the title, in this folder); one that "
        "is there already is not written over",
    )


def run(options: argparse.Namespace, /) -> int:
    """Write the chart; the exit code."""
    name = re.sub(r"[^\w]+", "_", options.title.casefold()).strip("_") or "untitled"
    file: Path = options.to or Path(f"{name}.musicxml")
    if file.exists():
        raise UsageError(f"{file} is there already; it is not written over")
    try:
        pickup = Fraction(options.pickup)
    except (ValueError, ZeroDivisionError):
        raise UsageError(
            f"--pickup {options.pickup!r}: expected a number of beats, such as 3/2"
        ) from None
    try:
        sheet = blank_sheet(
            options.title,
            form=options.form,
            key=options.key,
            meter=options.metre,
            pickup=pickup,
            composer=options.composer,
        )
    except TheoryError as error:
        raise UsageError(str(error)) from None
    sheet = evolve(sheet, style=options.feel)
    data = write_lead_sheet(sheet, rhythm_staves=True)
    write_files(file.parent, {file.name: data})
    bars = sum(bar.counts for bar in sheet.bars)
    say(f"{sheet.title}: {count(bars, 'bar')} written to {file}")
    return 0
