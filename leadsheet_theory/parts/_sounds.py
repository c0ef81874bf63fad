"""The sounding notes of a tune and the chords that they sound over.

None of it depends on the reader, so it is found once for a whole set of parts.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import lru_cache

from attrs import frozen

from ..chords import ChordSymbol
from ..chords.respell import deciding_chord
from ..key import Key
from ..leadsheet.model import Bar
from ..leadsheet.timeline import HeldNote
from ..spelling.chord_tones import is_hard_name

__all__ = ("Sound", "Span", "sounds_of", "spans_of", "tones_of")


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


def sounds_of(
    held: Iterable[HeldNote], spans: Sequence[Span], divisions: int
) -> tuple[Sound, ...]:
    """The held notes of a line that stand over chords."""
    starts = [span.start for span in spans]
    found: list[Sound] = []
    for note in held:
        start = _ticks(note.bar_start, divisions) + _ticks(note.note.onset, divisions)
        end = start + _ticks(note.duration, divisions)
        first = bisect_right(starts, start) - 1
        if first < 0:
            continue
        after = max(first + 1, bisect_left(starts, end))
        mostly = first
        for index in range(after - 1, first, -1):
            together = min(spans[index].end, end) - max(spans[index].start, start)
            if 2 * together >= end - start:
                mostly = index
                break
        found.append(Sound(note.indices, note.bar, first, mostly, range(first, after)))
    return tuple(found)


@lru_cache(maxsize=4096)
def _reads_plain(symbol: ChordSymbol, key: Key) -> bool:
    """Whether a chord has a tone whose name is too hard to read."""
    return any(is_hard_name(tone, key.signature) for tone in tones_of(symbol))


@lru_cache(maxsize=4096)
def tones_of(symbol: ChordSymbol) -> tuple[int, ...]:
    """The tones of the chord that decides the spelling, on the line of fifths."""
    chord = deciding_chord(symbol)
    return tuple(tone.fifths for tone in chord.tones) if chord is not None else ()
