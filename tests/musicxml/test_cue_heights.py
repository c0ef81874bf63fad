"""Where a cue stands over the staff: clear of the melody's stems, on one height in a
system (for stems under a cue M. McGrain, *Music Notation*, 1990; that two voices keep
their stems, the upper one's up, *Open Music Theory*; how far above: common practice,
no source)."""

import re

import pytest
from parts_check import schema_errors
from score_elements import harmony, note, read, start

from leadsheet_theory import make_parts, write_part
from leadsheet_theory.pitch import Pitch

SLASH = "<notehead>slash</notehead>"
HITS = note("B4", 2, SLASH) + note("rest", 1) + note("B4", 1, SLASH) + note("rest", 4)
NAMES = "".join(
    f'<score-part id="{name}"><part-name>{called}</part-name></score-part>'
    for name, called in (("P1", "Melody"), ("P2", "Hits"))
)
STEM = 7  # three spaces and a half


def tune(upper, lower=""):
    def line(names, length, voice):
        return "".join(
            note(name, length, f"<voice>{voice}</voice>") for name in names.split()
        )

    back = "<backup><duration>8</duration></backup>"
    second = back + line(lower, 4, 2) if lower else ""
    bar = harmony("C") + line(upper, 2, 1) + second
    hits = "".join(
        f'<measure number="{n}">{start(divisions=2) if n == 1 else ""}{HITS}</measure>'
        for n in range(1, 5)
    )
    return read(
        start(divisions=2) + bar,
        *[bar] * 3,
        part_list=NAMES,
        parts=f'<part id="P2">{hits}</part>',
    ).sheet


def heights(part):
    """How high the cue's heads stand, and the melody's notes reach, in steps."""
    text = write_part(part).decode().partition("<measure-style>")[0]
    cues = re.findall(
        r"<cue/>(?:<unpitched><display-step>(.)</display-step><display-octave>(\d)"
        r"|<pitch><step>(.)</step><octave>(\d))",
        text,
    )
    heads = {
        Pitch.parse(f"{step or other}{octave or octave2}").place
        for step, octave, other, octave2 in cues
    }
    stem = STEM if any("up" in bar.stems for bar in part.bars) else 0
    return heads, max(p.place for bar in part.bars for p in bar.pitches) + stem


@pytest.mark.parametrize(
    "upper", ["E5 G5 E5 C5", "C6 A5 G5 E5", "E4 G4 E4 G4", "C5 C5 D5 C5"]
)
def test_a_cue_stands_above_the_stems_of_the_upper_of_two_voices(upper):
    for part in make_parts(tune(upper, "C4 C4")):
        assert all(
            stem == "up" for bar in part.bars for stem in bar.stems if stem is not None
        )
        (head,), top = heights(part)
        assert head > top
        assert not schema_errors(write_part(part))


def test_a_cue_over_one_voice_stays_where_the_stems_turn_down():
    for part in make_parts(tune("E5 G5 E5 C5")):
        assert {part.bars[0].stems[0], part.bars[0].stems[1]} == {"down"}
        (head,), _ = heights(part)
        highest = max(p.place for bar in part.bars for p in bar.pitches)
        assert head == max(highest + 4, part.clef.bottom_place + 9)
