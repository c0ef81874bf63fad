"""Staves on the command line: which one holds the hits, which one the bass line."""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterable, Iterator
from typing import Final

from attrs import evolve

from ..leadsheet.findings import Finding

__all__ = (
    "DECIDED",
    "add_staff_arguments",
    "as_typed",
)

DECIDED: Final = frozenset(("hits", "bass-line", "staff", "chord-part", "chord-parts"))
"""The reading's rules that tell what was decided, or is to be decided, about the staves
beside the melody's."""

_KEYWORD: Final = re.compile(r'\b(hits|bass_line)="([^"]*)"')


def add_staff_arguments(parser: argparse.ArgumentParser, /) -> None:
    """Say what every command that reads charts takes."""
    parser.add_argument(
        "--hits",
        default="",
        metavar="PART[:STAFF]",
        help="the staff that holds the rhythm section's hits, where the notes don't "
        "show it: Piano, Piano:1; none for no hits",
    )
    parser.add_argument(
        "--bass-line",
        default="",
        metavar="PART[:STAFF]",
        help="the staff that holds a bass line: Piano:2; none for no bass line",
    )


def as_typed(findings: Iterable[Finding], /) -> Iterator[Finding]:
    """Findings whose advice names options as the command line spells them."""
    for finding in findings:
        advice = _KEYWORD.sub(_option, finding.advice)
        yield evolve(finding, advice=advice) if advice != finding.advice else finding


def _option(keyword: re.Match[str]) -> str:
    value = keyword[2]
    quoted = f"'{value}'" if re.search(r"[^\w:.-]", value) else value
    return f"--{keyword[1].replace('_', '-')} {quoted}"
