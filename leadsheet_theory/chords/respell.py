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
from ..spelling._root_search import HeardRoot, best_roots, is_odd_root
from ..spelling.idioms import PAIR, ChordColour, RootIdiom, root_link
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
    if keys is not None and len(keys) != len(changes):
        raise LengthMismatchError(f"{len(keys)} keys for {len(changes)} chords")
    fixed = _fixed(changes, by, asked or {})
    moved = _moved_chords(changes, by, keys)
    best, idioms = best_roots(
        moved.heard,
        [moved.keys[index] for index in moved.numbers],
        leanings=_leanings(moved),
    )
    best = _as_asked(moved, best, fixed)
    symbols = list(moved.plain)
    respelled: list[Respelling[ChordSymbol]] = []
    for at, index in enumerate(moved.numbers):
        symbol, reason = symbols[index], ""
        if best[at] != moved.roots[at]:
            symbol = _respelled(symbol, NoteName.from_fifths(best[at]))
            reason = "asked for"
            if index not in fixed:
                choice = _Choice(moved.heard, moved.roots, best, idioms, at)
                reason = choice.reason(moved.keys[index])
        simple = _simple_bass(symbol, changes[index][1])
        if simple is not symbol:
            symbol, reason = simple, reason or NO_DOUBLES
        if reason:
            plain, symbols[index] = symbols[index], symbol
            respelled.append(Respelling(index, plain, symbol, reason))
    return WrittenChords(tuple(symbols), tuple(respelled))


@frozen(order=False)
class _MovedChords:
    """A tune's chords moved by the interval between the keys.

    `plain` and `keys` hold them all with the part's keys; `numbers` are the indices of
    those that have a root, `heard` how they sound, `roots` the places of their
    plain roots, and `chosen` whether the source could have named the root otherwise.
    """

    plain: list[ChordSymbol]
    keys: list[Key]
    numbers: list[int]
    heard: list[HeardRoot]
    roots: list[int]
    chosen: list[bool]


def _moved_chords(
    changes: Sequence[tuple[Key, ChordSymbol]],
    by: Interval,
    keys: Sequence[Key] | None,
) -> _MovedChords:
    found = _MovedChords([], [], [], [], [], [])
    moves: dict[tuple[Key, Key | None], tuple[Key, Interval, int]] = {}
    here: Key | None = None
    there: Key | None = None
    move: tuple[Key, Interval, int] | None = None
    for index, (source, symbol) in enumerate(changes):
        asked_key = keys[index] if keys is not None else None
        if move is None or source is not here or asked_key is not there:
            here, there = source, asked_key
            move = moves.get((source, asked_key))
        if move is None:
            target = asked_key or written_key(source, by)
            move = target, written_interval(by, source, target), source.signature
            moves[source, asked_key] = move
        found.keys.append(move[0])
        moved, place, chord = _moved(symbol, move[1])
        found.plain.append(moved)
        if chord is not None:
            found.numbers.append(index)
            found.roots.append(place)
            found.heard.append(chord)
            found.chosen.append(_had_choice(place - move[1].fifths, move[2]))
    return found


@lru_cache(maxsize=1024)
def _had_choice(place: int, signature: int) -> bool:
    """Whether a root could have been read under another name in its key."""
    others = (place - 12, place + 12)
    return any(not is_odd_root(other, signature) for other in others)


def _leanings(moved: _MovedChords) -> list[int | None]:
    """The roots as the source has them, where it had a choice: in a pair neither had
    one if one of them hadn't."""
    chosen = list(moved.chosen)
    for at in range(1, len(chosen)):
        if chosen[at - 1] != chosen[at]:
            first, second = moved.heard[at - 1 : at + 1]
            link = root_link(first[1], second[1], (second[0] - first[0]) % 12)
            if link is PAIR:
                chosen[at - 1] = chosen[at] = False
    return [
        place if choice else None
        for place, choice in zip(moved.roots, chosen, strict=True)
    ]


def _as_asked(moved: _MovedChords, best: list[int], fixed: dict[int, int]) -> list[int]:
    """The roots with those asked for; the other chord of a pair goes along, and no
    other neighbour."""
    if not fixed:
        return best
    new = list(best)
    for at, index in enumerate(moved.numbers):
        if index not in fixed:
            continue
        new[at] = fixed[index]
        for other in (at - 1, at + 1):
            if not 0 <= other < len(best) or moved.numbers[other] in fixed:
                continue
            first, second = moved.heard[min(at, other)], moved.heard[max(at, other)]
            link = root_link(first[1], second[1], (second[0] - first[0]) % 12)
            if link is PAIR:
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
    symbol: ChordSymbol, by: Interval
) -> tuple[ChordSymbol, int, HeardRoot | None]:
    """The symbol moved, the place of its root and, if it is a chord, its sounding
    root, colour and sounding bass."""
    moved = symbol.transposed(by) if by != UNISON else symbol
    chord = deciding_chord(moved)
    if chord is None:
        return moved, 0, None
    root, bass = chord.root, chord.bass or chord.root
    heard = (root.pitch_class, chord_colour(chord), bass.pitch_class)
    return moved, root.fifths, heard


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

    heard: Sequence[HeardRoot]
    plain: Sequence[int]
    best: Sequence[int]
    idioms: Sequence[tuple[RootIdiom, int] | None]
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
        idiom = self.idioms[at]
        return idiom[0].name if idiom is not None and idiom[1] == self.best[at] else ""

    def _linked(self) -> str:
        """What keeps the chord on the side of the next one, or of the one before."""
        for first in (self.at, self.at - 1):
            if not 0 <= first < len(self.heard) - 1:
                continue
            one, two = self.heard[first], self.heard[first + 1]
            link = root_link(one[1], two[1], (two[0] - one[0]) % 12)
            if link and self.best[first + 1] - self.best[first] == link.fifths:
                pair = self._idiom(first + 1) if link is PAIR else ""
                return pair or link.name
        return ""
