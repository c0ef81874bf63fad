"""What is decided put to use: the sheet, the readers, the paper and the parts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final, TypedDict, cast

from attrs import evolve

from .._doors import door
from ..chords.styles import PLAIN_LETTERS, STYLES, PrintStyle
from ..errors import DecisionError, TheoryError
from ..instruments.books import STANDARD_BOOKS
from ..instruments.instrument import Instrument
from ..instruments.rhythm_books import PartReader, RhythmBook, find_rhythm_book
from ..instruments.table import find_instrument
from ..key import Key
from ..leadsheet.bar_numbers import bars_text
from ..leadsheet.felt_chords import ChordChoice
from ..leadsheet.folding import FoldAim, fold
from ..leadsheet.model import LeadSheet, Solos
from ..leadsheet.running_order import RunningOrder, running_order
from ..leadsheet.signs import Jump
from ..leadsheet.slash_time import SlashedBars
from ..parts.hits import CueBar, CueCut, CueStart, cue_bars
from ..parts.letters import with_letters
from ..parts.make import HEADING, SOLO_HEADING, in_key, make_parts
from ..parts.measuring import Measure
from ..parts.model import OctaveIn, Part, Rebeam, Respell, RespellNote
from ..parts.solo_changes import SoloChanges, SoloForm, StackedChords, solo_changes
from ..parts.systems import PAPERS, Page
from ..rhythm.beams import BeamStyle
from ._correcting import corrected
from ._wishes import (
    beam_wish,
    books_called,
    cued_bars,
    for_readers,
    is_reached,
    label_wish,
    name_wish,
    note_wish,
    octave_wish,
    reader_called,
    root_wish,
    stopped_bars,
)
from .keys import BEAM_STYLES
from .model import Decision, Decisions

__all__ = (
    "PartArguments",
    "decided_order",
    "decided_page",
    "decided_parts",
    "decided_readers",
    "decided_sheet",
    "decided_style",
    "part_arguments",
)


class PartArguments(TypedDict):
    """Arguments of :func:`.make_parts`, as decided."""

    books: tuple[PartReader, ...]
    heading: str
    solo_heading: str
    respell: tuple[Respell | RespellNote, ...]
    bars_per_system: int
    page: Page
    cues: bool | tuple[CueBar, ...]
    cue_label: str
    without_cues: tuple[str, ...]
    bass_cue: bool | tuple[int, ...]
    stop_time: tuple[int, ...] | None
    stacked_chords: StackedChords
    order: RunningOrder
    solo_page: bool | SoloChanges
    octaves: dict[str, int]
    octaves_in: tuple[OctaveIn, ...]
    system_starts: tuple[int, ...]
    beams: BeamStyle | None
    rebeam: tuple[Rebeam, ...]
    revision: str
    slashes: SlashedBars


# ── The tune ─────────────────────────────────────────────────────────────────────


@door
def decided_sheet(sheet: LeadSheet, decisions: Decisions, /) -> LeadSheet:
    """A tune as it was decided: title, composer, corrections, form, letters and key.

    Corrections are at the chart's own pitch.  A key of which only the tonic is named
    is taken in the tune's own mode.

    Raises:
        DecisionError: if the key is of another mode than the tune's, or what is to be
            corrected is not there.

    >>> from leadsheet_theory.decisions import decisions_from
    >>> from leadsheet_theory.musicxml import read_lead_sheet
    >>> tune = read_lead_sheet("shared/charts/harbourmasters_day_off.musicxml").sheet
    >>> print(decided_sheet(tune, decisions_from({"title": "Low Tide", "key": "F"})))
    Low Tide (33 bars, F major, 4/4)
    """
    sheet = evolve(
        sheet,
        title=decisions.text("title") or sheet.title,
        composer=decisions.text("composer") or sheet.composer,
    )
    sheet = corrected(sheet, decisions)
    if decisions.text("fold"):
        aim = cast("FoldAim", decisions.text("fold"))
        sheet = evolve(sheet, bars=fold(sheet.bars, aim=aim).bars)
    if decisions.says("letters"):
        sheet = evolve(sheet, bars=with_letters(sheet).bars)
    for decision in decisions.of("key"):
        text = str(decision.value)
        key = Key.parse(text)
        named = text.strip().replace("♭", "b").replace("♯", "#")
        if named == str(key.tonic):
            key = Key(key.tonic, sheet.key.mode)
        try:
            sheet = in_key(sheet, key)
        except TheoryError as error:
            raise decision.wrong(error) from None
    return sheet


# ── Readers and paper ────────────────────────────────────────────────────────────


def _chosen(
    decisions: Decisions, default: Sequence[PartReader]
) -> tuple[PartReader, ...]:
    """The readers under their usual names."""
    chosen: list[PartReader] = [
        book for names in decisions.texts("books") for book in books_called(names)
    ]
    chosen += map(_instrument_called, decisions.texts("instruments"))
    return tuple(dict.fromkeys(chosen)) or tuple(default)


def _instrument_called(name: str) -> PartReader:
    """The instrument of that name; a drum set is a book."""
    return find_rhythm_book(name) or find_instrument(name)


def _named(
    readers: Sequence[PartReader], decisions: Decisions
) -> tuple[PartReader, ...]:
    """The readers under the names that they are to have."""
    names = dict(map(name_wish, decisions.texts("names")))
    return tuple(
        _shown(_called(reader, names[reader]) if reader in names else reader, decisions)
        for reader in readers
    )


def _shown(reader: PartReader, decisions: Decisions) -> PartReader:
    """A reader with what its book is to show besides."""
    if not isinstance(reader, RhythmBook):
        return reader
    return evolve(
        reader,
        melody=reader.melody or decisions.says("melody-cue"),
        chords=reader.chords or decisions.says("drum-chords"),
    )


def _called(reader: PartReader, name: str) -> PartReader:
    if not isinstance(reader, Instrument):
        plain = name.replace("♭", "b").replace("♯", "#")
        return evolve(reader, name=name, ascii_name=plain)
    return evolve(reader, name=name)


@door
def decided_readers(
    decisions: Decisions, /, *, default: Sequence[PartReader] = STANDARD_BOOKS
) -> tuple[PartReader, ...]:
    """The books and instruments that parts are made for, under the names they are to
    have; those of `default` where none is named.

    >>> from leadsheet_theory.decisions import decisions_from
    >>> asked = {"books": ["all but F, Eb"], "names": ["Bass clef = Bass"]}
    >>> [reader.name for reader in decided_readers(decisions_from(asked))]
    ['C', 'B♭', 'Bass', 'Rhythm', 'Drums']
    """
    return _named(_chosen(decisions, default), decisions)


@door
def decided_page(decisions: Decisions, /) -> Page:
    """The paper, and the height of its staves.

    Raises:
        DecisionError: if the paper has no room for such staves.

    >>> from leadsheet_theory.decisions import decisions_from
    >>> decided_page(decisions_from({"paper": "letter", "staff-size": 7})).staff
    7.0
    """
    page = PAPERS[decisions.text("paper", "A4")]
    for decision in decisions.of("staff-size"):
        staff = float(decision.value)
        try:
            page = evolve(page, staff=staff, system=page.system * staff / page.staff)
        except TheoryError as error:
            raise decision.wrong(error) from None
    return page


# ── Parts ────────────────────────────────────────────────────────────────────────


@door
def decided_style(decisions: Decisions, /) -> PrintStyle:
    """How chord symbols are printed.

    >>> from leadsheet_theory.decisions import decisions_from
    >>> decided_style(decisions_from({"style": "symbols"})).name
    'symbols'
    """
    named = decisions.text("style", PLAIN_LETTERS.name)
    return next((style for style in STYLES if style.name == named), "as printed")


@door
def part_arguments(
    sheet: LeadSheet,
    decisions: Decisions,
    /,
    *,
    readers: Sequence[PartReader] = (),
) -> PartArguments:
    """What :func:`.make_parts` is to be told of a tune.

    Args:
        sheet: the tune, as :func:`decided_sheet` gives it.
        decisions: what is decided.
        readers: for whom parts are made whatever is decided, under their usual names.

    Raises:
        DecisionError: if the solos can't be as they are to be.

    >>> from leadsheet_theory.decisions import decisions_from
    >>> from leadsheet_theory.musicxml import read_lead_sheet
    >>> tune = read_lead_sheet("shared/charts/harbourmasters_day_off.musicxml").sheet
    >>> asked = decisions_from({"books": ["Bb"], "respell": ["Bb 16 1 C#"]})
    >>> arguments = part_arguments(tune, asked)
    >>> print(arguments["respell"][0].root)
    C#
    >>> len(make_parts(tune, **arguments))
    1
    """
    chosen = tuple(readers) or _chosen(decisions, STANDARD_BOOKS)
    named = _named(chosen, decisions)
    heading = decisions.text("heading", HEADING)
    for decision in decisions.of("key"):
        if decision.value:
            heading = f"{heading} (concert {sheet.key.glyphs})"
    stacked: StackedChords = (
        "kept" if decisions.says("keep-stacked-chords") else "spread"
    )
    order = decided_order(sheet, decisions)
    octaves: dict[str, int] = {}
    octaves_in: list[OctaveIn] = []
    for wish in map(octave_wish, decisions.texts("octaves")):
        for reader, new in zip(chosen, named, strict=True):
            if not is_reached(wish.reader, reader):
                continue
            if wish.bars is None:
                octaves[new.name] = wish.octaves
            else:
                octaves_in.append(OctaveIn(*wish.bars, wish.octaves, new.name))
    beams = decisions.text("beams")
    return PartArguments(
        books=named,
        heading=heading,
        solo_heading=decisions.text("solo-heading", SOLO_HEADING),
        respell=tuple(
            wish
            for decision in _respelling(decisions)
            for wish in _wishes(decision, chosen, named)
        ),
        bars_per_system=int(decisions.text("bars-per-system", "4")),
        page=decided_page(decisions),
        cues=_cues(sheet, decisions),
        cue_label=decisions.text("hits-label"),
        without_cues=tuple(
            new.name
            for meant in map(reader_called, decisions.texts("without-cues"))
            for reader, new in zip(chosen, named, strict=True)
            if is_reached(meant, reader)
        ),
        bass_cue=cued_bars(decisions.text("bass-cue", "none")),
        stop_time=stopped_bars(decisions.text("stop-time", "as marked")),
        stacked_chords=stacked,
        order=order,
        solo_page=_solo_page(sheet, decisions, order, stacked),
        octaves=octaves,
        octaves_in=tuple(octaves_in),
        system_starts=decisions.numbers("system-breaks"),
        beams=BEAM_STYLES[beams] if beams else None,
        rebeam=_rebeam(decisions),
        revision=decisions.text("revision"),
        slashes=cast("SlashedBars", decisions.text("slashes", "into the solos")),
    )


def _rebeam(decisions: Decisions) -> tuple[Rebeam, ...]:
    return (
        *map(beam_wish("apart"), decisions.texts("beam-apart")),
        *map(beam_wish("joined"), decisions.texts("beam-joined")),
    )


@door
def decided_parts(
    sheet: LeadSheet,
    decisions: Decisions,
    /,
    *,
    readers: Sequence[PartReader] = (),
    measure: Measure | None = None,
) -> tuple[Part, ...]:
    """The parts of a tune as they are decided.

    Args:
        sheet: the tune, as :func:`decided_sheet` gives it.
        decisions: what is decided.
        readers: for whom parts are made whatever is decided, under their usual names.
        measure: as in :func:`.make_parts`.

    Raises:
        DecisionError: if a decision doesn't fit the tune, with its place.
        TheoryError: as :func:`.make_parts`.

    >>> from leadsheet_theory.musicxml import read_lead_sheet
    >>> from leadsheet_theory.decisions import read_decisions
    >>> tune = read_lead_sheet("shared/charts/harbourmasters_day_off.musicxml").sheet
    >>> wish = read_decisions('respell = ["Bb 16 3 C#"]', file="tune.toml")
    >>> decided_parts(tune, wish)
    Traceback (most recent call last):
    leadsheet_theory.errors.DecisionError: tune.toml, line 1: respell: no chord to
    respell in bar 16, beat 3: there are D♭maj7 on beat 1
    """
    arguments = part_arguments(sheet, decisions, readers=readers)
    try:
        return make_parts(sheet, measure=measure, **arguments)
    except TheoryError as error:
        usual = decisions.without(*_OF_PLACES)
        for decision in decisions.only(*_OF_PLACES).each:
            alone = Decisions((*usual.each, decision))
            try:
                make_parts(sheet, **part_arguments(sheet, alone, readers=readers))
            except TheoryError as of_one:
                raise decision.wrong(of_one) from None
        raise error from None


_OF_PLACES: Final = (
    "respell", "respell-note", "octaves", "bass-cue", "system-breaks", "beam-apart",
    "beam-joined",
)  # fmt: skip
"""The keys of which one decision may not fit while the others do."""


def _respelling(decisions: Decisions) -> tuple[Decision, ...]:
    return (*decisions.of("respell"), *decisions.of("respell-note"))


def _wishes(
    decision: Decision, readers: Sequence[PartReader], named: Sequence[PartReader]
) -> Iterator[Respell | RespellNote]:
    """The wishes for the parts that are made: none where a file's is for another."""
    parse = root_wish if decision.key == "respell" else note_wish
    wish = parse(str(decision.value))
    names = [(reader, new.name) for reader, new in zip(readers, named, strict=True)]
    meant = tuple(for_readers(wish, readers, names))
    yield from meant or (() if decision.file else (wish,))


