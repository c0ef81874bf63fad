"""What the command line says, and how it says that it was called wrongly."""

from __future__ import annotations

import sys
from typing import Final, TextIO

from ..errors import TheoryError

__all__ = ("DecisionError", "UsageError", "count", "say", "say_aside")


_PLAINER: Final = str.maketrans(
    {"♭": "b", "♯": "#", "♮": "", "𝄫": "bb", "𝄪": "##", "–": "-", "—": "-", "…": "...",
     "½": " 1/2", "⅓": " 1/3", "⅔": " 2/3", "¼": " 1/4", "¾": " 3/4", "△": "maj",
     "Δ": "maj", "ø": "m7b5", "°": "dim", "‘": "'", "’": "'", "“": '"', "”": '"'}
)  # fmt: skip


class UsageError(Exception):
    """The command was given wrongly."""


class DecisionError(TheoryError, ValueError):
    """A decision in a file beside a chart that says nothing of it, or nothing at all.

    Attributes:
        file: the file.
        line: the line, from 1.
        problem: what is wrong, and what is there or was expected.

    >>> print(DecisionError("tune.toml", 3, "respell: bar 9 has no chord"))
    tune.toml, line 3: respell: bar 9 has no chord
    """

    file: str
    line: int
    problem: str

    def __init__(self, file: str, line: int, problem: str) -> None:
        says = f"{file}, line {line}: {problem}"
        super().__init__(says, file=file, line=line, problem=problem)


def say(line: str = "") -> None:
    """A line of the result, on standard output."""
    _write(sys.stdout, line)


def say_aside(line: str) -> None:
    """A line beside the result (progress, complaints), on standard error."""
    sys.stdout.flush()
    _write(sys.stderr, line)


def _write(stream: TextIO, line: str) -> None:
    """A line; signs that the terminal can't show are typed (``Bb`` for B♭)."""
    try:
        line.encode(stream.encoding or "utf-8")
    except UnicodeEncodeError:
        line = line.translate(_PLAINER)
    stream.write(f"{line}\n")


def count(number: int, what: str) -> str:
    """A number and its noun: ``1 part``, ``5 parts``."""
    return f"{number} {what}{'' if number == 1 else 's'}"
