"""What the command line says, and how it says that it was called wrongly."""

from __future__ import annotations

import sys
from shutil import get_terminal_size
from typing import Final, TextIO

from .._printed import count, wrapped

__all__ = ("Progress", "UsageError", "count", "say", "say_aside")


_PLAINER: Final = str.maketrans(
    {"♭": "b", "♯": "#", "♮": "", "𝄫": "bb", "𝄪": "##", "–": "-", "—": "-", "…": "...",
     "½": " 1/2", "⅓": " 1/3", "⅔": " 2/3", "¼": " 1/4", "¾": " 3/4", "△": "maj",
     "Δ": "maj", "ø": "m7b5", "°": "dim", "‘": "'", "’": "'", "“": '"', "”": '"'}
)  # fmt: skip


_NARROWEST: Final = 24


class UsageError(Exception):
    """The command was given wrongly."""


def say(line: str = "") -> None:
    """A line of the result, on standard output; broken to fit a narrow terminal."""
    if sys.stdout.isatty():
        width = max(get_terminal_size().columns, _NARROWEST)
        if len(line) > width:
            indent = line[: len(line) - len(line.lstrip())]
            for piece in wrapped(line, indent, width=width):
                _write(sys.stdout, piece)
            return
    _write(sys.stdout, line)


def say_aside(line: str) -> None:
    """A line beside the result (progress, complaints), on standard error."""
    sys.stdout.flush()
    _write(sys.stderr, line)


def _write(stream: TextIO, line: str) -> None:
    stream.write(f"{_fitting(line, stream)}\n")


def _fitting(line: str, stream: TextIO) -> str:
    """A line; signs that the terminal can't show are typed (``Bb`` for B♭)."""
    try:
        line.encode(stream.encoding or "utf-8")
    except UnicodeEncodeError:
        return line.translate(_PLAINER)
    return line


class Progress:
    """How far the work on many charts has come, a line a chart on a terminal; nothing
    where there is no terminal, or one chart alone."""

    def __init__(self, of: int, /, *, quiet: bool) -> None:
        self.of = of
        self.number = 0
        self.shown = not quiet and of > 1 and sys.stderr.isatty()

    def at(self, name: str, /) -> None:
        """Say that the next chart has its turn."""
        self.number += 1
        if self.shown:
            line = f"[{self.number}/{self.of}] {name}"
            say_aside(line[: max(get_terminal_size().columns - 1, 12)])
