"""A catalogue on a local cluster of processes, one of which is killed on the way.

    python tests/benchmarks/cluster_catalogue.py FOLDER --charts 3000

The charts of FOLDER are repeated to that number and made as docs/howto/cluster.rst
says, with dask: two workers, of which one is killed when a tenth is done.  The report
is written as Parquet.  Every file must have the hash that the command gives it.
"""

from __future__ import annotations

import argparse
import hashlib
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from functools import partial
from pathlib import Path

import dask.bag
import pyarrow
import pyarrow.parquet
from dask.distributed import Client, LocalCluster

from leadsheet_theory.catalogue import part_file_ends, parts_of
from leadsheet_theory.decisions import Decisions
from leadsheet_theory.errors import TheoryError
from leadsheet_theory.files import Wish, plan_names, write_files

PROGRAM = (sys.executable, "-m", "leadsheet_theory", "parts")
KINDS = {".musicxml", ".mxl", ".xml"}


def work(to: Path, task: tuple[str, str]) -> dict[str, object]:
    """The files of one chart, and its row of the report."""
    path, name = task
    row = {"chart": path, "failed": None, "report": None, "files": []}
    try:
        *files, report = parts_of(Path(path).read_bytes(), name=name)
    except TheoryError as error:
        return row | {"failed": str(error)}
    write_files(to, {file.name: file.data for file in files})
    hashes = [f"{file.name} {file.sha256}" for file in files]
    return row | {"report": report.data.decode(), "files": hashes}


def hashes(folder: Path) -> dict[str, str]:
    """The hash of each file."""
    return {
        path.name: hashlib.sha256(path.read_bytes()).hexdigest()
        for path in folder.rglob("*.musicxml")
    }


def main() -> None:
    """Make them with the cluster and with the command, and compare."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--charts", type=int, default=3000)
    chosen = parser.parse_args()
    given = sorted(p for p in chosen.folder.iterdir() if p.suffix.lower() in KINDS)
    with tempfile.TemporaryDirectory() as scratch:
        folder, made, there = (
            Path(scratch) / name for name in ("in", "out", "command")
        )
        folder.mkdir()
        for index in range(chosen.charts):
            chart = given[index % len(given)]
            shutil.copy(chart, folder / f"{index:05} {chart.name}")
        charts = sorted(folder.iterdir())
        ends = part_file_ends(Decisions(), pdf=False)
        stems = plan_names(Wish(chart.stem, ends) for chart in charts)
        tasks = [
            (str(chart), f"{stem}{chart.suffix}")
            for chart, stem in zip(charts, stems, strict=True)
        ]
        start = time.perf_counter()
        with (
            LocalCluster(
                n_workers=2, threads_per_worker=1, dashboard_address=":0"
            ) as cluster,
            Client(cluster) as client,
        ):
            bag = dask.bag.from_sequence(tasks, partition_size=10)
            future = client.compute(bag.map(partial(work, made)), retries=3)
            while not future.done() and len(hashes(made)) < chosen.charts / 2:
                time.sleep(0.2)
            pid = next(iter(client.run(os.getpid).values()))
            os.kill(pid, signal.SIGKILL)
            print(f"worker {pid} killed", flush=True)
            rows = future.result()
        table = pyarrow.Table.from_pylist(rows)
        pyarrow.parquet.write_table(table, made / "report.parquet")
        size = (made / "report.parquet").stat().st_size
        print(f"cluster: {time.perf_counter() - start:.0f} s; report of {size:,} bytes")
        start = time.perf_counter()
        subprocess.run(
            [
                sys.executable,
                "-m",
                "leadsheet_theory",
                "parts",
                str(folder),
                "--to",
                str(there),
                "--musicxml-only",
                "--jobs",
                "2",
                "--quiet",
            ],
            stdout=subprocess.DEVNULL,
            check=False,
        )
        print(f"command: {time.perf_counter() - start:.0f} s")
        ours, theirs = hashes(made), hashes(there)
    failed = sum(row["failed"] is not None for row in rows)
    print(f"{len(rows)} rows, {failed} failed, {len(ours)} files")
    print("the same hashes" if ours == theirs else "NOT the same hashes")
    sys.exit(ours != theirs)


if __name__ == "__main__":
    main()
