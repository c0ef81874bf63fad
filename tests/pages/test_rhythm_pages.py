"""Drawn pages of the rhythm section's books (common practice, no source)."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from attrs import evolve

from leadsheet_theory import make_parts, read_lead_sheet, write_part
from leadsheet_theory.instruments import DRUMS, RHYTHM, RhythmBook
from leadsheet_theory.pages import can_draw, draw_pages
from leadsheet_theory.pages._music import draw_systems
from leadsheet_theory.pages.look import ENGRAVED

CHARTS = Path(__file__).resolve().parents[2] / "shared/charts/as_they_come"
pytestmark = pytest.mark.skipif(not can_draw(), reason="the extra pages is missing")


def systems(chart: str, book: RhythmBook) -> list[str]:
    """The drawn systems of a part, the solo page's after the tune's."""
    sheet = read_lead_sheet(CHARTS / f"{chart}.musicxml").sheet
    (part,) = make_parts(sheet, books=book)
    drawn = draw_systems(write_part(part), staff=7.5, width=180, look=ENGRAVED)
    return [system.svg for system in drawn]


def staves(svg: str) -> float:
    """How many staves a system has."""
    return svg.count('class="staff"') / svg.count('class="measure"')


@pytest.mark.parametrize(
    ("book", "expected"),
    [
        (RHYTHM, [2, 1, 1, 1, 2, 1]),
        # the melody is silent in no system
        (evolve(RHYTHM, melody=True), [3, 2, 2, 2, 3, 2]),
        (DRUMS, [1, 1, 1, 1, 1, 1]),
    ],
    ids=["rhythm", "with melody", "drums"],
)
def test_staves_stand_in_the_systems_that_need_them(
    book: RhythmBook, expected: list[int]
) -> None:
    drawn = systems("mooring_bell_strut", book)
    assert [staves(svg) for svg in drawn] == [*expected, *[1] * (len(drawn) - 6)]


@pytest.mark.parametrize("melody", [False, True])
def test_chords_stand_over_their_beats(melody: bool) -> None:
    """The first chord of each system, over the slash on its first beat."""
    for svg in systems("winch_house_waltz", evolve(RHYTHM, melody=melody)):
        chord = re.search(r'class="harm"[^>]*>.*?<text x="(-?[\d.]+)"', svg, re.DOTALL)
        heads = re.findall(r'class="notehead">.*?translate\((-?[\d.]+)', svg)
        assert chord is not None
        # in hundredths of a millimetre
        assert abs(float(chord[1]) - min(map(float, heads))) < 200


def test_pages_of_all_books_are_drawn() -> None:
    sheet = read_lead_sheet(CHARTS / "winch_house_waltz.musicxml").sheet
    parts = make_parts(sheet, books=("C", RHYTHM, DRUMS))
    assert len({len(draw_pages(part)) for part in parts}) == 1
