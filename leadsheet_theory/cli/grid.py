"""``grid``: the changes of charts in boxes, without a staff."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Final

from ..decisions.making import decided_parts, decided_readers
from ..decisions.reading import decisions_from
from ..musicxml.writing.files import write_files
from ..pages import LOOKS, chord_grid, draw_grid
from ._charts import Chart, charts_in, each_chart
from ._decisions import typed_decisions
from ._pages import add_page_arguments, need_pages
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
    parser.add_argument(
        "--bars-per-row",
        type=int,
        choices=range(1, 17),
        default=4,
        metavar="N",
        help="the most bars in a row (default: %(default)s)",
    )
    add_page_arguments(parser)
    add_staff_arguments(parser)
    parser.add_argument("--quiet", action="store_true", help="no progress")


def run(options: argparse.Namespace, /) -> int:
    """Write the grids; the exit code."""
    if not options.html:
        need_pages()

    def work(chart: Chart) -> bool:
        files = {}
        decisions = chart.decisions
        if not (decisions.of("books") or decisions.of("instruments")):
            decisions = decisions.followed_by(_IN_C)
        style = HOUSE_STYLES.get(decisions.text("style"), HOUSE_STYLES[options.style])
        look = LOOKS[decisions.text("look", "engraved")]
        readers = decided_readers(decisions)
        for reader, part in zip(
            readers, decided_parts(chart.played, decisions), strict=True
        ):
            grid = chord_grid(part, style=style, columns=options.bars_per_row)
            name = f"{chart.stem} - {reader.ascii_name} chords".replace("/", "-")
            if options.html:
                files[f"{name}.html"] = grid.html().encode()
            else:
                files[f"{name}.pdf"] = draw_grid(grid, look=look).pdf()
        write_files(options.to, files)
        title = chart.sheet.title or chart.name
        say(f"{title}: {count(len(files), 'chord grid')} written to {options.to}")
        return True

    return each_chart(
        charts_in(options.charts),
        work,
        quiet=options.quiet,
        typed=typed_decisions(options),
    )
