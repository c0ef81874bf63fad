"""From the voices of a tune to the bars of one lead sheet.

The **melody** is the first voice that is no rhythm line; the **hits** are the first
that is one: named for it (rhythm, hits, kicks …), with a percussion clef, or with all
its notes on one pitch.  The **counterline** is what ``&`` lays over the melody, else
the next voice that has no bass clef.  Other voices are reported.  The user may name
the voices of hits and of a **bass line**.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from operator import itemgetter
from typing import Final

from attrs import evolve, frozen

from ...errors import UnknownStaffError
from ...interval import Interval
from ...leadsheet.divided_bars import join_divided_bars
from ...leadsheet.findings import Finding
from ...leadsheet.model import (
    Bar,
    LeadSheet,
    Note,
    PlacedChord,
    Rest,
    Tempo,
)
from ...leadsheet.open_ties import complete_ties
from ...leadsheet.signs import FormSigns
from ...leadsheet.staves import named_for_hits
from ...musicxml.reading._assemble import directions_of, hits_of
from ...musicxml.reading._form import signs_of
from ...musicxml.reading._lengths import (
    check_lengths,
    first_bar,
    places_of_measures,
)
from ...pitch import Pitch
from ...rhythm.values import NoteValue, Tuplet, single_value
from ._order import in_order
from ._report import AbcReport
from ._voice import Event, TuneBar, Voice

__all__ = ("Heading", "VoicesAsked", "assembled")

_ZERO: Final = Fraction(0)
# semitones: the interval that is meant by them
_INTERVALS: Final = tuple(
    Interval.parse(name)
    for name in ["P1", "m2", "M2", "m3", "M3", "P4", "A4", "P5", "m6", "M6", "m7", "M7"]
)
_MOST_SEMITONES: Final = 36


class Heading:
    """What a tune says above its music."""

    def __init__(self) -> None:
        self.title = self.subtitle = self.composer = self.style = ""
        self.lyricist = self.arranger = self.rights = ""
        self.tempo: Tempo | None = None


def assembled(
    voices: Sequence[Voice],
    heading: Heading,
    report: AbcReport,
    *,
    order: str | None,
    asked: VoicesAsked,
) -> tuple[LeadSheet, tuple[Finding, ...]]:
    """The sheet of a tune that has been read, and all findings."""
    cast = _chosen(voices, report, asked)
    melody = cast.melody
    raws = [bar.raw for bar in melody.bars]
    report.bar_places = [(bar.line, bar.column) for bar in melody.bars]
    first, pickup_start = 1, _ZERO
    bars: list[Bar] = []
    if raws:
        for raw in raws:
            raw.chords.sort(key=itemgetter(0))
        first, pickup_start = first_bar(raws, 1)
        if not any(bar.free for bar in melody.bars):
            _check(melody, first, report)
        elif melody.bars[0].free:
            report.index = None
            report.add("meter", "warning", "free metre: 4/4 is assumed for the chart")
        bars = _bars(cast, first, report)
        if not any(bar.free for bar in melody.bars):
            whole = join_divided_bars(bars)
            report.places = places_of_measures(bars, whole)
            bars = list(whole)
    sheet_bars = tuple(bars)
    if order is not None and bars:
        sheet_bars, written_out = in_order(bars, order)
        if written_out:
            report.index = None
            report.add(
                "parts-order", "note",
                "no signs of form say the order of the parts: the bars are written "
                "out as they are played",
            )  # fmt: skip
    tied = complete_ties(sheet_bars)
    sheet = LeadSheet(
        title=heading.title,
        bars=tied.bars,
        composer=heading.composer,
        lyricist=heading.lyricist,
        arranger=heading.arranger,
        subtitle=heading.subtitle,
        style=heading.style,
        tempo=heading.tempo,
        rights=heading.rights,
    )
    return sheet, report.findings(first, pickup_start) + tied.remarks


def _check(melody: Voice, first: int, report: AbcReport) -> None:
    raws = [bar.raw for bar in melody.bars]
    check_lengths(raws, first, _signs(melody, AbcReport()), report, 1)


def _signs(melody: Voice, report: AbcReport) -> list[FormSigns]:
    raws = [bar.raw for bar in melody.bars]
    return signs_of([raw.signs for raw in raws], [raw.length for raw in raws], report)


@frozen(order=False)
class VoicesAsked:
    """The voices that the user names for hits and bass line (``none`` for no voice);
    empty where the text decides."""

    hits: str = ""
    bass_line: str = ""


@frozen(eq=False, kw_only=True)
class _Cast:
    """Which voice is what."""

    melody: Voice
    hits: Voice | None
    bass_line: Voice | None
    counterline: Voice | None


def _named(voices: Sequence[Voice], name: str) -> Voice | None:
    """The voice that the user names.

    Raises:
        UnknownStaffError: if no voice is so called.
    """
    if name.casefold() in ("", "none"):
        return None
    for voice in voices:
        called = (voice.name.casefold(), voice.words.name.casefold())
        if name.casefold() in called:
            return voice
    known = [voice.words.name or voice.name or "1" for voice in voices]
    raise UnknownStaffError(name, tuple(known))


def _chosen(voices: Sequence[Voice], report: AbcReport, asked: VoicesAsked) -> _Cast:
    """The voices of melody, hits, bass line and counterline."""
    heard = [voice for voice in voices if voice.bars] or list(voices[:1])
    hits, bass = _named(heard, asked.hits), _named(heard, asked.bass_line)
    free = _without(heard, hits, bass)
    rhythmic = [voice for place, voice in enumerate(heard) if _is_rhythm(voice, place)]
    melody = (_without(free, *rhythmic) or free or heard)[0]
    free = _without(free, melody)
    if not asked.hits:
        hits = next((voice for voice in free if voice in rhythmic), None)
        free = _without(free, hits)
    counter = _counterline(melody, _without(free, *rhythmic))
    _tell_others(_without(free, counter), report)
    for other in (hits, bass, counter):
        if other is not None:
            _set_beside(melody, other, report)
    return _Cast(melody=melody, hits=hits, bass_line=bass, counterline=counter)


def _without(voices: Sequence[Voice], *others: Voice | None) -> list[Voice]:
    return [voice for voice in voices if voice not in others]


def _tell_others(voices: Sequence[Voice], report: AbcReport) -> None:
    """Say which voices are not carried."""
    for voice in voices:
        bar = voice.bars[0]
        report.at(
            "unread", "warning",
            f"voice {voice.words.name or voice.name or '1'} is not carried: "
            "melody, hits and counterline are other voices",
            bar.line, bar.column,
        )  # fmt: skip


def _counterline(melody: Voice, others: Sequence[Voice]) -> Voice | None:
    """The counterline among the other voices: none where ``&`` lays one over the
    melody."""
    if any(len(bar.layers) > 1 for bar in melody.bars):
        return None
    return next((voice for voice in others if voice.words.clef != "bass"), None)


def _set_beside(melody: Voice, other: Voice, report: AbcReport) -> None:
    """Compare a voice with the melody, which takes over its chord symbols where it has
    none of its own."""
    if len(other.bars) != len(melody.bars):
        report.index = None
        report.add(
            "voices", "warning",
            f"voice {other.name} has {len(other.bars)} bars, the melody "
            f"{len(melody.bars)}",
        )  # fmt: skip
    if not any(bar.raw.chords for bar in melody.bars):
        for bar, source in zip(melody.bars, other.bars, strict=False):
            bar.raw.chords = source.raw.chords


def _is_rhythm(voice: Voice, place: int) -> bool:
    if named_for_hits(f"{voice.name} {voice.words.name}"):
        return True
    if voice.words.clef == "perc":
        return True
    pitches = {pitch for event, _ in voice.notes for pitch in event.pitches or ()}
    return place > 0 and len(pitches) == 1


def _bars(cast: _Cast, first: int, report: AbcReport) -> list[Bar]:
    melody, hits, counter = cast.melody, cast.hits, cast.counterline
    bass = cast.bass_line
    bass_shift = _sounds(bass)
    signs = _signs(melody, report)
    shift, other_shift = _sounds(melody), _sounds(counter)
    lines = _Lines()
    bars = []
    for index, source in enumerate(melody.bars):
        raw = source.raw
        length = Fraction(raw.length)
        second = source.layers[1] if len(source.layers) > 1 else None
        if len(source.layers) > 2:
            report.index = index
            report.gather("unread", "warning", "a third line over the bar is lost")
        strokes: list[Note | Rest] = []
        if hits is not None and index < len(hits.bars):
            strokes = lines.of(hits.bars[index].layers[0], None)
        if counter is not None and index < len(counter.bars):
            second = counter.bars[index].layers[0]
        bars.append(
            Bar(
                number=index + first,
                key=raw.key if shift is None else raw.key + shift.interval,
                meter=raw.meter,
                length=length,
                melody=_filled(lines.of(source.layers[0], shift), source, length),
                counterline=()
                if second is None or not any(event.pitches for event in second)
                else _filled(lines.of(second, other_shift), source, length),
                chords=tuple(
                    [
                        PlacedChord(
                            Fraction(onset),
                            symbol
                            if shift is None
                            else symbol.transposed(shift.interval),
                        )
                        for onset, symbol in sorted(
                            raw.chords, key=lambda placed: placed[0]
                        )
                    ]
                ),
                bass_line=()
                if bass is None or index >= len(bass.bars)
                else _notes_in(lines.of(bass.bars[index].layers[0], bass_shift)),
                hits=hits_of([each for each in strokes if isinstance(each, Note)])
                if strokes
                else (),
                directions=directions_of(raw),
                form=signs[index],
            )
        )
    return bars


def _notes_in(line: list[Note | Rest]) -> tuple[Note | Rest, ...]:
    """The events of a bar that has a note."""
    return tuple(line) if any(isinstance(event, Note) for event in line) else ()


class _Shift:
    """How far a voice sounds from where it is written."""

    __slots__ = ("interval", "octaves")

    def __init__(self, semitones: int, octaves: int) -> None:
        more, within = divmod(semitones, 12)
        if within and semitones < 0:  # down a step rather than up a seventh
            self.interval = -_INTERVALS[12 - within]
            more += 1
        else:
            self.interval = _INTERVALS[within]
        self.octaves = more + octaves


def _sounds(voice: Voice | None) -> _Shift | None:
    if voice is None:
        return None
    words = voice.words
    semitones = max(-_MOST_SEMITONES, min(_MOST_SEMITONES, words.transpose))
    if not semitones and not words.sounds_octaves:
        return None
    return _Shift(semitones, words.sounds_octaves)


class _Lines:
    """Turns what was read into notes and rests, each value worked out once."""

    def __init__(self) -> None:
        self._values: dict[tuple[Fraction, Tuplet | None], NoteValue | None] = {}

    def of(self, events: Sequence[Event], shift: _Shift | None) -> list[Note | Rest]:
        """The notes and rests of a line in one bar."""
        if any(event.joined for event in events):
            events = _rejoined(events)
        return [self._made(event, shift) for event in events]

    def _made(self, event: Event, shift: _Shift | None) -> Note | Rest:
        duration = event.duration
        value = None
        if duration:
            same = (duration, event.tuplet)
            try:
                value = self._values[same]
            except KeyError:
                value = single_value(duration, tuplet=event.tuplet, dots=3)
                self._values[same] = value
        pitches = event.pitches
        if pitches is None:
            return Rest(
                event.onset, duration, None if event.whole_bar else value,
                event.whole_bar, tuple(event.marks),
            )  # fmt: skip
        if shift is not None:
            pitches = [_moved(pitch, shift) for pitch in pitches]
        return Note(
            onset=event.onset,
            duration=duration,
            pitches=tuple(pitches),
            value=value,
            tied_from_previous=event.tied_from,
            tied_to_next=event.tied_to,
            grace=event.grace,
            lyrics=tuple(event.lyrics),
            marks=tuple(event.marks),
            slurs=tuple(event.slurs),
        )


def _rejoined(events: Sequence[Event]) -> list[Event]:
    """The events with those that only go on put to the ones before them."""
    done: list[Event] = []
    for event in events:
        if not event.joined:
            done.append(event)
            continue
        whole = done[-1]
        whole.duration += event.duration
        whole.tied_to = event.tied_to
        whole.slurs = [*whole.slurs, *event.slurs]
        whole.marks = [*whole.marks, *event.marks]
        if whole.tuplet is not None and event.tuplet is not None:
            whole.tuplet = evolve(whole.tuplet, ends=event.tuplet.ends)
    return done


def _moved(pitch: Pitch, shift: _Shift) -> Pitch:
    moved = pitch + shift.interval
    return Pitch(moved.step, moved.alter, moved.octave + shift.octaves)


def _filled(
    events: list[Note | Rest], bar: TuneBar, length: Fraction
) -> tuple[Note | Rest, ...]:
    """A line without gaps; a lone rest that fills the bar is a whole-bar rest."""
    if len(events) == 1:
        rest = events[0]
        if (
            isinstance(rest, Rest)
            and rest.duration == length
            and (rest.whole_bar or length == bar.raw.meter.bar_length)
        ):
            return (Rest(_ZERO, length, None, whole_bar=True, marks=rest.marks),)
    if not events:
        return (Rest(_ZERO, length, None, whole_bar=True),)
    end = events[-1].onset + events[-1].duration
    if end < length:
        events.append(Rest(end, length - end))
    return tuple(events)
