"""Written durations: note values, dots, tuplets.

Units: quarter notes, as exact `Fraction`.  The names of the values are those
of MusicXML 4.0 (``note-type-value``).
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from fractions import Fraction
from functools import lru_cache
from math import lcm
from typing import Final, Literal, get_args

from attrs import frozen

from .._arguments import check_choice, check_type
from .._doors import door
from ..errors import NoteValueError, RhythmError
from .meter import Division, Meter, MetricSpan

__all__ = (
    "TREMOLO",
    "VALUE_NAMES",
    "EventKind",
    "NoteValue",
    "RhythmEvent",
    "Tuplet",
    "ValueName",
    "lay_out",
    "single_value",
    "spell_duration",
    "total_duration",
)

ValueName = Literal[
    "maxima", "long", "breve", "whole", "half", "quarter", "eighth",
    "16th", "32nd", "64th", "128th", "256th", "512th", "1024th",
]  # fmt: skip
"""The written values, as MusicXML 4.0 names them."""

VALUE_NAMES: Final[tuple[ValueName, ...]] = get_args(ValueName)
"""All of them, the longest first."""

_QUARTERS: Final[dict[ValueName, Fraction]] = {
    name: Fraction(32) / 2**place for place, name in enumerate(VALUE_NAMES)
}


_FLAGS: Final[dict[ValueName, int]] = {
    name: max(0, place - VALUE_NAMES.index("quarter"))
    for place, name in enumerate(VALUE_NAMES)
}


@frozen(order=False, cache_hash=True, repr=False)
class Tuplet:
    """So many notes in the time of so many: a triplet is ``Tuplet(3, 2)``.

    `starts` and `ends` mark the first and the last note of the group, `inner` is the
    group within it that the note belongs to as well.

    >>> NoteValue("16th", tuplet=Tuplet(3, 2, inner=Tuplet(5, 4))).duration
    Fraction(2, 15)
    """

    actual: int
    normal: int
    starts: bool = False
    ends: bool = False
    inner: Tuplet | None = None

    def __attrs_post_init__(self) -> None:
        for number in (self.actual, self.normal):
            check_type("a number of a tuplet", number, int, "a whole number")
        if self.actual < 1 or self.normal < 1:
            raise NoteValueError(
                f"{self.actual} notes in the time of {self.normal}: expected 1 or more"
            )

    def __repr__(self) -> str:
        marks = "".join(
            f", {mark}=True" for mark in ("starts", "ends") if getattr(self, mark)
        )
        if self.inner is not None:
            marks += f", inner={self.inner!r}"
        return f"Tuplet({self.actual}, {self.normal}{marks})"

    @property
    def flat(self) -> Tuplet:
        """The ratio that holds for the note itself, an inner group reckoned in, without
        marks.

        >>> Tuplet(3, 2, inner=Tuplet(3, 2, starts=True)).flat
        Tuplet(9, 4)
        """
        if self.inner is None:
            return Tuplet(self.actual, self.normal)
        inner = self.inner.flat
        return Tuplet(self.actual * inner.actual, self.normal * inner.normal)


@frozen(order=False, cache_hash=True, repr=False)
class NoteValue:
    """A written note or rest value: its name, dots and tuplet.

    >>> NoteValue("quarter", dots=1).duration
    Fraction(3, 2)
    >>> NoteValue("eighth", tuplet=Tuplet(3, 2)).duration
    Fraction(1, 3)
    """

    name: ValueName
    dots: int = 0
    tuplet: Tuplet | None = None

    def __attrs_post_init__(self) -> None:
        check_choice("the name of a note value", self.name, VALUE_NAMES)
        check_type("dots", self.dots, int, "a whole number")
        check_type("tuplet", self.tuplet, Tuplet | None, "a Tuplet or None")
        if self.dots < 0:
            raise NoteValueError(f"{self.dots} dots: expected 0 or more")

    def __repr__(self) -> str:
        dots = f", dots={self.dots}" if self.dots else ""
        tuplet = f", tuplet={self.tuplet}" if self.tuplet is not None else ""
        return f"NoteValue({self.name!r}{dots}{tuplet})"

    @property
    def duration(self) -> Fraction:
        """The duration in quarter notes."""
        return _duration(self)

    @property
    def flags(self) -> int:
        """How many flags or beam lines it takes: 1 for an eighth, 0 from a quarter.

        >>> NoteValue("16th").flags
        2
        """
        return _FLAGS[self.name]


@lru_cache(maxsize=1024)
def _duration(value: NoteValue) -> Fraction:
    plain = _QUARTERS[value.name] * (2 - Fraction(1, 2**value.dots))
    if value.tuplet is None:
        return plain
    ratio = value.tuplet.flat
    return plain * ratio.normal / ratio.actual


TREMOLO: Final = Tuplet(2, 1)
"""The ratio of two notes that alternate in a tremolo: each is written with the value of
both (MusicXML 4.0, ``tremolo``).  It is no group with a bracket."""


EventKind = Literal["note", "rest", "grace"]
"""What stands at a place in the bar."""


@frozen(order=False, cache_hash=True)
class RhythmEvent:
    """A written note or rest at its place, without its pitch.

    `onset` counts in quarter notes from the start of the bar; a grace note has
    the onset of the note it leads to and takes no time.
    """

    onset: Fraction
    value: NoteValue
    kind: EventKind = "note"
    tied_to_next: bool = False

    @property
    def duration(self) -> Fraction:
        """The time it takes, in quarter notes."""
        return Fraction(0) if self.kind == "grace" else self.value.duration


@door
def lay_out(
    values: Iterable[NoteValue], /, *, rests: Collection[int] = ()
) -> tuple[RhythmEvent, ...]:
    """Written values one after the other from the start of the bar; `rests` are
    the places, from 0, of those that are rests.

    >>> eighth = NoteValue("eighth")
    >>> [str(event.onset) for event in lay_out([eighth, NoteValue("quarter"), eighth])]
    ['0', '1/2', '3/2']
    """
    onset = Fraction(0)
    events: list[RhythmEvent] = []
    for place, value in enumerate(values):
        events.append(RhythmEvent(onset, value, "rest" if place in rests else "note"))
        onset += value.duration
    return tuple(events)


@door
def total_duration(values: Iterable[NoteValue], /) -> Fraction:
    """What written values last when tied or side by side, in quarter notes.

    The inverse of :func:`spell_duration`.

    >>> total_duration([NoteValue("half"), NoteValue("eighth")])
    Fraction(5, 2)
    """
    return sum((value.duration for value in values), Fraction(0))


def single_value(
    duration: Fraction, /, *, tuplet: Tuplet | None = None, dots: int = 1
) -> NoteValue | None:
    """The one value, of at most so many `dots`, that lasts `duration` quarter notes
    inside a tuplet; None if there is none.

    >>> single_value(Fraction(3, 2))
    NoteValue('quarter', dots=1)
    >>> single_value(Fraction(5, 4)) is None
    True
    """
    written = duration
    if tuplet is not None:
        ratio = tuplet.flat
        written = duration * ratio.actual / ratio.normal
    found = _PLAIN.get(written)
    if found is None or found[1] > dots:
        return None
    return NoteValue(found[0], found[1], tuplet)


_PLAIN: Final[dict[Fraction, tuple[ValueName, int]]] = {
    length * (2 - Fraction(1, 2**dots)): (name, dots)
    for name, length in _QUARTERS.items()
    for dots in range(4)
}


@door
def spell_duration(
    onset: Fraction,
    duration: Fraction,
    meter: Meter,
    /,
    *,
    rest: bool = False,
    start: Fraction = Fraction(0),
) -> tuple[NoteValue, ...]:
    """The values, to be tied, that a handbook prints for a note; or its rests.

    `onset` and `duration` are quarter notes; `onset` counts from the start of
    the bar, and `start` is where a pickup starts in the full bar.  A note that
    passes the barline is split there.  What may stay unsplit:

    * a value that starts and ends on beats may hide the middle of 4/4 (the
      half on beat 2, the dotted half on 1 or 2), or a beat of 3/4;
    * inside a half bar, a value that starts and ends on half beats may hide a
      beat (eighth-quarter-eighth; the dotted quarter); in 2/4 and 3/4 only
      the quarter on the "and" of 1;
    * inside a beat, the same with quarters of the beat;
    * in compound metres whole beats join, up to the half bar; inside a beat
      anything;
    * nothing passes the groups of an additive metre, but a whole bar.

    A rest hides nothing: it fills a half bar, a beat or a half of one (in a
    compound beat also its first two thirds); a silent bar is one whole rest in
    every metre (a breve rest where the bar holds two whole notes).

    Sources: Berklee Online, *Imaginary Barlines*; S. McCormick, *Beyond the Imaginary
    Bar Line* (Berklee Today 2008); R. Hutchinson, *Music Theory for the 21st-Century
    Classroom* 4.6; C. A. Harris, *How to Write Music* (1917) p. 17; Open
    University, *An introduction to music theory* 3.9 and 4.2.

    Raises:
        RhythmError: the times are not exact, the duration is not above zero or
            above 1,000 bars, the onset is below zero, or no values down to the 1024th
            and no tuplet up to 15 show it.

    >>> common = Meter(4, 4)
    >>> [v.name for v in spell_duration(Fraction(3, 2), Fraction(1), common)]
    ['eighth', 'eighth']
    >>> [v.name for v in spell_duration(Fraction(1), Fraction(2), common, rest=True)]
    ['quarter', 'quarter']
    """
    check_exact(onset, duration)
    if duration <= 0 or onset < 0:
        raise RhythmError(
            "no such place in a bar: expected an onset from 0 and a duration above 0",
            onset,
            duration,
        )
    if duration > MOST_BARS * meter.bar_length:
        raise RhythmError(
            f"too long for one note: expected at most {MOST_BARS} bars",
            onset,
            duration,
        )
    check_fineness(onset + start, duration)
    return _spell(onset + start, duration, meter, rest)


@lru_cache(maxsize=8192)
def _spell(
    onset: Fraction, duration: Fraction, meter: Meter, rest: bool
) -> tuple[NoteValue, ...]:
    bar = meter.hierarchy
    at = onset % bar.length
    end = at + duration
    values: list[NoteValue] = []
    while end > 0:
        stop = min(end, bar.length)
        if rest and at == 0 and stop == bar.length:
            values.append(NoteValue("breve" if bar.length >= 8 else "whole"))
        else:
            spell = spell_rest if rest else spell_note
            values += spell(at, stop, bar)
        at, end = Fraction(0), end - bar.length
    return tuple(values)


def spell_note(at: Fraction, stop: Fraction, bar: MetricSpan) -> list[NoteValue]:
    """The tied values of a note within one bar."""
    in_tuplet = _in_smallest_tuplet(at, stop, bar, rest=False)
    if in_tuplet:
        return in_tuplet
    span = smallest_span(at, stop, bar)
    value = single_value(stop - at)
    if value is not None and may_stay(at, stop, span):
        return [value]
    cuts = [p.onset for p in parts_of(span)[1:] if at < p.onset < stop]
    for cut in reversed(cuts):
        if single_value(cut - at) and may_stay(at, cut, smallest_span(at, cut, bar)):
            break
    else:
        cut = cuts[0]
    return spell_note(at, cut, bar) + spell_note(cut, stop, bar)


def spell_rest(at: Fraction, stop: Fraction, bar: MetricSpan) -> list[NoteValue]:
    """The rests of a silence within one bar."""
    in_tuplet = _in_smallest_tuplet(at, stop, bar, rest=True)
    if in_tuplet:
        return in_tuplet
    span = smallest_span(at, stop, bar)
    value = single_value(stop - at)
    if value is not None and rest_may_stay(at, stop, span):
        return [value]
    cut = next(p.onset for p in parts_of(span)[1:] if at < p.onset < stop)
    return spell_rest(at, cut, bar) + spell_rest(cut, stop, bar)


def smallest_span(at: Fraction, stop: Fraction, span: MetricSpan) -> MetricSpan:
    """The smallest span of the hierarchy that holds the whole note."""
    return _spans_down_to(at, stop, span)[-1]


def _spans_down_to(at: Fraction, stop: Fraction, span: MetricSpan) -> list[MetricSpan]:
    """The spans that hold the whole note, from the largest to the smallest."""
    spans = [span]
    while True:
        for part in parts_of(spans[-1]):
            if part.onset <= at and stop <= part.end:
                spans.append(part)
                break
        else:
            return spans


def parts_of(span: MetricSpan) -> tuple[MetricSpan, ...]:
    """The parts of a span; below the beat's divisions always two halves."""
    if span.parts:
        return span.parts
    half = span.length / 2
    return (MetricSpan(span.onset, half), MetricSpan(span.onset + half, half))


