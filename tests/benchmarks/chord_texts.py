"""Do a chart's printed chord texts mean what its files encode?

    python tests/benchmarks/chord_texts.py FOLDER

For each ``<harmony>`` of the MusicXML files in a folder, reads the printed
symbol (root, ``text`` of the kind, bass) with our grammar, reads kind and
degrees by the standard, and compares the two meanings.  Every difference is
listed with its explanation.  A kind without a text has no printed suffix; it
is compared only where nothing printed is the right symbol (a major triad).
Entity declarations are refused, so is anything that is no MusicXML.
"""

from __future__ import annotations

import argparse
import zipfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

from leadsheet_theory.chords import (
    Chord,
    HarmonyDegree,
    HarmonyParts,
    Quality,
    chord_from_harmony,
    read_chord,
)
from leadsheet_theory.errors import HarmonyError
from leadsheet_theory.pitch import NoteName


def music_of(path: Path) -> ElementTree.Element:
    """The root element of a plain or zipped MusicXML file."""
    data = path.read_bytes()
    if zipfile.is_zipfile(path):
        with zipfile.ZipFile(path) as archive:
            names = [
                name
                for name in archive.namelist()
                if name.endswith((".xml", ".musicxml")) and "META-INF" not in name
            ]
            data = archive.read(names[0])
    if b"<!ENTITY" in data:
        raise ValueError("declares entities")
    return ElementTree.fromstring(data)


def note_name(element: ElementTree.Element | None, what: str) -> NoteName | None:
    if element is None:
        return None
    step = element.findtext(f"{what}-step") or ""
    alter = float(element.findtext(f"{what}-alter") or 0)
    sign = "#" * int(alter) if alter > 0 else "b" * -int(alter)
    return NoteName.parse(step.strip() + sign)


def harmonies(music: ElementTree.Element) -> Iterator[tuple[HarmonyParts, bool]]:
    """Each harmony with one root, and whether its degrees print by themselves."""
    for harmony in music.iter("harmony"):
        kind = harmony.find("kind")
        root = note_name(harmony.find("root"), "root")
        if kind is None or root is None or len(harmony.findall("kind")) > 1:
            continue
        found = harmony.findall("degree")
        degrees = tuple(
            HarmonyDegree(
                int(degree.findtext("degree-value") or 0),
                int(float(degree.findtext("degree-alter") or 0)),
                degree.findtext("degree-type") or "add",  # type: ignore[arg-type]
            )
            for degree in found
        )
        parts = HarmonyParts(
            root=root,
            kind=(kind.text or "").strip(),
            kind_text=kind.get("text"),
            degrees=degrees,
            bass=note_name(harmony.find("bass"), "bass"),
            use_symbols=kind.get("use-symbols") == "yes",
        )
        yield parts, all(degree.get("print-object") != "no" for degree in found)


# the degrees that one reading has and the other has not | what is behind it
EXPLANATIONS: tuple[tuple[tuple[str, ...], str], ...] = (
    (
        ("3", "3 4"),
        "a lone 4 is read as sus4 (Schmidt-Jones, 'Beyond Triads'); the file keeps the "
        "third",
    ),
    (
        ("3", "2 3", "2 3 9"),
        "a lone 2 is read as sus2 (Dobrian 2014); the file keeps the third",
    ),
    (
        ("bb7",),
        "dim and the circle are read as the triad (Open Music Theory v2); some charts "
        "mean four notes",
    ),
    (("11",), "a 13th chord holds its 11th in theory and seldom in practice"),
    (("9",), "some charts count the 9 into 7#11 or 13 (Dobrian 2014)"),
)


def explain(printed: Chord, encoded: Chord) -> str:
    if printed.root != encoded.root or printed.bass != encoded.bass:
        return "root or bass"
    difference = set(printed.quality.degrees) ^ set(encoded.quality.degrees)
    said = Quality(difference).formula
    for differences, why in EXPLANATIONS:
        if said in differences:
            return why
    return "no known reason: look at the file"


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("folder", type=Path)
    folder: Path = parser.parse_args().folder
    same = silent = 0
    differences: Counter[tuple[str, str, str, str]] = Counter()
    refused: Counter[tuple[str, str]] = Counter()
    unread: Counter[str] = Counter()
    where: dict[object, str] = {}
    files = sorted(
        path
        for path in folder.iterdir()
        if path.suffix in (".mxl", ".xml", ".musicxml")
    )
    for path in files:
        for parts, degrees_print in harmonies(music_of(path)):
            text = parts.printed
            if text is None:
                silent += 1
                continue
            reading = read_chord(text)
            if reading.error is not None:
                refused[text, reading.error.problem] += 1
                where.setdefault(text, path.name)
                continue
            printed = reading.symbol
            try:
                encoded = chord_from_harmony(parts)
            except HarmonyError as error:
                unread[f"{parts.kind!r}: {error}"] += 1
                continue
            if printed == encoded or (degrees_print and parts.text_agrees):
                same += 1
                continue
            assert isinstance(printed, Chord) and isinstance(encoded, Chord)
            difference = (
                explain(printed, encoded),
                text,
                printed.quality.formula,
                encoded.quality.formula,
            )
            differences[difference] += 1
            where.setdefault(difference, path.name)
    total = same + differences.total() + refused.total()
    print(f"{len(files)} files, {total} printed chord texts, {silent} without a text")
    print(f"the same chord: {same} = {100 * same / max(total, 1):.3f} %")
    print(f"another chord:  {differences.total()}")
    for difference, count in sorted(differences.items()):
        why, text, read, said = difference
        print(
            f"  {count} × {text}: printed {read}, encoded {said} ({where[difference]})"
        )
        print(f"      {why}")
    print(f"text refused:   {refused.total()}")
    for (text, problem), count in refused.most_common():
        print(f"  {count} × {text}: {problem} ({where[text]})")
    print(f"kind unread:    {unread.total()}")
    for message, count in unread.most_common():
        print(f"  {count} × {message}")


if __name__ == "__main__":
    main()
