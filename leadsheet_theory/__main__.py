"""The command line: ``python -m leadsheet_theory``.

Exit codes: 0 all is well; 1 a chart or a symbol could not be read, or the
proofreader found something to mend; 2 the command was given wrongly; 130
interrupted.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from importlib.metadata import version
from typing import NoReturn

from .cli import chord, parts, proofread
from .cli._charts import UsageError

__all__ = ("main",)

_EXIT_CODES = """\
exit codes:
  0  all is well
  1  a chart or symbol could not be read, or there is something to mend
  2  the command was given wrongly
"""


def main(arguments: Sequence[str] | None = None, /) -> int:
    """Run the command line and give its exit code.

    Args:
        arguments: what follows the program's name; by default that of the
            process.

    >>> main(["chord", "Ebmaj7"])
    E♭maj7
      tones   E♭ G B♭ D
      degrees 1 3 5 7
    0
    """
    parser = argparse.ArgumentParser(
        prog="python -m leadsheet_theory",
        description="Turn a concert-pitch lead sheet into the parts of a band, "
        "explain chord symbols, proofread charts.",
        epilog=_EXIT_CODES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument(
        "--version",
        action="version",
        version=f"leadsheet-theory {version('leadsheet-theory')}",
    )
    commands = parser.add_subparsers(metavar="COMMAND", required=True)
    for module in (parts, chord, proofread):
        command = commands.add_parser(
            module.NAME,
            help=module.HELP,
            description=module.DESCRIPTION,
            epilog=_EXIT_CODES,
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        module.add_arguments(command)
        command.set_defaults(run=module.run, usage_error=command.error)
    options = parser.parse_args(arguments)
    run: Callable[[argparse.Namespace], int] = options.run
    try:
        return run(options)
    except UsageError as error:
        usage_error: Callable[[str], NoReturn] = options.usage_error
        usage_error(str(error))


def _console() -> int:
    """Run as a program: odd terminals, closed pipes and Ctrl-C end quietly."""
    for stream in (sys.stdout, sys.stderr):
        stream.reconfigure(errors="replace")  # type: ignore[union-attr]
    try:
        code = main()
        sys.stdout.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    except KeyboardInterrupt:
        sys.stderr.write("\nInterrupted.\n")
        return 130
    return code


if __name__ == "__main__":
    sys.exit(_console())
