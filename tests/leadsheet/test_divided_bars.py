"""Bars divided in two measures, pickups written as full bars, and the file's own bar
numbers (common practice, no source)."""

from fractions import Fraction

from score_elements import FOUR, FULL, harmony, line, note, read, said, start

from leadsheet_theory import make_parts
from leadsheet_theory.proof import proofread
from leadsheet_theory.rhythm import Meter

HALF = note("C5", 2) + note("D5", 1)
REST = note("E5", 1)
CUT = '<time symbol="cut"><beats>2</beats><beat-type>2</beat-type></time>'


def test_a_bar_in_two_measures_is_one():
    result = read(
        ('number="1"', start() + FULL),
        ('number="2"', harmony("F") + HALF),
        ('number="X1" implicit="yes"', harmony("G") + REST),
        ('number="3"', FULL + "<barline><bar-style>light-heavy</bar-style></barline>"),
    )
    bars = result.sheet.bars
    assert [bar.number for bar in bars] == [1, 2, 3]
    assert line(bars[1].melody) == "C5:2 D5:1 E5:1"
    assert [(str(c.symbol), c.onset) for c in bars[1].chords] == [("F", 0), ("G", 3)]
    assert not said(result)
    (part, *_) = make_parts(result.sheet)
    assert len(part.bars) == len(part.solo) == 3
    assert [bar.bar.length for bar in part.solo] == [4, 4, 4]


def test_a_bar_that_a_repeat_divides_stays_two():
    repeat = '<barline><repeat direction="backward"/></barline>'
    bars = read(start() + FULL, HALF + repeat, REST, FULL).sheet.bars
    assert [bar.length for bar in bars] == [4, 3, 1, 4]


def test_two_measures_of_rest_are_one_bar_of_rest():
    bars = read(start() + FULL, note("rest", 3), note("rest", 1), FULL).sheet.bars
    assert [line(bar.melody) for bar in bars] == ["C5:4", "rest:4", "C5:4"]
    assert bars[1].melody[0].whole_bar


def test_a_first_bar_of_rests_and_a_pickup_is_a_pickup():
    first = note("rest", 2) + note("rest", 1) + harmony("G") + note("G4", 1)
    bars = read(start() + first, harmony("C") + FULL, FULL).sheet.bars
    assert [bar.number for bar in bars] == [0, 1, 2]
    assert (line(bars[0].melody), bars[0].length) == ("G4:1", Fraction(1))
    assert bars[0].chords[0].onset == 0


def test_a_first_bar_with_a_chord_before_its_note_is_a_bar():
    first = harmony("C") + note("rest", 3) + note("G4", 1)
    assert read(start() + first, FULL).sheet.bars[0].number == 1
    early = note("rest", 1) + note("G4", 3)
    assert read(start() + early, FULL).sheet.bars[0].number == 1


def test_remarks_name_the_files_own_number_where_it_differs():
    first = note("rest", 3) + note("G4", 1)
    result = read(start() + first, FULL, FULL + "<figured-bass/>", FULL)
    assert said(result) == ["bar 2 (3 in the file): <figured-bass> is not carried"]
    late = read(
        ('number="1"', start() + FULL),
        ('number="2"', HALF),
        ('number="X1"', REST),
        ('number="3"', FULL + "<figured-bass/>"),
    )
    assert said(late) == ["bar 3: <figured-bass> is not carried"]
    again = read(('number="7"', start(FOUR) + FULL), ('number="8"', note("C5", 3)))
    places = [str(each) for each in proofread(again.sheet) if each.bar == 2]
    assert places
    assert all(each.startswith("bar 2 (8 in the file)") for each in places), places


def test_beats_are_quarters_where_the_metres_beat_is_a_half():
    assert Meter(2, 2).beat_at(Fraction(3)) == 4
    assert Meter(6, 8).beat_at(Fraction(3, 2)) == 4
    content = (
        note("C5", 2)
        + "<direction><direction-type><words>F79</words></direction-type></direction>"
        + note("C5", 2)
    )
    assert said(read(start(CUT) + content))[0].startswith("bar 1, beat 3: ")
