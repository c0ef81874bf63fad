"""What a chord symbol is made of.

Whatever can be read has this shape, and most of what cannot be read has not: that is
refused without the grammar, which has only to say why when somebody asks.  Each word is
taken as long as it can be, as the grammar takes it, and nothing that has been taken is
given back, so that no text is gone through in more than one way.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache
from itertools import groupby
from typing import Final

from ._words import ITEM_WORDS, QUALITY_WORDS, SIGNS
from .table import NO_CHORD_TEXTS

__all__ = ("may_be_symbol",)


def _any_of(words: Iterable[str]) -> str:
    """A pattern for the longest of some words, those of a first letter together."""
    longest_first = sorted(words, key=lambda word: (word[0], -len(word)))
    return "|".join(
        f"{re.escape(first)}(?:{'|'.join(re.escape(word[1:]) for word in group)})"
        for first, group in groupby(longest_first, key=lambda word: word[0])
    )


# the words that take more than a sign or a letter
_WORDS: Final = _any_of(
    {
        *(word for table in (QUALITY_WORDS, ITEM_WORDS)
          for group in table.values() for word, _ in group if len(word) > 1),
        "root", "Root", "rd", "st", "nd",
    }
)  # fmt: skip
_SIGN: Final = "[#b♮x𝄫]"
_BASS: Final = "[A-Ga-g][#bx𝄫]*"
_SUFFIX: Final = (
    r"(?:[\d+\-,;.)\]Δj°ø]"
    rf"|(?!ma[dD]{{2}}|M[aA][dD]{{2}})(?>{_WORDS})|[mM]"  # madd9 is m and add
    r"|o(?!n[A-Ga-g])"  # a circle, and not the "on" before a bass
    rf"|{_SIGN}(?={_SIGN}*[+\-\d])"  # before its number
    r"|(?<=[13-69])[#b]|(?<=7)#"  # or behind it
    rf"|/(?=[MmΔj]|{_SIGN}*[+\-\d])"  # before a degree, and not a bass
    rf"|\((?!bass|{_BASS}bass|on)(?=.*\))|\[(?=.*\])"  # before its other half
    r")*+"
)
_UNDER: Final = (
    rf"(?:/{_BASS}(?:bass)?"
    rf"|(?:\(bass{_BASS}\)|\({_BASS}bass\)|\(?on{_BASS}\)?)*)"
)
_CHORD: Final = rf"[A-G][#bx𝄫]*{_SUFFIX}{_UNDER}"
_NO_CHORD: Final = _any_of({text.replace(" ", "") for text in NO_CHORD_TEXTS})
_SYMBOL: Final = rf"(?:[(\[]?{_CHORD}[)\]]?(?:\|(?=.)|\Z)){{1,2}}|{_NO_CHORD}"


@lru_cache(maxsize=1)
def _shape() -> re.Pattern[str]:
    """The pattern, compiled when the first symbol needs it."""
    return re.compile(_SYMBOL, re.ASCII)


def may_be_symbol(text: str, /) -> bool:
    """Whether a text is made as chord symbols are, wherever its blanks stand.

    >>> [may_be_symbol(text) for text in ("C 7", "Bb7(b9)/D", "C7(b9", "Coda")]
    [True, True, False, False]
    """
    plain = text if text.isascii() else text.translate(SIGNS)
    compact = "".join(plain.split())
    # a number in words is read before the words that it may run into: "miseventh"
    return "th" in compact or _shape().fullmatch(compact) is not None
