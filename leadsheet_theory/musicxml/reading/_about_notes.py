"""What one ``note`` element says, and what stands about it: lyrics, marks, slurs,
brackets, the look of its head."""

from __future__ import annotations

from typing import Final, Literal, get_args
from xml.etree.ElementTree import Element

from ...leadsheet.model import HeadShape, Lyric, Mark, NoteHead, RestLook, Slur
from ...pitch import Pitch
from .._vocabulary import MARK_GROUPS, TREMOLO_MARK
from ._report import Report
from ._values import Number, dynamics_text, read_integer

__all__ = (
    "MOST",
    "PLAIN_HEAD",
    "PLAIN_RATIO",
    "TIES",
    "TIE_FROM",
    "TIE_TO",
    "TOO_MANY",
    "NoteWords",
    "read_lyric",
    "read_notations",
    "read_notehead",
)

_SYLLABIC: Final[dict[str, Literal["single", "begin", "middle", "end"]]] = {
    "single": "single", "begin": "begin", "middle": "middle", "end": "end",
}  # fmt: skip
_EXTENDS: Final[dict[str, Literal["continue", "stop"]]] = {
    "continue": "continue", "stop": "stop",
}  # fmt: skip
_SLUR_ENDS: Final[dict[str, Literal["start", "stop"]]] = {
    "start": "start",
    "stop": "stop",
}
_SLUR_KINDS: Final[dict[str, Literal["slur", "glissando", "slide"]]] = {
    "slur": "slur", "glissando": "glissando", "slide": "slide",
}  # fmt: skip
# marks that are one end of a line: a name alone would not say which
_NOT_MARKS: Final = frozenset({"wavy-line", TREMOLO_MARK})
_MARKS: Final = {name: Mark(name) for name in MARK_GROUPS if name not in _NOT_MARKS}
_MARK_GROUPS: Final = frozenset({"articulations", "ornaments", "technical"})
_SLUR_NUMBERS: Final = frozenset(str(number) for number in range(1, 17))
_SHAPES: Final = {shape: shape for shape in get_args(HeadShape)}
_FILLED: Final[dict[str, Literal["yes", "no"]]] = {"yes": "yes", "no": "no"}
MOST: Final = 50
"""The most of anything that one note may have."""
TOO_MANY: Final = "there are too many on one note"
PLAIN_HEAD: Final = NoteHead()
PLAIN_RATIO: Final = (1, 1)
TIE_FROM: Final = 1
TIE_TO: Final = 2
TIES: Final = {"start": TIE_TO, "stop": TIE_FROM, "continue": TIE_FROM | TIE_TO}


class NoteWords:
    """What one ``note`` element says; the defaults stand for silence."""

    pitch: Pitch | None = None
    ticks: Number | None = None
    type = ""
    small = False
    dots = 0
    ratio = PLAIN_RATIO
    tuplet_end: Literal["", "start", "stop", "both"] = ""
    rest: Element | None = None
    grace: Literal["", "plain", "slashed"] = ""
    chord = False
    cue = False
    shown: RestLook = "rest"
    unpitched = False
    voice = "1"
    staff = "1"
    head = ""
    look = PLAIN_HEAD
    stem = ""
    dynamics = ""
    ties = tied = 0
    lyrics: tuple[Lyric, ...] = ()
    marks: tuple[Mark, ...] = ()
    slurs: tuple[Slur, ...] = ()
    brackets: tuple[tuple[str, str, tuple[int, int] | None], ...] = ()

    @property
    def is_cue(self) -> bool:
        """Whether it is a cue with a pitch of its own."""
        return self.cue and self.head != "slash"

    @property
    def is_large(self) -> bool:
        """Whether it is a note, and not a small one."""
        return self.rest is None and not self.small

    @property
    def tie_ends(self) -> tuple[bool, bool]:
        """Whether a tie ends and one starts at the note.  Half a tie into or out of a
        repeated section has both signs on its one note, but not both for the sound."""
        ends = self.ties | self.tied
        if not ends:
            return False, False
        if self.ties and self.tied == TIE_FROM | TIE_TO:
            ends = self.ties
        return bool(ends & TIE_FROM), bool(ends & TIE_TO)


