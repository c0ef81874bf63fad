"""Titles, names and credits: all of a score that is outside its parts."""

from __future__ import annotations

from typing import Final
from xml.etree.ElementTree import Element

from attrs import frozen

from ._report import Report
from ._words import clean_words

__all__ = ("Header", "PartNames", "read_header", "read_part_list")

_CREATORS: Final = {
    "composer": "composer",
    "music": "composer",
    "lyricist": "lyricist",
    "poet": "lyricist",
    "words": "lyricist",
    "arranger": "arranger",
}
_CREDITS: Final = {
    "title": "title",
    "subtitle": "subtitle",
    "composer": "composer",
    "lyricist": "lyricist",
    "arranger": "arranger",
    "rights": "rights",
}
_MAX_NAMES: Final = 20


@frozen(order=False)
class Header:
    """What a lead sheet says above its music."""

    title: str = ""
    subtitle: str = ""
    composer: str = ""
    lyricist: str = ""
    arranger: str = ""
    rights: str = ""


@frozen(order=False)
class PartNames:
    """The names of a part in the ``part-list``: its own and its instruments'."""

    name: str = ""
    instruments: str = ""


def read_header(root: Element, report: Report) -> Header:
    """The header of a ``score-partwise``."""
    said: dict[str, list[str]] = {}
    work = movement = ""
    printed: list[Element] = []
    for child in root:
        tag = child.tag
        if tag == "work":
            work = _work_title(child, report)
        elif tag == "movement-title":
            movement = clean_words(child.text or "")
        elif tag == "identification":
            _identification(child, said, report)
        elif tag == "credit":
            printed.append(child)
        elif tag not in ("part-list", "part"):
            report.unread(tag)
    title = work or movement
    if movement and movement != title:
        _say("subtitle", movement, said)
    if title:
        said["title"] = [title]
    for credit in printed:
        _credit(credit, said, report)
    if "title" not in said:
        report.add("title", "note", "the file gives no title")
    return Header(**{role: ", ".join(names) for role, names in said.items()})


def _work_title(work: Element, report: Report) -> str:
    title = ""
    for child in work:
        if child.tag == "work-title":
            title = clean_words(child.text or "")
        else:
            report.unread(child.tag)
    return title


def _identification(
    element: Element, said: dict[str, list[str]], report: Report
) -> None:
    untyped: list[str] = []
    for child in element:
        if child.tag == "creator" or child.tag == "rights":
            text = clean_words(child.text or "")
            kind = child.get("type", "").strip().lower()
            role = "rights" if child.tag == "rights" else _CREATORS.get(kind)
            if role is not None:
                _say(role, text, said)
            elif kind and text:
                report.unread("creator", f"{text[:60]!r}, of type {kind[:20]!r}")
            elif text:
                untyped.append(text)
        else:
            report.unread(child.tag)
    for text in untyped:
        # beside a composer, the other name of a song is that of the words' author
        role = next(
            (each for each in ("composer", "lyricist") if each not in said), "lyricist"
        )
        _say(role, text, said)
        report.gather(
            "creator",
            "note",
            f"{text[:60]!r}, named without a role, is read as the {role}",
            element="creator",
        )


def _say(role: str, text: str, said: dict[str, list[str]]) -> None:
    names = said.get(role, [])
    if text and text not in names and len(names) < _MAX_NAMES:
        said[role] = [*names, text]


def _credit(element: Element, said: dict[str, list[str]], report: Report) -> None:
    """Text printed on the page: mostly what has been said already."""
    kinds: list[str] = []
    pieces: list[str] = []
    for child in element:
        tag = child.tag
        if tag == "credit-type":
            kinds.append(clean_words(child.text or "").lower())
        elif tag == "credit-words":
            pieces.append(clean_words(child.text or ""))
        else:
            report.unread(tag)
    text = clean_words(" ".join(pieces))
    known = {_plain(name) for names in said.values() for name in names}
    if kinds in (["page number"], ["revision"]):
        report.passed.add("credit-type")
        return
    if not text or _plain(text) in known:
        return
    role = next((_CREDITS[kind] for kind in kinds if kind in _CREDITS), None)
    if role is not None and role not in said:
        _say(role, text, said)
    else:
        report.unread("credit", repr(text[:80]))


def _plain(text: str) -> str:
    return "".join(filter(str.isalnum, text)).casefold()


def read_part_list(root: Element, report: Report) -> dict[str, PartNames]:
    """The names of the parts by id."""
    names: dict[str, PartNames] = {}
    for part_list in root.iterfind("part-list"):
        for part in part_list:
            if part.tag != "score-part":
                report.unread(part.tag)
                continue
            name = ""
            instruments: list[str] = []
            for child in part:
                if child.tag == "part-name":
                    name = clean_words(child.text or "")
                elif child.tag == "score-instrument":
                    instruments += [
                        clean_words(field.text or "")
                        for field in child.iter("instrument-name")
                    ]
                    report.passed.add(child.tag)
                elif child.tag == "identification":
                    _identification(child, {}, report)
                else:
                    report.unread(child.tag)
            names[part.get("id", "")] = PartNames(name, " ".join(instruments))
    return names
