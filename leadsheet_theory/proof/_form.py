"""Proofreading the form: repeats, endings, sections, the last bar line, the head."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from ..leadsheet.model import LeadSheet, Note
from ._remarks import Remark

__all__ = ("check_form",)

_MOST_SIGNS = 6


def check_form(sheet: LeadSheet) -> Iterator[Remark]:
    """Everything that concerns the chart as a whole."""
    if not sheet.title.strip():
        yield Remark("title", "the chart has no title")
    if not any(isinstance(note, Note) for bar in sheet.bars for note in bar.melody):
        yield Remark("no-melody", "no note in the whole chart")
    if sheet.bars:
        yield from _keys(sheet)
        yield from _sections(sheet)
        yield from _last_bar(sheet)


def _keys(sheet: LeadSheet) -> Iterator[Remark]:
    before = None
    for bar in sheet.bars:
        signs = abs(bar.key.signature)
        if bar.key != before and signs > _MOST_SIGNS:
            yield Remark("key", f"{bar.key.glyphs} has {signs} accidentals", bar)
        before = bar.key


def _sections(sheet: LeadSheet) -> Iterator[Remark]:
    for before, bar in pairwise(sheet.bars):
        if not bar.form.section or before.is_pickup:
            continue
        edge = (
            bar.form.repeat_start
            or before.form.repeat_end
            or before.form.barline != "regular"
        )
        if not edge:
            yield Remark(
                "section",
                f"section {bar.form.section} starts without a double bar line",
                bar,
            )


def _last_bar(sheet: LeadSheet) -> Iterator[Remark]:
    last = sheet.bars[-1]
    if (
        last.form.barline != "final"
        and not last.form.repeat_end
        and last.form.jump is None
    ):
        yield Remark("final-bar", "the last bar line is not a final one", last)
