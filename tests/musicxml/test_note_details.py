"""Tuplets within tuplets, heads, tremolos, hidden rests: read, kept in parts, read back
(W3C, *MusicXML 4.0*: ``tuplet``, ``notehead``, ``tremolo``, ``print-object``).
"""

import re
from fractions import Fraction

import music21
import pytest
from parts_check import parsed, schema_errors
from round_trip import lost
from score_elements import FULL, harmony, note, read, said, start

from leadsheet_theory import make_parts, write_lead_sheet, write_part
from leadsheet_theory.abc import parse_abc, write_abc
from leadsheet_theory.errors import NoteValueError
from leadsheet_theory.leadsheet import Mark, NoteHead
from leadsheet_theory.musicxml import parse_lead_sheet
from leadsheet_theory.rhythm import TREMOLO, NoteValue, Tuplet, single_value

QUARTER = 36  # divisions


def ratio(actual, normal):
    return (
        f"<time-modification><actual-notes>{actual}</actual-notes>"
        f"<normal-notes>{normal}</normal-notes></time-modification>"
    )


def brackets(*ends, numbers=None):
    inside = "".join(
        f"<tuplet-{what}><tuplet-number>{number}</tuplet-number></tuplet-{what}>"
        for what, number in zip(("actual", "normal"), numbers or (), strict=False)
    )
    return "".join(
        f'<tuplet number="{number}" type="{kind}">'
        f"{inside if kind == 'start' else ''}</tuplet>"
        for number, kind in ends
    )


def told(pitch, length, value, *, ratio="", notations=""):
    about = f"<notations>{notations}</notations>" if notations else ""
    return note(pitch, length, f"<type>{value}</type>{ratio}{about}")


def hidden(length, more=""):
    return note("rest", length, more).replace("<note>", '<note print-object="no">')


def kept(result):
    """Each part is valid and says what the chart says, and so does the concert one."""
    for part in make_parts(result.sheet, solo_page=False):
        assert schema_errors(write_part(part)) == []
        assert not list(lost(part))
    again = parse_lead_sheet(write_lead_sheet(result.sheet))
    assert again.sheet == result.sheet


THREE, NINE = ratio(3, 2), ratio(9, 4)


def nest(outer=1, inner=2, *, outer_ratio=THREE, inner_ratio=NINE, numbers=None):
    """Three quarters in the time of two, the second of them three eighths in the time
    of two."""
    return (
        told("C5", 24, "quarter", ratio=outer_ratio,
             notations=brackets((outer, "start"), numbers=numbers))
        + told("D5", 8, "eighth", ratio=inner_ratio,
               notations=brackets((inner, "start")))
        + told("E5", 8, "eighth", ratio=inner_ratio)
        + told("F5", 8, "eighth", ratio=inner_ratio,
               notations=brackets((inner, "stop")))
        + told("G5", 24, "quarter", ratio=outer_ratio,
               notations=brackets((outer, "stop")))
        + told("C5", 72, "half")
    )  # fmt: skip


GROUPS = [
    Tuplet(3, 2, starts=True),
    Tuplet(3, 2, inner=Tuplet(3, 2, starts=True)),
    Tuplet(3, 2, inner=Tuplet(3, 2)),
    Tuplet(3, 2, inner=Tuplet(3, 2, ends=True)),
    Tuplet(3, 2, ends=True),
    None,
]


@pytest.mark.parametrize(("outer", "inner"), [(1, 2), (2, 1), (3, 4)])
@pytest.mark.parametrize("numbers", [None, (3, 2)])
def test_a_tuplet_within_a_tuplet_keeps_its_bracket(outer, inner, numbers):
    result = read(start(divisions=QUARTER) + nest(outer, inner, numbers=numbers), FULL)
    assert not said(result, "unread")
    melody = result.sheet.bars[0].melody
    assert [event.value.tuplet for event in melody] == GROUPS
    assert sum(event.duration for event in melody) == 4
    kept(result)


def test_music21_reads_the_same_lengths_of_a_tuplet_within_a_tuplet():
    result = read(start(divisions=QUARTER) + nest(), FULL)
    score = parsed(write_part(make_parts(result.sheet, solo_page=False)[0]))
    (bar, *_) = score.parts[0].getElementsByClass(music21.stream.Measure)
    lengths = [Fraction(each.quarterLength) for each in bar.notes if not each.isChord]
    assert lengths == [event.duration for event in result.sheet.bars[0].melody]


