"""The tunes of music21's corpus: through the parts of a band, and out and in again.

    python tests/benchmarks/abc_collections.py [--count 1000] [--seed 1]

Draws tunes from the collections of ABC inside music21.  Of each the five parts are made
and each held against the W3C's schema of MusicXML 4.0; it is written in ABC and read
back, and compared; and it is written as MIDI.  Prints the counts, and exits 1 if
anything raised, was invalid, or came back otherwise than the writer said.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from pathlib import Path
from random import Random

HOME = Path(__file__).resolve().parents[2]
sys.path[:0] = [
    str(HOME), str(HOME / "tests"), str(HOME / "tests" / "abc"),
    str(HOME / "tests" / "benchmarks"),
]  # fmt: skip

from abc_agreement import tunes  # noqa: E402
from parts_check import schema_errors  # noqa: E402
from test_abc_round_trip import differences  # noqa: E402

from leadsheet_theory import make_parts, write_part  # noqa: E402
from leadsheet_theory.abc import parse_abc  # noqa: E402
from leadsheet_theory.midi import write_midi  # noqa: E402


def main() -> int:
    """Take the tunes through all of it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    counts: Counter[str] = Counter()
    wrong: list[str] = []
    for name, text in Random(options.seed).sample(tunes(), options.count):
        try:
            (tune,) = parse_abc(text)
            if not tune.sheet.bars:
                counts["without music"] += 1
                continue
            counts["tunes"] += 1
            counts["bars"] += len(tune.sheet.bars)
            for part in make_parts(tune.sheet):
                counts["parts"] += 1
                errors = schema_errors(write_part(part))
                wrong += [f"{name}, {part.name}: {error}" for error in errors[:1]]
            write_midi(tune.sheet)
            wrong += [f"{name}: {each}" for each in list(differences(tune.sheet))[:1]]
        except Exception as error:
            wrong.append(f"{name}: {error!r}")
    print(", ".join(f"{count} {what}" for what, count in counts.items()))
    print(f"{len(wrong)} wrong")
    print("\n".join(wrong[:30]))
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
