"""Parts: what each reader of the band plays from.

From one concert lead sheet every book gets its part: the key to write, the
octave to write in, notes and chords spelled for their reader, beams, stems and
accidentals, the hits above the staff, and a page of solo changes.  Rhythm, systems
and pages are decided once, so all parts are alike in them; pitch is decided
for each part by its own.

This module decides nothing that a handbook decides: it puts together what
:mod:`~..spelling`, :mod:`~..chords.respell`, :mod:`~..ranges`, :mod:`~..beams`,
:mod:`~..stems`, :mod:`~..accidentals`, :mod:`.hits`, :mod:`.systems` and
:mod:`.solo_changes` say, and keeps their reasons for the report.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Final

from attrs import evolve, frozen

from ..accidentals import AccidentalRules
from ..beams import HALF_BAR_WHEN_FILLED, BeamStyle
from ..chords import Chord, ChordSymbol, NoChord, PolyChord
from ..chords.respell import WrittenChords, written_chords
from ..errors import RespellError
from ..instruments import STANDARD_BOOKS, Book, Instrument, find_instrument
from ..interval import OCTAVE, UNISON, Interval
from ..key import Key
from ..pitch import NoteName
from ..ranges import OctaveAdvice, PlacedNote, best_octave, check_range
from ..spelling import SixSigns, written_interval, written_keys
from ..stems import MIDDLE_LINE
from ._part_pitch import WrittenLine, bar_stems, signs, written_line
from ._part_rhythm import BarRhythm, bar_rhythm, solo_slashes
from ._part_values import (
    ChordRespelling,
    Look,
    NoteRespelling,
    Part,
    PartBar,
    PartReport,
    Respell,
)
from .findings import Finding, beat_text
from .form import play_order
from .hits import CueBar, cue_bars
from .model import Bar, Hit, LeadSheet, Note, PlacedChord, Rest
from .solo_changes import ChordMove, solo_changes
from .systems import A4, Page, PagePlan, plan_systems

__all__ = (
    "HEADING",
    "ChordRespelling",
    "Look",
    "NoteRespelling",
    "Part",
    "PartBar",
    "PartReport",
    "Respell",
    "make_parts",
)

HEADING: Final = "{book} – lead sheet"
"""The usual heading of a part's pages."""

# The reader whose sound a book's file asks for (common practice, no source).
_USUAL_READERS: Final[Mapping[str, str]] = {
    "C": "Flute",
    "Bb": "Trumpet in B♭",
    "Eb": "Alto Saxophone in E♭",
    "F": "Horn in F",
    "Bass clef": "Trombone",
}


def make_parts(
    sheet: LeadSheet,
    /,
    *,
    books: Iterable[Book | Instrument] = STANDARD_BOOKS,
    heading: str = HEADING,
    respell: Iterable[Respell] = (),
    bars_per_system: int = 4,
    page: Page = A4,
    beams: BeamStyle = HALF_BAR_WHEN_FILLED,
    accidentals: AccidentalRules | None = None,
    six_signs: SixSigns = "source",
    cues: bool = True,
    cue_label: str = "",
    solo_page: bool = True,
) -> tuple[Part, ...]:
    """Make a part for each book or instrument.

    Args:
        sheet: the tune at concert pitch.
        books: the books, or single instruments, to make parts for.
        heading: what stands at the head of each page; ``{book}``, ``{title}`` and
            ``{page}`` are filled in.
        respell: chords to be spelled otherwise in single parts.
        bars_per_system: the most bars in a system, the pickup not counted.
        page: the paper.
        beams: how notes are grouped under beams.
        accidentals: which courtesy accidentals are shown (the usual ones).
        six_signs: how to decide between six sharps and six flats.
        cues: whether the rhythm section's hits stand above the staff.
        cue_label: what stands over the first hit of each stretch.
        solo_page: whether a page of solo changes follows.  Its bars are numbered
            on from the tune's, so that every number of a part names one bar.

    Raises:
        RespellError: if a chord to be respelled is not there.
        ChordSpellingError: if respelling would change the sound of a chord.

    >>> from leadsheet_theory.chords import parse_chord
    >>> from leadsheet_theory.meter import Meter
    >>> Eb = Key.parse("Eb major")
    >>> changes = (PlacedChord(Fraction(0), parse_chord("F#m7")),
    ...            PlacedChord(Fraction(2), parse_chord("B7")))
    >>> bar = Bar(1, Eb, Meter(4, 4), Fraction(4), chords=changes)
    >>> for part in make_parts(LeadSheet("A tune", (bar,))):
    ...     print(part.headings[0], *[c.symbol for c in part.bars[0].bar.chords])
    C – lead sheet F#m7 B7
    B♭ – lead sheet Abm7 Db7
    E♭ – lead sheet Ebm7 Ab7
    F – lead sheet Dbm7 Gb7
    Bass clef – lead sheet F#m7 B7
    """
    shared = _share(
        sheet,
        page=page,
        bars_per_system=bars_per_system,
        style=beams,
        cues=cues,
        cue_label=cue_label,
        solo_page=solo_page,
    )
    wishes = tuple(respell)
    readers = tuple(books)
    _check_books(wishes, readers)
    return tuple(
        _make_part(
            shared,
            reader,
            heading,
            _asked(shared, wishes, reader),
            accidentals,
            six_signs,
        )
        for reader in readers
    )


