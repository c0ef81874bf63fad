"""Like places: bars that stand in the same surroundings as another one.

A difference between two like places is the best sign of a slip, better than any rule
of harmony (common practice, no source).  Two bars are twins if the bars around them
are the same, note for note and chord for chord, so that the one may be expected to be
like the other.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final, Literal

from attrs import frozen

from ..leadsheet.model import Bar, Note, PlacedChord
from ._view import View

__all__ = ("Difference", "Likeness", "likeness_of")

_REACH: Final = 4
"""As many bars to each side are looked at."""
_SUPPORT: Final = 3
"""So many of them must be the same."""

_Line = tuple[tuple[Fraction, Fraction, int], ...]


@frozen(order=False, kw_only=True)
class Difference:
    """Two twins that differ in one note or one chord: their bars' indices, which note
    (or chord) of the bar it is, and how many bars around them are the same."""

    bar: int
    other: int
    what: Literal["note", "chord"]
    place: int
    support: int


@frozen(order=False, kw_only=True, eq=False)
class Likeness:
    """Which bars are alike: `twins` has the differences by bar (each is told from both
    sides), `same` the indices of the bars that are the same as a bar, melody and
    chords, in the same surroundings or not."""

    twins: dict[int, tuple[Difference, ...]]
    same: dict[int, tuple[int, ...]]


def likeness_of(view: View) -> Likeness:
    """Compare each bar with all others."""
    bars = view.bars
    lines = [_line(bar) for bar in bars]
    chords = [_chords(bar) for bar in bars]
    names: dict[object, int] = {}
    whole = [
        names.setdefault(pair, len(names)) for pair in zip(lines, chords, strict=True)
    ]
    rich = [sum(midi >= 0 for *_, midi in line) > 1 for line in lines]
    same: dict[int, list[int]] = {}
    by_name: dict[int, list[int]] = {}
    for index, name in enumerate(whole):
        by_name.setdefault(name, []).append(index)
    for alike in by_name.values():
        if len(alike) > 1:
            for index in alike:
                same[index] = [other for other in alike if other != index]
    twins: dict[int, list[Difference]] = {}
    for distance in _distances(whole):
        for difference in _along(bars, distance, whole, rich, lines, chords):
            twins.setdefault(difference.bar, []).append(difference)
    return Likeness(
        twins={bar: tuple(found) for bar, found in twins.items()},
        same={bar: tuple(others) for bar, others in same.items()},
    )


def _distances(whole: Sequence[int]) -> list[int]:
    """How far apart the tune is like itself in some bars."""
    places: dict[int, list[int]] = {}
    for index, name in enumerate(whole):
        places.setdefault(name, []).append(index)
    counts: dict[int, int] = {}
    for alike in places.values():
        for later in range(len(alike)):
            for earlier in range(later):
                distance = alike[later] - alike[earlier]
                counts[distance] = counts.get(distance, 0) + 1
    return [distance for distance, count in counts.items() if count >= _SUPPORT]


def _along(
    bars: Sequence[Bar],
    distance: int,
    whole: Sequence[int],
    rich: Sequence[bool],
    lines: Sequence[_Line],
    chords: Sequence[tuple[PlacedChord, ...]],
) -> Iterator[Difference]:
    """The twins at one distance, each told from both sides."""
    last = len(bars) - distance
    equal = [whole[index] == whole[index + distance] for index in range(last)]
    for index in range(last):
        if equal[index]:
            continue
        support = _support(equal, rich, index)
        if support < _SUPPORT:
            continue
        other = index + distance
        found = _one_note(lines[index], lines[other])
        if found is not None and chords[index] == chords[other]:
            what: Literal["note", "chord"] = "note"
        elif lines[index] == lines[other]:
            what = "chord"
            found = _one_chord(chords[index], chords[other])
        else:
            continue
        if found is not None:
            for bar, twin in ((index, other), (other, index)):
                yield Difference(
                    bar=bar, other=twin, what=what, place=found, support=support
                )


def _support(equal: Sequence[bool], rich: Sequence[bool], index: int) -> int:
    """How many bars next to this one are the same in both places; 0 where they stand
    on one side only, unless they are many."""
    left = right = 0
    while left < _REACH and index - left > 0 and equal[index - left - 1]:
        left += 1
    while (
        right < _REACH and index + right + 1 < len(equal) and equal[index + right + 1]
    ):
        right += 1
    telling = sum(rich[index - left : index]) + sum(rich[index + 1 : index + right + 1])
    if telling < 2 or not right or (not left and right < _REACH):
        return 0
    return left + right


def _line(bar: Bar) -> _Line:
    return tuple(
        (
            event.onset,
            event.duration,
            event.pitch.midi if isinstance(event, Note) else -1,
        )
        for event in bar.melody
        if event.duration
    )


def _chords(bar: Bar) -> tuple[PlacedChord, ...]:
    return bar.chords


def _one_note(line: _Line, other: _Line) -> int | None:
    """The place of the only note in which two bars of one rhythm differ."""
    if len(line) != len(other):
        return None
    found: int | None = None
    for place, (here, there) in enumerate(zip(line, other, strict=True)):
        if here == there:
            continue
        if found is not None or here[:2] != there[:2] or min(here[2], there[2]) < 0:
            return None
        found = place
    return found


def _one_chord(
    chords: tuple[PlacedChord, ...], other: tuple[PlacedChord, ...]
) -> int | None:
    """The place of the only chord in which two bars differ."""
    if len(chords) != len(other):
        return None
    found: int | None = None
    for place, (here, there) in enumerate(zip(chords, other, strict=True)):
        if here == there:
            continue
        if found is not None or here.onset != there.onset:
            return None
        found = place
    return found
