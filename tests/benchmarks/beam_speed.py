"""Whether beaming takes time in proportion: 100,000 events against 1,000,000.

Bars of 4/4 with random rhythms, new to the memo in each run; then the same bars
again, known to it; then one endless bar.  CPU time, the least of three runs.

    python tests/benchmarks/beam_speed.py
"""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Sequence
from fractions import Fraction

from leadsheet_theory import beams
from leadsheet_theory.meter import Meter
from leadsheet_theory.rhythm import NoteValue, RhythmEvent, lay_out

COMMON = Meter(4, 4)
BEATS = (
    (NoteValue("quarter"),),
    (NoteValue("eighth"), NoteValue("eighth")),
    (NoteValue("eighth", 1), NoteValue("16th")),
    (NoteValue("16th"), NoteValue("eighth"), NoteValue("16th")),
    (NoteValue("eighth"), NoteValue("16th"), NoteValue("16th")),
    (NoteValue("16th"),) * 4,
)

Bar = tuple[RhythmEvent, ...]


def bars_of(events: int, seed: int) -> list[Bar]:
    """Bars with so many events in all."""
    chance = random.Random(seed)
    bars: list[Bar] = []
    while events > 0:
        values = [value for _ in range(4) for value in chance.choice(BEATS)]
        rests = {i for i in range(len(values)) if chance.random() < 0.15}
        bars.append(lay_out(values, rests=rests))
        events -= len(values)
    return bars


def forget() -> None:
    """Empty the memo."""
    beams._beamed.cache_clear()


def least(run: Callable[[], object], before: Callable[[], None]) -> float:
    """The CPU seconds of the quickest of three runs."""
    times = []
    for _ in range(3):
        before()
        started = time.process_time()
        run()
        times.append(time.process_time() - started)
    return min(times)


def beam_all(bars: Sequence[Bar]) -> None:
    for bar in bars:
        beams.beam(bar, COMMON)


def main() -> None:
    sizes = (100_000, 1_000_000)
    charts = [bars_of(size, seed) for seed, size in enumerate(sizes)]
    for name, before in (("new bars", forget), ("known bars", lambda: None)):
        small, large = (least(lambda c=c: beam_all(c), before) for c in charts)
        each = large / sizes[1] * 1e6
        print(
            f"{name:12} {small:7.2f} s  {large:7.2f} s  ×{large / small:5.2f}"
            f"  {each:5.2f} µs an event"
        )
    eighth = NoteValue("eighth")
    endless = [
        tuple(RhythmEvent(Fraction(i, 2), eighth) for i in range(size))
        for size in sizes
    ]
    small, large = (
        least(lambda bar=bar: beams.beam(bar, COMMON), forget) for bar in endless
    )
    print(f"{'one bar':12} {small:7.2f} s  {large:7.2f} s  ×{large / small:5.2f}")


if __name__ == "__main__":
    main()
