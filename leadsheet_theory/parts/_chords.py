"""The chords of a part: the tune's as a whole, then the solo page's as the tune's."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from attrs import evolve

from ..chords import ChordSymbol
from ..chords.respell import (
    WrittenChords,
    deciding_chord,
    part_changes,
    written_chords,
)
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
    count = len(shared.spans)
    if not asked and not by.fifths and _in_own_keys(shared, keys):
        return WrittenChords(tuple([symbol for _, symbol in shared.changes]))
    part_keys = [keys[bar] for bar in shared.change_bars]
    wishes = dict(asked)
    if not by.fifths:
        wishes = {**_as_entered(shared, part_keys), **asked}
    tune = part_changes(
        shared.tune_chords(),
        by,
        keys=part_keys[:count],
        asked={index: root for index, root in wishes.items() if index < count},
    )
    symbols, reasons = _as_the_tune(shared, tune)
    alone = _on_their_own(shared, asked)
    if alone:
        page = written_chords(
            shared.changes[count:],
            by,
            keys=part_keys[count:],
            asked={
                index - count: root for index, root in wishes.items() if index >= count
            },
        )
        of_page = {each.index: each for each in page.respelled}
        for index in alone:
            symbols[index] = page.symbols[index]
            reasons.pop(index, None)
            if index in of_page:
                reasons[index] = of_page[index]
    return WrittenChords(
        (*tune.symbols, *symbols),
        (
            *tune.respelled,
            *[evolve(reasons[at], index=count + at) for at in sorted(reasons)],
        ),
    )


def _in_own_keys(shared: Shared, keys: Sequence[Key]) -> bool:
    """Whether the written key of each bar is the source's."""
    return all(
        key is bar.key or key == bar.key
        for key, bar in zip(keys, shared.bars, strict=True)
    )


def _as_the_tune(
    shared: Shared, tune: WrittenChords
) -> tuple[list[ChordSymbol], dict[int, Respelling[ChordSymbol]]]:
    """The chords of the solo page as the tune's are written, and by index why those
    that were respelled were; a chord that the tune has not stays as it was entered."""
    count = len(shared.spans)
    symbols = [
        entered if place is None else tune.symbols[place]
        for place, (_, entered) in zip(
            shared.page_places, shared.changes[count:], strict=True
        )
    ]
    if not tune.respelled:
        return symbols, {}
    of_tune = {each.index: each for each in tune.respelled}
    reasons = {
        index: of_tune[place]
        for index, place in enumerate(shared.page_places)
        if place in of_tune
    }
    return symbols, reasons


def _on_their_own(shared: Shared, asked: Mapping[int, NoteName]) -> list[int]:
    """The chords of the solo page that are spelled for themselves: those that the tune
    has not, those that were asked for, and the neighbours of these."""
    count = len(shared.spans)
    own = {index - count for index in asked if index >= count}
    if not own and None not in shared.page_places:
        return []
    return [
        index
        for index, place in enumerate(shared.page_places)
        if place is None or not own.isdisjoint((index - 1, index, index + 1))
    ]


def _as_entered(shared: Shared, keys: Sequence[Key]) -> dict[int, NoteName]:
    """The roots that a part at the source's own pitch keeps as they were entered."""
    entered: dict[int, NoteName] = {}
    for index, (key, symbol) in enumerate(shared.changes):
        chord = deciding_chord(symbol)
        if chord is not None and keys[index] == key:
            entered[index] = chord.root
    return entered
