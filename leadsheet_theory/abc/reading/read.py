"""Reading lead sheets from ABC notation, version 2.1.

A text holds many tunes; each gives a result of its own, the sheet and what of the
text it does not hold, with line and column.  Old files are read loosely, as the
standard recommends; one that begins ``%abc-2.1`` is held to it.

Source: Chris Walshaw, *The abc music standard 2.1* (December 2011).
"""

from __future__ import annotations

from os import PathLike
from pathlib import Path
from typing import IO

from attrs import evolve, frozen

from ..._arguments import check_text
from ...errors import AbcReadError
from ...leadsheet.findings import Finding
from ...leadsheet.model import LeadSheet
from ._assemble import VoicesAsked
from ._lines import MAX_FILE_BYTES, decoded, split_file
from ._tune import TuneReader

__all__ = ("AbcTune", "parse_abc", "read_abc")


@frozen(order=False, kw_only=True)
class AbcTune:
    """A tune, and what its text holds that the sheet does not.

    `number` is that of the field X:, None where it has none.  `texts` are the fields
    that a lead sheet has no place for (source, transcriber, notes, history …), each
    with its letter.
    """

    sheet: LeadSheet
    findings: tuple[Finding, ...] = ()
    number: int | None = None
    texts: tuple[tuple[str, str], ...] = ()


def parse_abc(
    text: str, /, *, hits: str = "", bass_line: str = ""
) -> tuple[AbcTune, ...]:
    '''The tunes of a text in ABC notation.

    Args:
        text: the text, with or without a file header.
        hits: the voice that holds the rhythm section's hits, by its id or its name,
            where the text doesn't show it; ``none`` for no hits.
        bass_line: the voice that holds a bass line, said likewise.

    Raises:
        AbcReadError: there is no tune in it.
        UnknownStaffError: no voice is called as `hits` or `bass_line` say.
        NotTextError: it is no text.

    >>> tune, = parse_abc("""
    ... X:1
    ... T:Slack Water
    ... M:3/4
    ... L:1/4
    ... K:F
    ... "F"A2 c | "Bb7"_A3 |]
    ... """)
    >>> bar = tune.sheet.bars[1]
    >>> str(tune.sheet), str(bar.melody[0].pitch), str(bar.chords[0].symbol)
    ('Slack Water (2 bars, F major, 3/4)', 'Ab4', 'Bb7')
    '''
    check_text(text)
    file = split_file(text)
    tunes = []
    for lines, early in zip(file.tunes, file.findings, strict=True):
        reader = TuneReader(strict=file.strict, asked=VoicesAsked(hits, bass_line))
        sheet, findings = reader.read(file.header, lines)
        tunes.append(
            AbcTune(
                sheet=sheet,
                findings=early + findings,
                number=reader.number,
                texts=tuple(reader.texts),
            )
        )
    return tuple(tunes)


def read_abc(
    source: str | PathLike[str] | IO[str] | IO[bytes],
    /,
    *,
    hits: str = "",
    bass_line: str = "",
) -> tuple[AbcTune, ...]:
    """The tunes of a file (``.abc``), by its path or opened.

    The text is UTF-8, in the character set that the file names (``I:abc-charset``), or
    Latin-1.

    `hits` and `bass_line` are those of :func:`parse_abc`.

    Raises:
        AbcReadError: there is no tune in it.
        UnknownStaffError: no voice is called as `hits` or `bass_line` say.
        OSError: the file cannot be opened.
    """
    name = ""
    if isinstance(source, str | PathLike):
        path = Path(source)
        name = path.name
        with path.open("rb") as file:
            data: bytes | str = file.read(MAX_FILE_BYTES + 1)
    else:
        data = source.read(MAX_FILE_BYTES + 1)
    if len(data) > MAX_FILE_BYTES:
        raise AbcReadError(f"a file of more than {MAX_FILE_BYTES:,} bytes", source=name)
    text, guesses = (data, ()) if isinstance(data, str) else decoded(data)
    try:
        tunes = parse_abc(text, hits=hits, bass_line=bass_line)
    except AbcReadError as error:
        raise AbcReadError(
            error.problem, line=error.line, column=error.column, source=name
        ) from None
    if guesses:
        first, *rest = tunes
        tunes = (evolve(first, findings=guesses + first.findings), *rest)
    return tunes
