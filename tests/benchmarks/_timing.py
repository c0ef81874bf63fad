"""Measure work beside its peer: interleaved, in processor time, the least and the
median of several rounds.

Another program on the machine lengthens single rounds, never shortens one, so the
least is what the work itself takes.  Work and peer take turns, so that a machine
that slows down slows both.  Python's collector of garbage is paused, as the standard
`timeit` has it: what it costs hangs on whatever else is loaded.
"""

from __future__ import annotations

import gc
from collections.abc import Callable
from resource import RUSAGE_CHILDREN, getrusage
from statistics import median
from time import process_time

from attrs import frozen


def clock() -> float:
    """Processor seconds of this process and of those it has waited for."""
    children = getrusage(RUSAGE_CHILDREN)
    return process_time() + children.ru_utime + children.ru_stime


@frozen(order=False)
class Work:
    """Something to be timed, which does `units` of what is counted; `before` is
    called first each time, and not timed.  With the `collector` on it costs what it
    costs in a program that has as much loaded."""

    run: Callable[[], object]
    units: float = 1
    before: Callable[[], object] | None = None
    collector: bool = False

    def seconds(self) -> float:
        """Processor seconds for one unit, once."""
        if self.before is not None:
            self.before()
        gc.collect()
        if not self.collector:
            gc.disable()
        start = clock()
        self.run()
        passed = clock() - start
        gc.enable()
        return passed / self.units


@frozen(order=False, kw_only=True)
class Row:
    """A line of the table: what is done, what it is held against, and the ratio it is
    to stay under, if one is set."""

    name: str
    peer: str
    ours: Work
    theirs: Work
    goal: float | None = None
    rounds: int = 7


@frozen(order=False, kw_only=True)
class Measured:
    """The rounds of a row: seconds for one unit, ours and the peer's in turn."""

    name: str
    peer: str
    goal: float | None
    ours: tuple[float, ...]
    theirs: tuple[float, ...]

    @property
    def least(self) -> float:
        """Our least over the peer's."""
        return min(self.ours) / min(self.theirs)

    @property
    def median(self) -> float:
        """The median of the ratios, round by round."""
        return median(a / b for a, b in zip(self.ours, self.theirs, strict=True))


def measure(row: Row, rounds: int | None = None) -> Measured:
    """Both sides of a row in turn, after a first round that is not counted."""
    both = [
        (row.ours.seconds(), row.theirs.seconds())
        for _ in range(1 + (rounds or row.rounds))
    ]
    ours, theirs = zip(*both[1:], strict=True)
    return Measured(
        name=row.name, peer=row.peer, goal=row.goal, ours=ours, theirs=theirs
    )
