"""How fast the library is: one table, each line a ratio to a peer in the same run.

    python tests/benchmarks/all.py [GROUP…] [--rounds N] [--json FILE] [--page]
    python tests/benchmarks/all.py [GROUP…] --against REVISION

The first prints the table; ``--page`` writes it into the page *Speed* of the
documentation, ``--json`` into a file with every round.  The second measures each line
with the library as it is and as it is at REVISION (anything that git knows, checked out
into a temporary folder), in turn, in a process each.

GROUP is one of: charts, growth, values, abc, start; all without any.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from statistics import median

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, os.environ.get("LIBRARY_TO_MEASURE", str(ROOT)))

from _speed_rows import GROUPS, charts, memory  # noqa: E402
from _timing import Measured, measure  # noqa: E402
from attrs import asdict  # noqa: E402

PAGE = ROOT / "docs" / "background" / "speed.rst"
INTRODUCTION = """\
Speed
=====

Written by ``tests/benchmarks/all.py --page``.  Each line says how long something takes
as a multiple of a peer that was measured beside it, in turn, in the same run: processor
time, the least of several rounds, and the median of the ratios round by round.

Work on charts and its peer take turns chart by chart, and a round is the sum over all
charts.  A peer that runs through all charts in a burst finds its own code and data in
the processor's caches, as it never does in a program that does something with them;
beside more work it finds less, so that the same peer takes longer in one line than in
another.  The lines of a burst tell how it would stand otherwise.

Python's collector of garbage is paused, as the standard ``timeit`` has it, but where a
line says otherwise: with it both sides take longer, the peer more.  The parts are those
of the five books, with hits and solo page.

The charts are {charts}.
Measured with {machine}.

.. list-table::
   :header-rows: 1
   :widths: 32 28 10 10 10 10

   * - what
     - held against
     - time
     - its peer's
     - least ratio
     - median"""

REFUSED_AT_ONCE = """\
Refused at once
---------------

