"""The parts of a tune as files in a folder."""

from __future__ import annotations

import re
from collections.abc import Iterable
from os import PathLike
from pathlib import Path
from typing import Final

from ..._doors import door
from ...chords.styles import PLAIN_LETTERS, PrintStyle
from ...files import safe_name, same_name, write_files
from ...parts.model import Part
from .write import write_part

__all__ = ("is_written_part", "part_endings", "write_parts")

_OTHER_FILES: Final = ("all parts", "report")
"""What other files made from a chart are called."""


@door
def write_parts(
    parts: Iterable[Part],
    folder: str | PathLike[str],
    /,
    *,
    name: str = "",
    style: PrintStyle = PLAIN_LETTERS,
) -> tuple[Path, ...]:
    """Write each part as a MusicXML file into a folder, and give the files' paths.

    The folder is made where it is missing; a file of the same name is replaced.

    Args:
        parts: the parts.
        folder: where to.
        name: what the files' names begin with; by default the tune's title.
        style: how chord symbols are printed, as in :func:`.write_part`.

    Raises:
        MusicXMLWriteError: if something cannot be held; then no file is written.
        OSError: if a file cannot be written.

    >>> from tempfile import TemporaryDirectory
    >>> from leadsheet_theory import make_parts, read_lead_sheet
    >>> sheet = read_lead_sheet("shared/charts/rope_walk.musicxml").sheet
    >>> with TemporaryDirectory() as folder:
    ...     for path in write_parts(make_parts(sheet, books=["Bb", "F"]), folder):
    ...         print(path.name)
    Rope Walk - Bb.musicxml
    Rope Walk - F.musicxml
    """
    made = tuple(parts)
    begin = name or (made[0].source.title if made else "")
    names = [
        safe_name(begin, ending=f"{ending}.musicxml")
        for ending in part_endings(part.name for part in made)
    ]
    written = [write_part(part, style=style) for part in made]
    write_files(folder, dict(zip(names, written, strict=True)))
    return tuple(Path(folder) / file for file in names)


def part_endings(names: Iterable[str], /) -> tuple[str, ...]:
    """How the names of the files of parts end, without what tells their kind: each
    another, also where two parts have one name.

    >>> part_endings(["B♭", "Tenor Sax", "tenor sax"])
    (' - Bb', ' - Tenor Sax', ' - tenor sax (2)')
    """
    endings: list[str] = []
    used = {same_name(f" - {name}") for name in _OTHER_FILES}
    for name in names:
        plain = name.replace("♭", "b").replace("♯", "#")
        ending = f" - {safe_name(plain)}"
        number = 1
        while same_name(each := _numbered(ending, number)) in used:
            number += 1
        used.add(same_name(each))
        endings.append(each)
    return tuple(endings)


def _numbered(ending: str, number: int) -> str:
    return ending if number == 1 else f"{ending} ({number})"


_OURS: Final = re.compile(
    rb"<software>leadsheet_theory</software>.*?<part-list>\s*<score-part [^>]*>"
    rb'<part-name print-object="no"',
    re.DOTALL,
)


def is_written_part(file: bytes, /) -> bool:
    """Whether a file, or its beginning, is a part that :func:`.write_part` wrote.

    >>> is_written_part(b"<score-partwise><part-list/></score-partwise>")
    False
    """
    return _OURS.search(file) is not None
