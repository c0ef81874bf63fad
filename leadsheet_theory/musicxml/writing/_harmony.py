"""Chord symbols as MusicXML 4.0 text."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import lru_cache

from ..._arguments import check_choice
from ...chords import PLAIN_LETTERS, ChordSymbol, HouseStyle, PrintStyle
from ...chords.kinds import HarmonyParts, harmony_of
from ...pitch import NoteName
from ._signs import Insert
from ._text import attribute

__all__ = ("HarmonyWriter", "harmony_writer")


HarmonyWriter = Callable[[ChordSymbol, ChordSymbol], Insert]
"""From a chord symbol, and the one it has in the source, to its harmony element in
halves between which an offset may stand."""


@lru_cache(maxsize=64)
def harmony_writer(style: PrintStyle) -> HarmonyWriter:
    """What writes the chord symbols of a page in a style.

    The printed text stands in ``kind``; degrees carry the meaning and are not
    printed a second time.

    Raises:
        ChoiceError: if `style` is another word than ``as printed``.
    """
    if not isinstance(style, HouseStyle):
        check_choice("style", style, ("as printed",))
        return _as_printed

    @lru_cache(maxsize=4096)
    def in_style(symbol: ChordSymbol) -> Insert:
        return _insert(harmony_of(symbol, style=style))

    return lambda symbol, _source: in_style(symbol)


def _as_printed(symbol: ChordSymbol, source: ChordSymbol) -> Insert:
    # not cached: symbols are equal that are printed otherwise
    return _insert(harmony_of(symbol, style=PLAIN_LETTERS, printed_like=source))


def _insert(groups: Iterable[HarmonyParts]) -> Insert:
    return (
        f'<harmony placement="above">{"".join(map(_group_xml, groups))}',
        "</harmony>\n",
    )


def _group_xml(parts: HarmonyParts) -> str:
    if parts.root is None:
        # the schema wants a root even where no chord sounds; it is not printed
        root = '<root><root-step text="">C</root-step></root>'
    else:
        root = _name_xml("root", parts.root)
    kind_text = parts.kind_text
    bass = "" if parts.bass is None else _name_xml("bass", parts.bass)
    if parts.optional and parts.root is not None:
        # no element says so: the brackets are printed with the root and at the end
        root = _name_xml("root", parts.root, f"({parts.root.step}")
        if parts.bass is None:
            kind_text = f"{kind_text or ''})"
        else:
            bass = _name_xml("bass", parts.bass, f"{parts.bass.glyphs})", whole=True)
    text = "" if kind_text is None else f" text={attribute(kind_text)}"
    degrees = "".join(
        f'<degree print-object="no"><degree-value>{degree.value}</degree-value>'
        f"<degree-alter>{degree.alter}</degree-alter>"
        f"<degree-type>{degree.type}</degree-type></degree>"
        for degree in parts.degrees
    )
    return f"{root}<kind{text}>{parts.kind}</kind>{bass}{degrees}"


def _name_xml(
    element: str, name: NoteName, text: str = "", *, whole: bool = False
) -> str:
    """A root or bass; printed as `text`, which is the whole of it or its letter."""
    hidden = ' print-object="no"' if whole else ""
    alter = ""
    if name.alter:
        alter = f"<{element}-alter{hidden}>{name.alter}</{element}-alter>"
    printed = f" text={attribute(text)}" if text else ""
    return (
        f"<{element}><{element}-step{printed}>{name.step}</{element}-step>{alter}"
        f"</{element}>"
    )
