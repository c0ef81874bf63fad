"""Charts for tests of form, written as a line of signs.

``1-4`` bars, ``0`` a pickup, ``|:`` ``:|`` ``:|x3`` repeats, ``[1,3: 7-8 :|]``
endings, ``Segno`` and ``Coda`` before the bar they mark, ``Fine``, ``ToCoda`` and
the jumps ``DC``, ``DS.Fine``, ``DS.Coda+rep`` (with repeats) after theirs, ``A=`` a
section letter before its first bar.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from attrs import evolve

from leadsheet_theory.chords import parse_symbol
from leadsheet_theory.key import Key
from leadsheet_theory.leadsheet import FormSigns, Jump
from leadsheet_theory.leadsheet.model import Bar, LeadSheet, PlacedChord
from leadsheet_theory.rhythm import Meter

_TOKEN = re.compile(
    r"\[[\d,]+:|\]|\|:|:\|(?:x\d+)?|\d+-\d+|\d+|\w+=|[A-Za-z]+(?:\.[A-Za-z]+)?(?:\+rep)?"
)
C_MAJOR = Key.parse("C major")


def bar(number: int, meter: str = "4/4", **fields: object) -> Bar:
    """One bar in C, full unless a length is given."""
    metre = Meter.parse(meter)
    fields.setdefault("length", metre.bar_length)
    return Bar(number=number, key=C_MAJOR, meter=metre, **fields)  # type: ignore[arg-type]


def chart(text: str) -> tuple[Bar, ...]:
    """The bars a line of signs stands for."""
    bars: list[Bar] = []
    signs: dict[str, object] = {}
    ending: tuple[int, ...] = ()
    starts = False
    for token in _TOKEN.findall(text):
        if token.startswith("["):
            ending = tuple(int(part) for part in token[1:-1].split(","))
            starts = True
        elif token == "]":
            ending = ()
        elif token == "|:":
            signs["repeat_start"] = True
        elif token.startswith(":|"):
            bars[-1] = evolve(
                bars[-1], form=evolve(bars[-1].form, repeat_end=int(token[3:] or 2))
            )
        elif token[0].isdigit():
            first, _, last = token.partition("-")
            for number in range(int(first), int(last or first) + 1):
                signs |= {"ending": ending, "ending_starts": starts}
                form = FormSigns(**signs)  # type: ignore[arg-type]
                if number == 0:
                    bars.append(bar(number, form=form, length=Fraction(1)))
                else:
                    bars.append(bar(number, form=form))
                signs, starts = {}, False
        elif token.endswith("="):
            signs["section"] = token[:-1]
        elif token in ("Segno", "Coda"):
            signs[token.lower()] = True
        elif token == "Fine":
            bars[-1] = evolve(bars[-1], form=evolve(bars[-1].form, fine=True))
        elif token == "ToCoda":
            bars[-1] = evolve(bars[-1], form=evolve(bars[-1].form, to_coda=True))
        else:
            bars[-1] = evolve(bars[-1], form=evolve(bars[-1].form, jump=_jump(token)))
    return tuple(bars)


def _jump(token: str) -> Jump:
    words, repeats, _ = token.partition("+")
    back, _, until = words.partition(".")
    return Jump(
        {"DC": "capo", "DS": "segno"}[back],  # type: ignore[arg-type]
        until.lower(),  # type: ignore[arg-type]
        with_repeats=bool(repeats),
    )


def changes(text: str) -> tuple[PlacedChord, ...]:
    """Chords by beat from 1: ``"1 Fmaj7, 4.5 Gm7"``."""
    placed = []
    for entry in filter(None, map(str.strip, text.split(","))):
        beat, symbol = entry.split()
        placed.append(PlacedChord(Fraction(beat) - 1, parse_symbol(symbol)))
    return tuple(placed)


def sheet(bars: Sequence[Bar]) -> LeadSheet:
    return LeadSheet(title="Three Left Shoes", bars=tuple(bars))
