"""Values as a notebook shows them: HTML, and drawn music.

The values themselves know nothing of it: what they inherit loads this room when a
notebook asks them (``_repr_html_`` and ``_repr_svg_``, the names that notebooks go by).
The HTML is escaped, has no scripts and takes the colours of the page, dark or light.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any, Final

from .._printed import symbol_text
from ..chords.styles import STYLES
from ..chords.symbol import Chord, NoChord, PolyChord
from ..exercises.marking import Marking
from ..instruments.books import Book
from ..instruments.instrument import Instrument
from ..instruments.picture import range_picture
from ..key import Key
from ..leadsheet.findings import Finding
from ..leadsheet.model import LeadSheet
from ..pages import can_draw, draw_pages
from ..pages.grid import with_glyphs
from ..parts.make import make_parts
from ..parts.model import Part
from ..pitch import NoteName, Pitch
from ._html import card, escape, styled, table
from ._keyboard import keyboard
from .tables import finding_table, grid_of_bars

__all__ = ("html_of", "svg_of")


def html_of(value: object, /) -> str | None:
    """A value as HTML; None where it has none, or is better drawn.

    >>> from leadsheet_theory import parse_chord
    >>> "E♭maj7" in html_of(parse_chord("Ebmaj7"))
    True
    """
    for kind, shown in _SHOWN.items():
        if isinstance(value, kind):
            return shown(value)
    return None


def svg_of(value: object, /) -> str | None:
    """A part, or the lead sheet in C of a tune, as drawn music: its pages one below
    the other; None where pages can't be drawn.

    >>> from leadsheet_theory import read_lead_sheet
    >>> tune = read_lead_sheet("shared/charts/rope_walk.musicxml").sheet
    >>> svg_of(tune)[:5]
    '<svg '
    """
    part = _part_of(value)
    if part is None or not can_draw():
        return None
    return _stacked(draw_pages(part).svgs(), str(part))


# ── Drawn music ──────────────────────────────────────────────────────────────────


def _part_of(value: object) -> Part | None:
    if isinstance(value, Part):
        return value
    if isinstance(value, LeadSheet) and value.bars:
        return make_parts(value, books=["C"], solo_page=False)[0]
    return None


_SIZE: Final = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')
_OWN_SIZE: Final = re.compile(r'(?:width|height)="[\d.]+pt" ')
_GAP: Final = 12.0


def _stacked(pages: tuple[str, ...], title: str) -> str:
    """Pages one below the other on white paper, as one picture."""
    drawn = []
    width = y = 0.0
    for page in pages:
        size = _SIZE.search(page)
        across, down = (float(size[1]), float(size[2])) if size else (595.0, 842.0)
        paper = f'<rect y="{y:g}" width="{across:g}" height="{down:g}" fill="#fff"/>'
        sized = f'<svg y="{y:g}" width="{across:g}" height="{down:g}" '
        placed = sized + _OWN_SIZE.sub("", page, count=2).removeprefix("<svg ")
        drawn += [paper, placed]
        width = max(width, across)
        y += down + _GAP
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" role="img" '
        f'aria-label="{escape(title)}" viewBox="0 0 {width:g} {y - _GAP:g}" '
        f'width="{width:g}" style="max-width:100%;height:auto">{"".join(drawn)}</svg>'
    )


def _music(value: LeadSheet | Part) -> str | None:
    """The grid, where music can't be drawn."""
    part = _part_of(value)
    if part is None:
        return card(str(value))
    return None if can_draw() else grid_of_bars(part).html


# ── Theory ───────────────────────────────────────────────────────────────────────


def _chord(chord: Chord) -> str:
    tones = [tone.glyphs for tone in chord.tones]
    degrees = [with_glyphs(str(degree)) for degree in chord.quality.degrees]
    pieces = [table([["degree", *degrees], ["tone", *tones]], names=True)]
    if chord.bass is not None:
        pieces.append(_line(f"bass {chord.bass.glyphs}"))
    forms = dict.fromkeys(with_glyphs(chord.text(style)) for style in STYLES)
    pieces.append(_line(f"printed {', '.join(forms)}"))
    pieces += [_line(f"some read it as {other}") for other in chord.ambiguities]
    name = symbol_text(chord)
    marks = {note.midi: note.name.glyphs for note in _close(chord.notes)}
    return card(name, *pieces, keyboard(marks, f"{name} on a keyboard"))


def _close(notes: tuple[NoteName, ...]) -> list[Pitch]:
    """Notes one above the other, from the octave of middle C."""
    found: list[Pitch] = []
    for name in notes:
        octave = 4
        while found and Pitch.of(name, octave).midi <= found[-1].midi:
            octave += 1
        found.append(Pitch.of(name, octave))
    return found


def _polychord(chord: PolyChord) -> str:
    return card(
        symbol_text(chord),
        _line("tones " + " ".join(tone.glyphs for tone in chord.tones)),
    )


def _no_chord(chord: NoChord) -> str:
    return card(str(chord), _line("no chord is played here"))


def _key(key: Key) -> str:
    count = abs(key.signature)
    kind = "sharp" if key.signature > 0 else "flat"
    signature = f"{count or 'no'} {kind}{'' if count == 1 else 's'}"
    if not count:
        signature = "no sharps or flats"
    scale = [note.glyphs for note in key.scale]
    return card(
        key.glyphs,
        _line(signature),
        table([scale], head=[str(number) for number in range(1, len(scale) + 1)]),
        _line(f"relative {key.relative.glyphs}, parallel {key.parallel.glyphs}"),
    )


def _reader(reader: Book | Instrument) -> str:
    return styled("figure", "margin:0;max-width:100%", range_picture(reader).svg)


def _finding(finding: Finding) -> str:
    return finding_table((finding,)).html


def _marking(marking: Marking) -> str:
    rows = [
        [
            "" if note.given is None else note.given.glyphs,
            "" if note.wanted is None else note.wanted.glyphs,
            note.verdict,
            note.why,
        ]
        for note in marking.notes
    ]
    return card(marking.task, table(rows, head=["given", "wanted", "verdict", "why"]))


def _line(text: str) -> str:
    return styled("div", "margin:.2em 0", escape(text))


_SHOWN: Final[dict[type, Callable[[Any], str | None]]] = {
    Chord: _chord,
    PolyChord: _polychord,
    NoChord: _no_chord,
    Key: _key,
    Book: _reader,
    Instrument: _reader,
    Finding: _finding,
    Marking: _marking,
    LeadSheet: _music,
    Part: _music,
}
