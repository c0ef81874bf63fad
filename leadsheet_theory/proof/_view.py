"""What all checks look at, worked out once: the tune in time, chord by note.

Times are whole ticks, so many to the quarter note (`View.grid`) that every onset and
every duration falls on one; exact, and faster than fractions.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from typing import Final

from attrs import frozen

from ..chords import Chord, ChordSymbol, NoChord
from ..leadsheet.model import Bar, LeadSheet, Note, PlacedChord, Rest

__all__ = ("Span", "Sung", "View", "degrees_of", "view_of")

_MANY_THIRDS: Final = 3
"""So many lowered thirds make a tune bluesy."""
_STALE: Final = 4
"""After so many bars without a symbol nobody can say which chord sounds."""


@frozen(order=False, kw_only=True)
class Sung:
    """A note of the melody with all that is tied to it: the index of its bar, where
    it starts in bar and tune, how long it lasts, its MIDI key; whether a rest or
    nothing stands before it (`fresh`)."""

    bar: int
    onset: Fraction
    start: int
    length: int
    note: Note
    midi: int
    fresh: bool


@frozen(order=False, kw_only=True)
class Span:
    """A chord symbol from its place to the next one.

    `crowded` tells that another symbol stands on the same place, so that nobody knows
    when it sounds.
    """

    bar: int
    placed: PlacedChord
    start: int
    end: int
    crowded: bool

    @property
    def symbol(self) -> ChordSymbol:
        """The chord symbol."""
        return self.placed.symbol


@frozen(order=False, kw_only=True, eq=False)
class View:
    """A chart as the checks see it.

    `starts` has where each bar starts, and the end.  `over` has for each sung note the
    index of the span that it belongs to: the one that sounds longest under it, so that
    an anticipation belongs to the chord it is held into; -1 for none.  `is_bluesy`
    tells that the tune has the lowered third of its key many times.
    """

    sheet: LeadSheet
    grid: int
    starts: tuple[int, ...]
    sung: tuple[Sung, ...]
    spans: tuple[Span, ...]
    over: tuple[int, ...]
    is_bluesy: bool

    @property
    def bars(self) -> tuple[Bar, ...]:
        """The bars as written."""
        return self.sheet.bars

    def ticks(self, time: Fraction) -> int:
        """A time in ticks."""
        return _ticks(time, self.grid)

    def chord_over(self, place: int) -> Chord | None:
        """The chord that a sung note belongs to, if it is one, and known."""
        index = self.over[place]
        if index < 0:
            return None
        span = self.spans[index]
        if span.crowded or self.sung[place].bar - span.bar >= _STALE:
            return None
        return span.symbol if isinstance(span.symbol, Chord) else None

    def is_free(self, place: int) -> bool:
        """Whether a sung note stands under N.C., so that nothing can clash."""
        index = self.over[place]
        return index >= 0 and isinstance(self.spans[index].symbol, NoChord)

    def sounds_beside(self, place: int) -> frozenset[int]:
        """What the chords before and after the one over a note sound."""
        index = self.over[place]
        beside = {
            sound
            for at in (index - 1, index + 1)
            if 0 <= at < len(self.spans)
            for sound in self.spans[at].symbol.pitch_classes
        }
        return frozenset(beside)

    def next_symbol(self, place: int) -> ChordSymbol | None:
        """The next chord, if the note is the last before it."""
        index = self.over[place]
        after = index + 1
        if index < 0 or after >= len(self.spans):
            return None
        last = place + 1 >= len(self.over) or self.over[place + 1] > index
        return self.spans[after].symbol if last else None

    def next_sounds(self, place: int) -> frozenset[int]:
        """What that chord sounds."""
        symbol = self.next_symbol(place)
        return frozenset() if symbol is None else symbol.pitch_classes

    def next_of(self, place: int) -> Sung | None:
        """The note after, where no rest stands between."""
        if place + 1 < len(self.sung) and self.sung[place + 1].fresh:
            return None
        bar = self.sung[place].bar
        last = place + 1 >= len(self.sung) or self.sung[place + 1].bar > bar
        if last and self.bars[bar].form.repeat_end:
            return self._after_repeat(bar)
        return None if place + 1 >= len(self.sung) else self.sung[place + 1]

    def _after_repeat(self, bar: int) -> Sung | None:
        """The first note of the bar that an end repeat goes back to."""
        start = next(
            (at for at in range(bar, -1, -1) if self.bars[at].form.repeat_start), 0
        )
        return next((note for note in self.sung if note.bar == start), None)

    def is_crowded(self, place: int) -> bool:
        """Whether a note stands under several symbols of one place, one of which it
        fits, so that nothing can be said against it."""
        index = self.over[place]
        if index < 0 or not self.spans[index].crowded:
            return False
        start = self.spans[index].start
        sound = self.sung[place].midi % 12
        return any(
            sound in span.symbol.pitch_classes
            for span in self.spans
            if span.start == start
        )

    def before(self, place: int) -> Sung | None:
        """The note before, where no rest stands between."""
        return None if place == 0 or self.sung[place].fresh else self.sung[place - 1]


def _ticks(time: Fraction, grid: int) -> int:
    return time.numerator * grid // time.denominator


def view_of(sheet: LeadSheet) -> View:
    """The view of a chart."""
    grid = sheet.divisions if sheet.bars else 1
    starts = [0]
    for bar in sheet.bars:
        starts.append(starts[-1] + _ticks(bar.length, grid))
    sung = _sung(sheet.bars, starts, grid)
    spans = _spans(sheet.bars, starts, grid)
    return View(
        sheet=sheet,
        grid=grid,
        starts=tuple(starts),
        sung=tuple(sung),
        spans=tuple(spans),
        over=tuple(_over(sung, spans)),
        is_bluesy=_is_bluesy(sung, sheet.bars),
    )


def _is_bluesy(sung: Sequence[Sung], bars: Sequence[Bar]) -> bool:
    """Whether the tune has the lowered third of its major key many times."""
    thirds = sum(
        bars[note.bar].key.mode in ("major", "ionian")
        and (note.midi - 7 * bars[note.bar].key.signature) % 12 == 3
        and note.note.pitch.alter <= bars[note.bar].key.alter_of(note.note.pitch.step)
        for note in sung
    )
    return thirds >= _MANY_THIRDS


def _sung(bars: Sequence[Bar], starts: Sequence[int], grid: int) -> list[Sung]:
    found: list[Sung] = []
    fresh = True
    for index, bar in enumerate(bars):
        for event in bar.melody:
            if isinstance(event, Rest):
                fresh = True
                continue
            if event.grace:
                continue
            length = _ticks(event.duration, grid)
            midi = event.pitch.midi
            if event.tied_from_previous and found and not fresh:
                last = found[-1]
                if last.midi == midi:
                    found[-1] = Sung(
                        bar=last.bar, onset=last.onset, start=last.start,
                        length=last.length + length, note=last.note, midi=midi,
                        fresh=last.fresh,
                    )  # fmt: skip
                    continue
            found.append(
                Sung(
                    bar=index,
                    onset=event.onset,
                    start=starts[index] + _ticks(event.onset, grid),
                    length=length,
                    note=event,
                    midi=midi,
                    fresh=fresh,
                )
            )
            fresh = False
    return found


def _spans(bars: Sequence[Bar], starts: Sequence[int], grid: int) -> list[Span]:
    placed = [
        (starts[index] + _ticks(chord.onset, grid), index, chord)
        for index, bar in enumerate(bars)
        for chord in bar.chords
    ]
    if any(a[0] > b[0] for a, b in pairwise(placed)):
        placed.sort(key=lambda each: each[0])
    spans: list[Span] = []
    for number, (start, index, chord) in enumerate(placed):
        after = placed[number + 1][0] if number + 1 < len(placed) else starts[-1]
        crowded = after == start or (number > 0 and placed[number - 1][0] == start)
        spans.append(
            Span(bar=index, placed=chord, start=start, end=after, crowded=crowded)
        )
    return spans


def _over(sung: Sequence[Sung], spans: Sequence[Span]) -> list[int]:
    over: list[int] = []
    at = 0
    for note in sung:
        while at + 1 < len(spans) and spans[at + 1].start <= note.start:
            at += 1
        if not spans or spans[at].start > note.start:
            over.append(-1)
            continue
        best, longest = at, 0
        end = note.start + note.length
        for index in range(at, len(spans)):
            span = spans[index]
            if span.start >= end:
                break
            shared = min(span.end, end) - max(span.start, note.start)
            if shared > longest:
                best, longest = index, shared
        over.append(best)
    return over


@lru_cache(maxsize=4096)
def degrees_of(symbol: Chord) -> tuple[int, frozenset[int]]:
    """The root's pitch class and the pitch classes above it, a foreign bass too."""
    root = symbol.root.pitch_class
    tones = symbol.quality.semitones
    if symbol.bass is not None:
        tones = tones | {(symbol.bass.pitch_class - root) % 12}
    return root, tones
