"""How fast chord symbols are read, beside music21 in the same run.

    python tests/benchmarks/chord_speed.py

Reads symbols that both know (music21 writes flats as ``-``) three ways: for the
first time in the process, by the grammar alone (as if the table of printed forms
were empty), and again.  CPU time, the best of several runs; the ratios are
against music21's ``harmony.ChordSymbol`` on the same symbols.
"""

from __future__ import annotations

import gc
import time
from collections.abc import Callable

from music21 import harmony

from leadsheet_theory._scan import Scanner
from leadsheet_theory.chords import NoChord, parse_symbol, read_chord
from leadsheet_theory.chords._anatomy import anatomy
from leadsheet_theory.chords._suffix import read_suffix
from leadsheet_theory.chords.quality import quality_of
from leadsheet_theory.chords.styles import suffix_text

SUFFIXES = (
    "", "m", "7", "m7", "maj7", "6", "m6", "dim", "dim7", "m7b5", "+", "+7", "9", "m9",
    "M9", "11", "13", "m11", "sus4", "sus2", "7sus4", "mM7", "ø7", "7b9", "7b5b9",
)  # fmt: skip
ROOTS = ("C", "F#", "Bb", "Eb")
SYMBOLS = tuple(root + suffix for root in ROOTS for suffix in SUFFIXES)
SYMBOLS_OF_MUSIC21 = tuple(
    root.replace("b", "-") + suffix for root in ROOTS for suffix in SUFFIXES
)
RUNS = 7


def best_time(read: Callable[[], None], runs: int = RUNS) -> float:
    """CPU seconds of the fastest run."""
    times = []
    gc.disable()
    for _ in range(runs):
        start = time.process_time_ns()
        read()
        times.append(time.process_time_ns() - start)
    gc.enable()
    return min(times) / 1e9


def forget() -> None:
    """Empty every cache that reading fills."""
    for cached in (parse_symbol, quality_of, anatomy, suffix_text):
        cached.cache_clear()  # type: ignore[attr-defined]


def forget_only() -> None:
    for _ in range(20):
        forget()


def first_reading() -> None:
    for _ in range(20):
        forget()
        for symbol in SYMBOLS:
            parse_symbol(symbol)


def grammar_alone() -> None:
    for _ in range(20):
        for suffix in SUFFIXES:
            quality_of.cache_clear()
            read_suffix(Scanner(suffix))


def again() -> None:
    read = parse_symbol
    for _ in range(2000):
        for symbol in SYMBOLS:
            read(symbol)


def music21_reading() -> None:
    for symbol in SYMBOLS_OF_MUSIC21:
        harmony.ChordSymbol(symbol)


def garbage() -> None:
    for text in ("C7(b9" * 200_000, "(" * 1_000_000):
        assert read_chord(text).error is not None


def main() -> None:
    assert parse_symbol("N.C.") == NoChord()
    count = len(SYMBOLS)
    music21_reading()
    reference = best_time(music21_reading, 3) / count
    forgetting = best_time(forget_only) / 20 / count
    rows = (
        ("first reading", best_time(first_reading) / 20 / count - forgetting),
        ("by the grammar alone", best_time(grammar_alone) / 20 / len(SUFFIXES)),
        ("again", best_time(again) / 2000 / count),
    )
    print(f"{count} symbols, CPU time for one")
    print(f"{'music21.harmony.ChordSymbol':<28}{reference * 1e6:>10.2f} µs")
    for name, seconds in rows:
        print(f"{name:<28}{seconds * 1e6:>10.3f} µs  {reference / seconds:>8.0f} ×")
    refused = best_time(garbage) / 2
    print(f"{'1 MB of garbage refused':<28}{refused * 1e3:>10.2f} ms")


if __name__ == "__main__":
    main()
