"""Words of a part that name notes or chords: they are written in its letters.

"B♭ pedal" and chords typed as words (another choice of changes over the printed one)
mean sounds, so a part that transposes has them moved as its chord symbols are.  What
looks like a chord symbol and cannot be read is left out of such a part.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from attrs import evolve, frozen

from ..chords import (
    PLAIN_LETTERS,
    Chord,
    ChordSymbol,
    TypedSound,
    TypedSounds,
    print_chord,
    retyped,
    typed_sounds,
    written_chords,
)
from ..interval import Interval
from ..key import Key
from ..leadsheet.findings import Finding
from ..leadsheet.model import Bar
from .model import SharedBar

__all__ = ("NamedSounds", "in_letters_of", "named_sounds", "unreadable_words")


@frozen(order=False)
class NamedSounds:
    """The sounds that words name; `bar` and `direction` are indices, of the bar and of
    the words within it."""

    bar: int
    direction: int
    typed: TypedSounds


def named_sounds(bars: Iterable[Bar], /) -> Iterator[NamedSounds]:
    """The sounds that the words of a tune name, in order."""
    for index, bar in enumerate(bars):
        for place, direction in enumerate(bar.directions):
            if direction.kind == "words":
                typed = typed_sounds(direction.text)
                if typed:
                    yield NamedSounds(index, place, typed)


def unreadable_words(
    bars: Sequence[Bar], named: Iterable[NamedSounds]
) -> Iterator[Finding]:
    """The words that transposed parts leave out."""
    for each in named:
        if each.typed.unreadable:
            bar = bars[each.bar]
            words = bar.directions[each.direction].text[:40]
            yield Finding(
                rule="chord-words",
                severity="error",
                message=f"the words {words!r} look like a chord symbol that cannot be "
                "read: "
                "left out of transposed parts",
                bar=bar.number,
                advice="enter them as a chord symbol",
            )


def in_letters_of(
    written: Sequence[SharedBar],
    named: Sequence[NamedSounds],
    by: Interval,
    keys: Sequence[Key],
) -> tuple[SharedBar, ...]:
    """The bars with their named sounds moved by an interval, in each bar's key and
    beside the chord symbols around them; at the source's own pitch and key they stay
    as they were entered."""
    if not by.fifths and all(
        keys[each.bar] == written[each.bar].source.key for each in named
    ):
        return tuple(written)
    around: list[tuple[int, Fraction, int, int, ChordSymbol]] = [
        (index, placed.onset, -1, 0, placed.symbol)
        for index, shared in enumerate(written)
        for placed in shared.source.chords
    ]
    for place, each in enumerate(named):
        onset = written[each.bar].source.directions[each.direction].onset
        for number, sound in enumerate(each.typed.sounds):
            around.append((each.bar, onset, place, number, sound.symbol))
    around.sort(key=lambda change: change[:4])
    moved = written_chords(
        [(written[bar].source.key, symbol) for bar, *_, symbol in around],
        by,
        keys=[keys[bar] for bar, *_ in around],
    )
    names: dict[int, list[str]] = {}
    for (_, _, place, number, old), new in zip(around, moved.symbols, strict=True):
        if place >= 0:
            each = named[place]
            words = written[each.bar].source.directions[each.direction].text
            names.setdefault(place, []).append(
                _name(words, each.typed.sounds[number], old, new)
            )
    bars = list(written)
    # from the last: words that are left out change the places of those after them
    for place in range(len(named) - 1, -1, -1):
        each = named[place]
        if by.fifths or keys[each.bar] != written[each.bar].source.key:
            bars[each.bar] = _with_words(bars[each.bar], each, names.get(place, []))
    return tuple(bars)


def _name(words: str, sound: TypedSound, old: ChordSymbol, new: ChordSymbol) -> str:
    """How a sound is written among words."""
    entered = words[sound.start : sound.end]
    if new == old:
        return entered
    if isinstance(new, Chord) and sound.is_pedal:
        return str(new.root) if entered.isascii() else new.root.glyphs
    return print_chord(new, PLAIN_LETTERS)


def _with_words(
    shared: SharedBar, named: NamedSounds, names: Sequence[str]
) -> SharedBar:
    directions = list(shared.source.directions)
    words = directions[named.direction]
    if named.typed.unreadable:
        del directions[named.direction]
    else:
        text = retyped(words.text, named.typed.sounds, names)
        directions[named.direction] = evolve(words, text=text)
    return evolve(shared, source=evolve(shared.source, directions=tuple(directions)))
