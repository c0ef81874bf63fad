"""One tune in thousands of shapes of export: the same five parts must come of each.

    python tests/benchmarks/export_shapes.py [--count 1000] [--seed 1]

Prints each shape whose parts differ from those of the plainest one; the exit code is 1
if any does.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from random import Random

HOME = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(HOME), str(HOME / "tests")]

from export_shapes import TUNES, differences, plain_parts, random_shape  # noqa: E402


def main() -> int:
    """Try the shapes, and print what differs."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    random = Random(options.seed)
    plain = [plain_parts(made) for made in TUNES]
    wrong = 0
    for turn in range(options.count):
        index = turn % len(TUNES)
        shape = random_shape(random, TUNES[index])
        try:
            found = differences(TUNES[index], shape, plain[index])
        except Exception as error:  # whatever it is, it is a fault
            found = [repr(error)]
        if found:
            wrong += 1
            print(f"{TUNES[index].title}, {shape}:\n    {found[0]}")
    print(f"{wrong} of {options.count} shapes with other parts")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
