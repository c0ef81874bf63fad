"""``abc``: charts as text, in ABC notation."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Final

from ..abc.writing.write import write_abc
from ..catalogue.telling import finding_lines
from ..files import write_files
from ._charts import Chart, charts_in, check_no_chart, each_chart
from ._decisions import typed_decisions
from ._say import UsageError, count, say
from ._staves import add_staff_arguments

__all__ = ("DESCRIPTION", "add_arguments", "run")

_VERSION: Final = "%abc-2.1\n"

DESCRIPTION = """\
Write charts (or those in a folder) as text in ABC notation 2.1, one tune after the
other in one file, and tell what of them the text does not hold.

  python -m leadsheet_theory abc tune.musicxml --to tune.abc
"""


def add_arguments(parser: argparse.ArgumentParser, /) -> None:
    """Say what the command takes."""
    parser.add_argument("charts", nargs="+", metavar="CHART", help="file or folder")
    parser.add_argument(
        "--to", required=True, type=Path, metavar="FILE", help="file for the text"
    )
    add_staff_arguments(parser)
    parser.add_argument("--quiet", action="store_true", help="no progress")


def run(options: argparse.Namespace, /) -> int:
    """Write the text; the exit code."""
    file: Path = options.to
    if file.is_dir():
        raise UsageError(f"--to {file}: a folder, not a file")
    charts = charts_in(options.charts)
    check_no_chart(file, charts)
    tunes: list[str] = []

    def work(chart: Chart) -> bool:
        written = write_abc(chart.sheet, number=len(tunes) + 1)
        tunes.append(written.text.removeprefix(_VERSION))
        bars = sum(bar.counts for bar in chart.sheet.bars)
        say(f"{chart.sheet.title or chart.name}: {count(bars, 'bar')} written")
        for line in finding_lines(written.findings):
            say(f"  {line}")
        return True

    code = each_chart(
        charts,
        work,
        quiet=options.quiet,
        typed=typed_decisions(options),
    )
    if tunes:
        text = "\n".join((_VERSION, *tunes)) if len(tunes) > 1 else _VERSION + tunes[0]
        write_files(file.parent, {file.name: text.encode()})
    return code
