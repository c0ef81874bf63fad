"""``parts``: from each chart the parts of a band."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from pathlib import Path

from attrs import evolve, frozen

from ..errors import TheoryError
from ..instruments.books import Book
from ..instruments.instrument import Instrument
from ..key import Key
from ..leadsheet.findings import Finding
from ..leadsheet.model import LeadSheet
from ..musicxml.writing.files import part_file_name, write_files
from ..musicxml.writing.write import write_part
from ..pages import LOOKS, DrawnSizes, Pages, can_draw, draw_pages, join_pages
from ..parts.make import HEADING, in_key, make_parts
from ..parts.model import Part, Respell, RespellNote
from ..parts.systems import Page
from ..proof.passes import proofread
from ..proof.silence import Silence
from ._charts import Chart, charts_in, each_chart
from ._decisions import settled
from ._pages import NO_PAGES, add_page_arguments, page_asked
from ._readers import add_reader_arguments, readers_asked
from ._say import UsageError, count, say
from ._solos import add_solo_arguments, order_asked, solo_page_asked
from ._staves import DECIDED, add_staff_arguments, staves_asked
from ._summary import chart_summary, finding_lines, form_line, wrapped
from ._symbols import PRINT_STYLES, plain
from ._wishes import (
    check_heading,
    for_readers,
    name_asked,
    note_wish,
    octave_asked,
    root_wish,
)

__all__ = ("DESCRIPTION", "add_arguments", "run")

DESCRIPTION = """\
Read each chart (at concert pitch, as MusicXML: .musicxml, .xml or .mxl, or as ABC:
.abc, which may hold many tunes; or a folder of them) and write a part for each book
and instrument into a folder: as PDF, all of them in order as one PDF for the printer,
as MusicXML in a folder "musicxml" of its own, and a short report of what to look at.
Without --book and --instrument these are the five books C, Bb, Eb, F and bass clef.
A file of the same name in that folder is replaced.

  python -m leadsheet_theory parts tune.musicxml --to parts
  python -m leadsheet_theory parts tune.musicxml --to parts --book Bb \\
      --instrument "bass trombone" --respell "Bb 22 3 Gb"
