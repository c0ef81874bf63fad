"""Finding instruments and books by what is printed on parts."""

from __future__ import annotations

import pickle

import pytest

from leadsheet_theory.errors import (
    PitchRangeError,
    RangeOrderError,
    TheoryError,
    UnknownBookError,
    UnknownInstrumentError,
)
from leadsheet_theory.instruments import (
    ALTO_CLEF,
    BASS_CLEF,
    INSTRUMENTS,
    STANDARD_BOOKS,
    Book,
    Instrument,
    PitchRange,
    book_for,
    find_book,
    find_instrument,
)
from leadsheet_theory.interval import UNISON, Interval
from leadsheet_theory.pitch import Pitch

# Headings of parts (common practice, no source).
HEADINGS = {
    "Alto Sax": "Alto Saxophone in E♭",
    "asx": "Alto Saxophone in E♭",
    "ASX 1": "Alto Saxophone in E♭",
    "A. Sax": "Alto Saxophone in E♭",
    "Eb Alto Sax": "Alto Saxophone in E♭",
    "E-flat alto saxophone": "Alto Saxophone in E♭",
    "2nd Alto Sax": "Alto Saxophone in E♭",
    "Alto Saxophones": "Alto Saxophone in E♭",
    "Tenor Sax II": "Tenor Saxophone in B♭",
    "T.Sax": "Tenor Saxophone in B♭",
    "Bari": "Baritone Saxophone in E♭",
    "Bari. Sax": "Baritone Saxophone in E♭",
    "Sop. Sax": "Soprano Saxophone in B♭",
    "Tpt. in B♭": "Trumpet in B♭",
    "Trumpet in Bb 3": "Trumpet in B♭",
    "Lead Trumpet": "Trumpet in B♭",
    "Trp": "Trumpet in B♭",
    "B flat Trumpet": "Trumpet in B♭",
    "C Trumpet": "Trumpet in C",
    "Flügelhorn": "Flugelhorn in B♭",
    "Flghn.": "Flugelhorn in B♭",
    "Tbn.": "Trombone",
    "Bass Tbn": "Bass Trombone",
    "Hn. in F": "Horn in F (treble clef)",
    "French Horn": "Horn in F (treble clef)",
    "Clar.": "Clarinet in B♭",
    "Cl. in A": "Clarinet in A",
    "B. Cl.": "Bass Clarinet in B♭ (treble clef)",
    "Flute in C": "Flute",
    "Euph. T.C.": "Euphonium in B♭ (treble clef)",
    "Euphonium, bass clef": "Euphonium (bass clef)",
    "Upright Bass": "Double Bass",
    "E. Bass": "Bass Guitar",
    "Gtr.": "Guitar",
    "Pno.": "Piano",
    "Vibes": "Vibraphone",
    "Vln. I": "Violin",
    "Vla.": "Viola",
    "Vc.": "Cello",
    "Vocals": "Voice",
    "wind.reed.saxophone.tenor": "Tenor Saxophone in B♭",
}


@pytest.mark.parametrize(("heading", "name"), HEADINGS.items())
def test_headings_are_read(heading: str, name: str) -> None:
    assert find_instrument(heading).name == name


MISSES = [
    (
        "basoon",
        "no instrument called 'basoon'; did you mean 'Bassoon' or 'Contrabassoon'?",
    ),
    ("vibrafone", "no instrument called 'vibrafone'; did you mean 'Vibraphone'?"),
    ("kazoo", "no instrument called 'kazoo'"),
    ("", "no instrument called ''"),
    ("0:0", "no instrument called '0:0'"),
    ("♭", "no instrument called '♭'"),
    (
        "tenor",
        "'tenor' names more than one instrument: say 'Tenor Saxophone in B♭' "
        "or 'Tenor Voice (octave clef)'",
    ),
    (
        "bass",
        "'bass' names more than one instrument: say 'Double Bass' or 'Bass Guitar' "
        "or 'Bass Voice'",
    ),
    ("zither" * 50, f"no instrument called '{('zither' * 50)[:59]}…'"),
]


@pytest.mark.parametrize(("name", "message"), MISSES)
def test_misses_say_what_may_have_been_meant(name: str, message: str) -> None:
    with pytest.raises(UnknownInstrumentError) as caught:
        find_instrument(name)
    assert str(caught.value) == message
    assert isinstance(caught.value, TheoryError)
    assert isinstance(caught.value, LookupError)
    again = pickle.loads(pickle.dumps(caught.value))
    assert (str(again), again.name, again.suggestions) == (
        message,
        name,
        caught.value.suggestions,
    )


