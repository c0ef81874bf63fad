"""One line of music as MusicXML 4.0 text: notes, rests, slashes, and what stands above.

A line is worked out once as texts with gaps for pitches, accidentals, stems and chord
symbols, which each part fills.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from operator import is_
from typing import Final, Generic, NamedTuple, TypeVar

from attrs import frozen

from ...chords import ChordSymbol
from ...instruments.clefs import PERCUSSION_CLEF, TREBLE_CLEF, Clef
from ...key import Key
from ...leadsheet.model import Bar, Direction, Hit, Note, PlacedChord, Rest
from ...leadsheet.open_ties import NO_OPEN_TIES, OpenTies
from ...leadsheet.slash_time import on_beats
from ...parts.model import SharedBar
from ...pitch import STEPS, Pitch
from ...rhythm.beams import BeamMark
from ...rhythm.stems import StemDirection
from ...spelling.accidentals import Accidental
from ._harmony import HARMONY_END, HarmonyWriter
from ._note import (
    STEMS,
    NoteForm,
    accidental_xml,
    note_forms,
    rest_xml,
    slash_head,
    slash_xml,
    time_slash_xml,
)
from ._signs import Insert, direction_insert
from ._text import in_divisions, pitch_xml

__all__ = (
    "MIDDLE",
    "Entry",
    "Filler",
    "Line",
    "Same",
    "Slashes",
    "hit_entries",
    "inserts",
    "label_of",
    "line_of",
    "melody_entries",
    "move",
    "on_staff",
    "pitched",
    "rhythm_entries",
    "slash_entries",
    "slash_place",
    "staff_pitch",
)

_It = TypeVar("_It")

MIDDLE: Final = 4
"""The staff position of the middle line."""

_Beams = Sequence[tuple[BeamMark, ...]]


@lru_cache(maxsize=256)
def staff_pitch(clef: Clef, position: int, key: Key | None = None) -> Pitch:
    """The note at a staff position (0 bottom line, 8 top line) under a clef; in a key
    the one that needs no accidental."""
    octave, place = divmod(clef.bottom_place + position, 7)
    step = STEPS[place]
    return Pitch(step, key.alter_of(step) if key is not None else 0, octave)


def pitched(clef: Clef) -> bool:
    """Whether slashes are written with a pitch under a clef (:func:`slash_head`)."""
    return clef not in (TREBLE_CLEF, PERCUSSION_CLEF)


def slash_place(clef: Clef, position: int, key: Key | None) -> str:
    """Where a slash stands at a staff position; a pitched one needs the key."""
    return slash_head(staff_pitch(clef, position, key), pitched=pitched(clef))


class Same(Generic[_It]):
    """Values as a key that equals another only if both hold the very same ones: a set
    of parts shares its bars, and bars of one metre share their slashes."""

    __slots__ = ("values",)

    def __init__(self, values: tuple[_It, ...]) -> None:
        self.values = values

    def __hash__(self) -> int:
        return id(self.values[0]) if self.values else 0

    def __eq__(self, other: object) -> bool:
        return (
            isinstance(other, Same)
            and len(self.values) == len(other.values)
            and all(map(is_, self.values, other.values))
        )


class Line(NamedTuple):
    """A line of music as texts in order, some of them empty, to be filled by each part.

    `chords` says which text is that of each chord symbol, `pitches` which one is that
    of each pitch: the second one after it is that of its accidental.  `stems` says
    which one is that of a stem, and which note or rest of the line it belongs to.
    `end` is the position where the line ends, in divisions.
    """

    texts: list[str]
    chords: list[int]
    pitches: list[int]
    stems: list[tuple[int, int]]
    end: int


def rhythm_entries(
    shared: SharedBar, clef: Clef, head: str, divisions: int
) -> Sequence[Entry]:
    """The slashes and the figure of a bar without melody, from left to right."""
    slashes = slash_entries(Same(shared.slashes), head, divisions)
    if not shared.figure:
        return slashes
    figure = hit_entries(
        shared.figure,
        shared.figure_beams,
        head,
        divisions,
        rests=staff_pitch(clef, MIDDLE),
        stem="up",
    )
    return sorted([*slashes, *figure], key=_start_of)


def _start_of(entry: Entry) -> int:
    return entry[0]


@lru_cache(maxsize=64)
def slash_entries(
    slashes: Same[Hit], head: str, divisions: int, voice: int = 1
) -> tuple[tuple[int, int, str], ...]:
    """The time slashes of a bar."""
    entries = []
    for slash in slashes.values:
        start = in_divisions(slash.onset, divisions)
        length = in_divisions(slash.duration, divisions)
        text = time_slash_xml(slash.value, length, head, voice, slash.marks)
        entries.append((start, length, text))
    return tuple(entries)


# A note without its pitches: its place among the notes and rests of its line
_OpenNote = tuple[int, list[NoteForm]]

# An element on a line of music: its onset and its length in divisions
Entry = tuple[int, int, str | _OpenNote]


@frozen(order=False, eq=False)
class Slashes:
    """How slashes in the melody of a bar are written: where their heads stand."""

    bar: Bar
    head: str

    def entries(self, stretch: Rest, divisions: int) -> Iterator[Entry]:
        """A slash on each beat of a stretch."""
        bar = self.bar
        for slash in on_beats(stretch, bar.meter, bar.starts_at):
            start = in_divisions(slash.onset, divisions)
            length = in_divisions(slash.duration, divisions)
            yield start, length, time_slash_xml(slash.value, length, self.head)


# What stands over the staff: its onset in divisions, and its text in halves between
# which an offset may stand, or the index of a chord symbol
_Placed = tuple[int, Insert | int]


def inserts(bar: Bar, divisions: int) -> list[_Placed]:
    """Directions and chord symbols by onset, at one onset the directions first."""
    inserts: list[_Placed] = [
        (in_divisions(each.onset, divisions), direction_insert(each))
        for each in bar.directions
    ]
    inserts += [
        (in_divisions(placed.onset, divisions), index)
        for index, placed in enumerate(bar.chords)
    ]
    if len(inserts) > 1:
        inserts.sort(key=_onset)
    return inserts


def _onset(placed: _Placed) -> int:
    return placed[0]


def melody_entries(
    events: Sequence[Note | Rest],
    beams: _Beams,
    divisions: int,
    voice: int,
    *,
    rests: Pitch | None = None,
    cue: bool = False,
    ties: OpenTies = NO_OPEN_TIES,
    slashes: Slashes | None = None,
) -> Iterator[Entry]:
    """The notes and rests of a line; `rests` is where the rests stand, if not where
    a program puts them; a `cue` is small notes; `ties` are those without another half
    beside them, and `slashes` tell how time that is to be filled is written."""
    last = len(events) - 1
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
            forms = note_forms(
                event,
                length,
                voice,
                beams[place] if beams else (),
                bracket,
                cue=cue,
                open_tie=(ties.into and not start and not event.tied_to_next)
                or (ties.out and place == last and not event.tied_from_previous),
            )
            yield start, length, (place, forms)


def hit_entries(
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


def line_of(
    entries: Iterable[Entry], at: int, inserts: Sequence[_Placed], chords: int = 0
) -> Line:
    """One line of music from the position `at`; so many of the inserts are `chords`.

    What is to stand within a note is written before it, with an offset.
    """
    line = Line([""], [0] * chords, [], [], at)
    texts = line.texts
    waiting = 0
    for start, length, content in entries:
        if start != at:
            texts[-1] += move(at, start)
            at = start
        while waiting < len(inserts) and inserts[waiting][0] < start + (length or 1):
            _add_insert(line, at, inserts[waiting])
            waiting += 1
        if isinstance(content, str):
            texts[-1] += content
        else:
            _add_note(line, content)
        at += length
    for insert in inserts[waiting:]:
        _add_insert(line, at, insert)
    return line._replace(end=at)


def _add_note(line: Line, note: _OpenNote) -> None:
    texts = line.texts
    place, forms = note
    for start, held, ratio, rest in forms:
        texts[-1] += start
        line.pitches.append(len(texts))
        texts += ("", held, "", ratio, "", rest) if ratio else ("", held, "", "", rest)
        line.stems.append((len(texts) - 2, place))


def _add_insert(line: Line, at: int, placed: _Placed) -> None:
    texts = line.texts
    onset, content = placed
    offset = f"<offset>{onset - at}</offset>" if onset != at else ""
    if isinstance(content, int):
        line.chords[content] = len(texts)
        texts += ("", f"{offset}{HARMONY_END}")
    else:
        before, after = content
        texts[-1] += f"{before}{offset}{after}"


def move(at: int, to: int) -> str:
    """Move the position in the bar by forward or backup."""
    if to > at:
        return f"<forward><duration>{to - at}</duration></forward>\n"
    if to < at:
        return f"<backup><duration>{at - to}</duration></backup>\n"
    return ""


def label_of(
    event: Note | Rest, label: str, divisions: int
) -> tuple[tuple[int, Insert], ...]:
    """What stands over the first note of a line."""
    if not label:
        return ()
    words = Direction(event.onset, "words", label)
    return ((in_divisions(event.onset, divisions), direction_insert(words)),)


class Filler:
    """What fills lines with what one part has of its own; each pitch and chord symbol
    that it has more than once is put into words once.

    The part holds them as long as it is written.
    """

    __slots__ = ("_chords", "_harmony", "_pitches")

    def __init__(self, harmony: HarmonyWriter) -> None:
        self._harmony = harmony
        self._chords: dict[tuple[int, int], str] = {}
        self._pitches: dict[int, str] = {}

    def filled(
        self,
        line: Line,
        pitches: Sequence[Pitch],
        stems: Sequence[StemDirection | None],
        signs: Sequence[Accidental | None],
        symbols: Sequence[ChordSymbol] = (),
        sources: Sequence[PlacedChord] = (),
    ) -> list[str]:
        """The texts of a line."""
        texts = line.texts.copy()
        for at, symbol, source in zip(line.chords, symbols, sources, strict=True):
            same = id(symbol), id(source.symbol)
            text = self._chords.get(same)
            if text is None:
                text = self._chords[same] = self._harmony(symbol, source.symbol)
            texts[at] = text
        if not pitches:
            return texts
        known = self._pitches
        shown = signs or (None,) * len(pitches)
        for at, pitch, sign in zip(line.pitches, pitches, shown, strict=True):
            text = known.get(id(pitch))
            if text is None:
                text = known[id(pitch)] = pitch_xml(pitch)
            texts[at] = text
            if sign is not None:
                texts[at + 2] = accidental_xml(sign)
        if stems:
            for at, place in line.stems:
                texts[at] = STEMS[stems[place]]
        return texts


_PLACES: Final = re.compile(
    "(?P<note><note\\b.*?)(?=<beam |<notations>|<lyric |</note>)"
    "|(?P<direction><direction .*?)(?=<sound |</direction>)"
    "|(?P<harmony><harmony\\b.*?)(?=</harmony>)",
    re.DOTALL,
)


def on_staff(text: str, number: int) -> str:
    """Notes, directions and chord symbols with the number of their staff, which is the
    first where they have none."""
    return _PLACES.sub(rf"\g<0><staff>{number}</staff>", text)