# ── What the parts share ─────────────────────────────────────────────────────────


@frozen(order=False)
class _Shared:
    """All that does not depend on the reader.

    `solo` are the bars of the solo page with their slashes; `changes` all chord
    symbols with the index of their bar, counted through both pages; `before`
    holds, for each bar of the tune, the bars that may be read or played just
    before it.
    """

    sheet: LeadSheet
    rhythms: tuple[BarRhythm, ...]
    solo: tuple[tuple[Bar, tuple[Hit, ...]], ...]
    plan: PagePlan
    changes: tuple[tuple[int, PlacedChord], ...]
    melody: tuple[PlacedNote, ...]
    before: tuple[tuple[int, ...], ...] | None
    moves: tuple[ChordMove, ...]
    remarks: tuple[Finding, ...]

    @property
    def bars(self) -> tuple[Bar, ...]:
        """The bars of both pages."""
        return (*self.sheet.bars, *(bar for bar, _ in self.solo))


def _share(
    sheet: LeadSheet,
    *,
    page: Page,
    bars_per_system: int,
    style: BeamStyle,
    cues: bool,
    cue_label: str,
    solo_page: bool,
) -> _Shared:
    bars = sheet.bars
    found = cue_bars(bars, label=cue_label) if cues else (CueBar(),) * len(bars)
    plan = plan_systems(bars, bars_per_system=bars_per_system, page=page)
    solo: tuple[Bar, ...] = ()
    moves: tuple[ChordMove, ...] = ()
    remarks: tuple[Finding, ...] = ()
    if solo_page and any(bar.chords for bar in bars):
        changes = solo_changes(sheet)
        moves, remarks = changes.moves, changes.remarks
        first = max(bar.number for bar in bars) + 1
        solo = tuple(
            evolve(bar, number=number) for number, bar in enumerate(changes.bars, first)
        )
        plan = plan.followed_by(
            plan_systems(
                solo, bars_per_system=bars_per_system, page=page, later_page=True
            )
        )
    return _Shared(
        sheet,
        tuple(
            bar_rhythm(bar, cue, style=style)
            for bar, cue in zip(bars, found, strict=True)
        ),
        tuple((bar, solo_slashes(bar)) for bar in solo),
        plan,
        tuple(
            (index, placed)
            for index, bar in enumerate((*bars, *solo))
            for placed in bar.chords
        ),
        _placed_melody(bars),
        _before(bars),
        moves,
        remarks,
    )


def _placed_melody(bars: Sequence[Bar]) -> tuple[PlacedNote, ...]:
    """The melody's notes with their places, a chord's notes one by one."""
    placed = []
    start = Fraction(0)
    for bar in bars:
        for note in bar.melody:
            if isinstance(note, Note):
                onset = start + note.onset
                beat = _beat(bar, note.onset)
                placed += [
                    PlacedNote(pitch, onset, note.duration, bar.number, beat)
                    for pitch in note.pitches
                ]
        start += bar.length
    return tuple(placed)


def _before(bars: Sequence[Bar]) -> tuple[tuple[int, ...], ...] | None:
    """The bars read or played just before each one; None if that is always the one
    on the left."""
    if not any(bar.ending_starts for bar in bars):
        return None
    before = [{index - 1} for index in range(len(bars))]
    for left, right in pairwise(play_order(bars).indices):
        before[right].add(left)
    return tuple(tuple(sorted(each)) for each in before)


# ── Wishes ───────────────────────────────────────────────────────────────────────


def _check_books(
    wishes: Sequence[Respell], readers: Sequence[Book | Instrument]
) -> None:
    """Every wish must be for one of the parts that are made."""
    for wish in wishes:
        if wish.book and not any(_is_for(wish, reader) for reader in readers):
            names = ", ".join(reader.name for reader in readers)
            raise RespellError(
                f"no part called {wish.book!r} to respell {wish.root} in: "
                f"there are {names}"
            )


def _is_for(wish: Respell, reader: Book | Instrument) -> bool:
    return wish.book.casefold() in (
        reader.name.casefold(),
        reader.ascii_name.casefold(),
    )


