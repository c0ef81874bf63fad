"""One bar as MusicXML 4.0 text: its lines of music, with what stands above them.

A bar is worked out once as a form with gaps for pitches, accidentals and chord
symbols; the parts of one tune share their bars, so the form is kept and each part
fills its gaps.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from typing import Final, Generic, TypeVar

from attrs import define, field, frozen

from ...instruments.clefs import TREBLE_CLEF, Clef
from ...key import Key
from ...leadsheet.model import Bar, Direction, Hit, Note, Rest
from ...leadsheet.slash_time import has_slashes, on_beats
from ...parts.model import PartBar, SharedBar
from ...pitch import STEPS, Pitch
from ...rhythm.beams import BeamMark
from ...rhythm.stems import StemDirection
from ...spelling.accidentals import Accidental
from ._harmony import HarmonyWriter
from ._note import (
    NoteForm,
    note_form,
    note_xml,
    rest_xml,
    slash_head,
    slash_xml,
    time_slash_xml,
)
from ._signs import (
    Insert,
    direction_insert,
    end_signs,
    left_barline,
    right_barline,
    start_signs,
    words_xml,
)
from ._text import in_divisions

__all__ = ("cue_positions", "hits_measure", "measure")

_It = TypeVar("_It")

_MIDDLE: Final = 4
_ABOVE: Final = 9
_CLEAR: Final = 4
"""How far below a small note a slash has to stand, in staff positions."""

_Beams = Sequence[tuple[BeamMark, ...]]


@lru_cache(maxsize=256)
def _staff_pitch(clef: Clef, position: int, key: Key | None = None) -> Pitch:
    """The note at a staff position (0 bottom line, 8 top line) under a clef; in a key
    the one that needs no accidental."""
    octave, place = divmod(clef.bottom_place + position, 7)
    step = STEPS[place]
    return Pitch(step, key.alter_of(step) if key is not None else 0, octave)


def _pitched(clef: Clef) -> bool:
    """Whether slashes are written with a pitch under a clef (:func:`slash_head`)."""
    return clef != TREBLE_CLEF


def _head(clef: Clef, position: int, key: Key | None) -> str:
    """Where a slash stands at a staff position; a pitched one needs the key."""
    return slash_head(_staff_pitch(clef, position, key), pitched=_pitched(clef))


# ── The form of a bar ────────────────────────────────────────────────────────────


@define(eq=False, kw_only=True)
class _NoteGap:
    """Where a note's pitches go: event `place` of its line, `count` pitches.  The
    text around them is kept for each direction of the stem."""

    note: Note
    length: int
    voice: int
    beams: tuple[BeamMark, ...]
    bracket: bool
    place: int
    count: int
    cue: bool = False
    forms: dict[StemDirection | None, NoteForm] = field(factory=dict)

    def form(self, stem: StemDirection | None) -> NoteForm:
        """The note's text around its pitches and accidentals."""
        found = self.forms.get(stem)
        if found is None:
            found = self.forms[stem] = note_form(
                self.note,
                self.length,
                self.voice,
                self.beams,
                stem,
                self.bracket,
                cue=self.cue,
            )
        return found


@frozen(order=False, eq=False)
class _ChordGap:
    """Where a chord symbol goes: which one, and its offset element."""

    index: int
    offset: str


_Piece = str | _NoteGap | _ChordGap


@frozen(order=False, eq=False, kw_only=True)
class _BarForm:
    """A bar as all parts of a tune write it.

    `start` ends where the attributes go, `signs` follow them; `melody` and
    `counterline` are texts and gaps in order, `at` is the position that they end
    at and `length` that of the bar, in divisions.
    """

    start: str
    signs: str
    melody: tuple[_Piece, ...]
    counterline: tuple[_Piece, ...]
    at: int
    length: int
    end: str


class _Same(Generic[_It]):
    """A value as a key that equals another only if both hold the very same one: a set
    of parts shares its bars, and bars of one metre share their slashes."""

    __slots__ = ("it",)

    def __init__(self, it: _It) -> None:
        self.it = it

    def __hash__(self) -> int:
        return id(self.it)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and self.it is other.it


