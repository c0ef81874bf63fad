"""Solo changes: the page of slashes and chords that the soloists read.

A tune's chords often come early, with the melody or the band's figure: the
push, on the last half of the beat before the bar or the half bar.  Choruses are
played from changes that stand where they are felt, on beats 1 and 3, or on the
beat in metres that have no half bar of two beats (common practice, no source).
A chord too quick to sound on any of these is left out unless it is asked for.
Nothing else is moved, and each move is listed.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from fractions import Fraction
from typing import Final, Literal, get_args

from attrs import evolve, frozen

from .._arguments import check_choice
from .._doors import door
from ..chords import ChordSymbol
from ..leadsheet.findings import Finding
from ..leadsheet.folding import fold, unfold
from ..leadsheet.form import play_order, sections
from ..leadsheet.model import Bar, Direction, LeadSheet, PlacedChord
from ..leadsheet.stacked_chords import spread_stacked_chords
from ._pushes import ChordMove, ChordTable, MoveReason, strong_beats

__all__ = (
    "ChordMove",
    "MoveReason",
    "SoloChanges",
    "SoloForm",
    "StackedChords",
    "solo_changes",
    "strong_beats",
)

SoloForm = Literal["as written", "written out", "sections clear", "page short"]
"""The form of the solo page: the source's own repeats and endings, none at all, or
the page's own, folded for the one aim or the other (:data:`.folding.FoldAim`)."""

StackedChords = Literal["spread", "kept"]
"""What becomes of chord symbols entered on one beat."""

_START: Final = Fraction(0)


@frozen(order=False)
class SoloChanges:
    """The solo page: its bars, what was moved, what was not.

    The bars have chords, form and no melody.  `remarks` name the chords that
    still stand off the strong beats, with the reason.
    """

    bars: tuple[Bar, ...]
    moves: tuple[ChordMove, ...] = ()
    remarks: tuple[Finding, ...] = ()


@door
def solo_changes(
    sheet: LeadSheet,
    /,
    *,
    form: SoloForm = "as written",
    pushes: Literal["onto the beat", "kept"] = "onto the beat",
    weak_beats: Literal["moved", "kept"] = "moved",
    quick_chords: Literal["kept", "left out"] = "left out",
    repeated: Literal["kept", "left out"] = "kept",
    restate_at_sections: bool = True,
    leave_out: Collection[str] = (),
    stacked_chords: StackedChords = "spread",
) -> SoloChanges:
    """The changes of a tune for its soloists.

    A chord off the beat that sounds into the next strong beat (no other chord
    comes before or on it) moves there; one that only sounds into the next beat
    moves to that.  What sounds next is read in playing order, so that a push
    before an ending moves into each ending that it leads to.  The pickup is
    left out: a chord that it holds over moves into bar 1.  Words that name a
    pedal stay with their bar.

    Args:
        sheet: the tune.
        form: repeats and endings of the page.
        pushes: ``"kept"`` leaves every chord where the source has it.
        weak_beats: what becomes of a chord on beat 2 or 4 that sounds into beat
            3 or 1; N.C. stays there in any case.
        quick_chords: what becomes of a chord that another one follows before it
            sounds into a strong beat: ``"left out"`` gives two chords a bar, and
            the harmony on every strong beat is the source's; ``"kept"`` leaves
            it on its own beat, with a remark.
        repeated: what becomes of a chord that is still sounding where it is
            written again.
        restate_at_sections: write the sounding chord again where a section, a
            repeat or an ending starts without one.
        leave_out: sections that are not played in solos, by name, such as an
            introduction or the coda.
        stacked_chords: what becomes of chord symbols entered on one beat:
            ``"spread"`` over the beats up to the next, or ``"kept"``.

    Raises:
        ChoiceError: if an option is none of the words above.

    >>> from leadsheet_theory.chords import parse_chord
    >>> from leadsheet_theory.key import Key
    >>> from leadsheet_theory.rhythm import Meter
    >>> def bar(number, **chords):
    ...     return Bar(number=number, key=Key.parse("F major"), meter=Meter(4, 4),
    ...                length=Fraction(4), chords=
    ...         tuple(PlacedChord(Fraction(onset), parse_chord(text))
    ...               for text, onset in chords.items()))
    >>> tune = LeadSheet(title="Late Shift",
    ...                  bars=(bar(1, Fmaj7="0", Gm7="7/2"), bar(2, C7="2")))
    >>> print(*solo_changes(tune).moves)
    bar 1, beat 4½: Gm7 moves to bar 2, beat 1 (pushed)
    """
    check_choice("form", form, get_args(SoloForm))
    check_choice("pushes", pushes, ("onto the beat", "kept"))
    check_choice("weak_beats", weak_beats, ("moved", "kept"))
    check_choice("quick_chords", quick_chords, ("kept", "left out"))
    check_choice("repeated", repeated, ("kept", "left out"))
    check_choice("stacked_chords", stacked_chords, get_args(StackedChords))
    bars = _without(sheet.bars, leave_out) if leave_out else sheet.bars
    stacked: tuple[Finding, ...] = ()
    if stacked_chords == "spread":
        spread = spread_stacked_chords(bars)
        bars, stacked = spread.bars, spread.remarks
    table = ChordTable(bars)
    if pushes == "onto the beat":
        table.move_pushes(
            weak_beats=weak_beats == "moved",
            leave_quick_out=quick_chords == "left out",
        )
    table.leave_pickups_out()
    page = _page(bars, table.chords)
    remarks = [*stacked, *table.remarks]
    if form == "written out":
        page = unfold(page)
    elif form != "as written":
        folded = fold(page, aim=form)
        page = folded.bars
        remarks = [*remarks, *folded.remarks]
    if restate_at_sections or repeated == "left out":
        page = _restated(page, restate=restate_at_sections, drop=repeated == "left out")
    return SoloChanges(page, tuple(table.moves), tuple(remarks))


