"""The solo pages of real lead sheets, held against their heads beat by beat.

    python tests/benchmarks/solo_sampling.py [FOLDER]

What sounds at every quarter beat of the solo page, played out, must be what sounds
there in one chorus of the head, the listed moves made: no chord may be missing.  No
jump, coda or fine may stand on the page.  The exit code is 1 if a sheet fails.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator, Sequence
from fractions import Fraction
from pathlib import Path

from attrs import evolve

from leadsheet_theory.chords import ChordSymbol, NoChord
from leadsheet_theory.leadsheet import running_order, spread_stacked_chords
from leadsheet_theory.leadsheet.form import play_order
from leadsheet_theory.leadsheet.model import Bar
from leadsheet_theory.musicxml import read_lead_sheet
from leadsheet_theory.parts import SoloChanges, solo_changes

SHEETS = Path(__file__).resolve().parents[2] / "../shared/leadsheets"


def chords_in_order(
    bars: Sequence[Bar], order: Sequence[int]
) -> Iterator[tuple[int, ChordSymbol]]:
    """The changes as they are played, each once while it lasts, with its bar."""
    before: ChordSymbol | None = None
    for index in order:
        for placed in sorted(bars[index].chords, key=lambda placed: placed.onset):
            if isinstance(placed.symbol, NoChord):
                continue
            if placed.symbol != before:
                yield bars[index].number, placed.symbol
            before = placed.symbol


def beats(bars: Sequence[Bar]) -> list[ChordSymbol | None]:
    """What sounds at every quarter beat of the bars as they are played."""
    found: list[ChordSymbol | None] = []
    sounding: ChordSymbol | None = None
    for index in play_order(bars).indices:
        bar = bars[index]
        waiting = sorted(bar.chords, key=lambda placed: placed.onset)
        for beat in range(int(bar.length)):
            while waiting and waiting[0].onset <= Fraction(beat):
                sounding = waiting.pop(0).symbol
            found.append(sounding)
        sounding = waiting[-1].symbol if waiting else sounding
    return found


def missing(bars: Sequence[Bar], page: SoloChanges, chorus: Sequence[int]) -> int:
    """How many chords of the chorus the page lacks, those left out and listed aside."""
    listed = {move.symbol for move in page.moves if move.to_bar is None}
    wanted = [
        symbol for _, symbol in chords_in_order(bars, chorus) if symbol not in listed
    ]
    there = [s for _, s in chords_in_order(page.bars, play_order(page.bars).indices)]
    at = lacking = 0
    for symbol in wanted:
        try:
            at = there.index(symbol, at) + 1
        except ValueError:
            lacking += 1
    return lacking


def main(folder: Path) -> int:
    """Hold every sheet's page against its head."""
    if not folder.is_dir():
        print(f"{folder} is not here; name a folder of .mxl files")
        return 2
    failed = total = moved = signs = unlike = 0
    took = 0.0
    paths = sorted(folder.glob("*.mxl"))
    for path in paths:
        sheet = read_lead_sheet(path).sheet
        sheet = evolve(sheet, bars=spread_stacked_chords(sheet.bars).bars)
        if not any(bar.chords for bar in sheet.bars):
            continue
        start = time.process_time()
        page = solo_changes(sheet, leave_out=())
        plain = solo_changes(sheet, leave_out=(), form="written out")
        took += time.process_time() - start
        chorus = [
            index
            for index in running_order(sheet).head
            if not sheet.bars[index].is_pickup
        ]
        lacking = missing(sheet.bars, plain, chorus)
        different = beats(page.bars) != beats(plain.bars)
        leads = sum(
            bool(form.jump or form.coda or form.to_coda or form.fine or form.segno)
            for form in (bar.form for bar in page.bars)
        )
        total += sum(len(sheet.bars[index].chords) for index in chorus)
        moved += len(page.moves)
        signs += leads
        unlike += different
        if lacking or leads or different:
            failed += 1
            print(f"{path.name}: {lacking} chords missing, {leads} signs")
    print(
        f"{len(paths)} sheets: {total} chords played in the heads, {moved} moves, "
        f"{failed} sheets with a fault ({signs} signs, {unlike} pages unlike their "
        f"written-out form), {took:.1f} s"
    )
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]) if len(sys.argv) > 1 else SHEETS))
