"""What a sheet says that music code can't: ties with one end, repeats that go back past
a double bar.  They are mended before the writing, and told."""

from __future__ import annotations

from collections.abc import Sequence

from attrs import evolve

from ...leadsheet.model import Bar, Note, Rest
from ._remarks import Remarks

__all__ = ("mended",)


def mended(bars: Sequence[Bar], remarks: Remarks) -> tuple[Bar, ...]:
    """The bars with whole ties, and with start repeats where the standard would have an
    end repeat go back to a double bar (4.8) and the sheet goes further."""
    melodies = _whole_ties([bar.melody for bar in bars])
    counterlines = _whole_ties([bar.counterline for bar in bars])
    done: list[Bar] = []
    for bar, melody, counterline in zip(bars, melodies, counterlines, strict=True):
        if melody != bar.melody or counterline != bar.counterline:
            remarks.add("ties", "a tie without its other note is lost", bar.number)
            bar = evolve(bar, melody=melody, counterline=counterline)
        done.append(bar)
    for index in _starts(bars):
        remarks.add(
            "repeats",
            "a start repeat is written where the end repeat goes back to",
            bars[index].number,
            severity="note",
        )
        form = evolve(done[index].form, repeat_start=True)
        done[index] = evolve(done[index], form=form)
    return tuple(done)


def _whole_ties(
    lines: Sequence[tuple[Note | Rest, ...]],
) -> list[tuple[Note | Rest, ...]]:
    """The lines of notes with only such ties as join two notes of a common pitch."""
    done: list[list[Note | Rest]] = [list(line) for line in lines]
    before: tuple[int, int] | None = None
    for at, line in enumerate(lines):
        for place, event in enumerate(line):
            if isinstance(event, Note) and event.grace:
                continue
            joined = False
            if before is not None:
                first = done[before[0]][before[1]]
                if isinstance(first, Note) and first.tied_to_next:
                    joined = isinstance(event, Note) and not {
                        pitch.midi for pitch in first.pitches
                    }.isdisjoint(pitch.midi for pitch in event.pitches)
                    if not joined:
                        done[before[0]][before[1]] = evolve(first, tied_to_next=False)
            if isinstance(event, Note) and event.tied_from_previous != joined:
                done[at][place] = evolve(event, tied_from_previous=joined)
            before = (at, place)
    if before is not None:
        last = done[before[0]][before[1]]
        if isinstance(last, Note) and last.tied_to_next:
            done[before[0]][before[1]] = evolve(last, tied_to_next=False)
    return [tuple(line) for line in done]


def _starts(bars: Sequence[Bar]) -> list[int]:
    """The bars where a start repeat has to be written."""
    found: list[int] = []
    back_to = 0
    opened: int | None = None
    for index, bar in enumerate(bars):
        form = bar.form
        if form.repeat_start:
            opened = index
        first_ending = form.ending_starts and 1 in form.ending
        if (first_ending or form.repeat_end) and opened is None:
            doubles = range(back_to, index)
            if any(bars[at].form.barline in ("double", "final") for at in doubles):
                found.append(back_to)
                opened = back_to
        if form.repeat_end:
            back_to, opened = index + 1, None
    return found
