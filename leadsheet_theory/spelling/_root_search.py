"""The search behind the spelling of chord roots.

Every root has one or two plain names; the best sequence of names is a
shortest path over places on the line of fifths.  Idioms and links weigh most;
where they are silent, the fitted weights decide.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from functools import cache
from typing import Final

from ..key import Key
from ._weights import (
    ALIKE_ROOTS,
    FOREIGN_ROOT,
    FREE_IDIOM,
    IDIOM,
    LEAVING_SOURCE,
    LINKED,
    ODD_ROOT,
    RAISED_ROOT,
    ROOT_FROM_LAST,
    ROOT_MOTION,
    ROOT_TO_NEXT,
)
from .idioms import PAIR, ROOT_LINKS, ChordColour, RootIdiom, root_idioms, root_link

__all__ = ("best_roots", "is_hard_to_read", "is_odd_root")

_DIMINISHED: Final = frozenset(("diminished", "half-diminished"))
_MOTIONS: Final[dict[int, int]] = {
    motion: ROOT_MOTION[min(abs(motion), 12)] for motion in range(-48, 49)
}
_UNREACHED: Final = 1 << 60
_LINK_COSTS: Final = dict(zip(ROOT_LINKS, LINKED, strict=True))

HeardRoot = tuple[int, ChordColour, int]
"""A chord: pitch class of the root, colour, and pitch class of the bass."""


def is_hard_to_read(place: int) -> bool:
    """Whether a name is C♭, F♭, E♯ or B♯, or has a double accidental: all that lies
    beyond G♭ and A♯ on the line of fifths.  Common practice, no source."""
    return not -6 <= place <= 10


def is_odd_root(place: int, signature: int) -> bool:
    """Whether a root has a name that is hard to read and not of the key."""
    return is_hard_to_read(place) and not -1 <= place - signature <= 5


@cache
def _options(
    pitch_class: int,
    signature: int,
    colour: ChordColour,
    wanted: int | None,
    free: bool,
) -> tuple[tuple[int, int], ...]:
    """The places with at most one accidental, and what each costs in the key."""
    first = 7 * pitch_class % 12
    found: list[tuple[int, int]] = []
    for place in (first - 12, first, first + 12):
        if not -8 <= place <= 12:
            continue
        degree = place - signature
        if not -6 <= degree <= 10:
            cost = FOREIGN_ROOT
        elif wanted is not None:
            cost = (FREE_IDIOM if free else IDIOM) if place != wanted else 0
        elif degree > 5:
            cost = RAISED_ROOT[colour][degree]
        else:
            cost = 0
        if is_odd_root(place, signature):
            cost += ODD_ROOT
        found.append((place, cost))
    return tuple(found)


def _direction_costs(chords: Sequence[HeardRoot]) -> list[int]:
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


@cache
def _link(
    first: ChordColour, second: ChordColour, up: int, new_key: bool
) -> tuple[int, int]:
    """How far linked roots lie apart on the line of fifths, and what it costs to part
    them; a cost of 0 says that they aren't linked.  Where a new signature stands
    between them only a pair is one thought (common practice, no source)."""
    link = root_link(first, second, up)
    if link is None or (new_key and link is not PAIR):
        return 0, 0
    return link.fifths, _LINK_COSTS[link]


def best_roots(
    chords: Sequence[HeardRoot],
    keys: Sequence[Key],
    *,
    leanings: Sequence[int | None] | None = None,
) -> tuple[list[int], list[tuple[RootIdiom, int] | None]]:
    """The places of the roots on the line of fifths, and the idioms they stand in with
    the places that those ask for.

    Args:
        chords: the chords as they sound.
        keys: the key at each chord.
        leanings: the place that the source's own spelling gives each root, None where
            the source had no choice.
    """
    if not chords:
        return [], []
    found = root_idioms(chords, keys)
    signatures = _signatures(keys)
    groups = [
        (signature, root, colour, each and each[1], each is not None and each[0].free)
        for (root, colour, _), signature, each in zip(
            chords, signatures, found, strict=True
        )
    ]
    directions = _direction_costs(chords)
    path = _path(chords, groups, directions, leanings, {})
    usual = _usual(groups, path)
    if usual:
        path = _path(chords, groups, directions, leanings, usual)
    return path, found


_Group = tuple[int, int, ChordColour, int | None, bool]
"""Chords that are to be named alike: signature, root, colour, what an idiom wants and
whether it is a free one."""


def _signatures(keys: Sequence[Key]) -> list[int]:
    signatures: list[int] = []
    here: Key | None = None
    signature = 0
    for key in keys:
        if key is not here:
            here, signature = key, key.signature
        signatures.append(signature)
    return signatures


def _usual(groups: Sequence[_Group], path: Sequence[int]) -> dict[_Group, int]:
    """The name that chords of a group have elsewhere, where some have another: the
    commonest, and among idioms that of a strict one."""
    first: dict[tuple[int, int, ChordColour], int] = {}
    apart: set[tuple[int, int, ChordColour]] = set()
    for group, place in zip(groups, path, strict=True):
        chord = group[:3]
        if first.setdefault(chord, place) != place:
            apart.add(chord)
    if not apart:
        return {}
    names: dict[tuple[int, int, ChordColour], Counter[int]] = {}
    strict: dict[tuple[int, int, ChordColour], Counter[int]] = {}
    for group, place in zip(groups, path, strict=True):
        chord = group[:3]
        if chord in apart:
            names.setdefault(chord, Counter())[place] += 1
            if group[3] == place and not group[4]:
                strict.setdefault(chord, Counter())[place] += 1
    return {
        group: strict.get(group[:3], names[group[:3]]).most_common(1)[0][0]
        for group in dict.fromkeys(groups)
        if group[:3] in apart
    }


def _path(
    chords: Sequence[HeardRoot],
    groups: Sequence[_Group],
    directions: Sequence[int],
    leanings: Sequence[int | None] | None,
    usual: Mapping[_Group, int],
) -> list[int]:
    """The cheapest names from the first chord to the last."""
    places: list[list[int]] = []
    ways: list[list[int]] = []
    costs: list[int] = []
    for index, (root, colour, _) in enumerate(chords):
        signature, _, _, wanted, free = groups[index]
        lean = leanings[index] if leanings else None
        alike = usual.get(groups[index]) if usual else None
        direction = directions[index] if wanted is None else 0
        link, parted = 0, 0
        if index:
            before = chords[index - 1]
            new_key = groups[index - 1][0] != signature
            link, parted = _link(before[1], colour, (root - before[0]) % 12, new_key)
        here: list[int] = []
        way: list[int] = []
        names: list[int] = []
        earlier = places[-1] if places else ()
        for place, cost in _options(root, signature, colour, wanted, free):
            if place - signature > 5:
                cost += direction
            if lean is not None and place != lean:
                cost += LEAVING_SOURCE
            if alike is not None and place != alike:
                cost += ALIKE_ROOTS
            best_way = 0
            if earlier:
                best = _UNREACHED
                for at, name in enumerate(earlier):
                    motion = place - name
                    reached = costs[at] + _MOTIONS[motion]
                    if motion != link:
                        reached += parted
                    if reached < best:
                        best, best_way = reached, at
                cost += best
            here.append(cost)
            way.append(best_way)
            names.append(place)
        costs = here
        places.append(names)
        ways.append(way)
    at = costs.index(min(costs))
    path: list[int] = []
    for options, way in zip(reversed(places), reversed(ways), strict=True):
        path.append(options[at])
        at = way[at]
    path.reverse()
    return path
