"""A part's notes under their chords, its solo page, and what the arranger asks for."""

from fractions import Fraction

import pytest
from attrs import evolve

from leadsheet_theory import make_parts
from leadsheet_theory.chords import parse_chord
from leadsheet_theory.errors import RespellError
from leadsheet_theory.instruments import find_book
from leadsheet_theory.key import Key
from leadsheet_theory.leadsheet import Bar, LeadSheet, Note, PlacedChord
from leadsheet_theory.parts import Respell, RespellNote
from leadsheet_theory.pitch import NoteName, Pitch
from leadsheet_theory.rhythm import Meter
from leadsheet_theory.spelling.chord_tones import own_names

COMMON = Meter(4, 4)


def bar(number, key, chords, notes="", lower=""):
    """A bar of two chords and four notes, with a counterline perhaps."""
    placed = tuple(
        PlacedChord(Fraction(2 * at), parse_chord(text))
        for at, text in enumerate(chords.split())
    )

    def line(text):
        return tuple(
            Note(onset=Fraction(at), duration=Fraction(1), pitches=(Pitch.parse(name),))
            for at, name in enumerate(text.split())
        )

    return Bar(
        number=number,
        key=Key.parse(key),
        meter=COMMON,
        length=Fraction(4),
        melody=line(notes),
        counterline=line(lower),
        chords=placed,
    )


def part(bars, book="Bb", **options):
    (made,) = make_parts(
        LeadSheet(title="Ebb", bars=tuple(bars)), books=[find_book(book)], **options
    )
    return made


def names(each):
    return " ".join(str(pitch) for pitch in each.pitches)


def symbols(each):
    return " ".join(map(str, each.symbols))


# Common practice, and R. T. Kelley's spelling strictures (2003): over a printed chord
# its own tones are read, in the part as in the source.
@pytest.mark.parametrize(
    ("key", "chords", "notes", "book", "written"),
    [
        # the pair goes to flats: its tones follow
        ("Eb", "F#m7 B7", "C#5 E5 D#5 A4", "Bb", "Abm7 Db7 | Eb5 Gb5 F5 Cb5"),
        # to a note of the key too: G sharp would be A sharp
        ("Ab", "Bm7 E7", "D5 B4 G#4 B4", "Bb", "Dbm7 Gb7 | Fb5 Db5 Bb4 Db5"),
        # B over A flat minor is its C flat: where that is D flat it is read so
        ("C", "Abm7 Db7", "B4 Ab4 F4 B4", "Bb", "Bbm7 Eb7 | Db5 Bb4 G4 Db5"),
        # a note that never agreed with its chord keeps the letter of the interval
        ("C", "Fm6 C", "G#4 A4 G4 E4", "Bb", "Gm6 D | A#4 B4 A4 F#4"),
    ],
)
def test_notes_are_named_as_their_chord_names_them(key, chords, notes, book, written):
    each = part([bar(1, key, chords, notes), bar(2, key, key)], book).bars[0]
    assert f"{symbols(each)} | {names(each)}" == written


def test_what_stands_beside_notes_that_changed_sides_changes_with_them():
    """A♯ and F♯ beside D♭ are B♭ and G♭, where they are notes of the key or of their
    chord (common practice, no source)."""
    made = part([bar(1, "Gb", "Amaj7/C# Cdim7", "E5 E5 C#5 A4")], "Eb")
    assert symbols(made.bars[0]) == "Gbmaj7/Bb Adim7"
    assert names(made.bars[0]) == "Db6 Db6 Bb5 Gb5"


def test_the_counterline_goes_along_too():
    bars = [
        bar(1, "Eb", "F#m7 B7", "C#5 E5 D#5 A4", "A3 C#4 D#4 F#4"),
        bar(2, "Eb", "Eb"),
    ]
    made = part(bars)
    assert " ".join(map(str, made.bars[0].lower_pitches)) == "Cb4 Eb4 F4 Ab4"
    assert {(n.bar, str(n.beat)) for n in made.report.notes} >= {(1, "2"), (1, "3")}


def test_the_solo_page_has_the_tune_s_names():
    """The same chord before other chords: on the solo page as in the tune."""
    tune = [
        bar(1, "F", "Fmaj7 B7(b5)"),
        bar(2, "F", "Bb6 C7"),
        bar(3, "F", "B7(b5) Fmaj7"),
    ]
    made = part(tune)
    assert [symbols(each) for each in made.bars] == [
        "Gmaj7 Db7(b5)", "C6 D7", "Db7(b5) Gmaj7",
    ]  # fmt: skip
    assert [symbols(each) for each in made.solo] == [
        symbols(each) for each in made.bars
    ]


