"""Ties that lead elsewhere than to the bar on the right: over a repeat, into a second
ending, to where a jump leads.

The note at the far end is held on, not struck again, so it is tied too: half a tie into
it and half a tie out of the other are what a player sees (common practice, no source;
MusicXML 4.0, ``tied-type``, writes each with two elements on its one note).
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Final

from attrs import evolve, frozen

from .findings import Finding
from .form import play_order
from .mended import MendedBars
from .model import Bar, Note, Rest

__all__ = ("NO_OPEN_TIES", "OpenTies", "complete_ties", "open_ties")


@frozen(order=False)
class OpenTies:
    """Which halves of ties stand alone in a bar: one into its first notes, one out of
    its last."""

    into: bool = False
    out: bool = False


NO_OPEN_TIES: Final = OpenTies()
"""A bar in which every tie has both its halves."""


def complete_ties(bars: Sequence[Bar], /) -> MendedBars:
    """The bars with the far ends of ties that lead over a repeat, into a later ending
    or with a jump tied too, where the same note stands there, and so both ends of a tie
    to the next note of which a file says only one.

    >>> from leadsheet_theory.key import Key
    >>> from leadsheet_theory.leadsheet.signs import FormSigns
    >>> from leadsheet_theory.pitch import Pitch
    >>> from leadsheet_theory.rhythm import Meter
    >>> note = Note(onset=Fraction(0), duration=Fraction(4),
    ...             pitches=(Pitch.parse("C5"),))
    >>> bar = Bar(number=1, key=Key.parse("C"), meter=Meter(4, 4), length=Fraction(4),
    ...           melody=(evolve(note, tied_to_next=True),),
    ...           form=FormSigns(repeat_end=2))
    >>> done = complete_ties([bar])
    >>> done.bars[0].melody[0].tied_from_previous
    True
    >>> print(*done.remarks)
    bar 1: a tie leads here from elsewhere: the note is tied
    """
    done, remarks = _with_both_ends(bars)
    if not any(_may_lead_elsewhere(bars, index) for index in range(len(bars))):
        return MendedBars(tuple(done), tuple(remarks))
    for left, right in dict.fromkeys(pairwise(play_order(bars).indices)):
        if right == left + 1:
            continue
        bar = done[right]
        melody = _tied_on(bars[left].melody, bars[left].length, bar.melody)
        counterline = _tied_on(
            bars[left].counterline, bars[left].length, bar.counterline
        )
        if melody is bar.melody and counterline is bar.counterline:
            continue
        done[right] = evolve(bar, melody=melody, counterline=counterline)
        remarks.append(
            Finding(
                rule="ties",
                severity="note",
                message="a tie leads here from elsewhere: the note is tied",
                bar=bar.number,
            )
        )
    return MendedBars(tuple(done), tuple(remarks))


def _with_both_ends(bars: Sequence[Bar]) -> tuple[list[Bar], list[Finding]]:
    """The bars with ties to the next note that have one end written tied at both,
    where the next note has no syllable of its own."""
    done, remarks = list(bars), []
    starts: set[int] = set()
    melody = _half_tied([bar.melody for bar in bars], bars, starts)
    lower = [bar.counterline for bar in bars]
    counterline = _half_tied(lower, bars, starts) if any(lower) else {}
    for index in {*melody, *counterline}:
        bar = bars[index]
        done[index] = evolve(
            bar,
            melody=melody.get(index, bar.melody),
            counterline=counterline.get(index, bar.counterline),
        )
    remarks += [
        Finding(
            rule="ties",
            severity="note",
            message="a tie that starts here has one end only: both notes are tied",
            bar=bars[index].number,
        )
        for index in sorted(starts)
    ]
    return done, remarks


def _half_tied(
    lines: Sequence[tuple[Note | Rest, ...]], bars: Sequence[Bar], starts: set[int]
) -> dict[int, tuple[Note | Rest, ...]]:
    """By place of the bar: a line whose half ties have both ends; the bars where these
    start go into `starts`."""
    found: dict[int, tuple[Note | Rest, ...]] = {}
    before: Note | None = None
    where = (0, 0)
    for index, (line, bar) in enumerate(zip(lines, bars, strict=True)):
        form = bar.form
        if form.ending_starts and 1 not in form.ending:
            before = None
        elif before is not None and not before.tied_to_next and form.arrives:
            before = None  # what is tied there may come from where the reader jumps
        for place, event in enumerate(line):
            if not isinstance(event, Note):
                before = None
            elif not event.grace:
                if before is not None and _is_half(before, event):
                    starts.add(where[0])
                    _tie(found, lines, where, out=True)
                    _tie(found, lines, (index, place), out=False)
                before, where = event, (index, place)
        if form.repeat_end or form.jump:
            before = None
    return found


def _tie(
    found: dict[int, tuple[Note | Rest, ...]],
    lines: Sequence[tuple[Note | Rest, ...]],
    where: tuple[int, int],
    *,
    out: bool,
) -> None:
    """Tie a note of a line out of it or into it."""
    index, place = where
    line = found.get(index, lines[index])
    note = line[place]
    if isinstance(note, Note):
        if out:
            note = evolve(note, tied_to_next=True)
        else:
            note = evolve(note, tied_from_previous=True)
        found[index] = (*line[:place], note, *line[place + 1 :])


def _is_half(left: Note, right: Note) -> bool:
    """Whether of neighbours on one pitch only one is tied to the other."""
    if left.tied_to_next == right.tied_from_previous or right.lyrics:
        return False
    keys = {pitch.midi for pitch in left.pitches}
    return not keys.isdisjoint(pitch.midi for pitch in right.pitches)


def _may_lead_elsewhere(bars: Sequence[Bar], index: int) -> bool:
    """Whether a note is tied over the end of a bar that another may follow than the
    one at its right."""
    bar = bars[index]
    after = bars[index + 1] if index + 1 < len(bars) else None
    if not (after is None or after.form.ending_starts or bar.form.leads):
        return False
    return _leads_on(bar.melody, bar.length) or _leads_on(bar.counterline, bar.length)


def _leads_on(line: Sequence[Note | Rest], end: Fraction) -> bool:
    return bool(_last_tied(line, end))


def _last_tied(line: Sequence[Note | Rest], end: Fraction) -> frozenset[int]:
    """The keys that are tied over the end of a bar."""
    last = line[-1] if line else None
    if not isinstance(last, Note) or not last.tied_to_next or last.grace:
        return frozenset()
    if last.onset + last.duration != end:
        return frozenset()
    return frozenset(pitch.midi for pitch in last.pitches)


def _first_tied(line: Sequence[Note | Rest]) -> frozenset[int]:
    """The keys that are tied into the start of a bar."""
    first = _first(line)
    if first is None or not first.tied_from_previous:
        return frozenset()
    return frozenset(pitch.midi for pitch in first.pitches)


def _first(line: Sequence[Note | Rest]) -> Note | None:
    """The note at the start of a bar."""
    for event in line:
        if not isinstance(event, Note):
            return None
        if not event.grace:
            return None if event.onset else event
    return None


def _tied_on(
    before: Sequence[Note | Rest], end: Fraction, line: tuple[Note | Rest, ...]
) -> tuple[Note | Rest, ...]:
    """A line whose first note goes on with the tied ones before it, as it does."""
    first = _first(line)
    if first is None or first.tied_from_previous:
        return line
    if _last_tied(before, end).isdisjoint(pitch.midi for pitch in first.pitches):
        return line
    tied = evolve(first, tied_from_previous=True)
    return tuple([tied if event is first else event for event in line])


def open_ties(bars: Sequence[Bar], /) -> tuple[OpenTies, ...]:
    """For each written bar the halves of ties in its melody that have no other half in
    the bar beside it."""
    found = []
    waiting: frozenset[int] = frozenset()
    arriving = [*[_first_tied(bar.melody) for bar in bars], frozenset[int]()]
    for bar, (into, after) in zip(bars, pairwise(arriving), strict=True):
        out = _last_tied(bar.melody, bar.length)
        alone = bool(into) and into.isdisjoint(waiting)
        left = bool(out) and out.isdisjoint(after)
        found.append(OpenTies(alone, left) if alone or left else NO_OPEN_TIES)
        waiting = out
    return tuple(found)
