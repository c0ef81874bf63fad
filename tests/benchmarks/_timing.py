"""Measure work beside its peer: interleaved, in processor time, the least and the
median of several rounds.

Another program on the machine lengthens single rounds, never shortens one, so the
least is what the work itself takes.  Work and peer take turns, piece by piece where
they have pieces, so that a machine that slows down slows both, and so that neither
runs in a burst, with the processor's caches full of its own data, as it never does in a
program.  Python's collector of garbage is paused, as the standard `timeit` has it: what
it costs hangs on whatever else is loaded.
"""

from __future__ import annotations

import gc
from collections.abc import Callable, Sequence
from functools import partial
from resource import RUSAGE_CHILDREN, getrusage
from statistics import median
from time import process_time
from typing import TypeVar

from attrs import evolve, frozen

_Item = TypeVar("_Item")


def clock() -> float:
    """Processor seconds of this process and of those it has waited for."""
    children = getrusage(RUSAGE_CHILDREN)
    return process_time() + children.ru_utime + children.ru_stime


@frozen(order=False)
class Work:
    """Something to be timed, in one or more `pieces`, which together do `units` of what
    is counted; `before` is called before each piece, and not timed.  With the
    `collector` on it costs what it costs in a program that has as much loaded."""

    pieces: tuple[Callable[[], object], ...]
    units: float = 1
    before: Callable[[], object] | None = None
    collector: bool = False

    @classmethod
    def of(
        cls,
        run: Callable[[], object],
        units: float = 1,
        before: Callable[[], object] | None = None,
    ) -> Work:
        """Work of a single piece."""
        return cls((run,), units, before)

    @classmethod
    def on_each(cls, do: Callable[[_Item], object], items: Sequence[_Item], /) -> Work:
        """Work that does the same to each item, the items being what is counted."""
        return cls(tuple(partial(do, item) for item in items), len(items))

    def in_a_burst(self) -> Work:
        """The same work as a single piece."""

        def run() -> None:
            for piece in self.pieces:
                piece()

        return evolve(self, pieces=(run,))

    def seconds(self) -> float:
        """Processor seconds for one unit, once."""
        return in_turn(self)[0]

    def piece_seconds(self, piece: Callable[[], object]) -> float:
        """Processor seconds for one piece, once."""
        if self.before is not None:
            self.before()
        if len(self.pieces) == 1:
            gc.collect()
        if self.collector:
            gc.enable()
        start = clock()
        piece()
        passed = clock() - start
        gc.disable()
        return passed


def in_turn(*works: Work) -> list[float]:
    """Processor seconds for one unit of each work, once, piece by piece in turn."""
    gc.collect()
    gc.disable()
    passed = [
        [work.piece_seconds(piece) for work, piece in zip(works, pieces, strict=True)]
        for pieces in zip(*(work.pieces for work in works), strict=True)
    ]
    gc.enable()
    sums = map(sum, zip(*passed, strict=True))
    return [total / work.units for total, work in zip(sums, works, strict=True)]


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
    both = [in_turn(row.theirs, row.ours) for _ in range(1 + (rounds or row.rounds))]
    theirs, ours = zip(*both[1:], strict=True)
    return Measured(
        name=row.name, peer=row.peer, goal=row.goal, ours=ours, theirs=theirs
    )
