"""Count what a file says, what its parts say, and what was told: no silent loss.

    python tests/benchmarks/carried.py [FOLDER] [--every N]

For each lead sheet (those of ``shared/leadsheets`` beside the project) the elements of
the melody's source are counted and those of its C part: attacks, ties, syllables, chord
symbols, slurs, marks, words, repeats, endings, signs of form, names.  Less in the part
than in the source is a loss; it is silent unless a finding names the element.  Also
counts chord symbols on one spot and words in the letters of another key.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from pathlib import Path
from xml.etree import ElementTree as ET

HOME = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(HOME), str(HOME / "tests"), str(HOME / "tests" / "benchmarks")]

from _speed_rows import xml_of  # noqa: E402

from leadsheet_theory import make_parts, read_lead_sheet, write_part  # noqa: E402
from leadsheet_theory.chords import typed_sounds  # noqa: E402

# what is counted: a path below `measure`, and the finding that may explain less of it
COUNTED = {
    "pitch": ("note/pitch", "note"),
    "tie": ("note/tie[@type='start']", "note"),
    "syllable": ("note/lyric/text", "lyric"),
    "chord symbol": ("harmony/root", "harmony"),
    "slur": ("note/notations/slur[@type='start']", "slur"),
    "fermata": ("note/notations/fermata", "fermata"),
    "staccato": ("note/notations/articulations/staccato", "staccato"),
    "accent": ("note/notations/articulations/accent", "accent"),
    "backward repeat": ("barline/repeat[@direction='backward']", "repeat"),
    "forward repeat": ("barline/repeat[@direction='forward']", "repeat"),
    "ending": ("barline/ending[@type='start']", "ending"),
    "segno": ("direction/direction-type/segno", "segno"),
    "grace note": ("note/grace", "note"),
    "dynamics": ("direction/direction-type/dynamics", "dynamics"),
    "rehearsal": ("direction/direction-type/rehearsal", "rehearsal"),
}


def counts(root: ET.Element, bars: int | None = None) -> Counter[str]:
    """How often each thing stands in the first part of a score."""
    found: Counter[str] = Counter()
    for measure in list(root.iterfind("part[1]/measure"))[:bars]:
        for what, (path, _) in COUNTED.items():
            found[what] += len(measure.findall(path))
    for what in ("creator[@type='lyricist']", "creator[@type='composer']", "rights"):
        found[what] += len(root.findall(f"identification/{what}"))
    return found


def main() -> int:
    """Count, and print each loss that nothing told."""
    parser = argparse.ArgumentParser(description=__doc__)
    default = HOME.parent / "shared" / "leadsheets"
    parser.add_argument("folder", nargs="?", type=Path, default=default)
    parser.add_argument("--every", type=int, default=1)
    options = parser.parse_args()
    silent = stacked = concert = charts = lyricists = 0
    for path in sorted(options.folder.rglob("*.mxl"))[:: options.every]:
        charts += 1
        result = read_lead_sheet(path)
        source = ET.fromstring(xml_of(path))
        told = {each.element for each in result.findings}
        rules = {each.rule for each in result.findings}
        parts = make_parts(result.sheet)
        # equal symbols entered on one beat stand there once
        if any(each.rule == "stacked-chords" for each in parts[0].report.findings):
            told.add("harmony")
        root = ET.fromstring(write_part(parts[0]))
        wanted, found = counts(source), counts(root, len(parts[0].bars))
        lyricists += found["creator[@type='lyricist']"]
        for what, count in wanted.items():
            element = COUNTED.get(what, ("", "creator"))[1]
            if found[what] < count and not {element, what} & (told | rules):
                silent += 1
                print(f"{path.stem}: {count} of {what}, {found[what]} in the part")
        for part in parts:
            for bar in (*part.bars, *part.solo):
                onsets = [placed.onset for placed in bar.bar.chords]
                stacked += len(onsets) - len(set(onsets))
                if part.to_sounding.fifths:
                    concert += sum(
                        bool(typed_sounds(each.text).unreadable)
                        for each in bar.bar.directions
                    )
    print(
        f"{charts} charts: {silent} silent losses, {stacked} stacked symbols, "
        f"{concert} words that look like chords in transposed parts, "
        f"{lyricists} lyricists"
    )
    return 1 if silent or stacked or concert else 0


if __name__ == "__main__":
    sys.exit(main())
