"""The sounding notes of a tune and the chords that they sound over.

None of it depends on the reader, so it is found once for a whole set of parts.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from functools import lru_cache

from attrs import frozen

from ..chords import ChordSymbol
from ..chords.respell import deciding_chord
from ..key import Key
from ..leadsheet.model import Bar
from ..leadsheet.timeline import HeldNote
from ..spelling.chord_tones import is_hard_name

__all__ = ("Sound", "Sounds", "Span", "sounds_of", "spans_of", "tones_of")


@frozen(order=False)
class Span:
    """A stretch of the tune under one chord, in divisions of a quarter note from the
    start: its tones in the source, on the line of fifths, and whether some are read
    under a plain name there."""

    start: int
    end: int
    tones: tuple[int, ...]
    plain: bool


@frozen(order=False)
class Sound:
    """One sounding note, tied notes together.

    `pitches` are the indices of its pitches in the line, `bar` is the bar in which it
    starts; `first` is the index of the chord at its start and `mostly` that of the last
    chord that half of it stands over; `over` are those of all chords that it sounds
    over.
    """

    pitches: tuple[int, ...]
    bar: int
    first: int
    mostly: int
    over: range


def _ticks(time: Fraction, divisions: int) -> int:
    numerator, denominator = time.as_integer_ratio()
    return numerator * (divisions // denominator)


def spans_of(bars: Sequence[Bar], divisions: int) -> tuple[Span, ...]:
    """The chords of a tune with the time that they stand for, in divisions of a quarter
    note, on which all times of the tune fall."""
    placed: list[tuple[int, ChordSymbol, Key]] = []
    start = 0
    for bar in bars:
        for chord in bar.chords:
            at = start + _ticks(chord.onset, divisions)
            placed.append((at, chord.symbol, bar.key))
        start += _ticks(bar.length, divisions)
    ends = [at for at, _, _ in placed[1:]]
    ends.append(start)
    return tuple(
        [
            Span(start, end, tones_of(symbol), _reads_plain(symbol, key))
            for (start, symbol, key), end in zip(placed, ends, strict=False)
        ]
    )


@frozen(order=False)
class Sounds:
    """The held notes of a line that stand over chords, in order.

    `by_span` holds the indices of those that sound over each chord, and `by_pitch` the
    index of the one that each pitch of the line belongs to.
    """

    sounds: tuple[Sound, ...]
    by_span: tuple[Sequence[int], ...]
    by_pitch: Mapping[int, int]


def sounds_of(
    held: Iterable[HeldNote], spans: Sequence[Span], divisions: int
) -> Sounds:
    """The held notes of a line that stand over chords."""
    starts = [span.start for span in spans]
    found: list[Sound] = []
    by_span: list[list[int]] = [[] for _ in spans]
    by_pitch: dict[int, int] = {}
    bar_starts: dict[int, int] = {}
    for note in held:
        bar_start = bar_starts.get(note.bar)
        if bar_start is None:
            bar_start = bar_starts[note.bar] = _ticks(note.bar_start, divisions)
        start = bar_start + _ticks(note.note.onset, divisions)
        first = mostly = bisect_right(starts, start) - 1
        if first < 0:
            continue
        end = start + _ticks(note.duration, divisions)
        after = first + 1
        if end > spans[first].end:
            after = max(after, bisect_left(starts, end))
            mostly = _mostly(spans, range(first, after), start, end)
        over = range(first, after)
        for at in over:
            by_span[at].append(len(found))
        for index in note.indices:
            by_pitch[index] = len(found)
        found.append(Sound(note.indices, note.bar, first, mostly, over))
    return Sounds(tuple(found), tuple(by_span), by_pitch)


def _mostly(spans: Sequence[Span], over: range, start: int, end: int) -> int:
    """The last of the chords that half of a note stands over, or the first of all."""
    for index in reversed(over[1:]):
        together = min(spans[index].end, end) - max(spans[index].start, start)
        if 2 * together >= end - start:
            return index
    return over[0]


@lru_cache(maxsize=4096)
def _reads_plain(symbol: ChordSymbol, key: Key) -> bool:
    """Whether a chord has a tone whose name is too hard to read."""
    return any(is_hard_name(tone, key.signature) for tone in tones_of(symbol))


@lru_cache(maxsize=4096)
def tones_of(symbol: ChordSymbol) -> tuple[int, ...]:
    """The tones of the chord that decides the spelling, on the line of fifths."""
    chord = deciding_chord(symbol)
    return tuple(tone.fifths for tone in chord.tones) if chord is not None else ()
