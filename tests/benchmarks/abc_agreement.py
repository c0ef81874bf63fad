"""How far two readers of ABC agree on the tunes of music21's corpus.

    python tests/benchmarks/abc_agreement.py [--count 1500] [--seed 1]

Draws tunes from the collections that come inside music21 (12,978 of them), reads each
with this library and with music21, and compares pitches, onsets, durations, bar lines,
repeats and chord symbols.  Each difference is put down to a clause of *The abc music
standard 2.1* where the text shows one that music21 reads otherwise; what no clause
explains is listed.  Also told: the time of both, and whether any of all tunes raised.
"""

from __future__ import annotations

import argparse
import re
import sys
import warnings
from collections import Counter
from fractions import Fraction
from pathlib import Path
from random import Random
from statistics import median
from time import process_time

HOME = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(HOME))

import music21  # noqa: E402
from music21 import bar, chord, harmony, note, stream  # noqa: E402

from leadsheet_theory.abc import parse_abc  # noqa: E402
from leadsheet_theory.abc.reading._lines import decoded, split_file  # noqa: E402
from leadsheet_theory.errors import AbcReadError  # noqa: E402
from leadsheet_theory.leadsheet import Finding, LeadSheet, Note  # noqa: E402

CORPUS = Path(music21.corpus.__file__).parent
ASPECTS = ("notes", "bar lines", "repeats", "chords")

# what the text of a tune shows, by its music alone, and how music21 reads it
CLAUSES = (
    ("several voices stand one after the other (7, V:)", r"^V:|\[V:"),
    ("rests of bars and invisible rests take no time, y does (4.5, 6.1.2)", r"[ZXxy]"),
    (
        "> and < act on two notes only if nothing stands between (4.4, 4.20)",
        r"[\]A-Ga-gzx0-9,'/] *[^\]A-Ga-gzx0-9,'/\s<>]+ *[<>]"
        r"|[<>] *[^A-Ga-gzx_^=\[\s<>]|[<>] +\S|\S +[<>]",
    ),
    ("grace notes count in tuplets and stop broken rhythm (4.12)", r"\{"),
    (
        "tuplets with r, or whose notes are not next to it (4.13)",
        r"\(\d(?::|[^A-Ga-g])",
    ),
    ("a key or unit within the music is not read (3.2)", r"\[[KLM]:|^[KLM]:"),
    ("+ + chords, a length before a dot, letters k n o p (4.14, 12.1)", r"[+knop$]"),
    (
        "a letter for a decoration, or text after a slur, loses its note (4.14, 4.20)",
        r"[HLMOPSTuv~]",
    ),
    (
        "an accidental over a tie holds for the tied note (4.11)",
        r"[_^=][A-Ga-g][,']*[0-9/]*-",
    ),
    ("an end and a start at one bar line (4.8)", r"::|:\|+:|:\|+\]?\s*\|+:"),
    ("endings (4.9), and repeats without a start (4.8)", r"[|\[:] *[0-9]|:[|\]]"),
    ("an accidental lasts to the bar line in all octaves (11.3)", r"[_^=]"),
)
# what this library told of it
TOLD = (
    ("bar-line", "a bar that is full where its line ends, ends there (here only)"),
    ("bar-length", "a bar longer than its metre is divided, its notes tied (4.8)"),
    ("parts-order", "the order of parts is not played (3.1.9)"),
    ("unread", "words and marks before a bar line"),
    ("missing-k", "no K: (3.1.14)"),
    ("chord-not-closed", "a bracket that is not closed"),
    ("stray-text", "text in the header"),
)


def ours(sheet: LeadSheet) -> dict[str, list[object]]:
    """What this library reads, as plain lists."""
    notes: list[object] = []
    bars: list[object] = []
    repeats: list[object] = []
    chords: list[object] = []
    start = Fraction(0)
    for each in sheet.bars:
        bars.append(start)
        if each.form.repeat_start:
            repeats.append((start, "start"))
        for event in each.melody:
            if isinstance(event, Note) and not event.grace:
                keys = tuple(sorted(p.midi for p in event.pitches))
                notes.append((start + event.onset, event.duration, keys))
        chords += [(start + chord.onset, chord.symbol.source) for chord in each.chords]
        start += each.length
        if each.form.repeat_end:
            repeats.append((start, "end"))
    return {"notes": notes, "bar lines": bars, "repeats": repeats, "chords": chords}


def exact(number: object) -> Fraction:
    return Fraction(number).limit_denominator(960)  # type: ignore[arg-type]


