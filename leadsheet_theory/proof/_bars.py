"""Proofreading the bars: are they full, do written values last as long as they say."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from typing import Final, Literal

from ..errors import RhythmError
from ..leadsheet.model import Bar, Hit, LeadSheet, Note, Rest
from ..rhythm.bars import RhythmProblem, rhythm_problems
from ..rhythm.meter import Meter
from ..rhythm.values import NoteValue, RhythmEvent
from ._remarks import Remark, quarters
from ._view import View

__all__ = ("check_bars",)

_MOST: Final = Fraction(2, 3)
"""Where so many bars have another length than the metre's, the metre is wrong."""
_LEAST_BARS: Final = 3


def check_bars(view: View) -> Iterator[Remark]:
    """Everything that can be seen in one bar at a time, and the bar numbers."""
    sheet = view.sheet
    parted = _parted(sheet.bars)
    mistaken = frozenset[int]()
    for start, end in _stretches(sheet.bars):
        remark, bars = _meter(sheet.bars, start, end)
        if remark is not None:
            yield remark
            mistaken |= bars
    for index, bar in enumerate(sheet.bars):
        if index not in mistaken:
            yield from _length(
                bar, parted=index in parted, last=index + 1 == len(sheet.bars)
            )
        if not _is_tiled(view, bar):
            yield from _line(bar, bar.melody, "the melody")
        if bar.counterline:
            yield from _line(bar, bar.counterline, "the second line", gaps=False)
        if bar.hits:
            yield from _line(bar, bar.hits, "the hits", gaps=False, rule="hits")
        yield from _values(bar)
        if index not in mistaken:
            yield from _against_the_rule(bar)
    yield from _empty(sheet)
    yield from _numbers(sheet)


def _numbers(sheet: LeadSheet) -> Iterator[Remark]:
    for before, bar in pairwise(sheet.bars):
        if bar.number != before.number + (not bar.divided_at):
            yield Remark(
                "bar-number", f"bar {before.number} is followed by {bar.number}", bar
            )


# -- the metre and the bars' lengths


def _stretches(bars: Sequence[Bar]) -> Iterator[tuple[int, int]]:
    """From one time signature to the next."""
    start = 0
    for index in range(1, len(bars) + 1):
        if index == len(bars) or bars[index].meter != bars[start].meter:
            yield start, index
            start = index


def _meter(
    bars: Sequence[Bar], start: int, end: int
) -> tuple[Remark | None, frozenset[int]]:
    """One remark where most bars of a stretch have one other length than its metre,
    and the bars it explains."""
    meter = bars[start].meter
    full = meter.bar_length
    inside = [index for index in range(start, end) if not bars[index].is_pickup]
    lengths = Counter(bars[index].length for index in inside)
    if len(inside) < _LEAST_BARS or len(lengths) == 0:
        return None, frozenset()
    length, count = lengths.most_common(1)[0]
    if length == full or length <= 0 or count < _MOST * len(inside):
        return None, frozenset()
    proposed = _meter_of(length, meter)
    instead = "" if proposed is None else f", as in {proposed}"
    remark = Remark(
        "meter",
        f"{count} of {len(inside)} bars under {_name(meter)} have {quarters(length)}"
        f"{instead}",
        bars[inside[0]],
        found=_name(meter),
        proposed="" if proposed is None else proposed,
    )
    return remark, frozenset(inside)


def _name(meter: Meter) -> str:
    return f"{meter.beats}/{meter.beat_type}"


def _meter_of(length: Fraction, like: Meter) -> str | None:
    """The time signature of so long a bar, in the unit of another if it goes."""
    for unit in (like.beat_type, 4, 8):
        beats = length * unit / 4
        if beats.denominator == 1:
            return f"{beats}/{unit}"
    return None


def _parted(bars: Sequence[Bar]) -> frozenset[int]:
    """The bars that make a full one with their neighbour, as where a repeat parts a
    bar, or that give the pickup its beats: the last one, and those before a repeat,
    a jump or another pickup."""
    last = len(bars) - 1
    pairs = list(pairwise(range(len(bars))))
    if last > 0 and bars[0].length < bars[0].meter.bar_length:
        pairs += [
            (index, 0)
            for index, bar in enumerate(bars)
            if index == last or bar.form.repeat_end or bar.form.jump or bar.form.ending
        ]
    return frozenset(
        index
        for left, right in pairs
        if bars[left].length < bars[left].meter.bar_length
        and bars[left].length + bars[right].length == bars[left].meter.bar_length
        for index in (left, right)
    )


