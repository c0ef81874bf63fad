"""Whether beaming takes time in proportion: 100,000 events against 1,000,000.

Three kinds of work: bars of 4/4 with random rhythms, nearly all new to the memo;
tunes of 500 different bars, as a set of parts asks for again and again; one endless
bar.  CPU time, the least of three runs, small and large in turn.  The random bars
are made a chunk at a time outside the measured time, as a catalogue is read.

    python tests/benchmarks/beam_speed.py
"""

from __future__ import annotations

import random
import time
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from leadsheet_theory.rhythm import Meter, NoteValue, RhythmEvent, beams, lay_out

COMMON = Meter(4, 4)
BEATS = (
    (NoteValue("quarter"),),
    (NoteValue("eighth"), NoteValue("eighth")),
    (NoteValue("eighth", 1), NoteValue("16th")),
    (NoteValue("16th"), NoteValue("eighth"), NoteValue("16th")),
    (NoteValue("eighth"), NoteValue("16th"), NoteValue("16th")),
    (NoteValue("16th"),) * 4,
)

CHUNK = 100_000

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


def seconds(bars: Iterable[Sequence[Bar]]) -> float:
    """The CPU seconds that beaming takes, chunk by chunk, the memo empty at first."""
    beams._beamed.cache_clear()
    total = 0.0
    for chunk in bars:
        started = time.process_time()
        for bar in chunk:
            beams.beam(bar, COMMON)
        total += time.process_time() - started
    return total


def new_bars(events: int) -> Iterator[list[Bar]]:
    """Random bars, 100,000 events at a time."""
    for seed in range(events // CHUNK):
        yield bars_of(CHUNK, seed)


def known_bars(events: int) -> Iterator[list[Bar]]:
    """The same 500 bars over and over."""
    few = bars_of(CHUNK, 0)[:500]
    for _ in range(events // sum(map(len, few))):
        yield few


def endless_bar(events: int) -> Iterator[list[Bar]]:
    """One bar of nothing but eighths."""
    eighth = NoteValue("eighth")
    yield [tuple(RhythmEvent(Fraction(i, 2), eighth) for i in range(events))]


def main() -> None:
    for kind in (new_bars, known_bars, endless_bar):
        times: dict[int, list[float]] = {CHUNK: [], 10 * CHUNK: []}
        for _ in range(3):
            for size, found in times.items():
                found.append(seconds(kind(size)))
        small, large = (min(found) for found in times.values())
        print(
            f"{kind.__name__.replace('_', ' '):12} {small:7.2f} s  {large:7.2f} s"
            f"  ×{large / small:5.2f}  {large / CHUNK / 10 * 1e6:6.2f} µs an event"
        )


if __name__ == "__main__":
    main()
