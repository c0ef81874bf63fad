"""Chord symbols entered on one beat, spread over the beats that they are meant for.

Over a long note many programs have but one place for a symbol, so that a bar's two or
four chords end up on top of one another (counted on amateurs' charts: one in three).
Nobody can play from such a stack; the beats up to the next chord are the usual
meaning (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import groupby, pairwise

from attrs import evolve

from .._doors import door
from ..chords import ChordSymbol
from .findings import Finding, bar_list
from .mended import MendedBars
from .model import Bar, PlacedChord

__all__ = ("spread_stacked_chords",)


@door
def spread_stacked_chords(bars: Iterable[Bar], /) -> MendedBars:
    """The bars with chord symbols that stand on one place spread over the beats up to
    the next symbol or the bar's end, over parts of a beat where there are too few.

    The first symbol gets the beats that are left over; one that is entered twice in a
    row on a place stands there once.

    >>> from leadsheet_theory.chords import parse_chord
    >>> from leadsheet_theory.key import Key
    >>> from leadsheet_theory.rhythm import Meter
    >>> stack = [PlacedChord(Fraction(0), parse_chord(s)) for s in ("Dm7", "G7", "C6")]
    >>> bar = Bar(number=1, key=Key.parse("C"), meter=Meter(4, 4), length=Fraction(4),
    ...           chords=tuple(stack))
    >>> spread = spread_stacked_chords([bar])
    >>> [f"{chord.symbol} {chord.onset}" for chord in spread.bars[0].chords]
    ['Dm7 0', 'G7 2', 'C6 3']
    >>> print(*spread.remarks)
    bar 1: chord symbols entered on one beat are spread over the beats up to the next
    """
    spread: list[Bar] = []
    changed: list[int] = []
    for bar in bars:
        count = len(bar.chords)
        # places as pairs of numbers: fractions are slow to tell apart by hash
        if count > 1 and count > len(
            {placed.onset.as_integer_ratio() for placed in bar.chords}
        ):
            changed.append(bar.number)
            spread.append(evolve(bar, chords=tuple(_spread(bar))))
        else:
            spread.append(bar)
    if not changed:
        return MendedBars(tuple(spread))
    message = (
        "chord symbols entered on one beat are spread over the beats up to the next"
    )
    if len(changed) > 1:
        message += f" (bars {bar_list(changed)})"
    return MendedBars(
        tuple(spread),
        (
            Finding(
                rule="stacked-chords", severity="note", message=message, bar=changed[0]
            ),
        ),
    )


def _spread(bar: Bar) -> Iterator[PlacedChord]:
    beat = bar.meter.beat_spans[0].length
    in_order = sorted(bar.chords, key=_onset)
    stacks = [(at, list(here)) for at, here in groupby(in_order, key=_onset)]
    for (start, stack), (end, _) in pairwise([*stacks, (bar.length, [])]):
        symbols = [symbol for symbol, _ in groupby(stack, key=_symbol)]
        yield PlacedChord(start, symbols[0])
        if len(symbols) == 1:
            continue
        step, room = beat, end - start
        while room > 0 and room // step < len(symbols):
            step /= 2
        places = room // step
        for number, symbol in enumerate(symbols[1:], start=1):
            # rounded up: the first ones get what is left over
            onset = start - (-number * places // len(symbols)) * step
            yield PlacedChord(onset, symbol)


def _symbol(placed: PlacedChord) -> ChordSymbol:
    return placed.symbol


def _onset(placed: PlacedChord) -> Fraction:
    return placed.onset
