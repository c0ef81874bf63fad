"""From the measures of all parts to the bars of one lead sheet.

Which voice is what:

- The **melody** is the first voice of the first staff of the first part that has
  pitches and is no rhythm line.  A bar in which that voice is silent takes its
  melody from the voice that is there.
- A **counterline** is the second voice of that staff; further voices are
  reported.
- The **hits** are a rhythm line: a second staff, a second part or a second
  voice.  A line is one if its notes are unpitched or have slash heads, if its
  clef is the percussion clef, if its part is named for rhythm (rhythm, hits,
  kicks, cues, drums, percussion), or, on a staff or part of its own, if all its
  notes stand on one pitch (the first staff or part must have eight of them).
  Slash heads in the melody's own voice are hits too, over a melody at rest.
- Any other staff or part is reported.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from fractions import Fraction
from operator import attrgetter
from typing import Final

from attrs import evolve, frozen

from ...leadsheet.model import Direction, Hit, Note, Rest
from ...rhythm.meter import Meter
from ._header import PartNames
from ._raw import RawBar, RawLine
from ._report import Report

__all__ = (
    "RHYTHM_NAME",
    "BarVoices",
    "PartContent",
    "bracketed",
    "choose_parts",
    "directions_of",
    "hits_of",
    "melody_voices",
    "rhythm_voices",
    "tiled",
)

RHYTHM_NAME: Final = re.compile(
    r"\b(rhythms?(?! *(guitar|gtr))|hits?|kicks?|cues?|drums?|drum ?set|percussion|"
    r"slash(es)?)\b",
    re.IGNORECASE,
)
_START: Final = Fraction(0)
_MANY_NOTES: Final = 8


@frozen(order=False)
class PartContent:
    """One part as read: its staves with a percussion clef, and which of divisions,
    key and time it does not state."""

    id: str
    names: PartNames
    bars: tuple[RawBar, ...]
    percussion: frozenset[str]
    missing: frozenset[str]
    report: Report

    def lines(self) -> list[RawLine]:
        """The voices of all bars."""
        return [line for bar in self.bars for line in bar.lines]

    @property
    def title(self) -> str:
        """What to call the part in a message."""
        return f"{self.id} ({self.names.name})" if self.names.name else self.id


@frozen(order=False)
class BarVoices:
    """The voices of one bar by what they are for."""

    melody: RawLine | None = None
    counterline: RawLine | None = None
    strokes: tuple[Note, ...] = ()


def _is_rhythm(
    lines: Sequence[RawLine], *, percussion: bool, place: int, alone: bool
) -> bool:
    """Whether voices hold a rhythm.

    Notes all on one pitch are one where there is other music beside them; the
    first part or staff must have some of them, as a tune may begin that way.
    """
    if not any(line.has_notes for line in lines):
        return any(line.strokes for line in lines)
    if percussion or alone:
        return percussion
    notes = [
        event for line in lines for event in line.events if isinstance(event, Note)
    ]
    pitches = {pitch for note in notes for pitch in note.pitches}
    return len(pitches) == 1 and len(notes) >= (1 if place else _MANY_NOTES)


def choose_parts(
    parts: Sequence[PartContent],
) -> tuple[PartContent, PartContent | None]:
    """The part with the melody, and the part that is a rhythm line, if any."""
    rhythmic = [
        bool(RHYTHM_NAME.search(f"{part.names.name} {part.names.instruments}"))
        or _is_rhythm(
            part.lines(),
            percussion="1" in part.percussion,
            place=place,
            alone=len(parts) == 1,
        )
        for place, part in enumerate(parts)
    ]
    sung = [any(line.has_notes for line in part.lines()) for part in parts]
    places = range(len(parts))
    melody = min(places, key=lambda place: (rhythmic[place], not sung[place], place))
    rhythm = next(
        (place for place in places if rhythmic[place] and place != melody), None
    )
    return parts[melody], None if rhythm is None else parts[rhythm]


def melody_voices(part: PartContent) -> list[BarVoices]:
    """The melody, counterline and hits in each bar of the melody's part."""
    staves: dict[str, list[RawLine]] = {}
    for line in part.lines():
        staves.setdefault(line.staff, []).append(line)
    rhythmic = {
        name: _is_rhythm(
            lines,
            percussion=name in part.percussion,
            place=place,
            alone=len(staves) == 1,
        )
        for place, (name, lines) in enumerate(staves.items())
    }
    sung = {
        name: any(line.has_notes for line in lines) for name, lines in staves.items()
    }
    staff = min(staves, key=lambda name: (rhythmic[name], not sung[name]), default="1")
    rhythm = {name for name in staves if rhythmic[name] and name != staff}
    for name in staves:
        if sung[name] and name not in rhythm and name != staff:
            part.report.gather(
                "unread",
                "warning",
                f"staff {name[:10]} is not carried: it is no rhythm line",
                element="staff",
            )
    lines = staves.get(staff, [])
    main = min(
        lines, key=lambda line: (not line.has_notes, not line.strokes), default=None
    )
    voice = "" if main is None else main.voice
    return [
        _bar_voices(bar, staff, voice, rhythm, part.report, index)
        for index, bar in enumerate(part.bars)
    ]