def _asked(
    shared: _Shared, wishes: Sequence[Respell], reader: Book | Instrument
) -> dict[int, NoteName]:
    """The roots wished for in this part, by the index of the change."""
    asked: dict[int, NoteName] = {}
    bars = shared.bars
    for wish in wishes:
        if wish.book and not _is_for(wish, reader):
            continue
        index = _find_change(shared, bars, wish)
        if not wish.book:
            root = _main_root(shared.changes[index][1].symbol)
            if (root - reader.transposition).pitch_class != wish.root.pitch_class:
                continue
        asked[index] = wish.root
    return asked


def _find_change(shared: _Shared, bars: Sequence[Bar], wish: Respell) -> int:
    here = []
    for index, (at, placed) in enumerate(shared.changes):
        if bars[at].number != wish.bar or isinstance(placed.symbol, NoChord):
            continue
        beat = _beat(bars[at], placed.onset)
        if beat == wish.beat:
            return index
        here.append(f"{placed.symbol} on beat {beat_text(beat)}")
    raise RespellError(
        f"no chord to respell in bar {wish.bar}, beat {beat_text(wish.beat)}: "
        + (f"there are {', '.join(here)}" if here else "the bar has none")
    )


def _main_root(symbol: ChordSymbol) -> NoteName:
    if isinstance(symbol, PolyChord):
        return symbol.lower.root
    assert isinstance(symbol, Chord)
    return symbol.root


def _beat(bar: Bar, onset: Fraction) -> Fraction:
    """The place of an onset in a bar, counted from 1 in the printed unit."""
    start = bar.meter.pickup_start(bar.length) if bar.is_pickup else Fraction(0)
    return bar.meter.beat_at(onset, start=start)


# ── One part ─────────────────────────────────────────────────────────────────────


def _make_part(
    shared: _Shared,
    reader: Book | Instrument,
    heading: str,
    asked: Mapping[int, NoteName],
    rules: AccidentalRules | None,
    six_signs: SixSigns,
) -> Part:
    by = -reader.transposition
    bars = shared.bars
    keys = _keys([bar.key for bar in bars], by, six_signs)
    advice = best_octave(shared.melody, reader) if shared.melody else None
    octaves = advice.octaves if advice is not None else 0
    written = written_chords(
        [(bars[index].key, placed.symbol) for index, placed in shared.changes],
        by,
        keys=[keys[index] for index, _ in shared.changes],
        asked=asked,
    )
    chords: list[list[PlacedChord]] = [[] for _ in bars]
    for (index, placed), symbol in zip(shared.changes, written.symbols, strict=True):
        chords[index].append(PlacedChord(placed.onset, symbol))
    lines = [
        (
            written_line(rhythm.melody, move),
            written_line(rhythm.counterline, move),
        )
        for rhythm, move in zip(
            shared.rhythms, _moves(bars, keys, by, octaves), strict=False
        )
    ]
    tune = _tune_bars(shared, reader, keys, chords, lines, rules)
    count = len(tune)
    plan = shared.plan
    solo = tuple(
        PartBar(
            _written_bar(bar, keys[index], chords[index], (), ()),
            slashes=slashes,
            starts_system=index in plan.system_starts,
            starts_page=index in plan.page_starts,
        )
        for index, (bar, slashes) in enumerate(shared.solo, count)
    )
    return Part(
        reader.name,
        shared.sheet,
        _headings(heading, reader, shared),
        reader.clef,
        _to_sounding(reader, bars[0].key, keys[0]),
        _sound_of(reader),
        plan,
        tune,
        solo,
        _report(shared, reader, keys[0], advice, written, lines),
    )


def _keys(sources: Sequence[Key], by: Interval, six_signs: SixSigns) -> list[Key]:
    """The written key of each bar."""
    changes = [sources[0]]
    for left, right in pairwise(sources):
        if left != right:
            changes.append(right)
    written = iter(written_keys(changes, by, six=six_signs))
    keys = [next(written)]
    for left, right in pairwise(sources):
        keys.append(keys[-1] if left == right else next(written))
    return keys


def _moves(
    bars: Sequence[Bar], keys: Sequence[Key], by: Interval, octaves: int
) -> Iterator[Interval]:
    """The interval from the source up to the part, bar by bar."""
    source = written = None
    move = UNISON
    for bar, key in zip(bars, keys, strict=True):
        if bar.key is not source or key is not written:
            source, written = bar.key, key
            move = written_interval(by, source, written) + OCTAVE * octaves
        yield move


