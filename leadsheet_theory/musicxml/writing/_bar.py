"""One bar as MusicXML 4.0 text: its lines of music, with what stands above them.

A bar is worked out once as a form with gaps for pitches, accidentals and chord
symbols; the parts of one tune share their bars, so the form is kept and each part
fills its gaps.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import lru_cache
from typing import Final

from attrs import define, field, frozen

from ...instruments.clefs import TREBLE_CLEF, Clef
from ...key import Key
from ...leadsheet.model import Bar, Hit, Note, Rest
from ...leadsheet.slash_time import has_slashes
from ...parts.model import PartBar, SharedBar
from ._harmony import HarmonyWriter
from ._line import (
    MIDDLE,
    Entry,
    Piece,
    Same,
    Slashes,
    fill,
    hit_entries,
    inserts,
    label_of,
    line_of,
    melody_entries,
    move,
    on_staff,
    pitched,
    rhythm_entries,
    slash_place,
    staff_pitch,
)
from ._signs import (
    end_signs,
    left_barline,
    right_barline,
    start_signs,
    words_xml,
)
from ._text import in_divisions

__all__ = ("cue_positions", "hits_measure", "measure")

_STEM: Final = 5  # what a stem adds to a head, less what a slash keeps clear of it
_ABOVE: Final = 9
_OVER_SLASHES: Final = 11
"""Where the heads of a cue stand over a melody at least, and over slashes."""
_SMALL_STEM: Final = 6  # what a stem adds to a small head
_CLEAR: Final = 4
"""How far below a small note a slash has to stand, in staff positions."""


# ── The form of a bar ────────────────────────────────────────────────────────────


@frozen(order=False, eq=False, kw_only=True)
class _BarForm:
    """A bar as all parts of a tune write it.

    `start` ends where the attributes go, `signs` follow them; `melody` and
    `counterline` are texts and gaps in order, `at` is the position that they end
    at and `length` that of the bar, in divisions.
    """

    start: str
    signs: str
    melody: tuple[Piece, ...]
    counterline: tuple[Piece, ...]
    at: int
    length: int
    end: str


@define(eq=False)
class _Forms:
    """The forms of a bar, worked out as parts ask for them; whether it has slashes."""

    shared: SharedBar
    slashed: bool
    known: dict[tuple[object, ...], _BarForm] = field(factory=dict)

    def form(
        self, part_bar: PartBar, divisions: int, clef: Clef, first: bool
    ) -> _BarForm:
        """The form for a part, of the `first` bar of all or another.

        The clef matters only to slashes, and to rests that stand below a cue, the key
        to pitched slashes alone.
        """
        asked = (
            divisions,
            clef if self.slashed or self.shared.cue else None,
            part_bar.key if self.slashed and pitched(clef) else None,
            _slash_height(part_bar, clef) if self.slashed else MIDDLE,
            first,
        )
        found = self.known.get(asked)
        if found is None:
            found = self.known[asked] = _form(self.shared, *asked)
        return found


@lru_cache(maxsize=512)
def _forms(same: Same[SharedBar]) -> _Forms:
    shared = same.it
    slashed = shared.slashes or shared.figure or has_slashes(shared.source.melody)
    return _Forms(shared, bool(slashed))


def _form(
    shared: SharedBar,
    divisions: int,
    clef: Clef | None,
    key: Key | None,
    height: int,
    first: bool,
) -> _BarForm:
    """The form of a bar; `height` is the staff position of the slashes."""
    bar = shared.source
    start = _measure_start(bar, shared.number, shown=shared.shows_number)
    page = "-solo" if shared.on_solo_page else ""
    if shared.starts_page and not first:
        start += '<print new-page="yes"/>\n'
    elif shared.starts_system and not first:
        start += '<print new-system="yes"/>\n'
    line: Iterable[Entry]
    if clef is not None and (shared.slashes or shared.figure):
        head = slash_place(clef, height, key)
        line = rhythm_entries(shared, clef, head, divisions)
    else:
        # a program moves the rests of a first voice up, into the cue: hold them, a
        # space below the middle, as rests of a lower voice stand
        rests = None if clef is None else staff_pitch(clef, MIDDLE - 2)
        line = melody_entries(
            bar.melody,
            shared.melody_beams,
            divisions,
            1,
            rests=rests,
            ties=shared.open_ties,
            slashes=None
            if clef is None
            else Slashes(bar, slash_place(clef, MIDDLE, key)),
        )
    melody, at = line_of(line, 0, inserts(bar, divisions))
    counterline: tuple[Piece, ...] = ()
    if bar.counterline:
        counterline, at = line_of(
            melody_entries(
                bar.counterline,
                shared.counterline_beams,
                divisions,
                2,
                cue=bool(shared.slashes),
            ),
            at,
            label_of(bar.counterline[0], shared.counterline_label, divisions),
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
    staff: int = 0,
    beside: tuple[str, str] = ("", ""),
) -> str:
    """The measure element of a part.

    `opening` is what only this bar has at its start (style, tempo); `harmony` gives
    the element of a chord symbol; `cue_position` is where the heads of a cue stand.
    `staff` is the number of the staff where there are several, `beside` what stands on
    those above it, from the bar's start to its start, and on those below, from its end
    to its end.
    """
    shared = part_bar.shared
    form = _forms(Same(shared)).form(part_bar, divisions, clef, first)
    out = [form.start, attributes, form.signs, opening]
    fill(
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
        fill(
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
        out.append(move(at, form.length))
    out.append(form.end)
    if staff:
        above, below = beside
        music = on_staff("".join(out[2:-1]), staff)
        out[2:-1] = above, music, below
    return "".join(out)


def _slash_height(part_bar: PartBar, clef: Clef) -> int:
    """Where the slashes of a bar stand: on the middle line, or clear below small notes
    that share the bar with them."""
    if not part_bar.shared.slashes or not part_bar.lower_pitches:
        return MIDDLE
    lowest = min(pitch.place for pitch in part_bar.lower_pitches)
    return min(MIDDLE, lowest - clef.bottom_place - _CLEAR)


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
        hit_entries(
            shared.cue,
            shared.cue_beams,
            slash_place(clef, position, part_bar.key),
            divisions,
            rests=staff_pitch(clef, position),
            voice=3 if shared.source.counterline else 2,
            stem="up",
            cue=True,
        )
    )
    if shared.cue_label:
        out += (move(at, entries[0][0]), words_xml(shared.cue_label))
        at = entries[0][0]
    for start, length, text in entries:
        out += (move(at, start), text)
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
            least = _OVER_SLASHES if shared.slashes else _ABOVE
            height = max(height, least, _top(part_bar) - clef.bottom_place + 4)
            level.append(index)
        tied = bool(cue) and isinstance(cue[-1], Hit) and cue[-1].tied_to_next
    found.update(dict.fromkeys(level, height))
    return found


def _top(part_bar: PartBar) -> int:
    """How high the melody reaches, in diatonic steps: under a cue its stems go down,
    but the upper one of two voices has them up, and so have small notes."""
    highest = max((pitch.place for pitch in part_bar.pitches), default=0)
    if part_bar.shared.slashes and part_bar.lower_pitches:
        return max(pitch.place for pitch in part_bar.lower_pitches) + _SMALL_STEM
    if not part_bar.shared.source.counterline:
        return highest
    at = 0
    melody = part_bar.shared.source.melody
    for event, stem in zip(melody, part_bar.stems, strict=False):
        if isinstance(event, Note):
            if stem == "up":
                highest = max(highest, part_bar.pitches[at].place + _STEM)
            at += len(event.pitches)
    return highest


def hits_measure(
    bar: Bar, following: Bar | None, *, attributes: str, divisions: int
) -> str:
    """The measure element of the hits' own part."""
    head = slash_place(TREBLE_CLEF, MIDDLE, bar.key)
    hits = bar.hits or (Rest(Fraction(0), bar.length, whole_bar=True),)
    entries = hit_entries(hits, (), head, divisions, stem="up")
    pieces, at = line_of(entries, 0, ())
    stops = bar.ending_stops_before(following)
    text = "".join(piece for piece in pieces if isinstance(piece, str))
    return (
        f"{_measure_start(bar, bar.number, shown=True)}{left_barline(bar)}"
        f"{attributes}{text}"
        f"{move(at, in_divisions(bar.length, divisions))}"
        f"{right_barline(bar, ending_stops=stops)}</measure>\n"
    )
