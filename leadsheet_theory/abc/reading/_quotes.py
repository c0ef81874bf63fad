"""What stands in quotation marks over a note: chord symbols, annotations, text.

Source: The abc music standard 2.1, sections 4.18 (chord symbols) and 4.19
(annotations).  Signs of form have no name for *al fine* and *al coda* there; files say
them in words, bare or placed.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final, Literal

from attrs import frozen

from ...chords import ChordSymbol, parse_symbol
from ...errors import ChordSymbolError
from ...leadsheet.signs import Jump
from ...musicxml.reading._form_words import form_words
from ...musicxml.reading._words import MAX_WORDS, clean_words
from .._text import plain_text
from ._fields import Complaint

__all__ = ("Quoted", "form_sign", "read_quoted")

_PLACES: Final = "^_<>@"
_LOWER_BASS: Final = re.compile(r"/([a-g])(?=[b#♭♯]?(?:\(|$))")
_ALTERNATIVE: Final = re.compile(r"([^()]+?) *\( *([A-G][^()]*?) *\)")
_NO_BASS: Final = re.compile(r"([A-G].*?) */")
_LIKE_A_CHORD: Final = re.compile(
    r"[A-H][b#♭♯]?(?:[0-9mM+°øΔ(/-]|maj|min|dim|aug|sus|add)\S*"
)


@frozen(order=False, kw_only=True)
class Quoted:
    """What a quotation says: a chord symbol, a sign of form, words to print (above
    the staff or below), or several of them."""

    symbol: ChordSymbol | None = None
    form: Literal[
        "", "jump", "fine", "to-coda", "to-solos", "coda", "segno", "section", "times"
    ] = ""
    section: str = ""
    times: int = 0
    jump: Jump | None = None
    fine: bool = False
    coda: int = 1
    words: str = ""
    above: bool = True
    complaint: Complaint | None = None


@lru_cache(maxsize=4096)
def read_quoted(text: str) -> Quoted:
    """What a text in quotation marks says."""
    said = clean_words(plain_text(text))
    if said[:1] and said[0] in _PLACES:
        words = said[1:].strip()
        return _words(words, above=said[0] != "_") if words else Quoted()
    if not said:
        return Quoted(
            complaint=("empty-chord-symbol", "warning", "nothing between the quotes")
        )
    if len(said) > MAX_WORDS:
        return Quoted(words=said)
    symbol = _chord(said)
    if symbol is not None:
        return Quoted(symbol=symbol)
    either = _ALTERNATIVE.fullmatch(said)
    if either is not None:
        symbol, other = _chord(either[1]), _chord(either[2])
        if symbol is not None and other is not None:
            return Quoted(symbol=symbol, words=f"({either[2]})")
    quoted = _words(said)
    if quoted.form:
        return quoted
    no_bass = _NO_BASS.fullmatch(said)
    symbol = _chord(no_bass[1]) if no_bass is not None else None
    if symbol is not None:
        message = f"no bass note after the slash of {said!r}: read as {symbol}"
        return Quoted(symbol=symbol, complaint=("bad-chord", "warning", message))
    if said[0] == "H" and _LIKE_A_CHORD.fullmatch(said):
        rule, why = "unknown-chord-root", "a root is a letter A to G"
    elif _LIKE_A_CHORD.fullmatch(said):
        rule, why = "bad-chord", "no chord symbol is read in it"
    else:
        rule, why = "chord-text", "it is no chord symbol"
    message = f"{said[:40]!r} is carried as words: {why}"
    severity: Literal["note", "warning"] = "note" if rule == "chord-text" else "warning"
    return Quoted(words=said, complaint=(rule, severity, message))


def _chord(text: str) -> ChordSymbol | None:
    text = _LOWER_BASS.sub(lambda found: f"/{found[1].upper()}", text)
    try:
        return parse_symbol(text)
    except ChordSymbolError:
        return None


def _words(text: str, *, above: bool = True) -> Quoted:
    """Words over the staff: signs of form, or words to print."""
    if len(text) > MAX_WORDS:
        return Quoted(words=text, above=above)
    meaning = form_words(text)
    if meaning is None:
        return Quoted(words=text, above=above)
    if meaning.kind == "section":
        return Quoted(form="section", section=meaning.rest)
    return Quoted(
        form=meaning.kind,
        jump=meaning.jump,
        words=meaning.rest,
        times=meaning.times,
        fine=meaning.fine,
        coda=meaning.coda,
    )


@lru_cache(maxsize=32)
def form_sign(text: str) -> Quoted:
    """What a decoration that is a sign of form says."""
    return Quoted(form="to-coda") if text == "dacoda" else _words(text)
