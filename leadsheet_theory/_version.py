"""Which release this is."""

from typing import Final

__all__ = ("__version__",)

__version__: Final = "0.2.0"
"""The version, as in the project's own file and the changelog."""
