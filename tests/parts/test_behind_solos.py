"""The solo page with what the user puts on it: hits, backgrounds, counts, letters.

That backgrounds stand as small notes and hits above the slashes is common practice, no
source; so is the count of bars within a section."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from attrs import evolve
from form_charts import changes, chart, sheet

from leadsheet_theory import Part, make_parts, read_lead_sheet, solo_changes, write_part
from leadsheet_theory.errors import LayoutError
from leadsheet_theory.leadsheet import Hit, LeadSheet, Note, SoloChorus
from leadsheet_theory.musicxml import parse_lead_sheet
from leadsheet_theory.parts import SoloChanges, offered_letters, with_letters
from leadsheet_theory.pitch import Pitch

PROJECT = Path(__file__).resolve().parents[2]
HALF = Fraction(1, 2)
HITS = (Hit(3 * HALF, HALF), Hit(Fraction(3), Fraction(1)))
BACKGROUND = (
    Note(onset=HALF, duration=HALF, pitches=(Pitch.parse("F4"),)),
    Note(onset=2 * HALF, duration=2 * HALF, pitches=(Pitch.parse("Bb4"),)),
)


def tune(form: str = "0 A= 1-8 B= 9-16") -> LeadSheet:
    bars = []
    for bar in chart(form):
        note = Note(
            onset=Fraction(0), duration=bar.length, pitches=(Pitch.parse("A4"),)
        )
        chord = () if bar.is_pickup else changes("1 F")
        bars.append(evolve(bar, melody=(note,), chords=chord))
    return sheet(bars)


def with_music(page: SoloChanges, at: int, **music: object) -> SoloChanges:
    bars = list(page.bars)
    bars[at] = evolve(bars[at], **music)
    return evolve(page, bars=tuple(bars))


def made(source: LeadSheet, page: SoloChanges, book: str) -> Part:
    (part,) = make_parts(source, books=[book], solo_page=page, cue_label="hits")
    return part


def test_hits_stand_above_the_slashes_where_they_are_put() -> None:
    page = with_music(solo_changes(tune()), 2, hits=HITS)
    part = made(tune(), page, "C")
    cued = [bar.number for bar in (each.bar for each in part.solo) if bar.hits]
    assert cued == [19]
    bar = part.solo[2]
    assert [e.onset for e in bar.cue if isinstance(e, Hit)] == [3 * HALF, 3]
    assert (bar.cue_label, len(bar.slashes)) == ("hits", 4)
    again = parse_lead_sheet(write_part(part)).sheet.solo_chorus
    assert again is not None
    assert [bool(bar.hits) for bar in again.bars].index(True) == 2


@pytest.mark.parametrize(
    ("book", "pitches", "sign"),
    [
        ("C", "F4 Bb4", "flat"),
        ("Bb", "G4 C5", "natural"),
        ("Bass clef", "F3 Bb3", "flat"),
    ],
)
def test_backgrounds_are_small_notes_at_the_readers_pitch(
    book: str, pitches: str, sign: str
) -> None:
    page = with_music(solo_changes(tune()), 4, melody=BACKGROUND)
    bar = made(tune(), page, book).solo[4]
    assert " ".join(map(str, bar.lower_pitches)) == pitches
    assert bar.shared.counterline_label == "backgrounds"
    assert set(bar.lower_stems) == {"up"}
    assert [each and each.name for each in bar.lower_accidentals] == [None, sign]
    assert len(bar.slashes) == 4


def test_a_background_may_be_a_second_voice() -> None:
    page = with_music(solo_changes(tune()), 4, counterline=BACKGROUND)
    bar = made(tune(), page, "C").solo[4]
    assert " ".join(map(str, bar.lower_pitches)) == "F4 Bb4"
    page = with_music(page, 4, melody=BACKGROUND)
    told = "a second voice behind the solos is not carried (bar 5 of the solo page)"
    found = made(tune(), page, "C").report.findings
    assert told in [each.message for each in found]


def test_a_background_in_the_last_bar_stands_in_place_of_the_pickup() -> None:
    page = with_music(solo_changes(tune()), -1, melody=BACKGROUND)
    part = made(tune(), page, "C")
    assert part.solo[-1].shared.counterline_label == "backgrounds"
    assert any("the pickup that" in each.message for each in part.report.findings)


def test_a_chorus_of_the_charts_own_keeps_what_is_played_behind_it() -> None:
    chorus = tuple(
        evolve(bar, chords=changes("1 F7"), hits=HITS if bar.number == 3 else ())
        for bar in chart("1-12")
    )
    source = evolve(tune(), solo_chorus=SoloChorus(chorus))
    (part,) = make_parts(source, books=["C"])
    assert [bool(bar.cue) for bar in part.solo].index(True) == 2


def test_the_heads_hits_are_left_out_and_told_or_kept() -> None:
    source = tune()
    bars = [evolve(bar, hits=HITS) if bar.number == 9 else bar for bar in source.bars]
    source = evolve(source, bars=tuple(bars))
    page = solo_changes(source)
    assert not any(bar.hits for bar in page.bars)
    assert "the hits are not played behind the solos" in [
        each.message for each in page.remarks
    ]
    kept = solo_changes(source, hits="kept")
    assert [bar.number for bar in kept.bars if bar.hits] == [9]
    assert "hits" not in " ".join(each.message for each in kept.remarks)


def test_bars_are_counted_within_their_section() -> None:
    page = solo_changes(tune("A= 1-8 B= 9-18"), bar_counts=4)
    counts = {
        bar.number: each.text
        for bar in page.bars
        for each in bar.directions
        if each.text.startswith("(")
    }
    assert counts == {4: "(4)", 8: "(8)", 12: "(4)", 16: "(8)"}
    with pytest.raises(LayoutError, match="expected 0 or more"):
        solo_changes(tune(), bar_counts=-1)
    (part,) = make_parts(tune(), books=["C"], solo_page=page)
    again = parse_lead_sheet(write_part(part)).sheet.solo_chorus
    assert again is not None
    assert not any(bar.directions for bar in again.bars)


def test_a_later_ending_counts_on_from_where_the_first_began() -> None:
    source = tune("|: A= 1-6 [1: 7-8 :|] [2: 9-10]")
    page = solo_changes(source, form="as written", bar_counts=4)
    counts = [
        [each.text for each in bar.directions] for bar in page.bars if bar.directions
    ]
    assert counts == [["(4)"], ["(8)"], ["(8)"]]


def test_letters_are_offered_to_a_tune_without_any() -> None:
    chart = PROJECT / "shared/charts/solos/two_tides_a_day.musicxml"
    source = read_lead_sheet(chart).sheet
    letters = {source.bars[at].number: n for at, n in offered_letters(source).items()}
    assert letters == {1: "A", 9: "B"}
    (part,) = make_parts(source, books=["C"])
    assert any(each.rule == "letters" for each in part.report.findings)
    lettered = with_letters(source)
    source = evolve(source, bars=lettered.bars)
    (part,) = make_parts(source, books=["C"])
    named = {bar.bar.number: bar.bar.form.section for bar in part.bars}
    assert {at: name for at, name in named.items() if name} == letters
    assert not any(each.rule == "letters" for each in part.report.findings)
    assert str(lettered.remarks[0]) == "letters stand where sections begin: bars 1, 9"
    assert with_letters(source).bars == source.bars
