"""A tune in another key, and the keys that suit a voice.  Sounds are held against
music21's own transposition (the general-purpose library of the PyPI)."""

from __future__ import annotations

from pathlib import Path

import music21
import pytest
from attrs import evolve

from leadsheet_theory.errors import (
    EmptyMelodyError,
    KeyModeError,
    RangeOrderError,
)
from leadsheet_theory.key import Key
from leadsheet_theory.leadsheet import LeadSheet, Note
from leadsheet_theory.musicxml import read_lead_sheet
from leadsheet_theory.parts import in_key, make_parts, singer_keys
from leadsheet_theory.pitch import Pitch

ROOT = Path(__file__).resolve().parents[2]
SHEETS = [
    read_lead_sheet(chart).sheet
    for chart in sorted((ROOT / "shared" / "charts").glob("*.musicxml"))
]
TONICS = ("C", "G", "D", "A", "E", "B", "F#", "Gb", "Db", "Ab", "Eb", "Bb", "F")


def notes(sheet: LeadSheet) -> list[Pitch]:
    """The melody's pitches in order, tied notes and all."""
    return [
        pitch
        for bar in sheet.bars
        for event in bar.melody
        if isinstance(event, Note)
        for pitch in event.pitches
    ]


@pytest.mark.parametrize("tonic", TONICS)
def test_every_sound_moves_by_one_interval(tonic: str) -> None:
    for sheet in SHEETS:
        key = Key(Key.parse(tonic).tonic, sheet.key.mode)
        if abs(key.signature) > 6:
            continue
        moved = in_key(sheet, key)
        assert moved.key == key
        heard = {
            there.midi - here.midi
            for here, there in zip(notes(sheet), notes(moved), strict=True)
        }
        (semitones,) = heard
        assert -6 <= semitones <= 6
        for here, there in zip(notes(sheet), notes(moved), strict=True):
            other = music21.pitch.Pitch(str(here).replace("b", "-"))
            assert other.transpose(semitones).midi == there.midi
        for bar, other_bar in zip(sheet.bars, moved.bars, strict=True):
            for chord, other_chord in zip(bar.chords, other_bar.chords, strict=True):
                assert [
                    (tone.pitch_class + semitones) % 12 for tone in chord.symbol.tones
                ] == [tone.pitch_class for tone in other_chord.symbol.tones]


def test_form_words_and_hits_stay() -> None:
    for sheet in SHEETS:
        moved = in_key(sheet, Key(Key.parse("D").tonic, sheet.key.mode))
        assert [bar.form for bar in moved.bars] == [
            bar.form for bar in in_key(moved, sheet.key).bars
        ]
        assert [bar.hits for bar in moved.bars] == [bar.hits for bar in sheet.bars]
        assert (moved.title, moved.tempo) == (sheet.title, sheet.tempo)


def test_there_and_back_is_the_tune_again() -> None:
    for sheet in SHEETS:
        once = in_key(sheet, Key(Key.parse("C").tonic, sheet.key.mode))
        back = in_key(once, sheet.key)
        assert [pitch.midi for pitch in notes(back)] == [
            pitch.midi for pitch in notes(sheet)
        ]


def test_parts_are_those_of_the_tune_in_that_key() -> None:
    sheet, key = SHEETS[0], Key.parse("F")
    assert make_parts(sheet, key=key) == make_parts(in_key(sheet, key))
    assert make_parts(sheet, key=sheet.key) == make_parts(sheet)


def test_a_key_of_another_mode_is_refused() -> None:
    with pytest.raises(KeyModeError, match="expected a key like F major"):
        in_key(SHEETS[0], Key.parse("F minor"))


class TestSinger:
    def test_every_key_that_fits_is_found_and_no_other(self) -> None:
        low, high = Pitch.parse("F3"), Pitch.parse("D5")
        for sheet in SHEETS:
            sounds = [pitch.midi for pitch in notes(sheet)]
            fitting = {
                semitones % 12
                for semitones in range(-40, 40)
                if low.midi <= min(sounds) + semitones
                and max(sounds) + semitones <= high.midi
            }
            tonic = sheet.key.tonic.pitch_class
            assert {
                (fit.key.tonic.pitch_class - tonic) % 12
                for fit in singer_keys(sheet, low, high)
            } == fitting

    def test_the_melody_in_each_key_lies_as_told(self) -> None:
        low, high = Pitch.parse("F3"), Pitch.parse("D5")
        for fit in singer_keys(SHEETS[0], low, high):
            sounds = [pitch.midi for pitch in notes(in_key(SHEETS[0], fit.key))]
            assert (fit.high.midi - fit.low.midi) == max(sounds) - min(sounds)
            assert (fit.low.midi - min(sounds)) % 12 == 0
            assert fit.below == fit.low.midi - low.midi >= 0
            assert fit.above == high.midi - fit.high.midi >= 0

    def test_the_best_leaves_as_much_room_above_as_below(self) -> None:
        keys = singer_keys(SHEETS[0], Pitch.parse("F3"), Pitch.parse("D5"))
        uneven = [abs(fit.above - fit.below) for fit in keys]
        assert uneven == sorted(uneven)

    def test_none_where_the_tune_is_wider_than_the_voice(self) -> None:
        assert singer_keys(SHEETS[0], Pitch.parse("C4"), Pitch.parse("C5")) == ()

    def test_a_range_upside_down_and_a_tune_without_notes(self) -> None:
        low, high = Pitch.parse("F3"), Pitch.parse("D5")
        with pytest.raises(RangeOrderError):
            singer_keys(SHEETS[0], high, low)
        silent = evolve(SHEETS[0], bars=tuple(
            evolve(bar, melody=()) for bar in SHEETS[0].bars
        ))  # fmt: skip
        with pytest.raises(EmptyMelodyError):
            singer_keys(silent, low, high)
