"""Proofreading the chord symbols: place, text, readings, spelling."""

from __future__ import annotations

from collections.abc import Iterator

from ..chords import Chord, ChordSymbol, PolyChord, parse_symbol
from ..errors import ChordSymbolError
from ..leadsheet.model import Bar, LeadSheet, PlacedChord
from ._remarks import Remark

__all__ = ("check_chords",)


def check_chords(sheet: LeadSheet) -> Iterator[Remark]:
    """Everything that concerns the chord symbols."""
    if not any(bar.chords for bar in sheet.bars):
        yield Remark("no-chords", "no chord symbol in the whole chart")
        return
    for bar in sheet.bars:
        before = None
        for placed in bar.chords:
            yield from _place(bar, placed, before)
            yield from _text(bar, placed)
            yield from _double_accidentals(bar, placed)
            before = placed


def _place(
    bar: Bar, placed: PlacedChord, before: PlacedChord | None
) -> Iterator[Remark]:
    if not 0 <= placed.onset < bar.length:
        yield Remark("chord-place", f"{placed.symbol} stands outside its bar", bar)
    elif before is not None and before.onset == placed.onset:
        yield Remark(
            "stacked-chords",
            f"{before.symbol} and {placed.symbol} stand on one beat",
            bar,
            placed.onset,
        )


def _text(bar: Bar, placed: PlacedChord) -> Iterator[Remark]:
    """What is printed against what is meant."""
    printed = placed.symbol.source
    if not printed:
        return
    try:
        read = parse_symbol(printed)
    except ChordSymbolError as error:
        yield Remark(
            "chord-text",
            f"“{printed}” can't be read ({error.problem}); meant is {placed.symbol}",
            bar,
            placed.onset,
            advice=f"print {error.suggestion}" if error.suggestion else "",
        )
        return
    if read != placed.symbol:
        yield Remark(
            "chord-text",
            f"printed is “{printed}”, meant is {placed.symbol}",
            bar,
            placed.onset,
        )
    for other in parse_symbol(printed).ambiguities:
        degrees = read.quality.degrees if isinstance(read, Chord) else ()
        if set(other.chord.quality.degrees) < set(degrees):
            continue  # a tone that players may leave out, such as the 11th of a 13th
        yield Remark(
            "chord-ambiguous",
            f"“{printed}” is read as {read}; some read {other}",
            bar,
            placed.onset,
        )


def _double_accidentals(bar: Bar, placed: PlacedChord) -> Iterator[Remark]:
    for chord in _single_chords(placed.symbol):
        for name in (chord.root, chord.bass):
            if name is not None and abs(name.alter) > 1:
                yield Remark(
                    "double-accidental",
                    f"{name.glyphs} in {placed.symbol}",
                    bar,
                    placed.onset,
                )


def _single_chords(symbol: ChordSymbol) -> tuple[Chord, ...]:
    if isinstance(symbol, PolyChord):
        return (symbol.upper, symbol.lower)
    return (symbol,) if isinstance(symbol, Chord) else ()
