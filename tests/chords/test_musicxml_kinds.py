"""MusicXML kinds: the standard's own words, music21's table, both ways.

Sources: W3C, *MusicXML 4.0*, musicxml.xsd, documentation of ``kind-value`` (read
here from the copy that the PyPI package ``musicxml`` brings along); music21's
``harmony.CHORD_TYPES``; *Integrated Music Theory* 16b and 18a for the functional
sixths, which the schema only names.
"""

from __future__ import annotations

import importlib.resources
import re
from xml.etree import ElementTree

import pytest

from leadsheet_theory.chords import (
    KINDS,
    STYLES,
    Chord,
    HarmonyDegree,
    HarmonyParts,
    NoChord,
    PolyChord,
    Quality,
    chord_from_harmony,
    harmony_of,
    parse_chord,
    parse_symbol,
)
from leadsheet_theory.errors import HarmonyError
from leadsheet_theory.pitch import NoteName

C = NoteName("C")
XSD = "{http://www.w3.org/2001/XMLSchema}"


def kind_value_type() -> ElementTree.Element:
    package = pytest.importorskip("musicxml", reason="the schema comes with musicxml")
    folder = importlib.resources.files(package) / "generate_classes"
    schema = ElementTree.fromstring((folder / "musicxml_4_0.xsd").read_bytes())
    return next(
        node
        for node in schema.iter(f"{XSD}simpleType")
        if node.get("name") == "kind-value"
    )


# the schema's words for intervals and triads
WORDS = {
    "major third": "3",
    "minor third": "b3",
    "perfect fifth": "5",
    "augmented fifth": "#5",
    "diminished fifth": "b5",
    "minor seventh": "b7",
    "major seventh": "7",
    "diminished seventh": "bb7",
    "added sixth": "6",
    "major ninth": "9",
    "perfect 11th": "11",
    "major 13th": "13",
    "major second": "2",
    "perfect fourth": "4",
    "major triad": "3 5",
    "minor triad": "b3 5",
    "augmented triad": "3 #5",
    "diminished triad": "b3 b5",
    "pedal-point bass": "",
    "dominant-seventh": "3 5 b7",
}


def test_kinds_are_what_the_schema_says() -> None:
    text = next(kind_value_type().iter(f"{XSD}documentation")).text or ""
    said: dict[str, str] = {}
    for line in text.splitlines():
        found = re.fullmatch(r"\s+([\w-]+) \((.+)\)", line)
        if found:
            parts = found[2].split(", ")
            said[found[1]] = " ".join(said.get(p) or WORDS[p] for p in parts)
    assert len(said) == 26
    for kind, degrees in said.items():
        assert KINDS[kind] == Quality.from_formula(f"1 {degrees}"), kind


def test_there_are_no_other_kinds() -> None:
    values = {n.get("value") for n in kind_value_type().iter(f"{XSD}enumeration")}
    assert len(values) == 33
    assert set(KINDS) | {"none"} == values


# names of music21's that MusicXML lacks: how we read the same chord
MUSIC21_NAMES = {
    "dominant-seventh": "dominant",
    "half-diminished-seventh": "half-diminished",
    "minor-major-seventh": "major-minor",
}
# The Neapolitan: music21 has 1 b2 3 b5, which is no chord of the textbooks (b2, 4
# and b6 of the key, Integrated Music Theory 16b).
MUSIC21_DIFFERS = {"Neapolitan"}


def test_kinds_equal_music21s() -> None:
    harmony = pytest.importorskip("music21.harmony")
    checked = 0
    for name, (formula, abbreviations) in harmony.CHORD_TYPES.items():
        degrees = formula.replace("-", "b").replace(",", " ")
        quality = Quality.from_formula(degrees)
        kind = MUSIC21_NAMES.get(name, name)
        if kind in KINDS and kind not in MUSIC21_DIFFERS:
            assert KINDS[kind] == quality, name
            checked += 1
        for abbreviation in abbreviations:
            if abbreviation in MUSIC21_ABBREVIATIONS_ONLY:
                continue
            chord = parse_chord("C" + abbreviation)
            assert isinstance(chord, Chord)
            assert chord.quality == quality, abbreviation
            checked += 1
    assert checked > 110


# Not printed on lead sheets, so no symbols of ours: functional names; and a dim
# that takes its seventh for granted, where ours is the triad (Cdim7b9 says it).
MUSIC21_ABBREVIATIONS_ONLY = {
    "N6", "It+6", "It", "Fr+6", "Fr", "Gr+6", "Ger", "tristan", "power",
    "ob9", "dimb9",
}  # fmt: skip

