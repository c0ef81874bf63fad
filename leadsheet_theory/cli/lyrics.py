"""``lyrics``: the words of charts on a sheet of their own."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Final

from ..decisions.making import decided_parts
from ..decisions.reading import decisions_from
from ..files import write_files
from ..instruments.books import find_book
from ..pages import LOOKS, DrawnSizes, draw_lyrics
from ._charts import Chart, charts_in, each_chart
from ._decisions import typed_decisions
from ._pages import add_page_arguments, need_pages
from ._say import count, say
from ._staves import add_staff_arguments

__all__ = ("DESCRIPTION", "add_arguments", "run")

_NO_SOLOS: Final = decisions_from({"no-solo-page": True})

_END: Final = " - words.pdf"
DESCRIPTION = """\
Read each chart and write its words as PDF, section by section and verse by verse, with
chord symbols at concert pitch above the first verse if you ask for them.

  python -m leadsheet_theory lyrics tune.musicxml --to words --chords
"""


def add_arguments(parser: argparse.ArgumentParser, /) -> None:
    """Say what the command takes."""
    parser.add_argument("charts", nargs="+", metavar="CHART", help="file or folder")
    parser.add_argument(
        "--to", required=True, type=Path, metavar="DIR", help="folder for the sheets"
    )
    parser.add_argument(
        "--chords", action="store_true", help="chord symbols above the first verse"
    )
    add_page_arguments(parser)
    add_staff_arguments(parser)
    parser.add_argument("--quiet", action="store_true", help="no progress")


def run(options: argparse.Namespace, /) -> int:
    """Write the sheets; the exit code."""
    need_pages()

    def work(chart: Chart) -> bool:
        look = LOOKS[chart.decisions.text("look", "engraved")]
        (part,) = decided_parts(
            chart.played,
            chart.decisions.followed_by(_NO_SOLOS),
            readers=[find_book("C")],
            measure=DrawnSizes(look),
        )
        title = chart.sheet.title or chart.name
        pages = draw_lyrics(part, chords=options.chords, look=look)
        if not len(pages):
            say(f"{title}: no words")
            return True
        write_files(options.to, {f"{chart.stem}{_END}": pages.pdf()})
        say(f"{title}: words on {count(len(pages), 'page')} written to {options.to}")
        return True

    return each_chart(
        charts_in(options.charts),
        work,
        quiet=options.quiet,
        typed=typed_decisions(options),
        to=options.to,
        ends=lambda _: (("", _END),),
    )
