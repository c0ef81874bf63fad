"""Proofreading the range: notes that no octave brings into a reader's range."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from ..instruments.books import Book
from ..instruments.instrument import Instrument
from ..instruments.octaves import OctaveAdvice, best_octave
from ..instruments.ranges import OutOfRange, Reader, check_range
from ..leadsheet.findings import Finding
from ..leadsheet.timeline import placed_melody
from ._view import View

__all__ = ("check_range_of",)

_LOWEST: Final = 33
_HIGHEST: Final = 95
"""A1 to B6: beyond these no tune is entered (common practice, no source)."""


def check_range_of(view: View, readers: Sequence[Reader]) -> Iterator[Finding]:
    """One finding a reader that cannot play the tune in any octave; an instrument,
    whose player reads the tune as it stands, is told too if it needs another octave."""
    low, high = _ends(view)
    if view.sung and not _LOWEST <= low <= high <= _HIGHEST:
        yield from _off_the_page(view)
    doubtful = [reader for reader in readers if not _fits(reader, low, high)]
    if not view.sung or not doubtful:
        return
    melody = placed_melody(view.sheet)
    wide: list[tuple[Book, list[OutOfRange]]] = []
    for reader in doubtful:
        octaves = best_octave(melody, reader)
        if not isinstance(reader, Book):
            yield from _of_instrument(reader, check_range(melody, reader), octaves)
        elif outside := _outside(check_range(melody, reader, octaves=octaves.octaves)):
            wide.append((reader, outside))
    if wide:
        yield _of_books(wide)


def _outside(beyond: Sequence[OutOfRange]) -> list[OutOfRange]:
    """Of the notes beyond the comfortable range those that cannot be played."""
    return [note for note in beyond if not note.comfortable_only]


def _of_instrument(
    reader: Instrument, beyond: Sequence[OutOfRange], octaves: OctaveAdvice
) -> Iterator[Finding]:
    """The notes that an instrument has not, or else those it has only at a stretch."""
    outside = _outside(beyond)
    told = outside or beyond
    if not told:
        return
    more = f", and {len(told) - 1} more" if len(told) > 1 else ""
    moved = not octaves.cost.outside and octaves.octaves
    yield Finding(
        rule="range",
        severity="warning" if outside else "note",
        message=f"{told[0].message}{more}",
        bar=told[0].bar,
        beat=told[0].beat,
        advice=_octave(octaves.octaves) if moved else "change the note or the reader",
        part=reader.name,
    )


def _of_books(wide: Sequence[tuple[Book, Sequence[OutOfRange]]]) -> Finding:
    """The notes that books have in no octave, in one finding."""
    first = min((notes[0] for _, notes in wide), key=lambda note: note.index)
    books = ", ".join(f"{book.name} {len(notes)}" for book, notes in wide)
    return Finding(
        rule="range",
        severity="query",
        message=f"{first.message}; notes out of range by book: {books}",
        bar=first.bar,
        beat=first.beat,
        advice="change the note or the reader",
        part=", ".join(book.name for book, _ in wide),
    )


def _off_the_page(view: View) -> Iterator[Finding]:
    """A tune that no lead sheet has as it stands; single notes are octave slips."""
    off = [n for n in view.sung if not _LOWEST <= n.midi <= _HIGHEST]
    if 2 * len(off) < len(view.sung):
        return
    bar = view.bars[off[0].bar]
    yield Finding(
        rule="range",
        severity="warning",
        message=f"{off[0].note.pitch.glyphs} lies far off the staff"
        + (f", and {len(off) - 1} more" if len(off) > 1 else ""),
        bar=bar.number,
        beat=bar.beat_of(off[0].onset),
        advice="check its octave",
        found=str(off[0].note.pitch),
    )


def _octave(octaves: int) -> str:
    way = "up" if octaves > 0 else "down"
    many = "an octave" if abs(octaves) == 1 else f"{abs(octaves)} octaves"
    return f"{many} {way} all notes fit"


def _ends(view: View) -> tuple[int, int]:
    keys = [
        pitch.midi
        for bar in view.bars
        for event in bar.melody
        if hasattr(event, "pitches")
        for pitch in event.pitches
    ]
    return (min(keys), max(keys)) if keys else (0, 0)


def _fits(reader: Reader, low: int, high: int) -> bool:
    """Whether the melody, of a book in some octave, lies in the range."""
    span = reader.written_range
    if not isinstance(reader, Book):
        span = reader.comfortable_range
    move = -reader.transposition.chromatic
    bottom, top = span.low.midi, span.high.midi
    if not isinstance(reader, Book):
        return bottom <= low + move and high + move <= top
    return any(
        bottom <= low + move + 12 * octave and high + move + 12 * octave <= top
        for octave in range(-3, 4)
    )
