"""Swing: how pairs of eighths or sixteenths are played, said or printed."""

from __future__ import annotations

from fractions import Fraction
from typing import Final, Literal
from xml.etree.ElementTree import Element

from ...leadsheet.model import Swing
from ...rhythm.values import NoteValue, Tuplet
from .._vocabulary import SWING_VALUES
from ._report import Report
from ._values import plain_number, read_integer, value_name

__all__ = ("read_swing", "read_swing_equation")

_UNITS: Final[dict[str, Literal["eighth", "16th"]]] = {
    "eighth": "eighth",
    "16th": "16th",
}


def read_swing(element: Element, report: Report) -> Swing:
    """What a ``swing`` says."""
    first = second = 1
    unit: Literal["eighth", "16th"] = "eighth"
    for child in element:
        tag = child.tag
        if tag == "first":
            first = read_integer(child, report, 1, 99)
        elif tag == "second":
            second = read_integer(child, report, 1, 99)
        elif tag == "swing-type":
            name = (child.text or "").strip()
            if name not in _UNITS:
                report.unread(tag, f"{name[:20]!r} is neither eighth nor 16th")
            unit = _UNITS.get(name, "eighth")
        elif tag != "straight":
            report.unread(tag)
    return Swing(first, second, unit)


def read_swing_equation(element: Element) -> Swing | None:
    """The swing that a ``metronome`` prints: two eighths or sixteenths and how they
    are played; None for any other mark.

    Source: MusicXML 4.0, ``metronome-note``.
    """
    sides: list[list[NoteValue | None]] = [[]]
    for child in element:
        if child.tag == "metronome-note":
            sides[-1].append(_value(child))
        elif child.tag == "metronome-relation":
            sides.append([])
    if [len(side) for side in sides] != [2, 2]:
        return None
    (plain, other), (first, second) = sides
    if plain is None or other is None or first is None or second is None:
        return None
    unit = _UNITS.get(plain.name)
    whole = first.duration + second.duration
    if unit is None or plain != other or whole != 2 * plain.duration:
        return None
    ratio = Fraction(first.duration, second.duration)
    printed = (unit, ratio.numerator, ratio.denominator) in SWING_VALUES
    return Swing(ratio.numerator, ratio.denominator, unit, equation=printed)


def _value(element: Element) -> NoteValue | None:
    """The value of a ``metronome-note``, without the ends of its tuplet."""
    name = None
    dots = 0
    ratio = 1, 1
    for child in element:
        if child.tag == "metronome-type":
            name = value_name(child.text or "")
        elif child.tag == "metronome-dot":
            dots += 1
        elif child.tag == "metronome-tuplet":
            ratio = _count(child, "actual-notes"), _count(child, "normal-notes")
    if name is None or dots > 3:
        return None
    return NoteValue(name, dots, Tuplet(*ratio) if ratio[0] != ratio[1] else None)


def _count(element: Element, tag: str) -> int:
    """The number of notes that a tuplet says; 1 for nonsense."""
    try:
        count = plain_number(element.findtext(tag) or "")
    except ValueError:
        return 1
    return count if isinstance(count, int) and 0 < count < 100 else 1
