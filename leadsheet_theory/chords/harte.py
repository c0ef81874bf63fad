"""The published Harte syntax for chords, both ways.

    label     = 'N' | 'X' | note [ ':' ( shorthand [ list ] | list ) ] [ '/' degree ]
    list      = '(' [ '*' ] degree { ',' [ '*' ] degree } ')'
    degree    = { 'b' | '#' } number                  '*' leaves the degree out

Source: C. Harte, M. Sandler, S. Abdallah, E. Gómez, "Symbolic representation
of musical chords: a proposed syntax for text annotations", ISMIR 2005;
C. Harte, *Towards Automatic Extraction of Harmony Information from Music
Signals*, PhD thesis, Queen Mary University of London, 2010; the shorthands as
mir_eval 0.8.2 holds them.  Degrees count in the major scale, so 7 is the major
seventh.  ``X`` is a chord that has no name in the syntax; blanks don't count.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from .._arguments import check_text
from .._doors import door
from .._scan import Scanner, nearest
from ..errors import ChordSymbolError
from ..interval import Interval
from ..pitch import NoteName
from .quality import Degree, Quality
from .symbol import Chord, ChordSymbol, NoChord, PolyChord

__all__ = ("SHORTHANDS", "harte_label", "parse_harte")

SHORTHANDS: Final[dict[str, Quality]] = {
    name: Quality.from_formula(formula)
    for name, formula in {
        "maj": "1 3 5",
        "min": "1 b3 5",
        "dim": "1 b3 b5",
        "aug": "1 3 #5",
        "7": "1 3 5 b7",
        "maj7": "1 3 5 7",
        "min7": "1 b3 5 b7",
        "dim7": "1 b3 b5 bb7",
        "hdim7": "1 b3 b5 b7",
        "minmaj7": "1 b3 5 7",
        "aug7": "1 3 #5 b7",
        "maj6": "1 3 5 6",
        "min6": "1 b3 5 6",
        "9": "1 3 5 b7 9",
        "maj9": "1 3 5 7 9",
        "min9": "1 b3 5 b7 9",
        "11": "1 3 5 b7 9 11",
        "maj11": "1 3 5 7 9 11",
        "min11": "1 b3 5 b7 9 11",
        "13": "1 3 5 b7 9 11 13",
        "maj13": "1 3 5 7 9 11 13",
        "min13": "1 b3 5 b7 9 11 13",
        "sus4": "1 4 5",
        "sus2": "1 2 5",
        "5": "1 5",
        "1": "1",
    }.items()
}
"""The shorthands, with the chord that each stands for."""

# Names that mir_eval's tables hold beside the published ones.
_READ_TOO: Final[dict[str, Quality]] = {
    name: Quality.from_formula(formula)
    for name, formula in {
        "b9": "1 3 5 b7 b9",
        "#9": "1 3 5 b7 #9",
        "#11": "1 3 5 b7 9 #11",
        "b13": "1 3 5 b7 9 11 b13",
    }.items()
}
# Shorthands that mir_eval has no bitmap for: read, but not written.
_NOT_WRITTEN: Final = frozenset({"aug7", "maj11"})
_MAX_LENGTH: Final = 80
# compound degrees that chords don't have under that number
_SIMPLE: Final = {8: 1, 10: 3, 12: 5}


def parse_harte(text: str, /) -> ChordSymbol:
    """Read a label in Harte syntax.

    A list without a shorthand holds the degrees over the root, which sounds
    too unless ``*1`` leaves it out.

    >>> [str(parse_harte(t)) for t in ("C#:min7/5", "Ab:maj(9)", "D:7(#9,*5)", "N")]
    ['C#m7/G#', 'Ab(add9)', 'D7(#9,no5)', 'N.C.']

    ``X`` is a :class:`~.symbol.NoChord` that is `unnamed`: something sounds.

    Raises:
        ChordSymbolError: if the text is no label.
    """
    check_text(text)
    if len(text) > _MAX_LENGTH:
        raise ChordSymbolError(
            "too long for a chord label",
            text=text,
            start=_MAX_LENGTH,
            end=len(text),
            expected=f"at most {_MAX_LENGTH} characters",
        )
    compact = "".join(text.split())
    if compact in ("N", "X"):
        return NoChord(text, unnamed=compact == "X")
    try:
        return _label(Scanner(compact), text)
    except ChordSymbolError as error:
        if compact == text:
            raise
        places = [at for at, sign in enumerate(text) if not sign.isspace()]
        places.append(len(text))
        raise ChordSymbolError(
            error.problem,
            text=text,
            start=places[min(error.start, len(places) - 1)],
            end=places[max(0, min(error.end - 1, len(places) - 1))] + 1,
            expected=error.expected,
            suggestion=error.suggestion,
        ) from None


def _label(scan: Scanner, text: str) -> Chord:
    root = _note(scan)
    degrees = set(SHORTHANDS["maj"].degrees)
    if scan.take(":"):
        start = scan.at
        word = scan.take_while("abcdefghijklmnopqrstuvwxyz#0123456789")
        base = SHORTHANDS.get(word or "1") or _READ_TOO.get(word)
        if base is None:
            likely = nearest(word, SHORTHANDS, within=2)
            raise ChordSymbolError(
                "no such shorthand",
                text=scan.text,
                start=start,
                end=scan.at,
                expected="a shorthand such as maj7 or min",
                suggestion=f"{root}:{likely}" if likely else "",
            )
        degrees = set(base.degrees)
        if scan.peek() == "(":
            _degree_list(scan, degrees)
        elif not word:
            raise _wrong(scan, "a shorthand or a list of degrees")
    bass = None
    if scan.take("/"):
        number, alter = _degree(scan)
        natural = Degree(number).interval
        bass = root + Interval(natural.diatonic, natural.chromatic + alter)
    if not scan.done:
        raise _wrong(scan, "the end")
    return Chord(root, Quality(degrees), bass, text)


@door
def harte_label(symbol: ChordSymbol, /) -> str:
    """A chord symbol as a label in Harte syntax, with the nearest shorthand; that a
    chord is optional the syntax cannot say.

    >>> from leadsheet_theory.chords import parse_chord
    >>> [harte_label(parse_chord(t)) for t in ("Cm9", "F#7b9/E", "Bb6/9", "E7alt")]
    ['C:min9', 'F#:7(b9)/b7', 'Bb:maj6(9)', 'E:7(*5,b5,#5,b9,#9)']

    Raises:
        ChordSymbolError: for a polychord, which the syntax cannot say.
    """
    if isinstance(symbol, NoChord):
        return "X" if symbol.unnamed else "N"
    if isinstance(symbol, PolyChord):
        text = str(symbol)
        raise ChordSymbolError(
            "a polychord has no Harte label",
            text=text,
            start=text.index("|"),
            expected="one chord",
        )
    label = f"{symbol.root}:{_quality_label(symbol.quality)}"
    if symbol.bass is not None:
        up = Interval.between_names(symbol.root, symbol.bass)
        degree = Degree(up.diatonic + 1)
        alter = up.chromatic - degree.semitones
        label += f"/{'#' * alter if alter > 0 else 'b' * -alter}{degree}"
    return label


@lru_cache(maxsize=2048)
def _quality_label(quality: Quality) -> str:
    """The shorthand with the fewest degrees beside it, preferably with the right
    seventh."""
    best = ""
    fewest: tuple[int, int] | None = None
    wanted = set(quality.degrees)
    for name, base in SHORTHANDS.items():
        if name in _NOT_WRITTEN:
            continue
        have = set(base.degrees)
        sevenths = {d for d in have ^ wanted if d.number == 7}
        count = (
            len(have ^ wanted) + len(have - wanted) + 2 * len(sevenths),
            -len(have),
        )
        if fewest is None or count < fewest:
            fewest = count
            gone = [f"*{d}" for d in base.degrees if d not in wanted]
            new = [str(d) for d in quality.degrees if d not in have]
            best = name + (f"({','.join(gone + new)})" if gone or new else "")
    return best


def _note(scan: Scanner) -> NoteName:
    """note = letter { 'b' } | letter { '#' }, at most seven signs"""
    start = scan.at
    letter = scan.take("A", "B", "C", "D", "E", "F", "G")
    signs = scan.take_while("b") or scan.take_while("#")
    if not letter or len(signs) > 7:
        raise ChordSymbolError(
            "no root" if not letter else "too many accidentals",
            text=scan.text,
            start=start,
            end=scan.at,
            expected="a note A to G, or N for no chord",
        )
    return NoteName.parse(letter + signs)


def _degree_list(scan: Scanner, degrees: set[Degree]) -> None:
    """list = '(' [ '*' ] degree { ',' [ '*' ] degree } ')'"""
    scan.take("(")
    while True:
        gone = scan.take("*")
        number, alter = _degree(scan)
        if abs(alter) > 3:
            raise _wrong(scan, "at most three accidentals")
        degree = Degree(number, alter)
        if gone:
            degrees.discard(degree)
        else:
            degrees.add(degree)
        if scan.take(")"):
            return
        if not scan.take(","):
            raise _wrong(scan, "',' or ')'")


def _degree(scan: Scanner) -> tuple[int, int]:
    """degree = { 'b' | '#' } number; its number and alteration"""
    start = scan.at
    signs = scan.take_while("b") or scan.take_while("#")
    digits = scan.take_while("0123456789")
    number = int(digits) if digits and len(digits) < 3 else 0
    number = _SIMPLE.get(number, number)
    if not 1 <= number <= 13 or len(signs) > 14:
        scan.at = start
        raise _wrong(scan, "a degree 1 to 13")
    return number, len(signs) * (-1 if signs[:1] == "b" else 1)


def _wrong(scan: Scanner, expected: str) -> ChordSymbolError:
    return ChordSymbolError(
        "not a chord label",
        text=scan.text,
        start=scan.at,
        end=len(scan.text),
        expected=expected,
    )
