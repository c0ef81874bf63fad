"""Solo changes: the page of slashes and chords that the soloists read.

The page holds one chorus: the head's bars in a form of its own, without introduction,
tag or coda (one that completes the head's last section is no such coda), with whole
bars and every chord on the beat where it is felt
(:mod:`~.leadsheet.felt_chords`).  A chord is left out only where that is asked for;
what moves is listed.  A break is played through: its N.C. is left out and the chord
before goes on.  All this is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Final, Literal, TypeVar, get_args

from attrs import evolve, frozen

from .._arguments import check_choice
from .._doors import door
from ..chords import NoChord, typed_chord
from ..leadsheet.endings import whole_endings
from ..leadsheet.felt_chords import (
    ChordChoice,
    ChordMove,
    FeltChords,
    felt_chords,
    starts_in_metre,
)
from ..leadsheet.findings import Finding
from ..leadsheet.folding import FoldAim, find_sections, fold
from ..leadsheet.form import sections
from ..leadsheet.lead_in import lead_in
from ..leadsheet.model import (
    Bar,
    Direction,
    Hit,
    LeadSheet,
    Note,
    PlacedChord,
    Rest,
)
from ..leadsheet.running_order import RunningOrder, running_order
from ..leadsheet.signs import Barline, FormSigns
from ..leadsheet.stacked_chords import spread_stacked_chords
from ._bar_counts import counted
from ._restated import restated, restated_at_bars

__all__ = ("SoloChanges", "SoloForm", "StackedChords", "solo_changes")

SoloForm = Literal["sections clear", "as written", "page short", "written out"]
"""The form of the solo page: folded so that no section is parted, the head's own
repeats and endings, the shortest page, or no repeats at all."""

StackedChords = Literal["spread", "kept"]
"""What becomes of chord symbols entered on one beat."""

_START: Final = Fraction(0)
_Chords = tuple[PlacedChord, ...]
_Placed = TypeVar("_Placed", PlacedChord, Hit, Direction)

_HITS: Final = 'hits="kept" has them played behind the solos'

_FEW_BARS: Final = 8
"""So many bars are no form that one bar would be over."""

_NOT_IN_SOLOS: Final = frozenset(
    {"intro", "introduction", "vamp", "coda", "tag", "ending", "outro", "interlude"}
)
"""The sections that no solo is played over (common practice, no source)."""


@frozen(order=False)
class SoloChanges:
    """The solo page: its bars, what was moved, what was not.

    The bars have chords, form and no melody.  `remarks` name what the page has
    otherwise than the head, chord by chord where one stays off the beat.
    """

    bars: tuple[Bar, ...]
    moves: tuple[ChordMove, ...] = ()
    remarks: tuple[Finding, ...] = ()


@door
def solo_changes(
    sheet: LeadSheet,
    /,
    *,
    form: SoloForm = "sections clear",
    chords: ChordChoice = "all",
    pushes: Literal["onto the beat", "kept"] = "onto the beat",
    breaks: Literal["played through", "kept"] = "played through",
    repeated: Literal["kept", "left out"] = "left out",
    restate_at_sections: bool = True,
    leave_out: Collection[str] = _NOT_IN_SOLOS,
    stacked_chords: StackedChords = "spread",
    hits: Literal["left out", "kept"] = "left out",
    bar_counts: int = 0,
    order: RunningOrder | None = None,
) -> SoloChanges:
    """The changes of a tune for its soloists: those of its own solo chorus as they are,
    or else made from its head.

    Args:
        sheet: the tune.
        form: repeats and endings of the page.
        chords: which chords are kept.
        pushes: ``"kept"`` leaves every chord where the source has it.
        breaks: what becomes of N.C. over less than a section.
        repeated: what becomes of a chord that is still sounding where it is
            written again.
        restate_at_sections: write the sounding chord again where a section, a
            repeat or an ending starts without one.
        leave_out: sections that are not played in solos, by name, capitals or not.
        stacked_chords: what becomes of chord symbols entered on one beat:
            ``"spread"`` over the beats up to the next, or ``"kept"``.
        hits: whether the head's hits are played behind the solos.
        bar_counts: every how many bars of a section their count stands over the bar,
            such as 4 for *(4)*, *(8)*; 0 for no counts.
        order: the running order, if it is not that of the chart's signs.

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
    check_choice("breaks", breaks, ("played through", "kept"))
    check_choice("repeated", repeated, ("kept", "left out"))
    check_choice("hits", hits, ("left out", "kept"))
    check_choice("stacked_chords", stacked_chords, get_args(StackedChords))
    if not sheet.bars:
        return SoloChanges(())
    stacked: tuple[Finding, ...] = ()
    if stacked_chords == "spread":
        spread = spread_stacked_chords(sheet.bars)
        sheet, stacked = evolve(sheet, bars=spread.bars), spread.remarks
    order = order or running_order(sheet)
    if sheet.solo_chorus is not None and sheet.solo_chorus.bars:
        own = counted(sheet.solo_chorus.bars, every=bar_counts)
        return SoloChanges(own, remarks=stacked)
    names = {name.casefold() for name in leave_out}
    before = lead_in(sheet.bars)
    chorus = _chorus(sheet.bars, order.head, names, before)
    if not chorus:
        return SoloChanges(())
    felt = _felt(sheet.bars, order, chorus, pushes == "onto the beat", chords)
    chorus, held = _without_last_hold(sheet.bars, chorus, felt)
    left_out = _left_out(sheet.bars, chorus, before)
    remarks = [*stacked, *felt.remarks, *left_out, *held]
    moves = list(felt.moves)
    bars = _begun_after(sheet.bars, before, names)
    with_hits = hits == "kept"
    if hits == "left out" and any(sheet.bars[at].hits for at in chorus):
        told = _note("the hits are not played behind the solos")
        remarks.append(evolve(told, advice=_HITS))
    moves += _leading_in(sheet.bars[:before], felt)
    placed: Sequence[_Chords] = felt.chords
    if breaks == "played through" and any(map(_stops, placed)):
        plain = _with_chords(bars, placed, with_hits=with_hits)
        placed, played_through = _breaks_played_through(plain, chorus)
        moves += played_through
    if form == "as written" and not _goes_its_own_way(sheet.bars, order):
        plain = _with_chords(bars, placed, with_hits=with_hits)
        page = _as_written(plain, chorus, before)
    else:
        if repeated == "left out":
            placed = restated_at_bars(bars, placed)
        page = _written_out(bars, placed, chorus, with_hits=with_hits)
        aim: FoldAim = "page short" if form == "page short" else "sections clear"
        if form != "written out":
            folded = fold(page, aim=aim, letter=True)
            page = folded.bars
            remarks += folded.remarks
    if restate_at_sections or repeated == "left out":
        page = restated(page, restate=restate_at_sections, drop=repeated == "left out")
    page = counted(page, every=bar_counts)
    return SoloChanges(page, tuple(moves), tuple(remarks))


