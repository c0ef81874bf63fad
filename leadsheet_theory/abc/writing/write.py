"""Writing lead sheets in ABC notation, version 2.1.

The text is clean: a line for each system of four bars, the accidentals, tuplets and
repeats said so that readers who part over the standard's open questions read the same.

Source: Chris Walshaw, *The abc music standard 2.1* (December 2011).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from typing import Final, Literal

from attrs import evolve, frozen

from ...key import Key
from ...leadsheet.divided_bars import numbers_through
from ...leadsheet.findings import Finding
from ...leadsheet.model import Bar, Hit, LeadSheet, Lyric, Note, Rest
from ...leadsheet.slash_time import has_slashes
from ...pitch import Pitch
from ...rhythm.meter import Meter
from .._text import text_string
from ..reading._lyrics import syllables
from ._bars import above_bar, bar_end, bar_start, tempo_text
from ._mend import mended
from ._notes import LineWriter, in_pieces
from ._remarks import Remarks

__all__ = ("AbcText", "write_abc")

_BARS_IN_A_LINE: Final = 4
_ON_THE_LINE: Final = (Pitch("B"),)
_MODES: Final = {"major": "", "minor": "m"}
_LABEL: Final = re.compile(r"[A-Z][0-9']{0,2}")
_HELD_RIGHTS: Final = re.compile(r"©|\(c\)|copyright", re.IGNORECASE)
_C_MAJOR: Final = Key.from_signature(0)
_EIGHTH: Final = Fraction(1, 2)


@frozen(order=False)
class AbcText:
    """A tune as text, and what of the sheet the text does not hold."""

    text: str
    findings: tuple[Finding, ...] = ()

    def __str__(self) -> str:
        return self.text


def write_abc(sheet: LeadSheet, /, *, number: int = 1) -> AbcText:
    '''A lead sheet in ABC notation, to be read back as it is.

    A note or rest is parted where a chord symbol or words stand over its middle; a
    back quote, which other readers pass over, says that it is one.

    Args:
        sheet: the sheet, at concert pitch.
        number: the reference number, X:.

    >>> from leadsheet_theory.abc import parse_abc
    >>> tune, = parse_abc("""
    ... X:1
    ... T:Slack Water
    ... M:3/4
    ... K:F
    ... "F"A4 c2 | "Bb7"_A6 |]
    ... """)
    >>> print(write_abc(tune.sheet))
    %abc-2.1
    X:1
    T:Slack Water
    I:abc-creator leadsheet-theory
    M:3/4
    L:1/8
    K:F
    "F"A4 c2 | "Bb7"_A6 |]
    <BLANKLINE>
    '''
    remarks = Remarks()
    bars = mended(sheet.bars, remarks)
    unit = _unit(bars)
    lines = [*_head(sheet, number, unit, remarks)]
    if any(bar.hits for bar in bars):
        lines += ["V:1", 'V:2 name="Rhythm" clef=perc']
    lines.append(f"K:{_key(bars[0].key if bars else _C_MAJOR)}")
    if sheet.solo_chorus is not None:
        remarks.add("solos", "the changes for the solos are lost")
    if any(bar.bass_line for bar in sheet.bars):
        remarks.add("bass-line", "the bass line is lost")
    if sheet.swing is not None:
        remarks.add(
            "swing", f"ABC has no sign for swing ({sheet.swing}): say it in words"
        )
    if bars:
        lines += _body(bars, unit, remarks)
        _check_numbers(bars, remarks)
    return AbcText("\n".join(lines) + "\n", remarks.findings())


def _head(
    sheet: LeadSheet, number: int, unit: Fraction, remarks: Remarks
) -> Iterator[str]:
    yield "%abc-2.1"
    yield f"X:{number}"
    yield f"T:{text_string(sheet.title)}"
    if sheet.subtitle:
        yield f"T:{text_string(sheet.subtitle)}"
    if sheet.composer:
        yield f"C:{text_string(sheet.composer)}"
    if sheet.lyricist:
        yield f"C:words by {text_string(sheet.lyricist)}"
    if sheet.arranger:
        yield f"C:arr. by {text_string(sheet.arranger)}"
    if sheet.rights:
        own = _HELD_RIGHTS.match(sheet.rights)
        yield f"N:{'' if own else 'rights: '}{text_string(sheet.rights)}"
    yield "I:abc-creator leadsheet-theory"
    meter = sheet.bars[0].meter if sheet.bars else Meter(4, 4)
    yield f"M:{_meter(meter, remarks)}"
    yield f"L:{(unit / 4).numerator}/{(unit / 4).denominator}"
    tempo = "" if sheet.tempo is None else tempo_text(sheet.tempo, remarks)
    if sheet.style:
        tempo = f'"{text_string(sheet.style, quoted=True)}" {tempo}'.strip()
    if tempo:
        yield f"Q:{tempo}"


def _unit(bars: Sequence[Bar]) -> Fraction:
    """An eighth, or a sixteenth where most lengths are no whole number of eighths."""
    lengths = [event.duration for bar in bars for event in bar.melody if event.duration]
    whole = sum((length / _EIGHTH).denominator == 1 for length in lengths)
    return _EIGHTH if 2 * whole >= len(lengths) else _EIGHTH / 2


def _meter(meter: Meter, remarks: Remarks, bar: int | None = None) -> str:
    if meter.beat_types:
        remarks.add("meter", f"{meter} is written in its shortest unit", bar)
        meter = evolve(meter, beat_types=())
    text = str(meter)
    if meter.symbol == "cut" and text != "C|":
        remarks.add("meter", f"the cut C of {text} is written in numbers", bar)
    if not meter.grouping:
        return text
    top, _, bottom = text.partition("/")
    return f"({top})/{bottom}"


def _key(key: Key) -> str:
    return f"{key.tonic}{_MODES.get(key.mode, f' {key.mode}')}"


def _check_numbers(bars: Sequence[Bar], remarks: Remarks) -> None:
    """Tell where the numbers of the bars will be others when they are read back."""
    first, second = bars[0], bars[1] if len(bars) > 1 else None
    short = (
        second is not None
        and first.length < first.meter.bar_length
        and first.length != second.length
    )
    start = 0 if short else 1
    numbers = [start, *numbers_through(bars[1:], first=start + 1)]
    if numbers != [bar.number for bar in bars]:
        remarks.add("bar-numbers", f"bars are counted from {start} when read back")


def _systems(bars: Sequence[Bar]) -> Iterator[list[int]]:
    """The bars of each line of text: four, fewer before a new section."""
    line: list[int] = []
    count = 0
    for index, bar in enumerate(bars):
        if line and (count == _BARS_IN_A_LINE or bar.form.section):
            yield line
            line, count = [], 0
        line.append(index)
        count += bar.counts
    if line:
        yield line


def _body(bars: Sequence[Bar], unit: Fraction, remarks: Remarks) -> Iterator[str]:
    melody, hits = LineWriter(unit, remarks), LineWriter(unit, remarks)
    two_voices = any(bar.hits for bar in bars)
    verses = max(
        (
            lyric.verse
            for bar in bars
            for event in bar.melody
            if isinstance(event, Note)
            for lyric in event.lyrics
        ),
        default=0,
    )
    words = _WordLines(verses, remarks)
    for line in _systems(bars):
        if two_voices:
            yield "V:1"
        section = bars[line[0]].form.section
        if section:
            label = _LABEL.fullmatch(section)
            yield f"{'P' if label else 'T'}:{text_string(section)}"
        melody.words = []
        yield _in_a_line(_bar(bars, index, melody, remarks) for index in line)
        yield from words.lines(melody.words)
        if two_voices:
            yield "V:2"
            yield _in_a_line(_hits_bar(bars, index, hits) for index in line)


def _in_a_line(bars: Iterable[str]) -> str:
    """The bars of a line; a start repeat takes the place of a plain bar line."""
    line = ""
    for bar in bars:
        if bar.startswith("|:") and line.endswith(" |"):
            line = line[:-2]
        line += f" {bar}" if line else bar
    return line


def _bar(bars: Sequence[Bar], index: int, writer: LineWriter, remarks: Remarks) -> str:
    """A bar of the melody, with all that stands over it and its bar lines."""
    bar = bars[index]
    writer.start_bar(bar.key, bar.number)
    over = above_bar(bar, remarks)
    said = [bar_start(bar), _changes(bars, index, remarks)]
    events = bar.melody or (Rest(Fraction(0), bar.length),)
    if has_slashes(events):
        remarks.add("slashes", "slashes are written as rests", bar.number)
    pieces = in_pieces(events, sorted(over), bar.length)
    beats = {beat - bar.starts_at for beat in bar.meter.beat_starts}
    said.append(writer.line(pieces, over, sung=True, beats=beats))
    if bar.counterline:
        writer.start_overlay()
        said += ["&", writer.line(in_pieces(bar.counterline, (), bar.length), {},
                                  sung=False)]  # fmt: skip
        if any(isinstance(e, Note) and e.lyrics for e in bar.counterline):
            remarks.add("words", "words under a counterline are lost", bar.number)
    following = bars[index + 1] if index + 1 < len(bars) else None
    return _joined(said) + bar_end(bar, following, remarks)


def _changes(bars: Sequence[Bar], index: int, remarks: Remarks) -> str:
    """A new metre or key at the start of a bar."""
    if not index:
        return ""
    bar, before = bars[index], bars[index - 1]
    said = ""
    if bar.meter != before.meter:
        said += f"[M:{_meter(bar.meter, remarks, bar.number)}]"
    if bar.key != before.key:
        said += f"[K:{_key(bar.key)}]"
    return said


def _joined(pieces: Sequence[str]) -> str:
    return " ".join(filter(None, pieces))


def _hits_bar(bars: Sequence[Bar], index: int, writer: LineWriter) -> str:
    """A bar of the hits, on the middle line of a staff of their own."""
    bar = bars[index]
    writer.start_bar(_C_MAJOR, bar.number)
    events = [_stroke(hit) for hit in bar.hits]
    line = writer.line(in_pieces(events, (), bar.length), {}, sung=False)
    repeat = "|:" if bar.form.repeat_start else ""
    passes = bar.form.repeat_end
    changed = index and bar.meter != bars[index - 1].meter
    meter = f"[M:{_meter(bar.meter, Remarks())}]" if changed else ""
    return _joined([repeat, meter, line, f"{':' * max(0, passes - 1)}|"])


def _stroke(hit: Hit) -> Note:
    return Note(
        onset=hit.onset,
        duration=hit.duration,
        pitches=_ON_THE_LINE,
        value=hit.value,
        tied_from_previous=hit.tied_from_previous,
        tied_to_next=hit.tied_to_next,
        marks=hit.marks,
    )


class _WordLines:
    """The fields w: under the lines of music: one for each verse, under every line, so
    that readers of 2.0 and of 2.1 begin at the same note."""

    def __init__(self, verses: int, remarks: Remarks) -> None:
        self._verses = verses
        self._remarks = remarks
        self._held: list[Literal["", "wanted", "written"]] = [""] * (verses + 1)
        self._hyphen = [False] * (verses + 1)

    def lines(self, notes: Sequence[tuple[Lyric, ...]]) -> Iterator[str]:
        """The words of one line of music."""
        for verse in range(1, self._verses + 1):
            said = []
            for lyrics in notes:
                own = [each for each in lyrics if each.verse == verse and each.text]
                if len(own) > 1:
                    self._remarks.add("words", "two syllables of a verse on one note")
                if not own:
                    held = self._held[verse]
                    self._held[verse] = held and "written"
                    said.append("_" if held else "*")
                    continue
                text = _syllable(own[0])
                if text:
                    self._check(own[0], verse)
                self._held[verse] = "wanted" if own[0].extend else ""
                said.append(text or "*")
            if set(said) <= {"*"}:
                said = []
            yield f"w:{' '.join(said)}".rstrip()

    def _check(self, lyric: Lyric, verse: int) -> None:
        """Tell of hyphens that don't agree with those of the syllable before, and of
        one that was to be held on and has no note for it."""
        if self._held[verse] == "wanted":
            self._remarks.add(
                "words", "a syllable is held on over no further note", severity="note"
            )
        if self._hyphen[verse] != (lyric.syllabic in ("middle", "end")):
            self._remarks.add(
                "words", "hyphens between syllables that don't agree", severity="note"
            )
        self._hyphen[verse] = lyric.syllabic in ("begin", "middle")


def _syllable(lyric: Lyric) -> str:
    text = text_string(lyric.text)
    text = text.replace("-", "\\-").replace("~", "\\u007e").replace(" ", "~")
    text = re.sub(r"[_*|]|[^\S ]", lambda sign: f"\\u{ord(sign[0]):04x}", text)
    if text and lyric.syllabic in ("begin", "middle"):
        text += "-"
    read = syllables(text, 1)
    if len(read) != 1 or read[0] is None or not read[0].text:
        return ""
    return text
