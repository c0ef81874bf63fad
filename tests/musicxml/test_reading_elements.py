"""Reading single elements: each case a few bars of MusicXML 4.0.

What the elements mean is stated by the W3C's *MusicXML 4.0* documentation; the
cases are our own.
"""

from fractions import Fraction
from textwrap import dedent

import pytest
from score_elements import (
    FOUR,
    FULL,
    TWO,
    bars,
    harmony,
    line,
    note,
    read,
    said,
    start,
    words,
)

from leadsheet_theory import make_parts, write_lead_sheet, write_part
from leadsheet_theory.chords import NoChord, PolyChord
from leadsheet_theory.errors import MusicXMLReadError
from leadsheet_theory.leadsheet import Jump
from leadsheet_theory.leadsheet.model import Note, Rest, Slur
from leadsheet_theory.musicxml import parse_lead_sheet
from leadsheet_theory.rhythm import Meter, NoteValue, Tuplet

# --- time ---------------------------------------------------------------------------


def test_divisions_may_change_within_the_bar():
    (bar,) = bars(
        start(divisions=2)
        + note("C5", 3)
        + "<attributes><divisions>12</divisions></attributes>"
        + note("D5", 4)
        + note("E5", 4)
        + note("F5", 4)
        + note("G5", 18)
    )
    assert line(bar.melody) == "C5:3/2 D5:1/3 E5:1/3 F5:1/3 G5:3/2"
    assert bar.length == 4


def test_durations_may_be_decimal():
    (bar,) = bars(start(divisions="1.0") + note("C5", "1.5") + note("D5", "2.50"))
    assert line(bar.melody) == "C5:3/2 D5:5/2"


def test_a_rounded_triplet_takes_its_written_length():
    third = "<type>eighth</type><time-modification><actual-notes>3</actual-notes>"
    third += "<normal-notes>2</normal-notes></time-modification>"
    result = read(
        start(time=TWO, divisions=4)
        + note("C5", 1, third)
        + note("D5", 1, third)
        + note("E5", 2, third)
        + note("F5", 4, "<type>quarter</type>")
    )
    (bar,) = result.sheet.bars
    assert line(bar.melody) == "C5:1/3 D5:1/3 E5:1/3 F5:1"
    assert bar.length == 2


@pytest.mark.parametrize(
    ("time", "meter"),
    [
        (FOUR, Meter(4, 4)),
        (
            '<time symbol="cut"><beats>2</beats><beat-type>2</beat-type></time>',
            Meter(2, 2, symbol="cut"),
        ),
        (
            "<time><beats>3+2</beats><beat-type>8</beat-type></time>",
            Meter(5, 8, (3, 2)),
        ),
        (
            "<time><beats>2</beats><beat-type>4</beat-type>"
            "<beats>3</beats><beat-type>8</beat-type></time>",
            Meter(7, 8, (4, 3), beat_types=(4, 8)),
        ),
        (
            "<time><beats>3+2</beats><beat-type>8</beat-type>"
            "<beats>3</beats><beat-type>4</beat-type></time>",
            Meter.parse("3/8+2/8+3/4"),
        ),
    ],
)
def test_time_signatures(time, meter):
    found = read(start(time) + FULL).sheet
    assert found.bars[0].meter == meter
    assert parse_lead_sheet(write_lead_sheet(found)).sheet == found


def test_a_metre_printed_again_with_another_sign_is_one_metre():
    common = FOUR.replace("<time>", '<time symbol="common">')
    found = bars(
        start() + FULL, f"<attributes>{common}</attributes>{FULL}", start(TWO) + FULL
    )
    assert [str(bar.meter) for bar in found] == ["4/4", "4/4", "2/4"]


def test_a_silent_bar_is_a_whole_bar_rest():
    one, two, three = bars(
        start() + note("rest", 4, "<type>whole</type>"),
        "",
        '<note><rest measure="yes"/><duration>4</duration></note>',
    )
    whole = (Rest(Fraction(0), Fraction(4), None, whole_bar=True),)
    assert one.melody == two.melody == three.melody == whole


def test_forward_leaves_a_rest():
    result = read(
        start()
        + note("C5", 1)
        + "<forward><duration>2</duration></forward>"
        + note("D5", 1)
    )
    assert line(result.sheet.bars[0].melody) == "C5:1 rest:2 D5:1"
    assert said(result, "gap") == [
        "bar 1: a silence that is not written is carried as a rest"
    ]


@pytest.mark.parametrize(
    ("first", "numbers", "length"),
    [
        (('number="0" implicit="yes"', start() + note("C5", 1)), [0, 1, 2], 1),
        (('number="1"', start() + note("C5", 1)), [0, 1, 2], 1),
        (('number="0"', start() + FULL), [0, 1, 2], 4),
        (('number="1"', start() + FULL), [1, 2, 3], 4),
        (('number="7"', start() + FULL), [1, 2, 3], 4),
    ],
)
def test_the_pickup_is_bar_0(first, numbers, length):
    found = bars(first, ('number="8"', FULL), ('number="9"', FULL))
    assert [bar.number for bar in found] == numbers
    assert found[0].length == length
    assert found[0].is_pickup == (numbers[0] == 0)
    assert found[1].source_number == "8"


def test_bars_out_of_measure_are_reported_but_not_those_a_pickup_explains():
    result = read(
        start() + note("C5", 1),
        note("D5", 5),
        note("E5", 3) + '<barline><repeat direction="backward"/></barline>',
        FULL,
        note("C5", 3),
    )
    assert said(result) == [
        "bar 1 (2 in the file): the bar has 5 quarter notes, its metre 4/4 has 4",
    ]


def test_what_is_missing_is_assumed_aloud():
    result = read("<attributes><divisions>1</divisions></attributes>" + FULL)
    assert str(result.sheet.key) == "C major"
    assert said(result) == [
        "the file gives no key; notes and chords say C major",
        "the file gives no metre; the lengths of its bars say 4/4",
    ]


def test_a_later_part_without_divisions_counts_as_the_one_before():
    part = f'<part id="P2"><measure number="1">{UNPITCHED * 2}</measure></part>'
    (bar,) = bars(start(divisions=2) + note("C5", 8), parts=part)
    assert hits(bar) == [(0, 1), (1, 1)]
    assert said(read(FULL)) == [
        "the file gives no divisions; they are assumed",
        "the file gives no key; notes and chords say C major",
        "the file gives no metre; the lengths of its bars say 4/4",
    ]


