"""From the bytes of a file to a tree of elements, safely.

A file may be plain XML (``.musicxml``, ``.xml``) in any usual encoding or the
compressed container (``.mxl``), a zip whose ``META-INF/container.xml`` names
the score.  Nothing outside the bytes is ever fetched, no entity is ever
expanded, and whatever is larger than a lead sheet can be is refused before
memory is spent on it.

Sources: MusicXML 4.0, "Compressed .MXL files"; XML 1.0 (fifth edition),
section 2.8 (document type declaration) and appendix F (encodings).
"""

from __future__ import annotations

import lzma
import struct
import zlib
from contextlib import suppress
from io import BytesIO
from typing import Final
from xml.etree import ElementTree as ET
from xml.parsers import expat
from zipfile import BadZipFile, ZipFile, ZipInfo

from ...errors import MusicXMLReadError
from ...leadsheet.findings import Finding

__all__ = (
    "MAX_FILE_BYTES",
    "MAX_MEASURES",
    "MAX_PARTS",
    "MAX_TAGS",
    "MAX_XML_BYTES",
    "load_score",
)

MAX_FILE_BYTES: Final = 16_000_000
"""The largest file read, in bytes (a lead sheet has 50 to 500 thousand)."""

MAX_XML_BYTES: Final = 24_000_000
"""The largest XML text read or unpacked, in bytes."""

MAX_TAGS: Final = 400_000
"""The most tags read: they, not the bytes, cost memory."""

MAX_PARTS: Final = 100
"""The most parts read."""

MAX_MEASURES: Final = 20_000
"""The most measures read, those of all parts together."""

_MAX_DIRECTORY_BYTES: Final = 500_000
_CONTAINER: Final = "META-INF/container.xml"
_SCORE_MEDIA: Final = frozenset(
    {
        "",
        "application/vnd.recordare.musicxml+xml",
        "application/vnd.recordare.musicxml",
        "application/xml",
        "text/xml",
    }
)
# encodings with more than a byte a character, which expat leaves to its caller
_WIDE: Final = frozenset(
    {
        "shift_jis", "shift-jis", "sjis", "euc-jp", "iso-2022-jp", "gb2312", "gbk",
        "gb18030", "big5", "euc-kr",
    }
)  # fmt: skip
# what expat says where the bytes are not in the encoding they claim
_ENCODING_ERRORS: Final = frozenset(
    expat.errors.codes[message]
    for message in (
        expat.errors.XML_ERROR_INVALID_TOKEN,
        expat.errors.XML_ERROR_UNKNOWN_ENCODING,
        expat.errors.XML_ERROR_INCORRECT_ENCODING,
    )
)


def load_score(data: bytes) -> tuple[ET.Element, list[Finding]]:
    """The root of a score, always ``score-partwise``, and remarks on the file.

    Raises:
        MusicXMLReadError: the bytes are no MusicXML score, or not a safe one.
    """
    remarks: list[Finding] = []
    if len(data) > MAX_FILE_BYTES:
        raise MusicXMLReadError(
            f"the file has {len(data):,} bytes: at most {MAX_FILE_BYTES:,} are read"
        )
    if data[:2] == b"PK":
        data = _unpack(data, remarks)
    root = _parse(data, remarks)
    if "}" in root.tag:
        _drop_namespaces(root)
        remarks.append(
            Finding(
                rule="encoding",
                severity="note",
                message="the elements stand in an XML namespace",
            )
        )
    if root.tag == "score-timewise":
        root = _partwise(root)
        remarks.append(
            Finding(
                rule="timewise",
                severity="note",
                message="the score is ordered by measure, not by part",
            )
        )
    if root.tag != "score-partwise":
        raise MusicXMLReadError(
            "not a MusicXML score: expected <score-partwise> or <score-timewise>"
            + (", found a list of scores" if root.tag == "opus" else ""),
            element=_shown(root.tag),
        )
    parts = root.findall("part")
    _check_size(len(parts), sum(map(len, parts)))
    return root, remarks


def _check_size(parts: int, measures: int) -> None:
    if parts > MAX_PARTS:
        raise MusicXMLReadError(f"{parts:,} parts: at most {MAX_PARTS} are read")
    if measures > MAX_MEASURES:
        raise MusicXMLReadError(
            f"{measures:,} measures in all parts: at most {MAX_MEASURES:,} are read"
        )


def _shown(text: str) -> str:
    """A tag or name fit for a message."""
    return "".join(c if c.isprintable() else "·" for c in text[:40])


