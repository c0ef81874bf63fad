"""Does anything on drawn pages collide, or leave the page?

    .venv/bin/python tests/benchmarks/page_overlaps.py [CHART...] [--jobs 2] [--list]

draws the five parts of each chart (by default those of shared/charts and the real lead
sheets in ``shared/leadsheets`` beside the project), reads every character's box back
from the PDF with pypdfium2, a general-purpose library, and counts

- pairs of words whose boxes overlap (chord symbols, syllables, letters, numbers of
  endings, headings), and words that nearly touch,
- words on notes, hits, stems, brackets and lines, from the boxes of what is drawn,
- words over the edge of the margins,
- ink outside the margins, from pixels,
- last pages with a single system where another page could give one,
- pages that did not follow the part's own plan.

Kerned and broken words ("W|all") are no collisions: a pair is left out where the second
word starts where the first one ends.
"""

from __future__ import annotations

import argparse
import time
from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import pairwise
from multiprocessing import get_context
from pathlib import Path
from typing import NamedTuple

import pypdfium2
import pypdfium2.raw

from leadsheet_theory import make_parts, read_lead_sheet
from leadsheet_theory.pages import DrawnSizes, draw_pages

ROOT = Path(__file__).resolve().parents[2]
POINT = 25.4 / 72
EDGE = 7.0  # millimetres; staff brackets and bar numbers reach into the margin


class Box(NamedTuple):
    """A word with its box, in points."""

    text: str
    left: float
    bottom: float
    right: float
    top: float
    base: float


def words(page: pypdfium2.PdfPage) -> list[Box]:
    """The words of a page: characters on one line without a gap."""
    text = page.get_textpage()
    found: list[Box] = []
    letter_before = 0.0, 0.0
    for index in range(text.count_chars()):
        letter = text.get_text_range(index, 1)
        if not letter.strip():
            continue
        _, bottom, _, top = text.get_charbox(index)
        left, base, right, _ = text.get_charbox(index, loose=True)
        last = found[-1] if found else None
        ligature = letter_before == (left, right)
        letter_before = left, right
        if (
            last
            and abs(last.base - base) < 0.1
            and (ligature or -2 < left - last.right < 0.3)
        ):
            found[-1] = Box(
                last.text + letter,
                min(last.left, left),
                min(last.bottom, bottom),
                max(last.right, right),
                max(last.top, top),
                base,
            )
        else:
            found.append(Box(letter, left, bottom, right, top, base))
    return found


def collisions(boxes: list[Box]) -> Iterator[str]:
    """Pairs of words that lie on each other."""
    for at, one in enumerate(boxes):
        for other in boxes[at + 1 :]:
            across = min(one.right, other.right) - max(one.left, other.left)
            down = min(one.top, other.top) - max(one.bottom, other.bottom)
            kerned = one.base == other.base and abs(other.left - one.right) < 5
            if across > 0.6 and down > 1.0 and not kerned:
                yield f"{one.text} / {other.text}"


def on_drawing(page: pypdfium2.PdfPage, boxes: list[Box]) -> Iterator[str]:
    """Words that lie on notes, hits, stems, brackets or lines.

    The box round a section's letter holds the whole word; a tie's box is larger than
    the tie, so a touch of its edge is none.
    """
    paths = [
        each.get_bounds()
        for each in page.get_objects(max_depth=3)
        if each.type == pypdfium2.raw.FPDF_PAGEOBJ_PATH
    ]
    for box in boxes:
        for left, bottom, right, top in paths:
            across = min(box.right, right) - max(box.left, left)
            down = min(box.top, top) - max(box.bottom, bottom)
            holds = (
                left <= box.left + 1
                and right >= box.right - 1
                and bottom <= box.bottom + 1
                and top >= box.top - 1
            )
            # a tie or slur bends away from its ends
            bent = top - bottom > 4 and right - left > 2 * (top - bottom)
            quarter = (right - left) / 4
            at_end = box.right < left + quarter or box.left > right - quarter
            if across > 0.6 and down > 2.5 and not holds and not (bent and at_end):
                yield box.text


