"""What instruments and books share: written and sounding pitch, and ranges.

A transposition is the interval from the *written* to the *sounding* note, as
in MusicXML 4.0 (``transpose``): a trumpet in B♭ is ``-M2``, a tenor saxophone
``-M9``, a piccolo ``P8``.  Ranges are written ranges.
"""

from __future__ import annotations

from typing import Protocol, Self, TypeVar, overload, runtime_checkable

from attrs import frozen

from .._arguments import check_text, check_type
from .._doors import door
from .._printed import Parsed
from ..errors import (
    PitchRangeError,
    RangeOrderError,
)
from ..interval import Interval
from ..key import Key
from ..pitch import NoteName, Pitch
from ..spelling.transposing import SixSigns, written_key

__all__ = (
    "PitchRange",
    "TransposeElement",
    "Transposing",
    "check_ranges",
    "check_sounds",
    "transpose_element",
)

_NoteT = TypeVar("_NoteT", Pitch, NoteName)


@runtime_checkable
class _ReadSymbol(Protocol):
    """A chord symbol, as far as an instrument needs to know it: it tells how the
    reader of a part wants to see it."""

    def written(self, by: Interval, /, *, key: Key | str | None = None) -> Self:
        """The symbol moved by an interval and spelled for its reader, in a key."""
        ...


_SymbolT = TypeVar("_SymbolT", bound=_ReadSymbol)


@frozen(order=False, repr=False)
class PitchRange(Parsed):
    """From a lowest to a highest pitch, both included.

    >>> trumpet = PitchRange.parse("F#3-E6")
    >>> Pitch.parse("Gb3") in trumpet, Pitch.parse("F3") in trumpet
    (True, False)

    Raises:
        RangeOrderError: if the low end sounds above the high end.
    """

    low: Pitch
    high: Pitch

    def __attrs_post_init__(self) -> None:
        for end in (self.low, self.high):
            check_type("an end of a range", end, Pitch, "a Pitch")
        if self.low.midi > self.high.midi:
            raise RangeOrderError(str(self.low), str(self.high))

    @classmethod
    def parse(cls, text: str, /) -> PitchRange:
        """Read two pitches in scientific notation with a hyphen: ``F#3-E6``.

        Raises:
            PitchSyntaxError: if either is no pitch.
            RangeOrderError: if the first sounds above the second.
        """
        check_text(text)
        low, _, high = text.strip().rpartition("–" if "–" in text else "-")
        return cls(Pitch.parse(low.strip()), Pitch.parse(high.strip()))

    @property
    def middle(self) -> int:
        """The MIDI key half-way (the lower of two)."""
        return (self.low.midi + self.high.midi) // 2

    def __contains__(self, pitch: Pitch) -> bool:
        return self.low.midi <= pitch.midi <= self.high.midi

    def __add__(self, by: Interval, /) -> PitchRange:
        if not isinstance(by, Interval):
            return NotImplemented
        return PitchRange(self.low + by, self.high + by)

    def __str__(self) -> str:
        return f"{self.low}-{self.high}"

    @property
    def glyphs(self) -> str:
        """The range as printed: ``F♯3–E6``."""
        return f"{self.low.glyphs}–{self.high.glyphs}"


@frozen(order=False)
class TransposeElement:
    """The three numbers of MusicXML's ``transpose``, from written to sounding."""

    diatonic: int
    chromatic: int
    octave_change: int


@door
def transpose_element(transposition: Interval, /) -> TransposeElement:
    """A transposition as MusicXML states it: less its whole octaves, and those.

    >>> transpose_element(Interval.parse("-M9"))
    TransposeElement(diatonic=-1, chromatic=-2, octave_change=-1)
    """
    simple = transposition.simple
    octaves = (transposition.diatonic - simple.diatonic) // 7
    return TransposeElement(simple.diatonic, simple.chromatic, octaves)


def check_sounds(sounding: Pitch, /) -> None:
    """Let pass only what MIDI can sound.

    Raises:
        PitchRangeError: if the pitch is not a MIDI key (0 to 127).
    """
    if not 0 <= sounding.midi <= 127:
        raise PitchRangeError(
            f"{sounding} would be MIDI key {sounding.midi}: only 0 to 127 sound"
        )


