"""``bind``: the charts of a band as a book for each chair."""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Any, Final

from attrs import frozen

from ..catalogue.charts import Chart
from ..catalogue.report import chart_record, hash_of, options_hash, tune_record
from ..catalogue.telling import finding_lines
from ..decisions.making import (
    decided_page,
    decided_parts,
    decided_readers,
    decided_style,
)
from ..decisions.model import Decisions
from ..errors import TheoryError
from ..files import NamedBytes, Wish, plan_names, safe_name, write_files
from ..instruments.books import STANDARD_BOOKS, find_book
from ..instruments.rhythm_books import PartReader, find_rhythm_book
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
from ._batch import Done, Told, work_through
from ._charts import Source, bytes_of, charts_in, tried
from ._decisions import band_decisions, decisions_beside, typed_decisions
from ._pages import add_page_arguments, need_pages, text_of
from ._processes import jobs_asked, processes
from ._readers import add_reader_arguments
from ._report import Report, add_batch_arguments, report_asked, unchanged
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
    add_staff_arguments(parser)
    add_batch_arguments(parser)


_OF_THE_BOOK: Final = ("names", "paper", "staff-size", "style", "look")
"""What no tune of a book has otherwise than the others."""


@frozen(order=False)
class _Chair:
    """Who plays from a book: one reader, or several of a player who doubles."""

    readers: tuple[PartReader, ...]

    @property
    def name(self) -> str:
        return " and ".join(reader.name for reader in self.readers)

    @property
    def file_name(self) -> str:
        return " and ".join(reader.ascii_name for reader in self.readers)


@frozen(order=False)
class _Tune:
    """A drawn tune: what its chart and its files are called, and its pages by the usual
    names of their readers."""

    name: str
    stem: str
    pages: Mapping[str, Pages]

    @property
    def title(self) -> str:
        return next(iter(self.pages.values())).title


@frozen(order=False, kw_only=True)
class _Drawing:
    """How every chart is drawn: for whom, and what is decided for the whole book."""

    typed: Decisions
    folder: Path
    readers: tuple[PartReader, ...]
    decisions: Decisions

    @property
    def look(self) -> PageLook:
        return LOOKS[self.decisions.text("look", "engraved")]

    def _of_tune(self, decisions: Decisions) -> Decisions:
        """What is decided for a tune of the book."""
        book = self.decisions.only(*_OF_THE_BOOK)
        return decisions.without(*_OF_THE_BOOK).followed_by(book)

    def options(self, decisions: Decisions, stems: Sequence[str]) -> str:
        """The hash of all that decides what is made of a chart."""
        names = [*stems, *(reader.name for reader in self.readers)]
        return options_hash(self._of_tune(decisions), stems=names, pdf=True)

    def done(self, chart: Chart, _: Source) -> Told:
        """Draw the parts of a tune."""
        decisions = self._of_tune(chart.decisions)
        look, style = self.look, decided_style(decisions)
        road_map = decisions.says("road-map")
        parts = decided_parts(
            chart.played,
            decisions,
            readers=self.readers,
            measure=DrawnSizes(look, style, road_map),
        )
        pages = {
            reader.name: draw_pages(part, look=look, style=style, road_map=road_map)
            for reader, part in zip(self.readers, parts, strict=True)
        }
        drawing = [finding for each in pages.values() for finding in each.findings]
        record = tune_record(
            title=chart.sheet.title,
            stem=chart.stem,
            findings={"findings": chart.findings, "drawing": drawing},
            parts=parts,
        )
        lines = [f"{chart.title}: {line}" for line in finding_lines(drawing)]
        return Told(tuple(lines), record, kept=_Tune(chart.name, chart.stem, pages))


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
    drawing = _Drawing(
        typed=typed,
        folder=folder,
        readers=tuple(dict.fromkeys(r for chair in chairs for r in chair.readers)),
        decisions=decisions,
    )
    with report_asked(options, charts) as report:
        return _bind(drawing, charts, chairs, report, options)


