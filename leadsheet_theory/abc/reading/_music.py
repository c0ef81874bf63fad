"""Music code: the notes of one line, into the voice that is being read.

Source: The abc music standard 2.1, chapter 4.  Where it leaves a question open, the
note in `docs/supported_abc.rst` says what is done.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction
from functools import lru_cache
from typing import Final, Literal

from ...pitch import Pitch, Step
from ...rhythm.values import Tuplet
from .._signs import DECORATIONS, LETTERS, Decoration
from ._quotes import read_quoted
from ._report import AbcReport
from ._spans import Spans, spelled
from ._tokens import CHORD_TOKEN, LINE_BREAK, TOKEN, length_factor
from ._voice import Event, OpenTuplet

__all__ = ("MAX_BARS", "MAX_QUARTERS", "MusicReader", "Propagation")

MAX_BARS: Final = 20_000
"""The most bars read of a tune."""

MAX_QUARTERS: Final = 1000
"""The longest note read, in quarter notes."""

Propagation = Literal["not", "octave", "pitch"]
"""How far an accidental goes in its bar (11.3)."""

_SIGNS: Final = {"^": 1, "^^": 2, "_": -1, "__": -2, "=": 0}
_ZERO: Final = Fraction(0)
_HALF: Final = Fraction(1, 2)
# 4.13: q where it is not given; 0 means 3 in compound time, else 2
_TUPLETS: Final = {2: 3, 3: 2, 4: 3, 5: 0, 6: 2, 7: 0, 8: 3, 9: 0}
_COMPOUND: Final = frozenset({(6, 8), (9, 8), (12, 8)})
_MOST_NOTES: Final = 50
_LONGEST_GRACES: Final = 1000
_DIGITS: Final = re.compile(r"[0-9]+")
_GRACE_NOTE: Final = re.compile(
    r"""(?:![^!\s]*!|"[^"]*"|[^A-Ga-g!"])*?[A-Ga-g][,']*[0-9/]*|[^A-Ga-g!"]+|."""
)
_DECORATION_WORD: Final = re.compile(r"!([A-Za-z][A-Za-z.]+(?: [A-Za-z.]+)*)")
_LOOSE_BREAK: Final = re.compile(r"![^!]*?(?:[|\[:\]\s]|$)")


@lru_cache(maxsize=2048)
def _pitch(letter: str, marks: str, octave: int) -> tuple[Step, int]:
    """Letter and octave of a note: C is middle C (4.1)."""
    place = 4 if letter.isupper() else 5
    place += marks.count("'") - marks.count(",") + octave
    return letter.upper(), max(-1, min(10, place))  # type: ignore[return-value]