def test_key_and_metre_may_change_within_and_between_bars():
    new = "<attributes><key><fifths>-3</fifths><mode>minor</mode></key></attributes>"
    result = read(start() + note("C5", 2) + new + note("D5", 2), FULL + new, FULL)
    assert [str(bar.key) for bar in result.sheet.bars] == [
        "C major",
        "C minor",
        "C minor",
    ]
    assert said(result) == [
        "bar 1, beat 3: the key changes within the bar; it is carried from the next "
        "bar on"
    ]


def test_a_signature_that_no_key_has_is_reported():
    odd = "<key><key-step>F</key-step><key-alter>1</key-alter></key>"
    result = read(start(key=odd) + FULL)
    assert [finding.element for finding in result.findings if finding.element] == [
        "key",
        "key-step",
        "key-alter",
    ]


# --- voices -------------------------------------------------------------------------


BACK = "<backup><duration>4</duration></backup>"


def test_the_first_voice_is_the_melody_and_the_second_the_counterline():
    result = read(
        start()
        + note("C5", 4, "<voice>1</voice>")
        + BACK
        + note("E4", 2, "<voice>2</voice>")
        + note("F4", 2, "<voice>2</voice>")
        + BACK
        + note("C3", 4, "<voice>3</voice>")
    )
    (bar,) = result.sheet.bars
    assert line(bar.melody) == "C5:4"
    assert line(bar.counterline) == "E4:2 F4:2"
    assert said(result) == ["bar 1: a third voice is not carried"]


def test_the_melody_is_the_voice_that_begins_even_if_its_number_is_higher():
    one, two = bars(
        start() + note("C5", 4, "<voice>5</voice>"),
        note("D5", 4, "<voice>1</voice>") + BACK + note("E5", 4, "<voice>5</voice>"),
    )
    assert line(one.melody) == "C5:4"
    assert line(two.melody) == "E5:4"
    assert line(two.counterline) == "D5:4"


def test_a_bar_without_the_melodys_voice_takes_the_voice_that_is_there():
    _, two = bars(
        start() + note("C5", 4, "<voice>1</voice>"), note("D5", 4, "<voice>2</voice>")
    )
    assert line(two.melody) == "D5:4"


def test_a_voice_that_overlaps_itself_is_two():
    (bar,) = bars(start() + FULL + BACK + note("E4", 4))
    assert (line(bar.melody), line(bar.counterline)) == ("C5:4", "E4:4")


def test_a_resting_melody_stays_the_melody():
    (bar,) = bars(
        start()
        + note("rest", 4, "<voice>1</voice>")
        + BACK
        + note("E4", 4, "<voice>2</voice>"),
    )
    # the first voice with notes leads a tune that has no other melody
    assert line(bar.melody) == "E4:4"
    _, two = bars(
        start() + note("C5", 4, "<voice>1</voice>"),
        note("rest", 4, "<voice>1</voice>") + BACK + note("E4", 4, "<voice>2</voice>"),
    )
    assert (line(two.melody), line(two.counterline)) == ("rest:4", "E4:4")


def test_going_back_too_far_is_reported():
    result = read(
        start()
        + note("C5", 4)
        + "<backup><duration>9</duration></backup>"
        + note("E4", 4, "<voice>2</voice>")
    )
    assert line(result.sheet.bars[0].counterline) == "E4:4"
    assert said(result) == [
        "bar 1: goes back before the bar's start; the start is taken"
    ]


def test_a_quarter_tone_is_the_plainer_note_and_reported():
    bent = "<note><pitch><step>E</step><alter>{}</alter><octave>5</octave></pitch>"
    bent += "<duration>2</duration></note>"
    result = read(start() + bent.format("-1.5") + bent.format("0.5"))
    assert line(result.sheet.bars[0].melody) == "Eb5:2 E5:2"
    assert said(result) == [
        "bar 1: a note between two keys of the keyboard is carried as the plainer of "
        "them"
    ]


def test_notes_sounding_together_are_one_note_highest_first():
    (bar,) = bars(
        start()
        + note("C5", 4)
        + note("E5", 4, before="<chord/>")
        + note("A4", 4, before="<chord/>")
    )
    (chord,) = bar.melody
    assert [str(pitch) for pitch in chord.pitches] == ["E5", "C5", "A4"]


# --- transposed sources -------------------------------------------------------------


def transposed(chromatic, diatonic=None, octave=None):
    parts = "" if diatonic is None else f"<diatonic>{diatonic}</diatonic>"
    parts += f"<chromatic>{chromatic}</chromatic>"
    parts += "" if octave is None else f"<octave-change>{octave}</octave-change>"
    return f"<transpose>{parts}</transpose>"


@pytest.mark.parametrize(
    ("transpose", "key", "written", "sounding", "concert"),
    [
        # a B flat part in D sounds in C; an E flat part in A also
        (transposed(-2, -1), 2, "F#4", "E4", "C major"),
        (transposed(-2), 2, "F#4", "E4", "C major"),
        (transposed(-9, -5), 3, "F#5", "A4", "C major"),
        (transposed(3, 2), 3, "C#5", "E5", "C major"),
        (transposed(-7, -4), 1, "B4", "E4", "C major"),
        (transposed(0, 0, -1), 0, "E5", "E4", "C major"),
        (transposed(-14, -8), 2, "F#5", "E4", "C major"),
        # seven flats down a tone would be nine: three sharps instead
        (transposed(-2, -1), -7, "Gb4", "E4", "A major"),
    ],
)
def test_transposed_sources_are_brought_to_concert_pitch(
    transpose, key, written, sounding, concert
):
    chord = written[:-1]
    (bar,) = bars(
        start(key=f"<key><fifths>{key}</fifths></key>", more=transpose)
        + harmony(chord, "dominant", f"<bass><bass-step>{chord[0]}</bass-step></bass>")
        + note(written, 4)
    )
    assert str(bar.melody[0].pitch) == sounding
    assert str(bar.key) == concert
    assert str(bar.chords[0].symbol).startswith(sounding[:-1] + "7")


def test_a_transposition_that_spells_nothing_is_refused():
    with pytest.raises(MusicXMLReadError) as refusal:
        read(start(more=transposed(40, -20)) + FULL)
    assert str(refusal.value) == (
        "part P1, measure 1, <transpose>: 40 semitones and -20 letters make no "
        "transposition"
    )


# --- chord symbols ------------------------------------------------------------------


def chords(*content, **options):
    (bar,) = bars(start() + "".join(content) + FULL, **options)
    return [(chord.onset, str(chord.symbol)) for chord in bar.chords]


def degree(value, alter, kind):
    return (
        f"<degree><degree-value>{value}</degree-value>"
        f"<degree-alter>{alter}</degree-alter><degree-type>{kind}</degree-type></degree>"
    )


def test_harmonies_stand_where_they_stand_and_at_their_offset():
    assert chords(harmony(), harmony("G", "dominant", "<offset>2</offset>")) == [
        (0, "C"),
        (2, "G7"),
    ]