@lru_cache(maxsize=512)
def _form(
    same: _Same[SharedBar],
    divisions: int,
    clef: Clef | None,
    key: Key | None,
    height: int,
    first: bool,
) -> _BarForm:
    """The form of a bar, the `first` of all or another.

    The clef matters only to slashes, and to rests that stand below a cue, the key
    to pitched slashes alone; `height` is the staff position of the slashes.
    """
    shared = same.it
    bar = shared.source
    start = _measure_start(bar, shared.number, shown=shared.shows_number)
    page = "-solo" if shared.slashes else ""
    if shared.starts_page and not first:
        start += '<print new-page="yes"/>\n'
    elif shared.starts_system and not first:
        start += '<print new-system="yes"/>\n'
    line: Iterable[_Entry]
    if shared.slashes and clef is not None:
        head = _head(clef, height, key)
        line = _slash_entries(_Same(shared.slashes), head, divisions)
    else:
        # a program moves the rests of a first voice up, into the cue: hold them
        rests = None if clef is None else _staff_pitch(clef, _MIDDLE)
        line = _melody_entries(
            bar.melody,
            shared.melody_beams,
            divisions,
            1,
            rests=rests,
            slashes=None if clef is None else _Slashes(bar, _head(clef, _MIDDLE, key)),
        )
    melody, at = _line(line, 0, _inserts(bar, divisions))
    counterline: tuple[_Piece, ...] = ()
    if bar.counterline:
        counterline, at = _line(
            _melody_entries(
                bar.counterline,
                shared.counterline_beams,
                divisions,
                2,
                cue=bool(shared.counterline_label),
            ),
            at,
            _label(bar.counterline[0], shared.counterline_label, divisions),
        )
    return _BarForm(
        start=start + left_barline(bar),
        signs=start_signs(bar, page),
        melody=melody,
        counterline=counterline,
        at=at,
        length=in_divisions(bar.length, divisions),
        end=end_signs(bar, page)
        + right_barline(bar, ending_stops=shared.ending_stops)
        + "</measure>\n",
    )


def _label(
    event: Note | Rest, label: str, divisions: int
) -> tuple[tuple[int, Insert], ...]:
    """What stands over the first note of a line."""
    if not label:
        return ()
    words = Direction(event.onset, "words", label)
    return ((in_divisions(event.onset, divisions), direction_insert(words)),)


@lru_cache(maxsize=64)
def _slash_entries(
    same: _Same[tuple[Hit, ...]], head: str, divisions: int
) -> tuple[tuple[int, int, str], ...]:
    """The time slashes of a bar."""
    entries = []
    for slash in same.it:
        start = in_divisions(slash.onset, divisions)
        length = in_divisions(slash.duration, divisions)
        entries.append((start, length, time_slash_xml(slash.value, length, head)))
    return tuple(entries)


# An element on a line of music: its onset and its length in divisions
_Entry = tuple[int, int, str | _NoteGap]


@frozen(order=False, eq=False)
class _Slashes:
    """How slashes in the melody of a bar are written: where their heads stand."""

    bar: Bar
    head: str

    def entries(self, stretch: Rest, divisions: int) -> Iterator[_Entry]:
        """A slash on each beat of a stretch."""
        bar = self.bar
        for slash in on_beats(stretch, bar.meter, bar.starts_at):
            start = in_divisions(slash.onset, divisions)
            length = in_divisions(slash.duration, divisions)
            yield start, length, time_slash_xml(slash.value, length, self.head)


# What stands over the staff: its onset in divisions, and its text in halves between
# which an offset may stand, or the index of a chord symbol
_Placed = tuple[int, Insert | int]


def _inserts(bar: Bar, divisions: int) -> list[_Placed]:
    """Directions and chord symbols by onset, at one onset the directions first."""
    inserts: list[_Placed] = [
        (in_divisions(each.onset, divisions), direction_insert(each))
        for each in bar.directions
    ]
    inserts += [
        (in_divisions(placed.onset, divisions), index)
        for index, placed in enumerate(bar.chords)
    ]
    return sorted(inserts, key=_onset)


def _onset(placed: _Placed) -> int:
    return placed[0]


