"""Metres: the bar's length, its beats, its half bar, its beat hierarchy.

Sources of the terms and of the usual groupings: *Open Music Theory* v2,
"Simple meter and time signatures" and "Compound meter and time signatures";
*Integrated Music Theory*, chapters 4 and 21 (asymmetric metres).  How a 5, 7 or
8 falls into groups where nothing says so is common practice, no source; give a
`grouping` to say otherwise.

Times are exact `Fraction` quarter notes; an onset counts from the start of
the bar.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate
from types import MappingProxyType
from typing import Final, Literal

from attrs import field, frozen

from .._arguments import check_type
from .._printed import Parsed, Told
from .._scan import Scanner
from ..errors import MeterError, MeterSyntaxError

__all__ = ("Division", "Meter", "MeterKind", "MetricSpan")

MeterKind = Literal["simple", "compound", "additive"]
"""Beats that halve, beats that fall into three, groups of unlike length."""

Division = Literal["halves", "beats", "groups", "thirds", ""]
"""What the parts of a span are: two halves (of a bar of four beats, of a half
bar, of a simple beat); the beats of a bar or group that has no half bar; the
groups of an additive bar; the thirds of a compound beat; ``""`` none named."""

USUAL_GROUPING: Final[Mapping[tuple[int, int], tuple[int, ...]]] = MappingProxyType(
    {
        (5, 4): (3, 2),
        (5, 8): (3, 2),
        (5, 16): (3, 2),
        (7, 4): (4, 3),
        (7, 8): (2, 2, 3),
        (7, 16): (2, 2, 3),
        (8, 4): (4, 4),
        (8, 8): (3, 3, 2),
        (10, 4): (3, 2, 3, 2),
        (10, 8): (3, 2, 3, 2),
        (11, 4): (4, 4, 3),
        (11, 8): (3, 3, 3, 2),
    }
)
"""How a bar falls into groups where the signature does not say (common
practice, no source, except 5 and 7, which *Integrated Music Theory* ch. 21
prints this way among others)."""


@frozen(order=False, repr=False)
class MetricSpan(Told):
    """A stretch of the bar that the ear takes as one: the bar, a half bar, a
    group, a beat.  `parts` are the next smaller ones, in order, and `division`
    says what they are.
    """

    onset: Fraction
    length: Fraction
    division: Division = ""
    parts: tuple[MetricSpan, ...] = ()

    @property
    def end(self) -> Fraction:
        """Where the span ends, in quarter notes from the start of the bar."""
        return self.onset + self.length

    def __str__(self) -> str:
        into = f", {len(self.parts)} {self.division or 'parts'}" if self.parts else ""
        return f"{self.onset} to {self.end}{into}"


@frozen(order=False, cache_hash=True, repr=False)
class Meter(Parsed):
    """A time signature.

    `beats` and `beat_type` are the printed numbers (6 and 8 for 6/8);
    `grouping` says how an additive metre falls into groups of the printed
    unit, such as ``(3, 2)`` for 5/4 as 3+2 and ``()`` for the usual way;
    `symbol` is how it is printed.  A composite metre, such as 3/8+3/4, has the printed
    lower number of each group as `beat_types`; `beats` and `grouping` count in the
    shortest.

    Raises:
        MeterError: the numbers make no metre: beats below 1 or above 999, a beat
            type that is no power of two up to 128, a grouping that does not add up
            to the beats, a C or cut C that stands for other numbers, lower numbers of
            groups that can't be theirs.

    >>> Meter(6, 8).bar_length
    Fraction(3, 1)
    >>> Meter(6, 8).kind
    'compound'
    """

    beats: int
    beat_type: int
    grouping: tuple[int, ...] = ()
    symbol: Literal["numbers", "common", "cut"] = field(default="numbers")
    beat_types: tuple[int, ...] = ()

    def __attrs_post_init__(self) -> None:
        for number in (self.beats, self.beat_type, *self.grouping):
            check_type("a number of a time signature", number, int, "a whole number")
        problem = ""
        if self.beats < 1:
            problem = f"{self.beats} beats in a bar: expected at least 1"
        elif self.beats > _MOST_BEATS:
            problem = f"{self.beats} beats in a bar: expected at most {_MOST_BEATS}"
        elif self.beat_type not in _BEAT_TYPES:
            problem = (
                f"a beat type of {self.beat_type}: "
                "expected 1, 2, 4, 8, 16, 32, 64 or 128"
            )
        elif self.grouping and (
            min(self.grouping) < 1 or sum(self.grouping) != self.beats
        ):
            groups = "+".join(map(str, self.grouping))
            problem = f"groups of {groups}: expected a sum of {self.beats}"
        elif self.symbol == "common" and (self.beats, self.beat_type) != (4, 4):
            problem = f"a C for {self.beats}/{self.beat_type}: it stands for 4/4"
        elif self.symbol == "cut" and (self.beats, self.beat_type) not in _CUT:
            problem = (
                f"a cut C for {self.beats}/{self.beat_type}: "
                "it stands for 2/2, 4/4 in two, or 4/2"
            )
        elif self.beat_types:
            problem = _composite_problem(self)
        if problem:
            raise MeterError(
                problem,
                beats=self.beats,
                beat_type=self.beat_type,
                grouping=self.grouping,
            )

    @classmethod
    def parse(cls, text: str, /) -> Meter:
        """The metre a text names: ``4/4``, ``3+2/4``, ``3/8+3/4``, ``C``, ``C|``.

        A sum of unlike numbers is a grouping; ``C`` and ``C|`` (as in ABC
        notation) are common and cut time.

        Raises:
            MeterSyntaxError: the text is no time signature.
            MeterError: it is one that cannot be, such as 4/5.

        >>> Meter.parse("2+2+3/8")
        Meter.parse('2+2+3/8')
        >>> Meter.parse("3/8+2/8+3/4").beat_spans[-1].length
        Fraction(1, 1)
        """
        if text == "C":
            return cls(4, 4, symbol="common")
        if text == "C|":
            return cls(2, 2, symbol="cut")
        scan = Scanner(text)
        parts: list[tuple[int, int]] = []
        waiting = [_number(scan)]
        while True:
            if scan.take("/"):
                unit = _number(scan)
                parts += [(count, unit) for count in waiting]
                waiting = []
                if scan.done:
                    return cls.of_parts(parts)
            if not scan.take("+"):
                break
            waiting.append(_number(scan))
        raise MeterSyntaxError(
            "not a time signature",
            text=text,
            start=scan.at,
            end=None if waiting else len(text),
            expected="'/'" if waiting else "the end",
        )

    @classmethod
    def of_parts(
        cls,
        parts: Sequence[tuple[int, int]],
        /,
        *,
        symbol: Literal["numbers", "common", "cut"] = "numbers",
    ) -> Meter:
        """The metre of some groups, each by its printed numbers: 3/8, 2/8, 3/4.

        Raises:
            MeterError: if they make no metre.

        >>> print(Meter.of_parts([(2, 4), (3, 8)]), Meter.of_parts([(3, 4), (2, 4)]))
        2/4+3/8 3+2/4
        """
        types = tuple(unit for _, unit in parts)
        for unit in types:
            if unit not in _BEAT_TYPES:
                cls(parts[0][0], unit)  # which tells what is wrong
        unit = max(types, default=0)
        groups = tuple(count * (unit // own) for count, own in parts)
        return cls(
            sum(groups),
            unit,
            groups if len(groups) > 1 else (),
            symbol,
            types if len(set(types)) > 1 else (),
        )

    def __str__(self) -> str:
        """The text that :meth:`parse` reads back."""
        if self.symbol == "common":
            return "C"
        if self.symbol == "cut" and (self.beats, self.beat_type) == (2, 2):
            return "C|"
        if self.beat_types:
            return "+".join(f"{count}/{unit}" for count, unit in self.parts)
        top = "+".join(map(str, self.grouping)) if self.grouping else str(self.beats)
        return f"{top}/{self.beat_type}"

    def __repr__(self) -> str:
        if self.beat_types:
            return super().__repr__()
        if len(self.grouping) != 1 and (self.symbol != "cut" or self.beats == 2):
            return super().__repr__()
        return (
            f"Meter({self.beats}, {self.beat_type}, {self.grouping}, "
            f"symbol={self.symbol!r})"
        )

    @property
    def parts(self) -> tuple[tuple[int, int], ...]:
        """The groups that are printed, each by its numbers.

        >>> Meter.parse("3/8+3/4").parts, Meter(6, 8).parts
        (((3, 8), (3, 4)), ((6, 8),))
        """
        types = self.beat_types or (self.beat_type,) * len(self.grouping)
        return tuple(
            (count * own // self.beat_type, own)
            for count, own in zip(self.grouping, types, strict=True)
        ) or ((self.beats, self.beat_type),)

    def is_like(self, other: Meter, /) -> bool:
        """Whether another is the same metre, be it printed with another sign.

        >>> Meter.parse("C").is_like(Meter(4, 4)), Meter(6, 8).is_like(Meter(3, 4))
        (True, False)
        """
        if self is other or self == other:
            return True
        return self.unit == other.unit and self.hierarchy == other.hierarchy

    @property
    def bar_length(self) -> Fraction:
        """The length of a full bar in quarter notes."""
        return _bar_length(self.beats, self.beat_type)

    @property
    def unit(self) -> Fraction:
        """The printed unit (the lower number) in quarter notes."""
        return Fraction(4, self.beat_type)

    @property
    def kind(self) -> MeterKind:
        """Whether the metre is simple, compound or additive."""
        groups = self.groups
        if len(set(groups)) > 1:
            return "additive"
        return "compound" if groups[0] == 3 and len(groups) > 1 else "simple"

    @property
    def groups(self) -> tuple[int, ...]:
        """The groups of printed units: as given, or the usual ones.

        >>> Meter(4, 4).groups, Meter(12, 8).groups, Meter(7, 8).groups
        ((2, 2), (3, 3, 3, 3), (2, 2, 3))
        >>> Meter(3, 4).groups
        (3,)
        """
        return self.grouping or _usual_grouping(self.beats, self.beat_type)

    @property
    def hierarchy(self) -> MetricSpan:
        """The bar as a tree: its half bars or groups, their beats, the divisions
        of each beat.

        >>> [half.onset for half in Meter(4, 4).hierarchy.parts]
        [Fraction(0, 1), Fraction(2, 1)]
        """
        return _hierarchy(self)

    @property
    def beat_spans(self) -> tuple[MetricSpan, ...]:
        """The beats as they are felt: four quarters in 4/4, two dotted quarters
        in 6/8, two halves in 2/2, 2+2+3 eighths in 7/8.

        >>> [str(beat.length) for beat in Meter(7, 8, (3, 2, 2)).beat_spans]
        ['3/2', '1', '1']
        """
        return _beat_spans(self)

    @property
    def beat_starts(self) -> tuple[Fraction, ...]:
        """Where the felt beats start, in quarter notes."""
        return tuple(beat.onset for beat in _beat_spans(self))

    @property
    def half_bar(self) -> Fraction | None:
        """Where the second half of the bar starts; None if it has no half.

        >>> Meter(12, 8).half_bar, Meter(3, 4).half_bar
        (Fraction(3, 1), None)
        """
        parts = _hierarchy(self).parts
        if len(parts) != 2 or not parts[0].parts or self.kind == "additive":
            return None
        return parts[1].onset

    def beat_at(self, onset: Fraction, /, *, start: Fraction = Fraction(0)) -> Fraction:
        """The place of an onset counted from 1 in the printed unit, in quarters where
        that is longer.

        `start` is where a pickup starts in the full bar
        (:meth:`pickup_start`).

        >>> Meter(4, 4).beat_at(Fraction(3, 2)), Meter(6, 8).beat_at(Fraction(3, 2))
        (Fraction(5, 2), Fraction(4, 1))
        """
        place = onset + start if start else onset
        if self.beat_type > 4:
            place *= self.beat_type // 4
        return place + 1

    def pickup_start(self, length: Fraction, /) -> Fraction:
        """Where a pickup of `length` quarter notes starts in the full bar, as its
        beats count from the end.

        >>> Meter(4, 4).pickup_start(Fraction(3, 2))
        Fraction(5, 2)
        """
        return max(self.bar_length - length, Fraction(0))


_MOST_BEATS: Final = 999
_BEAT_TYPES: Final = frozenset({1, 2, 4, 8, 16, 32, 64, 128})
_CUT: Final = frozenset({(2, 2), (4, 4), (4, 2)})


def _composite_problem(meter: Meter) -> str:
    """What is wrong with the lower numbers of a composite metre, if anything."""
    types, unit = meter.beat_types, meter.beat_type
    fit = len(types) == len(meter.grouping) and all(
        own in _BEAT_TYPES and own <= unit and not count * own % unit
        for own, count in zip(types, meter.grouping, strict=True)
    )
    if fit and unit in types and len(set(types)) > 1:
        return ""
    named = ", ".join(map(str, types))
    return f"lower numbers {named}: expected one for each group, the largest {unit}"


def _number(scan: Scanner) -> int:
    start = scan.at
    digits = scan.take_while("0123456789")
    if not digits or len(digits) > 3:
        raise MeterSyntaxError(
            "not a time signature",
            text=scan.text,
            start=start,
            end=scan.at,
            expected="a number such as 4",
        )
    return int(digits)


def _usual_grouping(beats: int, beat_type: int) -> tuple[int, ...]:
    if (beats, beat_type) in USUAL_GROUPING:
        return USUAL_GROUPING[beats, beat_type]
    if beats <= 3:
        return (beats,)
    if beats == 4:
        return (2, 2)
    threes, left = divmod(beats, 3)
    if left == 0:
        return (3,) * threes
    return (3,) * threes + (2,) if left == 2 else (3,) * (threes - 1) + (2, 2)


@lru_cache(maxsize=256)
def _hierarchy(meter: Meter) -> MetricSpan:
    unit = meter.unit
    groups = meter.groups
    if meter.symbol == "cut" and meter.beat_type == 4:
        return _beats(Fraction(0), meter.beats // 2, 2 * unit)
    if len(groups) == 1 or groups == (2, 2):
        return _beats(Fraction(0), meter.beats, unit)
    of_three = unit <= Fraction(1, 2) or set(groups) == {3}
    starts = (unit * at for at in accumulate(groups, initial=0))
    types = meter.beat_types or (meter.beat_type,) * len(groups)
    parts = tuple(
        _felt_group(start, size, unit, one_beat=of_three)
        if own == meter.beat_type
        else _beats(start, size * own // meter.beat_type, Fraction(4, own))
        for start, size, own in zip(starts, groups, types, strict=False)
    )
    if groups == (3, 3, 3, 3):
        halves = tuple(
            MetricSpan(two[0].onset, 2 * two[0].length, "beats", two)
            for two in (parts[:2], parts[2:])
        )
        return MetricSpan(Fraction(0), meter.bar_length, "beats", halves)
    return MetricSpan(
        Fraction(0),
        meter.bar_length,
        "beats" if meter.kind == "compound" else "groups",
        parts,
    )


def _felt_group(
    start: Fraction, size: int, unit: Fraction, *, one_beat: bool
) -> MetricSpan:
    """A group of an additive or compound bar: one beat of two or three units, or
    a stretch of beats."""
    if one_beat and size == 3:
        thirds = tuple(MetricSpan(start + unit * i, unit) for i in range(3))
        return MetricSpan(start, 3 * unit, "thirds", thirds)
    if one_beat and size == 2:
        return _simple_beat(start, 2 * unit)
    return _beats(start, size, unit)


def _beats(start: Fraction, size: int, unit: Fraction) -> MetricSpan:
    """So many simple beats: in halves where there are four, else side by side."""
    if size == 1:
        return _simple_beat(start, unit)
    if size == 3 and unit < 1:
        return _felt_group(start, size, unit, one_beat=True)
    if size == 4:
        halves = (_half_bar(start, unit), _half_bar(start + 2 * unit, unit))
        return MetricSpan(start, 4 * unit, "halves", halves)
    beats = tuple(_simple_beat(start + unit * i, unit) for i in range(size))
    in_two = size == 2 and unit >= 2
    return MetricSpan(start, size * unit, "halves" if in_two else "beats", beats)


def _half_bar(start: Fraction, unit: Fraction) -> MetricSpan:
    beats = (_simple_beat(start, unit), _simple_beat(start + unit, unit))
    return MetricSpan(start, 2 * unit, "halves", beats)


def _simple_beat(start: Fraction, length: Fraction) -> MetricSpan:
    half = length / 2
    return MetricSpan(
        start,
        length,
        "halves",
        (MetricSpan(start, half), MetricSpan(start + half, half)),
    )


@lru_cache(maxsize=256)
def _bar_length(beats: int, beat_type: int) -> Fraction:
    return Fraction(4 * beats, beat_type)


@lru_cache(maxsize=256)
def _beat_spans(meter: Meter) -> tuple[MetricSpan, ...]:
    found: list[MetricSpan] = []
    waiting = [_hierarchy(meter)]
    while waiting:
        span = waiting.pop()
        if any(part.parts for part in span.parts):
            waiting.extend(reversed(span.parts))
        else:
            found.append(span)
    return tuple(found)
