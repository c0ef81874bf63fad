"""Files that are never lost: names that every system takes and no two files share,
and files that appear whole.

What a name can't have is the same on all systems, so that a folder can be carried from
one to another.  Source of the signs and of the names of devices: Microsoft, "Naming
Files, Paths, and Namespaces" (Windows App Development).  That names differing in case
alone, or in how an accent is encoded, are one file on some disks is common knowledge of
those systems (from memory).
"""

from __future__ import annotations

import os
import re
from collections.abc import Collection, Iterable, Mapping
from contextlib import suppress
from errno import EISDIR
from hashlib import sha256
from itertools import count
from pathlib import Path
from typing import Final
from unicodedata import normalize

from attrs import frozen

__all__ = (
    "LONGEST_NAME",
    "Ends",
    "NamedBytes",
    "Wish",
    "plan_names",
    "safe_name",
    "same_name",
    "write_files",
)

LONGEST_NAME: Final = 240
"""The most bytes of UTF-8 in a file's name: the usual limit is 255, less what the name
of a file that is not whole yet has besides."""

_UNSAFE: Final = re.compile(r'[\x00-\x1f\x7f<>:"/\\|?*\ud800-\udfff]+')
_DEVICE: Final = re.compile(
    r"(?:con|prn|aux|nul|conin\$|conout\$|(?:com|lpt)[0-9¹²³])(?= *(?:\.|$))",
    re.IGNORECASE,
)


@frozen(order=False)
class NamedBytes:
    """A file that is not written yet: its name, with slashes between folders, and what
    stands in it.

    >>> NamedBytes("musicxml/Slack Water - C.musicxml", b"<score-partwise/>").sha256[:8]
    '19360256'
    """

    name: str
    data: bytes

    def __repr__(self) -> str:
        return f"<NamedBytes: {self.name!r}, {len(self.data):,} bytes>"

    @property
    def sha256(self) -> str:
        """The hash of what stands in it, in hexadecimal (FIPS 180-4)."""
        return sha256(self.data).hexdigest()


# ── Names ────────────────────────────────────────────────────────────────────────


def safe_name(name: str, /, *, ending: str = "") -> str:
    """A name for a file that every system takes, as near to the wished one as can be.

    Signs that some system forbids become hyphens, names of devices get a hyphen, and
    what is too long is cut before the ending.

    Args:
        name: the wished name, no path.
        ending: what is to stand at its end, whatever must be cut.

    >>> safe_name("Ebb/Flow: what?", ending=" - Bb.pdf")
    'Ebb-Flow- what- - Bb.pdf'
    >>> safe_name("AUX", ending=".pdf")
    'AUX-.pdf'
    """
    end = _UNSAFE.sub("-", normalize("NFC", ending))
    plain = _UNSAFE.sub("-", normalize("NFC", name)).lstrip()
    room = LONGEST_NAME - len(end.encode())
    if len(plain.encode()) > room:
        plain = plain.encode()[: max(room, 1)].decode(errors="ignore")
    if not end:
        plain = plain.rstrip(" .")
    whole = f"{plain or 'untitled'}{end}"
    device = _DEVICE.match(whole)
    return f"{device[0]}-{whole[device.end() :]}" if device else whole


def same_name(name: str, /) -> str:
    """What two names have in common that may be one file on some system.

    >>> same_name("Ébb.PDF") == same_name("e\\u0301bb.pdf")
    True
    """
    return normalize("NFC", normalize("NFC", name).casefold())


Ends = tuple[tuple[str, str], ...]
"""The ends of the names of files, each after the folder that the file lies in."""


@frozen(order=False)
class Wish:
    """How the files made from a chart are to be called: how all of their names begin,
    and the names' ends, each beginning with a blank or a full stop, after the folder
    (with its slash) that the file lies in.

    >>> Wish("Slack Water", (("", " - C.pdf"), ("musicxml/", " - C.musicxml"))).names()
    ('Slack Water - C.pdf', 'musicxml/Slack Water - C.musicxml')
    """

    beginning: str
    ends: Ends

    def names(self, beginning: str = "") -> tuple[str, ...]:
        """The names of all files, with another beginning if one is given."""
        begin = beginning or self.beginning
        return tuple(f"{folder}{begin}{end}" for folder, end in self.ends)


