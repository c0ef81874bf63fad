"""Intervals between spelled notes, of any size, quality and direction.

An interval is a pair: how many letters and how many semitones.  That is also
how MusicXML 4.0 states a transposition (``diatonic``, ``chromatic``).

Source: the sizes of the major scale's intervals, any handbook of theory
(e.g. *Open Music Theory* v2, "Intervals").
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final, overload

from attrs import frozen

from ._arguments import check_type
from ._printed import Parsed
from ._scan import Scanner
from .errors import IntervalSyntaxError
from .pitch import STEPS, NoteName, Pitch, Step

__all__ = ("OCTAVE", "UNISON", "Interval")

# number above the unison: semitones of the perfect or major interval, and which it is
_SIZES: Final[tuple[tuple[int, bool], ...]] = (
    (0, True),    # unison   perfect
    (2, False),   # second   major
    (4, False),   # third    major
    (5, True),    # fourth   perfect
    (7, True),    # fifth    perfect
    (9, False),   # sixth    major
    (11, False),  # seventh  major
)  # fmt: skip
_QUALITY_WORDS: Final = {
    "P": "a perfect", "M": "a major", "m": "a minor",
    "A": "an augmented", "d": "a diminished",
    "AA": "a doubly augmented", "dd": "a doubly diminished",
}  # fmt: skip
_NUMBER_WORDS: Final = (
    "unison", "second", "third", "fourth", "fifth", "sixth", "seventh",
)  # fmt: skip
_OCTAVE_WORDS: Final = ("", "an octave", "two octaves", "three octaves")
_STEP_NUMBER: Final = {step: number for number, step in enumerate(STEPS)}
_STEP_FIFTHS: Final = (0, 2, 4, -1, 1, 3, 5)
_STEP_SEMITONES: Final = (0, 2, 4, 5, 7, 9, 11)


@frozen(order=False, repr=False)
class Interval(Parsed):
    """A directed interval: `diatonic` letters and `chromatic` semitones.

    Both are positive upward.  Adding one to a :class:`~.pitch.Pitch` or
    :class:`~.pitch.NoteName` gives the spelled note that far away.

    >>> Interval.parse("m3")
    Interval.parse('m3')
    >>> str(Pitch.parse("F#4") + Interval.parse("M2"))
    'G#4'
    >>> str(NoteName.parse("C") - Interval.parse("M2"))
    'Bb'
    >>> str(Interval.between(Pitch.parse("C4"), Pitch.parse("Bb2")))
    '-M9'
    """

    diatonic: int
    chromatic: int

    def __attrs_post_init__(self) -> None:
        if not self.diatonic.__class__ is self.chromatic.__class__ is int:
            for what in (self.diatonic, self.chromatic):
                check_type("a side of an interval", what, int, "a whole number")

    @classmethod
    def parse(cls, text: str, /) -> Interval:
        """Read ``P5``, ``m3``, ``M9``, ``A4``, ``d5``, ``dd7``; ``-M2`` goes down.

        Raises:
            IntervalSyntaxError: if the text is no interval.
        """
        scan = Scanner(text)
        down = bool(scan.take("-", "−"))
        scan.take("+")
        start = scan.at
        quality = (
            scan.take("P", "M", "m") or scan.take_while("A") or scan.take_while("d")
        )
        digits = scan.take_while("0123456789")
        number_read = bool(digits) and len(digits) <= 4 and int(digits) > 0
        if not quality or not number_read or not scan.done:
            raise IntervalSyntaxError(
                "not an interval",
                text=text,
                start=scan.at if quality else start,
                end=len(text),
                expected="P, M, m, A or d and a number from 1, such as P5 or -M2",
            )
        octaves, number = divmod(int(digits) - 1, 7)
        semitones, perfect = _SIZES[number]
        if perfect != (quality == "P") and quality in "PMm":
            right = "P" if perfect else "M"
            raise IntervalSyntaxError(
                f"a {'perfect' if quality == 'P' else 'major or minor'} "
                f"{digits} does not exist",
                text=text,
                start=start,
                end=start + 1,
                expected="P, A or d" if perfect else "M, m, A or d",
                suggestion=f"{'-' if down else ''}{right}{digits}",
            )
        if quality[0] == "A":
            semitones += len(quality)
        elif quality[0] == "d":
            semitones -= len(quality) + (not perfect)
        elif quality == "m":
            semitones -= 1
        upward = cls(octaves * 7 + number, octaves * 12 + semitones)
        return -upward if down else upward

    @classmethod
    def between(cls, low: Pitch, high: Pitch, /) -> Interval:
        """The interval that leads from the first pitch to the second."""
        return cls(high.place - low.place, high.midi - low.midi)

    @classmethod
    def between_names(cls, low: NoteName, high: NoteName, /) -> Interval:
        """The smallest upward interval from one name to another (less than an octave
        of letters).

        >>> str(Interval.between_names(NoteName.parse("B"), NoteName.parse("Db")))
        'd3'
        """
        fifths = high.fifths - low.fifths
        diatonic = (4 * fifths) % 7
        alter = (_STEP_FIFTHS[diatonic] - fifths) // -7
        return cls(diatonic, _STEP_SEMITONES[diatonic] + alter)

    @property
    def fifths(self) -> int:
        """How far the interval moves a name on the line of fifths: P5 is 1, M2 is 2."""
        return 7 * self.chromatic - 12 * self.diatonic

    @property
    def number(self) -> int:
        """The interval's number without direction: 3 for any third, 9 for a ninth."""
        return abs(self.diatonic) + 1

    @property
    def quality(self) -> str:
        """``P``, ``M``, ``m``, ``A`` (or more) or ``d`` (or more)."""
        upward = self if (self.diatonic, self.chromatic) >= (0, 0) else -self
        octaves, number = divmod(upward.diatonic, 7)
        semitones, perfect = _SIZES[number]
        excess = upward.chromatic - semitones - 12 * octaves
        if perfect:
            return "P" if not excess else "A" * excess if excess > 0 else "d" * -excess
        if excess in (0, -1):
            return "M" if not excess else "m"
        return "A" * excess if excess > 0 else "d" * (-excess - 1)

    @property
    def words(self) -> str:
        """The interval in words, without its direction.

        >>> Interval.parse("A2").words, Interval.parse("-M9").words
        ('an augmented second', 'an octave and a major second')
        """
        octaves, number = divmod(self.number - 1, 7)
        far = octaves >= len(_OCTAVE_WORDS)
        distance = f"{octaves} octaves" if far else _OCTAVE_WORDS[octaves]
        quality = self.quality
        if octaves and not number and quality == "P":
            return distance
        named = _QUALITY_WORDS.get(quality) or (
            f"a {len(quality)} times {_QUALITY_WORDS[quality[0]].split()[1]}"
        )
        steps = f"{named} {_NUMBER_WORDS[number]}"
        return f"{distance} and {steps}" if distance else steps

    @property
    def simple(self) -> Interval:
        """The interval less its whole octaves, in the same direction.

        >>> str(Interval.parse("-M9").simple), str(Interval.parse("P8").simple)
        ('-M2', 'P1')
        """
        octaves = abs(self.diatonic) // 7 * (1 if self.diatonic >= 0 else -1)
        return Interval(self.diatonic - 7 * octaves, self.chromatic - 12 * octaves)

    def __neg__(self) -> Interval:
        return Interval(-self.diatonic, -self.chromatic)

    def __add__(self, other: Interval, /) -> Interval:
        if not isinstance(other, Interval):
            return NotImplemented
        return Interval(
            self.diatonic + other.diatonic, self.chromatic + other.chromatic
        )

    def __sub__(self, other: Interval, /) -> Interval:
        if not isinstance(other, Interval):
            return NotImplemented
        return self + -other

    def __mul__(self, times: int, /) -> Interval:
        if not isinstance(times, int):
            return NotImplemented
        return Interval(self.diatonic * times, self.chromatic * times)

    @overload
    def __radd__(self, note: NoteName, /) -> NoteName: ...
    @overload
    def __radd__(self, note: Pitch, /) -> Pitch: ...
    def __radd__(self, note: NoteName | Pitch, /) -> NoteName | Pitch:
        if isinstance(note, Pitch):
            return _shift(
                note.step, note.alter, note.octave, self.diatonic, self.chromatic
            )
        if isinstance(note, NoteName):
            return NoteName.from_fifths(note.fifths + self.fifths)
        return NotImplemented

    @overload
    def __rsub__(self, note: NoteName, /) -> NoteName: ...
    @overload
    def __rsub__(self, note: Pitch, /) -> Pitch: ...
    def __rsub__(self, note: NoteName | Pitch, /) -> NoteName | Pitch:
        if isinstance(note, Pitch):
            return _shift(
                note.step, note.alter, note.octave, -self.diatonic, -self.chromatic
            )
        if isinstance(note, NoteName):
            return NoteName.from_fifths(note.fifths - self.fifths)
        return NotImplemented

    def __str__(self) -> str:
        down = (self.diatonic, self.chromatic) < (0, 0)
        return f"{'-' if down else ''}{self.quality}{self.number}"


@lru_cache(maxsize=4096)
def _shift(step: Step, alter: int, octave: int, diatonic: int, chromatic: int) -> Pitch:
    """A pitch moved by letters and semitones; a tune has each pitch many times."""
    number = _STEP_NUMBER[step]
    octaves, moved = divmod(number + diatonic, 7)
    natural = _STEP_SEMITONES[moved] + 12 * octaves - _STEP_SEMITONES[number]
    return Pitch(STEPS[moved], alter + chromatic - natural, octave + octaves)


UNISON: Final = Interval(0, 0)
"""No distance at all."""
OCTAVE: Final = Interval(7, 12)
"""Seven letters, twelve semitones."""
