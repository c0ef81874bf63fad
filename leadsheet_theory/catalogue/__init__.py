"""Catalogues: from the bytes of a chart to the files of its parts, and a report."""

from .charts import Chart, read_charts
from .making import MadeParts, made_parts, part_file_ends, parts_of
from .report import chart_record, options_hash

__all__ = (
    "Chart",
    "MadeParts",
    "chart_record",
    "made_parts",
    "options_hash",
    "part_file_ends",
    "parts_of",
    "read_charts",
)
