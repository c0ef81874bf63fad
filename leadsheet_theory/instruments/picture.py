"""A picture of a reader's range with a tune in it, for people who would rather look.

The picture is a staff: the range shaded behind it, the comfortable range
shaded deeper, the tune as a strip of notes as long as they sound, and at the
right how long it stays on each line and space.  Notes beyond the comfortable
range are hollow, notes outside the range square.

It is plain SVG without fonts or scripts of its own, which a notebook shows by
itself; ``str()`` gives the same in text for a terminal.
"""

from __future__ import annotations

from typing import Final

from attrs import frozen

from .._doors import door
from ..interval import OCTAVE
from ..pitch import STEPS
from ._notes import PlacedNote
from ._svg import ZONES, Scene, Zone, svg_of
from .books import Book
from .instrument import Instrument
from .ranges import Melody, Reader, check_range, placed_notes

__all__ = ("RangePicture", "range_picture")


@frozen(order=False)
class RangePicture:
    """A range, and a tune in it, as a notebook and a terminal show them."""

    scene: Scene

    @property
    def svg(self) -> str:
        """The picture as an SVG document."""
        return svg_of(self.scene)

    def _repr_svg_(self) -> str:
        return self.svg

    def _repr_html_(self) -> str:
        return f'<figure style="margin:0;max-width:100%">{self.svg}</figure>'

    def __str__(self) -> str:
        return _text_of(self.scene)


@door
def range_picture(
    reader: Reader, melody: Melody = (), /, *, octaves: int = 0, written: bool = False
) -> RangePicture:
    """Picture a reader's range, with a tune as that reader would have it.

    Args:
        reader: the instrument or book.
        melody: the tune, at sounding pitch; without one the range alone is drawn.
        octaves: how many octaves the part is moved from the concert melody.
        written: whether the pitches are already this reader's written pitches.

    Raises:
        PitchRangeError: if a sounding pitch is no MIDI key.

    >>> from leadsheet_theory.instruments import find_instrument
    >>> from leadsheet_theory.pitch import Pitch
    >>> tune = [Pitch.parse(name) for name in ("D4", "F4", "A4", "F4", "C4")]
    >>> print(range_picture(find_instrument("bass voice"), tune, octaves=-1))
    Bass Voice: written E2–E4, comfortable F2–C4; sounds as written
     E4 ─│
     D4  │
     C4 ─┃
     B3  ┃
     A3 ═┃══ ● 1
     G3  ┃
     F3 ═┃══ ●● 2
     E3  ┃
     D3 ═┃══ ● 1
     C3  ┃   ● 1
     B2 ═┃══
     A2  ┃
     G2 ═┃══
     F2  ┃
     E2 ─│
    """
    tune = placed_notes(melody)
    faults = {
        fault.index: fault
        for fault in check_range(tune, reader, octaves=octaves, written=written)
    }
    move = OCTAVE * octaves if written else OCTAVE * octaves - reader.transposition
    notes: list[tuple[PlacedNote, Zone]] = []
    for index, note in enumerate(tune):
        fault = faults.get(index)
        zone: Zone = "comfortable"
        if fault is not None:
            zone = "strained" if fault.comfortable_only else "outside"
        shown = PlacedNote(
            note.pitch + move, note.start, note.duration, note.bar, note.beat
        )
        notes.append((shown, zone))
    return RangePicture(
        Scene(
            f"{reader.name} book" if isinstance(reader, Book) else reader.name,
            f"written {reader.written_range.glyphs}, comfortable "
            f"{reader.comfortable_range.glyphs}; sounds {reader.sounds}",
            reader.clefs if isinstance(reader, Instrument) else (reader.clef,),
            reader.written_range,
            reader.comfortable_range,
            tuple(notes),
        )
    )


_MOST_DOTS: Final = 40
_DOTS: Final[dict[Zone, str]] = {"comfortable": "●", "strained": "○", "outside": "■"}


def _text_of(scene: Scene) -> str:
    """A line of text for each line and space of the staff, from the top."""
    span, easy = scene.written_range, scene.comfortable_range
    lines = {
        clef.bottom_place + step for clef in scene.clefs for step in (0, 2, 4, 6, 8)
    }
    counts: dict[int, dict[Zone, int]] = {}
    for note, zone in scene.notes:
        held = counts.setdefault(note.pitch.place, dict.fromkeys(ZONES, 0))
        held[zone] += 1
    most = max((sum(held.values()) for held in counts.values()), default=1)
    places = (*lines, span.low.place, span.high.place, *counts)
    rows = [f"{scene.title}: {scene.subtitle}"]
    for place in range(max(places), min(places) - 1, -1):
        name = f"{STEPS[place % 7]}{place // 7}"
        if easy.low.place <= place <= easy.high.place:
            rail = "┃"
        else:
            rail = "│" if span.low.place <= place <= span.high.place else " "
        even = any((place - line) % 2 == 0 for line in lines)
        if place in lines:
            row = f"{name:>3} ═{rail.replace(' ', '═')}══"
        elif even and not min(lines) <= place <= max(lines):
            row = f"{name:>3} ─{rail}  "
        else:
            row = f"{name:>3}  {rail}  "
        held = counts.get(place, {})
        total = sum(held.values())
        scale = min(1.0, _MOST_DOTS / most)
        dots = "".join(
            _DOTS[zone] * max(1, round(count * scale))
            for zone, count in held.items()
            if count
        )
        rows.append(f"{row} {dots} {total}" if total else row.rstrip())
    return "\n".join(rows)
