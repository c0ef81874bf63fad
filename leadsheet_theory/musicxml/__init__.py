"""MusicXML 4.0: reading lead sheets and writing parts."""

from .changes import PartChanges, part_changes
from .reading.read import ReadResult, parse_lead_sheet, read_lead_sheet
from .writing.files import write_parts
from .writing.write import write_lead_sheet, write_part

__all__ = (
    "PartChanges",
    "ReadResult",
    "parse_lead_sheet",
    "part_changes",
    "read_lead_sheet",
    "write_lead_sheet",
    "write_part",
    "write_parts",
)
