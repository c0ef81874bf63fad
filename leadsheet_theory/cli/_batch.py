"""Catalogues on the command line: work through many charts, tell, report, go on."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Protocol

from attrs import frozen

from ..catalogue.charts import Chart, read_charts
from ..catalogue.report import chart_record, hash_of
from ..data.plain import Json
from ..decisions.model import Decisions
from ._charts import Source, bytes_of, called, say_failed, tried, why
from ._decisions import decisions_beside
from ._processes import each_result
from ._report import Report, unchanged
from ._say import Progress, count, say, say_aside

__all__ = ("Done", "Told", "Work", "work_through")


@frozen(order=False)
class Told:
    """What to say of a tune, what the report is to keep, whether all was well, and what
    else is wanted of it."""

    lines: tuple[str, ...]
    record: Mapping[str, Json]
    well: bool = True
    kept: object = None


class Work(Protocol):
    """What is done with each chart; a value that other processes can be sent."""

    @property
    def typed(self) -> Decisions:
        """What was decided on the command line."""

    @property
    def folder(self) -> Path:
        """Where files are written."""

    def options(self, decisions: Decisions, stems: Sequence[str]) -> str:
        """The hash of all that decides what becomes of a chart."""

    def done(self, chart: Chart, source: Source) -> Told:
        """The work on a tune."""


@frozen(order=False, kw_only=True)
class Done:
    """What became of a file of charts."""

    source: Source
    lines: tuple[str, ...] = ()
    failed: tuple[tuple[str, str], ...] = ()
    tunes: int = 1
    well: bool = True
    record: str = ""
    skipped: bool = False
    kept: tuple[object, ...] = ()


@frozen(order=False)
class _Task:
    """A file of charts, and what an earlier run reported of it."""

    source: Source
    earlier: str = ""


def _keep_nothing(_: Done) -> None:
    pass


def work_through(
    work: Work,
    charts: Sequence[Source],
    report: Report | None,
    /,
    *,
    jobs: int,
    quiet: bool,
    keep: Callable[[Done], None] = _keep_nothing,
    anew: bool = False,
    draws: bool = False,
) -> int:
    """Do the work on every chart, some at a time, whatever becomes of the others.

    What there is to say is said in the order of the charts; those that failed are named
    at the end.  `keep` is shown what became of each; `anew` leaves none out; `draws`
    says whether pages are drawn.  Gives the exit code: 0 if all was well, else 1.
    """
    progress = Progress(len(charts), quiet=quiet)
    bad: list[tuple[str, str]] = []
    well, tunes, files, skipped = True, 0, 0, 0
    tasks = (
        _Task(each, "" if anew or not report else report.earlier(str(each.path)))
        for each in charts
    )
    try:
        for done in each_result(
            partial(_do, work), tasks, jobs=jobs, died=_died, draws=draws
        ):
            progress.at(done.source.path.name)
            for line in done.lines:
                say(line)
            if report:
                report.add(str(done.source.path), done.record)
            keep(done)
            bad += done.failed
            files += 1
            tunes += done.tunes
            skipped += done.skipped
            well = well and done.well
    except KeyboardInterrupt:
        say_failed(bad, tunes)
        say_aside(_interrupted(files, len(charts), resumable=report is not None))
        raise
    if skipped:
        say_aside(f"{count(skipped, 'chart')} had not changed and had no turn")
    say_failed(bad, tunes)
    return 0 if well and not bad else 1


def _interrupted(done: int, of: int, *, resumable: bool) -> str:
    way = "; --resume goes on" if resumable else ""
    return f"{done} of {count(of, 'chart')} done, of the others nothing is written{way}"


def _do(work: Work, task: _Task, /) -> Done:
    """Read a file of charts and do the work on each."""
    source = task.source
    data, error = tried(partial(bytes_of, source.path))
    if data is None:
        return _failed(source, error)
    beside, error = tried(partial(decisions_beside, source.path))
    if beside is None:
        return _failed(source, error, data=data)
    decisions = beside.followed_by(work.typed)
    options = work.options(decisions, source.stems)
    hashes = {"source": hash_of(data), "options": options}
    if unchanged(task.earlier, folder=work.folder, **hashes):
        tunes = json.loads(task.earlier)["tunes"]
        return Done(
            source=source,
            record=task.earlier,
            well=all(tune.get("well", True) for tune in tunes),
            skipped=True,
        )
    charts, error = tried(
        partial(
            read_charts,
            data,
            name=source.path.name,
            decisions=decisions,
            stems=source.stems,
        )
    )
    if charts is None:
        return _failed(source, error, data=data, options=options)
    told: list[Told] = []
    failed: list[tuple[str, str]] = []
    for chart in charts:
        each, wrong = tried(partial(work.done, chart, source))
        if each is not None:
            told.append(each)
        elif wrong is not None:
            error = error or wrong
            failed.append((called(source, chart), why(wrong)))
    return Done(
        source=source,
        lines=tuple(line for each in told for line in each.lines),
        failed=tuple(failed),
        tunes=len(charts),
        well=all(each.well for each in told),
        kept=tuple(each.kept for each in told),
        record=chart_record(
            str(source.path),
            tunes=[each.record for each in told],
            failed=error,
            **hashes,
        ),
    )


def _failed(
    source: Source,
    error: Exception | None,
    *,
    data: bytes | None = None,
    options: str = "",
) -> Done:
    """What becomes of a file that can't be read."""
    says = why(error) if error else ""
    record = chart_record(
        str(source.path),
        source="" if data is None else hash_of(data),
        options=options,
        failed=error,
    )
    return Done(source=source, failed=((str(source.path), says),), record=record)


def _died(task: _Task, /) -> Done:
    """What becomes of a file on which a process dies."""
    says = "the process that worked on it died"
    path = str(task.source.path)
    record = chart_record(path, source="", options="", failed=says)
    return Done(source=task.source, failed=((path, says),), record=record)
