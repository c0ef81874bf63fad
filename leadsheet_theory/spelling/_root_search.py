"""The search behind the spelling of chord roots.

Every root has one or two plain names; the best sequence of names is a
shortest path over places on the line of fifths.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Final

from ._weights import (
    FOREIGN_ROOT,
    LEAVING_SOURCE,
    ODD_ROOT,
    RAISED_ROOT,
    ROOT_FROM_LAST,
    ROOT_MOTION,
    ROOT_TO_NEXT,
)

__all__ = ("best_roots", "is_hard_to_read", "is_odd_root")

_DIMINISHED: Final = frozenset(("diminished", "half-diminished"))
_MOTIONS: Final[dict[int, int]] = {
    motion: ROOT_MOTION[min(abs(motion), 12)] for motion in range(-48, 49)
}


def is_hard_to_read(place: int) -> bool:
    """Whether a name is C♭, F♭, E♯ or B♯, or has a double accidental: all that lies
    beyond G♭ and A♯ on the line of fifths.  Common practice, no source."""
    return not -6 <= place <= 10


def is_odd_root(place: int, signature: int) -> bool:
    """Whether a root has a name that is hard to read and not of the key."""
    return is_hard_to_read(place) and not -1 <= place - signature <= 5


@cache
def _options(
    pitch_class: int, signature: int, colour: str
) -> tuple[tuple[int, int], ...]:
    """The places with at most one accidental, and what each costs in the key."""
    first = 7 * pitch_class % 12
    found: list[tuple[int, int]] = []
    for place in (first - 12, first, first + 12):
        if not -8 <= place <= 12:
            continue
        degree = place - signature
        if -1 <= degree <= 5:
            cost = 0
        elif 6 <= degree <= 10:
            cost = RAISED_ROOT[colour][degree]
        elif -6 <= degree <= -2:
            cost = 0
        else:
            cost = FOREIGN_ROOT
        if is_odd_root(place, signature):
            cost += ODD_ROOT
        found.append((place, cost))
    return tuple(found)


def _direction_costs(chords: Sequence[tuple[int, str, int]]) -> list[int]:
    """What the raised name of each root costs by where the bass comes from and goes."""
    costs = [0] * len(chords)
    last = len(chords) - 1
    ahead: list[int] = [0] * len(chords)
    for index in range(last - 1, -1, -1):
        step = (chords[index + 1][2] - chords[index][2]) % 12
        ahead[index] = step or ahead[index + 1]
    behind = 0
    for index, (_, colour, bass) in enumerate(chords):
        if index:
            behind = (bass - chords[index - 1][2]) % 12 or behind
        costs[index] = ROOT_TO_NEXT[colour].get(ahead[index], 0)
        if colour in _DIMINISHED:
            costs[index] += ROOT_FROM_LAST.get(behind, 0)
    return costs


def best_roots(
    chords: Sequence[tuple[int, str, int]],
    signatures: Sequence[int],
    *,
    leanings: Sequence[int] | None = None,
) -> list[int]:
    """The places of the roots on the line of fifths.

    Args:
        chords: pitch class of the root, colour, and pitch class of the bass.
        signatures: the key signature at each chord.
        leanings: the place that the source's own spelling gives each root.
    """
    directions = _direction_costs(chords)
    places: list[list[int]] = []
    ways: list[list[int]] = []
    costs: list[int] = []
    for index, (root, colour, _) in enumerate(chords):
        signature = signatures[index]
        options = _options(root, signature, colour)
        lean = leanings[index] if leanings else None
        direction = directions[index]
        here: list[int] = []
        way: list[int] = []
        earlier = places[-1] if places else ()
        for place, cost in options:
            if place - signature > 5:
                cost += direction
            if lean is not None and place != lean:
                cost += LEAVING_SOURCE
            best_way = 0
            if earlier:
                best = costs[0] + _MOTIONS[place - earlier[0]]
                if len(earlier) > 1:
                    other = costs[1] + _MOTIONS[place - earlier[1]]
                    if other < best:
                        best, best_way = other, 1
                cost += best
            here.append(cost)
            way.append(best_way)
        costs = here
        places.append([place for place, _ in options])
        ways.append(way)
    if not costs:
        return []
    at = costs.index(min(costs))
    path: list[int] = []
    for names, way in zip(reversed(places), reversed(ways), strict=True):
        path.append(names[at])
        at = way[at]
    path.reverse()
    return path
