"""From a file to its tunes, line by line.

Source: The abc music standard 2.1, sections 2.1 (file structure), 2.2 (file header,
tunes, free text, empty lines, comments) and 8 (character set).
"""

from __future__ import annotations

import codecs
import re
from collections.abc import Iterator
from typing import Final

from attrs import frozen

from ...errors import AbcReadError
from ...leadsheet.findings import Finding

__all__ = ("MAX_FILE_BYTES", "AbcFile", "Line", "decoded", "split_file")

MAX_FILE_BYTES: Final = 32_000_000
"""The largest file read, in bytes."""

_CHARSET: Final = re.compile(rb"(?:I:|%%) *abc-charset +([\w.-]+)", re.ASCII)
_CHARSETS: Final = frozenset(
    {"utf-8", "us-ascii", *(f"iso-8859-{number}" for number in range(1, 11))}
)
_VERSION: Final = re.compile(r"%abc-(\d{1,3})\.(\d{1,3})")
_LINE_END: Final = re.compile(r"\r\n|\r|\n")
_FIELD: Final = re.compile(r"[A-Za-z+]:")
_X: Final = re.compile(r"X *:")
_COMMENT: Final = re.compile(r"(?<!\\)%")


@frozen(order=False)
class Line:
    """A line without its comment, and its number in the file, from 1."""

    number: int
    text: str


@frozen(order=False)
class AbcFile:
    """A file taken apart: the lines of its header and of each tune.

    `strict` says that the file claims version 2.1 or later; `header_findings` are
    about the file as a whole, `early` are those about how its tunes begin.
    """

    strict: bool
    header: tuple[Line, ...]
    tunes: tuple[tuple[Line, ...], ...]
    findings: tuple[tuple[Finding, ...], ...]


def decoded(data: bytes) -> tuple[str, tuple[Finding, ...]]:
    """The text of a file's bytes: UTF-8, the character set that it names, else
    Latin-1, with a finding where that was a guess."""
    data = data.removeprefix(codecs.BOM_UTF8)
    named = _CHARSET.search(data[:4000])
    if named is not None:
        name = named[1].decode("ascii").lower()
        if name in _CHARSETS and name != "utf-8":
            return data.decode(name, "replace"), ()
    try:
        return data.decode("utf-8"), ()
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        guess = Finding(
            rule="charset",
            severity="warning",
            message="the text is not UTF-8; it is read as Latin-1",
            line=line,
            advice="save it as UTF-8",
        )
        return data.decode("latin-1"), (guess,)


def split_file(text: str) -> AbcFile:
    """The header and the tunes of a text.

    Raises:
        AbcReadError: there is no tune in it.
    """
    text = text.removeprefix("\ufeff")
    if not text.strip():
        raise AbcReadError("an empty text: expected a tune, beginning with X:1")
    raw = _LINE_END.split(text)
    version = _VERSION.match(raw[0])
    strict = bool(version) and (int(version[1]), int(version[2])) >= (2, 1)  # type: ignore[index]
    blocks = list(_blocks(raw))
    header: tuple[Line, ...] = ()
    if blocks and not _has_x(blocks[0]) and _is_header(blocks[0]):
        header = tuple(blocks.pop(0))
    tunes: list[tuple[Line, ...]] = []
    findings: list[tuple[Finding, ...]] = []
    for block in blocks:
        for tune, found in _tunes_of(block):
            tunes.append(tune)
            findings.append(found)
    if not tunes:
        lone = _lone_tune([header, *map(tuple, blocks)])
        if lone is None:
            raise AbcReadError(
                "no tune in the text: expected a line such as X:1 before each tune"
            )
        header = ()
        tunes.append(lone)
        findings.append(
            (
                Finding(
                    rule="missing-x",
                    severity="error" if strict else "warning",
                    message="a tune without X: is read all the same",
                    line=lone[0].number,
                    column=1,
                    advice="begin it with a line X:1",
                ),
            )
        )
    return AbcFile(strict, header, tuple(tunes), tuple(findings))


def _blocks(raw: list[str]) -> Iterator[list[Line]]:
    """What stands between empty lines, comments taken off."""
    block: list[Line] = []
    for number, text in enumerate(raw, 1):
        if not text or text.isspace():
            if block:
                yield block
                block = []
            continue
        if "%" in text:
            if text.startswith("%"):
                if not text.startswith("%%"):
                    text = ""
            else:
                comment = _COMMENT.search(text)
                if comment is not None:
                    text = text[: comment.start()]
        text = text.rstrip()
        block.append(Line(number, text))
    if block:
        yield block


def _has_x(block: list[Line]) -> bool:
    return any(_X.match(line.text) for line in block)


def _is_header(block: list[Line]) -> bool:
    """Whether a block without X: holds nothing but fields and directives."""
    return all(
        not line.text or line.text.startswith("%%") or _FIELD.match(line.text)
        for line in block
    ) and not any(line.text.startswith("K:") for line in block)


def _tunes_of(
    block: list[Line],
) -> Iterator[tuple[tuple[Line, ...], tuple[Finding, ...]]]:
    """The tunes of a block: one, unless an empty line is missing between two."""
    starts = [at for at, line in enumerate(block) if _X.match(line.text)]
    for place, start in enumerate(starts):
        end = starts[place + 1] if place + 1 < len(starts) else len(block)
        line = block[start]
        found: tuple[Finding, ...] = ()
        if place:
            found = (
                Finding(
                    rule="second-x",
                    severity="error",
                    message="a second X: begins a new tune",
                    line=line.number,
                    column=1,
                    advice="put an empty line before it",
                ),
            )
        last = block[end - 1]
        if last.text.endswith("\\"):
            found += (
                Finding(
                    rule="continuation-before-empty-line",
                    severity="warning",
                    message="a line is to go on, but the tune ends with an empty line",
                    line=last.number,
                    column=len(last.text),
                ),
            )
        yield tuple(block[start:end]), found


def _lone_tune(blocks: list[tuple[Line, ...]]) -> tuple[Line, ...] | None:
    """The first block that has a key, in a text without any X:."""
    for block in blocks:
        at = next((n for n, each in enumerate(block) if each.text[:2] == "K:"), None)
        if at is not None:
            first = next(n for n, each in enumerate(block) if each.text)
            return block[first:]
    return None
