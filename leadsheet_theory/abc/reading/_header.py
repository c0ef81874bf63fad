"""The header of a tune: its fields, and the directives among them.

Source: The abc music standard 2.1, chapters 3 (information fields), 9 (macros) and 11
(directives).
"""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction
from typing import Final

from ...rhythm.meter import Meter
from .._signs import DECORATIONS
from .._text import plain_text
from ._assemble import Heading
from ._fields import (
    KeyField,
    VoiceWords,
    read_key,
    read_meter,
    read_unit,
    read_voice,
)
from ._lines import Line
from ._macros import Macro, read_macro
from ._music import MusicReader
from ._report import AbcReport

__all__ = ("FIELD", "HeaderReader")

FIELD: Final = re.compile(r"([A-Za-z]):(.*)")
"""An information field: a letter and a colon at the start of a line."""

_HEADER: Final = frozenset("ABCDFGHIKLMmNOPQRrSTUVWwXZsd")
_TEXTS: Final = frozenset("ABDFGHNORSZW")
_STRINGS: Final = _TEXTS | frozenset("TCw")
_SYMBOL: Final = re.compile(
    r'\s*([~H-Wh-w])\s*=\s*(!([^!\s]*)!|\+([^+\s]*)\+|"[^"]*")\s*'
)
_VOICE: Final = re.compile(r"\s*(\S+)(.*)")
_CREDIT: Final = re.compile(
    r"(words|lyrics|lyricist|text|arr(?:\.|angement|anged|anger)?)"
    r"(?: by\b|:|(?<=\.))\s*(.+)",
    re.IGNORECASE,
)
_RIGHTS: Final = re.compile(r"(?:©|\(c\)|copyright|rights:).*", re.IGNORECASE)


