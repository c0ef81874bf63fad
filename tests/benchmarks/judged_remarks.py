"""Remarks on real charts, read against the source by a musician: true and useful?

Draws 120 errors, warnings and queries from the charts of the folder ``shared`` beside
the project, seeded, rule by rule in turn, and looks each up among the verdicts kept in
``judged_remarks.csv``: *useful*, *true* (but of no use), *debatable* or *wrong*.

    python tests/benchmarks/judged_remarks.py [--list] [--unjudged]
"""

from __future__ import annotations

import argparse
import csv
import random
import sys
from collections import Counter
from pathlib import Path

from planted_faults import CHARTS

from leadsheet_theory import Finding, read_lead_sheet
from leadsheet_theory.proof import proofread

VERDICTS = Path(__file__).with_suffix(".csv")
DRAWN = 120
Place = tuple[str, str, str, str]


def drawn(folder: Path) -> list[tuple[str, Finding]]:
    """The remarks that are looked at: of each rule in turn one, in a seeded order."""
    by_rule: dict[str, list[tuple[str, Finding]]] = {}
    for path in sorted(folder.glob("*.mxl")):
        for finding in proofread(read_lead_sheet(path).sheet):
            if finding.severity != "note":
                by_rule.setdefault(finding.rule, []).append((path.stem, finding))
    rng = random.Random("remarks")
    for rule in by_rule.values():
        rng.shuffle(rule)
    chosen: list[tuple[str, Finding]] = []
    turn = 0
    while len(chosen) < DRAWN and any(len(rule) > turn for rule in by_rule.values()):
        chosen += [by_rule[rule][turn] for rule in sorted(by_rule)
                   if turn < len(by_rule[rule])]  # fmt: skip
        turn += 1
    return chosen[:DRAWN]


def place_of(chart: str, finding: Finding) -> Place:
    """What a verdict is found by."""
    beat = "" if finding.beat is None else str(finding.beat)
    return chart, finding.rule, str(finding.bar), beat


def verdicts() -> dict[Place, tuple[str, str]]:
    """The verdicts kept, with their reasons."""
    with VERDICTS.open(encoding="utf-8", newline="") as file:
        return {
            (row["chart"], row["rule"], row["bar"], row["beat"]): (
                row["verdict"],
                row["why"],
            )
            for row in csv.DictReader(file)
        }


def main() -> int:
    """Draw, look up, and tell the shares."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--charts", type=Path, default=CHARTS)
    parser.add_argument("--list", action="store_true", help="each with its verdict")
    parser.add_argument("--unjudged", action="store_true", help="those without one")
    options = parser.parse_args()
    if not options.charts.is_dir():
        print(f"no charts in {options.charts}: nothing to judge")
        return 0
    known = verdicts()
    shares: Counter[str] = Counter()
    for chart, finding in drawn(options.charts):
        verdict, why = known.get(place_of(chart, finding), ("unjudged", ""))
        shares[verdict] += 1
        if options.list or (options.unjudged and verdict == "unjudged"):
            print(f"{verdict}: {chart} {finding.severity} {finding.rule}: {finding}",
                  f"— {why}" if why else "")  # fmt: skip
    judged = sum(shares.values()) - shares["unjudged"]
    print(", ".join(f"{count} {verdict}" for verdict, count in shares.most_common()))
    if judged:
        print(f"true and useful: {shares['useful'] / judged:.0%} of {judged} judged")
    return 0


if __name__ == "__main__":
    sys.exit(main())
