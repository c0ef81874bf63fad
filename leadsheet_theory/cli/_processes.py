"""Work on many charts in several processes: in order, whatever becomes of one."""

from __future__ import annotations

import os
import signal
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from itertools import chain, islice
from multiprocessing import get_context, parent_process
from multiprocessing.connection import wait
from threading import Thread
from typing import Final, TypeVar

from ._say import UsageError

__all__ = ("each_result", "jobs_asked", "processes")

_Task = TypeVar("_Task")
_Result = TypeVar("_Result")

# fewer charts than this for each process don't pay for its start
_CHARTS_A_PROCESS: Final = 4
# how many pieces of work wait for each process
_AHEAD: Final = 4
# after so many pieces of work a process makes room for a fresh one: the library that
# sets pages keeps what it has set
_FRESH_AFTER_DRAWING: Final = 100
_FRESH_AFTER: Final = 5000


def jobs_asked(jobs: int | None, charts: int, /) -> int:
    """How many processes work: as many as were asked for, else as there are cores, but
    for a few charts fewer.

    Raises:
        UsageError: if fewer than one was asked for.
    """
    if jobs is None:
        return max(1, min(_cores(), charts // _CHARTS_A_PROCESS))
    if jobs < 1:
        raise UsageError(f"--jobs {jobs}: expected at least 1")
    return jobs


def _cores() -> int:
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:  # not on every system
        return os.cpu_count() or 1


def processes(number: int, /, *, fresh: bool = False) -> ProcessPoolExecutor:
    """So many processes of our own, each `fresh` for every task if asked.

    They leave Ctrl-C to the program that began them, and end with it.
    """
    return ProcessPoolExecutor(
        number,
        get_context("spawn"),
        initializer=_begin,
        max_tasks_per_child=1 if fresh else None,
    )


def _begin() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    """End this process when the one that began it ends, however that ends."""
    parent = parent_process()
    if parent is not None:
        wait([parent.sentinel])
        os._exit(1)


def each_result(
    work: Callable[[_Task], _Result],
    tasks: Iterable[_Task],
    /,
    *,
    jobs: int,
    died: Callable[[_Task], _Result],
    draws: bool = False,
) -> Iterator[_Result]:
    """What the work on each task gives, in order.

    Few results are held at a time, however many tasks there are.  Of a task on which a
    process dies twice, `died` gives the result.  Processes that draw are changed for
    fresh ones now and then.  After Ctrl-C what is begun is ended
    and given; then the interruption is raised.
    """
    remaining = iter(tasks)
    fresh_after = _FRESH_AFTER_DRAWING if draws else _FRESH_AFTER
    if jobs == 1:
        yield from map(work, islice(remaining, fresh_after))
    for first in remaining:
        some = chain([first], islice(remaining, jobs * fresh_after - 1))
        yield from _in_processes(work, some, jobs, died)


def _in_processes(
    work: Callable[[_Task], _Result],
    tasks: Iterable[_Task],
    jobs: int,
    died: Callable[[_Task], _Result],
) -> Iterator[_Result]:
    remaining = iter(tasks)
    begun: deque[tuple[_Task, Future[_Result]]] = deque()
    lost: list[_Task] = []
    with processes(jobs) as pool:
        try:
            while True:
                for task in islice(remaining, _AHEAD * jobs - len(begun)):
                    lost.append(task)
                    begun.append((task, pool.submit(work, task)))
                    lost.clear()
                if not begun:
                    return
                result = begun[0][1].result()
                begun.popleft()
                yield result
        except BrokenProcessPool:
            lost = [*(task for task, _ in begun), *lost]
        except KeyboardInterrupt:
            pool.shutdown(cancel_futures=True)
            for _, future in begun:
                if not future.cancelled() and future.exception() is None:
                    yield future.result()
            raise
    yield from _one_by_one(work, lost, died)
    yield from _in_processes(work, remaining, jobs, died)


def _one_by_one(
    work: Callable[[_Task], _Result],
    tasks: Iterable[_Task],
    died: Callable[[_Task], _Result],
) -> Iterator[_Result]:
    """What the work on tasks gives in a process that does one at a time, so that it is
    known on which it dies."""
    remaining = deque(tasks)
    while remaining:
        with processes(1) as pool:
            try:
                while remaining:
                    yield pool.submit(work, remaining[0]).result()
                    remaining.popleft()
            except BrokenProcessPool:
                yield died(remaining.popleft())
