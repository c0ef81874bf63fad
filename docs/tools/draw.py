"""Draw the parts of charts to PNG, to look at them while working.

    .venv/bin/python docs/tools/draw.py CHART... [--to DIR] [--book NAME]
        [--look handwritten] [--dpi 100]

writes ``DIR/CHART BOOK PAGE.png`` (by default into ``/tmp/drawn``), for all five books
or for those that are named.
"""

from __future__ import annotations

import argparse
from pathlib import Path

from leadsheet_theory import make_parts
from leadsheet_theory.cli._charts import Chart, each_chart
from leadsheet_theory.instruments import STANDARD_BOOKS, as_part_readers
from leadsheet_theory.pages import LOOKS, DrawnSizes, draw_pages


def main() -> None:
    """Draw what the command line names."""
    parser = argparse.ArgumentParser(description="Draw parts to PNG.")
    parser.add_argument("charts", nargs="+", type=Path)
    parser.add_argument("--to", type=Path, default=Path("/tmp/drawn"))
    parser.add_argument("--book", action="append", default=[])
    parser.add_argument("--look", choices=LOOKS, default="engraved")
    parser.add_argument("--dpi", type=float, default=100)
    options = parser.parse_args()
    options.to.mkdir(parents=True, exist_ok=True)
    books = as_part_readers(options.book) or STANDARD_BOOKS
    look = LOOKS[options.look]

    def draw(chart: Chart) -> bool:
        for part in make_parts(chart.sheet, books=books, measure=DrawnSizes(look)):
            pages = draw_pages(part, look=look)
            drawn = pages.pngs(dots_per_inch=options.dpi)
            for number, picture in enumerate(drawn, 1):
                book = part.name.replace("♭", "b")
                file = options.to / f"{chart.stem} {book} {number}.png"
                file.write_bytes(picture)
                print(file)
        return True

    each_chart(options.charts, draw, quiet=True)


if __name__ == "__main__":
    main()
