"""The words over a staff: pieces and glyphs as plain text, chords typed as text."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache
from typing import Final

from ...chords import (
    PLAIN_LETTERS,
    Chord,
    ChordSymbol,
    NoChord,
    print_chord,
    retyped,
    typed_chords,
    typed_sounds,
)
from ...interval import Interval

__all__ = (
    "MAX_WORDS",
    "at_concert_pitch",
    "chords_in",
    "clean_words",
    "joined",
    "plain_words",
)

MAX_WORDS: Final = 200
"""The longest text, in characters, that can mean more than its words."""

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
_NO_CHORD: Final = frozenset({"n c", "nc", "no chord"})


def clean_words(text: str) -> str:
    """The words with white space drawn together."""
    return " ".join(text.split())


def joined(pieces: Iterable[str]) -> str:
    """Words that a file gives in several pieces, as one text."""
    text = ""
    for piece in pieces:
        open_end = text and not text[-1].isspace()
        text += f" {piece}" if open_end and piece[:1].isalnum() else piece
    return clean_words(text)


def plain_words(words: str) -> str:
    """The words with the signs of music fonts among them as letters."""
    return words.translate(_GLYPHS)


@lru_cache(maxsize=2048)
def chords_in(words: str) -> tuple[ChordSymbol, ...]:
    """The chord symbols that cleaned words are, one or several; none for other words.

    >>> [str(symbol) for symbol in chords_in("Am7-D7")], chords_in("lazily")
    (['Am7', 'D7'], ())
    """
    plain = plain_words(words)
    low = " ".join(re.sub(r"[.,:;!()]+", " ", plain.lower()).split())
    return (NoChord(source=words),) if low in _NO_CHORD else typed_chords(plain)


def at_concert_pitch(words: str, shift: Interval) -> str:
    """The words of a transposed source with the sounds that they name brought to
    concert pitch.

    >>> at_concert_pitch("over a G pedal", Interval.parse("-M2"))
    'over a F pedal'
    """
    names = []
    sounds = typed_sounds(words).sounds
    for sound in sounds:
        moved = sound.symbol.transposed(shift)
        if isinstance(moved, Chord) and sound.is_pedal:
            names.append(str(moved.root))
        else:
            names.append(print_chord(moved, PLAIN_LETTERS))
    return retyped(words, sounds, names)
