"""Chord symbols as MusicXML 4.0 text."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import lru_cache
from typing import Final, Literal, get_args

from attrs import evolve

from ..._arguments import check_choice
from ...chords import PLAIN_LETTERS, ChordSymbol, HouseStyle, PrintStyle
from ...chords.kinds import KINDS, HarmonyParts, harmony_of
from ...chords.styles import suffix_text
from ...leadsheet.model import Bar
from ...pitch import NoteName
from ._text import attribute, in_divisions

__all__ = (
    "HARMONY_END",
    "Degrees",
    "HarmonyWriter",
    "alternates_xml",
    "harmony_writer",
)


HarmonyWriter = Callable[[ChordSymbol, ChordSymbol], str]
"""From a chord symbol, and the one it has in the source, to its harmony element but for
the end, before which an offset may stand."""

HARMONY_END: Final = "</harmony>\n"
"""The end of a harmony element."""


Degrees = Literal["text", "elements"]
"""How degrees beyond the kind of a chord symbol are printed: in the text of the kind,
or by whatever program draws the elements."""


@lru_cache(maxsize=64)
def harmony_writer(style: PrintStyle, degrees: Degrees = "text") -> HarmonyWriter:
    """What writes the chord symbols of a page in a style.

    With degrees as text the whole suffix stands in ``kind`` and the degrees carry the
    meaning without being printed a second time; as elements, ``kind`` has the text of
    its own chord and a program prints the degrees behind it.

    Raises:
        ChoiceError: if `style` is another word than ``as printed``, or `degrees` is
            neither.
    """
    check_choice("degrees", degrees, get_args(Degrees))
    if not isinstance(style, HouseStyle):
        check_choice("style", style, ("as printed",))
        return (
            _as_printed if degrees == "text" else harmony_writer(PLAIN_LETTERS, degrees)
        )

    @lru_cache(maxsize=4096)
    def in_style(symbol: ChordSymbol) -> str:
        groups = harmony_of(symbol, style=style)
        if degrees == "elements":
            groups = tuple(_kind_alone(parts, style) for parts in groups)
        return _harmony_xml(groups, degrees)

    return lambda symbol, _source: in_style(symbol)


def _kind_alone(parts: HarmonyParts, style: HouseStyle) -> HarmonyParts:
    """A chord whose text is that of its kind, without the degrees; none where no kind
    says most of it."""
    if parts.kind in ("other", "none") or not parts.degrees:
        return parts
    return evolve(parts, kind_text=suffix_text(KINDS[parts.kind], style))


def alternates_xml(bar: Bar, divisions: int) -> str:
    """The alternate chord symbols of a bar, for its start; no program prints them."""
    text = ""
    for placed in bar.alternate_chords:
        groups = harmony_of(
            placed.symbol, style=PLAIN_LETTERS, printed_like=placed.symbol
        )
        onset = in_divisions(placed.onset, divisions)
        offset = f"<offset>{onset}</offset>" if onset else ""
        text += (
            '<harmony type="alternate" print-object="no">'
            f"{''.join(map(_group_xml, groups))}{offset}{HARMONY_END}"
        )
    return text


def _as_printed(symbol: ChordSymbol, source: ChordSymbol) -> str:
    # not cached: symbols are equal that are printed otherwise
    return _harmony_xml(harmony_of(symbol, style=PLAIN_LETTERS, printed_like=source))


def _harmony_xml(groups: Iterable[HarmonyParts], degrees: Degrees = "text") -> str:
    text = "".join([_group_xml(parts, degrees) for parts in groups])
    return f'<harmony placement="above">{text}'


def _group_xml(parts: HarmonyParts, shown: Degrees = "text") -> str:
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
    hidden = shown == "text" or parts.kind == "other"
    printed = ' print-object="no"' if hidden else ""
    degrees = "".join(
        f"<degree{printed}><degree-value>{degree.value}</degree-value>"
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
