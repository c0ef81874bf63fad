"""Octave advice on real melodies, against every octave there is.

    python tests/benchmarks/octave_advice.py FOLDER [FOLDER…]

For each lead sheet in the folders and each instrument and book of the library
the advised octave is tried against every other by brute force: the notes
outside the range are counted in the written part, without the library's own
counting.  Printed are the cases tried, those where another octave would have
left fewer notes outside, and where each book's melodies go.
"""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path
from time import process_time

from leadsheet_theory.instruments import (
    INSTRUMENTS,
    STANDARD_BOOKS,
    PlacedNote,
    Reader,
    best_octave,
    best_octave_by_section,
)
from leadsheet_theory.leadsheet import placed_melody, section_starts
from leadsheet_theory.musicxml import read_lead_sheet


def fewest_outside(melody: tuple[PlacedNote, ...], reader: Reader) -> int:
    """The fewest notes outside that any octave leaves that MIDI can sound."""
    keys = [note.pitch.midi for note in melody]
    moved = -reader.transposition.chromatic
    low, high = reader.written_range.low.midi, reader.written_range.high.midi
    return min(
        sum(not low <= key + moved + shift <= high for key in keys)
        for shift in range(-120, 121, 12)
        if min(keys) + shift >= 0 and max(keys) + shift <= 127
    )


def main(folders: list[str]) -> int:
    """Try every sheet with every reader; the number of cases that fail."""
    paths = sorted(path for folder in folders for path in Path(folder).glob("*.mxl"))
    tunes = []
    for path in paths:
        sheet = read_lead_sheet(path).sheet
        melody = placed_melody(sheet)
        if melody:
            tunes.append((path.name, melody, section_starts(sheet)))
    tried = worse = fits = split = 0
    seconds = 0.0
    for name, melody, sections in tunes:
        for reader in (*INSTRUMENTS, *STANDARD_BOOKS):
            start = process_time()
            advice = best_octave(melody, reader)
            seconds += process_time() - start
            outside = sum(
                note.pitch + advice.interval not in reader.written_range
                for note in melody
            )
            fewest = fewest_outside(melody, reader)
            tried += 1
            fits += not outside
            if outside != fewest:
                worse += 1
                print(f"{name}, {reader}: {outside} outside, could be {fewest}")
            by_section = best_octave_by_section(melody, reader, sections=sections)
            split += len({each.advice.octaves for each in by_section}) > 1
            left = sum(each.advice.cost.outside for each in by_section)
            if left > outside:
                worse += 1
                print(f"{name}, {reader}: {left} outside by section, {outside} whole")
    print(
        f"{len(tunes)} melodies of {len(paths)} files, {len(INSTRUMENTS)} instruments"
    )
    print(
        f"{tried} cases, {fits} without a note outside, {worse} where another is better"
    )
    print(f"{split} cases where sections lie in different octaves")
    print(f"{1e6 * seconds / tried:.0f} µs of processor time for one advice")
    for book in STANDARD_BOOKS:
        octaves = Counter(best_octave(melody, book).octaves for _, melody, _ in tunes)
        print(f"{book.ascii_name}: {dict(sorted(octaves.items()))} octaves: melodies")
    return worse


if __name__ == "__main__":
    sys.exit(bool(main(sys.argv[1:])))
