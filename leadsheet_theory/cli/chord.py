"""``chord``: what a chord symbol means."""

from __future__ import annotations

import argparse

from .. import chords, instruments  # what only some options need is loaded for them
from .._printed import symbol_text
from ..chords import Chord, ChordSymbol, parse_symbol
from ..errors import ChordSymbolError, TheoryError
from ..interval import UNISON, Interval
from ..key import Key
from ._say import UsageError, say, say_aside
from ._symbols import HOUSE_STYLES

__all__ = ("DESCRIPTION", "add_arguments", "run")

DESCRIPTION = """\
Tell what each chord symbol means: how it is printed, its tones and degrees, and
where handbooks read it in another way.

  python -m leadsheet_theory chord 'F#m7b5' 'Bb7(b9,#11)'
  python -m leadsheet_theory chord Ebmaj7 --for 'alto sax'
  python -m leadsheet_theory chord F#m7 --for Bb --key 'Eb major'
"""


def add_arguments(parser: argparse.ArgumentParser, /) -> None:
    """Say what the command takes."""
    parser.add_argument("symbols", nargs="+", metavar="SYMBOL", help="such as 'Bbm7'")
    parser.add_argument(
        "--style", choices=HOUSE_STYLES, help="print it in a house style"
    )
    way = parser.add_mutually_exclusive_group()
    for name in ("up", "down"):
        way.add_argument(
            f"--{name}",
            metavar="INTERVAL",
            help=f"transpose it {name}: M2 is a major second, P5 a perfect fifth",
        )
    parser.add_argument(
        "--for",
        dest="reader",
        metavar="READER",
        help="as the reader of an instrument or a book sees it: 'alto sax', Bb",
    )
    parser.add_argument(
        "--key",
        metavar="KEY",
        help="the concert key it stands in: for its degree and its spelling",
    )


def run(options: argparse.Namespace, /) -> int:
    """Describe the symbols; the exit code."""
    by, reader, key = _interval(options), _reader(options), _key(options)
    code = 0
    for text in options.symbols:
        try:
            symbol = parse_symbol(text)
        except ChordSymbolError as error:
            say_aside(str(error))
            code = 1
            continue
        moved = symbol.transposed(by) if by != UNISON else symbol
        here = key + by if key is not None else None
        if reader is not None:
            moved = reader.written(moved, key=here)
            here = reader.written_key(here) if here is not None else None
        style = HOUSE_STYLES.get(options.style)
        say(moved.text(style) if style else symbol_text(moved))
        for line in _meaning(moved, here):
            say(line)
        for other in symbol.ambiguities:
            say(f"  some read it as {other}")
    return code


def _interval(options: argparse.Namespace) -> Interval:
    """How far to transpose."""
    try:
        by = Interval.parse(options.up) if options.up else UNISON
        return by - (Interval.parse(options.down) if options.down else UNISON)
    except TheoryError as error:
        raise UsageError(str(error)) from None


def _reader(
    options: argparse.Namespace,
) -> instruments.Book | instruments.Instrument | None:
    """The book or instrument of that name."""
    if not options.reader:
        return None
    try:
        (reader,) = instruments.as_readers(options.reader)
    except TheoryError as error:
        raise UsageError(str(error)) from None
    return reader


def _key(options: argparse.Namespace) -> Key | None:
    try:
        return Key.parse(options.key) if options.key else None
    except TheoryError as error:
        raise UsageError(str(error)) from None


def _meaning(symbol: ChordSymbol, key: Key | None) -> list[str]:
    lines = []
    if symbol.tones:
        lines.append(f"  tones   {' '.join(tone.glyphs for tone in symbol.tones)}")
    if isinstance(symbol, Chord):
        degrees = (str(degree) for degree in symbol.quality.degrees)
        lines.append(f"  degrees {' '.join(degrees)}")
        if symbol.bass is not None:
            lines.append(f"  bass    {symbol.bass.glyphs}")
        if key is not None:
            numeral = chords.roman_numeral(symbol, key)
            number = chords.chord_number(symbol, key)
            lines.append(f"  in {key.glyphs}: {numeral}, or {number}")
    return lines
