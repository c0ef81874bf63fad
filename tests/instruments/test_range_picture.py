"""The picture of a range: valid SVG that shows what it should, and its text."""

from __future__ import annotations

from fractions import Fraction
from xml.etree import ElementTree as ET

import pytest

from leadsheet_theory.instruments import (
    INSTRUMENTS,
    STANDARD_BOOKS,
    TREBLE_CLEF,
    Instrument,
    PitchRange,
    PlacedNote,
    Reader,
    find_book,
    find_instrument,
    range_picture,
)
from leadsheet_theory.interval import UNISON
from leadsheet_theory.pitch import Pitch

SVG = "{http://www.w3.org/2000/svg}"


def tune(text: str) -> list[Pitch]:
    return list(map(Pitch.parse, text.split()))


FALLING = tuple(
    PlacedNote(pitch, Fraction(at), Fraction(1), at // 4 + 1, Fraction(at % 4 + 1))
    for at, pitch in enumerate(tune("G5 E5 C5 A4 F4 D4 B3 G3 E3 C3 A3 F#3"))
)


@pytest.mark.parametrize("reader", [*INSTRUMENTS, *STANDARD_BOOKS], ids=str)
def test_every_reader_can_be_pictured(reader: Reader) -> None:
    picture = range_picture(reader, FALLING)
    root = ET.fromstring(picture.svg)
    assert root.tag == f"{SVG}svg"
    width, height = map(float, root.attrib["viewBox"].split()[2:])
    for shape in root.iter():
        for name in ("x", "cx", "x1", "x2"):
            if shape.tag != f"{SVG}circle" and name in shape.attrib:
                assert -2 <= float(shape.attrib[name]) <= width
        for name in ("cy", "y1", "y2"):
            if shape.tag != f"{SVG}circle" and name in shape.attrib:
                assert 0 <= float(shape.attrib[name]) <= height
    assert str(picture).startswith(root.findtext(f"{SVG}title") or "?")


def test_notes_are_told_by_where_they_lie() -> None:
    picture = range_picture(find_instrument("trumpet"), FALLING)
    titles = [each.text for each in ET.fromstring(picture.svg).iter(f"{SVG}title")]
    assert titles[0] == "Trumpet in B♭"
    assert titles[1] == "bar 1: A5, comfortable"
    assert titles[9] == "bar 3: F♯3, beyond the comfortable range"
    assert titles[10] == "bar 3: D3, outside the range"
    assert len(titles) == 1 + len(FALLING)


def test_notebooks_show_it_by_themselves() -> None:
    picture = range_picture(find_book("F"))
    assert picture._repr_svg_() == picture.svg
    assert picture._repr_html_().startswith("<figure")
    assert picture.svg in picture._repr_html_()
    assert "F book" in picture.svg


def test_names_are_escaped() -> None:
    odd = Instrument(
        name="Bell <&> Co.",
        clefs=(TREBLE_CLEF,),
        transposition=UNISON,
        written_range=PitchRange.parse("C4-C6"),
        comfortable_range=PitchRange.parse("C4-C6"),
    )
    picture = range_picture(odd, FALLING)
    assert ET.fromstring(picture.svg).findtext(f"{SVG}title") == "Bell <&> Co."


def test_the_octave_moves_the_notes_only() -> None:
    trombone = find_instrument("trombone")
    tune = [Pitch.parse(name) for name in ("C5", "B4", "G4")]
    high, low = (
        range_picture(trombone, tune),
        range_picture(trombone, iter(tune), octaves=-1),
    )
    assert "○" in str(high)
    assert "○" not in str(low)


def test_the_picture_in_a_terminal() -> None:
    notes = tune("C5 C5 A4 F4 D4 Bb3 G3 D3 C6")
    assert str(range_picture(find_instrument("alto voice"), notes)) == (
        "Alto Voice: written F3–E5, comfortable G3–C5; sounds as written\n"
        " C6 ─    ■ 1\n"
        " B5\n"
        " A5 ─\n"
        " G5\n"
        " F5 ════\n"
        " E5  │\n"
        " D5 ═│══\n"
        " C5  ┃   ●● 2\n"
        " B4 ═┃══\n"
        " A4  ┃   ● 1\n"
        " G4 ═┃══\n"
        " F4  ┃   ● 1\n"
        " E4 ═┃══\n"
        " D4  ┃   ● 1\n"
        " C4 ─┃\n"
        " B3  ┃   ● 1\n"
        " A3 ─┃\n"
        " G3  ┃   ● 1\n"
        " F3 ─│\n"
        " E3\n"
        " D3 ─    ■ 1"
    )


def test_long_tunes_stay_within_a_terminals_width() -> None:
    notes = tune("C5 " * 500 + "D5")
    rows = str(range_picture(find_instrument("flute"), notes)).splitlines()
    assert max(map(len, rows[1:])) <= 60
    assert any(row.endswith("● 1") for row in rows)
