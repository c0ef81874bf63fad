"""Make the pictures of the documentation, all from the demo charts.

    .venv/bin/python docs/tools/make_pictures.py

writes ``docs/pictures/*.png``: pages of the demo chart as they are drawn.
"""

from __future__ import annotations

from pathlib import Path

from leadsheet_theory import find_book, make_parts, read_lead_sheet
from leadsheet_theory.pages import (
    ENGRAVED,
    HANDWRITTEN,
    DrawnSizes,
    PageLook,
    Pages,
    bound_pages,
    chord_grid,
    draw_grid,
    draw_pages,
)

ROOT = Path(__file__).resolve().parents[2]
TO = ROOT / "docs" / "pictures"
CHARTS = ROOT / "shared" / "charts"
DEMO = CHARTS / "harbourmasters_day_off.musicxml"


def drawn(chart: Path, book: str, look: PageLook = ENGRAVED) -> Pages:
    """The pages of one part of a chart."""
    sheet = read_lead_sheet(chart).sheet
    (part,) = make_parts(sheet, books=book, measure=DrawnSizes(look))
    return draw_pages(part, look=look)


def keep(name: str, picture: bytes) -> None:
    """Write one picture."""
    (TO / f"{name}.png").write_bytes(picture)


def main() -> None:
    """Make all pictures."""
    first, solos = drawn(DEMO, "Bb").pngs(dots_per_inch=100)
    keep("bb_part", first)
    keep("bb_solo_changes", solos)
    keep("handwritten_part", drawn(DEMO, "Eb", HANDWRITTEN).pngs(dots_per_inch=100)[0])
    (part,) = make_parts(read_lead_sheet(DEMO).sheet, books=[find_book("Bb")])
    keep("chord_grid", draw_grid(chord_grid(part)).pngs(dots_per_inch=80)[0])
    strut = drawn(CHARTS / "as_they_come/mooring_bell_strut.musicxml", "Rhythm")
    keep("rhythm_part", strut.pngs(dots_per_inch=80)[0])
    tunes = [drawn(chart, "Bb") for chart in sorted(CHARTS.glob("*.musicxml"))]
    book = bound_pages(tunes, title="The Net Loft Seven", numbered=True)
    keep("book_contents", book.pngs(dots_per_inch=60)[1])


if __name__ == "__main__":
    main()
