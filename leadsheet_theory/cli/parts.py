"""``parts``: from each chart the parts of a band."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path

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
from ..pitch import NoteName
from ..proof.passes import proofread
from ._charts import Chart, charts_in, each_chart
from ._pages import NO_PAGES, add_page_arguments, page_asked
from ._readers import add_reader_arguments, readers_asked
from ._say import UsageError, count, say
from ._solos import add_solo_arguments, order_asked, solo_page_asked
from ._staves import DECIDED, add_staff_arguments, staves_asked
from ._summary import chart_summary, finding_lines, wrapped
from ._symbols import PRINT_STYLES

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
        "--musicxml-only", action="store_true", help="write no PDF and no report"
    )
    parser.add_argument(
        "--summary",
        choices=("full", "short"),
        help="all about each part, or one line a chart (default: full for one chart, "
        "short for several)",
    )
    add_staff_arguments(parser)
    parser.add_argument("--quiet", action="store_true", help="no progress")


def run(options: argparse.Namespace, /) -> int:
    """Make the parts; the exit code."""
    charts = charts_in(options.charts)
    books = readers_asked(options.book, options.instrument)
    try:
        respell: tuple[Respell | RespellNote, ...] = (
            *(Respell(*_wish("--respell", text)) for text in options.respell),
            *(
                RespellNote(*_wish("--respell-note", text))
                for text in options.respell_note
            ),
        )
        key = Key.parse(options.key) if options.key else None
    except TheoryError as error:
        raise UsageError(str(error)) from None
    if respell and len(charts) > 1:
        option = "--respell" if options.respell else "--respell-note"
        raise UsageError(f"{option} is for one chart at a time")
    folder: Path = options.to
    if folder.exists() and not folder.is_dir():
        raise UsageError(f"--to {folder}: not a folder")
    page = page_asked(options)
    full = (options.summary or ("full" if len(charts) == 1 else "short")) == "full"
    draws = can_draw() and not options.musicxml_only
    style = PRINT_STYLES[options.style]
    look = LOOKS[options.look]

    def work(chart: Chart) -> bool:
        if respell and chart.tunes > 1:
            raise UsageError("--respell is for one chart at a time")
        stem, heading, sheet = chart.stem, options.heading, chart.sheet
        if key is not None:
            sheet = in_key(sheet, _in_its_mode(key, options.key, sheet))
            stem = f"{stem} in {sheet.key.tonic}"
            heading = f"{heading} (concert {sheet.key.glyphs})"
        order = order_asked(options, sheet)
        parts = make_parts(
            sheet,
            books=books,
            heading=heading,
            bars_per_system=options.bars_per_system,
            page=page,
            respell=respell,
            cue_label=options.hits_label,
            solo_page=solo_page_asked(options, sheet, order),
            solo_heading=options.solo_heading,
            order=order,
            measure=DrawnSizes(look, style) if draws else None,
            stacked_chords="kept" if options.keep_stacked_chords else "spread",
        )
        names = [part_file_name(stem, part) for part in parts]
        files = {
            f"musicxml/{name}.musicxml": write_part(part, style=style)
            for name, part in zip(names, parts, strict=True)
        }
        bars = sum(not bar.is_pickup for bar in chart.sheet.bars)
        headline = (
            f"{chart.sheet.title or chart.name}: {count(len(parts), 'part')} of "
            f"{count(bars, 'bar')}"
        )
        told = _summary(parts, names, chart)
        if draws:
            drawn = [draw_pages(part, look=look, style=style) for part in parts]
            files |= _pdfs(drawn, names, stem)
            for line in finding_lines(f for pages in drawn for f in pages.findings):
                told += wrapped(line, "  ")
            report = _report(headline, told, chart, books)
            files[f"{stem} - report.txt"] = report.encode()
        write_files(folder, files)
        say(f"{headline} written to {folder}")
        for line in told if full else ():
            say(line)
        quiet = len(chart.findings) - (len(_told_of(chart)) if full else 0)
        if quiet:
            them = "it" if quiet == 1 else "them"
            say(f"  {count(quiet, 'remark')} on the file: proofread lists {them}")
        return True

    code = each_chart(charts, work, quiet=options.quiet, staves=staves_asked(options))
    if not (can_draw() or options.musicxml_only):
        say(NO_PAGES)
    return code


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


def _summary(parts: Sequence[Part], names: Sequence[str], chart: Chart) -> list[str]:
    """All about the parts, line by line."""
    lines = list(chart_summary(list(zip(parts, names, strict=True))))
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
    books: Sequence[Book | Instrument],
) -> str:
    """What to look at before the parts go to the band."""
    doubtful = [
        finding
        for finding in proofread(chart.sheet, readers=books, reading=chart.findings)
        if finding.severity != "note" and finding not in chart.findings
    ]
    lines = [headline, "", "To look at:"]
    for line in finding_lines(doubtful):
        lines += wrapped(line, "  ")
    if not doubtful:
        lines.append("  nothing beside what is told below")
    return "\n".join([*lines, "", "What was decided:", *summary, ""])


def _wish(option: str, text: str) -> tuple[int, Fraction, NoteName, str]:
    """A wish like ``Bb 22 3 Gb``: book or instrument, bar, beat, name."""
    words = text.split()
    try:
        *book, bar, beat, name = words
        place = int(bar), Fraction(beat)
    except (ValueError, ZeroDivisionError):
        raise UsageError(
            f"{option} {text!r}: expected book, bar, beat and name, as in 'Bb 22 3 Gb'"
        ) from None
    return *place, NoteName.parse(name), " ".join(book)