"""


def add_arguments(parser: argparse.ArgumentParser, /) -> None:
    """Say what the command takes."""
    parser.add_argument("charts", nargs="+", metavar="CHART", help="file or folder")
    parser.add_argument(
        "--to", required=True, type=Path, metavar="DIR", help="folder for the parts"
    )
    add_reader_arguments(parser)
    parser.add_argument(
        "--respell",
        action="append",
        default=[],
        metavar="'BOOK BAR BEAT ROOT'",
        help="spell one chord of one part otherwise: 'Bb 22 3 Gb'; may be given again",
    )
    parser.add_argument(
        "--respell-note",
        action="append",
        default=[],
        metavar="'BOOK BAR BEAT NAME'",
        help="show one note of one part under another name: 'Bb 22 3 Gb'; may be given "
        "again",
    )
    parser.add_argument(
        "--octave",
        action="append",
        default=[],
        metavar="'BOOK = N'",
        help="how many octaves up, or with a minus down, from the chart a part sounds: "
        "'Bass clef = -1'; may be given again",
    )
    parser.add_argument(
        "--name",
        action="append",
        default=[],
        metavar="'BOOK = NAME'",
        help="what a part is called: 'Bass clef = Bass'; may be given again",
    )
    parser.add_argument("--title", metavar="TEXT", help="the title on the parts")
    parser.add_argument("--composer", metavar="TEXT", help="the composer on the parts")
    parser.add_argument(
        "--silence",
        action="append",
        default=[],
        metavar="RULE[: BARS]",
        help="say nothing of a rule in the report, or in some bars, such as 'tie: 4'; "
        "may be given again",
    )
    parser.add_argument(
        "--key",
        metavar="KEY",
        help="make the parts in another concert key, such as a singer's: F, 'C minor'",
    )
    parser.add_argument(
        "--heading",
        metavar="TEXT",
        default=HEADING,
        help="what stands above the music; {book} is the part's name, {title} the "
        "tune's (default: '%(default)s')",
    )
    parser.add_argument(
        "--style",
        choices=PRINT_STYLES,
        default="plain letters",
        help="how chord symbols are printed: in a house style, or each as its source "
        "has it (default: %(default)s)",
    )
    add_page_arguments(parser)
    parser.add_argument(
        "--bars-per-system",
        type=int,
        choices=range(1, 17),
        default=4,
        metavar="N",
        help="the most bars in a system (default: %(default)s)",
    )
    parser.add_argument(
        "--hits-label", default="", metavar="TEXT", help="a label for the hits"
    )
    parser.add_argument(
        "--keep-stacked-chords",
        action="store_true",
        help="leave chords that stand on one beat there; by default they are spread "
        "over the beats up to the next chord",
    )
    add_solo_arguments(parser)
    parser.add_argument(
        "--road-map",
        action="store_true",
        help="tell the way through the tune in a line under the title",
    )
    parser.add_argument(
        "--musicxml-only", action="store_true", help="write no PDF and no report"
    )
    parser.add_argument(
        "--summary",
        choices=("full", "parts", "short"),
        help="all that was respelled, a line a part and what is doubtful, or one line "
        "a chart (default: parts for one chart, short for several)",
    )
    add_staff_arguments(parser)
    parser.add_argument("--quiet", action="store_true", help="no progress")


def run(options: argparse.Namespace, /) -> int:
    """Make the parts; the exit code."""
    charts = charts_in(options.charts)
    asked = _asked(options)
    if asked.respell and len(charts) > 1:
        option = "--respell" if options.respell else "--respell-note"
        raise UsageError(f"{option} is for one chart at a time")
    folder: Path = options.to
    if folder.exists() and not folder.is_dir():
        raise UsageError(f"--to {folder}: not a folder")
    options.summary = options.summary or ("parts" if len(charts) == 1 else "short")

    def work(chart: Chart) -> bool:
        _write_parts(chart, settled(options, chart.decisions))
        return True

    code = each_chart(charts, work, quiet=options.quiet, staves=staves_asked(options))
    if not (can_draw() or options.musicxml_only):
        say(NO_PAGES)
    return code


@frozen(order=False, kw_only=True)
class _Asked:
    """What the options say, worked out."""

    books: tuple[Book | Instrument, ...]
    names: tuple[tuple[Book | Instrument, str], ...]
    octaves: tuple[tuple[Book | Instrument, int], ...]
    respell: tuple[Respell | RespellNote, ...]
    key: Key | None
    page: Page
    silence: tuple[Silence, ...]

    @property
    def readers(self) -> tuple[Book | Instrument, ...]:
        """The books under the names they are to have."""
        names = dict(self.names)
        return tuple(
            _called(book, names[book]) if book in names else book for book in self.books
        )

    def octaves_by_name(self) -> dict[str, int]:
        """The octaves asked for the parts that are made."""
        octaves = dict(self.octaves)
        pairs = zip(self.books, self.readers, strict=True)
        return {new.name: octaves[book] for book, new in pairs if book in octaves}


def _called(reader: Book | Instrument, name: str) -> Book | Instrument:
    if isinstance(reader, Book):
        return evolve(reader, name=name, ascii_name=plain(name))
    return evolve(reader, name=name)


def _asked(options: argparse.Namespace) -> _Asked:
    check_heading(options.heading)
    check_heading(options.solo_heading)
    try:
        return _Asked(
            books=readers_asked(options.book, options.instrument),
            names=tuple(name_asked(text) for text in options.name),
            octaves=tuple(octave_asked(text) for text in options.octave),
            respell=(
                *(root_wish(text) for text in options.respell),
                *(note_wish(text) for text in options.respell_note),
            ),
            key=Key.parse(options.key) if options.key else None,
            page=page_asked(options),
            silence=tuple(Silence.parse(text) for text in options.silence),
        )
    except TheoryError as error:
        raise UsageError(str(error)) from None


def _write_parts(chart: Chart, options: argparse.Namespace) -> None:
    """Make the parts of a chart, and tell what became of them."""
    asked = _asked(options)
    if asked.respell and chart.tunes > 1:
        raise UsageError("--respell is for one chart at a time")
    draws = can_draw() and not options.musicxml_only
    style = PRINT_STYLES[options.style]
    look = LOOKS[options.look]
    sheet, stem, heading = _as_asked(chart, options, asked.key)
    order = order_asked(options, sheet)

    def made(wishes: Sequence[Respell | RespellNote]) -> tuple[Part, ...]:
        return make_parts(
            sheet,
            books=asked.readers,
            heading=heading,
            bars_per_system=options.bars_per_system,
            page=asked.page,
            respell=wishes,
            cue_label=options.hits_label,
            solo_page=solo_page_asked(options, sheet, order),
            solo_heading=options.solo_heading,
            order=order,
            measure=DrawnSizes(look, style, options.road_map) if draws else None,
            stacked_chords="kept" if options.keep_stacked_chords else "spread",
            octaves=asked.octaves_by_name(),
        )

    parts = made(_wishes(asked, chart, made))
    names = [part_file_name(stem, part) for part in parts]
    files = {
        f"musicxml/{name}.musicxml": write_part(part, style=style)
        for name, part in zip(names, parts, strict=True)
    }
    bars = sum(not bar.is_pickup for bar in chart.sheet.bars)
    title = sheet.title or chart.name
    headline = f"{title}: {count(len(parts), 'part')} of {count(bars, 'bar')}"
    form = list(wrapped(form_line(sheet, order), "  "))
    told = form + _summary(parts, names, chart, full=options.summary == "full")
    if draws:
        drawn = [
            draw_pages(part, look=look, style=style, road_map=options.road_map)
            for part in parts
        ]
        files |= _pdfs(drawn, names, stem)
        for line in finding_lines(f for pages in drawn for f in pages.findings):
            told += wrapped(line, "  ")
        everything = form + _summary(parts, names, chart, full=True)
        report = _report(headline, everything, chart, asked)
        files[f"{stem} - report.txt"] = report.encode()
    write_files(options.to, files)
    say(f"{headline} written to {options.to}")
    _tell(told, chart, short=options.summary == "short")


def _as_asked(
    chart: Chart, options: argparse.Namespace, key: Key | None
) -> tuple[LeadSheet, str, str]:
    """The sheet under the title and in the key asked for, how the names of its files
    begin, and what stands above the music."""
    sheet = evolve(
        chart.sheet,
        title=options.title or chart.sheet.title,
        composer=options.composer or chart.sheet.composer,
    )
    if key is None:
        return sheet, chart.stem, options.heading
    sheet = in_key(sheet, _in_its_mode(key, options.key, sheet))
    return (
        sheet,
        f"{chart.stem} in {sheet.key.tonic}",
        f"{options.heading} (concert {sheet.key.glyphs})",
    )


def _tell(told: Sequence[str], chart: Chart, *, short: bool) -> None:
    """Say what became of the parts, and how many remarks on the file are left out."""
    for line in () if short else told:
        say(line)
    quiet = len(chart.findings) - (0 if short else len(_told_of(chart)))
    if quiet:
        them = "it" if quiet == 1 else "them"
        say(f"  {count(quiet, 'remark')} on the file: proofread lists {them}")


def _wishes(
    asked: _Asked,
    chart: Chart,
    made: Callable[[Sequence[Respell | RespellNote]], object],
) -> list[Respell | RespellNote]:
    """The wishes for the parts that are made.

    One of a file that finds nothing to respell is told with its line.
    """
    decided = {
        wish: decision
        for key, parse in (("respell", root_wish), ("respell-note", note_wish))
        for decision in chart.decisions.of(key)
        for wish in (parse(str(decision.value)),)
    }
    wishes = []
    for wish in asked.respell:
        meant = list(for_readers(wish, asked.books, asked.names))
        decision = decided.get(wish)
        if decision is None:
            wishes += meant or [wish]
            continue
        wishes += meant  # none where that part is not made this time
        try:
            made(meant)
        except TheoryError as error:
            raise decision.wrong(error) from None
    return wishes


def _in_its_mode(key: Key, text: str, sheet: LeadSheet) -> Key:
    """The key asked for; where only a tonic was named, in the tune's own mode."""
    named = text.strip().replace("♭", "b").replace("♯", "#")
    return Key(key.tonic, sheet.key.mode) if named == str(key.tonic) else key


