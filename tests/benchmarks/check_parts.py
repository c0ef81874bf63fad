"""Make and write the five parts of every chart in a folder, and check each file.

    python tests/benchmarks/check_parts.py FOLDER [--every N] [--no-read-back]

Each part is held against the W3C's schema of MusicXML 4.0 (from the PyPI
package ``musicxml``), and read back by music21, which must find the same onsets,
durations and sounding pitches (but for the octaves that the part reports) and the
same chord roots and basses as it finds in the source.  ``--every N`` takes every
N-th chart only.
"""

import argparse
import sys
import time
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from parts_check import differences, heard, schema_errors, typed_chords

from leadsheet_theory import make_parts, read_lead_sheet, write_lead_sheet, write_part

CHARTS = (".mxl", ".musicxml", ".xml")


def main():
    options = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    options.add_argument("folder", type=Path)
    options.add_argument("--every", type=int, default=1)
    options.add_argument("--no-read-back", action="store_true")
    chosen = options.parse_args()
    charts = sorted(path for path in chosen.folder.rglob("*") if path.suffix in CHARTS)[
        :: chosen.every
    ]
    if not charts:
        sys.exit(f"no charts in {chosen.folder}")
    count = Counter()
    started = time.time()
    for path in charts:
        result = read_lead_sheet(path)
        sheet, typed = result.sheet, typed_chords(result.findings)
        count["bars with words read as chord symbols"] += len(typed)
        count["charts"] += 1
        count["bars"] += len(sheet.bars)
        again = read_lead_sheet(write_lead_sheet(sheet)).sheet
        if again != sheet:
            count["charts not read back alike by this library"] += 1
            print(f"{path.name}: not read back alike")
        source = None if chosen.no_read_back else heard(path.read_bytes())
        for part in make_parts(sheet):
            count["parts"] += 1
            data = write_part(part)
            for error in schema_errors(data):
                count["schema errors"] += 1
                print(f"{path.name}, {part.name}: {error}")
            if source is None:
                continue
            for kind, told in differences(source, data, part, typed):
                count[f"parts whose {kind} differ"] += 1
                print(f"{path.name}, {part.name}, {kind}: {told}")
    for what, number in count.items():
        print(f"{number:7} {what}")
    print(f"{time.time() - started:7.0f} seconds")


if __name__ == "__main__":
    main()
