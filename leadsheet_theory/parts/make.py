"""Parts: what each reader of the band plays from.

From one concert lead sheet every book gets its part: the key to write, the
octave to write in, notes and chords spelled for their reader, beams, stems and
accidentals, the hits above the staff, and a page of solo changes.  Rhythm, systems
and pages are decided once, so all parts are alike in them; pitch is decided
for each part by its own.

This module decides nothing that a handbook decides: it puts together what
:mod:`~.spelling.transposing`, :mod:`~.chords.respell`, :mod:`~.ranges`, :mod:`~.beams`,
:mod:`~.stems`, :mod:`~.accidentals`, :mod:`.hits`, :mod:`.systems` and
:mod:`.solo_changes` say, and keeps their reasons for the report.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from functools import lru_cache, partial
from typing import Final

from attrs import evolve, frozen

from .._doors import door
from ..chords.respell import WrittenChords
from ..errors import KeyModeError, UnknownBookError
from ..instruments._notes import shape_of
from ..instruments.books import STANDARD_BOOKS, Book
from ..instruments.clefs import TREBLE_CLEF, Clef
from ..instruments.instrument import Instrument
from ..instruments.octaves import OctaveAdvice, advised
from ..instruments.rhythm_books import PartReader, RhythmBook, as_part_readers
from ..interval import Interval
from ..key import Key, as_key
from ..leadsheet.model import LeadSheet
from ..leadsheet.running_order import RunningOrder
from ..leadsheet.slash_time import SlashedBars
from ..pitch import NoteName, Pitch
from ..rhythm.beams import HALF_BAR_WHEN_FILLED, HALF_BAR_WHEREVER, BeamStyle
from ..rhythm.stems import MIDDLE_LINE
from ..spelling.accidentals import AccidentalRules
from ..spelling.respelling import Respelling
from ..spelling.transposing import SixSigns, written_interval
from ._added import moved
from ._bass_cue import with_bass_cue
from ._behind_solos import SmallNotes
from ._chords import part_chords
from ._octave_bars import in_other_octaves
from ._pitch import (
    AccidentalRow,
    Centres,
    accidental_rows,
    centres_of,
    in_bars,
    lower_pitches,
    melody_pitches,
    moved_keys,
    raised,
    stem_directions,
    written_centres,
)
from ._report import report_of, respellings
from ._rhythm_section import ConcertPitch, rhythm_part
from ._shared import Shared, share
from ._solo_bars import plain_solo_bars, solo_bars, solo_small_notes
from ._spelling import go_along_with_chords, take_names
from ._wishes import PartNames, asked_chords, asked_notes, check_books
from ._words import in_letters_of
from .hits import CueBar
from .measuring import Measure, planned_by, with_room_for_staves
from .model import (
    OctaveIn,
    Part,
    PartBar,
    Rebeam,
    Respell,
    RespellNote,
    SharedBar,
)
from .solo_changes import SoloChanges, StackedChords
from .systems import A4, BreaksAsked, Page, PagePlan

__all__ = ("HEADING", "SOLO_HEADING", "in_key", "make_parts")

HEADING: Final = "{book} – lead sheet"
"""The usual heading of a part's pages."""

SOLO_HEADING: Final = "{book} – lead sheet, solos"
"""The usual heading of the solo page."""


