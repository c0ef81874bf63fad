"""A keyboard with some keys marked, as a picture."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from ._html import escape

__all__ = ("keyboard",)

_WHITE: Final = (0, 2, 4, 5, 7, 9, 11)
"""The white keys of an octave, as semitones above C."""
_WIDTH: Final = 20
_HEIGHT: Final = 80
_MARK: Final = "#2f7bd9"


def keyboard(marks: Mapping[int, str], title: str, /) -> str:
    """The octaves that hold some keys, each of these marked and named.

    Args:
        marks: the names of the keys by their MIDI numbers.
        title: what the picture shows, for those who can't see it.
    """
    low = min(marks, default=60) // 12 * 12
    high = max(marks, default=60) // 12 * 12 + 11
    keys = range(low, high + 1)
    white = [key for key in keys if key % 12 in _WHITE]
    place = {key: index * _WIDTH for index, key in enumerate(white)}
    drawn = [_key(place[key], _WIDTH, _HEIGHT, "#fff", marks.get(key)) for key in white]
    drawn += [
        _key(place[key + 1] - 6, 12, 50, "#222", marks.get(key))
        for key in keys
        if key not in place
    ]
    size = f"{len(white) * _WIDTH + 2} {_HEIGHT + 2}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="-1 -1 {size}" '
        f'aria-label="{escape(title)}" '
        f'style="max-width:100%;height:{_HEIGHT + 2}px;display:block">'
        f"{''.join(drawn)}</svg>"
    )


def _key(x: float, width: float, height: float, fill: str, mark: str | None) -> str:
    colour = fill if mark is None else _MARK
    key = (
        f'<rect x="{x:g}" y="0" width="{width:g}" height="{height}" rx="1.5" '
        f'fill="{colour}" stroke="#666"/>'
    )
    if mark is None:
        return key
    size = 9 if width < _WIDTH else 11
    return key + (
        f'<text x="{x + width / 2:g}" y="{height - 6}" font-size="{size}" '
        f'font-family="sans-serif" text-anchor="middle" fill="#fff">'
        f"{escape(mark)}</text>"
    )
