"""Chord symbols spelled for their reader: roots in a key, and in transposed parts.

A part does not always keep the letters of the interval: concert F♯m7–B7 in
E♭ major reads A♭m7–D♭7, not G♯m7–C♯7, in a B♭ part in F major.  The whole
phrase is decided at once, so that chords that belong together stay on the
same side.

Sources: diatonic root relations among neighbouring chords, R. T. Kelley,
"Charting Enharmonicism on the Just-Intonation Tonnetz" (2003); roots of
diminished chords sharp upward and flat downward, T. Honshuku, *Jazz Theory
II* (1997); no E♯, B♯, C♭ or F♭ as a root outside its key, common practice, no
source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache, partial

from attrs import evolve, frozen

from .._doors import door
from .._printed import symbol_text
from ..errors import ChordSpellingError, LengthMismatchError
from ..interval import UNISON, Interval
from ..key import Key
from ..pitch import NoteName
from ..spelling._root_search import (
    HeardRoot,
    HeardRoots,
    best_roots,
    heard_roots,
    is_odd_root,
)
from ..spelling.idioms import PAIR, ChordColour, root_link
from ..spelling.respelling import Respelling
from ..spelling.transposing import NO_DOUBLES, written_interval, written_key
from .quality import Quality
from .symbol import Chord, ChordSymbol, PolyChord

__all__ = (
    "WrittenChords",
    "chord_colour",
    "deciding_chord",
    "written_chords",
    "written_symbol",
)


@frozen(order=False)
class WrittenChords:
    """The chords of a tune as a part's reader sees them, with what was respelled."""

    symbols: tuple[ChordSymbol, ...]
    respelled: tuple[Respelling[ChordSymbol], ...] = ()


@door
def written_chords(
    changes: Sequence[tuple[Key, ChordSymbol]],
    by: Interval = UNISON,
    /,
    *,
    keys: Sequence[Key] | None = None,
    asked: Mapping[int, NoteName] | None = None,
) -> WrittenChords:
    """The chords of a whole tune moved by an interval and spelled for reading.

    Args:
        changes: the source's key at each chord, and the chord, in order.
        by: the interval from the source up to the part.
        keys: the part's key at each chord, if not
            :func:`~.spelling.transposing.written_key`.
        asked: roots that the arranger wants at single chords of this part, by
            index; they are taken as they are, the other chord of a pair of ii and
            V goes along, and other neighbours keep to their own places.

    Raises:
        ChordSpellingError: if a root asked for would change the sound.
        LengthMismatchError: if `keys` or `asked` doesn't fit the chords.

    >>> from leadsheet_theory.chords import parse_chord
    >>> Eb = Key.parse("Eb major")
    >>> changes = [(Eb, parse_chord(text)) for text in ("F#m7", "B7", "Ebmaj7")]
    >>> part = written_chords(changes, Interval.parse("M2"))
    >>> " ".join(map(str, part.symbols))
    'Abm7 Db7 Fmaj7'
    >>> print(part.respelled[0])
    Abm7, not G#m7: ♭III, ♭VI and ♭VII take lowered names
    """
    return part_changes(heard_changes(changes), by, keys=keys, asked=asked)


@frozen(order=False, kw_only=True)
class HeardChanges:
    """The chords of a tune with what is alike in all its parts.

    `different` are the keys and symbols that occur, and `numbers` which of these each
    of the `changes` is; `rooted` are the indices of those that have a root, `chords`
    how these sound, `names` the places of their roots above the signature, and `roots`
    what the spelling of their roots starts from.
    """

    changes: tuple[tuple[Key, ChordSymbol], ...]
    different: tuple[tuple[Key, ChordSymbol], ...]
    numbers: tuple[int, ...]
    rooted: tuple[int, ...]
    chords: tuple[HeardRoot, ...]
    names: list[int]
    roots: HeardRoots


