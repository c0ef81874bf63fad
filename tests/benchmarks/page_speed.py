"""How long pages take to draw, and how large they are.

    .venv/bin/python tests/benchmarks/page_speed.py [CHART...]

makes, measures and draws the five parts of each chart (by default those of
``shared/charts``), and prints processor time a page for each step, after a first chart
that is not counted: loading libraries and fonts takes its time once.
"""

from __future__ import annotations

import argparse
import resource
from collections import Counter
from pathlib import Path
from time import process_time

from leadsheet_theory import make_parts, read_lead_sheet
from leadsheet_theory.pages import DrawnSizes, draw_pages

ROOT = Path(__file__).resolve().parents[2]


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description="How long pages take.")
    parser.add_argument("charts", nargs="*", type=Path)
    charts = parser.parse_args().charts
    charts = charts or sorted((ROOT / "shared" / "charts").glob("*.musicxml"))
    spent: Counter[str] = Counter()
    pages = size = 0
    for number, chart in enumerate([charts[0], *charts]):
        marks = [process_time()]
        sheet = read_lead_sheet(chart).sheet
        marks.append(process_time())
        parts = make_parts(sheet, measure=DrawnSizes())
        marks.append(process_time())
        drawn = [draw_pages(part) for part in parts]
        marks.append(process_time())
        files = [each.pdf() for each in drawn]
        marks.append(process_time())
        if number:
            pages += sum(map(len, drawn))
            size += sum(map(len, files))
            steps = ("read", "make and measure", "draw", "set as PDF")
            for step, start, end in zip(steps, marks, marks[1:], strict=False):
                spent[step] += end - start  # type: ignore[assignment]
    print(f"{len(charts)} charts, {pages} pages, {size / pages / 1000:.0f} kB a page")
    for step, seconds in spent.items():
        print(f"{1000 * seconds / pages:6.1f} ms a page  {step}")
    print(f"{1000 * sum(spent.values()) / pages:6.1f} ms a page  all in")
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"{peak:6.0f} MB at most")


if __name__ == "__main__":
    main()
