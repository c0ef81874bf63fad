"""How long folding takes, on charts that are hard to fold.

    python tests/benchmarks/fold_speed.py

Prints seconds of processor time (the least of three runs) for charts of 1,000
bars and, beside them, for 250 bars of the same kind.
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from form_charts import bar

from leadsheet_theory.leadsheet import FormSigns
from leadsheet_theory.leadsheet.folding import FoldAim, fold, unfold
from leadsheet_theory.leadsheet.model import Bar, Lyric, Note
from leadsheet_theory.pitch import Pitch

DRAW = random.Random(5)
PHRASES = ([0, 1, 2, 3], [0, 1, 2, 4], [5, 6, 7, 3], [0, 0, 0, 0])
AABA = [*range(8), *range(6), 8, 9, *range(10, 18), *range(6), 8, 9]

KINDS: dict[str, Callable[[int], list[int]]] = {
    "all bars equal": lambda count: [0] * count,
    "two bars in turn": lambda count: [at % 2 for at in range(count)],
    "two bars at random": lambda count: [DRAW.randrange(2) for _ in range(count)],
    "ten bars at random": lambda count: [DRAW.randrange(10) for _ in range(count)],
    "all bars different": lambda count: list(range(count)),
    "phrases at random": lambda count: [
        sound for _ in range(count // 4) for sound in DRAW.choice(PHRASES)
    ],
    "choruses of AABA": lambda count: [AABA[at % 32] for at in range(count)],
}


def chart(sounds: list[int], letter_every: int) -> tuple[Bar, ...]:
    """Bars of one syllable each, a section letter every so many (0: none)."""
    pitches = (Pitch("C"),)
    return tuple(
        bar(
            at,
            melody=(
                Note(
                    onset=Fraction(0),
                    duration=Fraction(4),
                    pitches=pitches,
                    lyrics=(Lyric(str(sound)),),
                ),
            ),
            form=FormSigns(
                section="A" if letter_every and at % letter_every == 1 else ""
            ),
        )
        for at, sound in enumerate(sounds, start=1)
    )


def seconds(bars: tuple[Bar, ...], aim: FoldAim) -> float:
    """The least processor time of three runs."""
    times = []
    for _ in range(3):
        start = time.process_time()
        fold(bars, aim=aim)
        times.append(time.process_time() - start)
    return min(times)


def main() -> int:
    """Time every kind of chart for both aims."""
    worst = 0.0
    print(f"{'':22}{'aim':26}{'bars':>6}{'page':>6}{'1,000':>9}{'250':>9}{'ratio':>8}")
    for name, kind in KINDS.items():
        for aim, every in (
            ("page short", 0),
            ("sections clear", 8),
            ("sections clear", 0),
        ):
            long = chart(kind(1000), every)
            short = chart(kind(250), every)
            page = fold(long, aim=aim).bars  # type: ignore[arg-type]
            if unfold(page) != long:
                print(f"{name}: not the same when played out")
                return 1
            took = seconds(long, aim), seconds(short, aim)  # type: ignore[arg-type]
            worst = max(worst, took[0])
            way = f"{aim}, lettered" if every else aim
            print(
                f"{name:22}{way:26}{len(long):6}{len(page):6}"
                f"{took[0]:8.3f}s{took[1]:8.3f}s{took[0] / max(took[1], 1e-6):8.1f}"
            )
    print(f"\nslowest 1,000 bars: {worst:.2f} s")
    return 0


if __name__ == "__main__":
    sys.exit(main())
