"""What is told when parts are made again: which bars changed, which pages to print."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from .._printed import wrapped
from ..errors import MusicXMLReadError
from ..files import NamedBytes
from ..leadsheet.bar_numbers import bars_text
from ..musicxml.changes import PartChanges, part_changes

__all__ = ("change_lines",)


def change_lines(folder: Path, parts: Mapping[str, NamedBytes]) -> Iterator[str]:
    """What changes in the parts that lie in a folder from an earlier time, line by
    line.  Nothing where there is none.

    Args:
        folder: the folder.
        parts: the new files, MusicXML, by the names of the parts.
    """
    found: dict[PartChanges, list[str]] = {}
    for name, file in parts.items():
        path = folder / file.name
        if not path.is_file():
            continue
        try:
            changes = part_changes(path.read_bytes(), file.data)
        except MusicXMLReadError:  # no part of ours: it will be one now
            continue
        found.setdefault(changes, []).append(name)
    same = found.pop(PartChanges(), [])
    if same and not found:
        yield "  nothing changed since the last time: no page to print anew"
    for changes, names in found.items():
        who = "all parts" if len(names) == len(parts) > 1 else ", ".join(names)
        bars = "the layout"
        if changes.bars:
            bars = f"bar{'s' * (len(changes.bars) > 1)} {bars_text(changes.bars)}"
        pages = f"page{'s' * (len(changes.pages) > 1)} {bars_text(changes.pages)}"
        anew = f"print {pages} anew" if changes.pages else "no page to print anew"
        yield from wrapped(f"changed in {who}: {bars}; {anew}", "  ")
