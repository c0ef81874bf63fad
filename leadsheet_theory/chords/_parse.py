"""Reading chord symbols.

    symbol   = no chord | chord [ '|' chord ] | '(' chord ')' | '[' chord ']'
    chord    = root suffix [ under ]
    root     = letter [ '#' | '##' | 'x' | 'b' | 'bb' ]
    under    = '/' bass [ 'bass' ] | 'on' bass | '(' bass 'bass' ')'
             | '(' 'bass' bass ')'
    bass     = root, its letter small or large

A chord in brackets is an optional one.

A suffix that stands in :data:`~leadsheet_theory.chords.table.FORMS` is looked
up; any other is read by the grammar in
:mod:`~leadsheet_theory.chords._suffix`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import lru_cache, partial
from typing import Final, TypeVar, cast

from attrs import evolve, frozen

from .._arguments import check_text
from .._scan import Scanner, nearest
from ..errors import ChordSymbolError
from ..pitch import NoteName
from ._shape import may_be_symbol
from ._suffix import DANGLING_SIGN, read_suffix
from ._words import CLOSING, SIGNS
from .quality import Quality
from .roots import ROOT_NAMES, RootNames, roots_in
from .styles import CANONICAL, HouseStyle
from .symbol import Chord, ChordSymbol, NoChord, PolyChord
from .table import NO_CHORD_TEXTS, PRINTED_FORMS

__all__ = ("ChordReading", "parse_chord", "parse_symbol", "read_chord")

MAX_LENGTH: Final = 120

Names = dict[str, NoteName]
_Function = TypeVar("_Function", bound=Callable[..., object])

_LETTERS: Final[Names] = roots_in("letters")
_LONGEST_LETTER: Final = 3
_LONGEST_NAME: Final = 5
_FORMS: Final = {form.translate(SIGNS): q for form, q in PRINTED_FORMS.items()}


def _names_of(roots: RootNames) -> Names:
    return _LETTERS if roots == "letters" else roots_in(roots)


def _remembered(function: _Function) -> _Function:
    """The function with its last results kept; for pure functions of a text."""
    return cast(_Function, lru_cache(maxsize=4096)(function))


@_remembered
def parse_chord(text: str, /, *, roots: RootNames = "letters") -> Chord:
    """Read the symbol of one chord as any lead sheet prints it.

    :func:`parse_symbol` reads whatever stands among the chord symbols, polychords
    and N.C. too.

    >>> [str(parse_chord(t)) for t in ("C-7", "B♭△", "E7(♯9,♭13)", "D/F♯")]
    ['Cm7', 'Bbmaj7', 'E7(#9,b13)', 'D/F#']
    >>> str(parse_chord("Fis7/Ais", roots="german").root)
    'F#'

    Args:
        text: the symbol; blanks in and around it don't count.
        roots: what the roots are called: letters, German names or solfège.

    Raises:
        ChordSymbolError: if the text is anything else, with the place, what was
            expected there and the nearest good reading.
    """
    symbol = parse_symbol(text, roots=roots)
    if isinstance(symbol, Chord):
        return symbol
    none = isinstance(symbol, NoChord)
    raise ChordSymbolError(
        "no chord is played here" if none else "two chords",
        text=text,
        start=0 if none else text.index("|"),
        end=len(text),
        expected="one chord (parse_symbol reads N.C. and polychords too)",
        suggestion="" if none else text.partition("|")[0].strip(),
    )


@_remembered
def parse_symbol(text: str, /, *, roots: RootNames = "letters") -> ChordSymbol:
    """Read what may stand among the chord symbols of a lead sheet: a chord, a
    polychord (``D|C7`` is D over C7) or N.C.

    >>> [str(parse_symbol(t)) for t in ("Bb-7", "D | C7", "n.c.")]
    ['Bbm7', 'D|C7', 'N.C.']

    Where handbooks read a symbol in two ways, one documented rule decides, and
    :attr:`Chord.ambiguities <.symbol.Chord.ambiguities>` holds the other.

    Args:
        text: the symbol; blanks in and around it don't count.
        roots: what the roots are called: letters, German names or solfège.

    Raises:
        ChordSymbolError: if the text is anything else, with the place, what was
            expected there and the nearest good reading.
    """
    names = _names_of(roots)
    check_text(text)
    if names is _LETTERS and len(text) <= MAX_LENGTH:
        chord = _in_table(text)
        if chord is not None:
            return chord
        if not may_be_symbol(text):
            raise ChordSymbolError.told_later(partial(_refusal, text, roots))
    try:
        return _symbol(text, names)
    except ChordSymbolError as error:
        _tell_of(error, text, roots)
        raise


def _in_table(text: str) -> Chord | None:
    """The chord of a letter and a form of the table, with nothing about it."""
    plain = text if text.isascii() else text.translate(SIGNS)
    for width in (3, 2, 1):
        root = _LETTERS.get(plain[:width])
        if root is not None:
            suffix = plain[width:]
            quality = _FORMS.get(suffix)
            if quality is not None:
                return Chord(root, quality, None, text)
            found = _with_bass(suffix, _LETTERS)
            return None if found is None else Chord(root, *found, text)
    return None


def _refusal(text: str, roots: RootNames) -> ChordSymbolError:
    """What is wrong with a text that is not even made like a symbol."""
    try:
        symbol = _symbol(text, _names_of(roots))
    except ChordSymbolError as error:
        _tell_of(error, text, roots)
        return error
    raise AssertionError(f"{symbol!r} is not made like a symbol")


def _tell_of(error: ChordSymbolError, text: str, roots: RootNames) -> None:
    """Tell of the whole text, and, when asked for it, of the nearest good reading."""
    error.tell_of(text, partial(_suggestion, text, error.problem, error.start, roots))


@frozen(order=False)
class ChordReading:
    """What could be read of a text that should be a chord symbol.

    Without an `error`, `symbol` is the chord symbol.  Beside an error it is the
    part before the error that is a symbol by itself, or None.
    """

    text: str
    symbol: ChordSymbol | None
    error: ChordSymbolError | None = None


def read_chord(text: str, /, *, roots: RootNames = "letters") -> ChordReading:
    """Read a chord symbol, with the error, if any, as a value; for catalogues.

    >>> reading = read_chord("Cm7(b5")
    >>> print(reading.symbol, reading.error.problem, reading.error.suggestion)
    Cm7 bracket not closed Cm7(b5)
    """
    try:
        return ChordReading(text, parse_symbol(text, roots=roots))
    except ChordSymbolError as error:
        good = text[: error.start].rstrip(" (,/|") if len(text) <= MAX_LENGTH else ""
        readable = _readable(good, _names_of(roots))
        return ChordReading(text, readable, error)


def _symbol(text: str, names: Names) -> ChordSymbol:
    """symbol = no chord | chord [ '|' chord ]"""
    if len(text) > MAX_LENGTH:
        raise ChordSymbolError(
            "too long for a chord symbol",
            text=text,
            start=MAX_LENGTH,
            end=len(text),
            expected=f"at most {MAX_LENGTH} characters",
        )
    plain = text if text.isascii() else text.translate(SIGNS)
    body = plain.strip()
    if not body:
        raise ChordSymbolError(
            "nothing to read", text=text, start=0, expected="a chord symbol"
        )
    if body in NO_CHORD_TEXTS:
        return NoChord(text)
    start = 0 if body is plain else len(plain) - len(plain.lstrip())
    if body[0] in CLOSING:
        inner = _unbracketed(body)
        if inner is not None:
            start += body.index(inner)
            return evolve(_chord(inner, start, text, names, text), optional=True)
    if "|" not in body:
        return _chord(body, start, text, names, text)
    above, _, below = body.partition("|")
    upper = _chord(above.rstrip(), start, text, names, above.rstrip())
    start += len(above) + 1 + len(below) - len(below.lstrip())
    return PolyChord(
        upper, _chord(below.lstrip(), start, text, names, below.lstrip()), text
    )


def _unbracketed(body: str) -> str | None:
    """What stands in the brackets around a text, or None if they don't go around it."""
    closing = CLOSING[body[0]]
    if body[-1] != closing:
        return None
    open_brackets = 0
    for at, sign in enumerate(body):
        open_brackets += (sign == body[0]) - (sign == closing)
        if not open_brackets and at < len(body) - 1:
            return None
    return body[1:-1].strip() or None


