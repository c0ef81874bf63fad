"""Bar lines, repeats, endings, rests of whole bars; what waits for its note.

Source: The abc music standard 2.1, sections 4.5 (rests), 4.8 (bar lines), 4.9 and 4.10
(endings), 4.14 (decorations), 7.4 (voice overlay).
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

from ...leadsheet.findings import Severity
from ...leadsheet.model import Direction
from .._signs import Decoration
from ._quotes import Quoted, form_sign
from ._report import AbcReport
from ._voice import BarSign, Event, OpenTuplet, Pending, TuneBar, Voice, read_bar_sign

__all__ = ("BarLines",)

_MOST_RESTS: Final = 999
_MAX_BARS: Final = 20_000
_MOST_PASSES: Final = 99
_RANGE: Final = re.compile(r"([0-9]{1,2})(?:-([0-9]{1,2}))?(?=,|$)")


class BarLines:
    """The part of the reader of music code that knows about bars."""

    def __init__(self, report: AbcReport, *, strict: bool) -> None:
        self.report = report
        self.strict = strict
        self.voice: Voice
        self.line = self.column = 1

    def tell(
        self, rule: str, severity: Severity, message: str, *, by: int = 0,
        advice: str = "",
    ) -> None:  # fmt: skip
        """Note a finding where the reading stands, or some columns further."""
        self.report.at(
            rule,
            severity,
            message,
            self.line,
            self.column + by,
            bar=self.bar_index,
            advice=advice,
        )

    @property
    def bar_index(self) -> int | None:
        """The index of the bar in which the reading stands."""
        return len(self.voice.bars)

    # --- what waits for its note ---

    def wait(self, thing: Quoted | Decoration) -> None:
        """Keep something for the note, rest or bar line that comes next."""
        if isinstance(thing, Quoted) and thing.complaint is not None:
            self.tell(*thing.complaint)  # type: ignore[arg-type]
        self.voice.pending.append(Pending(thing, self.line, self.column))

    def release(self, event: Event | None) -> None:
        """Give what waits to an event, or to the place where the voice stands."""
        voice = self.voice
        bar, onset = voice.bar, event.onset if event is not None else voice.cursor
        for each in voice.pending:
            thing = each.thing
            if isinstance(thing, Quoted):
                self._quoted(bar, onset, thing)
            elif thing.kind == "mark":
                if event is not None:
                    event.add_mark(thing.text)
                else:
                    self._unplaced(each, thing.text)
            elif thing.kind == "form":
                self._form(bar, onset, form_sign(thing.text), by_sign=True)
            elif thing.kind == "dynamics":
                bar.raw.directions.append(
                    (onset, Direction(onset, "dynamics", thing.text, above=False))
                )
            else:
                above = thing.text == "~"
                bar.raw.directions.append(
                    (onset, Direction(onset, "words", thing.text, above=above))
                )
        voice.pending = []

    def _unplaced(self, each: Pending, what: str) -> None:
        self.report.at(
            "unread", "note", f"a {what} without a note of its own is not carried",
            each.line, each.column, bar=self.bar_index,
        )  # fmt: skip

    def _quoted(self, bar: TuneBar, onset: Fraction, quoted: Quoted) -> None:
        if quoted.symbol is not None:
            bar.raw.chords.append((onset, quoted.symbol))
        if quoted.form:
            self._form(bar, onset, quoted, by_sign=False)
        if quoted.words:
            direction = Direction(onset, "words", quoted.words, above=quoted.above)
            bar.raw.directions.append((onset, direction))

    def _form(
        self, bar: TuneBar, onset: Fraction, sign: Quoted, *, by_sign: bool
    ) -> None:
        """Put a sign of form into a bar.  A jump that only the sign gives goes as far
        as the chart allows; words say it, and then count once."""
        signs = bar.raw.signs
        if sign.form == "jump":
            if by_sign and sign.jump is not None and not sign.jump.until:
                signs.open_jump = signs.open_jump or sign.jump
            else:
                signs.jump = signs.jump or sign.jump
        elif sign.form == "fine":
            signs.fine = True
        elif sign.form == "to-coda":
            signs.to_coda = True
        elif sign.form == "to-solos":
            signs.to_solos = True
        elif sign.form == "coda":
            signs.coda = onset if signs.coda is None else signs.coda
        elif sign.form == "segno":
            signs.segno = onset
        elif sign.form == "times":
            signs.times = sign.times
            signs.fine = signs.fine or sign.fine
            signs.jump = signs.jump or sign.jump
        elif sign.form == "section":
            self.label(sign.section)
        if sign.coda > 1:
            signs.coda_number = sign.coda

    def label(self, name: str) -> None:
        """Name the section that starts here, or with the next bar."""
        voice = self.voice
        if voice.bar.is_empty or voice.cursor == 0:
            if not voice.bar.raw.signs.section:
                voice.bar.raw.signs.section = name
            elif voice.bar.raw.signs.section != name:
                onset = voice.cursor
                voice.bar.raw.directions.append(
                    (onset, Direction(onset, "words", name))
                )
        else:
            voice.next_section = name

    # --- bar lines ---

    def _bar(self, found: re.Match[str]) -> None:
        voice = self.voice
        voice.full_at_line_end = False
        sign = read_bar_sign(found["lines"])
        if sign.complaint:
            self.tell("stray-bracket", "error", f"{sign.complaint}: passed over")
            if not found["lines"].strip("]"):
                return
        if voice.broken is not None:
            self.report.at(
                "broken-rhythm-across-bar", "error",
                "no second note for > or < before the bar line",
                *voice.broken[2:], bar=self.bar_index,
            )  # fmt: skip
            voice.broken = None
        if voice.tuplet is not None:
            self.unfilled(voice.tuplet)
            voice.tuplet = None
        before = self._left_behind()
        if before is not None:
            self._close(before, sign)
        elif sign.ends:
            self.tell("repeat", "warning", "an end repeat before any music: ignored")
        if sign.starts:
            self._start_repeat(before)
        voice.bar_line_at = (self.line, self.column)
        if found["numbers"]:
            self._start_ending(found["numbers"], found.start("numbers"))

    def end_of_line(self, text: str) -> None:
        """Remember that a bar is full where its line ends: old files leave out the bar
        line there.  A line end alone is no bar line (2.2.4)."""
        voice = self.voice
        bar = voice.bar
        voice.full_at_line_end = (
            not self.strict
            and not bar.free
            and voice.cursor == bar.raw.meter.bar_length
            and voice.tuplet is None
            and voice.broken is None
            and not text.rstrip().endswith("\\")
        )

    def end_full_bar(self) -> None:
        """End a bar that was full where its line ended, since more music follows."""
        voice = self.voice
        if not voice.full_at_line_end:
            return
        voice.full_at_line_end = False
        if voice.bar.is_empty or voice.cursor != voice.bar.raw.meter.bar_length:
            return
        self.report.index = len(voice.bars)
        self.report.gather(
            "bar-line", "note", "the bar ends with its line, without a bar line"
        )
        waiting, voice.pending = voice.pending, []
        self._left_behind()
        voice.pending = waiting

    def _left_behind(self) -> TuneBar | None:
        """The bar that a bar line ends: the one that holds music, else, of several
        bar lines, the last that did."""
        voice = self.voice
        if voice.bar.is_empty:
            if voice.pending and voice.bars and self._waits_for_a_bar_line():
                self._release_at_end(voice.bars[-1])
            return voice.bars[-1] if voice.bars else None
        if voice.pending:
            self._release_at_end(voice.bar)
        if voice.graces:
            voice.layer += voice.graces
            voice.graces = []
        if len(voice.bars) >= _MAX_BARS:
            if len(voice.bars) == _MAX_BARS:
                self.tell("too-long", "error", f"more than {_MAX_BARS} bars: cut there")
            voice.start_bar()
            return None
        return voice.close_bar()

    def _waits_for_a_bar_line(self) -> bool:
        return all(
            isinstance(each.thing, Decoration) and each.thing.kind == "form"
            for each in self.voice.pending
        )

    def _release_at_end(self, bar: TuneBar) -> None:
        """Give what stands before a bar line to the end of its bar; a chord symbol
        waits for the next note."""
        voice = self.voice
        chords = [
            each
            for each in voice.pending
            if isinstance(each.thing, Quoted) and each.thing.symbol is not None
        ]
        for each in chords:
            self.report.at(
                "chord-without-note", "warning",
                "a chord symbol before a bar line stands at the start of the next bar",
                each.line, each.column, bar=self.bar_index,
            )  # fmt: skip
        kept = [each for each in voice.pending if each not in chords]
        held, cursor = voice.bar, voice.cursor
        if bar is not held:
            voice.bar, voice.cursor = bar, Fraction(bar.raw.length)
        voice.pending = kept
        self.release(None)
        voice.bar, voice.cursor = held, cursor
        voice.pending = chords

    def _close(self, bar: TuneBar, sign: BarSign) -> None:
        voice, raw = self.voice, bar.raw
        if sign.ends:
            if voice.open_repeat is None:
                self._find_start(len(voice.bars))
            raw.signs.repeat_end = max(
                raw.signs.repeat_end, min(sign.ends, _MOST_PASSES)
            )
            voice.open_repeat = None
            voice.back_to = len(voice.bars)
        elif sign.style != "regular" and raw.signs.barline in ("regular", "dashed"):
            raw.signs.barline = sign.style
        elif sign.style == "final":
            raw.signs.barline = "final"
        if voice.ending and (sign.ends or sign.style in ("double", "final")):
            self._stop_ending(bar)

    def _stop_ending(self, bar: TuneBar) -> None:
        voice = self.voice
        bar.raw.signs.ending_stop = True
        voice.ending = ()
        voice.ending_closed_at = len(voice.bars)

    def _find_start(self, end: int) -> None:
        """Where an end repeat without a start goes back to: 4.8 recommends the last
        double bar, or the end of a repeated section before."""
        voice = self.voice
        for index in range(end - 2, voice.back_to - 1, -1):
            raw = voice.bars[index].raw
            if raw.signs.barline in ("double", "final") and not raw.signs.ending_start:
                following = voice.bars[index + 1].raw
                if (
                    not following.signs.ending_start
                    and not following.signs.repeat_start
                ):
                    following.signs.repeat_start = True
                    self.tell(
                        "repeat",
                        "note",
                        "an end repeat without a start goes back to the double bar",
                        advice="write |: where it starts",
                    )
                return

    def _start_repeat(self, before: TuneBar | None) -> None:
        voice = self.voice
        if voice.open_repeat is not None and before is not None:
            self.tell(
                "repeat-not-closed", "warning", "a start repeat within another: "
                "the one before is never closed",
            )  # fmt: skip
        if voice.ending and before is not None:
            self._stop_ending(before)
        voice.endings = set()
        voice.bar.raw.signs.repeat_start = True
        voice.open_repeat = (self.line, self.column)

    def unfilled(self, tuplet: OpenTuplet) -> None:
        """Tell of a tuplet with too few notes."""
        self.report.at(
            "tuplet-too-short", "error",
            f"a tuplet that lacks {tuplet.left} of its notes",
            tuplet.line, tuplet.column, bar=self.bar_index,
        )  # fmt: skip

    # --- endings ---

    def _ending(self, found: re.Match[str]) -> None:
        if not self.voice.bar.is_empty:
            self.tell(
                "ending",
                "warning",
                "an ending within a bar starts with the next bar line",
            )
            self._left_behind()
        self._start_ending(found["passes"], found.start())

    def _start_ending(self, text: str, start: int) -> None:
        voice = self.voice
        self.column = start + 1
        passes = self._passes(text)
        if not passes:
            return
        if 1 in passes and (
            1 not in voice.endings or voice.ending_closed_at != len(voice.bars)
        ):
            voice.endings = set()
        elif 1 not in passes and not voice.endings:
            self.tell(
                "ending-without-first", "warning",
                f"ending {text} without a first one before it",
            )  # fmt: skip
        if voice.endings & set(passes):
            passes = (max(voice.endings) + 1,)
            self.tell(
                "ending-repeated", "warning",
                f"ending {text} stands twice: the second is read as {passes[0]}",
            )  # fmt: skip
        if voice.ending and voice.bars:
            self._stop_ending(voice.bars[-1])
        voice.endings |= set(passes)
        voice.ending = passes
        voice.bar.raw.signs.ending_start = passes
        if voice.open_repeat is None and 1 in passes:
            self._find_start(len(voice.bars))

    def _passes(self, text: str) -> tuple[int, ...]:
        """The passes of an ending, from ``1``, ``1,3`` or ``1,3,5-7``."""
        found: set[int] = set()
        for first, last in _RANGE.findall(text.strip(",-")):
            low, high = int(first), int(last or first)
            if low > high:
                self.tell("ending-range", "error", f"{text} runs backwards: ignored")
                return ()
            found.update(range(low, high + 1))
        found.discard(0)
        if not found:
            self.tell("ending-list", "error", f"{text[:20]} names no ending: ignored")
        return tuple(sorted(found))

    # --- rests of whole bars, overlays ---

    def _bar_rest(self, found: re.Match[str]) -> None:
        voice = self.voice
        self.end_full_bar()
        digits = found["bars"]
        count = int(digits) if digits and len(digits) < 6 else 1
        if digits and not count:
            self.tell("bad-rest", "error", "a rest of no bars: one bar is taken")
            count = 1
        if len(digits) > 5 or count > _MOST_RESTS:
            self.tell(
                "rest-too-long", "error",
                f"a rest of {digits[:12]} bars: one bar is taken",
            )  # fmt: skip
            count = 1
        if not voice.bar.is_empty and not all(e.grace for e in voice.layer):
            self.tell(
                "bad-rest", "error",
                f"{found[0][:12]} within a bar: it is read as the rest of it",
            )  # fmt: skip
        for number in range(count):
            if number:
                self._left_behind()
            self._one_bar_rest()

    def _one_bar_rest(self) -> None:
        voice = self.voice
        bar = voice.bar
        whole = bar.raw.meter.bar_length
        left = whole - voice.cursor if voice.cursor < whole else whole
        if not voice.layer and not bar.line:
            bar.line, bar.column = self.line, self.column
        event = Event(voice.cursor, left, left, None, self.line, self.column)
        event.whole_bar = left == whole
        voice.layer.append(event)
        voice.last = event
        voice.cursor += left
        if voice.pending:
            self.release(event)

    def _overlay(self, found: re.Match[str]) -> None:
        """Go back to the start of the bar with another line of notes."""
        if len(found[0]) > 1:
            self.tell("unread", "warning", "&& over several bars is read as & over one")
        self.voice.start_layer()
