"""The command line: ``python -m leadsheet_theory``, or ``leadsheet-theory``.

Exit codes: 0 all is well; 1 a chart or a symbol could not be read, or the
proofreader found something to mend; 2 the command was given wrongly; 130
interrupted.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from importlib import import_module
from typing import Final, NoReturn

from ._version import __version__
from .cli import COMMANDS
from .cli._say import UsageError

__all__ = ("console", "main")

_SCRIPT: Final = "leadsheet-theory"
_EXIT_CODES = """\
exit codes:
  0    all is well
  1    a chart or symbol could not be read, or there is something to mend
  2    the command was given wrongly
  130  interrupted (Ctrl-C)
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
        prog=_program(),
        description="Turn a concert-pitch lead sheet into the parts of a band, "
        "explain chord symbols, proofread charts.",
        epilog=_EXIT_CODES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    parser.add_argument("--version", action=_Version, nargs=0, help="say which it is")
    commands = parser.add_subparsers(
        metavar="COMMAND", required=True, parser_class=_Command
    )
    for name, does in COMMANDS.items():
        commands.add_parser(name, help=does, add_help=False, allow_abbrev=False)
    options = parser.parse_args(arguments)
    run: Callable[[argparse.Namespace], int] = options.run
    try:
        return run(options)
    except UsageError as error:
        usage_error: Callable[[str], NoReturn] = options.usage_error
        usage_error(str(error))


def _program() -> str:
    """What the program was called by."""
    script = os.path.basename(sys.argv[0]).startswith(_SCRIPT)  # noqa: PTH119
    return _SCRIPT if script else "python -m leadsheet_theory"


class _Command(argparse.ArgumentParser):
    """The parser of a command, whose module is loaded when the command is chosen."""

    def parse_known_args(self, args=None, namespace=None):  # type: ignore[no-untyped-def]
        """Load the command, then parse what follows it."""
        module = import_module(f".cli.{self.prog.split()[-1]}", __package__)
        self.description = module.DESCRIPTION
        self.epilog = _EXIT_CODES
        self.formatter_class = argparse.RawDescriptionHelpFormatter
        self.add_argument("-h", "--help", action="help", help="say all this, and end")
        module.add_arguments(self)
        self.usage = self._needed()
        self.set_defaults(run=module.run, usage_error=self.error)
        options, rest = super().parse_known_args(args, namespace)
        if rest:
            self.error(f"unrecognized arguments: {' '.join(rest)}")
        for action in self._actions:  # once more, without what stands by default
            action.default = argparse.SUPPRESS
        typed, _ = super().parse_known_args(args)
        options.typed = frozenset(vars(typed))
        return options, rest

    def _needed(self) -> str:
        """How the command is called: what it needs; the list below has the rest."""
        needed = [
            action
            for action in self._actions
            if action.required or not action.option_strings
        ]
        usage = self._get_formatter()
        usage.add_usage(None, needed, [], prefix="")
        return f"{usage.format_help().strip()} [options]".replace("%", "%%")


class _Version(argparse.Action):
    """Say the version, and end."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        parser.exit(message=f"leadsheet-theory {__version__}\n")


def console() -> int:
    """Run as a program: odd terminals, closed pipes and Ctrl-C end quietly."""
    _open_closed()
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
    except OSError as error:  # standard output takes no more
        sys.stderr.write(f"the result can't be written: {error.strerror}\n")
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    return code


def _open_closed() -> None:
    """Let what is said into closed streams go nowhere, and no file take their place."""
    while True:
        handle = os.open(os.devnull, os.O_RDWR)
        if handle > 2:
            os.close(handle)
            break
    if sys.stdout is None:
        sys.stdout = os.fdopen(1, "w")
    if sys.stderr is None:
        sys.stderr = os.fdopen(2, "w")


if __name__ == "__main__":
    sys.exit(console())