def may_stay(at: Fraction, stop: Fraction, span: MetricSpan) -> bool:
    """Whether a single value that passes boundaries of `span` may stay unsplit."""
    if at == span.onset and stop == span.end:
        return True
    parts = parts_of(span)
    part = parts[0].length
    division = span.division
    if division == "groups":
        return False
    if division == "beats" and parts[0].division in ("thirds", "beats"):
        whole = {part.onset for part in parts} | {span.end}
        return at in whole and stop in whole
    from_start = at - span.onset
    on_part, on_half = from_start % part == 0, from_start % (part / 2) == 0
    ends_on_half = (stop - span.onset) % (part / 2) == 0
    if division in ("halves", ""):
        return on_half and ends_on_half
    if on_part:
        return ends_on_half
    if division == "thirds":
        crossed = sum(at < third.onset < stop for third in parts)
        return on_half and ends_on_half and crossed == 1
    return from_start == part / 2 and stop - at == part


def rest_may_stay(at: Fraction, stop: Fraction, span: MetricSpan) -> bool:
    """Whether a single rest, in `span` as the smallest that holds it, may stay."""
    if at != span.onset:
        return False
    if span.division == "thirds":
        return stop == span.end or (stop - at) * 3 == span.length * 2
    if stop != span.end:
        return False
    if span.parts and span.parts[0].division == "thirds":
        return len(span.parts) == 2
    return span.division != "beats" or len(span.parts) == 2


