"""Outlines of clefs, drawn for this library, for pictures without a music font.

Lengths are in staff spaces; the origin lies on the line the clef stands for, x to
the right and y downward, as in SVG.
"""

from __future__ import annotations

from typing import Final, Literal

__all__ = ("CLEF_SHAPES",)

# sign: SVG elements
CLEF_SHAPES: Final[dict[Literal["G", "F", "C", "percussion"], str]] = {
    "G": (
        '<path d="M.12 .48C-.5 .42-.62-.5 .12-.68C1.0-.8 1.28 .92 .12 1.02'
        "C-1.05 1.06-1.62-.2-.92-1.2C-.4-1.95 .52-2.5 .5-3.7"
        "C.48-4.45 .12-4.6-.08-4.15C-.32-3.6-.22-2.9-.1-2.2L.42 1.75"
        'C.55 2.62-.12 2.85-.5 2.5" fill="none" stroke-width=".26" '
        'stroke-linecap="round"/><circle cx="-.4" cy="2.32" r=".3"/>'
    ),
    "F": (
        '<circle cx="-.72" cy=".02" r=".34"/>'
        '<path d="M-1.02 -.1C-.95-1.3 1.02-1.35 1.0 .25C.98 1.6-.1 2.45-1.1 2.9'
        'C-.1 2.3 .55 1.4 .5 .15C.45-1.1-.72-1.0-.72-.3Z"/>'
        '<circle cx="1.5" cy="-.5" r=".21"/><circle cx="1.5" cy=".5" r=".21"/>'
    ),
    "C": (
        '<rect x="-1.1" y="-2" width=".45" height="4"/>'
        '<rect x="-.45" y="-2" width=".14" height="4"/>'
        '<path d="M-.35 0C.1-.2 .1-.7 .15-1C.3-.55 .85-.6 .85-1.25'
        "C.85-1.95 .2-1.85 .1-1.6C.35-1.6 .3-1.2 .05-1.25"
        "C-.3-1.35-.2-2.05 .45-2.05C1.85-2.0 1.75-.4 .75-.4C.45-.4 .35-.5 .25-.55"
        "C.2-.3 .1-.1 0 0C.1 .1 .2 .3 .25 .55C.35 .5 .45 .4 .75 .4"
        "C1.75 .4 1.85 2.0 .45 2.05C-.2 2.05-.3 1.35 .05 1.25"
        "C.3 1.2 .35 1.6 .1 1.6C.2 1.85 .85 1.95 .85 1.25"
        'C.85 .6 .3 .55 .15 1C.1 .7 .1 .2-.35 0Z"/>'
    ),
    "percussion": (
        '<rect x="-.5" y="-2" width=".4" height="2"/>'
        '<rect x=".2" y="-2" width=".4" height="2"/>'
    ),
}
