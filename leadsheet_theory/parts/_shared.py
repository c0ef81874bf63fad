"""What all parts of one tune share: rhythm, form, pages, solo changes.

It is found once for a whole set of parts; nothing here depends on the reader.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator, Sequence
from fractions import Fraction
from functools import cache
from itertools import accumulate, pairwise
from math import lcm
from typing import Final, get_args

from attrs import evolve, frozen

from .._arguments import check_choice
from ..chords import ChordSymbol
from ..chords.respell import HeardChanges, heard_changes
from ..errors import DecisionError, EmptySheetError, LayoutError
from ..key import Key
from ..leadsheet.divided_bars import numbers_through
from ..leadsheet.findings import Finding
from ..leadsheet.form import draw_out_endings
from ..leadsheet.model import Bar, Hit, LeadSheet
from ..leadsheet.open_ties import open_ties
from ..leadsheet.running_order import RunningOrder, running_order
from ..leadsheet.slash_time import SlashedBars, silent_bars, slashed, to_be_slashed
from ..leadsheet.stacked_chords import spread_stacked_chords
from ..leadsheet.timeline import HeldNote, Line, held_notes
from ..rhythm.beams import BeamStyle
from ._behind_solos import Behind, behind_solos, voices_lost
from ._hidden_rests import show_rests
from ._melody import Melody, melody_of
from ._restated import restated
from ._rhythm import BarRhythm, bar_rhythm, beat_slashes
from ._road_signs import LAST_TIME, head_page, pickup_again
from ._road_signs import solo_page as the_solo_page
from ._sounds import Sounds, Span, sounds_of, spans_of
from ._words import NamedSounds, named_sounds, unreadable_words
from .hits import CueBar, accented, cue_bars
from .model import Rebeam, SharedBar
from .solo_changes import SoloChanges, StackedChords, solo_changes
from .systems import NO_BREAKS, BreaksAsked, Page, PagePlan, plan_systems

__all__ = ("Shared", "share")


@frozen(order=False, kw_only=True)
class Shared:
    """All that does not depend on the reader.

    `bars` are those of the source's tune, then those of the solo page, and `written`
    says how each is written; `rhythms` belong to the tune's.  `changes` are all chord
    symbols with the source's key, `change_bars` the indices of their bars, and the
    changes of bar `n` start at `change_starts[n]`.  `before` holds, for each bar of the
    tune, the bars that may be read or played just before it, or is None where that is
    always the one on the left.  `held` is the melody with tied notes joined, its
    pitches counted as `melody` counts them.  `style` is how beams are grouped.  `named`
    are the sounds that words name.  `spans` are the tune's chords in time,
    `tune_chords` gives what the spelling of their roots starts from, and `sounds`
    the sounding notes of a line over them.  `small_bars` are the bars of the solo page,
    counted from its first, that have small notes; `page_places` holds for each chord of
    that page the index of the tune's chord that it is, or None.
    """

    sheet: LeadSheet
    order: RunningOrder
    bars: tuple[Bar, ...]
    written: tuple[SharedBar, ...]
    rhythms: tuple[BarRhythm, ...]
    melody: Melody
    held: tuple[HeldNote, ...]
    plan: PagePlan
    divisions: int
    style: BeamStyle
    key_runs: tuple[tuple[Key, int], ...]
    changes: tuple[tuple[Key, ChordSymbol], ...]
    change_bars: tuple[int, ...]
    change_starts: tuple[int, ...]
    before: tuple[tuple[int, ...], ...] | None
    named: tuple[NamedSounds, ...]
    remarks: tuple[Finding, ...]
    spans: tuple[Span, ...]
    tune_chords: Callable[[], HeardChanges]
    sounds: Callable[[Line], Sounds]
    small_bars: tuple[int, ...]
    page_places: tuple[int | None, ...]

    @property
    def reads_plain(self) -> bool:
        """Whether some chord has a tone that is read under a plain name."""
        return any(span.plain for span in self.spans)

    def change_onset(self, index: int, /) -> Fraction:
        """Where a change stands in its bar, in quarter notes."""
        bar = self.change_bars[index]
        return self.bars[bar].chords[index - self.change_starts[bar]].onset


def share(
    sheet: LeadSheet,
    *,
    page: Page,
    bars_per_system: int,
    style: BeamStyle,
    cues: bool | Sequence[CueBar],
    cue_label: str,
    solo_page: bool | SoloChanges,
    stacked_chords: StackedChords,
    order: RunningOrder | None,
    slashes: SlashedBars,
    breaks: BreaksAsked = NO_BREAKS,
    rebeam: Iterable[Rebeam] = (),
) -> Shared:
    """Decide what the parts of a sheet have in common."""
    if not sheet.bars:
        raise EmptySheetError(sheet.title)
    check_choice("stacked_chords", stacked_chords, get_args(StackedChords))
    check_choice("slashes", slashes, get_args(SlashedBars))
    sheet, stack_remarks = _laid_out(sheet, stacked_chords)
    order = _order(sheet, order, bool(solo_page))
    tune, slash_remarks = _with_slashes(draw_out_endings(sheet.bars), order, slashes)
    found = _cues(tune, cues, cue_label)
    tune, rest_remarks = show_rests(tune, found)
    plan = plan_systems(
        tune,
        bars_per_system=bars_per_system,
        page=page,
        starts=breaks.in_tune(tune),
    )
    solo: tuple[Bar, ...] = ()
    end = len(tune) - 1
    if order.head and tune[order.head[-1]].form.fine:
        end = order.head[-1]
    remarks = (*stack_remarks, *rest_remarks, *order.problems, *slash_remarks)
    if order.has_solos:
        changes = (
            solo_page
            if isinstance(solo_page, SoloChanges)
            else solo_changes(sheet, order=order, stacked_chords="kept")  # laid out
        )
        remarks += (*changes.remarks, *_moved(changes), *_letters_apart(tune, changes))
        solo = draw_out_endings(changes.bars)
        solo_plan = plan_systems(
            solo,
            bars_per_system=bars_per_system,
            section_starts="always",
            page=page,
            later_page=True,
            starts=breaks.in_solos(tune, solo),
        )
        solo = restated(solo, restate=False, drop=False, at=solo_plan.system_starts)
        solo = the_solo_page(solo, order)
        tune = head_page(tune, order, page=len(plan.page_starts) + 1)
        end = order.out_head[-1]
        plan = plan.followed_by(solo_plan)
    tune, end_remarks = _closed(tune, end)
    remarks += end_remarks
    divisions = sheet.divisions
    breaks.check(tune, solo)
    wishes = _by_bar(rebeam, tune)
    rhythms = tuple(
        bar_rhythm(
            accented(bar, cue),
            cue,
            style=style,
            divisions=divisions,
            rebeam=wishes.get(bar.number, ()),
        )
        for bar, cue in zip(tune, found, strict=True)
    )
    on_beats = tuple(map(beat_slashes, solo))
    remarks += tuple(voices_lost(solo))
    behind = behind_solos(
        solo,
        _cues(solo, cues is not False, cue_label),
        style=style,
        divisions=_of_solo(divisions, solo),
    )
    again = pickup_again([each.bar for each in rhythms], solo, order)
    if again and behind[-1].bar.counterline:
        remarks += (_PICKUP_LEFT_OUT,)
    elif again:
        last = evolve(
            behind[-1],
            bar=evolve(behind[-1].bar, counterline=again),
            beams=rhythms[0].melody.beams,
            label=LAST_TIME,
        )
        behind = (*behind[:-1], last)
    solo = tuple(each.bar for each in behind)
    divisions = _finest(divisions, rhythms, on_beats, behind)
    bars = (*tune, *solo)
    named = tuple(named_sounds(bars))
    lines = [each.bar for each in rhythms]
    held = held_notes(lines)
    symbols = tuple([(bar.key, placed.symbol) for bar in bars for placed in bar.chords])
    spans = spans_of(tune, divisions)

    # these are found when a part asks for them, once for all parts
    @cache
    def tune_chords() -> HeardChanges:
        return heard_changes(symbols[: len(spans)])

    @cache
    def sounds(line: Line) -> Sounds:
        of_line = held if line == "melody" else held_notes(lines, line=line)
        return sounds_of(of_line, spans, divisions)

    return Shared(
        sheet=sheet,
        order=order,
        bars=bars,
        written=(
            *_tune_bars(rhythms, plan),
            *_solo_bars(rhythms, behind, on_beats, plan),
        ),
        rhythms=rhythms,
        melody=melody_of(rhythms),
        held=held,
        plan=plan,
        divisions=divisions,
        style=style,
        key_runs=_key_runs(bars),
        changes=symbols,
        change_bars=tuple(
            [index for index, bar in enumerate(bars) for _ in bar.chords]
        ),
        change_starts=tuple(accumulate((len(bar.chords) for bar in bars), initial=0)),
        before=_before(tune, order.head + order.out_head),
        named=named,
        remarks=tuple(dict.fromkeys((*remarks, *unreadable_words(bars, named)))),
        spans=spans,
        tune_chords=tune_chords,
        sounds=sounds,
        small_bars=tuple(
            [index for index, each in enumerate(behind) if each.bar.counterline]
        ),
        page_places=_page_places(symbols, len(spans)),
    )


def _laid_out(
    sheet: LeadSheet, stacked_chords: StackedChords
) -> tuple[LeadSheet, tuple[Finding, ...]]:
    """The sheet as the parts take it, without alternate chords and with those on one
    beat spread if they are to be, and what was spread."""
    remarks: tuple[Finding, ...] = ()
    if stacked_chords == "spread":
        spread = spread_stacked_chords(sheet.bars)
        remarks = spread.remarks
        if remarks:
            sheet = evolve(sheet, bars=spread.bars)
    if any(bar.alternate_chords for bar in sheet.bars):
        sheet = evolve(
            sheet, bars=tuple([evolve(bar, alternate_chords=()) for bar in sheet.bars])
        )
    return sheet, remarks


def _with_slashes(
    tune: tuple[Bar, ...], order: RunningOrder, which: SlashedBars
) -> tuple[tuple[Bar, ...], list[Finding]]:
    """The tune with slashes in the silent bars that get them, and what is told of it:
    where they stand now, and where they could."""
    chosen = frozenset(to_be_slashed(tune, order, which=which))
    remarks = []
    for index in silent_bars(tune):
        message, advice = _SLASHED if index in chosen else _COULD_BE_SLASHED
        remarks.append(
            Finding(
                rule="slashes",
                severity="note",
                message=message,
                advice=advice,
                bar=tune[index].number,
            )
        )
    if not chosen:
        return tune, remarks
    bars = [slashed(bar) if at in chosen else bar for at, bar in enumerate(tune)]
    return tuple(bars), remarks


_SLASHED: Final = (
    "the melody is silent under the chords: slashes stand there",
    'slashes="as written" leaves the rests',
)
_COULD_BE_SLASHED: Final = (
    "the melody is silent under the chords",
    'slashes="wherever silent" puts slashes there',
)


def _order(
    sheet: LeadSheet, asked: RunningOrder | None, solo_page: bool
) -> RunningOrder:
    """The order asked for or the tune's own; one without solos where no page of them
    is wanted, or none can be made."""
    whole = any(not bar.is_pickup for bar in sheet.bars)
    if not (solo_page and whole and any(bar.chords for bar in sheet.bars)):
        return running_order(sheet, solos="none")
    return running_order(sheet) if asked is None else asked


def _cues(
    tune: Sequence[Bar], asked: bool | Sequence[CueBar], label: str
) -> tuple[CueBar, ...]:
    """What is cued in each bar: what the tune says, nothing, or what was asked for."""
    if isinstance(asked, bool):
        return cue_bars(tune, label=label) if asked else (CueBar(),) * len(tune)
    found = tuple(asked)
    if len(found) != len(tune):
        raise LayoutError(f"{len(found)} cues for a tune of {len(tune)} bars")
    return found


def _by_bar(rebeam: Iterable[Rebeam], tune: Sequence[Bar]) -> dict[int, list[Rebeam]]:
    """The wishes for beams by the numbers of their bars."""
    wishes: dict[int, list[Rebeam]] = {}
    for wish in rebeam:
        wishes.setdefault(wish.bar, []).append(wish)
    for number in wishes.keys() - {bar.number for bar in tune}:
        last = tune[-1].number
        raise DecisionError(f"no bar {number}: the tune ends with bar {last}")
    return wishes


def _page_places(
    changes: Sequence[tuple[Key, ChordSymbol]], count: int
) -> tuple[int | None, ...]:
    """For each chord of the solo page the one of the tune's `count` that it is: the
    same symbol in the same key, followed by the same one if there is such, and the next
    such after the last one found."""
    numbers = _numbered(changes)
    places: dict[int, list[int]] = {}
    followed: dict[tuple[int, int], list[int]] = {}
    for index, number in enumerate(numbers[:count]):
        places.setdefault(number, []).append(index)
    for index, pair in enumerate(pairwise(numbers[:count])):
        followed.setdefault(pair, []).append(index)
    found: list[int | None] = []
    last = -1
    for number, after in pairwise([*numbers[count:], -1]):
        likely = followed.get((number, after)) or places.get(number)
        if likely is None:
            found.append(None)
            continue
        place = bisect_left(likely, last)
        last = likely[place if place < len(likely) else 0]
        found.append(last)
    return tuple(found)


def _numbered(changes: Iterable[tuple[Key, ChordSymbol]]) -> list[int]:
    """A number for each change, the same for equal ones; those that are the very same
    values are not compared again."""
    known: dict[tuple[Key, ChordSymbol], int] = {}
    seen: dict[tuple[int, int], int] = {}
    numbers: list[int] = []
    for change in changes:
        values = id(change[0]), id(change[1])
        number = seen.get(values)
        if number is None:
            number = seen[values] = known.setdefault(change, len(known))
        numbers.append(number)
    return numbers


def _closed(
    tune: tuple[Bar, ...], end: int
) -> tuple[tuple[Bar, ...], tuple[Finding, ...]]:
    """The tune with a final bar line where the music ends, and a remark if it had none:
    a plain one there, and no way back."""
    bar = tune[end]
    if bar.form.barline != "regular" or bar.form.repeat_end or bar.form.jump:
        return tune, ()
    closed = evolve(bar, form=evolve(bar.form, barline="final"))
    remark = Finding(
        rule="form",
        severity="note",
        message="a final bar line is drawn here",
        bar=bar.number,
    )
    return (*tune[:end], closed, *tune[end + 1 :]), (remark,)


def _moved(changes: SoloChanges) -> Iterator[Finding]:
    """What the solo page has otherwise than the tune: how many chords moved, and each
    one that is left out."""
    moved = sum(move.to_bar is not None for move in changes.moves)
    if moved:
        what = "1 chord is" if moved == 1 else f"{moved} chords are"
        yield Finding(
            rule="solo-page",
            severity="note",
            message=f"{what} moved onto the beat on the solo page",
            advice="solo_page=False leaves that page out",
        )
    for move in changes.moves:
        if move.to_bar is None and move.reason != "pickup left out":
            yield Finding(
                rule="solo-page",
                severity="note",
                message=f"left out on the solo page: {move.symbol} ({move.reason})",
                bar=move.bar,
                beat=move.beat,
            )


_PICKUP_LEFT_OUT: Final = Finding(
    rule="solo-page",
    severity="note",
    message="a background stands in the last bar of the solo page, so the pickup that "
    "leads back does not",
)


def _letters_apart(tune: Sequence[Bar], changes: SoloChanges) -> Iterator[Finding]:
    """Tell of a solo page with letters for a tune that has none."""
    letters = {bar.form.section for bar in changes.bars if bar.form.section}
    if len(letters) > 1 and not any(bar.form.section for bar in tune):
        yield Finding(
            rule="letters",
            severity="note",
            message="the solo page has letters, the tune has none",
            advice="with_letters gives the tune some",
        )


def _tune_bars(rhythms: Sequence[BarRhythm], plan: PagePlan) -> Iterator[SharedBar]:
    last = len(rhythms) - 1
    systems, pages = frozenset(plan.system_starts), frozenset(plan.page_starts)
    ties = open_ties([rhythm.bar for rhythm in rhythms])
    for index, rhythm in enumerate(rhythms):
        bar = rhythm.bar
        following = rhythms[index + 1].bar if index < last else None
        yield SharedBar(
            number=bar.number,
            source=bar,
            melody_beams=rhythm.melody.beams,
            counterline_beams=rhythm.counterline.beams,
            cue=rhythm.cue,
            cue_beams=rhythm.cue_beams,
            cue_label=rhythm.cue_label,
            slashes=(),
            starts_system=index in systems,
            starts_page=index in pages,
            ending_stops=bar.ending_stops_before(following),
            open_ties=ties[index],
        )


def _solo_bars(
    rhythms: Sequence[BarRhythm],
    behind: Sequence[Behind],
    slashes: Sequence[tuple[Hit, ...]],
    plan: PagePlan,
) -> Iterator[SharedBar]:
    first = max(rhythm.bar.number for rhythm in rhythms) + 1
    last = len(behind) - 1
    numbers = numbers_through([each.bar for each in behind], first=first)
    systems, pages = frozenset(plan.system_starts), frozenset(plan.page_starts)
    for index, each in enumerate(behind):
        place = len(rhythms) + index
        yield SharedBar(
            number=numbers[index],
            source=each.bar,
            counterline_beams=each.beams,
            counterline_label=each.label,
            cue=each.cue,
            cue_beams=each.cue_beams,
            cue_label=each.cue_label,
            slashes=slashes[index],
            shows_number=False,
            starts_system=place in systems,
            starts_page=place in pages,
            ending_stops=each.bar.ending_stops_before(
                behind[index + 1].bar if index < last else None
            ),
        )


def _finest(
    divisions: int,
    rhythms: Iterable[BarRhythm],
    slashes: Iterable[tuple[Hit, ...]],
    behind: Iterable[Behind],
) -> int:
    """The divisions that the written values ask for, beside those of the source."""
    found = {divisions}
    for rhythm in rhythms:
        if rhythm.is_new:
            for line in (rhythm.bar.melody, rhythm.bar.counterline):
                found.update(event.duration.denominator for event in line)
        found.update(event.duration.denominator for event in rhythm.cue)
    for each in {id(bar): bar for bar in slashes}.values():
        found.update(slash.duration.denominator for slash in each)
    found.update(
        placed.onset.denominator for each in behind for placed in each.bar.chords
    )
    for bar in behind:
        for event in (*bar.bar.counterline, *bar.cue):
            found |= {event.onset.denominator, event.duration.denominator}
    return lcm(*found)


def _of_solo(divisions: int, solo: Iterable[Bar]) -> int:
    """The divisions of the source and of what was put into the solo page."""
    found = {divisions}
    for bar in solo:
        for event in (*bar.melody, *bar.hits):
            found |= {event.onset.denominator, event.duration.denominator}
    return lcm(*found)


def _key_runs(bars: Sequence[Bar]) -> tuple[tuple[Key, int], ...]:
    """The keys of the bars in order, each with the number of bars it holds for."""
    runs: list[tuple[Key, int]] = []
    for bar in bars:
        if runs and (bar.key is runs[-1][0] or bar.key == runs[-1][0]):
            runs[-1] = runs[-1][0], runs[-1][1] + 1
        else:
            runs.append((bar.key, 1))
    return tuple(runs)


def _before(
    bars: Sequence[Bar], order: Sequence[int]
) -> tuple[tuple[int, ...], ...] | None:
    if not any(bar.form.ending_starts for bar in bars):
        return None
    before = [{index - 1} for index in range(len(bars))]
    for left, right in pairwise(order):
        before[right].add(left)
    return tuple(tuple(sorted(each)) for each in before)