def theirs(score: stream.Stream) -> dict[str, list[object]]:
    """What music21 reads."""
    part = score.parts[0] if isinstance(score, stream.Score) and score.parts else score
    notes: list[object] = []
    chords: list[object] = []
    for element in part.recurse().notes:
        at = exact(element.getOffsetInHierarchy(part))
        if isinstance(element, harmony.ChordSymbol):
            chords.append((at, element.figure))
        elif not element.duration.isGrace and element.quarterLength:
            keys = (
                tuple(sorted(p.midi for p in element.pitches))
                if isinstance(element, note.Note | chord.Chord)
                else ()
            )
            notes.append((at, exact(element.quarterLength), keys))
    bars: list[object] = []
    repeats: list[object] = []
    for measure in part.getElementsByClass(stream.Measure):
        at = exact(measure.offset)
        if measure.duration.quarterLength:
            bars.append(at)
        for line in (measure.leftBarline, measure.rightBarline):
            if isinstance(line, bar.Repeat):
                end = at + exact(measure.duration.quarterLength)
                left = line is measure.leftBarline
                repeats.append((at if left else end, line.direction))
    return {"notes": notes, "bar lines": bars, "repeats": repeats, "chords": chords}


def tunes() -> list[tuple[str, str]]:
    """Every tune of the corpus: its file and number, and its text on its own."""
    found = []
    for path in sorted(CORPUS.rglob("*.abc")):
        text, _ = decoded(path.read_bytes())
        for number, lines in enumerate(split_file(text).tunes, 1):
            body = "\n".join(line.text or "%" for line in lines)
            found.append((f"{path.name} {number}", f"{body}\n"))
    return found


def main() -> int:
    """Compare, and print what came of it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=1500)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    warnings.simplefilter("ignore")
    every = tunes()
    raised = 0
    for name, text in every:
        try:
            parse_abc(text)
        except AbcReadError as error:
            raised += 1
            print(f"{name}: {error}")
    print(f"{len(every)} tunes read, {raised} raised")
    drawn = Random(options.seed).sample(every, options.count)
    equal: Counter[str] = Counter()
    compared: Counter[str] = Counter()
    why: Counter[tuple[str, str]] = Counter()
    unexplained: list[str] = []
    refused = 0
    ratios: list[float] = []
    for name, text in drawn:
        start = process_time()
        (tune,) = parse_abc(text)
        middle = process_time()
        try:
            score = music21.converter.parse(f"%abc-2.1\n{text}", format="abc")
        except Exception:
            refused += 1
            continue
        ratios.append((middle - start) / (process_time() - middle))
        mine, other = ours(tune.sheet), theirs(score)
        notes_alike = mine["notes"] == other["notes"]
        for aspect in ASPECTS:
            if aspect in ("bar lines", "repeats") and not other["bar lines"]:
                continue
            compared[aspect] += 1
            if mine[aspect] == other[aspect]:
                equal[aspect] += 1
                continue
            clause = reason(aspect, notes_alike, text, tune.findings)
            why[aspect, clause] += 1
            if clause == "unexplained":
                unexplained.append(
                    f"{name}: {aspect}: {first(mine[aspect], other[aspect])}"
                )
    print(f"{len(drawn)} drawn with seed {options.seed}, {refused} refused by music21")
    for aspect in ASPECTS:
        print(f"  {aspect}: {equal[aspect]} of {compared[aspect]} equal")
        for (about, clause), count in why.most_common():
            if about == aspect:
                print(f"    {count:4} {clause}")
    print(f"time, as a part of music21's: median {median(ratios):.3f}")
    print(f"{len(unexplained)} unexplained")
    print("\n".join(unexplained[:40]))
    return 0


def first(mine: list[object], other: list[object]) -> str:
    """The first place where two lists part."""
    for one, two in zip(mine, other, strict=False):
        if one != two:
            return f"{one} / {two}"
    return f"{len(mine)} / {len(other)} of them"


def reason(
    aspect: str, notes_alike: bool, text: str, findings: tuple[Finding, ...]
) -> str:
    """What explains a difference: a finding of ours, or a clause of the standard."""
    if aspect != "notes" and not notes_alike:
        return "follows from the notes"
    music = "\n".join(
        re.sub(r'"[^"]*"|![^!\s]*!', "", line)
        for line in text.partition("\nK:")[2].split("\n")[1:]
        if not re.match(r"[A-JN-UWZw]:|%", line)
    )
    rules = {finding.rule for finding in findings}
    for rule, says in TOLD:
        if rule in rules:
            return says
    if re.search(r"(?m)^P:.*\n(?:.*\n)*K:", text):
        return "the order of parts is not played (3.1.9)"
    for says, pattern in CLAUSES:
        if re.search(pattern, music, re.MULTILINE):
            return says
    return "unexplained"


if __name__ == "__main__":
    sys.exit(main())
