"""Rows on chord idioms: a key, a passage with the item in question in brackets, and
the names that are right there.  What a row says holds in every key: this module moves
it, and asks the library what it makes of the sound."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

from attrs import evolve, frozen

from leadsheet_theory.chords import Chord, chord_colour, parse_chord
from leadsheet_theory.chords.respell import written_chords
from leadsheet_theory.interval import Interval
from leadsheet_theory.key import Key
from leadsheet_theory.pitch import NoteName
from leadsheet_theory.spelling import HeardChord, spell_chord_roots, written_key

SIGNATURES = range(-6, 7)
BOOKS = {"C": "P1", "B flat": "M2", "E flat": "M6", "F": "P5", "bass clef": "P1"}
"""The five books, with the interval from the sounding to the written note."""

_ODD = frozenset((-8, -7, 11, 12))
_BRACKET = re.compile(r"\[([^]|]+)\|([^]]+)\](\S*)")


@frozen
class Passage:
    """Chords in a key; those at `asked` are in question, `good` are their names."""

    key: Key
    chords: tuple[Chord, ...]
    asked: tuple[int, ...]
    good: tuple[tuple[NoteName, ...], ...]

    def moved(self, signature: int) -> Passage:
        """The same in another key of the mode; a name that is odd there (and with it
        its neighbours in question) may take its plain form."""
        shift = signature - self.key.signature
        key = Key.from_signature(signature, self.key.mode)
        moved = tuple(_moved(chord, shift) for chord in self.chords)
        good: list[tuple[NoteName, ...]] = []
        for names in self.good:
            places = [name.fifths + shift for name in names]
            plain = [_plain(place, signature) for place in places]
            # as it is, each odd name alone made plain, or all to one side
            for choice in (places, plain, *_sides(places)):
                odd = any(_is_odd(place, signature) for place in choice)
                if not odd and not self._split(choice):
                    good.append(tuple(map(NoteName.from_fifths, choice)))
        return Passage(key, moved, self.asked, tuple(dict.fromkeys(good)))

    def _split(self, places: list[int]) -> bool:
        """Whether a ii and its V stand on two sides."""
        asked = list(zip(self.asked, places, strict=True))
        return any(
            split_pair((self.chords[index], place), (self.chords[after], following))
            for (index, place), (after, following) in pairwise(asked)
            if after == index + 1
        )


def split_pair(first: tuple[Chord, int], second: tuple[Chord, int]) -> bool:
    """Whether two chords, each with the place of its root's name, are a ii and its V
    on two sides."""
    (ii, low), (five, high) = first, second
    return (
        chord_colour(ii) in ("minor", "half-diminished")
        and chord_colour(five) in ("dominant", "suspended")
        and (five.root.pitch_class - ii.root.pitch_class) % 12 == 5
        and high != low - 1
    )


def _is_odd(place: int, signature: int) -> bool:
    return not -8 <= place <= 12 or (place in _ODD and not -1 <= place - signature <= 5)


def _plain(place: int, signature: int) -> int:
    while _is_odd(place, signature):
        place += -12 if place > 2 else 12
    return place


def _sides(places: list[int]) -> Iterator[list[int]]:
    """A pair of which one name is odd goes over to the other side together."""
    if len(places) > 1:
        for step in (-12, 12):
            yield [place + step for place in places]


def _moved(chord: Chord, shift: int) -> Chord:
    root = NoteName.from_fifths(chord.root.fifths + shift)
    bass = chord.bass and NoteName.from_fifths(chord.bass.fifths + shift)
    return Chord(root, chord.quality, bass)


def passage(key: str, context: str, good: list[str]) -> Passage:
    """A row's passage of chords.

    >>> row = passage("C major", "C [D#|Eb]dim G7", ["Ebdim"])
    >>> row.asked, [str(name) for name in row.good[0]]
    ((1,), ['Eb'])
    """
    text = re.sub(r"^[^:]*:|\[Em7 A7\] D, then", "", context)
    asked: list[int] = []
    chords: list[Chord] = []
    at = 0
    strict: dict[int, NoteName] = {}
    for match in _BRACKET.finditer(text):
        chords += _parsed(text[at : match.start()])
        inside = _parsed(" ".join(name + match[3] for name in match[1].split()))
        other = [parse_chord(name + match[3]) for name in match[2].split()]
        asked += range(len(chords), len(chords) + len(inside))
        signature = Key.parse(key).signature
        for index, names in enumerate(zip(inside, other, strict=True), len(chords)):
            for chord in names:
                # a name that nobody prints in this key may be right in others
                if isinstance(chord, Chord) and _is_odd(chord.root.fifths, signature):
                    strict[index] = chord.root
        chords += inside
        at = match.end()
    chords += _parsed(text[at:])
    found: list[tuple[NoteName, ...]] = []
    for each in good:
        roots = [chord.root for chord in _parsed(each)]
        wanted = [chords[index].root.pitch_class for index in asked]
        kept = roots[: len(asked)]
        if [root.pitch_class for root in kept] == wanted:
            found.append(tuple(kept))
            found.append(
                tuple(
                    strict.get(index, root)
                    for index, root in zip(asked, kept, strict=True)
                )
            )
    return Passage(Key.parse(key), tuple(chords), tuple(asked), tuple(found))


def _parsed(text: str) -> list[Chord]:
    found: list[Chord] = []
    for word in re.sub(r",? then |[|,;]", " ", text).split():
        chord = parse_chord(word)
        assert isinstance(chord, Chord)
        found.append(chord)
    return found


def concert_roots(one: Passage) -> tuple[NoteName, ...]:
    """The roots in question, found again from their sound."""
    heard = [
        HeardChord(
            chord.root.pitch_class,
            chord_colour(chord),
            (chord.bass or chord.root).pitch_class,
        )
        for chord in one.chords
    ]
    found = spell_chord_roots(heard, key=one.key)
    return tuple(found[index] for index in one.asked)


def part_roots(source: Passage, by: Interval) -> tuple[NoteName, ...]:
    """The roots in question as a part has them."""
    part = written_chords([(source.key, chord) for chord in source.chords], by)
    roots: list[NoteName] = []
    for index in source.asked:
        symbol = part.symbols[index]
        assert isinstance(symbol, Chord)
        roots.append(symbol.root)
    return tuple(roots)


def sources(one: Passage) -> Iterator[Passage]:
    """The passage as charts may have it: as it is, and on the other side."""
    yield one
    for step in (12, -12):
        chords = list(one.chords)
        for index in one.asked:
            root = NoteName.from_fifths(chords[index].root.fifths + step)
            if abs(root.alter) > 1:
                break
            chords[index] = chords[index].respelled(root)
        else:
            yield evolve(one, chords=tuple(chords))


def broken(one: Passage) -> Iterator[str]:
    """Where the row doesn't hold: in a key at concert pitch, or in a book's part."""
    for signature in SIGNATURES:
        here = one.moved(signature)
        found = concert_roots(here)
        if found not in here.good:
            yield _said("concert", here, found)
    for book, text in BOOKS.items():
        by = Interval.parse(text)
        if not by.chromatic:
            continue
        for signature in SIGNATURES:
            here = one.moved(signature)
            there = one.moved(written_key(here.key, by).signature)
            for source in sources(here):
                found = part_roots(source, by)
                if found not in there.good:
                    yield _said(f"{book} part of {here.key}", there, found)


def _said(where: str, here: Passage, found: tuple[NoteName, ...]) -> str:
    chords = " ".join(map(str, here.chords))
    names = " ".join(map(str, found))
    good = " or ".join(" ".join(map(str, each)) for each in here.good)
    return f"{where}, {here.key}: {chords}: {names}, not {good}"
