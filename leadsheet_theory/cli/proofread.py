"""``proofread``: what a second pair of eyes would ask about a chart."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from errno import EEXIST
from typing import Final, get_args

from ..decisions.making import decided_readers
from ..errors import CorrectionError
from ..files import write_files
from ..leadsheet.findings import Finding, Severity
from ..leadsheet.model import LeadSheet
from ..musicxml.writing.write import write_lead_sheet
from ..proof.corrections import apply, is_mechanical
from ..proof.folder import check_folder
from ..proof.passes import proofread
from ..proof.rules import PROOF_RULES
from ..proof.silence import Silence
from ._charts import Chart, charts_in, each_chart
from ._decisions import typed_decisions
from ._say import UsageError, count, say
from ._staves import add_staff_arguments
from ._summary import finding_lines

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
    parser.add_argument("--quiet", action="store_true", help="no progress")


def run(options: argparse.Namespace, /) -> int:
    """Proofread the charts; the exit code."""
    if options.rules:
        for rule in PROOF_RULES:
            say(f"{rule.name} ({rule.severity}): {rule.looks_for}")
        return 0
    if not options.charts:
        raise UsageError("the following arguments are required: CHART")
    typed = typed_decisions(options)
    readers = decided_readers(typed)
    floor = SEVERITIES.index(options.least)
    known = {rule.name for rule in PROOF_RULES}
    read: list[LeadSheet] = []

    def work(chart: Chart) -> bool:
        here = known | {finding.rule for finding in chart.findings}
        findings = proofread(
            chart.sheet,
            readers=readers,
            skip=[name for name in options.skip if name in here],
            silence=tuple(map(Silence.parse, chart.decisions.texts("silence"))),
            reading=chart.findings,
        )
        known.update(here)
        read.append(chart.sheet)
        shown = [f for f in findings if SEVERITIES.index(f.severity) >= floor]
        say(_headline(chart, shown))
        for line in finding_lines(shown):
            say(f"  {line}")
        if options.correct:
            _correct(chart, findings)
        return all(finding.severity in ("note", "query") for finding in findings)

    code = each_chart(
        charts_in(options.charts),
        work,
        quiet=options.quiet,
        typed=typed,
    )
    for name in options.skip:
        if name not in known:
            raise UsageError(f"no rule called {name!r}: --rules lists them")
    if len(read) > 1 and "house-style" not in options.skip:
        for finding in check_folder(read):
            say(f"all charts: {finding.severity}: {finding}")
    return code


def _correct(chart: Chart, findings: Iterable[Finding]) -> None:
    """Write the chart with what is likely wrong mended, beside it, never over it."""
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
        say("  nothing that can be corrected mechanically")
        return
    path = chart.folder / f"{chart.stem}.corrected.musicxml"
    if path.exists():
        raise FileExistsError(EEXIST, "Is there already, not written over", str(path))
    write_files(chart.folder, {path.name: write_lead_sheet(sheet)})
    say(f"  {count(done, 'correction')} in {path.name}")


def _headline(chart: Chart, findings: list[Finding]) -> str:
    name = chart.sheet.title or chart.name
    if not findings:
        return f"{name}: nothing to remark."
    kinds = [
        count(number, severity)
        for severity in reversed(SEVERITIES)
        if (number := sum(f.severity == severity for f in findings))
    ]
    return f"{name}: {', '.join(kinds)}."
