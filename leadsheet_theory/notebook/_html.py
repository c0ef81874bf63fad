"""Pieces of HTML: escaped, without scripts, in the colours of whoever shows them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape as escaped
from typing import Final

__all__ = ("card", "escape", "styled", "table")

# the letters and lines take the colour of the page, dark or light
_CARD: Final = "font-family:sans-serif;line-height:1.4;max-width:60em;overflow-x:auto"
_TABLE: Final = "border-collapse:collapse;margin:.4em 0"
_CELL: Final = (
    "border:1px solid rgba(128,128,128,.5);padding:.2em .6em;text-align:left;"
    "background:transparent;color:inherit;vertical-align:top"
)


# signs that letters of a web page often lack, and how they are printed without
_COMMON: Final = str.maketrans({"𝄫": "♭♭", "𝄪": "×"})


def escape(text: str) -> str:
    """A text as it can stand in HTML, in signs that every page has letters for."""
    return escaped(text.translate(_COMMON))


def styled(tag: str, style: str, inside: str) -> str:
    """An element with a style; what is inside is HTML already."""
    return f'<{tag} style="{style}">{inside}</{tag}>'


def card(title: str, *pieces: str) -> str:
    """A title and what stands below it; the pieces are HTML already."""
    head = styled("div", "font-size:1.2em;font-weight:bold", escape(title))
    return styled("div", _CARD, head + "".join(pieces))


def table(
    rows: Iterable[Sequence[str]], /, *, head: Sequence[str] = (), names: bool = False
) -> str:
    """A table of texts, which are escaped; with `names` the first of each row is a
    heading."""
    lines = []
    if head:
        lines.append("".join(_cell(each, heading=True) for each in head))
    lines += [
        "".join(
            _cell(each, heading=names and not place) for place, each in enumerate(row)
        )
        for row in rows
    ]
    return styled("table", _TABLE, "".join(f"<tr>{line}</tr>" for line in lines))


def _cell(text: str, *, heading: bool) -> str:
    if heading:
        return styled("th", f"{_CELL};font-weight:bold", escape(text))
    return styled("td", _CELL, escape(text))
