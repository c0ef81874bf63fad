"""``bind``: the charts of a band as a book for each chair."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from multiprocessing import get_context
from pathlib import Path
from typing import Any, Final

from attrs import frozen

from ..chords import PrintStyle
from ..decisions.making import decided_page, decided_parts, decided_readers
from ..decisions.model import Decisions
from ..errors import TheoryError
from ..files import write_files
from ..instruments.books import STANDARD_BOOKS, Book, find_book
from ..instruments.instrument import Instrument
from ..instruments.table import find_instrument
from ..pages import (
    LOOKS,
    DrawnSizes,
    PageLook,
    Pages,
    bound_pages,
    draw_pages,
    read_set_list,
    title_order,
)
from ._charts import Chart, charts_in, each_chart, tried
from ._decisions import band_decisions, typed_decisions
from ._pages import add_page_arguments, need_pages, text_of
from ._readers import add_reader_arguments
from ._say import UsageError, count, say, say_aside
from ._staves import add_staff_arguments
from ._symbols import PRINT_STYLES

__all__ = ("DESCRIPTION", "add_arguments", "run")

DESCRIPTION = """\
Read each chart (MusicXML at concert pitch, or a folder of them) and bind the parts
into one PDF for each chair: cover, contents with links, bookmarks, then the tunes.  A
tune of two pages lies open at once.  Every chair has the same tunes on the same pages.
A chart that can't be read is left out, and named in the contents and at the end.

  python -m leadsheet_theory bind charts --to books --title "The Net Loft Seven"
  python -m leadsheet_theory bind charts --to books --set-list friday.txt --book Bb
  python -m leadsheet_theory bind charts --to books --doubling "tenor sax + flute"
