"""How values print: in a line, short, and with widths where they are formatted."""

from __future__ import annotations

from collections.abc import Iterator
from importlib import import_module
from textwrap import wrap
from typing import Final

__all__ = (
    "Drawn",
    "Parsed",
    "Printed",
    "Shown",
    "Told",
    "count",
    "symbol_text",
    "wrapped",
)

_WIDTH: Final = 88
_NOTEBOOK: Final = "leadsheet_theory.notebook"


class Shown:
    """A value that a notebook shows, by the names that notebooks go by.

    How it is shown stands in the room ``notebook``, which is loaded when a notebook
    asks: no value needs it otherwise.
    """

    __slots__ = ()

    def _repr_html_(self) -> str | None:
        html: str | None = import_module(_NOTEBOOK).html_of(self)
        return html


class Drawn(Shown):
    """A value that a notebook shows as drawn music, where it can."""

    __slots__ = ()

    def _repr_svg_(self) -> str | None:
        svg: str | None = import_module(_NOTEBOOK).svg_of(self)
        return svg


class Printed:
    """A value that prints as a text, and takes the widths of a text in a format."""

    __slots__ = ()

    def __format__(self, spec: str, /) -> str:
        return format(str(self), spec)


class Parsed(Printed):
    """A value that its class reads from a text: its repr is that reading."""

    __slots__ = ()

    def __repr__(self) -> str:
        text = getattr(self, "glyphs", None) or str(self)
        return f"{type(self).__name__}.parse({text!r})"


class Told(Printed):
    """A value too wide to show whole: its repr is its kind and its text."""

    __slots__ = ()

    def __repr__(self) -> str:
        return f"<{type(self).__name__}: {self}>"


def count(number: int, what: str, /) -> str:
    """A number and its noun: ``1 part``, ``5 parts``."""
    return f"{number} {what}{'' if number == 1 else 's'}"


def symbol_text(symbol: object, /) -> str:
    """A chord symbol as it is printed: ``B♭maj7`` for Bbmaj7."""
    return str(symbol).replace("b", "♭").replace("#", "♯")


def wrapped(text: str, indent: str, /, *, width: int = _WIDTH) -> Iterator[str]:
    """The lines of a text, broken to fit; all but the first are set in.

    >>> for line in wrapped("note: bar 12, beat 3: respell it", "  ", width=24):
    ...     print(line)
      note: bar 12, beat 3:
        respell it
    """
    for line in text.splitlines():
        yield from wrap(
            line,
            width,
            initial_indent=indent,
            subsequent_indent=f"{indent}  ",
            break_on_hyphens=False,
        )
