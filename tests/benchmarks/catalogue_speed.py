"""Time and memory of a catalogue: ``--jobs 2`` beside ``--jobs 1`` in the same run.

    python tests/benchmarks/catalogue_speed.py FOLDER --charts 1000 [--pdf]

The charts of FOLDER are repeated to that number.  Prints the time of each run, the
processor time of all its processes, their ratio, and how much memory the processes took
together in each tenth of the run: it must not grow.  A ratio of the times means little
while others use the cores, so the load is printed too.
"""

from __future__ import annotations

import argparse
import os
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

PROGRAM = (sys.executable, "-m", "leadsheet_theory", "parts")
KINDS = {".musicxml", ".mxl", ".xml"}


def memory(pid: int) -> int:
    """The private and shared memory of a process and its children, in MB."""
    total = 0
    for entry in Path("/proc").iterdir():
        if not entry.name.isdecimal():
            continue
        try:
            fields = (entry / "stat").read_text().rpartition(")")[2].split()
            if int(entry.name) == pid or int(fields[1]) == pid:
                total += int(fields[21]) * resource.getpagesize()
        except OSError:
            continue
    return total // 1_000_000


def run(
    charts: Path, to: Path, jobs: int, more: tuple[str, ...]
) -> tuple[float, float]:
    """The time and the processor time of a run."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    seen: list[tuple[float, int]] = []
    report = to.with_suffix(".jsonl")
    program = subprocess.Popen(
        [
            sys.executable,
            "-m",
            "leadsheet_theory",
            "parts",
            str(charts),
            "--to",
            str(to),
            "--jobs",
            str(jobs),
            "--quiet",
            "--report",
            str(report),
            *more,
        ],
        stdout=subprocess.DEVNULL,
    )
    while program.poll() is None:
        seen.append((time.perf_counter() - start, memory(program.pid)))
        time.sleep(0.5)
    length = time.perf_counter() - start
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    tenths = [
        max((mb for at, mb in seen if at // (length / 10) == tenth), default=0)
        for tenth in range(10)
    ]
    print(
        f"--jobs {jobs}: {length:.1f} s, {used:.1f} s of processors, "
        f"load {os.getloadavg()[0]:.1f}, memory by tenths {tenths} MB",
        flush=True,
    )
    return length, used


def main() -> None:
    """Run with one process and with two."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--charts", type=int, default=1000)
    parser.add_argument("--pdf", action="store_true", help="draw pages too")
    chosen = parser.parse_args()
    given = sorted(p for p in chosen.folder.iterdir() if p.suffix.lower() in KINDS)
    more = () if chosen.pdf else ("--musicxml-only",)
    with tempfile.TemporaryDirectory() as scratch:
        charts = Path(scratch) / "charts"
        charts.mkdir()
        for index in range(chosen.charts):
            chart = given[index % len(given)]
            shutil.copy(chart, charts / f"{index:05} {chart.name}")
        one, used_one = run(charts, Path(scratch) / "one", 1, more)
        two, used_two = run(charts, Path(scratch) / "two", 2, more)
    print(f"time with --jobs 2: {two / one:.2f} of that with --jobs 1")
    print(f"processor time: {used_two / used_one:.2f}")
    print(f"processor time of two, shared by two: {used_two / 2 / used_one:.2f}")


if __name__ == "__main__":
    main()
