"""Kill a run of many charts at random moments and go on: the folder must be the same.

    python tests/benchmarks/kill_and_resume.py FOLDER --times 25 --charts 180

FOLDER holds charts; with fewer than asked they are taken again under other names.  The
command runs with ``--jobs 2``; it is killed (SIGKILL) after a random part of the time
that a whole run takes, and the next run goes on with ``--resume``.  After each kill and
its resumed run the hashes of all files must be those of one undisturbed run.
``--to-the-end`` kills again and again in one folder and compares once.
"""

from __future__ import annotations

import argparse
import hashlib
import random
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

KINDS = {".musicxml", ".mxl", ".xml"}


def hashes(folder: Path) -> dict[str, str]:
    """The hash of each file."""
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(
            path.read_bytes()
        ).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def begin(charts: Path, to: Path, *options: str) -> subprocess.Popen[bytes]:
    """The command as a program of its own."""
    places = [str(charts), "--to", str(to), "--report", str(to / "report.jsonl")]
    command = ["parts", *places, "--jobs", "2", "--quiet", *options]
    return subprocess.Popen(
        [sys.executable, "-m", "leadsheet_theory", *command],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )


def main() -> None:
    """Run, kill, go on, compare."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--times", type=int, default=25)
    parser.add_argument("--charts", type=int, default=180)
    parser.add_argument("--pdf", action="store_true", help="draw pages too")
    parser.add_argument("--to-the-end", action="store_true")
    parser.add_argument("--seed", type=int, default=1)
    chosen = parser.parse_args()
    moments = random.Random(chosen.seed)
    given = sorted(p for p in chosen.folder.iterdir() if p.suffix.lower() in KINDS)
    more = () if chosen.pdf else ("--musicxml-only",)
    wrong = 0
    with tempfile.TemporaryDirectory() as scratch:
        charts, whole = Path(scratch) / "charts", Path(scratch) / "whole"
        charts.mkdir()
        for index in range(chosen.charts):
            chart = given[index % len(given)]
            shutil.copy(chart, charts / f"{index:04} {chart.name}")
        start = time.perf_counter()
        begin(charts, whole, *more).wait()
        length = time.perf_counter() - start
        expected = hashes(whole)
        print(f"one run: {length:.1f} s, {len(expected)} files", flush=True)
        to = Path(scratch) / "killed"
        for number in range(1, chosen.times + 1):
            moment = moments.uniform(0, length)
            going_on = ("--resume",) if to.exists() else ()
            program = begin(charts, to, *more, *going_on)
            try:
                program.wait(moment)
                how = "ended before"
            except subprocess.TimeoutExpired:
                program.kill()
                program.wait()
                how = "killed"
            if chosen.to_the_end and number < chosen.times:
                print(f"{number}: {how} at {moment:.1f} s", flush=True)
                continue
            begin(charts, to, *more, "--resume").wait()
            same = hashes(to) == expected
            wrong += not same
            print(
                f"{number}: {how} at {moment:.1f} s, gone on: "
                f"{'the same' if same else 'NOT the same'}",
                flush=True,
            )
            shutil.rmtree(to)
    print(f"{wrong} of {chosen.times} not the same")
    sys.exit(bool(wrong))


if __name__ == "__main__":
    main()
