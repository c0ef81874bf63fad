"""The words in the names of instruments, with the abbreviations parts use.

What other languages call them stands in ``_languages.py``.  The abbreviations are
common practice, without a published source.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from typing import Final

from .._arguments import check_text
from ._languages import GERMAN, GERMAN_KEYS, KEY_PAIRS, KEY_WORDS, LANGUAGES

__all__ = ("CHAIRS", "KEYS", "words_of")


def _plain(text: str) -> str:
    """Text without accents, in lower case."""
    letters = unicodedata.normalize("NFKD", text)
    return "".join(
        letter for letter in letters if not unicodedata.combining(letter)
    ).casefold()


# Abbreviations of single words, as printed on parts (common practice, no source).
_SHORT_WORDS: Final[dict[str, str]] = {
    short: word
    for word, shorts in {
        "accordion": "accord acc",
        "alto": "alt",
        "baritone": "bar",
        "bass": "bs",
        "bassoon": "bsn bn",
        "cello": "vc vlc violoncello vcl",
        "clarinet": "cl clar clt",
        "contrabass": "cbass contrabas",
        "double": "dbl",
        "electric": "el elec",
        "english": "eng engl",
        "euphonium": "euph eup",
        "flugelhorn": "flugel flghn flgh flg flghrn flghorn fluegelhorn",
        "flute": "fl",
        "glockenspiel": "glock glk glsp",
        "guitar": "gtr guit gt",
        "harmonica": "harm hca",
        "harpsichord": "hpschd hpsd",
        "horn": "hn hrn",
        "mandolin": "mand mdln mando mdn",
        "marimba": "mar mba",
        "oboe": "ob",
        "organ": "org",
        "piano": "pno pf",
        "piccolo": "picc pic",
        "recorder": "rec",
        "saxophone": "sax saxes saxo",
        "soprano": "sop sopr",
        "tenor": "ten",
        "timpani": "timp tmp",
        "trombone": "tbn trb tbone bone trbn trom",
        "trumpet": "tpt trp trpt tp trmpt tpet",
        "tuba": "tba tub",
        "ukulele": "uke ukelele",
        "vibraphone": "vib vibe vbp",
        "viola": "vla va",
        "violin": "vln vn vl",
        "xylophone": "xyl xylo",
    }.items()
    for short in shorts.split()
}
_WORDS_ELSEWHERE: Final[dict[str, tuple[str, ...]]] = {
    _plain(other): tuple(words.split())
    for language in LANGUAGES
    for words, others in language.items()
    for other in others.split()
}
_GERMAN_WORDS: Final = frozenset(
    _plain(word) for words in GERMAN.values() for word in words.split()
)
_PAIRS: Final = {
    **KEY_PAIRS,
    ("bass", "clef"): "bassclef",
    ("b", "c"): "bassclef",
    ("treble", "clef"): "trebleclef",
    ("t", "c"): "trebleclef",
    ("tenor", "clef"): "tenorclef",
    ("string", "bass"): "stringbass",
}
KEYS: Final = {"c": 0, "db": 1, "d": 2, "eb": 3, "e": 4, "f": 5, "g": 7, "ab": 8,
                "a": 9, "bb": 10}  # fmt: skip
CHAIRS: Final = frozenset((
    "1", "2", "3", "4", "5", "i", "ii", "iii", "iv", "v", "1st", "2nd", "3rd", "4th",
    "5th", "first", "second", "third", "fourth", "solo", "lead",
))  # fmt: skip
DRUM_SET: Final = (
    "drum set", "drums", "drum kit", "drumset", "kit", "Schlagzeug", "batterie",
    "batteria", "batería",
)  # fmt: skip
"""What a drum set is called; it has no pitches, so no row among the instruments."""

_FILLERS: Final = frozenset(("in", "en", "the", "part"))


@lru_cache(maxsize=4096)
def words_of(name: str) -> tuple[str, ...]:
    """The words of a name in lower case and in English, abbreviations spelled out,
    fillers gone."""
    check_text(name)
    if not any(letter.isalnum() for letter in name):
        return ()
    plain = _plain(name.replace("♭", "b"))
    plain = plain.replace("-flat", "b").replace(" flat", "b")
    plain = "".join(letter if letter.isalnum() else " " for letter in plain)
    rough = plain.split()
    keys = KEY_WORDS if _GERMAN_WORDS.isdisjoint(rough) else GERMAN_KEYS
    words: list[str] = []
    place = 0
    while place < len(rough):
        pair = _PAIRS.get((rough[place], (rough[place + 1 :] or [""])[0]))
        word = pair or rough[place]
        place += 2 if pair else 1
        if word not in _FILLERS:
            words.extend(_english(keys.get(word, word)))
    return tuple(words)


def _english(word: str) -> tuple[str, ...]:
    """A word spelled out, in the singular and in English."""
    word = {"bc": "bassclef", "tc": "trebleclef"}.get(word, word)
    known = word in _SHORT_WORDS or word in _WORDS_ELSEWHERE
    if not known and len(word) > 4 and word[-1] == "s" != word[-2]:
        word = word[:-1]
    if word in _WORDS_ELSEWHERE:
        return _WORDS_ELSEWHERE[word]
    return (_SHORT_WORDS.get(word, word),)
