"""How values show themselves in a notebook."""

from __future__ import annotations

import re
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from attrs import evolve

from leadsheet_theory import (
    Finding,
    Key,
    LeadSheet,
    Pitch,
    find_book,
    find_instrument,
    make_parts,
    parse_chord,
    parse_symbol,
    read_lead_sheet,
)
from leadsheet_theory.exercises import check_spelling
from leadsheet_theory.notebook import (
    finding_table,
    grid_of_bars,
    show,
    transposition_table,
)

ROOT = Path(__file__).resolve().parents[2]
SHEET = read_lead_sheet(ROOT / "shared/charts/rope_walk.musicxml").sheet
PART = make_parts(SHEET)[1]
ODD = '<script>alert("x")</script>&'
FINDING = Finding(rule="range", severity="warning", message=ODD, bar=4, advice=ODD)
SHOWN = {
    "chord": parse_chord("Ebm7b5/Db"),
    "polychord": parse_symbol("D|C7"),
    "no chord": parse_symbol("N.C."),
    "key": Key.parse("Ab"),
    "atonal key": Key.parse("C"),
    "instrument": find_instrument("tenor sax"),
    "book": find_book("Bb"),
    "finding": FINDING,
    "marking": check_spelling("Ebm7b5", "Eb F# A Db"),
}


class Balanced(HTMLParser):
    """Whether each tag is closed, and which tags there are."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: set[str] = set()

    def handle_starttag(self, tag: str, _: object) -> None:
        self.open.append(tag)
        self.tags.add(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def checked(html: str) -> set[str]:
    """The tags of a piece of HTML that is well-formed, without scripts, and takes its
    colours from the page."""
    parser = Balanced()
    parser.feed(html)
    assert not parser.open
    assert "script" not in parser.tags
    assert not re.search(r"\bon\w+=|javascript:", html)
    outside = re.sub(r"<svg.*?</svg>", "", html, flags=re.DOTALL)
    assert not re.search(r"(color|background): *(#|white|black)", outside)
    return parser.tags


@pytest.mark.parametrize("name", SHOWN)
def test_values_show_themselves(name: str) -> None:
    html = SHOWN[name]._repr_html_()  # type: ignore[attr-defined]
    assert html is not None
    checked(html)
    assert len(html) < 20_000


def test_a_chord_has_tones_degrees_forms_and_keys() -> None:
    html = parse_chord("Ebm7b5/Db")._repr_html_()
    assert html is not None
    for text in ("E♭m7(♭5)/D♭", "B♭♭", "♭5", "bass D♭", "E♭ø"):
        assert text in html, text
    marked = re.findall(r'fill="#fff">(\S+?)</text>', html)
    assert set(marked) == {"D♭", "E♭", "G♭", "B♭♭"}


def test_what_files_say_is_escaped() -> None:
    html = finding_table([FINDING]).html
    assert "&lt;script&gt;" in html
    checked(html)
    (bar, *bars) = SHEET.bars
    form = evolve(bar.form, section=ODD)
    sheet = evolve(SHEET, title=ODD, bars=(evolve(bar, form=form), *bars))
    checked(grid_of_bars(sheet).html)


def test_a_part_and_a_sheet_are_drawn_music() -> None:
    for value in (PART, SHEET):
        svg = value._repr_svg_()
        assert svg is not None
        root = ET.fromstring(svg)
        assert root.tag.endswith("svg")
        assert float(root.attrib["viewBox"].split()[2]) > 500
        assert "script" not in svg
        assert value._repr_html_() is None
        assert len(repr(value)) < 200


def test_where_music_cannot_be_drawn_there_is_a_grid(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(show, "can_draw", lambda: False)
    for value in (PART, SHEET):
        assert value._repr_svg_() is None
        html = value._repr_html_()
        assert html is not None
        assert "table" in checked(html)
        assert len(html) < 10_000
    assert "untitled" in (LeadSheet(title="", bars=())._repr_html_() or "")


def test_a_table_of_transpositions() -> None:
    rows = [Key.parse("Ab"), Pitch.parse("Eb4"), parse_chord("F7")]
    table = transposition_table(rows, ["Bb", "alto sax"])
    checked(table.html)
    assert str(table).splitlines()[1].split() == [
        "A♭",
        "major",
        "B♭",
        "major",
        "F",
        "major",
    ]
    assert repr(table) == "<Table: 4 lines>"
    assert finding_table([]).text == ""


def test_values_need_no_notebook_until_one_asks() -> None:
    program = (
        "import sys; from leadsheet_theory import parse_chord; c = parse_chord('C7'); "
        "a = 'leadsheet_theory.notebook' in sys.modules; c._repr_html_(); "
        "print(a, 'leadsheet_theory.notebook' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, cwd=ROOT, check=True
    )
    assert done.stdout.split() == [b"False", b"True"]
