"""House styles: how a chart prints its chord symbols.

A style is a value that names, for each thing a symbol can say, how it looks.
Four come with the library; any other is made with its fields, and one whose
symbols would not read back as what they mean is refused.

Sources: the forms are those of the published symbols in the tables of
:mod:`~leadsheet_theory.chords.table`; that :data:`CAPITALS` follows the
recommendation of Brandt and Roemer, *Standardized Chord Symbol Notation*
(Roerick Music, 1976), is from memory.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final, Literal

from attrs import frozen

from .._arguments import check_choice
from .._printed import Told
from .._scan import Scanner
from ..errors import ChordSymbolError, HouseStyleError
from ..pitch import NoteName
from ._anatomy import Anatomy, anatomy
from ._suffix import read_suffix
from ._words import SIGNS, Pair
from .quality import Quality
from .roots import ROOT_NAMES, RootNames, root_text, roots_in
from .table import NO_CHORD_TEXTS

__all__ = (
    "CANONICAL",
    "CAPITALS",
    "PLAIN_LETTERS",
    "STYLES",
    "SYMBOLS",
    "WORDS",
    "HouseStyle",
    "PrintStyle",
    "printed_suffix",
    "suffix_text",
)


@frozen(order=False, repr=False, kw_only=True)
class HouseStyle(Told):
    """How to print a chord symbol.

    `major`, `minor`, `augmented`, `suspended` are the words or signs before
    a number or alone (the major triad prints nothing).  `half_diminished` is
    the sign before a number (``ø``), or ``""`` to print the minor seventh with
    a flat five.  `diminished_triad` and `diminished_seventh` print those two.
    `minor_major` joins minor and major seventh, with ``{}`` for the latter.
    `augmented_sevenths` says whether an augmented seventh is ``7(#5)``
    ("alteration") or ``+7`` ("sign").  `six_nine` is the figure of the six-nine
    chord; `add` and `omit` stand before notes added and left out.  `brackets` go
    around alterations, or are two empty strings; `separator` stands between them
    and `descending` puts the highest first.  `flat` and `sharp` are the signs
    before degrees; `accidentals` those after roots, whose names are `roots`.
    `slash` stands before a bass, `polychord` between two chords, and `no_chord`
    where none is played.

    Raises:
        HouseStyleError: if a symbol printed so would not read back.
        ChoiceError: if `augmented_sevenths`, `accidentals` or `roots` is none of
            its words.
    """

    name: str
    major: str = "maj"
    minor: str = "m"
    minor_major: str = "m({})"
    diminished_triad: str = "dim"
    diminished_seventh: str = "dim"
    half_diminished: str = ""
    augmented: str = "+"
    augmented_sevenths: Literal["alteration", "sign"] = "alteration"
    suspended: str = "sus"
    six_nine: str = "6/9"
    add: str = "add"
    omit: str = "no"
    brackets: tuple[str, str] = ("(", ")")
    separator: str = ","
    descending: bool = False
    flat: str = "b"
    sharp: str = "#"
    accidentals: Literal["ascii", "glyphs"] = "ascii"
    slash: str = "/"
    polychord: str = "|"
    no_chord: str = "N.C."
    roots: RootNames = "letters"

    def __attrs_post_init__(self) -> None:
        sevenths = ("alteration", "sign")
        check_choice("augmented_sevenths", self.augmented_sevenths, sevenths)
        check_choice("accidentals", self.accidentals, ("ascii", "glyphs"))
        check_choice("roots", self.roots, ROOT_NAMES)
        _check_readable(self)

    def __str__(self) -> str:
        return self.name

    def root_text(self, name: NoteName, /) -> str:
        """A root or bass as this style prints it."""
        return root_text(name, names=self.roots, glyphs=self.accidentals == "glyphs")


PrintStyle = HouseStyle | Literal["as printed"]
"""How the chord symbols of a page are printed: in a house style, or each with the text
that its source has."""


@lru_cache(maxsize=8192)
def suffix_text(quality: Quality, style: HouseStyle, /) -> str:
    """What follows the root, printed in a style.

    >>> half = Quality.from_formula("1 b3 b5 b7 9")
    >>> [suffix_text(half, style) for style in STYLES]
    ['m9(b5)', 'ø9', 'MI9(♭5)', 'min9b5']
    """
    parts = anatomy(quality)
    altered = list(parts.altered)
    by_sign = (
        (5, 1) in altered
        and (5, -1) not in altered
        and parts.family == "major"
        and not parts.suspended
        and (not parts.number or _seventh_by_sign(parts, style))
    )
    if by_sign:
        altered.remove((5, 1))
    if parts.family == "half-diminished" and not style.half_diminished:
        altered.insert(0, (5, -1))
    stem = (style.augmented if by_sign else "") + _stem(parts, style)
    items = [_degree_text(pair, style) for pair in altered]
    items += [_added_text(pair, parts, style) for pair in parts.added]
    if style.descending:
        items.reverse()
    items += [f"{style.omit}{number}" for number in parts.omitted]
    if not items:
        return stem
    opening, closing = style.brackets
    if not opening and not stem and altered:
        opening, closing = "(", ")"  # the sign would belong to the root
    return f"{stem}{opening}{style.separator.join(items)}{closing}"


@lru_cache(maxsize=4096)
def printed_suffix(
    text: str, root: NoteName, quality: Quality, bass: NoteName | None, /
) -> str | None:
    """What a printed symbol has between root and bass, or None if it is no text for a
    chord of that quality.

    >>> seventh = Quality.from_formula("1 3 5 b7")
    >>> printed_suffix("Ab7", NoteName.parse("Ab"), seventh, None)
    '7'
    """
    printed = text.strip()
    plain = printed.translate(SIGNS)
    for names in map(roots_in, ROOT_NAMES):
        head, slash, word = plain.rpartition("/")
        end = len(head) if bass and slash and names.get(word) == bass else len(plain)
        for start in range(1, end + 1):
            if names.get(plain[:start]) == root:
                scan = Scanner(plain[start:end].replace(" ", ""))
                if _reads_as(scan, quality):
                    return printed[start:end].strip()
    return None


def _reads_as(scan: Scanner, quality: Quality) -> bool:
    try:
        return read_suffix(scan) == quality and scan.done
    except ChordSymbolError:
        return False


def _seventh_by_sign(parts: Anatomy, style: HouseStyle) -> bool:
    return style.augmented_sevenths == "sign" and parts.number > 6


def _stem(parts: Anatomy, style: HouseStyle) -> str:
    """The symbol up to its alterations."""
    figure = str(parts.number) if parts.number else ""
    if parts.number == 6:
        figure = style.six_nine if parts.nine else "6"
    major = style.major + figure
    has_major_seventh = parts.number > 6 and parts.seventh == 0
    match parts.family:
        case "altered":
            return "7alt"
        case "pedal":
            return "pedal"
        case "power":
            return "5"
        case "half-diminished":
            return (style.half_diminished or style.minor) + figure
        case "diminished" if has_major_seventh:
            return f"{style.diminished_triad}({major})"
        case "diminished":
            return (
                style.diminished_seventh + figure if figure else style.diminished_triad
            )
        case "minor" if has_major_seventh:
            return style.minor_major.format(major)
        case "minor":
            return style.minor + figure
    sus = "".join(f"{style.suspended}{number}" for number in parts.suspended)
    return (major if has_major_seventh else figure) + sus


def _degree_text(pair: Pair, style: HouseStyle) -> str:
    number, alter = pair
    return f"{(style.sharp if alter > 0 else style.flat) * abs(alter)}{number}"


def _added_text(pair: Pair, parts: Anatomy, style: HouseStyle) -> str:
    """An added degree: ``add9``, or on a seventh chord in brackets ``13``.

    A sharp seventh is the major one, so that it says what ``m#7`` says.
    """
    number, alter = pair
    natural_tension = not alter and number in (9, 11, 13)
    beside_altered = any(number == other for other, _ in parts.altered)
    if (
        natural_tension
        and parts.number > 6
        and style.brackets[0]
        and not beside_altered
    ):
        return str(number)
    if pair == (7, 0):
        return f"{style.add}maj7"
    if number == 7 and alter > 0:
        alter += 1
    return style.add + _degree_text((number, alter), style)


def _check_readable(style: HouseStyle) -> None:
    """Print and read what a style must tell apart."""
    for what, said, known in (
        ("no_chord", style.no_chord, NO_CHORD_TEXTS),
        ("slash", style.slash.translate(SIGNS), {"/"}),
        ("polychord", style.polychord.strip(), {"|"}),
    ):
        if said not in known:
            raise HouseStyleError(
                f"style {style.name!r}: {what} {said!r} cannot be read: expected "
                f"{' or '.join(sorted(known))}"
            )
    if style.minor_major.count("{}") != 1:
        raise HouseStyleError(
            f"style {style.name!r}: minor_major must hold one {{}}, "
            f"not {style.minor_major!r}"
        )
    for formula in _PROBES:
        quality = Quality.from_formula(formula)
        text = suffix_text.__wrapped__(quality, style)
        try:
            back, whole = _meaning(text)
        except ChordSymbolError as error:
            raise HouseStyleError(
                f"style {style.name!r} prints {formula} as {text!r}, "
                f"which cannot be read: {error.problem}"
            ) from None
        if back != quality or not whole:
            raise HouseStyleError(
                f"style {style.name!r} prints {formula} as {text!r}, "
                f"which reads as {back.formula}"
            )


@lru_cache(maxsize=1024)
def _meaning(suffix: str) -> tuple[Quality, bool]:
    """What a printed suffix reads as, and whether all of it was read."""
    scan = Scanner(suffix.translate(SIGNS).replace(" ", ""))
    return read_suffix(scan), scan.done


_PROBES: Final = (
    "1 3 5", "1 b3 5", "1 b3 b5", "1 3 #5", "1 4 5", "1 2 5", "1 2 4 5", "1 5",
    "1 3 5 6", "1 b3 5 6", "1 3 5 6 9", "1 b3 5 6 9", "1 3 5 9", "1 b3 5 9",
    "1 3 5 7", "1 3 5 b7", "1 b3 5 b7", "1 b3 5 7", "1 b3 b5 b7", "1 b3 b5 bb7",
    "1 b3 b5 7", "1 3 #5 b7", "1 3 b5 b7", "1 3 #5 7", "1 3 b5 7", "1 b3 b5 bb7 7",
    "1 3 5 7 9", "1 3 5 b7 9", "1 b3 5 b7 9", "1 b3 5 7 9", "1 b3 b5 b7 9",
    "1 b3 b5 bb7 9", "1 3 5 b7 9 11", "1 3 5 b7 9 11 13", "1 3 5 b7 b9 13",
    "1 3 5 b7 9 #11 13", "1 3 5 b7 9 13", "1 3 5 b7 13", "1 3 #5 b7 b9",
    "1 3 b5 b7 #9", "1 4 5 b7", "1 4 5 b7 9", "1 4 5 b7 9 13", "1 4 5 b7 b9",
    "1 2 5 b7", "1 3 5 b7 #9 #11 b13", "1 3 5 7 9 #11", "1 3 #11", "1 b7", "1 3 b7",
    "1 3 b5 #5 b7 b9 #9", "1 3 5 #11", "1 3 b5", "1 b3 #5", "1", "1 4 5 7",
)  # fmt: skip

CANONICAL: Final = HouseStyle(name="canonical")
"""The style of `str`: ASCII, letters, alterations in brackets."""

PLAIN_LETTERS: Final = HouseStyle(name="plain letters", augmented="aug")
"""Letters and ASCII signs only: ``Cmaj7 Cm7 Cm7(b5) Cdim7 Caug C7(b9)``."""

SYMBOLS: Final = HouseStyle(
    name="symbols",
    major="Δ",
    minor="-",
    minor_major="-{}",
    diminished_triad="°",
    diminished_seventh="°",
    half_diminished="ø",
    augmented="+",
    augmented_sevenths="sign",
    brackets=("(", ")"),
    flat="♭",
    sharp="♯",
    accidentals="glyphs",
)
"""Signs for words: ``CΔ7 C-7 Cø7 C°7 C+7 C7(♭9)``."""

CAPITALS: Final = HouseStyle(
    name="capitals MA and MI",
    major="MA",
    minor="MI",
    minor_major="MI({})",
    diminished_triad="dim",
    diminished_seventh="°",
    augmented="+",
    suspended="SUS",
    flat="♭",
    sharp="♯",
    accidentals="glyphs",
)
"""Capitals: ``CMA7 CMI7 CMI7(♭5) C°7 C+ C7(♭9) C7SUS4``."""

WORDS: Final = HouseStyle(
    name="short words",
    major="Maj",
    minor="min",
    minor_major="min({})",
    augmented="aug",
    brackets=("", ""),
    separator="",
)
"""Words without brackets: ``CMaj7 Cmin7 Cmin7b5 Cdim7 Caug C7b9#11``."""

STYLES: Final = (PLAIN_LETTERS, SYMBOLS, CAPITALS, WORDS)
"""The four styles that come with the library."""
