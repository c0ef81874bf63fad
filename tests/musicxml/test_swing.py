"""Swing: read from what a file says or prints, kept in parts, heard in the beams.

What the elements mean is stated by the W3C's *MusicXML 4.0* documentation (``swing``,
``metronome-note``).
"""

import pytest
from parts_check import schema_errors
from score_elements import FULL, note, read, said, start

from leadsheet_theory import make_parts, write_lead_sheet, write_part
from leadsheet_theory.errors import NoteValueError
from leadsheet_theory.leadsheet import Swing
from leadsheet_theory.musicxml import parse_lead_sheet

SWUNG = (
    "<sound><swing><first>2</first><second>1</second>"
    "<swing-type>eighth</swing-type></swing></sound>"
)
STRAIGHT = "<sound><swing><straight/></swing></sound>"


def sign(value, dots=0, tuplet=""):
    if tuplet:
        tuplet = (
            f'<metronome-tuplet type="{tuplet}"><actual-notes>3</actual-notes>'
            "<normal-notes>2</normal-notes></metronome-tuplet>"
        )
    return (
        f"<metronome-note><metronome-type>{value}</metronome-type>"
        f"{'<metronome-dot/>' * dots}{tuplet}</metronome-note>"
    )


def equation(left, right):
    return (
        "<direction><direction-type><metronome>"
        f"{left}<metronome-relation>equals</metronome-relation>{right}"
        "</metronome></direction-type></direction>"
    )


TRIPLETS = equation(
    sign("eighth") * 2, sign("quarter", 0, "start") + sign("eighth", 0, "stop")
)


@pytest.mark.parametrize(
    ("said_so", "swing"),
    [
        ("", None),
        (SWUNG, Swing(2, 1)),
        (STRAIGHT, Swing(1, 1)),
        (SWUNG.replace("eighth", "16th").replace(">2<", ">3<"), Swing(3, 1, "16th")),
        (TRIPLETS, Swing(2, 1, equation=True)),
        (TRIPLETS + SWUNG, Swing(2, 1, equation=True)),
        (
            equation(sign("16th") * 2, sign("16th", 1) + sign("32nd")),
            Swing(3, 1, "16th", equation=True),
        ),
        (
            equation(sign("eighth") * 2, sign("eighth") * 2),
            Swing(1, 1, equation=True),
        ),
    ],
)
def test_swing_is_a_value_of_the_chart(said_so, swing):
    result = read(start() + said_so + FULL, FULL)
    assert result.sheet.swing == swing
    assert not said(result)
    for data in (
        write_lead_sheet(result.sheet),
        *map(write_part, make_parts(result.sheet)),
    ):
        assert not schema_errors(data)
        assert parse_lead_sheet(data).sheet.swing == swing


def test_another_equation_is_a_tempo_change_that_is_told():
    half = equation(sign("quarter"), sign("half"))
    assert "<metronome> is not carried" in str(said(read(start() + half + FULL)))


def test_a_swing_that_changes_is_told():
    result = read(start() + SWUNG + FULL, FULL, STRAIGHT + FULL)
    assert result.sheet.swing == Swing(2, 1)
    assert said(result, "swing") == [
        "bar 3: straight eighths from here on are not carried: "
        "a chart has one swing, said at its start"
    ]


def beams(swing):
    run = "".join(note(each, 1, "<type>eighth</type>") for each in ("C5", "D5", "E5"))
    end = note("rest", 1, "<type>eighth</type>") + note("F5", 4, "<type>half</type>")
    sheet = read(start(divisions=2) + swing + run + end).sheet
    return make_parts(sheet)[0].bars[0].shared.melody_beams


def test_swing_decides_beams():
    """Source: the half bar is joined wherever eighths are straight, and only where
    eighths fill it if they swing (common practice, no source)."""
    assert beams(STRAIGHT)[:3] == (("begin",), ("continue",), ("end",))
    assert beams("") == beams(SWUNG)
    assert beams(SWUNG)[:3] == (("begin",), ("end",), ())
    sixteenths = SWUNG.replace("eighth", "16th")
    assert beams(sixteenths) == beams(STRAIGHT)


@pytest.mark.parametrize("parts", [(0, 1), (2, 0), (2.0, 1), (100, 1)])
def test_a_swing_of_nothing_is_refused(parts):
    with pytest.raises(NoteValueError, match="expected whole numbers from 1 to 99"):
        Swing(*parts)
