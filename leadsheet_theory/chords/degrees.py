"""Chords by their place in a key: Roman numerals, and the numbers of number charts.

    numeral   = [ signs ] roman [ quality ] { '/' roman } [ '/' bass ]
    number    = [ signs ] '1' … '7' [ suffix ] [ '/' bass ]
    bass      = [ signs ] '1' … '7'

A Roman numeral counts in the key's own scale.  Its case says major or minor, ``°``,
``ø`` and ``+`` the other triads, figures the inversion (6, 64; 65, 43, 42 on sevenths);
a slash leads to the degree that a chord is applied to.  In minor, VI and VII are those
of the natural scale, and vi and vii, minor or diminished, the raised ones.  As on lead
sheets, and unlike figured bass, ``7`` is the minor seventh everywhere and ``maj7`` the
major one: IV7 is a dominant seventh.

A number counts in the major scale on the tonic, so the third degree of a minor key is
♭3; what follows is the chord symbol's own suffix, its first figure raised: ``5⁷``,
``2m7``, ``1/3``.

Sources: *Open Music Theory* v2, "Roman numerals and SATB chord construction" and
"Applied chords" (case, signs, figures, slash; raised degrees in minor); number charts:
common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache
from typing import Final, Literal

from attrs import evolve

from .._arguments import check_choice, check_text
from .._doors import door
from ..errors import ChordDegreeError, ChordSymbolError
from ..interval import Interval
from ..key import Key
from ..pitch import STEPS, NoteName
from ._parse import parse_chord
from ._words import SIGNS
from .quality import Quality
from .respell import chord_colour, written_chords
from .styles import CANONICAL, suffix_text
from .symbol import Chord, ChordSymbol, NoChord

__all__ = (
    "CountFrom",
    "chord_number",
    "number_chart",
    "parse_number",
    "parse_numeral",
    "read_number_chart",
    "roman_numeral",
)

CountFrom = Literal["tonic", "relative major"]
"""Where the numbers of a minor key start: ``1m 4m 5⁷`` or ``6m 2m 3⁷``."""

_ROMANS: Final = ("I", "II", "III", "IV", "V", "VI", "VII")
_NUMERAL: Final = re.compile(
    r"(?P<signs>b*|#*)(?P<roman>VII|VI|IV|V|I{1,3}|vii|vi|iv|v|i{1,3})(?![IViv])"
    r"(?P<rest>[^/]*)$"
)
_NUMBER: Final = re.compile(r"(?P<signs>b*|#*)(?P<degree>[1-7])(?P<rest>.*)$")
_BASS: Final = re.compile(r"(?P<signs>b*|#*)(?P<degree>[1-7])$")
_FIGURE_WITH_SLASH: Final = re.compile(r"(?<=[IViv°ø+j])(6/[45]|4/[23])(?!\d)")
_RAISED: Final = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")

# figures of the bass: the chord's third, fifth and seventh
_TRIADS: Final = {3: "6", 5: "64"}
_SEVENTHS: Final = {3: "65", 5: "43", 7: "42"}
_FIGURES: Final = {
    "6": ("", 3), "64": ("", 5), "65": ("7", 3), "43": ("7", 5), "42": ("7", 7),
    "2": ("7", 7),
}  # fmt: skip


# ── Roman numerals ───────────────────────────────────────────────────────────────


@door
def roman_numeral(chord: Chord, key: Key, /, *, applied: bool = True) -> str:
    """A chord's Roman numeral in a key.

    Args:
        chord: the chord.
        key: the key it is heard in.
        applied: write dominants and leading-note chords of other degrees of the key
            as such, with a slash: V7/V, not II7.

    >>> C, a = Key.parse("C"), Key.parse("A minor")
    >>> texts = ("Dm7", "G7/B", "Cmaj7", "F#m7b5", "A7", "Db7")
    >>> chords = [parse_chord(text) for text in texts]
    >>> print(*(roman_numeral(chord, C) for chord in chords))
    ii7 V65 Imaj7 #ivø7 V7/ii bII7
    >>> chords = [parse_chord(t) for t in ("Am", "Bm7b5", "E7b9", "F", "G#dim7")]
    >>> print(*(roman_numeral(chord, a) for chord in chords))
    i iiø7 V7(b9) VI vii°7
    """
    target = _target(chord, key) if applied else None
    text, figured = _numeral(chord, key if target is None else target)
    if target is not None:
        text += f"/{_numeral(_tonic_triad(target), key)[0]}"
    if chord.bass is not None and not figured:
        text += f"/{_place(chord.bass, key)}"
    return f"({text})" if chord.optional else text


@door
def parse_numeral(text: str, key: Key, /) -> Chord:
    """The chord that a Roman numeral names in a key.

    >>> C = Key.parse("C")
    >>> numerals = ("ii7", "V65", "V7/V", "vii°7/vi", "bVImaj7", "#ivø7", "V7/2")
    >>> print(*(parse_numeral(numeral, C) for numeral in numerals))
    Dm7 G7/B D7 G#dim7 Abmaj7 F#m7(b5) G7/D

    Raises:
        ChordDegreeError: if the text is no numeral.
    """
    check_text(text)
    body, optional = _without_brackets(text)
    figured = _FIGURE_WITH_SLASH.sub(lambda found: found[0].replace("/", ""), body)
    head, *over = figured.split("/")
    bass: NoteName | None = None
    if over and _BASS.match(over[-1]):
        bass = _note_at(_BASS, over.pop(), key, text)
    local = key
    for applied_to in reversed(over):
        tonic = _chord_of(applied_to, local, text)
        minor = chord_colour(tonic) in ("minor", "diminished", "half-diminished")
        local = Key(tonic.root, "minor" if minor else "major")
    chord = _chord_of(head, local, text)
    return evolve(chord, bass=bass or chord.bass, source="", optional=optional)


def _numeral(chord: Chord, key: Key) -> tuple[str, bool]:
    """The numeral, and whether its figures tell the bass."""
    suffix = suffix_text(chord.quality, CANONICAL)
    minor = suffix.startswith("m") and not suffix.startswith("maj")
    diminished = suffix.startswith("dim")
    small = minor or diminished
    if minor:
        suffix = suffix[1:]
        if chord_colour(chord) == "half-diminished" and "(b5)" in suffix:
            suffix = "ø" + suffix.replace("(b5)", "")
    elif diminished:
        suffix = "°" + suffix[3:]
    suffix = re.sub(r"^6(/9)?\(?", lambda m: f"(add6{',add9' if m[1] else ''},", suffix)
    suffix = suffix[:-1] + ")" if suffix.endswith(",") else suffix
    figured = False
    if chord.bass is not None and chord.bass in chord.tones:
        place = chord.quality.degrees[chord.tones.index(chord.bass)].number
        kind, stem = (
            (_SEVENTHS, suffix[:-1])
            if suffix in ("7", "maj7", "ø7", "°7")
            else (_TRIADS, suffix if suffix in ("", "°", "+") else None)
        )
        if stem is not None and place in kind:
            suffix, figured = stem + kind[place], True
    number = STEPS.index(chord.root.step) - STEPS.index(key.tonic.step)
    number %= 7
    alter = chord.root.alter - _scale_note(number, key, small=small).alter
    roman = _ROMANS[number].lower() if small else _ROMANS[number]
    return _signs(alter) + roman + suffix, figured


def _chord_of(numeral: str, key: Key, text: str) -> Chord:
    """The chord of one numeral, without what follows a slash."""
    found = _NUMERAL.match(numeral.translate(SIGNS).replace("♮", ""))
    if found is None:
        raise _wrong(text, numeral, "a numeral I to VII, large or small")
    roman, rest = found["roman"], found["rest"]
    small = roman.islower()
    note = _scale_note(_ROMANS.index(roman.upper()), key, small=small)
    root = NoteName(note.step, note.alter + _alter(found["signs"]))
    figure = next(
        (each for each in sorted(_FIGURES, key=len)[::-1] if _ends_with(rest, each)), ""
    )
    member = 0
    if figure:
        seventh, member = _FIGURES[figure]
        rest = rest[: -len(figure)] + seventh
    try:
        chord = parse_chord(str(NoteName("C")) + _suffix(rest, small=small))
    except ChordSymbolError as error:
        raise _wrong(text, numeral, error.expected) from None
    plain = Chord(root, chord.quality)
    for degree, tone in zip(chord.quality.degrees, plain.tones, strict=True):
        if degree.number == member:
            return evolve(plain, bass=tone)
    return plain


def _ends_with(rest: str, figure: str) -> bool:
    """Whether a numeral's suffix is a figure, perhaps behind a sign for its quality."""
    if not rest.endswith(figure):
        return False
    before = rest[: -len(figure)]
    return before in ("", "°", "o", "ø", "+", "maj", "M", "m") and not (
        figure == "2" and before
    )