class HeaderReader(MusicReader):
    """Reads the header of a tune, and its fields wherever they stand.  `number` and
    `texts` are there when it has been read."""

    def __init__(self, *, strict: bool) -> None:
        super().__init__(AbcReport(), strict=strict)
        self.number: int | None = None
        self.texts: list[tuple[str, str]] = []
        self.heading = Heading()
        self.titles: list[str] = []
        self.composers: list[str] = []
        self.meter: Meter | None = None
        self.unit: Fraction | None = None
        self.key: KeyField | None = None
        self.tempo_text: tuple[str, int, int] | None = None
        self.order: tuple[str, int, int] | None = None
        self.voice_words: dict[str, VoiceWords] = {}
        self.macros: list[Macro] = []
        self.in_body = False
        self.key_follows = False

    # --- the header ---

    def header_line(self, line: Line) -> bool:
        """Read a line of the header; False for the first of the body."""
        text = line.text
        if not text:
            return True
        if self.key is not None:
            return False
        if text.startswith("%%"):
            self.directive(text[2:], line.number, 3)
            return True
        return self._header_field(line)

    def _header_field(self, line: Line) -> bool:
        self.line, self.column = line.number, 1
        found = FIELD.match(line.text)
        if found is None and self.key_follows:
            self.tell("stray-text", "warning", "a line that is no field: passed over")
            return True
        if found is None:
            self.tell(
                "missing-k", "error",
                "no K: before the music: C major is assumed",
                advice="end the header with a line K:",
            )  # fmt: skip
            return False
        letter, value = found[1], found[2]
        if letter not in _HEADER:
            self.tell("unknown-field", "warning", f"a field {letter}: is not known")
            return True
        self.field(letter, value, line.number, 3 + len(value) - len(value.lstrip()))
        return True

    def field(self, letter: str, value: str, line: int, column: int) -> None:
        """Read a field that may stand in the header."""
        self.line, self.column = line, column
        text = plain_text(value).strip() if letter in _STRINGS else value.strip()
        action = self._header_actions.get(letter)
        if action is not None:
            action(text, line, column)
        elif letter == "I":
            self.directive(value.strip(), line, column)
        elif letter == "U":
            self._user_symbol(value)
        elif letter == "m":
            self._macro(value)
        elif letter in _TEXTS:
            self._text(letter, " ".join(text.split()))

    @property
    def _header_actions(self) -> dict[str, Callable[[str, int, int], None]]:
        return {
            "X": lambda text, *_: self._reference(text),
            "T": lambda text, *_: self.titles.append(" ".join(text.split())),
            "C": lambda text, *_: self._credit(" ".join(text.split())),
            "M": lambda text, *_: self._meter(text),
            "L": lambda text, *_: self._unit(text),
            "Q": self._tempo,
            "K": lambda text, *_: self._key(text),
            "P": self._order,
            "V": lambda text, *_: self._voice(text),
        }

    def _meter(self, text: str) -> None:
        self.meter, complaint = read_meter(text)
        self.complain(complaint)

    def _unit(self, text: str) -> None:
        unit, complaint = read_unit(text)
        self.unit = unit or self.unit
        self.complain(complaint)

    def _tempo(self, text: str, line: int, column: int) -> None:
        self.tempo_text = (text, line, column)

    def _key(self, text: str) -> None:
        self.key = read_key(text)
        for complaint in self.key.complaints:
            self.complain(complaint)

    def _order(self, text: str, line: int, column: int) -> None:
        self.order = (text, line, column)

    def _voice(self, text: str) -> None:
        found = _VOICE.fullmatch(text)
        if found is not None:
            self.voice_words[found[1]] = read_voice(found[2])

    def _reference(self, text: str) -> None:
        if text.isdecimal() and text.isascii() and len(text) < 10:
            self.number = int(text)
        elif text:
            self.tell("bad-x", "warning", f"{text[:20]!r} is no number: X: wants one")

    def _credit(self, text: str) -> None:
        """Composers; words and arrangement, for which there is no field, as they are
        usually written (common practice, no source)."""
        found = _CREDIT.fullmatch(text)
        if found is None:
            self.composers.append(text)
        elif found[1].lower().startswith("arr"):
            self.heading.arranger = found[2]
        else:
            self.heading.lyricist = found[2]

    def _text(self, letter: str, text: str) -> None:
        if letter == "A":
            self.column = 1
            self.tell(
                "deprecated-field", "warning",
                f"A: is deprecated; it is kept as the area {text[:40]!r}",
            )  # fmt: skip
        elif letter == "N" and _RIGHTS.fullmatch(text) and not self.heading.rights:
            self.heading.rights = re.sub(r"(?i)^rights: *", "", text)
            return
        elif letter == "R" and not self.in_body:
            self.heading.style = self.heading.style or text
        self.texts.append((letter, text))

    def complain(self, complaint: tuple[str, str, str] | None) -> None:
        if complaint is not None:
            rule, severity, message = complaint
            self.tell(rule, severity, message)  # type: ignore[arg-type]

    def _user_symbol(self, value: str) -> None:
        found = _SYMBOL.fullmatch(value)
        if found is None:
            self.tell(
                "bad-u", "error",
                f"{value.strip()[:20]!r} gives no letter a meaning: expected H to W, "
                "h to w or ~, as in T = !trill!",
            )  # fmt: skip
            return
        name = found[3] or found[4]
        if name in ("nil", "none"):
            self.symbols[found[1]] = ""
        elif name is None or name in DECORATIONS:
            self.symbols[found[1]] = found[2].replace("+", "!") if name else found[2]
        else:
            self.symbols[found[1]] = f"!{name}!"

    def _macro(self, value: str) -> None:
        macro = read_macro(value)
        if macro is None:
            self.tell("bad-macro", "error", f"{value.strip()[:20]!r} is no macro")
        else:
            if macro.target in macro.text:
                self.tell(
                    "macro-loops", "error", "a macro that holds itself is put in once"
                )
            self.macros.append(macro)

    def directive(self, text: str, line: int, column: int) -> None:
        """What ``%%`` and I: say; most of it is about printing and is passed over."""
        self.line, self.column = line, column
        name, _, value = text.strip().partition(" ")
        value = value.strip()
        if name == "propagate-accidentals" and value in ("not", "octave", "pitch"):
            self.propagation = value  # type: ignore[assignment]
        elif name == "decoration":
            self.plus_decorations = value == "+"
        elif name == "abc-include":
            self.column += 12
            self.tell(
                "include-not-read", "warning",
                f"the file {value[:40]!r} is not opened: no other file is ever read",
            )  # fmt: skip
        elif name == "abc-charset" and not re.fullmatch(
            r"utf-8|us-ascii|iso-8859-([1-9]|10)", value.lower()
        ):
            self.column += 12
            self.tell(
                "bad-charset", "error",
                f"{value[:30]!r} is no character set of ABC: read as UTF-8",
            )  # fmt: skip
