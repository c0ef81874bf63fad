"""``parts``: from each chart the parts of a band."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Sequence
from fractions import Fraction
from pathlib import Path
from typing import Final

from attrs import evolve

from ..chords import PrintStyle
from ..errors import TheoryError
from ..instruments.books import STANDARD_BOOKS, Book, find_book
from ..instruments.instrument import Instrument
from ..instruments.table import find_instrument
from ..leadsheet.findings import Finding
from ..musicxml.reading.read import read_lead_sheet
from ..musicxml.writing.write import write_part
from ..parts.make import HEADING, make_parts
from ..parts.model import Part, Respell
from ..parts.systems import A4, LETTER
from ..pitch import NoteName
from ._charts import charts_in, each_chart
from ._say import UsageError, count, say
from ._summary import chart_summary, finding_lines, wrapped
from ._symbols import PRINT_STYLES

__all__ = ("DESCRIPTION", "add_arguments", "run")

_PAPERS: Final = {"A4": A4, "letter": LETTER}

DESCRIPTION = """\
Read each chart (MusicXML at concert pitch: .musicxml, .xml or .mxl; or a folder
of them) and write a part for each book and instrument into a folder.  Without
--book and --instrument these are the five books C, Bb, Eb, F and bass clef.
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
    parser.add_argument(
        "--book",
        action="append",
        default=[],
        metavar="NAME",
        help="a book to make: C, Bb, Eb, F, 'bass clef'; may be given again",
    )
    parser.add_argument(
        "--instrument",
        action="append",
        default=[],
        metavar="NAME",
        help="an instrument to make a part for, such as 'tenor sax'; may be given "
        "again",
    )
    parser.add_argument(
        "--respell",
        action="append",
        default=[],
        metavar="'BOOK BAR BEAT ROOT'",
        help="spell one chord of one part otherwise: 'Bb 22 3 Gb'; may be given again",
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
    parser.add_argument(
        "--paper",
        choices=_PAPERS,
        default="A4",
        help="the size of the pages (default: %(default)s)",
    )
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
        "--spread-chords",
        action="store_true",
        help="spread chords that stand on one beat over the beats up to the next chord",
    )
    parser.add_argument(
        "--no-solo-page", action="store_true", help="leave out the solo changes"
    )
    parser.add_argument(
        "--summary",
        choices=("full", "short"),
        help="all about each part, or one line a chart (default: full for one chart, "
        "short for several)",
    )
    parser.add_argument("--quiet", action="store_true", help="no progress")


def run(options: argparse.Namespace, /) -> int:
    """Make the parts; the exit code."""
    charts = charts_in(options.charts)
    try:
        books = _books(options.book, options.instrument)
        respell = tuple(map(_respell, options.respell))
    except TheoryError as error:
        raise UsageError(str(error)) from None
    if respell and len(charts) > 1:
        raise UsageError("--respell is for one chart at a time")
    folder: Path = options.to
    if folder.exists() and not folder.is_dir():
        raise UsageError(f"--to {folder}: not a folder")
    full = (options.summary or ("full" if len(charts) == 1 else "short")) == "full"
    stems = dict(zip(charts, _stems(charts), strict=True))

    def work(chart: Path) -> bool:
        result = read_lead_sheet(chart, spread_chords=options.spread_chords)
        parts = make_parts(
            result.sheet,
            books=books,
            heading=options.heading,
            bars_per_system=options.bars_per_system,
            page=_PAPERS[options.paper],
            respell=respell,
            cue_label=options.hits_label,
            solo_page=not options.no_solo_page,
        )
        written = _write(parts, folder, stems[chart], PRINT_STYLES[options.style])
        bars = sum(not bar.is_pickup for bar in result.sheet.bars)
        say(
            f"{result.sheet.title or chart.name}: {count(len(parts), 'part')} of "
            f"{count(bars, 'bar')} written to {folder}"
        )
        if full:
            for line in chart_summary(list(zip(parts, written, strict=True))):
                say(line)
        serious = [_advised(f) for f in result.findings if f.severity != "note"]
        for told in finding_lines(serious) if full else ():
            for line in wrapped(told, "  "):
                say(line)
        quiet = len(result.findings) - (len(serious) if full else 0)
        if quiet:
            them = "it" if quiet == 1 else "them"
            say(f"  {count(quiet, 'remark')} on the file: proofread lists {them}")
        return True

    return each_chart(charts, work, quiet=options.quiet)


def _advised(finding: Finding) -> Finding:
    """A finding with the option that mends what it tells."""
    if finding.rule != "stacked-chords" or not finding.advice.startswith("place"):
        return finding
    return evolve(finding, advice=f"{finding.advice}, or use --spread-chords")


def _books(
    books: Sequence[str], instruments: Sequence[str]
) -> tuple[Book | Instrument, ...]:
    chosen: list[Book | Instrument] = [find_book(name) for name in books]
    chosen += [find_instrument(name) for name in instruments]
    return tuple(dict.fromkeys(chosen)) or STANDARD_BOOKS


def _respell(text: str) -> Respell:
    """A wish like ``Bb 22 3 Gb``: book or instrument, bar, beat, root."""
    words = text.split()
    try:
        *name, bar, beat, root = words
        place = int(bar), Fraction(beat)
    except (ValueError, ZeroDivisionError):
        raise UsageError(
            f"--respell {text!r}: expected book, bar, beat and root, as in 'Bb 22 3 Gb'"
        ) from None
    return Respell(*place, NoteName.parse(root), book=" ".join(name))


def _stems(charts: Iterable[Path]) -> list[str]:
    """A name for each chart's parts: its file name, numbered where two are alike."""
    used: dict[str, int] = {}
    stems = []
    for chart in charts:
        number = used[chart.stem] = used.get(chart.stem, 0) + 1
        stems.append(chart.stem if number == 1 else f"{chart.stem} ({number})")
    return stems


def _write(
    parts: Sequence[Part], folder: Path, stem: str, style: PrintStyle
) -> list[str]:
    """Write the parts; their file names."""
    folder.mkdir(parents=True, exist_ok=True)
    names = []
    for part in parts:
        book = part.name.replace("♭", "b").replace("♯", "#").replace("/", "-")
        names.append(f"{stem} - {book}.musicxml")
        (folder / names[-1]).write_bytes(write_part(part, style=style))
    return names
