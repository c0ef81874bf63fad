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

from .._scan import Scanner
from ..errors import ChordSymbolError, HouseStyleError
from ..pitch import NoteName
from ._suffix import SIGNS, Pair, read_suffix
from .quality import Quality
from .roots import RootNames, root_text

__all__ = (
    "CANONICAL",
    "CAPITALS",
    "PLAIN_LETTERS",
    "STYLES",
    "SYMBOLS",
    "WORDS",
    "HouseStyle",
    "suffix_text",
)


@frozen(order=False)
class HouseStyle:
    """How to print a chord symbol.

    `major`, `minor`, `diminished`, `augmented` are the words or signs before
    a number or alone (the major triad prints nothing).  `half_diminished` is
    the sign before a number (``ø``), or ``""`` to print the minor seventh with
    a flat five.  `diminished_triad` and `diminished_seventh` print those two.
    `minor_major` joins minor and major seventh, with ``{}`` for the latter.
    `raised_seventh_chords` says whether an augmented seventh is ``7(#5)`` or
    ``+7``.  `brackets` go around alterations, or are two empty strings;
    `separator` stands between them and `descending` puts the highest first.
    `flat` and `sharp` are the signs before degrees; `accidentals` those after
    roots.

    Raises:
        HouseStyleError: if a symbol printed so would not read back.
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
        _check_readable(self)

    def root_text(self, name: NoteName, /) -> str:
        """A root or bass as this style prints it."""
        return root_text(name, names=self.roots, glyphs=self.accidentals == "glyphs")


def _alter_text(pair: Pair, style: HouseStyle) -> str:
    number, alter = pair
    sign = style.sharp if alter > 0 else style.flat
    return f"{sign * abs(alter)}{number}"


def _added_text(pair: Pair, style: HouseStyle) -> str:
    """An added degree in the form that the reader takes for it."""
    number, alter = pair
    if number == 7 and alter >= 0:
        degree = "maj7" if not alter else _alter_text((7, alter + 1), style)
    else:
        degree = _alter_text(pair, style)
    return style.add + degree


@lru_cache(maxsize=8192)
def suffix_text(quality: Quality, style: HouseStyle) -> str:
    """What follows the root, printed in a style.

    >>> half = Quality.from_formula("1 b3 b5 b7 9")
    >>> [suffix_text(half, style) for style in STYLES]
    ['m9(b5)', 'ø9', 'MI9(♭5)', 'min9b5']
    """
    left = {(degree.number, degree.alter) for degree in quality.degrees}
    if left == _ALTERED:
        return "7alt"
    if left == _PEDAL:
        return "pedal"
    omitted = [1] if (1, 0) not in left else []
    left.discard((1, 0))

    third = _first(left, (3, 0), (3, -1))
    sus = [] if third else [p for p in ((2, 0), (4, 0)) if p in left]
    left.difference_update(sus)
    if third:
        left.discard(third)
    seventh = _first(left, (7, -1), (7, 0))
    six = not seventh and (6, 0) in left
    minor = third == (3, -1)
    flat_five = (5, -1) in left and (5, 0) not in left and (5, 1) not in left
    diminished = minor and flat_five and seventh != (7, -1) and not six
    half = minor and flat_five and seventh == (7, -1)
    if diminished and (7, -2) in left:
        seventh = (7, -2)
    if seventh:
        left.discard(seventh)

    altered: list[Pair] = []
    power = False
    if (5, 0) in left:
        left.discard((5, 0))
        power = not third and not sus and not seventh and not six
    elif diminished or half:
        left.discard((5, -1))
    else:
        fifths = [p for p in ((5, -1), (5, 1)) if p in left]
        left.difference_update(fifths)
        altered += fifths
        if not fifths:
            omitted.append(5)
    if not third and not sus and not power:
        omitted.append(3)

    number, implied = _number(left, seventh, sus)
    left.difference_update(implied)
    omitted += [n for n in (11,) if number == 13 and _lacks_11(implied, left, sus)]
    if six:
        left.discard((6, 0))
    nine = six and (9, 0) in left
    if nine:
        left.discard((9, 0))

    taken = _alterations(left, number, minor, flat_five, altered)
    left.difference_update(taken)
    altered += taken

    raised = (
        altered[:1] == [(5, 1)]
        and not minor
        and not sus
        and not six
        and (seventh is None or style.augmented_sevenths == "sign")
        and (5, -1) not in altered
    )
    if raised:
        altered.remove((5, 1))
    text = _stem(
        style,
        third=third, sus=sus, seventh=seventh, number=number, six=six, nine=nine,
        diminished=diminished, half=half, raised=raised, power=power,
    )  # fmt: skip
    if half and not style.half_diminished:
        altered.insert(0, (5, -1))
    items = [_alter_text(pair, style) for pair in sorted(altered)]
    added = sorted(left)
    if seventh and style.brackets[0]:
        plain = [p for p in added if p in ((9, 0), (11, 0), (13, 0))]
    else:
        plain = []
    items += [
        _alter_text(pair, style) if pair in plain else _added_text(pair, style)
        for pair in added
    ]
    if style.descending:
        items.reverse()
    items += [f"{style.omit}{n}" for n in sorted(omitted)]
    if not items:
        return text
    opening, closing = style.brackets
    if not opening and not text and items[0][0] in "#b♯♭+-":
        opening, closing = "(", ")"
    return f"{text}{opening}{style.separator.join(items)}{closing}"


_ALTERED: Final = {(1, 0), (3, 0), (5, -1), (5, 1), (7, -1), (9, -1), (9, 1)}
_PEDAL: Final = {(1, 0)}


def _first(degrees: set[Pair], *wanted: Pair) -> Pair | None:
    return next((pair for pair in wanted if pair in degrees), None)


def _number(
    left: set[Pair], seventh: Pair | None, sus: list[Pair]
) -> tuple[int, set[Pair]]:
    """The number that a seventh chord is called by, and the degrees it implies."""
    if not seventh:
        return 0, set()
    nine = (9, 0) in left
    other_nine = bool({(9, -1), (9, 1)} & left) and not nine
    eleven = (11, 0) in left or (4, 0) in sus
    if (13, 0) in left:
        if nine:
            return 13, {(9, 0), (13, 0)} | (
                {(11, 0)} & left if (4, 0) not in sus else set()
            )
        if other_nine and (11, 0) not in left:
            return 13, {(13, 0)}
    if nine and eleven and (4, 0) not in sus:
        return 11, {(9, 0), (11, 0)}
    if nine:
        return 9, {(9, 0)}
    return 7, set()


def _lacks_11(implied: set[Pair], left: set[Pair], sus: list[Pair]) -> bool:
    return (
        (9, 0) in implied
        and (11, 0) not in implied
        and (11, 1) not in left
        and (4, 0) not in sus
    )


def _alterations(
    left: set[Pair],
    number: int,
    minor: bool,
    flat_five: bool,
    fifths: list[Pair],
) -> list[Pair]:
    """The degrees that print as alterations; the rest print with ``add``."""
    taken: list[Pair] = []
    if not number:
        return taken
    if number != 9:
        taken += [(9, -1)] if (9, -1) in left and (9, 0) not in left else []
        taken += [(9, 1)] if (9, 1) in left and (9, 0) not in left and not minor else []
    if (11, 1) in left and number != 11 and not flat_five and (5, -1) not in fifths:
        taken.append((11, 1))
    if (13, -1) in left and number != 13:
        taken.append((13, -1))
    return taken


def _stem(
    style: HouseStyle,
    *,
    third: Pair | None,
    sus: list[Pair],
    seventh: Pair | None,
    number: int,
    six: bool,
    nine: bool,
    diminished: bool,
    half: bool,
    raised: bool,
    power: bool,
) -> str:
    """The symbol up to its alterations."""
    if power:
        return "5"
    major_seventh = seventh == (7, 0)
    figure = str(number) if number else ""
    if six:
        figure = style.six_nine if nine else "6"
    if third == (3, -1):
        if diminished and seventh == (7, -2):
            return style.diminished_seventh + figure
        if half and style.half_diminished:
            return style.half_diminished + figure
        if major_seventh:
            major = style.major + figure
            if diminished:
                return f"{style.diminished_triad}({major})"
            return style.minor_major.format(major)
        if diminished:
            return style.diminished_triad
        return style.minor + figure
    stem = style.augmented if raised else ""
    stem += style.major + figure if major_seventh else figure
    if sus:
        kinds = "".join(f"{style.suspended}{n}" for n, _ in sus)
        stem += kinds
    return stem


def _check_readable(style: HouseStyle) -> None:
    """Print and read what a style must tell apart."""
    if style.minor_major.count("{}") != 1:
        raise HouseStyleError(
            f"style {style.name!r}: minor_major must hold one {{}}, "
            f"not {style.minor_major!r}"
        )
    for formula in _PROBES:
        quality = Quality.from_formula(formula)
        text = suffix_text.__wrapped__(quality, style)
        scan = Scanner(text.translate(SIGNS))
        try:
            back = read_suffix(scan)
        except ChordSymbolError as error:
            raise HouseStyleError(
                f"style {style.name!r} prints {formula} as {text!r}, "
                f"which cannot be read: {error.problem}"
            ) from None
        if back != quality or not scan.done:
            raise HouseStyleError(
                f"style {style.name!r} prints {formula} as {text!r}, "
                f"which reads as {back.formula}"
            )


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

CANONICAL: Final = HouseStyle("canonical")
"""The style of `str`: ASCII, letters, alterations in brackets."""

PLAIN_LETTERS: Final = HouseStyle("plain letters", augmented="aug")
"""Letters and ASCII signs only: ``Cmaj7 Cm7 Cm7(b5) Cdim7 Caug C7(b9)``."""

SYMBOLS: Final = HouseStyle(
    "symbols",
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
    "capitals MA and MI",
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
    "short words",
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
