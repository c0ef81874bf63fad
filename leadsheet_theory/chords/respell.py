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
from functools import lru_cache

from attrs import frozen

from ..errors import ChordSpellingError, LengthMismatchError
from ..interval import UNISON, Interval
from ..key import Key
from ..pitch import NoteName
from ..spelling._root_search import best_roots, is_odd_root
from ..spelling.respelling import Respelling
from ..spelling.roots import ChordColour
from ..spelling.transposing import NO_DOUBLES, written_interval, written_key
from .quality import Quality
from .symbol import Chord, ChordSymbol, PolyChord

__all__ = (
    "WrittenChords",
    "chord_colour",
    "deciding_chord",
    "written_chords",
)


@frozen(order=False)
class WrittenChords:
    """The chords of a tune as a part's reader sees them, with what was respelled."""

    symbols: tuple[ChordSymbol, ...]
    respelled: tuple[Respelling[ChordSymbol], ...] = ()


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
            index; they are taken as they are, and their neighbours keep to
            their own places.

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
    Abm7, not G#m7: Ab lies nearer to F major
    """
    if keys is not None and len(keys) != len(changes):
        raise LengthMismatchError(f"{len(keys)} keys for {len(changes)} chords")
    fixed = _fixed(changes, by, asked or {})
    moves: dict[tuple[Key, Key | None], tuple[Key, Interval, int]] = {}
    plain: list[ChordSymbol] = []
    parts: list[Key] = []
    numbers: list[int] = []
    heard: list[tuple[int, str, int]] = []
    roots: list[int] = []
    signatures: list[int] = []
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
            move = target, written_interval(by, source, target), target.signature
            moves[source, asked_key] = move
        parts.append(move[0])
        moved, place, chord = _moved(symbol, move[1])
        plain.append(moved)
        if chord is not None:
            numbers.append(index)
            roots.append(place)
            heard.append(chord)
            signatures.append(move[2])
    best = best_roots(heard, signatures, leanings=roots)
    # what is asked for at one place must not pull its neighbours along
    best = [fixed.get(index, place) for index, place in zip(numbers, best, strict=True)]
    symbols = list(plain)
    respelled: list[Respelling[ChordSymbol]] = []
    for at, index in enumerate(numbers):
        symbol, reason = plain[index], ""
        if best[at] != roots[at]:
            symbol = _respelled(symbol, NoteName.from_fifths(best[at]))
            reason = (
                "asked for"
                if index in fixed
                else _reason(roots[at], best[at], parts[index])
            )
        simple = _simple_bass(symbol, changes[index][1])
        if simple is not symbol:
            symbol, reason = simple, reason or NO_DOUBLES
        if reason:
            symbols[index] = symbol
            respelled.append(Respelling(index, plain[index], symbol, reason))
    return WrittenChords(tuple(symbols), tuple(respelled))


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

    >>> from leadsheet_theory.chords import parse_chord
    >>> str(deciding_chord(parse_chord("D|C7")))
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
) -> tuple[ChordSymbol, int, tuple[int, str, int] | None]:
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
    return Chord(symbol.root, symbol.quality, simple)


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
                f"{root.glyphs} does not sound like {plain}, the root of chord {index}"
            )
    return {index: root.fifths for index, root in asked.items()}


def _reason(plain: int, new: int, key: Key) -> str:
    old_name, new_name = NoteName.from_fifths(plain), NoteName.from_fifths(new)
    if abs(old_name.alter) > 1:
        return "no root with a double accidental"
    signature = key.signature
    if is_odd_root(plain, signature):
        return f"{old_name} is no root to read in {key}"
    if abs(new - signature - 2) < abs(plain - signature - 2):
        return f"{new_name} lies nearer to {key}"
    return "it goes with the chords beside it"