def _chord(body: str, offset: int, text: str, names: Names, source: str) -> Chord:
    """chord = root suffix [ '/' bass ]; of two roots that fit, the longer

    A letter takes every accidental behind it; only among German names and
    syllables is a shorter root tried (``Asus4`` is A, not As).
    """
    letters = names is _LETTERS
    first: ChordSymbolError | None = None
    width = _LONGEST_LETTER if letters else _LONGEST_NAME
    while width:
        root = names.get(body[:width])
        if root is not None and width <= len(body):
            try:
                quality, bass = _after_root(body[width:], names)
            except ChordSymbolError as error:
                error.start += offset + width
                error.end += offset + width
                if letters:
                    raise
                first = first or error
            else:
                return Chord(root, quality, bass, source)
        width -= 1
    raise first or ChordSymbolError(
        "no root", text=text, start=offset, expected="a root: a letter A to G"
    )


def _after_root(suffix: str, names: Names) -> tuple[Quality, NoteName | None]:
    """suffix [ '/' bass [ 'bass' ] ]"""
    quality = _FORMS.get(suffix)
    if quality is not None:
        return quality, None
    found = _with_bass(suffix, names)
    if found is not None:
        return found
    under = _UNDER.search(suffix) if "on" in suffix or "bass" in suffix else None
    if under is not None and "/" not in suffix:
        bass = _bass(next(filter(None, under.groups())), names)
        if bass is not None:
            return _after_root(suffix[: under.start()], names)[0], bass
    return _by_grammar(suffix, names)


