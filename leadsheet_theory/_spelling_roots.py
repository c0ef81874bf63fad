"""The search behind :func:`leadsheet_theory.spelling.spell_chord_roots`.

Every root has one or two plain names; the best sequence of names is a
shortest path over places on the line of fifths.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from typing import Final

# What a root's spelling costs; the unit is about one step on the line of fifths
# too far from the key.
ODD_ROOT: Final = 80
"""A root named E♯, B♯, C♭ or F♭ that is not diatonic in the key."""
FALLING_SHARP: Final = 8
"""A diminished chord that falls a semitone and stands on a raised root."""
RISING_FLAT: Final = 16
"""A diminished chord that rises a semitone and stands on a lowered root."""
LEAVING_SOURCE: Final = 3
"""A root that leaves the letter which the source's own spelling gives."""

# how far a root lies from the middle of the key's seven notes (from the flat
# side to the sharp side), and the cost: lowered roots are more at home than raised
DISTANCE: Final[dict[int, int]] = {
    -9: 30, -8: 22, -7: 12, -6: 5, -5: 3, -4: 2,
    -3: 0, -2: 0, -1: 0, 0: 0, 1: 0, 2: 0, 3: 0,
    4: 4, 5: 6, 6: 8, 7: 12, 8: 16, 9: 30,
}  # fmt: skip
FURTHER: Final = 40

# the motion from one root to the next on the line of fifths, either way
_MOTION: Final[tuple[int, ...]] = (0, 0, 0, 1, 1, 1, 3, 5, 8, 10, 12, 16, 20)
MOTION: Final[dict[int, int]] = {
    motion: _MOTION[min(abs(motion), 12)] for motion in range(-24, 25)
}

# root places E♯, B♯ and beyond, C♭, F♭ and beyond
_ODD_ABOVE: Final = 11
_ODD_BELOW: Final = -7

DIMINISHED: Final = frozenset(("diminished", "half-diminished"))


def place_cost(place: int, signature: int) -> int:
    """What a root costs in a key, its neighbours apart."""
    distance = place - signature - 2
    cost = DISTANCE.get(distance, FURTHER)
    odd = place <= _ODD_BELOW or place >= _ODD_ABOVE
    return cost + ODD_ROOT if odd and not -3 <= distance <= 3 else cost


@cache
def root_options(pitch_class: int, signature: int) -> tuple[tuple[int, int], ...]:
    """The places on the line of fifths with at most one accidental, and their costs."""
    first = 7 * pitch_class % 12
    places = [f for f in (first - 12, first, first + 12) if -8 <= f <= 12]
    return tuple((place, place_cost(place, signature)) for place in places)


def direction_cost(place: int, signature: int, step: int) -> int:
    """What a diminished root costs that moves `step` semitones to the next bass."""
    distance = place - signature - 2
    if abs(distance) > 3:
        if step == 1 and distance < 0:
            return RISING_FLAT
        if step == 11 and distance > 0:
            return FALLING_SHARP
    return 0


def best_roots(
    chords: Sequence[tuple[int, str, int]],
    signatures: Sequence[int],
    *,
    leanings: Sequence[int | None] | None = None,
    fixed: Mapping[int, int] | None = None,
) -> list[int]:
    """The places of the roots on the line of fifths.

    Args:
        chords: pitch class of the root, colour, and pitch class of the bass.
        signatures: the key signature at each chord.
        leanings: the place that the source's spelling gives, where there is one.
        fixed: places that are asked for, by index.
    """
    places: list[list[int]] = []
    backs: list[list[int]] = []
    costs: list[int] = []
    last = len(chords) - 1
    for index, (root, colour, bass) in enumerate(chords):
        options = root_options(root, signatures[index])
        if fixed and index in fixed:
            options = ((fixed[index], 0),)
        directed = colour in DIMINISHED and index < last and len(options) > 1
        step = (chords[index + 1][2] - bass) % 12 if directed else 0
        lean = leanings[index] if leanings else None
        here: list[int] = []
        back: list[int] = []
        earlier = places[-1] if places else ()
        for place, cost in options:
            if step in (1, 11):
                cost += direction_cost(place, signatures[index], step)
            if lean is not None and place != lean:
                cost += LEAVING_SOURCE
            way = 0
            if earlier:
                best = costs[0] + MOTION[place - earlier[0]]
                if len(earlier) > 1:
                    other = costs[1] + MOTION[place - earlier[1]]
                    if other < best:
                        best, way = other, 1
                cost += best
            here.append(cost)
            back.append(way)
        costs = here
        places.append([place for place, _ in options])
        backs.append(back)
    return _traced(costs, places, backs)


def _traced(
    costs: list[int], places: list[list[int]], backs: list[list[int]]
) -> list[int]:
    if not costs:
        return []
    at = costs.index(min(costs))
    path: list[int] = []
    for options, back in zip(reversed(places), reversed(backs), strict=True):
        path.append(options[at])
        at = back[at]
    path.reverse()
    return path
