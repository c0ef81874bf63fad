"""Our order of playing beside music21's expansion of repeats, on real lead sheets.

    python tests/benchmarks/play_order.py [FOLDER]

FOLDER holds ``.mxl`` files and is ../shared/leadsheets, beside the project, if
not given.  Every difference is printed with its reason; a difference without one
makes the exit code 1.
"""

from __future__ import annotations

import re
import sys
import time
from collections import Counter
from pathlib import Path

import music21

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from expanded_repeats import Comparison, compare

from leadsheet_theory.leadsheet.form import play_order
from leadsheet_theory.leadsheet.model import Bar
from leadsheet_theory.musicxml import read_lead_sheet

SHEETS = Path(__file__).resolve().parents[2] / "../shared/leadsheets"


def reason(bars: tuple[Bar, ...], found: Comparison) -> str:
    """Why the two orders differ, or nothing if no known reason holds."""
    if found.refusal:
        if found.problems:
            return "music21 refuses the signs; we read on and say what we read"
        return ""
    if any(bar.form.repeat_end > 2 for bar in bars):
        return "a count in words (4x), which music21 does not read"
    if any("no start" in problem for problem in found.problems):
        return (
            "an end repeat with no start after an earlier one: music21 goes back to "
            "the beginning, we to the bar after the earlier repeat (common practice)"
        )
    # music21 leaves brackets out of account where a chart has a D.C. or D.S.:
    # the first ending is played on both passes.
    jumps = [bar.form.jump for bar in bars if bar.form.jump]
    if jumps and any(bar.form.ending for bar in bars):
        return "with a D.C. or D.S. in the chart music21 plays every ending each time"
    return ""


def main(folder: Path) -> int:
    """Compare every sheet and print what differs."""
    if not folder.is_dir():
        print(f"{folder} is not here; name a folder of .mxl files")
        return 2
    reasons: Counter[str] = Counter()
    unexplained = equal = mended = 0
    ours_took = theirs_took = 0.0
    paths = sorted(folder.glob("*.mxl"))
    for path in paths:
        bars = read_lead_sheet(path).sheet.bars
        score = music21.converter.parse(path)
        start = time.process_time()
        play_order(bars)
        middle = time.process_time()
        found = compare(bars, score)
        ours_took += middle - start
        theirs_took += time.process_time() - middle
        if found.equal:
            equal += not found.mended
            mended += found.mended
            continue
        why = reason(bars, found)
        unexplained += not why
        reasons[why or "unexplained"] += 1
        print(f"{path.name}: {why or 'unexplained'}")
        for problem in found.problems:
            print(f"    we say   {problem}")
        print(f"    ours     {_runs(found.ours, bars)}")
        print(f"    music21  {found.refusal or _runs(found.theirs, bars)}")
    print(f"\n{equal} of {len(paths)} equal")
    print(
        f"{mended} more equal once music21's brackets are drawn out to their end "
        "repeat as we read them; it refuses them as they stand"
    )
    for why, count in reasons.most_common():
        print(f"{count:4}  {why}")
    print(f"time: music21's expansion takes {theirs_took / ours_took:.0f}× ours")
    return bool(unexplained)


def _runs(order: tuple[int, ...], bars: tuple[Bar, ...]) -> str:
    """An order as runs of bar numbers: ``1-8 1-6 9-10``."""
    runs: list[list[int]] = []
    for index in order:
        if runs and runs[-1][1] == index - 1:
            runs[-1][1] = index
        else:
            runs.append([index, index])
    text = " ".join(f"{bars[a].number}-{bars[b].number}" for a, b in runs)
    return re.sub(r"\b(\d+)-\1\b", r"\1", text)


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]) if len(sys.argv) > 1 else SHEETS))