# ── Hits ─────────────────────────────────────────────────────────────────────────

_OF_CUES: Final = ("cues", "cue-start", "cue-cut", "hits-labels")


def _cues(sheet: LeadSheet, decisions: Decisions) -> bool | tuple[CueBar, ...]:
    """What is cued; just whether, where nothing special is asked for."""
    if not any(map(decisions.of, _OF_CUES)):
        return True
    only: tuple[int, ...] | None = None
    for decision in decisions.of("cues"):
        asked = cued_bars(str(decision.value))
        if asked is False:
            return False
        if not isinstance(asked, bool):
            only = asked
            _check_hits(sheet, decision, only)
    labels = {}
    for decision in decisions.of("hits-labels"):
        number, label = label_wish(str(decision.value))
        _check_hits(sheet, decision, (number,))
        labels[number] = label
    return cue_bars(
        sheet.bars,
        label=decisions.text("hits-label"),
        labels=labels,
        only=only,
        start=cast("CueStart", decisions.text("cue-start", "bar line")),
        cut=cast("CueCut", decisions.text("cue-cut", "figure")),
    )


def _check_hits(sheet: LeadSheet, decision: Decision, bars: Sequence[int]) -> None:
    """Refuse what is decided for hits of bars that have none."""
    there = [bar.number for bar in sheet.bars if bar.hits]
    if there and not set(there).isdisjoint(bars):
        return
    what = f"there are hits in {bars_text(there)}" if there else "the tune has none"
    error = DecisionError(f"no hits in bar {bars_text(bars)}: {what}")
    raise decision.wrong(error)