class Transposing:
    """What an instrument and a book share: they read one thing and sound another."""

    __slots__ = ()
    name: str
    transposition: Interval
    written_range: PitchRange
    comfortable_range: PitchRange
    six_signs: SixSigns

    @overload
    def written(self, sounding: _NoteT, /) -> _NoteT: ...
    @overload
    def written(
        self, sounding: _SymbolT, /, *, key: Key | str | None = None
    ) -> _SymbolT: ...
    def written(
        self,
        sounding: Pitch | NoteName | _ReadSymbol,
        /,
        *,
        key: Key | str | None = None,
    ) -> Pitch | NoteName | _ReadSymbol:
        """What is written for a sounding (concert) pitch, note name or chord symbol.

        A pitch and a name keep the letter of the interval; a chord symbol is spelled
        as the reader wants to see it, in the concert `key` it stands in, if given.

        >>> from leadsheet_theory.chords import parse_chord
        >>> from leadsheet_theory.instruments import find_instrument
        >>> alto = find_instrument("alto sax")
        >>> print(alto.written(parse_chord("C#m7b5")), alto.written(NoteName("C", 1)))
        A#m7(b5) A#

        Raises:
            PitchRangeError: if the sounding pitch is not a MIDI key (0 to 127).
        """
        if isinstance(sounding, Pitch):
            check_sounds(sounding)
        return _moved(sounding, -self.transposition, key)

    @overload
    def sounding(self, written: _NoteT, /) -> _NoteT: ...
    @overload
    def sounding(
        self, written: _SymbolT, /, *, key: Key | str | None = None
    ) -> _SymbolT: ...
    def sounding(
        self,
        written: Pitch | NoteName | _ReadSymbol,
        /,
        *,
        key: Key | str | None = None,
    ) -> Pitch | NoteName | _ReadSymbol:
        """What a written pitch, note name or chord symbol sounds.

        As with :meth:`written`; the `key` is the written one.

        Raises:
            PitchRangeError: if the sound is not a MIDI key (0 to 127).
        """
        sounds = _moved(written, self.transposition, key)
        if isinstance(sounds, Pitch):
            check_sounds(sounds)
        return sounds

    def written_key(self, concert: Key, /, *, six_signs: SixSigns | None = None) -> Key:
        """The key signature to write for a concert key, in at most six signs.

        `six_signs` settles six sharps against six flats (see
        :func:`~.spelling.transposing.written_key`); if not given, the reader's own
        habit does, where the part is transposed.
        """
        asked = self.side_at_six_signs(six_signs)
        return written_key(concert, -self.transposition, six_signs=asked)

    def side_at_six_signs(self, asked: SixSigns | None = None, /) -> SixSigns:
        """How a part decides between six sharps and six flats: as asked, or by the
        reader's `six_signs`; a part at the source's pitch as the source."""
        if asked is not None:
            return asked
        return self.six_signs if self.transposition.fifths else "source"

    def sounding_key(self, written: Key, /, *, six_signs: SixSigns = "source") -> Key:
        """The concert key of a written one, in at most six signs."""
        return written_key(written, self.transposition, six_signs=six_signs)

    @property
    def sounds(self) -> str:
        """Where a written note sounds, in words.

        >>> from leadsheet_theory.instruments import find_instrument
        >>> find_instrument("tenor sax").sounds
        'an octave and a major second lower'
        """
        by = self.transposition
        if not by.chromatic:
            return "as written"
        return f"{by.words} {'lower' if by.chromatic < 0 else 'higher'}"

    def interval_to(self, other: Transposing, /) -> Interval:
        """What to add to the notes written here for `other` to sound the same."""
        return self.transposition - other.transposition


def _moved(
    sound: Pitch | NoteName | _ReadSymbol, by: Interval, key: Key | str | None
) -> Pitch | NoteName | _ReadSymbol:
    if isinstance(sound, Pitch | NoteName):
        return sound + by
    check_type(
        "what is to be transposed", sound, _ReadSymbol, "a pitch, a name or a chord"
    )
    return sound.written(by, key=key)


def check_ranges(reader: Transposing) -> None:
    """Hold a reader to ranges that can be: one inside the other, and both sounding."""
    span, easy = reader.written_range, reader.comfortable_range
    check_type("a transposition", reader.transposition, Interval, "an Interval")
    for given in (span, easy):
        check_type("a range", given, PitchRange, "a PitchRange")
    if easy.low not in span or easy.high not in span:
        raise PitchRangeError(
            f"{reader.name}: the comfortable range {easy} reaches beyond {span}"
        )
    check_sounds(span.low + reader.transposition)
    check_sounds(span.high + reader.transposition)
