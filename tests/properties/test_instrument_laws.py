"""Laws of transposition and of octave advice, for every instrument there is."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st
from strategies import instruments, melodies, pitches, readers

from leadsheet_theory.errors import UnknownInstrumentError
from leadsheet_theory.instruments import (
    INSTRUMENTS,
    Instrument,
    PitchRange,
    PlacedNote,
    Reader,
    best_octave,
    best_octave_by_section,
    book_for,
    check_range,
    find_instrument,
    octave_costs,
    phrases,
    tessitura,
    transpose_element,
)
from leadsheet_theory.interval import OCTAVE, Interval
from leadsheet_theory.key import Key
from leadsheet_theory.pitch import Pitch


@given(st.data(), instruments())
def test_concert_to_written_and_back_is_home(
    data: st.DataObject, instrument: Instrument
) -> None:
    span = instrument.sounding_range
    concert = data.draw(pitches(span.low.midi, span.high.midi))
    written = instrument.written(concert)
    assert instrument.sounding(written) == concert
    assert written in instrument.written_range
    assert instrument.sounding(written.name) == concert.name


def test_every_key_in_range_comes_home() -> None:
    """Not drawn but gone through: every sharp, flat and natural in every range."""
    for instrument in INSTRUMENTS:
        span = instrument.sounding_range
        for midi in range(span.low.midi, span.high.midi + 1):
            for fifths in range(-8, 13):
                name = Pitch.parse("C4").name.from_fifths(fifths)
                concert = Pitch.nearest(name, midi)
                if concert.midi == midi:
                    written = instrument.written(concert)
                    assert instrument.sounding(written) == concert


@given(pitches(24, 100), readers(), readers())
def test_from_reader_to_reader(concert: Pitch, one: Reader, other: Reader) -> None:
    page = one.written(concert)
    assert page + one.interval_to(other) == other.written(concert)
    assert one.interval_to(other) == -other.interval_to(one)


@given(st.integers(-7, 7), st.sampled_from(("major", "minor")), readers())
def test_written_keys_sound_right_in_six_signs(
    signs: int, mode: str, reader: Reader
) -> None:
    key = Key.from_signature(signs, "major" if mode == "major" else "minor")
    written = reader.written_key(key)
    assert abs(written.signature) <= 6
    assert written.mode == key.mode
    sounding = written.tonic.pitch_class + reader.transposition.chromatic
    assert sounding % 12 == key.tonic.pitch_class


@given(readers())
def test_the_three_numbers_of_musicxml_add_up(reader: Reader) -> None:
    element = transpose_element(reader.transposition)
    again = (
        Interval(element.diatonic, element.chromatic) + OCTAVE * element.octave_change
    )
    assert again == reader.transposition
    assert abs(element.diatonic) < 7


@given(instruments(), pitches(30, 90, alter=1))
def test_a_book_gives_its_readers_the_right_letters(
    instrument: Instrument, concert: Pitch
) -> None:
    book = book_for(instrument)
    assert book.written(concert.name) == instrument.written(concert.name)
    heard = instrument.sounding(book.written(concert))
    assert heard.name == concert.name


@given(st.text(max_size=20))
def test_any_text_is_an_instrument_or_a_clear_error(text: str) -> None:
    try:
        found = find_instrument(text)
    except UnknownInstrumentError as error:
        assert error.name == text
    else:
        assert found in INSTRUMENTS


@given(melodies(), readers())
def test_no_octave_leaves_fewer_notes_out(
    melody: tuple[PlacedNote, ...], reader: Reader
) -> None:
    advice = best_octave(melody, reader)
    keys = [note.pitch.midi - reader.transposition.chromatic for note in melody]
    low, high = reader.written_range.low.midi, reader.written_range.high.midi

    def outside(octaves: int) -> int:
        return sum(1 for key in keys if not low <= key + 12 * octaves <= high)

    sounding = [note.pitch.midi for note in melody]
    possible = [
        octaves
        for octaves in range(-11, 12)
        if min(sounding) + 12 * octaves >= 0 and max(sounding) + 12 * octaves <= 127
    ]
    assert outside(advice.octaves) == min(map(outside, possible))
    assert advice.cost.outside == outside(advice.octaves)


@given(melodies(), readers(), st.integers(-2, 2))
def test_the_check_counts_what_the_cost_counts(
    melody: tuple[PlacedNote, ...], reader: Reader, octaves: int
) -> None:
    cost = {each.octaves: each for each in octave_costs(melody, reader)}[octaves]
    found = check_range(melody, reader, octaves=octaves)
    assert cost.beyond_comfort == len(found)
    outside = [each for each in found if not each.comfortable_only]
    assert cost.outside == len(outside)
    assert cost.excess == sum(each.by for each in outside)


@given(melodies(low=48, high=84), readers(), st.sampled_from((-1, 1)))
def test_an_octave_in_the_tune_is_an_octave_in_the_advice(
    melody: tuple[PlacedNote, ...], reader: Reader, octaves: int
) -> None:
    """The same part costs the same, whatever octave the tune was entered in, but for
    the price of moving."""
    moved = [
        PlacedNote(note.pitch + OCTAVE * octaves, note.start, note.duration)
        for note in melody
    ]
    plain = {cost.octaves: cost for cost in octave_costs(melody, reader)}
    for cost in octave_costs(moved, reader):
        same = plain.get(cost.octaves + octaves)
        if same is not None:
            assert cost.points - cost.moved == same.points - same.moved
            assert cost.outside == same.outside


@given(melodies())
def test_tessitura_lies_between_its_ends(melody: tuple[PlacedNote, ...]) -> None:
    where = tessitura(melody)
    assert where.low.midi <= where.median.midi <= where.high.midi
    below = sum(
        (note.duration for note in melody if note.pitch.midi <= where.median.midi),
        Fraction(0),
    )
    assert 2 * below >= sum(note.duration for note in melody)
    assert all(note.pitch in PitchRange(where.low, where.high) for note in melody)


@given(
    melodies(),
    readers(),
    st.lists(st.integers(0, 60), min_size=1, max_size=5, unique=True),
)
def test_sections_keep_phrases_whole_and_lose_no_note(
    melody: tuple[PlacedNote, ...], reader: Reader, starts: list[int]
) -> None:
    sections = [Fraction(start) for start in sorted(starts)]
    advice = best_octave_by_section(melody, reader, sections=sections)
    covered = [index for each in advice for index in range(each.first, each.last + 1)]
    assert covered == list(range(len(melody)))
    for phrase in phrases(melody):
        assert sum(each.first <= phrase[0] <= each.last for each in advice) == 1
        (home,) = (each for each in advice if each.first <= phrase[0] <= each.last)
        assert phrase[-1] <= home.last
    whole = best_octave(melody, reader).cost.outside
    assert sum(each.advice.cost.outside for each in advice) <= whole
