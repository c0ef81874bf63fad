"""What became of a chart as a line of JSON: to keep, to search, to go on from.

A line is an object with ``chart`` (what its file is called), ``input`` and ``options``
(hashes of the file's bytes, and of all that decides what is made of it), ``failed``
(null, or the code of the error and what it says) and ``tunes``, one for each tune: its
``title``, ``stem`` (how its files' names begin), the ``findings`` of reading, the
``questions`` of proofreading, what ``drawing`` remarks, the report of each of its
``parts`` (key, range, octave, respellings) and the hash of each of its ``files``.
Values stand as :mod:`leadsheet_theory.data.plain` writes them.  Hashes are SHA-256
(FIPS 180-4), in hexadecimal.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from hashlib import sha256
from importlib.metadata import PackageNotFoundError, version
from typing import Final

from attrs import AttrsInstance

from .._doors import door
from .._version import __version__
from ..data.plain import Json, to_data
from ..decisions.model import Decisions
from ..files import NamedBytes
from ..leadsheet.findings import Finding
from ..parts.model import Part

__all__ = ("chart_record", "hash_of", "options_hash", "tune_record")

_DRAWING: Final = ("verovio", "typst")


def hash_of(data: bytes, /) -> str:
    """The hash of bytes.

    >>> hash_of(b"abc")[:16]  # the example of FIPS 180-4
    'ba7816bf8f01cfea'
    """
    return sha256(data).hexdigest()


@door
def options_hash(
    decisions: Decisions, /, *, stems: Sequence[str] = (), pdf: bool = False
) -> str:
    """The hash of all beside a chart's bytes that decides what is made of it: what is
    decided, the names of files, whether pages are drawn, and the versions of the
    libraries.

    >>> from leadsheet_theory.decisions import decisions_from
    >>> other = decisions_from({"books": ["C"]})
    >>> options_hash(Decisions()) == options_hash(other)
    False
    """
    versions = {"leadsheet_theory": __version__}
    for name in _DRAWING if pdf else ():
        with suppress(PackageNotFoundError):
            versions[name] = version(name)
    decided = sorted(([each.key, each.value] for each in decisions.each), key=_key)
    return hash_of(json.dumps([versions, decided, list(stems), pdf]).encode())


def _key(decided: Sequence[object]) -> str:
    return str(decided[0])


def tune_record(
    *,
    title: str,
    stem: str,
    findings: Mapping[str, Iterable[Finding]],
    parts: Iterable[Part] = (),
    files: Iterable[NamedBytes] = (),
) -> dict[str, Json]:
    """What a line says of one tune.

    >>> tune_record(title="Ebb", stem="ebb", findings={})
    {'title': 'Ebb', 'stem': 'ebb', 'parts': [], 'files': {}}
    """
    return {
        "title": title,
        "stem": stem,
        **{kind: [_plain(each) for each in found] for kind, found in findings.items()},
        "parts": [{"name": part.name, "report": _plain(part.report)} for part in parts],
        "files": {file.name: file.sha256 for file in files},
    }


def chart_record(
    name: str,
    /,
    *,
    source: str,
    options: str,
    tunes: Sequence[Mapping[str, Json]] = (),
    failed: BaseException | str | None = None,
) -> str:
    """A line of JSON, without its end.

    Args:
        name: what the chart's file is called.
        source: the hash of its bytes; empty where they can't be read.
        options: the hash of what decides what is made of it.
        tunes: what there is to say of each of its tunes.
        failed: why nothing could be made of it, or not all.

    >>> line = chart_record("ebb.abc", source="", options="", failed=ValueError("no"))
    >>> json.loads(line)["failed"]
    {'code': 'ValueError', 'says': 'no'}
    """
    why: Json = None
    if failed is not None:
        code = getattr(failed, "code", type(failed).__name__)
        why = {"code": "died" if isinstance(failed, str) else code, "says": str(failed)}
    record = {
        "chart": name,
        "input": source,
        "options": options,
        "failed": why,
        "tunes": [dict(tune) for tune in tunes],
    }
    return json.dumps(record, separators=(",", ":"))


def _plain(value: AttrsInstance) -> Json:
    """A value as plain data, its class named."""
    data = to_data(value)
    return data["value"] if isinstance(data, dict) else data
