"""Writing lead sheets as ABC notation."""

from .write import AbcText, write_abc

__all__ = (
    "AbcText",
    "write_abc",
)