# ── Which bars ───────────────────────────────────────────────────────────────────


def _chorus(
    bars: Sequence[Bar], head: Sequence[int], names: Collection[str], before: int
) -> tuple[int, ...]:
    """The bars of one chorus in playing order: the head without what leads in `before`
    and the sections that are not played in solos (all of it, where these are
    everything)."""
    outside = {
        index
        for section in sections(bars)
        if section.name.strip(" :.").casefold() in names
        for index in range(section.start, section.end)
    }
    if "intro" in names:
        outside.update(range(_before_letter_a(bars)))
    if "coda" in names and any(bar.form.coda for bar in bars):
        coda = {
            index
            for section in sections(bars)
            for index in range(section.start, section.end)
            if any(bars[at].form.coda for at in range(section.start, index + 1))
        }
        outside = outside - coda if _completes(bars, head, coda) else outside | coda
    played = [index for index in head if index >= before]
    return tuple([index for index in played if index not in outside] or played)


def _before_letter_a(bars: Sequence[Bar]) -> int:
    """How many bars stand before the letter A, where a form begins: an introduction,
    named or not."""
    named = next((each for each in sections(bars) if each.name), None)
    return named.start if named is not None and named.name.strip() == "A" else 0


def _completes(bars: Sequence[Bar], head: Sequence[int], coda: set[int]) -> bool:
    """Whether the head jumps from inside a section to the coda, which then is the close
    of that section and no coda to the tune: a soloist needs it."""
    return any(
        right in coda and right != left + 1 and bars[left].form.to_coda
        for left, right in pairwise(head)
    )