def heard_changes(changes: Sequence[tuple[Key, ChordSymbol]], /) -> HeardChanges:
    """The chords of a tune as all its parts start from them."""
    changes = tuple(changes)
    # keys and symbols alike are mostly one
    numbers: dict[tuple[int, int], int] = {}
    different: list[tuple[Key, ChordSymbol]] = []
    heard: list[tuple[HeardRoot, int] | None] = []
    each_number: list[int] = []
    for key, symbol in changes:
        number = numbers.setdefault((id(key), id(symbol)), len(different))
        if number == len(different):
            different.append((key, symbol))
            heard.append(_heard(key, symbol))
        each_number.append(number)
    rooted: list[int] = []
    chords: list[HeardRoot] = []
    names: list[int] = []
    for index, number in enumerate(each_number):
        here = heard[number]
        if here is not None:
            rooted.append(index)
            chords.append(here[0])
            names.append(here[1])
    return HeardChanges(
        changes=changes,
        different=tuple(different),
        numbers=tuple(each_number),
        rooted=tuple(rooted),
        chords=tuple(chords),
        names=names,
        roots=_roots(chords, [changes[index][0] for index in rooted], names),
    )


def _roots(
    chords: Sequence[HeardRoot], keys: Sequence[Key], names: Sequence[int]
) -> HeardRoots:
    """What the spelling of roots starts from that have these names above the source's
    signatures."""
    chosen = [
        _had_choice(name, key.signature) for name, key in zip(names, keys, strict=True)
    ]
    return heard_roots(chords, keys, leanings=_leanings(chords, names, chosen))


def _heard(key: Key, symbol: ChordSymbol) -> tuple[HeardRoot, int] | None:
    """How a chord sounds, and the place of its root above the key's signature; None
    without a root."""
    chord = deciding_chord(symbol)
    if chord is None:
        return None
    sound = chord.root.pitch_class
    bass = sound if chord.bass is None else chord.bass.pitch_class
    return (sound, chord_colour(chord), bass), chord.root.fifths - key.signature


def part_changes(
    heard: HeardChanges,
    by: Interval,
    /,
    *,
    keys: Sequence[Key] | None = None,
    asked: Mapping[int, NoteName] | None = None,
) -> WrittenChords:
    """The chords of one part of a tune, as :func:`written_chords` gives them.

    Raises:
        ChordSpellingError: if a root asked for would change the sound.
        LengthMismatchError: if `keys` or `asked` doesn't fit the chords.
    """
    changes = heard.changes
    if keys is not None and len(keys) != len(changes):
        raise LengthMismatchError(f"{len(keys)} keys for {len(changes)} chords")
    fixed = _fixed(changes, by, asked or {})
    moved = _moved_chords(heard, by, keys)
    rooted = [moved[index] for index in heard.rooted]
    signatures = [each.signature for each in rooted]
    plain = [each.root for each in rooted]
    names = [each.root - each.signature for each in rooted]
    roots = heard.roots
    if names != heard.names:  # one would have three accidentals, and took another name
        sources = [changes[index][0] for index in heard.rooted]
        roots = _roots(heard.chords, sources, names)
    best = best_roots(roots, signatures)
    if fixed:
        best = _as_asked(heard, best, fixed)
    symbols = [each.simple for each in moved]
    respelled: list[Respelling[ChordSymbol]] = []
    for at, index in enumerate(heard.rooted):
        here = moved[index]
        reason = "" if here.simple is here.symbol else NO_DOUBLES
        if best[at] != plain[at]:
            root = NoteName.from_fifths(best[at])
            new = _simple_bass(_respelled(here.symbol, root), changes[index][1])
            symbols[index] = new
            reason = "asked for"
            if index not in fixed:
                choice = _Choice(heard, signatures, plain, best, at)
                reason = choice.reason(here.key)
        if reason:
            respelled.append(Respelling(index, here.symbol, symbols[index], reason))
    return WrittenChords(tuple(symbols), tuple(respelled))


@frozen(order=False)
class _MovedChord:
    """A chord moved by the interval between the keys: its symbol, the same without a
    new double accidental in the bass, the part's key and its signature, and the place
    of the root."""

    symbol: ChordSymbol
    simple: ChordSymbol
    key: Key
    signature: int
    root: int


