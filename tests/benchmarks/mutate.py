"""Read thousands of damaged files: nothing but our own error may come of it.

    python tests/benchmarks/mutate.py [FOLDER…] [--count 10000] [--seed 1]

Takes the files of the folders (shared/charts without any) in turn, damages each
at random (the same seed gives the same damage), plain XML and zip alike, and
reads it.  Prints how many were read, refused and with what else, the slowest
reading and the memory used; exits 1 if anything but a `MusicXMLReadError` came
out, a reading took over 5 seconds, or memory passed 500 MB.
"""

from __future__ import annotations

import argparse
import resource
import sys
from collections import Counter
from pathlib import Path
from random import Random
from time import process_time

HOME = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(HOME), str(HOME / "tests"), str(HOME / "tests" / "benchmarks")]

from _speed_rows import xml_of  # noqa: E402
from mutations import mutated  # noqa: E402

from leadsheet_theory.errors import MusicXMLReadError  # noqa: E402
from leadsheet_theory.musicxml import parse_lead_sheet  # noqa: E402

MAX_SECONDS = 5.0
MAX_MEGABYTES = 500


def main() -> int:
    """Run the mutations and print what came of them."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folders", nargs="*", default=[str(HOME / "shared" / "charts")])
    parser.add_argument("--count", type=int, default=10_000)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    paths = sorted(
        path
        for folder in options.folders
        for path in Path(folder).rglob("*")
        if path.suffix in (".mxl", ".musicxml", ".xml")
    )
    random = Random(options.seed)
    outcomes: Counter[str] = Counter()
    refusals: Counter[str] = Counter()
    strangers: list[str] = []
    slowest = (0.0, "")
    for turn in range(options.count):
        path = paths[turn % len(paths)]
        # one in ten damages the zip itself
        whole = path.read_bytes() if turn % 10 == 0 else xml_of(path)
        kind, data = mutated(whole, random)
        start = process_time()
        try:
            parse_lead_sheet(data)
            outcomes["read"] += 1
        except MusicXMLReadError as error:
            outcomes["refused"] += 1
            refusals["broken XML or zip" if not error.measure else error.element] += 1
            if not str(error) or (error.measure and not error.element):
                strangers.append(f"{path.name} {turn} {kind}: no place in {error}")
        except Exception as error:
            outcomes["other"] += 1
            strangers.append(f"{path.name} {turn} {kind}: {error!r}")
        slowest = max(slowest, (process_time() - start, f"{path.name} {turn} {kind}"))
    megabytes = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"{options.count} mutations of {len(paths)} files, seed {options.seed}")
    print(", ".join(f"{name} {count}" for name, count in outcomes.most_common()))
    print("refused at:", dict(refusals.most_common(12)))
    print(f"slowest {slowest[0]:.3f} s ({slowest[1]}); memory {megabytes:.0f} MB")
    print("\n".join(strangers[:20]))
    ok = not strangers and slowest[0] < MAX_SECONDS and megabytes < MAX_MEGABYTES
    return 0 if ok else 1


if __name__ == "__main__":
    sys.exit(main())