def _bar_voices(
    bar: RawBar, staff: str, main: str, rhythm: set[str], report: Report, index: int
) -> BarVoices:
    here = [line for line in bar.lines if line.staff == staff]
    if len(here) == 1 and len(bar.lines) == 1 and not here[0].strokes:
        return BarVoices(here[0])
    strokes: list[Note] = []
    for line in bar.lines:
        if line.staff in rhythm:
            strokes += _attacks(line)
        elif line.staff == staff:
            strokes += line.strokes
    # the main voice first, if it is there; else one with notes
    here.sort(key=lambda line: (line.voice != main, not line.has_notes))
    voices = here[:1] + [line for line in here[1:] if line.has_notes]
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


def rhythm_voices(part: PartContent) -> list[tuple[Note, ...]]:
    """The strokes of a part that is a rhythm line, bar by bar."""
    return [
        tuple(
            sorted(
                (note for line in bar.lines for note in _attacks(line)),
                key=attrgetter("onset"),
            )
        )
        for bar in part.bars
    ]


def _attacks(line: RawLine) -> list[Note]:
    """All notes of a rhythm line: their pitch, if they have one, means nothing."""
    notes = [event for event in line.events if isinstance(event, Note)]
    return notes + line.strokes


def directions_of(bar: RawBar) -> tuple[Direction, ...]:
    """The directions of a bar, first the words of form that lead nowhere."""
    directions = [direction for _, direction in bar.directions]
    if bar.signs.left_over:
        directions.insert(0, Direction(_START, "words", bar.signs.left_over))
    return tuple(directions)


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
    line: RawLine | None, length: Fraction, meter: Meter, report: Report
) -> tuple[Note | Rest, ...]:
    """The notes and rests of a voice without gaps, from the bar's start to its end.

    A lone rest that fills the bar is a whole-bar rest.
    """
    if line is None:
        return (Rest(_START, length, None, whole_bar=True),)
    events = line.events
    if len(events) == 1 and isinstance(events[0], Rest):
        rest = events[0]
        if rest.duration == length and length == meter.bar_length:
            if not rest.whole_bar or rest.value is not None:
                rest = evolve(rest, value=None, whole_bar=True)
            return (rest,)
    if line.tuplets:
        events = bracketed(events)
    if not line.gaps and line.end and events and _end(events) == length:
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


def _end(events: Sequence[Note | Rest]) -> Fraction:
    return events[-1].onset + events[-1].duration


def bracketed(events: Sequence[Note | Rest]) -> list[Note | Rest]:
    """The events with the first and last of each tuplet marked, where the file
    says only the ratio: a group ends where its notes add up to the time that its
    shortest value says, so many plain ones for the tuplet."""
    done = list(events)
    group: list[int] = []
    total = shortest = _START
    ratio = None
    marked = False
    for place, event in enumerate(events):
        tuplet = event.value.tuplet if event.value is not None else None
        if event.duration == 0:
            continue
        here = None if tuplet is None else (tuplet.actual, tuplet.normal)
        if here != ratio or tuplet is None or tuplet.starts:
            group, total, ratio, marked = [], _START, here, False
        if tuplet is None:
            continue
        marked = marked or tuplet.starts
        if marked:
            continue
        group.append(place)
        total += event.duration
        shortest = min(shortest, event.duration) if len(group) > 1 else event.duration
        if len(group) > 1 and total % (shortest * tuplet.actual) == 0:
            _mark(done, group)
            group, total = [], _START
    return done


def _mark(events: list[Note | Rest], group: Sequence[int]) -> None:
    first, last = group[0], group[-1]
    for place, change in ((first, {"starts": True}), (last, {"ends": True})):
        event = events[place]
        value = event.value
        if value is not None and value.tuplet is not None:
            tuplet = evolve(value.tuplet, **change)
            events[place] = evolve(event, value=evolve(value, tuplet=tuplet))
