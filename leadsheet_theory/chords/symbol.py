"""Chord symbols as values."""

from __future__ import annotations

from typing import Final, Self, cast

from attrs import field, frozen

from .. import chords as room  # for what stands on this module; loaded when used
from .._arguments import check_type
from .._printed import Printed, Shown
from ..errors import ChordSpellingError
from ..interval import Interval
from ..key import Key, as_key
from ..pitch import NoteName
from .ambiguity import other_readings
from .quality import MAJOR_TRIAD, Degree, Quality
from .styles import CANONICAL, HouseStyle, printed_suffix, suffix_text
from .tones import guide_degrees, tensions

__all__ = (
    "Chord",
    "ChordSymbol",
    "NoChord",
    "OtherReading",
    "PolyChord",
    "print_chord",
)


@frozen(order=False)
class OtherReading(Printed):
    """Another chord that some read in the same printed symbol, and who does."""

    chord: Chord
    why: str

    def __str__(self) -> str:
        return f"{self.chord} ({self.why})"


class _Symbol(Printed, Shown):
    """What all chord symbols share: they print, they move, and players read them."""

    __slots__ = ()

    def text(self, style: HouseStyle, /) -> str:
        """The symbol printed in a house style."""
        raise NotImplementedError

    def transposed(self, by: Interval, /) -> Self:
        """The symbol moved by an interval, letters and all; ``chord + by`` does it
        too."""
        raise NotImplementedError

    def written(self, by: Interval, /, *, key: Key | str | None = None) -> Self:
        """The symbol moved by an interval and spelled for its reader.

        In a key it is spelled as :func:`~.chords.respell.written_chords` spells a
        whole tune, which is the better judge where its neighbours are known.
        Without a key its root takes the name whose chord tones have the fewest
        accidentals, the letter of the interval where two are equal.

        >>> from leadsheet_theory.chords import parse_chord
        >>> up = Interval.parse("M6")
        >>> chord = parse_chord("C#7/G#")
        >>> print(chord + up, "or", chord.written(up))
        A#7/E# or Bb7/F
        >>> print(parse_chord("A7").written(up, key="D major"))
        F#7

        Args:
            by: the interval up to the reader's notes.
            key: the key it stands in before it is moved, or the text of one.
        """
        symbol = room.respell.written_symbol(
            cast("ChordSymbol", self), by, key=None if key is None else as_key(key)
        )
        return cast(Self, symbol)

    def __add__(self, by: Interval, /) -> Self:
        if not isinstance(by, Interval):
            return NotImplemented
        return self.transposed(by)

    def __sub__(self, by: Interval, /) -> Self:
        if not isinstance(by, Interval):
            return NotImplemented
        return self.transposed(-by)

    def __str__(self) -> str:
        return self.text(CANONICAL)