def read_lyric(element: Element, said: NoteWords, report: Report) -> None:
    """Read ``lyric``."""
    if element.get("print-object") == "no":
        report.unread("lyric", "hidden in the source")
        return
    syllabic: Literal["single", "begin", "middle", "end"] = "single"
    words = ""
    extend: Literal["", "start", "continue", "stop"] = ""
    for child in element:
        tag = child.tag
        if tag == "text":
            words += child.text or ""
        elif tag == "syllabic":
            if not words:
                syllabic = _SYLLABIC.get(child.text or "", "single")
            elif child.text in ("begin", "middle"):
                # two syllables on one note: the second one goes on
                syllabic = "middle" if syllabic in ("middle", "end") else "begin"
        elif tag == "elision":
            words += child.text or "‿"
        elif tag == "extend":
            extend = _EXTENDS.get(child.get("type", ""), "start")
        elif tag not in ("end-line", "end-paragraph"):
            report.unread(tag)
    if len(said.lyrics) >= MOST:
        report.unread("lyric", TOO_MANY)
    elif words or extend:
        number = element.get("number", "1")
        verse = int(number) if number.isdecimal() and len(number) < 3 else 1
        said.lyrics += (Lyric(words, syllabic, verse, extend),)


def read_notations(element: Element, said: NoteWords, report: Report) -> None:
    """Read ``notations``."""
    for child in element:
        tag = child.tag
        if len(said.marks) + len(said.slurs) >= MOST:
            report.unread(tag, TOO_MANY)
        elif tag == "tied":
            kind = child.get("type", "")
            said.tied |= TIES.get(kind, 0)
            if kind not in TIES:
                report.unread(tag, kind[:20])
        elif tag in _SLUR_KINDS:
            end = _SLUR_ENDS.get(child.get("type", ""))
            if end is not None:
                number = child.get("number", "1")
                place = int(number) if number in _SLUR_NUMBERS else 1
                said.slurs += (Slur(end, place, _SLUR_KINDS[tag]),)
        elif tag == "tuplet":
            _tuplet(child, said, report)
        elif tag in _MARK_GROUPS:
            _marks(child, said, report)
        elif tag in _MARKS:
            said.marks += (_MARKS[tag],)
        elif tag == "dynamics":
            said.dynamics = dynamics_text(child, report)
        else:
            report.unread(tag)


def _tuplet(element: Element, said: NoteWords, report: Report) -> None:
    end = _SLUR_ENDS.get(element.get("type", ""))
    number = element.get("number", "1")
    if end is not None and len(said.brackets) < MOST:
        said.brackets += ((number, end, _bracket_ratio(element, report)),)
    if end is not None and number == "1":
        said.tuplet_end = end if said.tuplet_end in ("", end) else "both"


def _bracket_ratio(element: Element, report: Report) -> tuple[int, int] | None:
    """The numbers that a bracket prints, where it says both."""
    numbers: list[int] = []
    for child in element:
        report.unread(child.tag)
        number = child.find("tuplet-number")
        if number is not None:
            numbers.append(read_integer(number, report, 1, 999))
    return (numbers[0], numbers[1]) if len(numbers) == 2 else None


def _marks(group: Element, said: NoteWords, report: Report) -> None:
    for child in group:
        mark = _MARKS.get(child.tag)
        if child.tag == TREMOLO_MARK:
            mark = _tremolo(child, report)
        if len(said.marks) >= MOST:
            report.unread(child.tag, TOO_MANY)
        elif mark is None:
            report.unread(child.tag, (child.text or "").strip()[:20])
        else:
            said.marks += (mark,)


def _tremolo(element: Element, report: Report) -> Mark:
    return Mark(
        TREMOLO_MARK,
        strokes=read_integer(element, report, 0, 8),
        end=_SLUR_ENDS.get(element.get("type", ""), ""),
    )


def read_notehead(element: Element, said: NoteWords, report: Report) -> None:
    """Read ``notehead``."""
    shape = said.head = (element.text or "").strip()
    around = element.get("parentheses") == "yes"
    if shape in _SHAPES:
        said.look = NoteHead(
            _SHAPES[shape],
            around,
            filled=_FILLED.get(element.get("filled", ""), ""),
        )
    else:
        report.unread("notehead", shape[:20])
