"""The parts of real lead sheets, read back: the same tune, running order, solo page.

    python tests/benchmarks/solos_read_back.py [FOLDER]

Each part is written and read, and parts are made again from what was read: the tune
must have as many bars as before, and the solo page the same form.  The exit code is 1
if a part differs.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

from leadsheet_theory import Part, make_parts, write_part
from leadsheet_theory.leadsheet import running_order
from leadsheet_theory.musicxml import parse_lead_sheet, read_lead_sheet

SHEETS = Path(__file__).resolve().parents[2] / "../shared/leadsheets"


def unlike(part: Part) -> Iterator[str]:
    """What is not as it was."""
    again = parse_lead_sheet(write_part(part)).sheet
    order = running_order(again)
    if len(again.bars) != len(part.bars):
        yield f"{len(again.bars)} bars for {len(part.bars)}"
    if (order.head, order.out_head) != (part.order.head, part.order.out_head):
        yield f"{order} for {part.order}"
    (second,) = make_parts(again, books=["C"])
    if [bar.bar.form for bar in second.solo] != [bar.bar.form for bar in part.solo]:
        yield "another solo page"


def main(folder: Path) -> int:
    """Read the parts of every sheet back."""
    if not folder.is_dir():
        print(f"{folder} is not here; name a folder of .mxl files")
        return 2
    made = failed = 0
    for path in sorted(folder.glob("*.mxl")):
        for part in make_parts(read_lead_sheet(path).sheet):
            if not part.solo:
                continue
            made += 1
            problems = list(unlike(part))
            failed += bool(problems)
            if problems:
                print(f"{path.name}, {part.name}: {', '.join(problems)}")
    print(f"{made} parts with a solo page read back, {failed} unlike")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]) if len(sys.argv) > 1 else SHEETS))