class MusicReader(Spans):
    """Reads music code into a voice.

    `symbols` are the letters that stand for decorations, `propagation` how far
    accidentals go; both may change on the way.
    """

    def __init__(self, report: AbcReport, *, strict: bool) -> None:
        super().__init__(report, strict=strict)
        self.symbols: dict[str, str] = dict(LETTERS)
        self.propagation: Propagation = "pitch"
        self.plus_decorations = False
        self._actions: dict[str, Callable[[re.Match[str]], None]] = {
            "note": self._note,
            "bar": self._bar,
            "rest": self._rest,
            "field": self._inline,
            "ending": self._ending,
            "chord": self._chord,
            "quote": self._quote,
            "tie": self.tie,
            "tuplet": self._tuplet,
            "slur": self.slur,
            "slurend": self.slur_end,
            "grace": self._grace,
            "decoration": self._decoration,
            "broken": self._broken,
            "barrest": self._bar_rest,
            "spacer": self._spacer,
            "overlay": self._overlay,
            "letter": self._letter,
        }

    def inline_field(self, letter: str, text: str) -> None:
        """Read a field within the music; the reader of the tune knows them."""
        raise NotImplementedError

    def read_line(self, text: str, line: int) -> None:
        """Read a line of music code."""
        self.line = line
        self.before = ""
        at, end = 0, len(text)
        actions, match = self._actions, TOKEN.match
        while at < end:
            found = match(text, at)
            if found is None:  # a line end inside the line: white space of Unicode
                at += 1
                continue
            at = found.end()
            kind = found.lastgroup
            if kind == "space":
                if "`" in found[0] and self.before in ("tie", "rest", "barrest"):
                    self.voice.seat = True
                continue
            self.column = found.start() + 1
            if kind == "other":
                at = self._other(text, found.start())
            else:
                actions[kind](found)  # type: ignore[index]
            self.before = kind or ""
            self.reached = at
        self.end_of_line(text)

    # --- notes and rests ---

    def _duration(self, text: str) -> Fraction:
        voice = self.voice
        known = voice.lengths.get(text)
        if known is not None:
            return known
        factor = length_factor(text)
        if factor is None or factor * voice.unit > MAX_QUARTERS:
            large = len(text) > 4 and "/" not in text
            self.tell(
                "length-too-large" if large or factor is not None else "bad-length",
                "error",
                f"{text[:12]!r} is no length: the unit length is taken",
                by=1,
            )
            factor = Fraction(1)
        duration = voice.lengths[text] = factor * voice.unit
        return duration

    def _sounding(self, sign: str | None, letter: str, marks: str) -> Pitch:
        """The pitch of a note: its own sign, the bar's, or that of the key."""
        voice = self.voice
        step, octave = _pitch(letter, marks, voice.octave)
        place = octave if self.propagation == "octave" else 0
        if sign:
            alter = _SIGNS[sign]
            if self.propagation != "not":
                voice.accidentals[step, place] = alter
        else:
            tied = voice.ties.get((step, octave)) if voice.ties else None
            if tied is not None:
                alter = tied
            else:
                known = voice.accidentals.get((step, place))
                alter = voice.alters.get(step, 0) if known is None else known
        return spelled(step, alter, octave)

    def _note(self, found: re.Match[str]) -> None:
        sign, step, marks, length = found.group("sign", "step", "marks", "length")
        self._place([self._sounding(sign, step, marks)], self._duration(length))

    def _rest(self, found: re.Match[str]) -> None:
        self._place(None, self._duration(found["rest_length"]))

    def _place(self, pitches: list[Pitch] | None, length: Fraction) -> Event:
        """Put a note or rest where the voice stands, and all that waits for it."""
        voice = self.voice
        if voice.full_at_line_end:
            self.end_full_bar()
        typed = length
        duration = length = self._broken_length(length)
        tuplet = voice.tuplet
        if tuplet is not None:
            duration = length * tuplet.scale
        bar = voice.bar
        if not voice.layer and not bar.line:
            bar.line, bar.column = self.line, self.column
        cursor = voice.cursor
        event = Event(cursor, duration, length, pitches, self.line, self.column)
        event.typed = typed
        if tuplet is not None:
            self._count(tuplet, event)
        if voice.graces:
            voice.layer += voice.graces
            voice.graces = []
        if voice.seat:
            event.joined = bool(voice.pending) and self.goes_on(voice.last, event)
            voice.seat = False
        voice.layer.append(event)
        voice.last = event
        voice.cursor = cursor + duration
        if voice.pending:
            self.release(event)
        self._bind(event)
        return event

    def _bind(self, event: Event) -> None:
        """Let ties and slurs that wait for a note come to this one."""
        voice = self.voice
        if event.pitches is None:
            if voice.tied is not None:
                self.drop_tie("a tie to a rest is dropped")
            return
        if voice.tied is not None:
            self.tie_to(event)
        if voice.waiting_slurs:
            self.begin_slurs(event)
        if voice.layer is voice.bar.layers[0]:
            voice.notes.append((event, len(voice.bars)))

    def _broken_length(self, length: Fraction) -> Fraction:
        """A length as > or < before the note makes it."""
        broken = self.voice.broken
        if broken is None:
            return length
        factor, base, line, column = broken
        self.voice.broken = None
        if base != length:
            self.report.at(
                "broken-rhythm-unequal",
                "warning",
                "the notes around > or < are of unequal length; each is "
                "lengthened or shortened by its own",
                line,
                column,
            )
        return length * factor

    def _count(self, tuplet: OpenTuplet, event: Event) -> None:
        """Count a note of a tuplet; its bracket as it is usually written, so many
        notes in the time of the greatest power of two of them that is less."""
        actual, normal = tuplet.actual, tuplet.normal
        while 2 * normal < actual:
            normal *= 2
            event.written /= 2
        while normal >= 2 * actual and not normal % 2:
            normal //= 2
            event.written *= 2
        tuplet.left -= 1
        ends = not tuplet.left
        event.tuplet = Tuplet(actual, normal, starts=tuplet.first, ends=ends)
        tuplet.first = False
        if ends:
            self.voice.tuplet = None

    def _chord(self, found: re.Match[str]) -> None:
        content, closing, length = found.group("inside", "close", "chord_length")
        if not closing:
            self.tell("chord-not-closed", "error", "a chord without ]: it ends here")
            length = ""
        stripped = content.lstrip()
        if stripped != content and stripped[1:2] == ":":
            self.tell(
                "bad-inline-field",
                "error",
                f"a field {stripped[:1]}: after a space is passed over",
                by=1,
                advice="write no space after [",
            )
            return
        start = found.start("inside")
        pitches, first, marks, tied = self._inside(content, start)
        if not pitches:
            self.tell("empty-chord", "warning", "nothing in the brackets", by=1)
            return
        outer = self._duration(length) / self.voice.unit
        event = self._place(
            sorted(pitches, key=lambda pitch: -pitch.midi), first * outer
        )
        for mark in marks:
            event.add_mark(mark)
        if tied:
            self.hold(event, tied)

    def _inside(
        self, content: str, start: int
    ) -> tuple[list[Pitch], Fraction, list[str], list[Pitch]]:
        """The notes in brackets, the length of the first, their marks, and those of
        them that are tied."""
        pitches: list[Pitch] = []
        tied: list[Pitch] = []
        marks: list[str] = []
        first = self.voice.unit
        for found in CHORD_TOKEN.finditer(content):
            kind = found.lastgroup
            self.column = start + found.start() + 1
            if kind == "note":
                if len(pitches) < _MOST_NOTES:
                    length = self._duration(found["length"])
                    first = first if pitches else length
                    pitches.append(
                        self._sounding(found["sign"], found["step"], found["marks"])
                    )
            elif kind == "tie":
                tied += pitches[-1:]
            elif kind == "slur":
                self.voice.waiting_slurs.append((self.line, self.column))
            elif kind == "slurend":
                self.slur_end(found)
            elif kind == "decoration" or kind == "letter":
                name = found["name"] or self.symbols.get(found[0], "").strip("!")
                row = DECORATIONS.get(name)
                if row is not None and row.kind == "mark":
                    marks.append(row.text)
                else:
                    self._unheld_inside(row, found[0])
            elif kind == "quote":
                self.wait(read_quoted(found["quoted"]))
            elif kind == "space":
                self.tell("space-in-chord", "warning", "a space within [ ]", by=1)
            else:
                self.unreadable(found[0])
        return pitches, first, marks, tied

    def _unheld_inside(self, row: Decoration | None, text: str) -> None:
        if row is None:
            self.tell(
                "unknown-decoration", "warning", f"{text} is unknown: passed over"
            )
        elif row.kind == "unheld":
            self.tell("unread", "note", row.text)
        else:
            self.wait(row)

    def _grace(self, found: re.Match[str]) -> None:
        slash, content, closing = found.group("slash", "graces", "brace")
        if not closing:
            self.tell(
                "grace-not-closed", "error", "grace notes without }: they end here"
            )
        voice = self.voice
        kind: Literal["plain", "slashed"] = "slashed" if slash else "plain"
        start, line = found.start("graces"), self.line
        for note in re.finditer(r"\[[^\]]*\]?|[^\[]+", content):
            inside = note[0].startswith("[")
            pieces = [note[0].strip("[]")] if inside else _single_notes(note[0])
            at = start + note.start() + inside
            for piece in pieces:
                ties, voice.ties = voice.ties, {}
                pitches, _, marks, _ = self._inside(piece, at)
                voice.ties = ties
                at += len(piece)
                if not pitches:
                    continue
                event = Event(
                    voice.cursor, _ZERO, _HALF,
                    sorted(pitches, key=lambda pitch: -pitch.midi), line, self.column,
                )  # fmt: skip
                event.grace = kind
                for mark in marks:
                    event.add_mark(mark)
                if len(voice.graces) < _MOST_NOTES:
                    voice.graces.append(event)

    # --- tuplets and broken rhythm ---

    def _tuplet(self, found: re.Match[str]) -> None:
        voice = self.voice
        texts = found.group("p", "q", "r")
        if any(len(text or "") > 3 for text in texts):
            self.tell("bad-tuplet", "error", f"{found[0][:20]} is no tuplet: ignored")
            return
        actual = int(texts[0])
        normal = int(texts[1]) if texts[1] else None
        count = int(texts[2]) if texts[2] else actual
        if normal is None:
            normal = _TUPLETS.get(actual)
            if normal == 0:
                meter = voice.meter
                compound = meter and (meter.beats, meter.beat_type) in _COMPOUND
                normal = 3 if compound else 2
        if not normal or actual < 2 or not count:
            self.tell("bad-tuplet", "error", f"{found[0]} is no tuplet: ignored")
            return
        if voice.tuplet is not None:
            self.unfilled(voice.tuplet)
        voice.tuplet = OpenTuplet(actual, normal, count, self.line, self.column)

    def _broken(self, found: re.Match[str]) -> None:
        voice = self.voice
        count = len(found[0])
        last = voice.last
        if last is None or last.whole_bar:
            self.tell(
                "broken-rhythm-no-first", "error", "no note before > or <: ignored"
            )
            return
        if count > 3:
            self.tell(
                "broken-rhythm-too-long", "warning",
                "more than three signs of broken rhythm",
            )  # fmt: skip
        short = Fraction(1, 2 ** min(count, 6))
        long = 2 - short
        mine, other = (long, short) if found[0][0] == ">" else (short, long)
        last.duration *= mine
        last.written *= mine
        voice.cursor = last.onset + last.duration
        voice.broken = (other, last.typed, self.line, self.column)

    # --- the rest ---

    def _quote(self, found: re.Match[str]) -> None:
        text, closing = found.group("quoted", "unquote")
        if not closing:
            self.tell(
                "string-not-closed",
                "error",
                "a quotation mark without its other: the rest of the line is words",
            )
        self.wait(read_quoted(text))

    def _decoration(self, found: re.Match[str]) -> None:
        self.decorate(found["name"])

    def decorate(self, name: str) -> None:
        """Put a decoration on the next note."""
        row = DECORATIONS.get(name)
        if row is None:
            self.tell(
                "unknown-decoration",
                "warning",
                f"!{name[:30]}! is unknown: passed over",
            )
        elif row.kind == "unheld":
            self.tell("unread", "note", row.text)
        else:
            if row.remark:
                self.tell("decoration", "note", row.remark)
            self.wait(row)

    def _letter(self, found: re.Match[str]) -> None:
        """A letter that stands for a decoration or an annotation (4.16)."""
        stands = self.symbols.get(found[0])
        if stands is None:
            self.unreadable(found[0])
        elif stands.startswith('"'):
            self.wait(read_quoted(stands.strip('"')))
        elif stands:
            self.decorate(stands.strip("!+"))

    def _spacer(self, _found: re.Match[str]) -> None:
        """Space without time; what stands over it stays there."""
        if self.voice.pending:
            self.release(None)

    def _inline(self, found: re.Match[str]) -> None:
        self.inline_field(found[0][1], found[0][3:-1])

    def _other(self, text: str, at: int) -> int:
        """A character that begins nothing; where to go on."""
        sign = text[at]
        if sign == LINE_BREAK or (sign == "\\" and not text[at + 1 :].strip()):
            return at + 1
        if sign == "!":
            return self._exclamation(text, at)
        if sign == "+":
            return self._plus(text, at)
        digits = _DIGITS.match(text, at)
        if digits is not None:
            self._stray_number(digits[0])
            return digits.end()
        if sign == "{" or sign == "}":
            self.tell("stray-brace", "error", f"a {sign} without its other")
        elif sign == "[":
            self.tell("stray-bracket", "error", "a [ without ]")
        else:
            self.unreadable(sign)
        return at + 1

    def _exclamation(self, text: str, at: int) -> int:
        """An exclamation mark that encloses no name: the end of a line of score in
        old files (12.2), unless a name stands after it."""
        word = _DECORATION_WORD.match(text, at)
        if word is not None:
            closed = text[word.end() : word.end() + 1] == "!"
            if closed:
                self.tell(
                    "bad-decoration-name",
                    "error",
                    f"!{word[1][:30]}! is no name: passed over",
                )
                return word.end() + 1
            name = word[1].split()[0]
            if name in DECORATIONS:
                self.tell(
                    "decoration-not-closed",
                    "error",
                    f"!{name} without its second !: passed over",
                )
                return at + 1 + len(name)
        if not _LOOSE_BREAK.match(text, at) or self.strict:
            self.tell("stray-sign", "warning", "a lone ! is passed over")
        return at + 1

    def _plus(self, text: str, at: int) -> int:
        end = text.find("+", at + 1)
        inside = text[at + 1 : end] if end > 0 else ""
        if inside and self.plus_decorations and not set(inside) & set(" |[]:"):
            self.decorate(inside)
            return end + 1
        if inside and re.fullmatch(r"(?:[_^=]*[A-Ga-g][,']*[0-9/]*)+", inside):
            self.tell(
                "plus-chord",
                "error" if self.strict else "warning",
                "a chord between plus signs is obsolete",
                advice="write [ ]",
            )
            length = re.match(r"[0-9]*(?:/+[0-9]*)?", text[end + 1 :])
            pitches, first, _, _ = self._inside(inside, at + 1)
            factor = self._duration(length[0]) / self.voice.unit if length else 1
            self._place(sorted(pitches, key=lambda p: -p.midi), first * factor)
            return end + 1 + (length.end() if length else 0)
        self.unreadable("+")
        return at + 1

    def _stray_number(self, digits: str) -> None:
        if self.before == "ending":
            self.tell(
                "ending-list",
                "error",
                f"{digits} after a space is no part of the ending",
            )
        elif self.before == "bar":
            self.tell(
                "ending-not-adjacent",
                "error",
                f"{digits[:10]} does not touch the bar line: passed over",
                advice=f"write |{digits[:10]} or [{digits[:10]}",
            )
        else:
            self.tell("stray-number", "error", f"{digits[:10]} belongs to nothing")

    def unreadable(self, sign: str) -> None:
        """Tell of a sign that is passed over."""
        reserved = sign in "#*;?@"
        rule = "reserved-character" if reserved else "unreadable-characters"
        self.tell(rule, "warning", f"{sign!r} is passed over")


def _single_notes(text: str) -> list[str]:
    """Grace notes one by one, each with what stands before it."""
    return _GRACE_NOTE.findall(text[:_LONGEST_GRACES])
