"""Systems and pages.  Four bars to a system and where sections start: common
practice, no source, but where a line names one."""

from __future__ import annotations

from fractions import Fraction

import pytest
from attrs import evolve
from form_charts import changes, chart, sheet

from leadsheet_theory.errors import LayoutError
from leadsheet_theory.leadsheet.model import Hit
from leadsheet_theory.parts import (
    A4,
    LETTER,
    Page,
    PagePlan,
    check_same_plan,
    make_parts,
    plan_systems,
)


def systems(text: str, **options: object) -> list[int]:
    """The bar numbers that begin systems."""
    bars = chart(text)
    plan = plan_systems(bars, **options)  # type: ignore[arg-type]
    return [bars[index].number for index in plan.system_starts]


@pytest.mark.parametrize(
    ("text", "starts"),
    [
        ("1-32", [1, 5, 9, 13, 17, 21, 25, 29]),
        ("0 1-12", [0, 5, 9]),  # the pickup is not counted
        ("1-12", [1, 5, 9]),
        ("0", [0]),
        ("", []),
        # No bar is left alone for the last system.
        ("1-9", [1, 5, 8]),
        ("1-5", [1, 4]),
        ("1", [1]),
        # Sections and endings start systems where that costs none.
        ("A= 1-6 B= 7-14", [1, 5, 7, 11]),
        ("|: A= 1-6 [1: 7-8 :|] [2: 9-10] B= 11-18", [1, 5, 9, 11, 15]),
        ("A= 1-8 B= 9-16", [1, 5, 9, 13]),
        # Letters and codas start systems where the page has room.
        ("A= 1-5 B= 6-12", [1, 4, 6, 10]),
        ("1-5 Coda 6-12", [1, 4, 6, 10]),
        # That would leave a bar alone.
        ("A= 1 B= 2-8", [1, 5]),
        # Nine systems fill the page.
        ("A= 1-5 B= 6-36", [1, 5, 9, 13, 17, 21, 25, 29, 33]),
        ("1-6 |: 7-14 :|", [1, 5, 7, 11]),
        ("1-6 Coda 7-10", [1, 5, 7]),
    ],
)
def test_systems(text: str, starts: list[int]) -> None:
    assert systems(text) == starts


def test_sections_start_systems_as_asked() -> None:
    text = "0 A= 1-5 B= 6-12"
    assert systems(text, section_starts="where free") == [0, 5, 9]
    assert systems(text, section_starts="always") == [0, 4, 6, 10]
    assert systems(text, section_starts="as they fall") == [0, 5, 9]
    assert systems("A= 1-6 B= 7-14", section_starts="as they fall") == [1, 5, 9, 13]


def test_other_numbers_of_bars() -> None:
    assert systems("1-12", bars_per_system=3) == [1, 4, 7, 10]
    assert systems("1-3", bars_per_system=1) == [1, 2, 3]
    with pytest.raises(LayoutError) as error:
        plan_systems(chart("1-3"), bars_per_system=0)
    assert str(error.value) == "0 bars to a system: expected at least 1"


def test_paper() -> None:
    # ISO 216 and ANSI/ASME Y14.1; 8 or 9 systems on page one and 10 later:
    # D. J. Argue, "Music preparation", 2023.
    assert (A4.width, A4.height) == (210.0, 297.0)
    assert (LETTER.width, LETTER.height) == pytest.approx((8.5 * 25.4, 11 * 25.4))
    assert (A4.first_page_systems, A4.later_page_systems) == (9, 10)
    assert (LETTER.first_page_systems, LETTER.later_page_systems) == (9, 9)


def test_pages() -> None:
    def pages(bars: int, page: Page = A4) -> list[int]:
        return [
            at // 4 for at in plan_systems(chart(f"1-{bars}"), page=page).page_starts
        ]

    assert pages(32) == [0]
    assert pages(9 * 4) == [0]
    assert pages(12 * 4) == [0, 6]  # pages are filled alike
    assert pages(10 * 4) == [0, 5]
    assert pages(20 * 4) == [0, 7, 14]
    assert pages(30 * 4) == [0, 8, 16, 23]
    small = Page(width=100.0, height=80.0, heading=10.0, running_heading=10.0)
    assert pages(3 * 4, small) == [0, 1, 2]
    assert plan_systems(()).page_starts == ()


def test_a_page_turns_to_a_section_near_its_foot() -> None:
    plan = plan_systems(chart("A= 1-32 B= 33-48"))
    assert [at // 4 for at in plan.page_starts] == [0, 8]
    # ... but not where that costs a page.
    plan = plan_systems(chart("A= 1-32 B= 33-76"))
    assert [at // 4 for at in plan.page_starts] == [0, 9]


def test_impossible_pages() -> None:
    with pytest.raises(LayoutError) as error:
        Page(width=210.0, height=60.0)
    assert str(error.value) == (
        "no room for a system on 210 by 60 mm: expected smaller margins, heading or "
        "staves"
    )
    with pytest.raises(LayoutError):
        Page(width=210.0, height=297.0, staff=0.0)


def test_the_solo_page_begins_a_page() -> None:
    tune, solo = (
        plan_systems(chart("0 1-8")),
        plan_systems(chart("1-8"), later_page=True),
    )
    assert tune.followed_by(solo) == PagePlan(17, (0, 5, 9, 13), (0, 9), A4)


def test_parts_must_share_a_plan() -> None:
    plan = plan_systems(chart("0 1-12"))
    assert check_same_plan({}) == ()
    assert check_same_plan({"C": plan, "B♭": plan}) == ()
    other = evolve(plan, system_starts=(0, 4, 8), page_starts=(0, 8))
    assert [str(finding) for finding in check_same_plan({"C": plan, "B♭": other})] == [
        "systems of B♭ differ from C",
        "pages of B♭ differ from C",
    ]


def test_the_parts_of_a_tune_share_their_plan_and_their_cues() -> None:
    signs = chart("0 |: A= 1-6 [1: 7-8 :|] [2: 9-10] B= 11-18")
    bars = [
        evolve(
            written,
            chords=changes("1 Fmaj7, 2.5 Bm7, 4.5 E7" if written.number else ""),
            hits=(Hit(Fraction(3, 2), Fraction(1, 2)),) if written.number % 3 else (),
        )
        for written in signs
    ]
    parts = make_parts(sheet(bars), page=LETTER, bars_per_system=3)
    plans = {part.name: part.plan for part in parts}
    for part in parts:
        bars_of_part = (*part.bars, *part.solo)
        systems = [i for i, each in enumerate(bars_of_part) if each.starts_system]
        pages = [i for i, each in enumerate(bars_of_part) if each.starts_page]
        assert part.plan.system_starts == tuple(systems)
        assert part.plan.page_starts == tuple(pages)
    assert len(plans) == 5
    assert check_same_plan(plans) == ()
    assert plans["C"].page_starts == (0, 19)  # the solo page begins a page
    assert len({tuple(each.cue for each in part.bars) for part in parts}) == 1
