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
    count = len(shared.spans)
    part_keys = [keys[bar] for bar in shared.change_bars]
    wishes = dict(asked)
    if not by.fifths:
        entered = _as_entered(shared, part_keys)
        if not asked and len(entered) == len(shared.changes):
            return WrittenChords(tuple([symbol for _, symbol in shared.changes]))
        wishes = {**entered, **asked}
    tune = written_chords(
        shared.changes[:count],
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


def _as_the_tune(
    shared: Shared, tune: WrittenChords
) -> tuple[list[ChordSymbol], dict[int, Respelling[ChordSymbol]]]:
    """The chords of the solo page as the tune's are written, and by index why those
    that were respelled were; a chord that the tune has not stays as it was entered."""
    count = len(shared.spans)
    symbols: list[ChordSymbol] = []
    reasons: dict[int, Respelling[ChordSymbol]] = {}
    of_tune = {each.index: each for each in tune.respelled}
    for index, place in enumerate(shared.page_places):
        symbols.append(shared.changes[count + index][1])
        if place is not None:
            symbols[-1] = tune.symbols[place]
            if place in of_tune:
                reasons[index] = of_tune[place]
    return symbols, reasons


def _on_their_own(shared: Shared, asked: Mapping[int, NoteName]) -> list[int]:
    """The chords of the solo page that are spelled for themselves: those that the tune
    has not, those that were asked for, and the neighbours of these."""
    count = len(shared.spans)
    own = {index - count for index in asked if index >= count}
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
