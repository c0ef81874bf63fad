"""Words and signs of form as files have them, and what is played then.

The meaning of the words is common practice, no source; that of ``sound``, ``repeat``
and ``ending`` is the W3C's *MusicXML 4.0*.
"""

import pytest
from parts_check import schema_errors
from score_elements import FULL, read, said, start, words

from leadsheet_theory import make_parts, write_lead_sheet, write_part
from leadsheet_theory.leadsheet import Jump, play_order
from leadsheet_theory.musicxml import parse_lead_sheet


def sign(name, text=""):
    beside = f"<direction-type><words>{text}</words></direction-type>" if text else ""
    return f"<direction><direction-type><{name}/></direction-type>{beside}</direction>"


def barline(content, location="right"):
    return f'<barline location="{location}">{content}</barline>'


def played(result):
    """Bar numbers in playing order; also that parts and a copy read back alike."""
    sheet = result.sheet
    for data in (write_lead_sheet(sheet), *map(write_part, make_parts(sheet))):
        assert not schema_errors(data)
        again = parse_lead_sheet(data).sheet.bars[: len(sheet.bars)]
        forms = [bar.form for bar in again[:-1]]
        assert forms == [bar.form for bar in sheet.bars[:-1]]
    bars = sheet.bars
    return [bars[index].number for index in play_order(bars).indices]


def printed(result):
    return [each.text for bar in result.sheet.bars for each in bar.directions]


@pytest.mark.parametrize(
    ("text", "jump"),
    [
        ("D.C.alCoda", Jump("capo", "coda")),
        ("DCalFine", Jump("capo", "fine")),
        ("D.S.al Coda", Jump("segno", "coda")),
        ("dal segno al Coda", Jump("segno", "coda")),
        ("D.C. al Segno", Jump("capo", "segno")),
        ("D.C. al Segno e poi la Coda", Jump("capo", "segno")),
        ("D.S. al Coda 1", Jump("segno", "coda")),
        ("D.S. al Coda 2", Jump("segno", "coda", coda=2)),
        ("D.S. al 2nd Coda", Jump("segno", "coda", coda=2)),
        ("D.S. al Coda II", Jump("segno", "coda", coda=2)),
    ],
)
def test_jumps_in_words(text, jump):
    result = read(start() + FULL + words(text))
    assert result.sheet.bars[0].form.jump == jump
    assert printed(result) == []


def test_repeats_then_a_jump_in_one_text():
    result = read(
        start() + barline('<repeat direction="forward"/>', "left") + FULL,
        FULL
        + words("3 repeats then D.C. al Fine")
        + barline('<repeat direction="backward"/>'),
    )
    form = result.sheet.bars[1].form
    assert (form.repeat_end, form.jump) == (3, Jump("capo", "fine"))
    assert printed(result) == []


@pytest.mark.parametrize(
    "leave",
    [
        words("To Coda") + sign("coda"),
        words("To Coda 𝄌"),
        sign("coda", "To Coda"),
        sign("coda", "To"),
    ],
)
def test_to_coda_and_the_sign_are_one(leave):
    result = read(
        start() + FULL,
        FULL + leave,
        FULL + words("D.C. al Coda"),
        sign("coda") + FULL,
    )
    assert [bar.form.to_coda for bar in result.sheet.bars] == [
        False,
        True,
        False,
        False,
    ]
    arrives = [bar.form.coda for bar in result.sheet.bars]
    assert arrives == [False, False, False, True]
    assert printed(result) == []
    assert played(result) == [1, 2, 3, 1, 2, 4]


def test_a_sign_right_after_to_coda_belongs_to_the_words():
    result = read(
        start() + FULL + words("To Coda"),
        sign("coda") + FULL,
        FULL + words("D.C. al Coda"),
        sign("coda") + FULL,
    )
    arrives = [bar.form.coda for bar in result.sheet.bars]
    assert arrives == [False, False, False, True]
    assert played(result) == [1, 2, 3, 1, 4]


TWO_CODAS = (
    start() + FULL,
    sign("segno") + FULL + words("To Coda 1"),
    FULL + words("To Coda 2"),
    FULL + words("D.S. al Coda 1"),
    sign("coda", "1") + FULL + words("D.S. al Coda 2"),
    sign("coda", "2") + FULL,
)


