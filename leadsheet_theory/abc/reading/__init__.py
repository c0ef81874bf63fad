"""Reading lead sheets out of ABC notation."""

from .read import AbcTune, parse_abc, read_abc

__all__ = (
    "AbcTune",
    "parse_abc",
    "read_abc",
)
