"""Words of a part that name a note or a chord: they are written in its letters.

"B♭ pedal" and a chord typed as words (another choice of changes over the printed
one) mean sounds, so a part that transposes has them moved as its chord symbols are.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from attrs import evolve, frozen

from ..chords import (
    PLAIN_LETTERS,
    Chord,
    ChordSymbol,
    TypedSound,
    print_chord,
    typed_sound,
    written_chords,
)
from ..interval import Interval
from ..key import Key
from ..leadsheet.model import Bar
from .model import SharedBar

__all__ = ("NamedSound", "in_letters_of", "named_sounds")


@frozen(order=False)
class NamedSound:
    """A sound that words name; `bar` and `direction` are indices, of the bar and of
    the words within it."""

    bar: int
    direction: int
    sound: TypedSound


def named_sounds(bars: Iterable[Bar], /) -> Iterator[NamedSound]:
    """The sounds that the words of a tune name, in order."""
    for index, bar in enumerate(bars):
        for place, direction in enumerate(bar.directions):
            if direction.kind == "words":
                sound = typed_sound(direction.text)
                if sound is not None:
                    yield NamedSound(index, place, sound)


def in_letters_of(
    written: Sequence[SharedBar],
    named: Sequence[NamedSound],
    by: Interval,
    keys: Sequence[Key],
) -> tuple[SharedBar, ...]:
    """The bars with their named sounds moved by an interval, in each bar's key and
    beside the chord symbols around them; at the source's own pitch and key they stay
    as they were entered."""
    around = [
        (index, placed.onset, -1, placed.symbol)
        for index, shared in enumerate(written)
        for placed in shared.source.chords
    ]
    for place, each in enumerate(named):
        onset = written[each.bar].source.directions[each.direction].onset
        around.append((each.bar, onset, place, each.sound.symbol))
    around.sort(key=lambda change: change[:3])
    moved = written_chords(
        [(written[bar].source.key, symbol) for bar, _, _, symbol in around],
        by,
        keys=[keys[bar] for bar, *_ in around],
    )
    bars = list(written)
    for (bar, _, place, old), new in zip(around, moved.symbols, strict=True):
        entered = not by.fifths and keys[bar] == written[bar].source.key
        if place >= 0 and new != old and not entered:
            bars[bar] = _with_words(bars[bar], named[place], new)
    return tuple(bars)


def _with_words(shared: SharedBar, named: NamedSound, new: ChordSymbol) -> SharedBar:
    directions = list(shared.source.directions)
    words = directions[named.direction]
    text, sound = words.text, named.sound
    if isinstance(new, Chord) and (sound.start, sound.end) != (0, len(text)):
        ascii_letters = text[sound.start : sound.end].isascii()
        name = str(new.root) if ascii_letters else new.root.glyphs
        text = text[: sound.start] + name + text[sound.end :]
    else:
        text = print_chord(new, PLAIN_LETTERS)
    directions[named.direction] = evolve(words, text=text)
    return evolve(shared, source=evolve(shared.source, directions=tuple(directions)))