def test_both_brackets_of_a_tuplet_may_start_on_one_note():
    five = ratio(15, 8)
    first = told(
        "C5", 8, "16th", ratio=five,
        notations=brackets((1, "start"), numbers=(3, 2))
        + brackets((2, "start"), numbers=(5, 4)),
    )  # fmt: skip
    middle = told("D5", 8, "16th", ratio=five) * 3
    last = told("E5", 8, "16th", ratio=five, notations=brackets((2, "stop")))
    end = told("G5", 40, "quarter", ratio=THREE) + told(
        "G5", 40, "quarter", ratio=THREE, notations=brackets((1, "stop"))
    )
    rest = told("C5", 120, "half")
    result = read(start(divisions=60) + first + middle + last + end + rest, FULL)
    assert not said(result, "unread")
    tuplets = [event.value.tuplet for event in result.sheet.bars[0].melody]
    assert tuplets[0] == Tuplet(3, 2, starts=True, inner=Tuplet(5, 4, starts=True))
    assert tuplets[6] == Tuplet(3, 2, ends=True)
    kept(result)


@pytest.mark.parametrize(
    "notes",
    [
        nest().replace('number="2" type="stop"', 'number="3" type="stop"'),
        nest(inner_ratio=ratio(7, 4)),
    ],
)
def test_brackets_that_make_no_groups_are_told(notes):
    result = read(start(divisions=QUARTER) + notes, FULL)
    assert "<tuplet> is not carried: a bracket within a bracket" in " ".join(
        said(result, "unread")
    )
    assert result.sheet.bars[0].length >= 4


def test_the_ratio_of_groups_within_one_another():
    value = NoteValue("eighth", tuplet=Tuplet(3, 2, inner=Tuplet(3, 2)))
    assert value.duration == Fraction(2, 9)
    assert single_value(Fraction(2, 9), tuplet=value.tuplet) == value
    assert repr(value.tuplet) == "Tuplet(3, 2, inner=Tuplet(3, 2))"
    with pytest.raises(NoteValueError):
        Tuplet(0, 2)


# --- heads --------------------------------------------------------------------------


def test_heads_of_single_notes_and_of_the_lower_notes_of_a_chord():
    cross = "<notehead>x</notehead>"
    felt = '<notehead parentheses="yes">normal</notehead>'
    open_diamond = '<notehead filled="no">diamond</notehead>'
    result = read(
        start()
        + note("A4", 1, cross)
        + note("E5", 1, before="<chord/>")
        + note("C4", 1, open_diamond, before="<chord/>")
        + note("C5", 1, felt)
        + note("C5", 2, "<notehead>normal</notehead>"),
        FULL,
    )
    chord, ghost, plain = result.sheet.bars[0].melody
    assert [str(pitch) for pitch in chord.pitches] == ["E5", "A4", "C4"]
    assert chord.heads == (
        NoteHead(),
        NoteHead("x"),
        NoteHead("diamond", filled="no"),
    )
    assert ghost.heads == (NoteHead(parentheses=True),)
    assert plain.heads == ()
    assert not said(result)
    kept(result)
    for part in make_parts(result.sheet):
        heads = re.findall(r"<notehead[^>]*>[^<]*<", write_part(part).decode())
        assert heads[:3] == [
            "<notehead>x<",
            '<notehead filled="no">diamond<',
            '<notehead parentheses="yes">normal<',
        ]


def test_a_head_that_the_standard_does_not_name_is_told():
    result = read(start() + note("C5", 4, "<notehead>other</notehead>"), FULL)
    assert said(result) == ["bar 1: <notehead> is not carried: other"]


# --- tremolos -----------------------------------------------------------------------


def tremolo(kind, strokes):
    return (
        f'<notations><ornaments><tremolo type="{kind}">{strokes}</tremolo></ornaments>'
        "</notations>"
    )


def test_strokes_of_a_tremolo_on_one_note():
    result = read(
        start()
        + note("C5", 2, "<type>half</type>" + tremolo("single", 3))
        + note("C5", 2, "<type>half</type>" + tremolo("unmeasured", 0)),
        FULL,
    )
    assert [event.marks for event in result.sheet.bars[0].melody] == [
        (Mark("tremolo", strokes=3),),
        (Mark("tremolo"),),
    ]
    assert not said(result)
    kept(result)
    part = write_part(make_parts(result.sheet)[1])
    assert b'<tremolo type="single">3</tremolo>' in part


