"""``keys``: in which keys a singer can sing a tune."""

from __future__ import annotations

import argparse

from ..errors import TheoryError
from ..instruments.transposing import PitchRange
from ..parts.singer import SingerKey, singer_keys
from ._charts import Chart, charts_in, each_chart
from ._decisions import typed_decisions
from ._say import UsageError, count, say
from ._staves import add_staff_arguments

__all__ = ("DESCRIPTION", "add_arguments", "run")

DESCRIPTION = """\
Tell in which concert keys a tune lies within a singer's range, the best first: those
that leave as much room above the melody as below.  Make the parts in one of them with
parts --key.

  python -m leadsheet_theory keys tune.musicxml --range A3-C5
"""


def add_arguments(parser: argparse.ArgumentParser, /) -> None:
    """Say what the command takes."""
    parser.add_argument("charts", nargs="+", metavar="CHART", help="file or folder")
    parser.add_argument(
        "--range",
        required=True,
        metavar="LOW-HIGH",
        help="the lowest and the highest comfortable note, as they sound: A3-C5 "
        "(C4 is middle C)",
    )
    add_staff_arguments(parser)
    parser.add_argument("--quiet", action="store_true", help="no progress")


def run(options: argparse.Namespace, /) -> int:
    """List the keys; the exit code."""
    try:
        voice = PitchRange.parse(options.range)
    except TheoryError as error:
        raise UsageError(f"--range {options.range!r}: {error}") from None

    def work(chart: Chart) -> bool:
        sheet = chart.sheet
        keys = singer_keys(sheet, voice.low, voice.high)
        name = sheet.title or chart.name
        say(f"{name} (in {sheet.key.glyphs}): {count(len(keys), 'key')} within {voice}")
        for key in keys:
            say(f"  {_told(key)}")
        return True

    return each_chart(
        charts_in(options.charts),
        work,
        quiet=options.quiet,
        typed=typed_decisions(options),
    )


def _told(fit: SingerKey) -> str:
    below, above = count(fit.below, "semitone"), count(fit.above, "semitone")
    return (
        f"{fit.key.glyphs}: {fit.low.glyphs} to {fit.high.glyphs}, "
        f"{below} free below, {above} above"
    )