@door
def make_parts(
    sheet: LeadSheet,
    /,
    *,
    books: PartReader | str | Iterable[PartReader | str] = STANDARD_BOOKS,
    heading: str = HEADING,
    respell: Iterable[Respell | RespellNote] = (),
    bars_per_system: int = 4,
    page: Page = A4,
    beams: BeamStyle | None = None,
    accidentals: AccidentalRules | None = None,
    six_signs: SixSigns | None = None,
    cues: bool | Sequence[CueBar] = True,
    cue_label: str = "",
    without_cues: Iterable[str] = (),
    bass_cue: bool | Collection[int] = False,
    stop_time: Collection[int] | None = None,
    solo_page: bool | SoloChanges = True,
    measure: Measure | None = None,
    stacked_chords: StackedChords = "spread",
    key: Key | str | None = None,
    solo_heading: str = SOLO_HEADING,
    order: RunningOrder | None = None,
    octaves: Mapping[str, int] | None = None,
    octaves_in: Iterable[OctaveIn] = (),
    system_starts: Iterable[int] = (),
    rebeam: Iterable[Rebeam] = (),
    slashes: SlashedBars = "into the solos",
    revision: str = "",
) -> tuple[Part, ...]:
    """Make a part for each book or instrument.

    Args:
        sheet: the tune at concert pitch.
        books: the books, those of the rhythm section too, or single instruments, to
            make parts for, or their names.
        heading: what stands at the head of each page; ``{book}``, ``{title}`` and
            ``{page}`` are filled in.
        respell: chords and notes to be spelled otherwise in single parts.  A chord
            takes its pair, its melody and its place on the solo page along.
        bars_per_system: the most bars in a system, the pickup not counted.
        page: the paper.
        beams: how notes are grouped under beams; if None, for swung eighths
            (:data:`.HALF_BAR_WHEN_FILLED`) unless the sheet's `swing` says that
            eighths are straight (:data:`.HALF_BAR_WHEREVER`).
        accidentals: which courtesy accidentals are shown (the usual ones).
        six_signs: how to decide between six sharps and six flats; if not given, as
            each reader's instrument or book has it.
        cues: whether the rhythm section's hits stand above the staff, or the cues
            of :func:`.cue_bars` with options of its own.
        cue_label: what stands over the first hit of each stretch.
        without_cues: the names of books and instruments whose players want no cues.
        bass_cue: the numbers of the bars of which players read the bass line in small
            notes below their own, or whether they do so everywhere.
        stop_time: the numbers of the bars in which the rhythm section's hits stand in
            the staff, since no time is played there; if None, as the chart says it
            (:func:`.time_stops`).
        solo_page: whether a page of solo changes follows, or the page of
            :func:`.solo_changes` with options of its own.  Its bars are numbered
            on from the tune's, so that every number of a part names one bar.
        measure: what tells the drawn sizes that systems and pages are planned from,
            such as :class:`~.pages.measure.DrawnSizes`; without it they are planned
            from estimates.
        stacked_chords: what becomes of chord symbols entered on one beat:
            ``"spread"`` over the beats up to the next
            (:func:`.spread_stacked_chords`), or ``"kept"`` on top of one another.
        key: another concert key (or its text) to make the tune in, as
            :func:`in_key` does.
        solo_heading: what stands at the head of the solo page, as `heading`.
        order: the running order, if it is not that of the chart's signs
            (:func:`.running_order`).
        octaves: the octaves of single parts, by the name of the book or instrument:
            how many higher (negative: lower) than the source they sound, in place of
            what is advised.
        octaves_in: the octaves of single parts in some bars alone.
        system_starts: the numbers of bars with which systems are to begin, beside
            those that :func:`.plan_systems` chooses.
        rebeam: beams of the melody that are to be broken, or to go on.
        slashes: which bars get slashes in which the melody is silent while chords
            sound: those at the end of a head that goes into the solos, all
            (``"wherever silent"``), or none (``"as written"``).  Slashes of the chart
            itself always stay.
        revision: a number or a date to stand at the foot of each page.

    Raises:
        KeyModeError: if `key` is of another mode than the tune's.
        RespellError: if a chord or note to be respelled is not there.
        ChordSpellingError: if respelling would change the sound of a chord.
        LayoutError: if there are not as many `cues` as bars.
        EmptySheetError: if the sheet has no bar.
        ChoiceError: if `stacked_chords` or `slashes` is none of these words, or an
            octave leaves MIDI's keys.
        UnknownBookError: if `octaves`, `octaves_in` or `without_cues` names a part that
            is not made.
        DecisionError: if no bar of `bass_cue` has a bass line, or there is no such bar
            or note as `octaves_in`,
            `system_starts` or `rebeam` name.

    >>> from fractions import Fraction
    >>> from leadsheet_theory.chords import parse_chord
    >>> from leadsheet_theory.leadsheet import Bar, PlacedChord
    >>> from leadsheet_theory.rhythm import Meter
    >>> Eb = Key.parse("Eb major")
    >>> changes = (PlacedChord(Fraction(0), parse_chord("F#m7")),
    ...            PlacedChord(Fraction(2), parse_chord("B7")))
    >>> bar = Bar(number=1, key=Eb, meter=Meter(4, 4), length=Fraction(4),
    ...           chords=changes)
    >>> for part in make_parts(LeadSheet(title="A tune", bars=(bar,))):
    ...     print(part.headings[0], *[c.symbol for c in part.bars[0].bar.chords])
    C – lead sheet F#m7 B7
    B♭ – lead sheet Abm7 Db7
    E♭ – lead sheet Ebm7 Ab7
    F – lead sheet Dbm7 Gb7
    Bass clef – lead sheet F#m7 B7
    """
    if key is not None:
        sheet = in_key(sheet, key)
    breaks = BreaksAsked(tuple(system_starts))
    shared = share(
        sheet,
        page=page,
        bars_per_system=bars_per_system,
        style=_beams(sheet) if beams is None else beams,
        cues=cues,
        cue_label=cue_label,
        solo_page=solo_page,
        stacked_chords=stacked_chords,
        order=order,
        slashes=slashes,
        breaks=breaks,
        rebeam=rebeam,
    )
    patterns = (
        heading.replace("{title}", sheet.title),
        solo_heading.replace("{title}", sheet.title),
    )
    wishes = tuple(respell)
    readers = as_part_readers(books)
    check_books(wishes, readers)
    advices = _advices(shared, readers, octaves or {})
    uncued = frozenset(without_cues)
    _check_names(uncued, readers)
    jumps = tuple(octaves_in)
    _check_names((wish.book for wish in jumps), readers)
    spellings: dict[_Alike, _Spelling] = {}
    parts = []
    for reader in readers:
        # readers an octave apart are spelled alike
        side = reader.side_at_six_signs(six_signs)
        names = partial(_names, shared, reader, side)
        chords = asked_chords(shared, wishes, reader, names)
        melody, counterline = asked_notes(shared, wishes, reader, names)
        alike = _Alike(
            (-reader.transposition).simple,
            tuple(chords.items()),
            tuple(melody.items()),
            tuple(counterline.items()),
            side,
        )
        if alike not in spellings:
            spellings[alike] = _spelled(shared, alike, accidentals)
        headings = _headings(patterns, reader.name, shared.plan, len(shared.rhythms))
        spelling = spellings[alike]
        if isinstance(reader, RhythmBook):
            concert = ConcertPitch(
                spelling.written, spelling.keys, spelling.moves, spelling.chords
            )
            part = rhythm_part(
                shared,
                reader,
                headings,
                concert,
                cue_label=cue_label,
                cued=reader.name not in uncued,
                stop_time=stop_time,
            )
        else:
            advice = advices[reader.name]
            part = _make_part(shared, reader, advice, headings, spelling)
            of_part = [wish for wish in jumps if wish.book == reader.name]
            part = in_other_octaves(part, shared, reader, advice, of_part, accidentals)
            if reader.name in uncued:
                part = _without_cues(part, shared)
            else:
                part = with_bass_cue(
                    part,
                    shared,
                    reader,
                    bass_cue,
                    keys=spelling.keys,
                    moves=spelling.moves,
                )
        parts.append(evolve(part, revision=revision) if revision else part)

    def headed(part: Part, plan: PagePlan) -> tuple[str, ...]:
        return _headings(patterns, part.name, plan, len(part.bars))

    if measure is None:
        return with_room_for_staves(parts, headings=headed)
    return planned_by(
        measure,
        parts,
        bars_per_system=bars_per_system,
        headings=headed,
        breaks=breaks,
    )


