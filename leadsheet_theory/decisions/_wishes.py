"""Wishes as they are typed: readers, spellings, octaves and names of single parts.

Each function reads a text, and raises a :class:`DecisionError` that says what was
expected.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from fractions import Fraction
from typing import Final, Literal, TypeVar

from attrs import evolve, frozen

from ..chords import ChordSymbol, parse_symbol
from ..errors import DecisionError, TheoryError, UnknownBookError
from ..instruments.books import STANDARD_BOOKS, Book, find_book
from ..instruments.instrument import Instrument
from ..instruments.rhythm_books import (
    RHYTHM_BOOKS,
    PartReader,
    RhythmBook,
    find_rhythm_book,
)
from ..instruments.table import find_instrument
from ..leadsheet.bar_numbers import parse_bars
from ..parts.model import Rebeam, Respell, RespellNote
from ..pitch import NoteName, Pitch

__all__ = (
    "OctaveWish",
    "beam_wish",
    "between",
    "books_called",
    "check_heading",
    "chord_correction",
    "cued_bars",
    "for_readers",
    "is_reached",
    "label_wish",
    "name_wish",
    "note_correction",
    "note_wish",
    "octave_wish",
    "one_of",
    "reader_called",
    "root_wish",
    "solos_wish",
    "stopped_bars",
)

_Number = TypeVar("_Number", int, float)

_OCTAVE: Final = re.compile(
    r"(?P<name>.*?)(?:\s+(?P<first>\d{1,5})(?:\s*[-–]\s*(?P<last>\d{1,5}))?)?"
    r"\s*=\s*(?P<octaves>[+-]?[0-5])"
)
_WORDS: Final = ("book", "title", "page")


# ── Checks ───────────────────────────────────────────────────────────────────────


def one_of(*names: str) -> Callable[[str], str]:
    """A check that a text is one of these."""

    def check(text: str) -> str:
        if text not in names:
            raise DecisionError(f"{text!r} is none of {', '.join(names)}")
        return text

    return check


def between(
    kind: type[_Number], low: _Number, high: _Number, unit: str = ""
) -> Callable[[str], _Number]:
    """A check that a number lies there."""

    def check(text: str) -> _Number:
        number = kind(text)
        if not low <= number <= high:
            raise DecisionError(f"{text}: expected {low} to {high}{unit}")
        return number

    return check


def check_heading(text: str) -> str:
    """A heading, which has no word in braces that is never filled in."""
    for word in re.findall(r"\{([^{}]*)\}", text):
        if word not in _WORDS:
            known = ", ".join(f"{{{each}}}" for each in _WORDS)
            raise DecisionError(f"no word {{{word}}} in a heading: there are {known}")
    return text


def stopped_bars(text: str) -> tuple[int, ...] | None:
    """Where time stops: as the chart says it (None), in no bar, or in some bars."""
    if text == "as marked":
        return None
    return () if text == "none" else parse_bars(text)


def cued_bars(text: str) -> tuple[int, ...] | bool:
    """Which hits are cued: those of all bars, of none, or of some: ``9-16, 25``."""
    if text in ("all", "none"):
        return text == "all"
    return parse_bars(text)


def label_wish(text: str) -> tuple[int, str]:
    """What stands over the stretch of hits that a bar is in: ``9 = horns``."""
    bar, equals, label = (word.strip() for word in text.partition("="))
    if not (bar.isdecimal() and equals):
        raise DecisionError(f"{text!r}: expected a bar and words, as in '9 = horns'")
    return int(bar), label


def solos_wish(text: str) -> str:
    """How long solos last: ``open``, ``none`` or a number of choruses."""
    if text not in ("open", "none") and not text.isdecimal():
        raise DecisionError(
            f"{text!r}: expected 'open', 'none' or a number of choruses"
        )
    return text


# ── Readers ──────────────────────────────────────────────────────────────────────


def books_called(names: str) -> tuple[Book | RhythmBook, ...]:
    """The books meant by ``Bb``, ``C, Rhythm``, ``all`` or ``all but F, Eb``."""
    first, _, rest = names.partition(" but ")
    if first.strip().casefold() == "all":
        without = [_book_called(name) for name in rest.split(",") if name.strip()]
        return tuple(book for book in _BOOKS if book not in without)
    return tuple(map(_book_called, names.split(",")))


_BOOKS: Final[tuple[Book | RhythmBook, ...]] = (*STANDARD_BOOKS, *RHYTHM_BOOKS)


def _book_called(name: str) -> Book | RhythmBook:
    try:
        return find_rhythm_book(name) or find_book(name)
    except UnknownBookError:
        names = tuple(book.ascii_name for book in _BOOKS)
        raise UnknownBookError(name, names) from None


def reader_called(name: str) -> PartReader:
    """The book of that name, else the instrument."""
    try:
        return _book_called(name)
    except TheoryError:
        return find_instrument(name)


# ── Single parts ─────────────────────────────────────────────────────────────────


def root_wish(text: str) -> Respell:
    """A wish like ``Bb 22 3 Gb``: book or instrument, bar, beat, root."""
    bar, beat, name, book = _parsed(text)
    return Respell(bar, beat, name, book)


def note_wish(text: str) -> RespellNote:
    """A wish like ``Bb 22 3 Gb`` for a note."""
    bar, beat, name, book = _parsed(text)
    return RespellNote(bar, beat, name, book)


def _parsed(text: str) -> tuple[int, Fraction, NoteName, str]:
    words = text.split()
    expected = "book, bar, beat and name, as in 'Bb 22 3 Gb'"
    bar, beat = _place(words[-3:-1], text, expected)
    book = " ".join(words[:-3])
    if book:
        reader_called(book)
    return bar, beat, NoteName.parse(words[-1]), book


@frozen(order=False)
class OctaveWish:
    """Who sounds how many octaves above the chart, from one bar to another or, with
    none, all along."""

    reader: PartReader
    octaves: int
    bars: tuple[int, int] | None


def octave_wish(text: str) -> OctaveWish:
    """A wish like ``Bb = -1``, or ``Bb 9-16 = -1`` for some bars."""
    match = _OCTAVE.fullmatch(text.strip())
    if not match:
        raise DecisionError(
            f"{text!r}: expected a book and how many octaves up (+) or down (-) from "
            "the chart, as in 'Bass clef = -1' or 'Bb 9-16 = 1'"
        )
    first, last = match["first"], match["last"] or match["first"]
    bars = (int(first), int(last)) if first else None
    return OctaveWish(reader_called(match["name"]), int(match["octaves"]), bars)


def beam_wish(how: Literal["apart", "joined"]) -> Callable[[str], Rebeam]:
    """What reads the bar and the beat of a note, ``12 5/2``, that a beam is to end
    before, or to reach from the note before it."""

    def wish(text: str) -> Rebeam:
        bar, beat = _place(text.split(), text, "bar and beat, as in '12 5/2'")
        return Rebeam(bar, beat, how)

    return wish


def chord_correction(text: str) -> tuple[int, Fraction, ChordSymbol]:
    """What is to stand in place of a chord: ``12 3 Dm7``, at concert pitch."""
    words = text.split(maxsplit=2)
    bar, beat = _place(words[:2], text, "bar, beat and chord, as in '12 3 Dm7'")
    return bar, beat, parse_symbol(" ".join(words[2:]))


def note_correction(text: str) -> tuple[int, Fraction, Pitch]:
    """What is to stand in place of a note: ``12 3 Ab4``, at concert pitch."""
    words = text.split()
    bar, beat = _place(words[:2], text, "bar, beat and pitch, as in '12 3 Ab4'")
    return bar, beat, Pitch.parse(" ".join(words[2:]))


def _place(words: Sequence[str], text: str, expected: str) -> tuple[int, Fraction]:
    try:
        bar, beat = words
        return int(bar), Fraction(beat)
    except (ValueError, ZeroDivisionError):
        raise DecisionError(f"{text!r}: expected {expected}") from None


def name_wish(text: str) -> tuple[PartReader, str]:
    """What a book is to be called: ``Bass clef = Bass``."""
    name, _, wanted = (word.strip() for word in text.partition("="))
    if not wanted:
        raise DecisionError(f"{text!r}: expected both names, as in 'Bass clef = Bass'")
    return reader_called(name), wanted


def for_readers(
    wish: Respell | RespellNote,
    readers: Sequence[PartReader],
    names: Iterable[tuple[PartReader, str]],
) -> Iterator[Respell | RespellNote]:
    """A wish for each of the parts it reaches, under the name they are printed with.

    One for a book reaches every instrument that reads it.  Nothing where no part is
    meant.
    """
    if not wish.book:
        yield wish
        return
    called = {reader: reader.name for reader in readers} | dict(names)
    meant = reader_called(wish.book)
    for reader in readers:
        if is_reached(meant, reader):
            yield evolve(wish, book=called[reader])


def is_reached(meant: PartReader, reader: PartReader) -> bool:
    """Whether what is decided for a book or an instrument is decided for a reader."""
    if isinstance(meant, Book) and isinstance(reader, Instrument):
        return meant.serves(reader)
    return reader == meant
