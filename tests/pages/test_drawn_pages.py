"""Drawn pages, read back with pypdf and pypdfium2: general-purpose PDF libraries that
know nothing of ours."""

from __future__ import annotations

import io
import multiprocessing
import re
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pypdf
import pypdfium2
import pytest
from attrs import evolve

from leadsheet_theory.chords import parse_chord
from leadsheet_theory.key import Key
from leadsheet_theory.leadsheet import (
    Bar,
    FormSigns,
    Jump,
    LeadSheet,
    Note,
    PlacedChord,
    Swing,
)
from leadsheet_theory.musicxml import read_lead_sheet, write_part
from leadsheet_theory.pages import (
    ENGRAVED,
    HANDWRITTEN,
    DrawnSizes,
    PageLook,
    Pages,
    draw_pages,
)
from leadsheet_theory.pages._drawing_copy import drawing_copy
from leadsheet_theory.pages._music import GUTTER, System, _mei, draw_systems
from leadsheet_theory.parts import A4, LETTER, Part, make_parts
from leadsheet_theory.pitch import Pitch
from leadsheet_theory.rhythm import Meter

ROOT = Path(__file__).resolve().parents[2]
CHARTS = sorted((ROOT / "shared" / "charts").glob("*.musicxml"))
DEMO = ROOT / "shared" / "charts" / "harbourmasters_day_off.musicxml"
POINT = 25.4 / 72  # millimetres


def parts_of(chart: Path) -> tuple[Part, ...]:
    return make_parts(read_lead_sheet(chart).sheet)


@pytest.fixture(scope="module")
def parts() -> tuple[Part, ...]:
    return parts_of(DEMO)


@pytest.fixture(scope="module")
def drawn(parts: tuple[Part, ...]) -> tuple[Pages, ...]:
    return tuple(draw_pages(part) for part in parts)


def pdf_of(pages: Pages) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(pages.pdf()))


def test_pages_have_the_size_of_the_paper(parts: tuple[Part, ...]) -> None:
    for page, size in ((None, (210.0, 297.0)), (LETTER, (215.9, 279.4))):
        for sheet in pdf_of(draw_pages(parts[0], page=page)).pages:
            box = sheet.mediabox
            across, down = float(box.width) * POINT, float(box.height) * POINT
            assert (across, down) == pytest.approx(size, abs=0.05)


def test_every_page_says_what_it_is(
    parts: tuple[Part, ...], drawn: tuple[Pages, ...]
) -> None:
    for part, pages in zip(parts, drawn, strict=True):
        pdf = pdf_of(pages)
        assert len(pdf.pages) == len(pages) == len(part.plan.page_starts)
        assert pdf.metadata is not None
        assert pdf.metadata.title == part.source.title
        for number, sheet in enumerate(pdf.pages, 1):
            text = sheet.extract_text()
            assert part.source.title in text
            assert part.headings[number - 1] in text
            assert str(number) in re.findall(r"\d+", text)


@pytest.mark.parametrize("look", [ENGRAVED, HANDWRITTEN], ids=lambda look: look.name)
def test_chord_symbols_stand_in_order(parts: tuple[Part, ...], look: PageLook) -> None:
    for part in parts:
        text = "".join(page.extract_text() for page in pdf_of(
            draw_pages(part, look=look)).pages)  # fmt: skip
        text = re.sub(r"\s", "", text)
        place = 0
        for bar in (*part.bars, *part.solo):
            for chord in bar.bar.chords:
                symbol = str(chord.symbol).replace("b", "♭").replace("#", "♯")
                place = text.find(symbol, place)
                assert place >= 0, f"{symbol} in bar {bar.bar.number} of {part.name}"
                place += len(symbol)


@pytest.mark.parametrize("look", [ENGRAVED, HANDWRITTEN], ids=lambda look: look.name)
def test_all_words_stand_in_the_fonts_of_the_look(look: PageLook) -> None:
    """A character that a font lacks would bring in another one."""
    allowed = {name.replace(" ", "") for name in (look.chord_font, look.text_font)}
    allowed.add("LeadsheetChords")
    for chart in CHARTS:
        for sheet in pdf_of(draw_pages(parts_of(chart)[1], look=look)).pages:
            names = {
                font["/BaseFont"].partition("+")[2].partition("-")[0]
                for font in sheet["/Resources"].get("/Font", {}).values()
            }
            assert names <= allowed


def test_ink_stays_inside_the_margins(drawn: tuple[Pages, ...]) -> None:
    """Drawn to pixels by another library: nothing in the outer 8 mm."""
    for pages in drawn[:2]:
        for sheet in pypdfium2.PdfDocument(pages.pdf()):
            picture = sheet.render(scale=1, grayscale=True).to_pil()
            edge = round(8 / POINT)
            across, down = picture.size
            for box in (
                (0, 0, across, edge),
                (0, down - edge, across, down),
                (0, 0, edge, down),
                (across - edge, 0, across, down),
            ):
                assert picture.crop(box).getextrema()[0] > 250


