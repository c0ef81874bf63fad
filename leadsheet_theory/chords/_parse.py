"""Reading chord symbols.

    symbol   = no chord | chord [ '|' chord ]
    chord    = root suffix [ '/' bass [ 'bass' ] ]
    root     = letter [ '#' | '##' | 'x' | 'b' | 'bb' ]
    bass     = root

The suffix has its own grammar in :mod:`~leadsheet_theory.chords._suffix`.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import Final

from .._scan import Scanner, nearest
from ..errors import ChordSymbolError
from ..pitch import NoteName
from ._suffix import SIGNS, read_suffix
from .quality import Quality
from .roots import RootNames, roots_in
from .symbol import Chord, ChordSymbol, NoChord, PolyChord

__all__ = ("parse_chord", "read_chord")

MAX_LENGTH: Final = 64
_NO_CHORD: Final = frozenset(
    {"N.C.", "N.C", "NC", "N", "n.c.", "nc", "no chord", "No chord", "No Chord",
     "NO CHORD", "(N.C.)", "(NC)", "NC."}
)  # fmt: skip


def _read(text: str, /, *, roots: RootNames = "letters") -> ChordSymbol:
    """Read a chord symbol as any lead sheet prints it.

    >>> [str(parse_chord(t)) for t in ("C-7", "B♭△", "E7(♯9,♭13)", "D/F♯", "N.C.")]
    ['Cm7', 'Bbmaj7', 'E7(#9,b13)', 'D/F#', 'N.C.']

    Equal texts give the same value, from a cache of bounded size.

    Args:
        text: the symbol; blanks around it don't count.
        roots: what the roots are called: letters, German names or solfège.

    Raises:
        ChordSymbolError: if the text is anything else, with the place, what was
            expected there and the nearest good reading.
    """
    try:
        return _symbol(text, roots)
    except ChordSymbolError as error:
        raise ChordSymbolError(
            error.problem,
            text=text,
            start=error.start,
            end=error.end,
            expected=error.expected,
            suggestion=_suggestion(text, error, roots),
        ) from None


parse_chord: Callable[..., ChordSymbol] = lru_cache(maxsize=4096)(_read)


def read_chord(
    text: str, /, *, roots: RootNames = "letters"
) -> ChordSymbol | ChordSymbolError:
    """Read a chord symbol, or return (not raise) the error; for catalogues.

    >>> str(read_chord("CMaj7")), read_chord("Cmay7").suggestion
    ('Cmaj7', 'Cmaj7')
    """
    try:
        return parse_chord(text, roots=roots)
    except ChordSymbolError as error:
        return error


def _symbol(text: str, roots: RootNames) -> ChordSymbol:
    """symbol = no chord | chord [ '|' chord ]"""
    if len(text) > MAX_LENGTH:
        raise ChordSymbolError(
            "too long for a chord symbol",
            text=text,
            start=MAX_LENGTH,
            end=len(text),
            expected=f"at most {MAX_LENGTH} characters",
        )
    names = roots_in(roots)
    plain = text if text.isascii() else text.translate(SIGNS)
    start, end = 0, len(plain)
    if plain[:1].isspace() or plain[-1:].isspace():
        end = len(plain.rstrip())
        start = len(plain) - len(plain.lstrip())
    if not 0 <= start < end:
        raise ChordSymbolError(
            "nothing to read", text=text, start=0, expected="a chord"
        )
    if plain[start] in "Nn(" and plain[start:end] in _NO_CHORD:
        return NoChord(text)
    body = plain[start:end] if start or end < len(plain) else plain
    if "|" not in body:
        return _chord(body, start, text, names)
    upper, _, lower = body.partition("|")
    below = start + len(upper) + 1
    return PolyChord(
        _chord(upper, start, text, names, part=True),
        _chord(lower, below, text, names, part=True),
        text,
    )


def _chord(
    body: str,
    offset: int,
    text: str,
    names: dict[str, NoteName],
    part: bool = False,
) -> Chord:
    """chord = root suffix [ '/' bass ], longest root first"""
    first: ChordSymbolError | None = None
    blanks = len(body) - len(body.lstrip()) if part else 0
    if blanks or part:
        body = body.strip()
        offset += blanks
    for width in range(min(6, len(body)), 0, -1):
        root = names.get(body[:width])
        if root is None:
            continue
        try:
            quality, bass = _after_root(body[width:], names)
        except ChordSymbolError as error:
            first = first or ChordSymbolError(
                error.problem,
                text=text,
                start=error.start + offset + width,
                end=error.end + offset + width,
                expected=error.expected,
            )
            if names is roots_in("letters"):
                break
            continue
        return Chord(root, quality, bass, body if part else text)
    raise first or ChordSymbolError(
        "no root", text=text, start=offset, expected="a root: a letter A to G"
    )


@lru_cache(maxsize=4096)
def _letter_suffix(suffix: str) -> tuple[Quality, NoteName | None]:
    return _suffix_and_bass(suffix, roots_in("letters"))


def _after_root(
    suffix: str, names: dict[str, NoteName]
) -> tuple[Quality, NoteName | None]:
    if names is roots_in("letters"):
        return _letter_suffix(suffix)
    return _suffix_and_bass(suffix, names)


def _suffix_and_bass(
    suffix: str, names: dict[str, NoteName]
) -> tuple[Quality, NoteName | None]:
    """suffix [ '/' bass [ 'bass' ] ]"""
    scan = Scanner(suffix)
    quality = read_suffix(scan)
    if scan.done:
        return quality, None
    at = scan.at
    if not scan.take("/"):
        raise ChordSymbolError(
            "unreadable", text=suffix, start=at, end=len(suffix), expected="the end"
        )
    word = scan.rest.strip()
    if word.endswith("bass"):
        word = word[:-4].strip()
    bass = names.get(word)
    if bass is None:
        raise ChordSymbolError(
            "no bass note" if not word else "not a bass note",
            text=suffix,
            start=scan.at,
            end=len(suffix),
            expected="one note name A to G",
        )
    return quality, bass


# Suffixes offered when a text comes near one of them.
_KNOWN: Final = (
    "", "m", "7", "maj7", "m7", "m7b5", "dim", "dim7", "aug", "+", "6", "m6", "6/9",
    "m6/9", "9", "maj9", "m9", "11", "m11", "13", "maj13", "m13", "sus2", "sus4",
    "7sus4", "9sus4", "13sus4", "add9", "madd9", "7b9", "7#9", "7b5", "7#5", "7#11",
    "7b13", "7alt", "m(maj7)", "mMaj7", "maj7#11", "maj7#5", "13b9", "9#11", "7b9b13",
    "min7", "Maj7", "minor", "major", "5", "ø7", "7(b9,#11)", "9#5", "9b5",
)  # fmt: skip


def _suggestion(text: str, error: ChordSymbolError, roots: RootNames) -> str:
    """The nearest good reading of a text that failed, or ``""``.

    First the usual slips, then the known suffix with the fewest edits, then
    the part that could be read.
    """
    if len(text) > MAX_LENGTH:
        return ""
    short = text.strip().strip("[]")
    if short.count("(") > short.count(")"):
        short += ")"
    repaired = [short, short[:1].upper() + short[1:]]
    repaired += [_lettered(short, other) for other in ("german", "solfege")]
    repaired += [short.replace("/", "|", 1)] if "/" in short else []
    for attempt in repaired:
        if attempt and attempt != text and _reads(attempt, roots):
            return attempt
    plain = short.translate(SIGNS)
    names = roots_in(roots)
    for width in range(min(6, len(plain)), 0, -1):
        if plain[:width] in names:
            suffix = plain[width:]
            likely = nearest(suffix, _KNOWN, within=min(2, len(suffix) - 1))
            if likely:
                return plain[:width] + likely
            break
    good = text[: error.start].strip(" (,/|-")
    return good if _reads(good, roots) else ""


def _lettered(text: str, roots: RootNames) -> str:
    """A text with German or solfège roots, in letters; ``""`` if it is none."""
    try:
        return str(_symbol(text, roots))
    except ChordSymbolError:
        return ""


def _reads(text: str, roots: RootNames) -> bool:
    try:
        _symbol(text, roots)
    except ChordSymbolError:
        return False
    return True