def _begun_after(tune: Sequence[Bar], before: int, names: Collection[str]) -> list[Bar]:
    """The bars with the signs that stand over what leads in moved to the bar after it:
    but for its own name, such as *Intro*."""
    bars = list(tune)
    for bar, after in pairwise(range(before + 1)):
        form = bars[bar].form
        if form.section.strip(" :.").casefold() in names:
            form = evolve(form, section="")
        if form.begins:
            moved = bars[after].form.beginning_at(form)
            bars[after] = evolve(bars[after], form=moved)
    return bars


def _goes_on(event: Note | Rest) -> bool:
    """Whether nothing is struck here: a note is held, or there is silence."""
    if isinstance(event, Rest):
        return not event.slashes
    return event.tied_from_previous


def _without_last_hold(
    bars: Sequence[Bar], chorus: tuple[int, ...], felt: FeltChords
) -> tuple[tuple[int, ...], list[Finding]]:
    """The chorus without a bar over full fours at the end of its last pass in which the
    last note is held and nothing else happens (common practice, no source), and a
    remark on it."""
    last = bars[chorus[-1]]
    passes = [at for at, (one, two) in enumerate(pairwise(chorus), 1) if two <= one]
    *earlier, length = [end - at for at, end in pairwise([0, *passes, len(chorus)])]
    hold = (
        length > _FEW_BARS
        and length % 4 == 1
        and not any(each % 4 == 1 for each in earlier[-1:])
        and not (last.hits or last.form.ending_starts or felt.chords[chorus[-1]])
        and any(isinstance(event, Note) for event in last.melody)
        and all(map(_goes_on, last.melody))
    )
    if not hold:
        return chorus, []
    told = _note("the last bar, which holds the last note, is not played in solos")
    return chorus[:-1], [evolve(told, bar=last.number)]


def _goes_its_own_way(bars: Sequence[Bar], order: RunningOrder) -> bool:
    """Whether jumps are needed to play the head, or a bar that a repeat divides has
    changes of its own after it."""
    return any(
        part.divided_at and part.chords and bar.form.repeat_end
        for bar, part in pairwise(bars)
    ) or any(
        right != left + 1 and (bars[left].form.jump or bars[left].form.to_coda)
        for left, right in pairwise(order.head)
    )


def _left_out(
    bars: Sequence[Bar], chorus: Sequence[int], before: int
) -> Iterator[Finding]:
    """Tell of sections, of bracketed changes and of what leads in `before`, which the
    page does not have."""
    inside = set(chorus)
    names = [
        section.name
        for section in sections(bars)
        if section.name and inside.isdisjoint(range(section.start, section.end))
    ]
    for name in dict.fromkeys(names):
        yield _note(f"{name} is not played in solos")
    intro = _before_letter_a(bars)
    if intro > before and inside.isdisjoint(range(intro)):
        yield _note("what stands before the letter A is not played in solos")
    elif before and bars[0].counts and not names:
        which = "bar 1" if before == 1 else "bars 1 and 2"
        yield _note(f"what leads in ({which}) is not played in solos")
    for index in dict.fromkeys(chorus):
        for direction in bars[index].directions:
            if direction.kind == "words" and not _names_pedal(direction):
                text = direction.text.strip()
                if text.startswith("(") and typed_chord(text.strip("()")) is not None:
                    yield evolve(
                        _note(f"other changes are not on the solo page: {text}"),
                        bar=bars[index].number,
                        beat=bars[index].beat_of(direction.onset),
                    )


def _note(message: str) -> Finding:
    return Finding(rule="solo-page", severity="note", message=message)


# ── Their chords ─────────────────────────────────────────────────────────────────


