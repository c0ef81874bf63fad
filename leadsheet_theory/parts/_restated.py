"""Chords that go on sounding, written again where a reader looks for them.

A chord that still sounds is written again where a section or a system starts, and left
out where it would only be a second time (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from fractions import Fraction
from typing import Final

from attrs import evolve

from ..chords import ChordSymbol
from ..leadsheet.form import play_order
from ..leadsheet.model import Bar, PlacedChord

__all__ = ("restated", "restated_at_bars")

_START: Final = Fraction(0)
_Chords = tuple[PlacedChord, ...]


def restated(
    bars: Sequence[Bar],
    *,
    restate: bool,
    drop: bool,
    at: Collection[int] = (),
) -> tuple[Bar, ...]:
    """The bars with sounding chords written again where a section starts and `at`
    these places, and left out where they are written again elsewhere."""
    starting = set(at)
    if restate:
        starting.update(index for index, bar in enumerate(bars) if bar.form.begins)
    if not drop and all(_starts_with_one(bars[index].chords) for index in starting):
        return tuple(bars)
    arriving = _arriving(bars, [bar.chords for bar in bars])
    page: list[Bar] = []
    for index, (bar, sounding) in enumerate(zip(bars, arriving, strict=True)):
        chords = bar.chords
        only = sounding[0] if len(sounding) == 1 else None
        starts = index in starting
        if starts and only is not None and not _starts_with_one(chords):
            chords = (PlacedChord(_START, only), *chords)
        if drop:
            kept: list[PlacedChord] = []
            for placed in chords:
                if placed.symbol != only or (starts and not placed.onset):
                    kept.append(placed)
                only = placed.symbol
            chords = tuple(kept)
        page.append(bar if chords == bar.chords else evolve(bar, chords=chords))
    return tuple(page)


def restated_at_bars(
    bars: Sequence[Bar], chords: Sequence[_Chords]
) -> Sequence[_Chords]:
    """The `chords` of bars with sounding ones written again at the start of each whole
    bar: so bars that sound alike are alike."""
    without = [at for at, placed in enumerate(chords) if not _starts_with_one(placed)]
    if not without:
        return chords
    arriving = _arriving(bars, chords)
    again = list(chords)
    for at in without:
        bar, sounding = bars[at], arriving[at]
        only = sounding[0] if len(sounding) == 1 else None
        if only is not None and bar.length == bar.meter.bar_length:
            again[at] = (PlacedChord(_START, only), *chords[at])
    return again


def _starts_with_one(chords: _Chords) -> bool:
    return bool(chords) and not chords[0].onset


def _arriving(
    bars: Sequence[Bar], chords: Sequence[_Chords]
) -> list[list[ChordSymbol | None]]:
    """The chords that may be sounding where each bar starts (None: none yet)."""
    arriving: list[list[ChordSymbol | None]] = [[] for _ in bars]
    sounding: ChordSymbol | None = None
    for index in play_order(bars).indices:
        here = arriving[index]
        if sounding not in here:
            here.append(sounding)
        if chords[index]:
            sounding = chords[index][-1].symbol
    return arriving
