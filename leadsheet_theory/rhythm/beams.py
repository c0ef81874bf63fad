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
from collections.abc import Collection, Iterable, Iterator, Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate, groupby, pairwise
from math import gcd, lcm
from typing import Final, Literal, NamedTuple, get_args

from attrs import evolve, field, frozen

from .._arguments import check_choice
from .._doors import door
from .meter import Meter, MetricSpan
from .values import VALUE_NAMES, EventKind, NoteValue, RhythmEvent, Tuplet

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

Joining = Literal["never", "filled", "beats", "runs", "always"]
"""When a joined span takes one beam: never; when plain eighths fill it; where they
fill two or more of its beats; wherever three or more follow each other in it
from a beat, a rest or a dotted note; wherever two follow each other in it."""


@frozen(order=False, cache_hash=True)
class BeamSetting:
    """How the bars of one metre are beamed.

    `units` are the lengths, in quarter notes, of the stretches beamed on their
    own, from the start of the bar; `joined` those of the longer stretches that
    eighths may join, `when` says when.  Both add up to the bar.
    """

    units: tuple[Fraction, ...]
    joined: tuple[Fraction, ...] = ()
    when: Joining = "never"

    def __attrs_post_init__(self) -> None:
        check_choice("when", self.when, get_args(Joining))


@frozen(order=False, cache_hash=True, kw_only=True)
class BeamStyle:
    """A way to group notes under beams, for every metre.

    `half_bar` says when a half bar of 4/4 takes one beam; `short_bar` the same of a
    whole bar of 2/4, 3/4 and the like, or a group of 5/4 and 7/4; `long_beat` of
    a half-note beat, as in 2/2.  Where `mixed`, joined stretches may hold values
    shorter than an eighth (an older way); where `over_rests`, a beat that starts and
    ends with a note keeps its beam over rests inside it (newer practice, Open
    University 4.4); where `tuplets_apart`, a tuplet is never joined to other notes
    of its beat; where `halves_apart`, the halves of a beat with thirty-seconds are
    not joined (both: common practice, no source).  `settings` are exceptions,
    metre by metre.

    >>> in_twos = HALF_BAR_WHEN_FILLED.with_setting(
    ...     Meter(6, 8), BeamSetting((Fraction(1), Fraction(1), Fraction(1))))
    >>> in_twos.setting(Meter(6, 8)).units
    (Fraction(1, 1), Fraction(1, 1), Fraction(1, 1))
    """

    half_bar: Joining = "never"
    short_bar: Joining = "never"
    long_beat: Joining = "always"
    mixed: bool = False
    over_rests: bool = False
    tuplets_apart: bool = False
    halves_apart: bool = False
    settings: tuple[tuple[Meter, BeamSetting], ...] = field(default=())

    def __attrs_post_init__(self) -> None:
        check_choice("half_bar", self.half_bar, get_args(Joining))
        check_choice("short_bar", self.short_bar, get_args(Joining))
        check_choice("long_beat", self.long_beat, get_args(Joining))

    def setting(self, meter: Meter, /) -> BeamSetting:
        """How this style beams the bars of a metre."""
        for known, setting in self.settings:
            if known == meter:
                return setting
        return _usual_setting(meter, self.half_bar, self.short_bar, self.long_beat)

    def with_setting(self, meter: Meter, setting: BeamSetting, /) -> BeamStyle:
        """This style with another setting for one metre."""
        others = tuple(pair for pair in self.settings if pair[0] != meter)
        return evolve(self, settings=(*others, (meter, setting)))


BY_BEAT: Final = BeamStyle()
"""A beam a beat."""
HALF_BAR_WHEN_FILLED: Final = BeamStyle(half_bar="filled")
"""A half bar joined where eighths fill it: the usual way of lead sheets."""
HALF_BAR_WHEREVER: Final = BeamStyle(half_bar="runs", short_bar="runs")
"""A half bar joined wherever it can be."""
WHOLE_BAR: Final = BeamStyle(half_bar="filled", short_bar="filled")
"""A short bar (2/4, 3/4, 3/8) joined where eighths fill it."""


