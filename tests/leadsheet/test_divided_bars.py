"""Bars divided in two measures, pickups written as full bars, and the file's own bar
numbers (common practice, no source)."""

from fractions import Fraction

from round_trip import lost
from score_elements import FOUR, FULL, harmony, line, note, read, said, start

from leadsheet_theory import make_parts, write_part
from leadsheet_theory.abc import parse_abc, write_abc
from leadsheet_theory.pages import draw_pages
from leadsheet_theory.pages._drawing_copy import drawing_copy
from leadsheet_theory.parts import solo_changes
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


REPEAT = '<barline><repeat direction="backward"/></barline>'
AGAIN = '<barline location="left"><repeat direction="forward"/></barline>'


def _divided(part="", *, full=8):
    """A pickup, bars, a bar that a repeat divides, and bars again up to another."""
    return read(
        ('number="0" implicit="yes"', start() + note("G4", 1)),
        *[harmony("C" if n % 2 else "F") + FULL for n in range(1, full)],
        harmony("C") + HALF + REPEAT,
        ('number="X1" implicit="yes"', part + REST),
        *[harmony("G" if n % 2 else "A") + FULL for n in range(1, full)],
        harmony("C") + HALF + REPEAT,
    )


def test_a_bar_that_a_repeat_divides_is_counted_once():
    result = _divided(AGAIN)
    bars = result.sheet.bars
    assert [bar.number for bar in bars] == [*range(9), 8, *range(9, 17)]
    assert [bar.length for bar in bars[7:11]] == [4, 3, 1, 4]
    assert (bars[9].divided_at, bars[9].beat_of(Fraction(0))) == (3, 4)
    assert str(result.sheet) == "untitled (17 bars, C major, 4/4)"
    assert not said(result)
    assert not [each for each in proofread(result.sheet) if "bar-" in each.rule]


def test_a_system_parts_a_bar_only_where_a_repeat_does():
    for part in make_parts(_divided(AGAIN).sheet):
        starts = [part.bars[at].bar.number for at in part.plan.system_starts[:4]]
        assert starts == [0, 5, 8, 13]
        assert [bar.bar.divided_at for bar in part.bars if bar.starts_system] == [
            0, 0, 3, 0,
        ]  # fmt: skip
    # no system starts in mid-bar where none would start with the next bar
    early = make_parts(_divided(AGAIN, full=6).sheet)[0]
    starts = [early.bars[at].bar for at in early.plan.system_starts if at < 13]
    assert [(bar.number, bar.divided_at) for bar in starts] == [(0, 0), (5, 0), (9, 0)]
    # nor where only the key changes
    new_key = "<attributes><key><fifths>2</fifths></key></attributes>"
    result = read(
        *[start() + FULL, FULL, FULL, HALF],
        ('number="X1" implicit="yes"', new_key + REST),
        *[FULL] * 4,
    )
    bars = result.sheet.bars
    assert [bar.number for bar in bars] == [1, 2, 3, 4, 4, 5, 6, 7, 8]
    assert make_parts(result.sheet)[0].plan.system_starts == (0, 5)


def test_a_line_that_begins_in_mid_bar_has_the_bars_number():
    part = make_parts(_divided(AGAIN).sheet)[0]
    copy = drawing_copy(write_part(part))
    starts = [copy.numbers[at] for at in copy.system_starts[:4]]
    assert starts == ["", "5", "8", "13"]
    page = draw_pages(part).svgs()[0]
    assert len(page) > 1000


def test_the_solo_page_joins_a_divided_bar():
    for form in ("sections clear", "as written"):
        page = solo_changes(_divided(AGAIN).sheet, form=form).bars
        assert [bar.length for bar in page] == [4] * 16, form
        assert [bar.number for bar in page if bar.form.repeat_end] == [8, 16]
        assert page[8].form.repeat_start
    # changes of its own after the repeat ask for the bar to be written twice
    page = solo_changes(_divided(AGAIN + harmony("D")).sheet, form="as written").bars
    assert {bar.length for bar in page} == {4}
    assert sum(str(c.symbol) == "D" for bar in page for c in bar.chords) == 2


def test_a_divided_bar_in_three_and_one_between_two_endings():
    three = read(start() + FULL, REST + REPEAT, note("C5", 2) + REPEAT, REST, FULL)
    bars = three.sheet.bars
    assert [(bar.number, bar.divided_at) for bar in bars] == [
        (1, 0), (2, 0), (2, 1), (2, 3), (3, 0),
    ]  # fmt: skip
    assert not said(three, "bar-length")
    two = note("C5", 2)

    def ending(number, kind="start"):
        return f'<barline><ending number="{number}" type="{kind}"/></barline>'

    endings = read(
        start() + FULL,
        ending(1) + two + ending(1, "stop") + REPEAT,
        ending(2) + two + ending(2, "stop"),
        FULL,
    )
    assert [bar.number for bar in endings.sheet.bars] == [1, 2, 3, 4]


def test_a_part_says_a_divided_bar_and_reads_it_back():
    part = make_parts(_divided(AGAIN).sheet, solo_page=False)[1]
    assert not list(lost(part))
    text = write_part(part).decode()
    assert '<measure number="8-3" implicit="yes">' in text
    sheet = _divided(AGAIN).sheet
    (again,) = parse_abc(write_abc(sheet).text)
    assert [(bar.number, bar.divided_at) for bar in again.sheet.bars] == [
        (bar.number, bar.divided_at) for bar in sheet.bars
    ]


def test_a_remark_in_the_second_part_names_the_beat_of_the_bar():
    late = note("D5", 1, "<type>half</type>")
    result = read(start() + FULL, HALF + REPEAT, late, FULL)
    (told,) = [each for each in result.findings if each.rule == "written-value"]
    assert (told.bar, told.beat) == (2, 4)


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
