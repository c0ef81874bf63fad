"""Corrections of a chart: other chords and notes in place of those that stand there."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from attrs import evolve

from ..errors import DecisionError
from ..leadsheet.findings import beat_text
from ..leadsheet.form import play_order
from ..leadsheet.model import Bar, LeadSheet, Note, PlacedChord, SoloChorus
from ._wishes import chord_correction, note_correction
from .model import Decision, Decisions

__all__ = ("corrected",)


def corrected(sheet: LeadSheet, decisions: Decisions) -> LeadSheet:
    """The tune with its chords and notes corrected; a tied note is corrected as far as
    its ties lead.

    Raises:
        DecisionError: if there is no such chord or note.
    """
    entered = sheet
    for key, correct in (("correct-chord", _chord), ("correct-note", _note)):
        for decision in decisions.of(key):
            sheet = _applied(sheet, decision, correct)
    if sheet is entered or sheet.solo_chorus is None:
        return sheet
    return evolve(sheet, solo_chorus=_with_head(sheet.solo_chorus, entered, sheet))


def _with_head(chorus: SoloChorus, entered: LeadSheet, sheet: LeadSheet) -> SoloChorus:
    """The chart's own solo chorus with the chords of the corrected head where it had
    those of the head as entered; it stays as it is where it is of another length."""
    head = [at for at in play_order(sheet.bars).indices if sheet.bars[at].counts]
    played = play_order(chorus.bars).indices
    if len(head) != len(played):
        return chorus
    bars = list(chorus.bars)
    for place, at in zip(played, head, strict=True):
        # the same bar of the head may be corrected in another place of the chorus
        if chorus.bars[place].chords == entered.bars[at].chords:
            bars[place] = evolve(bars[place], chords=sheet.bars[at].chords)
    return evolve(chorus, bars=tuple(bars))


def _applied(
    sheet: LeadSheet,
    decision: Decision,
    correct: Callable[[list[Bar], str], None],
) -> LeadSheet:
    bars = list(sheet.bars)
    try:
        correct(bars, str(decision.value))
    except DecisionError as error:
        raise decision.wrong(error) from None
    return evolve(sheet, bars=tuple(bars))


def _bar(bars: list[Bar], number: int) -> int:
    for index, bar in enumerate(bars):
        if bar.number == number:
            return index
    raise DecisionError(
        f"no bar {number}: the tune ends with bar {max(bar.number for bar in bars)}"
    )


def _chord(bars: list[Bar], text: str) -> None:
    """Put another chord in the place of one."""
    number, beat, symbol = chord_correction(text)
    index = _bar(bars, number)
    bar = bars[index]
    chords = tuple(
        PlacedChord(each.onset, symbol) if bar.beat_of(each.onset) == beat else each
        for each in bar.chords
    )
    there = [
        f"{each.symbol} on beat {beat_text(bar.beat_of(each.onset))}"
        for each in bar.chords
    ]
    if not any(bar.beat_of(each.onset) == beat for each in bar.chords):
        raise _nothing("chord", number, beat, there)
    bars[index] = evolve(bar, chords=chords)


def _note(bars: list[Bar], text: str) -> None:
    """Put another pitch in the place of a note's, and of those tied to it."""
    number, beat, pitch = note_correction(text)
    index = _bar(bars, number)
    bar = bars[index]
    notes = [
        (place, event)
        for place, event in enumerate(bar.melody)
        if isinstance(event, Note) and not event.grace
    ]
    found = next((each for each in notes if bar.beat_of(each[1].onset) == beat), None)
    if found is None:
        there = [
            f"{event.pitch} on beat {beat_text(bar.beat_of(event.onset))}"
            for _, event in notes
        ]
        raise _nothing("note", number, beat, there)
    place, note = found
    if note.tied_from_previous:
        raise DecisionError(
            f"the note in bar {number}, beat {beat_text(beat)} is tied to the one "
            "before: correct that one"
        )
    old = min(note.pitches, key=lambda each: abs(each.midi - pitch.midi))
    while True:
        event = bars[index].melody[place]
        if not isinstance(event, Note) or old not in event.pitches:
            return
        melody = list(bars[index].melody)
        melody[place] = evolve(
            event,
            pitches=tuple(pitch if each == old else each for each in event.pitches),
        )
        bars[index] = evolve(bars[index], melody=tuple(melody))
        if not event.tied_to_next:
            return
        place += 1
        if place == len(bars[index].melody):
            index, place = index + 1, 0
            if index == len(bars) or not bars[index].melody:
                return


def _nothing(what: str, number: int, beat: Fraction, there: list[str]) -> DecisionError:
    is_there = f"there are {', '.join(there)}" if there else "the bar has none"
    return DecisionError(
        f"no {what} in bar {number}, beat {beat_text(beat)}: {is_there}"
    )
