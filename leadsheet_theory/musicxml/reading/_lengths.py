"""How long bars are, and which is the pickup."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from ...leadsheet.divided_bars import measures_of_a_bar
from ...leadsheet.model import Bar
from ...leadsheet.signs import FormSigns
from ...rhythm.meter import Meter
from ._raw import RawBar
from ._report import Place, Report
from ._values import Number, plain, quarters

__all__ = ("check_lengths", "first_bar", "full_lengths", "places_of_measures")

_START: Final = Fraction(0)


def first_bar(bars: Sequence[RawBar], grid: int) -> tuple[int, Fraction]:
    """The number of the first bar, 0 for a pickup, and where in its metre it starts.

    A pickup is a first bar that is shorter than its metre (and than the second
    bar), that is numbered 0 or that is marked as not counted.
    """
    bar = bars[0]
    if len(bars) == 1:
        return 1, _START
    length = quarters(bar.length, grid)
    missing = bar.meter.bar_length - length
    short = missing > 0 and bar.length != bars[1].length
    if not (short or bar.implicit or bar.number == "0"):
        return 1, _START
    return 0, max(missing, _START)


def places_of_measures(bars: Sequence[Bar], whole: Sequence[Bar]) -> list[Place]:
    """Where each measure stands, given a bar for each, and the bars that were made of
    them."""
    places: list[Place] = []
    at = 0
    start = _START
    shift = bars[0].length - whole[0].length if whole[0].is_pickup else _START
    for bar in bars:
        here = whole[at]
        own = "" if bar.source_number == str(here.number) else bar.source_number
        same = bar.length is here.length or bar.length == here.length
        if same and not start and not shift:
            places.append(Place(here.number, own, here.starts_at))
            at = min(at + 1, len(whole) - 1)
            continue
        begins = here.starts_at - shift + start
        places.append(Place(here.number, own, begins))
        start += bar.length
        if start - shift >= here.length:
            at, start, shift = min(at + 1, len(whole) - 1), _START, _START
    return places


def check_lengths(
    bars: Sequence[RawBar],
    first: int,
    signs: Sequence[FormSigns],
    report: Report,
    grid: int,
) -> None:
    """Report bars that are longer or shorter than their metre for no good reason.

    A pickup, the bars that make up for it before a repeat, a section's end or the
    end, and those that make up one between them are as they should be.
    """
    lengths = [bar.length for bar in bars]
    full = full_lengths(bars, grid)
    pickup = lengths[0] if first == 0 else 0
    index = 1 - first
    while index < len(bars):
        length, whole = lengths[index], full[index]
        if length == whole:
            index += 1
            continue
        report.index = index
        ends = index + 1 == len(bars) or signs[index].repeat_end or signs[index].ending
        parts = measures_of_a_bar(lengths, full, index)
        if parts > 1:
            index += parts
            continue
        if not (ends and pickup and length + pickup == whole):
            report.gather(
                "bar-length",
                "warning",
                f"the bar has {quarters(length, grid)} quarter notes, its metre "
                f"{bars[index].meter} has {bars[index].meter.bar_length}",
            )
        index += 1


def full_lengths(bars: Sequence[RawBar], grid: int) -> list[Number]:
    """The ticks each bar has by its metre."""
    full: list[Number] = []
    meter: Meter | None = None
    ticks: Number = 0
    for bar in bars:
        if bar.meter is not meter:
            meter = bar.meter
            ticks = plain(grid * meter.bar_length)
        full.append(ticks)
    return full
