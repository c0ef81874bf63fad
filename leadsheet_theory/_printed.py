"""How values print: in a line, short, and with widths where they are formatted."""

from __future__ import annotations

__all__ = ("Parsed", "Printed", "Told", "count")


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
