"""The ``harmony`` element: chord symbols."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import Final, Literal
from xml.etree.ElementTree import Element

from attrs import define, evolve, field

from ...chords import (
    ChordSymbol,
    HarmonyDegree,
    HarmonyParts,
    chord_from_harmony,
    parse_symbol,
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
_ROOTS: Final = frozenset({"root", "numeral", "function"})
_MAX_TEXT: Final = 80


@define(eq=False)
class _Said:
    """What a ``harmony`` says of one chord."""

    root: NoteName | None = None
    kind: str = ""
    kind_text: str | None = None
    signs: bool = False
    degrees: list[HarmonyDegree] = field(factory=list)
    bass: NoteName | None = None
    inversion: int | None = None

    def parts(self) -> HarmonyParts:
        """All of it as one value."""
        parts = HarmonyParts(
            self.root,
            self.kind,
            self.kind_text,
            tuple(self.degrees),
            self.bass,
            self.inversion,
            use_symbols=self.signs,
        )
        silent = self.kind == "none"
        if self.kind_text is None or (self.root is None and not silent):
            return parts
        return evolve(parts, source=parts.printed or "")


def read_harmony(
    element: Element, report: Report, shift: Interval | None
) -> tuple[ChordSymbol | None, Element | None]:
    """The chord symbol, brought to concert pitch, and the ``offset`` if there is one.

    None for a harmony that says no chord; the report says so.
    """
    chords: list[_Said] = []
    before = _Said()
    offset: Element | None = None
    for child in element:
        tag = child.tag
        handle = _HANDLERS.get(tag)
        if tag in _ROOTS:
            # what stands before the first root belongs to it
            chords.append(_Said() if chords else before)
            chords[-1].root = _root(child, shift, report)
        elif handle is not None:
            handle(chords[-1] if chords else before, child, report, shift)
        elif tag == "offset":
            offset = child
        else:
            report.unread(tag)
    groups = tuple([said.parts() for said in chords or [before]])
    step = element.find("root/root-step")
    if step is not None and (step.get("text") or "").startswith(("(", "[")):
        groups = tuple(map(_in_brackets, groups))
    if element.get("print-object") == "no":
        report.gather(
            "hidden", "note", "chord symbols hidden in the source are shown here"
        )
    symbol, problems = _symbol(groups)
    for rule, message in problems:
        report.gather(rule, "warning", message, element="harmony")
    return symbol, offset


_Shift = Interval | None


def _root(element: Element, shift: _Shift, report: Report) -> NoteName | None:
    if element.tag == "root":
        return _moved(read_name(element, report, "root-"), shift, report)
    report.unread(element.tag, "a chord named by its degree in the key")
    return None


def _kind(said: _Said, element: Element, report: Report, _: _Shift) -> None:
    said.kind = (element.text or "").strip()
    said.kind_text = element.get("text")
    said.signs = element.get("use-symbols") == "yes"
    if len(said.kind) + len(said.kind_text or "") > _MAX_TEXT:
        report.unread("kind", "a text too long for a chord symbol")
        said.kind, said.kind_text = said.kind[:_MAX_TEXT], None


def _bass(said: _Said, element: Element, report: Report, shift: _Shift) -> None:
    said.bass = _moved(read_name(element, report, "bass-"), shift, report)


def _inversion(said: _Said, element: Element, report: Report, _: _Shift) -> None:
    said.inversion = read_integer(element, report, 0, 12)


def _moved(
    name: NoteName | None, shift: Interval | None, report: Report
) -> NoteName | None:
    if name is None or shift is None:
        return name
    try:
        return shift_name(name, shift)
    except PitchRangeError as error:
        raise report.error(str(error), "harmony") from None


def _in_brackets(parts: HarmonyParts) -> HarmonyParts:
    """An optional chord: one that is printed in brackets, which open with the root."""
    text = parts.kind_text
    if text and text.count(")") + text.count("]") > text.count("(") + text.count("["):
        text = text[:-1]
    parts = evolve(parts, kind_text=text, optional=True)
    return evolve(parts, source=parts.printed or "") if text is not None else parts


def _degree(said: _Said, element: Element, report: Report, _: _Shift) -> None:
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
    else:
        said.degrees.append(HarmonyDegree(value, alter, kind))


_HANDLERS: Final[dict[str, Callable[[_Said, Element, Report, _Shift], None]]] = {
    "kind": _kind,
    "degree": _degree,
    "bass": _bass,
    "inversion": _inversion,
}


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
        return parse_symbol(groups[0].source)
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
        printed = parse_symbol(text)
    except TextError:
        return f"the printed text {text!r} is no chord symbol; the kind says {meant}"
    if printed.pitch_classes == meant.pitch_classes or plain.text_agrees:
        return ""
    return f"the printed text {text!r} says {printed}, the kind says {meant}"