def _length(bar: Bar, *, parted: bool, last: bool) -> Iterator[Remark]:
    full = bar.meter.bar_length
    meter = _name(bar.meter)
    if bar.length > full:
        yield Remark("bar-length", f"{quarters(bar.length)} in a bar of {meter}", bar)
    elif bar.length < full and not bar.is_pickup and not parted:
        yield Remark(
            "bar-short",
            f"only {quarters(bar.length)} in a bar of {meter}",
            bar,
            severity="warning" if last else None,
        )


def _is_tiled(view: View, bar: Bar) -> bool:
    """Whether the melody fills the bar without gap or overlap; most do."""
    at = 0
    for event in bar.melody:
        if view.ticks(event.onset) != at:
            return False
        at += view.ticks(event.duration)
    return at == view.ticks(bar.length)


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
            yield Remark(
                "overlap" if rule == "bar-length" else rule,
                f"an overlap in {who}",
                bar,
                event.onset,
            )
        elif event.onset > at and gaps:
            missing = quarters(event.onset - at)
            yield Remark(rule, f"{missing} missing in {who}", bar, at)
        at = max(at, event.onset + event.duration)
    if at > bar.length:
        over = quarters(at - bar.length)
        yield Remark(rule, f"{who} runs {over} over the bar line", bar, bar.length)
    elif at < bar.length and gaps and line:
        missing = quarters(bar.length - at)
        yield Remark(rule, f"{missing} missing in {who}", bar, at)


def _empty(sheet: LeadSheet) -> Iterator[Remark]:
    """Bars inside the tune with no note, no chord and no hit, unless silence goes on
    there: a bar alone between bars that sound."""
    bars = sheet.bars
    silent = [not bar.hits and not _sounds(bar) for bar in bars]
    for index, bar in enumerate(bars):
        written = not bar.melody or all(
            isinstance(event, Rest) and (event.whole_bar or event.value is None)
            for event in bar.melody
        )
        if not silent[index] or not written:
            continue
        if bar.chords:
            if not bar.melody:
                yield Remark(
                    "empty-bar", "a chord, but neither note nor rest", bar,
                    severity="note",
                )  # fmt: skip
            continue
        inside = 0 < index < len(bars) - 1
        if inside and not silent[index - 1] and not silent[index + 1]:
            yield Remark(
                "empty-bar",
                "no note, no chord",
                bar,
                severity="query" if bar.melody else None,
            )


def _sounds(bar: Bar) -> bool:
    return any(isinstance(event, Note) for event in (*bar.melody, *bar.counterline))


# -- written values


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
        rhythm = tuple(
            [
                (
                    event.onset.as_integer_ratio(),
                    event.duration.as_integer_ratio(),
                    event.value,
                    "rest" if isinstance(event, Rest) else "note",
                )
                for event in line
                if event.value is not None
                and not (isinstance(event, Rest) and event.whole_bar)
            ]
        )
        if not rhythm:
            continue
        for problem in _problems(rhythm, bar.meter, bar.starts_at):
            yield Remark(
                "rhythm",
                problem.message,
                bar,
                problem.onset,
                advice=f"write {problem.advice_text}",
            )


# an onset and a duration as pairs of numbers, which are told apart faster than
# fractions, the written value, and what it is
_Written = tuple[tuple[int, int], tuple[int, int], NoteValue, Literal["rest", "note"]]


@lru_cache(maxsize=4096)
def _problems(
    rhythm: Sequence[_Written], meter: Meter, start: Fraction
) -> tuple[RhythmProblem, ...]:
    """What a bar of this rhythm, so far into its metre, hides."""
    written = [
        RhythmEvent(Fraction(*onset), value, kind)
        for onset, duration, value, kind in rhythm
        if value.duration.as_integer_ratio() == duration
    ]
    try:
        return tuple(rhythm_problems(written, meter, start=start))
    except RhythmError:  # an impossible place: the bar's length is told above
        return ()
