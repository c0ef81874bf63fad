"""Where time stops: stop time, breaks, figures under N.C.

Rhythm in the staff with rests means that everybody plays exactly this; rhythm above the
staff over slashes means to keep time and catch it (K. Williams, errata to p. 183 of his
arranging book; drum.town, "Reading complex charts").  So a rhythm section's sheet needs
to know where time is not played:

- from *stop time* to the end of the section: "time is implied, only the hits are
  played" (B. Hable 2019 after R. Boras 2005, p. 98);
- from *break* on for the bars it names, or else two or four, "the rhythm section stops
  too" (M. Tracy, *Glossary of terms*);
- from *tacet* or *lay out* to the end of the section;
- under N.C., where hits stand under it: whoever plays chords plays nothing else.  N.C.
  without hits says nothing of time.

A word such as *time*, *in 4* or *walk*, a sign of form or a double bar ends it.  In a
pickup no time is played before its first chord.  What no source is named for is common
practice.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Collection, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Final

from attrs import frozen

from .._doors import door
from ..chords import NoChord
from ..leadsheet.model import Bar
from ..leadsheet.timeline import bar_starts
from ..rhythm.slashes import time_slashes

__all__ = ("TIME_STOPS", "TIME_WORDS", "TimeStop", "time_stops")

TIME_STOPS: Final[dict[str, str]] = {
    "stop time": r"stop[- ]?times?",
    "break": r"(?:(?:solo|drum|bass|piano|band|(?P<bars>\d+)[- ]bars?)[- ])?break",
    "tacet": r"tacet",
    "lay out": r"lay(?:s)? out",
}
"""The words that stop time, each with what is read as it: M. Tracy, *Glossary of terms*
(break), Hable after Boras (stop time); the others are common practice, no source."""

TIME_WORDS: Final[dict[str, str]] = {
    "time": r"(?:play |in |straight |swing )?time(?: feel)?",
    "in 2": r"in (?:2|two)",
    "in 4": r"in (?:4|four)",
    "walk": r"walk(?:ing)?(?: bass)?",
    "comp": r"(?:light )?comp(?:ing)?",
    "broken time": r"broken time",
    "half time": r"(?:half|double)[- ]time(?: feel)?",
    "swing": r"swing",
}
"""The words that start time again: *OnMusic Dictionary* (time), P. Thomas, *Jazz drum
parts* (in 2, in 4), M. Tracy, *Glossary of terms* (comp); the others are common
practice, no source."""

_STOPS: Final = re.compile(
    "|".join(rf"\b(?:{words})\b" for words in TIME_STOPS.values()), re.IGNORECASE
)
_TIME: Final = re.compile(
    "|".join(f"(?:{words})" for words in TIME_WORDS.values()), re.IGNORECASE
)
_BREAK: Final = 4
"""The most bars of a break that names no number."""


@frozen(order=False)
class TimeStop:
    """A stretch of a bar without time, in quarter notes from the bar's start."""

    start: Fraction
    end: Fraction


_Span = tuple[Fraction, Fraction]


@door
def time_stops(
    bars: Sequence[Bar],
    /,
    *,
    at_no_chord: bool = True,
    player: str = "",
    only: Collection[int] | None = None,
) -> tuple[tuple[TimeStop, ...], ...]:
    """The stretches of each bar in which no time is played, whole beats.

    Args:
        bars: written bars; their words, chords, hits and signs of form are read.
        at_no_chord: whether hits under N.C. stop time, as they do for those who play
            chords.
        player: who reads this, as in ``drum``: a *drum break* is silent for all others.
        only: the numbers of the bars in which time stops, whatever the chart says.

    >>> from leadsheet_theory.key import Key
    >>> from leadsheet_theory.leadsheet.model import Direction
    >>> from leadsheet_theory.rhythm import Meter
    >>> words = Direction(Fraction(2), "words", "break")
    >>> bar = Bar(number=1, key=Key.parse("F"), meter=Meter(4, 4), length=Fraction(4),
    ...           directions=(words,))
    >>> [(str(stop.start), str(stop.end)) for stop in time_stops([bar])[0]]
    [('2', '4')]
    """
    starts = [*bar_starts(bars)]
    ends = [start + bar.length for start, bar in zip(starts, bars, strict=True)]
    beats = _beats(bars, starts)
    spans = [*_pickup(bars, starts)]
    if only is not None:
        spans += [
            (start, end)
            for bar, start, end in zip(bars, starts, ends, strict=True)
            if bar.number in only
        ]
    else:
        spans += _by_words(bars, starts, player)
        spans += _under_no_chord(bars, starts) if at_no_chord else ()
    joined = _joined([(_up(start, beats), _up(end, beats)) for start, end in spans])
    return tuple(
        tuple(
            TimeStop(max(start, left) - left, min(end, right) - left)
            for start, end in joined
            if start < right and left < end
        )
        for left, right in zip(starts, ends, strict=True)
    )


