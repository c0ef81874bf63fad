"""Writing lead sheets and parts as MusicXML."""

from .files import write_parts
from .write import write_lead_sheet, write_part

__all__ = (
    "write_lead_sheet",
    "write_part",
    "write_parts",
)
