"""From the voices of a staff to the bars of one lead sheet.

- The **melody** is the first voice of its staff; a bar in which that voice is silent
  takes its melody from the voice that is there.
- A **counterline** is the second voice of that staff, unless its rhythm shows that it
  is the hits; further voices are reported.
- Slash heads in the melody's own voice are hits too, over a melody at rest.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from operator import attrgetter
from typing import Final, TypeVar

from attrs import evolve, frozen

from ...leadsheet.model import Direction, Hit, Note, Rest
from ...leadsheet.slash_time import joined_slashes
from ...leadsheet.tuplets import mark_tuplets
from ...rhythm.meter import Meter
from ._brackets import nested
from ._raw import RawBar, RawLine
from ._report import Report
from ._staves import Staff

__all__ = (
    "BarVoices",
    "cut_to",
    "directions_of",
    "hits_of",
    "melody_voices",
    "rhythm_voices",
    "tiled",
)

_START: Final = Fraction(0)
_Event = TypeVar("_Event", Note, Rest, Note | Rest)


@frozen(order=False)
class BarVoices:
    """The voices of one bar by what they are for."""

    melody: RawLine | None = None
    counterline: RawLine | None = None
    strokes: tuple[Note, ...] = ()


def melody_voices(staff: Staff, second_is_hits: bool) -> list[BarVoices]:
    """The melody, counterline and hits in each bar of the melody's staff.

    `second_is_hits` says whether the hits stand in its second voice.
    """
    main = staff.main_voice
    return [
        _bar_voices(lines, main, staff.part.report, index, second_is_hits)
        for index, lines in enumerate(staff.lines)
    ]


def _bar_voices(
    lines: Sequence[RawLine],
    main: str,
    report: Report,
    index: int,
    second_is_hits: bool,
) -> BarVoices:
    if len(lines) == 1 and not lines[0].strokes:
        return BarVoices(lines[0])
    strokes = [stroke for line in lines for stroke in line.strokes]
    # the main voice first, if it is there to be seen; else one with notes; time to be
    # filled is the melody's where that is silent
    here = sorted(
        lines,
        key=lambda line: (
            line.is_hidden,
            line.voice != main,
            not line.has_notes,
            bool(line.strokes),
        ),
    )
    if here and not here[0].has_notes:
        here.sort(key=lambda line: not line.has_slashes)
    voices = here[:1] + [line for line in here[1:] if line.has_notes]
    if second_is_hits:
        strokes += [note for line in voices[1:] for note in _pitched(line)]
        voices = voices[:1]
    if len(voices) > 2:
        report.index = index
        report.gather(
            "unread",
            "warning",
            "a third voice is not carried",
            element="voice",
        )
    strokes.sort(key=attrgetter("onset"))
    return BarVoices(
        voices[0] if voices else None,
        voices[1] if len(voices) > 1 else None,
        tuple(strokes),
    )


def rhythm_voices(staff: Staff) -> list[tuple[Note, ...]]:
    """The strokes of a staff that is a rhythm line, bar by bar."""
    return [
        tuple(
            sorted(
                (note for line in lines for note in _attacks(line)),
                key=attrgetter("onset"),
            )
        )
        for lines in staff.lines
    ]


def _pitched(line: RawLine) -> list[Note]:
    return [event for event in line.events if isinstance(event, Note)]


def _attacks(line: RawLine) -> list[Note]:
    """All notes of a rhythm line: their pitch, if they have one, means nothing."""
    return _pitched(line) + line.strokes


def directions_of(bar: RawBar) -> tuple[Direction, ...]:
    """The directions of a bar, first the words of form that lead nowhere."""
    if not (bar.directions or bar.signs.left_over):
        return ()
    directions = [direction for _, direction in bar.directions]
    if bar.signs.left_over:
        directions.insert(0, Direction(_START, "words", bar.signs.left_over))
    return tuple(directions)


def cut_to(
    events: Sequence[_Event], length: Fraction, what: str, report: Report
) -> tuple[_Event, ...]:
    """What of another staff's bar stands in the melody's bar of this length; what
    reaches beyond it is told."""
    if not events or all(event.onset + event.duration <= length for event in events):
        return tuple(events)
    report.gather(
        "bar-length",
        "warning",
        f"{what} in this bar last longer than the melody; the rest is left out",
        element="part",
    )
    return tuple(
        [
            event
            if event.onset + event.duration <= length
            else evolve(event, duration=length - event.onset, value=None)
            for event in events
            if event.onset < length
        ]
    )


def hits_of(strokes: Iterable[Note]) -> tuple[Hit, ...]:
    """Strokes as hits; of those that fall together, the first."""
    hits: list[Hit] = []
    for note in strokes:
        # a grace stroke ornaments the next one and is no attack of its own
        if note.grace or (hits and hits[-1].onset == note.onset):
            continue
        hits.append(
            Hit(
                note.onset,
                note.duration,
                note.value,
                note.tied_from_previous,
                note.tied_to_next,
                note.marks,
            )
        )
    return tuple(hits)


def tiled(
    line: RawLine | None, bar: RawBar, length: Fraction, report: Report
) -> tuple[Note | Rest, ...]:
    """The notes and rests of a voice without gaps, from the bar's start to its end, the
    bar's length in quarter notes.

    A lone rest that fills the bar is a whole-bar rest.
    """
    if line is None:
        return (Rest(_START, length, None, whole_bar=True),)
    events = line.events
    if line.strokes and not (line.has_notes or line.has_slashes):
        # rests about the strokes, which stand elsewhere in the parts
        return (Rest(_START, length, None, whole_bar=True),)
    if line.has_slashes:
        return _with_slashes(line, length, report)
    whole = _bar_rest(events[0], length, bar.meter) if len(events) == 1 else None
    if whole is not None:
        return (whole,)
    if line.tuplets:
        events = _grouped(line, report)
    if not line.gaps and line.end == bar.length and events:
        return tuple(events)
    filled: list[Note | Rest] = []
    place = _START
    for event in events:
        if event.onset > place:
            filled.append(Rest(place, event.onset - place))
        filled.append(event)
        place = event.onset + event.duration
    if not filled:
        return (Rest(_START, length, None, whole_bar=True),)
    if place < length:
        filled.append(Rest(place, length - place))
    if len(filled) > len(events) and not line.strokes:
        report.gather(
            "gap", "note", "a silence that is not written is carried as a rest"
        )
    return tuple(filled)


def _bar_rest(rest: Note | Rest, length: Fraction, meter: Meter) -> Rest | None:
    """The rest that fills a whole bar by itself, if it is one."""
    if not isinstance(rest, Rest) or rest.duration != length:
        return None
    if length != meter.bar_length:
        return None
    if rest.whole_bar and rest.value is None:
        return rest
    return evolve(rest, value=None, whole_bar=True)


def _with_slashes(
    line: RawLine, length: Fraction, report: Report
) -> tuple[Note | Rest, ...]:
    """A voice with time to be filled.  Strokes between the slashes stand above the
    staff in the parts, so time goes on below them."""
    filled: list[Note | Rest] = []
    place = _START
    gap = Rest(_START, _START, shown="slashes" if line.strokes else "rest")
    for event in _grouped(line, report) if line.tuplets else line.events:
        if isinstance(event, Rest) and event.hidden:
            continue
        if event.onset > place:
            filled.append(evolve(gap, onset=place, duration=event.onset - place))
        filled.append(event)
        place = event.onset + event.duration
    if place < length:
        filled.append(evolve(gap, onset=place, duration=length - place))
    return joined_slashes(filled)


def _grouped(line: RawLine, report: Report) -> list[Note | Rest]:
    """The events of a line with the first and the last of each tuplet marked."""
    events: Sequence[Note | Rest] = line.events
    if any(bracket.number != "1" for bracket in line.brackets):
        found = nested(events, line.brackets)
        if found is None:
            report.unread("tuplet", "a bracket within a bracket")
        else:
            events = found
    return mark_tuplets(events)
