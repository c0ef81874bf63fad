"""ABC notation, version 2.1: reading tunes typed as text, and writing them."""

from .reading.read import AbcTune, parse_abc, read_abc
from .writing.write import AbcText, write_abc

__all__ = (
    "AbcText",
    "AbcTune",
    "parse_abc",
    "read_abc",
    "write_abc",
)
