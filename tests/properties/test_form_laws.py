"""Laws of form: folding, systems, cues and solo changes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction

from attrs import evolve
from form_charts import bar as plain_bar
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import signed_charts, written_out_charts

from leadsheet_theory.chords import ChordSymbol
from leadsheet_theory.leadsheet import ChordChoice
from leadsheet_theory.leadsheet.folding import FoldAim, fold, unfold
from leadsheet_theory.leadsheet.form import play_order
from leadsheet_theory.leadsheet.model import Bar, Hit, LeadSheet, PlacedChord, Rest
from leadsheet_theory.parts import (
    CueCut,
    SectionStarts,
    SoloForm,
    cue_bars,
    plan_systems,
    solo_changes,
)
from leadsheet_theory.rhythm import counted_beats

AIMS: tuple[FoldAim, ...] = ("sections clear", "page short")


@given(written_out_charts(), st.sampled_from(AIMS), st.integers(1, 8))
def test_unfolding_a_fold_gives_the_chart(
    chart: tuple[Bar, ...], aim: FoldAim, shortest: int
) -> None:
    page = fold(chart, aim=aim, shortest_repeat=shortest).bars
    assert unfold(page) == chart
    assert play_order(page).problems == ()


@given(written_out_charts(), st.sampled_from(AIMS))
def test_folding_makes_no_chart_longer_and_is_done_after_once(
    chart: tuple[Bar, ...], aim: FoldAim
) -> None:
    page = fold(chart, aim=aim).bars
    assert len(page) <= len(chart)
    assert fold(page, aim=aim).bars == page


@given(written_out_charts())
def test_a_short_page_is_no_longer_than_a_clear_one(chart: tuple[Bar, ...]) -> None:
    clear, short = (fold(chart, aim=aim).bars for aim in AIMS)
    assert len(short) <= len(clear)


@given(signed_charts(), st.sampled_from(AIMS))
def test_folding_a_page_with_signs_plays_the_same(
    page: tuple[Bar, ...], aim: FoldAim
) -> None:
    folded = fold(page, aim=aim).bars
    assert aim == "sections clear" or len(folded) <= len(page)
    assert unfold(folded) == unfold(page)


@given(signed_charts())
def test_the_order_of_playing_holds_every_bar_and_is_sound(
    page: tuple[Bar, ...],
) -> None:
    order = play_order(page)
    assert set(order.indices) <= set(range(len(page)))
    assert order.indices[0] == 0
    missed = len(page) - len(set(order.indices))
    assert bool(missed) == any("never played" in str(p) for p in order.problems)
    # Played out, there is nothing left to play out.
    out = unfold(page)
    assert play_order(out).indices == tuple(range(len(out)))


@given(
    signed_charts(),
    st.integers(1, 6),
    st.sampled_from(("where free", "always", "as they fall")),
)
def test_systems_hold_so_many_bars_and_are_as_few_as_can_be(
    page: tuple[Bar, ...], most: int, section_starts: SectionStarts
) -> None:
    plan = plan_systems(page, bars_per_system=most, section_starts=section_starts)
    ends = (*plan.system_starts[1:], len(page))
    sizes = [
        sum(not bar.is_pickup for bar in page[start:end])
        for start, end in zip(plan.system_starts, ends, strict=True)
    ]
    counted = sum(not bar.is_pickup for bar in page)
    assert plan.system_starts[0] == 0
    assert all(1 <= size <= most for size in sizes)
    if section_starts != "always":
        assert len(sizes) == -(-counted // most)
        assert sizes[-1] > 1 or most == 1 or counted == 1
    assert set(plan.page_starts) <= set(plan.system_starts)
    plain = [evolve(bar, chords=(), key=bar.key) for bar in page]
    assert plan == plan_systems(
        plain, bars_per_system=most, section_starts=section_starts
    )


@given(
    st.lists(
        st.lists(st.integers(0, 7), max_size=4, unique=True).map(sorted), max_size=6
    ),
    st.sampled_from(("bar", "figure", "never")),
)
def test_cues_hold_every_hit_and_no_rest_trails(
    rhythm: list[list[int]], cut: CueCut
) -> None:
    half = Fraction(1, 2)
    bars = [
        evolve(plain_bar(number), hits=tuple(Hit(half * at, half) for at in onsets))
        for number, onsets in enumerate(rhythm, start=1)
    ]
    cues = cue_bars(bars, cut=cut)
    assert len(cues) == len(bars)
    for index, (bar, cue) in enumerate(zip(bars, cues, strict=True)):
        at = Fraction(0)
        for event in cue.events:
            assert event.onset == at
            at += event.duration
        assert at == cue.end <= bar.length
        hits = tuple(event for event in cue.events if isinstance(event, Hit))
        assert hits == bar.hits
        followed = index + 1 < len(bars) and bool(bars[index + 1].hits)
        if cue.events and (cut == "bar" or (cut == "figure" and not followed)):
            assert not isinstance(cue.events[-1], Rest)


def sounding(bars: Sequence[Bar]) -> Iterator[ChordSymbol | None]:
    """What sounds on each beat that players count, in playing order."""
    symbol: ChordSymbol | None = None
    for index in play_order(bars).indices:
        bar = bars[index]
        waiting = list(bar.chords)
        for beat in counted_beats(bar.meter):
            while waiting and waiting[0].onset <= beat:
                symbol = waiting.pop(0).symbol
            yield symbol
        symbol = waiting[-1].symbol if waiting else symbol


@given(
    signed_charts(),
    st.sampled_from(("written out", "sections clear", "page short")),
    st.sampled_from(("kept", "left out")),
    st.booleans(),
)
def test_the_solo_page_sounds_the_same_in_every_form(
    bars: tuple[Bar, ...], form: SoloForm, repeated: str, restate: bool
) -> None:
    sheet = LeadSheet(title="Odd Socks", bars=bars)
    plain = solo_changes(sheet, form="written out", repeated="kept").bars
    page = solo_changes(
        sheet,
        form=form,
        repeated=repeated,  # type: ignore[arg-type]
        restate_at_sections=restate,
    ).bars
    assert list(sounding(page)) == list(sounding(plain))


@given(signed_charts(), st.sampled_from(("all", "a beat or longer", "strong beats")))
def test_no_sign_leads_away_from_the_solo_page_and_its_bars_are_whole(
    bars: tuple[Bar, ...], chords: ChordChoice
) -> None:
    page = solo_changes(LeadSheet(title="Odd Socks", bars=bars), chords=chords).bars
    for bar in page:
        form = bar.form
        assert not (form.jump or form.to_coda or form.coda or form.fine or form.segno)
        assert bar.length >= bar.meter.bar_length
        assert not bar.is_pickup


@given(written_out_charts(), st.integers(0, 3))
def test_every_move_is_listed_and_nothing_else_moves(
    chart: tuple[Bar, ...], shift: int
) -> None:
    sheet = LeadSheet(title="Odd Socks", bars=_shifted(chart, shift))
    asked = {"form": "written out", "restate_at_sections": False, "repeated": "kept"}
    page = solo_changes(sheet, **asked, breaks="kept")  # type: ignore[arg-type]
    moved = {(move.bar, move.beat) for move in page.moves}
    arrived = {(move.to_bar, move.to_beat) for move in page.moves}

    def places(chart: Sequence[Bar]) -> Counter[tuple[int, Fraction, ChordSymbol]]:
        return Counter(
            (bar.number, bar.beat_of(placed.onset), placed.symbol)
            for bar in chart
            for placed in bar.chords
        )

    gone = places(sheet.bars) - places(page.bars)
    new = places(page.bars) - places(sheet.bars)
    assert {(number, beat) for number, beat, _ in gone} <= moved
    assert {(number, beat) for number, beat, _ in new} <= arrived


def _shifted(chart: tuple[Bar, ...], shift: int) -> tuple[Bar, ...]:
    """The chart with its chords half beats later."""
    return tuple(
        evolve(
            bar,
            chords=tuple(
                PlacedChord(placed.onset + Fraction(shift, 2), placed.symbol)
                for placed in bar.chords
                if placed.onset + Fraction(shift, 2) < bar.length
            ),
        )
        for bar in chart
    )


@settings(max_examples=25)
@given(written_out_charts(), st.integers(0, 3))
def test_solo_changes_are_stable(chart: tuple[Bar, ...], shift: int) -> None:
    """A page of solo changes is its own page of solo changes."""
    bars = _shifted(chart, shift)
    once = solo_changes(LeadSheet(title="Odd Socks", bars=bars)).bars
    assert solo_changes(LeadSheet(title="Odd Socks", bars=once)).bars == once
