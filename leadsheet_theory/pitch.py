"""Notes by name: letters, accidentals, octaves and the line of fifths.

The line of fifths orders all note names by perfect fifths,
``… B♭ F C G D …``; C is 0, each sharp adds 7.  Names that sound alike are
12 apart on it.

Sources: scientific pitch notation (Acoustical Society of America, 1939: C4 is
middle C, the octave changes between B and C whatever the accidentals, so C♭4
sounds B3); ISO 16:1975 (A4 = 440 Hz); MIDI 1.0 (middle C is key 60).
"""

from __future__ import annotations

from functools import cache
from typing import Final, Literal, NewType, get_args

from attrs import field, frozen

from ._arguments import check_type
from ._printed import Parsed
from ._scan import Scanner
from .errors import PitchRangeError, PitchSyntaxError

__all__ = (
    "ACCIDENTALS",
    "STEPS",
    "NoteName",
    "Pitch",
    "PitchClass",
    "Step",
)

Step = Literal["C", "D", "E", "F", "G", "A", "B"]
"""A letter of the musical alphabet."""

PitchClass = NewType("PitchClass", int)
"""A key of the keyboard in any octave: 0 (C) to 11 (B)."""

STEPS: Final[tuple[Step, ...]] = get_args(Step)
"""The letters from C up."""

# letter:                     place  line of fifths  semitones above C
_LETTERS: Final[dict[str, tuple[int, int, int]]] = {
    "C": (0, 0, 0),
    "D": (1, 2, 2),
    "E": (2, 4, 4),
    "F": (3, -1, 5),
    "G": (4, 1, 7),
    "A": (5, 3, 9),
    "B": (6, 5, 11),
}  # fmt: skip
_BY_FIFTHS: Final[tuple[Step, ...]] = ("F", "C", "G", "D", "A", "E", "B")

MAX_ALTER: Final = 7

ACCIDENTALS: Final[dict[str, int]] = {
    "#": 1, "♯": 1, "b": -1, "♭": -1, "x": 2, "𝄪": 2, "𝄫": -2, "♮": 0,
}  # fmt: skip
"""Signs read as accidentals, with the semitones each stands for."""


def _check_name(note: NoteName | Pitch, _attribute: object, value: float) -> None:
    if note.step not in STEPS:
        raise PitchRangeError(f"no note is called {note.step!r}: expected A to G")
    if not isinstance(value, int):
        check_type("an alteration", value, float, "a whole number of semitones")
        raise PitchRangeError(f"{value:+} semitones: only whole ones are named")
    if not -MAX_ALTER <= value <= MAX_ALTER:
        raise PitchRangeError(
            f"{value:+d} is too many accidentals: at most {MAX_ALTER} are named"
        )


def _check_octave(_note: Pitch, _attribute: object, value: object) -> None:
    if not isinstance(value, int):
        check_type("an octave", value, int, "a whole number (C4 is middle C)")


def _accidental_text(alter: int) -> str:
    return "#" * alter if alter > 0 else "b" * -alter


