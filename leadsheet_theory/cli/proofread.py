"""``proofread``: what a second pair of eyes would ask about a chart."""

from __future__ import annotations

import argparse
from typing import Final, get_args

from ..errors import TheoryError
from ..instruments.books import STANDARD_BOOKS
from ..instruments.ranges import Reader
from ..instruments.table import find_instrument
from ..leadsheet.findings import Finding, Severity
from ..proof.rules import PROOF_RULES, proofread
from ._charts import Chart, charts_in, each_chart
from ._say import UsageError, count, say
from ._summary import finding_lines

__all__ = ("DESCRIPTION", "add_arguments", "run")

DESCRIPTION = """\
Read each chart (or each in a folder) and list what a proofreader would ask, with
bar and beat, what to do, and what of the file is not carried into the parts.
Remarks are notes, queries, warnings or errors; warnings and errors give exit code 1.

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
        "--least",
        choices=SEVERITIES,
        default="note",
        help="leave out what matters less (default: note, so nothing)",
    )
    parser.add_argument("--rules", action="store_true", help="list the rules, and end")
    parser.add_argument("--quiet", action="store_true", help="no progress")


def run(options: argparse.Namespace, /) -> int:
    """Proofread the charts; the exit code."""
    if options.rules:
        for rule in PROOF_RULES:
            say(f"{rule.name} ({rule.severity}): {rule.looks_for}")
        return 0
    if not options.charts:
        raise UsageError("the following arguments are required: CHART")
    names = {rule.name for rule in PROOF_RULES}
    for name in options.skip:
        if name not in names:
            raise UsageError(f"no rule called {name!r}: --rules lists them")
    readers = _readers(options.instrument)
    floor = SEVERITIES.index(options.least)

    def work(chart: Chart) -> bool:
        told = {(finding.rule, finding.bar) for finding in chart.findings}
        asked = proofread(chart.sheet, readers=readers, skip=options.skip)
        findings = [
            *chart.findings,
            *(each for each in asked if (each.rule, each.bar) not in told),
        ]
        findings = [
            each for each in findings if SEVERITIES.index(each.severity) >= floor
        ]
        say(_headline(chart, findings))
        for line in finding_lines(findings):
            say(f"  {line}")
        return all(finding.severity in ("note", "query") for finding in findings)

    return each_chart(charts_in(options.charts), work, quiet=options.quiet)


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


def _readers(names: list[str]) -> tuple[Reader, ...]:
    if not names:
        return STANDARD_BOOKS
    try:
        return tuple(find_instrument(name) for name in names)
    except TheoryError as error:
        raise UsageError(str(error)) from None