def _suffix(rest: str, *, small: bool) -> str:
    """What a chord symbol prints for a numeral's suffix."""
    if rest[:1] in ("°", "o"):
        return "dim" + rest[1:]
    if rest[:1] == "ø":
        return "ø" + rest[1:]
    return ("m" if small and not rest.startswith("m7") else "") + rest


def _target(chord: Chord, key: Key) -> Key | None:
    """The key of the degree that a chord is applied to, or None.

    A major chord, with or without a minor seventh, that the key doesn't have is the
    dominant of the degree a fifth below; a diminished one leads up to the degree a
    semitone above.
    """
    colour = chord_colour(chord)
    if colour in ("major", "dominant"):
        root = chord.root - Interval(4, 7)
        if colour == "major" and len(chord.quality.degrees) > 3:
            return None
    elif colour == "diminished":
        root = chord.root + Interval(1, 1)
    else:
        return None
    if root == key.tonic or not key.is_diatonic(root) or _belongs(chord, key):
        return None
    third, fifth = (root + interval for interval in (Interval(2, 4), Interval(4, 7)))
    if not key.is_diatonic(fifth):
        return None
    return Key(root, "major" if key.is_diatonic(third) else "minor")


def _belongs(chord: Chord, key: Key) -> bool:
    """Whether the chord's first tones are all notes of the key."""
    return all(
        key.is_diatonic(tone)
        for degree, tone in zip(chord.quality.degrees, chord.tones, strict=True)
        if degree.number < 8
    )