def _felt(
    bars: Sequence[Bar],
    order: RunningOrder,
    chorus: Sequence[int],
    on_the_beat: bool,
    keep: ChordChoice,
) -> FeltChords:
    if not on_the_beat:
        check_choice("chords", keep, get_args(ChordChoice))
        return FeltChords(tuple(bar.chords for bar in bars))
    following = [
        *pairwise(order.head),
        (order.head[-1], chorus[0]),
        (chorus[-1], chorus[0]),
    ]
    return felt_chords(bars, following=following, keep=keep)


def _with_chords(
    bars: Sequence[Bar], chords: Sequence[_Chords], *, with_hits: bool
) -> list[Bar]:
    """The bars with these chords, words that name a pedal, and nothing to play but
    hits, if they are wanted."""
    return [
        Bar(
            number=bar.number,
            key=bar.key,
            meter=bar.meter,
            length=bar.length,
            chords=here,
            hits=bar.hits if with_hits else (),
            directions=_pedals(bar.directions),
            form=bar.form,
            divided_at=bar.divided_at,
            source_number=bar.source_number,
        )
        for bar, here in zip(bars, chords, strict=True)
    ]


def _pedals(directions: tuple[Direction, ...]) -> tuple[Direction, ...]:
    return directions and tuple(filter(_names_pedal, directions))


def _names_pedal(direction: Direction) -> bool:
    return direction.kind == "words" and "pedal" in direction.text.lower()


def _leading_in(bars: Sequence[Bar], felt: FeltChords) -> Iterator[ChordMove]:
    """The chords of what leads in, which the page does not have."""
    for bar, here in zip(bars, felt.chords, strict=False):
        for placed in here:
            yield ChordMove(
                placed.symbol,
                bar.number,
                bar.beat_of(placed.onset),
                None,
                None,
                "pickup left out",
            )


def _stops(chords: _Chords) -> list[PlacedChord]:
    return [each for each in chords if isinstance(each.symbol, NoChord)]


def _breaks_played_through(
    bars: Sequence[Bar], chorus: Sequence[int]
) -> tuple[list[_Chords], list[ChordMove]]:
    """The chords of the bars without the N.C. of breaks: those that do not last a whole
    section."""
    new = [bar.chords for bar in bars]
    moves: list[ChordMove] = []
    whole = _whole_section_silences(bars, chorus)
    for index, bar in enumerate(bars):
        stops = _stops(bar.chords)
        if not stops or index in whole:
            continue
        new[index] = tuple(each for each in bar.chords if each not in stops)
        moves += [
            ChordMove(
                each.symbol,
                bar.number,
                bar.beat_of(each.onset),
                None,
                None,
                "the break is played through",
            )
            for each in stops
        ]
    return new, moves


def _whole_section_silences(bars: Sequence[Bar], chorus: Sequence[int]) -> set[int]:
    """The bars of sections over which nothing but N.C. stands."""
    inside = [bars[index] for index in chorus]
    found: set[int] = set()
    for section in find_sections(inside):
        symbols = [
            placed.symbol
            for bar in inside[section.start : section.end]
            for placed in bar.chords
        ]
        if symbols and all(isinstance(symbol, NoChord) for symbol in symbols):
            found.update(chorus[section.start : section.end])
    return found


# ── Their form ───────────────────────────────────────────────────────────────────