def _in_smallest_tuplet(
    at: Fraction, stop: Fraction, bar: MetricSpan, *, rest: bool
) -> list[NoteValue]:
    """The values of a note in the tuplet that shows it with the fewest, the smallest
    of equals; none if it needs no tuplet or must first be split."""
    odd = odd_part(lcm(at.denominator, stop.denominator))
    if odd == 1:
        return []
    spans = _spans_down_to(at, stop, bar)
    found: list[NoteValue] = []
    for span in reversed(spans):
        if span is not spans[-1] and any(part.parts for part in span.parts):
            break
        ratio = _tuplet_ratio(at, stop, span, odd)
        if ratio is not None:
            values = spell_in_tuplet(at, stop, span, ratio, rest=rest)
            if not found or len(values) < len(found):
                found = values
    return found


def _tuplet_ratio(
    at: Fraction, stop: Fraction, span: MetricSpan, odd: int
) -> Tuplet | None:
    """The tuplet of so many notes that fills `span`, if a note's ends lie on it."""
    first = (at - span.onset) / span.length * odd
    last = (stop - span.onset) / span.length * odd
    if any(part.parts for part in span.parts):
        both_inside = odd_part(at.denominator) > 1 < odd_part(stop.denominator)
        fits = both_inside and first.denominator == last.denominator == 1
    else:
        fits = odd_part(lcm(first.denominator, last.denominator)) == 1
    if not fits:
        return None
    return tuplet_on(odd, span)


