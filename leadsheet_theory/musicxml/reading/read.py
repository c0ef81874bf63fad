"""Reading lead sheets from MusicXML 4.0.

What is understood is carried; what is not is listed among the findings, with
its bar and element.  Elements that only say how the source was engraved, how
it is played back or who encoded it are left out on purpose: one finding of
each kind names them.

Source: W3C Music Notation Community Group, *MusicXML 4.0*.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import zip_longest
from os import PathLike
from pathlib import Path
from typing import Final, Protocol, get_args, runtime_checkable
from xml.etree.ElementTree import Element

from attrs import evolve, frozen

from ..._arguments import check_choice
from ..._doors import door
from ..._printed import Told
from ...chords import ChordSymbol, typed_sounds
from ...errors import MusicXMLReadError
from ...key import Key
from ...leadsheet.divided_bars import join_divided_bars, shorten_pickup
from ...leadsheet.doublings import Doubling
from ...leadsheet.findings import Finding
from ...leadsheet.inference import infer_key, infer_meter
from ...leadsheet.lyrics import close_words
from ...leadsheet.model import (
    Bar,
    Direction,
    LeadSheet,
    Note,
    PlacedChord,
    Rest,
    Swing,
    Tempo,
)
from ...leadsheet.open_ties import complete_ties
from ...leadsheet.solo_chorus import part_solo_chorus
from ...rhythm.meter import Meter
from ._assemble import (
    BarVoices,
    cut_to,
    directions_of,
    hits_of,
    melody_voices,
    rhythm_voices,
    tiled,
)
from ._doublings import doublings_of
from ._form import signs_of
from ._harmony import Preference
from ._header import Header, PartNames, read_header, read_part_list
from ._lengths import (
    check_lengths,
    first_bar,
    full_lengths,
    places_of_measures,
)
from ._measures import (
    COMMON_TIME,
    PartReader,
    beams_in,
    common_grid,
    first_tick,
)
from ._merge import merge_parts
from ._raw import RawBar
from ._report import Place, Report
from ._staves import Cast, PartContent, cast_staves
from ._values import Number, quarters
from ._xml import MAX_FILE_BYTES, load_score

__all__ = ("OpenFile", "ReadResult", "parse_lead_sheet", "read_lead_sheet")

_START: Final = Fraction(0)
# bytes of a file for which no buffer of the largest size is taken
_AT_ONCE: Final = 1 << 16
_MAY_BE_MISSING: Final = frozenset({"divisions", "key", "time"})


@frozen(order=False, repr=False)
class ReadResult(Told):
    """A lead sheet, and what its file holds that the sheet does not; `doublings` are
    the staves of players who have the melody again."""

    sheet: LeadSheet
    findings: tuple[Finding, ...] = ()
    doublings: tuple[Doubling, ...] = ()

    def __str__(self) -> str:
        count = len(self.findings)
        return f"{self.sheet}, {count} finding{'' if count == 1 else 's'}"


@runtime_checkable
class OpenFile(Protocol):
    """A file opened for reading bytes."""

    def read(self, size: int, /) -> bytes:
        """At most so many bytes."""
        ...


@door
def read_lead_sheet(
    source: bytes | str | PathLike[str] | OpenFile,
    /,
    *,
    prefer: Preference | None = None,
    hits: str = "",
    bass_line: str = "",
) -> ReadResult:
    """Read a file (``.musicxml``, ``.xml``, ``.mxl``): its path, opened, or its bytes.

    Args:
        source: the file's path, the file opened for reading bytes, or its bytes.
        prefer: what decides a chord symbol whose printed text says another chord than
            its kind: ``"text"`` or ``"kind"``.  If None, the text does where the kind
            says little (``other``, or a bare major), else the kind.  A finding tells
            of it either way.
        hits: the staff that holds the rhythm section's hits, where the notes don't
            show it: a part's name or id, and after a colon the number of its staff
            (``Piano:1``); ``none`` for a chart without hits.
        bass_line: the staff that holds a bass line, said likewise.

    Raises:
        UnknownStaffError: no staff is called as `hits` or `bass_line` say.
        MusicXMLReadError: it is no score, it holds no music, or what it says of
            the music is impossible.
        OSError: the file cannot be opened.
    """
    # whether a value is one of a protocol's takes longest to find out
    if not isinstance(source, bytes | str | Path) and isinstance(source, OpenFile):
        source = source.read(MAX_FILE_BYTES + 1)
    if isinstance(source, bytes):
        return parse_lead_sheet(source, prefer=prefer, hits=hits, bass_line=bass_line)
    path = Path(source)
    with path.open("rb") as file:
        data = file.read(_AT_ONCE)
        if len(data) == _AT_ONCE:
            data += file.read(MAX_FILE_BYTES + 1 - _AT_ONCE)
    try:
        return parse_lead_sheet(data, prefer=prefer, hits=hits, bass_line=bass_line)
    except MusicXMLReadError as error:
        raise MusicXMLReadError(
            error.problem,
            part=error.part,
            measure=error.measure,
            element=error.element,
            line=error.line,
            column=error.column,
            source=path.name,
        ) from None


@door
def parse_lead_sheet(
    data: bytes,
    /,
    *,
    prefer: Preference | None = None,
    hits: str = "",
    bass_line: str = "",
) -> ReadResult:
    """Read the bytes of a MusicXML file, plain or compressed.

    `prefer`, `hits` and `bass_line` are those of :func:`read_lead_sheet`.

    >>> from leadsheet_theory.musicxml import parse_lead_sheet
    >>> result = parse_lead_sheet(b'''
    ... <score-partwise><part id="P1"><measure number="1">
    ...   <attributes>
    ...     <divisions>2</divisions>
    ...     <key><fifths>-1</fifths></key>
    ...     <time><beats>3</beats><beat-type>4</beat-type></time>
    ...   </attributes>
    ...   <harmony>
    ...     <root><root-step>F</root-step></root><kind>major-seventh</kind>
    ...   </harmony>
    ...   <note>
    ...     <pitch><step>A</step><octave>4</octave></pitch>
    ...     <duration>6</duration><type>half</type><dot/>
    ...   </note>
    ... </measure></part></score-partwise>''')
    >>> bar = result.sheet.bars[0]
    >>> str(bar.key), str(bar.chords[0].symbol), str(bar.melody[0].pitch)
    ('F major', 'Fmaj7', 'A4')

    Raises:
        MusicXMLReadError: they are no score, hold no music, or what they say of
            the music is impossible.
    """
    if prefer is not None:
        check_choice("prefer", prefer, get_args(Preference))
    root, remarks = load_score(data)
    report = Report()
    grid = common_grid(root, report)
    header = read_header(root, report)
    parts = _parts(root, report, grid, prefer)
    known = _known_elsewhere(parts)
    if known:
        parts = _parts(root, report, grid, prefer, known=known)
    if parts and all("time" in part.missing for part in parts):
        meter = _likely_meter(parts, root, grid)
        if meter != COMMON_TIME:
            parts = _parts(root, report, grid, prefer, meter=meter)
    if not parts:
        raise MusicXMLReadError("a score without a part")
    if not any(part.bars for part in parts):
        raise MusicXMLReadError("a score without a measure", part=parts[0].id)
    cast = cast_staves(
        [part for part in parts if part.bars],
        grid,
        report,
        hits=hits,
        bass_line=bass_line,
    )
    melody = cast.melody.part
    first, pickup_start = first_bar(melody.bars, grid)
    bars = _bars(cast, parts, first, grid)
    if "key" in melody.missing:
        key = infer_key(bars)
        bars = [evolve(bar, key=key) for bar in bars]
    _report_missing(melody, bars[0])
    whole = shorten_pickup(join_divided_bars(bars))
    closed = close_words(whole)
    sheet, parted = part_solo_chorus(
        _sheet(header, list(closed.bars), _swing(melody, parts))
    )
    tied = complete_ties(sheet.bars)
    if tied.remarks:
        sheet = evolve(sheet, bars=tied.bars)
    staves = (cast.melody, cast.hits, cast.bass_line)
    read = list(dict.fromkeys(staff.part.report for staff in staves if staff))
    for other in read:
        report.take_passed(other)
    findings = [*remarks, *closed.remarks, *parted, *tied.remarks]
    places = _places(bars, whole, (report, *read))
    for each in (report, *read):
        each.places = places
        findings += each.findings(first, pickup_start)
    findings.sort(key=lambda finding: -1 if finding.bar is None else finding.bar)
    doublings = doublings_of(cast.doublings, bars, sheet.bars, grid)
    return ReadResult(sheet, tuple(findings), doublings)


def _places(
    bars: Sequence[Bar], whole: Sequence[Bar], reports: Iterable[Report]
) -> list[Place]:
    """Where each measure stands, if a report has a use for it."""
    if any(each.says_where for each in reports):
        return places_of_measures(bars, whole)
    return []


def _likely_meter(parts: Sequence[PartContent], root: Element, grid: int) -> Meter:
    """The metre of a file that states none."""
    bars = [bar for part in parts for bar in part.bars if bar.lines]
    return infer_meter([quarters(bar.length, grid) for bar in bars], beams_in(root))


def _parts(
    root: Element,
    report: Report,
    grid: int,
    prefer: Preference | None,
    *,
    meter: Meter = COMMON_TIME,
    known: Sequence[tuple[Key | None, Meter | None]] = (),
) -> list[PartContent]:
    """The parts as read; `meter` is in force until the file says another, and what is
    `known` from another part where a part says nothing."""
    names = read_part_list(root, report)
    parts: list[PartContent] = []
    tick = first_tick(root, grid)
    divided = {"divisions"} if tick is not None else set()
    for element in root.iterfind("part"):
        name = element.get("id", "")
        own = Report()
        own.part = name[:20]
        reader = PartReader(own, grid, tick, prefer=prefer, meter=meter, known=known)
        reader.read(element)
        tick = reader.tick
        taken = _taken(known, reader.stated, own)
        parts.append(
            PartContent(
                id=own.part,
                names=names.get(name, PartNames()),
                bars=tuple(reader.bars),
                percussion=frozenset(reader.percussion),
                low=frozenset(reader.low),
                tablature=frozenset(reader.tablature),
                missing=_MAY_BE_MISSING - reader.stated - taken - divided,
                shifts=frozenset(reader.shifts),
                report=own,
            )
        )
    return parts


def _known_elsewhere(
    parts: Sequence[PartContent],
) -> list[tuple[Key | None, Meter | None]]:
    """The sounding key and the metre of each measure, for parts that say none; nothing
    where no part lacks what another says."""
    said: dict[str, Sequence[RawBar]] = {}
    for name in ("key", "time"):
        saying = [part for part in parts if part.bars and name not in part.missing]
        lacking = [part for part in parts if part.bars and name in part.missing]
        if saying and lacking:
            said[name] = saying[0].bars
    if not said:
        return []
    keys = [bar.key for bar in said.get("key", ())]
    meters = [bar.meter for bar in said.get("time", ())]
    return list(zip_longest(keys, meters))


def _taken(
    known: Sequence[tuple[Key | None, Meter | None]], stated: set[str], report: Report
) -> set[str]:
    """Which of key and metre a part has from another, and tell of it."""
    if not known:
        return set()
    found = {
        name
        for name, there in zip(("key", "time"), known[0], strict=True)
        if there is not None and name not in stated
    }
    for name in sorted(found):
        what = {"key": "key", "time": "metre"}[name]
        report.add(
            {"key": "key", "time": "meter"}[name],
            "note",
            f"a part without a {what} has that of another",
            element=name,
        )
    return found


def _report_missing(melody: PartContent, bar: Bar) -> None:
    """Say what was found out or taken for granted of what the file does not say."""
    melody.report.index = None
    if not melody.missing:
        return
    said = {
        "divisions": ("divisions", "no divisions; they are assumed"),
        "key": ("key", f"no key; notes and chords say {bar.key}"),
        "time": ("meter", f"no metre; the lengths of its bars say {bar.meter}"),
    }
    for element, (rule, message) in said.items():
        if element in melody.missing:
            text = f"the file gives {message}"
            melody.report.add(rule, "warning", text, element=element)


def _bars(
    cast: Cast,
    parts: Sequence[PartContent],
    first: int,
    grid: int,
) -> list[Bar]:
    """The bars, and findings on their lengths."""
    melody = cast.melody.part
    report = melody.report
    raw = melody.bars
    merge_parts(melody, parts, grid)
    signs = signs_of([bar.signs for bar in raw], [bar.length for bar in raw], report)
    voices = melody_voices(cast.melody, cast.hits is not None and bool(cast.hits.voice))
    strokes = _strokes(voices, cast, report)
    bass_line = _bass_line(cast, grid)
    check_lengths(raw, first, signs, report, grid)
    bars = []
    for index, (bar, full) in enumerate(zip(raw, full_lengths(raw, grid), strict=True)):
        report.index = index
        # of a full bar the very number that its metre has, which is soon compared
        length = (
            bar.meter.bar_length if bar.length == full else quarters(bar.length, grid)
        )
        voice = voices[index]
        counterline = voice.counterline
        bars.append(
            Bar(
                number=index + first,
                key=bar.key,
                meter=bar.meter,
                length=length,
                melody=tiled(voice.melody, bar, length, report),
                counterline=()
                if counterline is None
                else tiled(counterline, bar, length, report),
                chords=_placed(bar.chords, grid),
                alternate_chords=_placed(bar.alternates, grid),
                hits=hits_of(cut_to(strokes[index], length, "hits", report)),
                bass_line=cut_to(
                    bass_line[index], length, "notes of the bass line", report
                ),
                directions=directions_of(bar),
                form=signs[index],
                source_number=bar.number,
            )
        )
    return bars


def _placed(
    symbols: Sequence[tuple[Number, ChordSymbol]], grid: int
) -> tuple[PlacedChord, ...]:
    """Chord symbols in the bar."""
    if not symbols:
        return ()
    return tuple(
        [PlacedChord(quarters(place, grid), symbol) for place, symbol in symbols]
    )


def _strokes(
    voices: Sequence[BarVoices], cast: Cast, report: Report
) -> list[tuple[Note, ...]]:
    """The hits of each bar: those of their staff, else those beside the melody."""
    beside = [voice.strokes for voice in voices]
    if cast.hits is None or cast.hits.voice:
        return beside
    apart = rhythm_voices(cast.hits)
    if len(apart) != len(beside):
        report.index = None
        report.add(
            "parts",
            "warning",
            f"part {cast.hits.part.title} has {len(apart)} bars, "
            f"the melody {len(beside)}",
            element="part",
        )
    apart += [()] * (len(beside) - len(apart))
    return [one or other for one, other in zip(apart, beside, strict=False)]


def _bass_line(cast: Cast, grid: int) -> list[tuple[Note | Rest, ...]]:
    """The bass line of each bar, () where it rests."""
    count = len(cast.melody.part.bars)
    staff = cast.bass_line
    if staff is None:
        return [()] * count
    bars: list[tuple[Note | Rest, ...]] = []
    for raw, lines in zip(staff.part.bars, staff.lines, strict=True):
        line = next((line for line in lines if line.has_notes), None)
        length = quarters(raw.length, grid)
        bars.append(() if line is None else tiled(line, raw, length, staff.part.report))
    bars = bars[:count]
    return bars + [()] * (count - len(bars))


def _swing(melody: PartContent, parts: Sequence[PartContent]) -> Swing | None:
    """The swing said at the start, in the melody's part or another; one said later
    than the first bar that counts is told."""
    chosen: Swing | None = None
    for part in (melody, *parts):
        for index, bar in enumerate(part.bars):
            if bar.swing is None or bar.swing == chosen:
                continue
            start = index == 0 or (index == 1 and part.bars[0].length < bar.length)
            if start and chosen is None:
                chosen = bar.swing
            elif part is melody:
                melody.report.index = index
                melody.report.gather(
                    "swing",
                    "warning",
                    f"{bar.swing} from here on are not carried: "
                    "a chart has one swing, said at its start",
                    element="swing",
                )
    return chosen


def _sheet(header: Header, bars: list[Bar], swing: Swing | None) -> LeadSheet:
    """The sheet; a tempo and a style word at the start belong to it as a whole."""
    tempo: Tempo | None = None
    style = ""
    for index, bar in enumerate(bars[:2]):
        if index == 1 and bars[0].number != 0:
            break
        kept: list[Direction] = []
        for direction in bar.directions:
            if direction.kind == "tempo" and tempo is None:
                tempo = direction.tempo
            elif (
                direction.kind == "words"
                and not style
                and direction.above
                and direction.onset == 0
                and any(letter.isalpha() for letter in direction.text)
                and not typed_sounds(direction.text)
            ):
                style = direction.text
            else:
                kept.append(direction)
        if len(kept) < len(bar.directions):
            bars[index] = evolve(bar, directions=tuple(kept))
    return LeadSheet(
        title=header.title,
        bars=tuple(bars),
        composer=header.composer,
        lyricist=header.lyricist,
        arranger=header.arranger,
        subtitle=header.subtitle,
        style=style,
        tempo=tempo,
        rights=header.rights,
        swing=swing,
    )
