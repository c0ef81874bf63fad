"""``midi``: a chart to be heard."""

from __future__ import annotations

import argparse
from fractions import Fraction
from pathlib import Path
from typing import Final

from ..decisions.making import decided_parts
from ..decisions.reading import decisions_from
from ..errors import TheoryError
from ..files import write_files
from ..instruments.books import Book, as_readers
from ..instruments.instrument import Instrument
from ..leadsheet.model import LeadSheet, Swing, Tempo
from ..midi.write import write_midi
from ..parts.model import Part
from ..rhythm.values import NoteValue
from ._charts import Chart, charts_in, check_no_chart, each_chart
from ._decisions import typed_decisions
from ._say import UsageError, say
from ._staves import add_staff_arguments

__all__ = ("DESCRIPTION", "add_arguments", "run")

_NO_SOLOS: Final = decisions_from({"no-solo-page": True})

DESCRIPTION = """\
Write a chart as a MIDI file, in the order it is played: melody, guide tones, bass, hits
and a count-in.  Eighths swing 2 to 1 up to about 200 quarter notes a minute and are
even from 300; they are straight where the style of the chart says so.  Needs the extra
for sound: pip install 'leadsheet-theory[sound]'.

  python -m leadsheet_theory midi tune.musicxml --to tune.mid
  python -m leadsheet_theory midi tune.abc --to alto.mid --for 'alto sax' --written
"""
_SWINGS = ("chart", "tempo", "measured", "straight")


def add_arguments(parser: argparse.ArgumentParser, /) -> None:
    """Say what the command takes."""
    parser.add_argument("chart", metavar="CHART", help="file")
    parser.add_argument(
        "--to", required=True, type=Path, metavar="FILE", help="file for the MIDI data"
    )
    parser.add_argument(
        "--tempo", type=Fraction, metavar="N", help="quarter notes a minute"
    )
    parser.add_argument(
        "--swing",
        choices=_SWINGS,
        default="chart",
        help="how eighths are played: as the chart says or else by the tempo, by the "
        "tempo whatever it says, as measured on records, or even (default: chart)",
    )
    parser.add_argument(
        "--choruses",
        type=int,
        default=0,
        metavar="N",
        help="solo choruses after the tune, which then comes again (default: none)",
    )
    parser.add_argument(
        "--count-in",
        type=int,
        default=1,
        metavar="N",
        help="bars of clicks before (default: %(default)s)",
    )
    parser.add_argument(
        "--for",
        dest="reader",
        metavar="NAME",
        help="the part of a book or an instrument: Bb, 'alto sax'",
    )
    parser.add_argument(
        "--written",
        action="store_true",
        help="the part as it is written, not as it sounds, to check a transposition",
    )
    add_staff_arguments(parser)
    parser.add_argument("--quiet", action="store_true", help="no progress")


def run(options: argparse.Namespace, /) -> int:
    """Write the file; the exit code."""
    file: Path = options.to
    if file.is_dir():
        raise UsageError(f"--to {file}: a folder, not a file")
    if options.written and not options.reader:
        raise UsageError("--written is for the part of a book or instrument: add --for")
    reader = None if options.reader is None else _reader(options.reader)
    tempo = options.tempo and Tempo(NoteValue("quarter"), options.tempo)

    def work(chart: Chart) -> bool:
        played = chart.played
        music: LeadSheet | Part = played
        if reader is not None:
            decisions = chart.decisions.followed_by(_NO_SOLOS)
            (music,) = decided_parts(played, decisions, readers=(reader,))
        data = write_midi(
            music,
            swing={
                "chart": None,
                "tempo": "by tempo",
                "measured": "measured",
                "straight": Swing(1, 1),
            }[options.swing],
            tempo=tempo,
            solo_choruses=options.choruses,
            count_in=options.count_in,
            pitch="written" if options.written else "sounding",
        )
        name = file.name
        if chart.tunes > 1:
            name = f"{file.stem}, {chart.stem}{file.suffix}"
        write_files(file.parent, {name: data})
        say(f"{chart.sheet.title or chart.name}: written to {file.parent / name}")
        return True

    charts = charts_in([options.chart])
    if len(charts) > 1:
        raise UsageError("midi takes one chart at a time")
    check_no_chart(file, charts)
    return each_chart(
        charts,
        work,
        quiet=options.quiet,
        typed=typed_decisions(options),
        to=file.parent,
        ends=lambda _: (("", file.suffix),),
    )


def _reader(name: str) -> Book | Instrument:
    try:
        return as_readers(name)[0]
    except TheoryError as error:
        raise UsageError(str(error)) from None
