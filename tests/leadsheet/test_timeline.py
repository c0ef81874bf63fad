"""Ties joined, and beats counted, in one place for everyone."""

from __future__ import annotations

from fractions import Fraction

from attrs import evolve

from leadsheet_theory import Key, Meter, Pitch
from leadsheet_theory.leadsheet import (
    Bar,
    Direction,
    Note,
    Rest,
    fold,
    held_notes,
)

ONE = Fraction(1)
G4 = (Pitch.parse("G4"),)


def bar(*melody: Note | Rest, number: int = 1, length: Fraction = 4 * ONE) -> Bar:
    return Bar(
        number=number,
        key=Key.parse("G"),
        meter=Meter(4, 4),
        length=length,
        melody=melody,
    )


def note(onset: Fraction, *, tied_in: bool = False, tied_on: bool = False) -> Note:
    return Note(
        onset=onset,
        duration=ONE,
        pitches=G4,
        tied_from_previous=tied_in,
        tied_to_next=tied_on,
    )


def lengths(*bars: Bar) -> list[Fraction]:
    return [held.duration for held in held_notes(bars)]


def test_a_tie_needs_both_its_ends() -> None:
    assert lengths(
        bar(note(3 * ONE, tied_on=True)), bar(note(0 * ONE, tied_in=True))
    ) == [2]
    assert lengths(bar(note(3 * ONE, tied_on=True)), bar(note(0 * ONE))) == [1, 1]
    assert lengths(bar(note(3 * ONE)), bar(note(0 * ONE, tied_in=True))) == [1, 1]


def test_half_a_tie_on_both_sides_of_a_silence_joins_nothing() -> None:
    left, right = note(0 * ONE, tied_on=True), note(2 * ONE, tied_in=True)
    assert lengths(bar(left, Rest(ONE, ONE), right)) == [1, 1]
    assert lengths(bar(left, right)) == [1, 1]


def test_held_notes_count_what_is_written_for_them() -> None:
    found = held_notes(
        [
            bar(note(2 * ONE), note(3 * ONE, tied_on=True)),
            bar(note(0 * ONE, tied_in=True), note(ONE)),
        ]
    )
    assert [held.indices for held in found] == [(0,), (1, 2), (3,)]
    assert [held.start for held in found] == [2, 3, 5]


def test_words_over_a_pickup_stand_on_the_beats_at_the_end_of_its_bar() -> None:
    pickup = bar(number=0, length=ONE)
    tune = [bar(note(0 * ONE), number=number) for number in range(1, 5)]
    words = Direction(Fraction(1, 2), "words", "softer")
    again = (evolve(pickup, directions=(words,)), *tune)
    remarks = fold((pickup, *tune, *again)).remarks
    assert [(remark.bar, remark.beat) for remark in remarks] == [(0, Fraction(9, 2))]
