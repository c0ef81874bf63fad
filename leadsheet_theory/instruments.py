"""Instruments, how they transpose, and the books a band's parts are printed in.

A transposition is the interval from the *written* to the *sounding* note, as
in MusicXML 4.0 (``transpose``): a trumpet in B♭ is ``-M2``, a tenor saxophone
``-M9``, a piccolo ``P8``.  Ranges are written ranges.

A *book* is the trade's word for the parts of one transposition: the B♭ book is
read by trumpet, clarinet, soprano and tenor saxophone alike.  It is written
with the plain transposition (B♭ ``-M2``, E♭ ``-M6``, F ``-P5``); readers whose
instruments sound further octaves away read the same page and sound there.

The table itself, with the source of each row, is in ``_instrument_table.py``.
The five books and the readers that set their ranges are common practice,
without a published source.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from difflib import get_close_matches
from functools import lru_cache
from typing import Final, Literal, TypeVar, cast, get_args

from attrs import field, frozen

from ._arguments import check_text
from ._instrument_names import CHAIRS, KEYS, words_of
from ._instrument_table import ROWS, SOURCES
from .clefs import BASS_CLEF, CLEFS, TREBLE_CLEF, Clef
from .errors import (
    ClefError,
    PitchRangeError,
    RangeOrderError,
    UnknownBookError,
    UnknownInstrumentError,
)
from .interval import Interval
from .key import Key
from .pitch import NoteName, Pitch
from .spelling import SixSigns, written_key

__all__ = (
    "FAMILIES",
    "INSTRUMENTS",
    "STANDARD_BOOKS",
    "Book",
    "Family",
    "Instrument",
    "PitchRange",
    "TransposeElement",
    "book_for",
    "check_sounds",
    "find_book",
    "find_instrument",
    "transpose_element",
)

Family = Literal[
    "woodwind", "brass", "strings", "plucked strings", "keyboard",
    "pitched percussion", "voice",
]  # fmt: skip
"""The families of instruments."""

FAMILIES: Final[tuple[Family, ...]] = get_args(Family)
"""The families in the order of a score."""

_NoteT = TypeVar("_NoteT", Pitch, NoteName)


@frozen(order=False)
class PitchRange:
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
        low, _, high = text.strip().replace("–", "-").rpartition("-")
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


class _Transposing:
    """What an instrument and a book share: they read one thing and sound another."""

    __slots__ = ()
    transposition: Interval

    def written(self, sounding: _NoteT, /) -> _NoteT:
        """The written note for a sounding (concert) pitch or note name.

        Raises:
            PitchRangeError: if the sounding pitch is not a MIDI key (0 to 127).
        """
        if isinstance(sounding, Pitch):
            check_sounds(sounding)
        return sounding - self.transposition

    def sounding(self, written: _NoteT, /) -> _NoteT:
        """What a written pitch or note name sounds.

        Raises:
            PitchRangeError: if the sound is not a MIDI key (0 to 127).
        """
        sounds = written + self.transposition
        if isinstance(sounds, Pitch):
            check_sounds(sounds)
        return sounds

    def written_key(self, concert: Key, /, *, six_signs: SixSigns = "source") -> Key:
        """The key signature to write for a concert key, in at most six signs.

        `six_signs` settles six sharps against six flats (see
        :func:`~.spelling.written_key`).
        """
        return written_key(concert, -self.transposition, six_signs=six_signs)

    def sounding_key(self, written: Key, /, *, six_signs: SixSigns = "source") -> Key:
        """The concert key of a written one, in at most six signs."""
        return written_key(written, self.transposition, six_signs=six_signs)

    @property
    def sounds(self) -> str:
        """Where a written note sounds, in words.

        >>> find_instrument("tenor sax").sounds
        'an octave and a major second lower'
        """
        return _sounds(self.transposition)

    def interval_to(self, other: Instrument | Book, /) -> Interval:
        """What to add to the notes written here for `other` to sound the same."""
        return self.transposition - other.transposition


_QUALITY_WORDS: Final = {
    "P": "a perfect", "M": "a major", "m": "a minor",
    "A": "an augmented", "d": "a diminished",
}  # fmt: skip
_NUMBER_WORDS: Final = (
    "unison", "second", "third", "fourth", "fifth", "sixth", "seventh",
)  # fmt: skip
_OCTAVE_WORDS: Final = ("", "an octave", "two octaves", "three octaves")


def _sounds(transposition: Interval) -> str:
    if not transposition.chromatic:
        return "as written"
    octaves, number = divmod(transposition.number - 1, 7)
    quality = transposition.quality
    whole_octaves = not number and quality == "P"
    words = _QUALITY_WORDS.get(quality, f"a {quality}")
    steps = "" if whole_octaves else f"{words} {_NUMBER_WORDS[number]}"
    far = octaves >= len(_OCTAVE_WORDS)
    distance = f"{octaves} octaves" if far else _OCTAVE_WORDS[octaves]
    parts = filter(None, (distance, steps))
    return (
        f"{' and '.join(parts)} {'lower' if transposition.chromatic < 0 else 'higher'}"
    )


def _check_ranges(reader: Instrument | Book) -> None:
    """Hold a reader to ranges that can be: one inside the other, and both sounding."""
    span, easy = reader.written_range, reader.comfortable_range
    if easy.low not in span or easy.high not in span:
        raise PitchRangeError(
            f"{reader.name}: the comfortable range {easy} reaches beyond {span}"
        )
    check_sounds(span.low + reader.transposition)
    check_sounds(span.high + reader.transposition)


@frozen(order=False)
class Instrument(_Transposing):
    """An instrument as one clef convention writes it.

    `clefs` holds one clef, or two for a grand staff.  An instrument of your
    own needs no entry anywhere: build it and pass it to any function, or put
    it in front of the table where names are looked up.

    >>> alto = find_instrument("Alto Sax")
    >>> str(alto.transposition), str(alto.written(Pitch.parse("Eb4")))
    ('-M6', 'C5')
    >>> str(alto.interval_to(find_instrument("tsx")))
    'P4'
    >>> str(alto.written_key(Key.parse("E")))
    'Db major'
    >>> mine = Instrument("Tenor Violin", (CLEFS["bass"],),
    ...                   Interval.parse("P1"),
    ...                   PitchRange.parse("G2-A5"), PitchRange.parse("G2-D5"))
    >>> find_instrument("tenor violin", instruments=(mine, *INSTRUMENTS)) == mine
    True
    """

    name: str
    clefs: tuple[Clef, ...]
    transposition: Interval
    written_range: PitchRange
    comfortable_range: PitchRange
    family: Family | Literal[""] = field(default="", kw_only=True)
    sound_id: str = field(default="", kw_only=True)
    aliases: tuple[str, ...] = field(default=(), kw_only=True)
    source: str = field(default="", kw_only=True, eq=False)

    def __attrs_post_init__(self) -> None:
        if not self.clefs:
            raise ClefError(
                f"{self.name} has no clef: expected one, or two for a grand staff"
            )
        _check_ranges(self)

    @property
    def clef(self) -> Clef:
        """The clef for a single line of melody."""
        return self.clefs[0]

    @property
    def ascii_name(self) -> str:
        """The name without printed signs: ``Trumpet in Bb``."""
        return self.name.replace("♭", "b").replace("♯", "#")

    @property
    def sounding_range(self) -> PitchRange:
        """The range as it sounds."""
        return self.written_range + self.transposition

    def __str__(self) -> str:
        return self.name


@frozen(order=False)
class Book(_Transposing):
    """The parts of one transposition and clef, read by several instruments.

    `name` is as printed (``B♭``), `ascii_name` as typed and in file names
    (``Bb``).  The ranges are written ranges that the usual readers share; `sound_id`
    is the MusicXML sound that a file of the book asks for.

    >>> book = find_book("Bb")
    >>> book.name, book.clef.name, str(book.transposition)
    ('B♭', 'treble', '-M2')
    >>> str(book.written(Pitch.parse("Eb4")))
    'F4'
    """

    name: str
    ascii_name: str
    clef: Clef
    transposition: Interval
    written_range: PitchRange
    comfortable_range: PitchRange
    sound_id: str = field(default="", kw_only=True)

    def __attrs_post_init__(self) -> None:
        _check_ranges(self)

    @classmethod
    def of(cls, instrument: Instrument, /) -> Book:
        """A book for one instrument alone, named after it."""
        return cls(
            instrument.name,
            instrument.ascii_name,
            instrument.clef,
            instrument.transposition,
            instrument.written_range,
            instrument.comfortable_range,
            sound_id=instrument.sound_id,
        )

    def serves(self, instrument: Instrument, /) -> bool:
        """Whether the instrument reads this book: same clef, same note names
        (octaves apart or not).

        >>> find_book("Eb").serves(find_instrument("baritone sax"))
        True
        """
        apart = instrument.transposition - self.transposition
        return apart.fifths == 0 and _staff(instrument.clef) == _staff(self.clef)

    def readers(
        self, *, instruments: Iterable[Instrument] | None = None
    ) -> tuple[Instrument, ...]:
        """The instruments of the table (or of `instruments`) that read this book.

        >>> [reader.name for reader in find_book("F").readers()][:2]
        ['English Horn', 'Basset Horn in F']
        """
        pool = INSTRUMENTS if instruments is None else instruments
        return tuple(each for each in pool if self.serves(each))

    def __str__(self) -> str:
        return self.name


def _staff(clef: Clef) -> tuple[str, int]:
    """The clef, whatever its octave: a tenor reads a treble page."""
    return clef.sign, clef.line


def _clefs_named(name: str) -> tuple[Clef, ...]:
    return (TREBLE_CLEF, BASS_CLEF) if name == "grand" else (CLEFS[name],)


def _source_text(letters: str) -> str:
    parts = zip(
        ("range", "transposition", "comfortable range"), letters.split(), strict=True
    )
    return "; ".join(f"{what}: {SOURCES[letter]}" for what, letter in parts)


def _build_instruments() -> tuple[Instrument, ...]:
    built = []
    for family, rows in ROWS.items():
        for name, others, sound_id, clef, interval, span, easy, source in rows:
            aliases = tuple(each.strip() for each in others.split(";") if each.strip())
            built.append(
                Instrument(
                    name,
                    _clefs_named(clef),
                    Interval.parse(interval),
                    PitchRange.parse(span),
                    PitchRange.parse(easy),
                    family=cast("Family", family),
                    sound_id=sound_id,
                    aliases=aliases,
                    source=_source_text(source),
                )
            )
    return tuple(built)


INSTRUMENTS: Final[tuple[Instrument, ...]] = _build_instruments()
"""Every row of the table."""


_SOUND_IDS: Final = {each.name: each.sound_id for each in INSTRUMENTS}


def _book(
    name: str, ascii_name: str, clef: Clef, interval: str, span: str, easy: str,
    usual_reader: str,
) -> Book:  # fmt: skip
    return Book(
        name,
        ascii_name,
        clef,
        Interval.parse(interval),
        PitchRange.parse(span),
        PitchRange.parse(easy),
        sound_id=_SOUND_IDS[usual_reader],
    )


STANDARD_BOOKS: Final[tuple[Book, ...]] = (
    # The range ends where the readers' range ends, or where notes are no longer
    # read at sight; the comfortable range is what all of the usual readers share.
    #     name     in ASCII  clef         sounds  range     comfortable  sound of
    _book("C",     "C",      TREBLE_CLEF, "P1",  "E3-E6",   "G3-B5",  "Flute"),
    _book("B♭",    "Bb",     TREBLE_CLEF, "-M2", "F#3-E6",  "Bb3-A5", "Trumpet in B♭"),
    _book("E♭",    "Eb",     TREBLE_CLEF, "-M6", "Bb3-F#6", "D4-D6",
          "Alto Saxophone in E♭"),
    _book("F",     "F",      TREBLE_CLEF, "-P5", "F#3-C6",  "C4-G5",
          "Horn in F (treble clef)"),
    _book("Bass clef", "Bass clef",
                             BASS_CLEF,   "P1",  "E2-F5",   "F2-F4",  "Trombone"),
)  # fmt: skip
"""The five books of a jazz band: C, B♭, E♭ and F in treble clef, and bass clef."""


_BOOK_WORDS: Final = ("treble", "trebleclef", "book")


def find_book(name: str, /, *, books: Sequence[Book] = STANDARD_BOOKS) -> Book:
    """The book of that name: ``B♭``, ``Bb``, ``b-flat``, ``C treble``, ``bass clef``.

    Raises:
        UnknownBookError: if there is none.
    """
    whole = words_of(name)
    plain = tuple(word for word in whole if word not in _BOOK_WORDS)
    for book in books:
        called = (words_of(book.name), words_of(book.ascii_name))
        if whole in called or plain in called:
            return book
    raise UnknownBookError(name, tuple(book.ascii_name for book in books))


def book_for(
    instrument: Instrument, /, *, books: Sequence[Book] = STANDARD_BOOKS
) -> Book:
    """The book an instrument reads; one of its own if none of `books` serves it.

    >>> book_for(find_instrument("tenor sax")).name
    'B♭'
    >>> book_for(find_instrument("viola")).name
    'Viola'
    """
    for book in books:
        if book.serves(instrument):
            return book
    return Book.of(instrument)


# ── Finding an instrument by name ────────────────────────────────────────────────


def _index(instruments: tuple[Instrument, ...]) -> Mapping[str, tuple[Instrument, ...]]:
    """From the sorted words of every name and alias to the instruments so called.

    An instrument's own name beats another's alias; of two with one name the
    first stands.
    """
    names: dict[str, tuple[Instrument, ...]] = {}
    aliases: dict[str, tuple[Instrument, ...]] = {}
    for instrument in instruments:
        own = _sorted_words(instrument.name)
        if own in names:
            continue
        names[own] = (instrument,)
        for alias in instrument.aliases:
            key = _sorted_words(alias)
            known = aliases.get(key, ())
            if instrument not in known:
                aliases[key] = (*known, instrument)
    return {**aliases, **names}


def _sorted_words(name: str) -> str:
    return " ".join(sorted(words_of(name)))


_index_cached = lru_cache(maxsize=8)(_index)
_TABLE_INDEX: Final = _index(INSTRUMENTS)


def find_instrument(
    name: str, /, *, instruments: Sequence[Instrument] = INSTRUMENTS
) -> Instrument:
    """The instrument of that name, in any of the ways parts are headed.

    Read are the table's names and their aliases, abbreviations, the words in
    any order, a key (``in B♭``) where it is the instrument's own, the number of a
    chair, and MusicXML sound ids.  Put instruments of your own in front of the
    table to have them found too.

    >>> for name in ("Alto Sax", "asx", "Tpt. in B♭", "2nd Bb Trumpet"):
    ...     print(find_instrument(name))
    Alto Saxophone in E♭
    Alto Saxophone in E♭
    Trumpet in B♭
    Trumpet in B♭

    Raises:
        UnknownInstrumentError: if nothing, or more than one instrument, is so called.
    """
    pool = tuple(instruments)
    index = _TABLE_INDEX if instruments is INSTRUMENTS else _index_cached(pool)
    words = words_of(name)
    for attempt in (words, tuple(word for word in words if word not in CHAIRS)):
        found = index.get(" ".join(sorted(attempt)), ())
        if not found:
            found = _without_key(attempt, index)
        if len(found) == 1:
            return found[0]
        if found:
            raise UnknownInstrumentError(
                name, tuple(each.name for each in found), ambiguous=True
            )
    for instrument in pool:
        if instrument.sound_id == name:
            return instrument
    raise UnknownInstrumentError(name, *_suggestions(words, pool, index))


def _without_key(
    words: Sequence[str], index: Mapping[str, tuple[Instrument, ...]]
) -> tuple[Instrument, ...]:
    """Instruments named by all words but a key that is their own."""
    for word in words:
        if word in KEYS and len(words) > 1:
            rest = sorted(other for other in words if other != word)
            found = tuple(
                instrument
                for instrument in index.get(" ".join(rest), ())
                if instrument.transposition.chromatic % 12 == KEYS[word]
            )
            if found:
                return found
    return ()


def _suggestions(
    words: tuple[str, ...],
    pool: tuple[Instrument, ...],
    index: Mapping[str, tuple[Instrument, ...]],
) -> tuple[tuple[str, ...], bool]:
    """Names that may have been meant, and whether all of them hold every word."""
    wanted = set(words)
    holding = [each.name for each in pool if wanted <= set(words_of(each.name))]
    if wanted and len(holding) > 1:
        return tuple(holding), True
    known = sorted({word for key in index for word in key.split()})
    for word in wanted.difference(known):
        wanted.remove(word)
        wanted.update(get_close_matches(word, known, n=1, cutoff=0.7))
    likeness: dict[str, float] = {}
    for key, instruments in index.items():
        own = set(key.split())
        for each in instruments:
            alike = len(wanted & own) / len(wanted | own)
            likeness[each.name] = max(alike, likeness.get(each.name, 0))
    best = sorted(likeness, key=lambda name: -likeness[name])
    return tuple(name for name in best[:3] if likeness[name] > 0), False
