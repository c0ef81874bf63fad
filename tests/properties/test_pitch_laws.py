"""What holds of all names, pitches, intervals and keys."""

from __future__ import annotations

import pickle

from hypothesis import given
from hypothesis import strategies as st
from strategies import intervals, keys, note_names, pitches

from leadsheet_theory.errors import TheoryError
from leadsheet_theory.interval import OCTAVE, UNISON, Interval
from leadsheet_theory.key import Key
from leadsheet_theory.pitch import STEPS, NoteName, Pitch


@given(pitches(alter=3))
def test_text_reads_back(pitch: Pitch) -> None:
    assert Pitch.parse(str(pitch)) == pitch
    assert Pitch.parse(pitch.glyphs) == pitch
    assert NoteName.parse(pitch.name.glyphs) == pitch.name
    assert pickle.loads(pickle.dumps(pitch)) == pitch


@given(pitches(alter=3))
def test_the_line_of_fifths_orders_all_names(pitch: Pitch) -> None:
    assert NoteName.from_fifths(pitch.fifths) == pitch.name
    assert 7 * pitch.fifths % 12 == pitch.pitch_class == pitch.midi % 12


@given(note_names(alter=2), st.integers(0, 127))
def test_the_nearest_pitch_is_within_a_tritone(name: NoteName, midi: int) -> None:
    found = Pitch.nearest(name, midi)
    assert found.name == name
    assert -6 <= found.midi - midi <= 6


@given(pitches(alter=2), pitches(alter=2))
def test_an_interval_leads_from_one_pitch_to_the_other(low: Pitch, high: Pitch) -> None:
    between = Interval.between(low, high)
    assert low + between == high
    assert high - between == low
    assert -between == Interval.between(high, low)
    assert Interval.parse(str(between)) == between
    assert between.chromatic == high.midi - low.midi
    assert between.fifths == high.fifths - low.fifths


@given(pitches(alter=1), intervals(), intervals())
def test_moving_twice_is_moving_by_the_sum(
    pitch: Pitch, first: Interval, second: Interval
) -> None:
    assert pitch + first + second == pitch + (first + second)
    assert pitch + first - first == pitch
    assert (pitch + first).name == pitch.name + first


@given(intervals())
def test_intervals_form_a_group(interval: Interval) -> None:
    assert interval + -interval == UNISON
    assert interval + UNISON == interval
    assert interval * 2 == interval + interval
    assert (interval + OCTAVE).fifths == interval.fifths
    assert -7 < interval.simple.diatonic < 7


@given(note_names(alter=2), note_names(alter=2))
def test_names_lie_less_than_an_octave_of_letters_apart(
    low: NoteName, high: NoteName
) -> None:
    between = Interval.between_names(low, high)
    assert 0 <= between.diatonic < 7
    assert low + between == high


@given(keys())
def test_keys_and_their_signatures(key: Key) -> None:
    assert Key.parse(str(key)) == key
    assert Key.from_signature(key.signature, key.mode) == key
    assert key.relative.signature == key.signature
    assert key.scale[0] == key.tonic
    assert {note.step for note in key.scale} == set(STEPS)
    for note in key.scale:
        assert key.is_diatonic(note)
        assert note.alter == key.alter_of(note.step)
        assert not key.is_diatonic(NoteName.from_fifths(note.fifths + 7))


@given(keys(), intervals())
def test_keys_move_with_their_scales(key: Key, by: Interval) -> None:
    try:
        moved = key + by
    except TheoryError:
        return
    assert moved.scale == tuple(note + by for note in key.scale)
    assert moved - by == key


@given(st.text(max_size=12))
def test_any_text_is_read_or_refused_with_our_own_error(text: str) -> None:
    for read in (NoteName.parse, Pitch.parse, Interval.parse, Key.parse):
        try:
            read(text)
        except TheoryError as error:
            assert str(pickle.loads(pickle.dumps(error))) == str(error)
