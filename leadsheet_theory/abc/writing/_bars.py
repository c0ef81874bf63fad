"""What stands over a bar and at its edges, as music code.

Source: The abc music standard 2.1, sections 3.1.8 (Q), 4.8 to 4.10 (bar lines,
endings), 4.14 (signs of form), 4.18 and 4.19 (chord symbols, annotations).
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from ...chords import ChordSymbol
from ...leadsheet.model import Bar, Direction, Tempo
from ...leadsheet.signs import FormSigns
from ...musicxml.writing._signs import jump_words
from .._text import text_string
from ..reading._quotes import read_quoted
from ._notes import is_dynamics
from ._remarks import Remarks

__all__ = ("above_bar", "bar_end", "bar_start", "tempo_text")

_LINES: Final = {"regular": "|", "double": "||", "final": "|]", "dashed": ".|"}
_ASCII: Final = str.maketrans({"♭": "b", "♯": "#"})


def above_bar(bar: Bar, remarks: Remarks) -> dict[Fraction, str]:
    """Chord symbols, words, dynamics and tempi of a bar, by their onset."""
    over: dict[Fraction, str] = {}
    for direction in bar.directions:
        if direction.kind == "tempo" and direction.tempo is not None:
            text = tempo_text(direction.tempo, remarks, bar.number)
            if text:
                over[direction.onset] = f"{over.get(direction.onset, '')}[Q:{text}]"
    for chord in bar.chords:
        said = _chord(chord.symbol, remarks, bar.number)
        over[chord.onset] = over.get(chord.onset, "") + said
    for direction in bar.directions:
        if direction.kind != "tempo":
            said = _direction(direction, remarks, bar.number)
            over[direction.onset] = over.get(direction.onset, "") + said
    if bar.form.segno:
        over[Fraction(0)] = "!segno!" + over.get(Fraction(0), "")
    if bar.form.coda:
        number = bar.form.coda_number
        sign = '!coda!"^Coda 2"' if number > 1 else "!coda!"
        over[Fraction(0)] = sign + over.get(Fraction(0), "")
    return over


def _chord(symbol: ChordSymbol, remarks: Remarks, bar: int) -> str:
    """A chord symbol in quotation marks: as its source has it, if that is read back."""
    for text in (symbol.source.translate(_ASCII), str(symbol)):
        said = text_string(text, quoted=True)
        if text and read_quoted(said).symbol == symbol and not read_quoted(said).words:
            return f'"{said}"'
    remarks.add("chords", f"{symbol} is written as words", bar)
    return f'"^{text_string(str(symbol), quoted=True)}"'


def _direction(direction: Direction, remarks: Remarks, bar: int) -> str:
    text = direction.text
    if direction.kind == "dynamics":
        if is_dynamics(text):
            return f"!{text}!"
        remarks.add("dynamics", f"{text} is written as words", bar)
    if not text.strip():
        return ""
    said = ("^" if direction.above else "_") + text_string(text, quoted=True)
    read = read_quoted(said)
    if read.form or read.words != text:
        remarks.add("words", f"{text[:40]!r} is read back as more than words", bar)
    return f'"{said}"'


def tempo_text(tempo: Tempo, remarks: Remarks, bar: int | None = None) -> str:
    """A metronome mark: ``1/4=160``."""
    beat = tempo.beat.duration / 4
    minute = tempo.per_minute
    number = f"{float(minute):.3f}".rstrip("0").rstrip(".")
    if Fraction(number) != minute or not 0 < minute < 10000:
        remarks.add("tempo", f"a tempo of {minute} is written as {number}", bar)
    return f"{beat.numerator}/{beat.denominator}={number}"


def bar_start(bar: Bar) -> str:
    """What opens a bar after the bar line before: a start repeat, an ending."""
    said = "|:" if bar.form.repeat_start else ""
    if bar.form.ending_starts:
        said += f" [{','.join(map(str, bar.form.ending))}"
    return said.strip()


def bar_end(bar: Bar, following: Bar | None, remarks: Remarks) -> str:
    """The signs at the end of a bar, and its bar line."""
    if bar.form.repeat_after_jump:
        remarks.add(
            "repeats", "whether a repeat is taken after a jump is lost", bar.number
        )
    line = (
        _end_repeat(bar, remarks)
        if bar.form.repeat_end
        else _bar_line(bar, following, remarks)
    )
    return f"{_signs_at_end(bar.form)} {line}"


def _signs_at_end(form: FormSigns) -> str:
    """The signs that say where the reading goes after a bar."""
    signs = {
        "!dacoda!": form.to_coda,
        '"^To Coda 2"': form.to_coda and form.coda_number > 1,
        '"^to Solos"': form.to_solos,
        "!fine!": form.fine,
    }
    said = "".join(sign for sign, stands in signs.items() if stands)
    if form.jump is not None:
        sign = "!D.C.!" if form.jump.back_to == "capo" else "!D.S.!"
        said += f'{sign}"^{jump_words(form.jump)}"'
    return f" {said}" if said else ""


def _end_repeat(bar: Bar, remarks: Remarks) -> str:
    """An end repeat, a colon for each time that the music is played again."""
    form = bar.form
    if form.repeat_end == 1:
        remarks.add("repeats", "a repeat of one pass is written as of two", bar.number)
    if form.barline != "regular":
        remarks.add(
            "bar-lines", "a bar line at an end repeat is the repeat's own",
            bar.number, severity="note",
        )  # fmt: skip
    return f"{':' * max(1, form.repeat_end - 1)}|"


def _bar_line(bar: Bar, following: Bar | None, remarks: Remarks) -> str:
    """A bar line without a repeat; one that closes an ending is a double one, unless
    the next bar closes it."""
    form = bar.form
    stops = bar.ending_stops_before(following)
    if form.barline in ("double", "final"):
        if form.ending and not stops:
            remarks.add(
                "endings", "an ending stops at the double bar in it", bar.number
            )
    elif stops and following is not None:
        after = following.form
        if not after.ending_starts and not after.repeat_start:
            remarks.add(
                "endings",
                "an ending that stops at a plain bar line stops at a double one",
                bar.number,
            )
            return "||"
    return _LINES[form.barline]
