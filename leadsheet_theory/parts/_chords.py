"""The chords of a part: the tune's as a whole, then the solo page's as the tune's."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from attrs import evolve

from ..chords import ChordSymbol
from ..chords.respell import WrittenChords, deciding_chord, written_chords
from ..interval import Interval
from ..key import Key
from ..pitch import NoteName
from ..spelling.respelling import Respelling
from ._shared import Shared

__all__ = ("part_chords",)


def part_chords(
    shared: Shared, by: Interval, keys: Sequence[Key], asked: Mapping[int, NoteName]
) -> WrittenChords:
    """All chord symbols of a part, the tune's and then the solo page's.

    Args:
        shared: the tune.
        by: the interval from the source up to the part.
        keys: the written key of each bar.
        asked: roots that the arranger wants, by the index of the change.
    """
    count = shared.change_starts[len(shared.rhythms)]
    part_keys = [keys[bar] for bar in shared.change_bars]
    entered = {} if by.fifths else _as_entered(shared, part_keys)
    tune = written_chords(
        shared.changes[:count],
        by,
        keys=part_keys[:count],
        asked={
            index: root for index, root in {**entered, **asked}.items() if index < count
        },
    )
    if count == len(shared.changes):
        return tune
    page = written_chords(
        shared.changes[count:],
        by,
        keys=part_keys[count:],
        asked={
            index - count: root
            for index, root in {**entered, **asked}.items()
            if index >= count
        },
    )
    own = {index - count for index in asked if index >= count}
    like_tune = _places_in_tune(shared, part_keys, count)
    symbols = list(page.symbols)
    reasons = {each.index: each for each in page.respelled}
    of_tune = {each.index: each for each in tune.respelled}
    for index, place in enumerate(like_tune):
        if place is None or not own.isdisjoint((index - 1, index, index + 1)):
            continue
        symbols[index] = tune.symbols[place]
        reasons.pop(index, None)
        if place in of_tune:
            reasons[index] = evolve(of_tune[place], index=index)
    return WrittenChords(
        (*tune.symbols, *symbols),
        (
            *tune.respelled,
            *(
                evolve(each, index=count + at)
                for at, each in sorted(reasons.items(), key=_first)
            ),
        ),
    )


def _first(pair: tuple[int, Respelling[ChordSymbol]]) -> int:
    return pair[0]


def _as_entered(shared: Shared, keys: Sequence[Key]) -> dict[int, NoteName]:
    """The roots that a part at the source's own pitch keeps as they were entered."""
    return {
        index: chord.root
        for index, (key, symbol) in enumerate(shared.changes)
        if (chord := deciding_chord(symbol)) is not None and keys[index] == key
    }


_Change = tuple[Key, ChordSymbol, Key]


def _places_in_tune(
    shared: Shared, keys: Sequence[Key], count: int
) -> list[int | None]:
    """For each chord of the solo page the chord of the tune that it is: the same
    symbol in the same keys, followed by the same one if there is such, and the
    next such after the last one found."""
    changes: list[_Change] = [
        (key, symbol, keys[index]) for index, (key, symbol) in enumerate(shared.changes)
    ]
    places: dict[_Change, list[int]] = {}
    for index, change in enumerate(changes[:count]):
        places.setdefault(change, []).append(index)
    found: list[int | None] = []
    last = -1
    for index in range(count, len(changes)):
        change = changes[index]
        after = changes[index + 1] if index + 1 < len(changes) else None
        choices = places.get(change)
        if not choices:
            found.append(None)
            continue
        followed = [
            place
            for place in choices
            if place + 1 < count and changes[place + 1] == after
        ]
        likely = followed or choices
        last = next((place for place in likely if place >= last), likely[0])
        found.append(last)
    return found
