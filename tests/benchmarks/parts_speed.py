"""Time to make and write the five parts of a chart, per 32 bars.

    python tests/benchmarks/parts_speed.py [FOLDER…]

All is measured in one run, in processor time, the best of several rounds: making
the parts (`make_parts`), writing them (`write_part` for each of the five), and, as
yardsticks, reading the chart, parsing its XML alone, and a loop of plain integer
arithmetic.  Without a folder the charts in shared/ are taken.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import process_time
from xml.etree import ElementTree as ET

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from read_speed import xml_of

from leadsheet_theory import make_parts, write_part
from leadsheet_theory.musicxml import parse_lead_sheet

ROUNDS = 7
MOST = 12.0
"""Milliseconds for 32 bars that making and writing five parts may take."""


def timed(work: Callable[[], object]) -> float:
    """Milliseconds of processor time for one call."""
    start = process_time()
    work()
    return 1000 * (process_time() - start)


def main(folders: list[str]) -> None:
    """Print the times and ratios over all charts of the folders."""
    home = Path(__file__).resolve().parents[2]
    paths = sorted(
        path
        for folder in folders or [str(home / "shared" / "charts")]
        for path in Path(folder).rglob("*")
        if path.suffix in (".mxl", ".musicxml", ".xml")
    )
    texts = [xml_of(path) for path in paths]
    sheets = [parse_lead_sheet(text).sheet for text in texts]
    bars = [len(sheet.bars) for sheet in sheets]
    count = len(sheets)
    made, written, read, bare = ([float("inf")] * count for _ in range(4))
    loop = float("inf")
    for _ in range(ROUNDS):
        loop = min(loop, timed(lambda: sum(n * n for n in range(100_000))))
        for at, (text, sheet) in enumerate(zip(texts, sheets, strict=True)):
            parts = make_parts(sheet)
            made[at] = min(made[at], timed(lambda sheet=sheet: make_parts(sheet)))
            parts = make_parts(sheet)
            written[at] = min(
                written[at],
                timed(lambda parts=parts: [write_part(part) for part in parts]),
            )
            read[at] = min(read[at], timed(lambda text=text: parse_lead_sheet(text)))
            bare[at] = min(bare[at], timed(lambda text=text: ET.fromstring(text)))
    total = sum(bars) / 32
    both = [one + other for one, other in zip(made, written, strict=True)]
    each = sorted(32 * time / number for time, number in zip(both, bars, strict=True))
    print(f"{count} charts, {sum(bars)} bars; milliseconds for 32 bars")
    print(f"  five parts made                {sum(made) / total:7.2f}")
    print(f"  five parts written             {sum(written) / total:7.2f}")
    print(
        f"  together                       {sum(both) / total:7.2f}  (at most {MOST})"
    )
    print(f"    the median chart             {median(each):7.2f}")
    print(f"    the slowest chart            {each[-1]:7.2f}")
    print(f"  reading the chart              {sum(read) / total:7.2f}")
    print(f"  parsing its XML alone          {sum(bare) / total:7.2f}")
    print(f"  100,000 integer squares summed {loop:7.2f}")
    print("ratios of making and writing five parts")
    print(f"  to reading the chart           {sum(both) / sum(read):7.2f}")
    print(f"  to parsing its XML alone       {sum(both) / sum(bare):7.2f}")
    print(f"  to the sum of squares          {sum(both) / total / loop:7.2f}")


if __name__ == "__main__":
    main(sys.argv[1:])
