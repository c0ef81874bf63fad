"""Naming a chord from its notes: candidate symbols, the likeliest first.

The order is by judgement (common practice, no source): a chord that is
complete in root position comes before one that lacks a fifth, an inversion or
a chord over a foreign bass, and an everyday chord before a rare one.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import Final

from attrs import frozen

from .._doors import door
from ..key import Key, as_key
from ..pitch import NoteName, PitchClass
from ..spelling._root_search import is_odd_root
from .quality import Degree, Quality
from .symbol import Chord

__all__ = ("ChordName", "name_chord")

# qualities by how common they are on lead sheets; one line is one rank
_COMMON: Final[tuple[tuple[str, ...], ...]] = (
    ("1 3 5", "1 b3 5", "1 3 5 b7", "1 b3 5 b7", "1 3 5 7"),
    ("1 b3 b5 b7", "1 b3 b5 bb7", "1 3 5 6", "1 b3 5 6", "1 3 5 b7 9", "1 3 5 b7 b9"),
    ("1 b3 b5", "1 3 #5", "1 4 5", "1 4 5 b7", "1 3 #5 b7", "1 b3 5 b7 9", "1 3 5 7 9",
     "1 3 5 b7 9 11 13", "1 3 5 6 9"),
    ("1 b3 5 7", "1 3 5 b7 #9", "1 3 b5 b7", "1 3 5 b7 9 #11", "1 3 5 b7 #11",
     "1 4 5 b7 9", "1 3 5 9", "1 b3 5 b7 9 11", "1 b3 5 6 9", "1 3 5 b7 b9 13",
     "1 3 5 7 #11", "1 2 5", "1 5"),
    ("1 3 5 b7 13", "1 3 5 b7 b13", "1 3 #5 b7 9", "1 3 #5 b7 b9", "1 3 #5 b7 #9",
     "1 b3 5 9", "1 4 5 b7 9 13", "1 4 5 b7 b9", "1 3 5 7 9 #11", "1 3 #5 7",
     "1 3 5 7 9 11 13", "1 b3 5 b7 9 11 13", "1 b3 b5 b7 9", "1 b3 5 b7 11",
     "1 3 5 b7 b9 b13", "1 3 5 b7 #9 b13", "1 3 5 b7 9 #11 13", "1 3 b5 b7 9",
     "1 3 5 b7 9 11"),
    ("1 b3 5 7 9", "1 3 5 b7 b9 #11", "1 3 5 b7 #9 #11", "1 3 b5 b7 b9",
     "1 3 b5 b7 #9", "1 3 5 b7 #9 13", "1 3 b5 7", "1 b3 b5 7", "1 3 #5 7 9",
     "1 b3 b5 b7 9 11", "1 3 5 6 9 #11", "1 3 5 7 9 #11 13", "1 3 b5", "1 2 4 5",
     "1 3 5 #11", "1 3 5 11", "1 b3 b5 bb7 9", "1 4 5 7", "1 b3 5 11",
     "1 3 b5 #5 b7 b9 #9", "1 b3 5 b6", "1 b3 #5 b7", "1 2 5 b7", "1 3 5 7 11",
     "1 3 5 7 9 11"),
)  # fmt: skip
_FIFTH: Final = Degree(5)
_ELEVENTH: Final = Degree(11)
_NINTH: Final = Degree(9)
_THIRTEENTH: Final = Degree(13)


@frozen(order=False)
class ChordName:
    """One name for some notes.

    `missing` are the degrees of the chord that the notes leave out.  `cost`
    ranks the names: the lower, the likelier.
    """

    chord: Chord
    missing: tuple[Degree, ...]
    cost: int

    def __str__(self) -> str:
        lacking = ", ".join(map(str, self.missing))
        return f"{self.chord} without {lacking}" if lacking else str(self.chord)


@door
def name_chord(
    sounds: Iterable[int],
    /,
    *,
    key: Key | str,
    bass: int | None = None,
    most: int = 8,
) -> tuple[ChordName, ...]:
    """The chord symbols that some notes may be, the likeliest first.

    Roots and basses are spelled in the key.

    >>> c = Key.parse("C")
    >>> [str(name) for name in name_chord([0, 4, 7, 9], key=c, bass=0, most=3)]
    ['C6', 'Am7/C']

    Args:
        sounds: pitch classes or MIDI keys, in any order.
        key: the key in force, or its text.
        bass: the lowest of them, or None if it is not known (then only names in
            root position come out).
        most: how many names at most.
    """
    key = as_key(key)
    present = frozenset(sound % 12 for sound in sounds)
    low = None if bass is None else bass % 12
    if low is not None:
        present |= {low}
    names: dict[tuple[int, Quality, int | None], ChordName] = {}
    for root in sorted(present):
        for quality, missing, cost in _matches(_above(present, root)):
            extra = 0 if low is None or low == root else 2
            _keep(names, root, quality, missing, cost + extra, low=low, key=key)
    if low is not None and len(present) > 3:
        upper = present - {low}
        for root in sorted(upper):
            for quality, missing, cost in _matches(_above(upper, root)):
                if not missing:
                    _keep(names, root, quality, missing, cost + 4, low=low, key=key)
    ranked = sorted(
        names.values(), key=lambda name: (name.cost, len(str(name.chord)), str(name))
    )
    return tuple(ranked[:most])


def _keep(
    names: dict[tuple[int, Quality, int | None], ChordName],
    root: int,
    quality: Quality,
    missing: tuple[Degree, ...],
    cost: int,
    *,
    low: int | None,
    key: Key,
) -> None:
    """Note a name, unless a cheaper one for the same chord is there."""
    place = (root, quality, low)
    known = names.get(place)
    if known is not None and known.cost <= cost:
        return
    name = _spell_root(PitchClass(root), quality, key=key)
    chord = Chord(name, quality)
    if low is not None and low != root:
        chord = Chord(name, quality, _spelled_bass(chord, low, key))
    names[place] = ChordName(chord, missing, cost)


def _spelled_bass(chord: Chord, low: int, key: Key) -> NoteName:
    """The bass as the chord tone that it sounds, else as the key spells it."""
    for tone in chord.tones:
        if tone.pitch_class == low:
            return tone
    return _spell_root(PitchClass(low), Quality([Degree(1)]), key=key)


@lru_cache(maxsize=4096)
def _matches(
    sounds: frozenset[int],
) -> tuple[tuple[Quality, tuple[Degree, ...], int], ...]:
    """The qualities that sound so above a root, with what they lack and a cost."""
    return tuple(_complete().get(sounds, ()))


@lru_cache(maxsize=1)
def _complete() -> dict[frozenset[int], list[tuple[Quality, tuple[Degree, ...], int]]]:
    """Every sound of the table, whole or less the tones that players leave out."""
    found: dict[frozenset[int], list[tuple[Quality, tuple[Degree, ...], int]]] = {}
    for rank, formulas in enumerate(_COMMON):
        for formula in formulas:
            quality = Quality.from_formula(formula)
            for missing in _omissions(quality):
                left = frozenset(
                    d.semitones % 12 for d in quality.degrees if d not in missing
                )
                light = missing == (_ELEVENTH,)
                cost = rank if not missing or light else rank + 2 + len(missing)
                found.setdefault(left, []).append((quality, missing, cost))
    return found


def _omissions(quality: Quality) -> list[tuple[Degree, ...]]:
    """What players leave out: a perfect fifth, the third of a seventh chord, the 11th
    of a 13th chord, with it the ninth, and the ninth of an 11th chord."""
    degrees = quality.degrees
    if len(degrees) == 4 and any(degree.number == 7 for degree in degrees):
        thirds = [degree for degree in degrees if degree.number == 3]
        if _FIFTH in degrees and thirds:
            return [(), (_FIFTH,), (thirds[0],)]
    fifths = [(), (_FIFTH,)] if len(degrees) > 2 and _FIFTH in degrees else [()]
    upper: list[tuple[Degree, ...]] = [()]
    if _THIRTEENTH in degrees and _ELEVENTH in degrees:
        upper += [(_ELEVENTH,), (_NINTH, _ELEVENTH)]
    if _ELEVENTH in degrees and _NINTH in degrees and _THIRTEENTH not in degrees:
        upper += [(_NINTH,)]
    return [fifth + above for fifth in fifths for above in upper]


def _above(sounds: frozenset[int], root: int) -> frozenset[int]:
    return frozenset((sound - root) % 12 for sound in sounds)


@lru_cache(maxsize=4096)
def _spell_root(sound: PitchClass, quality: Quality, /, *, key: Key) -> NoteName:
    """The name of a root that puts the chord's tones nearest to the key's notes.

    Names that are hard to read (C♭, E♯ …) name a root only where the key has them.

    >>> minor_seventh = Quality.from_formula("1 b3 5 b7")
    >>> str(_spell_root(PitchClass(8), minor_seventh, key=Key.parse("Gb")))
    'Ab'
    """
    lowest, highest = key.signature - 1, key.signature + 5
    best: tuple[tuple[int, int, int], NoteName] | None = None
    for fifths in range(-8, 13):
        name = NoteName.from_fifths(fifths)
        if name.pitch_class != sound:
            continue
        tones = [tone.fifths for tone in Chord(name, quality).tones]
        outside = sum(max(0, t - highest, lowest - t) for t in tones)
        double = sum(max(0, abs(NoteName.from_fifths(t).alter) - 1) for t in tones)
        odd = len(tones) > 1 and is_odd_root(fifths, key.signature)
        rank = (
            outside + 2 * double + 6 * odd,
            abs(name.alter),
            abs(fifths - lowest - 3),
        )
        if best is None or rank < best[0]:
            best = (rank, name)
    assert best is not None
    return best[1]
