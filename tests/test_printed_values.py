"""How values print: a line in a notebook, evaluable where that is short; widths."""

from __future__ import annotations

from pathlib import Path

import pytest
from attrs import evolve

import leadsheet_theory
from leadsheet_theory import (
    Interval,
    Key,
    Meter,
    NoteName,
    NoteValue,
    Pitch,
    chords,
    find_book,
    find_instrument,
    make_parts,
    parse_chord,
    parse_symbol,
    read_lead_sheet,
    rhythm,
)
from leadsheet_theory.instruments import TREBLE_CLEF, TREBLE_CLEF_8VB, Clef, PitchRange

ROOT = Path(__file__).resolve().parent.parent
RESULT = read_lead_sheet(ROOT / "shared/charts/harbourmasters_day_off.musicxml")
PART = make_parts(RESULT.sheet)[1]
NAMES = {
    **{name: getattr(leadsheet_theory, name) for name in leadsheet_theory.__all__},
    **{name: getattr(chords, name) for name in chords.__all__},
    "Tuplet": rhythm.Tuplet,
    "Clef": Clef,
    "PitchRange": PitchRange,
}

EVALUABLE = {
    "Pitch.parse('B♭3')": Pitch("B", -1, 3),
    "Pitch.parse('F𝄪-1')": Pitch("F", 2, -1),
    "NoteName.parse('F♯')": NoteName("F", 1),
    "Interval.parse('-M9')": Interval.parse("-M9"),
    "Key.parse('E♭ major')": Key.parse("Eb"),
    "Key.parse('F♯ dorian')": Key.parse("F# dorian"),
    "Meter.parse('3+2/4')": Meter(5, 4, (3, 2)),
    "Meter.parse('C')": Meter.parse("C"),
    "Meter(4, 4, (), symbol='cut')": Meter(4, 4, symbol="cut"),
    "Meter(5, 8, (5,), symbol='numbers')": Meter(5, 8, (5,)),
    "NoteValue('quarter', dots=1)": NoteValue("quarter", 1),
    "NoteValue('eighth', tuplet=Tuplet(3, 2, starts=True))": NoteValue(
        "eighth", tuplet=rhythm.Tuplet(3, 2, starts=True)
    ),
    "parse_chord('Bbm7(b5)/Ab')": parse_chord("B♭ø/A♭"),
    "parse_symbol('D|C7')": parse_symbol("D | C7"),
    "NoChord()": parse_symbol("n.c."),
    "Degree.parse('b9')": chords.Degree(9, -1),
    "Quality.from_formula('1 3 5 b7')": parse_chord("C7").quality,
    "Clef('treble', 'G', 2)": TREBLE_CLEF,
    "Clef('treble 8vb', 'G', 2, -1)": TREBLE_CLEF_8VB,
    "PitchRange.parse('F♯3–E6')": PitchRange.parse("F#3-E6"),
    "PitchRange.parse('C-1–C-1')": PitchRange(Pitch("C", 0, -1), Pitch("C", 0, -1)),
}


@pytest.mark.parametrize("text", EVALUABLE)
def test_a_short_value_prints_as_what_makes_it(text: str) -> None:
    assert repr(EVALUABLE[text]) == text
    assert eval(text, NAMES) == EVALUABLE[text]


WIDE = {
    f"<ReadResult: {RESULT.sheet}, 0 findings>": evolve(RESULT, findings=()),
    "<LeadSheet: Harbourmaster's Day Off (33 bars, Ab major, 4/4)>": RESULT.sheet,
    "<Bar: 1, 5 notes, Abmaj7 Bm7>": RESULT.sheet.bars[1],
    "<Part: Harbourmaster's Day Off, B♭ in Bb major, D4 to G5>": PART,
    "<PartReport: Bb major, D4 to G5>": PART.report,
    "<PartBar: 1, 5 notes, Bbmaj7 Dbm7>": PART.bars[1],
    "<Book: B♭>": find_book("Bb"),
    "<Instrument: Tenor Saxophone in B♭>": find_instrument("tenor sax"),
    "<HouseStyle: symbols>": chords.SYMBOLS,
    "<MetricSpan: 0 to 4, 2 halves>": Meter(4, 4).hierarchy,
}


@pytest.mark.parametrize("text", WIDE)
def test_a_wide_value_prints_in_a_line(text: str) -> None:
    assert repr(WIDE[text]) == text


def test_widths_are_those_of_texts() -> None:
    assert f"{parse_chord('C-7'):>6}|{Pitch.parse('Eb4'):<5}|{Key.parse('G'):^9}|" == (
        "   Cm7|Eb4  | G major |"
    )
    with pytest.raises(ValueError, match="format"):
        format(parse_chord("C7"), ".2f")
