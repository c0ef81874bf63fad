"""Names of a room that are loaded when first used, so that nothing starts up that
isn't needed (PEP 562)."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from importlib import import_module

__all__ = ("loaded_when_used",)


def loaded_when_used(
    room: str, homes: Mapping[str, str], /
) -> tuple[Callable[[str], object], Callable[[], list[str]]]:
    """The ``__getattr__`` and ``__dir__`` of a room.

    Args:
        room: the dotted name of the package.
        homes: for each module of the room the names that it gives, parted by blanks;
            at ``""`` the modules that are given themselves.
    """
    home_of = {name: home for home, names in homes.items() for name in names.split()}

    def given(name: str) -> object:
        home = home_of.get(name)
        if home is None:
            raise AttributeError(f"module {room!r} has no attribute {name!r}")
        module = import_module(f"{room}.{home or name}")
        value = getattr(module, name) if home else module
        setattr(sys.modules[room], name, value)
        return value

    def listed() -> list[str]:
        return sorted({*vars(sys.modules[room]), *home_of})

    return given, listed