@frozen(order=False, cache_hash=True, repr=False)
class Chord(_Symbol):
    """A chord symbol: root, quality and perhaps a bass.

    Equality is of meaning as spelled: ``C-7`` equals ``Cm7``, ``C#7`` is not
    ``Db7``, and `source`, the text it was read from, does not count.  A bass
    that is the root is no bass.  An `optional` chord stands in brackets: it may be
    played or left out.

    >>> from leadsheet_theory.chords import parse_chord
    >>> chord = parse_chord("F#m7b5/C")
    >>> str(chord), " ".join(map(str, chord.tones)), sorted(chord.pitch_classes)
    ('F#m7(b5)/C', 'F# A C E', [0, 4, 6, 9])
    """

    root: NoteName
    quality: Quality = MAJOR_TRIAD
    bass: NoteName | None = None
    source: str = field(default="", eq=False)
    optional: bool = False

    def __attrs_post_init__(self) -> None:
        if self.root.__class__ is not NoteName or self.quality.__class__ is not Quality:
            check_type("a root", self.root, NoteName, "a NoteName")
            check_type("a quality", self.quality, Quality, "a Quality")
        if self.bass is None:
            return
        check_type("a bass", self.bass, NoteName, "a NoteName or None")
        if self.bass == self.root:
            object.__setattr__(self, "bass", None)

    @property
    def tones(self) -> tuple[NoteName, ...]:
        """The chord's own tones, spelled as degrees above the root; without a
        foreign bass."""
        return self._spelled(self.quality.degrees)

    @property
    def notes(self) -> tuple[NoteName, ...]:
        """All that sounds, from the bass up: the bass first, then the other tones.

        >>> from leadsheet_theory.chords import parse_chord
        >>> " ".join(map(str, parse_chord("C7/E").notes))
        'E C G Bb'
        """
        if self.bass is None:
            return self.tones
        bass = self.bass
        return (bass, *(tone for tone in self.tones if tone != bass))

    @property
    def pitch_classes(self) -> frozenset[int]:
        """The keys of the keyboard it sounds, 0 (C) to 11 (B), bass included."""
        root = self.root.pitch_class
        own = frozenset((root + n) % 12 for n in self.quality.semitones)
        return own if self.bass is None else own | {self.bass.pitch_class}

    @property
    def guide_tones(self) -> tuple[NoteName, ...]:
        """Third and seventh, or the tones that stand for them.

        >>> from leadsheet_theory.chords import parse_chord
        >>> " ".join(map(str, parse_chord("G7sus4").guide_tones))
        'C F'
        """
        return self._spelled(guide_degrees(self.quality))

    @property
    def tensions(self) -> tuple[NoteName, ...]:
        """The notes that may join the chord as tensions (9, 11, 13), spelled.

        >>> from leadsheet_theory.chords import parse_chord
        >>> " ".join(map(str, parse_chord("Fm7").tensions))
        'G Bb D'
        """
        return self._spelled(tensions(self.quality))

    def _spelled(self, degrees: tuple[Degree, ...]) -> tuple[NoteName, ...]:
        root = self.root.fifths
        return tuple(NoteName.from_fifths(root + _fifths(d)) for d in degrees)

    @property
    def bass_degree(self) -> Degree | None:
        """The chord tone that the bass sounds (as spelled or not), or None.

        Without a slash bass it is the root, if that sounds at all.
        """
        sound = (self.bass or self.root).pitch_class - self.root.pitch_class
        for degree in self.quality.degrees:
            if (degree.semitones - sound) % 12 == 0:
                return degree
        return None

    @property
    def ambiguities(self) -> tuple[OtherReading, ...]:
        """The other ways to read `source`; empty for most symbols.

        >>> from leadsheet_theory.chords import parse_chord
        >>> print(*parse_chord("C11").ambiguities)
        C9sus4 (the third is left out: Wikipedia, 'Eleventh chord'; Dobrian 2014)
        """
        if not self.source:
            return ()
        printed = self._printed
        if self.bass is not None:
            printed = printed.rpartition("/")[0] or printed
        return tuple(
            OtherReading(Chord(root, quality, self.bass), why)
            for root, quality, why in other_readings(printed, self.root)
        )

    def transposed(self, by: Interval, /) -> Chord:
        """The chord moved by an interval, root and bass alike.

        A name that would take three accidentals, which no symbol can print, gives way
        to the one that sounds alike:

        >>> from leadsheet_theory.chords import parse_chord
        >>> str(parse_chord("Cbb13sus4").transposed(Interval.parse("m3")))
        'Db13sus4'
        """
        bass = None if self.bass is None else self.bass + by
        root = self.root + by
        moved = Chord(root, self.quality, bass, optional=self.optional)
        if abs(root.alter) > _MOST_ACCIDENTALS:
            moved = moved.respelled(_printable(root))
        bass = moved.bass
        if bass is not None and abs(bass.alter) > _MOST_ACCIDENTALS:
            moved = Chord(
                moved.root, self.quality, _printable(bass), optional=self.optional
            )
        return moved

    def into_key(self, old: Key, new: Key, /) -> Chord:
        """The chord that stands in the new key as this one does in the old."""
        return self.transposed(Interval.between_names(old.tonic, new.tonic))

    def respelled(self, root: NoteName, /) -> Chord:
        """The same sound from a root spelled otherwise.

        A bass that is a chord tone is spelled as that tone; another takes the
        name with the fewest accidentals.

        >>> from leadsheet_theory.chords import parse_chord
        >>> str(parse_chord("G#m7/D#").respelled(NoteName.parse("Ab")))
        'Abm7/Eb'

        Raises:
            ChordSpellingError: if the new root does not sound like the old.
        """
        if root.pitch_class != self.root.pitch_class:
            raise ChordSpellingError(
                f"{root.glyphs} does not sound like {self.root.glyphs}, "
                f"the root of {self}"
            )
        if self.bass is None:
            return Chord(root, self.quality, optional=self.optional)
        degree = self.bass_degree
        if degree is not None:
            bass = NoteName.from_fifths(root.fifths + _fifths(degree))
        else:
            moved = self.bass.fifths + root.fifths - self.root.fifths
            bass = min(
                (NoteName.from_fifths(moved + 12 * n) for n in (0, -1, 1)),
                key=lambda name: abs(name.alter),
            )
        return Chord(root, self.quality, bass, optional=self.optional)

    def same_text(self, other: Chord, /) -> bool:
        """Whether both were read from the same text; equality is of meaning."""
        return self.source == other.source

    def sounds_like(self, other: Chord, /) -> bool:
        """Whether both have the same pitch classes over the same bass.

        >>> from leadsheet_theory.chords import parse_chord
        >>> parse_chord("C#7").sounds_like(parse_chord("Db7"))
        True
        """
        bass, other_bass = self.bass or self.root, other.bass or other.root
        return (
            bass.pitch_class == other_bass.pitch_class
            and self.pitch_classes == other.pitch_classes
        )

    @property
    def own_suffix(self) -> str | None:
        """What `source` has between root and bass, or None if that is not a text for
        this chord.

        >>> from leadsheet_theory.chords import parse_chord
        >>> parse_chord("B♭△7/D").own_suffix, Chord(NoteName("C")).own_suffix
        ('△7', None)
        """
        return printed_suffix(self._printed, self.root, self.quality, self.bass)

    @property
    def _printed(self) -> str:
        """The text without the brackets of an optional chord."""
        text = self.source.strip()
        return text[1:-1].strip() if self.optional else text

    def text(self, style: HouseStyle, /) -> str:
        """The symbol printed in a house style."""
        text = style.root_text(self.root) + suffix_text(self.quality, style)
        if self.bass is not None:
            text += style.slash + style.root_text(self.bass)
        return f"({text})" if self.optional else text

    def __repr__(self) -> str:
        return f"parse_chord({str(self)!r})"


