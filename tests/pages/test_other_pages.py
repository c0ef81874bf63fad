"""Chord grids, lyrics sheets, set lists; PDFs read back with pypdf, web pages with the
parser of the standard library."""

from __future__ import annotations

import io
import re
from fractions import Fraction
from html.parser import HTMLParser
from pathlib import Path

import pypdf
import pytest
from attrs import evolve

from leadsheet_theory.__main__ import main
from leadsheet_theory.errors import LayoutError
from leadsheet_theory.leadsheet import LeadSheet, Lyric, Note
from leadsheet_theory.musicxml import read_lead_sheet
from leadsheet_theory.pages import (
    Pages,
    SetListTune,
    chord_grid,
    draw_grid,
    draw_lyrics,
    draw_set_list,
    lyric_lines,
    read_set_list,
)
from leadsheet_theory.parts import Part, make_parts

ROOT = Path(__file__).resolve().parents[2]
CHARTS = sorted((ROOT / "shared" / "charts").glob("*.musicxml"))
DEMO = ROOT / "shared" / "charts" / "harbourmasters_day_off.musicxml"


def sheet_of(chart: Path = DEMO) -> LeadSheet:
    return read_lead_sheet(chart).sheet


def text_of(pages: Pages) -> str:
    pdf = pypdf.PdfReader(io.BytesIO(pages.pdf()))
    return "\n".join(page.extract_text() for page in pdf.pages)


