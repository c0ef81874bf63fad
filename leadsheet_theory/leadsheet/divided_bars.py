"""Bars that a file divides in two, and pickups that it writes as full bars.

A bar with a sign in its middle, or one that ends a line of a hymn or a verse, is often
written as two measures that make one up between them.  Where no sign of form stands
there it is one bar; where one does, both parts of the bar have one number.  A first bar
whose music only starts in its second half is a pickup after rests.  (Common practice,
no source.)
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import accumulate
from typing import TypeVar

from attrs import evolve

from .model import Bar, Direction, Hit, Note, PlacedChord, Rest
from .slash_time import joined_slashes

__all__ = (
    "join_divided_bars",
    "measures_of_a_bar",
    "numbered_through",
    "numbers_through",
    "parts_at_a_sign",
    "shorten_pickup",
)

_Placed = TypeVar("_Placed", Direction, Hit, PlacedChord)
_START = Fraction(0)


def join_divided_bars(bars: Sequence[Bar], /) -> tuple[Bar, ...]:
    """The bars with those that make up one between them joined, and numbered anew.

    Where a sign of form stands between them, or the key changes, they stay apart, as
    parts of one bar with one number (``Bar.divided_at``).

    >>> from leadsheet_theory.key import Key
    >>> from leadsheet_theory.leadsheet import FormSigns
    >>> from leadsheet_theory.rhythm import Meter
    >>> def bar(number, length, **form):
    ...     rest = Rest(Fraction(0), Fraction(length), whole_bar=True)
    ...     return Bar(number=number, key=Key.parse("C"), meter=Meter(4, 4),
    ...                length=Fraction(length), melody=(rest,), form=FormSigns(**form))
    >>> tune = join_divided_bars([bar(1, 4), bar(2, 1), bar(3, 3), bar(4, 4)])
    >>> [(each.number, str(each.length)) for each in tune]
    [(1, '4'), (2, '4'), (3, '4')]
    >>> tune = join_divided_bars([bar(1, 4), bar(2, 3, repeat_end=2), bar(3, 1)])
    >>> [(each.number, str(each.length)) for each in tune]
    [(1, '4'), (2, '3'), (2, '1')]
    """
    lengths = [bar.length for bar in bars]
    full = [bar.meter.bar_length for bar in bars]
    joined: list[Bar] = []
    number = bars[0].number if bars else 1
    index = 0
    while index < len(bars):
        count = 1
        if not (lengths[index] is full[index] or bars[index].is_pickup):
            count = measures_of_a_bar(lengths, full, index)
        found = [bars[index]]
        for part in bars[index + 1 : index + count]:
            if not _are_parts(found[-1], part):
                count = 1
                found = [bars[index]]
                break
            if _are_joined(found[-1], part):
                found[-1] = _joined(found[-1], part)
            else:
                found.append(part)
        joined += _parts_of(number, found)
        number += 1
        index += count
    return tuple(joined)


def measures_of_a_bar(
    lengths: Sequence[int | Fraction], full: Sequence[int | Fraction], index: int, /
) -> int:
    """How many measures make up one bar between them from one on: 2 or 3, or 1 for a
    measure that is a bar by itself; `full` holds what each has by its metre.

    >>> measures_of_a_bar([4, 3, 1, 4], [4, 4, 4, 4], 1)
    2
    """
    so_far = lengths[index]
    for count in (2, 3):
        after = index + count - 1
        if so_far >= full[index] or after >= len(lengths):
            return 1
        so_far += lengths[after]
        if so_far == full[index] == full[after] and lengths[after]:
            return count
    return 1


def _are_parts(bar: Bar, following: Bar) -> bool:
    """Whether two measures may be parts of one bar: not one in each of two endings."""
    one, other = bar.form.ending, following.form.ending
    return bar.meter == following.meter and (not one or not other or one == other)


def parts_at_a_sign(bar: Bar, following: Bar, /) -> bool:
    """Whether a sign of form stands between two measures."""
    return (
        bar.form.ends
        or following.form.begins
        or bar.form.ending != following.form.ending
    )


def _are_joined(bar: Bar, following: Bar) -> bool:
    return bar.key == following.key and not parts_at_a_sign(bar, following)


def _parts_of(number: int, found: Sequence[Bar]) -> Iterator[Bar]:
    """The parts of one bar, with its number and their places in it."""
    if len(found) == 1 and found[0].number == number and not found[0].divided_at:
        yield found[0]
        return
    starts = accumulate([part.length for part in found[:-1]], initial=_START)
    for part, at in zip(found, starts, strict=True):
        if part.number != number or part.divided_at != at:
            part = evolve(part, number=number, divided_at=at)
        yield part


def numbers_through(bars: Iterable[Bar], /, *, first: int = 1) -> list[int]:
    """The numbers of bars counted from the first: a pickup is 0, and the second part of
    a divided bar has the number of the first if it stands after it."""
    numbers: list[int] = []
    number = first - 1
    before: Bar | None = None
    for bar in bars:
        goes_on = (
            bar.divided_at
            and before is not None
            and bar.divided_at == before.divided_at + before.length
        )
        number += not bar.is_pickup and not goes_on
        numbers.append(0 if bar.is_pickup else number)
        before = bar
    return numbers


def numbered_through(bars: Sequence[Bar], /, *, first: int = 1) -> tuple[Bar, ...]:
    """The bars with the numbers of :func:`numbers_through`."""
    numbers = numbers_through(bars, first=first)
    return tuple(
        [
            bar if bar.number == number else evolve(bar, number=number)
            for bar, number in zip(bars, numbers, strict=True)
        ]
    )


def _joined(bar: Bar, rest: Bar) -> Bar:
    by = bar.length
    length = by + rest.length
    return evolve(
        bar,
        length=length,
        melody=_line(bar.melody, rest.melody, by, length),
        counterline=_line(
            bar.counterline or _silence(bar), rest.counterline or _silence(rest), by,
            length,
        )
        if bar.counterline or rest.counterline
        else (),
        bass_line=_line(
            bar.bass_line or _silence(bar), rest.bass_line or _silence(rest), by, length
        )
        if bar.bass_line or rest.bass_line
        else (),
        chords=(*bar.chords, *_moved(rest.chords, by)),
        alternate_chords=(*bar.alternate_chords, *_moved(rest.alternate_chords, by)),
        hits=(*bar.hits, *_moved(rest.hits, by)),
        directions=(*bar.directions, *_moved(rest.directions, by)),
        form=bar.form.joined(rest.form),
    )  # fmt: skip


def _silence(bar: Bar) -> tuple[Note | Rest, ...]:
    return (Rest(_START, bar.length, whole_bar=True),)


def _line(
    first: Sequence[Note | Rest],
    second: Sequence[Note | Rest],
    by: Fraction,
    length: Fraction,
) -> tuple[Note | Rest, ...]:
    """Two lines one after the other; two bars of rest are one."""
    events = [*first, *[evolve(each, onset=each.onset + by) for each in second]]
    if all(isinstance(each, Rest) and not each.slashes for each in events):
        return (Rest(_START, length, whole_bar=True),)
    return joined_slashes(
        [
            evolve(each, whole_bar=False)
            if isinstance(each, Rest) and each.whole_bar
            else each
            for each in events
        ]
    )


def _moved(placed: Iterable[_Placed], by: Fraction) -> list[_Placed]:
    """Things at a later place, or at an earlier one, but not before the start."""
    return [evolve(each, onset=max(_START, each.onset + by)) for each in placed]


def shorten_pickup(bars: Sequence[Bar], /) -> tuple[Bar, ...]:
    """The bars with a first bar that holds only a pickup after rests shortened to the
    pickup, bar 0, and the others numbered from 1.

    Its music starts in its second half, with neither chord symbol nor hit before it.
    """
    if len(bars) < 2 or bars[0].is_pickup:
        return tuple(bars)
    first = bars[0]
    starts = next(
        (each.onset for each in first.melody if isinstance(each, Note)), _START
    )
    if not starts:
        return tuple(bars)
    placed = [each.onset for each in (*first.chords, *first.alternate_chords)]
    placed += [each.onset for each in first.hits]
    placed += [
        each.onset
        for each in (*first.counterline, *first.bass_line)
        if isinstance(each, Note)
    ]
    if (
        first.length != first.meter.bar_length
        or 2 * starts < first.length
        or any(onset < starts for onset in placed)
        or first.form.ends
        or first.form.begins
    ):
        return tuple(bars)
    pickup = evolve(
        first,
        number=0,
        length=first.length - starts,
        melody=_after(first.melody, starts),
        counterline=_after(first.counterline, starts),
        bass_line=_after(first.bass_line, starts),
        chords=tuple(_moved(first.chords, -starts)),
        alternate_chords=tuple(_moved(first.alternate_chords, -starts)),
        hits=tuple(_moved(first.hits, -starts)),
        directions=tuple(_moved(first.directions, -starts)),
    )
    return (pickup, *[evolve(bar, number=bar.number - 1) for bar in bars[1:]])


def _after(line: Sequence[Note | Rest], start: Fraction) -> tuple[Note | Rest, ...]:
    """What of a line stands at a place or after it."""
    kept: list[Note | Rest] = []
    for each in line:
        if each.onset >= start:
            kept.append(evolve(each, onset=each.onset - start))
        elif each.onset + each.duration > start:
            left = each.onset + each.duration - start
            shown = each.shown if isinstance(each, Rest) else "rest"
            kept.append(Rest(_START, left, shown=shown))
    return tuple(kept)
