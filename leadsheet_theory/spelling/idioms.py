"""Idioms of chord roots: which name a root takes by what the chord does.

A sound between the notes of a key has two names, and the *next* root decides: in C
the same diminished chord is E♭ before D and G, D♯ before E and C.  Each row of
:data:`ROOT_IDIOMS` states one such habit, and the first that fits a chord wins;
:data:`ROOT_LINKS` says which neighbours stand on one side.  A root that would be
E♯, B♯, C♭ or F♭ outside its key, or take a double accidental, has its plain name
instead, and its pair goes with it.

Sources, by the names used in the tables:

* Honshuku: H. Honshuku, *Jazz Theory II* (draft, 1997), functioning diminished chords.
* Spitzer: P. Spitzer, "Chord Terminology: Dm7♭5, half-diminished or Fm6?" (2013).
* Birch: S. Birch (Kent State University), "Common-tone Diminished 7th Chords".
* Watkins: M. Watkins, *Fundamentals of Jazz Improvisation* (2010), substitutions.
* Terefenko: D. Terefenko, *Jazz Theory* (quoted passage), tritone substitutes.
* Lawn & Hellmer: *Jazz: Theory and Practice*, 118–119, turnarounds.
* Coker: J. Coker (1997) through the Wikipedia article "Backdoor progression".
* Borrowed: Wikipedia, "Borrowed chord"; N. Muehl, objective 35.1.
* Neapolitan: *Integrated Music Theory*, lesson 16b.
* Ligon: B. Ligon, "Purposeful Accidentals" (University of South Carolina).
* Kelley: R. T. Kelley, "Charting Enharmonicism on the Just-Intonation Tonnetz" (2003).
* Counted: how the 180 lead sheets of OpenEWLD print it (own count).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Final, Literal

from attrs import frozen

from ..key import Key

__all__ = (
    "ROOT_IDIOMS",
    "ROOT_LINKS",
    "ChordColour",
    "RootIdiom",
    "RootLink",
    "root_idioms",
)

ChordColour = Literal[
    "major", "minor", "dominant", "half-diminished", "diminished", "augmented",
    "suspended",
]  # fmt: skip
"""What kind of chord stands on a root, as far as spelling goes."""

Place = Literal[
    "anywhere", "in a pair", "alone", "in a row", "before substitutes",
    "under a rising bass",
]  # fmt: skip
"""Where an idiom looks for its chord: ``in a pair``, a V after its own ii; ``alone``,
no ii of a V; ``in a row``, between chords of its own kind a semitone away;
``before substitutes``, in falling fifths that end in a substitute; ``under a rising
bass``, where the next bass lies a semitone above the root."""


@frozen(order=False, kw_only=True)
class RootIdiom:
    """One habit of naming a root.

    `name` is printed as a reason; `degrees` are the names that the root takes above
    the tonic of the major scale with the key's signature (``b3``, ``#4``), or in
    an idiom of `minor` keys above the tonic itself; `next_up` holds how many semitones
    further up the next other root may lie (empty: anywhere, or nowhere); `place` is
    where the chord stands.  Of a `free` one both names are in print: a part keeps
    the one that its source chose.
    """

    name: str
    degrees: tuple[str, ...]
    colours: tuple[ChordColour, ...]
    next_up: tuple[int, ...] = ()
    place: Place = "anywhere"
    minor: bool = False
    free: bool = False
    source: str


@frozen(order=False, kw_only=True)
class RootLink:
    """Two neighbouring chords whose roots stand on one side, `up` semitones apart.

    `fifths` is how far the second name lies from the first on the line of fifths.
    """

    name: str
    first: tuple[ChordColour, ...]
    second: tuple[ChordColour, ...]
    up: int
    fifths: int
    source: str


_DIM: Final[tuple[ChordColour, ...]] = ("diminished",)
_HALF: Final[tuple[ChordColour, ...]] = ("half-diminished",)
_MINOR: Final[tuple[ChordColour, ...]] = ("minor",)
_MAJOR: Final[tuple[ChordColour, ...]] = ("major",)
_SEVENTH: Final[tuple[ChordColour, ...]] = ("dominant", "augmented", "suspended")
_ANY: Final[tuple[ChordColour, ...]] = (
    *_MAJOR, *_MINOR, *_SEVENTH, *_HALF, *_DIM,
)  # fmt: skip
_SETTLED: Final[tuple[ChordColour, ...]] = (*_MAJOR, *_MINOR, *_SEVENTH, *_HALF)

_UP, _DOWN, _FOURTH, _TRITONE = 1, 11, 5, 6
_RAISED: Final = ("#1", "#2", "#4", "#5", "#6")
_LOWERED: Final = ("b2", "b3", "b5", "b6", "b7")

ROOT_IDIOMS: Final[tuple[RootIdiom, ...]] = (
    # ── diminished and half-diminished ──
    RootIdiom(
        name="♯IV of a minor key is raised", degrees=("#4",), colours=_DIM + _HALF,
        minor=True, source="Honshuku; Spitzer, by analogy",
    ),
    RootIdiom(
        name="♯IV half-diminished keeps its raised name", degrees=("#4",),
        colours=_HALF, source="Spitzer; Counted",
    ),
    RootIdiom(
        name="♯IV diminished keeps its raised name", degrees=("#4",), colours=_DIM,
        next_up=(_DOWN,), free=True, source="common practice, no source",
    ),
    RootIdiom(
        name="♯IV diminished keeps its raised name", degrees=("#4",), colours=_DIM,
        source="Honshuku (to V); Birch (to I over 5)",
    ),
    RootIdiom(
        name="♯I diminished leads up", degrees=("#1",), colours=_DIM,
        next_up=(_UP,), source="Honshuku; Counted",
    ),
    RootIdiom(
        name="♯I diminished leads the bass up", degrees=("#1",), colours=_DIM,
        next_up=(_TRITONE,), place="under a rising bass", source="Honshuku; Counted",
    ),
    RootIdiom(
        name="♯I diminished keeps its raised name", degrees=("#1",), colours=_DIM,
        free=True, source="Honshuku; Counted (before V in root position 13 : 6)",
    ),
    RootIdiom(
        name="♯II diminished leads up to III", degrees=("#2",), colours=_DIM,
        next_up=(_UP,), source="Honshuku",
    ),
    RootIdiom(
        name="♯II diminished shares its tones with I", degrees=("#2",), colours=_DIM,
        next_up=(9,), free=True, source="Birch",
    ),
    RootIdiom(
        name="♭III diminished falls to II, or stands for it before V",
        degrees=("b3",), colours=_DIM, next_up=(_DOWN, 4, 6),
        source="Spitzer; Honshuku; Counted",
    ),
    RootIdiom(
        name="♭VI diminished falls to V", degrees=("b6",), colours=_DIM,
        next_up=(_DOWN,), source="Honshuku",
    ),
    RootIdiom(
        name="♯V diminished leads up", degrees=("#5",), colours=_DIM,
        source="Honshuku; Counted",
    ),
    RootIdiom(
        name="♭VII diminished before V", degrees=("b7",), colours=_DIM, next_up=(9,),
        free=True, source="Counted (the book has ♯VI: Birch)",
    ),
    RootIdiom(
        name="a diminished chord a semitone below the next is raised",
        degrees=_RAISED, colours=_DIM + _HALF, next_up=(_UP,), source="Kelley; Counted",
    ),
    RootIdiom(
        name="a diminished chord a semitone above the next is lowered",
        degrees=_LOWERED, colours=_DIM + _HALF, next_up=(_DOWN,),
        source="Honshuku; Counted",
    ),
    # ── dominants ──
    RootIdiom(
        name="a substitute stands a semitone and a letter above its target",
        degrees=_LOWERED, colours=_SEVENTH, next_up=(_DOWN,),
        source="Terefenko; Watkins; Counted",
    ),
    RootIdiom(
        name="substitutes a fifth apart are lowered",
        degrees=_LOWERED, colours=_SEVENTH, next_up=(_FOURTH,),
        place="before substitutes", source="Lawn & Hellmer",
    ),
    RootIdiom(
        name="a pair a semitone above the next chord is lowered",
        degrees=_LOWERED, colours=_SEVENTH, next_up=(_TRITONE,), place="in a pair",
        source="common practice, no source",
    ),
    RootIdiom(
        name="in a row of dominants a rising one is raised",
        degrees=("#1", "#4", "#5"), colours=_SEVENTH, next_up=(_UP,), place="in a row",
        free=True, source="Ligon",
    ),
    RootIdiom(
        name="♭III, ♭VI and ♭VII take lowered names", degrees=("b3", "b6", "b7"),
        colours=_SEVENTH, next_up=(1, 2, 3, 4, 6, 7, 8, 9, 10),
        source="Coker (♭VII7 to I); Counted",
    ),
    # ── minor chords ──
    RootIdiom(
        name="♯IV minor keeps its raised name", degrees=("#4",), colours=_MINOR,
        place="alone", source="Counted",
    ),
    RootIdiom(
        name="a minor chord a semitone above the next is lowered", degrees=_LOWERED,
        colours=_MINOR, next_up=(_DOWN,), place="alone", source="Counted",
    ),
    RootIdiom(
        name="in a row of minor chords a rising one is raised", degrees=_RAISED,
        colours=_MINOR, next_up=(_UP,), place="in a row", source="Ligon",
    ),
    RootIdiom(
        name="♯I and ♯V minor take raised names", degrees=("#1", "#5"), colours=_MINOR,
        place="alone", source="Counted",
    ),
    RootIdiom(
        name="♭III and ♭VII minor take lowered names", degrees=("b3", "b7"),
        colours=_MINOR, place="alone", source="Counted",
    ),
    # ── major chords ──
    RootIdiom(
        name="♭II, ♭III, ♭VI and ♭VII are borrowed, so lowered",
        degrees=("b2", "b3", "b6", "b7"), colours=_MAJOR,
        next_up=(1, 2, 3, 4, 6, 7, 8, 9, 10, 11), source="Borrowed; Neapolitan",
    ),
)  # fmt: skip
"""The habits, in the order in which they are tried."""

ROOT_LINKS: Final[tuple[RootLink, ...]] = (
    RootLink(
        name="the ii and V of a pair stand on one side",
        first=_MINOR + _HALF, second=_SEVENTH, up=_FOURTH, fifths=-1, source="Counted",
    ),
    RootLink(
        name="a dominant stands a fifth above its target",
        first=_SEVENTH, second=_SETTLED, up=_FOURTH, fifths=-1,
        source="Kelley; Counted",
    ),
    RootLink(
        name="chords that fall a fifth stand on one side",
        first=_MAJOR, second=_SETTLED, up=_FOURTH, fifths=-1, source="Kelley",
    ),
    RootLink(
        name="a root keeps its name when the chord changes",
        first=_ANY, second=_ANY, up=0, fifths=0, source="Counted",
    ),
)  # fmt: skip
"""Neighbours that go together, the strongest first within a kind of chord."""

PAIR: Final = ROOT_LINKS[0]
_Heard = tuple[int, ChordColour, int]

# the tonic's place is 0; a name's place on the line of fifths above it
_PLACES: Final = {
    "b2": -5, "b3": -3, "b5": -6, "b6": -4, "b7": -2,
    "#1": 7, "#2": 9, "#4": 6, "#5": 8, "#6": 10,
}  # fmt: skip
_MINOR_TONIC: Final = 3


def root_idioms(
    chords: Sequence[_Heard], keys: Sequence[Key], /
) -> list[tuple[RootIdiom, int] | None]:
    """The idiom that each chord of a sequence stands in, and the place on the line of
    fifths that it gives the root; None where no idiom fits.

    Args:
        chords: the pitch class of each root, 0 (C) to 11 (B), the chord's colour, and
            the pitch class of its bass.
        keys: the key at each chord.

    >>> C = Key.parse("C")
    >>> falling = [(0, "major", 0), (3, "diminished", 3), (7, "dominant", 7)]
    >>> idiom, place = root_idioms(falling, [C] * 3)[1]
    >>> idiom.name, place
    ('♭III diminished falls to II, or stands for it before V', -3)
    """
    found: list[tuple[RootIdiom, int] | None] = [None] * len(chords)
    earlier = _other_roots(chords)
    later = _other_roots(chords[::-1])[::-1]
    ends_down = False  # whether the falling fifths from here end in a substitute
    for index in range(len(chords) - 1, -1, -1):
        here, before, after = chords[index], earlier[index], later[index]
        next_up: int | None = None
        if after is not None:
            next_up = (after[0] - here[0]) % 12
            ends_down = here[1] in _SEVENTH and (
                next_up == _DOWN
                or (ends_down and next_up == _FOURTH and after[1] in _SEVENTH)
            )
        signature, minor = _signature(keys[index])
        above = (7 * here[0] - signature) % 12  # of the tonic, on the line of fifths
        if 5 < above < 11:
            places = _places(here, before, after, ends_down)
            idiom = _fitting(above, here[1], next_up, minor, places)
            if idiom is not None:
                found[index] = idiom[0], signature + idiom[1]
    return found


def _other_roots(chords: Sequence[_Heard]) -> list[_Heard | None]:
    """For each chord the last one before it that has another root."""
    before: list[_Heard | None] = [None] * len(chords)
    for index in range(1, len(chords)):
        same = chords[index][0] == chords[index - 1][0]
        before[index] = before[index - 1] if same else chords[index - 1]
    return before


def _places(
    here: _Heard, before: _Heard | None, after: _Heard | None, ends_down: bool
) -> frozenset[Place]:
    """Where a chord stands, between the chords on other roots around it."""
    places: list[Place] = ["anywhere"]
    if before is not None and _links(PAIR, before, here):
        places.append("in a pair")
    if after is None or not _links(PAIR, here, after):
        places.append("alone")
    if (
        before is not None
        and after is not None
        and before[1] == here[1] == after[1]
        and (here[0] - before[0]) % 12 in (_UP, _DOWN)
    ):
        places.append("in a row")
    if ends_down:
        places.append("before substitutes")
    if after is not None and (after[2] - here[0]) % 12 == _UP:
        places.append("under a rising bass")
    return frozenset(places)


def _links(link: RootLink, first: _Heard, second: _Heard) -> bool:
    return (
        (second[0] - first[0]) % 12 == link.up
        and first[1] in link.first
        and second[1] in link.second
    )


@lru_cache(maxsize=64)
def _signature(key: Key) -> tuple[int, bool]:
    return key.signature, key.mode in ("minor", "aeolian")


@lru_cache(maxsize=4096)
def _fitting(
    above: int,
    colour: ChordColour,
    next_up: int | None,
    minor: bool,
    places: frozenset[Place],
) -> tuple[RootIdiom, int] | None:
    """The first idiom that fits, and the place of its name above the major tonic."""
    for idiom in ROOT_IDIOMS:
        if colour not in idiom.colours or idiom.place not in places:
            continue
        if (idiom.minor and not minor) or (
            idiom.next_up and next_up not in idiom.next_up
        ):
            continue
        for degree in idiom.degrees:
            place = _PLACES[degree] + (_MINOR_TONIC if idiom.minor else 0)
            if place % 12 == above:
                return idiom, place
    return None


@lru_cache(maxsize=1024)
def root_link(first: ChordColour, second: ChordColour, up: int) -> RootLink | None:
    """The link between neighbours, the second `up` semitones above the first."""
    return next(
        (
            link
            for link in ROOT_LINKS
            if up == link.up and first in link.first and second in link.second
        ),
        None,
    )
