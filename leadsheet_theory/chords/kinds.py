"""Chord symbols as MusicXML harmonies: root, kind and degrees (no XML here).

Source: W3C Music Notation Community Group, *MusicXML 4.0*, ``musicxml.xsd``:
kind-value, degree, inversion, bass.  An added degree counts in the scale of a
dominant chord (its 7 is the minor seventh); an altered or subtracted one
against the degree that the kind has.  The formulas of the functional sixths
are degrees of the key whose tonic is the root: *Integrated Music Theory*,
lessons 16b (Neapolitan) and 18a (augmented sixths); that of the Tristan chord
is its content counted from the bass, F B D♯ G♯.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import Final, Literal

from attrs import evolve, field, frozen

from .._doors import door
from .._scan import Scanner
from ..errors import ChordFormulaError, ChordSymbolError, HarmonyError
from ..pitch import NoteName
from ._parse import parse_symbol
from ._suffix import read_suffix
from ._words import SIGNS
from .quality import Quality, quality_of
from .styles import CANONICAL, HouseStyle, suffix_text
from .symbol import Chord, ChordSymbol, NoChord, PolyChord

__all__ = (
    "KINDS",
    "HarmonyDegree",
    "HarmonyParts",
    "chord_from_harmony",
    "harmony_of",
)

# kind: degrees of its chord.  "other" is built by added degrees alone.
_FORMULAS: Final[dict[str, str]] = {
    "major": "1 3 5",
    "minor": "1 b3 5",
    "augmented": "1 3 #5",
    "diminished": "1 b3 b5",
    "dominant": "1 3 5 b7",
    "major-seventh": "1 3 5 7",
    "minor-seventh": "1 b3 5 b7",
    "diminished-seventh": "1 b3 b5 bb7",
    "augmented-seventh": "1 3 #5 b7",
    "half-diminished": "1 b3 b5 b7",
    "major-minor": "1 b3 5 7",
    "major-sixth": "1 3 5 6",
    "minor-sixth": "1 b3 5 6",
    "dominant-ninth": "1 3 5 b7 9",
    "major-ninth": "1 3 5 7 9",
    "minor-ninth": "1 b3 5 b7 9",
    "dominant-11th": "1 3 5 b7 9 11",
    "major-11th": "1 3 5 7 9 11",
    "minor-11th": "1 b3 5 b7 9 11",
    "dominant-13th": "1 3 5 b7 9 11 13",
    "major-13th": "1 3 5 7 9 11 13",
    "minor-13th": "1 b3 5 b7 9 11 13",
    "suspended-second": "1 2 5",
    "suspended-fourth": "1 4 5",
    "Neapolitan": "b2 4 b6",
    "Italian": "1 #4 b6",
    "French": "1 2 #4 b6",
    "German": "1 b3 #4 b6",
    "pedal": "1",
    "power": "1 5",
    "Tristan": "1 #4 #6 #9",
    "other": "1",
}

KINDS: Final[dict[str, Quality]] = {
    kind: Quality.from_formula(formula) for kind, formula in _FORMULAS.items()
}
"""Every kind of MusicXML 4.0 but ``none``, with the chord it names."""

# Kinds that files hold though the standard has none of the name.
_STRAY_KINDS: Final[dict[str, str]] = {
    "augmented-ninth": "1 3 #5 b7 9",
    "augmented-11th": "1 3 #5 b7 9 11",
    "augmented-13th": "1 3 #5 b7 9 11 13",
    "augmented-dominant-ninth": "1 3 #5 b7 9",
    "augmented-dominant-13th": "1 3 #5 b7 9 11 13",
    "augmented-major-11th": "1 3 #5 7 9 11",
    "augmented-major-13th": "1 3 #5 7 9 11 13",
    "seventh-flat-five": "1 3 b5 b7",
    "half-diminished-minor-ninth": "1 b3 b5 b7 b9",
    "half-diminished-13th": "1 b3 b5 b7 9 11 13",
    "diminished-minor-ninth": "1 b3 b5 bb7 b9",
    "minor-major-11th": "1 b3 5 7 9 11",
    "minor-major-13th": "1 b3 5 7 9 11 13",
    "half-diminished-seventh": "1 b3 b5 b7",
    "half-diminished-ninth": "1 b3 b5 b7 9",
    "half-diminished-11th": "1 b3 b5 b7 9 11",
    "diminished-ninth": "1 b3 b5 bb7 9",
    "diminished-11th": "1 b3 b5 bb7 9 11",
    "dominant-seventh": "1 3 5 b7",
    "minor-major": "1 b3 5 7",
    "major-minor-seventh": "1 b3 5 7",
    "minor-major-seventh": "1 b3 5 7",
    "minor-major-ninth": "1 b3 5 7 9",
    "augmented-major-seventh": "1 3 #5 7",
    "augmented-major-ninth": "1 3 #5 7 9",
    "suspended-fourth-seventh": "1 4 5 b7",
    "major-sixth-ninth": "1 3 5 6 9",
    "minor-sixth-ninth": "1 b3 5 6 9",
    "major-69": "1 3 5 6 9",
    "minor-69": "1 b3 5 6 9",
    "maj69": "1 3 5 6 9",
    "min69": "1 b3 5 6 9",
}
# Kinds that say one chord and are no basis for others.
_WHOLE_KINDS: Final = frozenset(
    {"Neapolitan", "Italian", "French", "German", "Tristan", "pedal", "power"}
)
# The signs of use-symbols: MusicXML 4.0, kind.
_SIGN_OF_FAMILY: Final = {
    "major": "△",
    "minor": "-",
    "augmented": "+",
    "diminished": "°",
    "half-diminished": "ø",
}
_TAKE_A_SEVENTH: Final = frozenset(
    {"suspended-second", "suspended-fourth", "diminished", "diminished-seventh"}
)
_DOMINANT_ALTER: Final = {7: -1}


@frozen(order=False)
class HarmonyDegree:
    """One ``<degree>``: its value, its alter in semitones and its type."""

    value: int
    alter: int = 0
    type: Literal["add", "alter", "subtract"] = "add"


@frozen(order=False, kw_only=True)
class HarmonyParts:
    """What one harmony-chord group of a ``<harmony>`` says.

    `kind` is the content of ``<kind>``; `kind_text` its ``text`` attribute, or
    None if it has none; `use_symbols` its attribute of that name.  `inversion`
    counts 0 for root position, None if the element is absent.  `root` is None
    only beside kind ``none``.  An `optional` chord is printed in brackets.
    """

    root: NoteName | None
    kind: str
    kind_text: str | None = None
    degrees: tuple[HarmonyDegree, ...] = ()
    bass: NoteName | None = None
    inversion: int | None = None
    source: str = field(default="", eq=False)
    use_symbols: bool = False
    optional: bool = False

    @property
    def printed(self) -> str | None:
        """The symbol that a score prints for it, or None where the file leaves
        that to the program.

        With `use_symbols`, the sign of the kind stands before the text.

        >>> HarmonyParts(root=NoteName("F", 1), kind="half-diminished", kind_text="7",
        ...              use_symbols=True).printed
        'F#ø7'
        """
        if self.kind == "none" or self.root is None:
            return self.kind_text
        if self.kind_text is None and (self.kind != "major" or self.degrees):
            return None
        sign = (
            _SIGN_OF_FAMILY.get(_family_of(self.kind), "") if self.use_symbols else ""
        )
        slash = f"/{self.bass}" if self.bass is not None else ""
        text = f"{self.root}{sign}{self.kind_text or ''}{slash}"
        return f"({text})" if self.optional else text

    @property
    def text_agrees(self) -> bool:
        """Whether the printed symbol means what kind and degrees say.

        A text may speak for the kind alone, with the degrees printed behind it.
        """
        printed = self.printed
        if not printed:
            return True
        try:
            read = parse_symbol(printed)
            meant = chord_from_harmony(self)
            return read == meant or (
                bool(self.degrees)
                and read == chord_from_harmony(evolve(self, degrees=()))
            )
        except (ChordSymbolError, HarmonyError):
            return False


def _family_of(kind: str) -> str:
    """The family whose sign a kind prints: its first word, but for two kinds."""
    if kind in ("half-diminished", "major-minor"):
        return "minor" if kind == "major-minor" else kind
    return kind.partition("-")[0]


@door
def chord_from_harmony(*groups: HarmonyParts) -> ChordSymbol:
    """The chord symbol that the groups of one ``<harmony>`` say.

    Two groups are a polychord, the first above.  A kind that MusicXML does not
    have is read where its name says a chord (``augmented-ninth``, ``maj69``),
    else by its text.  A 13th kind whose ninth is altered has no eleventh, as in
    the symbol ``13b9``.

    >>> str(chord_from_harmony(HarmonyParts(root=NoteName("C"), kind="dominant",
    ...                                     kind_text="7b9",
    ...                                     degrees=(HarmonyDegree(9, -1, "add"),))))
    'C7(b9)'

    Raises:
        HarmonyError: if they say no chord.
    """
    if not groups or len(groups) > 2:
        raise HarmonyError(f"{len(groups)} stacked chords: expected one or two")
    if len(groups) == 2:
        upper, lower = (chord_from_harmony(group) for group in groups)
        if isinstance(upper, Chord) and isinstance(lower, Chord):
            return PolyChord(upper, lower)
        raise HarmonyError("no chord stacked with another: expected two chords")
    (parts,) = groups
    if parts.kind == "none":
        return NoChord(parts.source)
    if parts.root is None:
        raise HarmonyError(f"kind {parts.kind!r} without a root")
    quality = _quality_of_parts(parts.kind, parts.kind_text, parts.degrees)
    bass = parts.bass
    if bass is None and parts.inversion:
        bass = _inverted(Chord(parts.root, quality), parts.inversion)
    return Chord(parts.root, quality, bass, parts.source, parts.optional)


def _inverted(chord: Chord, inversion: int) -> NoteName:
    tones = chord.tones
    if inversion >= len(tones):
        raise HarmonyError(f"{chord} has no inversion {inversion}")
    return tones[inversion]


_REPLACED: Final = (5, 9, 11, 13)
"""The degrees that an altered one takes the place of, also where a file adds it: nobody
plays both (common practice, no source; music21 writes and reads ``G7#5`` so)."""


@lru_cache(maxsize=4096)
def _quality_of_parts(
    kind: str, kind_text: str | None, degrees: tuple[HarmonyDegree, ...]
) -> Quality:
    base = KINDS.get(kind) or _stray(kind, kind_text)
    pairs = {(d.number, d.alter) for d in base.degrees}
    for degree in degrees:
        _apply(degree, pairs, kind)
        replaces = degree.alter and degree.value in _REPLACED
        if replaces and "add" not in (kind_text or "").casefold():
            pairs.discard((degree.value, 0))
    _settle_suspension(pairs, degrees)
    if kind.endswith("13th") and pairs & {(9, -1), (9, 1)} and (9, 0) not in pairs:
        given = {d.value for d in degrees}
        if 11 not in given:
            pairs.discard((11, 0))
    try:
        return quality_of(frozenset(pairs))
    except ChordFormulaError as error:
        raise HarmonyError(f"kind {kind!r}: {error}") from None


def _settle_suspension(
    pairs: set[tuple[int, int]], degrees: tuple[HarmonyDegree, ...]
) -> None:
    """A fourth in the place of the third is the 11th of the stack an octave lower."""
    has_third = any(number == 3 for number, _ in pairs)
    if (4, 0) in pairs and not has_third and all(d.value != 11 for d in degrees):
        pairs.discard((11, 0))


def _apply(degree: HarmonyDegree, pairs: set[tuple[int, int]], kind: str) -> None:
    """Add, alter or subtract one degree."""
    value = degree.value
    here = sorted(pair for pair in pairs if pair[0] == value)
    if degree.type == "add" or (degree.type == "alter" and not here):
        alter = _DOMINANT_ALTER.get(value, 0) + degree.alter
        if (value, alter) == (7, -2) and not kind.startswith(("diminished", "other")):
            # files that count the added seventh in the major scale
            alter = -1
        pairs.add((value, alter))
    elif degree.type == "alter":
        pairs.discard(here[0])
        pairs.add((value, here[0][1] + degree.alter))
    elif not here:
        raise HarmonyError(f"kind {kind!r} has no {value} to subtract")
    else:
        pairs.discard(here[0])


def _stray(kind: str, kind_text: str | None) -> Quality:
    """A kind that the standard has not, by its name or its text."""
    formula = _STRAY_KINDS.get(kind)
    if formula:
        return Quality.from_formula(formula)
    for text in (kind, kind_text):
        if text is None or (not text and kind):
            continue
        if text and len(text) <= 32:
            scan = Scanner(text.translate(SIGNS))
            try:
                quality = read_suffix(scan)
            except ChordSymbolError:
                continue
            if scan.done:
                return quality
    raise HarmonyError(f"kind {kind!r} names no chord")


@door
def harmony_of(
    symbol: ChordSymbol,
    /,
    *,
    style: HouseStyle = CANONICAL,
    printed_like: ChordSymbol | None = None,
) -> tuple[HarmonyParts, ...]:
    """The groups of a ``<harmony>`` for a chord symbol; two for a polychord.

    Kind and degrees say all; `kind_text` is the printed suffix, so the degrees need
    not print: the one in the style, or that of another symbol of the same quality,
    such as the source's of a transposed one.

    >>> from leadsheet_theory.chords import parse_chord
    >>> (parts,) = harmony_of(parse_chord("G7sus4"))
    >>> parts.kind, parts.kind_text, parts.degrees
    ('suspended-fourth', '7sus4', (HarmonyDegree(value=7, alter=0, type='add'),))
    >>> (parts,) = harmony_of(parse_chord("Am7"), printed_like=parse_chord("G-7"))
    >>> parts.kind_text
    '-7'
    """
    if isinstance(symbol, NoChord):
        own = printed_like.source.strip() if isinstance(printed_like, NoChord) else ""
        return (HarmonyParts(root=None, kind="none", kind_text=own or style.no_chord),)
    if isinstance(symbol, PolyChord):
        upper = lower = None
        if isinstance(printed_like, PolyChord):
            upper, lower = printed_like.upper, printed_like.lower
        return harmony_of(symbol.upper, style=style, printed_like=upper) + harmony_of(
            symbol.lower, style=style, printed_like=lower
        )
    own_suffix = None
    if isinstance(printed_like, Chord) and printed_like.quality == symbol.quality:
        own_suffix = printed_like.own_suffix
    kind, degrees = _kind_and_degrees(symbol.quality)
    inversion = None
    if symbol.bass is not None and symbol.bass in symbol.tones:
        inversion = symbol.tones.index(symbol.bass)
    return (
        HarmonyParts(
            root=symbol.root,
            kind=kind,
            kind_text=suffix_text(symbol.quality, style)
            if own_suffix is None
            else own_suffix,
            degrees=degrees,
            bass=symbol.bass,
            inversion=inversion,
            source=symbol.source,
            optional=symbol.optional,
        ),
    )


@lru_cache(maxsize=4096)
def _kind_and_degrees(quality: Quality) -> tuple[str, tuple[HarmonyDegree, ...]]:
    """The kind that says the chord with the fewest degrees, and those degrees.

    A left-out degree counts three times.  Of two equally good kinds, the one
    that alters less, then the one with more of the chord in it.
    """
    best: tuple[tuple[int, int, int], str, tuple[HarmonyDegree, ...]] | None = None
    for kind, base in KINDS.items():
        degrees = tuple(_differences(base, quality))
        types = [degree.type for degree in degrees]
        cost = len(types) + 2 * types.count("subtract")
        rank = (cost, types.count("alter"), -len(base.degrees))
        if (
            (best is None or rank < best[0])
            and _is_idiomatic(kind, degrees)
            and _quality_of_parts(kind, None, degrees) == quality
        ):
            best = (rank, kind, degrees)
    if best is not None:
        return best[1], best[2]
    added = tuple(_differences(KINDS["other"], quality))
    return "other", added


def _is_idiomatic(kind: str, degrees: tuple[HarmonyDegree, ...]) -> bool:
    """Whether a file would say it so: only fifths are altered, and a seventh is
    added only where no kind has it."""
    if kind in _WHOLE_KINDS or kind == "other":
        return not degrees and kind != "other"
    return all(
        degree.value == 5
        if degree.type == "alter"
        else degree.type == "subtract" or degree.value != 7 or kind in _TAKE_A_SEVENTH
        for degree in degrees
    )


def _differences(base: Quality, quality: Quality) -> Iterable[HarmonyDegree]:
    """The degrees that turn the chord of a kind into another."""
    for number in range(1, 14):
        have = [d.alter for d in base.degrees if d.number == number]
        want = [d.alter for d in quality.degrees if d.number == number]
        gone = [alter for alter in have if alter not in want]
        new = [alter for alter in want if alter not in have]
        if number in _REPLACED and new and 0 in have and 0 in want:  # both are wanted
            yield HarmonyDegree(number, new.pop(0), "alter")
            new.append(0)
        elif gone and new:
            yield HarmonyDegree(number, new.pop(0) - gone[0], "alter")
        elif gone:
            yield HarmonyDegree(number, 0, "subtract")
        for alter in new:
            yield HarmonyDegree(number, alter - _DOMINANT_ALTER.get(number, 0), "add")
