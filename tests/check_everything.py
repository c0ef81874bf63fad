"""Run every check of the project in a virtual environment of its own.

    python3 tests/check_everything.py

makes ``.venv-check`` beside the project's files, installs the project with
its ``test`` extra, and runs the formatter, the linter, the type checker, the
documentation, a check of the shipped schema and the tests.  Exit code 0 if all of
them pass, else 1.
Needs Python 3.11 or later and a package index; nothing else.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
import venv
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
HOME = ROOT / ".venv-check"
PYTHON = HOME / ("Scripts/python.exe" if os.name == "nt" else "bin/python")

# name, and what to run after "python -m"; the tests come last, so that the
# last lines to be read are theirs
CHECKS = (
    ("format", "ruff format --check ."),
    ("lint", "ruff check ."),
    ("types", "mypy --strict leadsheet_theory tests/typed"),
    ("documentation", "sphinx -n -W -q -b html docs docs/_build/html"),
    ("schema of plain data", "tests.data_keeping --check"),
    ("tests and doctests", f"pytest -q -n {os.cpu_count() or 1}"),
)


def run(*arguments: str) -> bool:
    """Run Python in the environment; whether it went well."""
    done = subprocess.run(
        [str(PYTHON), "-m", *arguments], cwd=ROOT, stdin=subprocess.DEVNULL, check=False
    )
    return done.returncode == 0


def main() -> int:
    """Make the environment, run the checks, say which failed."""
    if sys.version_info < (3, 11):  # noqa: UP036
        print("Python 3.11 or later is needed: this is", sys.version.split()[0])
        return 1
    sys.stdout.reconfigure(line_buffering=True)  # type: ignore[union-attr]
    print(f"== environment: {HOME}")
    venv.create(HOME, with_pip=True)
    os.environ["PIP_DISABLE_PIP_VERSION_CHECK"] = "1"
    if not run("pip", "install", "--quiet", "--editable", ".[test]"):
        print("The test extra could not be installed; nothing was checked.")
        return 1
    failed = []
    for name, command in CHECKS:
        print(f"== {name}: python -m {command}")
        start = time.perf_counter()
        good = run(*command.split())
        print(f"-- {name}: {'passed' if good else 'FAILED'}", end="")
        print(f" in {time.perf_counter() - start:.0f} s")
        if not good:
            failed.append(name)
    if failed:
        print(f"Failed: {', '.join(failed)}.")
        return 1
    print("Every check passed.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
