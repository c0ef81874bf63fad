"""Chord symbols and notes that stand among the words over a staff."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import Final

from attrs import frozen

from ..errors import ChordSymbolError
from ._parse import parse_chord, parse_symbol
from .symbol import ChordSymbol

__all__ = (
    "TypedSound",
    "TypedSounds",
    "retyped",
    "typed_chord",
    "typed_chords",
    "typed_sounds",
)

_ROOT: Final = r"[A-G](?:#|b|♯|♭)?"
# letter, accidental, and something that only a chord symbol has
_CHORD: Final = re.compile(
    rf"{_ROOT}(?:[mM7969\-+°øΔ(]|1[13]|maj|min|dim|aug|sus|add|/[A-G]).*"
)
_PEDAL: Final = re.compile(
    rf"(?<!\w)({_ROOT}) ?[Pp]ed(?:al)?\b|\b[Pp]edal (?:on |point )?({_ROOT})(?=[).]?$)"
)
# what stands between chords that are typed in a row
_BETWEEN: Final = re.compile(r"\s+[-–|,/]?\s*|[,|;]\s*")
_HYPHEN: Final = re.compile(r"\s*[-–]\s*")
_SLASH: Final = re.compile("/")
_RUN_TOGETHER: Final = re.compile(r"(?<=[^/\s])(?=[A-G])")
# a word such as a chord symbol is made of, whether or not it is one; a letter with 1
# to 4 names a section, a letter alone anything
_PIECE: Final = (
    r"maj|min|mi|ma|dim|aug|sus|add|alt|omit|no|[mM]|"
    r"[0-9²³⁴⁵⁶⁷⁸⁹°ºøØΔ△∆+\-#b♯♭(),/]|(?<![a-z])[A-G]"
)
_LIKE: Final = re.compile(
    rf"(?<![\w♯♭#/]){_ROOT}(?:{_PIECE})*(?![\w♯♭#])"
    # B♭ instruments are called so in every key
    r"(?! ?(?:inst|part|book|sax|tr(?:um)?p|tpt|clar|cl\b|horn|cornet|tuba))"
)
_ONLY_LETTERS: Final = re.compile(r"[A-G](?:\d?[-–/,][A-G])*[1-4]?[-–),/]*|[A-G]?[1-4]")
# a root and letters that no chart prints: text that went through a wrong encoding
_NOT_PRINTED: Final = r"[^\x00-\x7f♯♭–—−°ºøØΔ△∆²³⁴⁵⁶⁷⁸⁹…’‘”“×]"
_DAMAGED: Final = re.compile(
    rf"(?<!\w){_ROOT}(?:{_PIECE})*{_NOT_PRINTED}{{1,4}}(?:{_PIECE})*(?!\w)"
)
# signs that only such text has: no language's letters, nor what a chart prints
_GARBLED: Final = re.compile(
    "[\u00a4\u00a6\u00ac-\u00af\u00b6\u0192\u2122\u2260\ufffd]"
)
_BARE: Final = re.compile(_ROOT)


def typed_chord(words: str, /) -> ChordSymbol | None:
    """The chord symbol that words over a staff are, or None for other words.

    A letter alone is none, as it may name anything.

    >>> print(typed_chord("Eb 7/Bb"), typed_chord("A"), typed_chord("Ad lib."))
    Eb7/Bb None None
    """
    compact = words.replace(" ", "")
    if not _CHORD.fullmatch(compact):
        return None
    return _parsed(compact)


def typed_chords(words: str, /) -> tuple[ChordSymbol, ...]:
    """The chord symbols that words over a staff are, one or several in a row; none for
    other words.

    >>> [str(chord) for chord in typed_chords("Bb-Bdim-Cm7-F7")]
    ['Bb', 'Bdim', 'Cm7', 'F7']
    >>> [str(chord) for chord in typed_chords("A7D7")], typed_chords("A-B")
    (['A7', 'D7'], ())
    """
    return tuple([sound.symbol for sound in _whole(words)])


@frozen(order=False)
class TypedSound:
    """A sound that words name: the chord, or the major triad on a pedal's note, and
    where its letters start and end in the words."""

    symbol: ChordSymbol
    start: int
    end: int
    is_pedal: bool = False


@frozen(order=False)
class TypedSounds:
    """The sounds that words name, and the pieces that look like chord symbols and
    cannot be read, so that nobody knows what becomes of them in another key."""

    sounds: tuple[TypedSound, ...] = ()
    unreadable: tuple[str, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.sounds or self.unreadable)


@lru_cache(maxsize=2048)
def typed_sounds(words: str, /) -> TypedSounds:
    """The sounds that words over a staff name: the chord symbols that they are or hold,
    or the note of a pedal.

    >>> (sound,) = typed_sounds("over a Bb pedal").sounds
    >>> str(sound.symbol), sound.start, sound.end
    ('Bb', 7, 9)
    >>> [str(sound.symbol) for sound in typed_sounds("2nd time Am7 D7").sounds]
    ['Am7', 'D7']
    >>> [(str(each.symbol), each.start) for each in typed_sounds("(Em)").sounds]
    [('Em', 1)]
    >>> typed_sounds("F79").unreadable, bool(typed_sounds("Am I late?"))
    (('F79',), False)
    """
    pedal = _PEDAL.search(words)
    if pedal is not None:
        group = 1 if pedal[1] else 2
        symbol = parse_chord(pedal[group])
        return TypedSounds((TypedSound(symbol, *pedal.span(group), is_pedal=True),))
    whole = _whole(words) or _bracketed(words)
    if whole:
        return TypedSounds(whole)
    damaged = _DAMAGED.search(words)
    if damaged is not None:
        return TypedSounds((), (damaged[0],))
    if _BARE.fullmatch(words.strip("()")):
        return TypedSounds((), (words,))
    return _among(words)


def _whole(words: str) -> tuple[TypedSound, ...]:
    """The sounds that the words are from end to end."""
    single = typed_chord(words)
    if single is not None:
        return (TypedSound(single, 0, len(words)),)
    for split in (_BETWEEN, _HYPHEN, _SLASH, _RUN_TOGETHER):
        row = _row(words, split)
        if row:
            return row
    return ()


def _bracketed(words: str) -> tuple[TypedSound, ...]:
    """The chord symbol that stands in brackets, to be played in place of another."""
    symbol = typed_chord(words[1:-1]) if words[:1] + words[-1:] == "()" else None
    return () if symbol is None else (TypedSound(symbol, 1, len(words) - 1),)


def _among(words: str) -> TypedSounds:
    """The sounds that stand among other words."""
    sounds: list[TypedSound] = []
    unreadable: list[str] = []
    for match in _LIKE.finditer(words):
        text = match[0].rstrip(",(-–")
        text = text if text.count("(") == text.count(")") else text.rstrip(")")
        if _ONLY_LETTERS.fullmatch(text) or not _is_strong(text, words):
            continue
        row = _whole(text) or _named(text)
        if row:
            start = match.start()
            sounds += [
                TypedSound(each.symbol, each.start + start, each.end + start)
                for each in row
            ]
        else:
            unreadable.append(text)
    if sounds and _GARBLED.search(words):
        return TypedSounds((), (words,))
    return TypedSounds(tuple(sounds), tuple(unreadable))


def _named(text: str) -> tuple[TypedSound, ...]:
    symbol = _parsed(text)
    return () if symbol is None else (TypedSound(symbol, 0, len(text)),)


def _is_strong(text: str, words: str) -> bool:
    """Whether a word is a chord symbol even among words of a language: ``Am`` and
    ``Dim`` are not."""
    return text == words or bool(re.search(r"[5-9⁵⁶⁷⁹°øΔ+#♯♭]|1[13]|[A-G]b", text))


def _row(words: str, split: re.Pattern[str]) -> tuple[TypedSound, ...]:
    """Chord symbols in a row, if the words are nothing else and at least one of them
    is more than a letter."""
    pieces = list(_pieces(words, split))
    if not 2 <= len(pieces) <= 16 or _ONLY_LETTERS.fullmatch(words):
        return ()
    sounds = []
    strong = False
    for start, end in pieces:
        text = words[start:end]
        symbol = typed_chord(text)
        strong = strong or symbol is not None or len(text) > 1
        if symbol is None and _BARE.fullmatch(text):
            symbol = _parsed(text)
        if symbol is None:
            return ()
        sounds.append(TypedSound(symbol, start, end))
    return tuple(sounds) if strong else ()


def _pieces(words: str, split: re.Pattern[str]) -> Iterator[tuple[int, int]]:
    start = 0
    for match in split.finditer(words):
        if match.start() > start:
            yield start, match.start()
        start = match.end()
    if start < len(words):
        yield start, len(words)


def _parsed(text: str) -> ChordSymbol | None:
    try:
        return parse_symbol(text)
    except ChordSymbolError:
        return None


def retyped(words: str, sounds: Sequence[TypedSound], names: Sequence[str], /) -> str:
    """Words with the sounds that they name replaced by other names.

    >>> retyped("Am7 or D7", typed_sounds("Am7 or D7").sounds, ("Bm7", "E7"))
    'Bm7 or E7'
    """
    for sound, name in reversed(list(zip(sounds, names, strict=True))):
        words = words[: sound.start] + name + words[sound.end :]
    return words
