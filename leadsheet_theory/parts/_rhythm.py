"""What all parts of a tune share: written values, beams, cues.

None of it depends on pitch, so it is decided once for a whole set of parts.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from fractions import Fraction
from functools import lru_cache
from typing import Final, TypeVar, cast

from attrs import evolve, frozen

from ..errors import DecisionError
from ..leadsheet.findings import beat_text
from ..leadsheet.model import Bar, Hit, Note, Rest
from ..leadsheet.slash_time import on_beats
from ..leadsheet.tuplets import mark_tuplets
from ..pitch import Pitch
from ..rhythm.beams import Beamed, BeamMark, BeamStyle, Sign, beamed
from ..rhythm.meter import Meter
from ..rhythm.slashes import time_slashes
from ..rhythm.values import EventKind, NoteValue, spell_duration
from .hits import CueBar
from .model import Rebeam

__all__ = (
    "BarRhythm",
    "Beams",
    "LineRhythm",
    "bar_rhythm",
    "beat_slashes",
    "written_figure",
    "written_line",
)

Beams = tuple[tuple[BeamMark, ...], ...]

_Event = TypeVar("_Event", bound=Note | Rest | Hit)

_BAR_REST: Final = NoteValue("whole")
"""The sign of a whole-bar rest."""

_START: Final = Fraction(0)

_GRACE_VALUE: Final = NoteValue("eighth")
"""How a grace note is written whose source says nothing."""


@frozen(order=False)
class LineRhythm:
    """How a line of notes is written, apart from pitch.

    `beams` holds the beam marks of each event, `groups` the indices under each
    beam, `graces` those of the grace notes, `counts` how many pitches each event
    has (0 for a rest).  `pitches` are the concert pitches in reading order and
    `tied` says of each whether it is tied from the note before.
    """

    beams: Beams = ()
    groups: tuple[tuple[int, ...], ...] = ()
    graces: tuple[int, ...] = ()
    counts: tuple[int, ...] = ()
    pitches: tuple[Pitch, ...] = ()
    tied: tuple[bool, ...] = ()


@frozen(order=False, kw_only=True)
class BarRhythm:
    """A bar as all parts share it.

    Every note and rest of `bar` has a value, and `is_new` says whether the source
    left any open; `cue` is the figure above the staff
    and `cue_end` where it stops, in quarter notes from the start of the bar.
    """

    bar: Bar
    is_new: bool
    melody: LineRhythm
    counterline: LineRhythm
    cue: tuple[Hit | Rest, ...]
    cue_beams: Beams
    cue_end: Fraction
    cue_label: str


def bar_rhythm(
    bar: Bar,
    cue: CueBar,
    /,
    *,
    style: BeamStyle,
    divisions: int,
    rebeam: Sequence[Rebeam] = (),
) -> BarRhythm:
    """Decide values, rests, beams and the written cue of a bar.

    Values that the source gives stay as they are; a gap in the melody becomes
    rests, and a bar without melody a whole-bar rest.  All times of the source fall
    on `divisions` of a quarter note.  `rebeam` are the wishes for this bar's beams.

    Raises:
        DecisionError: if a wish finds no note, or no beam.
    """
    meter = bar.meter
    start = bar.starts_at
    melody = _filled(bar, start, divisions)
    counterline = _written(bar.counterline, meter, start)
    is_new = melody is not bar.melody or counterline is not bar.counterline
    if is_new:
        bar = evolve(bar, melody=melody, counterline=counterline)
    events, cue_beams = written_figure(cue.events, bar, style=style)
    return BarRhythm(
        bar=bar,
        is_new=is_new,
        melody=_rebeamed(bar, style, rebeam)
        if rebeam
        else _line(melody, meter, style, start),
        counterline=_line(counterline, meter, style, start)
        if counterline
        else _NO_LINE,
        cue=events,
        cue_beams=cue_beams,
        cue_end=cue.end,
        cue_label=cue.label,
    )


def written_figure(
    events: Sequence[Hit | Rest], bar: Bar, /, *, style: BeamStyle
) -> tuple[tuple[Hit | Rest, ...], Beams]:
    """Hits and rests of a bar with values for all, and their beams."""
    if not events:
        return (), ()
    start = bar.starts_at
    written = tuple(mark_tuplets(list(_valued(events, bar.meter, start))))
    return written, beamed(map(_sign, written), bar.meter, style, start).marks


def written_line(
    events: tuple[Note | Rest, ...], bar: Bar, /, *, style: BeamStyle
) -> tuple[tuple[Note | Rest, ...], LineRhythm]:
    """The notes and rests of a line of a bar with values for all, and how they are
    written."""
    events = _written(events, bar.meter, bar.starts_at)
    return events, _line(events, bar.meter, style, bar.starts_at)


def _written(
    events: tuple[Note | Rest, ...], meter: Meter, start: Fraction
) -> tuple[Note | Rest, ...]:
    if not events or all(map(_is_written, events)):
        return events
    return tuple(mark_tuplets(list(_valued(events, meter, start))))


def beat_slashes(bar: Bar) -> tuple[Hit, ...]:
    """A slash on each beat of a bar."""
    length, start = bar.length.as_integer_ratio(), bar.starts_at.as_integer_ratio()
    return _slashes(bar.meter, length, start)


@lru_cache(maxsize=256)
def _slashes(
    meter: Meter, length: tuple[int, int], start: tuple[int, int]
) -> tuple[Hit, ...]:
    slashes = time_slashes(meter, length=Fraction(*length), start=Fraction(*start))
    return tuple(Hit(each.onset, each.duration, each.value) for each in slashes)


_NO_LINE: Final = LineRhythm()
_NO_BEAMS: Final = Beamed((), ())


def _rebeamed(bar: Bar, style: BeamStyle, wishes: Sequence[Rebeam]) -> LineRhythm:
    """The melody with its beams as they are wished for."""
    places = {
        bar.beat_of(event.onset): place
        for place, event in enumerate(bar.melody)
        if isinstance(event, Note) and not event.grace
    }
    asked: dict[str, list[int]] = {"apart": [], "joined": []}
    for wish in wishes:
        where = f"bar {wish.bar}, beat {beat_text(wish.beat)}"
        if wish.beat not in places:
            there = ", ".join(map(beat_text, places)) or "none"
            raise DecisionError(f"no note in {where}: there are notes on {there}")
        asked[wish.how].append(places[wish.beat])
    line = _line(
        bar.melody, bar.meter, style, bar.starts_at, asked["apart"], asked["joined"]
    )
    for wish in wishes:
        marks = line.beams[places[wish.beat]] if line.beams else ()
        if wish.how == "joined" and marks[:1] not in (("continue",), ("end",)):
            where = f"bar {wish.bar}, beat {beat_text(wish.beat)}"
            raise DecisionError(f"no beam can reach the note in {where}")
    return line


def _line(
    events: tuple[Note | Rest, ...],
    meter: Meter,
    style: BeamStyle,
    start: Fraction,
    apart: Collection[int] = (),
    joined: Collection[int] = (),
) -> LineRhythm:
    counts: list[int] = []
    graces: list[int] = []
    pitches: list[Pitch] = []
    tied: list[bool] = []
    flagged = False
    for place, event in enumerate(events):
        if not isinstance(event, Note):
            counts.append(0)
            continue
        flagged = flagged or (event.value is not None and event.value.flags > 0)
        if event.grace:
            graces.append(place)
        counts.append(len(event.pitches))
        pitches += event.pitches
        tied += [event.tied_from_previous] * len(event.pitches)
    beams = _NO_BEAMS
    if flagged:
        beams = beamed(map(_sign, events), meter, style, start, apart, joined)
    return LineRhythm(
        beams.marks,
        beams.groups,
        tuple(graces),
        tuple(counts),
        tuple(pitches),
        tuple(tied),
    )


def _filled(bar: Bar, start: Fraction, divisions: int) -> tuple[Note | Rest, ...]:
    """The events with values for all and rests in the gaps, or the same tuple."""
    events, length = bar.melody, bar.length
    if not events:
        return (Rest(_START, length, whole_bar=True),)
    if _is_full(events, length, divisions):
        return events
    full: list[Note | Rest] = []
    at = _START
    for event in events:
        if event.onset > at:
            full.append(Rest(at, event.onset - at))
        full.append(event)
        at = max(at, event.onset + event.duration)
    if at < length:
        full.append(Rest(at, length - at))
    return tuple(mark_tuplets(list(_valued(full, bar.meter, start))))


def _is_full(events: Sequence[Note | Rest], length: Fraction, divisions: int) -> bool:
    """Whether all values are given, and each event starts where the one before ends,
    up to the bar's end."""
    at = 0
    for event in events:
        onset, onset_parts = event.onset.as_integer_ratio()
        if onset * (divisions // onset_parts) != at:
            return False
        if event.value is None and not _is_written(event):
            return False
        duration, duration_parts = event.duration.as_integer_ratio()
        at += duration * (divisions // duration_parts)
    end, end_parts = length.as_integer_ratio()
    return at == end * (divisions // end_parts)


def _is_written(event: Note | Rest | Hit) -> bool:
    """Whether its value is given, or needs none."""
    return event.value is not None or (isinstance(event, Rest) and event.whole_bar)


def _valued(
    events: Iterable[_Event], meter: Meter, start: Fraction
) -> Iterator[_Event]:
    """The events, those without a value cut into as many written ones as it takes."""
    for event in events:
        if _is_written(event):
            yield event
        elif isinstance(event, Rest) and event.slashes:
            yield from cast("Iterator[_Event]", on_beats(event, meter, start))
        elif isinstance(event, Note) and event.grace:
            yield evolve(event, value=_GRACE_VALUE)
        else:
            values = spell_duration(
                event.onset,
                event.duration,
                meter,
                rest=isinstance(event, Rest),
                start=start,
            )
            yield from cast("Iterator[_Event]", _cut(event, values))


def _cut(
    event: Note | Rest | Hit, values: tuple[NoteValue, ...]
) -> Iterator[Note | Rest | Hit]:
    """An event as several written one after the other, tied where it sounds.

    Lyrics, marks and the start of a slur stay with the first, the end of a slur
    goes with the last.
    """
    onset = event.onset
    last = len(values) - 1
    for place, value in enumerate(values):
        length = value.duration
        marks = () if place else event.marks
        if isinstance(event, Rest):
            yield Rest(onset, length, value, marks=marks, shown=event.shown)
        else:
            piece = evolve(
                event,
                onset=onset,
                duration=length,
                value=value,
                tied_from_previous=place > 0 or event.tied_from_previous,
                tied_to_next=place < last or event.tied_to_next,
                marks=marks,
            )
            if isinstance(piece, Note):
                piece = evolve(
                    piece,
                    lyrics=() if place else piece.lyrics,
                    slurs=tuple(
                        slur
                        for slur in piece.slurs
                        if place == (0 if slur.end == "start" else last)
                    ),
                )
            yield piece
        onset += length


def _sign(event: Note | Rest | Hit) -> Sign:
    kind: EventKind = "note"
    if isinstance(event, Rest):
        kind = "rest"
    elif isinstance(event, Note) and event.grace:
        kind = "grace"
    return Sign(event.onset.as_integer_ratio(), event.value or _BAR_REST, kind)
