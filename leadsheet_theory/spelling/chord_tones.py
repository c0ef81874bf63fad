"""The sounding chord comes first: which names a chord gives to its own tones.

Root, third, fifth and seventh are named in thirds from the root, whatever the melody
does (R. T. Kelley, "Charting Enharmonicism on the Just-Intonation Tonnetz", 2003;
counted over the 180 lead sheets of OpenEWLD: root 3,666 to 2, third 2,447 to 7, fifth
4,064 to 4, minor third 808 to 11, minor seventh 992 to 9).  Two names give way: a
double accidental, and a C♭, F♭, E♯ or B♯ that the key doesn't have, where the key has
its plain name or the chord is diminished: over A♭m7 the third is B in C major.  Where
the key has neither name, both are in print, and the melody decides (but a major third,
the leading note of its chord, stays E♯ or B♯); so it does for the fifth of a diminished
chord, its seventh and an augmented fifth.  A note that leaves another by a semitone
down and returns keeps the name of a lower neighbour over a minor third or seventh
(*Open Music Theory* v1, "Chromatic solfege syllables"; 280 to 5).
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

__all__ = ("is_hard_name", "own_names", "own_tone")

# above the root, on the line of fifths
_SETTLED: Final = frozenset((0, 4, -3, 1, 5, -2))
_LEADING: Final = 4
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
        loose: name what is in print both ways too, as the chord has it.

    Returns:
        For each pitch class the place of its name, None where the chord has no say.

    >>> A_flat_minor = (-4, -7, -3)
    >>> own_names(A_flat_minor, 0)[11], own_names(A_flat_minor, -6)[11]  # B, C♭
    (5, -7)
    """
    names: list[int | None] = [None] * 12
    above = {tone - tones[0] for tone in tones}
    diminished = -6 in above and -3 in above and -2 not in above
    for tone, settled in reversed(_own_tones(tones)):
        if not settled and not loose:
            continue
        if not is_hard_name(tone, signature):
            names[7 * tone % 12] = tone
            continue
        plain = tone + (12 if tone < 2 else -12)
        if diminished or not -8 <= tone <= 12 or -1 <= plain - signature <= 5:
            names[7 * tone % 12] = plain
        elif loose or tone == tones[0] + _LEADING:
            names[7 * tone % 12] = tone
    return tuple(names)


@lru_cache(maxsize=4096)
def own_tone(tones: tuple[int, ...], pitch_class: int, /) -> tuple[int, bool] | None:
    """The root, third, fifth or seventh that a pitch class is: its place in thirds from
    the root, and whether it is settled (not in print both ways); or None.

    >>> own_tone((2, 6, 3, 0), 6), own_tone((2, -1, -4), 8)  # F♯ of D7, A♭ of D°
    ((6, True), (-4, False))
    """
    return next(
        (each for each in _own_tones(tones) if 7 * each[0] % 12 == pitch_class), None
    )


def _own_tones(tones: tuple[int, ...]) -> list[tuple[int, bool]]:
    above = frozenset(tone - tones[0] for tone in tones)
    half_diminished = above >= _HALF_DIMINISHED
    return [
        (tone, degree in _SETTLED or (half_diminished and degree == -6))
        for tone in tones
        if (degree := tone - tones[0]) in _SETTLED | _LOOSE
    ]
