"""Writing MusicXML 4.0: parts for players, and the concert lead sheet itself.

The text is built directly, always as UTF-8 and ``score-partwise``.  Source of
every element and of their order: W3C, *MusicXML 4.0*, ``musicxml.xsd``.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from ..chords.styles import PLAIN_LETTERS, HouseStyle
from ..clefs import TREBLE_CLEF, Clef
from ..interval import UNISON, Interval
from ..leadsheet.model import Bar, LeadSheet
from ..leadsheet.parts import Part, PartBar
from ..leadsheet.systems import A4
from ._write_bar import PlacedInsert, hits_measure, measure, staff_pitch
from ._write_harmony import harmony_insert
from ._write_head import (
    clef_xml,
    credits_xml,
    defaults_xml,
    head_xml,
    part_entry,
    transpose_xml,
)
from ._write_signs import direction_insert, key_xml, meter_xml, tempo_xml, words_xml
from ._write_text import common_divisions, in_divisions

__all__ = ("write_lead_sheet", "write_part")


def write_part(part: Part, /, *, style: HouseStyle = PLAIN_LETTERS) -> bytes:
    """A part as a MusicXML 4.0 file.

    Args:
        part: the part.
        style: how chord symbols are printed.

    Raises:
        MusicXMLWriteError: if something cannot be held, such as a note in octave 10.
    """
    bars = (*part.bars, *part.solo)
    page = part.plan.page
    out = [
        head_xml(part.source),
        defaults_xml(page),
        credits_xml(part.source, part.headings, page),
        "<part-list>\n",
        part_entry(1, part.name, sound=part.sound),
        '</part-list>\n<part id="P1">\n',
    ]
    out += _measures(
        bars,
        part.source,
        clef=part.clef,
        to_sounding=part.to_sounding,
        style=style,
    )
    out.append("</part>\n</score-partwise>\n")
    return "".join(out).encode()


def write_lead_sheet(
    sheet: LeadSheet, /, *, style: HouseStyle = PLAIN_LETTERS
) -> bytes:
    """A concert lead sheet as a MusicXML 4.0 file, its hits as a second part.

    Nothing is decided that the sheet leaves open: reading the file back gives the
    sheet.

    Args:
        sheet: the lead sheet.
        style: how chord symbols are printed.

    Raises:
        MusicXMLWriteError: if something cannot be held, such as a note in octave 10.
    """
    has_hits = any(bar.hits for bar in sheet.bars)
    out = [
        head_xml(sheet),
        defaults_xml(A4),
        credits_xml(sheet, ("",), A4),
        "<part-list>\n",
        part_entry(1, "Melody"),
        part_entry(2, "Rhythm section hits") if has_hits else "",
        '</part-list>\n<part id="P1">\n',
    ]
    out += _measures(
        [PartBar(bar) for bar in sheet.bars],
        sheet,
        clef=TREBLE_CLEF,
        to_sounding=UNISON,
        style=style,
    )
    if has_hits:
        out.append('</part>\n<part id="P2">\n')
        out += _hit_measures(sheet.bars)
    out.append("</part>\n</score-partwise>\n")
    return "".join(out).encode()


def _measures(
    part_bars: Sequence[PartBar],
    sheet: LeadSheet,
    *,
    clef: Clef,
    to_sounding: Interval,
    style: HouseStyle,
) -> Iterator[str]:
    divisions = common_divisions(set(_times(part_bars)))
    bars = [each.bar for each in part_bars]
    opening = ""
    if sheet.style:
        opening += words_xml(sheet.style, bold=True)
    if sheet.tempo is not None:
        opening += tempo_xml(sheet.tempo)
    slashes = False
    for index, part_bar in enumerate(part_bars):
        bar = bars[index]
        changes = _changes(bars[index - 1] if index else None, bar)
        if not index:
            changes = (
                f"<divisions>{divisions}</divisions>{changes}"
                f"{clef_xml(clef)}{transpose_xml(to_sounding)}"
            )
        if bool(part_bar.slashes) != slashes:
            slashes = not slashes
            changes += _slash_style("start" if slashes else "stop")
        yield measure(
            part_bar,
            bars[index + 1] if index + 1 < len(bars) else None,
            attributes=f"<attributes>{changes}</attributes>\n" if changes else "",
            opening="" if index else opening,
            inserts=_inserts(bar, divisions, style),
            divisions=divisions,
            clef=clef,
        )


def _hit_measures(bars: Sequence[Bar]) -> Iterator[str]:
    divisions = common_divisions(
        {time for bar in bars for hit in bar.hits for time in (hit.onset, hit.duration)}
        | {bar.length for bar in bars}
    )
    place = staff_pitch(TREBLE_CLEF, 4)
    for index, bar in enumerate(bars):
        changes = _changes(bars[index - 1] if index else None, bar)
        if not index:
            changes = (
                f"<divisions>{divisions}</divisions>{changes}"
                "<clef><sign>percussion</sign></clef>"
            )
        yield hits_measure(
            bar,
            bars[index + 1] if index + 1 < len(bars) else None,
            attributes=f"<attributes>{changes}</attributes>\n" if changes else "",
            place=place,
            divisions=divisions,
        )


def _times(part_bars: Iterable[PartBar]) -> Iterator[Fraction]:
    """Every onset and duration there is."""
    for part_bar in part_bars:
        bar = part_bar.bar
        yield bar.length
        for line in (bar.melody, bar.counterline, part_bar.cue, part_bar.slashes):
            for event in line:
                yield event.onset
                yield event.duration
        for chord in bar.chords:
            yield chord.onset
        for direction in bar.directions:
            yield direction.onset


def _changes(previous: Bar | None, bar: Bar) -> str:
    """Key and metre where they are new."""
    if previous is None:
        return key_xml(bar.key) + meter_xml(bar.meter)
    key = "" if bar.key == previous.key else key_xml(bar.key)
    meter = "" if bar.meter == previous.meter else meter_xml(bar.meter)
    return key + meter


def _slash_style(kind: str) -> str:
    stems = ' use-stems="no"' if kind == "start" else ""
    return f'<measure-style><slash type="{kind}"{stems}/></measure-style>'


def _inserts(bar: Bar, divisions: int, style: HouseStyle) -> list[PlacedInsert]:
    """Directions and chord symbols by onset, at one onset the directions first."""
    inserts: list[PlacedInsert] = [
        (in_divisions(chord.onset, divisions), harmony_insert(chord.symbol, style))
        for chord in bar.chords
    ]
    if bar.directions:
        words = [
            (in_divisions(each.onset, divisions), direction_insert(each))
            for each in bar.directions
        ]
        inserts = sorted([*words, *inserts], key=_onset)
    return inserts


def _onset(insert: PlacedInsert) -> int:
    return insert[0]
