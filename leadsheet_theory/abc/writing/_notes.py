"""Notes and rests as music code.

Source: The abc music standard 2.1, chapter 4; the order of the constructs of one note
is that of section 4.20.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from typing import Final

from attrs import evolve

from ...key import Key
from ...leadsheet.model import Lyric, Mark, Note, Rest
from ...pitch import STEPS, NoteName, Pitch, Step
from ...rhythm.values import TREMOLO, Tuplet
from .._signs import DECORATIONS, name_of_mark
from ._remarks import Remarks

__all__ = ("LineWriter", "in_pieces")

_SIGNS: Final = {-2: "__", -1: "_", 0: "=", 1: "^", 2: "^^"}
# names that 2.1 itself does not have; other programs pass over them (4.14)
_STANDARD: Final = frozenset(
    {
        "trill", "lowermordent", "uppermordent", "turn", "invertedturn", "arpeggio",
        "accent", "fermata", "tenuto", "plus", "snap", "slide", "wedge", "upbow",
        "downbow", "open", "thumb", "breath", "staccato",
    }
)  # fmt: skip


def in_pieces(
    events: Sequence[Note | Rest], seats: Sequence[Fraction], length: Fraction
) -> list[tuple[Note | Rest, bool]]:
    """The events of a bar without gaps, each with whether it only goes on with the one
    before: notes and rests are parted where something needs a seat."""
    done: list[tuple[Note | Rest, bool]] = []
    place = Fraction(0)
    for event in events:
        if event.onset > place:
            done += _parted(Rest(place, event.onset - place), seats)
        if isinstance(event, Note) and event.grace:
            done.append((event, False))
            continue
        done += _parted(event, seats)
        place = event.onset + event.duration
    if place < length:
        done += _parted(Rest(place, length - place), seats)
    return done


def _parted(
    event: Note | Rest, seats: Sequence[Fraction]
) -> list[tuple[Note | Rest, bool]]:
    end = event.onset + event.duration
    cuts = [seat for seat in seats if event.onset < seat < end]
    if not cuts:
        return [(event, False)]
    edges = [event.onset, *cuts, end]
    pieces: list[tuple[Note | Rest, bool]] = []
    last = len(edges) - 2
    for place, (start, stop) in enumerate(pairwise(edges)):
        piece = evolve(event, onset=start, duration=stop - start)
        if isinstance(piece, Note):
            stops = tuple(slur for slur in piece.slurs if slur.end == "stop")
            starts = tuple(slur for slur in piece.slurs if slur.end == "start")
            piece = evolve(
                piece,
                lyrics=() if place else piece.lyrics,
                marks=() if place else piece.marks,
                slurs=(() if place else starts) + (stops if place == last else ()),
                tied_from_previous=place > 0 or piece.tied_from_previous,
                tied_to_next=place < last or piece.tied_to_next,
            )
        elif place:
            piece = evolve(piece, marks=())
        pieces.append((piece, place > 0))
    return pieces


@lru_cache(maxsize=512)
def _length(duration: Fraction, unit: Fraction) -> str:
    """A duration in unit lengths: nothing for one, ``3``, ``/``, ``3/2``."""
    units = duration / unit
    top = "" if units.numerator == 1 else str(units.numerator)
    if units.denominator == 1:
        return top
    bottom = "" if units.denominator == 2 and not top else str(units.denominator)
    return f"{top}/{bottom}"


def _letter(pitch: Pitch) -> str:
    if pitch.octave < 5:
        return pitch.step + "," * (4 - pitch.octave)
    return pitch.step.lower() + "'" * (pitch.octave - 5)


class LineWriter:
    """Writes the notes of one voice, bar by bar, and keeps the accidentals in force.

    A sign is written wherever a reader that takes accidentals for one octave and one
    that takes them for all would part, so that both read the same.
    """

    def __init__(self, unit: Fraction, remarks: Remarks) -> None:
        self.unit = unit
        self._remarks = remarks
        self._key: dict[Step, int] = {}
        self._everywhere: dict[Step, int] = {}
        self._here: dict[tuple[Step, int], int] = {}
        self._overlaid = False
        self._open_slurs: list[int] = []
        self.bar = 0
        # the words of the notes written, one entry a note
        self.words: list[tuple[Lyric, ...]] = []

    def start_bar(self, key: Key, number: int) -> None:
        """Begin a bar: its key alone holds."""
        self._key = {step: key.alter_of(step) for step in STEPS}
        self._everywhere, self._here = {}, {}
        self._overlaid = False
        self.bar = number

    def start_overlay(self) -> None:
        """Go back to the start of the bar; signs are not taken for granted."""
        self._overlaid = True

    def _pitch(self, pitch: Pitch) -> str:
        if abs(pitch.alter) > 2:
            self._remarks.add(
                "accidentals",
                "more than two sharps or flats are written as another note that "
                "sounds the same",
                self.bar,
            )
            names = map(NoteName.parse, ("C", "Db", "D", "Eb", "E", "F", "F#", "G",
                                         "Ab", "A", "Bb", "B"))  # fmt: skip
            same = next(n for n in names if n.pitch_class == pitch.pitch_class)
            pitch = Pitch.nearest(same, pitch.midi)
        step, alter, place = pitch.step, pitch.alter, (pitch.step, pitch.octave)
        key = self._key[step]
        readings = {
            self._everywhere.get(step, key),
            self._here.get(place, key),
        }
        if self._overlaid:
            readings.add(key)
        if readings == {alter}:
            return _letter(pitch)
        self._everywhere[step] = self._here[place] = alter
        return _SIGNS[alter] + _letter(pitch)

    def graces(self, notes: Sequence[Note]) -> str:
        """Grace notes in braces."""
        slash = "/" if notes and notes[0].grace == "slashed" else ""
        said = []
        for note in notes:
            heads = [self._pitch(pitch) for pitch in note.pitches]
            marks = self.marks(note.marks)
            said.append(
                marks + (heads[0] if len(heads) == 1 else f"[{''.join(heads)}]")
            )
        return f"{{{slash}{''.join(said)}}}"

    def marks(self, marks: Sequence[Mark]) -> str:
        """The decorations of a note."""
        said = ""
        for mark in marks:
            name = name_of_mark(mark.kind)
            if not name:
                self._remarks.add("marks", f"{mark.kind} has no sign in ABC", self.bar)
                continue
            if name not in _STANDARD:
                self._remarks.add(
                    "marks",
                    f"!{name}! is no name of ABC 2.1: other programs pass over it",
                    self.bar,
                    severity="note",
                )
            said += "." if name == "staccato" else f"!{name}!"
        return said

    def slur_starts(self, event: Note | Rest) -> str:
        """The slurs that begin on a note."""
        starts = [slur for slur in getattr(event, "slurs", ()) if slur.end == "start"]
        said = ""
        for slur in starts:
            if slur.kind != "slur":
                self._remarks.add(
                    "slurs", f"a {slur.kind} has no sign in ABC", self.bar
                )
            else:
                said += "("
        return said

    def slur_ends(self, event: Note | Rest) -> str:
        """The slurs that end on a note; ABC ends the one that began last."""
        slurs = [each for each in getattr(event, "slurs", ()) if each.kind == "slur"]
        said = ""
        begun = [slur.number for slur in slurs if slur.end == "start"]
        for slur in slurs:
            if slur.end == "start":
                continue
            if not self._open_slurs:
                self._remarks.add("slurs", "a slur that ends and never began", self.bar)
                continue
            if self._open_slurs[-1] != slur.number:
                self._remarks.add("slurs", "slurs that cross are nested", self.bar)
            self._open_slurs.pop()
            said += ")"
        self._open_slurs += begun
        return said

    def event(self, event: Note | Rest, length: Fraction) -> str:
        """A note or rest with its length and its tie."""
        if isinstance(event, Rest):
            return f"z{_length(length, self.unit)}"
        heads = [self._pitch(pitch) for pitch in event.pitches]
        head = heads[0] if len(heads) == 1 else f"[{''.join(heads)}]"
        tie = "-" if event.tied_to_next else ""
        return f"{head}{_length(length, self.unit)}{tie}"

    def line(
        self,
        pieces: Sequence[tuple[Note | Rest, bool]],
        before: dict[Fraction, str],
        *,
        sung: bool,
        beats: Collection[Fraction] = (),
    ) -> str:
        """The events of a bar; `before` is what stands over the staff at each onset,
        `sung` says that they take words, and short notes between two `beats` stand
        under one beam."""
        out: list[str] = []
        short = False  # whether the event before is shorter than a quarter note
        graces: list[Note] = []
        left = 0  # notes of the open tuplet still to come
        place = Fraction(0)
        waiting = dict(before)
        for at, (event, goes_on) in enumerate(pieces):
            if isinstance(event, Note) and event.grace:
                if graces and graces[0].grace != event.grace:
                    self._remarks.add(
                        "graces", "grace notes of two kinds become of one", self.bar
                    )
                graces.append(event)
                continue
            if event.onset < place:
                self._remarks.add(
                    "overlap", "notes that overlap stand one after the other", self.bar
                )
            place = event.onset + event.duration
            tuplet = _tuplet(event)
            said = self.slur_starts(event)
            if tuplet is not None and not left:
                left = _count(pieces, at, tuplet)
                said += _opening(tuplet, left)
            if graces:
                said += self.graces(graces)
                graces = []
            said += waiting.pop(event.onset, "")
            said += self.marks(event.marks)
            length = event.duration
            if tuplet is not None:
                length = length * tuplet.flat.actual / tuplet.flat.normal
                left -= 1
            said += self.event(event, length) + self.slur_ends(event)
            if sung and isinstance(event, Note):
                self.words.append(event.lyrics)
            beamed = short and event.duration < 1 and event.onset not in beats
            short = event.duration < 1
            apart = "`" if goes_on else "" if beamed else " "
            out.append(f"{apart}{said}")
        if graces:
            out.append(f" {self.graces(graces)}")
        for text in waiting.values():
            self._remarks.add(
                "places", "what stands past the end of its bar is written at its end",
                self.bar,
            )  # fmt: skip
            out.append(f" {text}y")
        return "".join(out).strip()


def _tuplet(event: Note | Rest) -> Tuplet | None:
    """The tuplet of an event, where its value says its duration."""
    value = event.value
    if value is None or value.tuplet == TREMOLO:
        return None
    return value.tuplet


def _count(pieces: Sequence[tuple[Note | Rest, bool]], at: int, tuplet: Tuplet) -> int:
    """How many notes and rests stand in the tuplet that starts at an index."""
    count = 0
    ratio = tuplet.flat
    for place in range(at, len(pieces)):
        event = pieces[place][0]
        if isinstance(event, Note) and event.grace:
            continue
        here = _tuplet(event)
        if here is None or here.flat != ratio:
            break
        if here.starts and place > at and not pieces[place][1]:
            break
        count += 1
        more = place + 1 < len(pieces) and pieces[place + 1][1]
        if here.ends and not more:
            break
    return count


def _opening(tuplet: Tuplet, count: int) -> str:
    ratio = tuplet.flat
    if (ratio.actual, ratio.normal, count) == (3, 2, 3):
        return "(3"
    return f"({ratio.actual}:{ratio.normal}:{count}"


def is_dynamics(text: str) -> bool:
    """Whether a dynamic mark has a name among the decorations."""
    row = DECORATIONS.get(text)
    return row is not None and row.kind == "dynamics"
