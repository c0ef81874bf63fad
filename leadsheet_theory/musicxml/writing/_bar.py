"""One bar of a part as MusicXML 4.0 text: its lines of music, with what stands above.

What all parts of a tune write of it is a form, whose gaps each part fills.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from attrs import define, field

from ...instruments.clefs import TREBLE_CLEF, Clef
from ...key import Key
from ...leadsheet.model import Bar, Hit, Note, Rest
from ...parts.model import PartBar
from ._forms import ClefMusic, Forms, Frame, measure_start
from ._line import (
    MIDDLE,
    Filler,
    hit_entries,
    line_of,
    move,
    on_staff,
    slash_place,
    staff_pitch,
)
from ._signs import left_barline, right_barline, words_xml
from ._text import in_divisions

__all__ = ("PartWriter", "cue_positions", "hits_measure")

_STEM: Final = 5  # what a stem adds to a head, less what a slash keeps clear of it
_ABOVE: Final = 9
_OVER_SLASHES: Final = 11
"""Where the heads of a cue stand over a melody at least, and over slashes."""
_SMALL_STEM: Final = 6  # what a stem adds to a small head


@define(eq=False)
class PartWriter:
    """The bars of a part as text.

    `forms` are those of its tune; `cues_at` says where the heads of its cues stand;
    `staff` is the number of its own staff where there are several.
    """

    forms: Forms
    clef: Clef
    filler: Filler
    cues_at: dict[int, int]
    staff: int = 0
    _key: Key | None = field(default=None, init=False)
    _music: ClefMusic = field(init=False)

    def measure(
        self,
        index: int,
        part_bar: PartBar,
        frame: Frame,
        attributes: str,
        beside: tuple[str, str] = ("", ""),
    ) -> str:
        """The measure element of a bar.

        `beside` is what stands on staves above its own, from the bar's start to its
        start, and on those below, from its end to its end.
        """
        if part_bar.key is not self._key:
            self._key = part_bar.key
            self._music = self.forms.under(self.clef, part_bar.key)
        shared = part_bar.shared
        music = self._music.known[index] or self._music.music(index, part_bar)
        melody, counterline = music
        texts = self.filler.filled(
            melody,
            part_bar.pitches,
            part_bar.stems,
            part_bar.accidentals,
            part_bar.symbols,
            shared.source.chords,
        )
        at = melody.end
        if counterline is not None:
            texts += self.filler.filled(
                counterline,
                part_bar.lower_pitches,
                part_bar.lower_stems,
                part_bar.lower_accidentals,
            )
            at = counterline.end
        if shared.cue:
            at = self._add_cue(texts, at, index, part_bar)
        if at != frame.length:
            texts.append(move(at, frame.length))
        signs, end = frame.signs, frame.end
        if self.staff:
            above, below = beside
            texts = [on_staff("".join([signs, *texts]), self.staff), below]
            signs, end = above, on_staff(end, self.staff)
        return "".join([frame.start, attributes, signs, *texts, end])

    def _add_cue(self, out: list[str], at: int, index: int, part_bar: PartBar) -> int:
        """Write the cue in a voice of its own; the position where it ends."""
        shared = part_bar.shared
        position = self.cues_at[index]
        entries = list(
            hit_entries(
                shared.cue,
                shared.cue_beams,
                slash_place(self.clef, position, part_bar.key),
                self.forms.divisions,
                rests=staff_pitch(self.clef, position),
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
    line = line_of(entries, 0, ())
    stops = bar.ending_stops_before(following)
    return (
        f"{measure_start(bar, bar.number, shown=True)}{left_barline(bar)}"
        f"{attributes}{''.join(line.texts)}"
        f"{move(line.end, in_divisions(bar.length, divisions))}"
        f"{right_barline(bar, ending_stops=stops)}</measure>\n"
    )
