"""Lengths that are a hair off, untyped or impossible, and rests that stand for bars.

Common practice, no source; the elements mean what the W3C's *MusicXML 4.0* says.
"""

from fractions import Fraction

import pytest
from score_elements import FULL, TWO, line, note, read, said, start

from leadsheet_theory import make_parts, write_part

THREE = "<time><beats>3</beats><beat-type>4</beat-type></time>"
QUARTER = "<type>quarter</type>"


def values(sheet):
    """How a part writes its first bar: names, dots and tuplets."""
    (part, *_) = make_parts(sheet)
    return " ".join(
        event.value.name
        + "." * event.value.dots
        + (f"/{event.value.tuplet.actual}" if event.value.tuplet else "")
        for event in part.bars[0].bar.melody
    )


def test_a_length_a_hair_off_its_written_value_is_that_value():
    bar = "".join(
        note("C5", length, QUARTER) for length in (479, 481, 480, 479, 479, 481, 482)
    )
    time = "<time><beats>7</beats><beat-type>4</beat-type></time>"
    result = read(start(time, divisions=480) + bar, bar)
    assert [bar.length for bar in result.sheet.bars] == [7, 7]
    assert values(result.sheet) == " ".join(["quarter"] * 7)
    assert not said(result)
    told = [each for each in result.findings if each.rule == "written-value"]
    assert [str(each) for each in told] == [
        "bar 1: lengths a hair off the values that are meant are taken as these "
        "(bars 1, 2)"
    ]


@pytest.mark.parametrize(
    ("lengths", "written"),
    [
        ((479, 481, 480, 480), "quarter quarter quarter quarter"),
        ((160, 159, 161, 480, 960), "eighth/3 eighth/3 eighth/3 quarter half"),
        ((721, 239, 960), "quarter. eighth half"),
        ((96, 97, 95, 96, 96, 1440), "16th/5 16th/5 16th/5 16th/5 16th/5 half."),
    ],
)
def test_untyped_lengths_settle_on_simple_values(lengths, written):
    notes = "".join(note("C5", length) for length in lengths)
    result = read(start(divisions=480) + notes)
    assert result.sheet.bars[0].length == 4
    assert values(result.sheet) == written
    assert not said(result)


def test_a_second_voice_starts_with_the_bar_however_the_first_was_rounded():
    bar = "".join(note("C5", 479, QUARTER) for _ in range(4))
    back = "<backup><duration>1916</duration></backup>"
    second = note("C4", 1920, "<voice>2</voice><type>whole</type>")
    (first,) = read(start(divisions=480) + bar + back + second).sheet.bars
    assert first.counterline[0].onset == 0
    assert first.length == 4


def test_a_length_that_no_values_show_spoils_its_note_and_is_told():
    notes = note("C5", 1) + note("D5", 36) + note("E5", 111)
    result = read(start(divisions=37) + notes, FULL.replace(">4<", ">148<"))
    assert line(result.sheet.bars[0].melody) == "C5:1/8 D5:7/8 E5:3"
    assert said(result)[0] == (
        "bar 1: a length of 1/37 quarter notes, which no values show, is read as 1/8"
    )
    assert len(make_parts(result.sheet)) == 5


@pytest.mark.parametrize("kind", ["<type>whole</type>", ""])
@pytest.mark.parametrize(("time", "length"), [(THREE, 3), (TWO, 2)])
def test_a_rest_longer_than_its_bar_keeps_the_bars_sum(time, length, kind):
    result = read(start(time) + note("rest", 4, kind), note("C5", length))
    assert [bar.length for bar in result.sheet.bars] == [length, length]
    assert not said(result)
    (part, *_) = make_parts(result.sheet)
    (rest,) = part.bars[0].bar.melody
    assert (rest.duration, rest.whole_bar) == (length, True)


@pytest.mark.parametrize("length", [1, 4, 6])
def test_a_rest_of_a_measure_fills_it_whatever_its_length(length):
    measure = note("rest", length).replace("<rest/>", '<rest measure="yes"/>')
    result = read(start() + FULL, measure, FULL)
    assert line(result.sheet.bars[1].melody) == "rest:4"
    assert not said(result)


def test_a_rest_of_a_measure_in_a_pickup_lasts_as_long_as_it_says():
    measure = note("rest", 1).replace("<rest/>", '<rest measure="yes"/>')
    (pickup, _) = read(start() + measure, FULL).sheet.bars
    assert (pickup.number, pickup.length) == (0, Fraction(1))


def test_triplets_without_written_values_get_their_sign():
    notes = "".join(note("C5", length) for length in (160, 159, 161, 480, 960))
    sheet = read(start(divisions=480) + notes).sheet
    for part in make_parts(sheet):
        assert write_part(part).count(b'<tuplet type="start"') == 1
        assert write_part(part).count(b'<tuplet type="stop"') == 1
