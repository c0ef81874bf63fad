"""The order of the parts of a tune: the field P: in the header.

Source: The abc music standard 2.1, sections 3.1.9 (P) and 4.10 (an ending counts the
times that its part is played).  A sheet has its bars once and signs of form; where no
signs say the order, the bars are written out as they are played.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import Final

from attrs import evolve

from ...leadsheet.form import play_order, sections
from ...leadsheet.model import Bar
from ...leadsheet.signs import NO_SIGNS, FormSigns, Jump

__all__ = ("in_order", "part_order")

_MOST_PARTS: Final = 400
_MOST_GROUPED: Final = 5
_TOKEN: Final = re.compile(r"([A-Za-z])|(\()|(\))|([0-9]{1,3})|([.\s]+)|(.)")


def part_order(text: str) -> str | None:
    """The parts in the order they are played, a letter each; None if the text is no
    such order.

    >>> part_order("((AB)2.C)2"), part_order("(AB2")
    ('ABABCABABC', None)
    """
    open_groups: list[list[str]] = [[]]
    last: list[str] = []
    for letter, opens, closes, number, _, other in _TOKEN.findall(text):
        if other:
            return None
        if letter:
            last = [letter]
        elif opens:
            open_groups.append([])
            last = []
            continue
        elif closes:
            if len(open_groups) == 1:
                return None
            last = open_groups.pop()
        elif number:
            if not last or not int(number):
                return None
            last = last * (int(number) - 1)
        else:
            continue
        open_groups[-1] += last
        if sum(map(len, open_groups)) > _MOST_PARTS:
            return None
    return "".join(open_groups[0]) if len(open_groups) == 1 else None


def in_order(bars: Sequence[Bar], order: str) -> tuple[tuple[Bar, ...], bool]:
    """The bars with signs of form that make them go in the order of the parts; or, and
    then it says True, written out as they are played."""
    parts = {
        section.name: range(section.start, section.end)
        for section in sections(bars)
        if section.name
    }
    wanted = _wanted(bars, parts, order)
    if not wanted:
        return tuple(bars), False
    for candidate in _candidates(bars, parts, order):
        if play_order(candidate).indices == tuple(wanted):
            return candidate, False
    return tuple(_written_out(bars, wanted)), True


def _wanted(bars: Sequence[Bar], parts: dict[str, range], order: str) -> list[int]:
    """The indices of the bars as they are to be played."""
    wanted: list[int] = []
    labelled = min((part.start for part in parts.values()), default=0)
    wanted += range(labelled)
    for name, count in _runs(order):
        part = parts.get(name)
        if part is None:
            continue
        inside = [bars[index] for index in part]
        once = [part.start + index for index in play_order(inside).indices]
        passes = _passes(inside)
        # repeats and endings within a part count the times it is named
        times = count // passes if passes > 1 and count % passes == 0 else count
        wanted += once * times
    return wanted


def _runs(order: str) -> Iterator[tuple[str, int]]:
    for run in re.finditer(r"(.)\1*", order):
        yield run[1], len(run[0])


def _passes(bars: Sequence[Bar]) -> int:
    """How often a part plays itself by its own repeat signs."""
    ends = [max((bar.form.repeat_end, *bar.form.ending)) for bar in bars]
    return max(ends, default=1)


def _candidates(
    bars: Sequence[Bar], parts: dict[str, range], order: str
) -> Iterator[tuple[Bar, ...]]:
    """Ways to say an order of parts with signs: none, repeats of parts, and then a
    repeat of the whole, or a *da capo al fine*."""
    yield tuple(bars)
    repeated = list(bars)
    first: dict[str, int] = {}
    for name, count in _runs(order):
        first.setdefault(name, count)
    for name, count in first.items():
        part = parts.get(name)
        if part is None or count < 2:
            continue
        if not any(bars[index].form.leads for index in part):
            _sign(repeated, part.start, FormSigns(repeat_start=True))
            _sign(repeated, part[-1], FormSigns(repeat_end=count))
    yield tuple(repeated)
    start = min((part.start for part in parts.values()), default=0)
    bases = [list(bars), repeated]
    spans = list(parts.values())[:_MOST_GROUPED]
    for begin, end in combinations(spans, 2):
        for times in (2, 3):
            grouped = list(bars)
            _sign(grouped, begin.start, FormSigns(repeat_start=True))
            _sign(grouped, end[-1], FormSigns(repeat_end=times))
            yield tuple(grouped)
            bases.append(grouped)
    for base in bases:
        for times in range(2, 5):
            whole = list(base)
            _sign(whole, start, FormSigns(repeat_start=True))
            _sign(whole, len(bars) - 1, FormSigns(repeat_end=times))
            yield tuple(whole)
        for fine in [parts[name][-1] for name in order[-1:] if name in parts]:
            for with_repeats in (False, True):
                jumping = list(base)
                _sign(jumping, fine, FormSigns(fine=True))
                jump = Jump("capo", "fine", with_repeats)
                _sign(jumping, len(bars) - 1, FormSigns(jump=jump))
                yield tuple(jumping)
        for with_repeats in (False, True):
            again = list(base)
            jump = Jump("capo", "", with_repeats)
            _sign(again, len(bars) - 1, FormSigns(jump=jump))
            yield tuple(again)


def _sign(bars: list[Bar], at: int, signs: FormSigns) -> None:
    """Add signs to those of a bar."""
    form = bars[at].form
    bars[at] = evolve(
        bars[at],
        form=evolve(
            form,
            repeat_start=form.repeat_start or signs.repeat_start,
            repeat_end=form.repeat_end or signs.repeat_end,
            barline="regular" if signs.repeat_end else form.barline,
            fine=form.fine or signs.fine,
            jump=form.jump or signs.jump,
        ),
    )


def _written_out(bars: Sequence[Bar], wanted: Sequence[int]) -> Iterator[Bar]:
    """The bars one after the other, without signs but letters and bar lines."""
    first = bars[wanted[0]].number
    for place, index in enumerate(wanted):
        form = bars[index].form
        signs = evolve(NO_SIGNS, section=form.section, barline=form.barline)
        if form.barline == "final" and place + 1 < len(wanted):
            signs = evolve(signs, barline="double")
        number = place + first
        yield evolve(bars[index], number=number, form=signs)
