"""Sheets of paper as data, and how typst sets them.

A sheet is planned to the millimetre before typst sees it: everything that stands on it
has its place, so typst looks after fonts, links and bookmarks alone.
"""

from __future__ import annotations

from typing import Final

from attrs import asdict, frozen

__all__ = ("TEMPLATE", "DrawnSign", "Picture", "Sheet", "SungLine", "Words")


@frozen(order=False)
class Picture:
    """A picture with its upper left corner and its size, in millimetres."""

    svg: str
    x: float
    y: float
    width: float
    height: float


@frozen(order=False, kw_only=True)
class DrawnSign:
    """A picture in a line of words, standing on its foot: `height` in sizes of the
    letters, and what stands before and after it."""

    before: str = ""
    svg: str
    height: float
    after: str = ""


@frozen(order=False, kw_only=True)
class Words:
    """A line of words in a box `width` wide whose upper left corner is at `x` and `y`
    (millimetres).  `size` is in points; a line too long is set smaller, to `least`
    at the smallest.  `signs` are drawn after the words; `end` stands at the right end,
    dots leading there; `link` is the number of the page that the line leads to (0 for
    none)."""

    text: str
    x: float
    y: float
    width: float
    align: str = "left"
    size: float = 11.0
    least: float = 7.0
    font: str
    weight: int = 400
    signs: tuple[DrawnSign, ...] = ()
    end: str = ""
    link: int = 0


@frozen(order=False, kw_only=True)
class SungLine:
    """A line of lyrics with chord symbols above: pairs of a symbol ("" for none) and
    the syllables from there on, in a box whose upper left corner is at `x` and `y`,
    `width` wide (millimetres).  A line too long is set smaller."""

    pairs: tuple[tuple[str, str], ...]
    x: float
    y: float
    width: float
    size: float
    font: str
    chord_font: str
    chord_weight: int


@frozen(order=False, kw_only=True)
class Sheet:
    """One side of paper.  Lengths in millimetres; `bookmark` is what the PDF's list
    of bookmarks calls it ("" for none)."""

    width: float
    height: float
    pictures: tuple[Picture, ...] = ()
    words: tuple[Words, ...] = ()
    sung: tuple[SungLine, ...] = ()
    bookmark: str = ""

    def as_data(self) -> dict[str, object]:
        """The sheet as plain values."""
        return asdict(self)


TEMPLATE: Final = """
#let d = json(bytes(sys.inputs.data))
#set document(title: d.title, author: d.authors)
#set par(leading: 0pt, spacing: 0pt)
#show heading: none
#let signs = regex("[♭♯♮♩♪△\\u{eca2}\\u{eca3}]")
#let sides = (left: left, center: center, right: right)
#let line(w) = {
  set text(font: w.font, weight: w.weight, hyphenate: false, top-edge: "ascender")
  show signs: set text(font: d.signs, weight: 700)
  let said(size) = text(size * 1pt, {
    w.text
    for s in w.signs {
      s.before
      box(image(bytes(s.svg), format: "svg", height: s.height * size * 1pt))
      s.after
    }
  })
  let size = w.size
  while size > w.least and measure(said(size)).width > w.width * 1mm { size -= 0.25 }
  let words = said(size)
  if w.end != "" {
    let dots = box(width: 1fr, repeat(gap: 2pt)[.])
    words = text(size * 1pt)[#w.text #h(1mm) #dots #h(1mm) #w.end]
  }
  let line = box(width: w.width * 1mm, align(sides.at(w.align), words))
  if w.link > 0 { link((page: w.link, x: 0pt, y: 0pt), line) } else { line }
}
#let sung(l) = {
  let row(size) = for (chord, words) in l.pairs {
    box(stack(
      spacing: 1mm,
      text(font: l.chord_font, weight: l.chord_weight, size: size * 0.92pt,
        if chord == "" { sym.space.nobreak } else { [#chord#h(1.5mm)] }),
      text(font: l.font, size: size * 1pt, words.replace(" ", sym.space.nobreak)),
    ))
  }
  let size = l.size
  while size > 7 and measure(row(size)).width > l.width * 1mm { size -= 0.25 }
  box(width: l.width * 1mm, row(size))
}
#for s in d.sheets {
  page(width: s.width * 1mm, height: s.height * 1mm, margin: 0mm, {
    if s.bookmark != "" { heading(level: 1, s.bookmark) }
    for p in s.pictures {
      place(top + left, dx: p.x * 1mm, dy: p.y * 1mm,
        image(bytes(p.svg), format: "svg",
          width: p.width * 1mm, height: p.height * 1mm))
    }
    context for w in s.words {
      place(top + left, dx: w.x * 1mm, dy: w.y * 1mm, line(w))
    }
    context for l in s.sung {
      place(top + left, dx: l.x * 1mm, dy: l.y * 1mm, sung(l))
    }
  })
}
"""