def close(boxes: list[Box]) -> Iterator[str]:
    """Pairs of words on one line that run together."""
    lines: dict[float, list[Box]] = {}
    for box in boxes:
        lines.setdefault(round(box.base, 1), []).append(box)
    for line in lines.values():
        line.sort(key=lambda box: box.left)
        for one, other in pairwise(line):
            if 0 <= other.left - one.right < 1.0:
                yield f"{one.text}_{other.text}"


def ink_outside(page: pypdfium2.PdfPage) -> bool:
    """Whether anything is printed in the outer millimetres."""
    picture = page.render(scale=1, grayscale=True).to_pil()
    edge = round(EDGE / POINT)
    across, down = picture.size
    sides = (
        (0, 0, across, edge),
        (0, down - edge, across, down),
        (0, 0, edge, down),
        (across - edge, 0, across, down),
    )
    return any(picture.crop(side).getextrema()[0] < 200 for side in sides)


def look_over(chart: Path) -> tuple[str, Counter[str], list[str]]:
    """What is wrong with the five parts of a chart."""
    counts: Counter[str] = Counter()
    told: list[str] = []
    sheet = read_lead_sheet(chart).sheet
    start = time.perf_counter()
    drawn = [
        (part, draw_pages(part)) for part in make_parts(sheet, measure=DrawnSizes())
    ]
    files = [(part, pages, pages.pdf()) for part, pages in drawn]
    counts["milliseconds"] = round(1000 * (time.perf_counter() - start))
    for part, pages, file in files:
        counts["pages"] += len(pages)
        if len(pages) != len(part.plan.page_starts):
            counts["other pages than planned"] += 1
        if _lone_system(part.plan.system_starts, part.plan.page_starts, len(part.bars)):
            counts["lone last system"] += 1
        for number, page in enumerate(pypdfium2.PdfDocument(file), 1):
            boxes = words(page)
            for kind, pairs in (
                ("overlap", collisions(boxes)),
                ("run together", close(boxes)),
                ("on notes or lines", on_drawing(page, boxes)),
            ):
                for pair in pairs:
                    counts[kind] += 1
                    told.append(f"{part.name} page {number}: {kind}: {pair}")
            if ink_outside(page):
                counts["ink outside"] += 1
                told.append(f"{part.name} page {number}: ink outside")
    return chart.stem, counts, told


def _lone_system(systems: Iterable[int], pages: Iterable[int], tune: int) -> bool:
    """Whether the tune's last page holds one system though it has more pages."""
    starts = [page for page in pages if page < tune]
    last = [system for system in systems if starts[-1] <= system < tune]
    return len(starts) > 1 and len(last) == 1


def main() -> None:
    """Look over all charts and print the sums."""
    parser = argparse.ArgumentParser(description="Look for collisions on pages.")
    parser.add_argument("charts", nargs="*", type=Path)
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--list", action="store_true", help="tell each collision")
    options = parser.parse_args()
    charts = options.charts or [
        *sorted((ROOT / "shared" / "charts").glob("*.musicxml")),
        *sorted((ROOT.parent / "shared" / "leadsheets").glob("*.mxl")),
    ]
    total: Counter[str] = Counter()
    with get_context("spawn").Pool(options.jobs) as pool:
        for name, counts, told in pool.imap(look_over, charts):
            total.update(counts)
            for line in told if options.list else ():
                print(f"{name}: {line}")
    pages = max(total["pages"], 1)
    print(f"{len(charts)} charts, {total.pop('pages')} pages of five parts")
    print(
        f"{total.pop('milliseconds') / pages:.0f} ms a page, {options.jobs} at a time"
    )
    for kind in ("overlap", "run together", "on notes or lines", "ink outside",
                 "lone last system", "other pages than planned"):  # fmt: skip
        print(f"{total[kind]:6} {kind}")


if __name__ == "__main__":
    main()