# kind, degrees (value, alter, type) | the symbol that says the same.  The builds
# are those that the schema's rules give: an added degree counts in the dominant
# scale, an altered one against the kind.
BUILDS = [
    ("dominant", [(9, -1, "add")], "C7b9"),
    ("dominant", [(5, -1, "alter"), (9, 1, "add")], "C7b5#9"),
    ("dominant", [(9, -1, "add"), (13, 0, "add")], "C13b9"),
    ("dominant", [(7, 1, "alter")], "Cmaj7"),
    ("dominant", [(3, 0, "subtract")], "C7(no3)"),
    ("dominant-ninth", [(11, 1, "add")], "C9#11"),
    ("dominant-11th", [(13, -1, "add")], "C11(b13)"),
    ("dominant-13th", [(9, -1, "alter")], "C13b9"),
    ("dominant-13th", [(11, 0, "subtract")], "C13(no11)"),
    ("dominant-13th", [(11, 1, "alter")], "C13#11"),
    ("suspended-fourth", [(7, 0, "add")], "C7sus4"),
    ("suspended-fourth", [(7, 1, "add")], "Cmaj7sus4"),
    ("suspended-fourth", [(2, 0, "add")], "Csus2sus4"),
    ("minor", [(7, 1, "add")], "Cm(maj7)"),
    ("diminished", [(7, 1, "add")], "Cdim(maj7)"),
    ("diminished-seventh", [(7, 1, "add")], "Cdim7(maj7)"),
    ("minor-seventh", [(5, -1, "alter")], "Cm7b5"),
    # an altered degree takes the place of the plain one, added or not
    ("dominant", [(5, 1, "add")], "C7#5"),
    ("minor-seventh", [(5, -1, "add")], "Cm7b5"),
    ("dominant", [(5, -1, "add"), (5, 1, "add")], "C7b5#5"),
    ("dominant-ninth", [(9, -1, "add")], "C7b9"),
    ("dominant", [(5, 1, "alter"), (5, 0, "add")], "C7(add#5)"),
    ("other", [(4, 0, "add"), (7, 0, "add")], "Cquartal"),
    ("augmented-ninth", [], "C9#5"),
    ("maj69", [], "C6/9"),
    ("m7b5", [], "Cm7b5"),
]


@pytest.mark.parametrize(("kind", "degrees", "text"), BUILDS)
def test_builds(kind: str, degrees: list[tuple[int, int, str]], text: str) -> None:
    parts = HarmonyParts(
        root=C,
        kind=kind,
        degrees=tuple(HarmonyDegree(*degree) for degree in degrees),  # type: ignore[arg-type]
    )
    assert chord_from_harmony(parts) == parse_chord(text)


WRITTEN = [
    ("C", "major", []),
    ("C7(b9)", "dominant", [(9, -1, "add")]),
    ("C7#5", "augmented-seventh", []),
    ("C9#5", "augmented-seventh", [(9, 0, "add")]),
    ("C7b5", "dominant", [(5, -1, "alter")]),
    ("C6/9", "major-sixth", [(9, 0, "add")]),
    ("C13sus4", "suspended-fourth", [(7, 0, "add"), (9, 0, "add"), (13, 0, "add")]),
    ("C13#11", "dominant-ninth", [(11, 1, "add"), (13, 0, "add")]),
    ("Cm9b5", "half-diminished", [(9, 0, "add")]),
    ("Cmaj7#5", "major-seventh", [(5, 1, "alter")]),
    ("C7(add#5)", "augmented-seventh", [(5, 0, "add")]),
    ("C5", "power", []),
    ("C(no5)", "major", [(5, 0, "subtract")]),
]


@pytest.mark.parametrize(("text", "kind", "degrees"), WRITTEN)
def test_written_kinds(
    text: str, kind: str, degrees: list[tuple[int, int, str]]
) -> None:
    (parts,) = harmony_of(parse_chord(text))
    assert parts.kind == kind
    assert [(d.value, d.alter, d.type) for d in parts.degrees] == degrees


@pytest.mark.parametrize(
    "text", ["G7#5", "G7b5", "Gm7b5", "Gmaj7#5", "Gmaj7#11", "G7b9"]
)
def test_what_music21_writes(text: str) -> None:
    """Its pitches of the symbol are the tones of what we read from its file."""
    harmony = pytest.importorskip("music21.harmony")
    theirs = harmony.ChordSymbol(text)
    degrees = [
        HarmonyDegree(each.degree, each.interval.chromatic.semitones, each.modType)
        for each in theirs.chordStepModifications
    ]
    kind = MUSIC21_NAMES.get(theirs.chordKind, theirs.chordKind)
    ours = chord_from_harmony(
        HarmonyParts(root=NoteName("G"), kind=kind, degrees=tuple(degrees))
    )
    assert isinstance(ours, Chord)
    assert ours.pitch_classes == {pitch.pitchClass for pitch in theirs.pitches}


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("style", STYLES, ids=lambda style: style.name)
def test_every_kind_there_and_back(kind: str, style: object) -> None:
    chord = chord_from_harmony(HarmonyParts(root=C, kind=kind))
    (parts,) = harmony_of(chord, style=style)  # type: ignore[arg-type]
    assert parts.kind == kind or kind == "other"
    assert chord_from_harmony(parts) == chord


