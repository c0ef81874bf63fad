"""The books a band's parts are printed in, and who reads them.

A *book* is the trade's word for the parts of one transposition: the B♭ book is
read by trumpet, clarinet, soprano and tenor saxophone alike.  It is written
with the plain transposition (B♭ ``-M2``, E♭ ``-M6``, F ``-P5``); readers whose
instruments sound further octaves away read the same page and sound there.

The five books and the readers that set their ranges are common practice,
without a published source.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from attrs import frozen

from .._arguments import check_type
from .._doors import door
from .._printed import Shown, Told
from ..errors import (
    UnknownBookError,
    UnknownNameError,
)
from ..interval import Interval
from ..spelling.transposing import SixSigns
from ._names import words_of
from .clefs import BASS_CLEF, TREBLE_CLEF, Clef
from .instrument import Instrument
from .table import INSTRUMENTS, find_instrument
from .transposing import PitchRange, Transposing, check_ranges

__all__ = (
    "STANDARD_BOOKS",
    "USUAL_READERS",
    "Book",
    "as_readers",
    "book_for",
    "find_book",
)


@frozen(order=False, repr=False, kw_only=True)
class Book(Transposing, Told, Shown):
    """The parts of one transposition and clef, read by several instruments.

    `name` is as printed (``B♭``), `ascii_name` as typed and in file names
    (``Bb``).  The ranges are written ranges that the usual readers share; `sound_id`
    is the MusicXML sound that a file of the book asks for, `six_signs` the side that
    its readers prefer at six signs.

    >>> from leadsheet_theory.pitch import Pitch
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
    sound_id: str = ""
    six_signs: SixSigns = "source"

    def __attrs_post_init__(self) -> None:
        check_ranges(self)

    @classmethod
    def of(cls, instrument: Instrument, /) -> Book:
        """A book for one instrument alone, named after it."""
        return cls(
            name=instrument.name,
            ascii_name=instrument.ascii_name,
            clef=instrument.clef,
            transposition=instrument.transposition,
            written_range=instrument.written_range,
            comfortable_range=instrument.comfortable_range,
            sound_id=instrument.sound_id,
            six_signs=instrument.six_signs,
        )

    def serves(self, instrument: Instrument, /) -> bool:
        """Whether the instrument reads this book: same clef, same note names
        (octaves apart or not).

        >>> from leadsheet_theory.instruments import find_instrument
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


_SOUND_IDS: Final = {each.name: each.sound_id for each in INSTRUMENTS}


USUAL_READERS: Final[dict[str, tuple[str, ...]]] = {
    "C": ("Guitar", "Violin", "Piano"),
    "B♭": ("Trumpet in B♭", "Clarinet in B♭", "Soprano Saxophone in B♭",
           "Tenor Saxophone in B♭"),
    "E♭": ("Alto Saxophone in E♭", "Baritone Saxophone in E♭"),
    "F": ("Horn in F (treble clef)", "Mellophone in F"),
    "Bass clef": ("Trombone", "Euphonium (bass clef)", "Double Bass"),
}  # fmt: skip
"""Who usually reads each book and so sets its range, the first before the others
(common practice, no source).  A flute reads the C book an octave up where it goes too
low.
"""

_Row = tuple[str, str, Clef, str, str, str, str]

# Ranges are written; who sets them is told at STANDARD_BOOKS.  The readers' own ranges
# have their sources in the table of instruments.
_ROWS: Final[tuple[_Row, ...]] = (
    # name, in ASCII, clef, sounds, range, comfortable, sound of
    ("C", "C", TREBLE_CLEF, "P1", "E3-E6", "G3-B5", "Flute"),
    ("B♭", "Bb", TREBLE_CLEF, "-M2", "F#3-E6", "Bb3-A5", "Trumpet in B♭"),
    ("E♭", "Eb", TREBLE_CLEF, "-M6", "Bb3-F#6", "D4-D6", "Alto Saxophone in E♭"),
    ("F", "F", TREBLE_CLEF, "-P5", "F#3-C6", "C4-G5", "Horn in F (treble clef)"),
    ("Bass clef", "Bass clef", BASS_CLEF, "P1", "E2-F5", "F2-F4", "Trombone"),
)  # fmt: skip

STANDARD_BOOKS: Final[tuple[Book, ...]] = tuple(
    Book(
        name=name,
        ascii_name=ascii_name,
        clef=clef,
        transposition=Interval.parse(interval),
        written_range=PitchRange.parse(span),
        comfortable_range=PitchRange.parse(easy),
        sound_id=_SOUND_IDS[usual_reader],
        # transposed books are read by winds
        six_signs="source" if interval == "P1" else "flats",
    )
    for name, ascii_name, clef, interval, span, easy, usual_reader in _ROWS
)
"""The five books of a jazz band: C, B♭, E♭ and F in treble clef, and bass clef.

Their ranges (common practice, no source) are set by readers of the table:

=========  ===============  ====================================================
Book       Range            Comfortable range
=========  ===============  ====================================================
C          guitar           from the violin's lowest note to where the guitar is
                            no longer at ease
B♭         trumpet          from the saxophones' lowest note to where the
                            trumpet is no longer at ease
E♭         alto saxophone   alto saxophone
F          mellophone       horn
Bass clef  trombone         trombone
=========  ===============  ====================================================
"""


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


@door
def book_for(
    instrument: Instrument, /, *, books: Sequence[Book] = STANDARD_BOOKS
) -> Book:
    """The book an instrument reads; one of its own if none of `books` serves it.

    >>> from leadsheet_theory.instruments import find_instrument
    >>> book_for(find_instrument("tenor sax")).name
    'B♭'
    >>> book_for(find_instrument("viola")).name
    'Viola'
    """
    for book in books:
        if book.serves(instrument):
            return book
    return Book.of(instrument)


def as_readers(
    readers: Book | Instrument | str | Iterable[Book | Instrument | str], /
) -> tuple[Book | Instrument, ...]:
    """Books and instruments, of which some may be given by name; a book's name goes
    before an instrument's.

    >>> [reader.name for reader in as_readers(["Bb", "bass trombone"])]
    ['B♭', 'Bass Trombone']

    Raises:
        UnknownInstrumentError: if no book and no instrument has a name, or several do.
        WrongTypeError: if one is neither a book, an instrument nor a text.
    """
    if isinstance(readers, Book | Instrument | str):
        readers = (readers,)
    check_type("books", readers, Iterable, "books, instruments or their names")
    return tuple(map(_as_reader, readers))


def _as_reader(reader: Book | Instrument | str) -> Book | Instrument:
    if isinstance(reader, Book | Instrument):
        return reader
    check_type("a reader", reader, str, "a Book, an Instrument or the name of one")
    try:
        return find_book(reader)
    except UnknownNameError:
        return find_instrument(reader)
