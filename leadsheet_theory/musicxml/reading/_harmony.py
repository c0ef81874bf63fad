"""The ``harmony`` element: chord symbols."""

from __future__ import annotations

from functools import lru_cache
from typing import Final, Literal
from xml.etree.ElementTree import Element

from attrs import evolve

from ...chords import (
    ChordSymbol,
    HarmonyDegree,
    HarmonyParts,
    chord_from_harmony,
    parse_chord,
)
from ...errors import HarmonyError, PitchRangeError, TextError
from ...interval import Interval
from ...pitch import NoteName
from ._report import Report
from ._values import read_integer, read_name, shift_name

__all__ = ("read_harmony",)

_DEGREE_TYPES: Final[dict[str, Literal["add", "alter", "subtract"]]] = {
    "add": "add", "alter": "alter", "subtract": "subtract",
}  # fmt: skip
_MAX_TEXT: Final = 80


def read_harmony(
    element: Element, report: Report, shift: Interval | None
) -> tuple[ChordSymbol | None, Element | None]:
    """The chord symbol, brought to concert pitch, and the ``offset`` if there is one.

    None for a harmony that says no chord; the report says so.
    """
    groups: list[HarmonyParts] = []
    offset: Element | None = None
    root: NoteName | None = None
    kind = ""
    kind_text: str | None = None
    signs = False
    degrees: list[HarmonyDegree] = []
    bass: NoteName | None = None
    inversion: int | None = None
    begun = False
    for child in element:
        tag = child.tag
        if tag == "root" or tag == "function" or tag == "numeral":
            if begun:
                groups.append(
                    _parts(root, kind, kind_text, degrees, bass, inversion, signs)
                )
                kind, kind_text, degrees, bass, inversion = "", None, [], None, None
            begun = True
            root = None
            if tag == "root":
                root = _moved(read_name(child, report, "root-"), shift, report)
            else:
                report.unread(tag, "a chord named by its degree in the key")
        elif tag == "kind":
            kind = (child.text or "").strip()
            kind_text = child.get("text")
            signs = child.get("use-symbols") == "yes"
            if len(kind) + len(kind_text or "") > _MAX_TEXT:
                report.unread(tag, "a text too long for a chord symbol")
                kind, kind_text = kind[:_MAX_TEXT], None
        elif tag == "degree":
            degree = _degree(child, report)
            if degree is not None:
                degrees.append(degree)
        elif tag == "bass":
            bass = _moved(read_name(child, report, "bass-"), shift, report)
        elif tag == "inversion":
            inversion = read_integer(child, report, 0, 12)
        elif tag == "offset":
            offset = child
        else:
            report.unread(tag)
    groups.append(_parts(root, kind, kind_text, degrees, bass, inversion, signs))
    step = element.find("root/root-step")
    if step is not None and (step.get("text") or "").startswith(("(", "[")):
        groups = list(map(_in_brackets, groups))
    if element.get("print-object") == "no":
        report.gather(
            "hidden", "note", "chord symbols hidden in the source are shown here"
        )
    symbol, problems = _symbol(tuple(groups))
    for rule, message in problems:
        report.gather(rule, "warning", message, element="harmony")
    return symbol, offset


def _moved(
    name: NoteName | None, shift: Interval | None, report: Report
) -> NoteName | None:
    if name is None or shift is None:
        return name
    try:
        return shift_name(name, shift)
    except PitchRangeError as error:
        raise report.error(str(error), "harmony") from None


def _parts(
    root: NoteName | None,
    kind: str,
    kind_text: str | None,
    degrees: list[HarmonyDegree],
    bass: NoteName | None,
    inversion: int | None,
    signs: bool,
) -> HarmonyParts:
    parts = HarmonyParts(
        root, kind, kind_text, tuple(degrees), bass, inversion, use_symbols=signs
    )
    if kind_text is None or (root is None and kind != "none"):
        return parts
    return evolve(parts, source=parts.printed or "")


def _in_brackets(parts: HarmonyParts) -> HarmonyParts:
    """An optional chord: one that is printed in brackets, which open with the root."""
    text = parts.kind_text
    if text and text.count(")") + text.count("]") > text.count("(") + text.count("["):
        text = text[:-1]
    parts = evolve(parts, kind_text=text, optional=True)
    return evolve(parts, source=parts.printed or "") if text is not None else parts


def _degree(element: Element, report: Report) -> HarmonyDegree | None:
    value = alter = 0
    kind: Literal["add", "alter", "subtract"] | None = "add"
    for child in element:
        tag = child.tag
        if tag == "degree-value":
            value = read_integer(child, report, 1, 13)
        elif tag == "degree-alter":
            if child.text and not child.text.isspace():
                alter = read_integer(child, report, -4, 4)
        elif tag == "degree-type":
            kind = _DEGREE_TYPES.get((child.text or "").strip())
        else:
            report.unread(tag)
    if not value or kind is None:
        report.unread("degree", "it says no degree")
        return None
    return HarmonyDegree(value, alter, kind)


@lru_cache(maxsize=4096)
def _symbol(
    groups: tuple[HarmonyParts, ...],
) -> tuple[ChordSymbol | None, tuple[tuple[str, str], ...]]:
    """The symbol, and what is odd about it: (rule, message) pairs."""
    problems: list[tuple[str, str]] = []
    try:
        symbol = chord_from_harmony(*groups)
    except HarmonyError as error:
        problems.append(("chord-kind", str(error)))
        rescued = _rescued(groups)
        if rescued is None:
            problems.append(("unread", f"<harmony> is not carried: {error}"))
            return None, tuple(problems[1:])
        symbol = rescued
        problems[0] = ("chord-kind", f"{error}; read as {symbol}")
    for parts in groups:
        disagreement = _text_against_kind(parts)
        if disagreement:
            problems.append(("chord-text", disagreement))
    return symbol, tuple(problems)


def _rescued(groups: tuple[HarmonyParts, ...]) -> ChordSymbol | None:
    """The chord without the inversion that it has not, or by its text; a bare root
    is a major triad, as it is in print."""
    without = tuple(evolve(parts, inversion=None) for parts in groups)
    try:
        return chord_from_harmony(*without)
    except HarmonyError:
        pass
    if len(groups) > 1 or groups[0].root is None:
        return None
    if not groups[0].kind and not groups[0].kind_text:
        return chord_from_harmony(evolve(without[0], kind="major"))
    if not groups[0].source:
        return None
    try:
        return parse_chord(groups[0].source)
    except TextError:
        return None


def _text_against_kind(parts: HarmonyParts) -> str:
    """What a printed text says otherwise than the kind and degrees; or ``""``."""
    if not parts.kind_text or parts.root is None or parts.kind == "none":
        return ""
    plain = evolve(parts, bass=None, inversion=None)
    text = plain.printed or ""
    try:
        meant = chord_from_harmony(plain)
    except HarmonyError:
        return ""
    try:
        printed = parse_chord(text)
    except TextError:
        return f"the printed text {text!r} is no chord symbol; the kind says {meant}"
    if printed.pitch_classes == meant.pitch_classes or plain.text_agrees:
        return ""
    return f"the printed text {text!r} says {printed}, the kind says {meant}"
