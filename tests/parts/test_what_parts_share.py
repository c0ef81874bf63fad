"""What is found once for all parts must be what each part would find by itself."""

from __future__ import annotations

from pathlib import Path

import pytest

from leadsheet_theory.key import Key
from leadsheet_theory.leadsheet import Note
from leadsheet_theory.musicxml import read_lead_sheet
from leadsheet_theory.parts import in_key, make_parts
from leadsheet_theory.pitch import NoteName
from leadsheet_theory.spelling import AccidentalRules, shown_accidentals

CHARTS = Path(__file__).resolve().parents[2] / "shared" / "charts"


@pytest.mark.parametrize("tonic", ["Db", "F#", "A", "B"])
def test_accidentals_are_those_of_the_written_notes(tonic: str) -> None:
    """Bar by bar, without reminders from the bar before, which depend on the form."""
    rules = AccidentalRules(next_bar="none")
    signed = 0
    for path in sorted(CHARTS.glob("*.musicxml")):
        sheet = read_lead_sheet(path).sheet
        key = Key(NoteName.parse(tonic), sheet.key.mode)
        for part in make_parts(in_key(sheet, key), solo_page=False, accidentals=rules):
            for each in part.bars:
                bar = each.bar
                if bar.counterline:
                    continue  # read together with the melody
                notes = [
                    (pitch, event.tied_from_previous)
                    for event in bar.melody
                    if isinstance(event, Note)
                    for pitch in event.pitches
                ]
                (signs,) = shown_accidentals([notes], [bar.key], rules=rules)
                assert each.accidentals == signs, (part, bar)
                signed += any(signs)
    assert signed > 50