"""


def add_arguments(parser: argparse.ArgumentParser, /) -> None:
    """Say what the command takes."""
    parser.add_argument("charts", nargs="+", metavar="CHART", help="file or folder")
    parser.add_argument(
        "--to", required=True, type=Path, metavar="DIR", help="folder for the books"
    )
    parser.add_argument(
        "--title",
        default="Band book",
        metavar="TEXT",
        help="what stands on the cover (default: %(default)s)",
    )
    add_reader_arguments(parser)
    parser.add_argument(
        "--doubling",
        action="append",
        default=[],
        metavar="'NAME + NAME'",
        help="a chair that plays two instruments, or from two books: both in one; may "
        "be given again",
    )
    order = parser.add_mutually_exclusive_group()
    order.add_argument(
        "--order",
        choices=("given", "title"),
        default="given",
        help="the order of the tunes (default: as the charts are given)",
    )
    order.add_argument(
        "--set-list",
        type=Path,
        metavar="FILE",
        help="a text file with a title or a chart's name on each line: the tunes "
        "of the book, in that order",
    )
    parser.add_argument("--numbered", action="store_true", help="number the tunes")
    parser.add_argument(
        "--no-solo-page", action="store_true", help="leave out the solo changes"
    )
    parser.add_argument(
        "--style",
        choices=PRINT_STYLES,
        default="plain letters",
        help="how chord symbols are printed (default: %(default)s)",
    )
    add_page_arguments(parser)
    parser.add_argument(
        "--jobs",
        type=int,
        default=1,
        metavar="N",
        help="how many charts are drawn at a time (default: %(default)s)",
    )
    add_staff_arguments(parser)
    parser.add_argument("--quiet", action="store_true", help="no progress")


_OF_THE_BOOK: Final = ("names", "paper", "staff-size", "style", "look")
"""What no tune of a book has otherwise than the others."""


@frozen(order=False)
class _Chair:
    """Who plays from a book: one reader, or several of a player who doubles."""

    readers: tuple[Book | Instrument, ...]

    @property
    def name(self) -> str:
        return " and ".join(reader.name for reader in self.readers)

    @property
    def file_name(self) -> str:
        return " and ".join(reader.ascii_name for reader in self.readers)


@frozen(order=False, kw_only=True)
class _Drawing:
    """How every chart is drawn: for whom, and what is decided for the whole book."""

    readers: tuple[Book | Instrument, ...]
    decisions: Decisions

    @property
    def look(self) -> PageLook:
        return LOOKS[self.decisions.text("look", "engraved")]

    @property
    def style(self) -> PrintStyle:
        return PRINT_STYLES[self.decisions.text("style", "plain letters")]

    def parts(self, chart: Chart) -> dict[str, Pages]:
        """The drawn parts of a tune by the usual names of their readers."""
        of_tune = chart.decisions.without(*_OF_THE_BOOK)
        decisions = of_tune.followed_by(self.decisions.only(*_OF_THE_BOOK))
        road_map = decisions.says("road-map")
        parts = decided_parts(
            chart.played,
            decisions,
            readers=self.readers,
            measure=DrawnSizes(self.look, self.style, road_map),
        )
        return {
            reader.name: draw_pages(
                part, look=self.look, style=self.style, road_map=road_map
            )
            for reader, part in zip(self.readers, parts, strict=True)
        }


def run(options: argparse.Namespace, /) -> int:
    """Bind the books; the exit code."""
    need_pages()
    charts = charts_in(options.charts)
    typed = typed_decisions(options, without=("title",))
    try:
        decisions = band_decisions(charts[0].parent).followed_by(typed)
    except TheoryError as error:
        raise UsageError(str(error)) from None
    chairs = _chairs(options.doubling, decisions)
    folder: Path = options.to
    if folder.exists() and not folder.is_dir():
        raise UsageError(f"--to {folder}: not a folder")
    if options.jobs < 1:
        raise UsageError(f"--jobs {options.jobs}: expected at least 1")
    wanted = _set_list(options.set_list)
    drawing = _Drawing(
        readers=tuple(dict.fromkeys(r for chair in chairs for r in chair.readers)),
        decisions=decisions,
    )
    tunes, failed = _drawn(charts, drawing, typed, options)
    left_out = [_left_out(Path(name).name, why) for name, why in failed]
    order = _in_order(tunes, wanted, left_out, by_title=options.order == "title")
    if not order:
        say_aside("no tune to bind")
        return 1
    lengths = [max(map(len, tune.values())) for tune in order]
    # a process for each book: the library that sets pages keeps what it has set
    with _processes(min(options.jobs, len(chairs)), fresh=True) as pool:
        books = {
            chair: pool.submit(
                _bound,
                [tune[reader.name] for reader in chair.readers for tune in order],
                title=options.title,
                chair=chair.name,
                page=decided_page(decisions),
                look=drawing.look,
                numbered=options.numbered,
                lengths=lengths * len(chair.readers),
                left_out=[f"not in this book: {line}" for line in left_out],
            )
            for chair in chairs
        }
        for chair, book in books.items():
            pages, pdf = book.result()
            name = f"{options.title} - {chair.file_name}.pdf".replace("/", "-")
            write_files(folder, {name: pdf})
            say(f"{name}: {count(len(order), 'tune')}, {count(pages, 'page')}")
    for line in left_out:
        say_aside(f"left out: {line}")
    return 1 if left_out else 0


def _processes(number: int, *, fresh: bool = False) -> ProcessPoolExecutor:
    """So many processes of our own, each `fresh` for every task if asked."""
    return ProcessPoolExecutor(
        number, get_context("spawn"), max_tasks_per_child=1 if fresh else None
    )


def _bound(tunes: Sequence[Pages], **options: Any) -> tuple[int, bytes]:
    """The number of pages of a book, and the book."""
    pages = bound_pages(tunes, **options)
    return len(pages), pages.pdf()


def _chairs(doubling: Sequence[str], decisions: Decisions) -> tuple[_Chair, ...]:
    """The chairs that double, and one for each book and instrument that is named, or
    for the usual books where nobody doubles."""
    several = [
        _Chair(tuple(_reader(name.strip()) for name in text.split("+")))
        for text in doubling
    ]
    usual = () if several else STANDARD_BOOKS
    single = decided_readers(decisions.without("names"), default=usual)
    return (*(_Chair((reader,)) for reader in single), *several)


def _reader(name: str) -> Book | Instrument:
    """An instrument or a book of that name."""
    try:
        return find_instrument(name)
    except TheoryError as error:
        try:
            return find_book(name)
        except TheoryError:
            raise UsageError(str(error)) from None


def _set_list(file: Path | None) -> tuple[str, ...]:
    """The titles of a set list."""
    if file is None:
        return ()
    return tuple(tune.title for tune in read_set_list(text_of(file)))


def _drawn(
    files: Sequence[Path],
    drawing: _Drawing,
    typed: Decisions,
    options: argparse.Namespace,
) -> tuple[dict[Chart, dict[str, Pages]], list[tuple[str, str]]]:
    """The drawn parts of every chart, some drawn at a time, and the charts that failed,
    each with the reason."""
    tunes: dict[Chart, dict[str, Pages]] = {}
    failed: list[tuple[str, str]] = []
    work: list[tuple[Chart, Callable[[], dict[str, Pages]]]] = []
    with _processes(options.jobs) as pool:

        def begin(chart: Chart) -> bool:
            if options.jobs == 1:
                work.append((chart, partial(drawing.parts, chart)))
            else:
                work.append((chart, pool.submit(drawing.parts, chart).result))
            return True

        each_chart(files, begin, quiet=True, typed=typed, failed=failed)
        for number, (chart, result) in enumerate(work, 1):
            if not options.quiet:
                say_aside(f"[{number}/{len(work)}] {chart.name}")
            drawn, why = tried(result)
            if drawn is None:
                failed.append((chart.name, why))
            else:
                tunes[chart] = drawn
    return tunes, failed


def _left_out(name: str, why: str) -> str:
    """A chart that could not be read or drawn, with the reason in a line."""
    reason = why.splitlines()[0].removeprefix(name).strip(" ,:")
    return f"{name} ({reason})"


def _in_order(
    tunes: Mapping[Chart, dict[str, Pages]],
    wanted: Sequence[str],
    left_out: list[str],
    *,
    by_title: bool,
) -> list[dict[str, Pages]]:
    """The tunes in the order of the book."""
    titles = {chart: next(iter(tune.values())).title for chart, tune in tunes.items()}
    if not wanted:
        charts = list(tunes)
        if by_title:
            charts.sort(key=lambda chart: title_order(titles[chart]))
        return [tunes[chart] for chart in charts]
    by_name = {
        name.casefold(): chart
        for chart, title in titles.items()
        for name in (chart.name, chart.stem, title, Path(chart.name).stem)
    }
    order = []
    for line in wanted:
        found = by_name.get(line.casefold())
        if found is None:
            left_out.append(f"{line} (in the set list; there is no such chart)")
        else:
            order.append(tunes[found])
    return order