def _pdfs(drawn: Sequence[Pages], names: Sequence[str], stem: str) -> dict[str, bytes]:
    """The PDF of each part, and one of all."""
    files = {
        f"{name}.pdf": pages.pdf() for name, pages in zip(names, drawn, strict=True)
    }
    everything = join_pages(drawn[0].title or stem, drawn)
    return {**files, f"{stem} - all parts.pdf": everything.pdf()}


def _summary(
    parts: Sequence[Part], names: Sequence[str], chart: Chart, *, full: bool
) -> list[str]:
    """All about the parts, line by line."""
    lines = list(chart_summary(list(zip(parts, names, strict=True)), full=full))
    for told in finding_lines(_told_of(chart)):
        lines += wrapped(told, "  ")
    measured = parts[0].plan.measured
    sizes = "drawn widths and heights" if measured else "estimates of their size"
    lines.append(f"  systems and pages are planned from {sizes}")
    return lines


def _told_of(chart: Chart) -> list[Finding]:
    """What the reading asks, and what it decided about the staves."""
    return [f for f in chart.findings if f.severity != "note" or f.rule in DECIDED]


def _report(
    headline: str,
    summary: Sequence[str],
    chart: Chart,
    asked: _Asked,
) -> str:
    """What to look at before the parts go to the band."""
    doubtful = [
        finding
        for finding in proofread(
            chart.sheet,
            readers=asked.books,
            silence=asked.silence,
            reading=chart.findings,
        )
        if finding.severity != "note" and finding not in chart.findings
    ]
    lines = [headline, "", "To look at:"]
    for line in finding_lines(doubtful):
        lines += wrapped(line, "  ")
    if not doubtful:
        lines.append("  nothing beside what is told below")
    return "\n".join([*lines, "", "What was decided:", *summary, ""])