def _advices(
    shared: Shared, readers: Sequence[PartReader], octaves: Mapping[str, int]
) -> dict[str, OctaveAdvice | None]:
    """The octave advised for each part that has a melody to be played, by its name, or
    the one asked for."""
    playing = [each for each in readers if not isinstance(each, RhythmBook)]
    _check_names(octaves, playing)
    names = [each.name for each in playing]
    advices: dict[str, OctaveAdvice | None] = dict.fromkeys(names)
    if shared.held:
        found = advised(shape_of(shared.held), playing)
        advices.update(zip(names, found, strict=True))
    for name, asked in octaves.items():
        advice = advices[name]
        advices[name] = advice.moved_to(asked) if advice else advice
    return advices


def _check_names(asked: Iterable[str], readers: Sequence[PartReader]) -> None:
    names = tuple(reader.name for reader in readers)
    for name in asked:
        if name not in names:
            raise UnknownBookError(name, names)


def _beams(sheet: LeadSheet) -> BeamStyle:
    swung = sheet.swing is None or sheet.swing.swings_eighths
    return HALF_BAR_WHEN_FILLED if swung else HALF_BAR_WHEREVER


@door
def in_key(sheet: LeadSheet, key: Key | str, /) -> LeadSheet:
    """A tune in another concert key, such as a singer's, spelled as a part is.

    Melody, chord symbols and the keys of the tune move together by the interval to the
    nearer tonic, up or down; notes and chords are respelled where a part in that key
    would have them otherwise.  The octave that a reader plays it in is chosen anew when
    parts are made.

    Args:
        sheet: the tune at concert pitch.
        key: the concert key it is to begin in, or its text.  One with more than six
            signs is written as the one that sounds alike.

    Raises:
        KeyModeError: if the key is of another mode than the tune's.
        EmptySheetError: if the sheet has no bar.

    >>> from leadsheet_theory.musicxml import read_lead_sheet
    >>> tune = read_lead_sheet("shared/charts/harbourmasters_day_off.musicxml").sheet
    >>> print(in_key(tune, Key.parse("F")))
    Harbourmaster's Day Off (33 bars, F major, 4/4)
    >>> print(*[c.symbol for c in in_key(tune, Key.parse("F")).bars[1].chords])
    Fmaj7 Abm7
    """
    key = as_key(key)
    source = sheet.key
    if key.mode != source.mode:
        raise KeyModeError(
            f"the tune is in {source}, not in {key.mode}: expected a key like "
            f"{Key(key.tonic, source.mode)}"
        )
    tonic = Pitch.of(source.tonic, 4)
    by = Interval.between(tonic, Pitch.nearest(key.tonic, tonic.midi))
    if not by.chromatic:
        return sheet
    shared = share(
        sheet,
        page=A4,
        bars_per_system=4,
        style=HALF_BAR_WHEN_FILLED,
        cues=False,
        cue_label="",
        solo_page=False,
        stacked_chords="kept",
        order=None,
        slashes="as written",
    )
    side: SixSigns = "sharps" if key.signature > 0 else "flats"
    spelling = _spelled(shared, _Alike(by, (), (), (), side), None)
    bars = _tune_bars(shared, TREBLE_CLEF, spelling, 0)
    chorus = sheet.solo_chorus
    return evolve(
        sheet,
        bars=tuple(
            evolve(bar.bar, bass_line=moved(bar.bar.bass_line, move))
            for bar, move in zip(bars, spelling.moves, strict=False)
        ),
        # its changes are made anew from the head
        solo_chorus=None if chorus is None else evolve(chorus, bars=()),
    )


