"""``setlist``: the page of an evening's tunes."""

from __future__ import annotations

import argparse
from pathlib import Path

from ..decisions.making import decided_page
from ..files import write_files
from ..leadsheet.model import LeadSheet
from ..pages import LOOKS, draw_set_list, read_set_list
from ._charts import Chart, charts_in, check_no_chart, each_chart
from ._decisions import typed_decisions
from ._pages import add_page_arguments, need_pages, text_of
from ._say import UsageError, count, say

__all__ = ("DESCRIPTION", "add_arguments", "run")

DESCRIPTION = """\
Read a set list (a text file: a tune on each line, then if you like its key, tempo and
feel, set apart by |) and write it as a page with order, title, key, tempo and feel.
What the list leaves open is taken from the charts.

  python -m leadsheet_theory setlist friday.txt --to friday.pdf --charts charts
"""


def add_arguments(parser: argparse.ArgumentParser, /) -> None:
    """Say what the command takes."""
    parser.add_argument("list", type=Path, metavar="LIST", help="the text file")
    parser.add_argument(
        "--to", required=True, type=Path, metavar="FILE", help="the PDF to write"
    )
    parser.add_argument(
        "--title", metavar="TEXT", help="what stands above (default: the file's name)"
    )
    parser.add_argument(
        "--charts",
        nargs="+",
        default=[],
        metavar="CHART",
        help="charts of the tunes: files or folders",
    )
    add_page_arguments(parser)
    parser.add_argument("--quiet", action="store_true", help="no progress")


def run(options: argparse.Namespace, /) -> int:
    """Write the set list; the exit code."""
    need_pages()
    charts = charts_in(options.charts)
    check_no_chart(options.to, [options.list, *charts])
    tunes = read_set_list(text_of(options.list))
    if not tunes:
        raise UsageError(f"{options.list}: no tune in the list")
    typed = typed_decisions(options, without=("title",))
    sheets: dict[str, LeadSheet] = {}

    def note(chart: Chart) -> bool:
        for name in (chart.sheet.title, chart.name, chart.stem):
            sheets.setdefault(name.casefold(), chart.played)
        return True

    code = 0
    if charts:
        code = each_chart(charts, note, quiet=True)
    filled = []
    for tune in tunes:
        sheet = sheets.get(tune.title.casefold())
        filled.append(tune.filled_from(sheet) if sheet is not None else tune)
    title = options.title or options.list.stem
    pages = draw_set_list(
        filled, title=title, page=decided_page(typed), look=LOOKS[options.look]
    )
    write_files(options.to.parent, {options.to.name: pages.pdf()})
    say(f"{title}: {count(len(tunes), 'tune')} written to {options.to}")
    return code