def _tune_bars(
    shared: _Shared,
    reader: Book | Instrument,
    keys: Sequence[Key],
    chords: Sequence[Sequence[PlacedChord]],
    lines: Sequence[tuple[WrittenLine, WrittenLine]],
    rules: AccidentalRules | None,
) -> tuple[PartBar, ...]:
    plan = shared.plan
    shown = signs(
        shared.rhythms,
        lines,
        keys[: len(shared.rhythms)],
        rules=rules,
        before=shared.before,
        system_starts=plan.system_starts,
    )
    middle = reader.clef.bottom_place + MIDDLE_LINE
    tune = []
    for index, rhythm in enumerate(shared.rhythms):
        melody, counterline = lines[index]
        upper, lower = bar_stems(rhythm, melody, counterline, middle)
        upper_signs, lower_signs = shown[index]
        tune.append(
            PartBar(
                _written_bar(
                    rhythm.bar,
                    keys[index],
                    chords[index],
                    melody.events,
                    counterline.events,
                ),
                Look(rhythm.melody.beams, upper, upper_signs),
                Look(rhythm.counterline.beams, lower, lower_signs),
                rhythm.cue,
                rhythm.cue_beams,
                rhythm.cue_label,
                (),
                index in plan.system_starts,
                index in plan.page_starts,
            )
        )
    return tuple(tune)


def _written_bar(
    bar: Bar,
    key: Key,
    chords: Sequence[PlacedChord],
    melody: tuple[Note | Rest, ...],
    counterline: tuple[Note | Rest, ...],
) -> Bar:
    """A bar with the pitches, chords and key of a part."""
    return Bar(
        bar.number,
        key,
        bar.meter,
        bar.length,
        melody,
        counterline,
        tuple(chords),
        bar.hits,
        bar.directions,
        section=bar.section,
        repeat_start=bar.repeat_start,
        repeat_end=bar.repeat_end,
        ending=bar.ending,
        ending_starts=bar.ending_starts,
        barline=bar.barline,
        segno=bar.segno,
        coda=bar.coda,
        to_coda=bar.to_coda,
        fine=bar.fine,
        jump=bar.jump,
        source_number=bar.source_number,
    )


def _headings(
    pattern: str, reader: Book | Instrument, shared: _Shared
) -> tuple[str, ...]:
    """The heading of each page."""
    text = pattern.replace("{book}", reader.name)
    text = text.replace("{title}", shared.sheet.title)
    return tuple(
        text.replace("{page}", str(page))
        for page in range(1, len(shared.plan.page_starts) + 1)
    )


def _to_sounding(reader: Book | Instrument, source: Key, written: Key) -> Interval:
    """From the written to the sounding pitch, in the letters of the written key."""
    return -written_interval(-reader.transposition, source, written)


def _sound_of(reader: Book | Instrument) -> str:
    """The MusicXML sound id of an instrument, or of a book's usual reader."""
    if isinstance(reader, Instrument):
        return reader.sound_id
    usual = _USUAL_READERS.get(reader.ascii_name)
    if usual is not None:
        return find_instrument(usual).sound_id
    readers = reader.readers()
    return readers[0].sound_id if readers else ""


def _report(
    shared: _Shared,
    reader: Book | Instrument,
    key: Key,
    advice: OctaveAdvice | None,
    written: WrittenChords,
    lines: Sequence[tuple[WrittenLine, WrittenLine]],
) -> PartReport:
    bars = shared.bars
    chords = []
    for respelled in written.respelled:
        index, placed = shared.changes[respelled.index]
        chords.append(
            ChordRespelling(
                bars[index].number,
                _beat(bars[index], placed.onset),
                respelled.plain,
                respelled.written,
                respelled.reason,
            )
        )
    findings = [*shared.remarks]
    if advice is None:
        return PartReport(
            key, None, None, chords=tuple(chords), findings=tuple(findings)
        )
    if advice.cost.outside:
        findings += _out_of_range(shared, reader, advice.octaves)
    return PartReport(
        key,
        advice.low,
        advice.high,
        advice.octaves,
        advice.reason if advice.octaves else "",
        tuple(chords),
        tuple(_note_respellings(shared, lines)),
        tuple(findings),
    )


def _note_respellings(
    shared: _Shared, lines: Sequence[tuple[WrittenLine, WrittenLine]]
) -> Iterator[NoteRespelling]:
    for rhythm, both in zip(shared.rhythms, lines, strict=True):
        for line in both:
            if not line.respelled:
                continue
            onsets = [
                event.onset
                for event in line.events
                if isinstance(event, Note)
                for _ in event.pitches
            ]
            for each in line.respelled:
                yield NoteRespelling(
                    rhythm.bar.number,
                    _beat(rhythm.bar, onsets[each.index]),
                    each.plain,
                    each.written,
                    each.reason,
                )


def _out_of_range(
    shared: _Shared, reader: Book | Instrument, octaves: int
) -> Iterator[Finding]:
    for note in check_range(shared.melody, reader, octaves=octaves):
        if not note.comfortable_only:
            yield Finding(
                "range", "warning", note.message, bar=note.bar, beat=note.beat
            )
