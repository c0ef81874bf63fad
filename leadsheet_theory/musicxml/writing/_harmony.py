"""Chord symbols as MusicXML 4.0 text."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

from ...chords import ChordSymbol
from ...chords.kinds import HarmonyParts, harmony_of
from ...chords.styles import HouseStyle
from ...pitch import NoteName
from ._signs import Insert
from ._text import attribute

__all__ = ("harmony_writer",)


@lru_cache(maxsize=64)
def harmony_writer(style: HouseStyle) -> Callable[[ChordSymbol], Insert]:
    """A function from a chord symbol to its harmony element in a house style.

    The element comes in halves between which an offset may stand.  The printed
    text stands in ``kind``; degrees carry the meaning and are not printed a
    second time.
    """

    @lru_cache(maxsize=4096)
    def harmony_insert(symbol: ChordSymbol) -> Insert:
        groups = "".join(map(_group_xml, harmony_of(symbol, style=style)))
        return f'<harmony placement="above">{groups}', "</harmony>\n"

    return harmony_insert


def _group_xml(parts: HarmonyParts) -> str:
    if parts.root is None:
        # the schema wants a root even where no chord sounds; it is not printed
        root = '<root><root-step text="">C</root-step></root>'
    else:
        root = _name_xml("root", parts.root)
    text = "" if parts.kind_text is None else f" text={attribute(parts.kind_text)}"
    bass = "" if parts.bass is None else _name_xml("bass", parts.bass)
    degrees = "".join(
        f'<degree print-object="no"><degree-value>{degree.value}</degree-value>'
        f"<degree-alter>{degree.alter}</degree-alter>"
        f"<degree-type>{degree.type}</degree-type></degree>"
        for degree in parts.degrees
    )
    return f"{root}<kind{text}>{parts.kind}</kind>{bass}{degrees}"


def _name_xml(element: str, name: NoteName) -> str:
    alter = f"<{element}-alter>{name.alter}</{element}-alter>" if name.alter else ""
    return f"<{element}><{element}-step>{name.step}</{element}-step>{alter}</{element}>"
