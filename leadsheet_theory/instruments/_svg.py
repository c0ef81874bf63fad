"""Draws a staff with a reader's range and a tune on it, as SVG."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from html import escape
from typing import Final, Literal, TypeAlias

from attrs import frozen

from ._clef_shapes import CLEF_SHAPES
from ._notes import PlacedNote
from .clefs import Clef
from .transposing import PitchRange

__all__ = ("ZONES", "Scene", "Zone", "svg_of")

Zone: TypeAlias = Literal["comfortable", "strained", "outside"]
"""Where a note lies: in the comfortable range, only in the range, or beyond."""

ZONES: Final[Mapping[Zone, str]] = {
    "comfortable": "comfortable",
    "strained": "beyond the comfortable range",
    "outside": "outside the range",
}
"""The zones, in words."""

# Lengths are in pixels, as the picture stands at its own size
_HALF: Final = 5.0  # from a line to the next space
_CLEF_X: Final = 46.0
_RANGE_X: Final = 100.0
_EASY_X: Final = 142.0
_ROLL_X: Final = 184.0
_ROLL_END: Final = 724.0
_TIME_X: Final = 744.0
_TIME_END: Final = 820.0
_WIDTH: Final = 840.0
_TOP: Final = 84.0
_BOTTOM: Final = 52.0

_INK: Final = "#20262e"
_QUIET: Final = "#66707c"
_STAFF: Final = "#7d8691"
_FAINT: Final = "#c9d0d8"
_RANGE: Final = "#eef3f9"
_EASY: Final = "#d5e6f6"
_COLOURS: Final[Mapping[Zone, str]] = {
    "comfortable": "#1f5f99",
    "strained": "#b86e00",
    "outside": "#c2243a",
}


@frozen(order=False)
class Scene:
    """What is to be seen: written notes, each with its zone, and the ranges."""

    title: str
    subtitle: str
    clefs: tuple[Clef, ...]
    written_range: PitchRange
    comfortable_range: PitchRange
    notes: tuple[tuple[PlacedNote, Zone], ...]


@frozen(order=False)
class _Frame:
    """Where staff places and times lie on the page."""

    top_place: int
    bottom_place: int
    begin: Fraction
    length: Fraction
    lines: frozenset[int]

    def y(self, place: float) -> float:
        return _TOP + (self.top_place - place) * _HALF

    def x(self, time: Fraction) -> float:
        return _ROLL_X + float((time - self.begin) / self.length) * (
            _ROLL_END - _ROLL_X
        )

    @property
    def height(self) -> float:
        return self.y(self.bottom_place) + _BOTTOM

    def ledgers(self, place: int) -> Iterator[int]:
        """The places of the ledger lines a note needs, between its staff and it."""
        high, low = max(self.lines), min(self.lines)
        if place > high:
            yield from range(high + 2, place + 1, 2)
        elif place < low:
            yield from range(low - 2, place - 1, -2)
        elif place not in self.lines and (place - low) % 2 == 0:
            yield place


def _frame(scene: Scene) -> _Frame:
    lines = {
        clef.bottom_place + step for clef in scene.clefs for step in (0, 2, 4, 6, 8)
    }
    places = [
        *lines,
        scene.written_range.low.place,
        scene.written_range.high.place,
        *(note.pitch.place for note, _ in scene.notes),
    ]
    begin = min((note.start for note, _ in scene.notes), default=Fraction(0))
    end = max((note.start + note.duration for note, _ in scene.notes), default=begin)
    return _Frame(
        max(places) + 3,
        min(places) - 3,
        begin,
        end - begin or Fraction(1),
        frozenset(lines),
    )


def svg_of(scene: Scene) -> str:
    """The picture as an SVG document."""
    frame = _frame(scene)
    parts = [
        *_heading(scene),
        *_bands(scene, frame),
        *_staff(scene, frame),
        *_range_columns(scene, frame),
        *_bar_lines(scene, frame),
        *_ledger_lines(scene, frame),
        *_notes(scene, frame),
        *_time_on_each_place(scene, frame),
        *_legend(scene, frame),
    ]
    size = f"{_WIDTH:g} {frame.height:g}"
    return "\n".join(
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size}" '
            f'width="{_WIDTH:g}" height="{frame.height:g}" role="img" '
            f'font-family="\'Helvetica Neue\', Arial, sans-serif" font-size="11">',
            f"<title>{escape(scene.title)}</title>",
            f"<desc>{escape(scene.subtitle)}</desc>",
            f'<rect width="{_WIDTH:g}" height="{frame.height:g}" rx="8" fill="#fff"/>',
            *parts,
            "</svg>",
        )
    )


def _text(
    x: float, y: float, words: str, *, colour: str = _QUIET, style: str = ""
) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" fill="{colour}"{style}>{escape(words)}</text>'
    )


def _line(x1: float, x2: float, y1: float, y2: float, colour: str, width: float) -> str:
    return (
        f'<line x1="{x1:.1f}" x2="{x2:.1f}" y1="{y1:.1f}" y2="{y2:.1f}" '
        f'stroke="{colour}" stroke-width="{width:g}"/>'
    )


def _box(
    x: float, y: float, width: float, height: float, look: str, *, round_by: float = 0
) -> str:
    return (
        f'<rect x="{x:.1f}" y="{y:.1f}" width="{width:.1f}" height="{height:.1f}" '
        f'rx="{round_by:g}" {look}/>'
    )


def _heading(scene: Scene) -> Iterator[str]:
    bold = ' font-size="17" font-weight="bold"'
    yield _text(20, 32, scene.title, colour=_INK, style=bold)
    yield _text(20, 52, scene.subtitle, style=' font-size="12"')


def _bands(scene: Scene, frame: _Frame) -> Iterator[str]:
    for span, colour in (
        (scene.written_range, _RANGE),
        (scene.comfortable_range, _EASY),
    ):
        top = frame.y(span.high.place + 1)
        height = frame.y(span.low.place - 1) - top
        yield _box(20, top, _TIME_END - 20, height, f'fill="{colour}"', round_by=4)


def _staff(scene: Scene, frame: _Frame) -> Iterator[str]:
    for place in sorted(frame.lines):
        y = frame.y(place)
        yield _line(20, _ROLL_END, y, y, _STAFF, 1)
    for clef in scene.clefs:
        place = clef.bottom_place + 2 * (clef.line - 1)
        scale = f"translate({_CLEF_X:g} {frame.y(place):.1f}) scale({2 * _HALF:g})"
        yield (
            f'<g transform="{scale}" fill="{_INK}" stroke="{_INK}" stroke-width="0">'
            f"{CLEF_SHAPES[clef.sign]}</g>"
        )
        if clef.octave_change:
            below = clef.octave_change < 0
            y = frame.y(clef.bottom_place - 6 if below else clef.bottom_place + 13)
            yield _text(
                _CLEF_X - 4, y, "8" if abs(clef.octave_change) == 1 else "15",
                colour=_INK, style=' font-style="italic"',
            )  # fmt: skip


def _range_columns(scene: Scene, frame: _Frame) -> Iterator[str]:
    for x, span, colour in (
        (_RANGE_X, scene.written_range, _INK),
        (_EASY_X, scene.comfortable_range, _COLOURS["comfortable"]),
    ):
        low, high = frame.y(span.low.place), frame.y(span.high.place)
        yield _line(x, x, high, low, colour, 1.6)
        for pitch, y, label in ((span.low, low, low + 16), (span.high, high, high - 9)):
            for place in frame.ledgers(pitch.place):
                yield _line(x - 9, x + 9, frame.y(place), frame.y(place), _INK, 1)
            yield (
                f'<ellipse cx="{x:.1f}" cy="{y:.1f}" rx="5.8" ry="4.3" '
                f'transform="rotate(-18 {x:.1f} {y:.1f})" fill="{colour}"/>'
            )
            yield _text(
                x, label, pitch.glyphs, colour=colour,
                style=' text-anchor="middle" font-weight="bold"',
            )  # fmt: skip


def _bar_lines(scene: Scene, frame: _Frame) -> Iterator[str]:
    """A line before every note on the first beat of a bar, the bars numbered."""
    top, bottom = frame.y(max(frame.lines)), frame.y(min(frame.lines))
    last = numbered = 0.0
    for note, _ in scene.notes:
        if note.bar is None or note.beat != 1 or note.start == frame.begin:
            continue
        x = frame.x(note.start) - 2
        if x - last < 6:
            continue
        yield _line(x, x, top, bottom, _STAFF, 0.8)
        last = x
        if x - numbered >= 34:
            numbered = x
            yield _text(x + 2, 76, str(note.bar), style=' font-size="9"')


def _extent(note: PlacedNote, frame: _Frame) -> tuple[float, float]:
    """Where a note begins on the page, and how wide it is."""
    x = frame.x(note.start)
    return x, max(frame.x(note.start + note.duration) - x - 1.2, 5.5)


def _ledger_lines(scene: Scene, frame: _Frame) -> Iterator[str]:
    for note, _ in scene.notes:
        x, width = _extent(note, frame)
        for place in frame.ledgers(note.pitch.place):
            y = frame.y(place)
            yield _line(x - 2.5, x + width + 2.5, y, y, _STAFF, 1)


def _notes(scene: Scene, frame: _Frame) -> Iterator[str]:
    for note, zone in scene.notes:
        x, width = _extent(note, frame)
        where = note.pitch.glyphs
        if note.bar is not None:
            where = f"bar {note.bar}: {where}"
        yield (
            f"<g><title>{escape(where)}, {ZONES[zone]}</title>"
            f"{_note_shape(x, frame.y(note.pitch.place), width, zone)}</g>"
        )


def _note_shape(x: float, y: float, width: float, zone: Zone) -> str:
    """Comfortable notes are full, strained ones hollow, those outside square."""
    colour = _COLOURS[zone]
    if zone == "strained":
        look = f'fill="#fff" stroke="{colour}" stroke-width="1.6"'
        return _box(x + 0.8, y - 3, max(width - 1.6, 2), 6, look, round_by=3)
    look = f'fill="{colour}"'
    return _box(
        x, y - 3.8, width, 7.6, look, round_by=3.8 if zone == "comfortable" else 0
    )


def _time_on_each_place(scene: Scene, frame: _Frame) -> Iterator[str]:
    times: dict[int, dict[Zone, Fraction]] = {}
    for note, zone in scene.notes:
        held = times.setdefault(note.pitch.place, {})
        held[zone] = held.get(zone, Fraction(0)) + note.duration
    longest = max((sum(held.values()) for held in times.values()), default=0)
    if not longest:
        return
    yield _text(_TIME_X, 76, "time on each note", style=' font-size="9"')
    for place, held in sorted(times.items()):
        x = _TIME_X
        for zone in ZONES:
            width = float(held.get(zone, Fraction(0)) / longest) * (_TIME_END - _TIME_X)
            if width:
                look = f'fill="{_COLOURS[zone]}"'
                yield _box(x, frame.y(place) - 2, width, 4, look)
                x += width


def _legend(scene: Scene, frame: _Frame) -> Iterator[str]:
    y = frame.height - 20
    x = 20.0
    for colour, words in (
        (_RANGE, f"range {scene.written_range.glyphs}"),
        (_EASY, f"comfortable {scene.comfortable_range.glyphs}"),
    ):
        look = f'fill="{colour}" stroke="{_FAINT}"'
        yield _box(x, y - 10, 16, 12, look, round_by=2)
        yield _text(x + 22, y, words)
        x += 40 + 6.2 * len(words)
    x = max(x, _ROLL_X + 130)
    for zone, words in ZONES.items():
        count = sum(1 for _, own in scene.notes if own == zone)
        if count:
            says = f"{count} {words}"
            yield _note_shape(x, y - 4, 16, zone)
            yield _text(x + 22, y, says)
            x += 40 + 6.0 * len(says)