def test_a_wish_takes_its_pair_its_melody_and_the_solo_page_along():
    tune = [bar(1, "Eb", "F#m7 B7", "C#5 E5 D#5 A4"), bar(2, "Eb", "Ebmaj7")]
    wish = Respell(1, 1, NoteName.parse("G#"), "Bb")
    made = part(tune, respell=[wish])
    assert symbols(made.bars[0]) == symbols(made.solo[0]) == "G#m7 C#7"
    assert names(made.bars[0]) == "D#5 F#5 F5 B4"
    told = [str(each) for each in made.report.chords]
    assert told == []  # what was asked for is the plain transposition


class TestSingleNotes:
    TUNE = (bar(1, "C", "C G7", "G4 F#4 F4 D#4"), bar(2, "C", "C", "E4"))

    def test_a_note_is_respelled_and_sounds_as_before(self):
        wish = RespellNote(1, 2, NoteName.parse("Ab"), "Bb")
        plain, asked = part(self.TUNE), part(self.TUNE, respell=[wish])
        assert names(plain.bars[0]) == "A4 G#4 G4 E#4"
        assert names(asked.bars[0]) == "A4 Ab4 G4 E#4"
        assert [p.midi for p in plain.bars[0].pitches] == [
            p.midi for p in asked.bars[0].pitches
        ]
        assert [str(each) for each in asked.report.notes] == [
            "bar 1: A♭4, not G♯4 (asked for)"
        ]

    def test_a_tied_note_goes_along(self):
        first, second = self.TUNE
        held = evolve(first.melody[3], tied_to_next=True)
        on = Note(
            onset=Fraction(0),
            duration=Fraction(1),
            pitches=held.pitches,
            tied_from_previous=True,
        )
        tied = (
            evolve(first, melody=(*first.melody[:3], held)),
            evolve(second, melody=(on,)),
        )
        wish = RespellNote(1, 4, NoteName.parse("F"), "Bb")
        made = part(tied, respell=[wish])
        assert names(made.bars[1]) == "F4"

    def test_without_a_book_it_goes_where_it_sounds_right(self):
        wish = RespellNote(1, 2, NoteName.parse("Gb"))
        made = make_parts(LeadSheet(title="Ebb", bars=self.TUNE), respell=[wish])
        assert [names(each.bars[0]).split()[1] for each in made] == [
            "Gb4", "G#4", "D#5", "C#5", "Gb3",
        ]  # fmt: skip

    def test_a_note_that_is_not_there(self):
        wish = RespellNote(1, 2, NoteName.parse("A"), "Bb")
        with pytest.raises(RespellError) as error:
            part(self.TUNE, respell=[wish])
        assert str(error.value) == (
            "no note that sounds like A to respell in bar 1, beat 2: there are A on "
            "beat 1, G♯ on beat 2, G on beat 3, E♯ on beat 4"
        )
        nowhere = RespellNote(9, 2, NoteName.parse("A"), "Bb")
        with pytest.raises(RespellError, match="the bar has no notes"):
            part(self.TUNE, respell=[nowhere])


def test_a_chord_names_its_own_tones():
    """In thirds from the root (R. T. Kelley 2003); C♭ and the like plain where the key
    has the plain name (counted over the 180 lead sheets of OpenEWLD)."""

    def told(symbol, key, **options):
        tones = tuple(tone.fifths for tone in parse_chord(symbol).tones)
        found = own_names(tones, Key.parse(key).signature, **options)
        return " ".join(
            str(NoteName.from_fifths(place)) for place in found if place is not None
        )

    assert told("D7", "C") == "C D F# A"
    assert told("Db7", "F") == "Db F Ab"
    assert told("Db7", "F", loose=True) == "Db F Ab Cb"
    assert told("Db7", "Gb") == "Db F Ab Cb"
    assert told("Abm7", "C") == "Eb Gb Ab B"
    assert told("Abm7", "Eb", loose=True) == "Eb Gb Ab Cb"
    assert told("G#7", "C# minor") == "B# D# F# G#"
    assert told("Cdim7", "C") == "C Eb"
    assert told("Cdim7", "C", loose=True) == "C Eb Gb A"
    assert told("F#m7b5", "C") == "C E F# A"
