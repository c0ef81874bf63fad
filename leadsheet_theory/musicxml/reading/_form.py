"""The signs of the form, from where a file has them to where they act.

A bracket spans its bars, a left bar line belongs to the bar before, a coda sign
is either the place to leave or the place to arrive, and a jump given only for
playback goes as far as the signs allow (MusicXML 4.0, ``sound``).
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Literal

from attrs import evolve

from ...leadsheet.model import Direction
from ...leadsheet.signs import Barline, FormSigns
from ._raw import RawBar
from ._report import Report

__all__ = ("signs_of",)


def signs_of(bars: Sequence[RawBar], report: Report) -> list[FormSigns]:
    """The signs of each bar."""
    endings = _endings(bars, report)
    segnos = _segnos(bars)
    codas, leaves = _codas(bars, report)
    passes = _passes(bars, report)
    fines = any(bar.fine for bar in bars)
    signs = []
    for index, bar in enumerate(bars):
        ending, starts = endings[index]
        jump = bar.jump
        if jump is not None and bar.jump_by_sound:
            until: Literal["", "fine", "coda"] = ""
            if leaves:
                until = "coda"
            elif fines:
                until = "fine"
            jump = evolve(jump, until=until)
        signs.append(
            FormSigns(
                section=bar.section,
                repeat_start=bar.repeat_start,
                repeat_end=passes[index],
                ending=ending,
                ending_starts=starts,
                barline=_barline(bars, index),
                segno=index in segnos,
                coda=index in codas,
                to_coda=index in leaves,
                fine=bar.fine,
                jump=jump,
            )
        )
    return signs


def _passes(bars: Sequence[RawBar], report: Report) -> list[int]:
    """How often each backward repeat is played in all.

    Words such as *3x* belong to the repeat that their bar stands in, at whichever
    end of it they are written.
    """
    passes = [bar.repeat_end for bar in bars]
    waiting: tuple[int, int] | None = None
    for index, bar in enumerate(bars):
        if waiting is not None and bar.repeat_start and index > waiting[0]:
            _unplaced(bars, waiting, report)
            waiting = None
        if bar.times:
            if waiting is not None:
                _unplaced(bars, waiting, report)
            waiting = (index, bar.times)
        if bar.repeat_end and waiting is not None:
            passes[index] = waiting[1]
            waiting = None
    if waiting is not None:
        _unplaced(bars, waiting, report)
    return passes


def _unplaced(bars: Sequence[RawBar], waiting: tuple[int, int], report: Report) -> None:
    """Words for a repeat that is not there stay words."""
    index, times = waiting
    bars[index].directions.insert(0, (0, Direction(Fraction(0), "words", f"{times}×")))
    report.index = index
    report.gather(
        "repeat", "warning", f"'{times}×' without a repeat sign", element="words"
    )


def _barline(bars: Sequence[RawBar], index: int) -> Barline:
    """The right bar line: a repeat sign makes its own."""
    bar = bars[index]
    if bar.repeat_end:
        return "regular"
    if bar.barline == "regular" and index + 1 < len(bars):
        return bars[index + 1].left_barline
    return bar.barline


def _endings(
    bars: Sequence[RawBar], report: Report
) -> list[tuple[tuple[int, ...], bool]]:
    """For each bar the passes of its bracket, and whether the bracket starts there."""
    found: list[tuple[tuple[int, ...], bool]] = []
    open_passes: tuple[int, ...] = ()
    opened = 0
    for index, bar in enumerate(bars):
        starts = bool(bar.ending_start)
        if starts:
            open_passes, opened = bar.ending_start, index
        found.append((open_passes, starts))
        if open_passes and bar.repeat_end and not bar.ending_stop:
            open_passes = ()
        if bar.ending_stop:
            open_passes = ()
    if open_passes:
        # a bracket that nothing closes: over the bar it stands in
        report.index = opened
        report.gather("ending", "warning", "an ending bracket is never closed")
        for index in range(opened + 1, len(bars)):
            found[index] = ((), False)
    return found


def _segnos(bars: Sequence[RawBar]) -> set[int]:
    places = set()
    for index, bar in enumerate(bars):
        if bar.segno is not None:
            after = bar.segno >= bar.length and index + 1 < len(bars)
            places.add(index + after)
    return places


def _codas(bars: Sequence[RawBar], report: Report) -> tuple[set[int], set[int]]:
    """The bars where a coda starts, and those at whose end one leaves for it.

    Words (*To Coda*) or playback data decide.  Of signs alone, one within or at
    the end of a bar says leave; one at the start of a bar says arrive if the music
    has been left before, or if no sign follows, else leave before this bar.
    """
    leaves = {index for index, bar in enumerate(bars) if bar.to_coda}
    codas: set[int] = set()
    last = max(
        (index for index, bar in enumerate(bars) if bar.coda is not None), default=-1
    )
    left = False
    for index, bar in enumerate(bars):
        if bar.to_coda:
            left = True
        elif bar.coda is None:
            continue
        elif bar.coda == 0 and (left or index == last):
            codas.add(index)
            left = False
        elif left and bar.coda >= bar.length and index + 1 < len(bars):
            codas.add(index + 1)
            left = False
        else:
            left = True
            leaves.add(index if bar.coda or not index else index - 1)
            if not bar.coda:
                report.index = index
                report.gather(
                    "coda",
                    "note",
                    "the coda sign at the start of the bar is read as the place to "
                    "leave before it",
                )
    return codas, leaves
