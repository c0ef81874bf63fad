"""Time to read and write a tune of 32 bars in ABC, beside music21's.

    python tests/benchmarks/abc_speed.py

Both read the same text in the same run, best of many: eight lines of four bars with
chord symbols, ties, a triplet, broken rhythm, grace notes and accidentals.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from time import process_time

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import music21

from leadsheet_theory.abc import parse_abc, write_abc

LINE = (
    '"F"c>A "Bb7"Bc d2 (3efg | "C7"e2 c>d [ce]4 | ^f2 =f2 {g}a4- | a2 z2 "Gm7"b2 a2 |\n'
)
TUNE = "%abc-2.1\nX:1\nT:Speed\nM:4/4\nL:1/8\nK:F\n" + LINE * 8


def best(work: Callable[[], object], rounds: int) -> float:
    """Processor milliseconds of the fastest of some rounds."""
    times = []
    for _ in range(rounds):
        start = process_time()
        work()
        times.append(process_time() - start)
    return 1000 * min(times)


def main() -> None:
    """Print the times."""
    (tune,) = parse_abc(TUNE)
    ours = best(lambda: parse_abc(TUNE), 50)
    theirs = best(lambda: music21.converter.parse(TUNE, format="abc"), 5)
    print(f"{len(tune.sheet.bars)} bars, {len(TUNE)} characters")
    print(f"read     {ours:7.2f} ms")
    print(f"music21  {theirs:7.2f} ms, {theirs / ours:.0f} times as long")
    print(f"write    {best(lambda: write_abc(tune.sheet), 50):7.2f} ms")


if __name__ == "__main__":
    main()
