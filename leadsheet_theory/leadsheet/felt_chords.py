"""Chords where they are felt: anticipations on the beat that they anticipate.

A chord often comes early, with the melody or the band's figure: the push, on the last
half of the beat before the bar, or within it.  Who plays choruses, reads a grid or
hears the harmony has it on the beat (common practice, no source).  What is pushed into
a bar belongs to that bar on every pass, be it from a pickup or from the bar before a
repeat's start.  No other chord moves, and each move is listed.

Beats are those that players count: quarters in simple metres, in cut time too, and
the dotted beats or the groups elsewhere.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from typing import Final, Literal, get_args

from attrs import define, evolve, field, frozen

from .._arguments import check_choice
from ..chords import ChordSymbol, NoChord
from ..rhythm.meter import Meter
from ..rhythm.slashes import counted_beats
from .findings import Finding, beat_text
from .form import play_order
from .model import Bar, PlacedChord

__all__ = (
    "ChordChoice",
    "ChordMove",
    "FeltChords",
    "MoveReason",
    "anticipated_chords",
    "felt_chords",
    "starts_in_metre",
    "strong_beats",
)

_START: Final = Fraction(0)

ChordChoice = Literal["all", "a beat or longer", "strong beats"]
"""Which chords are kept: all; those that last a beat or longer; or those on strong
beats, two in a bar of 4/4, where a chord that is held over one moves onto it."""

MoveReason = Literal[
    "pushed",
    "comes in late",
    "held over the strong beat",
    "quick chord",
    "pickup left out",
    "the break is played through",
]
"""Why a chord does not stand where the source has it."""


@lru_cache(maxsize=256)
def strong_beats(meter: Meter, /) -> tuple[Fraction, ...]:
    """The strong beats, in quarter notes from the start of the bar: the two halves of
    a simple metre that has them, elsewhere every felt beat.

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
    """One chord that stands elsewhere than in the source.

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


@frozen(order=False)
class FeltChords:
    """The chords of each bar where they are felt, what moved for that, and remarks on
    chords that stay off the beat."""

    chords: tuple[tuple[PlacedChord, ...], ...]
    moves: tuple[ChordMove, ...] = ()
    remarks: tuple[Finding, ...] = ()


def felt_chords(
    bars: Sequence[Bar],
    /,
    *,
    following: Iterable[tuple[int, int]] | None = None,
    keep: ChordChoice = "all",
) -> FeltChords:
    """The chords of a chart on the beats where they are felt.

    A chord off the beat that is held over the next beat stands there: in the bars that
    follow in playing order, if it is held over the bar line.  One that comes in after
    beat 1 of a bar with no chord there is the chord of the bar.  A chord that another
    follows before the next beat is no anticipation: it stays, and is told.

    Args:
        bars: the written bars.
        following: pairs of places in `bars`, from 0: which bar may be played after
            which; those of :func:`.play_order` if not given.
        keep: which chords are kept.

    Raises:
        ChoiceError: if `keep` is no :data:`ChordChoice`.

    >>> from leadsheet_theory.chords import parse_chord
    >>> from leadsheet_theory.key import Key
    >>> chords = [PlacedChord(Fraction(at), parse_chord(text))
    ...           for at, text in ((0, "F"), ("7/2", "Gm7"))]
    >>> one = Bar(number=1, key=Key.parse("F"), meter=Meter(4, 4), length=Fraction(4),
    ...           chords=tuple(chords))
    >>> found = felt_chords([one, evolve(one, number=2, chords=())])
    >>> [str(placed.symbol) for placed in found.chords[1]]
    ['Gm7']
    >>> print(*found.moves)
    bar 1, beat 4½: Gm7 moves to bar 2, beat 1 (pushed)
    """
    check_choice("keep", keep, get_args(ChordChoice))
    if following is None:
        following = pairwise(play_order(bars).indices)
    early = [index for index in range(len(bars)) if _has_some_off_beat(bars, index)]
    if not early and keep == "all":
        return FeltChords(tuple(map(_in_order, bars)))
    table = _Table(bars, following)
    for index in early:
        table.settle(index)
    if keep == "a beat or longer":
        table.leave_quick_ones_out()
    elif keep == "strong beats":
        table.move_to_strong_beats()
    return FeltChords(
        tuple(map(tuple, table.chords)), tuple(table.moves), tuple(table.remarks())
    )


def anticipated_chords(
    bars: Sequence[Bar], /, *, following: Iterable[tuple[int, int]] | None = None
) -> tuple[ChordSymbol | None, ...]:
    """For each bar the chord that comes early, before its bar line, and belongs to it
    on every pass; None where none does.

    Arguments are those of :func:`felt_chords`.
    """
    felt = felt_chords(bars, following=following)
    if not felt.moves:
        return (None,) * len(bars)
    found: list[ChordSymbol | None] = []
    for bar, here in zip(bars, felt.chords, strict=True):
        first = here[0] if here and not here[0].onset else None
        own = min(bar.chords, key=_onset, default=None)
        early = first is not None and (own is None or own.symbol != first.symbol)
        found.append(first.symbol if first is not None and early else None)
    return tuple(found)


def starts_in_metre(bars: Sequence[Bar], index: int, /) -> Fraction:
    """Where a bar's content starts in the full bar of its metre, in quarter notes: as
    the bar knows (:attr:`.Bar.starts_at`), but the second part of a bar that a sign
    divides starts after the first, and a short first bar is a pickup."""
    bar = bars[index]
    full = bar.meter.bar_length
    if bar.length >= full or bar.is_pickup or bar.divided_at:
        return bar.starts_at
    if index == 0:
        return bar.meter.pickup_start(bar.length)
    earlier = bars[index - 1]
    divided = not earlier.is_pickup and earlier.length + bar.length == full
    return earlier.length if divided else _START


@define(eq=False)
class _Table:
    """The chords of each bar, changed in place, and what was changed."""

    bars: Sequence[Bar]
    pairs: Iterable[tuple[int, int]]
    chords: list[list[PlacedChord]] = field(init=False)
    after: list[list[int]] = field(init=False)
    moves: list[ChordMove] = field(factory=list)
    off: list[tuple[int, PlacedChord]] = field(factory=list)

    def __attrs_post_init__(self) -> None:
        self.chords = [list(_in_order(bar)) for bar in self.bars]
        self.after = [[] for _ in self.bars]
        for index, then in self.pairs:
            if then not in self.after[index]:
                self.after[index].append(then)

    # -- anticipations

    def settle(self, index: int) -> None:
        """Put the chords of a bar that are off the beat where they are felt."""
        bar, chords = self.bars[index], self.chords[index]
        offset = starts_in_metre(self.bars, index)
        beats = counted_beats(bar.meter)
        for placed in tuple(chords):
            at = placed.onset + offset
            if at in beats or placed not in chords:
                continue
            if isinstance(placed.symbol, NoChord):
                continue  # a stop, no anticipation
            if self._comes_in_late(index, placed, beats, offset):
                continue
            target = next((beat for beat in beats if beat > at), None)
            early = _is_early(at, beats, bar.meter.bar_length)
            if not (early and self._move(index, placed, target, "pushed")):
                self.off.append((index, placed))

    def _comes_in_late(
        self,
        index: int,
        placed: PlacedChord,
        beats: Sequence[Fraction],
        offset: Fraction,
    ) -> bool:
        """Take a chord after beat 1 for that of the bar, if nothing stands there;
        in the last third of the beat it rather anticipates the next one."""
        chords = self.chords[index]
        first = chords[0] is placed and not offset and len(beats) > 1
        if not first or placed.onset >= beats[1]:
            return False
        nearer = 3 * placed.onset >= 2 * beats[1]
        if nearer and self._move(index, placed, beats[1], "pushed"):
            return True
        chords[0] = evolve(placed, onset=_START)
        self._list(index, placed, index, _START, "comes in late")
        return True

    def _move(
        self, index: int, placed: PlacedChord, target: Fraction | None, why: MoveReason
    ) -> bool:
        """Move a chord to a place of its metre, or to the next bar (None), if it
        sounds that far."""
        bar, chords = self.bars[index], self.chords[index]
        place = chords.index(placed)
        later = chords[place + 1 :]
        offset = starts_in_metre(self.bars, index)
        onset = bar.length if target is None else target - offset
        if onset >= bar.length:
            return not later and self._over_the_bar_line(index, placed, why)
        if later and later[0].onset <= onset:
            if later[0].onset < onset or later[0].symbol != placed.symbol:
                return False
            del chords[place]
        else:
            chords[place] = evolve(placed, onset=onset)
        self._list(index, placed, index, onset, why)
        return True

    def _over_the_bar_line(
        self, index: int, placed: PlacedChord, why: MoveReason
    ) -> bool:
        """Move the last chord of a bar to the start of every bar that it sounds
        into, where none or the same stands; if that is none, it stays."""
        followers = self.after[index]
        first = {follower: self._first(follower) for follower in followers}
        landing = [f for f in followers if first[f] in (None, placed.symbol)]
        if not landing:
            return False
        self.chords[index].remove(placed)
        for follower in landing:
            if first[follower] is None:
                self.chords[follower].insert(0, PlacedChord(_START, placed.symbol))
            self._list(index, placed, follower, _START, why)
        return True

    def _first(self, index: int) -> ChordSymbol | None:
        """The chord at the start of a bar, None where none is written."""
        chords = self.chords[index]
        return chords[0].symbol if chords and not chords[0].onset else None

    def remarks(self) -> Iterator[Finding]:
        """What stays off the beat, and why."""
        for index, placed in self.off:
            if placed in self.chords[index]:
                bar = self.bars[index]
                at = placed.onset + starts_in_metre(self.bars, index)
                early = _is_early(at, counted_beats(bar.meter), bar.meter.bar_length)
                why = (
                    "another chord comes before the next one"
                    if early
                    else "it comes in the first half of it"
                )
                yield Finding(
                    rule="felt-chords",
                    severity="note",
                    message=f"{placed.symbol} stays off the beat: {why}",
                    bar=self.bars[index].number,
                    beat=self._beat(index, placed.onset),
                )

    # -- fewer chords

    def leave_quick_ones_out(self) -> None:
        """Of several chords in one beat keep the last, on the beat: it leads to what
        follows.  One off a beat on which another sounds is left out."""
        for index, bar in enumerate(self.bars):
            offset = starts_in_metre(self.bars, index)
            beats = counted_beats(bar.meter)
            kept: dict[Fraction, PlacedChord] = {}
            for placed in self.chords[index]:
                at = placed.onset + offset
                beat = max(each for each in beats if each <= at)
                before = kept.get(beat)
                if before is None and at != beat:
                    self._list_left_out(index, placed, "quick chord")
                    continue
                if before is not None:
                    self._list_left_out(index, before, "quick chord")
                    self._list(index, placed, index, beat - offset, "quick chord")
                kept[beat] = evolve(placed, onset=max(_START, beat - offset))
            self.chords[index] = list(kept.values())

    def move_to_strong_beats(self) -> None:
        """Move what is held over a strong beat onto it, and leave the rest out."""
        for index, bar in enumerate(self.bars):
            strong = strong_beats(bar.meter)
            chords = self.chords[index]
            offset = starts_in_metre(self.bars, index)
            for placed in tuple(chords):
                at = placed.onset + offset
                if at in strong or isinstance(placed.symbol, NoChord):
                    continue
                target = next((beat for beat in strong if beat > at), None)
                if not self._move(index, placed, target, "held over the strong beat"):
                    chords.remove(placed)
                    self._list_left_out(index, placed, "quick chord")

    # -- the list

    def _beat(self, index: int, onset: Fraction) -> Fraction:
        start = starts_in_metre(self.bars, index)
        return self.bars[index].meter.beat_at(onset, start=start)

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


def _has_some_off_beat(bars: Sequence[Bar], index: int) -> bool:
    """Whether chords of a bar stand off its beats, or may, as it is no whole one."""
    bar = bars[index]
    chords = bar.chords
    if not chords or (len(chords) == 1 and not chords[0].onset):
        return False
    places = _beat_places(bar.meter)
    for placed in chords:
        if placed.onset.as_integer_ratio() not in places:
            return True
    return bool(starts_in_metre(bars, index))


def _in_order(bar: Bar) -> tuple[PlacedChord, ...]:
    chords = bar.chords
    return tuple(sorted(chords, key=_onset)) if len(chords) > 1 else chords


@lru_cache(maxsize=256)
def _beat_places(meter: Meter) -> frozenset[tuple[int, int]]:
    """The beats as pairs of numbers: fractions are slow to tell apart by hash."""
    return frozenset(beat.as_integer_ratio() for beat in counted_beats(meter))


def _is_early(at: Fraction, beats: Sequence[Fraction], end: Fraction) -> bool:
    """Whether a place is in the second half of its beat, from which the next one is
    anticipated."""
    begins = max((beat for beat in beats if beat < at), default=_START)
    ends = min((beat for beat in beats if beat > at), default=end)
    return 2 * (ends - at) <= ends - begins


def _onset(placed: PlacedChord) -> Fraction:
    return placed.onset
