"""The text strings of ABC: titles, words, annotations, and their escapes.

Source: The abc music standard 2.1, section 8.2 (text strings) and its table of
special characters: a backslash with a sign and a letter, named entities, code points.
"""

from __future__ import annotations

import re
from html import unescape
from typing import Final
from unicodedata import normalize

__all__ = ("plain_text", "text_string")

# the sign after the backslash, as Unicode names its combining accent
_ACCENTS: Final = {
    "`": "\u0300", "'": "\u0301", "^": "\u0302", "~": "\u0303", '"': "\u0308",
    "c": "\u0327", "v": "\u030c", "u": "\u0306", "H": "\u030b",
}  # fmt: skip
_LETTERS: Final = {
    "aa": "å", "AA": "Å", "/o": "ø", "/O": "Ø", "/d": "đ", "/D": "Đ", "ss": "ß",
    "ae": "æ", "AE": "Æ", "oe": "œ", "OE": "Œ", "cc": "ç", "cC": "Ç",
    "DH": "Ð", "dh": "ð", "TH": "Þ", "th": "þ", "HO": "Ő", "Ho": "ő",
}  # fmt: skip
_ESCAPE: Final = re.compile(
    r"\\(?:(?P<sign>[\\%&])|u(?P<short>[0-9A-Fa-f]{4})|U(?P<long>[0-9A-Fa-f]{8})"
    r"|(?P<pair>[`'^~\"cvuH/aAsodOtTD][A-Za-z]))"
    r"|(?P<entity>&(?:[A-Za-z]{2,8}|#[0-9]{1,7}|#x[0-9A-Fa-f]{1,6});)"
)
_SPECIAL: Final = re.compile(r"[\\%&]")


def plain_text(text: str) -> str:
    r"""What a text string says, its escapes read.

    >>> plain_text(r"Caf\'e &amp; B\u266d")
    'Café & B♭'
    """
    if "\\" not in text and "&" not in text:
        return text
    return _ESCAPE.sub(_meant, text)


def _meant(found: re.Match[str]) -> str:
    if found["sign"]:
        return found["sign"]
    code = found["short"] or found["long"]
    if code:
        number = int(code, 16)
        valid = number < 0x110000 and not 0xD800 <= number < 0xE000
        return chr(number) if valid and number > 31 else found[0]
    if found["entity"]:
        return unescape(found["entity"])
    pair = found["pair"]
    if pair in _LETTERS:
        return _LETTERS[pair]
    accent = _ACCENTS.get(pair[0])
    if accent is None:
        return found[0]
    composed = normalize("NFC", pair[1] + accent)
    return composed if len(composed) == 1 else pair[1]


def text_string(text: str, *, quoted: bool = False) -> str:
    r"""A text as a text string that :func:`plain_text` reads back; line ends become
    blanks, and in quotation marks a mark of its own is ``&quot;``.

    >>> text_string("50% & more"), text_string('say "yes"', quoted=True)
    ('50\\% \\& more', 'say &quot;yes&quot;')
    """
    said = _SPECIAL.sub(r"\\\g<0>", " ".join(text.splitlines()).replace("\t", " "))
    return said.replace('"', "&quot;") if quoted else said
