"""Pages as SVG that need nothing else: their pictures opened out, their font within.

What sets the pages leaves the systems in a page as pictures of their own, whose chord
symbols are words in a font of ours that a reader's machine doesn't have.  Here the
pictures become part of the page, and the font goes with it, once.
"""

from __future__ import annotations

import base64
import re
from functools import cache
from pathlib import Path
from typing import Final

__all__ = ("self_contained",)

_FONT_FOLDER: Final = Path(__file__).parent / "fonts"
_FONT_FILES: Final = {
    "Leadsheet Chords": "LeadsheetChords-Bold.ttf",
    "Leadsheet Hand": "LeadsheetHand-Regular.ttf",
}
_PICTURE: Final = re.compile(
    r'<image (?P<before>[^>]*?)xlink:href="data:image/svg\+xml;base64,'
    r'(?P<data>[^"]+)"(?P<after>[^>]*?)/>'
)
_OWN: Final = re.compile(r' (?:width|height|xmlns|version)="[^"]*"')


def self_contained(page: str) -> str:
    """A page with its pictures and fonts in it."""
    opened = _PICTURE.sub(_opened, page)
    opened = opened.replace('"Libertinus Serif"', '"Libertinus Serif, serif"')
    faces = "".join(_face(name) for name in _FONT_FILES if name in opened)
    if not faces:
        return opened
    start = opened.index(">") + 1
    return f"{opened[:start]}<style>{faces}</style>{opened[start:]}"


def _opened(picture: re.Match[str]) -> str:
    drawn = base64.b64decode(picture["data"]).decode()
    drawn = drawn[drawn.index("<svg") :]
    tag, _, rest = drawn.partition(">")
    placed = " ".join(f"{picture['before']}{picture['after']}".split())
    where = re.search(r'transform="[^"]*"', placed)
    size = " ".join(re.findall(r'(?:width|height)="[^"]*"', placed))
    group = f"<g {where[0]}>" if where else "<g>"
    return f"{group}{_OWN.sub('', tag)} {size}>{rest}</g>"


@cache
def _face(name: str) -> str:
    data = base64.b64encode((_FONT_FOLDER / _FONT_FILES[name]).read_bytes()).decode()
    return (
        f'@font-face{{font-family:"{name}";'
        f'src:url("data:font/ttf;base64,{data}") format("truetype")}}'
    )