def test_the_same_part_gives_the_same_bytes_in_every_process(
    parts: tuple[Part, ...], drawn: tuple[Pages, ...]
) -> None:
    here = [pages.pdf() for pages in drawn[:2]]
    with multiprocessing.get_context("spawn").Pool(1) as pool:
        there = pool.map(_pdf, parts[:2])
    assert here == there


def test_what_was_drawn_before_makes_no_difference() -> None:
    part, *_ = parts_of(DEMO)
    fresh = _drawn_alone(part)
    for sizes in (LETTER, A4):  # widths are asked for, and other pages drawn
        DrawnSizes().bar_shares([part])
        draw_pages(part, page=sizes).pdf()
    assert draw_pages(part).pdf() == fresh


def _drawn_alone(part: Part) -> bytes:
    with multiprocessing.get_context("spawn").Pool(1) as pool:
        return pool.apply(_pdf, (part,))


def _pdf(part: Part) -> bytes:
    return draw_pages(part).pdf()


def test_svg_and_png_of_each_page(drawn: tuple[Pages, ...]) -> None:
    pages = drawn[0]
    assert all(svg.startswith("<svg") for svg in pages.svgs())
    pictures = pages.pngs(dots_per_inch=30)
    assert len(pictures) == len(pages)
    assert all(picture.startswith(b"\x89PNG") for picture in pictures)


def systems_of(part: Part) -> tuple[System, ...]:
    return draw_systems(write_part(part), staff=7.5, width=180, look=ENGRAVED)


def test_all_parts_have_their_systems_and_pages_at_the_same_bars() -> None:
    for chart in CHARTS:
        parts = make_parts(read_lead_sheet(chart).sheet, measure=DrawnSizes())
        model = parts[0].plan
        starts = [*model.system_starts, len(parts[0].bars) + len(parts[0].solo)]
        for part in parts:
            assert part.plan == model
            assert len(draw_pages(part)) == len(model.page_starts)
            bars = [system.bars for system in systems_of(part)]
            assert bars == [end - start for start, end in pairwise(starts)]


def test_words_have_room_where_the_staff_of_a_short_line_ends() -> None:
    for chart in CHARTS[:3]:
        widths = {system.width for system in systems_of(parts_of(chart)[0])}
        assert widths == {180 + GUTTER}


def test_every_chord_and_syllable_is_drawn(parts: tuple[Part, ...]) -> None:
    for part in parts:
        svg = "".join(system.svg for system in systems_of(part))
        bars = (*part.bars, *part.solo)
        assert svg.count('class="harm"') == sum(len(bar.symbols) for bar in bars)
        assert svg.count('class="rehearsal"') + svg.count('class="reh"') == sum(
            bool(bar.bar.form.section) for bar in bars
        )


def test_double_accidentals_of_chord_symbols_are_drawn() -> None:
    key, meter = Key.parse("B major"), Meter(4, 4)
    chords = tuple(
        PlacedChord(Fraction(onset), parse_chord(text))
        for onset, text in enumerate(("D#7/F##", "Bbb7"))
    )
    bar = Bar(number=1, key=key, meter=meter, length=Fraction(4), chords=chords)
    (part,) = make_parts(
        LeadSheet(title="Gale", bars=(bar,)), books=["C"], solo_page=False
    )
    text = draw_pages(part).svgs()[0] + pdf_text(part)
    assert "F♯♯" in text and "B♭♭7" in text


def pdf_text(part: Part) -> str:
    return pdf_of(draw_pages(part)).pages[0].extract_text()


def test_a_letter_inside_a_system_stands_clear_of_the_chord_symbol() -> None:
    chart = CHARTS[0].parent / "as_they_come/mooring_bell_strut.musicxml"
    for part in make_parts(read_lead_sheet(chart).sheet, books=["Bb", "Rhythm"]):
        second = systems_of(part)[0].svg.split('class="measure"')[2]
        box = re.search(
            r'translate\((-[\d.]+), 0\)"><rect [^>]*x="([\d.]+)"[^>]* width="([\d.]+)"',
            second,
        )
        symbol = re.search(r'class="harm"[^>]*><text x="([\d.]+)"', second)
        assert box is not None
        assert symbol is not None
        right = sum(float(number) for number in box.groups())
        assert right + 100 < float(symbol[1])


def test_nothing_is_taken_for_something_else(parts: tuple[Part, ...]) -> None:
    """Each thing drawn has an id of its own, and every tie joins neighbours."""
    for part in parts:
        for system in systems_of(part):
            ids = re.findall(r' id="([^"]+)"', system.svg)
            assert len(set(ids)) == len(ids)
            for start, end in re.findall(
                r'class="tie"><path d="M([-\d.]+),[-\d.]+ C\S+ \S+ ([-\d.]+),',
                system.svg,
            ):
                assert abs(float(end) - float(start)) < 4500  # 45 mm


