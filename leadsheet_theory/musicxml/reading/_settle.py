"""What can be said of a measure only when all of it has been read."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import groupby
from operator import attrgetter, itemgetter

from ...chords import ChordSymbol
from ...leadsheet.model import Direction, Note, Rest
from ._notes import SLASHES
from ._raw import RawBar
from ._report import Report
from ._values import Number, plain, quarters

__all__ = ("copy_bar", "order_chords", "place_typed", "play_slashes", "spread")

PlacedSymbol = tuple[Number, ChordSymbol]


def place_typed(
    bar: RawBar,
    typed: Sequence[tuple[Number, str, ChordSymbol]],
    report: Report,
    grid: int,
) -> None:
    """Chord symbols typed as words: chords, where no harmony stands already.

    Over a harmony they are another choice of changes, and stay words.
    """
    taken = {place for place, _ in bar.chords}
    for place, words, symbol in typed:
        onset = quarters(place, grid)
        if place in taken:
            bar.directions.append((place, Direction(onset, "words", words)))
            continue
        bar.chords.append((place, symbol))
        report.add(
            "chord-words",
            "warning",
            f"the words {words!r} are read as a chord symbol",
            element="words",
            onset=onset,
            meter=bar.meter,
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


def play_slashes(bar: RawBar, report: Report) -> None:
    """Notes under slash notation: a rhythm, or only time to be played."""
    for line in bar.lines:
        if line.voice in bar.slash_voices:
            continue
        notes = [event for event in line.events if isinstance(event, Note)]
        if not notes:
            continue
        line.events = [event for event in line.events if isinstance(event, Rest)]
        line.gaps = True
        if bar.slash == "rhythm":
            line.strokes += notes
            line.strokes.sort(key=attrgetter("onset"))
        else:
            report.gather("slashes", "note", SLASHES)


def order_chords(
    bar: RawBar, report: Report, grid: int, *, spread_chords: bool
) -> list[PlacedSymbol]:
    """Put the chord symbols in order; those at or past the bar's end are returned,
    placed in the next bar."""
    beyond = [chord for chord in bar.chords if chord[0] >= bar.length]
    if beyond:
        bar.chords = [chord for chord in bar.chords if chord[0] < bar.length]
        report.gather(
            "chord-place",
            "note",
            "a chord symbol at or past the bar's end stands in the next bar",
        )
    if len(bar.chords) > 1:
        bar.chords.sort(key=itemgetter(0))
        if len({place for place, _ in bar.chords}) < len(bar.chords):
            _report_stacked(bar, report, grid, spread_chords)
            if spread_chords:
                bar.chords = spread(bar, grid)
    return [(place - bar.length, symbol) for place, symbol in beyond]


def _report_stacked(
    bar: RawBar, report: Report, grid: int, spread_chords: bool
) -> None:
    for place, here in groupby(bar.chords, key=itemgetter(0)):
        names = [str(symbol) for _, symbol in here]
        if len(names) > 1:
            report.add(
                "stacked-chords",
                "warning",
                f"{' and '.join(names[:6])} stand on one beat",
                element="harmony",
                advice="they are spread over the beats up to the next"
                if spread_chords
                else "place each on its beat",
                onset=quarters(place, grid),
                meter=bar.meter,
            )


def spread(bar: RawBar, grid: int) -> list[PlacedSymbol]:
    """Chord symbols that stand on one place, spread over the beats up to the next
    chord or the bar's end; the first one gets what is left over."""
    placed: list[PlacedSymbol] = []
    beat = bar.meter.beat_spans[0].length * grid
    stacks = [list(here) for _, here in groupby(bar.chords, key=itemgetter(0))]
    for stack, following in zip(stacks, [*stacks[1:], None], strict=True):
        start = stack[0][0]
        end = bar.length if following is None else following[0][0]
        step = beat
        while (end - start) // step < len(stack):
            step /= 2
        beats = (end - start) // step
        placed += [
            (plain(Fraction(start + -(-number * beats // len(stack)) * step)), symbol)
            for number, (_, symbol) in enumerate(stack)
        ]
    return placed
