"""Chord symbols and notes that stand among the words over a staff."""

from __future__ import annotations

import re
from typing import Final

from attrs import frozen

from ..errors import ChordSymbolError
from ._parse import parse_chord
from .symbol import ChordSymbol

__all__ = ("TypedSound", "typed_chord", "typed_sound")

# letter, accidental, and something that only a chord symbol has
_CHORD: Final = re.compile(
    r"[A-G](?:#|b|♯|♭)?(?:[mM7969\-+°øΔ(]|1[13]|maj|min|dim|aug|sus|add|/[A-G]).*"
)
_NOTE: Final = "([A-G](?:#|b|♯|♭)?)"
_PEDAL: Final = re.compile(
    rf"(?<!\w){_NOTE} ?[Pp]ed(?:al)?\b|\b[Pp]edal (?:on |point )?{_NOTE}(?=[).]?$)"
)


def typed_chord(words: str, /) -> ChordSymbol | None:
    """The chord symbol that words over a staff are, or None for other words.

    A letter alone is none, as it may name anything.

    >>> print(typed_chord("Eb 7/Bb"), typed_chord("A"), typed_chord("Ad lib."))
    Eb7/Bb None None
    """
    compact = words.replace(" ", "")
    if not _CHORD.fullmatch(compact):
        return None
    try:
        return parse_chord(compact)
    except ChordSymbolError:
        return None


@frozen(order=False)
class TypedSound:
    """A sound that words name: the chord, or the major triad on a pedal's note, and
    where its letters start and end in the words."""

    symbol: ChordSymbol
    start: int
    end: int


def typed_sound(words: str, /) -> TypedSound | None:
    """The sound that words over a staff name: a chord symbol that they are, or the
    note of a pedal; None for other words.

    >>> sound = typed_sound("over a Bb pedal")
    >>> str(sound.symbol), sound.start, sound.end
    ('Bb', 7, 9)
    """
    pedal = _PEDAL.search(words)
    if pedal is not None:
        group = 1 if pedal[1] else 2
        return TypedSound(parse_chord(pedal[group]), *pedal.span(group))
    chord = typed_chord(words)
    return None if chord is None else TypedSound(chord, 0, len(words))
