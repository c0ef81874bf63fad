"""Compare what a file says, what its C part says, and what was told: no silent loss.

    python tests/benchmarks/carried.py [FOLDER] [--every N] [--shown N]

For each lead sheet (those of ``shared/leadsheets`` beside the project) the facts of the
melody's source are gathered, and those of its C part: attacks with their heads, ties,
syllables with verse and hyphens, chord symbols with root and bass, slurs, tuplets,
marks, words, dynamics, tempo, bar lines, repeats with times, endings with numbers,
signs of form, key and metre signatures, names.  What is in the source and not in the
part is a loss; it is silent unless a finding names the element.  Also counts chord
symbols on one spot and words in the letters of another key.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree as ET

HOME = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(HOME), str(HOME / "tests"), str(HOME / "tests" / "benchmarks")]

from _speed_rows import xml_of  # noqa: E402

from leadsheet_theory import make_parts, read_lead_sheet, write_part  # noqa: E402
from leadsheet_theory.chords import typed_sounds  # noqa: E402

Fact = tuple[str, str]

# what may stand in the part in another way, as the source's words or playback said it:
# each kind of fact, and the rules or elements of findings that tell of it
EXPLAINED = {
    "note": {
        "note",
        "cue",
        "chord-lengths",
        "voice",
        "written-value",
        "measure-repeat",
    },
    "head": {"notehead", "slashes"},
    "value": {"written-value", "bar-length", "note", "divisions"},
    "tie": {"chord-ties", "note"},
    "syllable": {"lyric", "lyrics"},
    "extender": {"lyric"},
    "slur": {"slur"},
    "tuplet": {"tuplet", "written-value"},
    "mark": {"fermata", "unread"},
    "words": {"words", "chord-words", "form", "jump", "coda", "segno", "sections"},
    "place of words": {"words", "chord-words", "form", "jump"},
    "dynamics": {"dynamics"},
    "tempo": {"metronome", "tempo", "hidden"},
    "rehearsal": {"rehearsal"},
    "repeat": {"repeat"},
    "ending": {"ending"},
    "bar line": {"bar-style", "form"},
    "segno": {"segno"},
    "coda": {"coda"},
    "key": {"key", "transpose"},
    "metre": {"time", "meter"},
    "chord symbol": {"harmony", "chord-text", "stacked-chords", "kind"},
    "root name": {"harmony", "stacked-chords"},
    "bass name": {"harmony", "stacked-chords"},
    "name": {"creator", "rights"},
}


def facts(root: ET.Element, bars: int | None = None) -> Counter[Fact]:
    """What the first part of a score says, each fact as often as it is said."""
    found: Counter[Fact] = Counter()
    for measure in list(root.iterfind("part[1]/measure"))[:bars]:
        for note in measure.iterfind("note"):
            found.update(_of_note(note))
        for harmony in measure.iterfind("harmony"):
            found.update(_of_harmony(harmony))
        for direction in measure.iterfind("direction"):
            found.update(_of_direction(direction))
        for barline in measure.iterfind("barline"):
            found.update(_of_barline(barline))
        for attributes in measure.iterfind("attributes"):
            found.update(_of_attributes(attributes))
    for path in ("identification/creator", "identification/rights"):
        for each in root.iterfind(path):
            if _text(each):
                found["name", _text(each)] += 1
    return found


def _text(element: ET.Element | None) -> str:
    return " ".join("".join(element.itertext()).split()) if element is not None else ""


def _of_note(note: ET.Element) -> Iterator[Fact]:
    if note.find("rest") is not None or note.find("cue") is not None:
        return
    grace = note.find("grace")
    yield "note", "grace" if grace is not None else "note"
    if grace is not None:
        yield "note", f"grace slash {grace.get('slash', 'no')}"
    head = _text(note.find("notehead"))
    if head not in ("", "normal"):
        yield "head", head
    for tie in note.iterfind("tie"):
        yield "tie", tie.get("type", "")
    for lyric in note.iterfind("lyric"):
        if lyric.find("text") is not None:
            said = _text(lyric.find("syllabic")) or "single"
            hyphen = "hyphen" if said in ("begin", "middle") else ""
            words = "".join(_text(each) for each in lyric.iterfind("text"))
            yield "syllable", f"{words} {hyphen} verse {lyric.get('number', '1')}"
        if lyric.find("extend") is not None:
            yield "extender", ""
    for notations in note.iterfind("notations"):
        for slur in notations.iterfind("slur"):
            yield "slur", slur.get("type", "")
        for tuplet in notations.iterfind("tuplet"):
            yield "tuplet", tuplet.get("type", "")
        for line in ("glissando", "slide"):
            for each in notations.iterfind(line):
                yield "slur", f"{line} {each.get('type', '')}"
        for group in ("articulations", "ornaments", "technical"):
            for each in notations.iterfind(f"{group}/*"):
                yield "mark", each.tag
        for mark in ("fermata", "arpeggiate"):
            for _ in notations.iterfind(mark):
                yield "mark", mark


def _of_harmony(harmony: ET.Element) -> Iterator[Fact]:
    kind = _text(harmony.find("kind"))
    yield "chord symbol", "N.C." if kind == "none" else "symbol"
    if harmony.find("bass") is not None:
        yield "chord symbol", "bass"
    for name in ("root", "bass"):
        step = _text(harmony.find(f"{name}/{name}-step"))
        if step and kind != "none":
            alter = _text(harmony.find(f"{name}/{name}-alter")) or "0"
            yield f"{name} name", f"{step} {alter}"


def _of_direction(direction: ET.Element) -> Iterator[Fact]:
    place = direction.get("placement", "above")
    for kind in direction.iterfind("direction-type/*"):
        if kind.tag == "words" and _text(kind):
            yield "words", _text(kind)
            yield "place of words", place
        elif kind.tag == "dynamics":
            yield from (("dynamics", each.tag) for each in kind)
        elif kind.tag == "metronome":
            yield "tempo", _text(kind.find("per-minute"))
            yield "tempo", _text(kind.find("beat-unit"))
        elif kind.tag == "rehearsal":
            yield "rehearsal", _text(kind)
        elif kind.tag in ("segno", "coda"):
            yield kind.tag, ""


def _of_barline(barline: ET.Element) -> Iterator[Fact]:
    style = _text(barline.find("bar-style"))
    if style in ("light-light", "dashed") and barline.find("repeat") is None:
        yield "bar line", style
    repeat = barline.find("repeat")
    if repeat is not None:
        yield "repeat", repeat.get("direction", "")
        if repeat.get("times", "2") != "2":
            yield "repeat", f"{repeat.get('times')} times"
    ending = barline.find("ending")
    if ending is not None and ending.get("type") == "start":
        yield "ending", ending.get("number", "").replace(" ", "")


def _of_attributes(attributes: ET.Element) -> Iterator[Fact]:
    for key in attributes.iterfind("key"):
        yield "key", _text(key.find("fifths"))
    for time in attributes.iterfind("time"):
        beats = "+".join(_text(each) for each in time.iterfind("beats"))
        yield "metre", f"{beats}/{_text(time.find('beat-type'))}"


def _missing(source: Counter[Fact], part: Counter[Fact]) -> Counter[Fact]:
    """What the part lacks: words that name a section stand there as its sign, a sign
    that leads to the coda as words, and each word of several by itself."""
    missing = source - part
    signs = {value.casefold() for what, value in part if what == "rehearsal"}
    said = " ".join(value.casefold() for what, value in part if what == "words").split()
    for what, value in list(missing):
        words = value.casefold().split()
        known = value.strip(" :.").casefold() in signs
        if what == "words" and (known or all(word in said for word in words)):
            missing["place of words", "above"] -= missing.pop((what, value))
    missing["coda", ""] -= part["words", "To Coda"]
    return +missing


def main() -> int:
    """Compare, and print each loss that nothing told."""
    parser = argparse.ArgumentParser(description=__doc__)
    default = HOME.parent / "shared" / "leadsheets"
    parser.add_argument("folder", nargs="?", type=Path, default=default)
    parser.add_argument("--every", type=int, default=1)
    parser.add_argument("--shown", type=int, default=3)
    options = parser.parse_args()
    silent: Counter[str] = Counter()
    where: dict[str, list[str]] = {}
    stacked = concert = charts = lyricists = 0
    for path in sorted(options.folder.rglob("*.mxl"))[:: options.every]:
        charts += 1
        result = read_lead_sheet(path)
        source = ET.fromstring(xml_of(path))
        parts = make_parts(result.sheet)
        findings = (*result.findings, *parts[0].report.findings)
        told = {each.element for each in findings} | {each.rule for each in findings}
        data = write_part(parts[0])
        written = ET.fromstring(data)
        found = facts(written, len(parts[0].bars))
        # the way on may stand on the solo page
        found |= Counter(
            {fact: n for fact, n in facts(written).items() if fact[0] == "words"}
        )
        lyricists += bool(result.sheet.lyricist)
        for (what, value), count in _missing(facts(source), found).items():
            if parts[0].report.chords and what in ("root name", "bass name"):
                continue
            if not EXPLAINED.get(what, set()) & told:
                silent[what] += count
                where.setdefault(what, []).append(f"{path.stem}: {count} x {value!r}")
        for part in parts:
            for bar in (*part.bars, *part.solo):
                onsets = [placed.onset for placed in bar.bar.chords]
                stacked += len(onsets) - len(set(onsets))
                if part.to_sounding.fifths:
                    concert += sum(
                        bool(typed_sounds(each.text).unreadable)
                        for each in bar.bar.directions
                    )
    for what, count in silent.most_common():
        print(f"{what}: {count} silent, such as")
        for each in where[what][: options.shown]:
            print(f"    {each}")
    print(
        f"{charts} charts: {sum(silent.values())} silent losses, {stacked} stacked "
        f"symbols, {concert} words that look like chords in transposed parts, "
        f"{lyricists} lyricists"
    )
    return 1 if silent or stacked or concert else 0


if __name__ == "__main__":
    sys.exit(main())
