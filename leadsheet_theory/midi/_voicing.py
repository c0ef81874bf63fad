"""Which keys the accompaniment plays: guide tones that move as little as they can, and
a bass.

Sources: R. Hutchinson, *Music Theory for the 21st-Century Classroom* 31.7 (guide tones
move by step; with a suspended fourth that stands for the third, in a sixth chord the
sixth for the seventh).  Registers from memory: guide tones D3 to C5, bass E1 to G3.
"""

from __future__ import annotations

from itertools import product
from typing import Final

from ..chords import Chord, ChordSymbol, NoChord

__all__ = ("bass_key", "guide_keys")

_LOWEST, _HIGHEST = 50, 72
_BASS_LOWEST, _BASS_HIGHEST = 28, 55
_MIDDLE: Final = (57, 62)
_FIRST_BASS: Final = 40


def guide_keys(symbol: ChordSymbol, before: tuple[int, ...]) -> tuple[int, ...]:
    """The MIDI keys of a chord's guide tones, near those of the chord before."""
    if isinstance(symbol, NoChord):
        return ()
    chord = symbol if isinstance(symbol, Chord) else symbol.upper
    tones = [tone.pitch_class for tone in chord.guide_tones]
    for tone in (*chord.tones[2:], *chord.tones):  # a triad: with its fifth
        if len(tones) < 2 and tone.pitch_class not in tones:
            tones.append(tone.pitch_class)
    places = [
        [key for key in range(_LOWEST, _HIGHEST + 1) if key % 12 == tone]
        for tone in tones
    ]
    near = before or _MIDDLE
    best: tuple[int, ...] = min(
        product(*places), key=lambda keys: (_distance(keys, near), sum(keys))
    )
    return tuple(sorted(best))


def _distance(keys: tuple[int, ...], before: tuple[int, ...]) -> int:
    """How far the voices move, low to low and high to high."""
    if len(keys) != len(before):
        return sum(min(abs(key - other) for other in before) for key in keys)
    return sum(
        abs(key - other) for key, other in zip(sorted(keys), before, strict=True)
    )


def bass_key(symbol: ChordSymbol, before: int | None) -> int | None:
    """The MIDI key of the bass: the written one, else the root; near the one before."""
    if isinstance(symbol, NoChord):
        return None
    chord = symbol if isinstance(symbol, Chord) else symbol.lower
    tone = (chord.bass or chord.root).pitch_class
    near = _FIRST_BASS if before is None else before
    keys = [k for k in range(_BASS_LOWEST, _BASS_HIGHEST + 1) if k % 12 == tone]
    return min(keys, key=lambda key: (abs(key - near), key))
