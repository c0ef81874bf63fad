"""Slashes: beats that the player fills, and rhythms that the band hits together.

Time slashes stand one a beat, without stems, on the middle line; in a compound
metre one a dotted-quarter beat, in an additive one in eighths one a group.  Rhythm
slashes have stems, flags and beams at the exact rhythm; silences in a figure are
written as rests.  Sources: *Wikipedia*, "Chord chart"; E. Rogers, *Big band
arranging* 17; MusicXML 4.0 (``slash``, ``slash-type``, ``slash-dot``, notehead
``slash``).  The dot in compound metres, and open heads from a half note on, are
common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from .bars import spell_bar
from .meter import Meter
from .values import VALUE_NAMES, NoteValue, RhythmEvent, spell_duration

__all__ = ("has_open_head", "rhythm_slashes", "slash_under", "time_slashes")


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

    >>> [str(slash.onset) for slash in time_slashes(Meter(4, 4))]
    ['0', '1', '2', '3']
    >>> [slash.value.dots for slash in time_slashes(Meter(6, 8))]
    [1, 1]
    """
    full = meter.bar_length
    end = full if length is None else start + length
    slashes: list[RhythmEvent] = []
    bar = start // full * full
    while bar < end:
        for beat in meter.beat_spans:
            onset, stop = max(bar + beat.onset, start), min(bar + beat.end, end)
            if onset >= stop:
                continue
            for value in spell_duration(onset, stop - onset, meter):
                slashes.append(RhythmEvent(onset - start, value))
                onset += value.duration
        bar += full
    return tuple(slashes)


def rhythm_slashes(
    hits: Iterable[tuple[Fraction, Fraction]],
    meter: Meter,
    /,
    *,
    length: Fraction | None = None,
    start: Fraction = Fraction(0),
    closing_rests: bool = False,
) -> tuple[RhythmEvent, ...]:
    """The hits of a bar as slashes at their rhythm, with the rests that lead to
    and stand between them.

    `hits` are onsets and durations as for :func:`.spell_bar`; a cue stops at its
    last hit unless `closing_rests` fill the bar.

    >>> half = Fraction(1, 2)
    >>> cue = rhythm_slashes([(3 * half, half)], Meter(4, 4))
    >>> [(event.kind, event.value.name) for event in cue]
    [('rest', 'quarter'), ('rest', 'eighth'), ('note', 'eighth')]
    """
    return spell_bar(
        hits, meter, length=length, start=start, closing_rests=closing_rests
    )


def has_open_head(value: NoteValue, /) -> bool:
    """Whether a rhythm slash of this value has an open head: from a half note on.

    >>> has_open_head(NoteValue("half")), has_open_head(NoteValue("quarter"))
    (True, False)
    """
    return VALUE_NAMES.index(value.name) <= VALUE_NAMES.index("half")


def slash_under(onset: Fraction, slashes: Sequence[RhythmEvent], /) -> int | None:
    """The index of the slash or rest that a chord at `onset` stands over; None where
    the chord falls between two.

    >>> slash_under(Fraction(2), time_slashes(Meter(4, 4)))
    2
    """
    for index, slash in enumerate(slashes):
        if slash.onset == onset:
            return index
    return None
