"""What the command line says, and how it says that it was called wrongly."""

from __future__ import annotations

import sys

__all__ = ("UsageError", "count", "say", "say_aside")


class UsageError(Exception):
    """The command was given wrongly."""


def say(line: str = "") -> None:
    """A line of the result, on standard output."""
    sys.stdout.write(f"{line}\n")


def say_aside(line: str) -> None:
    """A line beside the result (progress, complaints), on standard error."""
    sys.stdout.flush()
    sys.stderr.write(f"{line}\n")


def count(number: int, what: str) -> str:
    """A number and its noun: ``1 part``, ``5 parts``."""
    return f"{number} {what}{'' if number == 1 else 's'}"
