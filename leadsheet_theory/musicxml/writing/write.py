"""Writing MusicXML 4.0: parts for players, and the concert lead sheet itself.

The text is built directly, always as UTF-8 and ``score-partwise``.  Source of
every element and of their order: W3C, *MusicXML 4.0*, ``musicxml.xsd``.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import zip_longest

from ..._doors import door
from ...chords.styles import PLAIN_LETTERS, PrintStyle
from ...errors import EmptySheetError, MusicXMLWriteError
from ...instruments.clefs import TREBLE_CLEF, Clef
from ...interval import UNISON, Interval
from ...leadsheet.findings import beat_text
from ...leadsheet.model import Bar, LeadSheet, Note, Rest
from ...leadsheet.open_ties import open_ties
from ...leadsheet.staves import BASS_LINE
from ...parts.bass_line import bass_line_clef
from ...parts.model import AddedStaff, Part, PartBar
from ...parts.systems import A4
from ...spelling.transposing import written_interval
from ._added import AddedStaves, added_staves
from ._bar import PartWriter, cue_positions, hits_measure
from ._forms import Frame, forms_of
from ._harmony import Degrees, HarmonyWriter, harmony_writer
from ._head import (
    credits_xml,
    defaults_xml,
    head_xml,
    part_entry,
    transpose_xml,
)
from ._line import Filler, Same
from ._signs import key_xml, meter_xml, opening_xml, slash_style_xml

__all__ = ("write_lead_sheet", "write_part")


@door
def write_part(
    part: Part, /, *, style: PrintStyle = PLAIN_LETTERS, degrees: Degrees = "text"
) -> bytes:
    """A part as a MusicXML 4.0 file.

    Args:
        part: the part.
        style: how chord symbols are printed: in a house style, or ``"as printed"``,
            each with the text that its source has.
        degrees: how degrees beyond a chord's kind are printed: in its text, or by the
            program that draws them (``"elements"``), since programs differ.

    Raises:
        MusicXMLWriteError: if something cannot be held, such as a note in octave 10.
        ChoiceError: if `style` is another word than ``as printed``, or `degrees` is
            neither.
    """
    bars = (*part.bars, *part.solo)
    page = part.plan.page
    out = [
        head_xml(part.source),
        defaults_xml(page),
        credits_xml(part.source, part.headings, page, revision=part.revision),
        "<part-list>\n",
        part_entry(1, part.name, sound=part.sound_id, shown=False),
        '</part-list>\n<part id="P1">\n',
    ]
    out += _measures(
        bars,
        part.source,
        clef=part.clef,
        to_sounding=part.to_sounding,
        divisions=part.divisions,
        name=part.name,
        harmony=harmony_writer(style, degrees),
        added=part.added,
    )
    out.append("</part>\n</score-partwise>\n")
    return b"".join(map(str.encode, out))


@door
def write_lead_sheet(
    sheet: LeadSheet,
    /,
    *,
    style: PrintStyle = PLAIN_LETTERS,
    degrees: Degrees = "text",
    rhythm_staves: bool = False,
) -> bytes:
    """A concert lead sheet as a MusicXML 4.0 file, its hits and its bass line as parts
    of their own.

    Nothing is decided that the sheet leaves open: reading the file back gives the
    sheet.

    Args:
        sheet: the lead sheet.
        style: how chord symbols are printed: in a house style, or ``"as printed"``,
            each with the text that its source has.
        degrees: how degrees beyond a chord's kind are printed: in its text, or by the
            program that draws them (``"elements"``), since programs differ.
        rhythm_staves: whether hits and bass line have their staves even where the
            sheet has none, to be filled in.

    Raises:
        MusicXMLWriteError: if something cannot be held, such as a note in octave 10.
        ChoiceError: if `style` is another word than ``as printed``, or `degrees` is
            neither.
        EmptySheetError: if there is no bar.
    """
    if not sheet.bars:
        raise EmptySheetError(sheet.title)
    divisions = sheet.divisions
    has_hits = rhythm_staves or any(bar.hits for bar in sheet.bars)
    has_bass_line = rhythm_staves or any(bar.bass_line for bar in sheet.bars)
    out = [
        head_xml(sheet),
        defaults_xml(A4),
        credits_xml(sheet, ("",), A4),
        "<part-list>\n",
        part_entry(1, "Melody"),
        part_entry(2, "Rhythm section hits") if has_hits else "",
        part_entry(3, BASS_LINE) if has_bass_line else "",
        '</part-list>\n<part id="P1">\n',
    ]
    out += _measures(
        [
            PartBar.at_pitch(
                bar, ending_stops=bar.ending_stops_before(following), open_ties=ties
            )
            for bar, following, ties in zip_longest(
                sheet.bars, sheet.bars[1:], open_ties(sheet.bars)
            )
        ],
        sheet,
        clef=TREBLE_CLEF,
        to_sounding=UNISON,
        divisions=divisions,
        harmony=harmony_writer(style, degrees),
    )
    if has_hits:
        out.append('</part>\n<part id="P2">\n')
        out += _hit_measures(sheet.bars, divisions)
    if has_bass_line:
        out.append('</part>\n<part id="P3">\n')
        out += _bass_measures(sheet, divisions)
    out.append("</part>\n</score-partwise>\n")
    return b"".join(map(str.encode, out))


def _measures(
    part_bars: Sequence[PartBar],
    sheet: LeadSheet,
    *,
    clef: Clef,
    to_sounding: Interval,
    divisions: int,
    harmony: HarmonyWriter,
    name: str = "",
    added: Sequence[AddedStaff] = (),
) -> Iterator[str]:
    staves = added_staves(added, clef, part_bars)
    opening = opening_xml(sheet.style, sheet.tempo, sheet.swing)
    forms = forms_of(Same(tuple([bar.shared for bar in part_bars])), divisions, opening)
    filler = Filler(harmony)
    writer = PartWriter(
        forms,
        clef,
        filler,
        cue_positions(part_bars, clef),
        staff=staves.own if added else 0,
    )
    previous: PartBar | None = None
    for index, part_bar in enumerate(part_bars):
        try:
            frame = forms.frames[index] or forms.frame(index)
            if previous is not None and previous.key is part_bar.key and not added:
                text = writer.measure(index, part_bar, frame, frame.attributes)
            else:
                text = writer.measure(
                    index,
                    part_bar,
                    frame,
                    _attributes(
                        index,
                        part_bar,
                        previous,
                        frame,
                        staves,
                        divisions=divisions,
                        to_sounding=to_sounding,
                    ),
                    staves.music(index, part_bar, divisions, filler),
                )
        except MusicXMLWriteError as error:
            raise _placed(error, part_bar, name) from None
        yield text
        previous = part_bar


def _attributes(
    index: int,
    part_bar: PartBar,
    previous: PartBar | None,
    frame: Frame,
    staves: AddedStaves,
    *,
    divisions: int,
    to_sounding: Interval,
) -> str:
    """The attributes element of a bar that differs from the `previous` one in more than
    its frame, or may do so."""
    changes = "" if previous is not None else f"<divisions>{divisions}</divisions>"
    new_key = previous is None or previous.key != part_bar.key
    if new_key:
        changes += staves.keys(part_bar.key)
    changes += frame.meter
    if previous is None:
        changes += staves.clefs()
    changes += staves.details(index)
    if previous is None:
        changes += transpose_xml(to_sounding)
    elif new_key:
        here = _to_sounding(to_sounding, part_bar)
        if here != _to_sounding(to_sounding, previous):
            changes += transpose_xml(here)
    if frame.slashes:
        number = staves.own if staves.staves else 0
        changes += slash_style_xml(frame.slashes, staff=number)
    return f"<attributes>{changes}</attributes>\n" if changes else ""


def _placed(
    error: MusicXMLWriteError, part_bar: PartBar, name: str
) -> MusicXMLWriteError:
    """The error with part, bar and, where one note is to blame, beat."""
    bar = part_bar.bar
    place = f"bar {bar.number}"
    for event in (*bar.melody, *bar.counterline):
        pitches = event.pitches if isinstance(event, Note) else ()
        if any(not 0 <= pitch.octave <= 9 for pitch in pitches):
            place += f", beat {beat_text(bar.meter.beat_at(event.onset))}"
            break
    return MusicXMLWriteError(", ".join(filter(None, (name, f"{place}: {error}"))))


def _to_sounding(plain: Interval, part_bar: PartBar) -> Interval:
    """From the written to the sounding pitch, in the letters of the bar's keys."""
    return -written_interval(-plain, part_bar.shared.source.key, part_bar.key)


