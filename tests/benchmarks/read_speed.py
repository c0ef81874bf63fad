"""Time to read a lead sheet, as a multiple of parsing its XML alone.

    python tests/benchmarks/read_speed.py [FOLDER…]

Both are measured in one run, side by side on the same bytes: the bare parse of
`xml.etree.ElementTree`, and `parse_lead_sheet`, which parses, reads and reports.
Cold is the first reading of each file in this process, warm the best of nine.
Without a folder the charts in shared/ are read.
"""

from __future__ import annotations

import sys
from pathlib import Path
from statistics import median
from time import process_time
from xml.etree import ElementTree as ET
from zipfile import ZipFile

from leadsheet_theory.musicxml import parse_lead_sheet

ROUNDS = 9


def xml_of(path: Path) -> bytes:
    """The XML text of a plain or compressed file."""
    if path.suffix != ".mxl":
        return path.read_bytes()
    with ZipFile(path) as container:
        name = next(
            name for name in container.namelist() if not name.startswith("META-INF/")
        )
        return container.read(name)


def timed(work: object, data: bytes) -> float:
    """Processor seconds for one call."""
    start = process_time()
    work(data)  # type: ignore[operator]
    return process_time() - start


def main(folders: list[str]) -> None:
    """Print the ratios over all files of the folders."""
    home = Path(__file__).resolve().parents[2]
    paths = sorted(
        path
        for folder in folders or [home / "shared" / "charts"]
        for path in Path(folder).rglob("*")
        if path.suffix in (".mxl", ".musicxml", ".xml")
    )
    rows = []
    for path in paths:
        data = xml_of(path)
        cold = timed(parse_lead_sheet, data)
        bare = read = float("inf")
        for _ in range(ROUNDS):
            bare = min(bare, timed(ET.fromstring, data))
            read = min(read, timed(parse_lead_sheet, data))
        rows.append((path.name, len(data), bare, read, cold))
    bare = sum(row[2] for row in rows)
    read = sum(row[3] for row in rows)
    cold = sum(row[4] for row in rows)
    ratios = sorted((row[3] / row[2], row[0]) for row in rows)
    print(f"{len(rows)} files, {sum(row[1] for row in rows):,} bytes of XML")
    print(f"bare xml.etree parse   {bare / len(rows) * 1e3:7.2f} ms a file")
    print(f"read, warm             {read / len(rows) * 1e3:7.2f} ms a file")
    print(f"read, cold             {cold / len(rows) * 1e3:7.2f} ms a file")
    print(f"ratio warm             {read / bare:7.2f}")
    print(f"ratio cold             {cold / bare:7.2f}")
    print(f"median file            {median(ratio for ratio, _ in ratios):7.2f}")
    print(f"worst file             {ratios[-1][0]:7.2f}  {ratios[-1][1]}")


if __name__ == "__main__":
    main(sys.argv[1:])