# --- the container -------------------------------------------------------------


def _unpack(data: bytes, remarks: list[Finding]) -> bytes:
    """The XML text of the score inside a compressed file."""
    end = data.rfind(b"PK\5\6")
    if 0 <= end <= len(data) - 22:
        (directory,) = struct.unpack_from("<I", data, end + 12)
        if directory > _MAX_DIRECTORY_BYTES:
            raise MusicXMLReadError("the zip's directory is too large for a score")
    try:
        with ZipFile(BytesIO(data)) as container:
            name = _score_name(container, remarks)
            return _member(container, container.getinfo(name))
    except MusicXMLReadError:
        raise
    except (
        BadZipFile,
        EOFError,
        LookupError,
        NotImplementedError,
        OSError,
        OverflowError,
        RuntimeError,
        ValueError,
        lzma.LZMAError,
        struct.error,
        zlib.error,
    ) as error:
        raise MusicXMLReadError(f"a damaged zip file: {error}") from None


def _member(container: ZipFile, info: ZipInfo) -> bytes:
    """One file of the zip, never more of it than is allowed."""
    with container.open(info) as packed:
        data = packed.read(MAX_XML_BYTES + 1)
    if len(data) > MAX_XML_BYTES:
        raise MusicXMLReadError(
            f"{_shown(info.filename)!r} unpacks to more than {MAX_XML_BYTES:,} bytes"
        )
    return data


def _score_name(container: ZipFile, remarks: list[Finding]) -> str:
    """The name of the file that holds the score."""
    names = container.namelist()
    # a path is written with slashes, whatever wrote the zip
    by_lower = {name.replace("\\", "/").lower(): name for name in names}
    index = by_lower.get(_CONTAINER.lower())
    listed = [] if index is None else _listed_scores(container, index)
    for path in listed:
        found = path if path in names else by_lower.get(path.lower())
        if found is not None:
            _report_others(listed, path, remarks)
            return found
    scores = [
        name
        for path, name in by_lower.items()
        if path.endswith((".musicxml", ".xml"))
        and not path.startswith(("meta-inf/", "__macosx/"))
    ]
    if not scores:
        raise MusicXMLReadError(
            "a zip file without a score: expected META-INF/container.xml to name one"
        )
    remarks.append(
        Finding(
            rule="container",
            severity="note",
            message="the zip names no score that is in it; "
            f"{_shown(scores[0])!r} is read",
        )
    )
    _report_others(scores, scores[0], remarks)
    return scores[0]


def _listed_scores(container: ZipFile, index: str) -> list[str]:
    """The paths of the scores that the container's list names."""
    try:
        listing = _parse(_member(container, container.getinfo(index)), [])
    except MusicXMLReadError:
        # some programs write file names into it unescaped
        return []
    return [
        element.get("full-path", "").replace("\\", "/").lstrip("/")
        for element in listing.iter()
        if element.tag.rpartition("}")[2] == "rootfile"
        and element.get("media-type", "").strip().lower() in _SCORE_MEDIA
    ]


def _report_others(paths: list[str], read: str, remarks: list[Finding]) -> None:
    others = [_shown(path) for path in paths if path != read]
    if others:
        remarks.append(
            Finding(
                rule="container",
                severity="warning",
                message=f"the zip also holds {', '.join(others)}: not read",
            )
        )


# --- the text ------------------------------------------------------------------


def _parse(data: bytes, remarks: list[Finding]) -> ET.Element:
    """The root element of an XML text in whatever encoding."""
    if len(data) > MAX_XML_BYTES:
        raise MusicXMLReadError(f"more than {MAX_XML_BYTES:,} bytes of XML")
    if not data or data.isspace():
        raise MusicXMLReadError("nothing to read: the file is empty")
    text = _decode_wide(data)
    if text is not None:
        try:
            return _tree(text.encode("utf-8", "replace"), "utf-8")
        except ET.ParseError as error:
            raise _broken(error) from None
    try:
        return _tree(data, None)
    except ET.ParseError as error:
        broken = _broken(error)
        if error.code not in _ENCODING_ERRORS:
            raise broken from None
    except (LookupError, ValueError) as error:
        if isinstance(error, MusicXMLReadError):
            raise
        broken = MusicXMLReadError("the XML text is in no known encoding")
    root = _in_another_encoding(data, remarks)
    if root is None:
        raise broken
    return root


