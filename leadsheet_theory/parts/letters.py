"""Letters offered: to a tune that has none, where the sections of its solo page begin.

Head and solo page then speak of the same places.  A bar with which two sections begin,
as behind a second ending, has the letter of the first.  (Common practice, no source.)
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from attrs import evolve

from .._doors import door
from ..leadsheet.findings import Finding, bar_list
from ..leadsheet.mended import MendedBars
from ..leadsheet.model import LeadSheet
from .solo_changes import solo_changes

__all__ = ("offered_letters", "with_letters")


@door
def offered_letters(sheet: LeadSheet, /) -> Mapping[int, str]:
    """The letters for a tune that has none, by the places of their bars; none for a
    tune that has a letter, or is one section.

    >>> from leadsheet_theory.musicxml import read_lead_sheet
    >>> chart = "shared/charts/solos/two_tides_a_day.musicxml"
    >>> tune = read_lead_sheet(chart).sheet
    >>> {tune.bars[at].number: name for at, name in offered_letters(tune).items()}
    {1: 'A', 9: 'B'}
    """
    found: dict[int, str] = {}
    if not any(bar.form.section for bar in sheet.bars):
        # each bar of the page tells which of the tune it comes from
        numbered = evolve(
            sheet,
            bars=tuple(
                evolve(bar, source_number=str(index))
                for index, bar in enumerate(sheet.bars)
            ),
            solo_chorus=None,
        )
        for bar in solo_changes(numbered).bars:
            index = int(bar.source_number)
            if bar.form.section and not sheet.bars[index].form.ending:
                found.setdefault(index, bar.form.section)
    return MappingProxyType(found if len(found) > 1 else {})


@door
def with_letters(sheet: LeadSheet, /) -> MendedBars:
    """The bars of a tune with the letters that are offered to it, and a remark that
    says where."""
    letters = offered_letters(sheet)
    if not letters:
        return MendedBars(sheet.bars)
    bars = tuple(
        evolve(bar, form=evolve(bar.form, section=letters[index]))
        if index in letters
        else bar
        for index, bar in enumerate(sheet.bars)
    )
    remark = Finding(
        rule="letters",
        severity="note",
        message="letters stand where sections begin: bars "
        f"{bar_list(sorted(sheet.bars[index].number for index in letters))}",
    )
    return MendedBars(bars, (remark,))
