"""``parts``: from each chart the parts of a band."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import get_args

from ..decisions.keys import DECISION_KEYS
from ..decisions.making import decided_parts, decided_readers, part_arguments
from ..decisions.model import Decisions
from ..files import Ends, write_files
from ..key import Key
from ..leadsheet.findings import Finding
from ..leadsheet.slash_time import SlashedBars
from ..musicxml.writing.files import part_endings
from ..musicxml.writing.write import write_part
from ..pages import LOOKS, DrawnSizes, Pages, can_draw, draw_pages, join_pages
from ..parts.make import HEADING
from ..parts.model import Part
from ..proof.passes import proofread
from ..proof.silence import Silence
from ._charts import Chart, charts_in, each_chart
from ._cues import add_cue_arguments
from ._decisions import typed_decisions
from ._pages import NO_PAGES, add_page_arguments
from ._readers import add_reader_arguments
from ._say import UsageError, count, say
from ._solos import add_solo_arguments
from ._staves import DECIDED, add_staff_arguments
from ._summary import chart_summary, finding_lines, form_line, wrapped
from ._symbols import PRINT_STYLES

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
    add_reader_arguments(parser)
    parser.add_argument(
        "--respell",
        action="append",
        default=[],
        metavar="'BOOK BAR BEAT ROOT'",
        help="spell one chord of one part otherwise: 'Bb 22 3 Gb'; may be given again",
    )
    parser.add_argument(
        "--respell-note",
        action="append",
        default=[],
        metavar="'BOOK BAR BEAT NAME'",
        help="show one note of one part under another name: 'Bb 22 3 Gb'; may be given "
        "again",
    )
    parser.add_argument(
        "--octave",
        action="append",
        default=[],
        metavar="'BOOK = N'",
        help="how many octaves up, or with a minus down, from the chart a part sounds: "
        "'Bass clef = -1'; may be given again",
    )
    parser.add_argument(
        "--name",
        action="append",
        default=[],
        metavar="'BOOK = NAME'",
        help="what a part is called: 'Bass clef = Bass'; may be given again",
    )
    parser.add_argument("--title", metavar="TEXT", help="the title on the parts")
    parser.add_argument("--composer", metavar="TEXT", help="the composer on the parts")
    parser.add_argument(
        "--silence",
        action="append",
        default=[],
        metavar="RULE[: BARS]",
        help="say nothing of a rule in the report, or in some bars, such as 'tie: 4'; "
        "may be given again",
    )
    parser.add_argument(
        "--key",
        metavar="KEY",
        help="make the parts in another concert key, such as a singer's: F, 'C minor'",
    )
    parser.add_argument(
        "--heading",
        metavar="TEXT",
        default=HEADING,
        help="what stands above the music; {book} is the part's name, {title} the "
        "tune's (default: '%(default)s')",
    )
    parser.add_argument(
        "--style",
        choices=PRINT_STYLES,
        default="plain letters",
        help="how chord symbols are printed: in a house style, or each as its source "
        "has it (default: %(default)s)",
    )
    add_page_arguments(parser)
    parser.add_argument(
        "--bars-per-system",
        type=int,
        choices=range(1, 17),
        default=4,
        metavar="N",
        help="the most bars in a system (default: %(default)s)",
    )
    add_cue_arguments(parser)
    parser.add_argument(
        "--keep-stacked-chords",
        action="store_true",
        help="leave chords that stand on one beat there; by default they are spread "
        "over the beats up to the next chord",
    )
    parser.add_argument(
        "--slashes",
        choices=get_args(SlashedBars),
        default="into the solos",
        help="which bars get slashes in which the melody is silent under chords: those "
        "at the end of a head that goes into the solos (default), all, or none",
    )
    add_solo_arguments(parser)
    parser.add_argument(
        "--road-map",
        action="store_true",
        help="tell the way through the tune in a line under the title",
    )
    parser.add_argument(
        "--musicxml-only", action="store_true", help="write no PDF and no report"
    )
    parser.add_argument(
        "--summary",
        choices=("full", "parts", "short"),
        help="all that was respelled, a line a part and what is doubtful, or one line "
        "a chart (default: parts for one chart, short for several)",
    )
    add_staff_arguments(parser)
    parser.add_argument("--quiet", action="store_true", help="no progress")


def run(options: argparse.Namespace, /) -> int:
    """Make the parts; the exit code."""
    charts = charts_in(options.charts)
    typed = typed_decisions(options)
    alone = [key.name for key in DECISION_KEYS.values() if key.of_place]
    for key in alone if len(charts) > 1 else ():
        if typed.of(key):
            raise UsageError(f"--{key} is for one chart at a time")
    folder: Path = options.to
    if folder.exists() and not folder.is_dir():
        raise UsageError(f"--to {folder}: not a folder")
    options.summary = options.summary or ("parts" if len(charts) == 1 else "short")

    def work(chart: Chart) -> bool:
        if chart.tunes > 1 and any(map(chart.decisions.of, alone)):
            raise UsageError("--respell is for one chart at a time")
        _write_parts(chart, options)
        return True

    draws = can_draw() and not options.musicxml_only
    code = each_chart(
        charts,
        work,
        quiet=options.quiet,
        typed=typed,
        to=folder,
        ends=partial(_ends, draws=draws),
    )
    if not (can_draw() or options.musicxml_only):
        say(NO_PAGES)
    return code


def _ends(decisions: Decisions, /, *, draws: bool) -> Ends:
    """How the names of a chart's files end, each after its folder."""
    names = _part_ends(decisions)
    ends = [("musicxml/", f"{name}.musicxml") for name in names]
    if draws:
        ends += [("", f"{end}.pdf") for end in (*names, _end(decisions, "all parts"))]
        ends.append(("", f"{_end(decisions, 'report')}.txt"))
    return tuple(ends)