def test_a_harmony_within_the_bar():
    (bar,) = bars(start() + note("C5", 3) + harmony("F") + note("D5", 1))
    assert [(chord.onset, str(chord.symbol)) for chord in bar.chords] == [(3, "F")]


def test_kind_degrees_and_bass():
    more = degree(9, -1, "add") + "<bass><bass-step>G</bass-step></bass>"
    assert chords(harmony("C", "dominant", more)) == [(0, "C7(b9)/G")]


def test_the_printed_text_is_kept():
    (bar,) = bars(start() + harmony("Bb", "minor-seventh", text="-7") + FULL)
    assert bar.chords[0].symbol.source == "Bb-7"


def test_no_chord():
    (bar,) = bars(start() + harmony("C", "none", text="N.C.") + FULL)
    assert isinstance(bar.chords[0].symbol, NoChord)


def test_a_polychord_is_two_chords_in_one_harmony():
    lower = "<root><root-step>C</root-step></root><kind>dominant</kind>"
    (bar,) = bars(start() + harmony("D", "major", lower) + FULL)
    symbol = bar.chords[0].symbol
    assert isinstance(symbol, PolyChord)
    assert (str(symbol.upper), str(symbol.lower)) == ("D", "C7")


def test_two_chords_on_one_beat_are_kept_as_entered():
    result = read(start() + harmony("D", "minor") + harmony("G", "dominant") + FULL)
    assert [str(chord.symbol) for chord in result.sheet.bars[0].chords] == ["Dm", "G7"]
    assert not said(result)


def test_text_and_kind_that_disagree_are_reported():
    result = read(start() + harmony("C", "dominant", text="maj7") + FULL)
    assert str(result.sheet.bars[0].chords[0].symbol) == "C7"
    assert said(result) == [
        "bar 1: the printed text 'Cmaj7' says Cmaj7, the kind says C7"
    ]


def test_a_kind_that_does_not_exist_is_read_by_its_text_or_reported():
    result = read(
        start() + harmony("C", "plain", text="7b9") + FULL,
        harmony("D", "curious") + FULL,
        harmony("E", "") + FULL,
    )
    assert [len(bar.chords) for bar in result.sheet.bars] == [1, 0, 1]
    assert str(result.sheet.bars[0].chords[0].symbol) == "C7(b9)"
    assert str(result.sheet.bars[2].chords[0].symbol) == "E"
    assert [finding.bar for finding in result.findings if finding.rule == "unread"] == [
        2
    ]


def test_a_chord_named_by_its_degree_is_reported():
    result = read(
        start() + "<harmony><function>V</function><kind>dominant</kind>"
        "</harmony>" + FULL
    )
    assert any("<function> is not carried" in text for text in said(result))


def test_a_chord_on_the_bar_line_belongs_to_the_next_bar():
    one, two = bars(start() + FULL + harmony("F"), FULL)
    assert one.chords == ()
    assert [(chord.onset, str(chord.symbol)) for chord in two.chords] == [(0, "F")]


@pytest.mark.parametrize(
    ("text", "symbol"),
    [
        ("G7(b9)", "G7(b9)"),
        ("N.C.", "N.C."),
        ("Eb 7/Bb", "Eb7/Bb"),
        ("A\ue260maj7", "Abmaj7"),
    ],
)
def test_chord_symbols_typed_as_words(text, symbol):
    result = read(start() + words(text) + FULL)
    (chord,) = result.sheet.bars[0].chords
    assert str(chord.symbol) == symbol
    assert said(result) == [
        f"bar 1, beat 1: the words {text!r} are read as a chord symbol"
    ]


def test_chord_symbols_typed_on_one_beat_are_all_chords():
    result = read(start() + words("Dm7(b5)") + words("G7(b9)") + FULL)
    (bar,) = result.sheet.bars
    assert [str(chord.symbol) for chord in bar.chords] == ["Dm7(b5)", "G7(b9)"]
    assert bar.directions == ()


def test_chord_symbols_typed_after_the_last_note_stand_over_it():
    result = read(
        start() + note("C5", 4) + words("Dm7(b5)"),
        harmony("G", "dominant") + note("C5", 2) + note("D5", 2) + words("C7(b9)"),
        harmony("F", "major") + FULL,
    )
    placed = [
        [(str(c.symbol), c.onset) for c in bar.chords] for bar in result.sheet.bars
    ]
    assert placed == [[("Dm7(b5)", 0)], [("G7", 0), ("C7(b9)", 2)], [("F", 0)]]


def test_a_chord_at_the_bar_line_over_a_chord_belongs_to_the_note_before():
    result = read(
        start() + note("C5", 2) + note("D5", 2) + harmony("G", "dominant"),
        harmony("F", "major") + FULL + harmony("D", "minor"),
        harmony("D", "minor") + FULL,
    )
    placed = [
        [(str(c.symbol), c.onset) for c in bar.chords] for bar in result.sheet.bars
    ]
    assert placed == [[("G7", 2)], [("F", 0)], [("Dm", 0)]]


def test_a_chord_symbol_typed_over_a_harmony_stays_words():
    (bar,) = bars(start() + words("G7(b9)") + harmony("F") + FULL)
    assert [str(chord.symbol) for chord in bar.chords] == ["F"]
    assert [direction.text for direction in bar.directions] == ["G7(b9)"]


def test_chord_symbols_typed_in_a_transposed_part_are_at_concert_pitch():
    (bar,) = bars(start(more=transposed(-2, -1)) + words("G7") + FULL)
    assert [str(chord.symbol) for chord in bar.chords] == ["F7"]


def test_several_chord_symbols_in_one_word():
    result = read(start() + words("Bb-Bdim-Cm7-F7") + FULL)
    (bar,) = result.sheet.bars
    assert " ".join(str(chord.symbol) for chord in bar.chords) == "Bb Bdim Cm7 F7"
    assert said(result) == [
        "bar 1, beat 1: the words 'Bb-Bdim-Cm7-F7' are read as 4 chord symbols"
    ]


@pytest.mark.parametrize(
    ("text", "concert"),
    [("Am7", "Gm7"), ("G pedal", "F pedal"), ("2nd time: A7 D7", "2nd time: G7 C7")],
)
def test_words_of_a_transposed_source_are_brought_to_concert(text, concert):
    content = words(text) + harmony("D", "minor") + FULL
    (bar,) = bars(start(more=transposed(-2, -1)) + content)
    assert [str(chord.symbol) for chord in bar.chords] == ["Cm"]
    assert [direction.text for direction in bar.directions] == [concert]


UNREADABLE = (
    "bar 1, beat 1: the words 'F79' look like a chord symbol that cannot be read: "
    "transposed parts leave them out (enter them as a chord symbol)"
)