def _hit_measures(bars: Sequence[Bar], divisions: int) -> Iterator[str]:
    for index, bar in enumerate(bars):
        changes = ""
        if not index:
            changes = f"<divisions>{divisions}</divisions>{key_xml(bar.key)}"
        if not index or bars[index - 1].meter != bar.meter:
            changes += meter_xml(bar.meter)
        if not index:
            changes += "<clef><sign>percussion</sign></clef>"
        yield hits_measure(
            bar,
            bars[index + 1] if index + 1 < len(bars) else None,
            attributes=f"<attributes>{changes}</attributes>\n" if changes else "",
            divisions=divisions,
        )


def _bass_measures(sheet: LeadSheet, divisions: int) -> Iterator[str]:
    """The bass line as a part: bar lines and notes, all else stands with the melody."""
    bars = [
        Bar(
            number=bar.number,
            key=bar.key,
            meter=bar.meter,
            length=bar.length,
            melody=bar.bass_line or (Rest(Fraction(0), bar.length, whole_bar=True),),
            form=bar.form.bar_lines,
        )
        for bar in sheet.bars
    ]
    return _measures(
        [
            PartBar.at_pitch(bar, ending_stops=bar.ending_stops_before(following))
            for bar, following in zip_longest(bars, bars[1:])
        ],
        LeadSheet(title=sheet.title, bars=()),
        clef=bass_line_clef(sheet.bars),
        to_sounding=UNISON,
        divisions=divisions,
        harmony=harmony_writer(PLAIN_LETTERS, "text"),
    )
