"""Solo changes: the page of slashes and chords that the soloists read.

A tune's chords often come early, with the melody or the band's figure: the
push, on the last half of the beat before the bar or the half bar.  Choruses are
played from changes that stand where they are felt, on beats 1 and 3, or on the
beat in metres without a half bar of two beats (common practice, no source).
Nothing else is moved, and each move is listed.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
from typing import Final, Literal

from attrs import define, field, frozen

from ..chords import ChordSymbol
from ..meter import Meter
from .findings import Finding, beat_text
from .form import play_order
from .model import Bar, Direction, LeadSheet, PlacedChord

__all__ = ("ChordMove", "SoloChanges", "solo_changes", "strong_beats")

_ZERO: Final = Fraction(0)


@frozen(order=False)
class ChordMove:
    """One chord that stands elsewhere on the solo page than in the source.

    `bar` and `to_bar` are bar numbers of the source, `beat` and `to_beat`
    count from 1 in the metre's written unit; `to_bar` and `to_beat` are None
    for a chord that is left out.  `reason` says why, in a few words.
    """

    symbol: ChordSymbol
    bar: int
    beat: Fraction
    to_bar: int | None
    to_beat: Fraction | None
    reason: str

    def __str__(self) -> str:
        where = f"bar {self.bar}, beat {beat_text(self.beat)}: {self.symbol}"
        if self.to_bar is None or self.to_beat is None:
            return f"{where} is left out ({self.reason})"
        to = f"bar {self.to_bar}, beat {beat_text(self.to_beat)}"
        return f"{where} moves to {to} ({self.reason})"


@frozen(order=False)
class SoloChanges:
    """The solo page: its bars, what was moved, what could not be.

    The bars have chords, form and no melody.  `remarks` name the chords that
    still stand off the strong beats, with the reason.
    """

    bars: tuple[Bar, ...]
    moves: tuple[ChordMove, ...] = ()
    remarks: tuple[Finding, ...] = ()


@lru_cache(maxsize=256)
def strong_beats(meter: Meter, /) -> tuple[Fraction, ...]:
    """Where solo changes stand, in quarter notes from the start of the bar.

    The two halves of a simple metre that has them; elsewhere every felt beat.

    >>> [str(onset) for onset in strong_beats(Meter(4, 4))]
    ['0', '2']
    >>> [str(onset) for onset in strong_beats(Meter(7, 8))]
    ['0', '1', '2']
    """
    if meter.kind == "simple" and meter.half_bar is not None:
        return (_ZERO, meter.half_bar)
    return meter.beat_starts


def solo_changes(
    sheet: LeadSheet,
    /,
    *,
    pushes: Literal["onto the beat", "kept"] = "onto the beat",
    weak_beats: Literal["moved", "kept"] = "kept",
    repeated: Literal["kept", "left out"] = "kept",
    restate_at_sections: bool = True,
) -> SoloChanges:
    """The changes of a tune for its soloists.

    A chord off the beat that sounds into the next strong beat (no other chord
    comes before or on it) moves there; one that only sounds into the next beat
    moves to that.  What sounds next is read in playing order, so that a push
    before an ending moves into each ending that it leads to.  The pickup is
    left out: a chord that it holds over moves into bar 1.

    Args:
        sheet: the tune.
        pushes: whether anticipations move; ``"kept"`` leaves every chord.
        weak_beats: what becomes of a chord on beat 2 or 4 that sounds into beat
            3 or 1: moved there, or left.
        repeated: what becomes of a chord that is still sounding where it is
            written again.
        restate_at_sections: write the sounding chord again where a section, a
            repeat or an ending starts without one.
    """
    page = _Page(sheet.bars, weak_too=weak_beats == "moved")
    if pushes == "onto the beat":
        page.move()
    page.leave_pickup_out()
    if restate_at_sections or repeated == "left out":
        page.restate(add=restate_at_sections, drop=repeated == "left out")
    return page.finish()


@define(eq=False)
class _Page:
    """A solo page in the making: the chords of each bar, changed in place."""

    bars: Sequence[Bar]
    weak_too: bool
    chords: list[list[PlacedChord]] = field(init=False)
    offsets: list[Fraction] = field(init=False)
    order: list[int] = field(init=False)
    after: list[list[int]] = field(init=False)
    before: list[list[int]] = field(init=False)
    moves: list[ChordMove] = field(factory=list)
    remarks: list[Finding] = field(factory=list)

    def __attrs_post_init__(self) -> None:
        bars = self.bars
        count = len(bars)
        self.chords = [
            sorted(bar.chords, key=_onset) if len(bar.chords) > 1 else list(bar.chords)
            for bar in bars
        ]
        self.offsets = [_offset(bars, index) for index in range(count)]
        self.order = list(play_order(bars).indices)
        self.after = [[] for _ in bars]
        self.before = [[] for _ in bars]
        for index, following in zip(self.order, self.order[1:], strict=False):
            if following not in self.after[index]:
                self.after[index].append(following)
                self.before[following].append(index)

    def move(self) -> None:
        """Move the anticipations, bar by bar."""
        for index, bar in enumerate(self.bars):
            chords = self.chords[index]
            if not chords or (len(chords) == 1 and not chords[0].onset):
                continue
            strong = strong_beats(bar.meter)
            beats = bar.meter.beat_starts
            for placed in tuple(chords):
                at = placed.onset + self.offsets[index]
                if at in strong or (at in beats and not self.weak_too):
                    continue
                targets = [_next(strong, at)]
                if at not in beats:
                    targets.append(_next(beats, at))
                if not any(
                    self._to(index, placed, target, "a push") for target in targets
                ):
                    self._remark(index, placed)

    def _to(
        self, index: int, placed: PlacedChord, target: Fraction | None, why: str
    ) -> bool:
        """Move a chord to a place of its bar, or to the next bar's start (None)."""
        bar, chords = self.bars[index], self.chords[index]
        place = chords.index(placed)
        later = chords[place + 1 :]
        onset = bar.length if target is None else target - self.offsets[index]
        if onset < bar.length:
            if later and later[0].onset <= onset:
                if later[0].onset < onset or later[0].symbol != placed.symbol:
                    return False
                del chords[place]
            else:
                chords[place] = PlacedChord(onset, placed.symbol)
            self._list(index, placed, index, onset, why)
            return True
        if later:
            return False
        return self._over_the_barline(index, placed, why)

    def _over_the_barline(self, index: int, placed: PlacedChord, why: str) -> bool:
        """Move the last chord of a bar to the start of every bar that comes next."""
        followers = self.after[index]
        if not followers:
            # The last bar: the next chorus starts at the top.
            top = next((at for at, b in enumerate(self.bars) if not b.is_pickup), index)
            first = self.chords[top][:1]
            if not first or first[0].onset or first[0].symbol != placed.symbol:
                return False
            followers = [top]
        landed: list[int] = []
        for follower in followers:
            first = self.chords[follower][:1]
            if first and not first[0].onset:
                if first[0].symbol == placed.symbol:
                    landed.append(follower)
            elif all(
                other == index or self._ends_on(other, placed.symbol)
                for other in self.before[follower]
            ):
                landed.append(follower)
            else:
                return False
        if not landed:
            return False
        self.chords[index].remove(placed)
        for follower in landed:
            first = self.chords[follower][:1]
            if not first or first[0].onset:
                self.chords[follower].insert(0, PlacedChord(_ZERO, placed.symbol))
            self._list(index, placed, follower, _ZERO, why)
        return True

    def _ends_on(self, index: int, symbol: ChordSymbol) -> bool:
        chords = self.chords[index]
        return bool(chords) and chords[-1].symbol == symbol

    def leave_pickup_out(self) -> None:
        """Empty the pickups; what they hold over goes to the bar after."""
        for index, bar in enumerate(self.bars):
            if not bar.is_pickup:
                continue
            chords = self.chords[index]
            if chords:
                self._over_the_barline(index, chords[-1], "held over from the pickup")
            for placed in chords:
                self.moves.append(
                    ChordMove(
                        placed.symbol,
                        bar.number,
                        self._beat(index, placed.onset),
                        None,
                        None,
                        "the pickup is left out",
                    )
                )
            chords.clear()

    def restate(self, *, add: bool, drop: bool) -> None:
        """Write sounding chords again where a section starts, or leave them out
        where they are written again."""
        arriving = self._arriving()
        for index, bar in enumerate(self.bars):
            chords = self.chords[index]
            starts = bool(
                bar.section
                or bar.repeat_start
                or bar.ending_starts
                or bar.segno
                or bar.coda
            )
            sounding = arriving[index]
            only = sounding[0] if len(sounding) == 1 else None
            bare = not bar.is_pickup and (not chords or chords[0].onset > 0)
            if starts and add and bare and only is not None:
                chords.insert(0, PlacedChord(_ZERO, only))
            if drop:
                kept: list[PlacedChord] = []
                for placed in chords:
                    if placed.symbol != only or (starts and not placed.onset and add):
                        kept.append(placed)
                    only = placed.symbol
                self.chords[index] = kept

    def _arriving(self) -> list[list[ChordSymbol | None]]:
        """The chords that may be sounding where each bar starts (None: none yet)."""
        arriving: list[list[ChordSymbol | None]] = [[] for _ in self.bars]
        sounding: ChordSymbol | None = None
        for index in self.order:
            here = arriving[index]
            if sounding not in here:
                here.append(sounding)
            if self.chords[index]:
                sounding = self.chords[index][-1].symbol
        return arriving

    def finish(self) -> SoloChanges:
        """The bars without their melody, and the lists."""
        bars = self.bars
        pickup = _ZERO
        section, repeat_start, segno = "", False, False
        found: list[Bar] = []
        for index, bar in enumerate(bars):
            if bar.is_pickup:
                pickup = bar.length
                section, segno = bar.section or section, bar.segno or segno
                repeat_start = repeat_start or bar.repeat_start
                continue
            following = bars[index + 1] if index + 1 < len(bars) else None
            barline = bar.barline
            if barline == "regular" and following is not None and following.section:
                barline = "double"
            length = bar.length
            if pickup and length + pickup == bar.meter.bar_length:
                length = bar.meter.bar_length
            found.append(
                Bar(
                    bar.number,
                    bar.key,
                    bar.meter,
                    length,
                    chords=tuple(self.chords[index]),
                    directions=tuple(d for d in bar.directions if _names_pedal(d)),
                    section=bar.section or section,
                    repeat_start=bar.repeat_start or repeat_start,
                    repeat_end=bar.repeat_end,
                    ending=bar.ending,
                    ending_starts=bar.ending_starts,
                    barline=barline,
                    segno=bar.segno or segno,
                    coda=bar.coda,
                    to_coda=bar.to_coda,
                    fine=bar.fine,
                    jump=bar.jump,
                    source_number=bar.source_number,
                )
            )
            section, repeat_start, segno = "", False, False
        return SoloChanges(tuple(found), tuple(self.moves), tuple(self.remarks))

    def _beat(self, index: int, onset: Fraction) -> Fraction:
        return self.bars[index].meter.beat_at(onset, start=self.offsets[index])

    def _list(
        self, index: int, placed: PlacedChord, to: int, onset: Fraction, why: str
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

    def _remark(self, index: int, placed: PlacedChord) -> None:
        self.remarks.append(
            Finding(
                "solo-changes",
                "note",
                f"{placed.symbol} stays where it is, as another chord follows before "
                "the next strong beat",
                bar=self.bars[index].number,
                beat=self._beat(index, placed.onset),
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
        return _ZERO
    if bar.is_pickup or index == 0:
        return bar.meter.pickup_start(bar.length)
    earlier = bars[index - 1]
    divided = not earlier.is_pickup and earlier.length + bar.length == full
    return earlier.length if divided else _ZERO


def _names_pedal(direction: Direction) -> bool:
    return direction.kind == "words" and "pedal" in direction.text.lower()
