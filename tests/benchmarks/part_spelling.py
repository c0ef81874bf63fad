"""What a player would stumble over in the parts of real lead sheets, counted.

    python tests/benchmarks/part_spelling.py FOLDER… [--show]

FOLDER holds lead sheets (.mxl, .musicxml, .xml).  For the five standard books it
counts, of what the source doesn't have already:

* notes that contradict the printed chord: a root, third, fifth or seventh under
  another name than the chord's.  The plain name of a C♭, F♭, E♯, B♯ or a double
  accidental that the key lacks is no contradiction, nor is either name of a
  diminished or augmented fifth or a diminished seventh;
* double accidentals, of notes, roots and basses;
* chords that one source name gives two names in one part and key;
* pairs of ii and V on two sides.

With ``--show`` each is listed; chords with two names are listed in any case, with
the reasons that the part gives.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

from leadsheet_theory.chords import Chord
from leadsheet_theory.chords.respell import chord_colour, deciding_chord
from leadsheet_theory.errors import TheoryError
from leadsheet_theory.key import Key
from leadsheet_theory.leadsheet import Note
from leadsheet_theory.musicxml import read_lead_sheet
from leadsheet_theory.parts import Part, make_parts
from leadsheet_theory.pitch import NoteName

HARD = frozenset((-8, -7, 11, 12))
LOOSE = frozenset((-6, 8, -9))  # ♭5, ♯5 and 𝄫7 above the root: both ways in print
Found = tuple[str, str]


def contradicts(name: NoteName, chord: Chord | None, key: Key) -> bool:
    """Whether a note has another name than the chord's for its 1, 3, 5 or 7."""
    if chord is None:
        return False
    for degree, tone in zip(chord.quality.degrees, chord.tones, strict=True):
        if degree.number not in (1, 3, 5, 7) or tone.pitch_class != name.pitch_class:
            continue
        if tone.fifths - chord.root.fifths in LOOSE:
            return False
        hard = abs(tone.alter) > 1 or (
            tone.fifths in HARD and not key.is_diatonic(tone)
        )
        plain = abs(name.alter) < 2 and name.fifths not in HARD
        return name != tone and not (hard and plain)
    return False


def sounding(bars) -> Iterator[tuple[int, Note, Chord | None, Key]]:
    """Each attack with the chord over it."""
    chord: Chord | None = None
    for index, bar in enumerate(bars):
        placed = list(bar.chords)
        for event in bar.melody:
            while placed and placed[0].onset <= event.onset:
                symbol = placed.pop(0).symbol
                chord = deciding_chord(symbol)
            if isinstance(event, Note) and not event.tied_from_previous:
                yield index, event, chord, bar.key
        for each in placed:
            chord = deciding_chord(each.symbol)


def look(part: Part) -> Iterator[Found]:
    source = [each.shared.source for each in part.bars]
    written = [each.bar for each in part.bars]
    for (at, old, chord, key), (_, new, its, new_key) in zip(
        sounding(source), sounding(written), strict=True
    ):
        for one, other in zip(old.pitches, new.pitches, strict=True):
            where = f"bar {written[at].number}: {other} under {its}"
            where += f" ({new_key}; {one} under {chord} in the source)"
            if abs(other.alter) > 1 >= abs(one.alter):
                yield "double accidental", where
            if contradicts(other.name, its, new_key) and not contradicts(
                one.name, chord, key
            ):
                yield "contradiction", where
    yield from look_at_chords(part)


def look_at_chords(part: Part) -> Iterator[Found]:
    names: dict[tuple[Key, str], dict[str, str]] = {}
    reasons = {(each.bar, each.beat): each.reason for each in part.report.chords}
    bars = [*part.bars, *part.solo]
    row: list[tuple[Chord, Chord]] = []
    for each in bars:
        bar = each.bar
        for placed, old in zip(bar.chords, each.shared.source.chords, strict=True):
            new, before = deciding_chord(placed.symbol), deciding_chord(old.symbol)
            if new is None or before is None:
                continue
            row.append((before, new))
            beat = bar.meter.beat_at(placed.onset)
            if bar.is_pickup:
                beat = bar.meter.beat_at(
                    placed.onset, start=bar.meter.pickup_start(bar.length)
                )
            why = reasons.get((bar.number, beat), "plain")
            spelled = names.setdefault((bar.key, str(before)), {})
            spelled.setdefault(str(new), f"{bar.number} ({why})")
            for name, was in ((new.root, before.root), (new.bass, before.bass)):
                if name and was and abs(name.alter) > 1 >= abs(was.alter):
                    yield "double accidental", f"bar {bar.number}: {new}, from {before}"
    for (key, old), spelled in names.items():
        if len(spelled) > 1:
            told = ", ".join(f"{name} in bar {bar}" for name, bar in spelled.items())
            yield "chord two ways", f"{old} in {key}: {told}"
    for (_, one), (_, two) in pairwise(row):
        if (
            chord_colour(one) in ("minor", "half-diminished")
            and chord_colour(two) in ("dominant", "suspended")
            and (two.root.pitch_class - one.root.pitch_class) % 12 == 5
            and two.root.fifths != one.root.fifths - 1
        ):
            yield "split pair", f"{one} {two}"


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("folders", nargs="+", type=Path)
    parser.add_argument("--show", action="store_true")
    options = parser.parse_args()
    counts: Counter[str] = Counter()
    parts = respelled = 0
    for folder in options.folders:
        for path in sorted(folder.iterdir()):
            if path.suffix not in (".mxl", ".musicxml", ".xml"):
                continue
            try:
                made = make_parts(read_lead_sheet(path).sheet)
            except TheoryError as error:
                print(f"not read: {path.name}: {str(error).splitlines()[0]}")
                continue
            for part in made:
                parts += 1
                respelled += len(part.report.chords)
                for kind, text in look(part):
                    counts[kind] += 1
                    if options.show or kind == "chord two ways":
                        print(f"{kind}: {path.name}, {part.name}: {text}")
    print(f"{parts} parts, {respelled} chords respelled")
    for kind in ("contradiction", "double accidental", "chord two ways", "split pair"):
        print(f"  {kind:18} {counts[kind]}")


if __name__ == "__main__":
    main()
