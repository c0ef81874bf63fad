"""The solo pages of real lead sheets, held against their heads beat by beat.

    python tests/benchmarks/solo_sampling.py [FOLDER]

What sounds at every quarter beat of the solo page, played out, must be what sounds
there in one chorus of the head, the listed moves made: no chord may be missing.  No
jump, coda or fine may stand on the page.  The exit code is 1 if a sheet fails.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Sequence
from fractions import Fraction
from math import ceil
from pathlib import Path

from attrs import evolve

from leadsheet_theory.chords import ChordSymbol
from leadsheet_theory.leadsheet import (
    ChordMove,
    lead_in,
    running_order,
    spread_stacked_chords,
    starts_in_metre,
)
from leadsheet_theory.leadsheet.form import play_order
from leadsheet_theory.leadsheet.model import Bar
from leadsheet_theory.musicxml import read_lead_sheet
from leadsheet_theory.parts import solo_changes

SHEETS = Path(__file__).resolve().parents[2] / "../shared/leadsheets"


HOLD = "the last bar, which holds"

Beat = tuple[int, Fraction, ChordSymbol | None]
"""The number of a bar, a place in it in quarter notes, and what sounds there."""


def beats(bars: Sequence[Bar], order: Sequence[int]) -> list[Beat]:
    """What sounds at every quarter beat of the bars as they are played; a short bar
    that the next one does not complete is held on, as the page has whole bars."""
    found: list[Beat] = []
    led = [placed.symbol for bar in bars[: order[0]] for placed in bar.chords]
    sounding: ChordSymbol | None = led[-1] if led else None
    for place, index in enumerate(order):
        bar = bars[index]
        waiting = sorted(bar.chords, key=lambda placed: placed.onset)
        start = starts_in_metre(bars, index)
        end, full = start + bar.length, bar.meter.bar_length
        after = bars[order[place + 1]].length if place + 1 < len(order) else 0
        if end < full and end + after != full:
            end = full
        for beat in range(ceil(start), ceil(end)):
            while waiting and waiting[0].onset + start <= beat:
                sounding = waiting.pop(0).symbol
            found.append((bar.number, Fraction(beat), sounding))
        sounding = waiting[-1].symbol if waiting else sounding
    return found


def unexplained(
    head: Sequence[Beat], page: Sequence[Beat], moves: Sequence[ChordMove]
) -> list[Beat]:
    """The beats at which page and head differ otherwise than by the listed moves."""
    arrived = {(move.to_bar, move.symbol) for move in moves if move.to_bar is not None}
    departed = {(move.bar, move.symbol) for move in moves if move.to_bar is not None}
    left_out = {move.symbol for move in moves if move.to_bar is None}
    found: list[Beat] = []
    before: tuple[ChordSymbol | None, ChordSymbol | None] | None = None
    for (bar, beat, sounds), (_, _, written) in zip(head, page, strict=True):
        pair = sounds, written
        if sounds == written:
            before = None
            continue
        listed = (bar, written) in arrived or (bar, sounds) in departed
        listed = listed or sounds in left_out
        if listed or pair == before:
            before = pair
        else:
            found.append((bar, beat, sounds))
    return found


def main(folder: Path) -> int:
    """Hold every sheet's page against its head."""
    if not folder.is_dir():
        print(f"{folder} is not here; name a folder of .mxl files")
        return 2
    failed = total = sampled = moved = signs = unlike = 0
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
        before = lead_in(sheet.bars)
        chorus = [index for index in running_order(sheet).head if index >= before]
        if any(remark.message.startswith(HOLD) for remark in plain.remarks):
            del chorus[-1]
        own = sheet.solo_chorus
        if own is not None and own.bars:
            print(f"{path.name}: has its own solo chorus of {len(own.bars)} bars")
            continue
        head = beats(sheet.bars, chorus)
        written = beats(plain.bars, range(len(plain.bars)))
        folded = beats(page.bars, play_order(page.bars).indices)
        if len(head) == len(written):
            wrong = unexplained(head, written, plain.moves)
        else:
            wrong = head[:1]
            print(f"{path.name}: {len(head)} beats in the head, {len(written)} here")
        different = [each[2] for each in folded] != [each[2] for each in written]
        leads = sum(
            bool(form.jump or form.coda or form.to_coda or form.fine or form.segno)
            for form in (bar.form for bar in page.bars)
        )
        total += sum(len(sheet.bars[index].chords) for index in chorus)
        sampled += len(head)
        moved += len(page.moves)
        signs += leads
        unlike += different
        if wrong or leads or different:
            failed += 1
            places = ", ".join(f"bar {bar} {at}: {what}" for bar, at, what in wrong[:4])
            print(f"{path.name}: {len(wrong)} beats unlike ({places}), {leads} signs")
    print(
        f"{len(paths)} sheets: {total} chords played in the heads, {sampled} beats "
        f"sampled, {moved} moves, {failed} sheets with a fault ({signs} signs, "
        f"{unlike} pages unlike their written-out form), {took:.1f} s"
    )
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]) if len(sys.argv) > 1 else SHEETS))
