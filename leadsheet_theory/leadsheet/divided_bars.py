"""Bars that a file divides in two, and pickups that it writes as full bars.

A bar with a sign in its middle, or one that ends a line of a hymn or a verse, is often
written as two measures that make one up between them; where no sign of form stands
there it is one bar.  A first bar whose music only starts in its second half is a pickup
after rests.  (Common practice, no source.)
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import TypeVar

from attrs import evolve

from .model import Bar, Direction, Hit, Note, PlacedChord, Rest

__all__ = ("join_divided_bars", "shorten_pickup")

_Placed = TypeVar("_Placed", Direction, Hit, PlacedChord)
_START = Fraction(0)


def join_divided_bars(bars: Sequence[Bar], /) -> tuple[Bar, ...]:
    """The bars with each two that make up one between them joined, unless a sign of
    form stands there, and numbered anew.

    >>> from leadsheet_theory.key import Key
    >>> from leadsheet_theory.rhythm import Meter
    >>> def bar(number, length):
    ...     rest = Rest(Fraction(0), Fraction(length), whole_bar=True)
    ...     return Bar(number=number, key=Key.parse("C"), meter=Meter(4, 4),
    ...                length=Fraction(length), melody=(rest,))
    >>> tune = join_divided_bars([bar(1, 4), bar(2, 1), bar(3, 3), bar(4, 4)])
    >>> [(each.number, str(each.length)) for each in tune]
    [(1, '4'), (2, '4'), (3, '4')]
    """
    joined: list[Bar] = []
    number = bars[0].number if bars else 1
    index = 0
    while index < len(bars):
        bar = bars[index]
        if index + 1 < len(bars) and _are_halves(bar, bars[index + 1]):
            bar = _joined(bar, bars[index + 1])
            index += 1
        joined.append(bar if bar.number == number else evolve(bar, number=number))
        number += 1
        index += 1
    return tuple(joined)


def _are_halves(bar: Bar, following: Bar) -> bool:
    """Whether two bars are one between them, with no sign of form in its middle."""
    whole = bar.meter.bar_length
    return (
        not bar.is_pickup
        and bar.length < whole
        and bar.length + following.length == whole
        and bar.meter == following.meter
        and bar.key == following.key
        and not bar.form.ends
        and not following.form.begins
        and bar.form.ending == following.form.ending
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
    if all(isinstance(each, Rest) for each in events):
        return (Rest(_START, length, whole_bar=True),)
    return tuple(
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
            kept.append(Rest(_START, each.onset + each.duration - start))
    return tuple(kept)