def tuplet_on(odd: int, span: MetricSpan) -> Tuplet | None:
    """The tuplet of so many notes that fills a span: against two, four or eight, in
    a span of three units against three or six; None for a span of other lengths,
    such as a bar of 9/8, which no such tuplet fills."""
    normal = odd_part(span.length.numerator)
    if normal not in (1, 3) or odd <= normal:
        return None
    while normal * 2 < odd:
        normal *= 2
    return Tuplet(odd, normal)


def odd_part(number: int) -> int:
    """What is left of a number when it has been halved as often as can be."""
    return number // (number & -number)


MOST_BARS: Final = 1000
_FINEST_TUPLET: Final = 15
_FINEST_DIVISION: Final = 256


def check_exact(onset: Fraction, duration: Fraction) -> None:
    """Raise a RhythmError for times that are no fractions, such as floats."""
    times: tuple[object, object] = onset, duration
    if not all(isinstance(time, Fraction | int) for time in times):
        raise RhythmError(
            "times that are not exact: expected a Fraction or an int", onset, duration
        )


def check_fineness(onset: Fraction, duration: Fraction) -> None:
    """Raise a RhythmError where no written values show these times."""
    fine = lcm(onset.denominator, duration.denominator)
    odd = odd_part(fine)
    division = fine if odd == 1 else 8 * fine // odd
    if odd > _FINEST_TUPLET or division > _FINEST_DIVISION:
        raise RhythmError(
            "too fine for written values: expected multiples of a 1024th, "
            "or of a tuplet of up to 15",
            onset,
            duration,
        )


def spell_in_tuplet(
    at: Fraction, stop: Fraction, span: MetricSpan, ratio: Tuplet, *, rest: bool
) -> list[NoteValue]:
    """The values of a note, or the rests of a silence, on the grid of a tuplet that
    fills `span`."""
    scale = Fraction(ratio.actual, ratio.normal)
    unit = span.length * scale / ratio.actual
    zero = Fraction(0)
    parts = tuple(MetricSpan(unit * i, unit) for i in range(ratio.actual))
    division: Division = "thirds" if ratio.actual == 3 else "beats"
    inner = MetricSpan(zero, unit * ratio.actual, division, parts)
    spell = spell_rest if rest else spell_note
    values = spell((at - span.onset) * scale, (stop - span.onset) * scale, inner)
    return [NoteValue(value.name, value.dots, ratio) for value in values]