def _bind(
    drawing: _Drawing,
    charts: Sequence[Path],
    chairs: Sequence[_Chair],
    report: Report | None,
    options: argparse.Namespace,
) -> int:
    """Draw the tunes and bind the books; the exit code."""
    wanted = _set_list(options.set_list)
    names = _book_names(options.title, chairs)
    asked = _hash_of_all(drawing, charts, chairs, options)
    if report and _keeps_all(report, charts, names, asked, options.to):
        say_aside("the books have not changed")
        return 0
    tunes: list[_Tune] = []
    failed: list[tuple[str, str]] = []

    def keep(done: Done) -> None:
        tunes.extend(each for each in done.kept if isinstance(each, _Tune))
        failed.extend(done.failed)

    jobs = jobs_asked(options.jobs, len(charts))
    files = [Source(path, ()) for path in charts]
    work_through(
        drawing,
        files,
        report,
        jobs=jobs,
        quiet=options.quiet,
        keep=keep,
        anew=True,
        draws=True,
    )
    left_out = [_left_out(Path(name).name, why) for name, why in failed]
    order = _in_order(tunes, wanted, left_out, by_title=options.order == "title")
    if not order:
        say_aside("no tune to bind")
        return 1
    lengths = [max(map(len, tune.pages.values())) for tune in order]
    # a process for each book: the library that sets pages keeps what it has set
    with processes(min(jobs, len(chairs)), fresh=True) as pool:
        books = {
            chair: pool.submit(
                _bound,
                [tune.pages[reader.name] for reader in chair.readers for tune in order],
                title=options.title,
                chair=chair.name,
                page=decided_page(drawing.decisions),
                look=drawing.look,
                numbered=options.numbered,
                lengths=lengths * len(chair.readers),
                left_out=[f"not in this book: {line}" for line in left_out],
            )
            for chair in chairs
        }
        for (chair, begun), name in zip(books.items(), names, strict=True):
            pages, pdf = begun.result()
            write_files(options.to, {name: pdf})
            if report:
                made = NamedBytes(name, pdf)
                book = tune_record(
                    title=chair.name, stem=name, findings={}, files=[made]
                )
                line = chart_record(name, source="", options=asked, tunes=[book])
                report.add(name, line)
            say(f"{name}: {count(len(order), 'tune')}, {count(pages, 'page')}")
    for line in left_out:
        say_aside(f"left out: {line}")
    return 1 if left_out else 0


def _book_names(title: str, chairs: Sequence[_Chair]) -> tuple[str, ...]:
    """What the books are called, no two alike."""
    ends = (f" - {safe_name(chair.file_name)}.pdf" for chair in chairs)
    wishes = [Wish(title, (("", end),)) for end in ends]
    planned = plan_names(wishes)
    return tuple(
        wish.names(name)[0] for wish, name in zip(wishes, planned, strict=True)
    )


def _hash_of_all(
    drawing: _Drawing,
    charts: Sequence[Path],
    chairs: Sequence[_Chair],
    options: argparse.Namespace,
) -> str:
    """The hash of all that decides what the books hold."""
    asked = [options.title, options.order, str(options.numbered)]
    asked += [chair.name for chair in chairs]
    asked += _set_list(options.set_list)
    for path in charts:
        data, _ = tried(partial(bytes_of, path))
        beside, _ = tried(partial(decisions_beside, path))
        asked += [str(path), hash_of(data or b""), repr(beside)]
    return drawing.options(drawing.decisions, asked)


def _keeps_all(
    report: Report,
    charts: Sequence[Path],
    names: Sequence[str],
    asked: str,
    folder: Path,
) -> bool:
    """Whether an earlier run made the same books, which are there; its lines are kept
    then."""
    lines = {name: report.earlier(name) for name in (*map(str, charts), *names)}
    made = all(
        unchanged(lines[name], source="", options=asked, folder=folder)
        for name in names
    )
    if not made or not all(lines.values()):
        return False
    for name, line in lines.items():
        report.add(name, line)
    return True


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


def _reader(name: str) -> PartReader:
    """An instrument or a book of that name."""
    try:
        return find_rhythm_book(name) or find_instrument(name)
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


def _left_out(name: str, why: str) -> str:
    """A chart that could not be read or drawn, with the reason in a line."""
    reason = why.splitlines()[0].removeprefix(name).strip(" ,:")
    return f"{name} ({reason})"


def _in_order(
    tunes: Sequence[_Tune],
    wanted: Sequence[str],
    left_out: list[str],
    *,
    by_title: bool,
) -> list[_Tune]:
    """The tunes in the order of the book."""
    if not wanted:
        if by_title:
            return sorted(tunes, key=lambda tune: title_order(tune.title))
        return list(tunes)
    by_name = {
        name.casefold(): tune
        for tune in tunes
        for name in (tune.name, tune.stem, tune.title, Path(tune.name).stem)
    }
    order = []
    for line in wanted:
        found = by_name.get(line.casefold())
        if found is None:
            left_out.append(f"{line} (in the set list; there is no such chart)")
        else:
            order.append(found)
    return order
