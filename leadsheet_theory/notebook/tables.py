"""Tables for a notebook: findings, transpositions, and the grid of a chart."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from attrs import frozen

from .._doors import door
from .._printed import symbol_text
from ..chords.symbol import ChordSymbol
from ..instruments.books import STANDARD_BOOKS, Book, as_readers
from ..instruments.instrument import Instrument
from ..key import Key
from ..leadsheet.findings import Finding, beat_text
from ..leadsheet.model import LeadSheet
from ..pages import chord_grid
from ..parts.make import make_parts
from ..parts.model import Part
from ..pitch import NoteName, Pitch
from ._html import card, styled, table

__all__ = ("Table", "finding_table", "grid_of_bars", "transposition_table")


@frozen(order=False, repr=False)
class Table:
    """A table: `html` for a notebook, its text for a terminal."""

    html: str
    text: str

    def __str__(self) -> str:
        return self.text

    def __repr__(self) -> str:
        lines = self.text.count("\n") + 1
        return f"<Table: {lines} line{'' if lines == 1 else 's'}>"

    def _repr_html_(self) -> str:
        return self.html


@door
def finding_table(findings: Iterable[Finding], /) -> Table:
    """Findings one a row, with place, rule, what is said, what is advised and why.

    >>> from leadsheet_theory import proofread, read_lead_sheet
    >>> chart = "shared/charts/waltz_for_a_moored_ferry.musicxml"
    >>> print(finding_table(proofread(read_lead_sheet(chart).sheet)))
    bar 12, beat 3: B𝄫4 (respell it unless the harmony wants it)
    """
    found = tuple(findings)
    rows = [
        (
            "" if each.bar is None else str(each.bar),
            "" if each.beat is None else beat_text(each.beat),
            each.severity,
            each.rule,
            each.message,
            each.advice,
            each.why,
        )
        for each in found
    ]
    head = ("bar", "beat", "severity", "rule", "remark", "advice", "why")
    if not found:
        return Table(styled("div", "margin:.2em 0", "nothing to remark"), "")
    return Table(table(rows, head=head), "\n".join(map(str, found)))


_Moved = Key | Pitch | NoteName | ChordSymbol


@door
def transposition_table(
    concert: Sequence[Key | Pitch | NoteName | ChordSymbol],
    /,
    readers: Book | Instrument | str | Iterable[Book | Instrument | str] = (
        STANDARD_BOOKS
    ),
    *,
    key: Key | None = None,
) -> Table:
    """Keys, notes and chord symbols at concert pitch, and as readers have them written.

    Args:
        concert: what sounds.
        readers: books and instruments, or their names.
        key: the concert key in which chord symbols are spelled.

    Raises:
        UnknownNameError: if no book and no instrument has a name.
        PitchRangeError: if a pitch is no MIDI key.

    >>> from leadsheet_theory import Pitch, parse_chord
    >>> print(transposition_table([Pitch.parse("Eb4"), parse_chord("F7")], ["Bb", "C"]))
    concert  B♭  C
    E♭4      F4  E♭4
    F7       G7  F7
    """
    chosen = as_readers(readers)
    rows = [
        [_text(each), *(_text(_written(each, reader, key)) for reader in chosen)]
        for each in concert
    ]
    head = ["concert", *(reader.name for reader in chosen)]
    widths = [max(map(len, column)) for column in zip(head, *rows, strict=True)]
    lines = (
        "  ".join(text.ljust(width) for text, width in zip(row, widths, strict=True))
        for row in (head, *rows)
    )
    return Table(
        table(rows, head=head, names=True), "\n".join(line.rstrip() for line in lines)
    )


def _written(concert: _Moved, reader: Book | Instrument, key: Key | None) -> _Moved:
    if isinstance(concert, Key):
        return reader.written_key(concert)
    if isinstance(concert, Pitch | NoteName):
        return reader.written(concert)
    return reader.written(concert, key=key)


def _text(value: _Moved) -> str:
    return (
        value.glyphs
        if isinstance(value, Key | Pitch | NoteName)
        else symbol_text(value)
    )


@door
def grid_of_bars(chart: LeadSheet | Part, /) -> Table:
    """A chart as a grid of bars: its changes, row by row.

    >>> from leadsheet_theory import read_lead_sheet
    >>> tune = read_lead_sheet("shared/charts/rope_walk.musicxml").sheet
    >>> print(str(grid_of_bars(tune)).splitlines()[1])
      | Dm7 | Gm7 C7 | A7 (To Coda) | Dm6 |
    """
    part = chart
    if isinstance(part, LeadSheet):
        part = make_parts(part, books=["C"], solo_page=False)[0]
    grid = chord_grid(part)
    title = f"{part.source.title or 'untitled'} – {part.name}"
    return Table(card(title, grid.fragment()), str(grid))
