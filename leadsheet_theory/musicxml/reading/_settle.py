"""What can be said of a measure only when all of it has been read."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from operator import attrgetter, itemgetter
from typing import Final

from ...chords import ChordSymbol
from ...leadsheet.model import Direction, Note, Rest
from ...rhythm.meter import Meter
from ._raw import RawBar, RawLine
from ._report import Report
from ._values import Number, plain, quarters

__all__ = ("copy_bar", "order_chords", "place_typed", "play_slashes")

PlacedSymbol = tuple[Number, ChordSymbol]


def place_typed(bar: RawBar, report: Report, grid: int) -> None:
    """Chord symbols typed as words: chords, where no harmony stands already.

    Over a harmony they are another choice of changes, and stay words.  Words that come
    after the bar's last note stand over it.
    """
    taken = {place for place, _ in bar.chords}
    for at, words, symbols in bar.typed:
        place = at if at < bar.length else last_onset(bar, grid)
        onset = quarters(place, grid)
        if place in taken and at < bar.length:
            bar.directions.append((place, Direction(onset, "words", words)))
            continue
        bar.chords += [(place, symbol) for symbol in symbols]
        several = f"{len(symbols)} chord symbols" if symbols[1:] else "a chord symbol"
        report.add(
            "chord-words",
            "warning",
            f"the words {words!r} are read as {several}",
            element="words",
            onset=onset,
            meter=bar.meter,
        )


def last_onset(bar: RawBar, grid: int) -> Number:
    """Where the last note or rest of a bar's first voice starts."""
    events = bar.lines[0].events if bar.lines else []
    return plain(events[-1].onset * grid) if events else 0


def fill_rests(bar: RawBar, grid: int, *, whole: bool) -> None:
    """Make a bar that holds nothing but rests of a whole bar as long as its metre says,
    and let none of them make a bar with notes longer; in a pickup (not `whole`) they
    may be shorter."""
    alone = [line for line in bar.lines if _is_bar_rest(line, bar.meter)]
    if not alone:
        return
    full = plain(grid * bar.meter.bar_length)
    others = [line.end for line in bar.lines if line not in alone]
    if others:
        length = max(*others, min(full, bar.length)) if whole else max(others)
    else:
        length = full if whole else min(full, bar.length)
    bar.length = length
    for line in alone:
        (rest,) = line.events
        line.end = length
        line.events = [
            Rest(
                rest.onset,
                quarters(length, grid),
                None,
                whole_bar=True,
                marks=rest.marks,
                shown=rest.shown if isinstance(rest, Rest) else "rest",
            )
        ]


def _is_bar_rest(line: RawLine, meter: Meter) -> bool:
    """Whether a voice is one rest from the bar's start that stands for the bar, or
    lasts longer than it."""
    if len(line.events) != 1 or line.strokes:
        return False
    (rest,) = line.events
    return (
        isinstance(rest, Rest)
        and not (rest.onset or rest.slashes)
        and (rest.whole_bar or rest.duration > meter.bar_length)
    )


def copy_bar(bar: RawBar, source: RawBar, report: Report) -> None:
    """Fill a bar that a bar repeat sign stands in, unless the file has done so."""
    if any(line.has_notes or line.strokes for line in bar.lines):
        return
    bar.lines = source.lines
    bar.length = source.length
    if not bar.chords:
        bar.chords = list(source.chords)
    report.gather(
        "measure-repeat",
        "note",
        "bar repeat signs are carried as the bars they mean",
    )


def play_slashes(bar: RawBar, report: Report, grid: int) -> None:
    """Notes under slash notation: a rhythm, or only time to be filled."""
    if not bar.length:
        bar.length = plain(grid * bar.meter.bar_length)
    for span in bar.slashes:
        start = quarters(span.start, grid)
        end = quarters(bar.length if span.end is None else span.end, grid)
        if start >= end:
            continue
        lines = [line for line in bar.lines if span.covers(line)]
        under = [_taken_out(line, start, end) for line in lines]
        notes = [note for line in under for note in line]
        if span.rhythm:
            for line, own in zip(lines, under, strict=True):
                line.strokes += own
                line.strokes.sort(key=attrgetter("onset"))
            continue
        if not lines:
            lines = [RawLine(span.staff or "1", "1")]
            bar.lines += lines
        line = lines[0]
        before = [each for each in line.events if each.onset < start]
        after = [each for each in line.events if each.onset >= end]
        if before:
            start = max(start, before[-1].onset + before[-1].duration)
        line.events = [*before, Rest(start, end - start, shown="slashes"), *after]
        line.end = max(line.end, plain(end * grid))
        if notes:
            report.gather("slashes", "note", _UNDER_SLASHES)


_UNDER_SLASHES: Final = "notes that are shown as slashes are carried as slashes"


def _taken_out(line: RawLine, start: Fraction, end: Fraction) -> list[Note]:
    """The notes of a voice that begin in a stretch of the bar, taken out of it."""
    notes = [
        event
        for event in line.events
        if isinstance(event, Note) and start <= event.onset < end
    ]
    if notes:
        line.events = [event for event in line.events if event not in notes]
        line.gaps = True
    return notes


def order_chords(
    bar: RawBar,
    carried: Sequence[PlacedSymbol],
    before: RawBar | None,
    report: Report,
    grid: int,
) -> list[PlacedSymbol]:
    """Put the chord symbols in order; those at or past the bar's end are returned,
    placed in the next bar.

    Symbols `carried` over from the bar before stand here, unless another one does: then
    they belong to the last note there.
    """
    if carried:
        own = dict(bar.chords)
        for place, symbol in carried:
            if place not in own:
                bar.chords.append((place, symbol))
            elif own[place] != symbol and before is not None:
                before.chords.append((last_onset(before, grid), symbol))
                before.chords.sort(key=itemgetter(0))
        report.gather(
            "chord-place",
            "note",
            "a chord symbol at or past the end of the bar before is placed anew",
        )
    bar.chords.sort(key=itemgetter(0))
    length = bar.length
    if not bar.chords or bar.chords[-1][0] < length:
        return []
    beyond = [chord for chord in bar.chords if chord[0] >= length]
    bar.chords = [chord for chord in bar.chords if chord[0] < length]
    return [(place - length, symbol) for place, symbol in beyond]
