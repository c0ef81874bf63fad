"""The tune as it is played: bars one after the other, each at its time.

Times are quarter notes from the first click of the count-in; they are not swung yet.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Final, Literal

from attrs import evolve, frozen

from ..chords import ChordSymbol
from ..leadsheet.felt_chords import anticipated_chords
from ..leadsheet.form import play_order
from ..leadsheet.model import Bar, LeadSheet, PlacedChord, Swing
from ..leadsheet.running_order import RunningOrder, running_order
from ..parts.solo_changes import solo_changes
from .feel import measured_swing, swing_at

__all__ = ("Feel", "Played", "PlayedBar", "play_out", "swung")

_START: Final = Fraction(0)
_HALF: Final = Fraction(1, 2)


@frozen(order=False, kw_only=True)
class PlayedBar:
    """A bar where it is played: its time, the how-manieth time it is played, and
    whether its melody sounds or a chorus is improvised over it."""

    bar: Bar
    start: Fraction
    time: int = 1
    sung: bool = True

    @property
    def offset(self) -> Fraction:
        """Where in its metre the bar starts: a pickup late."""
        return self.bar.starts_at


@frozen(order=False, kw_only=True)
class Played:
    """All bars as they are played, the clicks before, and a pickup that sounds over the
    end of the last chorus, before the tune comes back."""

    bars: tuple[PlayedBar, ...]
    clicks: tuple[Fraction, ...] = ()
    leads_back: tuple[PlayedBar, ...] = ()
    end: Fraction = _START


def play_out(
    sheet: LeadSheet,
    *,
    choruses: int,
    count_in: int,
    order: RunningOrder | None = None,
) -> Played:
    """The tune in the order it is played; with solo choruses also these, and what
    follows them in the tune's running order (or this `order`), the head again or the
    way to its coda."""
    if order is None or not (choruses and order.has_solos):
        order = running_order(sheet, solos=choruses or "none")
    head = _as_heard(sheet.bars, order.head)
    first = head[0][1]
    meter = first.meter
    pickup = first.is_pickup
    clicks: list[Fraction] = []
    start = _START
    beats = [span.onset for span in meter.beat_spans]
    for _ in range(count_in):
        clicks += [start + beat for beat in beats]
        start += meter.bar_length
    if pickup and count_in:
        late = meter.pickup_start(first.length)
        clicks += [start + beat for beat in beats if beat < late]
        start += late
    bars = list(_placed(head, start, sung=True))
    end = _end(bars, start)
    leads_back: list[PlayedBar] = []
    if choruses:
        solo = solo_changes(sheet, order=order).bars
        chorus = [(index, solo[index]) for index in play_order(solo).indices]
        for _ in range(choruses):
            bars += _placed(chorus, end, sung=False)
            end = _end(bars, end)
        back = _as_heard(sheet.bars, order.out_head)
        if back and back[0][1].is_pickup:
            leads_back += _placed(back[:1], end - back[0][1].length, sung=True)
            back = back[1:]
        bars += _placed(back, end, sung=True)
        end = _end(bars, end)
    return Played(
        bars=tuple(bars), clicks=tuple(clicks), leads_back=tuple(leads_back), end=end
    )


def _as_heard(bars: Sequence[Bar], indices: Sequence[int]) -> list[tuple[int, Bar]]:
    """The bars as they are played, each with its place in the chart.  A bar whose chord
    comes early, before its bar line, starts with that chord on every other pass too."""
    early = anticipated_chords(bars, following=pairwise(indices))
    heard = []
    sounding: ChordSymbol | None = None
    for index in indices:
        bar, chord = bars[index], early[index]
        if chord is not None and chord != sounding:
            first = PlacedChord(_START, chord)
            bar = evolve(bar, chords=(first, *bar.chords))
        if bar.chords:
            sounding = bar.chords[-1].symbol
        heard.append((index, bar))
    return heard


def _placed(
    bars: Iterable[tuple[int, Bar]], start: Fraction, *, sung: bool
) -> Iterator[PlayedBar]:
    times: dict[int, int] = {}
    for index, bar in bars:
        times[index] = times.get(index, 0) + 1
        yield PlayedBar(bar=bar, start=start, time=times[index], sung=sung)
        start += bar.length


def _end(bars: Sequence[PlayedBar], start: Fraction) -> Fraction:
    return bars[-1].start + bars[-1].bar.length if bars else start


@frozen(order=False)
class Feel:
    """How pairs of eighths or sixteenths are played: a ratio that holds throughout, or
    by the tempo."""

    swing: Swing | None
    source: Literal["by tempo", "measured", "straight"] = "by tempo"

    def ratio(self, quarters: Fraction) -> Fraction:
        """How much longer the first of a pair is at a tempo."""
        if self.swing is not None:
            return Fraction(self.swing.first, self.swing.second)
        if self.source == "straight":
            return Fraction(1)
        return (measured_swing if self.source == "measured" else swing_at)(quarters)

    @property
    def pair(self) -> Fraction:
        """How long a pair lasts, in quarter notes."""
        sixteenths = self.swing is not None and self.swing.unit == "16th"
        return _HALF if sixteenths else Fraction(1)


def swung(
    played: PlayedBar, onsets: Iterable[Fraction], ratio: Fraction, pair: Fraction
) -> dict[Fraction, Fraction]:
    """When each onset of a line in a bar comes, counted from the bar's start.

    Only what stands on the half of a pair is late, and only if nothing else stands in
    that pair: triplets, and sixteenths between eighths, stay.  In metres of eighths
    nothing is swung (common practice, no source).
    """
    every = set(onsets)
    if ratio == 1 or played.bar.meter.beat_type > 4:
        return {onset: onset for onset in every}
    offset = played.offset
    within: dict[Fraction, set[Fraction]] = {}
    for onset in every:
        number, place = divmod(onset + offset, pair)
        if place:
            within.setdefault(Fraction(number), set()).add(place)
    half = pair / 2
    late = pair * ratio / (ratio + 1) - half
    times = {}
    for onset in every:
        number, place = divmod(onset + offset, pair)
        alone = place == half and within[Fraction(number)] == {half}
        times[onset] = onset + late if alone else onset
    return times
