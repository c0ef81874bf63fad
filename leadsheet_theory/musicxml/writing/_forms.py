"""What all parts of a tune write of a bar: its frame and its music with gaps.

Each is worked out once, when the first part asks for it.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import Final, Literal, NamedTuple

from attrs import define, field

from ...instruments.clefs import Clef
from ...key import Key
from ...leadsheet.model import Bar
from ...leadsheet.signs import NO_SIGNS
from ...leadsheet.slash_time import has_slashes
from ...parts.model import PartBar, SharedBar
from ...pitch import Pitch
from ._harmony import alternates_xml
from ._line import (
    MIDDLE,
    Entry,
    Line,
    Same,
    Slashes,
    inserts,
    label_of,
    line_of,
    melody_entries,
    pitched,
    rhythm_entries,
    slash_entries,
    slash_place,
    staff_pitch,
)
from ._signs import (
    end_signs,
    left_barline,
    meter_xml,
    right_barline,
    slash_style_xml,
    start_signs,
)
from ._text import in_divisions

__all__ = ("Forms", "Frame", "Music", "forms_of", "measure_start")

_CLEAR: Final = 4
"""How far below a small note a slash has to stand, in staff positions."""


class Frame(NamedTuple):
    """What stands around the music of a bar.

    `start` ends where the attributes go and `signs` follow them.  `attributes` is their
    element in a part that has none of its own here: the `meter`, where a new one
    begins, and the style of notation, where `slashes` start or stop.  `length` is that
    of the bar, in divisions.
    """

    start: str
    meter: str
    slashes: Literal["", "start", "stop"]
    attributes: str
    signs: str
    end: str
    length: int


class Music(NamedTuple):
    """The melody of a bar, or the slashes in its place, and the line below it."""

    melody: Line
    counterline: Line | None = None


@define(eq=False)
class Forms:
    """The bars of a tune as all its parts write them; `opening` is what only the first
    one has at its start (style, tempo).

    `frames` are those that are worked out, `plain` the music that is the same under
    any clef.
    """

    bars: tuple[SharedBar, ...]
    divisions: int
    opening: str
    frames: list[Frame | None] = field(init=False)
    plain: list[Music | None] = field(init=False)
    _under: dict[tuple[Clef, Key | None], ClefMusic] = field(init=False, factory=dict)

    def __attrs_post_init__(self) -> None:
        self.frames = [None] * len(self.bars)
        self.plain = [None] * len(self.bars)

    def frame(self, index: int) -> Frame:
        """What stands around the music of a bar, worked out."""
        shared = self.bars[index]
        before = self.bars[index - 1] if index else None
        bar = shared.source
        start = measure_start(bar, shared.number, shown=shared.shows_number)
        if shared.starts_page and before is not None:
            start += '<print new-page="yes"/>\n'
        elif shared.starts_system and before is not None:
            start += '<print new-system="yes"/>\n'
        signs, end = "", "</measure>\n"
        if bar.form is not NO_SIGNS or shared.ending_stops:
            page = "-solo" if shared.on_solo_page else ""
            start += left_barline(bar)
            signs = start_signs(bar, page)
            stops = right_barline(bar, ending_stops=shared.ending_stops)
            end = f"{end_signs(bar, page)}{stops}{end}"
        if before is None:
            signs += self.opening
        if bar.alternate_chords:
            signs += alternates_xml(bar, self.divisions)
        meter = attributes = ""
        if before is None or _differ(before.source.meter, bar.meter):
            meter = attributes = meter_xml(bar.meter)
        slashes = _slashes_change(before, shared)
        if slashes:
            attributes += slash_style_xml(slashes)
        if attributes:
            attributes = f"<attributes>{attributes}</attributes>\n"
        length = in_divisions(bar.length, self.divisions)
        frame = Frame(start, meter, slashes, attributes, signs, end, length)
        self.frames[index] = frame
        return frame

    def under(self, clef: Clef, key: Key) -> ClefMusic:
        """The music of the bars under a clef; the key matters only to pitched
        slashes."""
        asked = clef, key if pitched(clef) else None
        found = self._under.get(asked)
        if found is None:
            found = self._under[asked] = ClefMusic(self, *asked)
        return found


@define(eq=False)
class ClefMusic:
    """The music of a tune's bars under a clef; `known` is what is worked out of it.

    The clef matters only to slashes, and to rests that stand below a cue: what has
    neither is worked out once for all clefs.
    """

    forms: Forms
    clef: Clef
    key: Key | None
    known: list[Music | None] = field(init=False)
    _head: str = field(init=False)
    _slashed: dict[tuple[int, tuple[int, ...]], Music] = field(init=False, factory=dict)

    def __attrs_post_init__(self) -> None:
        self.known = [None] * len(self.forms.bars)
        self._head = slash_place(self.clef, MIDDLE, self.key)

    def music(self, index: int, part_bar: PartBar) -> Music:
        """The music of a bar, worked out for a part."""
        forms = self.forms
        found = forms.plain[index]
        if found is None:
            shared = forms.bars[index]
            if shared.slashes or shared.figure:
                found = self._rhythm(shared, part_bar.lower_pitches)
            elif shared.cue or has_slashes(shared.source.melody):
                found = _melody(shared, forms.divisions, self.clef, self.key)
            else:
                found = forms.plain[index] = _melody(shared, forms.divisions)
        if not part_bar.lower_pitches:
            self.known[index] = found
        return found

    def _rhythm(self, shared: SharedBar, below: tuple[Pitch, ...]) -> Music:
        """Slashes or a figure, with small notes `below`.

        Bars with slashes and chord symbols alone are written alike if they have the
        same slashes, and chord symbols at the same places.
        """
        divisions = self.forms.divisions
        bar = shared.source
        if shared.figure or bar.directions or bar.counterline:
            head = self._head
            if shared.slashes and below:
                height = _slash_height(below, self.clef)
                head = slash_place(self.clef, height, self.key)
            entries = rhythm_entries(shared, self.clef, head, divisions)
            return _music(shared, entries, divisions)
        onsets = [in_divisions(placed.onset, divisions) for placed in bar.chords]
        alike = id(shared.slashes), tuple(onsets)
        found = self._slashed.get(alike)
        if found is None:
            entries = slash_entries(Same(shared.slashes), self._head, divisions)
            found = self._slashed[alike] = _music(shared, entries, divisions)
        return found


@lru_cache(maxsize=4)
def forms_of(bars: Same[SharedBar], divisions: int, opening: str) -> Forms:
    """The bars of a tune, for all its parts."""
    return Forms(bars.values, divisions, opening)


def _melody(
    shared: SharedBar,
    divisions: int,
    clef: Clef | None = None,
    key: Key | None = None,
) -> Music:
    """A bar with a melody; under a clef, where that matters."""
    bar = shared.source
    rests = slashes = None
    if clef is not None:
        # a program moves the rests of a first voice up, into the cue: hold them, a
        # space below the middle, as rests of a lower voice stand
        rests = staff_pitch(clef, MIDDLE - 2)
        slashes = Slashes(bar, slash_place(clef, MIDDLE, key))
    entries = melody_entries(
        bar.melody,
        shared.melody_beams,
        divisions,
        1,
        rests=rests,
        ties=shared.open_ties,
        slashes=slashes,
    )
    return _music(shared, entries, divisions)


def _music(shared: SharedBar, entries: Iterable[Entry], divisions: int) -> Music:
    """The elements of a bar's first line as music, with the line below it."""
    bar = shared.source
    melody = line_of(entries, 0, inserts(bar, divisions), len(bar.chords))
    if not bar.counterline:
        return Music(melody)
    below = melody_entries(
        bar.counterline,
        shared.counterline_beams,
        divisions,
        2,
        cue=bool(shared.slashes),
    )
    label = label_of(bar.counterline[0], shared.counterline_label, divisions)
    return Music(melody, line_of(below, melody.end, label))


def _slash_height(below: tuple[Pitch, ...], clef: Clef) -> int:
    """Where slashes stand that share their bar with small notes: on the middle line, or
    clear below these."""
    lowest = min(pitch.place for pitch in below)
    return min(MIDDLE, lowest - clef.bottom_place - _CLEAR)


def measure_start(bar: Bar, number: int, *, shown: bool) -> str:
    """The start tag; what is not counted has a number that no other measure has."""
    again = f"-{bar.divided_at}" if bar.divided_at else ""
    implicit = "" if number and shown and not again else ' implicit="yes"'
    return f'<measure number="{number}{again}"{implicit}>\n'


def _differ(left: object, right: object) -> bool:
    """Whether two values differ; the same object is not looked into."""
    return left is not right and left != right


def _slashes_change(
    before: SharedBar | None, shared: SharedBar
) -> Literal["", "start", "stop"]:
    """Whether slash notation starts or stops with a bar."""
    slashes = _only_slashes(shared)
    if slashes == (before is not None and _only_slashes(before)):
        return ""
    return "start" if slashes else "stop"


def _only_slashes(shared: SharedBar) -> bool:
    """Whether a bar of the solo page holds slashes and nothing else."""
    return bool(shared.slashes) and shared.on_solo_page