_Asked = tuple[tuple[int, NoteName], ...]


@frozen(order=False)
class _Alike:
    """What decides how a part is spelled: the interval from the source up to it, and
    the names asked for, by their index, and the side at six signs."""

    by: Interval
    chords: _Asked
    melody: _Asked
    counterline: _Asked
    six_signs: SixSigns


# ── One part ─────────────────────────────────────────────────────────────────────


@frozen(order=False, kw_only=True)
class _Spelling:
    """How parts are spelled that differ in octave and clef alone.

    `keys` are the written keys and `moves` the intervals to them, bar by bar;
    `pitches` (the melody) and `lower` (the counterline) lie at the plain interval from
    the source, less its octaves, and `centres` tell where the melody's events lie;
    `accidentals` are those shown, `notes` what was respelled.  `written` are the shared
    bars, in which words that name a sound have the part's letters; `solo` are the bars
    of the solo page without their small notes, which are `small`.
    """

    written: Sequence[SharedBar]
    keys: list[Key]
    moves: list[Interval]
    chords: WrittenChords
    pitches: list[Pitch]
    centres: Centres
    lower: list[tuple[Pitch, ...]]
    accidentals: list[tuple[AccidentalRow, AccidentalRow]]
    solo: tuple[PartBar, ...]
    small: tuple[SmallNotes, ...]
    notes: tuple[Respelling[Pitch], ...]


def _spelled(
    shared: Shared,
    alike: _Alike,
    rules: AccidentalRules | None,
) -> _Spelling:
    by = alike.by
    count = len(shared.rhythms)
    keys: list[Key] = []
    moves: list[Interval] = []
    sources = tuple([key for key, _ in shared.key_runs])
    found = moved_keys(sources, by, alike.six_signs)
    for (_, bars), (key, move) in zip(shared.key_runs, found, strict=True):
        keys += [key] * bars
        moves += [move] * bars
    chords = part_chords(shared, by, keys, dict(alike.chords))
    melody = melody_pitches(shared.melody, moves[:count])
    go_along_with_chords(shared, "melody", melody, keys, chords)
    take_names(shared, "melody", melody, dict(alike.melody))
    lower = lower_pitches(shared, moves)
    if lower.pitches:
        go_along_with_chords(shared, "counterline", lower, keys, chords)
        take_names(shared, "counterline", lower, dict(alike.counterline))
    lines = in_bars(shared, lower.pitches)
    written: Sequence[SharedBar] = shared.written
    if shared.named:
        written = in_letters_of(written, shared.named, by, keys)
    return _Spelling(
        written=written,
        keys=keys,
        moves=moves,
        chords=chords,
        pitches=melody.pitches,
        centres=written_centres(shared.melody, moves[:count], melody),
        lower=lines,
        accidentals=accidental_rows(
            shared,
            melody.pitches,
            lines,
            keys[:count],
            rules=rules,
            respelled=melody.respelled,
        ),
        solo=plain_solo_bars(shared, written, keys, chords),
        small=solo_small_notes(shared, keys, moves, rules),
        notes=(
            *respellings(shared, "melody", melody.respelled),
            *respellings(shared, "counterline", lower.respelled),
        ),
    )