def test_two_codas():
    result = read(*TWO_CODAS)
    assert played(result) == [1, 2, 3, 4, 2, 5, 2, 3, 6]
    unnumbered = [
        bar.replace("To Coda 1", "To Coda")
        .replace("To Coda 2", "To Coda")
        .replace("<words>1</words>", "<words>Coda</words>")
        .replace("<words>2</words>", "<words>Coda</words>")
        for bar in TWO_CODAS
    ]
    assert played(read(*unnumbered)) == [1, 2, 3, 4, 2, 5, 2, 3, 6]
    assert printed(result) == printed(read(*unnumbered)) == []


def test_da_capo_al_segno():
    tune = [start() + FULL, FULL, sign("segno") + FULL, FULL + words("D.C. al Segno")]
    assert played(read(*tune)) == [1, 2, 3, 4, 1, 2]
    coda = [*tune[:3], tune[3].replace("Segno", "Segno e poi la Coda")]
    coda.append(sign("coda") + FULL)
    assert played(read(*coda)) == [1, 2, 3, 4, 1, 2, 5]


def test_what_leads_nowhere_is_told_where_the_order_is_worked_out():
    nowhere = read(start() + FULL, FULL + words("D.S."))
    assert [str(each) for each in play_order(nowhere.sheet.bars).problems] == [
        "bar 2: D.S., but no segno before it: read as D.C."
    ]
    alike = read(
        start() + FULL,
        barline('<ending number="2" type="start"/>', "left")
        + FULL
        + barline('<ending number="2" type="stop"/><repeat direction="backward"/>'),
        barline('<ending number="2" type="start"/>', "left")
        + FULL
        + barline('<ending number="2" type="discontinue"/>'),
    )
    assert [str(each) for each in play_order(alike.sheet.bars).problems] == [
        "bar 2: endings numbered 2, 2: taken in written order"
    ]
    assert played(alike) == [1, 2, 1, 3]


@pytest.mark.parametrize(
    ("after", "order"),
    [("", [1, 2, 1, 2, 3, 1, 2, 3]), ("yes", [1, 2, 1, 2, 3, 1, 2, 1, 2, 3])],
)
def test_a_repeat_that_is_taken_after_a_jump_too(after, order):
    attribute = f' after-jump="{after}"' if after else ""
    result = read(
        start() + FULL,
        FULL + barline(f'<repeat direction="backward"{attribute}/>'),
        FULL + words("D.C."),
    )
    assert played(result) == order


@pytest.mark.parametrize("times", ["0", "1", "x"])
def test_a_repeat_of_one_pass_or_none_is_told(times):
    repeat = f'<repeat direction="backward" times="{times}"/>'
    result = read(start() + FULL, FULL + barline(repeat))
    assert result.sheet.bars[1].form.repeat_end == 2
    assert said(result, "repeat") == [
        f"bar 2: a repeat that says it is played '{times}' times is played twice"
    ]


def test_an_ending_that_is_printed_otherwise_than_numbered():
    result = read(
        start() + FULL,
        barline('<ending number="1" type="start">1.-3.</ending>', "left")
        + FULL
        + barline('<ending number="1" type="stop"/><repeat direction="backward"/>'),
        barline('<ending number="2" type="start">4.</ending>', "left") + FULL,
    )
    assert [bar.form.ending for bar in result.sheet.bars] == [(), (1, 2, 3), (4,)]
    assert said(result, "ending")[0] == (
        "bar 2: an ending of number 1 is printed '1.-3.': read as printed"
    )
    assert played(result) == [1, 2, 1, 2, 1, 2, 1, 3]


@pytest.mark.parametrize("text", ["D.C. al 2nd ending", "D.C. to the second ending"])
def test_a_jump_to_the_second_ending_ends_with_it(text):
    """A A B A with the last A written once (common practice, no source)."""
    result = read(
        start() + FULL,
        barline('<ending number="1" type="start"/>', "left")
        + FULL
        + barline('<ending number="1" type="stop"/><repeat direction="backward"/>'),
        barline('<ending number="2" type="start"/>', "left")
        + FULL
        + barline('<ending number="2" type="stop"/>'),
        FULL + barline("<bar-style>light-light</bar-style>"),
        FULL + words(text),
    )
    assert played(result) == [1, 2, 1, 3, 4, 5, 1, 3, 4]
    assert printed(result) == []
    assert "al Fine" in "".join(said(result, "ending"))
