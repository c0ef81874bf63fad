"""Optional chords, basses in words, and other forms that charts print in words.

Common practice, no source, unless a line names one.
"""

import pytest

from leadsheet_theory.chords import (
    PLAIN_LETTERS,
    Chord,
    NoChord,
    chord_from_harmony,
    harmony_of,
    harte_label,
    name_chord,
    parse_chord,
    parse_harte,
    read_chord,
)
from leadsheet_theory.interval import Interval
from leadsheet_theory.key import Key
from leadsheet_theory.musicxml import read_lead_sheet
from leadsheet_theory.musicxml.writing._harmony import harmony_writer
from leadsheet_theory.pitch import NoteName

SAME = {
    # a bass in words, or by a small letter
    "C(E bass)": "C/E", "Cm7(Eb bass)": "Cm7/Eb", "C (bass E)": "C/E", "C on E": "C/E",
    "Dm7 on G": "Dm7/G", "C(on G)": "C/G", "C on e": "C/E", "C/e": "C/E",
    "B♭7/a♭": "Bb7/Ab",
    # half-diminished in words
    "C half-diminished": "Cm7b5", "C half diminished 7": "Cm7b5", "Chalfdim": "Cm7b5",
    "C half dim": "Cm7b5", "B half-diminished seventh": "Bm7b5",
    # the number in words
    "C diminished seventh": "Cdim7", "C minor 7th": "Cm7", "C dominant 9th": "C9",
    # the major seventh behind the number
    "Gmi9(ma7)": "Gm(maj9)", "C-9(ma7)": "Cm(maj9)", "C9(maj7)": "Cmaj9",
}  # fmt: skip


@pytest.mark.parametrize(("text", "same"), SAME.items())
def test_one_chord_in_two_prints(text, same):
    assert parse_chord(text) == parse_chord(same)


class TestOptionalChords:
    @pytest.mark.parametrize("text", ["(Cm7)", "[Cm7]", "( Cm7 )"])
    def test_brackets_make_a_chord_optional(self, text):
        chord = parse_chord(text)
        assert isinstance(chord, Chord)
        assert chord.optional
        assert chord != parse_chord("Cm7")
        assert chord.sounds_like(Chord(chord.root, chord.quality))
        assert str(chord) == "(Cm7)"

    def test_it_stays_so(self):
        chord = parse_chord("(F#7(b9)/C#)")
        assert str(chord) == "(F#7(b9)/C#)"
        assert str(chord.transposed(Interval.parse("M2"))) == "(G#7(b9)/D#)"
        assert str(chord.respelled(NoteName.parse("Gb"))) == "(Gb7(b9)/Db)"
        assert chord_from_harmony(*harmony_of(chord)) == chord

    def test_brackets_of_an_alteration_are_none_of_a_chord(self):
        assert not parse_chord("C7(b9)").optional
        assert read_chord("(C7)(b9)").error is not None
        assert read_chord("(Am7 D7)").error is not None

    @pytest.mark.parametrize("text", ["(Cm7)", "(F#7/A#)", "(Bb)", "(C7(b9,#11))"])
    def test_a_file_carries_it(self, text):
        """MusicXML 4.0 has no element for it: the printed text of root and kind."""
        chord = parse_chord(text)
        harmony = f"{harmony_writer(PLAIN_LETTERS)(chord, chord)}</harmony>"
        score = (
            '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name/>'
            '</score-part></part-list><part id="P1"><measure number="1"><attributes>'
            "<divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type>"
            f'</time></attributes>{harmony}<note><rest measure="yes"/><duration>4'
            "</duration></note></measure></part></score-partwise>"
        )
        result = read_lead_sheet(score.encode())
        (placed,) = result.sheet.bars[0].chords
        assert placed.symbol == chord
        assert not [f for f in result.findings if f.rule == "chord-text"]


def test_the_eleventh_of_a_thirteenth_chord_is_an_open_question():
    """Integrated Music Theory 19a brackets it; MusicXML 4.0 and mir_eval have it."""
    assert [str(other.chord) for other in parse_chord("C13").ambiguities] == [
        "C13(no11)"
    ]
    assert [str(other.chord) for other in parse_chord("Cmaj13").ambiguities] == [
        "Cmaj13(no11)"
    ]


def test_no_suggestion_where_it_would_say_something_else():
    for text in ("C on", "Cm7#9", "C7#13", "Am7 D7", "C8", "Csus3", "Cdim6"):
        error = read_chord(text).error
        assert error is not None
        assert error.suggestion == "", text
    assert read_chord("Cm7x").error.suggestion == "Cm7"


def test_harte_labels_with_blanks_and_without_a_name():
    """C. Harte and others, ISMIR 2005; X as in mir_eval 0.8.2."""
    assert parse_harte(" C : min7 / b3 ") == parse_chord("Cm7/Eb")
    assert parse_harte("D:7( #9, *5 )") == parse_chord("D7(#9,no5)")
    unnamed = parse_harte("X")
    assert unnamed == NoChord(unnamed=True) != NoChord()
    assert harte_label(unnamed) == str(unnamed) == "X"


@pytest.mark.parametrize(
    ("sounds", "name"),
    [
        ((0, 4, 7, 11, 5), "Cmaj7(11)"),
        ((0, 7, 10), "C7 without 3"),
        ((0, 4, 10), "C7 without 5"),
    ],
)
def test_names_for_notes(sounds, name):
    found = name_chord(sounds, key=Key.parse("C"), bass=0, most=3)
    assert name in map(str, found)
