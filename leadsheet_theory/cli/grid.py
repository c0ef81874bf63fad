"""``grid``: the changes of charts in boxes, without a staff."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Final

from ..decisions.making import decided_parts, decided_readers
from ..decisions.model import Decisions
from ..decisions.reading import decisions_from
from ..files import Ends, write_files
from ..musicxml.writing.files import part_endings
from ..pages import LOOKS, chord_grid, draw_grid
from ._charts import Chart, charts_in, each_chart
from ._decisions import typed_decisions
from ._pages import add_most_bars, add_page_arguments, need_pages
from ._readers import add_reader_arguments
from ._say import count, say
from ._staves import add_staff_arguments
from ._symbols import HOUSE_STYLES

__all__ = ("DESCRIPTION", "add_arguments", "run")

_IN_C: Final = decisions_from({"books": ["C"]})

DESCRIPTION = """\
Read each chart and write its changes in boxes, four bars to a row, as PDF or as a web
page, for chairs that need no staff.  Without --book and --instrument for the book in C.

  python -m leadsheet_theory grid tune.musicxml --to grids
  python -m leadsheet_theory grid charts --to grids --html --book Bb
"""


def add_arguments(parser: argparse.ArgumentParser, /) -> None:
    """Say what the command takes."""
    parser.add_argument("charts", nargs="+", metavar="CHART", help="file or folder")
    parser.add_argument(
        "--to", required=True, type=Path, metavar="DIR", help="folder for the grids"
    )
    add_reader_arguments(parser)
    parser.add_argument("--html", action="store_true", help="web pages, not PDF")
    parser.add_argument(
        "--style",
        choices=HOUSE_STYLES,
        default="plain letters",
        help="how chord symbols are printed (default: %(default)s)",
    )
    add_most_bars(parser, "row")
    add_page_arguments(parser)
    add_staff_arguments(parser)
    parser.add_argument("--quiet", action="store_true", help="no progress")


def run(options: argparse.Namespace, /) -> int:
    """Write the grids; the exit code."""
    if not options.html:
        need_pages()

    kind = "html" if options.html else "pdf"

    def ends(decisions: Decisions) -> Ends:
        names = (reader.name for reader in decided_readers(_for_c(decisions)))
        return tuple(("", f"{end} chords.{kind}") for end in part_endings(names))

    def work(chart: Chart) -> bool:
        files = {}
        decisions = _for_c(chart.decisions)
        style = HOUSE_STYLES.get(decisions.text("style"), HOUSE_STYLES[options.style])
        look = LOOKS[decisions.text("look", "engraved")]
        parts = decided_parts(chart.played, decisions)
        for (_, end), part in zip(ends(decisions), parts, strict=True):
            grid = chord_grid(part, style=style, columns=options.bars_per_row)
            if options.html:
                made = grid.html().encode()
            else:
                made = draw_grid(grid, look=look).pdf()
            files[f"{chart.stem}{end}"] = made
        write_files(options.to, files)
        title = chart.sheet.title or chart.name
        say(f"{title}: {count(len(files), 'chord grid')} written to {options.to}")
        return True

    return each_chart(
        charts_in(options.charts),
        work,
        quiet=options.quiet,
        typed=typed_decisions(options),
        to=options.to,
        ends=ends,
    )


def _for_c(decisions: Decisions) -> Decisions:
    """The decisions, for the book in C where they name no reader."""
    if decisions.of("books") or decisions.of("instruments"):
        return decisions
    return decisions.followed_by(_IN_C)
