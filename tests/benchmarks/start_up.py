"""How long the library takes to start, against Python with the same standard modules.

    python tests/benchmarks/start_up.py [ROUNDS]

Each line is a process of its own; measured is its processor time (user and system),
the least of several interleaved rounds.
"""

import subprocess
import sys
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage

ROOT = Path(__file__).resolve().parents[2]
PEER = ("-c", "import attrs, fractions, argparse, functools")
WORK = {
    "python -m leadsheet_theory chord C": ("-m", "leadsheet_theory", "chord", "C"),
    "import leadsheet_theory": ("-c", "import leadsheet_theory"),
    "import parse_chord": ("-c", "from leadsheet_theory import parse_chord"),
    "import make_parts": ("-c", "from leadsheet_theory import make_parts"),
    "import attrs": ("-c", "import attrs"),
}


def seconds(arguments):
    """The processor time of one run."""
    before = getrusage(RUSAGE_CHILDREN)
    subprocess.run(
        [sys.executable, *arguments], cwd=ROOT, stdout=subprocess.DEVNULL, check=True
    )
    after = getrusage(RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main(rounds=12):
    peer = float("inf")
    best = dict.fromkeys(WORK, float("inf"))
    for _ in range(rounds):
        peer = min(peer, seconds(PEER))
        for name, arguments in WORK.items():
            best[name] = min(best[name], seconds(arguments))
    print(f"{1000 * peer:6.1f} ms  1.00  python with attrs and the standard modules")
    for name, least in best.items():
        print(f"{1000 * least:6.1f} ms  {least / peer:4.2f}  {name}")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
