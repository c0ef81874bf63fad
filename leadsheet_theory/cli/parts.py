"""``parts``: from each chart the parts of a band."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from functools import partial
from pathlib import Path
from typing import Final, get_args

from attrs import frozen

from ..catalogue.charts import Chart
from ..catalogue.making import MadeParts, made_parts, part_file_ends
from ..catalogue.report import options_hash
from ..decisions.keys import DECISION_KEYS
from ..decisions.model import Decisions
from ..files import write_files
from ..leadsheet.folding import FoldAim
from ..leadsheet.slash_time import SlashedBars
from ..pages import can_draw
from ..parts.make import HEADING
from ._batch import Told, work_through
from ._changes import change_lines
from ._charts import Source, charts_in, sources
from ._cues import add_cue_arguments
from ._decisions import typed_decisions
from ._pages import NO_PAGES, add_page_arguments
from ._processes import jobs_asked
from ._readers import add_reader_arguments
from ._report import add_batch_arguments, report_asked
from ._say import UsageError, count, say
from ._solos import add_solo_arguments
from ._staves import add_staff_arguments
from ._symbols import PRINT_STYLES
from ._wishes import add_wish_arguments

__all__ = ("DESCRIPTION", "add_arguments", "run")

DESCRIPTION = """\
Read each chart (at concert pitch, as MusicXML: .musicxml, .xml or .mxl, or as ABC:
.abc, which may hold many tunes; or a folder of them) and write a part for each book
and instrument into a folder: as PDF, all of them in order as one PDF for the printer,
as MusicXML in a folder "musicxml" of its own, and a short report of what to look at.
Without --book and --instrument these are the five books C, Bb, Eb, F and bass clef.
A file of the same name in that folder is replaced.

  python -m leadsheet_theory parts tune.musicxml --to parts
  python -m leadsheet_theory parts tune.musicxml --to parts --book Bb \\
      --instrument "bass trombone" --respell "Bb 22 3 Gb"
