"""What words of form say: jumps, codas, repeats, the names of sections, endings.

The wording of the jumps is common practice (MusicXML 4.0 gives the same meanings as
attributes of ``sound``: ``dacapo``, ``dalsegno``, ``fine``, ``tocoda``); the names of
sections are those usual on lead sheets, common practice, no source.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final, Literal

from attrs import evolve, frozen

from ...leadsheet.signs import Jump, Until
from ._words import plain_words

__all__ = ("FormWords", "ending_numbers", "form_words")

_RANGE: Final = re.compile(r"([0-9]{1,2})(?:\.? ?[-–] ?([0-9]{1,2}))?", re.ASCII)
_SECTIONS: Final = frozenset(
    {
        "bridge", "chorus", "coda", "ending", "head", "interlude", "intro",
        "introduction", "outro", "pre-chorus", "prechorus", "refrain", "release",
        "shout chorus", "solo", "solos", "tag", "vamp", "verse",
    }
)  # fmt: skip
# "1st chorus", "out chorus", "verse 2"
_COUNTED_SECTION: Final = re.compile(
    r"(?:(?:1st|2nd|3rd|4th|first|second|third|fourth|final|out) )?"
    r"(?:bridge|chorus|interlude|refrain|strain|verse)(?: [1-9])?"
)
_BACK_TO: Final[dict[str, Literal["capo", "segno"]]] = {
    "d c": "capo", "dc": "capo", "da capo": "capo",
    "d s": "segno", "ds": "segno", "dal segno": "segno", "d segno": "segno",
}  # fmt: skip
_BACK: Final = re.compile(rf"({'|'.join(_BACK_TO)})(?: |$)(.*)")
_JUMP_WORDS: Final = frozenset(
    {
        "a", "al", "and", "coda", "con", "e", "end", "fine", "la", "no", "poi", "rep",
        "repeat", "repeats", "repetition", "ripetizione", "segno", "senza", "sin",
        "the", "till", "to", "until", "with", "without",
    }
)  # fmt: skip
_JUMP_PARTS: Final = _JUMP_WORDS | {
    "c", "capo", "d", "da", "dal", "dc", "dcal", "dcalcoda", "dcalfine", "ds", "dsal",
    "dsalcoda", "dsalfine", "s",
}  # fmt: skip
_TIMES: Final = re.compile(
    r"(?:play |repeat )?(\d{1,2}) ?(?:x|×|times|repeats)(?: |$)(?:(?:then|and) )?(.*)"
)
_TIMES_SAID: Final = re.compile(
    r"\W*(?:play |repeat )?\d{1,2} ?(?:x|×|times|repeats)\b[.,:;! ]*(?:(?:then|and) )?",
    re.IGNORECASE,
)
_TO_SOLOS: Final = re.compile(
    r"(?:\d(?:st|nd|rd|th) (?:x|time) )?to (?:the )?solos?(?: p(?:age)? \d+)?"
)
# when the solos are over
_LAST: Final = re.compile(
    r"\bafter (?:the |all |last )*solos?\b"
    r"|\b(?:(?:on|at|the) )*(?:last (?:time|x|chorus)|cue)\b"
)
_FINE: Final = frozenset({"fine", "al fine"})
_TO_CODA: Final = re.compile(r"(?:(?:go )?to(?: the)?|al) (.*)")
# "D.C. al 2nd ending"
_TO_ENDING: Final = re.compile(
    r"\b(?:al|to|till|until)(?: the)? (?:2|2nd|second|last) (?:ending|time bar)\b"
)
# "coda 2", "2nd coda", "coda II"
_CODA: Final = re.compile(r"([12])(?:st|nd) coda|coda ([12]|ii?)\b|coda(?: coda)?")
# words of a jump that a file runs together
_GLUED: Final = re.compile(
    r"(?<=[cs])(?=al ?(?:coda|fine|segno)\b)|(?<=al)(?=(?:coda|fine|segno)\b)"
)


@frozen(order=False)
class FormWords:
    """What words of form say.  `rest` is what of them is left to print, `coda` the
    number of a coda; words that say *3x* may say a jump or fine besides.  A jump
    `to_ending` ends with the last ending."""

    kind: Literal[
        "jump", "fine", "to-coda", "to-solos", "coda", "segno", "section", "times"
    ]
    rest: str = ""
    jump: Jump | None = None
    times: int = 0
    fine: bool = False
    coda: int = 1
    to_ending: bool = False


@lru_cache(maxsize=2048)
def form_words(words: str, *, enclosed: bool = False) -> FormWords | None:
    """What cleaned words say of the form, if anything; in a frame they name a section.

    >>> form_words("D.C.alCoda").jump.until, form_words("3x then D.S.").times
    ('coda', 3)
    >>> form_words("Verse:").kind, form_words("lazily")
    ('section', None)
    """
    low = " ".join(re.sub(r"[.,:;!()]+", " ", plain_words(words).lower()).split())
    low = " ".join(_GLUED.sub(" ", low).split())
    # the coda sign that a word alone leads to is no letter
    low = "to coda" if low == "to" else low
    if _TO_SOLOS.fullmatch(low):
        return FormWords("to-solos")
    last = _LAST.search(low)
    if last:
        rest = " ".join(f"{low[: last.start()]} {low[last.end() :]}".split())
        found = _at_the_end(rest, last[0], words)
        if found is not None:
            return found
    times = _TIMES.fullmatch(low)
    if times:
        return _passes_in(int(times[1]), times[2], words)
    back = _BACK.fullmatch(low)
    if back:
        return _jump(back[1], back[2], words)
    if low in _FINE:
        return FormWords("fine")
    leave = _TO_CODA.fullmatch(low)
    number = _coda_number(leave[1] if leave else low)
    if leave and number:
        return FormWords("to-coda", coda=number)
    if low == "segno":
        return FormWords("segno")
    if enclosed:
        return FormWords("section", words)
    if number:
        return FormWords("coda", coda=number)
    if low in _SECTIONS or _COUNTED_SECTION.fullmatch(low):
        return FormWords("section", words.rstrip(":. "))
    return None


def _at_the_end(low: str, when: str, printed: str) -> FormWords | None:
    """What words say beside those that mean when the solos are over; a cue may be for
    something else too, so it is left to print."""
    back = _BACK.fullmatch(low)
    if back:
        said = _jump(back[1], back[2], printed)
        if when.endswith("cue"):
            return evolve(said, rest=when)
        if said.jump is not None:
            return evolve(said, jump=evolve(said.jump, after_solos=True))
    if low in _FINE:
        return FormWords("fine", when)
    leave = _TO_CODA.fullmatch(low)
    number = _coda_number(leave[1]) if leave else 0
    return FormWords("to-coda", when, coda=number) if number else None


def _passes_in(times: int, rest: str, printed: str) -> FormWords:
    """Words such as *3x*, with what they say besides."""
    if rest in ("", *_FINE):
        return FormWords("times", times=times, fine=rest in _FINE)
    back = _BACK.fullmatch(rest)
    if back:
        said = _jump(back[1], back[2], printed)
        return evolve(said, kind="times", times=times)
    return FormWords("times", rest=_TIMES_SAID.sub("", printed), times=times)


def _coda_number(low: str) -> int:
    """Which coda words name, 0 for none."""
    coda = _CODA.fullmatch(low)
    if coda is None:
        return 0
    said = coda[1] or coda[2] or "1"
    return 2 if said in ("2", "ii") else 1


def _jump(back: str, low: str, printed: str) -> FormWords:
    until: Until = ""
    to_ending = _TO_ENDING.search(low) is not None
    low = _TO_ENDING.sub("al fine", low)
    named = _CODA.search(low)
    words = (_CODA.sub("coda", low)).split()
    if "segno" in words and _BACK_TO[back] == "capo":
        until = "segno"
    elif "coda" in words:
        until = "coda"
    elif "fine" in words or "end" in words:
        until = "fine"
    repeats = any(word.startswith(("rep", "rip")) for word in words) and not (
        {"no", "without", "senza", "sin"} & set(words)
    )
    coda = _coda_number(named[0]) if named else 1
    jump = Jump(_BACK_TO[back], until, repeats, coda)
    known = _JUMP_WORDS.issuperset(words)
    rest = "" if known else _beside_jump(printed)
    return FormWords("jump", rest, jump=jump, to_ending=to_ending)


def _beside_jump(printed: str) -> str:
    """What words say besides the jump that they begin with.

    >>> _beside_jump("D.C. al Fine (2nd time only)")
    '(2nd time only)'
    """
    words = printed.split()
    while words and _letters(words[0]) in _JUMP_PARTS:
        del words[0]
    return " ".join(words) if len(words) < len(printed.split()) else printed


def _letters(word: str) -> str:
    return re.sub(r"\W", "", word).lower()


def ending_numbers(text: str) -> tuple[int, ...]:
    """The passes an ending is for, from ``1``, ``1, 2``, ``1.-3.`` and the like.

    >>> ending_numbers("1.-3."), ending_numbers("1, 3"), ending_numbers("x")
    ((1, 2, 3), (1, 3), ())
    """
    passes: set[int] = set()
    for first, last in _RANGE.findall(text[:60]):
        passes.update(range(int(first), int(last or first) + 1))
    passes.discard(0)
    return tuple(sorted(passes))
