"""The search behind the spelling of chord roots.

Every root has one or two plain names; the best sequence of names is a
shortest path over places on the line of fifths.  Idioms and links weigh most;
where they are silent, the fitted weights decide.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from functools import cache, lru_cache
from itertools import pairwise
from typing import Final

from attrs import frozen

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

__all__ = (
    "HeardRoot",
    "HeardRoots",
    "best_roots",
    "heard_roots",
    "is_hard_to_read",
    "is_odd_root",
)

_DIMINISHED: Final = frozenset(("diminished", "half-diminished"))
_MOTIONS: Final[dict[int, int]] = {
    motion: ROOT_MOTION[min(abs(motion), 12)] for motion in range(-48, 49)
}
_UNREACHED: Final = 1 << 60
_NO_LINK: Final = (0, 0)
_FIRST: Final = [0]
# what a name can cost more than another by its motions and by chords that are alike
_MOST: Final = 2 * (max(ROOT_MOTION) - min(ROOT_MOTION)) + ALIKE_ROOTS
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


_Kind = tuple[int, ChordColour, int | None, bool, int, int | None, int]
"""What a root's names depend on in any key: how far it stands above the signature on
the line of fifths (0 to 11), its colour, the name that an idiom asks for and whether it
is a free one, what the raised name costs by the direction of the bass, the name in the
source, and the most that other chords can tell of it."""


@lru_cache(maxsize=4096)
def _options(signature: int, kind: _Kind) -> tuple[tuple[int, int], ...]:
    """The places with at most one accidental, and what each costs in the key, less
    those that no neighbour could make the cheapest."""
    above, colour, wanted, free, direction, lean, most = kind
    first = (above + signature) % 12
    found: list[tuple[int, int]] = []
    for place in (first - 12, first, first + 12):
        if not -8 <= place <= 12:
            continue
        degree = place - signature
        if not -6 <= degree <= 10:
            cost = FOREIGN_ROOT
        elif wanted is not None:
            cost = (FREE_IDIOM if free else IDIOM) if degree != wanted else 0
        elif degree > 5:
            cost = RAISED_ROOT[colour][degree]
        else:
            cost = 0
        if degree > 5:
            cost += direction
        if is_odd_root(place, signature):
            cost += ODD_ROOT
        if lean is not None and degree != lean:
            cost += LEAVING_SOURCE
        found.append((place, cost))
    cheapest = min(cost for _, cost in found)
    return tuple([each for each in found if each[1] <= cheapest + most])


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


@frozen(order=False, kw_only=True)
class HeardRoots:
    """The roots of a chord sequence, as far as they are alike in all keys.

    Places are counted from the signature at the chord.  `idioms` are those that the
    chords stand in with the places that they ask for; `kinds` the different kinds of
    roots, and `numbers` which of these each one is; chords of one number in `same` are
    to be named alike in one key.  `links` say how far each root lies from the one
    before and what it costs to part them within a key, which is 0 if they aren't
    linked; `steps` are the colours of each two neighbours and how far up it is.
    """

    idioms: tuple[tuple[RootIdiom, int] | None, ...]
    kinds: tuple[_Kind, ...]
    numbers: tuple[int, ...]
    same: tuple[int, ...]
    links: tuple[tuple[int, int], ...]
    steps: tuple[tuple[ChordColour, ChordColour, int], ...]


def heard_roots(
    chords: Sequence[HeardRoot],
    keys: Sequence[Key],
    *,
    leanings: Sequence[int | None] | None = None,
) -> HeardRoots:
    """What is alike wherever a chord sequence is moved with its keys.

    Args:
        chords: the chords as they sound.
        keys: the key at each chord.
        leanings: the place that the source's own spelling gives each root above the
            signature, None where the source had no choice.
    """
    signatures = _signatures(keys)
    idioms = [
        each and (each[0], each[1] - signature)
        for each, signature in zip(root_idioms(chords, keys), signatures, strict=True)
    ]
    steps = [(one[1], two[1], (two[0] - one[0]) % 12) for one, two in pairwise(chords)]
    # nothing stands before the first chord, nor after the last
    links = [_NO_LINK, *[_link(*step, False) for step in steps], _NO_LINK]
    directions = _direction_costs(chords)
    kinds: dict[_Kind, int] = {}
    same: dict[tuple[int, ChordColour], int] = {}
    numbers: list[int] = []
    alike: list[int] = []
    for index, (root, colour, _) in enumerate(chords):
        idiom = idioms[index]
        above = (7 * root - signatures[index]) % 12
        kind = (
            above,
            colour,
            idiom and idiom[1],
            idiom is not None and idiom[0].free,
            0 if idiom else directions[index],
            leanings[index] if leanings else None,
            links[index][1] + links[index + 1][1] + _MOST,
        )
        numbers.append(kinds.setdefault(kind, len(kinds)))
        alike.append(same.setdefault((above, colour), len(same)))
    return HeardRoots(
        idioms=tuple(idioms),
        kinds=tuple(kinds),
        numbers=tuple(numbers),
        same=tuple(alike),
        links=tuple(links),
        steps=tuple(steps),
    )


def _signatures(keys: Sequence[Key]) -> list[int]:
    signatures: list[int] = []
    here: Key | None = None
    signature = 0
    for key in keys:
        if key is not here:
            here, signature = key, key.signature
        signatures.append(signature)
    return signatures


def best_roots(heard: HeardRoots, signatures: Sequence[int]) -> list[int]:
    """The places of the roots on the line of fifths, in these signatures."""
    names = {
        signature: [_options(signature, kind) for kind in heard.kinds]
        for signature in set(signatures)
    }
    options = [
        names[signature][number]
        for number, signature in zip(heard.numbers, signatures, strict=True)
    ]
    links = _links(heard, signatures)
    path = _path(options, links)
    chords = list(zip(heard.same, signatures, strict=True))
    if len(set(zip(chords, path, strict=True))) == len(set(chords)):
        return path
    usual = _usual(heard, chords, path)
    return _path(
        [
            [
                (place, cost + ALIKE_ROOTS * (place != usual.get(chord, place)))
                for place, cost in named
            ]
            for chord, named in zip(chords, options, strict=True)
        ],
        links,
    )


def _links(heard: HeardRoots, signatures: Sequence[int]) -> Sequence[tuple[int, int]]:
    """How the roots are linked in these signatures."""
    if len(set(signatures)) < 2:
        return heard.links
    found = list(heard.links)
    for index in range(1, len(signatures)):
        if signatures[index - 1] != signatures[index]:
            found[index] = _link(*heard.steps[index - 1], True)
    return found


_Chord = tuple[int, int]
"""Chords that are to be named alike: their number in `same`, and the signature."""


def _usual(
    heard: HeardRoots, chords: Sequence[_Chord], path: Sequence[int]
) -> dict[_Chord, int]:
    """The name that a chord has elsewhere, where it has several: the commonest, and
    among idioms that of a strict one."""
    names: dict[_Chord, Counter[int]] = {}
    strict: dict[_Chord, Counter[int]] = {}
    for number, chord, place in zip(heard.numbers, chords, path, strict=True):
        names.setdefault(chord, Counter())[place] += 1
        _, _, wanted, free, *_ = heard.kinds[number]
        if wanted == place - chord[1] and not free:
            strict.setdefault(chord, Counter())[place] += 1
    return {
        chord: strict.get(chord, counted).most_common(1)[0][0]
        for chord, counted in names.items()
        if len(counted) > 1
    }


def _path(
    options: Sequence[Sequence[tuple[int, int]]], links: Sequence[tuple[int, int]]
) -> list[int]:
    """The cheapest names from the first chord to the last."""
    ways: list[list[int]] = []
    costs = [0]
    earlier: Sequence[tuple[int, int]] = ()
    for here, (link, parted) in zip(options, links, strict=False):
        if len(here) == 1 and len(earlier) < 2:  # there is nothing to choose
            earlier = here
            ways.append(_FIRST)
            continue
        reached: list[int] = []
        way: list[int] = []
        for place, cost in here:
            best, best_way = _UNREACHED if earlier else 0, 0
            for at, (name, _) in enumerate(earlier):
                motion = place - name
                total = costs[at] + _MOTIONS[motion]
                if motion != link:
                    total += parted
                if total < best:
                    best, best_way = total, at
            reached.append(best + cost)
            way.append(best_way)
        costs, earlier = reached, here
        ways.append(way)
    at = costs.index(min(costs))
    path: list[int] = []
    for here, way in zip(reversed(options), reversed(ways), strict=True):
        path.append(here[at][0])
        at = way[at]
    path.reverse()
    return path