"""


def add_arguments(parser: argparse.ArgumentParser, /) -> None:
    """Say what the command takes."""
    parser.add_argument("charts", nargs="+", metavar="CHART", help="file or folder")
    parser.add_argument(
        "--to", required=True, type=Path, metavar="DIR", help="folder for the parts"
    )
    parser.add_argument(
        "--musicxml-only", action="store_true", help="write no PDF and no report"
    )
    add_reader_arguments(parser)
    add_staff_arguments(parser)
    _add_tune_arguments(parser)
    add_wish_arguments(parser)
    add_cue_arguments(parser)
    add_solo_arguments(parser)
    _add_print_arguments(parser)
    add_page_arguments(parser)
    _add_report_arguments(parser)
    add_batch_arguments(parser)


def _add_tune_arguments(parser: argparse.ArgumentParser) -> None:
    group = parser.add_argument_group("the tune")
    group.add_argument("--title", metavar="TEXT", help="the title on the parts")
    group.add_argument("--composer", metavar="TEXT", help="the composer on the parts")
    group.add_argument(
        "--key",
        metavar="KEY",
        help="make the parts in another concert key, such as a singer's: F, 'C minor'",
    )
    group.add_argument(
        "--keep-stacked-chords",
        action="store_true",
        help="leave chords that stand on one beat there; by default they are spread "
        "over the beats up to the next chord",
    )
    group.add_argument(
        "--slashes",
        choices=get_args(SlashedBars),
        default="into the solos",
        help="which bars get slashes in which the melody is silent under chords: those "
        "at the end of a head that goes into the solos (default), all, or none",
    )
    group.add_argument(
        "--fold",
        choices=get_args(FoldAim),
        help="give a tune that is written out repeats and endings: so that no section "
        "is parted by an ending, or for the shortest page",
    )
    group.add_argument(
        "--letters",
        action="store_true",
        help="give a tune without letters some, where its sections begin",
    )


def _add_print_arguments(parser: argparse.ArgumentParser) -> None:
    group = parser.add_argument_group("headings and chord symbols")
    group.add_argument(
        "--heading",
        metavar="TEXT",
        default=HEADING,
        help="what stands above the music; {book} is the part's name, {title} the "
        "tune's (default: '%(default)s')",
    )
    group.add_argument(
        "--road-map",
        action="store_true",
        help="tell the way through the tune in a line under the title",
    )
    group.add_argument(
        "--revision",
        metavar="TEXT",
        help="a number or a date at the foot of each page, after 'rev.'",
    )
    group.add_argument(
        "--style",
        choices=PRINT_STYLES,
        default="plain letters",
        help="how chord symbols are printed: in a house style, or each as its source "
        "has it (default: %(default)s)",
    )


def _add_report_arguments(parser: argparse.ArgumentParser) -> None:
    group = parser.add_argument_group("the report")
    group.add_argument(
        "--summary",
        choices=("full", "parts", "short"),
        help="all that was respelled, a line a part and what is doubtful, or one line "
        "a chart (default: parts for one chart, short for several)",
    )
    group.add_argument(
        "--silence",
        action="append",
        default=[],
        metavar="RULE[: BARS]",
        help="say nothing of a rule in the report, or in some bars, such as 'tie: 4'; "
        "may be given again",
    )


def run(options: argparse.Namespace, /) -> int:
    """Make the parts; the exit code."""
    charts = charts_in(options.charts)
    typed = typed_decisions(options)
    for key in _ALONE if len(charts) > 1 else ():
        if typed.of(key):
            raise UsageError(f"--{key} is for one chart at a time")
    folder: Path = options.to
    if folder.exists() and not folder.is_dir():
        raise UsageError(f"--to {folder}: not a folder")
    pdf = can_draw() and not options.musicxml_only
    making = _Making(
        typed=typed,
        folder=folder,
        pdf=pdf,
        summary=options.summary or ("parts" if len(charts) == 1 else "short"),
        questions=options.report is not None,
    )
    jobs = jobs_asked(options.jobs, len(charts))
    ends = partial(part_file_ends, pdf=pdf)
    with report_asked(options, charts) as report:
        planned = sources(charts, typed, to=folder, ends=ends)
        code = work_through(
            making, planned, report, jobs=jobs, quiet=options.quiet, draws=pdf
        )
    if not (can_draw() or options.musicxml_only):
        say(NO_PAGES)
    return code


_ALONE: Final = tuple(key.name for key in DECISION_KEYS.values() if key.of_place)
"""What is decided for a place in one chart."""


@frozen(order=False, kw_only=True)
class _Making:
    """How the parts of a chart are made, written and told."""

    typed: Decisions
    folder: Path
    pdf: bool
    summary: str
    questions: bool

    def options(self, decisions: Decisions, stems: Sequence[str]) -> str:
        """The hash of all that decides what is made of a chart."""
        return options_hash(decisions, stems=stems, pdf=self.pdf)

    def done(self, chart: Chart, _: Source) -> Told:
        """Make the parts of a tune and write them; what to say and keep of it."""
        if chart.tunes > 1 and any(map(chart.decisions.of, _ALONE)):
            raise UsageError("--respell is for one chart at a time")
        made = made_parts(chart, pdf=self.pdf, questions=self.questions)
        new = {
            part.name: file for part, file in zip(made.parts, made.files, strict=False)
        }
        changed = tuple(change_lines(self.folder, new))
        write_files(self.folder, {file.name: file.data for file in made.files})
        headline = f"{made.headline} written to {self.folder}"
        return Told((headline, *changed, *self._lines(made)), made.record())

    def _lines(self, made: MadeParts) -> Iterator[str]:
        """What became of the parts, and how many remarks on the file are left out."""
        short = self.summary == "short"
        if not short:
            yield from made.summary(full=self.summary == "full")
            yield from made.drawing_lines()
        quiet = len(made.chart.findings) - (0 if short else len(made.told))
        if quiet:
            them = "it" if quiet == 1 else "them"
            yield f"  {count(quiet, 'remark')} on the file: proofread lists {them}"
