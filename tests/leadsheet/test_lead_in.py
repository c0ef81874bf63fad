"""Whole bars that lead in.  That a pickup filled up with rests is one is common
practice, no source."""

from __future__ import annotations

from fractions import Fraction

import pytest
from attrs import evolve
from form_charts import changes, chart

from leadsheet_theory.leadsheet import Bar, Note, Rest, lead_in
from leadsheet_theory.pitch import Pitch

REST = Rest(Fraction(0), Fraction(3))
NOTE = Note(onset=Fraction(3), duration=Fraction(1), pitches=(Pitch.parse("C5"),))
FIRST = Note(onset=Fraction(0), duration=Fraction(3), pitches=(Pitch.parse("C5"),))
LEADS = (REST, NOTE)


def tune(
    form: str, melodies: dict[int, tuple[Note | Rest, ...]], chords: dict[int, str]
) -> list[Bar]:
    """Bars with melody and chords by their numbers."""
    return [
        evolve(
            bar,
            melody=melodies.get(bar.number, (FIRST, NOTE)),
            chords=changes(chords.get(bar.number, "")),
        )
        for bar in chart(form)
    ]


@pytest.mark.parametrize(
    ("form", "melodies", "chords", "bars"),
    [
        ("0-4", {}, {1: "1 F"}, 1),
        ("1-4", {1: LEADS}, {2: "1 F"}, 1),
        ("1-5", {1: LEADS}, {3: "1 F"}, 2),
        ("1 |: 2-5 :|", {1: LEADS}, {1: "1 C7", 2: "1 F"}, 1),
        # more bars are an introduction, and a melody that begins at once leads nowhere
        ("1-6", {1: LEADS}, {4: "1 F"}, 0),
        ("1-4", {}, {2: "1 F"}, 0),
        ("1-4", {1: LEADS}, {1: "1 C7", 2: "1 F"}, 0),
        ("1-4", {1: LEADS}, {2: "3 F"}, 0),
        ("1-4", {1: (REST,)}, {2: "1 F"}, 0),
        # what is come back to is played again, solos too
        ("|: 1-4 :|", {1: LEADS}, {2: "1 F"}, 0),
        ("Segno 1 |: 2-4 :|", {1: LEADS}, {2: "1 F"}, 0),
        ("1", {1: LEADS}, {}, 0),
        ("1-2", {1: LEADS}, {}, 0),
    ],
)
def test_bars_that_lead_in(
    form: str,
    melodies: dict[int, tuple[Note | Rest, ...]],
    chords: dict[int, str],
    bars: int,
) -> None:
    assert lead_in(tune(form, melodies, chords)) == bars


def test_there_may_be_no_bar() -> None:
    assert lead_in([]) == 0