def _melody_entries(
    events: Sequence[Note | Rest],
    beams: _Beams,
    divisions: int,
    voice: int,
    *,
    rests: Pitch | None = None,
    cue: bool = False,
    slashes: _Slashes | None = None,
) -> Iterator[_Entry]:
    """The notes and rests of a line; `rests` is where the rests stand, if not where
    a program puts them; a `cue` is small notes; `slashes` tell how time that is to be
    filled is written."""
    for place, event in enumerate(events):
        if slashes is not None and isinstance(event, Rest) and event.slashes:
            yield from slashes.entries(event, divisions)
            continue
        start = in_divisions(event.onset, divisions)
        length = in_divisions(event.duration, divisions)
        value = event.value
        bracket = (
            value is None or value.tuplet is None or _bracket(events, beams, place)
        )
        if isinstance(event, Rest):
            yield start, length, rest_xml(event, length, voice, bracket, place=rests)
        else:
            yield (
                start,
                length,
                _NoteGap(
                    note=event,
                    length=length,
                    voice=voice,
                    beams=beams[place] if beams else (),
                    bracket=bracket,
                    place=place,
                    count=len(event.pitches),
                    cue=cue,
                ),
            )


def _hit_entries(
    events: Sequence[Hit | Rest],
    beams: _Beams,
    head: str,
    divisions: int,
    *,
    rests: Pitch | None = None,
    voice: int = 1,
    stem: StemDirection,
    cue: bool = False,
) -> Iterator[tuple[int, int, str]]:
    for at, event in enumerate(events):
        start = in_divisions(event.onset, divisions)
        length = in_divisions(event.duration, divisions)
        bracket = _bracket(events, beams, at)
        if isinstance(event, Rest):
            text = rest_xml(event, length, voice, bracket, place=rests, cue=cue)
        else:
            text = slash_xml(
                event,
                length,
                head,
                voice=voice,
                stem=stem,
                beams=beams[at] if beams else (),
                bracket=bracket,
                cue=cue,
            )
        yield start, length, text


def _bracket(events: Sequence[Note | Rest | Hit], beams: _Beams, start: int) -> bool:
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


def _line(
    entries: Iterable[_Entry], at: int, inserts: Sequence[_Placed]
) -> tuple[tuple[_Piece, ...], int]:
    """One line of music from the position `at`, and the position where it ends.

    What is to stand within a note is written before it, with an offset.
    """
    pieces: list[_Piece] = []
    waiting = 0
    text = ""
    for start, length, content in entries:
        if start != at:
            text += _move(at, start)
            at = start
        while waiting < len(inserts) and (
            inserts[waiting][0] <= start or inserts[waiting][0] < start + length
        ):
            text = _add_insert(pieces, text, at, inserts[waiting])
            waiting += 1
        if isinstance(content, str):
            text += content
        else:
            if text:
                pieces.append(text)
                text = ""
            pieces.append(content)
        at += length
    for insert in inserts[waiting:]:
        text = _add_insert(pieces, text, at, insert)
    if text:
        pieces.append(text)
    return tuple(pieces), at


def _add_insert(pieces: list[_Piece], text: str, at: int, placed: _Placed) -> str:
    """Add an insert to the pieces, or to the text that is not among them yet; the
    text that is left."""
    onset, content = placed
    offset = f"<offset>{onset - at}</offset>" if onset != at else ""
    if isinstance(content, int):
        if text:
            pieces.append(text)
        pieces.append(_ChordGap(content, offset))
        return ""
    before, after = content
    return f"{text}{before}{offset}{after}"


def _move(at: int, to: int) -> str:
    """Move the position in the bar by forward or backup."""
    if to > at:
        return f"<forward><duration>{to - at}</duration></forward>\n"
    if to < at:
        return f"<backup><duration>{at - to}</duration></backup>\n"
    return ""


def _measure_start(bar: Bar, number: int, *, shown: bool) -> str:
    """The start tag; what is not counted has a number that no other measure has."""
    again = f"-{bar.divided_at}" if bar.divided_at else ""
    implicit = "" if number and shown and not again else ' implicit="yes"'
    return f'<measure number="{number}{again}"{implicit}>\n'


# ── Filling it ───────────────────────────────────────────────────────────────────


