"""Hits: the rhythm section's figures as cues for every player.

A hit (or kick) is what the band plays together while time goes on.  In a part
its rhythm stands above the staff over the melody, as slash-headed notes with
stems up; the melody's stems go down as long as the cue lasts (common practice,
no source; that all stems of a cue go the same way: M. McGrain, *Music Notation*,
Berklee Press 1990, as quoted in Wikipedia, "Cue note").
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from fractions import Fraction
from itertools import pairwise
from types import MappingProxyType
from typing import Final, Literal, get_args

from attrs import evolve, field, frozen

from .._arguments import check_choice
from .._doors import door
from ..leadsheet.model import Bar, Hit, Mark, Note, Rest

__all__ = (
    "CueBar",
    "CueCut",
    "CueStart",
    "Stretch",
    "accented",
    "cue_bars",
    "stretches",
)

CueCut = Literal["bar", "figure", "never"]
"""Where a cue stops: after the last hit of each bar; after the last hit of a
figure, a stretch of neighbouring bars with hits, with rests up to the barline inside
it; or only at the barline, so that every bar of a cue is whole."""

CueStart = Literal["bar line", "first hit"]
"""Where a cue begins: at the bar line, with the rests that lead to the first hit, or
with the first hit itself; inside a figure only where its bars are cut apart."""

_START: Final = Fraction(0)

_ACCENT: Final = Mark("accent")
_ACCENTS: Final = ("accent", "strong-accent")


@frozen(order=False)
class CueBar:
    """What one bar shows of the rhythm section.

    `events` are the hits and the rests before and between them, without a gap;
    empty where time goes on and nothing is cued.
    `end` is where the cue stops, in quarter notes from the start of the bar:
    the melody's stems go down for notes that start before it.  `label` is what
    to print over the first hit of a stretch.  `accents` are the onsets of the
    melody notes that take an accent in place of a cue.

    A rest has no `value`, nor has a hit whose rhythm the source does not write
    out: the writer chooses, as for the melody.
    """

    events: tuple[Hit | Rest, ...] = ()
    label: str = ""
    accents: tuple[Fraction, ...] = ()
    end: Fraction = field(init=False, eq=False)

    @end.default
    def _end(self) -> Fraction:
        if not self.events:
            return _START
        last = self.events[-1]
        return last.onset + last.duration


@frozen(order=False)
class Stretch:
    """Neighbouring bars with hits: the index of the first, and just past the last."""

    start: int
    end: int


_NO_CUE: Final = CueBar()


@door
def stretches(bars: Sequence[Bar], /) -> tuple[Stretch, ...]:
    """The stretches with hits; between them time goes on."""
    found: list[Stretch] = []
    start = -1
    for index, bar in enumerate(bars):
        if bar.hits and start < 0:
            start = index
        elif not bar.hits and start >= 0:
            found.append(Stretch(start, index))
            start = -1
    if start >= 0:
        found.append(Stretch(start, len(bars)))
    return tuple(found)


@door
def cue_bars(
    bars: Sequence[Bar],
    /,
    *,
    label: str = "",
    labels: Mapping[int, str] = MappingProxyType({}),
    only: Collection[int] | None = None,
    start: CueStart = "bar line",
    cut: CueCut = "figure",
    coinciding: Literal["cue", "accent"] = "cue",
) -> tuple[CueBar, ...]:
    """The cue of each bar, bar for bar.

    A bar with hits is cued, with the rests between them and those that lead to the
    first one; a bar without any has no cue.  After the last hit of a figure no rest
    trails.  A hit that is held over the bar line is split there, and tied.

    Args:
        bars: written bars; their `hits` are read, and `melody` for accents.
        label: printed where a stretch of hits starts: nothing, ``"hits"`` or
            words of your own.
        labels: other labels for single stretches, by the number of one of their bars.
        only: the numbers of the bars whose hits are cued; all if None.
        start: where a cue begins.
        cut: where a cue stops.
        coinciding: what becomes of a bar whose every hit falls on the attack of
            a melody note: ``"cue"`` cues it like any other, ``"accent"``
            marks the melody's notes instead and leaves the cue out.  Bars that a
            tie joins go together.

    Raises:
        ChoiceError: if `start`, `cut` or `coinciding` is none of these words.

    >>> from leadsheet_theory.key import Key
    >>> from leadsheet_theory.rhythm import Meter
    >>> half = Fraction(1, 2)
    >>> chart = [Bar(number=1, key=Key.parse("F major"), meter=Meter(4, 4),
    ...              length=Fraction(4),
    ...              hits=(Hit(3 * half, half),))]
    >>> for event in cue_bars(chart)[0].events:
    ...     print(type(event).__name__, event.onset, event.duration)
    Rest 0 3/2
    Hit 3/2 1/2
    """
    check_choice("start", start, get_args(CueStart))
    check_choice("cut", cut, get_args(CueCut))
    check_choice("coinciding", coinciding, ("cue", "accent"))
    if not any(bar.hits for bar in bars):
        return (_NO_CUE,) * len(bars)
    bars = _chosen(_split(bars), only)
    cues = [_NO_CUE] * len(bars)
    for stretch in stretches(bars):
        figure = bars[stretch.start : stretch.end]
        by_accent = [False] * len(figure)
        if coinciding == "accent":
            by_accent = _coinciding(figure)
        named = (labels[bar.number] for bar in figure if bar.number in labels)
        text = next(named, label)
        open_before = False
        for index, accents in enumerate(by_accent, start=stretch.start):
            bar = bars[index]
            if accents:
                cues[index] = CueBar(accents=tuple(_attacks(bar)))
                open_before = False
                continue
            after = index + 1 - stretch.start
            last = index + 1 == stretch.end or by_accent[after]
            fill = cut == "never" or (cut == "figure" and not last)
            late = start == "first hit" and not open_before
            cues[index] = CueBar(_events(bar, late=late, fill=fill), text)
            text, open_before = "", fill
    return tuple(cues)


def _split(bars: Sequence[Bar]) -> Sequence[Bar]:
    """The bars with each hit that lasts beyond its bar split at the bar line."""
    if not any(_overhang(bar) > 0 for bar in bars):
        return bars
    split = list(bars)
    for index, bar in enumerate(split):
        over = _overhang(bar)
        if over <= 0:
            continue
        *before, last = _one_at_a_time(bar.hits)
        following = index + 1 < len(split)
        kept = evolve(
            last,
            duration=last.duration - over,
            value=None,
            tied_to_next=following or last.tied_to_next,
        )
        split[index] = evolve(bar, hits=(*before, kept))
        if following:
            after = split[index + 1]
            rest = Hit(
                _START, over, tied_from_previous=True, tied_to_next=last.tied_to_next
            )
            if not after.hits or after.hits[0].onset > _START:
                split[index + 1] = evolve(after, hits=(rest, *after.hits))
    return split


def _overhang(bar: Bar) -> Fraction:
    """How long hits last beyond their bar."""
    if not bar.hits:
        return _START
    return max(hit.onset + hit.duration for hit in bar.hits) - bar.length


def _chosen(bars: Sequence[Bar], only: Collection[int] | None) -> Sequence[Bar]:
    """The bars without the hits of those that are not chosen; no tie leads there."""
    if only is None:
        return bars
    found = []
    for index, bar in enumerate(bars):
        hits = list(bar.hits) if bar.number in only else []
        if hits and index and bars[index - 1].number not in only:
            hits[0] = evolve(hits[0], tied_from_previous=False)
        if hits and index + 1 < len(bars) and bars[index + 1].number not in only:
            hits[-1] = evolve(hits[-1], tied_to_next=False)
        found.append(evolve(bar, hits=tuple(hits)))
    return found


def _events(bar: Bar, *, late: bool, fill: bool) -> tuple[Hit | Rest, ...]:
    """The hits of a bar with rests before (unless it begins `late`) and between, and
    up to the bar line if it is to be filled."""
    events: list[Hit | Rest] = []
    hits = _one_at_a_time(bar.hits)
    at = hits[0].onset if late else _START
    for hit in hits:
        if hit.onset > at:
            events.append(Rest(at, hit.onset - at))
        events.append(hit)
        at = hit.onset + hit.duration
    if fill and at < bar.length:
        events.append(Rest(at, bar.length - at))
    return tuple(events)


def _one_at_a_time(hits: Sequence[Hit]) -> Sequence[Hit]:
    """Hits in order, each ending where the next one starts at the latest."""
    if all(a.onset + a.duration <= b.onset for a, b in pairwise(hits)):
        return hits
    by_onset = {
        hit.onset: hit for hit in sorted(hits, key=lambda h: (h.onset, h.duration))
    }
    ordered = list(by_onset.values())
    for place, (hit, after) in enumerate(pairwise(ordered)):
        if hit.onset + hit.duration > after.onset:
            ordered[place] = evolve(
                hit, duration=after.onset - hit.onset, value=None, tied_to_next=False
            )
    return ordered


def _attacks(bar: Bar) -> list[Fraction]:
    return [hit.onset for hit in bar.hits if not hit.tied_from_previous]


def _coinciding(bars: Sequence[Bar]) -> list[bool]:
    """Of each bar whether every hit falls on an attack of the melody, and so in
    the bars that it is tied to."""
    found: list[bool] = []
    tied = 0  # how many bars before hang together with this one
    for bar in bars:
        sung = {
            note.onset
            for note in bar.melody
            if isinstance(note, Note) and not note.tied_from_previous and not note.grace
        }
        found.append(sung.issuperset(_attacks(bar)))
        tied = tied + 1 if bar.hits[0].tied_from_previous else 0
        if tied and not (found[-1] and found[-2]):
            found[-1 - tied :] = [False] * (tied + 1)
    return found


def accented(bar: Bar, cue: CueBar, /) -> Bar:
    """The bar with an accent on each melody note that takes one for a hit.

    A note that is accented already stays as it is.
    """
    if not cue.accents:
        return bar
    return evolve(
        bar,
        melody=tuple(
            evolve(event, marks=(*event.marks, _ACCENT))
            if isinstance(event, Note)
            and event.onset in cue.accents
            and not (event.tied_from_previous or event.grace)
            and not any(mark.kind in _ACCENTS for mark in event.marks)
            else event
            for event in bar.melody
        ),
    )