def _accidental_glyphs(alter: int) -> str:
    if alter >= 0:
        return "𝄪" * (alter // 2) + "♯" * (alter % 2)
    return "𝄫" * (-alter // 2) + "♭" * (-alter % 2)


def _read_accidental(scan: Scanner) -> int:
    """accidental = { '#' | 'b' | 'x' | '♯' | '♭' | '♮' | '𝄪' | '𝄫' }"""
    start = scan.at
    signs = scan.take_while("#♯b♭x𝄪𝄫♮")
    values = {ACCIDENTALS[sign] > 0 for sign in signs if ACCIDENTALS[sign]}
    alter = sum(ACCIDENTALS[sign] for sign in signs)
    if len(values) > 1 or abs(alter) > MAX_ALTER:
        raise PitchSyntaxError(
            "sharps and flats together" if len(values) > 1 else "too many accidentals",
            text=scan.text,
            start=start,
            end=scan.at,
            expected="sharps or flats",
        )
    return alter


def _read_name(scan: Scanner) -> tuple[Step, int]:
    """name = ( 'A' | … | 'G' | 'a' | … | 'g' ) accidental"""
    letter = scan.peek().upper()
    if letter not in _LETTERS or not letter:
        raise PitchSyntaxError(
            "not a note name" if scan.text else "nothing to read",
            text=scan.text,
            start=scan.at,
            expected="a letter A to G",
        )
    scan.at += 1
    return STEPS[_LETTERS[letter][0]], _read_accidental(scan)


@frozen(order=False, repr=False)
class NoteName(Parsed):
    """A spelled note without an octave, such as B♭ or F♯.

    Equality is of spelling: F♯ is not G♭.  For equality of sound compare
    :attr:`pitch_class`.

    >>> NoteName.parse("Bb")
    NoteName.parse('B♭')
    >>> str(NoteName.parse("F♯")), NoteName.parse("F#").glyphs
    ('F#', 'F♯')
    >>> NoteName.parse("Gb").fifths, NoteName.parse("F#").fifths
    (-6, 6)
    """

    step: Step
    alter: int = field(default=0, validator=_check_name)

    @classmethod
    def parse(cls, text: str, /) -> NoteName:
        """Read a letter with its accidentals: ``Bb``, ``F#``, ``F♯``, ``Cx``, ``E𝄫``.

        Raises:
            PitchSyntaxError: if the text is anything else.
        """
        scan = Scanner(text)
        step, alter = _read_name(scan)
        if not scan.done:
            raise PitchSyntaxError(
                "unread text after the note name",
                text=text,
                start=scan.at,
                end=len(text),
                expected="the end",
                suggestion=text[: scan.at],
            )
        return cls(step, alter)

    @classmethod
    def from_fifths(cls, fifths: int, /) -> NoteName:
        """The name at a place on the line of fifths (C is 0, G is 1, F is -1).

        >>> [str(NoteName.from_fifths(n)) for n in (-7, -2, 0, 6)]
        ['Cb', 'Bb', 'C', 'F#']
        """
        return _name_at(fifths)

    @property
    def fifths(self) -> int:
        """The place on the line of fifths: C is 0, each fifth up adds 1."""
        return _LETTERS[self.step][1] + 7 * self.alter

    @property
    def pitch_class(self) -> PitchClass:
        """The sound, 0 (C) to 11 (B)."""
        return PitchClass((_LETTERS[self.step][2] + self.alter) % 12)

    @property
    def glyphs(self) -> str:
        """The name with printed signs: ``B♭``, ``F𝄪``."""
        return self.step + _accidental_glyphs(self.alter)

    def __str__(self) -> str:
        return self.step + _accidental_text(self.alter)


@cache
def _name_at(fifths: int) -> NoteName:
    alter, place = divmod(fifths + 1, 7)
    return NoteName(_BY_FIFTHS[place], alter)


@frozen(order=False, repr=False)
class Pitch(Parsed):
    """A spelled note in an octave, such as B♭4; sounding or written as the
    caller says.

    Equality is of spelling: C♯4 is not D♭4, though both have :attr:`midi` 61.

    >>> p = Pitch.parse("Bb4")
    >>> p.midi, p.name.glyphs, p.place
    (70, 'B♭', 34)
    >>> Pitch.parse("Cb4").midi == Pitch.parse("B3").midi
    True
    """

    step: Step
    alter: int = field(default=0, validator=_check_name)
    octave: int = field(default=4, validator=_check_octave)

    @classmethod
    def parse(cls, text: str, /) -> Pitch:
        """Read scientific pitch notation: ``Bb4``, ``F♯5``, ``C-1``.

        Raises:
            PitchSyntaxError: if the text is anything else.
        """
        scan = Scanner(text)
        step, alter = _read_name(scan)
        start = scan.at
        sign = scan.take("-", "−")
        digits = scan.take_while("0123456789")[:2]
        scan.at = start + len(sign) + len(digits)
        if not digits or not scan.done:
            raise PitchSyntaxError(
                "unread text after the octave" if digits else "no octave",
                text=text,
                start=scan.at if digits else start,
                end=len(text),
                expected="the end" if digits else "an octave number (C4 is middle C)",
                suggestion=text[: scan.at] if digits else text[:start] + "4",
            )
        return cls(step, alter, -int(digits) if sign else int(digits))

    @classmethod
    def of(cls, name: NoteName, octave: int, /) -> Pitch:
        """The note of that name in an octave.

        >>> str(Pitch.of(NoteName.parse("Eb"), 5))
        'Eb5'
        """
        return cls(name.step, name.alter, octave)

    @classmethod
    def nearest(cls, name: NoteName, midi: int, /) -> Pitch:
        """The pitch of that name closest to a MIDI key (the lower one of two).

        >>> str(Pitch.nearest(NoteName.parse("B#"), 60))
        'B#3'
        """
        above = midi - _LETTERS[name.step][2] - name.alter
        return cls(name.step, name.alter, -((6 - above) // 12) - 1)

    @property
    def name(self) -> NoteName:
        """The note without its octave."""
        return NoteName(self.step, self.alter)

    @property
    def fifths(self) -> int:
        """The place of the name on the line of fifths (C is 0)."""
        return _LETTERS[self.step][1] + 7 * self.alter

    @property
    def pitch_class(self) -> PitchClass:
        """The sound without its octave, 0 (C) to 11 (B)."""
        return PitchClass((_LETTERS[self.step][2] + self.alter) % 12)

    @property
    def midi(self) -> int:
        """The MIDI key number; middle C (C4) is 60.

        May lie outside 0 to 127 for pitches that MIDI cannot sound.
        """
        return _LETTERS[self.step][2] + self.alter + 12 * (self.octave + 1)

    @property
    def place(self) -> int:
        """Staff place in steps: C0 is 0, D0 is 1, C4 is 28; accidentals don't count."""
        return _LETTERS[self.step][0] + 7 * self.octave

    @property
    def glyphs(self) -> str:
        """The pitch with printed signs: ``B♭4``."""
        return f"{self.step}{_accidental_glyphs(self.alter)}{self.octave}"

    def frequency(self, *, a4: float = 440.0) -> float:
        """The frequency in Hz in equal temperament, from the pitch of A4 (ISO 16).

        >>> round(Pitch.parse("C4").frequency(), 3)
        261.626
        """
        return float(a4 * 2.0 ** ((self.midi - 69) / 12))

    def sounds_like(self, other: Pitch, /) -> bool:
        """Whether both are the same key of the keyboard.

        >>> Pitch.parse("C#4").sounds_like(Pitch.parse("Db4"))
        True
        """
        return self.midi == other.midi

    def __str__(self) -> str:
        return f"{self.step}{_accidental_text(self.alter)}{self.octave}"
