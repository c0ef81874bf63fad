"""Notes, rests and slashes as MusicXML 4.0 text.

The children of `note` stand in the order of the schema: grace or cue, chord,
pitch, duration, tie, voice, type, dot, accidental, time-modification, stem,
notehead, beam, notations, lyric.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from ...errors import MusicXMLWriteError
from ...leadsheet.model import Hit, Lyric, Mark, Note, NoteHead, Rest, Slur
from ...pitch import Pitch
from ...rhythm.values import NoteValue, Tuplet
from ...spelling.accidentals import Accidental
from .._vocabulary import MARK_GROUPS, TREMOLO_MARK
from ._text import escape, pitch_xml, time_modification

__all__ = (
    "NoteForm",
    "note_form",
    "note_xml",
    "rest_xml",
    "slash_head",
    "slash_xml",
    "time_slash_xml",
)

_PLAIN_HEAD = NoteHead()
_SLASH_HEAD = '<notehead parentheses="no">slash</notehead>'


NoteForm = tuple[str, str, str, str, str, tuple[str, ...]]
"""A note's text before its pitch, between pitch and accidental, and after; then the
same for the further notes that sound together with it, the last for each of them."""


def note_form(
    note: Note,
    duration: int,
    voice: int,
    beams: tuple[str, ...],
    stem: str | None,
    bracket: bool,
    *,
    cue: bool = False,
    open_tie: bool = False,
) -> NoteForm:
    """All of a melody note but its pitches and accidentals; a `cue` is small and
    silent; an `open_tie` has no other half beside it."""
    if note.grace:
        duration = 0
        slash = "yes" if note.grace == "slashed" else "no"
        start = f'<note><grace slash="{slash}"/>'
    else:
        start = "<note><cue/>" if cue else "<note>"
        _check(duration, "note")
    ties = note.tied_from_previous, note.tied_to_next
    before, after, notations = _frame(
        note.value,
        duration,
        ties,
        voice,
        stem=stem,
        head=_head_xml(note.heads[0]) if note.heads else "",
        beams=beams,
        bracket=bracket,
        silent=cue,
        open_tie=open_tie,
    )
    if note.slurs or note.marks:
        notations += _slurs_xml(note.slurs) + _marks_xml(note.marks)
    if notations:
        after += f"<notations>{notations}</notations>"
    for lyric in note.lyrics:
        after += _lyric_xml(lyric)
    if len(note.pitches) == 1:
        return start, before, f"{after}</note>\n", "", "", ()

    # the further notes carry ties, but no beams, slurs, marks or lyrics
    value = note.value
    if value is not None and value.tuplet is not None:
        value = NoteValue(value.name, value.dots, value.tuplet.flat)
    heads = note.heads[1:] or (_PLAIN_HEAD,) * (len(note.pitches) - 1)
    below = []
    for head in heads:
        lower, rest, notations = _frame(
            value,
            duration,
            ties,
            voice,
            stem=stem,
            head=_head_xml(head),
            bracket=bracket,
            silent=cue,
            open_tie=open_tie,
        )
        if notations:
            rest += f"<notations>{notations}</notations>"
        below.append(f"{rest}</note>\n")
    return (
        start,
        before,
        f"{after}</note>\n",
        f"{start}<chord/>",
        lower,
        tuple(below),
    )


def _head_xml(head: NoteHead) -> str:
    if head == _PLAIN_HEAD:
        return ""
    filled = f' filled="{head.filled}"' if head.filled else ""
    around = ' parentheses="yes"' if head.parentheses else ""
    return f"<notehead{filled}{around}>{head.shape}</notehead>"


def note_xml(
    form: NoteForm, pitches: Sequence[Pitch], signs: Sequence[Accidental | None]
) -> str:
    """A note of the melody at its written pitches; `signs` are as many, or none."""
    sign = signs[0] if signs else None
    signed = "" if sign is None else _accidental_xml(sign)
    text = f"{form[0]}{pitch_xml(pitches[0])}{form[1]}{signed}{form[2]}"
    if len(pitches) == 1:
        return text
    for place in range(1, len(pitches)):
        sign = signs[place] if signs else None
        signed = "" if sign is None else _accidental_xml(sign)
        text += (
            f"{form[3]}{pitch_xml(pitches[place])}{form[4]}{signed}{form[5][place - 1]}"
        )
    return text


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
    before, after, notations = _frame(
        value, duration, (False, False), voice, bracket=bracket
    )
    if rest.marks:
        notations += _marks_xml(rest.marks)
    if notations:
        after += f"<notations>{notations}</notations>"
    small = "<cue/>" if cue else ""
    shown = ' print-object="no"' if rest.hidden else ""
    measure = ' measure="yes"' if rest.whole_bar else ""
    where = _display(place) if place else ""
    return f"<note{shown}>{small}<rest{measure}>{where}</rest>{before}{after}</note>\n"


def slash_xml(
    hit: Hit,
    duration: int,
    head: str,
    *,
    voice: int,
    stem: str,
    beams: tuple[str, ...],
    bracket: bool,
    cue: bool,
) -> str:
    """A note with a slash for its head; `head` says where (:func:`slash_head`).

    A cue is silent, so it has ties for the eye but not for the ear.
    """
    _check(duration, "slash")
    ties = hit.tied_from_previous, hit.tied_to_next
    before, after, notations = _frame(
        hit.value,
        duration,
        ties,
        voice,
        stem=stem,
        head=_SLASH_HEAD,
        beams=beams,
        bracket=bracket,
        silent=cue,
        above=cue,
    )
    notations += _marks_xml(hit.marks, above=cue)
    if notations:
        after += f"<notations>{notations}</notations>"
    start = '<note print-leger="no"><cue/>' if cue else "<note>"
    return f"{start}{head}{before}{after}</note>\n"


def time_slash_xml(
    value: NoteValue | None,
    duration: int,
    head: str,
    voice: int = 1,
    marks: tuple[Mark, ...] = (),
) -> str:
    """A slash for a beat to be filled, without a stem and without a sound."""
    _check(duration, "slash")
    before, after, _ = _frame(
        value, duration, (False, False), voice, stem="none", head=_SLASH_HEAD
    )
    if marks:
        after += f"<notations>{_marks_xml(marks)}</notations>"
    return f'<note dynamics="0">{head}{before}{after}</note>\n'


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
    ties: tuple[bool, bool],
    voice: int,
    *,
    stem: str | None = None,
    head: str = "",
    beams: tuple[str, ...] = (),
    bracket: bool = True,
    silent: bool = False,
    above: bool = False,
    open_tie: bool = False,
) -> tuple[str, str, str]:
    """What stands before the accidental, what after it, and the notations, of which
    ties curve over the notes if they are to stand `above`.

    A tie that leads into or out of a repeated section has two ``tied`` elements on its
    one note (MusicXML 4.0, ``tied-type``).
    """
    before = [f"<duration>{duration}</duration>"] if duration else []
    notations = []
    for tied, end in zip(ties, ("stop", "start"), strict=True):
        if tied or open_tie:
            curve = ' orientation="over"' if above and end == "start" else ""
            notations.append(f'<tied type="{end}"{curve}/>')
        if tied and not silent:
            before.append(f'<tie type="{end}"/>')
    before.append(f"<voice>{voice}</voice>")
    after = []
    if value is not None:
        before.append(f"<type>{value.name}</type>{'<dot/>' * value.dots}")
        if value.tuplet is not None:
            after.append(time_modification(value.tuplet))
            notations.append(_brackets_xml(value.tuplet, bracket=bracket))
    if stem:
        after.append(f"<stem>{stem}</stem>")
    after.append(head)
    for level, beam in enumerate(beams, 1):
        after.append(f'<beam number="{level}">{beam}</beam>')
    return "".join(before), "".join(after), "".join(notations)


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
def _accidental_xml(sign: Accidental) -> str:
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
