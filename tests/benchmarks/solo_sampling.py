"""The solo pages of real lead sheets, sampled beside their sources.

    python tests/benchmarks/solo_sampling.py [FOLDER]

Both are played out, and what sounds on each strong beat (each half bar, or each
beat in metres without one) must be the same; every chord of the page must stand on
a strong beat or be named in a remark; every chord that stands elsewhere than in
the source must be listed.  Printed for quick chords left out (the default) and
kept.  The exit code is 1 if a sheet fails.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction
from pathlib import Path

from leadsheet_theory.chords import ChordSymbol, NoChord
from leadsheet_theory.leadsheet.form import play_order
from leadsheet_theory.leadsheet.model import Bar
from leadsheet_theory.musicxml import read_lead_sheet
from leadsheet_theory.parts import SoloChanges, solo_changes, strong_beats

SHEETS = Path(__file__).resolve().parents[2] / "../shared/leadsheets"


def sounding(
    bars: Sequence[Bar], lengths: dict[int, Fraction]
) -> Iterator[tuple[int, ChordSymbol | None]]:
    """What sounds on each strong beat in playing order, with the bar's number; only
    on beats that the source's bar has, as a pickup's bar is made whole."""
    symbol: ChordSymbol | None = None
    for index in play_order(bars).indices:
        bar = bars[index]
        chords = sorted(bar.chords, key=lambda placed: placed.onset)
        at = 0
        for beat in () if bar.is_pickup else strong_beats(bar.meter):
            if beat >= lengths[bar.number]:
                break
            while at < len(chords) and chords[at].onset <= beat:
                symbol = chords[at].symbol
                at += 1
            yield bar.number, symbol
        if chords:
            symbol = chords[-1].symbol


def unlisted(source: Sequence[Bar], page: SoloChanges) -> int:
    """How many chords differ in place and are not in the list of moves."""

    def places(bars: Sequence[Bar]) -> Counter[tuple[int, Fraction]]:
        return Counter(
            (bar.number, placed.onset) for bar in bars for placed in bar.chords
        )

    gone = places(source) - places(page.bars)
    new = places(page.bars) - places(source)
    return max(0, gone.total() - len(page.moves)) + max(
        0, new.total() - len(page.moves)
    )


def main(folder: Path) -> int:
    """Sample every sheet twice."""
    if not folder.is_dir():
        print(f"{folder} is not here; name a folder of .mxl files")
        return 2
    sheets = [
        (path.name, read_lead_sheet(path).sheet)
        for path in sorted(folder.glob("*.mxl"))
    ]
    failed = False
    for quick in ("left out", "kept"):
        count: Counter[str] = Counter()
        took = 0.0
        for name, sheet in sheets:
            start = time.process_time()
            page = solo_changes(
                sheet,
                quick_chords=quick,  # type: ignore[arg-type]
                restate_at_sections=False,
            )
            took += time.process_time() - start
            lengths = {bar.number: bar.length for bar in sheet.bars}
            ours = list(sounding(page.bars, lengths))
            theirs = list(sounding(sheet.bars, lengths))
            count["samples"] += len(theirs)
            off = 0
            for bar in page.bars:
                strong = strong_beats(bar.meter)
                for placed in bar.chords:
                    stop = isinstance(placed.symbol, NoChord)
                    count["chords"] += not stop
                    off += not stop and placed.onset not in strong
            count["chords off the strong beats"] += off
            count["remarks"] += len(page.remarks)
            count["moves listed"] += len(page.moves)
            missing = unlisted(sheet.bars, page)
            count["moves not listed"] += missing
            if ours != theirs or missing or off > len(page.remarks):
                failed = True
                print(f"{name}: differs")
            else:
                count["sheets equal"] += 1
        bars = sum(len(sheet.bars) for _, sheet in sheets)
        print(
            f"quick chords {quick}: " + ", ".join(f"{v} {k}" for k, v in count.items())
        )
        print(f"    {1000 * took / bars * 32:.2f} ms for 32 bars")
    return failed


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]) if len(sys.argv) > 1 else SHEETS))