def _part_ends(decisions: Decisions) -> tuple[str, ...]:
    names = (reader.name for reader in decided_readers(decisions))
    return tuple(f"{_in_key(decisions)}{end}" for end in part_endings(names))


def _end(decisions: Decisions, what: str) -> str:
    return f"{_in_key(decisions)} - {what}"


def _in_key(decisions: Decisions) -> str:
    key = decisions.text("key")
    return f" in {Key.parse(key).tonic}" if key else ""


def _write_parts(chart: Chart, options: argparse.Namespace) -> None:
    """Make the parts of a chart, and tell what became of them."""
    decisions = chart.decisions
    draws = can_draw() and not options.musicxml_only
    style = PRINT_STYLES[decisions.text("style", "plain letters")]
    look = LOOKS[decisions.text("look", "engraved")]
    road_map = decisions.says("road-map")
    sheet, stem = chart.played, chart.stem
    parts = decided_parts(
        sheet,
        decisions,
        measure=DrawnSizes(look, style, road_map) if draws else None,
    )
    names = [f"{stem}{end}" for end in _part_ends(decisions)]
    files = {
        f"musicxml/{name}.musicxml": write_part(part, style=style)
        for name, part in zip(names, parts, strict=True)
    }
    bars = sum(bar.counts for bar in sheet.bars)
    title = sheet.title or chart.name
    headline = f"{title}: {count(len(parts), 'part')} of {count(bars, 'bar')}"
    order = part_arguments(sheet, decisions)["order"]
    form = list(wrapped(form_line(sheet, order), "  "))
    told = form + _summary(parts, names, chart, full=options.summary == "full")
    if draws:
        drawn = [
            draw_pages(part, look=look, style=style, road_map=road_map)
            for part in parts
        ]
        files |= _pdfs(drawn, names)
        together = join_pages(drawn[0].title or stem, drawn)
        files[f"{stem}{_end(decisions, 'all parts')}.pdf"] = together.pdf()
        for line in finding_lines(f for pages in drawn for f in pages.findings):
            told += wrapped(line, "  ")
        everything = form + _summary(parts, names, chart, full=True)
        report = _report(headline, everything, chart)
        files[f"{stem}{_end(decisions, 'report')}.txt"] = report.encode()
    write_files(options.to, files)
    say(f"{headline} written to {options.to}")
    _tell(told, chart, short=options.summary == "short")


def _tell(told: Sequence[str], chart: Chart, *, short: bool) -> None:
    """Say what became of the parts, and how many remarks on the file are left out."""
    for line in () if short else told:
        say(line)
    quiet = len(chart.findings) - (0 if short else len(_told_of(chart)))
    if quiet:
        them = "it" if quiet == 1 else "them"
        say(f"  {count(quiet, 'remark')} on the file: proofread lists {them}")


def _pdfs(drawn: Sequence[Pages], names: Sequence[str]) -> dict[str, bytes]:
    """The PDF of each part."""
    return {
        f"{name}.pdf": pages.pdf() for name, pages in zip(names, drawn, strict=True)
    }


def _summary(
    parts: Sequence[Part], names: Sequence[str], chart: Chart, *, full: bool
) -> list[str]:
    """All about the parts, line by line."""
    lines = list(chart_summary(list(zip(parts, names, strict=True)), full=full))
    for told in finding_lines(_told_of(chart)):
        lines += wrapped(told, "  ")
    measured = parts[0].plan.measured
    sizes = "drawn widths and heights" if measured else "estimates of their size"
    lines.append(f"  systems and pages are planned from {sizes}")
    return lines


def _told_of(chart: Chart) -> list[Finding]:
    """What the reading asks, and what it decided about the staves."""
    return [f for f in chart.findings if f.severity != "note" or f.rule in DECIDED]


def _report(headline: str, summary: Sequence[str], chart: Chart) -> str:
    """What to look at before the parts go to the band."""
    doubtful = [
        finding
        for finding in proofread(
            chart.sheet,
            readers=decided_readers(chart.decisions.without("names")),
            silence=tuple(map(Silence.parse, chart.decisions.texts("silence"))),
            reading=chart.findings,
        )
        if finding.severity != "note" and finding not in chart.findings
    ]
    lines = [headline, "", "To look at:"]
    for line in finding_lines(doubtful):
        lines += wrapped(line, "  ")
    if not doubtful:
        lines.append("  nothing beside what is told below")
    return "\n".join([*lines, "", "What was decided:", *summary, ""])
