"""A solo chorus that a chart has of its own: slashes and chords beside the head.

It is told by its label (*Solos*) over bars without a note, from there to the next note
or the end; without a label by a whole form of slashes behind the head's closing bar
line.  Its bars are no part of the tune, which would be twice as long with them;
what its last bar says of the way back is taken at the end of the head.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from attrs import evolve

from .findings import Finding
from .model import Bar, LeadSheet, Note, SoloChorus, Solos
from .slash_time import has_slashes

__all__ = ("part_solo_chorus",)

_LABEL: Final = re.compile(
    r"(?:open (?:for )?)?solos?\b(?:[:,]? *\(?(\d+) ?(?:x\b|times|chorus))?",
    re.IGNORECASE,
)

_MADE_ANEW: Final = re.compile(r"\(\d+\)|last x|backgrounds")
"""Words of a part that are made anew with its solo page: a count of the bars of a
section, what stands over small notes."""
_IN_FULL: Final = re.compile(r"Solos: (?:repeat (?:form )?till cue|\d+ chorus(?:es)?)")


def part_solo_chorus(sheet: LeadSheet, /) -> tuple[LeadSheet, tuple[Finding, ...]]:
    """The sheet with its own solo chorus apart from the tune, and a remark that says
    so; the same sheet where there is none.

    >>> from fractions import Fraction
    >>> from leadsheet_theory.key import Key
    >>> from leadsheet_theory.leadsheet.model import Rest
    >>> from leadsheet_theory.leadsheet.signs import FormSigns
    >>> from leadsheet_theory.pitch import Pitch
    >>> from leadsheet_theory.rhythm import Meter
    >>> rest = Rest(Fraction(0), Fraction(4))
    >>> note = Note(onset=Fraction(0), duration=Fraction(4),
    ...             pitches=(Pitch.parse("C5"),))
    >>> head = Bar(number=1, key=Key.parse("C"), meter=Meter(4, 4), length=Fraction(4),
    ...            melody=(note,))
    >>> solos = evolve(head, number=2, melody=(rest,), form=FormSigns(section="Solos"))
    >>> parted, remarks = part_solo_chorus(LeadSheet(title="Low Tide",
    ...                                              bars=(head, solos)))
    >>> len(parted.bars), len(parted.solo_chorus.bars)
    (1, 1)
    >>> print(*remarks)
    bar 2: the solo chorus from here on is kept as the solo page
    """
    bars = sheet.bars
    start = next(
        (at for at in range(1, len(bars)) if _label(bars[at]) is not None),
        _unlabelled(bars),
    )
    if start is None or sheet.solo_chorus is not None:
        return sheet, ()
    end = start
    while end < len(bars) and not _has_notes(bars[end]) and not bars[end].form.coda:
        end += 1
    headed = any(map(_has_notes, bars[:start])) or _is_in_full(bars[start])
    if end == start or not headed:
        return sheet, ()
    times = _label(bars[start]) or "open"
    chorus = tuple(_of_chorus(bar, at) for at, bar in enumerate(bars[start:end], 1))
    tune = [*bars[:start], *bars[end:]]
    jump = bars[end - 1].form.jump
    leaves = next((at for at in range(start) if tune[at].form.to_solos), start - 1)
    if jump is not None:
        form = evolve(tune[leaves].form, jump=evolve(jump, after_solos=True))
        tune[leaves] = evolve(tune[leaves], form=form)
    remark = Finding(
        rule="solo-chorus",
        severity="note",
        message="the solo chorus from here on is kept as the solo page",
        bar=bars[start].number,
    )
    parted = evolve(sheet, bars=tuple(tune), solo_chorus=SoloChorus(chorus, times))
    return parted, (remark,)


_SHORTEST: Final = 8
"""The fewest bars of slashes that are a solo chorus without saying so."""


def _unlabelled(bars: Sequence[Bar]) -> int | None:
    """Where a chorus of slashes starts that nothing names: at least half as long as
    the head, closed off from it, and up to the end or a coda."""
    for start in range(_SHORTEST, len(bars)):
        before = bars[start - 1]
        closes = before.form.ends or before.ending_stops_before(bars[start])
        if not closes or not has_slashes(bars[start].melody):
            continue
        end = start
        while end < len(bars) and _is_slashed(bars[end]):
            end += 1
        closed = end == len(bars) or bars[end].form.coda
        if closed and end - start >= max(_SHORTEST, start // 2):
            return start
    return None


def _is_slashed(bar: Bar) -> bool:
    return (
        not bar.form.coda
        and has_slashes(bar.melody)
        and not any(isinstance(event, Note) for event in bar.melody)
    )


def _label(bar: Bar) -> Solos | None:
    """How long the solos last that start here, None where none do."""
    if not (bar.form.section or bar.directions):
        return None
    said: Sequence[str] = (
        bar.form.section,
        *(each.text for each in bar.directions if each.kind == "words"),
    )
    for text in said:
        found = _LABEL.match(text)
        if found is not None:
            return int(found[1]) if found[1] else "open"
    return None


def _is_in_full(bar: Bar) -> bool:
    """Whether the label says how the solos go, so that what stands before them is the
    head even where it has no note: that of the rhythm section."""
    return any(
        each.kind == "words" and _IN_FULL.fullmatch(each.text)
        for each in bar.directions
    )


def _has_notes(bar: Bar) -> bool:
    return any(isinstance(event, Note) for event in bar.melody)


def _of_chorus(bar: Bar, number: int) -> Bar:
    """A bar of the chorus, without what leads away from it and without its label."""
    form = bar.form
    named = "" if _LABEL.match(form.section) else form.section
    return Bar(
        number=number,
        key=bar.key,
        meter=bar.meter,
        length=bar.length,
        chords=bar.chords,
        hits=bar.hits,
        directions=tuple(
            each
            for each in bar.directions
            if each.kind == "words"
            and not _LABEL.match(each.text)
            and not _MADE_ANEW.fullmatch(each.text)
        ),
        form=evolve(form.bar_lines, section=named, repeat_after_jump=False),
        source_number=bar.source_number,
    )
