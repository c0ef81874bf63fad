"""Proofreading the form: sections, the last bar line, the heading, the clef."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise
from typing import Final

from ..leadsheet.model import Bar, LeadSheet, Note
from ._remarks import Remark
from ._view import View

__all__ = ("check_form",)

_MOST_SIGNS: Final = 6
_LEFT_OUT: Final = frozenset("IO")
"""Letters that are left out, as they look like figures (from memory)."""
_LETTER: Final = re.compile(r"([A-Z])(\d*|['’′]*)$")
_LOW: Final = 60
"""Middle C: a tune that stays below it wants the bass clef, or an octave more."""
_FEW: Final = 4


def check_form(view: View) -> Iterator[Remark]:
    """Everything that concerns the chart as a whole."""
    sheet = view.sheet
    if not sheet.title.strip():
        yield Remark("heading", "the chart has no title", advice="give it one")
    if not any((sheet.composer, sheet.lyricist, sheet.arranger)):
        yield Remark(
            "heading", "nobody is named as composer, lyricist or arranger",
            advice="name who wrote it",
        )  # fmt: skip
    if not any(isinstance(note, Note) for bar in sheet.bars for note in bar.melody):
        yield Remark("no-melody", "no note in the whole chart")
    if sheet.bars:
        yield from _keys(sheet)
        yield from _sections(sheet)
        yield from _letters(sheet)
        yield from _segnos(sheet)
        yield from _jump_in_the_middle(sheet)
        yield from _lone_ending(sheet)
        yield from _last_bar(sheet)
        yield from _clef(view)


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


def _letters(sheet: LeadSheet) -> Iterator[Remark]:
    """Letters in order: each new one the next of the alphabet, the same again only
    over the same music."""
    seen: dict[str, int] = {}
    last = ""
    found = [
        (index, match)
        for index, bar in enumerate(sheet.bars)
        if bar.form.section
        and (match := _LETTER.match(bar.form.section.strip())) is not None
    ]
    letters = [match[1] for _, match in found]
    for place, (index, match) in enumerate(found):
        bar = sheet.bars[index]
        letter, mark = match[1], match[2]
        if index and sheet.bars[index - 1].form.barline == "final":
            seen, last = {}, ""
        where = seen.setdefault(letter + mark, index)
        if where != index:
            if not _alike(sheet, where, index):
                yield Remark(
                    "section-letter",
                    f"{letter}{mark} stands over bar {sheet.bars[where].number} "
                    "already, over other music",
                    bar,
                    found=f"{letter}{mark}",
                )
            continue
        if mark or letter in {text[:1] for text in seen if seen[text] != index}:
            continue
        wanted = _after(last)
        if letter != wanted and (last or "A" in letters[place:]):
            yield Remark(
                "section-letter",
                f"{letter} comes after {last}" if last else f"{letter} comes first",
                bar,
                found=letter,
                proposed=wanted,
            )
        last = max(last, letter)


def _after(letter: str) -> str:
    following = chr(ord(letter) + 1) if letter else "A"
    return _after(following) if following in _LEFT_OUT else following


def _alike(sheet: LeadSheet, one: int, other: int) -> bool:
    """Whether two sections begin with the same two bars or more than half alike in
    their first four."""
    bars = sheet.bars
    pairs = [
        (one + step, other + step) for step in range(_FEW) if other + step < len(bars)
    ]
    return 2 * sum(_tune(bars[a]) == _tune(bars[b]) for a, b in pairs) >= len(pairs)


def _tune(bar: Bar) -> tuple[object, ...]:
    return tuple(
        (event.onset, event.pitch.midi)
        for event in bar.melody
        if isinstance(event, Note)
    )


def _segnos(sheet: LeadSheet) -> Iterator[Remark]:
    """Signs that no D.S. goes back to, or of which nobody knows which one is meant."""
    signs = [bar for bar in sheet.bars if bar.form.segno]
    backs = sum(
        bar.form.jump is not None and bar.form.jump.back_to == "segno"
        for bar in sheet.bars
    )
    if signs and not backs:
        yield Remark("jump", "a segno that no D.S. goes back to", signs[0])
    elif len(signs) > max(1, backs):
        yield Remark("jump", f"{len(signs)} segnos: which one is meant?", signs[1])


def _jump_in_the_middle(sheet: LeadSheet) -> Iterator[Remark]:
    """A plain D.C. or D.S. that more music follows, where nothing says whether that is
    played at all."""
    for bar, after in pairwise(sheet.bars):
        jump = bar.form.jump
        plain = jump is not None and not jump.until and not jump.after_solos
        if plain and not after.form.ending_starts:
            yield Remark(
                "jump",
                "bars after a D.C. or D.S. that nothing leads to",
                after,
                advice="say how far the D.C. or D.S. goes, or end the tune here",
            )


def _lone_ending(sheet: LeadSheet) -> Iterator[Remark]:
    """A first ending with its repeat, and no second one after it."""
    bars = sheet.bars
    for index, bar in enumerate(bars):
        if bar.form.ending != (1,) or not bar.form.repeat_end:
            continue
        after = bars[index + 1] if index + 1 < len(bars) else None
        if after is None:
            yield Remark("ending", "a first ending with nothing after it", bar)
        elif not after.form.ending:
            yield Remark(
                "ending", "a first ending without a second", bar, severity="query"
            )


def _last_bar(sheet: LeadSheet) -> Iterator[Remark]:
    last = sheet.bars[-1]
    if sheet.solo_chorus is not None or any(bar.form.to_solos for bar in sheet.bars):
        return  # the head goes on into the solos
    if (
        last.form.barline != "final"
        and not last.form.repeat_end
        and last.form.jump is None
    ):
        yield Remark("final-bar", "the last bar line is not a final one", last)


def _clef(view: View) -> Iterator[Remark]:
    if len(view.sung) < _FEW:
        return
    low = sum(note.midi < _LOW for note in view.sung)
    if 3 * low > 2 * len(view.sung):
        yield Remark(
            "clef",
            f"{low} of {len(view.sung)} notes lie below middle C",
            view.bars[view.sung[0].bar],
        )
