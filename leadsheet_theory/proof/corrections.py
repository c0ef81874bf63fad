"""What a finding proposes, done: the corrected sheet.

Only what is mechanical is done, exactly as the finding proposes it; the sheet that was
given stays as it is.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from attrs import evolve

from ..chords import parse_symbol
from ..errors import CorrectionError
from ..key import Key
from ..leadsheet.findings import Finding
from ..leadsheet.model import Bar, LeadSheet, Note, PlacedChord, Rest
from ..leadsheet.stacked_chords import spread_stacked_chords
from ..pitch import NoteName, Pitch
from ..rhythm.meter import Meter

__all__ = ("apply", "is_mechanical")

_PLACE: Final = re.compile(r"bar (\d+), beat (\d+(?:/\d+)?)$")
_STRETCH: Final = re.compile(r"(.+), bars (\d+)–(\d+)$")


def is_mechanical(finding: Finding, /) -> bool:
    """Whether :func:`apply` can do what a finding proposes."""
    return finding.rule in _DONE_BY and (
        bool(finding.proposed) or finding.rule in _WITHOUT_WORDS
    )


def apply(sheet: LeadSheet, finding: Finding, /) -> LeadSheet:
    """The sheet as a finding of :func:`~.passes.proofread` proposes it.

    Raises:
        CorrectionError: if nothing mechanical is proposed, or what the finding found
            does not stand in the sheet any more.

    >>> from leadsheet_theory.leadsheet import Bar, LeadSheet
    >>> from leadsheet_theory.proof import proofread
    >>> bar = Bar(number=1, key=Key.parse("F"), meter=Meter(4, 4), length=Fraction(4),
    ...           chords=(
    ...     PlacedChord(Fraction(0), parse_symbol("F")),
    ...     PlacedChord(Fraction(9, 4), parse_symbol("C7"))))
    >>> sheet = LeadSheet(title="Slack Water", bars=(bar,))
    >>> (late,) = [f for f in proofread(sheet) if f.rule == "chord-beat"]
    >>> late.proposed, str(apply(sheet, late).bars[0].chords[1].onset)
    ('bar 1, beat 3', '2')
    """
    if not is_mechanical(finding):
        raise CorrectionError(f"nothing to be done mechanically: {finding}")
    return _DONE_BY[finding.rule](sheet, finding)


def _gone(finding: Finding) -> CorrectionError:
    return CorrectionError(
        f"bar {finding.bar} does not hold {finding.found or 'that'} any more"
    )


# -- where it is


def _index(sheet: LeadSheet, finding: Finding, number: int | None = None) -> int:
    wanted = finding.bar if number is None else number
    for index, bar in enumerate(sheet.bars):
        if bar.number == wanted:
            return index
    raise _gone(finding)


def _with(sheet: LeadSheet, index: int, bar: Bar) -> LeadSheet:
    return evolve(sheet, bars=(*sheet.bars[:index], bar, *sheet.bars[index + 1 :]))


def _stands(bar: Bar, onset: Fraction, finding: Finding) -> bool:
    return finding.beat is None or bar.beat_of(onset) == finding.beat


def _chord_at(bar: Bar, finding: Finding) -> int:
    for place, placed in enumerate(bar.chords):
        texts = (str(placed.symbol), placed.symbol.source)
        if _stands(bar, placed.onset, finding) and finding.found in texts:
            return place
    raise _gone(finding)


# -- notes


def _pitches(sheet: LeadSheet, finding: Finding) -> LeadSheet:
    """One note or several in a row, with what is tied to them."""
    old = [Pitch.parse(name) for name in finding.found.split()]
    new = [Pitch.parse(name) for name in finding.proposed.split()]
    return _replaced(sheet, finding, old, lambda place, _pitch: new[place])


def _name(sheet: LeadSheet, finding: Finding) -> LeadSheet:
    """One note under another name."""
    name = NoteName.parse(finding.proposed)
    return _replaced(
        sheet, finding, [None], lambda _place, pitch: Pitch.nearest(name, pitch.midi)
    )


def _replaced(
    sheet: LeadSheet,
    finding: Finding,
    old: list[Pitch] | list[None],
    new: Callable[[int, Pitch], Pitch],
) -> LeadSheet:
    start = _index(sheet, finding)
    bars = list(sheet.bars)
    done = -1
    for index in range(start, len(bars)):
        melody: list[Note | Rest] = []
        for event in bars[index].melody:
            here = isinstance(event, Note) and not event.grace
            if here and isinstance(event, Note):
                begun = done >= 0
                held = begun and event.tied_from_previous
                begins = index == start and _stands(bars[index], event.onset, finding)
                if not held and (begun or begins) and done + 1 < len(old):
                    done += 1
                    wanted = old[done]
                    if wanted is not None and event.pitch != wanted:
                        raise _gone(finding)
                elif not held and begun:
                    melody.append(event)
                    done = len(old)
                    continue
                if 0 <= done < len(old):
                    pitch = new(done, event.pitch)
                    event = evolve(event, pitches=(pitch, *event.pitches[1:]))
            melody.append(event)
        bars[index] = evolve(bars[index], melody=tuple(melody))
        if done >= len(old):
            break
    if done < 0:
        raise _gone(finding)
    return evolve(sheet, bars=tuple(bars))


# -- chords


def _chord(sheet: LeadSheet, finding: Finding) -> LeadSheet:
    """Another symbol in its place."""
    index = _index(sheet, finding)
    bar = sheet.bars[index]
    place = _chord_at(bar, finding)
    placed = PlacedChord(bar.chords[place].onset, parse_symbol(finding.proposed))
    chords = (*bar.chords[:place], placed, *bar.chords[place + 1 :])
    return _with(sheet, index, evolve(bar, chords=chords))


def _no_chord(sheet: LeadSheet, finding: Finding) -> LeadSheet:
    """A symbol left out."""
    index = _index(sheet, finding)
    bar = sheet.bars[index]
    place = _chord_at(bar, finding)
    return _with(
        sheet,
        index,
        evolve(bar, chords=(*bar.chords[:place], *bar.chords[place + 1 :])),
    )


def _spread(sheet: LeadSheet, finding: Finding) -> LeadSheet:
    """Symbols of one beat spread over the beats up to the next one."""
    index = _index(sheet, finding)
    bar = sheet.bars[index]
    _chord_at(bar, finding)
    return _with(sheet, index, spread_stacked_chords([bar]).bars[0])


def _moved(sheet: LeadSheet, finding: Finding) -> LeadSheet:
    """A symbol on another beat, perhaps of another bar."""
    match = _PLACE.match(finding.proposed)
    if match is None:
        raise CorrectionError(f"{finding.proposed!r} is no place in the chart")
    index = _index(sheet, finding)
    bar = sheet.bars[index]
    symbol = bar.chords[_chord_at(bar, finding)].symbol
    sheet = _no_chord(sheet, finding)
    to = _index(sheet, finding, int(match[1]))
    goal = sheet.bars[to]
    unit = Fraction(4, goal.meter.beat_type)
    onset = (Fraction(match[2]) - goal.beat_of(Fraction(0))) * unit
    chords = sorted(
        (*goal.chords, PlacedChord(onset, symbol)), key=lambda placed: placed.onset
    )
    return _with(sheet, to, evolve(goal, chords=tuple(chords)))


# -- signatures and signs


def _meter(sheet: LeadSheet, finding: Finding) -> LeadSheet:
    """The time signature up to the next one."""
    meter = Meter.parse(finding.proposed)
    index = _index(sheet, finding)
    start = sheet.bars[index].meter
    bars = list(sheet.bars)
    if index and bars[index - 1].is_pickup:
        index -= 1
    while index < len(bars) and bars[index].meter == start:
        bars[index] = evolve(bars[index], meter=meter)
        index += 1
    return evolve(sheet, bars=tuple(bars))


def _signature(sheet: LeadSheet, finding: Finding) -> LeadSheet:
    """The key signature wherever the found one stands."""
    old, new = Key.parse(finding.found), Key.parse(finding.proposed)
    bars = tuple(evolve(bar, key=new) if bar.key == old else bar for bar in sheet.bars)
    return evolve(sheet, bars=bars)


def _key_change(sheet: LeadSheet, finding: Finding) -> LeadSheet:
    match = _STRETCH.match(finding.proposed)
    if match is None:
        raise CorrectionError(f"{finding.proposed!r} is no key with its bars")
    key, first, last = Key.parse(match[1]), int(match[2]), int(match[3])
    bars = tuple(
        evolve(bar, key=key) if first <= bar.number <= last else bar
        for bar in sheet.bars
    )
    return evolve(sheet, bars=bars)


def _letter(sheet: LeadSheet, finding: Finding) -> LeadSheet:
    index = _index(sheet, finding)
    bar = sheet.bars[index]
    form = evolve(bar.form, section=finding.proposed)
    return _with(sheet, index, evolve(bar, form=form))


def _final(sheet: LeadSheet, finding: Finding) -> LeadSheet:
    index = _index(sheet, finding)
    bar = sheet.bars[index]
    form = evolve(bar.form, barline="final")
    return _with(sheet, index, evolve(bar, form=form))


def _double(sheet: LeadSheet, finding: Finding) -> LeadSheet:
    index = _index(sheet, finding) - 1
    if index < 0:
        raise _gone(finding)
    bar = sheet.bars[index]
    form = evolve(bar.form, barline="double")
    return _with(sheet, index, evolve(bar, form=form))


def _parallel(sheet: LeadSheet, finding: Finding) -> LeadSheet:
    """A note or a chord as its like place has it."""
    is_note = finding.found[-1:].isdigit() and _is_pitch(finding.found)
    return _pitches(sheet, finding) if is_note else _chord(sheet, finding)


def _is_pitch(text: str) -> bool:
    return re.fullmatch(r"[A-G](#*|b*)\d", text) is not None


_WITHOUT_WORDS: Final = frozenset(
    {"chord-repeated", "final-bar", "section", "stacked-chords"}
)
_DONE_BY: Final[Mapping[str, Callable[[LeadSheet, Finding], LeadSheet]]] = (
    MappingProxyType(
        {
            "accidental": _pitches,
            "octave": _pitches,
            "parallel": _parallel,
            "enharmonic": _name,
            "chord-root": _chord,
            "chord-quality": _chord,
            "chord-spelling": _chord,
            "chord-text": _chord,
            "chord-repeated": _no_chord,
            "stacked-chords": _spread,
            "chord-beat": _moved,
            "push": _moved,
            "meter": _meter,
            "signature": _signature,
            "key-change": _key_change,
            "section-letter": _letter,
            "section": _double,
            "final-bar": _final,
        }
    )
)
