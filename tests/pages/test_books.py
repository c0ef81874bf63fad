"""Bound books, read back with pypdf, a general-purpose PDF library."""

from __future__ import annotations

import io
from pathlib import Path

import pypdf
import pytest

from leadsheet_theory.__main__ import main
from leadsheet_theory.musicxml import read_lead_sheet
from leadsheet_theory.pages import Pages, bind, bound_pages, draw_pages
from leadsheet_theory.parts import Part, make_parts

ROOT = Path(__file__).resolve().parents[2]
CHARTS = sorted((ROOT / "shared" / "charts").glob("*.musicxml"))


@pytest.fixture(scope="module")
def parts() -> tuple[Part, ...]:
    """The B♭ part of each demo chart."""
    return tuple(make_parts(read_lead_sheet(chart).sheet)[1] for chart in CHARTS)


@pytest.fixture(scope="module")
def drawn(parts: tuple[Part, ...]) -> tuple[Pages, ...]:
    return tuple(map(draw_pages, parts))


def read(pdf: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(pdf))


def starts_of(book: pypdf.PdfReader) -> dict[str, int]:
    """The page that each bookmark leads to."""
    return {
        item.title: book.get_destination_page_number(item) + 1  # type: ignore[operator]
        for item in book.outline
        if not isinstance(item, list)
    }


def test_cover_contents_bookmarks_and_tunes(parts: tuple[Part, ...]) -> None:
    book = read(bind(parts, title="The Net Loft Seven", numbered=True))
    cover, contents = (page.extract_text() for page in book.pages[:2])
    assert "The Net Loft Seven" in cover
    assert "B♭" in cover
    assert f"{len(parts)} tunes" in cover
    assert book.metadata is not None
    assert book.metadata.title == "The Net Loft Seven – B♭"
    starts = starts_of(book)
    for number, part in enumerate(parts, 1):
        title = part.source.title
        start = starts[f"{number}  {title}"]
        assert title in book.pages[start - 1].extract_text()
        line = next(line for line in contents.splitlines() if title in line)
        assert line.split()[-1] == str(start)
        assert book.pages[start - 1].extract_text().endswith(str(start))


def test_every_line_of_the_contents_is_a_link(parts: tuple[Part, ...]) -> None:
    links = read(bind(parts, title="Book")).pages[1].get("/Annots", [])
    assert len(links) == len(parts)


def test_a_tune_of_two_pages_lies_open(drawn: tuple[Pages, ...]) -> None:
    assert {len(tune) for tune in drawn} == {2}
    starts = starts_of(read(bound_pages(drawn, title="Book").pdf()))
    assert all(starts[tune.title] % 2 == 0 for tune in drawn)


def test_shorter_tunes_keep_the_pages_of_the_other_chairs(
    drawn: tuple[Pages, ...],
) -> None:
    book = bound_pages(drawn, title="Book", lengths=[4, 2, 2])
    starts = starts_of(read(book.pdf()))
    assert [starts[tune.title] for tune in drawn] == [4, 8, 10]


def test_more_tunes_than_one_page_of_contents_lists(drawn: tuple[Pages, ...]) -> None:
    many = drawn[:1] * 40
    book = bound_pages(many, title="Book", left_out=["not in this book: torn.xml"])
    text = [page.extract_text() for page in read(book.pdf()).pages[:3]]
    assert text[1].count(drawn[0].title) + text[2].count(drawn[0].title) == 40
    assert "torn.xml" in text[2]
    assert len(book) == 3 + 80


def test_two_books_of_a_doubling_player(drawn: tuple[Pages, ...]) -> None:
    tune = read_lead_sheet(CHARTS[0]).sheet
    other = draw_pages(make_parts(tune)[2])
    contents = read(bound_pages([drawn[0], other], title="Book").pdf()).pages[1]
    lines = contents.extract_text().splitlines()
    assert [line for line in lines if line in ("B♭", "E♭")] == ["B♭", "E♭"]


class TestCommand:
    def test_a_book_for_each_chair_in_the_order_of_a_set_list(
        self, tmp_path: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        names = tmp_path / "friday.txt"
        names.write_text("# first set\n1. Rope Walk\nNo Such Tune\n\nwaltz_for_a_moored"
                         "_ferry\n", encoding="utf-8")  # fmt: skip
        torn = tmp_path / "torn.musicxml"
        torn.write_bytes(CHARTS[0].read_bytes()[:4000])
        command = [
            "bind",
            *map(str, CHARTS),
            str(torn),
            "--to",
            str(tmp_path / "books"),
        ]
        options = ("--set-list", str(names), "--title", "Friday", "--quiet")
        chairs = ("--book", "Bb", "--doubling", "alto sax + flute")
        assert main([*command, *options, *chairs]) == 1
        files = sorted((tmp_path / "books").iterdir())
        assert [file.name for file in files] == [
            "Friday - Alto Saxophone in Eb and Flute.pdf",
            "Friday - Bb.pdf",
        ]
        book = pypdf.PdfReader(files[1])
        assert list(starts_of(book)) == [
            "Contents",
            "Rope Walk",
            "Waltz for a Moored Ferry",
        ]
        contents = book.pages[1].extract_text()
        assert "No Such Tune (in the set list; there is no such chart)" in contents
        assert "torn.musicxml (" in contents
        assert "left out: torn.musicxml (" in capsys.readouterr().err

    def test_jobs_change_nothing(self, tmp_path: Path) -> None:
        books = []
        for jobs in ("1", "2"):
            to = tmp_path / jobs
            command = ["bind", *map(str, CHARTS[1:]), "--to", str(to), "--book", "C"]
            assert main([*command, "--jobs", jobs, "--order", "title", "--quiet"]) == 0
            (file,) = to.iterdir()
            books.append(file.read_bytes())
        assert books[0] == books[1]
