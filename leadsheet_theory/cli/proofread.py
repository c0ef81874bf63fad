"""``proofread``: what a second pair of eyes would ask about a chart."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterable, Sequence
from errno import EEXIST
from pathlib import Path
from typing import Any, Final, get_args

from attrs import frozen

from ..catalogue.charts import Chart
from ..catalogue.report import options_hash, tune_record
from ..catalogue.telling import finding_lines
from ..data.plain import Json
from ..decisions.making import decided_readers
from ..decisions.model import Decisions
from ..errors import CorrectionError
from ..files import write_files
from ..instruments.rhythm_books import PartReader
from ..leadsheet.findings import Finding, Severity
from ..musicxml.writing.write import write_lead_sheet
from ..proof.corrections import apply, is_mechanical
from ..proof.folder import ChartStyle, chart_style
from ..proof.passes import proofread
from ..proof.rules import PROOF_RULES
from ..proof.silence import Silence
from ._batch import Done, Told, work_through
from ._charts import Source, charts_in
from ._decisions import typed_decisions
from ._processes import jobs_asked
from ._report import add_batch_arguments, report_asked
from ._say import UsageError, count, say
from ._staves import add_staff_arguments

__all__ = ("DESCRIPTION", "add_arguments", "run")

DESCRIPTION = """\
Read each chart (or each in a folder) and list what a proofreader would ask, with
bar and beat, what to do, and what of the file is not carried into the parts.
Errors can't be played as written, warnings are very likely slips, queries ask what is
meant; notes are shown with --least note.  Warnings and errors give exit code 1.  Of
several charts it also tells where they are not of one style.

  python -m leadsheet_theory proofread tune.musicxml --instrument 'tenor sax'
