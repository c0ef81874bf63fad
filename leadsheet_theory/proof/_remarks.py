"""What the single checks hand to the proofreader: remarks without their rule's text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from attrs import frozen

from ..chords import ChordSymbol
from ..leadsheet.model import Bar, LeadSheet, Note, Rest

__all__ = (
    "Remark",
    "Span",
    "bar_start",
    "chord_spans",
    "melody_events",
    "place_of",
    "quarters",
)


@frozen(order=False)
class Remark:
    """One thing noticed: under which rule, where, and what."""

    rule: str
    message: str
    bar: Bar | None = None
    onset: Fraction | None = None
    advice: str = ""


@frozen(order=False)
class Span:
    """A chord symbol and how long it stands, in quarter notes from the first bar on."""

    start: Fraction
    end: Fraction
    symbol: ChordSymbol
    bar: Bar
    onset: Fraction


def _bars_in_time(sheet: LeadSheet) -> Iterator[tuple[Fraction, Bar]]:
    """Each bar in written order with where it starts, in quarter notes."""
    at = Fraction(0)
    for bar in sheet.bars:
        yield at, bar
        at += bar.length


def chord_spans(sheet: LeadSheet) -> tuple[Span, ...]:
    """The chords in written order, each standing until the next one."""
    placed = [
        (start + chord.onset, chord.symbol, bar, chord.onset)
        for start, bar in _bars_in_time(sheet)
        for chord in sorted(bar.chords, key=lambda chord: chord.onset)
    ]
    if not placed:
        return ()
    end = sum((bar.length for bar in sheet.bars), Fraction(0))
    ends = [*(start for start, *_ in placed[1:]), end]
    return tuple(
        Span(start, stop, symbol, bar, onset)
        for (start, symbol, bar, onset), stop in zip(placed, ends, strict=True)
    )


def melody_events(
    sheet: LeadSheet,
) -> Iterator[tuple[Fraction, Bar, Note | Rest, Sequence[Note | Rest]]]:
    """Each note and rest of the melody and of the counterline: where it starts in
    the whole tune, its bar, itself, and the line of the bar that it stands in."""
    for start, bar in _bars_in_time(sheet):
        for line in (bar.melody, bar.counterline):
            for event in line:
                yield start + event.onset, bar, event, line


def place_of(bar: Bar, onset: Fraction) -> Fraction:
    """The beat of an onset, counted from 1."""
    return bar.meter.beat_at(onset, start=bar_start(bar))


def bar_start(bar: Bar) -> Fraction:
    """Where the bar starts in a full one: a pickup counts from its end."""
    return bar.meter.pickup_start(bar.length) if bar.is_pickup else Fraction(0)


def quarters(length: Fraction) -> str:
    """A length in words: ``1 quarter``, ``3/2 quarters``."""
    return f"{length} quarter{'' if length == 1 else 's'}"
