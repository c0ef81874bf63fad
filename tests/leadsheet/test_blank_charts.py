"""Blank charts: the form that is said is the form that is written and read back."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from parts_check import schema_errors

from leadsheet_theory.errors import FormSyntaxError, MeterError
from leadsheet_theory.leadsheet import blank_sheet, form_text, parse_form, play_order
from leadsheet_theory.musicxml import parse_lead_sheet, write_lead_sheet


@pytest.mark.parametrize(
    ("form", "whole", "played"),
    [
        ("A8", "A8", 8),
        ("12", "12", 12),
        ("A8 A8 B8 A8", "A8 A8 B8 A8", 32),
        ("A4 1:4 2:4 B8 A8", "|: A4 1:4 2:4 B8 A8", 32),
        ("A8 B4 1:4 2:4", "|: A8 B4 1:4 2:4", 32),
        ("Intro4 |: A8 :| B8 A8", "Intro4 |: A8 :| B8 A8", 36),
        ("A8 :|3", "|: A8 :|3", 24),
        ("4 |: A4 1,2:2 3:2", "4 |: A4 1,2:2 3:2", 22),
        ("A4 1-3:2 4:2", "|: A4 1,2,3:2 4:2", 24),
        ("A4 1:4 2:4 B4 1:4 2:4", "|: A4 1:4 2:4 |: B4 1:4 2:4", 32),
        ("A4 :| 1:4 2:4", "", 0),
    ],
)
def test_forms_as_players_say_them(form: str, whole: str, played: int) -> None:
    if not whole:
        with pytest.raises(FormSyntaxError, match="an ending of nothing"):
            parse_form(form)
        return
    tune = blank_sheet("Rope", form=form)
    assert form_text(tune.bars) == whole
    assert parse_form(whole) == parse_form(form)
    assert len(play_order(tune.bars).indices) == played


@pytest.mark.parametrize(
    ("form", "start", "problem"),
    [
        ("", 0, "a form without bars"),
        ("A8 1:4 2;4", 7, "'2;4' is no stretch of a form"),
        ("A", 0, "'A' is no stretch of a form"),
        ("A0", 0, "'A0' is no stretch of a form"),
        ("A8 1:4", 6, "a first ending alone"),
        ("A8 1:4 B8", 7, "a first ending alone"),
        ("A8 1:4 3:4", 7, "'3:4' is not the next ending"),
        ("A8 2:4", 3, "'2:4' is not the next ending"),
        ("1:4 2:4", 0, "an ending of nothing"),
        ("|: |: A8 :|", 3, "a repeat begins twice"),
        ("|: A8", 5, "a repeat without an end"),
        ("A8 1:4 2:4 :|", 11, "endings repeat by themselves"),
        ("A8 :| :|", 6, "a repeat of nothing"),
        ("A8 :|1", 3, "a repeat played 1 times"),
    ],
)
def test_what_is_wrong_is_told_with_its_place(
    form: str, start: int, problem: str
) -> None:
    with pytest.raises(FormSyntaxError) as caught:
        parse_form(form)
    assert (caught.value.problem, caught.value.start) == (problem, start)
    assert caught.value.expected


@pytest.mark.parametrize("pickup", [-1, 4])
def test_a_pickup_is_part_of_a_bar(pickup: int) -> None:
    with pytest.raises(MeterError, match="expected less than a bar of 4/4"):
        blank_sheet("Rope", form="A8", pickup=pickup)


def test_a_blank_chart_is_valid() -> None:
    tune = blank_sheet("Low Tide", form="A8 B4 1:4 2:4", key="Eb", pickup=1)
    assert not schema_errors(write_lead_sheet(tune, rhythm_staves=True))


SECTIONS = st.tuples(st.sampled_from(["", "A", "B", "Intro", "D'"]), st.integers(1, 9))
PLAIN = SECTIONS.map(lambda section: f"{section[0]}{section[1]}")
REPEATED = st.tuples(st.lists(PLAIN, min_size=1, max_size=2), st.integers(2, 4)).map(
    lambda block: f"|: {' '.join(block[0])} :|{block[1]}"
)
ENDED = st.tuples(
    st.booleans(), PLAIN, st.lists(st.integers(1, 4), min_size=2, max_size=3)
).map(
    lambda block: " ".join(
        ["|:"] * block[0]
        + [block[1]]
        + [f"{number}:{bars}" for number, bars in enumerate(block[2], 1)]
    )
)
FORMS = st.lists(st.one_of(PLAIN, REPEATED, ENDED), min_size=1, max_size=4).map(
    " ".join
)


@settings(max_examples=60)
@given(FORMS)
def test_a_form_said_back_is_the_same_form(form: str) -> None:
    tune = blank_sheet("Rope", form=form)
    said = form_text(tune.bars)
    assert form_text(blank_sheet("Rope", form=said).bars) == said
    assert blank_sheet("Rope", form=said) == tune


@settings(max_examples=12, deadline=None)
@given(
    FORMS,
    st.sampled_from(["4/4", "3/4", "6/8", "C|", "5/4"]),
    st.sampled_from(["Eb", "F# minor", "C"]),
    st.sampled_from([Fraction(0), Fraction(1), Fraction(3, 2)]),
)
def test_a_blank_chart_reads_back(
    form: str, meter: str, key: str, pickup: Fraction
) -> None:
    tune = blank_sheet("Low Tide", form=form, meter=meter, key=key, pickup=pickup)
    written = write_lead_sheet(tune, rhythm_staves=True)
    back = parse_lead_sheet(written)
    assert form_text(back.sheet.bars) == form_text(tune.bars)
    assert back.sheet.bars == tune.bars
    assert written.count(b"<score-part ") == 3  # melody, hits, bass line
    assert not [each for each in back.findings if each.severity != "note"]
