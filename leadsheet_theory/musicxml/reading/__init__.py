"""Reading lead sheets out of MusicXML."""

from .read import ReadResult, parse_lead_sheet, read_lead_sheet

__all__ = (
    "ReadResult",
    "parse_lead_sheet",
    "read_lead_sheet",
)
