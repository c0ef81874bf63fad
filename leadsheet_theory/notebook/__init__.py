"""Notebooks: how values show themselves, and tables."""

from .show import html_of, svg_of
from .tables import Table, finding_table, grid_of_bars, transposition_table

__all__ = (
    "Table",
    "finding_table",
    "grid_of_bars",
    "html_of",
    "svg_of",
    "transposition_table",
)
