"""What stands in other parts than the melody's: chord symbols, words, signs of form.

Arrangers put chord symbols on the hits in one section and on the melody's downbeats in
another, and words where they happen to stand.  The tune has all of them, equal ones
once; symbols that contradict each other are asked about.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from operator import itemgetter

from ...chords import Chord, ChordSymbol
from ._raw import RawBar
from ._report import Report
from ._staves import PartContent
from ._values import quarters

__all__ = ("merge_parts",)


def merge_parts(melody: PartContent, parts: Sequence[PartContent], grid: int) -> None:
    """Add to the melody's bars the chord symbols, words, dynamics and signs that only
    other parts have, and tell of it."""
    for other in parts:
        if other is melody:
            continue
        had_none = not any(bar.chords for bar in melody.bars)
        if had_none:
            added = _take_chords(melody, other)
        else:
            added = _merge_chords(melody, other, grid)
        if had_none and added:
            melody.report.gather(
                "chord-part", "note", f"chord symbols are those of {other.title}"
            )
        elif added:
            melody.report.index = None
            melody.report.add(
                "chord-part",
                "note",
                f"{added} chord symbol{'s' if added > 1 else ''} of {other.title} "
                f"{'stand' if added > 1 else 'stands'} with the melody's",
            )
        for bar, source in zip(melody.bars, other.bars, strict=False):
            bar.signs.take(source.signs)
            _merge_directions(bar, source)


def _take_chords(melody: PartContent, other: PartContent) -> int:
    """Take all symbols of another part; how many."""
    for bar, source in zip(melody.bars, other.bars, strict=False):
        bar.chords = list(source.chords)
    return sum(len(bar.chords) for bar in melody.bars)


def _merge_chords(melody: PartContent, other: PartContent, grid: int) -> int:
    """Add the symbols of another part where the melody's part has none; how many."""
    report: Report = melody.report
    in_force: Hashable = None
    added = 0
    for index, (bar, source) in enumerate(zip(melody.bars, other.bars, strict=False)):
        own: dict[object, list[Hashable]] = {}
        for place, symbol in bar.chords:
            own.setdefault(place, []).append(_sound(symbol))
        merged = list(bar.chords)
        for place, symbol in source.chords:
            sound = _sound(symbol)
            if place not in own:
                before = [s for at, s in bar.chords if at < place]
                if sound != (_sound(before[-1]) if before else in_force):
                    merged.append((place, symbol))
                    added += 1
            elif sound not in own[place]:
                here = ", ".join(str(s) for at, s in bar.chords if at == place)
                report.index = index
                report.add(
                    "chord-parts",
                    "query",
                    f"{other.title} has {symbol} where the melody's part has {here}",
                    element="harmony",
                    advice=f"{here} is taken; mend the one that is wrong",
                    onset=quarters(place, grid),
                    meter=bar.meter,
                )
        merged.sort(key=itemgetter(0))
        bar.chords = merged
        if merged:
            in_force = _sound(merged[-1][1])
    return added


def _sound(symbol: ChordSymbol) -> Hashable:
    """What a symbol sounds, however it is spelled."""
    bass = None
    if isinstance(symbol, Chord):
        bass = (symbol.bass or symbol.root).pitch_class
    return type(symbol), symbol.pitch_classes, bass


def _merge_directions(bar: RawBar, source: RawBar) -> None:
    """Add words and dynamics that the bar doesn't say already."""
    said = {(each.kind, each.text, each.tempo) for _, each in bar.directions}
    louder = any(each.kind == "dynamics" for _, each in bar.directions)
    for place, direction in source.directions:
        same = (direction.kind, direction.text, direction.tempo) in said
        if same or (direction.kind == "dynamics" and louder):
            continue
        bar.directions.append((place, direction))
    bar.directions.sort(key=itemgetter(0))
