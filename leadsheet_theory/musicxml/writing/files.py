"""The parts of a tune as files in a folder."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from os import PathLike
from pathlib import Path
from typing import Final

from ..._doors import door
from ...chords.styles import PLAIN_LETTERS, PrintStyle
from ...parts.model import Part
from .write import write_part

__all__ = ("part_file_name", "write_files", "write_parts")

# what some system keeps out of file names
_UNSAFE: Final = re.compile(r'[\x00-\x1f<>:"/\\|?*]+')


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
    files = {
        f"{part_file_name(name or part.source.title, part)}.musicxml": write_part(
            part, style=style
        )
        for part in parts
    }
    write_files(Path(folder), files)
    return tuple(Path(folder) / file for file in files)


def part_file_name(tune: str, part: Part, /) -> str:
    """What the files of a part are called, without what tells their kind.

    Signs that file names can't have on some systems become hyphens.
    """
    book = part.name.replace("♭", "b").replace("♯", "#")
    return _UNSAFE.sub("-", f"{tune or 'untitled'} - {book}")


def write_files(folder: Path, files: Mapping[str, bytes], /) -> None:
    """Write files into a folder, each of them whole or not at all."""
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        unfinished = path.with_name(f"{path.name}.part")
        try:
            unfinished.write_bytes(content)
            unfinished.replace(path)
        finally:
            unfinished.unlink(missing_ok=True)
