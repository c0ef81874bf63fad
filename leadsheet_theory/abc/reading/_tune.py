"""One tune: its body, field by field and line by line.

Source: The abc music standard 2.1, chapter 3 (information fields), sections 6 (lines)
and 7 (voices).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import Final

from attrs import evolve

from ...leadsheet.findings import Finding
from ...leadsheet.model import Direction, LeadSheet, Tempo
from .._text import plain_text
from ._assemble import VoicesAsked, assembled
from ._fields import (
    VoiceWords,
    read_key,
    read_meter,
    read_tempo,
    read_unit,
    read_voice,
    usual_unit,
)
from ._header import FIELD, HeaderReader
from ._lines import Line
from ._lyrics import align_words, symbol_places
from ._macros import expanded
from ._order import part_order
from ._quotes import read_quoted
from ._voice import Voice

__all__ = ("TuneReader",)

_BODY: Final = frozenset("IKLMmNPQRrsTUVWwd")
_NOT_IN_BODY: Final = frozenset("ABCDEFGXYZabcdefgxyz")
_VOICE: Final = re.compile(r"\s*(\S+)(.*)")
_BEGIN: Final = re.compile(r"%%begin(\w+)")
_MAX_FINDINGS: Final = 2000


class TuneReader(HeaderReader):
    """Reads one tune."""

    def __init__(self, *, strict: bool, asked: VoicesAsked) -> None:
        super().__init__(strict=strict)
        self.asked = asked
        self._voices: dict[str, Voice] = {}

    def read(
        self, header: Iterable[Line], lines: tuple[Line, ...]
    ) -> tuple[LeadSheet, tuple[Finding, ...]]:
        """The sheet of a tune, and the findings."""
        for line in _joined(header):
            self.header_line(line)
        rest = list(_joined(lines))
        self.key_follows = any(line.text.startswith("K:") for line in rest)
        at = 0
        while at < len(rest) and self.header_line(rest[at]):
            at += 1
        self._check_titles(lines)
        self._start_body(rest[at] if at < len(rest) else None)
        for line in rest[at:]:
            if line.text:
                self._body_line(line)
        self._end()
        order = None
        if self.order is not None:
            text, number, column = self.order
            order = part_order(text)
            if order is None:
                self.report.at(
                    "bad-parts", "error",
                    f"{text[:20]!r} is no order of parts: the written order is taken",
                    number, column,
                )  # fmt: skip
            else:
                order = self._known_parts(order, number, column)
        sheet, findings = assembled(
            list(self._voices.values()), self.heading, self.report,
            order=order, asked=self.asked,
        )  # fmt: skip
        if len(findings) > _MAX_FINDINGS:
            more = len(findings) - _MAX_FINDINGS
            findings = (
                *findings[:_MAX_FINDINGS],
                Finding(
                    rule="too-many",
                    severity="warning",
                    message=f"{more} more remarks are left out",
                ),
            )
        return sheet, findings

    @property
    def bar_index(self) -> int | None:
        """The index of the bar in which the reading stands, once there is one."""
        return len(self.voice.bars) if self.in_body else None

    def _known_parts(self, order: str, line: int, column: int) -> str | None:
        labels = {
            bar.raw.signs.section
            for voice in self._voices.values()
            for bar in (*voice.bars, voice.bar)
        }
        unknown = sorted(set(order) - labels)
        if unknown:
            self.report.at(
                "unknown-part", "warning",
                f"the order names {', '.join(unknown)}, and no part is called that",
                line, column,
            )  # fmt: skip
        known = "".join(letter for letter in order if letter in labels)
        return known or None

    # --- the body ---

    def _check_titles(self, lines: tuple[Line, ...]) -> None:
        fields = [line for line in lines if FIELD.match(line.text)]
        title = next((line for line in fields if line.text[0] == "T"), None)
        if title is None:
            second = fields[1].number if len(fields) > 1 else lines[0].number
            self.report.at("missing-t", "warning", "no T:, so no title", second, 1)
        elif fields[0].text[0] == "X" and fields[1] is not title:
            self.report.at(
                "t-not-second", "warning", "T: should follow X:", title.number, 1
            )

    def _start_body(self, line: Line | None) -> None:
        if self.key is None:
            self.line = line.number if line is not None else self.line
            if line is None:
                self.tell("missing-k", "error", "a tune without K: and music")
            self.key = read_key("C")
        self.titles = self.titles or [""]
        self.heading.title = self.titles[0]
        self.heading.subtitle = ", ".join(filter(None, self.titles[1:]))
        self.heading.composer = ", ".join(filter(None, self.composers))
        unit = self.unit or usual_unit(self.meter)
        self.unit = unit
        if self.tempo_text is not None:
            text, self.line, self.column = self.tempo_text
            tempo = read_tempo(text, unit)
            self._tempo_complaint(tempo.complaint)
            self.heading.tempo = tempo.tempo
            # of a style in both, R: stays among the texts
            self.heading.style = tempo.words or self.heading.style
        for name in self.voice_words:
            self._voice_named(name)
        if self._voices:
            self.voice = next(iter(self._voices.values()))
        else:
            self.voice = self._voice_named("")
        self.in_body = True

    def _tempo_complaint(self, complaint: tuple[str, str, str] | None) -> None:
        if complaint is not None:
            rule, severity, message = complaint
            if rule == "deprecated-tempo" and not self.strict:
                severity = "note"
            self.tell(rule, severity, message)  # type: ignore[arg-type]

    def _voice_named(self, name: str) -> Voice:
        voice = self._voices.get(name)
        if voice is None:
            assert self.key is not None and self.unit is not None
            voice = self._voices[name] = Voice(name, self.key, self.meter)
            voice.set_unit(self.unit)
            words = self.key.voice or VoiceWords()
            voice.set_words(_over(words, self.voice_words.get(name)))
        return voice

    def _body_line(self, line: Line) -> None:
        text = line.text
        self.line, self.column = line.number, 1
        if text.startswith("%%"):
            self.directive(text[2:], line.number, 3)
            return
        if text.startswith("+") and FIELD.match(text, 1):
            self.unreadable("+")
            return
        found = FIELD.match(text)
        if found is not None and not self._is_music(found):
            letter, value = found[1], found[2]
            if letter in _BODY:
                column = 3 + len(value) - len(value.lstrip())
                self._body_field(letter, value, line.number, column)
            elif letter in _NOT_IN_BODY:
                self.tell(
                    "field-not-allowed-in-body", "error",
                    f"{letter}: may not stand in the music: the line is passed over",
                )  # fmt: skip
            else:
                self.tell("unknown-field", "warning", f"a field {letter}: is not known")
            return
        for macro in self.macros:
            text = expanded(macro, text)
        voice = self.voice
        notes = len(voice.notes)
        self.read_line(text, line.number)
        if len(self.voice.notes) > notes or self.voice is not voice:
            if self.voice is voice:
                voice.line_start = notes
            self.voice.verse = 0

    def _is_music(self, found: re.Match[str]) -> bool:
        """Whether *letter colon* is a note before a repeat sign, not a field."""
        return found[1] in "ABCDEFGabcdefgzx" and found[2][:1] in ("|", ":", "]")

    def inline_field(self, letter: str, text: str) -> None:
        """Read a field within the music."""
        if letter in "IKLMPQRVUNrm":
            line, column = self.line, self.column
            self._body_field(letter, text, line, column)
            self.line, self.column = line, column
        else:
            message = f"a field {letter}: is not known here"
            self.tell("unknown-field", "warning", message, by=1)

    def _body_field(self, letter: str, value: str, line: int, column: int) -> None:
        self.line, self.column = line, column
        if letter in "KMP":
            self.end_full_bar()
        text = value.strip()
        if letter == "K":
            self._change_key(text)
        elif letter == "M":
            self._change_meter(text)
        elif letter == "L":
            unit, complaint = read_unit(text)
            self.complain(complaint)
            if unit is not None:
                self.voice.set_unit(unit)
        elif letter == "Q":
            tempo = read_tempo(text, self.voice.unit)
            self._tempo_complaint(tempo.complaint)
            self._direct(tempo.words, tempo.tempo)
        elif letter in "PT":
            self.label(" ".join(plain_text(text).split()))
        elif letter == "V":
            self._change_voice(text)
        elif letter == "w":
            self._words(value, column)
        elif letter == "s":
            self._symbols(value, column)
        else:
            self.field(letter, value, line, column)

    def _change_voice(self, text: str) -> None:
        found = _VOICE.fullmatch(text)
        if found is None:
            return
        self.voice = self._voice_named(found[1])
        if found[2].strip():
            self.voice.set_words(_over(self.voice.words, read_voice(found[2])))

    def _change_meter(self, text: str) -> None:
        meter, complaint = read_meter(text)
        self.complain(complaint)
        voice = self.voice
        if meter and voice.meter and meter.is_like(voice.meter):
            return  # printed again, perhaps with another sign
        voice.meter = meter
        if voice.bar.is_empty:
            held = voice.bar.raw
            voice.bar.free = meter is None
            held.meter = meter or held.meter
        else:
            self.tell("meter", "note", "a new metre counts from the next bar on")

    def _change_key(self, text: str) -> None:
        field = read_key(text)
        for complaint in field.complaints:
            self.complain(complaint)
        voice = self.voice
        voice.set_key(field)
        if field.voice is not None:
            voice.set_words(_over(voice.words, field.voice))
        if field.key is None:
            return
        if voice.bar.is_empty:
            voice.bar.raw.key = field.key
        else:
            self.tell(
                "key-change", "note",
                "a key within the bar: its signature stands at the next bar",
            )  # fmt: skip

    def _direct(self, words: str, tempo: Tempo | None) -> None:
        voice = self.voice
        onset = voice.cursor
        directions = voice.bar.raw.directions
        if words:
            directions.append((onset, Direction(onset, "words", words)))
        if tempo is not None:
            directions.append((onset, Direction(onset, "tempo", tempo=tempo)))

    def _words(self, value: str, column: int) -> None:
        voice = self.voice
        if not voice.notes:
            self.column = 1
            self.tell(
                "lyrics-before-music", "warning", "words before any note: ignored"
            )
            return
        left = align_words(voice, value.strip(), column, strict=self.strict)
        if left:
            self.column = left[0]
            self.tell(
                "too-many-syllables", "warning",
                f"{len(left)} syllables more than notes: they are dropped",
            )  # fmt: skip

    def _symbols(self, value: str, column: int) -> None:
        """A line of symbols under the notes (4.15)."""
        voice = self.voice
        held, cursor, waiting = voice.bar, voice.cursor, voice.pending
        for symbol, index, place in symbol_places(voice, value.strip(), column):
            event, at = voice.notes[index]
            self.column = place
            voice.pending = []
            if symbol.startswith('"'):
                self.wait(read_quoted(symbol.strip('"')))
            elif symbol[0] in "!+" and len(symbol) > 2:
                self.decorate(symbol[1:-1])
            elif symbol in self.symbols:
                self.decorate(self.symbols[symbol].strip("!"))
            else:
                self.unreadable(symbol)
            voice.bar = voice.bars[at] if at < len(voice.bars) else held
            self.release(event)
        voice.bar, voice.cursor, voice.pending = held, cursor, waiting

    # --- the end ---

    def _end(self) -> None:
        """Close the last bars, and tell of what is still open."""
        for voice in self._voices.values():
            self.voice = voice
            if voice.tuplet is not None:
                self.unfilled(voice.tuplet)
            if voice.broken is not None:
                line, column = voice.broken[2:]
                self.report.at(
                    "broken-rhythm-across-bar", "error",
                    "no second note for > or <", line, column,
                )  # fmt: skip
            if not voice.bar.is_empty:
                self._left_behind()
            elif voice.graces:
                self.tell("unread", "warning", "grace notes before no note are lost")
            if voice.bar.is_empty:
                self._last_words(voice)
            self._open_ends(voice)

    def _last_words(self, voice: Voice) -> None:
        """What stands after the last bar line: words at its end, or nothing."""
        for each in voice.pending:
            self.report.at(
                "chord-without-note", "warning",
                "this stands over no note: it is kept at the end of the last bar",
                each.line, each.column, bar=max(0, len(voice.bars) - 1),
            )  # fmt: skip
        voice.pending += ()
        if not voice.bars:
            voice.pending = []
            return
        last, stray = voice.bars[-1], voice.bar.raw
        if voice.pending:
            voice.bar, voice.cursor = last, Fraction(last.raw.length)
            kept = list(last.raw.chords)
            self.release(None)
            stray_chords = last.raw.chords[len(kept) :]
            last.raw.chords = kept
        else:
            stray_chords = []
        end = Fraction(last.raw.length)
        for _, symbol in (*stray_chords, *stray.chords):
            words = Direction(end, "words", symbol.source or str(symbol))
            last.raw.directions.append((end, words))
        for _, direction in stray.directions:
            last.raw.directions.append((end, evolve(direction, onset=end)))
        last.raw.signs.fine = last.raw.signs.fine or stray.signs.fine
        last.raw.signs.to_coda = last.raw.signs.to_coda or stray.signs.to_coda
        last.raw.signs.jump = last.raw.signs.jump or stray.signs.jump
        last.raw.signs.open_jump = last.raw.signs.open_jump or stray.signs.open_jump

    def _open_ends(self, voice: Voice) -> None:
        report = self.report
        if voice.tied is not None:
            report.at("tie-to-nothing", "warning", "a tie to no note", *voice.tie_at)
        for slur in voice.slurs:
            report.at(
                "slur-not-closed", "warning", "a slur that no ) ends",
                slur.line, slur.column,
            )  # fmt: skip
            if slur.event is not None:
                slur.event.slurs = [
                    end
                    for end in slur.event.slurs
                    if end.end != "start" or end.number != slur.number
                ]
        for line, column in voice.waiting_slurs:
            report.at("slur-not-closed", "warning", "a ( without a note", line, column)
        if voice.open_repeat is not None:
            report.at(
                "repeat-not-closed", "warning", "a start repeat that nothing closes",
                *voice.bar_line_at,
            )  # fmt: skip
        if voice.ending and voice.bars:
            voice.bars[-1].raw.signs.ending_stop = True


def _over(words: VoiceWords, other: VoiceWords | None) -> VoiceWords:
    """What two fields say of a staff, the second before the first."""
    if other is None:
        return words
    return VoiceWords(
        clef=other.clef or words.clef,
        sounds_octaves=other.sounds_octaves if other.clef else (
            other.sounds_octaves or words.sounds_octaves
        ),
        transpose=other.transpose or words.transpose,
        octave=other.octave or words.octave,
        name=other.name or words.name,
    )  # fmt: skip


def _joined(lines: Iterable[Line]) -> Iterator[Line]:
    """The lines with those that continue a field put to it, and without blocks of
    text that are for printing only."""
    held: Line | None = None
    until = ""
    for line in lines:
        text = line.text
        if until:
            if text.startswith(until):
                until = ""
            continue
        block = _BEGIN.match(text) if text.startswith("%%b") else None
        if block is not None:
            until = f"%%end{block[1]}"
            continue
        if text.startswith("+:") and held is not None and FIELD.match(held.text):
            held = evolve(held, text=f"{held.text} {text[2:].strip()}")
            continue
        if held is not None:
            yield held
        held = line
    if held is not None:
        yield held