def _with_bass(suffix: str, names: Names) -> tuple[Quality, NoteName] | None:
    """A form of the table and a bass."""
    head, slash, word = suffix.rpartition("/")
    bass = names.get(word) if slash else None
    quality = None if bass is None else _FORMS.get(head)
    return None if bass is None or quality is None else (quality, bass)


# a bass in words, behind the rest of a symbol
_UNDER: Final = re.compile(
    r"\s*(?:\(\s*bass\s+(\S+)\s*\)|\(\s*(\S+)\s+bass\s*\)|\(?\s*\bon\s+([^\s)]+)\s*\)?)$"
)


def _bass(word: str, names: Names) -> NoteName | None:
    """A bass: a note name, whose letter may be small."""
    return names.get(word) or names.get(word[:1].upper() + word[1:])


def _by_grammar(suffix: str, names: Names) -> tuple[Quality, NoteName | None]:
    """A suffix that the table has not, perhaps with a bass."""
    blanks = " " in suffix
    at = suffix.find("1 ")
    if (
        blanks
        and at >= 0
        and suffix[at + 2 :].lstrip()[:1].isdigit()
        and (not suffix[:at][-1:].isdigit())
    ):
        raise ChordSymbolError(
            "a number with a blank in it",
            text=suffix,
            start=at,
            end=at + 3,
            expected="11 or 13",
        )
    compact = _numbers_in_words(suffix.replace(" ", "") if blanks else suffix)
    head, slash, word = compact.rpartition("/")
    bass = _bass(word.removesuffix("bass"), names) if slash else None
    scan = Scanner(compact if bass is None else head)
    try:
        quality = read_suffix(scan)
        if not scan.done:
            raise _no_bass(scan)
        return quality, bass
    except ChordSymbolError as error:
        if not blanks:
            raise
        places = [at for at, sign in enumerate(suffix) if sign != " "]
        places.append(len(suffix))
        raise ChordSymbolError(
            error.problem,
            text=suffix,
            start=places[min(error.start, len(places) - 1)],
            end=places[min(error.end - 1, len(places) - 1)] + 1,
            expected=error.expected,
        ) from None