def _names(shared: Shared, reader: PartReader, side: SixSigns) -> PartNames:
    """What a part is called, chord by chord and note by note, if nothing is wished
    for."""
    by = (-reader.transposition).simple
    plain = _spelled(shared, _Alike(by, (), (), (), side), None)
    lower = [pitch for bar in plain.lower for pitch in bar]
    return PartNames(plain.chords.symbols, plain.pitches, lower)


def _make_part(
    shared: Shared,
    reader: Book | Instrument,
    advice: OctaveAdvice | None,
    headings: tuple[str, ...],
    spelling: _Spelling,
) -> Part:
    plain = (-reader.transposition).simple
    octaves = advice.octaves if advice is not None else 0
    octaves -= (reader.transposition.chromatic + plain.chromatic) // 12
    tune = _tune_bars(shared, reader.clef, spelling, octaves)
    return Part(
        name=reader.name,
        source=shared.sheet,
        headings=headings,
        clef=reader.clef,
        to_sounding=_to_sounding(
            reader.transposition, shared.sheet.key, spelling.keys[0]
        ),
        sound_id=reader.sound_id,
        plan=shared.plan,
        divisions=shared.divisions,
        bars=tune,
        solo=solo_bars(shared, spelling.solo, spelling.small, tune[0], octaves),
        order=shared.order,
        report=report_of(
            shared,
            reader,
            advice,
            octaves,
            key=spelling.keys[0],
            respelled=spelling.chords.respelled,
            notes=spelling.notes,
        ),
    )


def _without_cues(part: Part, shared: Shared) -> Part:
    """The part of a player who wants no cues, the melody's stems as they are then."""
    pitches = [pitch for bar in part.bars for pitch in bar.pitches]
    centres = centres_of(shared.melody, pitches)
    middle = part.clef.bottom_place + MIDDLE_LINE
    stems = stem_directions(shared, centres, middle, cues=False)
    return evolve(
        part,
        bars=tuple(
            evolve(
                bar,
                stems=upper,
                shared=evolve(bar.shared, cue=(), cue_beams=(), cue_label=""),
            )
            if bar.cue
            else bar
            for bar, (upper, _) in zip(part.bars, stems, strict=True)
        ),
    )


def _tune_bars(
    shared: Shared, clef: Clef, spelling: _Spelling, octaves: int
) -> tuple[PartBar, ...]:
    """The bars of the tune, so many octaves from the spelling's own."""
    pitches = raised(spelling.pitches, octaves)
    lower = [raised(each, octaves) if each else each for each in spelling.lower]
    middle = clef.bottom_place + MIDDLE_LINE - 7 * octaves
    stems = stem_directions(shared, spelling.centres, middle)
    starts = shared.melody.pitch_starts
    changes = shared.change_starts
    symbols = spelling.chords.symbols
    return tuple(
        [
            PartBar(
                shared=spelling.written[index],
                key=spelling.keys[index],
                symbols=symbols[changes[index] : changes[index + 1]],
                pitches=pitches[starts[index] : starts[index + 1]],
                stems=upper_stems,
                accidentals=accidentals,
                lower_pitches=lower[index],
                lower_stems=lower_stems,
                lower_accidentals=lower_accidentals,
            )
            for index, (
                (upper_stems, lower_stems),
                (accidentals, lower_accidentals),
            ) in enumerate(zip(stems, spelling.accidentals, strict=True))
        ]
    )


def _headings(
    patterns: tuple[str, str], name: str, plan: PagePlan, tune: int
) -> tuple[str, ...]:
    """The heading of each page: of those of the tune, which has so many bars, and of
    those of the solos."""
    found = []
    for page, start in enumerate(plan.page_starts, start=1):
        text = patterns[start >= tune].replace("{book}", name)
        found.append(text.replace("{page}", str(page)))
    return tuple(found)


@lru_cache(maxsize=1024)
def _to_sounding(transposition: Interval, source: Key, written: Key) -> Interval:
    """From the written to the sounding pitch, in the letters of the written key."""
    return -written_interval(-transposition, source, written)
