"""``chord``: what a chord symbol means."""

from __future__ import annotations

import argparse

from .. import instruments
from ..chords import Chord, ChordSymbol, parse_symbol
from ..errors import ChordSymbolError, TheoryError
from ..interval import UNISON, Interval
from ._say import UsageError, say, say_aside
from ._symbols import HOUSE_STYLES, symbol_text

__all__ = ("DESCRIPTION", "add_arguments", "run")

DESCRIPTION = """\
Tell what each chord symbol means: how it is printed, its tones and degrees, and
where handbooks read it in another way.

  python -m leadsheet_theory chord 'F#m7b5' 'Bb7(b9,#11)'
  python -m leadsheet_theory chord Ebmaj7 --for 'alto sax'
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
        metavar="INSTRUMENT",
        help="as the instrument's player reads it",
    )


def run(options: argparse.Namespace, /) -> int:
    """Describe the symbols; the exit code."""
    by = _interval(options)
    code = 0
    for text in options.symbols:
        try:
            symbol = parse_symbol(text)
        except ChordSymbolError as error:
            say_aside(str(error))
            code = 1
            continue
        moved = symbol.transposed(by) if by != UNISON else symbol
        style = HOUSE_STYLES.get(options.style)
        say(moved.text(style) if style else symbol_text(moved))
        for line in _meaning(moved):
            say(line)
        for other in symbol.ambiguities:
            say(f"  some read it as {other}")
    return code


def _interval(options: argparse.Namespace) -> Interval:
    """How far to transpose: by what was asked for, then for the reader."""
    try:
        by = Interval.parse(options.up) if options.up else UNISON
        by -= Interval.parse(options.down) if options.down else UNISON
        if options.reader:
            by -= instruments.find_instrument(options.reader).transposition.simple
    except TheoryError as error:
        raise UsageError(str(error)) from None
    return by


def _meaning(symbol: ChordSymbol) -> list[str]:
    lines = []
    if symbol.tones:
        lines.append(f"  tones   {' '.join(tone.glyphs for tone in symbol.tones)}")
    if isinstance(symbol, Chord):
        degrees = (str(degree) for degree in symbol.quality.degrees)
        lines.append(f"  degrees {' '.join(degrees)}")
        if symbol.bass is not None:
            lines.append(f"  bass    {symbol.bass.glyphs}")
    return lines
