"""Proofreading the bars: are they full, do written values last as long as they say."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from ..errors import RhythmError
from ..leadsheet.model import Bar, Hit, LeadSheet, Note, Rest
from ..rhythm.bars import rhythm_problems
from ..rhythm.values import RhythmEvent
from ._remarks import Remark, bar_start, quarters

__all__ = ("check_bars",)


def check_bars(sheet: LeadSheet) -> Iterator[Remark]:
    """Everything that can be seen in one bar at a time, and the bar numbers."""
    parted = _parted(sheet.bars)
    for index, bar in enumerate(sheet.bars):
        yield from _length(bar, parted=index in parted)
        yield from _line(bar, bar.melody, "the melody")
        if bar.counterline:
            yield from _line(bar, bar.counterline, "the second line", gaps=False)
        if bar.hits:
            yield from _line(bar, bar.hits, "the hits", gaps=False, rule="hits")
        yield from _values(bar)
        yield from _against_the_rule(bar)
    for before, bar in pairwise(sheet.bars):
        if bar.number != before.number + 1:
            yield Remark(
                "bar-number", f"bar {before.number} is followed by {bar.number}", bar
            )


def _parted(bars: Sequence[Bar]) -> frozenset[int]:
    """The bars that make a full one with their neighbour, as where a repeat parts a
    bar, or the last one with the pickup."""
    last = len(bars) - 1
    pairs = [*pairwise(range(len(bars))), *([(last, 0)] if last > 0 else [])]
    return frozenset(
        index
        for left, right in pairs
        if bars[left].length < bars[left].meter.bar_length
        and bars[left].length + bars[right].length == bars[left].meter.bar_length
        for index in (left, right)
    )


def _length(bar: Bar, *, parted: bool) -> Iterator[Remark]:
    full = bar.meter.bar_length
    meter = f"{bar.meter.beats}/{bar.meter.beat_type}"
    if bar.length > full:
        yield Remark("bar-length", f"{quarters(bar.length)} in a bar of {meter}", bar)
    elif bar.length < full and not bar.is_pickup and not parted:
        yield Remark(
            "bar-short", f"only {quarters(bar.length)} in a bar of {meter}", bar
        )


def _line(
    bar: Bar,
    line: Sequence[Note | Rest | Hit],
    who: str,
    *,
    gaps: bool = True,
    rule: str = "bar-length",
) -> Iterator[Remark]:
    """Gaps, overlaps and notes that reach over the bar line."""
    at = Fraction(0)
    for event in line:
        if event.onset < at:
            yield Remark(rule, f"an overlap in {who}", bar, event.onset)
        elif event.onset > at and gaps:
            missing = quarters(event.onset - at)
            yield Remark(rule, f"{missing} missing in {who}", bar, at)
        at = max(at, event.onset + event.duration)
    if at > bar.length:
        over = quarters(at - bar.length)
        yield Remark(rule, f"{who} runs {over} over the bar line", bar, bar.length)
    elif at < bar.length and gaps:
        missing = quarters(bar.length - at)
        yield Remark(rule, f"{missing} missing in {who}", bar, at)


def _values(bar: Bar) -> Iterator[Remark]:
    for event in (*bar.melody, *bar.counterline, *bar.hits):
        if isinstance(event, Note) and event.grace:
            continue
        if isinstance(event, Rest) and event.whole_bar:
            continue
        if event.value is not None and event.value.duration != event.duration:
            written = event.value.duration
            yield Remark(
                "written-value",
                f"written as {quarters(written)}, lasts {quarters(event.duration)}",
                bar,
                event.onset,
            )


def _against_the_rule(bar: Bar) -> Iterator[Remark]:
    """Written values that hide what the metre wants to be seen."""
    for line in (bar.melody, bar.hits):
        written = [
            RhythmEvent(
                event.onset, event.value, "rest" if isinstance(event, Rest) else "note"
            )
            for event in line
            if event.value is not None
            and event.value.duration == event.duration
            and not (isinstance(event, Rest) and event.whole_bar)
        ]
        try:
            problems = rhythm_problems(written, bar.meter, start=bar_start(bar))
        except RhythmError:  # an impossible place: the bar's length is told above
            continue
        for problem in problems:
            yield Remark(
                "rhythm",
                problem.message,
                bar,
                problem.onset,
                advice=f"write {problem.advice_text}",
            )
