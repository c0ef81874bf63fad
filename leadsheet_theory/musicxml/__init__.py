"""MusicXML 4.0: reading lead sheets and writing parts."""

from .read import ReadResult, parse_lead_sheet, read_lead_sheet
from .write import write_lead_sheet, write_part

__all__ = (
    "ReadResult",
    "parse_lead_sheet",
    "read_lead_sheet",
    "write_lead_sheet",
    "write_part",
)
