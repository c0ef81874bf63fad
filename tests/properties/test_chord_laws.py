"""What holds of every chord symbol, whatever it is."""

from __future__ import annotations

import pickle

import pytest
from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st
from strategies import (
    any_qualities,
    chords,
    house_styles,
    note_names,
    printed_qualities,
)

from leadsheet_theory.chords import (
    STYLES,
    Chord,
    HouseStyle,
    PolyChord,
    Quality,
    chord_from_harmony,
    harmony_of,
    parse_chord,
    parse_symbol,
    print_chord,
    read_chord,
)
from leadsheet_theory.chords._parse import _symbol
from leadsheet_theory.chords._shape import may_be_symbol
from leadsheet_theory.chords._words import ITEM_WORDS, QUALITY_WORDS
from leadsheet_theory.chords.harte import harte_label, parse_harte
from leadsheet_theory.chords.roots import RootNames, roots_in
from leadsheet_theory.chords.table import PRINTED_FORMS
from leadsheet_theory.errors import ChordSymbolError
from leadsheet_theory.interval import Interval
from leadsheet_theory.pitch import NoteName

C = NoteName("C")
INTERVALS = st.sampled_from(
    [Interval.parse(text) for text in ("M2", "M6", "P5", "m3", "-m2", "A4", "P8")]
)


@given(chords(), house_styles())
def test_what_is_printed_reads_back(chord: Chord, style: HouseStyle) -> None:
    assert parse_chord(print_chord(chord, style)) == chord


@pytest.mark.parametrize("style", STYLES, ids=lambda style: style.name)
@given(quality=any_qualities())
def test_any_set_of_degrees_reads_back(quality: Quality, style: HouseStyle) -> None:
    chord = Chord(C, quality)
    assert parse_chord(print_chord(chord, style)) == chord


@pytest.mark.parametrize("roots", ["german", "solfege"])
@given(chord=chords(), style=house_styles())
def test_other_root_names_read_back(
    chord: Chord, style: HouseStyle, roots: RootNames
) -> None:
    text = print_chord(chord, evolve(style, roots=roots))
    assert parse_chord(text, roots=roots) == chord


@given(any_qualities(), any_qualities())
def test_the_canonical_form_is_one_per_meaning(one: Quality, two: Quality) -> None:
    assert (str(Chord(C, one)) == str(Chord(C, two))) == (one == two)


@given(chords(), chords())
def test_polychords_read_back(upper: Chord, lower: Chord) -> None:
    both = PolyChord(upper, lower)
    assert parse_symbol(str(both)) == both


@given(chords(), INTERVALS)
def test_up_then_down_is_home(chord: Chord, interval: Interval) -> None:
    there = chord.transposed(interval)
    assert there.transposed(-interval) == chord
    moved = {(sound + interval.chromatic) % 12 for sound in chord.pitch_classes}
    assert there.pitch_classes == moved


@given(
    st.builds(
        Chord,
        note_names(alter=2),
        printed_qualities(),
        st.one_of(st.none(), note_names(alter=2)),
    ),
    st.sampled_from(list(map(Interval.parse, ("m2", "-m2", "m3", "A4", "d5", "AA1")))),
    st.sampled_from(STYLES),
)
def test_what_is_transposed_reads_back(
    chord: Chord, interval: Interval, style: HouseStyle
) -> None:
    there = chord.transposed(interval)
    assert parse_chord(str(there)) == there
    assert parse_chord(print_chord(there, style)) == there
    assert there.pitch_classes == {
        (sound + interval.chromatic) % 12 for sound in chord.pitch_classes
    }


@given(chords(), st.sampled_from((-12, 12)))
def test_respelling_keeps_the_sound(chord: Chord, fifths: int) -> None:
    root = NoteName.from_fifths(chord.root.fifths + fifths)
    assert chord.respelled(root).sounds_like(chord)


@given(any_qualities())
def test_musicxml_carries_every_chord(quality: Quality) -> None:
    chord = Chord(C, quality)
    assert chord_from_harmony(*harmony_of(chord)) == chord


@given(note_names(alter=2), printed_qualities(), st.one_of(st.none(), note_names()))
def test_harte_labels_read_back(
    root: NoteName, quality: Quality, bass: NoteName | None
) -> None:
    chord = Chord(root, quality, bass)
    assert parse_harte(harte_label(chord)) == chord


@given(chords())
def test_tones_and_sounds_agree(chord: Chord) -> None:
    assert {note.pitch_class for note in chord.notes} == chord.pitch_classes
    assert len({tone.step for tone in chord.tones}) <= len(chord.tones)
    assert set(chord.guide_tones) <= set(chord.tones)
    assert not set(chord.tensions) & set(chord.tones)


@given(chords())
def test_chords_are_values(chord: Chord) -> None:
    again = pickle.loads(pickle.dumps(chord))
    assert again == chord and hash(again) == hash(chord)


SIGNS = (
    *"ABCDEFGHabgmMjo+-#b♯♭𝄫♮°øΔ^()[],/|;% 0123456789.",
    *("maj", "min", "dim", "aug", "sus", "add", "no", "omit", "alt", "13", "N.C."),
)
SYMBOL_LIKE = st.lists(st.sampled_from(SIGNS), max_size=12).map("".join)


@given(
    st.one_of(st.text(), SYMBOL_LIKE), st.sampled_from(("letters", "german", "solfege"))
)
def test_nothing_but_our_error_is_raised(text: str, roots: RootNames) -> None:
    reading = read_chord(text, roots=roots)
    if reading.error is not None:
        assert isinstance(reading.error, ChordSymbolError)
        assert str(reading.error) and 0 <= reading.error.start <= len(text)
        if reading.error.suggestion:
            parse_symbol(reading.error.suggestion, roots=roots)
    else:
        assert reading.symbol is not None
        assert parse_symbol(str(reading.symbol)) == reading.symbol


@given(st.text())
def test_harte_raises_nothing_but_our_error(text: str) -> None:
    try:
        symbol = parse_harte(text)
    except ChordSymbolError:
        return
    assert parse_harte(harte_label(symbol)) == symbol


WORDS = sorted(
    {word for table in (QUALITY_WORDS, ITEM_WORDS)
     for group in table.values() for word, _ in group}
    | {form for form in PRINTED_FORMS if form} | set("0123456789#b+-x𝄫♮♭(),;/[]|. ")
    | {"11", "13", "b9", "#11", "5b", "on E", "(bass Bb)", "(E bass)", "/bb", "/E",
       "no3rd", "omit5th", "root", "sus(4)", "seventh", "dd9", "²"}
)  # fmt: skip


@given(
    st.sampled_from(["C", "F#", "Bb", "Ex", "Dbb", " G", "(A", "[E", "N"]),
    st.lists(st.sampled_from(WORDS), max_size=6),
)
def test_what_the_grammar_reads_is_made_like_a_symbol(
    root: str, words: list[str]
) -> None:
    text = root + "".join(words)
    try:
        _symbol(text, roots_in("letters"))
    except ChordSymbolError:
        return
    assert may_be_symbol(text)
