"""Text as XML, and the values of MusicXML 4.0 that every writer here shares."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache
from typing import Final

from ...errors import MusicXMLWriteError
from ...pitch import Pitch
from ...rhythm.values import Tuplet

__all__ = (
    "PROLOGUE",
    "attribute",
    "decimal_text",
    "escape",
    "in_divisions",
    "pitch_xml",
    "time_modification",
)

PROLOGUE: Final = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">\n'
)

# what XML 1.0 cannot carry (production 2, Char)
_NOT_XML: Final = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_SPECIAL: Final = re.compile(
    "[^\x20!#-%'-;=?-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]"
)
_ENTITIES: Final = str.maketrans(
    {"&": "&amp;", "<": "&lt;", ">": "&gt;", "\r": "&#13;"}
)
_ATTRIBUTE_ENTITIES: Final = str.maketrans(
    {
        "&": "&amp;",
        "<": "&lt;",
        ">": "&gt;",
        '"': "&quot;",
        "\r": "&#13;",
        "\n": "&#10;",
        "\t": "&#9;",
    }
)


def escape(text: str) -> str:
    """A text as the content of an element."""
    return _translated(text, _ENTITIES) if _SPECIAL.search(text) else text


def attribute(text: str) -> str:
    """A text as the value of an attribute, with its quotation marks."""
    if _SPECIAL.search(text):
        text = _translated(text, _ATTRIBUTE_ENTITIES)
    return f'"{text}"'


def _translated(text: str, entities: dict[int, str]) -> str:
    wrong = _NOT_XML.search(text)
    if wrong:
        raise MusicXMLWriteError(
            f"{text[:60]!r} holds the character U+{ord(wrong[0]):04X}, "
            "which XML cannot carry"
        )
    return text.translate(entities)


def in_divisions(time: Fraction, divisions: int) -> int:
    """A time in divisions; `divisions` is a multiple of its denominator."""
    return time.numerator * (divisions // time.denominator)


def pitch_xml(pitch: Pitch) -> str:
    """The pitch element.

    Raises:
        MusicXMLWriteError: outside octaves 0 to 9, which the format ends at.
    """
    octave = pitch.octave
    if not 0 <= octave <= 9:
        raise MusicXMLWriteError(
            f"{pitch} lies outside octaves 0 to 9, which MusicXML can write"
        )
    alter = pitch.alter
    if alter:
        return (
            f"<pitch><step>{pitch.step}</step><alter>{alter}</alter>"
            f"<octave>{octave}</octave></pitch>"
        )
    return f"<pitch><step>{pitch.step}</step><octave>{octave}</octave></pitch>"


@lru_cache(maxsize=256)
def time_modification(tuplet: Tuplet) -> str:
    """The time-modification element."""
    ratio = tuplet.flat
    return (
        f"<time-modification><actual-notes>{ratio.actual}</actual-notes>"
        f"<normal-notes>{ratio.normal}</normal-notes></time-modification>"
    )


def decimal_text(number: Fraction) -> str:
    """A number as a plain decimal, rounded to six places where it has no end."""
    if number.denominator == 1:
        return str(number.numerator)
    return f"{float(number):.6f}".rstrip("0").rstrip(".")
