"""What the types of the public interface promise; checked by ``mypy --strict`` only.

``assert_type`` fails where an inferred type is wider than promised; an
unneeded ``type: ignore`` fails where something forbidden is accepted.
"""

from __future__ import annotations

from fractions import Fraction
from typing import assert_type

from leadsheet_theory import (
    Book,
    Chord,
    ChordSymbol,
    Finding,
    Instrument,
    Interval,
    Key,
    LeadSheet,
    Meter,
    NoteName,
    NoteValue,
    Part,
    Pitch,
    find_book,
    find_instrument,
    make_parts,
    parse_chord,
    parse_symbol,
    proofread,
    spell_duration,
    written_key,
)
from leadsheet_theory.chords import NoChord, PolyChord
from leadsheet_theory.musicxml import ReadResult, read_lead_sheet, write_part
from leadsheet_theory.pitch import PitchClass, Step

# notes
third = Interval.parse("M3")
assert_type(Pitch.parse("F#4") + third, Pitch)
assert_type(NoteName.parse("F#") + third, NoteName)
assert_type(Key.parse("F# minor") + third, Key)
assert_type(third + third, Interval)
assert_type(-third * 2, Interval)
assert_type(Pitch.parse("F4").pitch_class, PitchClass)
assert_type(Pitch.parse("F4").step, Step)
Pitch.parse("F4") + 3  # type: ignore[operator]
Pitch("H", 0, 4)  # type: ignore[arg-type]
Pitch.parse("F4").octave = 5  # type: ignore[misc]

# chords
assert_type(parse_chord("F#m7b5").root, NoteName)
symbol = parse_symbol("F#m7b5")
assert_type(symbol, ChordSymbol)
if isinstance(symbol, Chord):
    assert_type(symbol.root, NoteName)
    assert_type(symbol.bass, NoteName | None)
elif isinstance(symbol, PolyChord):
    assert_type(symbol.upper, Chord)
else:
    assert_type(symbol, NoChord)
assert_type(symbol.tones, tuple[NoteName, ...])
assert_type(symbol.pitch_classes, frozenset[int])
parse_chord(7)  # type: ignore[arg-type]

# instruments
horn = find_instrument("horn")
assert_type(horn, Instrument)
assert_type(horn.written(Pitch.parse("C4")), Pitch)
assert_type(horn.written(NoteName.parse("C")), NoteName)
assert_type(horn.written(parse_chord("C7"), key="F major"), Chord)
assert_type(horn.sounding(parse_symbol("C7")), ChordSymbol)
assert_type(parse_chord("C7") + third, Chord)
assert_type(find_book("Bb"), Book)
assert_type(written_key(Key.parse("Eb"), Interval.parse("M2")), Key)

# rhythm
common = Meter(4, 4)
assert_type(spell_duration(Fraction(3, 2), Fraction(1), common), tuple[NoteValue, ...])
spell_duration(1.5, 1, common)  # type: ignore[arg-type]

# the main job
result = read_lead_sheet("tune.musicxml")
assert_type(result, ReadResult)
assert_type(result.sheet, LeadSheet)
assert_type(result.findings, tuple[Finding, ...])
parts = make_parts(result.sheet, books=[find_book("Bb"), horn])
assert_type(parts, tuple[Part, ...])
assert_type(write_part(parts[0]), bytes)
assert_type(proofread(result.sheet), tuple[Finding, ...])