def _fifths(degree: Degree) -> int:
    """How far a degree moves the root on the line of fifths."""
    return 7 * degree.semitones - 12 * (degree.number - 1)


_MOST_ACCIDENTALS: Final = 2


def _printable(name: NoteName) -> NoteName:
    """The name of the same sound with at most two accidentals."""
    while abs(name.alter) > _MOST_ACCIDENTALS:
        name = NoteName.from_fifths(name.fifths + (-12 if name.alter > 0 else 12))
    return name


@frozen(order=False, repr=False)
class PolyChord(_Symbol):
    """One chord over another, both sounding in full: ``D|C`` is D over C."""

    upper: Chord
    lower: Chord
    source: str = field(default="", eq=False)

    def __attrs_post_init__(self) -> None:
        for chord in (self.upper, self.lower):
            check_type("half of a polychord", chord, Chord, "a Chord")

    @property
    def tones(self) -> tuple[NoteName, ...]:
        """The tones of the lower chord, then those that the upper adds."""
        lower = self.lower.notes
        return lower + tuple(t for t in self.upper.notes if t not in lower)

    @property
    def pitch_classes(self) -> frozenset[int]:
        """The keys of the keyboard that both sound, 0 (C) to 11 (B)."""
        return self.lower.pitch_classes | self.upper.pitch_classes

    @property
    def ambiguities(self) -> tuple[OtherReading, ...]:
        """The other ways to read either chord."""
        return self.upper.ambiguities + self.lower.ambiguities

    def transposed(self, by: Interval, /) -> PolyChord:
        """Both chords moved by an interval."""
        return PolyChord(self.upper.transposed(by), self.lower.transposed(by))

    def text(self, style: HouseStyle, /) -> str:
        """The symbol printed in a house style."""
        return self.upper.text(style) + style.polychord + self.lower.text(style)

    def __repr__(self) -> str:
        return f"parse_symbol({str(self)!r})"


@frozen(order=False, repr=False)
class NoChord(_Symbol):
    """N.C.: no chord sounds; or, if `unnamed`, one that no symbol names (``X`` in the
    Harte syntax)."""

    source: str = field(default="", eq=False)
    unnamed: bool = False

    @property
    def tones(self) -> tuple[NoteName, ...]:
        """No tones."""
        return ()

    @property
    def pitch_classes(self) -> frozenset[int]:
        """Nothing sounds."""
        return frozenset()

    @property
    def ambiguities(self) -> tuple[OtherReading, ...]:
        """No chord is no chord."""
        return ()

    def transposed(self, by: Interval, /) -> NoChord:  # noqa: ARG002
        """Silence stays silence."""
        return self

    def text(self, style: HouseStyle, /) -> str:
        """The sign printed in a house style; ``X`` for a chord without a name."""
        return "X" if self.unnamed else style.no_chord

    def __repr__(self) -> str:
        return "NoChord(unnamed=True)" if self.unnamed else "NoChord()"


ChordSymbol = Chord | PolyChord | NoChord
"""Anything that stands where a chord symbol may."""


def print_chord(symbol: ChordSymbol, style: HouseStyle, /) -> str:
    """A chord symbol printed in a house style."""
    return symbol.text(style)