def _moved_chords(
    heard: HeardChanges, by: Interval, keys: Sequence[Key] | None
) -> list[_MovedChord]:
    asked = (None,) * len(heard.numbers) if keys is None else tuple(keys)
    key_of = {id(key): key for key in asked}
    moves: dict[tuple[int, int], tuple[Key, int, Interval]] = {}
    pairs = list(zip(heard.numbers, map(id, asked), strict=True))
    known: dict[tuple[int, int], _MovedChord] = {}
    for number, target in set(pairs):
        source, symbol = heard.different[number]
        move = moves.get((id(source), target))
        if move is None:
            key = key_of[target] or written_key(source, by)
            move = key, key.signature, written_interval(by, source, key)
            moves[id(source), target] = move
        key, signature, interval = move
        new, root = _moved(symbol, interval.diatonic, interval.chromatic)
        simple = _simple_bass(new, symbol)
        known[number, target] = _MovedChord(new, simple, key, signature, root)
    return [known[pair] for pair in pairs]


@lru_cache(maxsize=1024)
def _had_choice(name: int, signature: int) -> bool:
    """Whether a root, so far above its key's signature, could have been read under
    another name."""
    others = (name + signature - 12, name + signature + 12)
    return any(not is_odd_root(other, signature) for other in others)


def _leanings(
    chords: Sequence[HeardRoot], names: Sequence[int], chosen: Sequence[bool]
) -> list[int | None]:
    """The roots as the source has them, where it had a choice: in a pair neither had
    one if one of them hadn't."""
    settled = list(chosen)
    for at in range(1, len(settled)):
        if settled[at - 1] != settled[at] and _is_pair(*chords[at - 1 : at + 1]):
            settled[at - 1] = settled[at] = False
    return [
        place if choice else None for place, choice in zip(names, settled, strict=True)
    ]


def _is_pair(first: HeardRoot, second: HeardRoot) -> bool:
    return root_link(first[1], second[1], (second[0] - first[0]) % 12) is PAIR


def _as_asked(heard: HeardChanges, best: list[int], fixed: dict[int, int]) -> list[int]:
    """The roots with those asked for; the other chord of a pair goes along, and no
    other neighbour."""
    new = list(best)
    for at, index in enumerate(heard.rooted):
        if index not in fixed:
            continue
        new[at] = fixed[index]
        for other in (at - 1, at + 1):
            if not 0 <= other < len(best) or heard.rooted[other] in fixed:
                continue
            first = min(at, other)
            if _is_pair(*heard.chords[first : first + 2]):
                new[other] = best[other] + fixed[index] - best[at]
    return new


def written_symbol(
    symbol: ChordSymbol, by: Interval, /, *, key: Key | None = None
) -> ChordSymbol:
    """One chord symbol of a part: what :meth:`.Chord.written` gives."""
    if key is not None:
        return written_chords([(key, symbol)], by).symbols[0]
    moved = symbol.transposed(by)
    chord = deciding_chord(moved)
    if chord is None:
        return moved
    names = [NoteName.from_fifths(chord.root.fifths + turn) for turn in (0, 12, -12)]
    best = min(names, key=partial(_accidentals, chord.quality))
    simple = moved if best == chord.root else _respelled(moved, best)
    return _simple_bass(simple, symbol)


def _accidentals(quality: Quality, root: NoteName) -> int:
    """How many accidentals the tones of a chord have on a root."""
    return sum(abs(tone.alter) for tone in Chord(root, quality).tones)


def chord_colour(chord: Chord, /) -> ChordColour:
    """What kind of chord it is, as far as the spelling of roots goes.

    >>> from leadsheet_theory.chords import parse_chord
    >>> chord_colour(parse_chord("F#m7b5"))
    'half-diminished'
    """
    return _colour(chord.quality)


def deciding_chord(symbol: ChordSymbol, /) -> Chord | None:
    """The chord whose root decides the spelling: of a polychord the lower one, of
    N.C. none.

    >>> from leadsheet_theory.chords import parse_symbol
    >>> str(deciding_chord(parse_symbol("D|C7")))
    'C7'
    """
    if isinstance(symbol, PolyChord):
        return symbol.lower
    return symbol if isinstance(symbol, Chord) else None


# tones that settle the colour, on the line of fifths above the root; first fit wins
_COLOURS: tuple[tuple[frozenset[int], ChordColour], ...] = (
    (frozenset((-3, -6, -2)), "half-diminished"),
    (frozenset((-3, -6)), "diminished"),
    (frozenset((-3,)), "minor"),
    (frozenset((4, -2)), "dominant"),
    (frozenset((4, 8)), "augmented"),
    (frozenset((4,)), "major"),
    (frozenset(), "suspended"),
)


