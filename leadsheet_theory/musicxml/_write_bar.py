"""One bar as MusicXML 4.0 text: its lines of music, with what stands above them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from ..clefs import Clef
from ..leadsheet.model import Bar, Hit, Note, Rest
from ..leadsheet.parts import Look, PartBar
from ..pitch import STEPS, Pitch
from ._write_note import melody_note, rest_xml, slash_note
from ._write_signs import (
    Insert,
    end_signs,
    left_barline,
    right_barline,
    start_signs,
    words_xml,
)

__all__ = (
    "Entry",
    "PlacedInsert",
    "hits_measure",
    "measure",
    "slash_entries",
    "staff_pitch",
)

MIDDLE_LINE: Final = 4
ABOVE_STAFF: Final = 9

Entry = tuple[int, int, str]
"""An element on a line of music: its onset and its length in divisions."""

PlacedInsert = tuple[int, Insert]
"""What stands above or below the staff, with its onset in divisions."""


def staff_pitch(clef: Clef, position: int) -> Pitch:
    """The note at a staff position (0 bottom line, 8 top line) under a clef."""
    octave, step = divmod(clef.bottom_place + position, 7)
    return Pitch(STEPS[step], 0, octave)


def measure(
    part_bar: PartBar,
    following: Bar | None,
    *,
    attributes: str,
    opening: str,
    inserts: Sequence[PlacedInsert],
    slashes: Sequence[Entry] | None,
    divisions: int,
    clef: Clef,
) -> str:
    """The measure element of a part.

    `opening` is what only this bar has at its start (style, tempo), `inserts`
    its chord symbols and directions, in order; `slashes` stand in place of a
    melody.
    """
    bar = part_bar.source
    out = [_measure_start(bar)]
    if part_bar.starts_page:
        out.append('<print new-page="yes"/>\n')
    elif part_bar.starts_system:
        out.append('<print new-system="yes"/>\n')
    out += (left_barline(bar), attributes, start_signs(bar), opening)
    entries = slashes or _melody_entries(
        bar.melody, part_bar.pitches, part_bar.melody, divisions, 1
    )
    at = _write_line(out, 0, entries, inserts)
    length = bar.length.numerator * (divisions // bar.length.denominator)
    voice = 1
    if bar.counterline:
        voice += 1
        entries = _melody_entries(
            bar.counterline,
            part_bar.lower_pitches,
            part_bar.counterline,
            divisions,
            voice,
        )
        at = _write_line(out, at, entries)
    if part_bar.cue:
        voice += 1
        entries = _hit_entries(
            part_bar.cue,
            part_bar.cue_beams,
            _cue_place(part_bar, clef),
            divisions,
            voice=voice,
            stem="up",
            cue=True,
        )
        if part_bar.cue_label:
            at = _move(out, at, entries[0][0])
            out.append(words_xml(part_bar.cue_label))
        at = _write_line(out, at, entries)
    if at != length:
        _move(out, at, length)
    out += (end_signs(bar), right_barline(bar, following), "</measure>\n")
    return "".join(out)


def hits_measure(
    bar: Bar, following: Bar | None, *, attributes: str, place: Pitch, divisions: int
) -> str:
    """The measure element of the hits' own part."""
    out = [_measure_start(bar), left_barline(bar), attributes]
    at = _write_line(out, 0, _hit_entries(bar.hits, (), place, divisions, stem="up"))
    _move(out, at, bar.length.numerator * (divisions // bar.length.denominator))
    out += (right_barline(bar, following), "</measure>\n")
    return "".join(out)


def _measure_start(bar: Bar) -> str:
    implicit = ' implicit="yes"' if bar.is_pickup else ""
    return f'<measure number="{bar.number}"{implicit}>\n'


def _melody_entries(
    events: Sequence[Note | Rest],
    pitches: Sequence[Pitch],
    look: Look,
    divisions: int,
    voice: int,
) -> list[Entry]:
    entries: list[Entry] = []
    beams = look.beams or ((),) * len(events)
    stems = look.stems or (None,) * len(events)
    signs = look.accidentals or (None,) * len(pitches)
    at = 0
    for place, event in enumerate(events):
        onset, duration = event.onset, event.duration
        start = onset.numerator * (divisions // onset.denominator)
        length = duration.numerator * (divisions // duration.denominator)
        value = event.value
        bracket = (
            value is None
            or value.tuplet is None
            or not value.tuplet.starts
            or _bracket(events, beams, place)
        )
        if isinstance(event, Rest):
            text = rest_xml(event, length, voice, bracket)
        else:
            end = at + len(event.pitches)
            text = melody_note(
                event,
                pitches[at:end],
                length,
                voice,
                beams[place],
                stems[place],
                signs[at:end],
                bracket,
            )
            at = end
        entries.append((start, length, text))
    return entries


def _hit_entries(
    events: Sequence[Hit | Rest],
    beams: Sequence[tuple[str, ...]],
    place: Pitch,
    divisions: int,
    *,
    voice: int = 1,
    stem: str,
    cue: bool = False,
) -> list[Entry]:
    entries: list[Entry] = []
    for at, event in enumerate(events):
        onset, duration = event.onset, event.duration
        start = onset.numerator * (divisions // onset.denominator)
        length = duration.numerator * (divisions // duration.denominator)
        bracket = _bracket(events, beams, at)
        if isinstance(event, Rest):
            text = rest_xml(event, length, voice, bracket, place=place, cue=cue)
        else:
            text = slash_note(
                event.value,
                length,
                place,
                voice=voice,
                stem=stem,
                ties=(event.tied_from_previous, event.tied_to_next),
                marks=event.marks,
                beams=beams[at] if beams else (),
                bracket=bracket,
                cue=cue,
            )
        entries.append((start, length, text))
    return entries


def slash_entries(slashes: Sequence[Hit], clef: Clef, divisions: int) -> list[Entry]:
    """The time slashes of a bar, on the middle line without stems."""
    middle = staff_pitch(clef, MIDDLE_LINE)
    return _hit_entries(slashes, (), middle, divisions, stem="none")


def _bracket(
    events: Sequence[Note | Rest | Hit], beams: Sequence[tuple[str, ...]], start: int
) -> bool:
    """Whether the tuplet that starts here wants a bracket: unless one beam spans
    exactly its notes."""
    value = events[start].value
    if value is None or value.tuplet is None or not value.tuplet.starts or not beams:
        return True
    if beams[start][:1] != ("begin",):
        return True
    for place in range(start + 1, len(events)):
        value = events[place].value
        if value is None or value.tuplet is None:
            return True
        if value.tuplet.ends:
            return beams[place][:1] != ("end",)
        if beams[place][:1] != ("continue",):
            return True
    return True


def _cue_place(part_bar: PartBar, clef: Clef) -> Pitch:
    """Where the heads of a cue stand: over the staff, and over the melody."""
    highest = max((pitch.place for pitch in part_bar.pitches), default=0)
    over_melody = highest - clef.bottom_place + 3
    return staff_pitch(clef, max(ABOVE_STAFF, over_melody))


def _write_line(
    out: list[str],
    at: int,
    entries: Sequence[Entry],
    inserts: Sequence[PlacedInsert] = (),
) -> int:
    """Write one line of music from the position `at`; where it ends is given back.

    What is to stand within a note is written before it, with an offset.
    """
    waiting = 0
    for start, length, text in entries:
        if at != start:
            at = _move(out, at, start)
        while waiting < len(inserts) and (
            inserts[waiting][0] <= start or inserts[waiting][0] < start + length
        ):
            _write_insert(out, at, inserts[waiting])
            waiting += 1
        out.append(text)
        at += length
    for insert in inserts[waiting:]:
        _write_insert(out, at, insert)
    return at


def _write_insert(out: list[str], at: int, insert: PlacedInsert) -> None:
    onset, (before, after) = insert
    offset = f"<offset>{onset - at}</offset>" if onset != at else ""
    out.append(f"{before}{offset}{after}")


def _move(out: list[str], at: int, to: int) -> int:
    """Move the position in the bar by forward or backup."""
    if to > at:
        out.append(f"<forward><duration>{to - at}</duration></forward>\n")
    elif to < at:
        out.append(f"<backup><duration>{at - to}</duration></backup>\n")
    return to
