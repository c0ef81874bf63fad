"""The sounding chord comes first: which names a chord gives to its own tones.

Root, third, fifth and seventh are named in thirds from the root, whatever the melody
does (R. T. Kelley, "Charting Enharmonicism on the Just-Intonation Tonnetz", 2003;
counted over the 180 lead sheets of OpenEWLD: root 3,666 to 2, third 2,447 to 7, fifth
4,064 to 4, minor third 808 to 11, minor seventh 992 to 9).  A double accidental, and a
C♭, F♭, E♯ or B♯ that the key doesn't have, is read under its plain name (28 to 4); only
the major third of a chord, its leading note, stays E♯ or B♯.  The fifth of a diminished
chord, its seventh and an augmented fifth are in print both ways.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

__all__ = ("is_hard_name", "own_names")

# above the root, on the line of fifths
_THIRD: Final = 4
_SETTLED: Final = frozenset((0, _THIRD, -3, 1, 5, -2))
_LOOSE: Final = frozenset((-6, 8, -9))
_HALF_DIMINISHED: Final = frozenset((-3, -6, -2))


def is_hard_name(place: int, signature: int) -> bool:
    """Whether a place on the line of fifths is a double accidental, or a C♭, F♭, E♯ or
    B♯ that the key doesn't have."""
    return not -7 < place < 11 and (
        not -8 <= place <= 12 or not -1 <= place - signature <= 5
    )


@lru_cache(maxsize=4096)
def own_names(
    tones: tuple[int, ...], signature: int, /, *, loose: bool = False
) -> tuple[int | None, ...]:
    """The names that a chord gives to its root, third, fifth and seventh.

    Args:
        tones: the chord's tones as places on the line of fifths, the root first.
        signature: the key's.
        loose: name diminished and augmented fifths and diminished sevenths too.

    Returns:
        For each pitch class the place of its name, None where the chord has no say.

    >>> D_flat_7 = (-5, -1, -4, -7)
    >>> own_names(D_flat_7, -1)[1], own_names(D_flat_7, -1)[11]  # D♭, and B for C♭
    (-5, 5)
    """
    names: list[int | None] = [None] * 12
    above = frozenset(tone - tones[0] for tone in tones)
    for tone in reversed(tones):
        degree = tone - tones[0]
        settled = degree in _SETTLED or (
            degree in _LOOSE and (loose or (degree == -6 and above >= _HALF_DIMINISHED))
        )
        if not settled:
            continue
        place = tone
        leading = degree == _THIRD and tone in (11, 12)  # E♯, B♯
        if is_hard_name(tone, signature) and not leading:
            place += 12 if tone < 2 else -12
        names[7 * tone % 12] = place
    return tuple(names)
