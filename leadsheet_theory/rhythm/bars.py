"""Whole bars of rhythm: writing one out, and proofreading one that is written.

The rules for single notes and rests are those of :func:`.spell_duration`; here
notes are seen beside each other, so that tuplets get their brackets, gaps
their rests, and what a source writes against the rules is named.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import groupby
from math import lcm
from typing import Final

from attrs import evolve, frozen

from .._doors import door
from ..errors import RhythmError
from .meter import Meter, MetricSpan
from .values import (
    NoteValue,
    RhythmEvent,
    Tuplet,
    check_exact,
    check_fineness,
    lay_out,
    odd_part,
    parts_of,
    smallest_span,
    spell_duration,
    spell_in_tuplet,
    spell_note,
    spell_rest,
    tuplet_on,
)

__all__ = ("RhythmProblem", "rhythm_problems", "spell_bar")


@door
def spell_bar(
    notes: Iterable[tuple[Fraction, Fraction]],
    meter: Meter,
    /,
    *,
    length: Fraction | None = None,
    start: Fraction = Fraction(0),
    closing_rests: bool = True,
) -> tuple[RhythmEvent, ...]:
    """A whole bar written out: values, ties, rests in the gaps, tuplets with their
    first and last note marked.

    A tuplet fills the smallest span of the bar that its notes need.

    Args:
        notes: onsets and durations in quarter notes from the start of the bar, in
            order; a note that passes the end of the bar is tied on there.
        meter: the metre.
        length: the bar's length in quarter notes, if it is no full bar.
        start: where a pickup starts in the full bar.
        closing_rests: whether rests fill the bar after the last note.

    Raises:
        RhythmError: notes overlap or are out of order, or no values show them.

    >>> third = Fraction(1, 3)
    >>> bar = spell_bar([(third, third), (2 * third, 1 + third)], Meter(2, 4))
    >>> for event in bar:
    ...     print(event.kind, event.value.name, event.tied_to_next)
    rest eighth False
    note eighth False
    note eighth True
    note quarter False
    """
    bar = meter.hierarchy
    end = bar.length if length is None else start + length
    pieces = list(_pieces(notes, start, end, closing_rests=closing_rests))
    if len(pieces) == 1 and not pieces[0].sounds:
        silence = spell_duration(
            Fraction(0), end - start, meter, rest=True, start=start
        )
        return lay_out(silence, rests=range(len(silence)))
    tuplets = list(_tuplets(pieces, bar))
    events: list[RhythmEvent] = []
    for piece in _cut_at_edges(pieces, tuplets):
        tuplet = next((t for t in tuplets if t.holds(piece.at)), None)
        if tuplet is None:
            spell = spell_note if piece.sounds else spell_rest
            values = spell(piece.at, piece.stop, bar)
        else:
            values = tuplet.spelled(piece)
        onset = piece.at - start
        for place, value in enumerate(values):
            tied = piece.sounds and (piece.goes_on or place < len(values) - 1)
            events.append(
                RhythmEvent(onset, value, "note" if piece.sounds else "rest", tied)
            )
            onset += value.duration
    return tuple(events)


@frozen(order=False)
class _Piece:
    """A stretch of sound or silence in the full bar; one that `goes_on` is tied to
    the next."""

    at: Fraction
    stop: Fraction
    sounds: bool
    goes_on: bool = False

    def hides(self, cut: Fraction, *, odd_ends: int) -> bool:
        """Whether it passes `cut` with so many of its ends off the plain grid."""
        odd = (odd_part(self.at.denominator) > 1) + (
            odd_part(self.stop.denominator) > 1
        )
        return self.at < cut < self.stop and odd >= odd_ends


@frozen(order=False)
class _TupletSpan:
    """A span of the bar that a tuplet fills."""

    span: MetricSpan
    ratio: Tuplet

    def holds(self, at: Fraction) -> bool:
        return self.span.onset <= at < self.span.end

    def spelled(self, piece: _Piece) -> list[NoteValue]:
        """The values of a piece inside it, the first and the last marked."""
        span, ratio = self.span, self.ratio
        values = spell_in_tuplet(
            piece.at, piece.stop, span, ratio, rest=not piece.sounds
        )
        if piece.at == span.onset:
            opening = evolve(ratio, starts=True)
            values[0] = evolve(values[0], tuplet=opening)
        if piece.stop == span.end:
            last = values[-1].tuplet or ratio
            values[-1] = evolve(values[-1], tuplet=evolve(last, ends=True))
        return values


def _pieces(
    notes: Iterable[tuple[Fraction, Fraction]],
    start: Fraction,
    end: Fraction,
    *,
    closing_rests: bool,
) -> Iterator[_Piece]:
    at = start
    for onset, duration in notes:
        check_exact(onset, duration)
        first, stop = onset + start, onset + start + duration
        if duration <= 0 or first < at or first >= end:
            raise RhythmError(
                "notes of one bar: expected onsets in order inside it, "
                "durations above 0, and no overlap",
                onset,
                duration,
            )
        check_fineness(first, duration)
        if first > at:
            yield _Piece(at, first, sounds=False)
        at = min(stop, end)
        yield _Piece(first, at, sounds=True, goes_on=stop > end)
    if closing_rests and at < end:
        yield _Piece(at, end, sounds=False)


def _tuplets(pieces: Sequence[_Piece], span: MetricSpan) -> Iterator[_TupletSpan]:
    """The tuplets that the pieces need, each in the smallest span that will do."""
    inside = [p for p in pieces if p.at < span.end and p.stop > span.onset]
    edges = {t for p in inside for t in (p.at, p.stop) if span.onset < t < span.end}
    odd = lcm(*(odd_part(edge.denominator) for edge in edges))
    if odd == 1:
        return
    parts = parts_of(span)
    ratio = tuplet_on(odd, span) if _is_whole(inside, span) else None
    if ratio is not None and all(
        odd_part(((edge - span.onset) / span.length * odd).denominator) == 1
        for edge in edges
    ):
        yield _TupletSpan(span, ratio)
        return
    for part in parts:
        yield from _tuplets(pieces, part)


def _is_whole(inside: Sequence[_Piece], span: MetricSpan) -> bool:
    """Whether a tuplet must be as long as the span, since pieces hide its parts."""
    cuts = [part.onset for part in parts_of(span)[1:]]
    if any(part.parts for part in span.parts):  # beats: only notes count
        return any(
            p.sounds and p.hides(cut, odd_ends=2) for p in inside for cut in cuts
        )
    return any(p.hides(cut, odd_ends=1) for p in inside for cut in cuts)


def _cut_at_edges(
    pieces: Sequence[_Piece], tuplets: Sequence[_TupletSpan]
) -> Iterator[_Piece]:
    """The pieces, cut where they pass into or out of a tuplet."""
    edges = sorted({t for each in tuplets for t in (each.span.onset, each.span.end)})
    for piece in pieces:
        at = piece.at
        for edge in edges:
            if at < edge < piece.stop:
                yield evolve(piece, at=at, stop=edge, goes_on=piece.sounds)
                at = edge
        yield evolve(piece, at=at)


@frozen(order=False)
class RhythmProblem:
    """A value written against the rules.

    `index` is the place of the event among those given, `onset` its onset in
    quarter notes; `advice` holds the values that would do: of a note to be tied,
    of rests one after the other.

    >>> print(RhythmProblem(0, Fraction(0), "2 rests where 1 would do",
    ...                     (NoteValue("quarter"),)))
    2 rests where 1 would do: write a quarter
    """

    index: int
    onset: Fraction
    message: str
    advice: tuple[NoteValue, ...]

    def __str__(self) -> str:
        return f"{self.message}: write {self.advice_text}"

    @property
    def advice_text(self) -> str:
        """The advice in words, such as ``an eighth and a quarter``."""
        return " and ".join(_with_article(value) for value in self.advice)


@door
def rhythm_problems(
    events: Sequence[RhythmEvent], meter: Meter, /, *, start: Fraction = Fraction(0)
) -> tuple[RhythmProblem, ...]:
    """What in a written bar hides a beat or the middle of the bar, and rests that
    are more than needed.

    Nothing is changed.  Where published sources part, the more liberal one
    counts: a quarter or dotted quarter off the beat may hide one beat of 2/4 or 3/4,
    a half rest may open 3/4, a half may stand for two groups of 7/8, a note with
    two dots may open a span, a dotted eighth rest a beat.  Members of tuplets and
    grace notes are not judged, nor what reaches over the bar line.

    Args:
        events: one voice of one bar.
        meter: the metre.
        start: where a pickup starts in the full bar.

    >>> eighth, quarter = NoteValue("eighth"), NoteValue("quarter")
    >>> bar = lay_out([quarter, eighth, quarter, eighth, quarter])
    >>> for problem in rhythm_problems(bar, Meter(4, 4)):
    ...     print(problem.index, problem)
    2 the quarter hides the middle of the bar: write an eighth and an eighth
    """
    if [event.kind for event in events] == ["rest"]:
        return ()  # a bar rest stands for a bar of any length
    found: list[RhythmProblem] = []
    judged = [
        (index, event)
        for index, event in enumerate(events)
        if event.kind != "grace"
        and event.value.tuplet is None
        and event.onset + start + event.duration <= meter.bar_length
    ]
    for index, event in judged:
        rest = event.kind == "rest"
        advice = spell_duration(
            event.onset, event.duration, meter, rest=rest, start=start
        )
        at = event.onset + start
        if len(advice) == 1 or _liberal(at, event, meter):
            continue
        hidden = _place_text(at + advice[0].duration, meter)
        message = f"the {_name(event.value)}{' rest' * rest} hides {hidden}"
        found.append(RhythmProblem(index, event.onset, message, advice))
    if meter.kind == "simple":
        found += _needless_rests(judged, meter, start)
    return tuple(sorted(found, key=lambda problem: problem.index))


def _liberal(at: Fraction, event: RhythmEvent, meter: Meter) -> bool:
    """Whether some published source lets a value stand that the rules split."""
    stop = at + event.duration
    span = smallest_span(at, stop, meter.hierarchy)
    parts = parts_of(span)
    part = parts[0].length
    opens = at == span.onset
    if event.kind == "rest":
        of_beats = span.division == "beats" and parts[0].division == "halves"
        below_beat = not any(each.parts for each in parts)
        return opens and (
            (of_beats and stop - at == 2 * part)
            or (below_beat and span.division != "thirds" and event.value.dots == 1)
        )
    if opens and event.value.dots > 1:
        return True
    if span.division == "groups":
        edges = {each.onset for each in parts} | {span.end}
        return at in edges and stop in edges
    if span.division == "beats" and parts[0].division == "halves":
        half = part / 2
        on_halves = (at - span.onset) % half == 0 == (stop - span.onset) % half
        return on_halves and sum(at < each.onset < stop for each in parts) == 1
    return False


def _needless_rests(
    judged: Sequence[tuple[int, RhythmEvent]], meter: Meter, start: Fraction
) -> Iterator[RhythmProblem]:
    """Neighbouring rests that fewer rests would show."""
    for is_rest, run in groupby(judged, key=lambda pair: pair[1].kind == "rest"):
        rests = list(run)
        index, first = rests[0]
        last_index, last = rests[-1]
        if not is_rest or last_index - index != len(rests) - 1:
            continue
        duration = last.onset + last.duration - first.onset
        written = spell_duration(first.onset, duration, meter, rest=True, start=start)
        if len(written) < len(rests):
            message = f"{len(rests)} rests where {len(written)} would do"
            yield RhythmProblem(index, first.onset, message, written)


def _place_text(at: Fraction, meter: Meter) -> str:
    if at == meter.half_bar:
        return "the middle of the bar"
    beat = meter.beat_at(at)
    if beat.denominator == 1:
        return f"beat {beat}"
    return f"the {'half' if beat.denominator == 2 else 'quarter'} of beat {beat // 1}"


_DOTS: Final = ("", "dotted ", "double-dotted ", "triple-dotted ")


def _name(value: NoteValue) -> str:
    return f"{_DOTS[min(value.dots, 3)]}{value.name}"


def _with_article(value: NoteValue) -> str:
    name = _name(value)
    return f"{'an' if name.startswith('e') else 'a'} {name}"