@pytest.mark.parametrize(("transposition", "kept"), [("", ["F79"]), (None, [])])
def test_words_that_look_like_a_chord_and_cannot_be_read(transposition, kept):
    more = transposed(-2, -1) if transposition is None else ""
    result = read(start(more=more) + words("F79") + FULL)
    assert [each.text for each in result.sheet.bars[0].directions] == kept
    assert said(result) == [UNREADABLE]
    assert result.findings[-1].severity == "error"


def test_letters_in_order_name_sections_and_others_may_be_chords():
    tune = bars(start() + words("A") + FULL, words("A") + FULL, words("B") + FULL)
    assert [bar.form.section for bar in tune] == ["A", "A", "B"]
    result = read(start() + words("F") + FULL, FULL, words("G") + FULL)
    assert [bar.form.section for bar in result.sheet.bars] == ["", "", ""]
    assert [d.text for bar in result.sheet.bars for d in bar.directions] == ["F", "G"]
    assert "may be part of a chord symbol" in said(result)[0]


@pytest.mark.parametrize(
    "text", ["Ad lib.", "Bb pedal", "Crescendo", "Fine tune", "Easy", "Dal", "A1", "B2"]
)
def test_words_that_are_no_chord_symbols(text):
    (bar,) = bars(start() + FULL + words(text))
    assert bar.chords == ()
    assert [direction.text for direction in bar.directions] == [text]


# --- form ---------------------------------------------------------------------------


def barline(content, location="right"):
    return f'<barline location="{location}">{content}</barline>'


def ending(number, kind, text=""):
    return f'<ending number="{number}" type="{kind}">{text}</ending>'


BACKWARD = '<repeat direction="backward"/>'


def test_repeats_and_endings():
    found = bars(
        start() + FULL,
        barline('<repeat direction="forward"/>', "left") + FULL,
        barline(ending(1, "start"), "left") + FULL,
        FULL + barline(ending(1, "stop") + BACKWARD),
        barline(ending(2, "start"), "left") + FULL + barline(ending(2, "discontinue")),
        FULL,
    )
    assert [bar.form.repeat_start for bar in found] == [False, True, *[False] * 4]
    assert [bar.form.repeat_end for bar in found] == [0, 0, 0, 2, 0, 0]
    assert [bar.form.ending for bar in found] == [(), (), (1,), (1,), (2,), ()]
    assert [bar.form.ending_starts for bar in found] == [
        False,
        False,
        True,
        False,
        True,
        False,
    ]


@pytest.mark.parametrize(
    ("number", "text", "passes"),
    [
        ("1,2", "", (1, 2)),
        ("1, 3", "", (1, 3)),
        ("1-3", "", (1, 2, 3)),
        ("", "1.–2.", (1, 2)),
        (" ", "3.", (3,)),
    ],
)
def test_endings_for_several_passes(number, text, passes):
    (bar,) = bars(
        start()
        + barline(ending(number, "start", text), "left")
        + FULL
        + barline(ending(number, "stop"))
    )
    assert bar.form.ending == passes


def test_a_bracket_never_closed_covers_its_bar():
    result = read(start() + FULL, barline(ending(1, "start"), "left") + FULL, FULL)
    assert [bar.form.ending for bar in result.sheet.bars] == [(), (1,), ()]
    assert said(result) == ["bar 2: an ending bracket is never closed"]


def test_times_of_a_repeat():
    one, two, three = bars(
        start() + FULL + barline('<repeat direction="backward" times="4"/>'),
        words("3x") + FULL + barline(BACKWARD),
        FULL + words("Play 5 times") + barline(BACKWARD),
    )
    assert [bar.form.repeat_end for bar in (one, two, three)] == [4, 3, 5]


def test_times_written_at_the_start_of_the_repeat():
    forward = barline('<repeat direction="forward"/>', "left")
    found = bars(start() + forward + words("3x") + FULL, FULL, FULL + barline(BACKWARD))
    assert [bar.form.repeat_end for bar in found] == [0, 0, 3]
    result = read(start() + words("3x") + FULL, forward + FULL + barline(BACKWARD))
    assert [bar.form.repeat_end for bar in result.sheet.bars] == [0, 2]
    assert [direction.text for direction in result.sheet.bars[0].directions] == ["3×"]
    assert said(result) == ["bar 1: '3×' without a repeat sign"]


def test_a_chord_past_the_last_bar_is_reported():
    result = read(start() + FULL + harmony("F"))
    assert said(result) == [
        "bar 1: <harmony> is not carried: it stands past the last bar's end"
    ]


def test_repeat_signs_at_the_wrong_edge_belong_to_the_bar_beside():
    found = bars(
        start() + FULL,
        FULL + barline('<repeat direction="forward"/>'),
        FULL,
        barline(BACKWARD, "left") + FULL,
    )
    assert [bar.form.repeat_start for bar in found] == [False, False, True, False]
    assert [bar.form.repeat_end for bar in found] == [0, 0, 2, 0]


def test_bar_lines():
    found = bars(
        start() + FULL + barline("<bar-style>light-light</bar-style>"),
        FULL,
        barline("<bar-style>light-light</bar-style>", "left") + FULL,
        FULL + barline("<bar-style>dotted</bar-style>"),
        FULL + barline(f"<bar-style>light-heavy</bar-style>{BACKWARD}"),
        FULL + barline("<bar-style>light-heavy</bar-style>"),
    )
    assert [bar.form.barline for bar in found] == [
        "double", "double", "regular", "dashed", "regular", "final",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("style", "barline_read"),
    [
        # MusicXML 4.0, type "bar-style"; two heavy lines end a piece as a light and a
        # heavy one do, two light ones a section (common practice, no source)
        ("regular", "regular"),
        ("dotted", "dashed"),
        ("dashed", "dashed"),
        ("light-light", "double"),
        ("light-heavy", "final"),
        ("heavy-light", "regular"),
        ("heavy-heavy", "final"),
        ("tick", "regular"),
        ("short", "regular"),
        ("none", "regular"),
    ],
)
def test_styles_of_bar_lines(style, barline_read):
    (bar,) = bars(start() + FULL + barline(f"<bar-style>{style}</bar-style>"))
    assert bar.form.barline == barline_read


