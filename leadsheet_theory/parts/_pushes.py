"""Moving chords off their pushes: the work behind :mod:`.solo_changes`."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from typing import Final, Literal

from attrs import define, field, frozen

from ..chords import ChordSymbol, NoChord
from ..leadsheet.findings import Finding, beat_text
from ..leadsheet.form import play_order
from ..leadsheet.model import Bar, PlacedChord
from ..rhythm.meter import Meter

__all__ = ("ChordMove", "ChordTable", "MoveReason", "strong_beats")

_START: Final = Fraction(0)

MoveReason = Literal[
    "pushed", "held over the strong beat", "quick chord", "pickup left out"
]
"""Why a chord of the solo page does not stand where the source has it."""


@lru_cache(maxsize=256)
def strong_beats(meter: Meter, /) -> tuple[Fraction, ...]:
    """Where solo changes stand, in quarter notes from the start of the bar: on the
    two halves of a simple metre that has them, elsewhere on every felt beat.

    >>> [str(onset) for onset in strong_beats(Meter(4, 4))]
    ['0', '2']
    >>> [str(onset) for onset in strong_beats(Meter(7, 8))]
    ['0', '1', '2']
    """
    if meter.kind == "simple" and meter.half_bar is not None:
        return (_START, meter.half_bar)
    return meter.beat_starts


@frozen(order=False)
class ChordMove:
    """One chord that stands elsewhere on the solo page than in the source.

    `bar` and `to_bar` are bar numbers of the source, `beat` and `to_beat`
    count from 1 in the metre's written unit; `to_bar` and `to_beat` are None
    for a chord that is left out.  A chord that moves onto the same chord,
    written again, is one of the two from there on.
    """

    symbol: ChordSymbol
    bar: int
    beat: Fraction
    to_bar: int | None
    to_beat: Fraction | None
    reason: MoveReason

    def __str__(self) -> str:
        where = f"bar {self.bar}, beat {beat_text(self.beat)}: {self.symbol}"
        if self.to_bar is None or self.to_beat is None:
            return f"{where} is left out ({self.reason})"
        to = f"bar {self.to_bar}, beat {beat_text(self.to_beat)}"
        return f"{where} moves to {to} ({self.reason})"


@define(eq=False)
class ChordTable:
    """The chords of each bar of a chart, changed in place, and what was changed."""

    bars: Sequence[Bar]
    chords: list[list[PlacedChord]] = field(init=False)
    after: list[list[int]] = field(init=False)
    before: list[list[int]] = field(init=False)
    moves: list[ChordMove] = field(factory=list)
    remarks: list[Finding] = field(factory=list)

    def __attrs_post_init__(self) -> None:
        bars = self.bars
        self.chords = [
            sorted(bar.chords, key=_onset) if len(bar.chords) > 1 else list(bar.chords)
            for bar in bars
        ]
        self.after = [[] for _ in bars]
        self.before = [[] for _ in bars]
        for index, following in pairwise(play_order(bars).indices):
            if following not in self.after[index]:
                self.after[index].append(following)
                self.before[following].append(index)

    def move_pushes(self, *, weak_beats: bool, leave_quick_out: bool) -> None:
        """Move the chords that sound into a later beat, bar by bar."""
        for index, bar in enumerate(self.bars):
            chords = self.chords[index]
            if not chords or (len(chords) == 1 and not chords[0].onset):
                continue
            offset = _offset(self.bars, index)
            strong = strong_beats(bar.meter)
            beats = bar.meter.beat_starts
            for placed in tuple(chords):
                at = placed.onset + offset if offset else placed.onset
                if at in strong:
                    continue
                target = _next(strong, at)
                if at not in beats:
                    moved = self._move(index, placed, target, "pushed")
                elif weak_beats and not isinstance(placed.symbol, NoChord):
                    moved = self._move(
                        index, placed, target, "held over the strong beat"
                    )
                else:
                    continue
                if moved:
                    continue
                if leave_quick_out and self._is_quick(index, placed):
                    chords.remove(placed)
                    self._list_left_out(index, placed, "quick chord")
                    continue
                self._remark(index, placed)
                if at not in beats:
                    self._move(index, placed, _next(beats, at), "pushed")

    def leave_pickups_out(self) -> None:
        """Empty the pickups; what they hold over goes to the bar after."""
        for index, bar in enumerate(self.bars):
            chords = self.chords[index]
            if bar.is_pickup and chords:
                self._over_the_barline(index, chords[-1], "pickup left out")
                for placed in chords:
                    self._list_left_out(index, placed, "pickup left out")
                chords.clear()

    def _move(
        self, index: int, placed: PlacedChord, target: Fraction | None, why: MoveReason
    ) -> bool:
        """Move a chord to a place of its bar, or to the next bar (None), if it
        sounds that far."""
        bar, chords = self.bars[index], self.chords[index]
        place = chords.index(placed)
        later = chords[place + 1 :]
        onset = bar.length if target is None else target - _offset(self.bars, index)
        if onset >= bar.length:
            return not later and self._over_the_barline(index, placed, why)
        if later and later[0].onset <= onset:
            if later[0].onset < onset or later[0].symbol != placed.symbol:
                return False
            del chords[place]
        else:
            chords[place] = PlacedChord(onset, placed.symbol)
        self._list(index, placed, index, onset, why)
        return True

    def _over_the_barline(
        self, index: int, placed: PlacedChord, why: MoveReason
    ) -> bool:
        """Move the last chord of a bar to the start of every bar that it sounds
        into; none if one of them is also reached from another chord."""
        followers = self._followers(index)
        landing = [
            (follower, first is not None)
            for follower in followers
            if (first := self._first(follower)) is None or first == placed.symbol
        ]
        from_elsewhere = any(
            other != index and not self._ends_on(other, placed.symbol)
            for follower, restated in landing
            if not restated
            for other in self.before[follower]
        )
        if (
            not landing
            or from_elsewhere
            or (not self.after[index] and not landing[0][1])
        ):
            return False
        self.chords[index].remove(placed)
        for follower, restated in landing:
            if not restated:
                self.chords[follower].insert(0, PlacedChord(_START, placed.symbol))
            self._list(index, placed, follower, _START, why)
        return True

    def _followers(self, index: int) -> list[int]:
        """The bars that may be played next; after the last one the next chorus
        starts at the top."""
        tops = (at for at, bar in enumerate(self.bars) if not bar.is_pickup)
        return self.after[index] or [next(tops, index)]

    def _first(self, index: int) -> ChordSymbol | None:
        """The chord at the start of a bar, None where none is written."""
        chords = self.chords[index]
        return chords[0].symbol if chords and not chords[0].onset else None

    def _ends_on(self, index: int, symbol: ChordSymbol) -> bool:
        chords = self.chords[index]
        return bool(chords) and chords[-1].symbol == symbol

    def _is_quick(self, index: int, placed: PlacedChord) -> bool:
        """Whether another chord follows before this one sounds into a strong beat."""
        return self.chords[index][-1] is not placed or all(
            self._first(follower) is not None for follower in self._followers(index)
        )

    def _remark(self, index: int, placed: PlacedChord) -> None:
        why = (
            "another chord comes before it sounds into one"
            if self._is_quick(index, placed)
            else "the bar that follows is reached from other chords too"
        )
        self.remarks.append(
            Finding(
                rule="solo-changes",
                severity="note",
                message=f"{placed.symbol} stays off the strong beats: {why}",
                bar=self.bars[index].number,
                beat=self._beat(index, placed.onset),
            )
        )

    def _beat(self, index: int, onset: Fraction) -> Fraction:
        return self.bars[index].meter.beat_at(onset, start=_offset(self.bars, index))

    def _list(
        self, index: int, placed: PlacedChord, to: int, onset: Fraction, why: MoveReason
    ) -> None:
        self.moves.append(
            ChordMove(
                placed.symbol,
                self.bars[index].number,
                self._beat(index, placed.onset),
                self.bars[to].number,
                self._beat(to, onset),
                why,
            )
        )

    def _list_left_out(self, index: int, placed: PlacedChord, why: MoveReason) -> None:
        self.moves.append(
            ChordMove(
                placed.symbol,
                self.bars[index].number,
                self._beat(index, placed.onset),
                None,
                None,
                why,
            )
        )


def _onset(placed: PlacedChord) -> Fraction:
    return placed.onset


def _next(places: Sequence[Fraction], at: Fraction) -> Fraction | None:
    """The first of the places after `at`, None for the next bar's start."""
    return next((place for place in places if place > at), None)


def _offset(bars: Sequence[Bar], index: int) -> Fraction:
    """Where a short bar starts in the full one: a pickup at its end, the second
    part of a bar that a sign divides after the first."""
    bar = bars[index]
    full = bar.meter.bar_length
    if bar.length >= full:
        return _START
    if index == 0:
        return bar.meter.pickup_start(bar.length)
    if bar.is_pickup:
        return bar.starts_at
    earlier = bars[index - 1]
    divided = not earlier.is_pickup and earlier.length + bar.length == full
    return earlier.length if divided else _START
