"""What the words over a staff mean: jumps, sections, chords typed as text.

The wording of the jumps is common practice (MusicXML 4.0 gives the same
meanings as attributes of ``sound``: ``dacapo``, ``dalsegno``, ``fine``,
``tocoda``); the names of sections are those usual on lead sheets, common
practice, no source.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final, Literal

from attrs import frozen

from ...chords import ChordSymbol, NoChord, typed_chord
from ...leadsheet.signs import Jump

__all__ = ("MAX_WORDS", "Meaning", "clean_words", "meaning_of")

MAX_WORDS: Final = 200
"""The longest text, in characters, that can mean more than its words."""

_SECTIONS: Final = frozenset(
    {
        "bridge", "chorus", "coda", "ending", "head", "interlude", "intro",
        "introduction", "outro", "pre-chorus", "prechorus", "refrain", "release",
        "shout chorus", "solo", "solos", "tag", "vamp", "verse",
    }
)  # fmt: skip
# signs within words: the Unicode and SMuFL codes of segno and coda as words;
# SMuFL accidentals, and (from memory, agreeing with files seen) the private
# codes that an older text font gave to sharp, flat and natural
_GLYPHS: Final = {
    0x1D10B: " segno ",
    0xE047: " segno ",
    0x1D10C: " coda ",
    0xE048: " coda ",
    0xE260: "b",
    0xE262: "#",
    0xE10C: "#",
    0xE10D: "b",
}
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
_TIMES: Final = re.compile(r"(?:play )?(\d{1,2}) ?(?:x|×|times)(?: |$)(.*)")
_FINE: Final = frozenset({"fine", "al fine"})
_TO_CODA: Final = frozenset({"to coda", "to the coda", "al coda", "go to coda"})


@frozen(order=False)
class Meaning:
    """What words say.  `rest` is what of them is left to print."""

    kind: Literal[
        "words", "jump", "fine", "to-coda", "coda", "segno", "section", "times",
        "chord",
    ]  # fmt: skip
    rest: str = ""
    jump: Jump | None = None
    times: int = 0
    symbol: ChordSymbol | None = None
    fine: bool = False


def clean_words(text: str) -> str:
    """The words with white space drawn together."""
    return " ".join(text.split())


@lru_cache(maxsize=2048)
def meaning_of(words: str, *, enclosed: bool = False) -> Meaning:
    """What cleaned words say; in a frame they name a section.

    >>> meaning_of("D.S. al Coda").jump
    Jump(back_to='segno', until='coda', with_repeats=False)
    >>> meaning_of("Verse:").kind, meaning_of("lazily").kind
    ('section', 'words')
    """
    plain = words.translate(_GLYPHS)
    low = " ".join(re.sub(r"[.,:;!()]+", " ", plain.lower()).split())
    times = _TIMES.fullmatch(low)
    if times:
        return Meaning(
            "times",
            times=int(times[1]),
            rest="" if times[2] in ("", *_FINE) else words,
            fine=times[2] in _FINE,
        )
    back = _BACK.fullmatch(low)
    if back:
        return _jump(back[1], back[2].split(), words)
    if low in _FINE:
        return Meaning("fine")
    if low in _TO_CODA:
        return Meaning("to-coda")
    if low == "segno":
        return Meaning("segno")
    if enclosed:
        return Meaning("section", words)
    if low == "coda":
        return Meaning("coda")
    if low in _SECTIONS:
        return Meaning("section", words.rstrip(":. "))
    if low in ("n c", "nc", "no chord"):
        return Meaning("chord", symbol=NoChord(source=words))
    symbol = typed_chord(plain)
    return (
        Meaning("words", words) if symbol is None else Meaning("chord", symbol=symbol)
    )


def _jump(back: str, words: list[str], printed: str) -> Meaning:
    until: Literal["", "fine", "coda"] = ""
    if "coda" in words:
        until = "coda"
    elif "fine" in words or "end" in words:
        until = "fine"
    repeats = any(word.startswith(("rep", "rip")) for word in words) and not (
        {"no", "without", "senza", "sin"} & set(words)
    )
    jump = Jump(_BACK_TO[back], until, repeats)
    known = _JUMP_WORDS.issuperset(words)
    return Meaning("jump", "" if known else printed, jump=jump)