def _beats(bars: Sequence[Bar], starts: Sequence[Fraction]) -> list[Fraction]:
    """The beats of all bars, and where the last one ends."""
    found = []
    for bar, start in zip(bars, starts, strict=True):
        slashes = time_slashes(bar.meter, length=bar.length, start=bar.starts_at)
        found += [start + slash.onset for slash in slashes]
    if bars:
        found.append(starts[-1] + bars[-1].length)
    return found


def _up(at: Fraction, beats: Sequence[Fraction]) -> Fraction:
    """The beat at a place or the next one."""
    index = bisect_left(beats, at)
    return beats[index] if index < len(beats) else at


def _joined(spans: Sequence[_Span]) -> list[_Span]:
    joined: list[_Span] = []
    for start, end in sorted(spans):
        if start >= end:
            continue
        if joined and start <= joined[-1][1]:
            joined[-1] = joined[-1][0], max(end, joined[-1][1])
        else:
            joined.append((start, end))
    return joined


def _pickup(bars: Sequence[Bar], starts: Sequence[Fraction]) -> Iterator[_Span]:
    if bars and bars[0].is_pickup:
        chords = [placed.onset for placed in bars[0].chords]
        yield starts[0], starts[0] + min(chords, default=bars[0].length)


def _under_no_chord(bars: Sequence[Bar], starts: Sequence[Fraction]) -> Iterator[_Span]:
    """From each N.C. to the next chord, where a hit stands under it."""
    changes = [
        (start + placed.onset, isinstance(placed.symbol, NoChord))
        for bar, start in zip(bars, starts, strict=True)
        for placed in bar.chords
    ]
    hits = [
        start + hit.onset
        for bar, start in zip(bars, starts, strict=True)
        for hit in bar.hits
    ]
    if changes:
        changes.append((starts[-1] + bars[-1].length, False))
    for (at, silent), (after, _) in pairwise(changes):
        if silent and any(at <= hit < after for hit in hits):
            yield at, after


def _by_words(
    bars: Sequence[Bar], starts: Sequence[Fraction], player: str
) -> Iterator[_Span]:
    """From each word that stops time to what starts it again, unless it is the player's
    own break."""
    again = [*_boundaries(bars, starts), *_time_words(bars, starts)]
    for index, bar in enumerate(bars):
        for each in bar.directions:
            found = _STOPS.search(each.text) if each.kind == "words" else None
            if found is None or (player and player in found[0].casefold()):
                continue
            at = starts[index] + each.onset
            end = min((place for place in again if place > at), default=at)
            if "break" in found[0].casefold():
                length = int(found["bars"] or _BREAK)
                if index + length < len(bars):
                    end = min(end, starts[index + length])
                end = min(end, _chord_after_silence(bars, starts, at, end))
            yield at, end


def _boundaries(bars: Sequence[Bar], starts: Sequence[Fraction]) -> Iterator[Fraction]:
    """Where a stretch of music begins or the music ends."""
    for index in range(1, len(bars)):
        if bars[index].form.begins or bars[index - 1].form.ends:
            yield starts[index]
    yield starts[-1] + bars[-1].length


def _time_words(bars: Sequence[Bar], starts: Sequence[Fraction]) -> Iterator[Fraction]:
    for bar, start in zip(bars, starts, strict=True):
        for each in bar.directions:
            text = each.text.strip(" .,:()")
            if each.kind == "words" and _TIME.fullmatch(text):
                yield start + each.onset


def _chord_after_silence(
    bars: Sequence[Bar], starts: Sequence[Fraction], at: Fraction, end: Fraction
) -> Fraction:
    """The first chord of a break that follows an N.C. within it, else its end."""
    silent = False
    for bar, start in zip(bars, starts, strict=True):
        for placed in bar.chords:
            place = start + placed.onset
            if not at <= place < end:
                continue
            if isinstance(placed.symbol, NoChord):
                silent = True
            elif silent:
                return place
    return end