class Cells(HTMLParser):
    """The words of each cell of a table."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.cells: list[list[str]] = []
        self.feed(text)

    def handle_starttag(self, tag: str, *_: object) -> None:
        if tag in ("td", "th"):
            self.cells.append([])

    def handle_data(self, data: str) -> None:
        if self.cells and data.strip():
            self.cells[-1].append(data)


@pytest.fixture(scope="module")
def part() -> Part:
    return make_parts(sheet_of())[1]


class TestGrid:
    def test_every_chord_of_the_solo_changes_stands_in_its_box(
        self, part: Part
    ) -> None:
        grid = chord_grid(part)
        boxes = [bar for row in grid.rows for bar in row]
        assert len(boxes) == len(part.solo)
        for box, bar in zip(boxes, part.solo, strict=True):
            placed = [chord.onset / bar.bar.length for chord in bar.bar.chords]
            assert [place for place, _ in box.chords] == placed
            assert box.form == bar.bar.form

    def test_sections_begin_rows_and_no_row_is_longer_than_asked(
        self, part: Part
    ) -> None:
        for columns in (1, 3, 4, 8):
            for row in chord_grid(part, columns=columns).rows:
                assert len(row) <= columns
                assert not any(bar.form.section for bar in row[1:])

    def test_on_the_page_stand_letters_and_chords_in_order(self, part: Part) -> None:
        text = re.sub(r"\s", "", text_of(draw_grid(chord_grid(part))))
        place = 0
        for row in chord_grid(part).rows:
            for bar in row:
                for _, chord in bar.chords:
                    place = text.find(chord, place)
                    assert place >= 0, chord
        assert "B♭–chords" in text
        assert all(letter in text for letter in ("A", "B", "C"))

    def test_the_web_page_has_the_same_boxes(self, part: Part) -> None:
        grid = chord_grid(part)
        cells = Cells(grid.html().partition("<table>")[2]).cells
        rows = [cells[at : at + 5] for at in range(0, len(cells), 5)]
        for row, found in zip(grid.rows, rows, strict=True):
            assert "".join(found[0]) == row[0].form.section
            for bar, words in zip(row, found[1:], strict=False):
                chords = [text for _, text in bar.chords]
                assert words[len(words) - len(chords) :] == chords

    def test_a_bar_that_goes_on_shows_the_sign_of_repetition(self) -> None:
        sheet = sheet_of()
        bars = [evolve(bar, chords=bar.chords if n < 3 else ()) for n, bar in
                enumerate(sheet.bars)]  # fmt: skip
        part, *_ = make_parts(evolve(sheet, bars=tuple(bars)))
        assert "%" in str(chord_grid(part))
        assert draw_grid(chord_grid(part)).pdf()

    def test_a_title_with_signs_of_html_stays_a_title(self) -> None:
        sheet = evolve(sheet_of(), title="<b>Ebb & Flow</b>")
        html = chord_grid(make_parts(sheet)[0]).html()
        assert "&lt;b&gt;Ebb &amp; Flow&lt;/b&gt;" in html

    def test_a_grid_needs_a_column(self, part: Part) -> None:
        with pytest.raises(LayoutError):
            chord_grid(part, columns=0)


def sung() -> LeadSheet:
    """The demo chart with two verses: words of two syllables under the first notes of
    each bar."""
    sheet = sheet_of()
    bars = []
    for bar in sheet.bars:
        notes = [event for event in bar.melody if isinstance(event, Note)]
        words = {
            id(note): tuple(
                Lyric(f"{syllable}{verse}{bar.number}", where, verse)
                for verse in (1, 2)
            )
            for note, (syllable, where) in zip(
                notes, (("la", "begin"), ("lo", "end")), strict=False
            )
        }
        melody = tuple(
            evolve(event, lyrics=words[id(event)]) if id(event) in words else event
            for event in bar.melody
        )
        bars.append(evolve(bar, melody=melody))
    return evolve(sheet, bars=tuple(bars))


class TestLyrics:
    def test_words_stand_by_sections_and_verses(self) -> None:
        part, *_ = make_parts(sung())
        lines = lyric_lines(part)
        assert [line.section for line in lines if line.section] == ["A", "B", "C"]
        first = next(line for line in lines if line.section == "B")
        assert first.words == "la113lo113 la114lo114 la115lo115 la116lo116"
        for verse in (1, 2):
            text = " ".join(line.words for line in lines if line.verse == verse)
            assert f"la{verse}1lo{verse}1" in text

    def test_chords_stand_where_they_begin(self) -> None:
        part, *_ = make_parts(sung())
        line = next(
            line for line in lyric_lines(part, chords=True) if line.section == "B"
        )
        assert line.pairs[0] == ("E♭m7", "la113lo113 ")
        assert [chord for chord, _ in line.pairs][:3] == ["E♭m7", "A♭7", "D♭maj7"]
        second = [line for line in lyric_lines(part, chords=True) if line.verse == 2]
        assert not any(chord for line in second for chord, _ in line.pairs)

    def test_all_words_stand_on_the_page(self) -> None:
        part, *_ = make_parts(sung())
        for chords in (False, True):
            text = re.sub(r"\s", "", text_of(draw_lyrics(part, chords=chords)))
            for line in lyric_lines(part):
                assert re.sub(r"\s", "", line.words) in text or chords
            assert ("E♭m7" in text) is chords

    def test_no_page_where_there_are_no_words(self) -> None:
        assert len(draw_lyrics(make_parts(sheet_of())[0])) == 0


class TestSetList:
    def test_lines_comments_numbers_and_columns(self) -> None:
        text = "# Friday\n\n1. Rope Walk | Dm | 84 | slow\n2) Slack Water |  | 120\n"
        assert read_set_list(text) == (
            SetListTune("Rope Walk", "Dm", "84", "slow"),
            SetListTune("Slack Water", "", "120"),
        )

    def test_what_is_left_open_comes_from_the_chart(self) -> None:
        tune = SetListTune("rope walk", feel="slow").filled_from(
            sheet_of(ROOT / "shared" / "charts" / "rope_walk.musicxml")
        )
        assert tune == SetListTune("Rope Walk", "D minor", "♩. = 84", "slow")

    def test_order_and_columns_on_the_page(self) -> None:
        tunes = [SetListTune(f"Tune {n}", "F major", "120") for n in range(1, 26)]
        pages = draw_set_list(tunes, title="Friday")
        assert len(pages) == 2
        lines = text_of(pages)
        numbers = [int(number) for number in re.findall(r"Tune (\d+) F", lines)]
        assert numbers == list(range(1, 26))


def test_the_commands_write_their_files(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    chart = str(ROOT / "shared" / "charts" / "rope_walk.musicxml")
    listed = tmp_path / "friday.txt"
    listed.write_text("Rope Walk\n", encoding="utf-8")
    assert main(["grid", chart, "--to", str(tmp_path)]) == 0
    assert main(["grid", chart, "--to", str(tmp_path), "--html", "--book", "Bb"]) == 0
    assert main(["lyrics", chart, "--to", str(tmp_path)]) == 0
    page = tmp_path / "friday.pdf"
    assert main(["setlist", str(listed), "--to", str(page), "--charts", chart]) == 0
    assert {path.name for path in tmp_path.iterdir()} == {
        "friday.txt",
        "friday.pdf",
        "rope_walk - C chords.pdf",
        "rope_walk - Bb chords.html",
    }
    assert "Rope Walk: no words" in capsys.readouterr().out
    assert "D minor" in pypdf.PdfReader(page).pages[0].extract_text()
    assert Fraction(1, 2) in [
        place
        for row in chord_grid(make_parts(sheet_of(Path(chart)))[0]).rows
        for bar in row
        for place, _ in bar.chords
    ]
