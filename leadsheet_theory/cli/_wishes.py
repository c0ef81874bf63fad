"""Wishes as they are typed: spellings, octaves and names of single parts."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from attrs import evolve

from ..errors import TheoryError
from ..instruments.books import Book, find_book
from ..instruments.instrument import Instrument
from ..instruments.table import find_instrument
from ..parts.model import Respell, RespellNote
from ..pitch import NoteName
from ._say import UsageError

__all__ = (
    "check_heading",
    "for_readers",
    "name_asked",
    "note_wish",
    "octave_asked",
    "reader_called",
    "root_wish",
)

_WORDS = ("book", "title", "page")


def reader_called(name: str, /) -> Book | Instrument:
    """The book of that name, else the instrument.

    Raises:
        UsageError: if there is neither.
    """
    try:
        return find_book(name)
    except TheoryError:
        pass
    try:
        return find_instrument(name)
    except TheoryError as error:
        raise UsageError(str(error)) from None


def root_wish(text: str, /) -> Respell:
    """A wish like ``Bb 22 3 Gb``: book or instrument, bar, beat, root.

    Raises:
        UsageError: if the text says none.
    """
    bar, beat, name, book = _parsed("respell", text)
    return Respell(bar, beat, name, book)


def note_wish(text: str, /) -> RespellNote:
    """A wish like ``Bb 22 3 Gb`` for a note.

    Raises:
        UsageError: if the text says none.
    """
    bar, beat, name, book = _parsed("respell-note", text)
    return RespellNote(bar, beat, name, book)


def _parsed(option: str, text: str) -> tuple[int, Fraction, NoteName, str]:
    words = text.split()
    try:
        *book, bar, beat, name = words
        place = int(bar), Fraction(beat)
    except (ValueError, ZeroDivisionError):
        raise UsageError(
            f"--{option} {text!r}: expected book, bar, beat and name, as in "
            "'Bb 22 3 Gb'"
        ) from None
    try:
        return *place, NoteName.parse(name), " ".join(book)
    except TheoryError as error:
        raise UsageError(str(error)) from None


def octave_asked(text: str, /) -> tuple[Book | Instrument, int]:
    """Who plays how many octaves above the chart: ``Bb = -1``.

    Raises:
        UsageError: if the text says something else.
    """
    name, _, octaves = text.partition("=")
    if not re.fullmatch(r"[+-]?[0-5]", octaves.strip()):
        raise UsageError(
            f"{text!r}: expected a book and how many octaves up (+) or down (-) from "
            "the chart, as in 'Bass clef = -1'"
        )
    return reader_called(name.strip()), int(octaves)


def name_asked(text: str, /) -> tuple[Book | Instrument, str]:
    """What a book is to be called: ``Bass clef = Bass``.

    Raises:
        UsageError: if the text says something else.
    """
    name, _, wanted = (word.strip() for word in text.partition("="))
    if not wanted:
        raise UsageError(f"{text!r}: expected both names, as in 'Bass clef = Bass'")
    return reader_called(name), wanted


def check_heading(text: str, /) -> None:
    """Make sure that a heading has no word in braces that is never filled in.

    Raises:
        UsageError: if it has one.
    """
    for word in re.findall(r"\{([^{}]*)\}", text):
        if word not in _WORDS:
            known = ", ".join(f"{{{each}}}" for each in _WORDS)
            raise UsageError(f"no word {{{word}}} in a heading: there are {known}")


def for_readers(
    wish: Respell | RespellNote,
    readers: Sequence[Book | Instrument],
    names: Iterable[tuple[Book | Instrument, str]],
) -> Iterator[Respell | RespellNote]:
    """A wish for each of the parts it reaches, under the name they are printed with.

    One for a book reaches every instrument that reads it.  Nothing where no part is
    meant.
    """
    called = {reader: reader.name for reader in readers} | dict(names)
    if not wish.book:
        yield wish
        return
    meant = reader_called(wish.book)
    for reader in readers:
        of_book = isinstance(meant, Book) and isinstance(reader, Instrument)
        if reader == meant or (of_book and meant.serves(reader)):  # type: ignore[union-attr,arg-type]
            yield evolve(wish, book=called[reader])
