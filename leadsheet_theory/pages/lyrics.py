"""The lyrics sheet: the words of a tune by sections, chord symbols above where asked.

A line of words for each line of the part, the verses one after the other in each
section (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Final

from attrs import evolve, frozen

from ..chords.styles import PLAIN_LETTERS, HouseStyle
from ..leadsheet.form import sections
from ..leadsheet.model import Note
from ..parts.model import Part, PartBar
from ..parts.systems import Page
from ._headings import Heading
from ._libraries import check_libraries
from ._sheets import Sheet, SungLine, Words
from .draw import Pages
from .grid import with_glyphs
from .look import ENGRAVED, PageLook

__all__ = ("LyricLine", "draw_lyrics", "lyric_lines")


@frozen(order=False)
class LyricLine:
    """One line of words: the section it begins ("" where it goes on), the verse, and
    pairs of a chord symbol ("" for none) and the words from there on."""

    section: str
    verse: int
    pairs: tuple[tuple[str, str], ...]

    @property
    def words(self) -> str:
        """The words alone."""
        return "".join(words for _, words in self.pairs).strip()

    def __str__(self) -> str:
        return self.words


def lyric_lines(
    part: Part, /, *, chords: bool = False, style: HouseStyle = PLAIN_LETTERS
) -> tuple[LyricLine, ...]:
    """The words of a part, line by line; none where it has no lyrics.

    Args:
        part: the part; its chord symbols are those of its reader.
        chords: whether chord symbols stand above the words of the first verse.
        style: how they are printed.
    """
    bars = part.bars
    breaks = [index for index, bar in enumerate(bars) if bar.shared.starts_system]
    lines: list[LyricLine] = []
    for section in sections([bar.shared.source for bar in bars]):
        name = section.name
        within = [at for at in breaks if section.start < at < section.end]
        edges = [section.start, *within, section.end]
        stretch = bars[section.start : section.end]
        verses = sorted({verse for bar in stretch for verse in _verses(bar)})
        for verse in verses:
            for start, end in pairwise(edges):
                shown = style if chords and verse == verses[0] else None
                pairs = tuple(_pairs(bars[start:end], verse, shown))
                line = LyricLine(name, verse, pairs)
                if line.words:
                    lines.append(line)
                    name = ""
    return tuple(lines)


def _verses(bar: PartBar) -> set[int]:
    return {
        lyric.verse
        for event in bar.shared.source.melody
        if isinstance(event, Note)
        for lyric in event.lyrics
    }


def _pairs(
    bars: Sequence[PartBar], verse: int, style: HouseStyle | None
) -> Iterator[tuple[str, str]]:
    """Chord symbols and syllables in order of time."""
    chord, words = "", ""
    for part_bar in bars:
        bar = part_bar.bar
        placed: list[tuple[Fraction, int, str]] = []
        if style is not None:
            placed += [
                (each.onset, 0, with_glyphs(each.symbol.text(style)))
                for each in bar.chords
            ]
        for event in bar.melody:
            if isinstance(event, Note):
                placed += [
                    (event.onset, 1, _printed(lyric.text, lyric.syllabic))
                    for lyric in event.lyrics
                    if lyric.verse == verse
                ]
        for _, kind, text in sorted(placed, key=lambda each: each[:2]):
            if kind:
                words += text
                continue
            if chord or words:
                yield chord, words or "  "
            chord, words = text, ""
    if chord or words:
        cut = words and not words.endswith(" ")
        yield chord, f"{words}-" if cut else words


def _printed(text: str, syllabic: str) -> str:
    """A syllable, with a space after a word's last one."""
    return f"{text} " if syllabic in ("single", "end") else text


_LINE: Final = 7.0  # from line to line, in millimetres
_CHORD_LINE: Final = 12.0
_SECTION: Final = 5.0  # the room above a section


def draw_lyrics(
    part: Part,
    /,
    *,
    chords: bool = False,
    page: Page | None = None,
    look: PageLook = ENGRAVED,
    style: HouseStyle = PLAIN_LETTERS,
) -> Pages:
    """Draw the lyrics sheet of a part; it has no page where there are no words.

    Args:
        part: the part; its chord symbols are those of its reader.
        chords: whether chord symbols stand above the words of the first verse.
        page: the paper, if not that of the part.
        look: the fonts.
        style: how chord symbols are printed.

    Raises:
        PagesExtraError: if the extra ``pages`` is not installed.
    """
    check_libraries()
    paper = page or part.plan.page
    named = evolve(part, headings=(f"{part.name} – words" if chords else "Words",))
    heading = Heading(evolve(named, solo=()), paper, look)
    lines = lyric_lines(part, chords=chords, style=style)
    sheets: list[Sheet] = []
    words: list[Words] = []
    sung: list[SungLine] = []
    foot = paper.height - paper.bottom

    def turn() -> float:
        """End the page; where the next one begins."""
        number = len(sheets) + 1
        around = [each for each in heading.words(number, solo=False) if each.text]
        sheets.append(
            Sheet(
                width=paper.width,
                height=paper.height,
                words=(*around, *words),
                sung=tuple(sung),
                bookmark="" if sheets else f"{part.source.title} (words)",
            )
        )
        words.clear()
        sung.clear()
        return paper.top + heading.height(number + 1, solo=False)

    y = paper.top + heading.height(1, solo=False)
    verse = 0
    for line in lines:
        with_chords = any(chord for chord, _ in line.pairs)
        height = _CHORD_LINE if with_chords else _LINE
        above = _SECTION if line.section or line.verse != verse else 0.0
        verse = line.verse
        if y + above + height > foot:
            y = turn()
        y += above
        if line.section:
            words.append(_words(line.section, y, paper, look, look.chord_font))
            y += _LINE
        if with_chords:
            sung.append(
                SungLine(
                    pairs=line.pairs,
                    x=paper.left,
                    y=y,
                    width=paper.width - paper.left - paper.right,
                    size=13,
                    font=look.text_font,
                    chord_font=look.chord_font,
                    chord_weight=look.chord_weight,
                )
            )
        else:
            words.append(_words(line.words, y, paper, look, look.text_font))
        y += height
    if lines:
        turn()
    return Pages(part.source.title or "Words", tuple(sheets), part=part.name)


def _words(text: str, y: float, page: Page, look: PageLook, font: str) -> Words:
    heading = font == look.chord_font != look.text_font
    return Words(
        text=text,
        x=page.left,
        y=y,
        width=page.width - page.left - page.right,
        size=13,
        font=font,
        weight=look.chord_weight if heading else 400,
    )
