"""Chord symbols as files encode them: printed texts, kinds, degrees, numerals.

The elements mean what the W3C's *MusicXML 4.0* says; which of text and kind a file has
right is common practice, no source.
"""

from xml.etree import ElementTree as ET

import pytest
from parts_check import schema_errors
from score_elements import FULL, harmony, read, said, start

from leadsheet_theory import make_parts, write_lead_sheet, write_part
from leadsheet_theory.errors import ChoiceError
from leadsheet_theory.musicxml import parse_lead_sheet, read_lead_sheet


def degree(value, kind="add", alter=0):
    return (
        f"<degree><degree-value>{value}</degree-value>"
        f"<degree-alter>{alter}</degree-alter><degree-type>{kind}</degree-type></degree>"
    )


def symbols(result):
    return [str(placed.symbol) for placed in result.sheet.bars[0].chords]


@pytest.mark.parametrize(
    ("kind", "text", "more", "symbol", "told"),
    [
        # the kind says little or nothing: the text decides, and it is told
        ("other", "7alt", "", "C7alt", "note"),
        ("other", "13sus4", "", "C13sus4", "note"),
        ("other", "m7b5", "", "Cm7(b5)", "note"),
        ("other", "7alt", degree(9, alter=1), "C7alt", "note"),
        ("major", "m7", "", "Cm7", "note"),
        # the kind says less than the text, which decides
        ("dominant", "7alt", "", "C7alt", "note"),
        ("major-sixth", "6/9", "", "C6/9", "note"),
        ("minor", "m7", "", "Cm7", "note"),
        # the usual encodings of suspended chords
        ("dominant-13th", "13sus4", degree(3, "subtract") + degree(4), "C13sus4", ""),
        ("dominant", "7sus4", degree(3, "subtract") + degree(4), "C7sus4", ""),
        (
            "suspended-fourth",
            "13sus",
            degree(7, alter=-1) + degree(9) + degree(13),
            "C13sus4",
            "",
        ),
        ("diminished", None, degree(7, alter=-1), "Cdim7", ""),
        ("diminished-seventh", "dim7(no5)", degree(5, "subtract"), "Cdim7(no5)", ""),
        # the kind says a chord: it decides, and the text is told
        ("dominant", "maj7", "", "C7", "warning"),
    ],
)
def test_text_and_kind(kind, text, more, symbol, told):
    result = read(start() + harmony("C", kind, more, text) + FULL)
    assert symbols(result) == [symbol]
    severities = [
        each.severity for each in result.findings if each.rule == "chord-text"
    ]
    assert severities == ([told] if told else [])
    again = parse_lead_sheet(write_lead_sheet(result.sheet))
    assert symbols(again) == [symbol]
    assert not said(again, "chord-text")


def test_text_or_kind_may_be_preferred():
    content = start() + harmony("C", "dominant", "", "maj7") + FULL
    score = (
        "<score-partwise><part-list/><part id='P'><measure>"
        f"{content}</measure></part></score-partwise>"
    ).encode()
    assert symbols(read_lead_sheet(score, prefer="text")) == ["Cmaj7"]
    assert symbols(read_lead_sheet(score, prefer="kind")) == ["C7"]
    other = score.replace(b"dominant", b"other")
    assert symbols(read_lead_sheet(other)) == ["Cmaj7"]
    assert symbols(read_lead_sheet(other, prefer="kind")) == ["Cpedal"]
    with pytest.raises(ChoiceError, match="prefer"):
        read_lead_sheet(score, prefer="both")


def test_an_alternate_chord_is_data_of_its_own():
    alternate = harmony("F", "minor").replace("<harmony>", '<harmony type="alternate">')
    result = read(start() + harmony("C") + alternate + FULL)
    (bar,) = result.sheet.bars
    assert symbols(result) == ["C"]
    assert [str(each.symbol) for each in bar.alternate_chords] == ["Fm"]
    data = write_lead_sheet(result.sheet)
    assert not schema_errors(data)
    assert parse_lead_sheet(data).sheet == result.sheet
    for part in make_parts(result.sheet):
        assert write_part(part).count(b"<harmony") == 2  # the tune's and the solo's
        assert not part.bars[0].bar.alternate_chords


def numeral(root, alter="", key="", kind="dominant"):
    altered = f"<numeral-alter>{alter}</numeral-alter>" if alter else ""
    if key:
        fifths, mode = key
        key = (
            f"<numeral-key><numeral-fifths>{fifths}</numeral-fifths>"
            f"<numeral-mode>{mode}</numeral-mode></numeral-key>"
        )
    return (
        f"<harmony><numeral><numeral-root>{root}</numeral-root>{altered}{key}</numeral>"
        f"<kind>{kind}</kind></harmony>"
    )


@pytest.mark.parametrize(
    ("said_so", "symbol"),
    [
        (numeral(5), "Bb7"),
        (numeral(2, kind="minor-seventh"), "Fm7"),
        (numeral(7, -1), "Db7"),
        (numeral(5, key=(1, "major")), "D7"),
        (numeral(7, key=(-3, "natural minor")), "Bb7"),
        (numeral(7, key=(-3, "harmonic minor"), kind="diminished-seventh"), "Bdim7"),
        (numeral(6, key=(-3, "melodic minor"), kind="half-diminished"), "Am7(b5)"),
    ],
)
def test_numerals_are_read_by_the_key(said_so, symbol):
    key = "<key><fifths>-3</fifths></key>"
    result = read(start(key=key) + said_so + FULL)
    assert symbols(result) == [symbol]
    assert not said(result)


def test_degrees_as_text_or_as_elements():
    sheet = read(start() + harmony("C", "dominant", degree(9, alter=-1)) + FULL).sheet
    (part, *_) = make_parts(sheet)
    for write, value in ((write_part, part), (write_lead_sheet, sheet)):
        texts = []
        for degrees in ("text", "elements"):
            data = write(value, degrees=degrees)
            assert not schema_errors(data)
            harmony_element = ET.fromstring(data).find(".//harmony")
            texts.append(
                (
                    harmony_element.find("kind").get("text"),
                    harmony_element.find("degree").get("print-object"),
                )
            )
            assert symbols(parse_lead_sheet(data)) == ["C7(b9)"]
        assert texts == [("7(b9)", "no"), ("7", None)]
    with pytest.raises(ChoiceError, match="degrees"):
        write_part(part, degrees="both")
