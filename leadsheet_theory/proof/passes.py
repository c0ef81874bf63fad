"""A proofreader for lead sheets.

It reads a chart as a copyist's second pair of eyes does, pass by pass, and asks rather
than alters.  :data:`~.rules.PROOF_RULES` says what is looked for.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from fractions import Fraction
from typing import Final

from attrs import evolve

from .._doors import door
from ..errors import UnknownRuleError
from ..instruments.books import STANDARD_BOOKS
from ..instruments.ranges import Reader
from ..instruments.rhythm_books import PartReader, RhythmBook, as_part_readers
from ..leadsheet.findings import Finding
from ..leadsheet.form import play_order
from ..leadsheet.model import LeadSheet
from ._bars import check_bars
from ._chords import check_chords
from ._form import check_form
from ._keys import check_keys
from ._like_places import check_like_places
from ._melody import check_melody
from ._octaves import check_octaves
from ._parallels import likeness_of
from ._pickups import check_pickups, check_pushes
from ._range import check_range_of
from ._remarks import Remark
from ._slips import check_slips
from ._view import View, view_of
from .rules import PROOF_RULES, rule_named
from .silence import Silence, is_silenced

__all__ = ("proofread",)


def _playing(
    readers: PartReader | str | Iterable[PartReader | str],
) -> list[Reader]:
    """Those who play the melody."""
    return [
        reader
        for reader in as_part_readers(readers)
        if not isinstance(reader, RhythmBook)
    ]


@door
def proofread(
    sheet: LeadSheet,
    /,
    *,
    readers: PartReader | str | Iterable[PartReader | str] = STANDARD_BOOKS,
    skip: Collection[str] = (),
    silence: Collection[Silence] = (),
    reading: Sequence[Finding] = (),
) -> tuple[Finding, ...]:
    """What a proofreader would ask about a chart, in the order of its bars.

    Args:
        sheet: the chart, at concert pitch.
        readers: whose ranges to check the melody against, or their names; each gets
            the octave that suits it best.  The rhythm section's books have none.
        skip: names of rules that don't matter now.
        silence: what was looked at and is meant, by rule and by bar.
        reading: what the reading of its file found: told along, but not twice, and
            silenced alike.

    Raises:
        UnknownRuleError: if `skip` names no rule, nor one of the reading.

    >>> from fractions import Fraction as F
    >>> from leadsheet_theory import Key, Meter, Pitch
    >>> from leadsheet_theory.leadsheet import Bar, Note
    >>> note = Note(onset=F(0), duration=F(3), pitches=(Pitch.parse("B4"),))
    >>> bar = Bar(number=1, key=Key.parse("Bb major"), meter=Meter(4, 4), length=F(4),
    ...           melody=(note,))
    >>> sheet = LeadSheet(title="Ebb at Noon", bars=(bar,), composer="the pilot")
    >>> for finding in proofread(sheet, skip=["final-bar"]):
    ...     print(f"{finding.severity}: {finding}")
    warning: no chord symbol in the whole chart (check that the right part was read)
    error: bar 1, beat 4: 1 quarter missing in the melody (mend the bar)
    """
    known = {finding.rule for finding in reading}
    for name in skip:
        if rule_named(name) is None and name not in known:
            raise UnknownRuleError(name, tuple(rule.name for rule in PROOF_RULES))
    view = view_of(sheet)
    found = [_finding(remark) for remark in _remarks(view)]
    if "range" not in skip:
        found += check_range_of(view, _playing(readers))
    found += map(_with_reasons, play_order(sheet.bars).problems)
    found += _new_in(reading, found)
    kept = (
        finding
        for finding in found
        if finding.rule not in skip and not is_silenced(finding, silence)
    )
    return tuple(sorted(kept, key=_place))


_SAME_CAUSE: Final = {
    "chord-words": ("chord-words", "words"),
    "bar-length": ("bar-length", "bar-short", "meter"),
    "meter": ("meter",),
}


def _new_in(reading: Sequence[Finding], found: Sequence[Finding]) -> list[Finding]:
    """What the reading told that the proofreader does not tell as well."""
    told = {(finding.rule, finding.bar) for finding in found}
    metre = any(finding.rule == "meter" for finding in found)
    return [
        _weighed(finding)
        for finding in reading
        if not (metre and finding.rule == "bar-length")
        and not any(
            (rule, finding.bar) in told
            for rule in _SAME_CAUSE.get(finding.rule, (finding.rule,))
        )
    ]


def _weighed(finding: Finding) -> Finding:
    """A finding of the reading as the proofreader weighs it: what the heading lost is
    no matter of the music, N.C. is read as it is meant, and a silence that nobody wrote
    may be a note that is missing."""
    if finding.rule == "gap":
        return evolve(finding, severity="query")
    heading = finding.rule == "unread" and finding.element in _HEADING
    silent = finding.rule == "chord-words" and "'N.C.'" in finding.message
    return evolve(finding, severity="note") if heading or silent else finding


_HEADING: Final = frozenset({"credit", "creator", "rights", "words"})


def _place(finding: Finding) -> tuple[int, Fraction]:
    return (
        -1 if finding.bar is None else finding.bar,
        Fraction(0) if finding.beat is None else finding.beat,
    )


def _remarks(view: View) -> Iterator[Remark]:
    yield from check_form(view)
    yield from check_bars(view)
    yield from check_melody(view)
    yield from check_chords(view)
    yield from check_pickups(view)
    yield from check_pushes(view)
    keys = list(check_keys(view))
    yield from keys
    if not any(bar.chords for bar in view.bars) or not view.sung:
        return
    likeness = likeness_of(view)
    unlike = list(check_like_places(view, likeness))
    yield from unlike
    octaves = list(check_octaves(view))
    wild = {id(r.bar) for r in octaves}
    told = {(id(r.bar), r.onset) for r in unlike}
    yield from (r for r in octaves if not _told(r, unlike))
    if not keys:  # under a wrong signature every note would be a slip
        yield from (
            r
            for r in check_slips(view, likeness)
            if (id(r.bar), r.onset) not in told and id(r.bar) not in wild
        )


def _told(remark: Remark, others: Sequence[Remark]) -> bool:
    return any(
        remark.bar is other.bar and remark.onset == other.onset for other in others
    )


def _with_reasons(finding: Finding) -> Finding:
    """A finding of the form, with what the rule says of it."""
    rule = rule_named(finding.rule)
    if rule is None:
        return finding
    return evolve(finding, why=rule.why, source=rule.source)


def _finding(remark: Remark) -> Finding:
    rule = rule_named(remark.rule)
    assert rule is not None
    bar = remark.bar
    beat = None
    if bar is not None and remark.onset is not None:
        beat = bar.beat_of(remark.onset)
    number = ""
    if bar is not None and bar.source_number not in ("", str(bar.number)):
        number = bar.source_number
    return Finding(
        rule=rule.name,
        severity=remark.severity or rule.severity,
        message=remark.message,
        bar=None if bar is None else bar.number,
        beat=beat,
        advice=remark.advice or rule.advice,
        found=remark.found,
        proposed=remark.proposed,
        why=remark.why or rule.why,
        source=rule.source,
        source_number=number,
    )
