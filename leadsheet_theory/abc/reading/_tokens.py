"""The words of music code, as one pattern; and the lengths of notes.

Source: The abc music standard 2.1, chapter 4, above all section 4.20 (order of the
constructs of one note).
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache
from typing import Final

__all__ = ("CHORD_TOKEN", "LINE_BREAK", "TOKEN", "length_factor")

_LENGTH: Final = r"[0-9]*(?:/+[0-9]*)?"

_NOTE: Final = (
    r"(?P<sign>\^\^?|__?|=)?(?P<step>[A-Ga-g])(?P<marks>[,']*)"
    rf"(?P<length>{_LENGTH})"
)

TOKEN: Final = re.compile(
    rf"""
      (?P<space>[ \t`]+)
    | (?P<note>{_NOTE})
    | (?P<bar>(?P<lines>\.?(?:[|:\]]|\[(?=\|))+)(?P<numbers>(?<=[|:])[1-9][0-9,-]*)?)
    | (?P<rest>[zx](?P<rest_length>{_LENGTH}))
    | (?P<field>\[[A-Za-z]:[^\]]*\])
    | (?P<ending>\[(?P<passes>[0-9][0-9,-]*))
    | (?P<chord>\[(?P<inside>[^\]|\s]*(?:[^\]|]*(?=\]))?)
        (?P<close>\]?)(?P<chord_length>{_LENGTH}))
    | (?P<quote>"(?P<quoted>[^"]*)(?P<unquote>"?))
    | (?P<tie>\.?-)
    | (?P<tuplet>\((?P<p>[0-9]+)(?::(?P<q>[0-9]*))?(?::(?P<r>[0-9]*))?)
    | (?P<slur>\.?\()
    | (?P<slurend>\))
    | (?P<grace>\{{(?P<slash>/?)(?P<graces>[^}}|]*)(?P<brace>\}}?))
    | (?P<decoration>!(?P<name>[^!\s|\[\]:]+)!)
    | (?P<broken>>+|<+)
    | (?P<barrest>[ZX](?P<bars>[0-9]*))
    | (?P<spacer>y[0-9]*)
    | (?P<overlay>&+)
    | (?P<letter>[.~H-Wh-w])
    | (?P<other>.)
    """,
    re.VERBOSE | re.ASCII,
)
"""One construct of music code; the name of the last group says which."""

CHORD_TOKEN: Final = re.compile(
    rf"""
      (?P<note>{_NOTE})
    | (?P<tie>\.?-)
    | (?P<slur>\.?\()
    | (?P<slurend>\))
    | (?P<decoration>!(?P<name>[^!\s|\[\]:]+)!)
    | (?P<quote>"(?P<quoted>[^"]*)"?)
    | (?P<space>[ \t]+)
    | (?P<letter>[.~H-Wh-w])
    | (?P<other>.)
    """,
    re.VERBOSE | re.ASCII,
)
"""One construct inside a chord or between the braces of grace notes."""

LINE_BREAK: Final = "$"
"""The sign for the end of a line of score (6.1.1)."""


@lru_cache(maxsize=1024)
def length_factor(text: str) -> Fraction | None:
    """How many unit lengths a note lasts, from ``3``, ``/``, ``3/2``, ``//``; None if
    that is nothing, or more than a reader should believe.

    >>> [str(length_factor(text)) for text in ("", "3/2", "//", "3//", "/0")]
    ['1', '3/2', '1/4', '3/4', 'None']
    """
    top, slash, bottom = text.partition("/")
    if len(top) > 4 or len(bottom) > 8:
        return None
    number = int(top) if top else 1
    divisor = 1
    if slash:
        more = bottom.count("/")
        digits = bottom.replace("/", "")
        divisor = int(digits) << more if digits else 2 << more
    if not number or not divisor or divisor > 4096:
        return None
    return Fraction(number, divisor)