def _without(bars: Sequence[Bar], names: Collection[str]) -> tuple[Bar, ...]:
    """The bars without some sections, and without jumps that lead nowhere then."""
    kept = [
        bar
        for section in sections(bars)
        if section.name not in names
        for bar in bars[section.start : section.end]
    ]
    coda = any(bar.form.coda for bar in kept)
    fine = any(bar.form.fine for bar in kept)
    segno = any(bar.form.segno for bar in kept)
    for place, bar in enumerate(kept):
        jump = bar.form.jump
        if jump is None and not bar.form.to_coda:
            continue
        if jump is not None and (
            (jump.until == "coda" and not coda)
            or (jump.until == "fine" and not fine)
            or (jump.back_to == "segno" and not segno)
        ):
            jump = None
        kept[place] = evolve(
            bar,
            form=evolve(bar.form, jump=jump, to_coda=bar.form.to_coda and coda),
        )
    return tuple(kept)


def _page(
    bars: Sequence[Bar], chords: Sequence[Sequence[PlacedChord]]
) -> tuple[Bar, ...]:
    """The bars with these chords and no melody; the pickup's beats go to the bar
    that lacks them, its signs to the bar after it."""
    pickup: Bar | None = None
    short = _START
    page: list[Bar] = []
    for index, bar in enumerate(bars):
        if bar.is_pickup:
            pickup, short = bar, bar.length
            continue
        form = bar.form if pickup is None else bar.form.beginning_at(pickup.form)
        barline = form.barline
        ends_section = index + 1 < len(bars) and bars[index + 1].form.section
        if barline == "regular" and ends_section:
            barline = "double"
        length = bar.length
        if short and length + short == bar.meter.bar_length:
            length = bar.meter.bar_length
        page.append(
            Bar(
                number=bar.number,
                key=bar.key,
                meter=bar.meter,
                length=length,
                chords=tuple(chords[index]),
                directions=tuple(filter(_names_pedal, bar.directions)),
                form=evolve(form, barline=barline),
                source_number=bar.source_number,
            )
        )
        pickup = None
    return tuple(page)


def _names_pedal(direction: Direction) -> bool:
    return direction.kind == "words" and "pedal" in direction.text.lower()


def _restated(bars: Sequence[Bar], *, restate: bool, drop: bool) -> tuple[Bar, ...]:
    """The bars with sounding chords written again where a section starts, and left
    out where they are written again elsewhere."""
    arriving = _arriving(bars)
    page: list[Bar] = []
    for bar, sounding in zip(bars, arriving, strict=True):
        chords = bar.chords
        only = sounding[0] if len(sounding) == 1 else None
        starts = restate and bar.form.begins
        if starts and only is not None and (not chords or chords[0].onset > 0):
            chords = (PlacedChord(_START, only), *chords)
        if drop:
            kept: list[PlacedChord] = []
            for placed in chords:
                if placed.symbol != only or (starts and not placed.onset):
                    kept.append(placed)
                only = placed.symbol
            chords = tuple(kept)
        page.append(bar if chords == bar.chords else evolve(bar, chords=chords))
    return tuple(page)


def _arriving(bars: Sequence[Bar]) -> list[list[ChordSymbol | None]]:
    """The chords that may be sounding where each bar starts (None: none yet)."""
    arriving: list[list[ChordSymbol | None]] = [[] for _ in bars]
    sounding: ChordSymbol | None = None
    for index in play_order(bars).indices:
        here = arriving[index]
        if sounding not in here:
            here.append(sounding)
        if bars[index].chords:
            sounding = bars[index].chords[-1].symbol
    return arriving