@lru_cache(maxsize=1024)
def _colour(quality: Quality) -> ChordColour:
    tones = {tone.fifths for tone in Chord(NoteName("C"), quality).tones}
    return next(colour for needs, colour in _COLOURS if needs <= tones)


@lru_cache(maxsize=8192)
def _moved(
    symbol: ChordSymbol, diatonic: int, chromatic: int
) -> tuple[ChordSymbol, int]:
    """The symbol moved by an interval, and the place of its root if it has one."""
    by = Interval(diatonic, chromatic)
    moved = symbol.transposed(by) if by != UNISON else symbol
    chord = deciding_chord(moved)
    return moved, 0 if chord is None else chord.root.fifths


def _respelled(symbol: ChordSymbol, root: NoteName) -> ChordSymbol:
    if isinstance(symbol, PolyChord):
        shift = root.fifths - symbol.lower.root.fifths
        upper = NoteName.from_fifths(symbol.upper.root.fifths + shift)
        return PolyChord(symbol.upper.respelled(upper), symbol.lower.respelled(root))
    return symbol.respelled(root) if isinstance(symbol, Chord) else symbol


def _simple_bass(symbol: ChordSymbol, source: ChordSymbol) -> ChordSymbol:
    """The chord without a double accidental in the bass, if the source has none."""
    if not isinstance(symbol, Chord) or symbol.bass is None:
        return symbol
    bass = symbol.bass
    had = source.bass if isinstance(source, Chord) else None
    if abs(bass.alter) < 2 or (had is not None and abs(had.alter) > 1):
        return symbol
    simple = NoteName.from_fifths(bass.fifths + (-12 if bass.alter > 0 else 12))
    return evolve(symbol, bass=simple, source="")


def _fixed(
    changes: Sequence[tuple[Key, ChordSymbol]],
    by: Interval,
    asked: Mapping[int, NoteName],
) -> dict[int, int]:
    for index, root in asked.items():
        chord = deciding_chord(changes[index][1]) if 0 <= index < len(changes) else None
        if chord is None:
            raise LengthMismatchError(f"a root is asked for at {index}: no chord there")
        sound = (chord.root.pitch_class + by.chromatic) % 12
        if root.pitch_class != sound:
            plain = (chord.root + by).glyphs
            raise ChordSpellingError(
                f"{root.glyphs} does not sound like {plain}, the root of "
                f"{symbol_text(changes[index][1] + by)}"
            )
    return {index: root.fifths for index, root in asked.items()}


@frozen(order=False)
class _Choice:
    """The name of one root among all of a tune, to find the reason for it."""

    heard: HeardChanges
    signatures: Sequence[int]
    plain: Sequence[int]
    best: Sequence[int]
    at: int

    def reason(self, key: Key) -> str:
        """Why the plain name was left."""
        plain, new = self.plain[self.at], self.best[self.at]
        old_name, new_name = NoteName.from_fifths(plain), NoteName.from_fifths(new)
        if abs(old_name.alter) > 1:
            return "no root with a double accidental"
        signature = key.signature
        if is_odd_root(plain, signature):
            return f"{old_name} is no root to read in {key}"
        idiom = self._idiom(self.at) or self._linked()
        if idiom:
            return idiom
        if abs(new - signature - 2) < abs(plain - signature - 2):
            return f"{new_name} lies nearer to {key}"
        return "it goes with the chords beside it"

    def _idiom(self, at: int) -> str:
        """The idiom that gives a chord its name."""
        idiom = self.heard.roots.idioms[at]
        above = self.best[at] - self.signatures[at]
        return idiom[0].name if idiom is not None and idiom[1] == above else ""

    def _linked(self) -> str:
        """What keeps the chord on the side of the next one, or of the one before."""
        chords = self.heard.chords
        for first in (self.at, self.at - 1):
            if not 0 <= first < len(chords) - 1:
                continue
            one, two = chords[first], chords[first + 1]
            link = root_link(one[1], two[1], (two[0] - one[0]) % 12)
            if link and self.best[first + 1] - self.best[first] == link.fifths:
                pair = self._idiom(first + 1) if link is PAIR else ""
                return pair or link.name
        return ""
