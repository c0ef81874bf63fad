"""The rhythm section's books: one sheet for all of it, and a drum part.

They hold no melody to be played, so they have neither a range nor a transposition of
their own: chords and slashes at concert pitch, the band's hits, a bass line where there
is one.  A drum set has no pitches and so no row among the instruments; its part is a
book of this kind.

What stands in them is told at :mod:`~.parts.rhythm_part`.  That one sheet serves the
whole section, and that slashes in a drum part mean time: E. Rogers, *Big band
arranging* 17, "The rhythm section".
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final, TypeAlias

from attrs import field, frozen

from .._arguments import check_type
from .._printed import Told
from ..interval import UNISON, Interval
from ..spelling.transposing import SixSigns
from ._names import DRUM_SET, words_of
from .books import Book, as_readers
from .clefs import PERCUSSION_CLEF, TREBLE_CLEF, Clef
from .instrument import Instrument
from .transposing import Transposing

__all__ = (
    "DRUMS",
    "RHYTHM",
    "RHYTHM_BOOKS",
    "PartReader",
    "RhythmBook",
    "as_part_readers",
    "find_rhythm_book",
)


@frozen(order=False, repr=False, kw_only=True)
class RhythmBook(Transposing, Told):
    """A book of the rhythm section, at concert pitch.

    `name`, `ascii_name`, `clef` and `sound_id` are as in :class:`.Book`, `aliases` what
    it is called besides.  `chords` says whether chord symbols stand in it, `bass_line`
    whether a bass line stands on a staff below, `melody` whether the melody stands in
    small notes above; `player` names the one who reads it, for whom a break of that
    name is not silent (``drum``); `stops_at_no_chord` says whether hits under N.C.
    stand in the staff, since those who play chords are silent there.

    >>> from attrs import evolve
    >>> evolve(RHYTHM, melody=True).melody
    True
    """

    name: str
    ascii_name: str
    clef: Clef
    aliases: tuple[str, ...] = ()
    sound_id: str = ""
    chords: bool = True
    bass_line: bool = True
    melody: bool = False
    stops_at_no_chord: bool = True
    player: str = ""
    transposition: Interval = field(default=UNISON, init=False)
    six_signs: SixSigns = field(default="source", init=False)

    def __str__(self) -> str:
        return self.name


RHYTHM: Final = RhythmBook(
    name="Rhythm",
    ascii_name="Rhythm",
    clef=TREBLE_CLEF,
    aliases=(
        "rhythm section", "master rhythm", "Rhythmusgruppe", "section rythmique",
        "sezione ritmica", "sección rítmica",
    ),
    sound_id="keyboard.piano",
)  # fmt: skip
"""One sheet for piano, guitar, bass and drums."""

DRUMS: Final = RhythmBook(
    name="Drums",
    ascii_name="Drums",
    clef=PERCUSSION_CLEF,
    aliases=DRUM_SET,
    sound_id="drum.group.set",
    chords=False,
    bass_line=False,
    stops_at_no_chord=False,
    player="drum",
)
"""The drummer's part, for a drum set: time and hits."""

RHYTHM_BOOKS: Final[tuple[RhythmBook, ...]] = (RHYTHM, DRUMS)
"""The books of the rhythm section."""

PartReader: TypeAlias = Book | Instrument | RhythmBook
"""Whoever a part can be made for."""


def find_rhythm_book(name: str, /) -> RhythmBook | None:
    """The rhythm section's book of that name, or None: ``rhythm``, ``drum set``.

    >>> print(find_rhythm_book("Drum Kit"), find_rhythm_book("steel drums"))
    Drums None
    """
    words = words_of(name)
    for book in RHYTHM_BOOKS:
        if words in map(words_of, (book.name, *book.aliases)):
            return book
    return None


def as_part_readers(
    readers: PartReader | str | Iterable[PartReader | str], /
) -> tuple[PartReader, ...]:
    """Books, those of the rhythm section too, and instruments, of which some may be
    given by name.

    >>> [reader.name for reader in as_part_readers(["Bb", "drums", "alto sax"])]
    ['B♭', 'Drums', 'Alto Saxophone in E♭']

    Raises:
        UnknownInstrumentError: if no book and no instrument has a name, or several do.
        WrongTypeError: if one is neither a book, an instrument nor a text.
    """
    if isinstance(readers, Book | Instrument | RhythmBook | str):
        readers = (readers,)
    check_type("books", readers, Iterable, "books, instruments or their names")
    found: list[PartReader] = []
    for reader in readers:
        book = find_rhythm_book(reader) if isinstance(reader, str) else None
        if book is not None:
            found.append(book)
        elif isinstance(reader, RhythmBook):
            found.append(reader)
        else:
            found += as_readers((reader,))
    return tuple(found)