def test_the_likeliest_suggestion_comes_first() -> None:
    for name, first in (
        ("alto saxaphone", "Alto Saxophone in E♭"),
        ("trumpit", "Trumpet in B♭"),
        ("Tenor Sax in Eb", "Tenor Saxophone in B♭"),
        ("tromboon", "Trombone"),
        ("glockenspeil", "Glockenspiel"),
    ):
        with pytest.raises(UnknownInstrumentError) as caught:
            find_instrument(name)
        assert caught.value.suggestions[0] == first


# ── Instruments of one's own ─────────────────────────────────────────────────────

OWN = Instrument(
    name="Stroh Viola",
    clefs=(ALTO_CLEF,),
    transposition=UNISON,
    written_range=PitchRange.parse("C3-E6"),
    comfortable_range=PitchRange.parse("C3-A5"),
    aliases=("horn viola",),
)


def test_an_instrument_of_ones_own_is_found() -> None:
    mine = (OWN, *INSTRUMENTS)
    assert find_instrument("stroh viola", instruments=mine) is OWN
    assert find_instrument("Horn Viola", instruments=list(mine)) is OWN
    assert find_instrument("viola", instruments=mine).name == "Viola"
    with pytest.raises(UnknownInstrumentError):
        find_instrument("stroh viola")


def test_ones_own_row_of_a_known_name_stands_in_front() -> None:
    trumpet = find_instrument("trumpet")
    mine = Instrument(
        name=trumpet.name,
        clefs=trumpet.clefs,
        transposition=trumpet.transposition,
        written_range=PitchRange.parse("F#3-G6"),
        comfortable_range=PitchRange.parse("A3-C6"),
        aliases=trumpet.aliases,
    )
    found = find_instrument("Tpt. in B♭", instruments=(mine, *INSTRUMENTS))
    assert found is mine
    assert find_instrument("trumpet", instruments=(mine, *INSTRUMENTS)) is mine


def test_ranges_must_be_possible() -> None:
    with pytest.raises(RangeOrderError) as upside_down:
        PitchRange.parse("E6-F#3")
    assert str(upside_down.value) == "a range from E6 up to F#3 is upside down"
    assert (upside_down.value.low, upside_down.value.high) == ("E6", "F#3")
    with pytest.raises(PitchRangeError) as beyond:
        Instrument(
            name="Tin Horn",
            clefs=(BASS_CLEF,),
            transposition=UNISON,
            written_range=PitchRange.parse("C3-C4"),
            comfortable_range=PitchRange.parse("C3-D4"),
        )
    assert str(beyond.value) == (
        "Tin Horn: the comfortable range C3-D4 reaches beyond C3-C4"
    )
    with pytest.raises(PitchRangeError) as silent:
        Instrument(
            name="Dog Whistle",
            clefs=(BASS_CLEF,),
            transposition=Interval.parse("P29"),
            written_range=PitchRange.parse("C4-C7"),
            comfortable_range=PitchRange.parse("C4-C7"),
        )
    assert str(silent.value) == "C11 would be MIDI key 144: only 0 to 127 sound"


def test_pitches_beyond_midi_are_refused() -> None:
    flute = find_instrument("flute")
    with pytest.raises(PitchRangeError) as high:
        flute.sounding(Pitch.parse("G#9"))
    assert str(high.value) == "G#9 would be MIDI key 128: only 0 to 127 sound"
    with pytest.raises(PitchRangeError):
        find_book("Bb").written(Pitch.parse("B-2"))


# ── Books ────────────────────────────────────────────────────────────────────────


@pytest.mark.parametrize(
    ("name", "book"),
    [
        ("B♭", "B♭"),
        ("Bb", "B♭"),
        ("b-flat", "B♭"),
        ("Bb book", "B♭"),
        ("Bb treble", "B♭"),
        ("C", "C"),
        ("C treble clef", "C"),
        ("Eb", "E♭"),
        ("F", "F"),
        ("Bass clef", "Bass clef"),
        ("b.c.", "Bass clef"),
    ],
)
def test_books_are_found(name: str, book: str) -> None:
    assert find_book(name).name == book


def test_an_unknown_book() -> None:
    with pytest.raises(UnknownBookError) as caught:
        find_book("G")
    message = "no book called 'G': there are C, Bb, Eb, F, Bass clef"
    assert str(caught.value) == message
    assert str(pickle.loads(pickle.dumps(caught.value))) == message