@door
def beam(
    events: Sequence[RhythmEvent],
    meter: Meter,
    /,
    *,
    style: BeamStyle = HALF_BAR_WHEN_FILLED,
    start: Fraction = Fraction(0),
    syllables: Collection[int] = (),
    joined: Collection[int] = (),
) -> tuple[tuple[BeamMark, ...], ...]:
    """The beam marks of a bar's events: for each, one mark a line from the
    primary beam inwards, ``()`` for what has no beam.

    Args:
        events: those of one voice of one bar, in order.
        meter: the metre.
        style: the way to group.
        start: where a pickup starts in the full bar (:meth:`.Meter.pickup_start`),
            so that its beats count from the end.
        syllables: the places of the events on which a syllable is sung, if
            beams are to follow the words, as older vocal music has it: no beam
            joins two syllables.  A beam that is wanted apart is said so too.
        joined: the places of notes that are wanted under one beam with the note
            before, whatever the style.

    >>> from leadsheet_theory.rhythm import NoteValue, lay_out
    >>> eighth, dotted = NoteValue("eighth"), NoteValue("eighth", dots=1)
    >>> bar = lay_out([dotted, NoteValue("16th"), eighth, eighth], rests=[2])
    >>> beam(bar, Meter(4, 4))
    (('begin',), ('end', 'backward hook'), (), ())
    """
    return beamed(map(_sign, events), meter, style, start, syllables, joined).marks


@door
def beam_groups(
    events: Sequence[RhythmEvent],
    meter: Meter,
    /,
    *,
    style: BeamStyle = HALF_BAR_WHEN_FILLED,
    start: Fraction = Fraction(0),
    syllables: Collection[int] = (),
    joined: Collection[int] = (),
) -> tuple[tuple[int, ...], ...]:
    """The notes under each primary beam, as indices into `events`, in order.

    The arguments are those of :func:`beam`.  Grace notes make groups of their own.

    >>> from leadsheet_theory.rhythm import NoteValue, lay_out
    >>> four = lay_out([NoteValue("eighth")] * 4, rests=[0])
    >>> beam_groups(four, Meter(4, 4))
    ((2, 3),)
    >>> beam_groups(four, Meter(4, 4), style=HALF_BAR_WHEREVER)
    ((1, 2, 3),)
    """
    return beamed(map(_sign, events), meter, style, start, syllables, joined).groups


@lru_cache(maxsize=1024)
def _usual_setting(
    meter: Meter, half_bar: Joining, short_bar: Joining, long_beat: Joining
) -> BeamSetting:
    """What beams show in a metre that has no setting of its own."""
    bar, beats = meter.hierarchy, meter.beat_spans
    quarter = Fraction(1)
    lengths = tuple(beat.length for beat in beats)
    in_thirds = any(beat.division == "thirds" for beat in beats)
    if all(length < quarter for length in lengths):
        return BeamSetting(_quarters(bar), (meter.bar_length,), short_bar)
    if in_thirds and max(lengths) > 2:
        thirds = tuple(part.length for beat in beats for part in beat.parts)
        return BeamSetting(thirds, lengths, short_bar)
    if in_thirds or len(beats) == 1:
        return BeamSetting(lengths)
    if max(lengths) > quarter:
        return BeamSetting((quarter,) * int(meter.bar_length), lengths, long_beat)
    has_halves = meter.kind == "simple" and bar.division in ("halves", "groups")
    return BeamSetting(lengths, _joined(bar), half_bar if has_halves else short_bar)


def _quarters(bar: MetricSpan) -> tuple[Fraction, ...]:
    """The stretches of at most a quarter in a bar with shorter beats."""
    if bar.length <= 1 or bar.division in ("", "thirds"):
        return (bar.length,)
    return tuple(length for part in bar.parts for length in _quarters(part))


def _joined(bar: MetricSpan) -> tuple[Fraction, ...]:
    """The half bars, or the groups, or the whole bar if it has neither."""
    if bar.length <= 2 or bar.division not in ("halves", "groups"):
        return (bar.length,)
    return tuple(length for part in bar.parts for length in _joined(part))


class Beamed(NamedTuple):
    """The beams of a bar, both ways to say them."""

    groups: tuple[tuple[int, ...], ...]
    marks: tuple[tuple[BeamMark, ...], ...]


class Sign(NamedTuple):
    """A note or rest as beaming sees it, its onset as a pair of numbers: plain tuples
    are found again faster than events with fractions."""

    onset: tuple[int, int]
    value: NoteValue
    kind: EventKind


def _sign(event: RhythmEvent) -> Sign:
    return Sign(event.onset.as_integer_ratio(), event.value, event.kind)


