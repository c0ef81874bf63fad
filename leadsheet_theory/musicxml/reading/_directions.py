"""What stands over and under the staff: chord symbols, words, dynamics, tempo."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final, Literal
from xml.etree.ElementTree import Element

from attrs import evolve

from ...chords import typed_sounds
from ...leadsheet.model import Direction, Swing, Tempo
from ...rhythm.values import NoteValue
from ._form import FormReader
from ._harmony import Place, Preference, read_harmony
from ._notes import MAX_QUARTERS, NoteReader
from ._swing import read_swing, read_swing_equation
from ._values import Number, dynamics_text, plain_number, quarters, value_name
from ._words import (
    MAX_WORDS,
    at_concert_pitch,
    chords_in,
    clean_words,
    joined,
    plain_words,
)

__all__ = ("DirectionReader",)

_PER_MINUTE: Final = re.compile(r"[0-9]{1,4}(?:\.[0-9]{1,4})?", re.ASCII)


class DirectionReader:
    """Reads chord symbols and directions into the bar that the notes stand in."""

    __slots__ = ("_by", "_form", "_notes", "grid", "report")

    def __init__(
        self, notes: NoteReader, form: FormReader, prefer: Preference | None
    ) -> None:
        self._by = Place(notes.shift, notes.bar.key, prefer)
        self.report = notes.report
        self.grid = notes.grid
        self._notes = notes
        self._form = form

    def _place(self, offset: Element | None) -> Number:
        """Where something stands that is `offset` divisions from here."""
        place = self._notes.cursor
        if offset is None:
            return place
        try:
            place += plain_number(offset.text or "") * self._notes.tick
        except ValueError:
            raise self.report.error(
                f"{(offset.text or '')[:20]!r}: expected a number of divisions",
                "offset",
            ) from None
        if place < 0 or place > self.grid * MAX_QUARTERS:
            self.report.gather(
                "offset", "warning", "an offset leads out of the bar; it is left out"
            )
            return self._notes.cursor
        return place

    def harmony(self, element: Element) -> None:
        """Read ``harmony``."""
        bar = self._notes.bar
        alternate = element.get("type") == "alternate"
        by = self._by
        if by.shift is not self._notes.shift or by.key is not bar.key:
            by = self._by = Place(self._notes.shift, bar.key, by.prefer)
        symbol, offset = read_harmony(element, self.report, by)
        if symbol is None:
            return
        if alternate:
            bar.alternates.append((self._place(offset), symbol))
        else:
            bar.chords.append((self._place(offset), symbol))

    def direction(self, element: Element) -> None:
        """Read ``direction``."""
        report = self.report
        place = self._place(element.find("offset"))
        above = element.get("placement") != "below"
        words: list[str] = []
        others: list[Element] = []
        enclosed = False
        for child in element:
            tag = child.tag
            if tag == "direction-type":
                for kind in child:
                    if kind.tag == "words":
                        words.append(kind.text or "")
                        enclosed = kind.get("enclosure", "none") != "none"
                    else:
                        others.append(kind)
            elif tag == "sound":
                self.sound(child)
            elif tag not in ("offset", "staff", "voice"):
                report.unread(tag)
        text = joined(words)
        if len(text) > MAX_WORDS:
            self._print(place, "words", text, above)
            text = ""
        for kind in others:
            if self._direction_type(kind, place, above, text):
                # a sign of form that the words are part of
                text, words = "", []
        if text:
            self._words(text, place, above, enclosed)
        elif words and not others:
            report.gather("unread", "note", "<words> without text", element="words")

    def _direction_type(
        self, element: Element, place: Number, above: bool, beside: str
    ) -> bool:
        """Read what a ``direction-type`` holds beside words; whether these are part of
        it."""
        tag = element.tag
        if tag == "segno" or tag == "coda":
            return self._form.sign(tag, place, beside=beside)
        if tag == "symbol" and element.text in ("segno", "coda"):
            return self._form.sign(element.text, place, beside=beside)
        if tag == "rehearsal":
            self._form.section(clean_words(element.text or ""), place)
        elif tag == "dynamics":
            text = dynamics_text(element, self.report)
            if text:
                self._print(place, "dynamics", text, above)
        elif tag == "metronome":
            self._metronome(element, place, above)
        else:
            self.report.unread(tag)
        return False

    def _print(
        self,
        place: Number,
        kind: Literal["words", "dynamics"],
        text: str,
        above: bool,
    ) -> None:
        onset = quarters(place, self.grid)
        direction = Direction(onset, kind, text, above=above)
        self._notes.bar.directions.append((place, direction))

    def _words(self, text: str, place: Number, above: bool, enclosed: bool) -> None:
        # a frame in mid-bar is only a frame
        rest = self._form.words(text, place, enclosed=enclosed and not place)
        if rest == "":
            return
        text = rest or text
        shift = self._notes.shift
        symbols = chords_in(text)
        sounds = typed_sounds(plain_words(text))
        if sounds.sounds and not symbols:
            text = plain_words(text)
        if sounds.unreadable and not symbols:
            self._tell_unreadable(text, place)
            if shift is not None:
                # in letters of another key it would mislead every reader
                return
        elif shift is not None:
            text = at_concert_pitch(text, shift)
            symbols = tuple([symbol.transposed(shift) for symbol in symbols])
        if symbols:
            self._notes.bar.typed.append((place, text, symbols))
        else:
            self._print(place, "words", text, above)

    def _tell_unreadable(self, text: str, place: Number) -> None:
        self.report.add(
            "chord-words",
            "error",
            f"the words {text[:40]!r} look like a chord symbol that cannot be read: "
            "transposed parts leave them out",
            element="words",
            advice="enter them as a chord symbol",
            onset=quarters(place, self.grid),
            meter=self._notes.bar.meter,
        )

    def _metronome(self, element: Element, place: Number, above: bool) -> None:
        if element.get("print-object") == "no":
            self.report.gather(
                "hidden", "note", "a tempo hidden in the source is not printed"
            )
            return
        swing = read_swing_equation(element)
        if swing is not None:
            self._swing(swing)
            return
        units: list[str] = []
        dots = 0
        minute = ""
        for child in element:
            tag = child.tag
            if tag == "beat-unit":
                units.append(child.text or "")
            elif tag == "beat-unit-dot":
                dots += 1
            elif tag == "per-minute":
                minute = child.text or ""
            elif tag.startswith("metronome-"):
                # one value against another
                units.append("")
            else:
                self.report.unread(tag)
        name = value_name(units[0]) if units else None
        number = _PER_MINUTE.search(minute)
        if len(units) != 1 or name is None or number is None or not float(number[0]):
            self.report.unread("metronome", minute[:20])
            return
        if number[0] != minute.strip():
            self.report.add(
                "tempo", "note", f"tempo {minute[:20]!r} is read as {number[0]}"
            )
        tempo = Tempo(NoteValue(name, min(dots, 3)), Fraction(number[0]))
        onset = quarters(place, self.grid)
        direction = Direction(onset, "tempo", tempo=tempo, above=above)
        self._notes.bar.directions.append((place, direction))

    def sound(self, element: Element) -> None:
        """Read ``sound``: of playback, only the form is carried."""
        for name, value in element.items():
            if not self._form.sound(name, value, self._notes.cursor):
                self.report.passed.add("sound")
        for child in element:
            if child.tag == "swing":
                self._swing(read_swing(child, self.report))
            elif child.tag != "offset":
                self.report.unread(child.tag)

    def _swing(self, swing: Swing) -> None:
        """How eighths are played from this bar on, said or printed as an equation."""
        before = self._notes.bar.swing
        if before is not None and before.equation:
            swing = evolve(swing, equation=True)
        self._notes.bar.swing = swing