# Which book who reads (common practice, no source).
READERS = {
    "C": ["Flute", "Oboe", "Violin", "Guitar", "Piano", "Vibraphone", "Piccolo",
          "Voice", "Trumpet in C", "Glockenspiel", "Tenor Voice (octave clef)"],
    "B♭": ["Trumpet in B♭", "Cornet in B♭", "Flugelhorn in B♭", "Clarinet in B♭",
           "Soprano Saxophone in B♭", "Tenor Saxophone in B♭", "Bass Saxophone in B♭",
           "Bass Clarinet in B♭ (treble clef)", "Euphonium in B♭ (treble clef)",
           "Trombone in B♭ (treble clef)", "B♭ Bass (treble clef)"],
    "E♭": ["Alto Saxophone in E♭", "Baritone Saxophone in E♭", "Alto Horn in E♭",
           "Clarinet in E♭", "E♭ Bass (treble clef)"],
    "F": ["Horn in F (treble clef)", "English Horn", "Mellophone in F"],
    "Bass clef": ["Trombone", "Bass Trombone", "Euphonium (bass clef)", "Tuba", "Cello",
                  "Bassoon", "Double Bass", "Bass Guitar", "Baritone Voice"],
}  # fmt: skip


@pytest.mark.parametrize(
    ("reader", "book"),
    [(reader, book) for book, readers in READERS.items() for reader in readers],
)
def test_which_book_an_instrument_reads(reader: str, book: str) -> None:
    instrument = find_instrument(reader)
    assert book_for(instrument).name == book
    assert instrument in find_book(book).readers()


@pytest.mark.parametrize(
    "name", ["Viola", "Clarinet in A", "Alto Flute", "Trumpet in D"]
)
def test_who_reads_no_standard_book_gets_one_alone(name: str) -> None:
    instrument = find_instrument(name)
    book = book_for(instrument)
    assert book not in STANDARD_BOOKS
    assert book == Book.of(instrument)
    assert instrument in book.readers()
    assert (book.clef, book.transposition) == (
        instrument.clef,
        instrument.transposition,
    )


def test_the_books_are_those_of_a_jazz_band() -> None:
    assert [
        (book.name, book.ascii_name, book.clef.name, str(book.transposition))
        for book in STANDARD_BOOKS
    ] == [
        ("C", "C", "treble", "P1"),
        ("B♭", "Bb", "treble", "-M2"),
        ("E♭", "Eb", "treble", "-M6"),
        ("F", "F", "treble", "-P5"),
        ("Bass clef", "Bass clef", "bass", "P1"),
    ]


# The five books' written ranges, whole and comfortable (common practice, no source).
BOOK_RANGES = {
    "C": ("E3-E6", "G3-B5"),
    "B♭": ("F#3-E6", "Bb3-A5"),
    "E♭": ("Bb3-F#6", "D4-D6"),
    "F": ("F#3-C6", "C4-G5"),
    "Bass clef": ("E2-F5", "F2-F4"),
}


def test_the_ranges_of_the_books() -> None:
    assert {
        book.name: (str(book.written_range), str(book.comfortable_range))
        for book in STANDARD_BOOKS
    } == BOOK_RANGES


@pytest.mark.parametrize(
    ("book", "usual"),
    [
        ("B♭", ["Trumpet in B♭"]),
        ("E♭", ["Alto Saxophone in E♭"]),
        ("F", ["Horn in F (treble clef)", "Mellophone in F"]),
        ("Bass clef", ["Trombone", "Double Bass"]),
    ],
)
def test_a_books_range_can_be_played_by_its_usual_readers(
    book: str, usual: list[str]
) -> None:
    ours = find_book(book)
    for name in usual:
        span = find_instrument(name).written_range
        assert ours.comfortable_range.low in span
        assert ours.comfortable_range.high in span
    spans = [find_instrument(name).written_range for name in usual]
    assert ours.written_range.low.midi == max(span.low.midi for span in spans)
    assert ours.written_range.high.midi == min(span.high.midi for span in spans)


# ── From instrument to instrument, and in words ──────────────────────────────────


@pytest.mark.parametrize(
    ("one", "other", "interval"),
    [
        ("trumpet", "alto sax", "P5"),
        ("alto sax", "tenor sax", "P4"),
        ("flute", "guitar", "P8"),
        ("Euphonium BC", "Euphonium TC", "M9"),
        ("trumpet", "clarinet", "P1"),
        ("horn", "trombone", "-P5"),
    ],
)
def test_interval_to(one: str, other: str, interval: str) -> None:
    left, right = find_instrument(one), find_instrument(other)
    by = left.interval_to(right)
    assert str(by) == interval
    note = Pitch.parse("E4")
    assert right.sounding(note + by) == left.sounding(note)


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("flute", "as written"),
        ("trumpet", "a major second lower"),
        ("alto sax", "a major sixth lower"),
        ("tenor sax", "an octave and a major second lower"),
        ("horn", "a perfect fifth lower"),
        ("piccolo", "an octave higher"),
        ("glockenspiel", "two octaves higher"),
        ("Eb clarinet", "a minor third higher"),
        ("bass sax", "two octaves and a major second lower"),
    ],
)
def test_sounds_in_words(name: str, words: str) -> None:
    assert find_instrument(name).sounds == words