What would take for ever is not begun.  Tests hold this, by the error that names what is
wrong, in ``tests/test_wrong_arguments.py`` (a metre of a million beats, slashes without
end, a note of thousands of bars), ``tests/chords/test_chord_refusals.py`` (a megabyte
for a chord symbol) and ``tests/musicxml/test_reading_robustness.py`` (a document type
that declares entities or attributes).  A note that cannot be written is named with its
part, bar and beat before anything is: ``tests/musicxml/test_write_parts.py``; a length
that no values show, when the chart is read:
``tests/musicxml/test_reading_durations.py``.
"""


def seconds_text(seconds: float) -> str:
    """A time with its unit."""
    for factor, unit in ((1, "s"), (1e3, "ms"), (1e6, "µs")):
        if seconds * factor >= 1:
            return f"{seconds * factor:.3g} {unit}"
    return f"{seconds * 1e9:.3g} ns"


def ratio_text(ratio: float) -> str:
    """A ratio; one far below 1 as what the peer takes."""
    return f"{ratio:.2f}" if ratio > 0.095 else f"1 : {1 / ratio:.0f}"


def printed(found: Measured) -> str:
    """A line of the table on the screen."""
    goal = ""
    if found.goal is not None:
        reached = found.least <= found.goal
        goal = f"at most {found.goal:g}" + ("" if reached else "  MISSED")
    return (
        f"{seconds_text(min(found.ours)):>9} {seconds_text(min(found.theirs)):>9} "
        f"{ratio_text(found.least):>9} {ratio_text(found.median):>9}  "
        f"{found.name} | {found.peer}  {goal}"
    )


def page(rows: Sequence[Measured], kept: dict[str, float]) -> str:
    """The page of the documentation."""
    machine = f"{platform.python_implementation()} {platform.python_version()}"
    lines = [INTRODUCTION.format(charts=_charts_in_words(), machine=machine)]
    for found in rows:
        lines += [
            f"   * - {found.name.replace('`', '``')}",
            f"     - {found.peer}",
            f"     - {seconds_text(min(found.ours))}",
            f"     - {seconds_text(min(found.theirs))}",
            f"     - {ratio_text(found.least)}",
            f"     - {ratio_text(found.median)}",
        ]
    lines += ["", "Memory", "------", ""]
    lines += [f"* {name}: {size:.1f} kB" for name, size in kept.items()]
    return "\n".join([*lines, "", REFUSED_AT_ONCE])


def _charts_in_words() -> str:
    paths = charts()
    if paths[0].is_relative_to(ROOT):
        return f"the {len(paths)} of ``shared/charts``"
    return (
        f"{len(paths)} lead sheets of the open data set OpenEWLD, as compressed files"
    )


def measured(groups: Sequence[str], rounds: int | None) -> Iterator[Measured]:
    """The lines of some groups."""
    for group in groups:
        for row in GROUPS[group]():
            yield measure(row, rounds)


# ── Two states of the library ────────────────────────────────────────────────────


def serve() -> None:
    """Measure what is asked for on standard input, line by line: the name of a group
    to prepare, answered with its lines, or the number of a line to do once."""
    answers = sys.stdout
    sys.stdout = sys.stderr
    rows = []
    for line in sys.stdin:
        wish = json.loads(line)
        answer: object
        if isinstance(wish, str):
            rows = list(GROUPS[wish]())
            answer = [(row.name, row.rounds) for row in rows]
        else:
            answer = rows[wish].ours.seconds()
        print(json.dumps(answer), file=answers, flush=True)


@contextmanager
def state(tree: Path) -> Iterator[Callable[[object], object]]:
    """A process that measures the library in a folder: what to ask it with."""
    with subprocess.Popen(
        [sys.executable, __file__, "--serve"],
        env={**os.environ, "LIBRARY_TO_MEASURE": str(tree), "PYTHONPATH": str(tree)},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as process:
        assert process.stdin and process.stdout
        questions, answers = process.stdin, process.stdout

        def ask(wish: object) -> object:
            print(json.dumps(wish), file=questions, flush=True)
            return json.loads(answers.readline())

        yield ask
        questions.close()


def compare(revision: str, groups: Sequence[str], rounds: int | None) -> None:
    """Print every line now as a multiple of what it was at a revision."""
    git = ("git", "-C", str(ROOT), "worktree")
    with tempfile.TemporaryDirectory() as name:
        tree = Path(name) / "tree"
        subprocess.run(
            [*git, "add", "--quiet", "--detach", str(tree), revision], check=True
        )
        try:
            with state(tree) as old, state(ROOT) as new:
                print(f"{revision:>9} {'now':>9} {'least':>9} {'median':>9}")
                for group in groups:
                    old(group)
                    for at, (row, usual) in enumerate(new(group)):  # type: ignore[arg-type]
                        pairs = [
                            (old(at), new(at)) for _ in range(1 + (rounds or usual))
                        ]
                        print(_then_and_now(row, pairs[1:]), flush=True)
        finally:
            subprocess.run([*git, "remove", "--force", str(tree)], check=True)


def _then_and_now(name: str, pairs: Sequence[tuple[float, float]]) -> str:
    before, now = map(min, zip(*pairs, strict=True))
    middle = median(new / old for old, new in pairs)
    return (
        f"{seconds_text(before):>9} {seconds_text(now):>9} {now / before:9.2f} "
        f"{middle:9.2f}  {name}"
    )


def main() -> None:
    """Print the table, or the comparison of two states."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("groups", nargs="*", choices=[*GROUPS, []], metavar="GROUP")
    parser.add_argument("--rounds", type=int)
    parser.add_argument("--json", type=Path)
    parser.add_argument("--page", action="store_true")
    parser.add_argument("--against", metavar="REVISION")
    parser.add_argument("--serve", action="store_true", help=argparse.SUPPRESS)
    options = parser.parse_args()
    groups = options.groups or list(GROUPS)
    if options.serve:
        serve()
        return
    if options.against:
        compare(options.against, groups, options.rounds)
        return
    print(f"{'time':>9} {'peer':>9} {'least':>9} {'median':>9}")
    rows = []
    for found in measured(groups, options.rounds):
        print(printed(found), flush=True)
        rows.append(found)
    kept = memory()
    for name, size in kept.items():
        print(f"{size:6.2f} kB  {name}")
    if options.json:
        told = {
            "python": platform.python_version(),
            "charts": len(charts()),
            "rows": [
                {**asdict(found), "least": found.least, "median": found.median}
                for found in rows
            ],
            "kilobytes": kept,
        }
        options.json.write_text(json.dumps(told, indent=1), encoding="utf-8")
    if options.page:
        PAGE.write_text(page(rows, kept), encoding="utf-8")


if __name__ == "__main__":
    main()
