"""The ``harmony`` element: chord symbols."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import lru_cache
from typing import Final, Literal
from xml.etree.ElementTree import Element

from attrs import define, evolve, field, frozen

from ...chords import (
    Chord,
    ChordSymbol,
    HarmonyDegree,
    HarmonyParts,
    chord_from_harmony,
    harmony_of,
    parse_symbol,
)
from ...errors import HarmonyError, PitchRangeError, TextError
from ...interval import Interval
from ...key import Key
from ...leadsheet.findings import Severity
from ...pitch import NoteName
from ._report import Report
from ._values import read_integer, read_key_of_numeral, read_name, shift_name

__all__ = ("Place", "Preference", "read_harmony")

_DEGREE_TYPES: Final[dict[str, Literal["add", "alter", "subtract"]]] = {
    "add": "add", "alter": "alter", "subtract": "subtract",
}  # fmt: skip
# what programs write for a chord that they have no kind for
_SAY_LITTLE: Final = frozenset({"", "major"})
# degrees that a minor scale raises (MusicXML 4.0, numeral-mode)
_RAISED: Final = frozenset(
    {("harmonic minor", 7), ("melodic minor", 6), ("melodic minor", 7)}
)
_Problem = tuple[str, Severity, str]
Preference = Literal["text", "kind"]
_OPENING: Final = frozenset("([")
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
    in_brackets: bool = False

    def plain(self) -> _Plain:
        """All of it but the brackets, as a text or a number is found again."""
        return (
            self.root,
            self.kind,
            self.kind_text,
            tuple(self.degrees),
            self.bass,
            self.inversion,
            self.signs,
        )


_Plain = tuple[
    NoteName | None,
    str,
    str | None,
    tuple[HarmonyDegree, ...],
    NoteName | None,
    int | None,
    bool,
]


def _parts(plain: _Plain) -> HarmonyParts:
    """What a ``harmony`` says of one chord, as a value."""
    root, kind, kind_text, degrees, bass, inversion, signs = plain
    return HarmonyParts(
        root=root,
        kind=kind,
        kind_text=kind_text,
        degrees=degrees,
        bass=bass,
        inversion=inversion,
        use_symbols=signs,
    )


@frozen(order=False)
class Place:
    """What a harmony is read by: the way to concert pitch, the key it stands in, and
    whether its printed text or its kind decides where the two differ."""

    shift: Interval | None
    key: Key
    prefer: Preference | None = None


def read_harmony(
    element: Element, report: Report, place: Place
) -> tuple[ChordSymbol | None, Element | None]:
    """The chord symbol, brought to concert pitch, and the ``offset`` if there is one.

    None for a harmony that says no chord; the report says so.
    """
    chords: list[_Said] = []
    before = _Said()
    offset: Element | None = None
    for child in element:
        tag = child.tag
        if tag in _ROOTS:
            # what stands before the first root belongs to it
            chords.append(_Said() if chords else before)
            chords[-1].root = _root(child, place, report)
            if tag == "root" and len(child):
                printed = child[0].get("text")
                chords[-1].in_brackets = printed is not None and printed[:1] in _OPENING
        elif tag in _HANDLERS:
            said = chords[-1] if chords else before
            _HANDLERS[tag](said, child, report, place.shift)
        elif tag == "offset":
            offset = child
        else:
            report.unread(tag)
    groups = tuple([said.plain() for said in chords or [before]])
    optional = True in [said.in_brackets for said in chords]
    if element.get("print-object") == "no":
        report.gather(
            "hidden", "note", "chord symbols hidden in the source are shown here"
        )
    symbol, problems = _symbol(groups, optional, place.prefer)
    for rule, severity, message in problems:
        report.gather(rule, severity, message, element="harmony")
    return symbol, offset


_Shift = Interval | None
_WHOLE_SYMBOL: Final = re.compile(r"[A-G][b#♭♯]?(.*)")


def _root(element: Element, place: Place, report: Report) -> NoteName | None:
    if element.tag == "root":
        return _moved(read_name(element, report, "root-"), place.shift, report)
    if element.tag == "numeral":
        return _numeral(element, place.key, report)
    report.unread(element.tag, "a chord named by its function in the key")
    return None


def _numeral(element: Element, key: Key, report: Report) -> NoteName | None:
    """The root that is a degree of the key: of the one said, else of the one in force
    (MusicXML 4.0, ``numeral``)."""
    degree = 0
    alter = 0
    raised = False
    for child in element:
        if child.tag == "numeral-root":
            degree = read_integer(child, report, 1, 7)
        elif child.tag == "numeral-alter":
            alter = read_integer(child, report, -2, 2)
        elif child.tag == "numeral-key":
            said = read_key_of_numeral(child, report)
            key = said or key
            mode = (child.findtext("numeral-mode") or "").strip()
            raised = (mode, degree) in _RAISED
        else:
            report.unread(child.tag)
    if not degree:
        return None
    scale = key.scale[degree - 1]
    return NoteName(scale.step, scale.alter + alter + raised)


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
    said: tuple[_Plain, ...], optional: bool, prefer: Preference | None
) -> tuple[ChordSymbol | None, tuple[_Problem, ...]]:
    """The symbol, and what is odd about it."""
    groups = tuple(map(_parts, said))
    if optional:
        groups = tuple(map(_in_brackets, groups))
    groups = tuple(map(_with_source, groups))
    if len(groups) == 1:
        printed = _by_text(groups[0], prefer)
        if printed is not None:
            return printed
    problems: list[_Problem] = []
    try:
        symbol = chord_from_harmony(*groups)
    except HarmonyError as error:
        rescued = _rescued(groups)
        if rescued is None:
            return None, (("unread", "warning", f"<harmony> is not carried: {error}"),)
        symbol = rescued
        problems.append(("chord-kind", "warning", f"{error}; read as {symbol}"))
    for parts in groups:
        disagreement = _text_against_kind(parts)
        if disagreement:
            problems.append(("chord-text", "warning", disagreement))
    return symbol, tuple(problems)


def _with_source(parts: HarmonyParts) -> HarmonyParts:
    """A chord with the text that it is printed with, where one is said."""
    silent = parts.kind == "none"
    if parts.kind_text is None or (parts.root is None and not silent):
        return parts
    whole = _WHOLE_SYMBOL.match(parts.kind_text)
    if whole and not _parsed(parts.printed or "") and _parsed(whole[0]):
        # the text of the kind repeats the root
        parts = evolve(parts, kind_text=whole[1])
    return evolve(parts, source=parts.printed or "")


def _by_text(
    parts: HarmonyParts, prefer: Preference | None
) -> tuple[ChordSymbol, tuple[_Problem, ...]] | None:
    """The symbol by its printed text, where that says another chord than the kind and
    is to decide: because it is asked to, or because the kind says little or less."""
    if prefer == "kind" or parts.root is None or not parts.kind_text:
        return None
    plain = evolve(parts, bass=None, inversion=None)
    says_little = parts.kind in _SAY_LITTLE and not parts.degrees
    said = None if plain.text_agrees else _parsed(plain.printed or "")
    if not isinstance(said, Chord) or not (
        prefer or says_little or parts.kind == "other" or _says_less(plain, said)
    ):
        return None
    (by_text,) = harmony_of(said)
    decided = evolve(parts, kind=by_text.kind, degrees=by_text.degrees)
    symbol = _chord(decided) or _chord(evolve(decided, inversion=None))
    if symbol is None:
        return None
    meant = _chord(plain) or "no chord"
    message = (
        f"the printed text {plain.printed!r} decides: the kind {parts.kind!r} "
        f"says {meant}"
    )
    return symbol, (("chord-text", "note", message),)


def _says_less(parts: HarmonyParts, said: Chord) -> bool:
    """Whether a kind without degrees is part of the chord that is printed, the fifth
    aside, which an altered chord has otherwise: *7alt*, *6/9*."""
    meant = _chord(parts)
    if parts.degrees or not isinstance(meant, Chord):
        return False
    fifth = (meant.root.pitch_class + 7) % 12
    return set(said.pitch_classes) >= set(meant.pitch_classes) - {fifth}


def _rescued(groups: tuple[HarmonyParts, ...]) -> ChordSymbol | None:
    """The chord without the inversion that it has not, or by its text; a bare root
    is a major triad, as it is in print."""
    without = tuple(evolve(parts, inversion=None) for parts in groups)
    symbol = _chord(*without)
    if symbol is not None or len(groups) > 1 or groups[0].root is None:
        return symbol
    if not groups[0].kind and not groups[0].kind_text:
        return _chord(evolve(without[0], kind="major"))
    return _parsed(groups[0].source) if groups[0].source else None


def _chord(*groups: HarmonyParts) -> ChordSymbol | None:
    try:
        return chord_from_harmony(*groups)
    except HarmonyError:
        return None


def _parsed(text: str) -> ChordSymbol | None:
    try:
        return parse_symbol(text)
    except TextError:
        return None


def _text_against_kind(parts: HarmonyParts) -> str:
    """What a printed text says otherwise than the kind and degrees; or ``""``."""
    if not parts.kind_text or parts.root is None or parts.kind == "none":
        return ""
    plain = evolve(parts, bass=None, inversion=None)
    text = plain.printed or ""
    meant = _chord(plain)
    if meant is None:
        return ""
    printed = _parsed(text)
    if printed is None:
        return f"the printed text {text!r} is no chord symbol; the kind says {meant}"
    if printed.pitch_classes == meant.pitch_classes or plain.text_agrees:
        return ""
    return f"the printed text {text!r} says {printed}, the kind says {meant}"
