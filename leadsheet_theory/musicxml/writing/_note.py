"""Notes, rests and slashes as MusicXML 4.0 text.

The children of `note` stand in the order of the schema: grace or cue, chord,
pitch, duration, tie, voice, type, dot, accidental, time-modification, stem,
notehead, beam, notations, lyric.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from ...errors import MusicXMLWriteError
from ...leadsheet.model import Hit, Lyric, Mark, Note, NoteHead, Rest, Slur
from ...pitch import Pitch
from ...rhythm.stems import StemDirection
from ...rhythm.values import NoteValue, Tuplet
from ...spelling.accidentals import Accidental
from .._vocabulary import MARK_GROUPS, TREMOLO_MARK
from ._text import escape, pitch_xml, time_modification

__all__ = (
    "STEMS",
    "NoteForm",
    "accidental_xml",
    "note_forms",
    "rest_xml",
    "slash_head",
    "slash_xml",
    "time_slash_xml",
)

_PLAIN_HEAD = NoteHead()
_SLASH_HEAD = '<notehead parentheses="no">slash</notehead>'

# tied from the note before, tied to the next one, and without another half beside it
_Ties = tuple[bool, bool, bool]
_UNTIED: Final[_Ties] = (False, False, False)

STEMS: Final[dict[StemDirection | None, str]] = {
    None: "",
    "up": "<stem>up</stem>",
    "down": "<stem>down</stem>",
    "none": "<stem>none</stem>",
}
"""The stem element of each direction."""


NoteForm = tuple[str, str, str, str]
"""One head of a note as text: before the pitch, between pitch and accidental, between
that and the stem (the ratio of a tuplet), and behind."""


def note_forms(
    note: Note,
    duration: int,
    voice: int,
    beams: tuple[str, ...],
    bracket: bool,
    *,
    cue: bool,
    open_tie: bool,
) -> list[NoteForm]:
    """All of a melody note but its pitches, accidentals and stem, a form for each
    pitch; a `cue` is small and silent; an `open_tie` has no other half beside it."""
    if note.grace:
        duration = 0
        slash = "yes" if note.grace == "slashed" else "no"
        start = f'<note><grace slash="{slash}"/>'
    else:
        start = "<note><cue/>" if cue else "<note>"
        _check(duration, "note")
    value = note.value
    ties = note.tied_from_previous, note.tied_to_next, open_tie
    held, ratio, notations = _frame(value, duration, ties, voice, bracket, cue)
    if note.slurs or note.marks:
        notations += _slurs_xml(note.slurs) + _marks_xml(note.marks)
    rest = _beams_xml(beams) if beams else ""
    if note.heads:
        rest = _head_xml(note.heads[0]) + rest
    if notations:
        rest += f"<notations>{notations}</notations>"
    for lyric in note.lyrics:
        rest += _lyric_xml(lyric)
    forms = [(start, held, ratio, f"{rest}</note>\n")]
    if len(note.pitches) == 1:
        return forms

    # the further notes carry ties, but no beams, slurs, marks or lyrics
    if value is not None and value.tuplet is not None:
        value = NoteValue(value.name, value.dots, value.tuplet.flat)
    held, ratio, notations = _frame(value, duration, ties, voice, bracket, cue)
    rest = f"<notations>{notations}</notations></note>\n" if notations else "</note>\n"
    start += "<chord/>"
    heads = note.heads[1:] or (_PLAIN_HEAD,) * (len(note.pitches) - 1)
    forms += [(start, held, ratio, _head_xml(head) + rest) for head in heads]
    return forms


def _head_xml(head: NoteHead) -> str:
    if head == _PLAIN_HEAD:
        return ""
    filled = f' filled="{head.filled}"' if head.filled else ""
    around = ' parentheses="yes"' if head.parentheses else ""
    return f"<notehead{filled}{around}>{head.shape}</notehead>"


def rest_xml(
    rest: Rest,
    duration: int,
    voice: int,
    bracket: bool,
    *,
    place: Pitch | None = None,
    cue: bool = False,
) -> str:
    """A rest, at a place of the staff where one is given."""
    _check(duration, "rest")
    value = None if rest.whole_bar else rest.value
    held, after, notations = _frame(value, duration, _UNTIED, voice, bracket)
    if rest.marks:
        notations += _marks_xml(rest.marks)
    if notations:
        after += f"<notations>{notations}</notations>"
    small = "<cue/>" if cue else ""
    shown = ' print-object="no"' if rest.hidden else ""
    measure = ' measure="yes"' if rest.whole_bar else ""
    where = _display(place) if place else ""
    return f"<note{shown}>{small}<rest{measure}>{where}</rest>{held}{after}</note>\n"


def slash_xml(
    hit: Hit,
    duration: int,
    head: str,
    *,
    voice: int,
    stem: StemDirection,
    beams: tuple[str, ...],
    bracket: bool,
    cue: bool,
) -> str:
    """A note with a slash for its head; `head` says where (:func:`slash_head`).

    A cue is silent, so it has ties for the eye but not for the ear.
    """
    _check(duration, "slash")
    ties = hit.tied_from_previous, hit.tied_to_next, False
    held, ratio, notations = _frame(
        hit.value, duration, ties, voice, bracket, cue, above=cue
    )
    notations += _marks_xml(hit.marks, above=cue)
    after = f"{ratio}{STEMS[stem]}{_SLASH_HEAD}{_beams_xml(beams)}"
    if notations:
        after += f"<notations>{notations}</notations>"
    start = '<note print-leger="no"><cue/>' if cue else "<note>"
    return f"{start}{head}{held}{after}</note>\n"


def time_slash_xml(
    value: NoteValue | None,
    duration: int,
    head: str,
    voice: int = 1,
    marks: tuple[Mark, ...] = (),
) -> str:
    """A slash for a beat to be filled, without a stem and without a sound."""
    _check(duration, "slash")
    held, ratio, _ = _frame(value, duration, _UNTIED, voice)
    after = f"{ratio}{STEMS['none']}{_SLASH_HEAD}"
    if marks:
        after += f"<notations>{_marks_xml(marks)}</notations>"
    return f'<note dynamics="0">{head}{held}{after}</note>\n'


@lru_cache(maxsize=256)
def slash_head(place: Pitch, *, pitched: bool) -> str:
    """Where a slash stands on the staff.

    MusicXML 4.0 (``display-step``) reads the place of an unpitched note by the clef in
    force; programs are known that read it by the treble clef, whatever the clef.
    Where the two differ a slash is written as a note of that pitch, which is silent
    all the same.
    """
    if pitched:
        return pitch_xml(place)
    return f"<unpitched>{_display(place)}</unpitched>"


def _check(duration: int, what: str) -> None:
    if duration <= 0:
        raise MusicXMLWriteError(
            f"a {what} of {duration} divisions cannot be written: "
            "expected a duration above 0"
        )


@lru_cache(maxsize=64)
def _display(place: Pitch) -> str:
    return (
        f"<display-step>{place.step}</display-step>"
        f"<display-octave>{place.octave}</display-octave>"
    )


@lru_cache(maxsize=4096)
def _frame(
    value: NoteValue | None,
    duration: int,
    ties: _Ties,
    voice: int,
    bracket: bool = True,
    silent: bool = False,
    *,
    above: bool = False,
) -> tuple[str, str, str]:
    """What stands before the accidental, the ratio of a tuplet, and the notations, of
    which ties curve over the notes if they are to stand `above`.

    A tie that leads into or out of a repeated section has two ``tied`` elements on its
    one note (MusicXML 4.0, ``tied-type``).
    """
    held = f"<duration>{duration}</duration>" if duration else ""
    notations = ratio = ""
    stops, starts, open_tie = ties
    for tied, end in (stops, "stop"), (starts, "start"):
        if tied or open_tie:
            curve = ' orientation="over"' if above and end == "start" else ""
            notations += f'<tied type="{end}"{curve}/>'
        if tied and not silent:
            held += f'<tie type="{end}"/>'
    held += f"<voice>{voice}</voice>"
    if value is not None:
        held += f"<type>{value.name}</type>{'<dot/>' * value.dots}"
        if value.tuplet is not None:
            ratio = time_modification(value.tuplet)
            notations += _brackets_xml(value.tuplet, bracket=bracket)
    return held, ratio, notations


@lru_cache(maxsize=64)
def _beams_xml(beams: tuple[str, ...]) -> str:
    return "".join(
        f'<beam number="{level}">{beam}</beam>' for level, beam in enumerate(beams, 1)
    )


def _brackets_xml(tuplet: Tuplet, *, bracket: bool, number: int = 1) -> str:
    """Where the brackets of a group, and of one within it, start and end."""
    inner = tuplet.inner
    text = ""
    if tuplet.starts:
        shown = "yes" if bracket else "no"
        nested = inner is not None or number > 1
        level = f' number="{number}"' if nested else ""
        end = f">{_ratio_xml(tuplet)}</tuplet>" if nested else "/>"
        text = f'<tuplet type="start"{level} bracket="{shown}"{end}'
    if inner is not None:
        text += _brackets_xml(inner, bracket=True, number=number + 1)
    if tuplet.ends:
        level = f' number="{number}"' if number > 1 else ""
        text += f'<tuplet type="stop"{level}/>'
    return text


def _ratio_xml(tuplet: Tuplet) -> str:
    """How many notes are in the time of how many: time-modification only says it of a
    group and the one around it together."""
    return "".join(
        f"<tuplet-{what}><tuplet-number>{number}</tuplet-number></tuplet-{what}>"
        for what, number in (("actual", tuplet.actual), ("normal", tuplet.normal))
    )


@lru_cache(maxsize=64)
def accidental_xml(sign: Accidental) -> str:
    """The accidental element."""
    courtesy = ' cautionary="yes"' if sign.courtesy else ""
    parentheses = ' parentheses="yes"' if sign.parentheses else ""
    return f"<accidental{courtesy}{parentheses}>{sign.name}</accidental>"


def _slurs_xml(slurs: tuple[Slur, ...]) -> str:
    return "".join(
        f'<{slur.kind} type="{slur.end}" number="{slur.number}"/>' for slur in slurs
    )


@lru_cache(maxsize=1024)
def _marks_xml(marks: tuple[Mark, ...], *, above: bool = False) -> str:
    text = []
    for mark in marks:
        group = MARK_GROUPS.get(mark.kind)
        if group is None:
            raise MusicXMLWriteError(
                f"no mark {mark.kind!r} that can stand on a note alone: "
                f"expected one of {', '.join(MARK_GROUPS)}"
            )
        place = ' placement="above"' if above and group == "articulations" else ""
        content = f"<{mark.kind}{place}/>"
        if mark.kind == TREMOLO_MARK:
            kind = mark.end or ("single" if mark.strokes else "unmeasured")
            content = f'<tremolo type="{kind}">{mark.strokes}</tremolo>'
        text.append(f"<{group}>{content}</{group}>" if group else content)
    return "".join(text)


def _lyric_xml(lyric: Lyric) -> str:
    extend = ""
    if lyric.extend:
        kind = "" if lyric.extend == "start" else f' type="{lyric.extend}"'
        extend = f"<extend{kind}/>"
    if not lyric.text:
        return f'<lyric number="{lyric.verse}">{extend}</lyric>'
    return (
        f'<lyric number="{lyric.verse}">'
        f"<syllabic>{lyric.syllabic}</syllabic>"
        f"<text>{escape(lyric.text)}</text>{extend}</lyric>"
    )
