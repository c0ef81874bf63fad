"""Rests that the source hides, shown where a player would be left with nothing.

A hidden rest stays hidden beside notes that are seen.  Where a cue stands over it, or
where the bar would be empty, the part shows it (common practice, no source: a player
counts on seeing what is not to be played).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from attrs import evolve

from ..leadsheet.findings import Finding, bar_list
from ..leadsheet.model import Bar, Note, Rest
from ..leadsheet.slash_time import has_slashes
from .hits import CueBar

__all__ = ("show_rests",)


def show_rests(
    tune: Sequence[Bar], cues: Sequence[CueBar]
) -> tuple[tuple[Bar, ...], tuple[Finding, ...]]:
    """The bars with those rests shown that have to be, and a remark that names them."""
    bars = list(tune)
    shown = list(_to_show(tune, cues))
    for index in shown:
        bars[index] = evolve(
            bars[index],
            melody=tuple(
                [
                    evolve(each, shown="rest")
                    if isinstance(each, Rest) and each.hidden
                    else each
                    for each in bars[index].melody
                ]
            ),
        )
    if not shown:
        return tuple(tune), ()
    numbers = list(dict.fromkeys(bars[index].number for index in shown))
    message = "rests hidden in the source are shown, as nothing else would be"
    if len(numbers) > 1:
        message += f" (bars {bar_list(numbers)})"
    remark = Finding(
        rule="hidden-rests", severity="note", message=message, bar=numbers[0]
    )
    return tuple(bars), (remark,)


def _to_show(tune: Sequence[Bar], cues: Sequence[CueBar]) -> Iterator[int]:
    for index, (bar, cue) in enumerate(zip(tune, cues, strict=True)):
        if not [e for e in bar.melody if isinstance(e, Rest) and e.hidden]:
            continue
        seen = has_slashes(bar.melody) or any(
            isinstance(each, Note) for each in (*bar.melody, *bar.counterline)
        )
        if cue.events or not seen:
            yield index