# ── Solos ────────────────────────────────────────────────────────────────────────


def decided_order(sheet: LeadSheet, decisions: Decisions, /) -> RunningOrder:
    """The running order of a tune, as :func:`decided_sheet` gives it, as is decided.

    Raises:
        DecisionError: if the solos can't be as they are to be.

    >>> from leadsheet_theory.decisions import decisions_from
    >>> from leadsheet_theory.musicxml import read_lead_sheet
    >>> tune = read_lead_sheet("shared/charts/harbourmasters_day_off.musicxml").sheet
    >>> print(decided_order(tune, decisions_from({"solos": "2"})))
    head, 2 solo choruses, D.C. with repeats
    """
    solos: Solos | None = None
    asked = decisions.text("solos")
    if asked in ("open", "none"):
        solos = cast("Solos", asked)
    elif asked:
        solos = int(asked)
    way_back = decisions.text("way-back")
    try:
        return running_order(
            sheet, solos=solos, way_back=Jump.parse(way_back) if way_back else None
        )
    except TheoryError as error:
        for decision in (*decisions.of("way-back"), *decisions.of("solos")):
            raise decision.wrong(error) from None
        raise


def _solo_page(
    sheet: LeadSheet,
    decisions: Decisions,
    order: RunningOrder,
    stacked_chords: StackedChords,
) -> bool | SoloChanges:
    if decisions.says("no-solo-page") or not order.has_solos:
        return False
    return solo_changes(
        sheet,
        form=cast("SoloForm", decisions.text("solo-form", "sections clear")),
        chords=cast("ChordChoice", decisions.text("solo-chords", "all")),
        stacked_chords=stacked_chords,
        hits="kept" if decisions.says("solo-hits") else "left out",
        bar_counts=int(decisions.text("bar-counts", "0")),
        order=order,
    )
