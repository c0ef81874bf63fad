"""Time slashes: beats that the player fills.

They stand one a beat, without stems, on the middle line; in a compound metre one a
dotted-quarter beat, in an additive one in eighths one a group.  In cut time there are
four filled ones, as players count and since two open heads look like half notes
(common practice, no source).  Sources: *Wikipedia*,
"Chord chart"; E. Rogers, *Big band arranging* 17; MusicXML 4.0 (``slash``,
``slash-type``, ``slash-dot``).  The dot in compound metres is common practice, no
source.

The rhythm of hits, which has stems and rests, is a bar like any other
(:func:`.spell_bar`).
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from math import ceil
from typing import Final

from .._doors import door
from ..errors import RhythmError
from .meter import Meter
from .values import MOST_BARS, RhythmEvent, check_exact, spell_duration

__all__ = ("counted_beats", "time_slashes")

_QUARTER: Final = Fraction(1)


@lru_cache(maxsize=256)
def counted_beats(meter: Meter, /) -> tuple[Fraction, ...]:
    """The beats that players count, in quarter notes from the start of the bar:
    quarters in a simple metre, be its beat a half; elsewhere the beats as they are
    felt.

    >>> [str(beat) for beat in counted_beats(Meter(2, 2))]
    ['0', '1', '2', '3']
    >>> [str(beat) for beat in counted_beats(Meter(6, 8))]
    ['0', '3/2']
    """
    return tuple(start for start, _ in _counted_spans(meter))


@lru_cache(maxsize=256)
def _counted_spans(meter: Meter) -> tuple[tuple[Fraction, Fraction], ...]:
    """Where each counted beat starts and ends."""
    spans = meter.beat_spans
    if meter.kind != "simple" or spans[0].length <= _QUARTER:
        return tuple((beat.onset, beat.end) for beat in spans)
    starts = [_QUARTER * count for count in range(ceil(meter.bar_length))]
    return tuple(pairwise([*starts, meter.bar_length]))


@door
def time_slashes(
    meter: Meter,
    /,
    *,
    length: Fraction | None = None,
    start: Fraction = Fraction(0),
) -> tuple[RhythmEvent, ...]:
    """One slash for each beat of a bar, with the beat's value.

    `length` is the bar's length in quarter notes if it is no full bar, `start`
    where a pickup starts in the full bar; a beat that is cut short there gets a
    slash of what is left of it.

    Raises:
        RhythmError: the times are not exact, or the length is above 1,000 bars.

    >>> [str(slash.onset) for slash in time_slashes(Meter(4, 4))]
    ['0', '1', '2', '3']
    >>> [slash.value.dots for slash in time_slashes(Meter(6, 8))]
    [1, 1]
    """
    full = meter.bar_length
    check_exact(start, full if length is None else length)
    if length is not None and length > MOST_BARS * full:
        raise RhythmError(
            f"too long for slashes: expected at most {MOST_BARS} bars", start, length
        )
    end = full if length is None else start + length
    slashes: list[RhythmEvent] = []
    bar = start // full * full
    while bar < end:
        for begins, ends in _counted_spans(meter):
            onset, stop = max(bar + begins, start), min(bar + ends, end)
            if onset >= stop:
                continue
            for value in spell_duration(onset, stop - onset, meter):
                slashes.append(RhythmEvent(onset - start, value))
                onset += value.duration
        bar += full
    return tuple(slashes)
