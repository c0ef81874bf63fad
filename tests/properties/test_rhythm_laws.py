"""Laws of rhythm on paper, over bars of any metre."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from strategies import loose_bars, meters, pitches, sounding_bars

from leadsheet_theory.errors import MeterError
from leadsheet_theory.key import Key
from leadsheet_theory.leadsheet.model import Bar, LeadSheet, Note
from leadsheet_theory.parts import make_parts
from leadsheet_theory.rhythm import (
    BY_BEAT,
    HALF_BAR_WHEN_FILLED,
    HALF_BAR_WHEREVER,
    WHOLE_BAR,
    BeamStyle,
    Meter,
    RhythmEvent,
    beam,
    beam_groups,
    counted_beats,
    rhythm_problems,
    spell_bar,
    spell_duration,
    stems,
    time_slashes,
    total_duration,
)

COMMON = Meter(4, 4)
STYLES = (
    HALF_BAR_WHEN_FILLED,
    BY_BEAT,
    HALF_BAR_WHEREVER,
    WHOLE_BAR,
    BeamStyle(half_bar="beats", short_bar="beats"),
    BeamStyle(half_bar="always", short_bar="always", mixed=True),
    BeamStyle(
        half_bar="always", short_bar="always", over_rests=True, tuplets_apart=True
    ),
)


def styles() -> st.SearchStrategy[BeamStyle]:
    return st.sampled_from(STYLES)


@st.composite
def written_bars(
    draw: st.DrawFn, meter: Meter | None = None
) -> tuple[Meter, tuple[RhythmEvent, ...]]:
    """A metre and a bar of it, well or carelessly written."""
    meter = meter or draw(meters())
    if draw(st.booleans()):
        return meter, spell_bar(draw(sounding_bars(meter)), meter)
    return meter, draw(loose_bars(meter))


@st.composite
def times(
    draw: st.DrawFn, meter: Meter, *, tuplets: bool = True
) -> tuple[Fraction, Fraction]:
    """An onset in the bar and a duration, on 16ths, triplets or quintuplets."""
    grid = Fraction(1, draw(st.sampled_from((4, 3, 5)))) if tuplets else Fraction(1, 4)
    onset = grid * draw(st.integers(0, int(meter.bar_length / grid) - 1))
    return onset, grid * draw(st.integers(1, 24))


# ── Values ───────────────────────────────────────────────────────────────────────


@given(st.data(), meters())
def test_values_sum_to_the_duration(data: st.DataObject, meter: Meter) -> None:
    onset, duration = data.draw(times(meter))
    assert total_duration(spell_duration(onset, duration, meter)) == duration


@given(st.data(), meters())
def test_rests_sum_to_the_duration_but_for_silent_bars(
    data: st.DataObject, meter: Meter
) -> None:
    onset, duration = data.draw(times(meter))
    assume(onset > 0 and onset + duration < 2 * meter.bar_length)
    rests = spell_duration(onset, duration, meter, rest=True)
    assert total_duration(rests) == duration


@given(st.data(), meters(), st.booleans())
def test_each_value_would_be_written_alone_too(
    data: st.DataObject, meter: Meter, rest: bool
) -> None:
    onset, duration = data.draw(times(meter, tuplets=False))
    assume(onset + duration < meter.bar_length)
    for value in spell_duration(onset, duration, meter, rest=rest):
        alone = spell_duration(onset, value.duration, meter, rest=rest)
        assert total_duration(alone) == value.duration
        assert len(alone) == 1
        onset += value.duration


@given(st.data(), st.booleans())
def test_only_values_on_beats_hide_the_middle_of_common_time(
    data: st.DataObject, rest: bool
) -> None:
    onset, duration = data.draw(times(COMMON))
    for value in spell_duration(onset, duration, COMMON, rest=rest):
        at, stop = onset % 4, onset % 4 + value.duration
        if value.tuplet is None and at < 2 < stop:
            assert at.denominator == stop.denominator == 1
            assert not rest or (at, stop) == (0, 4)
        onset += value.duration


@given(st.data(), meters())
def test_a_bar_written_out_lasts_as_long_and_starts_notes_where_they_sound(
    data: st.DataObject, meter: Meter
) -> None:
    notes = data.draw(sounding_bars(meter))
    bar = spell_bar(notes, meter)
    attacks, tied = [], False
    for event in bar:
        if event.kind == "note" and not tied:
            attacks.append([event.onset, Fraction(0)])
        if event.kind == "note":
            attacks[-1][1] += event.duration
        tied = event.tied_to_next
    assert [tuple(attack) for attack in attacks] == list(notes)
    if notes:
        assert total_duration(event.value for event in bar) == meter.bar_length


@given(st.data(), meters())
def test_tuplets_of_a_bar_open_and_close(data: st.DataObject, meter: Meter) -> None:
    inside = False
    for event in spell_bar(data.draw(sounding_bars(meter)), meter):
        ratio = event.value.tuplet
        if ratio is None:
            assert not inside
            continue
        assert ratio.starts != inside
        inside = not ratio.ends
    assert not inside


@given(st.data(), meters())
def test_what_is_written_by_the_rules_has_no_problem(
    data: st.DataObject, meter: Meter
) -> None:
    assert (
        rhythm_problems(spell_bar(data.draw(sounding_bars(meter)), meter), meter) == ()
    )


@given(meters())
def test_slashes_fill_the_bar_one_a_beat(meter: Meter) -> None:
    slashes = time_slashes(meter)
    assert [slash.onset for slash in slashes] == list(counted_beats(meter))
    assert total_duration(slash.value for slash in slashes) == meter.bar_length


# ── Metres ───────────────────────────────────────────────────────────────────────


@given(st.integers(1, 20), st.sampled_from((2, 4, 8, 16)), st.data())
def test_the_parts_of_a_bar_tile_it(
    beats: int, beat_type: int, data: st.DataObject
) -> None:
    grouping = data.draw(
        st.lists(st.integers(1, 4), max_size=5).map(tuple), label="grouping"
    )
    try:
        meter = Meter(beats, beat_type, grouping)
    except MeterError:
        meter = Meter(beats, beat_type)
    assert Meter.parse(str(meter)).hierarchy == meter.hierarchy
    spans = [meter.hierarchy]
    while spans:
        span = spans.pop()
        at = span.onset
        for part in span.parts:
            assert part.onset == at
            at = part.end
        assert not span.parts or at == span.end
        spans += span.parts
    assert sum(beat.length for beat in meter.beat_spans) == meter.bar_length


# ── Beams ────────────────────────────────────────────────────────────────────────


@given(written_bars(), styles())
def test_a_beam_joins_two_or_more_short_notes_and_no_note_twice(
    bar: tuple[Meter, tuple[RhythmEvent, ...]], style: BeamStyle
) -> None:
    meter, events = bar
    seen: set[int] = set()
    for group in beam_groups(events, meter, style=style):
        assert len(group) >= 2
        assert list(group) == sorted(set(group))
        for place in group:
            assert events[place].value.flags > 0
            assert events[place].kind != "rest"
        assert len({events[place].kind for place in group}) == 1
        assert not seen & set(group)
        seen |= set(group)


@given(written_bars(COMMON), styles())
def test_no_beam_passes_the_middle_of_common_time(
    bar: tuple[Meter, tuple[RhythmEvent, ...]], style: BeamStyle
) -> None:
    meter, events = bar
    for group in beam_groups(events, meter, style=style):
        if events[group[0]].kind == "note":
            assert len({events[place].onset >= 2 for place in group}) == 1


@given(written_bars(COMMON))
def test_the_swing_way_flags_a_lone_off_beat(
    bar: tuple[Meter, tuple[RhythmEvent, ...]],
) -> None:
    """A note is beamed past its beat only where eighths fill the half bar."""
    meter, events = bar
    for group in beam_groups(events, meter):
        notes = [events[place] for place in group]
        if notes[0].kind == "grace" or any(n.value.tuplet for n in notes):
            continue
        if len({note.onset // 1 for note in notes}) > 1:
            assert [note.onset % 2 for note in notes] == [
                Fraction(half, 2) for half in range(4)
            ]
            assert all(note.duration == Fraction(1, 2) for note in notes)


@given(written_bars(), styles())
def test_beaming_is_the_same_a_bar_later(
    bar: tuple[Meter, tuple[RhythmEvent, ...]], style: BeamStyle
) -> None:
    meter, events = bar
    later = beam(events, meter, style=style, start=meter.bar_length)
    assert later == beam(events, meter, style=style)


@given(written_bars(), styles())
def test_beam_marks_are_well_formed(
    bar: tuple[Meter, tuple[RhythmEvent, ...]], style: BeamStyle
) -> None:
    meter, events = bar
    marks = beam(events, meter, style=style)
    for event, lines in zip(events, marks, strict=True):
        assert len(lines) in (0, event.value.flags)
    for group in beam_groups(events, meter, style=style):
        for line in range(6):
            is_open = False
            for place in group:
                mark = marks[place][line] if len(marks[place]) > line else ""
                assert (mark in ("continue", "end")) <= is_open
                assert not (is_open and mark in ("", "begin", "forward hook"))
                is_open = mark in ("begin", "continue")
            assert not is_open


@given(sounding_bars(COMMON), st.data())
def test_beaming_is_the_same_in_every_transposed_part(
    notes: tuple[tuple[Fraction, Fraction], ...], data: st.DataObject
) -> None:
    melody = tuple(
        Note(
            onset=event.onset,
            duration=event.duration,
            pitches=(data.draw(pitches(55, 79)),),
            value=event.value,
        )
        for event in spell_bar(notes, COMMON)
        if event.kind == "note"
    )
    bar = Bar(
        number=1,
        key=Key.parse("F major"),
        meter=COMMON,
        length=Fraction(4),
        melody=melody,
    )
    parts = make_parts(LeadSheet(title="Study", bars=(bar,)))
    assert len(parts) == 5
    assert len({part.bars[0].melody_look.beams for part in parts}) == 1


@given(written_bars(), st.data())
def test_a_beam_joins_no_two_syllables(
    bar: tuple[Meter, tuple[RhythmEvent, ...]], data: st.DataObject
) -> None:
    meter, events = bar
    sung = data.draw(st.sets(st.integers(0, max(len(events) - 1, 0))))
    for group in beam_groups(events, meter, syllables=sung):
        if events[group[0]].kind == "note":
            assert not sung & set(group[1:])


# ── Stems ────────────────────────────────────────────────────────────────────────


@given(
    st.lists(st.lists(st.integers(-6, 14), max_size=3), max_size=8),
    st.integers(-20, 20),
)
def test_stems_depend_on_the_distance_from_the_middle_line_only(
    positions: list[list[int]], up: int
) -> None:
    group = tuple(i for i, notes in enumerate(positions) if notes)
    found = stems(positions, [group])
    raised = [[position + up for position in notes] for notes in positions]
    assert stems(raised, [group], middle=4 + up) == found
    assert len({found[place] for place in group}) <= 1


@pytest.mark.parametrize("voice", ["upper", "lower"])
def test_two_voices_keep_their_sides(voice: str) -> None:
    directions = set(stems([[-2], [4], [10]], [(0, 1)], voice=voice, graces=[1]))
    assert directions == {"up" if voice == "upper" else "down"}
