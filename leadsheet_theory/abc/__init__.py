"""ABC notation, version 2.1: reading tunes typed as text."""

from .reading.read import AbcTune, parse_abc, read_abc

__all__ = (
    "AbcTune",
    "parse_abc",
    "read_abc",
)
