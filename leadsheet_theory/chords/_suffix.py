"""The grammar of what follows the root in a chord symbol.

    suffix    = [ quality ] [ number ] { modifier }
    modifier  = item | ',' item | '/' item | group
    group     = '(' item { [ ',' | ';' | '/' ] item } ')'      also in '[ ]'
    item      = alteration | addition | omission | suspension | 'alt'
              | seventh | raised fifth | natural

Every function below reads one of these and states its own rule.  Two rules
decide what handbooks read in two ways: a ``+`` or ``-`` directly after the
root is the quality, before a number it is a sharp or flat; and a number
names the highest of a stack of thirds on a minor seventh unless a word for
"major" goes before it.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final, NoReturn

from .._scan import Scanner
from ..errors import ChordSymbolError
from ._words import (
    ACCIDENTALS,
    CLOSING,
    DIGITS,
    ITEM_WORDS,
    MAJOR_WORDS,
    NUMBERS,
    QUALITY_WORDS,
    SEVENTHS,
    TRIADS,
    Pair,
    Words,
)
from .quality import Quality, quality_of

__all__ = ("DANGLING_SIGN", "read_suffix")

DANGLING_SIGN: Final = "a sign without a degree"
"""What an error says of a sharp or flat with no number behind it."""


class _Found:
    """What has been read of a suffix so far; lives only while one is read."""

    __slots__ = (
        "added",
        "altered",
        "fifth",
        "number",
        "omitted",
        "quality",
        "quality_at",
        "seventh",
        "six",
        "suspended",
    )

    def __init__(self) -> None:
        self.quality = ""
        self.quality_at = 0
        self.number = 0  # 7, 9, 11 or 13; 0 for a chord without a seventh
        self.seventh = -1  # its alteration, where number is not 0
        self.six = False
        self.fifth = False  # whether the fifth was raised by a + behind
        self.suspended: list[Pair] = []
        self.altered: list[tuple[Pair, int, int]] = []  # degree, start, end
        self.added: list[tuple[Pair, int, int]] = []
        self.omitted: list[tuple[int, int, int]] = []


def read_suffix(scan: Scanner) -> Quality:
    """Read a suffix up to a slash bass, a bar or the end of the text.

    The text must hold no blanks and have gone through :data:`._words.SIGNS`.

    Raises:
        ChordSymbolError: where the text leaves the grammar.
    """
    found = _Found()
    _quality(scan, found)
    _modifiers(scan, found)
    return quality_of(frozenset(_degrees(scan, found)))


def _fail(scan: Scanner, problem: str, start: int, end: int, expected: str) -> NoReturn:
    raise ChordSymbolError(
        problem, text=scan.text, start=start, end=end, expected=expected
    )


def _word(scan: Scanner, words: Words) -> str | None:
    """The meaning of the word of the table that stands here, or None."""
    text, at = scan.text, scan.at
    for word, meaning in words.get(text[at : at + 1], ()):
        if text.startswith(word, at):
            scan.at = at + len(word)
            return meaning
    return None


def _number(scan: Scanner) -> int:
    """number = ( '1' digit ) | digit; 0 if none stands here"""
    text, at = scan.text, scan.at
    first = text[at : at + 1]
    if not first or first not in DIGITS:
        return 0
    second = text[at + 1 : at + 2]
    width = 2 if first == "1" and second and second in DIGITS else 1
    scan.at = at + width
    return int(text[at : at + width])


def _quality(scan: Scanner, found: _Found) -> None:
    """quality = word [ '.' ]; then the number that may follow it

    ``-5`` and ``+5`` right after the root are alterations of the fifth.
    """
    start = found.quality_at = scan.at
    if scan.peek(2) in ("-5", "+5"):
        _item(scan, found, listed=True)
        return
    meaning = _word(scan, QUALITY_WORDS)
    if meaning == "":  # the o of "omit" is no circle
        scan.at = start
        return
    if meaning is not None:
        if scan.peek(2).lower() == "dd":  # "madd9" is m and add, not ma
            scan.at -= 1
            meaning = "minor" if scan.text[start : scan.at] == "m" else "major"
        found.quality = meaning
        if scan.text[scan.at - 1].isalpha():
            scan.take(".")
    _quality_number(scan, found, start)


def _quality_number(scan: Scanner, found: _Found, start: int) -> None:
    """The number after a quality, such as 7, 69 or 13; what it brings."""
    allowed = NUMBERS.get(found.quality, ())
    at = scan.at
    number = _number(scan)
    if number and number not in allowed:
        _fail(
            scan,
            f"{number} does not go with this chord"
            if found.quality
            else f"{number} is not a chord number",
            at,
            scan.at,
            "one of " + ", ".join(map(str, allowed)) if allowed else "no number",
        )
    if number == 6:
        found.six = True
        if scan.take("/9", "9"):
            found.added.append(((9, 0), scan.at - 1, scan.at))
    elif number in (2, 4):
        found.suspended.append((number, 0))
    elif number == 5:
        if not _sign_behind(scan, found, 5, at):
            found.quality = "power"
    elif number:
        found.number = number
    if found.number or found.quality in ("triangle", "half-diminished"):
        found.seventh = SEVENTHS.get(found.quality, -1)
        if not found.six:
            found.number = found.number or 7
    elif found.quality == "dominant":
        _fail(scan, "no number after dom", start, scan.at, "7, 9, 11 or 13")


def _modifiers(scan: Scanner, found: _Found) -> None:
    """{ modifier }, up to a slash bass, a bar or the end"""
    text = scan.text
    while True:
        at = scan.at
        sign = text[at : at + 1]
        if not sign or sign == "|":
            return
        if sign in CLOSING:
            _group(scan, found)
        elif sign == "/":
            scan.at += 1
            if not _slash_item(scan, found):
                scan.at = at
                return
        elif sign == "," and (found.altered or found.added or found.number):
            scan.at += 1
            _item(scan, found, listed=True)
        else:
            _item(scan, found, listed=bool(found.altered))


def _slash_item(scan: Scanner, found: _Found) -> bool:
    """A degree after a slash, ``7/6 m7/11 7/b9``, or a major seventh, ``m/M7``.

    A lone ``/7`` is neither a bass nor a degree.
    """
    next_sign = scan.peek()
    if next_sign in MAJOR_WORDS or (next_sign and next_sign in "#b+-"):
        _item(scan, found, listed=True)
        return True
    start = scan.at
    number = _number(scan)
    if not number:
        return False
    if number not in (9, 11, 13) and not (number in (2, 4, 6) and found.number):
        _fail(
            scan,
            f"{number} after a slash is neither a bass note nor an added degree",
            start,
            scan.at,
            "a bass note A to G, or 9, 11 or 13",
        )
    found.added.append(((number, 0), start, scan.at))
    return True


def _group(scan: Scanner, found: _Found) -> None:
    """group = '(' item { [ ',' | ';' | '/' ] item } ')'"""
    start = scan.at
    closing = CLOSING[scan.peek()]
    scan.at += 1
    while True:
        _item(scan, found, listed=True)
        if scan.take(closing):
            return
        if scan.done:
            _fail(scan, "bracket not closed", start, start + 1, f"{closing!r}")
        scan.take(",", ";", "/")


def _item(scan: Scanner, found: _Found, *, listed: bool) -> None:
    """item = alteration | addition | omission | suspension | 'alt'
            | seventh | raised fifth | natural

    A natural number is an item only if `listed`: in brackets or after
    another alteration.
    """
    start = scan.at
    text = scan.text
    sign = text[start : start + 1]
    if sign and sign in ACCIDENTALS:
        _alteration(scan, found, start)
        return
    if sign and sign in DIGITS:
        if not listed:
            at = scan.at
            number = _number(scan)
            _fail(
                scan,
                f"a {number} that belongs to nothing",
                at,
                scan.at,
                "an alteration, add or the end",
            )
        _natural(scan, found, start)
        return
    meaning = _word(scan, ITEM_WORDS)
    if meaning == "sus":
        _suspension(scan, found, start)
    elif meaning == "add":
        _addition(scan, found, start)
    elif meaning == "no":
        _omission(scan, found, start)
    elif meaning == "altered":
        _altered(scan, found, start)
    elif meaning in ("major", "triangle"):
        _seventh(scan, found, meaning, start)
    elif meaning in ("augmented", "diminished"):
        number = _number(scan)
        raised = meaning == "augmented"
        if not number and raised:
            _raised_fifth(scan, found, start)
        elif number in ((5, 9, 11) if raised else (5, 9, 13)):
            _alter(scan, found, (number, 1 if raised else -1), start)
        else:
            _unexpected(scan, start)
    else:
        _unexpected(scan, start)


def _unexpected(scan: Scanner, start: int) -> NoReturn:
    if start >= len(scan.text):
        _fail(scan, "the symbol breaks off", start, start + 1, "a degree")
    sign, before = scan.text[start], scan.text[start - 1 : start]
    if before and before in "([,;" and sign in ")],;":
        _fail(scan, "nothing between the signs", start, start + 1, "a degree")
    if sign == "^":
        _fail(scan, "a caret is typed, not printed", start, start + 1, "Δ or maj")
    if sign in ")]":
        _fail(scan, "bracket not opened", start, start + 1, "no closing bracket")
    _fail(
        scan,
        "unreadable",
        start,
        len(scan.text),
        "an alteration, add, no, sus, a slash bass or the end",
    )


def _alteration(scan: Scanner, found: _Found, start: int) -> None:
    """alteration = ( '#' | 'b' | '+' | '-' | '♮' ) number

    A ``+`` without a number raises the fifth.
    """
    sign = scan.text[start]
    scan.at = start + 1
    number = _number(scan)
    if not number:
        if sign == "+" and scan.peek() not in tuple("#b+-"):
            _raised_fifth(scan, found, start)
            return
        _fail(scan, DANGLING_SIGN, start, scan.at, "5, 9, 11 or 13")
    if sign in "x𝄫":
        _fail(scan, "a double accidental", start, scan.at, "one sharp or flat")
    if sign == "♮":
        if start == found.quality_at or number == 7:
            _fail(scan, "a natural sign here", start, scan.at, "# or b, or no sign")
        scan.at = start + 1
        _natural(scan, found, start)
        return
    _alter(scan, found, (number, 1 if sign in "#+" else -1), start)


def _sign_behind(scan: Scanner, found: _Found, number: int, start: int) -> bool:
    """A sign behind its number, as in Italian and Brazilian prints: ``(5+) (9-)``

    Not if a number follows, for then the sign is that one's.
    """
    sign = scan.peek()
    after = scan.text[scan.at + 1 : scan.at + 2]
    if not sign or sign not in "+-#b" or (after and after in DIGITS):
        return False
    scan.at += 1
    _alter(scan, found, (number, 1 if sign in "#+" else -1), start)
    return True


def _alter(scan: Scanner, found: _Found, degree: Pair, start: int) -> None:
    """Note an altered degree: b5 #5, b9 #9, #11, b13; also b6, #4 and a raised
    seventh (m#7)."""
    number, alter = degree
    if number == 7 and alter == 1:
        if found.number or found.quality not in ("minor", "diminished"):
            _fail(
                scan,
                "the seventh cannot be raised here",
                start,
                scan.at,
                "maj7 for a major seventh",
            )
        found.number, found.seventh = 7, 0
    elif degree in ((6, -1), (4, 1)):
        found.added.append((degree, start, scan.at))
    elif degree in ((5, -1), (5, 1), (9, -1), (9, 1), (11, 1), (13, -1)):
        found.altered.append((degree, start, scan.at))
    else:
        _fail(
            scan,
            f"no chord has a {'#' if alter > 0 else 'b'}{number}",
            start,
            scan.at,
            "b5, #5, b9, #9, #11 or b13",
        )


def _raised_fifth(scan: Scanner, found: _Found, start: int) -> None:
    """A ``+`` or ``aug`` behind: ``7+ 9+ m+``"""
    if found.fifth:
        _fail(scan, "the fifth is raised twice", start, scan.at, "the end")
    found.fifth = True
    found.altered.append(((5, 1), start, scan.at))


def _natural(scan: Scanner, found: _Found, start: int) -> None:
    """natural = '2' | '4' | '6' | '9' | '11' | '13', added as it is; or '7',
    the seventh of a chord that has none yet; or with the sign behind: ``(5+)``"""
    number = _number(scan)
    if _sign_behind(scan, found, number, start):
        return
    if number == 7 and not found.number and found.quality != "power":
        found.number = 7
        found.seventh = SEVENTHS.get(found.quality, -1)
        if found.quality in ("major", "triangle"):
            found.seventh = 0
        return
    if number not in (2, 4, 6, 9, 11, 13):
        _fail(
            scan,
            f"{number} is no degree to add" if number else "no degree",
            start,
            max(scan.at, start + 1),
            "2, 4, 6, 9, 11 or 13",
        )
    for (other, alter), _, _ in found.altered:
        if other == number and alter:
            _fail(
                scan,
                f"natural and altered {number} together",
                start,
                scan.at,
                f"add{number} if both are meant",
            )
    found.added.append(((number, 0), start, scan.at))


def _addition(scan: Scanner, found: _Found, start: int) -> None:
    """addition = 'add' [ accidental | 'maj' ] number

    Degrees count in the major scale, but a plain 7 is the minor seventh, as
    everywhere in chord symbols; ``addmaj7`` and ``add#7`` are the major one.
    """
    scan.take(".")
    major = _word(scan, MAJOR_WORDS)
    signs = scan.take_while("#b+-x𝄫♮")
    number = _number(scan)
    alter = sum({"#": 1, "+": 1, "x": 2, "♮": 0, "𝄫": -2}.get(s, -1) for s in signs)
    if number == 7 and alter >= 0 and not major:
        alter -= 1
    if (
        not 1 <= number <= 13
        or number in (8, 10, 12)
        or abs(alter) > 3
        or len(set(signs)) > 1
        or (major and (number != 7 or signs))
    ):
        _fail(
            scan,
            "no such degree to add" if number else "add without a degree",
            start,
            scan.at,
            "a degree, such as add9",
        )
    found.added.append(((number, alter), start, scan.at))


def _omission(scan: Scanner, found: _Found, start: int) -> None:
    """omission = ( 'no' | 'omit' ) ( number [ 'rd' | 'th' | 'st' ] | 'root' )"""
    scan.take(".")
    if scan.take("root", "Root"):
        number = 1
    else:
        number = _number(scan)
        if number:
            scan.take("rd", "th", "st", "nd")
    if number not in (1, 3, 5, 7, 9, 11):
        _fail(
            scan,
            "no such degree to leave out" if number else "no without a degree",
            start,
            scan.at,
            "3, 5 or another degree of the chord",
        )
    found.omitted.append((number, start, scan.at))


def _suspension(scan: Scanner, found: _Found, start: int) -> None:
    """suspension = 'sus' [ '2' | '4' | '24' | '#4' | 'b2' ] [ '7' | '9' | '11' | '13' ]

    A number alone after ``sus`` from 7 up is the chord's own: ``sus7`` is ``7sus``.
    """
    at = scan.at
    word = scan.take("2/4", "4/2", "24", "42", "#4", "b2", "(4)", "(2)", "2", "4")
    degrees: tuple[Pair, ...] = {
        "": ((4, 0),), "4": ((4, 0),), "(4)": ((4, 0),), "2": ((2, 0),),
        "(2)": ((2, 0),), "#4": ((4, 1),), "b2": ((2, -1),),
    }.get(word, ((2, 0), (4, 0)))  # fmt: skip
    if not word and found.suspended and found.suspended[-1] == (4, 0):
        degrees = ()
    for degree in degrees:
        if degree in found.suspended:
            _fail(scan, "suspended twice", start, scan.at, "the end")
        found.suspended.append(degree)
    at = scan.at
    number = _number(scan)
    if number:
        if number not in (7, 9, 11, 13):
            _fail(scan, f"{number} is no suspension", at, scan.at, "sus2 or sus4")
        if found.number:
            _fail(scan, "a second number", at, scan.at, "the end")
        found.number = number


def _altered(scan: Scanner, found: _Found, start: int) -> None:
    """'alt' [ '7' ], on a dominant seventh chord or with nothing before it"""
    plain = found.number in (0, 7) and found.quality in ("", "dominant")
    if not plain or found.altered or found.added or found.suspended or found.six:
        _fail(scan, "alt on a chord that is not a plain 7", start, scan.at, "7alt")
    if not found.number:
        scan.take("7")
    scan.take(".")
    found.number, found.quality = 7, "altered"


def _seventh(scan: Scanner, found: _Found, word: str, start: int) -> None:
    """seventh = 'maj' number, on a triad, or behind the number: ``7M m9(maj7)``

    ``dim7(maj7)`` has both sevenths.
    """
    scan.take(".")
    number = _number(scan)
    if not number and found.number and found.quality in ("", "minor"):
        if found.seventh == 0:
            _fail(scan, "a second quality", start, scan.at, "the end")
        found.seventh = 0
        return
    if not number and word == "triangle":
        number = 7
    if number == 7 and found.number > 7 and found.quality in ("", "minor"):
        if found.seventh == 0:
            _fail(scan, "a second quality", start, scan.at, "the end")
        found.seventh = 0
        return
    if found.number == 7 and found.quality == "diminished" and number == 7:
        found.added.append(((7, 0), start, scan.at))
    elif found.number or found.quality in ("power", "major", "triangle", "altered"):
        _fail(scan, "a second quality", start, scan.at, "the end")
    elif number not in (7, 9, 11, 13):
        _fail(scan, "a second quality", start, scan.at, "maj7, maj9, maj11 or maj13")
    else:
        found.number, found.seventh = number, 0


def _degrees(scan: Scanner, found: _Found) -> Iterable[Pair]:
    """The degrees that the parts read add up to, or an error where two clash."""
    degrees = set(TRIADS[found.quality])
    if found.suspended:
        _suspend(scan, found, degrees)
    if found.six:
        degrees.add((6, 0))
    _stack(found, degrees)
    if found.altered:
        _apply_alterations(scan, found, degrees)
    for omitted, start, end in found.omitted:
        gone = {degree for degree in degrees if degree[0] == omitted}
        if not gone and not (omitted == 3 and found.suspended):
            _fail(scan, "not in the chord anyway", start, end, "another degree")
        degrees -= gone
    for degree, start, end in found.added:
        if degree in degrees:
            _fail(scan, "already in the chord", start, end, "another degree")
        degrees.add(degree)
    return degrees


def _stack(found: _Found, degrees: set[Pair]) -> None:
    """The seventh and what its number piles on it."""
    number = found.number
    colours = {degree[0] for degree, _, _ in found.altered}
    if found.suspended and not number and colours & {9, 13}:
        number = 7  # sus(b9) is a seventh chord
    if number and found.quality != "altered":
        degrees.add((7, found.seventh))
    if number >= 9:
        degrees.add((9, 0))
    if number >= 11 and (4, 0) not in degrees:
        degrees.add((11, 0))
    if number >= 13:
        degrees.add((13, 0))


def _suspend(scan: Scanner, found: _Found, degrees: set[Pair]) -> None:
    """A suspension stands for the third, whichever third that would have been."""
    if found.quality not in ("", "major", "triangle", "dominant", "augmented", "minor"):
        _fail(
            scan,
            "a chord without a third to suspend",
            found.quality_at,
            scan.at,
            "sus on a major or seventh chord",
        )
    degrees -= {(3, 0), (3, -1)}
    degrees.update(found.suspended)


def _apply_alterations(scan: Scanner, found: _Found, degrees: set[Pair]) -> None:
    """An altered degree replaces the natural one that the number implied.

    In a 13th chord an altered ninth also takes the eleventh away: ``13b9``
    is 1 3 5 b7 b9 13.
    """
    minor = (3, -1) in degrees
    seen: set[Pair] = set()
    for degree, start, end in found.altered:
        number = degree[0]
        if degree in seen:
            _fail(scan, "the same alteration twice", start, end, "another degree")
        seen.add(degree)
        clash = _clash(found, degree, minor=minor)
        if number == 11 and (5, -1) in degrees | seen:
            clash = clash or "#11 beside b5 is the same note"
        if clash:
            _fail(scan, clash, start, end, "one or the other")
        degrees.discard((number, 0))
        if number == 9 and found.number == 13:
            degrees.discard((11, 0))
        degrees.add(degree)
    if (11, 1) in degrees and (5, -1) in seen:
        _, start, end = next(a for a in found.altered if a[0] == (5, -1))
        _fail(scan, "#11 beside b5 is the same note", start, end, "one or the other")


def _clash(found: _Found, degree: Pair, *, minor: bool) -> str:
    """What of the chord an altered degree contradicts, if anything."""
    number, alter = degree
    if found.quality == "altered":
        return "alt names all alterations"
    if number == 5:
        augmented = found.quality == "augmented" and alter < 0
        diminished = minor and found.quality != "minor" and alter > 0
        if augmented or diminished:
            return "two fifths that contradict each other"
    elif found.number == number:
        return f"natural and altered {number} together"
    elif number == 9 and minor and alter > 0:
        return "#9 on a minor chord is its third"
    return ""