def _tonic_triad(key: Key) -> Chord:
    minor = key.mode in ("minor", "aeolian")
    return Chord(key.tonic, Quality.from_formula("1 b3 5" if minor else "1 3 5"))


def _scale_note(number: int, key: Key, *, small: bool) -> NoteName:
    """A degree of the key's scale, counted from 0; in minor the sixth and seventh of
    small numerals are the raised ones."""
    note = key.scale[number]
    if small and number > 4 and key.mode in ("minor", "aeolian"):
        return NoteName(note.step, note.alter + 1)
    return note


# ── Numbers ──────────────────────────────────────────────────────────────────────


@door
def chord_number(chord: Chord, key: Key, /, *, count_from: CountFrom = "tonic") -> str:
    """A chord as a number chart prints it in a key.

    >>> E_flat = Key.parse("Eb")
    >>> chords = [parse_chord(text) for text in ("Ebmaj7", "Fm7", "Bb7", "Db", "Eb/G")]
    >>> print(*(chord_number(chord, E_flat) for chord in chords))
    1maj7 2m7 5⁷ b7 1/3
    """
    base = _base(key, count_from)
    suffix = suffix_text(chord.quality, CANONICAL)
    figure = re.match(r"\d*", suffix)
    end = figure.end() if figure else 0
    text = _place(chord.root, base) + suffix[:end].translate(_RAISED) + suffix[end:]
    if chord.bass is not None:
        text += f"/{_place(chord.bass, base)}"
    return f"({text})" if chord.optional else text


@door
def parse_number(text: str, key: Key, /, *, count_from: CountFrom = "tonic") -> Chord:
    """The chord that a number names in a key.

    >>> G = Key.parse("G")
    >>> print(*(parse_number(number, G) for number in ("1", "2-7", "57", "b3", "5/7")))
    G Am7 D7 Bb D/F#

    Raises:
        ChordDegreeError: if the text is no number.
    """
    check_text(text)
    base = _base(key, count_from)
    body, optional = _without_brackets(text)
    head, slash, tail = body.rpartition("/")
    bass: NoteName | None = None
    if slash and _BASS.match(tail):
        body, bass = head, _note_at(_BASS, tail, base, text)
    found = _NUMBER.match(body.translate(SIGNS))
    if found is None:
        raise _wrong(text, body, "a number 1 to 7")
    root = _note_at(_NUMBER, body, base, text)
    try:
        chord = parse_chord(str(NoteName("C")) + found["rest"])
    except ChordSymbolError as error:
        raise _wrong(text, body, error.expected) from None
    return Chord(root, chord.quality, bass, optional=optional)