_NUMBER_WORDS: Final = {
    "sixth": "6", "6th": "6", "seventh": "7", "7th": "7", "ninth": "9", "9th": "9",
    "eleventh": "11", "11th": "11", "thirteenth": "13", "13th": "13",
}  # fmt: skip


def _numbers_in_words(suffix: str) -> str:
    """``diminished seventh`` as ``diminished7``, where a suffix ends so."""
    if not suffix.endswith("th"):
        return suffix
    for word, number in _NUMBER_WORDS.items():
        if suffix.endswith(word) and not suffix[: -len(word)][-1:].isdigit():
            return suffix[: -len(word)] + number
    return suffix


def _no_bass(scan: Scanner) -> ChordSymbolError:
    """The error where something that is no note name follows a slash."""
    start = scan.at + 1
    return ChordSymbolError(
        "not a bass note" if scan.text[start:] else "no bass note after the slash",
        text=scan.text,
        start=start,
        end=len(scan.text),
        expected="one note name",
    )


def _suggestion(text: str, problem: str, start: int, roots: RootNames) -> str:
    """The nearest good reading of a text that failed, or ``""``.

    First the usual slips, then the printed form with the fewest edits, then the
    part that could be read.
    """
    if len(text) > MAX_LENGTH:
        return ""
    names = _names_of(roots)
    short = text.strip()
    for attempt in _mended(short):
        if attempt != text and _readable(attempt, names):
            return attempt
    as_triangle = _readable(short.replace("^", "Δ"), names)
    for symbol in (as_triangle, *(_readable(short, _names_of(n)) for n in ROOT_NAMES)):
        if symbol is not None:
            return symbol.text(_canonical_in(roots))
    plain = short.translate(SIGNS)
    for width in range(min(_LONGEST_NAME, len(plain)), 0, -1):
        if plain[:width] in names:
            suffix = plain[width:]
            alike = sorted(
                (form for form in _FORMS if form[:1] == suffix[:1]),
                key=lambda form: abs(len(form) - len(suffix)),
            )
            likely = nearest(suffix, alike, within=min(2, len(suffix) // 2))
            if (
                likely
                and problem != DANGLING_SIGN
                and _figures(likely) == _figures(suffix)
            ):
                return short[:width] + likely
            break
    good = text[:start].strip().rstrip("(,/|-")
    return good if _readable(good, names) and not _says_more(text, good) else ""


def _figures(suffix: str) -> str:
    """The numbers of a suffix and the signs before them: what another reading must
    keep."""
    return "".join(re.findall(r"\d+|[#b+-](?=\d)", suffix))


def _says_more(text: str, good: str) -> bool:
    """Whether what is left out of a text says something: a number, a second chord, a
    bass, or the rest of a word."""
    left = text.strip()[len(good) :].strip(" /|")
    return (
        any(sign.isdigit() or sign in "ABCDEFG/|" for sign in left.translate(SIGNS))
        or (good[-1:].isalpha() and left[:1].isalpha())
        or left.startswith(("on ", "bass", "over "))
    )


@lru_cache(maxsize=3)
def _canonical_in(roots: RootNames) -> HouseStyle:
    return evolve(CANONICAL, roots=roots)


def _mended(text: str) -> Iterator[str]:
    """A text with one of the usual slips undone."""
    if text.startswith("["):
        yield text.strip("[]")
    if text.count("(") > text.count(")"):
        yield text + ")"
    elif text.endswith(")"):
        yield text[:-1]
    yield text[:1].upper() + text[1:]
    if text.startswith(("#", "b", "♯", "♭")):
        yield text[1:2] + text[0] + text[2:]
    head, slash, tail = text.rpartition("/")
    if slash:
        yield f"{head}/{tail[:1].upper()}{tail[1:]}"
        yield f"{head}|{tail}"
        yield f"{head.rstrip('/')}/{tail}"


def _readable(text: str, names: Names) -> ChordSymbol | None:
    """The symbol that a text is, or None."""
    try:
        return _symbol(text, names)
    except ChordSymbolError:
        return None