def test_bass_and_inversion() -> None:
    (parts,) = harmony_of(parse_chord("C7/E"))
    assert (parts.bass, parts.inversion) == (NoteName("E"), 1)
    (parts,) = harmony_of(parse_chord("C7/D"))
    assert (parts.bass, parts.inversion) == (NoteName("D"), None)
    inverted = HarmonyParts(root=C, kind="dominant", inversion=3)
    assert str(chord_from_harmony(inverted)) == "C7/Bb"
    assert (
        str(chord_from_harmony(HarmonyParts(root=C, kind="major", inversion=0))) == "C"
    )


def test_polychords_and_no_chord() -> None:
    both = parse_symbol("D|C7")
    assert isinstance(both, PolyChord)
    upper, lower = harmony_of(both)
    assert (upper.root, lower.kind) == (NoteName("D"), "dominant")
    assert chord_from_harmony(upper, lower) == both
    (silence,) = harmony_of(NoChord())
    assert silence.kind == "none" and silence.kind_text == "N.C."
    assert chord_from_harmony(silence) == NoChord()


PRINTED = [
    (
        HarmonyParts(
            root=C, kind="dominant", kind_text="7b9", degrees=(HarmonyDegree(9, -1),)
        ),
        "C7b9",
        True,
    ),
    # the text may leave the degrees to be printed behind it
    (
        HarmonyParts(
            root=C, kind="dominant", kind_text="7", degrees=(HarmonyDegree(9, -1),)
        ),
        "C7",
        True,
    ),
    (HarmonyParts(root=C, kind="dominant", kind_text="7"), "C7", True),
    (HarmonyParts(root=C, kind="dominant", kind_text="m7"), "Cm7", False),
    (HarmonyParts(root=C, kind="dominant", kind_text="xyz"), "Cxyz", False),
    (HarmonyParts(root=C, kind="dominant"), None, True),
    (HarmonyParts(root=C, kind="major"), "C", True),
    (HarmonyParts(root=C, kind="major", kind_text="", bass=NoteName("E")), "C/E", True),
    (
        HarmonyParts(root=C, kind="half-diminished", kind_text="7", use_symbols=True),
        "Cø7",
        True,
    ),
    (
        HarmonyParts(root=C, kind="major-seventh", kind_text="7", use_symbols=True),
        "C△7",
        True,
    ),
    (
        HarmonyParts(root=C, kind="minor-seventh", kind_text="7", use_symbols=True),
        "C-7",
        True,
    ),
    (
        HarmonyParts(
            root=C, kind="diminished-seventh", kind_text="7", use_symbols=True
        ),
        "C°7",
        True,
    ),
    (
        HarmonyParts(root=C, kind="augmented-seventh", kind_text="7", use_symbols=True),
        "C+7",
        True,
    ),
    (
        HarmonyParts(root=C, kind="dominant", kind_text="7", use_symbols=True),
        "C7",
        True,
    ),
    (HarmonyParts(root=None, kind="none", kind_text="N.C."), "N.C.", True),
]


@pytest.mark.parametrize(("parts", "printed", "agrees"), PRINTED)
def test_what_is_printed_against_what_is_meant(
    parts: HarmonyParts, printed: str | None, agrees: bool
) -> None:
    assert parts.printed == printed
    assert parts.text_agrees is agrees


WRONG = [
    ([], "0 stacked chords: expected one or two"),
    ([HarmonyParts(root=C, kind="crunchy")], "kind 'crunchy' names no chord"),
    ([HarmonyParts(root=C, kind="")], "kind '' names no chord"),
    ([HarmonyParts(root=None, kind="major")], "kind 'major' without a root"),
    ([HarmonyParts(root=C, kind="major", inversion=5)], "C has no inversion 5"),
    (
        [
            HarmonyParts(
                root=C, kind="major", degrees=(HarmonyDegree(7, 0, "subtract"),)
            )
        ],
        "kind 'major' has no 7 to subtract",
    ),
    (
        [HarmonyParts(root=C, kind="major", degrees=(HarmonyDegree(15),))],
        "kind 'major': 15 is no degree of a chord: expected 1 to 7, 9, 11 or 13",
    ),
    (
        [HarmonyParts(root=C, kind="major"), HarmonyParts(root=None, kind="none")],
        "no chord stacked with another: expected two chords",
    ),
]


@pytest.mark.parametrize(("groups", "message"), WRONG)
def test_what_says_no_chord(groups: list[HarmonyParts], message: str) -> None:
    with pytest.raises(HarmonyError) as caught:
        chord_from_harmony(*groups)
    assert str(caught.value) == message


def test_kinds_of_a_common_toolkit_keep_their_chord():
    """Source: the table of chord types in music21's module harmony."""
    types = pytest.importorskip("music21.harmony").CHORD_TYPES
    sixths = {"Neapolitan", "Italian", "French", "German", "Tristan"}
    for kind, (formula, _) in types.items():
        if kind in sixths:
            continue
        degrees = formula.replace("-", "b").replace(",", " ")
        meant = Quality.from_formula(degrees)
        chord = chord_from_harmony(HarmonyParts(root=NoteName("C"), kind=kind))
        assert chord.quality == meant, kind