@pytest.mark.parametrize(
    ("text", "jump"),
    [
        ("D.C.", Jump("capo")),
        ("D.C. al Fine", Jump("capo", "fine")),
        ("Da Capo al Coda", Jump("capo", "coda")),
        ("D.S.", Jump("segno")),
        ("D.S. al Coda", Jump("segno", "coda")),
        ("DS al fine", Jump("segno", "fine")),
        ("dal segno al 𝄌", Jump("segno", "coda")),
        ("D.S. al Coda (with repeats)", Jump("segno", "coda", with_repeats=True)),
        ("D.C. al Fine senza rep.", Jump("capo", "fine")),
        ("D. C. al  Fine", Jump("capo", "fine")),
    ],
)
def test_jumps_in_words(text, jump):
    (bar,) = bars(start() + FULL + words(text))
    assert bar.form.jump == jump
    assert bar.directions == ()


def test_a_jump_with_more_words_keeps_them():
    (bar,) = bars(start() + FULL + words("D.S. al Coda on cue"))
    assert bar.form.jump == Jump("segno", "coda")
    # the jump itself is printed from its sign
    assert [direction.text for direction in bar.directions] == ["on cue"]


def test_jumps_given_for_playback():
    sounds = '<sound dalsegno="s"/>', '<sound dacapo="yes"/>'
    found = bars(
        start() + '<sound segno="s"/>' + FULL,
        FULL + "<direction><direction-type><words/></direction-type>"
        '<sound tocoda="c"/></direction>',
        FULL + sounds[0],
        '<sound coda="c"/>' + FULL,
    )
    assert [bar.form.segno for bar in found] == [True, False, False, False]
    assert [bar.form.to_coda for bar in found] == [False, True, False, False]
    assert found[2].form.jump == Jump("segno", "coda")
    assert [bar.form.coda for bar in found] == [False, False, False, True]
    one, two = bars(start() + FULL + '<sound fine="yes"/>', FULL + sounds[1])
    assert one.form.fine
    assert two.form.jump == Jump("capo", "fine")


def sign(name):
    return f"<direction><direction-type><{name}/></direction-type></direction>"


def test_of_two_coda_signs_one_leaves_and_one_arrives():
    found = bars(
        start() + sign("segno") + FULL,
        FULL + sign("coda"),
        FULL + words("D.S. al Coda"),
        sign("coda") + FULL,
    )
    assert [bar.form.to_coda for bar in found] == [False, True, False, False]
    assert [bar.form.coda for bar in found] == [False, False, False, True]
    assert found[0].form.segno


def test_two_forms_in_one_file_have_a_coda_each():
    form = [FULL, FULL + words("To Coda"), FULL, sign("coda") + FULL]
    found = bars(start() + form[0], *form[1:], *form)
    assert [bar.form.coda for bar in found] == [False, False, False, True] * 2
    assert [bar.form.to_coda for bar in found] == [False, True, False, False] * 2


def test_signs_at_the_end_of_a_bar_act_on_the_next():
    found = bars(
        start() + FULL + sign("segno"),
        FULL + words("To Coda"),
        FULL,
        FULL + words("D.S. al Coda") + sign("coda"),
        FULL,
    )
    assert [bar.form.segno for bar in found] == [False, True, False, False, False]
    assert [bar.form.coda for bar in found] == [False, False, False, False, True]
    assert [bar.form.to_coda for bar in found] == [False, True, False, False, False]


@pytest.mark.parametrize(
    ("content", "section"),
    [
        ("<rehearsal>B</rehearsal>", "B"),
        ('<words enclosure="rectangle">Solo B</words>', "Solo B"),
        ("<words>Chorus:</words>", "Chorus"),
        ("<words>Intro</words>", "Intro"),
        ("<words>1st Chorus</words>", "1st Chorus"),
        ("<words>Verse 2:</words>", "Verse 2"),
        ("<words>Out chorus</words>", "Out chorus"),
    ],
)
def test_sections(content, section):
    _, two = bars(
        start() + FULL,
        f"<direction><direction-type>{content}</direction-type></direction>" + FULL,
    )
    assert two.form.section == section
    assert two.directions == ()


@pytest.mark.parametrize("tag", ["rehearsal", "words"])
@pytest.mark.parametrize(
    ("before", "sections"),
    [("half", ["Verse", "Chorus"]), ("quarter", ["Verse", ""])],
)
def test_a_section_named_over_the_notes_that_lead_in(tag, before, sections):
    """In the second half of a bar the name is the next bar's (common practice, no
    source)."""
    named, late = (
        f"<direction><direction-type><{tag}>{name}</{tag}></direction-type></direction>"
        for name in ("Verse", "Chorus")
    )
    length = {"half": 2, "quarter": 1}[before]
    lead_in = note("rest", length) + late + note("C5", 4 - length)
    result = read(start() + named + lead_in, FULL, FULL)
    assert [bar.form.section for bar in result.sheet.bars] == [*sections, ""]
    assert bool(said(result, "unread")) is (before == "quarter")
    found = bars(start() + FULL, lead_in, named + FULL)
    assert [bar.form.section for bar in found] == (
        ["", "", "Verse"] if before == "half" else ["", "Chorus", "Verse"]
    )
    left = [each.text for bar in found for each in bar.directions]
    assert left == (["Chorus"] if before == "half" else [])


def test_style_and_tempo_at_the_start_are_the_sheets():
    tempo = (
        "<direction><direction-type><metronome><beat-unit>quarter</beat-unit>"
        "<beat-unit-dot/><per-minute>ca. 132</per-minute></metronome></direction-type>"
        "</direction>"
    )
    result = read(start() + words("Medium ") + tempo + FULL, words("Latin") + FULL)
    sheet = result.sheet
    assert sheet.style == "Medium"
    assert (sheet.tempo.beat, sheet.tempo.per_minute) == (NoteValue("quarter", 1), 132)
    assert [direction.text for direction in sheet.bars[1].directions] == ["Latin"]
    assert said(result, "tempo") == ["bar 1: tempo 'ca. 132' is read as 132"]


def test_words_in_pieces_are_one_text():
    content = "<words>D.S.</words><words>al Coda</words>"
    (bar,) = bars(
        start()
        + FULL
        + f"<direction><direction-type>{content}</direction-type></direction>"
    )
    assert bar.form.jump == Jump("segno", "coda")


def test_a_repeated_bar_sign_is_the_bar_it_means():
    def style(kind, count=""):
        return (
            f'<attributes><measure-style><measure-repeat type="{kind}">{count}'
            "</measure-repeat></measure-style></attributes>"
        )

    found = bars(
        start() + harmony("C") + FULL,
        harmony("F") + note("D5", 4),
        style("start", 2),
        harmony("G") + note("rest", 4),
        style("stop"),
    )
    assert [line(bar.melody) for bar in found] == [
        "C5:4",
        "D5:4",
        "C5:4",
        "D5:4",
        "rest:4",
    ]
    assert [str(bar.chords[0].symbol) for bar in found[:4]] == ["C", "F", "C", "G"]


# --- hits ---------------------------------------------------------------------------