@pytest.mark.parametrize(
    ("value", "length"), [("whole", 2), ("half", 1), ("quarter", Fraction(1, 2))]
)
def test_a_tremolo_of_two_notes_leaves_no_bracket(value, length):
    notes = "".join(
        note(
            pitch,
            int(length * 2),
            f"<type>{value}</type>{ratio(2, 1)}{brackets_of}{tremolo(end, 3)}",
        )
        for pitch, end, brackets_of in (
            ("C5", "start", '<notations><tuplet type="start"/></notations>'),
            ("E5", "stop", '<notations><tuplet type="stop"/></notations>'),
        )
    )
    rest = 8 - 2 * int(length * 2)
    result = read(
        start(divisions=2) + notes + (note("rest", rest) if rest else ""),
        note("C5", 8),
    )
    assert not said(result)
    for part in make_parts(result.sheet):
        text = write_part(part)
        assert b"<tuplet" not in text
        assert b'<tremolo type="stop">3' in text
        values = [event.value for event in part.bars[0].bar.melody[:2]]
        assert values == [NoteValue(value, tuplet=TREMOLO)] * 2
        assert not part.bars[0].melody_look.beams or not any(
            part.bars[0].melody_look.beams[:2]
        )
    kept(result)


def test_the_ratio_of_a_tremolo_without_its_strokes_is_none():
    notes = "".join(
        note(pitch, 2, f"<type>whole</type>{ratio(2, 1)}") for pitch in ("C5", "E5")
    )
    (bar,) = read(start() + notes).sheet.bars
    assert [event.duration for event in bar.melody] == [2, 2]
    assert not any(event.value for event in bar.melody)


def test_a_tremolo_in_abc_is_written_as_what_it_lasts_and_told():
    notes = "".join(
        note(pitch, 2, f"<type>whole</type>{ratio(2, 1)}{tremolo(end, 3)}")
        for pitch, end in (("C5", "start"), ("E5", "stop"))
    )
    written = write_abc(read(start() + notes, FULL).sheet)
    assert any("tremolo" in str(each) for each in written.findings)
    (again,) = parse_abc(written.text)
    assert [event.duration for event in again.sheet.bars[0].melody] == [2, 2]


# --- hidden rests -------------------------------------------------------------------


def shown(part):
    """For each bar of a part whether its rests are printed."""
    return [
        [not event.hidden for event in bar.bar.melody if hasattr(event, "hidden")]
        for bar in part.bars
    ]


def test_hidden_rests_stay_hidden_beside_notes():
    result = read(
        start() + harmony("C") + note("C5", 2) + hidden(2),
        note("C5", 4),
    )
    assert not said(result)
    kept(result)
    for part in make_parts(result.sheet):
        assert shown(part) == [[False], []]
        assert b'print-object="no"' in write_part(part)
        assert not [each for each in part.report.findings if "hidden" in each.message]


def test_hidden_rests_are_shown_where_the_bar_would_be_empty():
    result = read(start() + FULL, hidden(4, "<type>whole</type>"), FULL)
    (part, *_) = make_parts(result.sheet)
    assert shown(part) == [[], [True], []]
    assert result.sheet.bars[1].melody[0].hidden
    assert result.sheet.bars[1].melody[0].whole_bar
    assert [str(each) for each in part.report.findings if each.rule == "hidden-rests"]


def test_hidden_rests_are_shown_under_a_cue():
    hits = "".join(
        note("B4", 1, "<notehead>slash</notehead>").replace(
            "</duration>", "</duration><voice>2</voice>"
        )
        if place % 2
        else "<forward><duration>1</duration></forward>"
        for place in range(4)
    )
    back = "<backup><duration>4</duration></backup>"
    bar = note("C5", 2) + hidden(2) + back + hits
    result = read(start() + bar, bar, bar)
    parts = make_parts(result.sheet)
    assert all(each.hits for each in result.sheet.bars)
    assert shown(parts[0]) == [[True]] * 3


def test_a_voice_of_hidden_rests_leaves_the_melody_to_the_other():
    back = "<backup><duration>4</duration></backup>"
    other = note("E5", 4).replace("</duration>", "</duration><voice>2</voice>")
    result = read(start() + FULL, hidden(4) + back + other, FULL)
    assert str(result.sheet.bars[1].melody[0].pitch) == "E5"
    assert not result.sheet.bars[1].counterline


def test_what_else_is_hidden_is_told():
    tempo = (
        '<direction><direction-type><metronome print-object="no">'
        "<beat-unit>quarter</beat-unit><per-minute>120</per-minute></metronome>"
        "</direction-type></direction>"
    )
    chord = harmony("C").replace("<harmony>", '<harmony print-object="no">')
    sung = note("C5", 4, '<lyric print-object="no"><text>la</text></lyric>')
    result = read(start() + tempo + chord + sung)
    assert result.sheet.tempo is None
    # a part without its chords is of no use: they are shown
    assert len(result.sheet.bars[0].chords) == 1
    assert not result.sheet.bars[0].melody[0].lyrics
    assert said(result) == [
        "bar 1: <lyric> is not carried: hidden in the source",
    ]
    assert said(result, "hidden") == [
        "bar 1: a tempo hidden in the source is not printed",
        "bar 1: chord symbols hidden in the source are shown here",
    ]
