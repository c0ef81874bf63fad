"""The same tune in whatever shape it is exported gives the same five parts."""

from functools import cache
from random import Random

import attrs
import pytest
from export_shapes import (
    EXTRAS,
    TUNES,
    Shape,
    differences,
    export,
    fitting,
    options,
    plain_parts,
    random_shape,
)
from score_elements import FULL, harmony, note, read, said, start

from leadsheet_theory import make_parts
from leadsheet_theory.musicxml import parse_lead_sheet

NAMES = [field.name for field in attrs.fields(Shape)]


@cache
def plain(index):
    return plain_parts(TUNES[index])


@pytest.mark.parametrize("name", NAMES)
def test_each_way_to_say_it_gives_the_same_parts(name):
    random = Random(name)
    for way in options(name):
        index = random.randrange(len(TUNES))
        made = TUNES[index]
        shape = fitting(Shape(**{name: way}), made)
        assert not differences(made, shape, plain(index)), (made.title, shape)


@pytest.mark.parametrize("seed", range(12))
def test_ways_to_say_it_together_give_the_same_parts(seed):
    random = Random(seed)
    index = seed % len(TUNES)
    shape = random_shape(random, TUNES[index])
    assert not differences(TUNES[index], shape, plain(index)), shape


def test_what_stands_beside_the_music_is_told():
    told = {
        "drums": "a groove all along, not hits",
        "figured bass": "<figured-bass> is not carried",
        "octave shift": "<octave-shift> is not carried",
        "cue notes": "a cue note",
        "lines": "<wedge> is not carried",
    }
    for name, words in told.items():
        data = export(TUNES[0], Shape(extra=(name,)))
        findings = parse_lead_sheet(data).findings
        assert any(words in str(each) for each in findings), name
    assert set(told) < set(EXTRAS)


LISTED = "".join(
    f'<score-part id="{name}"><part-name>{called}</part-name></score-part>'
    for name, called in (("P1", "Melody"), ("P2", "Hits"))
)


def test_hits_and_bass_notes_that_last_longer_than_the_melody_are_cut_and_told():
    """One bar of another staff that is too long spoils no part."""
    hit = "<note><unpitched/><duration>{}</duration><voice>1</voice></note>"
    long = note("rest", 3) + hit.format(4) + note("rest", 2) + hit.format(2)
    more = hit.format(1) + note("rest", 1) + hit.format(1) + note("rest", 1)
    result = read(
        start() + FULL,
        FULL,
        part_list=LISTED,
        parts=f'<part id="P2"><measure number="1">{long}</measure>'
        f'<measure number="2">{more}</measure></part>',
    )
    assert [(hit.onset, hit.duration) for hit in result.sheet.bars[0].hits] == [(3, 1)]
    assert said(result) == [
        "bar 1: hits in this bar last longer than the melody; the rest is left out"
    ]
    assert len(make_parts(result.sheet)) == 5


def test_all_chord_symbols_of_another_part_are_taken_where_the_melody_has_none():
    chords = harmony("F") + note("rest", 4)
    result = read(
        start() + FULL,
        FULL,
        part_list=LISTED.replace("Hits", "Chords"),
        parts=f'<part id="P2"><measure number="1">{chords}</measure>'
        f'<measure number="2">{chords}</measure></part>',
    )
    assert [len(bar.chords) for bar in result.sheet.bars] == [1, 1]


def voices(*bars):
    """A score of two voices, each bar as (voice, notes) in the order of the file."""
    back = "<backup><duration>4</duration></backup>"
    measures = []
    for number, bar in enumerate(bars):
        lines = []
        for voice, names in bar:
            length = 4 // len(names.split())
            lines.append(
                "".join(
                    note(name, length, f"<voice>{voice}</voice>")
                    for name in names.split()
                )
            )
        measures.append(("" if number else start()) + back.join(lines))
    return read(*measures).sheet


UPPER, LOWER = "D5 F5 E5 D5", "B4 A4"


@pytest.mark.parametrize("upper", ["1", "2"])
@pytest.mark.parametrize("lower_first", [True, False])
def test_the_melody_is_the_upper_of_two_voices(upper, lower_first):
    """*Open Music Theory*, stems: the upper voice's point up, the lower one's down."""
    both = [(upper, UPPER), ("3" if upper == "1" else "1", LOWER)]
    bars = [both[::-1] if lower_first else both] * 4
    for bar in voices(*bars).bars:
        assert [str(each.pitch) for each in bar.melody] == UPPER.split()
        assert len(bar.counterline) == 2


def test_a_short_second_voice_above_the_melody_is_not_the_melody():
    """A voice that comes in for a bar, or one of short attacks on a high note."""
    bars = [[("1", "C5 D5 E5 F5")], [("1", "C5 D5 E5 F5"), ("2", "A5 G5")]]
    sheet = voices(*bars * 2, *[[("1", "G4 A4 G4 E4")]] * 4)
    assert [str(bar.melody[0].pitch) for bar in sheet.bars] == ["C5"] * 4 + ["G4"] * 4
