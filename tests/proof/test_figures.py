"""What melodies do every day is no slip, and slips are: figures from the textbooks.

The figures are those of *Open Music Theory*, "Embellishing tones"; Wikipedia, "Nonchord
tone", "Blue note", "Avoid note" and "Available tension"; the bars are ours.
"""

from __future__ import annotations

from written_charts import chart

from leadsheet_theory.proof import proofread

OMT = "Open Music Theory, Embellishing tones"
NONCHORD = "Wikipedia, Nonchord tone"
BLUE = "Wikipedia, Blue note"
AVOID = "Wikipedia, Avoid note and Available tension"
COMMON = "common practice, no source"

# key, chords, notes, what it is, source
IN_ORDER = [
    ("G", "D7:0 | G:0", "G4:0:4~ | G4:0:2 F#4:2:2", "4-3 over V, tied", NONCHORD),
    ("Eb", "Bb7:0 | Eb:0", "Ab4:0:4 | Ab4:0:2 G4:2:2", "4-3 over I, struck", NONCHORD),
    ("D", "A7:0 | D:0", "E5:0:4~ | E5:0:2 D5:2:2", "9-8 over I", NONCHORD),
    ("G", "D7:0 | G:0", "F#4:0:4~ | F#4:0:1 G4:1:3", "7-8, a retardation", NONCHORD),
    ("Bb", "Bb:0", "Bb4:0:1 Eb5:1:1 D5:2:2", "appoggiatura by leap", OMT),
    ("G", "G:0", "D5:0:1 A#4:1:1 B4:2:2", "chromatic appoggiatura", OMT),
    ("Bb", "Bb6:0", "F4:0:1 E4:1:1 F4:2:2", "chromatic lower neighbour", OMT),
    ("F", "F:0", "C5:0:1 Db5:1:1 C5:2:2", "chromatic upper neighbour", OMT),
    ("G", "G:0", "B4:0:1/2 C5:1/2:1/2 C#5:1:1/2 D5:3/2:5/2", "passing up", OMT),
    ("F", "Gm7:0", "A4:0:1 Ab4:1:1 G4:2:2", "chromatic passing down", OMT),
    ("C", "F:0", "D5:0:1/2 B4:1/2:1/2 C5:1:1 A4:2:2", "enclosure", OMT),
    ("D", "D:0", "F#5:0:1 G5:1:1 D5:2:2", "escape tone", OMT),
    ("Eb", "Bb7:0 | Eb:0", "F5:0:2 D5:2:3/2 Eb5:7/2:1/2~ | Eb5:0:4", "push", OMT),
    ("F", "F:0 | Bb:0 | C7:0", "F5:0:4~ | F5:0:4~ | F5:0:4", "pedal", OMT),
    ("F", "F7:0", "Ab4:0:2 F4:2:2", "blue third over I7", BLUE),
    ("F", "C7:0", "Eb5:0:1 D5:1:1 C5:2:2", "blue third of V7", BLUE),
    ("G", "G:0", "F4:0:2 D4:2:2", "blue seventh over a triad", BLUE),
    ("Bb", "Cm7:0", "F5:0:4", "11 over a minor seventh chord", AVOID),
    ("Eb", "Abmaj7:0", "D5:0:4", "#11 over IVmaj7", AVOID),
    ("F", "C7:0", "Db5:0:2 C5:2:2", "b9 falling over V7", AVOID),
    ("G", "D7:0", "Bb4:0:2 A4:2:2", "b13 falling over V7", AVOID),
    ("Bb", "F7sus4:0", "Bb4:0:4", "4 over a suspended chord", AVOID),
    ("G", "D7(#9):0", "F4:0:2 F#4:2:2", "#9 beside the third", AVOID),
    ("Bb", "Ebmaj7:0 | Bbmaj7:0", "G5:0:4 | A5:0:4", "7 over I", AVOID),
    ("G", "G#dim7:0", "B4:0:2 D5:2:2", "tones of a passing dim7", COMMON),
    ("F", "F:0 | Gb7:0 | F:0", "A4:0:4 | Bb4:0:4 | A4:0:4", "bII7 that fits", COMMON),
    ("F", "F5:0", "Ab4:0:2 A4:2:2", "no third to contradict", COMMON),
    ("F", "NC:0", "E4:0:1 Gb4:1:1 B4:2:2", "nothing sounds", COMMON),
    ("G", "G:0", "G4:0:2 G5:2:2", "octave leap", COMMON),
    ("G", "G:0 | C:0", "D4:0:2 E5:2:2 | F#5:0:2 G5:2:2", "a leap that stays", COMMON),
]  # fmt: skip

# key, chords, notes, the rules that may name it, what it is
SLIPS = [
    ("F", "F:0 | C7:0 | F:0", "A4:0:4 | E5:0:3 Eb5:3:1 | F5:0:4", "accidental",
     "a flat third against the third in the same bar"),
    ("F", "Gm7:0 | A7:0 | Dm:0", "Bb4:0:4 | C5:0:2 E5:2:2 | F5:0:4",
     "accidental chord-quality", "the third of the dominant left natural"),
    ("Bb", "Bb:0 | Bbm:0 | F7:0", "D5:0:4 | D5:0:4 | C5:0:4",
     "accidental chord-quality", "a major third over a minor chord"),
    ("D", "D:0 | D:0 | A7:0", "F#5:0:4 | F5:0:4 | E5:0:4",
     "accidental chord-quality", "a minor third held over a major chord"),
    ("G", "Am7:0 | D#7:0 | G:0", "C5:0:4 | A4:0:2 D5:2:2 | B4:0:4", "chord-root",
     "the root a semitone off"),
    ("Eb", "Fm7:0 | B7:0 | Eb:0", "Ab4:0:4 | F4:0:2 Bb4:2:2 | G4:0:4", "chord-root",
     "a root that lost its flat"),
    ("G", "G:0", "B4:0:1 C5:1:1 D6:2:1 E5:3:1", "octave", "a ninth out and back"),
    ("Bb", "Bb:0", "D5:0:1 C4:1:1 Bb4:2:2", "octave", "an octave low"),
    ("G", "G:0 | C/C#:0 | Am7:0", "G4:0:4 | E4:0:4 | E4:0:4", "chord-bass",
     "a bass that leads nowhere"),
]  # fmt: skip


def test_figures_of_every_day_get_no_remark() -> None:
    wrong = []
    for key, chords, notes, what, source in IN_ORDER:
        sheet = chart(notes, chords, key=f"{key} major")
        loud = [f for f in proofread(sheet, readers=()) if f.severity != "note"]
        wrong += [f"{what} ({source}): {finding}" for finding in loud]
    assert not wrong


def test_slips_are_named() -> None:
    wrong = []
    for key, chords, notes, rules, what in SLIPS:
        sheet = chart(notes, chords, key=f"{key} major")
        loud = [f for f in proofread(sheet, readers=()) if f.severity != "note"]
        if not any(finding.rule in rules.split() for finding in loud):
            wrong.append(f"{what}: {[str(finding) for finding in loud]}")
    assert not wrong
