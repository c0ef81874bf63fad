"""Beams: which notes of a bar are joined, and by how many lines.

The handbooks agree that a beam shows the beat and never hides the middle of
a 4/4 bar; they part on when it may show more than one beat.  Each documented
way is a :class:`BeamStyle`:

* :data:`BY_BEAT`: every beat its own beam (*Integrated Music Theory* ch. 4
  prints it so);
* :data:`HALF_BAR_WHEN_FILLED`: a half bar of 4/4 is one beam only when eighth
  notes fill it; else beat by beat, so a lone off-beat keeps its flag.  The
  strict reading of the general rules, and the one for swing; the default;
* :data:`HALF_BAR_WHEREVER`: eighths join within the half bar, or within the bar
  of 2/4, 3/4 and 3/8, wherever three or more follow each other from a beat, from
  a rest or from a dotted note (Open University, *An introduction to music
  theory*, 3.6; grouping rules of the *Music theory handbook*);
* :data:`WHOLE_BAR`: a bar of 2/4, 3/4 or 3/8 filled with eighths is one beam
  (Open University 3.6; N. Hawes, *Theory of music: Grouping*).

A value shorter than an eighth or a triplet takes its beat back to a beam of
its own (Hawes).  Compound beats and the groups of additive metres in eighths are
never joined to each other (Open University 3.9; *Integrated Music Theory* ch. 21).

Beaming looks at rhythm only, so one answer serves every transposed part.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate, chain
from math import gcd, lcm
from typing import Final, Literal

from attrs import evolve, field, frozen

from .meter import Meter, MetricSpan
from .rhythm import RhythmEvent

__all__ = (
    "BY_BEAT",
    "HALF_BAR_WHEN_FILLED",
    "HALF_BAR_WHEREVER",
    "WHOLE_BAR",
    "BeamMark",
    "BeamSetting",
    "BeamStyle",
    "Joining",
    "beam",
    "beam_groups",
)

BeamMark = Literal["begin", "continue", "end", "forward hook", "backward hook"]
"""What one beam line does at a note, as MusicXML 4.0 names it (``beam-value``)."""

Joining = Literal["never", "filled", "runs", "always"]
"""When a joined span takes one beam: never; when plain eighths fill it; wherever
three or more plain eighths follow each other in it from a beat, a rest or a
dotted note; wherever two plain eighths follow each other in it."""


@frozen(order=False)
class BeamSetting:
    """How the bars of one metre are beamed.

    `units` are the lengths, in quarter notes, of the stretches beamed on their
    own, from the start of the bar; `joined` those of the longer stretches that
    plain eighths may join, `when` says when.  Both add up to the bar.  Where
    `mixed`, values shorter than an eighth may stand in a joined stretch too.
    """

    units: tuple[Fraction, ...]
    joined: tuple[Fraction, ...] = ()
    when: Joining = "never"
    mixed: bool = False


@frozen(order=False)
class BeamStyle:
    """A way to group notes under beams, for every metre.

    `half_bar` says when a half bar of 4/4 (or the like: the groups of 5/4 and
    7/4 under ``"runs"``) takes one beam; `short_bar` the same of a whole bar of
    2/4, 3/4 and the like.  `over_rests` carries a beam over rests inside a beat,
    as newer practice does (Open University 4.4).  `settings` are exceptions, metre
    by metre.

    >>> in_twos = HALF_BAR_WHEN_FILLED.with_setting(
    ...     Meter(6, 8), BeamSetting((Fraction(1), Fraction(1), Fraction(1))))
    >>> in_twos.setting(Meter(6, 8)).units
    (Fraction(1, 1), Fraction(1, 1), Fraction(1, 1))
    """

    half_bar: Joining = "never"
    short_bar: Joining = "never"
    over_rests: bool = False
    settings: tuple[tuple[Meter, BeamSetting], ...] = field(default=())

    def setting(self, meter: Meter, /) -> BeamSetting:
        """How this style beams the bars of a metre."""
        for known, setting in self.settings:
            if known == meter:
                return setting
        return _usual_setting(self, meter)

    def with_setting(self, meter: Meter, setting: BeamSetting, /) -> BeamStyle:
        """This style with another setting for one metre."""
        others = tuple(pair for pair in self.settings if pair[0] != meter)
        return evolve(self, settings=(*others, (meter, setting)))


BY_BEAT: Final = BeamStyle()
HALF_BAR_WHEN_FILLED: Final = BeamStyle(half_bar="filled")
HALF_BAR_WHEREVER: Final = BeamStyle(half_bar="runs", short_bar="runs")
WHOLE_BAR: Final = BeamStyle(half_bar="filled", short_bar="filled")


def beam(
    events: Sequence[RhythmEvent],
    meter: Meter,
    /,
    *,
    style: BeamStyle = HALF_BAR_WHEN_FILLED,
    start: Fraction = Fraction(0),
) -> tuple[tuple[BeamMark, ...], ...]:
    """The beam marks of a bar's events: for each, one mark a line from the
    primary beam inwards, ``()`` for what has no beam.

    `events` are those of one voice of one bar, in order, with onsets from the
    start of the bar; `start` is where a pickup starts in the full bar
    (:meth:`.Meter.pickup_start`), so that its beats count from the end.

    >>> from leadsheet_theory.rhythm import NoteValue, lay_out
    >>> eighth, dotted = NoteValue("eighth"), NoteValue("eighth", dots=1)
    >>> bar = lay_out([dotted, NoteValue("16th"), eighth, eighth], rests=[2])
    >>> beam(bar, Meter(4, 4))
    (('begin',), ('end', 'backward hook'), (), ())
    """
    return _beam(tuple(events), meter, style, start)


def beam_groups(
    events: Sequence[RhythmEvent],
    meter: Meter,
    /,
    *,
    style: BeamStyle = HALF_BAR_WHEN_FILLED,
    start: Fraction = Fraction(0),
) -> tuple[tuple[int, ...], ...]:
    """The notes under each primary beam, as indices into `events`, in order.

    Grace notes make groups of their own.

    >>> from leadsheet_theory.rhythm import NoteValue, lay_out
    >>> four = lay_out([NoteValue("eighth")] * 4, rests=[0])
    >>> beam_groups(four, Meter(4, 4))
    ((2, 3),)
    >>> beam_groups(four, Meter(4, 4), style=HALF_BAR_WHEREVER)
    ((1, 2, 3),)
    """
    return _groups(tuple(events), meter, style, start)


@lru_cache(maxsize=1024)
def _usual_setting(style: BeamStyle, meter: Meter) -> BeamSetting:
    bar = meter.hierarchy
    beats = meter.beat_spans
    quarter = Fraction(1)
    if all(beat.length < quarter for beat in beats):
        pairs = _pairs(bar)
        return BeamSetting(pairs, (meter.bar_length,), style.short_bar)
    if any(beat.length > quarter and beat.division != "thirds" for beat in beats):
        units = tuple(quarter for _ in range(int(meter.bar_length)))
        return BeamSetting(units, tuple(b.length for b in beats), "always")
    if any(beat.division == "thirds" and beat.length > 2 for beat in beats):
        units = tuple(part.length for beat in beats for part in beat.parts)
        return BeamSetting(units, tuple(b.length for b in beats), style.short_bar)
    units = tuple(beat.length for beat in beats)
    if any(beat.division == "thirds" for beat in beats) or len(beats) == 1:
        return BeamSetting(units)
    if meter.kind == "simple" and bar.division in ("halves", "groups"):
        return BeamSetting(units, _joined(bar), style.half_bar)
    return BeamSetting(units, _joined(bar), style.short_bar)


def _pairs(bar: MetricSpan) -> tuple[Fraction, ...]:
    """The quarters of a bar whose beats are shorter than a quarter."""
    if bar.length <= 1 or bar.division in ("", "thirds"):
        return (bar.length,)
    return tuple(length for part in bar.parts for length in _pairs(part))


def _joined(bar: MetricSpan) -> tuple[Fraction, ...]:
    """The stretches of at most a half bar or a group."""
    if bar.length <= 2 or bar.division not in ("halves", "groups"):
        return (bar.length,)
    return tuple(length for part in bar.parts for length in _joined(part))


@lru_cache(maxsize=8192)
def _beam(
    events: tuple[RhythmEvent, ...], meter: Meter, style: BeamStyle, start: Fraction
) -> tuple[tuple[BeamMark, ...], ...]:
    marks: list[tuple[BeamMark, ...]] = [()] * len(events)
    for group in _groups(events, meter, style, start):
        lines = _lines([events[place] for place in group], start)
        for place, line in zip(group, lines, strict=True):
            marks[place] = line
    return tuple(marks)


@lru_cache(maxsize=8192)
def _groups(
    events: tuple[RhythmEvent, ...], meter: Meter, style: BeamStyle, start: Fraction
) -> tuple[tuple[int, ...], ...]:
    groups = _runs_of(e.kind == "grace" and e.value.flags > 0 for e in events)
    if sum(event.kind == "note" and event.value.flags > 0 for event in events) > 1:
        bar = _Bar(events, style.setting(meter), meter, start)
        groups += bar.groups(over_rests=style.over_rests)
        groups.sort()
    return tuple(groups)


def _runs_of(wanted: Iterable[bool]) -> list[tuple[int, ...]]:
    """The runs of two or more wanted places."""
    runs: list[tuple[int, ...]] = []
    run: list[int] = []
    for place, is_wanted in enumerate(chain(wanted, (False,))):
        if is_wanted:
            run.append(place)
            continue
        if len(run) > 1:
            runs.append(tuple(run))
        run = []
    return runs


class _Bar:
    """A bar's notes and rests in whole ticks, without its grace notes."""

    def __init__(
        self,
        events: tuple[RhythmEvent, ...],
        setting: BeamSetting,
        meter: Meter,
        start: Fraction,
    ) -> None:
        self.setting = setting
        self.places = [i for i, event in enumerate(events) if event.kind != "grace"]
        signs = [events[place] for place in self.places]
        self.values = [sign.value for sign in signs]
        tick = lcm(
            start.denominator,
            *(sign.onset.denominator for sign in signs),
            *(value.duration.denominator for value in self.values),
            *(length.denominator for length in (*setting.units, *setting.joined)),
        ) * lcm(*(value.tuplet.normal for value in self.values if value.tuplet))
        self.tick = tick
        shift = start * tick
        self.on = [int(sign.onset * tick + shift) for sign in signs]
        self.off = [
            on + int(value.duration * tick)
            for on, value in zip(self.on, self.values, strict=True)
        ]
        self.flags = [value.flags for value in self.values]
        self.is_note = [sign.kind == "note" for sign in signs]
        self.plain = [
            note and count == 1 and not value.dots and value.tuplet is None
            for note, count, value in zip(
                self.is_note, self.flags, self.values, strict=True
            )
        ]
        self.middle = -1
        if meter.half_bar is not None and meter.bar_length > 2:
            self.middle = int(meter.half_bar * tick)
        self.starts = _starts(setting.units, tick)
        self.unit = self._units()

    def groups(self, *, over_rests: bool) -> list[tuple[int, ...]]:
        """The notes under each primary beam."""
        joined = self._joined()
        groups: list[tuple[int, ...]] = []
        group: list[int] = []
        for i, count in enumerate(self.flags):
            if group:
                last = group[-1]
                together = (self.unit[last] == self.unit[i]) or (
                    joined[last] >= 0 and joined[last] == joined[i]
                )
                touching = self.off[i - 1] == self.on[i]
                if over_rests and count and touching and together:
                    if self.is_note[i]:
                        group.append(i)
                    continue
                if (
                    together
                    and touching
                    and last == i - 1
                    and count
                    and self.is_note[i]
                ):
                    group.append(i)
                    continue
                if len(group) > 1:
                    groups.append(tuple(self.places[k] for k in group))
                group = []
            if count and self.is_note[i]:
                group = [i]
        if len(group) > 1:
            groups.append(tuple(self.places[k] for k in group))
        return groups

    def _units(self) -> list[tuple[int, ...]]:
        """The stretch each sign is beamed in: a unit of the bar, or a part of a
        tuplet that passes the units."""
        bar = self.starts[-1]
        units: list[tuple[int, ...]] = []
        for on in self.on:
            bars, within = divmod(on, bar)
            units.append((bars, bisect_right(self.starts, within) - 1))
        for first, last in self._tuplets():
            if units[first] == units[last]:
                continue
            ratio = self.values[first].tuplet
            if ratio is None:
                continue
            start, members = self.on[first], range(first, last + 1)
            written = (self.off[last] - start) * ratio.actual // ratio.normal
            whole = all(self.flags[i] for i in members) and (
                written * 2 <= ratio.actual * self.tick
            )
            for i in members:
                offset = (self.on[i] - start) * ratio.actual // ratio.normal
                part = 0 if whole else offset // self.tick
                units[i] = (-1, start, part, self.on[i] >= self.middle)
        return units

    def _tuplets(self) -> Iterator[tuple[int, int]]:
        """The first and last sign of each tuplet: as marked, or else up to where
        its length is plain again."""
        first, marked = -1, False
        for i, value in enumerate(self.values):
            ratio = value.tuplet
            if ratio is None:
                first = -1
                continue
            if first < 0 or ratio.starts:
                first, marked = i, ratio.starts
            length = self.off[i] - self.on[first]
            plain = not marked and _is_power_of_two(self.tick // gcd(length, self.tick))
            if ratio.ends or plain:
                yield first, i
                first = -1

    def _joined(self) -> list[int]:
        """For each sign the number of the joined run it is in, or -1."""
        joined = [-1] * len(self.on)
        setting = self.setting
        if setting.when == "never" or not setting.joined:
            return joined
        busy = {
            self.unit[i]
            for i, count in enumerate(self.flags)
            if count and (count > 1 or self.values[i].dots or self.values[i].tuplet)
        }
        if setting.mixed:
            free = [
                note and count > 0
                for note, count in zip(self.is_note, self.flags, strict=True)
            ]
        else:
            free = [
                plain and unit not in busy
                for plain, unit in zip(self.plain, self.unit, strict=True)
            ]
        spans = _starts(setting.joined, self.tick)
        for number, run in enumerate(self._free_runs(free, spans)):
            first, stop = self._joined_part(run, spans, setting.when)
            joined[first:stop] = [number] * (stop - first)
        return joined

    def _free_runs(self, free: list[bool], spans: list[int]) -> Iterator[range]:
        """Runs of free signs that touch, each inside one joined span."""
        first, span = -1, (-1, -1)
        for i, on in enumerate(self.on):
            bars, within = divmod(on, spans[-1])
            here = (bars, bisect_right(spans, within))
            fits = first >= 0 and here == span and self.off[i - 1] == on
            if first >= 0 and not (free[i] and fits):
                yield range(first, i)
                first = -1
            if free[i] and first < 0:
                first, span = i, here
        if first >= 0:
            yield range(first, len(self.on))

    def _joined_part(
        self, run: range, spans: list[int], when: Joining
    ) -> tuple[int, int]:
        """The part of a run that takes one beam, as first and stop; an empty part
        if none does."""
        first, stop = run.start, run.stop
        on, off = self.on[first], self.off[stop - 1]
        if when == "always":
            return first, stop
        if when == "filled":
            bars, within = divmod(on, spans[-1])
            place = bisect_right(spans, within)
            full = within == spans[place - 1] and off == bars * spans[-1] + spans[place]
            return (first, stop) if full else (first, first)
        led = first == 0 or not self.is_note[first - 1] or self.values[first - 1].dots
        if not led and not self._on_a_unit(on):
            first += 1
        return (first, stop) if stop - first >= 3 else (first, first)

    def _on_a_unit(self, on: int) -> bool:
        return on % self.starts[-1] in self.starts


def _starts(lengths: tuple[Fraction, ...], tick: int) -> list[int]:
    """Where stretches of these lengths start, in ticks, and where the last ends."""
    return [0, *accumulate(int(length * tick) for length in lengths)]


def _is_power_of_two(number: int) -> bool:
    return number & (number - 1) == 0


def _lines(group: Sequence[RhythmEvent], start: Fraction) -> list[tuple[BeamMark, ...]]:
    """The beam marks of the notes under one primary beam."""
    counts = [event.value.flags for event in group]
    marks: list[list[BeamMark]] = [[] for _ in group]
    last = len(group) - 1
    for line in range(1, max(counts) + 1):
        for i, count in enumerate(counts):
            if count < line:
                continue
            before = i > 0 and counts[i - 1] >= line
            after = i < last and counts[i + 1] >= line
            if before and after:
                marks[i].append("continue")
            elif before:
                marks[i].append("end")
            elif after:
                marks[i].append("begin")
            else:
                ahead = i == 0 or (i < last and _points_ahead(group[i], start, line))
                marks[i].append("forward hook" if ahead else "backward hook")
    return [tuple(lines) for lines in marks]


def _points_ahead(event: RhythmEvent, start: Fraction, line: int) -> bool:
    """Whether a hook inside a group points at the next note: it does where the note
    is the first of the pair that makes up the next longer value."""
    if event.kind == "grace":
        return True
    unit = Fraction(1, 2**line)
    ratio = event.value.tuplet
    if ratio is not None:
        unit = unit * ratio.normal / ratio.actual
    return (event.onset + start) // unit % 2 == 0
