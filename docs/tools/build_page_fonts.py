"""Build the two fonts that drawn pages are set in.

    .venv/bin/pip install fonttools font-source-sans-pro
    npm pack @expo-google-fonts/patrick-hand && tar xzf expo-google-fonts-*.tgz
    .venv/bin/python docs/tools/build_page_fonts.py package/400Regular/*.ttf

writes into ``leadsheet_theory/pages/fonts/``:

- *Leadsheet Chords*, for chord symbols, letters and tempo: the Latin letters of
  Source Sans Pro Bold (P. D. Hunt, SIL OFL 1.1);
- *Leadsheet Hand*, for the handwritten look: Patrick Hand (P. Wagesreiter, SIL OFL
  1.1).

Both get accidentals and metronome notes from Bravura (D. Spreadbury, Steinberg, SIL
OFL 1.1), whose outlines lie in the wheel of ``verovio``, and triangles of our own.
The drawing library moves a whole run of text to another face as soon as one character
is missing: that is why letters and accidentals stand in one font.  The names are new,
as the licence asks for fonts whose names are reserved.

Needed by whoever changes the fonts, by nobody else; nothing here is installed.
"""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import Final

import font_source_sans_pro  # type: ignore[import-untyped,import-not-found]
import verovio
from fontTools.pens.cu2quPen import Cu2QuPen
from fontTools.pens.transformPen import TransformPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.subset import Options, Subsetter
from fontTools.svgLib.path import parse_path
from fontTools.ttLib import TTFont

TO: Final = Path(__file__).parents[2] / "leadsheet_theory/pages/fonts"
MUSIC: Final = Path(verovio.__file__).parent / "data" / "Bravura"

LATIN: Final = {
    *range(0x20, 0x7F),
    *range(0xA0, 0x180),
    *map(ord, "ŠšŽžƒ–—‘’‚“”„†•…‹›€™ʼ∅△Δ×½¼¾"),
}

# character: SMuFL code point of the outline, its height in cap heights, its foot in
# cap heights, widened by.  Chord symbols read best with accidentals higher than the
# letters (common practice, no source).
SIGNS: Final = {
    "♭": ("E260", 1.25, -0.05, 1.25),
    "♯": ("E262", 1.30, -0.15, 1.15),
    "♮": ("E261", 1.30, -0.15, 1.15),
    "♩": ("ECA5", 1.30, -0.02, 1.1),
    "♪": ("ECA7", 1.30, -0.02, 1.1),
    "\ueca2": ("ECA2", 0.50, -0.02, 1.1),  # whole note
    "\ueca3": ("ECA3", 1.30, -0.02, 1.1),  # half note
}
SIDE: Final = 45  # room at either side of a sign, in thousandths of an em
TRIANGLES: Final = "△Δ"


def outline(code: str) -> tuple[str, tuple[float, float, float, float]]:
    """The path of a glyph of the music font, and its box."""
    text = (MUSIC / f"{code}.xml").read_text("utf-8")
    (path,) = re.findall(r' d="([^"]+)"', text)
    table = (MUSIC.parent / "Bravura.xml").read_text("utf-8")
    found = re.search(
        rf'c="{code}" x="([-\d.]+)" y="([-\d.]+)" w="([\d.]+)" h="([\d.]+)"', table
    )
    assert found is not None
    x, y, width, height = map(float, found.groups())
    return path, (x, y, width, height)


def add_sign(font: TTFont, character: str, cap: int) -> None:
    """Add one sign of the music font at the size of the letters."""
    code, height, foot, wide = SIGNS[character]
    path, (x, y, width, tall) = outline(code)
    scale = height * cap / tall
    across = scale * wide
    pen = TTGlyphPen(None)
    parse_path(
        path,
        TransformPen(
            Cu2QuPen(pen, 0.5, reverse_direction=True),
            (across, 0, 0, scale, SIDE - x * across, foot * cap - y * scale),
        ),
    )
    put(font, character, pen.glyph(), round(width * across) + 2 * SIDE)


def add_triangle(font: TTFont, character: str, cap: int, stroke: float) -> None:
    """Add an open triangle as high as a capital, its lines of one strength."""
    width, side = cap * 1.08, SIDE // 2
    slope = (cap * cap + width * width / 4) ** 0.5
    dx = stroke * (slope + width / 2) / cap  # the inner corner at the foot
    dy = stroke * slope / (width / 2)  # the inner corner at the top
    pen = TTGlyphPen(None)
    outer = [(side, 0), (side + width / 2, cap), (side + width, 0)]
    inner = [
        (side + dx, stroke),
        (side + width - dx, stroke),
        (side + width / 2, cap - dy),
    ]
    for contour in (outer, inner):
        pen.moveTo(contour[0])
        for point in contour[1:]:
            pen.lineTo(point)
        pen.closePath()
    put(font, character, pen.glyph(), round(width) + 2 * side)


def put(font: TTFont, character: str, glyph: object, advance: int) -> None:
    """Put a glyph into the font, in place of one it may have."""
    name = font.getBestCmap().get(ord(character)) or f"uni{ord(character):04X}"
    if name not in font.getGlyphOrder():
        font.setGlyphOrder([*font.getGlyphOrder(), name])
    font["glyf"][name] = glyph
    font["hmtx"][name] = advance, 0
    glyph.recalcBounds(font["glyf"])  # type: ignore[attr-defined]
    font["hmtx"][name] = advance, glyph.xMin  # type: ignore[attr-defined]
    for table in font["cmap"].tables:
        if table.isUnicode():
            table.cmap[ord(character)] = name


def rename(font: TTFont, family: str, weight: str, sources: str) -> None:
    """Give the font its own name, and keep what the licence wants kept."""
    names = font["name"]
    old = names.getDebugName(0)
    names.names = []
    for number, text in (
        (0, f"{old} {sources}"),
        (1, family),
        (2, "Regular" if weight == "Regular" else "Bold"),
        (3, f"{family} {weight}; leadsheet_theory"),
        (4, f"{family} {weight}"),
        (5, "Version 1.000"),
        (6, f"{family.replace(' ', '')}-{weight}"),
        (13, "This Font Software is licensed under the SIL Open Font License 1.1."),
        (14, "https://openfontlicense.org"),
    ):
        names.setName(text, number, 3, 1, 0x409)


def build(source: Path, family: str, weight: str, stroke: float) -> None:
    """Build one font from the letters of another."""
    font = TTFont(source, recalcTimestamp=False)
    options = Options()
    options.layout_features = ["kern", "mark", "ccmp"]
    options.hinting = False
    options.name_IDs = [0]
    options.drop_tables += ["DSIG", "GDEF", "FFTM"]
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=LATIN)
    subsetter.subset(font)
    cap = font["OS/2"].sCapHeight
    for character in SIGNS:
        add_sign(font, character, cap)
    for character in TRIANGLES:
        add_triangle(font, character, cap, stroke)
    font["maxp"].recalc(font)
    rename(
        font,
        family,
        weight,
        "Signs: Copyright © 2019, Steinberg Media Technologies GmbH, with Reserved "
        "Font Name ‘Bravura’.",
    )
    TO.mkdir(exist_ok=True)
    font.save(TO / f"{family.replace(' ', '')}-{weight}.ttf")


def main() -> None:
    """Build both."""
    (hand,) = map(Path, sys.argv[1:])
    sans = Path(font_source_sans_pro.__file__).parent / "files/SourceSansPro-Bold.ttf"
    build(sans, "Leadsheet Chords", "Bold", 115)
    build(hand, "Leadsheet Hand", "Regular", 75)


if __name__ == "__main__":
    main()
