"""What an arranger wrote by hand into other players' staves: names, another octave."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from attrs import evolve

from leadsheet_theory import make_parts, write_part
from leadsheet_theory.__main__ import main
from leadsheet_theory.chords import parse_chord
from leadsheet_theory.decisions import (
    ByHand,
    decided_by_hand,
    decided_parts,
    decisions_from,
)
from leadsheet_theory.instruments import find_book
from leadsheet_theory.key import Key
from leadsheet_theory.leadsheet import Bar, LeadSheet, Note, PlacedChord
from leadsheet_theory.musicxml import ReadResult, parse_lead_sheet, write_lead_sheet
from leadsheet_theory.pitch import Pitch
from leadsheet_theory.rhythm import Meter

NOTES = ("G4 A4 B4 C5", "D5 C5 A4 F#4", "G4 E4 F4 G#4", "A4 B4 C5 G4")
CHORDS = ("Cmaj7", "D7", "E7", "Am7")

Output = pytest.CaptureFixture[str]


def tune() -> LeadSheet:
    bars = tuple(
        Bar(
            number=number,
            key=Key.parse("C"),
            meter=Meter(4, 4),
            length=Fraction(4),
            melody=tuple(
                Note(
                    onset=Fraction(beat),
                    duration=Fraction(1),
                    pitches=(Pitch.parse(name),),
                )
                for beat, name in enumerate(notes.split())
            ),
            chords=(PlacedChord(Fraction(0), parse_chord(chord)),),
        )
        for number, (notes, chord) in enumerate(zip(NOTES, CHORDS, strict=True), 1)
    )
    return LeadSheet(title="Bollard", bars=bars)


def project(*players: tuple[str, str, int, dict[str, str]]) -> bytes:
    """The tune with players' staves, as a program exports a whole project: each has a
    name, its book, its octave and what the arranger has written otherwise."""
    score = write_lead_sheet(tune()).decode()
    listed, music = "", ""
    for number, (name, book, octaves, otherwise) in enumerate(players, 5):
        octave = find_book(book).name
        (part,) = make_parts(
            tune(), books=book, solo_page=False, octaves={octave: octaves}
        )
        text = write_part(part).decode()
        for old, new in otherwise.items():
            assert old in text
            text = text.replace(old, new)
        inside = text.partition('<part id="P1">')[2].partition("</part>")[0]
        listed += f'<score-part id="P{number}">'
        listed += f"<part-name>{name}</part-name></score-part>"
        music += f'<part id="P{number}">{inside}</part>'
    score = score.replace("</part-list>", f"{listed}</part-list>")
    return score.replace("</score-partwise>", f"{music}</score-partwise>").encode()


def pitch(step: str, alter: int, octave: int) -> str:
    changed = f"<alter>{alter}</alter>" if alter else ""
    return f"<pitch><step>{step}</step>{changed}<octave>{octave}</octave></pitch>"


_BB = decisions_from({"books": ["Bb"]})
_ENHARMONIC = {
    "A4": "G##4", "B4": "Cb5", "C#5": "Db5", "D5": "C##5", "E5": "Fb5", "G#4": "Ab4",
    "F#4": "Gb4", "G4": "F##4", "A#4": "Bb4",
}  # fmt: skip

# the trumpet's A#4 over F#7 in bar 3 is written as B flat
AS_FLAT = {pitch("A", 1, 4): pitch("B", -1, 4)}


def by_hand(result: ReadResult) -> ByHand:
    return decided_by_hand(result.sheet, result.doublings)


def test_players_who_only_double_decide_nothing() -> None:
    result = parse_lead_sheet(
        project(("Trumpet", "Bb", 0, {}), ("Alto", "Eb", 0, {}), ("Flute", "C", 0, {}))
    )
    assert len(result.doublings) == 3
    assert by_hand(result) == ByHand()
    assert not [each for each in result.findings if each.severity != "note"]


def test_a_note_that_was_respelled_is_respelled_in_its_book() -> None:
    result = parse_lead_sheet(project(("Trumpet", "Bb", 0, AS_FLAT)))
    found = by_hand(result)
    assert found.decisions.texts("respell-note") == ("Bb 3 4 Bb",)
    (told,) = found.findings
    assert told.message == "B♭ has the name of 1 note from Trumpet's staff"
    (part,) = decided_parts(result.sheet, found.decisions.followed_by(_BB))
    assert str(part.bars[2].pitches[-1]) == "Bb4"


def test_a_chord_that_was_respelled_takes_the_hand_s_notes() -> None:
    root = "<root><root-step>F</root-step><root-alter>1</root-alter></root>"
    flat = "<root><root-step>G</root-step><root-alter>-1</root-alter></root>"
    result = parse_lead_sheet(project(("Trumpet", "Bb", 0, {root: flat})))
    found = by_hand(result)
    assert "Bb 3 1 Gb" in found.decisions.texts("respell")
    (part,) = decided_parts(result.sheet, found.decisions.followed_by(_BB))
    assert str(part.bars[2].symbols[0]) == "Gb7"
    assert str(part.bars[2].pitches[-1]) == "A#4"  # as the trumpet's staff has it


def test_an_octave_lower_by_hand() -> None:
    result = parse_lead_sheet(project(("Trombone", "Bass clef", -2, {})))
    found = by_hand(result)
    assert found.decisions.texts("octaves") == ("Bass clef = -2",)
    assert "2 octaves down from Trombone's staff" in found.findings[0].message


def test_a_staff_in_another_key_says_nothing_of_single_notes() -> None:
    result = parse_lead_sheet(project(("Trumpet", "Bb", 0, {})))
    (doubling,) = result.doublings
    sharper = evolve(
        doubling,
        notes=tuple(
            evolve(note, pitch=Pitch.parse(f"{_ENHARMONIC[str(note.pitch)]}"))
            for note in doubling.notes
        ),
    )
    assert decided_by_hand(result.sheet, (sharper,)) == ByHand()


def test_the_command_takes_it_over_unless_it_is_refused(
    tmp_path: Path, capsys: Output
) -> None:
    chart = tmp_path / "tune.musicxml"
    chart.write_bytes(project(("Trumpet", "Bb", 0, AS_FLAT)))
    command = ("parts", str(chart), "--musicxml-only", "--instrument", "tenor sax")
    written = {}
    for name, options in (
        ("taken", ()),
        ("refused", ("--players-staves", "left out")),
    ):
        assert main([*command, "--to", str(tmp_path / name), *options]) == 0
        said = " ".join(capsys.readouterr().out.split())
        told = "B♭ has the name of 1 note from Trumpet's staff (--players-staves 'left"
        assert (told in said) == (name == "taken")
        (file,) = (tmp_path / name / "musicxml").iterdir()
        sharp = b"<step>A</step><alter>1</alter>"
        written[name] = sharp in file.read_bytes()
    assert written == {"taken": False, "refused": True}