STAFF = "<staff>{}</staff>"
SLASH = "<notehead>slash</notehead>"


def hits(bar):
    return [(hit.onset, hit.duration) for hit in bar.hits]


def test_hits_on_a_second_staff_all_on_one_pitch():
    (bar,) = bars(
        start()
        + note("C5", 4, "<voice>1</voice><staff>1</staff>")
        + BACK
        + note("rest", 1, "<voice>5</voice><staff>2</staff>")
        + note("B4", 1, "<voice>5</voice><staff>2</staff>")
        + note("B4", 2, "<voice>5</voice><staff>2</staff>")
    )
    assert line(bar.melody) == "C5:4"
    assert hits(bar) == [(1, 1), (2, 2)]
    assert bar.counterline == ()


def test_a_second_staff_with_pitches_is_reported():
    result = read(
        start()
        + note("C5", 4, "<staff>1</staff>")
        + BACK
        + note("F2", 2, "<staff>2</staff>")
        + note("C3", 2, "<staff>2</staff>")
    )
    assert result.sheet.bars[0].hits == ()
    assert line(result.sheet.bars[0].bass_line) == "F2:2 C3:2"
    assert "the bass line is that of P1, staff 2" in [
        finding.message for finding in result.findings
    ]


UNPITCHED = (
    "<note><unpitched><display-step>B</display-step><display-octave>4</display-octave>"
    "</unpitched><duration>2</duration></note>"
)


def test_hits_in_a_second_part():
    for content in (
        UNPITCHED * 2,
        note("G4", 2, SLASH) + note("A4", 2, SLASH),
        note("B4", 2) + note("B4", 2),
    ):
        part = f'<part id="P2"><measure number="1">{start()}{content}</measure></part>'
        (bar,) = bars(start() + FULL, parts=part)
        assert hits(bar) == [(0, 2), (2, 2)]
    part = (
        f'<part id="P2"><measure number="1">{start()}{note("G4", 4)}</measure></part>'
    )
    names = '<score-part id="P2"><part-name>Rhythm hits</part-name></score-part>'
    (bar,) = bars(start() + FULL, parts=part, part_list=names)
    assert hits(bar) == [(0, 4)]


def test_the_rhythm_may_stand_above_the_melody():
    eighths = "".join(note("B4", 1) for _ in range(8))
    attributes = start(divisions=2)
    part = (
        f'<part id="P2"><measure number="1">{attributes}{note("G4", 4)}{note("A4", 4)}'
        "</measure></part>"
    )
    (bar,) = bars(attributes + eighths, parts=part)
    assert line(bar.melody) == "G4:2 A4:2"
    assert len(bar.hits) == 8


def test_a_second_part_with_a_line_of_its_own_is_reported():
    part = (
        f'<part id="P2"><measure number="1">{start()}{note("G4", 2)}{note("A4", 2)}'
        "</measure></part>"
    )
    names = '<score-part id="P2"><part-name>Flute</part-name></score-part>'
    result = read(start() + FULL, parts=part, part_list=names)
    assert said(result) == ["Flute is not carried: named Flute"]


def test_hits_above_the_melody_on_the_same_staff():
    (bar,) = bars(
        start()
        + note("C5", 4, "<voice>1</voice>")
        + BACK
        + note("B5", 1, "<voice>2</voice>" + SLASH)
        + note("B5", 3, "<voice>2</voice>" + SLASH, before="<cue/>")
    )
    assert line(bar.melody) == "C5:4"
    assert hits(bar) == [(0, 1), (1, 3)]
    assert bar.counterline == ()


def test_slash_heads_in_the_melodys_voice_are_hits_over_a_rest():
    (bar,) = bars(start() + note("B4", 1, SLASH) + note("B4", 3, SLASH))
    assert hits(bar) == [(0, 1), (1, 3)]
    assert bar.melody == (Rest(Fraction(0), Fraction(4), None, whole_bar=True),)


# --- what stands about a note -------------------------------------------------------


def test_values_dots_and_tuplets():
    triplet = "<time-modification><actual-notes>3</actual-notes>"
    triplet += "<normal-notes>2</normal-notes></time-modification>"
    mark = '<notations><tuplet type="{}"/></notations>'
    (bar,) = bars(
        start(divisions=6)
        + note("C5", 9, "<type>quarter</type><dot/>")
        + note("D5", 3, "<type>eighth</type>")
        + note("E5", 2, "<type>eighth</type>" + triplet + mark.format("start"))
        + note("F5", 2, "<type>eighth</type>" + triplet)
        + note("G5", 2, "<type>eighth</type>" + triplet + mark.format("stop"))
        + note("A5", 6, "<type>quarter</type>")
    )
    assert [event.value for event in bar.melody] == [
        NoteValue("quarter", 1),
        NoteValue("eighth"),
        NoteValue("eighth", tuplet=Tuplet(3, 2, starts=True)),
        NoteValue("eighth", tuplet=Tuplet(3, 2)),
        NoteValue("eighth", tuplet=Tuplet(3, 2, ends=True)),
        NoteValue("quarter"),
    ]


def test_tuplets_without_marks_get_them():
    ratio = "<time-modification><actual-notes>3</actual-notes>"
    ratio += "<normal-notes>2</normal-notes></time-modification>"
    eighth = "<type>eighth</type>" + ratio
    quarter = "<type>quarter</type>" + ratio
    (bar,) = bars(
        start(divisions=3)
        + note("C5", 1, eighth) * 6
        + note("C5", 2, quarter)
        + note("C5", 1, eighth)
        + note("rest", 3, "<type>quarter</type>")
    )
    marks = [
        (event.value.tuplet.starts, event.value.tuplet.ends)
        for event in bar.melody
        if event.value.tuplet
    ]
    first, middle, last = (True, False), (False, False), (False, True)
    assert marks == [first, middle, last, first, middle, last, first, last]


