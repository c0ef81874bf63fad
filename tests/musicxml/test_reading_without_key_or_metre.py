"""Files that say no key or no metre: what notes, chords, lengths and beams say."""

import pytest
from score_elements import FOUR, harmony, note, read, said, start

BARE = "<attributes><divisions>2</divisions></attributes>"
WALTZ = (
    harmony("D", "minor") + note("D5", 2) + note("F5", 2) + note("A5", 2),
    harmony("G", "minor") + note("G5", 2) + note("Bb5", 2) + note("A5", 2),
    harmony("A", "dominant") + note("E5", 2) + note("C#5", 2) + note("A4", 2),
    harmony("D", "minor") + note("D5", 6),
)


def test_three_quarters_a_bar_are_three_four():
    """They came out in 4/4, without a word."""
    sheet_and_told = read(BARE + WALTZ[0], *WALTZ[1:])
    sheet = sheet_and_told.sheet
    assert {str(bar.meter) for bar in sheet.bars} == {"3/4"}
    assert {str(bar.key) for bar in sheet.bars} == {"D minor"}
    assert [bar.number for bar in sheet.bars] == [1, 2, 3, 4]
    assert said(sheet_and_told) == [
        "the file gives no key; notes and chords say D minor",
        "the file gives no metre; the lengths of its bars say 3/4",
    ]


@pytest.mark.parametrize(("group", "meter"), [(3, "6/8"), (2, "3/4")])
def test_beams_tell_six_eighths_from_three_quarters(group, meter):
    names = ["begin", *["continue"] * (group - 2), "end"]
    bar = "".join(
        note("C5", 1, f"<type>eighth</type><beam>{name}</beam>")
        for name in names * (6 // group)
    )
    tune = read(BARE + bar, bar, bar).sheet
    assert {str(bar.meter) for bar in tune.bars} == {meter}


def test_a_pickup_and_a_silent_bar_do_not_mislead():
    silent = note("rest", 6).replace("<rest/>", '<rest measure="yes"/>')
    tune = read(BARE + note("A4", 2), *WALTZ, silent, WALTZ[0]).sheet
    assert {str(bar.meter) for bar in tune.bars} == {"3/4"}
    assert [bar.number for bar in tune.bars] == [0, 1, 2, 3, 4, 5, 6]


def test_the_key_alone_may_be_missing():
    result = read(start(FOUR, key="") + harmony("G") + note("G4", 4), note("G4", 4))
    assert {str(bar.key) for bar in result.sheet.bars} == {"G major"}
    assert said(result) == ["the file gives no key; notes and chords say G major"]


def test_the_key_of_a_transposed_part_is_the_sounding_one():
    transpose = (
        "<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose>"
    )
    content = harmony("A", "minor") + note("A4", 2) + note("E5", 2)
    result = read(start(key="", more=transpose) + content, note("A4", 4))
    assert {str(bar.key) for bar in result.sheet.bars} == {"G minor"}