def measure(
    part_bar: PartBar,
    *,
    attributes: str,
    opening: str,
    harmony: HarmonyWriter,
    divisions: int,
    clef: Clef,
    cue_position: int,
    first: bool,
) -> str:
    """The measure element of a part.

    `opening` is what only this bar has at its start (style, tempo); `harmony` gives
    the element of a chord symbol; `cue_position` is where the heads of a cue stand.
    """
    shared = part_bar.shared
    slashes = bool(shared.slashes) or has_slashes(shared.source.melody)
    form = _form(
        _Same(shared),
        divisions,
        clef if slashes or shared.cue else None,
        part_bar.key if slashes and _pitched(clef) else None,
        _slash_height(part_bar, clef),
        first,
    )
    out = [form.start, attributes, form.signs, opening]
    _fill(
        out,
        form.melody,
        part_bar.pitches,
        part_bar.stems,
        part_bar.accidentals,
        [
            harmony(symbol, placed.symbol)
            for symbol, placed in zip(
                part_bar.symbols, shared.source.chords, strict=True
            )
        ]
        if part_bar.symbols
        else (),
    )
    if form.counterline:
        _fill(
            out,
            form.counterline,
            part_bar.lower_pitches,
            part_bar.lower_stems,
            part_bar.lower_accidentals,
            (),
        )
    at = form.at
    if shared.cue:
        at = _add_cue(out, at, part_bar, divisions, clef, cue_position)
    if at != form.length:
        out.append(_move(at, form.length))
    out.append(form.end)
    return "".join(out)


def _slash_height(part_bar: PartBar, clef: Clef) -> int:
    """Where the slashes of a bar stand: on the middle line, or clear below small notes
    that share the bar with them."""
    if not part_bar.shared.counterline_label or not part_bar.lower_pitches:
        return _MIDDLE
    lowest = min(pitch.place for pitch in part_bar.lower_pitches)
    return min(_MIDDLE, lowest - clef.bottom_place - _CLEAR)


def _fill(
    out: list[str],
    pieces: tuple[_Piece, ...],
    pitches: Sequence[Pitch],
    stems: Sequence[StemDirection | None],
    signs: Sequence[Accidental | None],
    harmonies: Sequence[Insert],
) -> None:
    """Write a line with its gaps filled."""
    at = 0
    for piece in pieces:
        if isinstance(piece, str):
            out.append(piece)
        elif isinstance(piece, _NoteGap):
            form = piece.form(stems[piece.place] if stems else None)
            end = at + piece.count
            out.append(note_xml(form, pitches[at:end], signs[at:end]))
            at = end
        else:
            before, after = harmonies[piece.index]
            out.append(f"{before}{piece.offset}{after}")


def _add_cue(
    out: list[str],
    at: int,
    part_bar: PartBar,
    divisions: int,
    clef: Clef,
    position: int,
) -> int:
    """Write the cue in a voice of its own; the position where it ends."""
    shared = part_bar.shared
    entries = list(
        _hit_entries(
            shared.cue,
            shared.cue_beams,
            _head(clef, position, part_bar.key),
            divisions,
            rests=_staff_pitch(clef, position),
            voice=3 if shared.source.counterline else 2,
            stem="up",
            cue=True,
        )
    )
    if shared.cue_label:
        out += (_move(at, entries[0][0]), words_xml(shared.cue_label))
        at = entries[0][0]
    for start, length, text in entries:
        out += (_move(at, start), text)
        at = start + length
    return at


def cue_positions(part_bars: Sequence[PartBar], clef: Clef) -> dict[int, int]:
    """Where the heads of the cues stand, by the index of the bar: over the staff and
    over the melody, all on one height in a system and as far as ties lead."""
    found: dict[int, int] = {}
    if not any(part_bar.shared.cue for part_bar in part_bars):
        return found
    level: list[int] = []
    height = _ABOVE
    tied = False
    for index, part_bar in enumerate(part_bars):
        shared = part_bar.shared
        if shared.starts_system and not tied:
            found.update(dict.fromkeys(level, height))
            level, height = [], _ABOVE
        cue = shared.cue
        if cue:
            highest = max((pitch.place for pitch in part_bar.pitches), default=0)
            height = max(height, highest - clef.bottom_place + 3)
            level.append(index)
        tied = bool(cue) and isinstance(cue[-1], Hit) and cue[-1].tied_to_next
    found.update(dict.fromkeys(level, height))
    return found


def hits_measure(
    bar: Bar, following: Bar | None, *, attributes: str, divisions: int
) -> str:
    """The measure element of the hits' own part."""
    head = _head(TREBLE_CLEF, _MIDDLE, bar.key)
    entries = _hit_entries(bar.hits, (), head, divisions, stem="up")
    pieces, at = _line(entries, 0, ())
    stops = bar.ending_stops_before(following)
    text = "".join(piece for piece in pieces if isinstance(piece, str))
    return (
        f"{_measure_start(bar, bar.number, shown=True)}{left_barline(bar)}"
        f"{attributes}{text}"
        f"{_move(at, in_divisions(bar.length, divisions))}"
        f"{right_barline(bar, ending_stops=stops)}</measure>\n"
    )