"""
SEVERITIES: Final = get_args(Severity)


def add_arguments(parser: argparse.ArgumentParser, /) -> None:
    """Say what the command takes."""
    parser.add_argument("charts", nargs="*", metavar="CHART", help="file or folder")
    parser.add_argument(
        "--instrument",
        action="append",
        default=[],
        metavar="NAME",
        help="check the range of this instrument, not of the five books; may be "
        "given again",
    )
    parser.add_argument(
        "--skip",
        action="append",
        default=[],
        metavar="RULE",
        help="leave a rule out; may be given again",
    )
    parser.add_argument(
        "--silence",
        action="append",
        default=[],
        metavar="RULE[: BARS]",
        help="say nothing of a rule in some bars, such as 'tie: 4, 12-14'; may be "
        "given again",
    )
    parser.add_argument(
        "--least",
        choices=SEVERITIES,
        default="query",
        help="leave out what matters less (default: query, so the notes)",
    )
    parser.add_argument(
        "--correct",
        action="store_true",
        help="write what is likely wrong and can be mended mechanically into a new "
        "file beside each chart",
    )
    parser.add_argument("--rules", action="store_true", help="list the rules, and end")
    add_staff_arguments(parser)
    add_batch_arguments(parser)


def run(options: argparse.Namespace, /) -> int:
    """Proofread the charts; the exit code."""
    if options.rules:
        for rule in PROOF_RULES:
            say(f"{rule.name} ({rule.severity}): {rule.looks_for}")
        return 0
    if not options.charts:
        raise UsageError("the following arguments are required: CHART")
    charts = charts_in(options.charts)
    typed = typed_decisions(options)
    reading = _Reading(
        typed=typed,
        readers=decided_readers(typed),
        skip=tuple(options.skip),
        least=options.least,
        correct=options.correct,
    )
    style = ChartStyle()
    tunes = 0
    rules = {rule.name for rule in PROOF_RULES}

    def keep(done: Done) -> None:
        nonlocal style, tunes
        for tune in json.loads(done.record)["tunes"]:
            tunes += 1
            style = style.joined(_style_from(tune["style"]))
            rules.update(tune["rules"])

    jobs = jobs_asked(options.jobs, len(charts))
    files = [Source(path, ()) for path in charts]
    with report_asked(options, charts) as report:
        code = work_through(
            reading, files, report, jobs=jobs, quiet=options.quiet, keep=keep
        )
    for name in options.skip:
        if name not in rules:
            raise UsageError(f"no rule called {name!r}: --rules lists them")
    if tunes > 1 and "house-style" not in options.skip:
        for finding in style.findings():
            say(f"all charts: {finding.severity}: {finding}")
    return code


@frozen(order=False, kw_only=True)
class _Reading:
    """How a chart is proofread, and what of it is told."""

    typed: Decisions
    readers: tuple[PartReader, ...]
    skip: tuple[str, ...]
    least: Severity
    correct: bool
    folder: Path = Path()

    def options(self, decisions: Decisions, stems: Sequence[str]) -> str:
        """The hash of all that decides what is found in a chart."""
        asked = [*stems, *self.skip, self.least, str(self.correct)]
        asked += [reader.name for reader in self.readers]
        return options_hash(decisions, stems=asked)

    def done(self, chart: Chart, source: Source) -> Told:
        """Proofread a tune; what to say and keep of it."""
        reading = {finding.rule for finding in chart.findings}
        known = reading | {rule.name for rule in PROOF_RULES}
        findings = proofread(
            chart.sheet,
            readers=self.readers,
            skip=[name for name in self.skip if name in known],
            silence=tuple(map(Silence.parse, chart.decisions.texts("silence"))),
            reading=chart.findings,
        )
        floor = SEVERITIES.index(self.least)
        shown = [f for f in findings if SEVERITIES.index(f.severity) >= floor]
        lines = [_headline(chart, shown)]
        lines += [f"  {line}" for line in finding_lines(shown)]
        if self.correct:
            lines.append(_correct(chart, findings, source.path.parent))
        record = tune_record(
            title=chart.sheet.title, stem=chart.stem, findings={"findings": findings}
        )
        style = chart_style(chart.sheet)
        well = all(finding.severity in ("note", "query") for finding in findings)
        more: dict[str, Json] = {
            "well": well,
            "rules": [*sorted(reading)],
            "style": _style_data(style),
        }
        return Told(tuple(lines), record | more, well)


def _style_data(style: ChartStyle) -> Json:
    return [
        [list(each) for each in style.forms],
        style.loud,
        style.quiet,
        [list(each) for each in style.sections],
    ]


def _style_from(data: Sequence[Any]) -> ChartStyle:
    forms, loud, quiet, sections = data
    return ChartStyle(
        tuple(tuple(each) for each in forms),
        loud,
        quiet,
        tuple((kind, where) for kind, where in sections),
    )


def _correct(chart: Chart, findings: Iterable[Finding], folder: Path) -> str:
    """Write the chart with what is likely wrong mended, beside it, never over it; what
    there is to say of it."""
    sheet = chart.sheet
    done = 0
    for finding in findings:
        if finding.severity in ("warning", "error") and is_mechanical(finding):
            try:
                sheet = apply(sheet, finding)
            except CorrectionError:  # mended by another correction already
                continue
            done += 1
    if not done:
        return "  nothing that can be corrected mechanically"
    path = folder / f"{chart.stem}.corrected.musicxml"
    if path.exists():
        raise FileExistsError(EEXIST, "Is there already, not written over", str(path))
    write_files(folder, {path.name: write_lead_sheet(sheet)})
    return f"  {count(done, 'correction')} in {path.name}"


def _headline(chart: Chart, findings: list[Finding]) -> str:
    name = chart.title
    if not findings:
        return f"{name}: nothing to remark."
    kinds = [
        count(number, severity)
        for severity in reversed(SEVERITIES)
        if (number := sum(f.severity == severity for f in findings))
    ]
    return f"{name}: {', '.join(kinds)}."
