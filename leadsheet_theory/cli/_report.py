"""The file of ``--report``: a line of JSON a chart, in the order of the charts, and
what ``--resume`` goes on from."""

from __future__ import annotations

import argparse
import json
import os
from collections.abc import Iterable, Iterator, Mapping
from contextlib import AbstractContextManager, nullcontext, suppress
from pathlib import Path
from typing import Any, Self

from ..catalogue.report import hash_of
from ._charts import check_no_chart
from ._say import UsageError

__all__ = ("Report", "add_batch_arguments", "report_asked", "unchanged")


def add_batch_arguments(parser: argparse.ArgumentParser, /) -> None:
    """Say what commands take that work on many charts."""
    group = parser.add_argument_group("many charts")
    group.add_argument(
        "--jobs",
        type=int,
        metavar="N",
        help="how many charts are worked on at a time (default: as many as there are "
        "cores; fewer for a few charts)",
    )
    group.add_argument(
        "--report",
        type=Path,
        metavar="FILE",
        help="write a line of JSON for each chart: findings, respellings, octaves, "
        "hashes of the files",
    )
    group.add_argument(
        "--resume",
        action="store_true",
        help="go on from the file of --report: leave out charts that have not changed, "
        "nor what is asked, nor the files made",
    )
    group.add_argument("--quiet", action="store_true", help="no progress")


def report_asked(
    options: argparse.Namespace, charts: Iterable[Path], /
) -> AbstractContextManager[Report | None]:
    """The report that the options ask for, to be used in a ``with`` statement.

    Raises:
        UsageError: if there can't be one.
    """
    if options.report is None:
        if options.resume:
            raise UsageError("--resume needs --report FILE, that of the earlier run")
        return nullcontext()
    check_no_chart(options.report, charts, option="--report")
    return Report(options.report, resume=options.resume)


class Report:
    """The report as it grows.

    Lines are added to an unfinished file beside it, which takes its name at the end, so
    that a report is whole or that of before.  After a kill both are gone on from.
    """

    def __init__(self, file: Path, /, *, resume: bool) -> None:
        if file.is_dir():
            raise UsageError(f"--report {file}: a folder, not a file")
        file.parent.mkdir(parents=True, exist_ok=True)
        self._file = file
        self._unfinished = file.with_name(f".{file.name}.unfinished")
        self._before = file.with_name(f".{file.name}.before")
        self._places: dict[str, int] = {}
        self._added: set[str] = set()
        if resume:
            self._keep_earlier()
        self._stream = self._unfinished.open("wb")

    def _keep_earlier(self) -> None:
        """Put the lines of earlier runs together, and remember where each stands."""
        with self._before.open("ab") as before:
            for path in (self._file, self._unfinished):
                if path.exists():
                    before.writelines(line for _, line, _ in _whole_lines(path))
            before.flush()
            os.fsync(before.fileno())
        self._places = {chart: place for place, _, chart in _whole_lines(self._before)}

    def earlier(self, chart: str, /) -> str:
        """The line that an earlier run wrote of a chart, or nothing."""
        if chart not in self._places:
            return ""
        with self._before.open("rb") as file:
            file.seek(self._places[chart])
            return file.readline().decode().rstrip("\n")

    def add(self, chart: str, line: str, /) -> None:
        """Add the line of a chart."""
        self._added.add(chart)
        self._stream.write(f"{line}\n".encode())
        self._stream.flush()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, *_: object) -> None:
        """End the report; of an interrupted run, with what earlier ones wrote of charts
        that had no turn."""
        if kind is not None and not issubclass(kind, KeyboardInterrupt):
            self._stream.close()
            return
        for chart in self._places if kind else ():
            if chart not in self._added:
                self.add(chart, self.earlier(chart))
        os.fsync(self._stream.fileno())
        self._stream.close()
        self._unfinished.replace(self._file)
        self._before.unlink(missing_ok=True)


def _whole_lines(path: Path) -> Iterator[tuple[int, bytes, str]]:
    """The lines of a report with their places and charts, but none that a kill tore."""
    place = 0
    with path.open("rb") as file:
        for line in file:
            with suppress(ValueError, KeyError, TypeError):
                if line.endswith(b"\n"):
                    yield place, line, str(json.loads(line)["chart"])
            place += len(line)


def unchanged(line: str, /, *, source: str, options: str, folder: Path) -> bool:
    """Whether a line of an earlier run tells of the same chart, made as is asked now,
    and its files are in the folder as they were written."""
    if not line:
        return False
    record: Mapping[str, Any] = json.loads(line)
    if record["failed"] or record["input"] != source or record["options"] != options:
        return False
    try:
        return all(
            hash_of((folder / name).read_bytes()) == made
            for tune in record["tunes"]
            for name, made in tune["files"].items()
        )
    except OSError:
        return False