@pytest.mark.parametrize(
    ("time", "actual", "normal", "values", "groups"),
    [
        (TWO, 3, 2, "eighth eighth eighth quarter eighth", ["3", "2"]),
        (TWO, 3, 2, "quarter quarter quarter", ["3"]),
        (TWO, 3, 2, "quarter quarter eighth eighth", ["4"]),
        (TWO, 5, 4, "16th 16th 16th 16th 16th eighth 16th eighth", ["5", "3"]),
        (TWO, 6, 4, "16th 16th 16th 16th 16th 16th", ["6"]),
        (
            "<time><beats>6</beats><beat-type>8</beat-type></time>",
            2,
            3,
            "eighth eighth eighth eighth",
            ["2", "2"],
        ),
        (
            "<time><beats>6</beats><beat-type>8</beat-type></time>",
            4,
            3,
            "eighth eighth eighth eighth",
            ["4"],
        ),
    ],
)
def test_tuplet_groups_without_marks(time, actual, normal, values, groups):
    ratio = (
        f"<time-modification><actual-notes>{actual}</actual-notes>"
        f"<normal-notes>{normal}</normal-notes></time-modification>"
    )
    plain = {"quarter": 240, "eighth": 120, "16th": 60}
    content = "".join(
        note("C5", plain[name] * normal // actual, f"<type>{name}</type>{ratio}")
        for name in values.split()
    )
    (bar,) = bars(start(time, divisions=240) + content)
    found, size = [], 0
    for event in bar.melody:
        if isinstance(event, Note):
            size = 1 if event.value.tuplet.starts else size + 1
            if event.value.tuplet.ends:
                found.append(str(size))
    assert found == groups


def test_a_value_that_does_not_fit_is_reported_and_left_out():
    result = read(start() + note("C5", 3, "<type>quarter</type>") + note("D5", 1))
    assert result.sheet.bars[0].melody[0].value is None
    assert said(result) == [
        "bar 1, beat 1: a quarter that lasts 3 quarter notes; the duration is kept"
    ]


def test_ties_lyrics_marks_and_slurs():
    lyric = (
        '<lyric number="2"><syllabic>begin</syllabic><text>la</text><extend/></lyric>'
    )
    notations = (
        '<notations><tied type="start"/><slur type="start" number="2"/>'
        "<articulations><staccato/><scoop/></articulations><fermata/>"
        "<ornaments><trill-mark/></ornaments><glissando type='start'/></notations>"
    )
    (bar,) = bars(
        start()
        + note("C5", 2, '<tie type="start"/>' + notations + lyric)
        + note("C5", 2, '<tie type="stop"/>')
    )
    first, second = bar.melody
    assert first.tied_to_next
    assert not first.tied_from_previous
    assert second.tied_from_previous
    assert [mark.kind for mark in first.marks] == [
        "staccato", "scoop", "fermata", "trill-mark",
    ]  # fmt: skip
    assert first.slurs == (Slur("start", 2), Slur("start", 1, "glissando"))
    (syllable,) = first.lyrics
    assert (syllable.text, syllable.syllabic, syllable.verse, syllable.extend) == (
        "la", "single", 2, "start",
    )  # fmt: skip


def sung(*syllables):
    """Quarter notes with a syllable each, as (syllabic, text)."""
    return "".join(
        note("C5", 1, f"<lyric><syllabic>{kind}</syllabic><text>{text}</text></lyric>")
        if text
        else note("rest", 1)
        for kind, text in (each.split(":") for each in syllables)
    )


def test_words_of_the_lyrics_are_closed():
    result = read(
        start() + sung("begin:har", "begin:Sea", "end:gull", "middle:a"),
        sung("end:way", ":", ":", ":") + "",
        note("rest", 4),
        sung("end:lost", "begin:o", ":", "end:pen"),
        sung("begin:go", ":", ":", ":"),
    )
    found = [
        f"{event.lyrics[0].syllabic}:{event.lyrics[0].text}"
        for bar in result.sheet.bars
        for event in bar.melody
        if isinstance(event, Note)
    ]
    assert " ".join(found) == (
        "single:har begin:Sea end:gull begin:a end:way single:lost begin:o end:pen "
        "single:go"
    )
    assert said(result, "lyrics") == [
        "bar 1: words of the lyrics are closed (bars 1, 4, 5)"
    ]


def test_no_hyphen_runs_across_a_bar_of_rest():
    (_, _, last) = bars(
        start() + sung("begin:har", ":", ":", ":"),
        note("rest", 4),
        sung("end:bour", *":::"),
    )
    assert last.melody[0].lyrics[0].syllabic == "single"


def test_a_line_that_only_stops_is_kept():
    lyrics = [
        "<lyric><syllabic>single</syllabic><text>sea</text><extend/></lyric>",
        '<lyric><extend type="continue"/></lyric>',
        '<lyric><extend type="stop"/></lyric>',
    ]
    result = read(
        start() + "".join(note("C5", 1, each) for each in lyrics) + note("rest")
    )
    melody = result.sheet.bars[0].melody
    assert [event.lyrics[0].extend for event in melody[:3]] == [
        "start", "continue", "stop",
    ]  # fmt: skip
    again = parse_lead_sheet(write_lead_sheet(result.sheet)).sheet
    assert again.bars[0].melody == melody


def test_two_syllables_on_one_note():
    lyric = (
        "<lyric><syllabic>end</syllabic><text>so</text><elision>‿</elision>"
        "<syllabic>single</syllabic><text>I</text></lyric>"
    )
    (bar,) = bars(start() + note("C5", 4, lyric))
    assert bar.melody[0].lyrics[0].text == "so‿I"


def test_grace_notes():
    grace = "<note><grace{}/><pitch><step>B</step><octave>4</octave></pitch></note>"
    (bar,) = bars(start() + grace.format(' slash="yes"') + grace.format("") + FULL)
    assert [(event.grace, event.duration) for event in bar.melody] == [
        ("slashed", 0), ("plain", 0), ("", 4),
    ]  # fmt: skip


def test_cue_and_hidden_notes_are_reported():
    cue = "<note><cue/><pitch><step>B</step><octave>4</octave></pitch>"
    cue += "<duration>4</duration></note>"
    result = read(
        start() + FULL,
        cue,
        cue.replace("<cue/>", "").replace("<note>", '<note print-object="no">'),
    )
    assert [line(bar.melody) for bar in result.sheet.bars] == [
        "C5:4",
        "rest:4",
        "rest:4",
    ]
    assert said(result) == [
        "bar 2: <note> is not carried: a cue note",
        "bar 3: <note> is not carried: hidden in the source",
    ]


# --- above the music ----------------------------------------------------------------


def test_titles_and_names():
    head = dedent("""\
        <work><work-title>Lamps on the Quay</work-title></work>
        <movement-title>after supper</movement-title>
        <identification>
          <creator type="composer">M. Ostrander</creator>
          <creator type="poet">A. Vell</creator>
          <creator type="arranger">the reeds</creator>
          <creator>someone else</creator>
          <rights>written for the pier</rights>
        </identification>
        <credit page="1"><credit-words>LAMPS ON THE QUAY</credit-words></credit>
        <credit page="1"><credit-words>for the opening night</credit-words></credit>
        """)
    result = read(start() + FULL, head=head)
    sheet = result.sheet
    assert (sheet.title, sheet.subtitle) == ("Lamps on the Quay", "after supper")
    assert sheet.composer == "M. Ostrander"
    assert sheet.lyricist == "A. Vell, someone else"
    assert (sheet.arranger, sheet.rights) == ("the reeds", "written for the pier")
    assert said(result) == [
        "<credit> is not carried: 'for the opening night'",
    ]


@pytest.mark.parametrize(
    ("creators", "composer", "lyricist"),
    [
        ('<creator type="composer">A. Quay</creator><creator>B. Pier</creator>',
         "A. Quay", "B. Pier"),
        ('<creator>B. Pier</creator><creator type="composer">A. Quay</creator>',
         "A. Quay", "B. Pier"),
        ("<creator>A. Quay</creator>", "A. Quay", ""),
        ("<creator>A. Quay</creator><creator>B. Pier</creator>", "A. Quay", "B. Pier"),
    ],
)  # fmt: skip
def test_creators_without_a_role(creators, composer, lyricist):
    head = f"<identification>{creators}<rights>2031 Quay</rights></identification>"
    result = read(start() + FULL, head=head)
    sheet = result.sheet
    assert (sheet.composer, sheet.lyricist) == (composer, lyricist)
    assert not said(result)
    for part in make_parts(sheet):
        data = write_part(part)
        again = parse_lead_sheet(data).sheet
        assert (again.composer, again.lyricist) == (composer, lyricist)
        assert again.rights == "2031 Quay"
        assert b"<credit-type>rights</credit-type>" in data


def test_a_title_that_only_the_page_has():
    head = (
        "<credit><credit-type>title</credit-type><credit-words>Gulls</credit-words>"
        "</credit><credit><credit-type>subtitle</credit-type><credit-words>a sketch"
        "</credit-words></credit>"
    )
    sheet = read(start() + FULL, head=head).sheet
    assert (sheet.title, sheet.subtitle) == ("Gulls", "a sketch")


# --- the whole score ----------------------------------------------------------------


def test_a_score_ordered_by_measure():
    timewise = (
        "<score-timewise><part-list/>"
        f'<measure number="1"><part id="P1">{start()}{FULL}</part>'
        f'<part id="P2">{start()}{UNPITCHED * 2}</part></measure>'
        f'<measure number="2"><part id="P1">{note("D5", 4)}</part></measure>'
        "</score-timewise>"
    )
    result = parse_lead_sheet(timewise.encode())
    one, two = result.sheet.bars
    assert (line(one.melody), line(two.melody)) == ("C5:4", "D5:4")
    assert (hits(one), hits(two)) == ([(0, 2), (2, 2)], [])


def test_chord_symbols_that_only_another_part_has():
    part = (
        f'<part id="P2"><measure number="1">{start()}{harmony("Eb", "minor-seventh")}'
        f"{note('rest', 4)}</measure></part>"
    )
    result = read(start() + FULL, parts=part)
    assert str(result.sheet.bars[0].chords[0].symbol) == "Ebm7"
    assert said(result, "chord-part") == ["chord symbols are those of P2"]


def second_part(content: str) -> str:
    return f'<part id="P2"><measure number="1">{start()}{content}</measure></part>'


def test_chord_symbols_of_all_parts_are_one_row():
    """Those that sound alike at one place once, however they are spelled."""
    own = harmony("F#", "minor") + note("C5", 2) + harmony("B", "dominant")
    other = (
        harmony("Gb", "minor")
        + note("rest", 1)
        + harmony("Gb", "minor")
        + note("rest", 2)
        + harmony("E", "major")
        + note("rest", 1)
    )
    result = read(start() + own + note("C5", 2), parts=second_part(other))
    chords = result.sheet.bars[0].chords
    assert [(str(c.symbol), c.onset) for c in chords] == [
        ("F#m", 0), ("B7", 2), ("E", 3),
    ]  # fmt: skip
    assert said(result, "chord-part") == [
        "1 chord symbol of P2 stands with the melody's"
    ]


def test_chord_symbols_that_contradict_each_other_are_asked_about():
    own = harmony("C", "major") + FULL
    other = harmony("C", "minor") + note("rest", 4)
    result = read(start() + own, parts=second_part(other))
    assert [str(c.symbol) for c in result.sheet.bars[0].chords] == ["C"]
    (asked,) = [f for f in result.findings if f.rule == "chord-parts"]
    assert (asked.severity, asked.bar, asked.beat) == ("query", 1, 1)
    assert asked.message == "P2 has Cm where the melody's part has C"


def test_words_and_letters_of_another_part_are_the_tune_s():
    words = "<direction-type><words>2nd x only</words></direction-type>"
    letter = "<direction-type><rehearsal>B</rehearsal></direction-type>"
    rest = note("rest", 2)
    other = f"<direction>{letter}</direction>{rest}<direction>{words}</direction>{rest}"
    (bar,) = bars(start() + FULL, parts=second_part(other))
    assert bar.form.section == "B"
    assert [each.text for each in bar.directions] == ["2nd x only"]


def test_the_melody_may_stand_in_a_later_part():
    drums = "<note><unpitched/><duration>4</duration></note>"
    part = f'<part id="P2"><measure number="1">{start()}{FULL}</measure></part>'
    (bar,) = bars(
        start()
        + "<direction><direction-type><rehearsal>A</rehearsal></direction-type>"
        + "</direction>"
        + drums,
        parts=part,
    )
    assert line(bar.melody) == "C5:4"
    assert hits(bar) == [(0, 4)]
    assert bar.form.section == "A"


def test_a_sheet_keeps_what_notes_it_has():
    melody = bars(start() + FULL)[0].melody
    assert melody == (
        Note(onset=Fraction(0), duration=Fraction(4), pitches=melody[0].pitches),
    )


def test_framed_words_in_mid_bar_name_no_section():
    framed = words("Soli", 'enclosure="square"')
    (bar,) = bars(start() + framed + note("C5", 2) + framed + note("D5", 2))
    assert bar.form.section == "Soli"
    assert [(each.text, each.onset) for each in bar.directions] == [("Soli", 2)]


def test_small_things_that_are_told():
    stray = '<notations><tuplet type="start" number="2"/></notations>'
    result = read(start() + note("C5", 1, stray) + note("C5", 1) + note("rest", 2))
    told = [str(each) for each in result.findings]
    bracket = "bar 1: <tuplet> is not carried: a bracket over a note that is in no "
    assert f"{bracket}tuplet" in told
    assert line(result.sheet.bars[0].melody) == "C5:1 C5:1 rest:2"


def test_transpositions_for_parts_and_links_to_them_leave_no_remark():
    parts = (
        "<for-part><part-clef><sign>G</sign><line>2</line></part-clef>"
        "<part-transpose><chromatic>-2</chromatic></part-transpose></for-part>"
    )
    result = read(start(more=parts) + FULL)
    assert not said(result)
    assert str(result.sheet.bars[0].melody[0].pitch) == "C5"
