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
    if not drop and all(_starts_with_chord(bars[index]) for index in starting):
        return tuple(bars)
    arriving = _arriving(bars)
    page: list[Bar] = []
    for index, (bar, sounding) in enumerate(zip(bars, arriving, strict=True)):
        chords = bar.chords
        only = sounding[0] if len(sounding) == 1 else None
        starts = index in starting
        if starts and only is not None and not _starts_with_chord(bar):
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


def restated_at_bars(bars: Sequence[Bar]) -> tuple[Bar, ...]:
    """The bars with sounding chords written again at the start of each whole bar: so
    bars that sound alike are alike."""
    without = [at for at, bar in enumerate(bars) if not _starts_with_chord(bar)]
    whole = [at for at in without if bars[at].length == bars[at].meter.bar_length]
    return restated(bars, restate=False, drop=False, at=whole)


def _starts_with_chord(bar: Bar) -> bool:
    return bool(bar.chords) and not bar.chords[0].onset


def _arriving(bars: Sequence[Bar]) -> list[list[ChordSymbol | None]]:
    """The chords that may be sounding where each bar starts (None: none yet)."""
    arriving: list[list[ChordSymbol | None]] = [[] for _ in bars]
    sounding: ChordSymbol | None = None
    for index in play_order(bars).indices:
        here = arriving[index]
        if sounding not in here:
            here.append(sounding)
        if bars[index].chords:
            sounding = bars[index].chords[-1].symbol
    return arriving