def _written_out(
    bars: Sequence[Bar],
    chords: Sequence[_Chords],
    chorus: Sequence[int],
    *,
    with_hits: bool,
) -> tuple[Bar, ...]:
    """The chorus as it is played, with these `chords`, words that name a pedal, and
    hits, if they are wanted; in whole bars, its sections lettered or closed by double
    bars."""
    marks = _section_marks(whole_endings(bars), chorus)
    page: list[Bar] = []
    starts: dict[int, str] = {}  # the places of the page where sections start
    part = _START  # how much of the page's last bar is filled, if it is not whole
    name = ""
    before: Bar | None = None  # most bars are as long as the one before
    for place, index in enumerate(chorus):
        bar = bars[index]
        if (
            before is None
            or bar.length is not before.length
            or bar.meter is not before.meter
        ):
            full = bar.meter.bar_length
            short = bar.length < full
        before = bar
        begins = place in marks
        name = bar.form.section or name
        hits = bar.hits if with_hits else ()
        joins = bool(part) and part + bar.length == full
        if joins:
            last = page[-1]
            later = _later(chords[index], part)
            struck = last.hits + _later(hits, part)
            page[-1] = evolve(last, chords=last.chords + later, hits=struck)
            part = _START
            if begins and bar.length <= full - bar.length:
                marks.add(place + 1)  # the pickup of the section that follows
                continue
        else:
            offset = starts_in_metre(bars, index) if short else _START
            page.append(
                Bar(
                    number=len(page) + 1,
                    key=bar.key,
                    meter=bar.meter,
                    length=full if short else bar.length,
                    chords=_later(chords[index], offset),
                    hits=_later(hits, offset),
                    directions=_pedals(bar.directions),
                    source_number=bar.source_number,
                )
            )
            part = bar.length if short and not offset else _START
        if begins:
            starts[len(page) - 1] = name
            name = ""
    closed = {start - 1 for start in (*starts, len(page)) if start}
    for place in closed.union(starts):
        barline: Barline = "double" if place in closed else "regular"
        form = FormSigns(section=starts.get(place, ""), barline=barline)
        page[place] = evolve(page[place], form=form)
    return tuple(page)


def _later(placed: Sequence[_Placed], by: Fraction) -> tuple[_Placed, ...]:
    if not by:
        return tuple(placed)
    return tuple([evolve(each, onset=each.onset + by) for each in placed])


def _section_marks(bars: Sequence[Bar], chorus: Sequence[int]) -> set[int]:
    """The places of the chorus where a sign, a letter, a bar line starts a section.  A
    double bar at a *To Coda* is drawn for the coda's sake: it closes a section only of
    full fours (common practice, no source)."""
    marks: set[int] = set()
    last = 0
    for place, index in enumerate(chorus):
        form = bars[index].form
        before = chorus[place - 1] if place else -1
        if place == 0 or form.section or form.repeat_start or index <= before:
            marks.add(place)
            last = place
            continue
        left = bars[before].form
        double = left.barline != "regular" and (
            not left.to_coda or (place - last) % 4 == 0
        )
        if (left.ending or left.repeat_end or double) and not form.ending:
            marks.add(place)
            last = place
    return marks


def _as_written(
    bars: Sequence[Bar], chorus: Sequence[int], before: int
) -> tuple[Bar, ...]:
    """The written bars of the chorus with their repeats and endings, and no sign that
    leads elsewhere; the beats of what leads in `before`, and of the second part of a
    divided bar, go to the bar that lacks them, the signs of that part to the bar after
    it."""
    inside = set(chorus)
    pickup: Bar | None = None
    short = _START
    page: list[Bar] = []
    for index, bar in enumerate(bars):
        if index < before:
            short = bar.length
            continue
        if index not in inside:
            continue
        if bar.divided_at and page:
            pickup, short = bar, bar.length
            page[-1] = _with_second_part(page[-1], bar)
            continue
        form = bar.form if pickup is None else bar.form.beginning_at(pickup.form)
        barline = form.barline
        ends_section = index + 1 < len(bars) and bars[index + 1].form.section
        if barline == "final" or (barline == "regular" and ends_section):
            barline = "double"
        length = bar.length
        if short and length + short == bar.meter.bar_length:
            length = bar.meter.bar_length
        page.append(
            evolve(
                bar,
                length=length,
                form=evolve(
                    form.bar_lines,
                    section=form.section,
                    repeat_after_jump=False,
                    barline=barline,
                ),
            )
        )
        pickup = None
    return tuple(page)


def _with_second_part(bar: Bar, part: Bar) -> Bar:
    """A divided bar as a whole one."""
    return evolve(
        bar,
        length=max(bar.length, part.divided_at + part.length),
        chords=bar.chords + _later(part.chords, part.divided_at),
        directions=bar.directions + _later(part.directions, part.divided_at),
    )