@door
def number_chart(
    changes: Iterable[ChordSymbol], key: Key, /, *, count_from: CountFrom = "tonic"
) -> str:
    """A line of changes in numbers.

    >>> from leadsheet_theory.chords import parse_symbol
    >>> changes = [parse_symbol(text) for text in ("Fmaj7", "D7", "Gm7", "C7", "N.C.")]
    >>> number_chart(changes, Key.parse("F"))
    '1maj7 6⁷ 2m7 5⁷ N.C.'

    Raises:
        ChordDegreeError: for a polychord, which a number cannot say.
    """
    line: list[str] = []
    for symbol in changes:
        if isinstance(symbol, Chord):
            line.append(chord_number(symbol, key, count_from=count_from))
        elif isinstance(symbol, NoChord):
            line.append(str(symbol))
        else:
            raise _wrong(str(symbol), str(symbol), "one chord, no polychord")
    return " ".join(line)


@door
def read_number_chart(
    line: str, key: Key, /, *, count_from: CountFrom = "tonic"
) -> tuple[ChordSymbol, ...]:
    """The changes that a line of numbers gives in a key, spelled for reading.

    Bar lines (``|``) in the line don't count.

    >>> for key in ("C", "Ab"):
    ...     print(*read_number_chart("1 | 2m7 b2⁷ | 1maj7", Key.parse(key)))
    C Dm7 Db7 Cmaj7
    Ab Bbm7 A7 Abmaj7

    Raises:
        ChordDegreeError: if something in it is no number.
    """
    symbols: list[ChordSymbol] = []
    for word in line.replace("|", " ").split():
        if word == str(NoChord()):
            symbols.append(NoChord())
        else:
            symbols.append(parse_number(word, key, count_from=count_from))
    return written_chords([(key, symbol) for symbol in symbols]).symbols


@lru_cache(maxsize=128)
def _base(key: Key, count_from: CountFrom) -> Key:
    """The major key whose scale the numbers count in."""
    check_choice("count_from", count_from, ("tonic", "relative major"))
    if count_from == "tonic":
        return Key(key.tonic, "major")
    return Key.from_signature(key.signature, "major")


# ── Both ─────────────────────────────────────────────────────────────────────────


def _place(note: NoteName, key: Key) -> str:
    """A note as a number in the major scale on the key's tonic."""
    number = (STEPS.index(note.step) - STEPS.index(key.tonic.step)) % 7
    natural = Key(key.tonic, "major").scale[number]
    return f"{_signs(note.alter - natural.alter)}{number + 1}"


def _note_at(pattern: re.Pattern[str], text: str, key: Key, whole: str) -> NoteName:
    """The note that a number names in the major scale on the key's tonic."""
    found = pattern.match(text.translate(SIGNS))
    if found is None:
        raise _wrong(whole, text, "a number 1 to 7")
    natural = Key(key.tonic, "major").scale[int(found["degree"]) - 1]
    return NoteName(natural.step, natural.alter + _alter(found["signs"]))


def _signs(alter: int) -> str:
    return "#" * alter if alter > 0 else "b" * -alter


def _alter(signs: str) -> int:
    return signs.count("#") - signs.count("b")


def _without_brackets(text: str) -> tuple[str, bool]:
    body = "".join(text.split())
    if body.startswith("(") and body.endswith(")") and body.count("(") == 1:
        return body[1:-1], True
    if body.startswith("(") and body.endswith("))"):
        return body[1:-1], True
    return body, False


def _wrong(text: str, part: str, expected: str) -> ChordDegreeError:
    start = max(0, text.find(part)) if part else 0
    return ChordDegreeError(
        "no degree of a key",
        text=text,
        start=start,
        end=start + len(part),
        expected=expected,
    )