def test_a_tie_into_a_second_ending_is_drawn() -> None:
    """Both endings go on with the note before them; common practice, no source."""
    key, meter = Key.parse("F major"), Meter(4, 4)
    forms = (
        FormSigns(repeat_start=True),
        FormSigns(ending=(1,), ending_starts=True, repeat_end=2),
        FormSigns(ending=(2,), ending_starts=True, barline="final"),
    )
    bars = tuple(
        Bar(
            number=number,
            key=key,
            meter=meter,
            length=Fraction(4),
            melody=(
                Note(
                    onset=Fraction(0),
                    duration=Fraction(4),
                    pitches=(Pitch.parse("A4"),),
                    tied_to_next=number == 1,
                    tied_from_previous=number > 1,
                ),
            ),
            form=form,
        )
        for number, form in enumerate(forms, 1)
    )
    part = make_parts(LeadSheet(title="Low Water", bars=bars), solo_page=False)[0]
    svg = "".join(system.svg for system in systems_of(part))
    assert len(re.findall(r'class="tie"[^>]*>?<?[^>]* d="M', svg)) == 2


def test_an_ending_that_leads_to_the_coda_keeps_its_bracket() -> None:
    key, meter = Key.parse("F major"), Meter(4, 4)
    second = FormSigns(ending=(2,), ending_starts=True, to_coda=True)
    forms = (
        FormSigns(repeat_start=True, segno=True),
        FormSigns(ending=(1,), ending_starts=True, repeat_end=2),
        second,
        FormSigns(ending=(2,), barline="double"),
        FormSigns(jump=Jump("segno", "coda")),
        FormSigns(coda=True, barline="final"),
    )
    bars = tuple(
        Bar(number=number, key=key, meter=meter, length=Fraction(4), form=form)
        for number, form in enumerate(forms, 1)
    )
    part = make_parts(LeadSheet(title="Low Water", bars=bars), solo_page=False)[0]
    mei = _mei(drawing_copy(write_part(part)).musicxml, 4.0)
    brackets = re.findall(r'<ending[^>]* n="(\d)".*?</ending>', mei, re.DOTALL)
    assert brackets == ["1", "2"]
    inside = [each.split("</ending>")[0] for each in mei.split("<ending ")[1:]]
    assert [each.count("<measure ") for each in inside] == [1, 2]


def test_the_road_map_stands_under_the_title_where_asked() -> None:
    for chart, told in (
        (DEMO, "A A B C, open solos, D.C. with repeats"),
        (DEMO.with_name("rope_walk.musicxml"), "A B A, open solos, D.C."),
    ):
        part = parts_of(chart)[0]
        for asked in (False, True):
            text = pdf_of(draw_pages(part, road_map=asked)).pages[0].extract_text()
            assert (told in text) is asked


EQUATIONS = {  # what stands on the right: so many stems, flags and figures
    Swing(2, 1, equation=True): (4, 1, 1),
    Swing(3, 1, equation=True): (4, 0, 0),
    Swing(1, 1, equation=True): (4, 0, 0),
    Swing(2, 1, "16th", equation=True): (4, 2, 1),
    Swing(3, 1, "16th", equation=True): (4, 0, 0),
}


@pytest.mark.parametrize("swing", EQUATIONS)
@pytest.mark.parametrize("look", [ENGRAVED, HANDWRITTEN])
def test_the_equation_of_a_swing_stands_after_style_and_tempo(
    swing: Swing, look: PageLook
) -> None:
    """Two notes of the unit equal two others (MusicXML 4.0, ``metronome-note``)."""
    sheet = evolve(read_lead_sheet(CHARTS[0]).sheet, swing=swing)
    pages = draw_pages(make_parts(sheet)[1], look=look)
    (line,) = [words for words in pages._sheets[0].words if words.signs]
    left, right = line.signs
    assert (left.before.strip(), right.before, right.after) == ("(", " = ", ")")
    drawn = left.svg + right.svg
    stems, flags, figures = (
        len(re.findall(f'class="{what}"', drawn))
        for what in ("stem", "flag", "tupletNum")
    )
    assert (stems, flags, figures) == EQUATIONS[swing]
    assert "ledgerLines" not in drawn
    assert 0.5 < left.height < right.height + 0.5 < 2.5
    assert pages.pdf().startswith(b"%PDF")


def test_a_swing_without_an_equation_draws_none() -> None:
    sheet = read_lead_sheet(CHARTS[0]).sheet
    for swing in (None, Swing(), Swing(5, 2, equation=True)):
        part = make_parts(evolve(sheet, swing=swing))[0]
        assert not any(words.signs for words in draw_pages(part)._sheets[0].words)


def test_words_that_no_font_has_are_told(parts: tuple[Part, ...]) -> None:
    for title, told in (("Slack Water", 0), ("Канат", 0), ("Мост ≈ 猫", 1)):
        part = evolve(parts[0], source=evolve(parts[0].source, title=title))
        findings = draw_pages(part).findings
        assert len(findings) == told
        assert all("no letters for" in finding.message for finding in findings)


def test_drawing_changes_nothing_of_the_written_part(parts: tuple[Part, ...]) -> None:
    before = write_part(parts[0])
    draw_pages(parts[0])
    assert write_part(parts[0]) == before