def _in_another_encoding(data: bytes, remarks: list[Finding]) -> ET.Element | None:
    """The root element of a text that is not in the encoding it claims.

    Raises:
        MusicXMLReadError: in some encoding it is well written, but broken further on.
    """
    broken: MusicXMLReadError | None = None
    for encoding in (*_declared_wide(data), "utf-8", "cp1252"):
        try:
            root = _tree(data.decode(encoding).encode(), "utf-8")
        except ET.ParseError as error:
            broken = _broken(error)
            continue
        except MusicXMLReadError:
            raise
        except ValueError:
            continue
        remarks.append(
            Finding(
                rule="encoding",
                severity="warning",
                message="the file is not in the encoding it declares; "
                f"read as {encoding}",
                advice="look at lyrics and names",
            )
        )
        return root
    if broken is not None:
        raise broken
    return None


def _tree(data: bytes, encoding: str | None) -> ET.Element:
    """The parsed text; `encoding` overrides the one it declares."""
    if len(data) > MAX_TAGS and data.count(b"<") > MAX_TAGS:
        raise MusicXMLReadError(f"more than {MAX_TAGS:,} tags of XML")
    # declarations stand in the brackets of a document type
    if b"[" in data and (b"<!ENTITY" in data or b"<!ATTLIST" in data):
        _refuse_declarations(data, encoding)
    return ET.fromstring(data, ET.XMLParser(encoding=encoding))


def _broken(error: ET.ParseError) -> MusicXMLReadError:
    line, column = error.position
    what = str(error).partition(":")[0]
    return MusicXMLReadError(f"broken XML: {what}", line=line, column=column + 1)


def _decode_wide(data: bytes) -> str | None:
    """UTF-16 and UTF-32 as text, recognised by their first bytes; else None."""
    head = data[:4]
    if head in (b"\xff\xfe\0\0", b"\0\0\xfe\xff"):
        encoding = "utf-32"
    elif head[:2] in (b"\xff\xfe", b"\xfe\xff"):
        encoding = "utf-16"
    elif head[:2] == b"<\0":
        encoding = "utf-16-le"
    elif head[:2] == b"\0<":
        encoding = "utf-16-be"
    else:
        return None
    try:
        return data.decode(encoding)
    except ValueError:
        raise MusicXMLReadError(f"broken XML: not readable as {encoding}") from None


def _declared_wide(data: bytes) -> tuple[str, ...]:
    """The encoding an XML declaration names, where it is one that expat lacks."""
    head = data[:200].partition(b"?>")[0]
    _, _, rest = head.partition(b"encoding")
    name = rest.strip(b" \t\r\n=")[1:40].decode("ascii", "replace")
    name = name.partition('"')[0].partition("'")[0].lower()
    return (name,) if name in _WIDE else ()


def _refuse_declarations(data: bytes, encoding: str | None) -> None:
    """Raise if the text declares an entity or attributes that its elements are to have
    by default: a few of either fill any memory.  (The words may also stand in a
    comment.)"""
    reader = expat.ParserCreate(encoding)

    def refuse(what: str, name: str) -> None:
        raise MusicXMLReadError(
            f"the file declares {what} {_shown(name)!r}: "
            "no score needs one, and none is read",
            line=reader.CurrentLineNumber,
            column=reader.CurrentColumnNumber + 1,
        )

    reader.EntityDeclHandler = lambda name, *_: refuse("the entity", name)
    reader.AttlistDeclHandler = lambda _, name, *__: refuse("the attribute", name)
    # text that is broken before any declaration is refused by the parse that follows
    with suppress(expat.ExpatError):
        reader.Parse(data, True)


def _drop_namespaces(root: ET.Element) -> None:
    for element in root.iter():
        element.tag = element.tag.rpartition("}")[2]


def _partwise(timewise: ET.Element) -> ET.Element:
    """A score ordered by measure, ordered by part instead."""
    root = ET.Element("score-partwise", timewise.attrib)
    root.extend(child for child in timewise if child.tag != "measure")
    columns = [
        {part.get("id", ""): part for part in measure.findall("part")}
        for measure in timewise.findall("measure")
    ]
    names = {name: None for column in columns for name in column}
    _check_size(len(names), len(names) * len(columns))
    for name in names:
        line = ET.SubElement(root, "part", {"id": name})
        for measure, column in zip(timewise.findall("measure"), columns, strict=True):
            bar = ET.SubElement(line, "measure", measure.attrib)
            if name in column:
                bar.extend(column[name])
    return root