def beamed(
    signs: Iterable[Sign],
    meter: Meter,
    style: BeamStyle,
    start: Fraction,
    syllables: Collection[int] = (),
    joined: Collection[int] = (),
) -> Beamed:
    """The beams of one voice of a bar; the arguments are those of :func:`beam`."""
    parted, joins = frozenset(syllables), frozenset(joined)
    return _beamed(tuple(signs), meter, style, start, parted, joins)


@lru_cache(maxsize=8192)
def _beamed(
    signs: tuple[Sign, ...],
    meter: Meter,
    style: BeamStyle,
    start: Fraction,
    syllables: frozenset[int],
    joined: frozenset[int],
) -> Beamed:
    marks: list[tuple[BeamMark, ...]] = [()] * len(signs)
    groups = _grace_groups(signs)
    for group in groups:
        counts = [signs[place].value.flags for place in group]
        _set_marks(marks, group, _lines(counts))
    if sum(sign.kind == "note" and sign.value.flags > 0 for sign in signs) > 1:
        bar = _Bar(signs, meter, style, start, syllables, joined)
        for notes in bar.groups():
            places = tuple(bar.places[i] for i in notes)
            groups.append(places)
            _set_marks(marks, places, bar.lines(notes))
        groups.sort()
    return Beamed(tuple(groups), tuple(marks))


def _set_marks(
    marks: list[tuple[BeamMark, ...]],
    places: tuple[int, ...],
    lines: Sequence[tuple[BeamMark, ...]],
) -> None:
    for place, line in zip(places, lines, strict=True):
        marks[place] = line


def _grace_groups(signs: tuple[Sign, ...]) -> list[tuple[int, ...]]:
    """The runs of two or more flagged grace notes."""
    graces = [sign.kind == "grace" and sign.value.flags > 0 for sign in signs]
    groups: list[tuple[int, ...]] = []
    for is_grace, run in groupby(range(len(signs)), key=graces.__getitem__):
        group = tuple(run)
        if is_grace and len(group) > 1:
            groups.append(group)
    return groups


@lru_cache(maxsize=1024)
def _grid(style: BeamStyle, meter: Meter) -> tuple[BeamSetting, int, Fraction]:
    """A metre's setting, what all its lengths are multiples of a 1/nth of, and the
    middle of a bar that shows it, or else 0."""
    setting = style.setting(meter)
    lengths = (*setting.units, *setting.joined)
    middle = meter.half_bar if meter.bar_length > 2 else None
    return (
        setting,
        lcm(*(length.denominator for length in lengths)),
        middle or Fraction(0),
    )