def plan_names(
    wishes: Iterable[Wish], /, *, kept: Collection[str] = ()
) -> tuple[str, ...]:
    """How the names of each chart's files begin, so that no file replaces another.

    A beginning that would give a name twice (without regard to case), or that of a file
    to be kept, is numbered; the first to wish a name has it.

    Args:
        wishes: how the files of each chart are to be called.
        kept: names, with their folder, of files that must stay.

    >>> ends = (("", " - C.pdf"),)
    >>> plan_names([Wish("tune", ends), Wish("Tune", ends), Wish("tune (2)", ends)])
    ('tune', 'Tune (2)', 'tune (2) (2)')
    """
    stays = {same_name(name) for name in kept}
    given: dict[str, Ends] = {}
    latest: dict[str, int] = {}

    def planned(wish: Wish) -> str:
        wished = same_name(wish.beginning)
        longest = max((end for _, end in wish.ends), key=_length, default="")
        for number in count(latest.get(wished, 1)):
            beginning = _beginning(wish.beginning, number, longest)
            key = same_name(beginning)
            names = map(same_name, wish.names(beginning))
            if stays.isdisjoint(names) and _are_free(key, wish.ends, given):
                break
        latest[wished] = number
        given[key] = given.get(key, ()) + wish.ends
        return beginning

    return tuple(planned(wish) for wish in wishes)


def _length(text: str) -> int:
    return len(text.encode(errors="replace"))


def _beginning(wished: str, number: int, ending: str) -> str:
    """How names begin, with a number from the second on, cut so that the ending has
    room."""
    tail = ending if number == 1 else f" ({number}){ending}"
    return safe_name(wished, ending=tail).removesuffix(
        _UNSAFE.sub("-", normalize("NFC", ending))
    )


def _are_free(beginning: str, ends: Ends, given: Mapping[str, Ends]) -> bool:
    """Whether none of the names is among those given."""
    for folder, end in ends:
        name = f"{beginning}{same_name(end)}"
        # the beginning of whoever has that name ends where an end can begin
        for cut in [at for at, sign in enumerate(name) if sign in " ."]:
            for other_folder, other in given.get(name[:cut], ()):
                if other_folder == folder and same_name(other) == name[cut:]:
                    return False
    return True


# ── Writing ──────────────────────────────────────────────────────────────────────


def write_files(folder: str | os.PathLike[str], files: Mapping[str, bytes], /) -> None:
    """Write files into a folder, all of them or none, each of them whole.

    They are written under names of their own and brought safely to the disk, then
    renamed.  If that fails, or is stopped before the renaming, what stood there before
    still does.

    Args:
        folder: where to; it is made where it is missing.
        files: what stands in each, by its name, with slashes between folders.

    Raises:
        OSError: if a file can't be written.
    """
    begun: list[tuple[Path, Path]] = []
    try:
        for name, content in files.items():
            path = Path(folder) / name
            if path.is_dir():
                raise IsADirectoryError(EISDIR, os.strerror(EISDIR), str(path))
            path.parent.mkdir(parents=True, exist_ok=True)
            begun.append((path.with_name(f".{path.name}.unfinished"), path))
            begun[-1][0].write_bytes(content)
        for unfinished, _ in begun:
            _bring_to_disk(unfinished)
        _rename(begun)
    finally:
        for unfinished, _ in begun:
            with suppress(OSError):
                unfinished.unlink(missing_ok=True)
    for parent in {path.parent for _, path in begun}:
        _bring_names_to_disk(parent)


def _rename(files: Iterable[tuple[Path, Path]]) -> None:
    """Give files their names; who interrupts waits until all have them."""
    interrupted: KeyboardInterrupt | None = None
    for unfinished, path in files:
        while True:
            try:
                unfinished.replace(path)
                break
            except KeyboardInterrupt as stop:
                interrupted = stop
                if not unfinished.exists():
                    break
    if interrupted is not None:
        raise interrupted


def _bring_to_disk(path: Path) -> None:
    handle = os.open(path, os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _bring_names_to_disk(folder: Path) -> None:
    with suppress(OSError):  # some systems have no such thing as opening a folder
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