class _Bar:
    """A bar's notes and rests in whole ticks, without its grace notes."""

    def __init__(
        self,
        bar: tuple[Sign, ...],
        meter: Meter,
        style: BeamStyle,
        start: Fraction,
        syllables: frozenset[int],
        joined: frozenset[int],
    ) -> None:
        self.style, self.syllables, self.joined = style, syllables, joined
        self.setting, grid, middle = _grid(style, meter)
        self.places = [i for i, sign in enumerate(bar) if sign.kind != "grace"]
        signs = [bar[place] for place in self.places]
        self.values = values = [sign.value for sign in signs]
        onsets = [sign.onset for sign in signs]
        lengths = [value.duration.as_integer_ratio() for value in values]
        tick = lcm(grid, start.denominator, *{d for _, d in (*onsets, *lengths)})
        self.has_tuplets = any(value.tuplet for value in values)
        if self.has_tuplets:
            tick *= lcm(*(value.tuplet.flat.normal for value in values if value.tuplet))
        self.tick = tick
        self.slack = tick // 16  # files round triplets
        shift = _ticks(start, tick)
        self.on = [n * (tick // d) + shift for n, d in onsets]
        self.off = [
            on + n * (tick // d) for on, (n, d) in zip(self.on, lengths, strict=True)
        ]
        self.is_note = [sign.kind == "note" for sign in signs]
        self.flags = [value.flags for value in values]
        self.starts = _starts(self.setting.units, tick)
        self.middle = _ticks(middle, tick)
        self.unit = self._units()
        self.run = self._joined_runs()

    def groups(self) -> list[list[int]]:
        """The notes under each primary beam."""
        groups: list[list[int]] = []
        group: list[int] = []
        for i, count in enumerate(self.flags):
            goes_on = bool(group) and count > 0 and self._together(group[-1], i)
            if goes_on and not self.is_note[i] and self.style.over_rests:
                continue
            if group and not (goes_on and self.is_note[i]):
                groups.append(group)
                group = []
            if count and self.is_note[i]:
                group.append(i)
        groups.append(group)
        if self.style.over_rests:
            groups = [part for each in groups for part in self._parted(each)]
        return [each for each in groups if len(each) > 1]

    def _parted(self, group: list[int]) -> list[list[int]]:
        """A group over rests: left whole if it fills its unit, or else parted there."""
        if not group or len(group) == group[-1] - group[0] + 1:
            return [group]
        first, last = self.on[group[0]], self.off[group[-1]]
        if self._starts_unit(first) and self._starts_unit(last):
            return [group]
        parts = [[group[0]]]
        for before, i in pairwise(group):
            if i == before + 1:
                parts[-1].append(i)
            else:
                parts.append([i])
        return parts

    def lines(self, group: list[int]) -> Sequence[tuple[BeamMark, ...]]:
        """The beam marks of the notes under one primary beam; the inner lines break
        where a new unit of the bar starts."""
        counts = [self.flags[i] for i in group]
        if max(counts) == 1:
            return _lines(counts)
        starts, bar = self.starts, self.starts[-1]
        units = [bisect_right(starts, self.on[i] % bar) for i in group]
        opens = [False, *(a != b for a, b in pairwise(units))]
        return _lines(counts, opens, [self._halves(i) for i in group])

    def _halves(self, i: int) -> int:
        """The line from which on a hook of this sign points ahead: the note must be
        the first of a pair that makes up the next longer value."""
        tuplet = self.values[i].tuplet
        on, tick = self.on[i], self.tick
        if tuplet is not None:
            ratio = tuplet.flat
            on, tick = on * ratio.actual, tick * ratio.normal
        lines = range(1, len(VALUE_NAMES))
        return next((n for n in lines if on * 2**n % (2 * tick) == 0), len(VALUE_NAMES))

    def _together(self, last: int, i: int) -> bool:
        """Whether a beam that has reached one sign may go on to a later one."""
        if abs(self.off[i - 1] - self.on[i]) > self.slack:
            return False
        if self.places[i] in self.syllables:
            return False
        if self.places[i] in self.joined:
            return True
        same_run = self.run[last] >= 0 and self.run[last] == self.run[i]
        return same_run or self.unit[last] == self.unit[i]

    def _units(self) -> list[int]:
        """The stretch each sign is beamed in, as a number: a unit of the bar, or
        (below zero) a part of one, or of a tuplet that passes the units."""
        bar, count = self.starts[-1], len(self.starts)
        units = [
            on // bar * count + bisect_right(self.starts, on % bar) for on in self.on
        ]
        part_of: dict[int, tuple[int, ...]] = {}
        if self.style.halves_apart:
            fine = {unit for unit, n in zip(units, self.flags, strict=True) if n > 2}
            for i, unit in enumerate(units):
                if unit in fine:
                    part_of[i] = (unit, 2 * self.on[i] // self.tick)
        if self.has_tuplets:
            part_of.update(self._tuplet_parts(units))
        numbers: dict[tuple[int, ...], int] = {}
        for i, part in part_of.items():
            units[i] = numbers.setdefault(part, -1 - len(numbers))
        return units

    def _tuplet_parts(self, units: list[int]) -> Iterator[tuple[int, tuple[int, ...]]]:
        """The signs of tuplets that pass the units or stand apart, and for each what
        it is beamed with."""
        for first, last, ratio in self._tuplets():
            members = range(first, last + 1)
            if units[first] == units[last]:
                if self.style.tuplets_apart:
                    yield from ((i, (first,)) for i in members)
                continue
            start = self.on[first]
            written = (self.off[last] - start) * ratio.actual // ratio.normal
            as_one = all(self.flags[i] for i in members) and (
                2 * written <= ratio.actual * self.tick
            )
            for i in members:
                offset = (self.on[i] - start) * ratio.actual // ratio.normal
                part = 0 if as_one else offset // self.tick
                yield i, (first, part, self.on[i] >= self.middle)

    def _tuplets(self) -> Iterator[tuple[int, int, Tuplet]]:
        """The first and last sign of each tuplet, as marked, or else up to where its
        length is plain again."""
        first, marked = -1, False
        for i, value in enumerate(self.values):
            ratio = value.tuplet
            if ratio is None:
                first = -1
                continue
            if first < 0 or ratio.starts:
                first, marked = i, ratio.starts
            length = self.off[i] - self.on[first]
            denominator = self.tick // gcd(length, self.tick)
            plain = not marked and denominator & (denominator - 1) == 0
            if ratio.ends or plain:
                yield first, i, ratio
                first = -1

    def _joined_runs(self) -> list[int]:
        """For each sign the number of the joined run it is in, or -1."""
        runs = [-1] * len(self.on)
        when, mixed = self.setting.when, self.style.mixed
        if when == "never" or not self.setting.joined:
            return runs
        busy = (
            set()
            if mixed
            else {
                unit
                for unit, count, value in zip(
                    self.unit, self.flags, self.values, strict=True
                )
                if count > 1 or (count and (value.dots or value.tuplet))
            }
        )
        free = [
            note and count > 0 and unit not in busy
            for note, count, unit in zip(
                self.is_note, self.flags, self.unit, strict=True
            )
        ]
        spans = _starts(self.setting.joined, self.tick)
        for number, run in enumerate(self._free_runs(free, spans)):
            for i in self._joined_part(run, spans, when):
                runs[i] = number
        return runs

    def _free_runs(self, free: list[bool], spans: list[int]) -> Iterator[range]:
        """Runs of free signs that touch, each inside one joined span."""
        first, span = -1, (-1, -1)
        for i, on in enumerate(self.on):
            bars, within = divmod(on, spans[-1])
            here = (bars, bisect_right(spans, within))
            goes_on = here == span and self.off[i - 1] == on
            if first >= 0 and not (free[i] and goes_on):
                yield range(first, i)
                first = -1
            if free[i] and first < 0:
                first, span = i, here
        if first >= 0:
            yield range(first, len(self.on))

    def _joined_part(self, run: range, spans: list[int], when: Joining) -> range:
        """The part of a run of touching eighths that takes one beam."""
        on = self.on[run.start]
        if when == "filled":
            bars, within = divmod(on, spans[-1])
            place = bisect_right(spans, within)
            end = bars * spans[-1] + spans[place]
            full = within == spans[place - 1] and self.off[run.stop - 1] == end
            return run if full else run[:0]
        if when == "beats":
            while run and not self._starts_unit(self.on[run.start]):
                run = run[1:]
            while run and not self._starts_unit(self.off[run.stop - 1]):
                run = run[:-1]
            return run
        if when == "runs":
            before = run.start - 1
            led = before < 0 or not self.is_note[before] or self.values[before].dots
            if not led and not self._starts_unit(on):
                run = run[1:]
            return run if len(run) >= 3 else run[:0]
        return run

    def _starts_unit(self, time: int) -> bool:
        return time % self.starts[-1] in self.starts


def _ticks(time: Fraction, tick: int) -> int:
    numerator, denominator = time.as_integer_ratio()
    return numerator * (tick // denominator)


def _starts(lengths: tuple[Fraction, ...], tick: int) -> list[int]:
    """Where stretches of these lengths start, in ticks, and where the last ends."""
    return [0, *accumulate(_ticks(length, tick) for length in lengths)]


def _lines(
    counts: Sequence[int],
    opens: Sequence[bool] = (),
    first_of_pair: Sequence[int] = (),
) -> Sequence[tuple[BeamMark, ...]]:
    """The beam marks of a group of notes with so many flags each.

    `opens` are the notes where inner lines break; `first_of_pair` tells for each
    note from which line on it is the first of a pair, so that a hook on it points
    at the next note.
    """
    last = len(counts) - 1
    inner = max(counts)
    if inner == 1:
        return (("begin",), *((("continue",),) * (last - 1)), ("end",))
    marks: list[list[BeamMark]] = [["continue"] for _ in counts]
    marks[0][0], marks[-1][0] = "begin", "end"
    for line in range(2, inner + 1):
        for i, count in enumerate(counts):
            if count < line:
                continue
            before = i > 0 and counts[i - 1] >= line and not (opens and opens[i])
            after = i < last and counts[i + 1] >= line
            after = after and not (opens and opens[i + 1])
            if before:
                marks[i].append("continue" if after else "end")
            elif after:
                marks[i].append("begin")
            else:
                ahead = i < last and (not first_of_pair or first_of_pair[i] <= line)
                marks[i].append("forward hook" if i == 0 or ahead else "backward hook")
    return [tuple(lines) for lines in marks]
