"""Finding instruments and books by what is printed on parts."""

from __future__ import annotations

import pickle
import re
from functools import reduce

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
    USUAL_READERS,
    Book,
    Instrument,
    PitchRange,
    book_for,
    find_book,
    find_instrument,
)
from leadsheet_theory.instruments._languages import LANGUAGES
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
    "Wind Synth": "Wind Synthesizer",
    "Lead Steel Pan": "Steel Pan (tenor)",
    "Steel Drums": "Steel Pan (tenor)",
    "Pedal Steel": "Pedal Steel Guitar",
    "Steel Guitar": "Pedal Steel Guitar",
    "Harmonica": "Chromatic Harmonica",
    "Harm. in C": "Chromatic Harmonica",
    "wind.reed.harmonica": "Chromatic Harmonica",
    "Blues Harp": "Diatonic Harmonica in C",
    "Diatonic Harm.": "Diatonic Harmonica in C",
    "Harp": "Harp",
}

# The same in German, French, Italian and Spanish (common practice, no source).
ELSEWHERE = {
    "Trumpet in B♭": "Trompete|Trompete in B|1. Trompete|Trompette en si bémol|"
    "Trompettes|Tromba in si♭|Trompeta en Si bemol|Trompeten 2",
    "Trumpet in C": "Trompete in C|Trompette en ut|Tromba in do|Trompeta en Do",
    "Flugelhorn in B♭": "Flügelhorn in B|Fluegelhorn|Flicorno|Fliscorno",
    "Cornet in B♭": "Kornett in B|Cornetta|Corneta",
    "Trombone": "Posaune|3. Posaune|Tenorposaune|Tromboni|Trombón 1",
    "Bass Trombone": "Bassposaune|Trombone basse|Trombone basso|Trombón bajo",
    "Horn in F (treble clef)": "Waldhorn|Hörner|Cor d'harmonie|Corno in fa|Trompa",
    "Soprano Saxophone in B♭": "Sopransaxophon|Sassofono soprano|Saxofón soprano",
    "Alto Saxophone in E♭": "Altsaxophon in Es|Saxophone alto en mi bémol|"
    "Sassofono contralto|Saxofón alto|Altsax 1",
    "Tenor Saxophone in B♭": "Tenorsaxophon in B|Saxophone ténor|Sassofono tenore|"
    "Saxofón tenor",
    "Baritone Saxophone in E♭": "Baritonsaxophon|Saxophone baryton|Saxofón barítono|"
    "Sassofono baritono",
    "Clarinet in B♭": "Klarinette in B|Clarinette en si♭|Clarinetto|Clarinete",
    "Clarinet in E♭": "Klarinette in Es|Clarinette en mi bémol",
    "Clarinet in A": "Klarinette in A|Clarinetto in A",
    "Bass Clarinet in B♭ (treble clef)": "Bassklarinette|Clarinette basse|"
    "Clarinetto basso|Clarinete bajo",
    "Flute": "Flöte|Querflöte|Flûte|Flauto|Flauta|Flauta travesera",
    "Oboe": "Hautbois",
    "English Horn": "Englischhorn|Cor anglais|Corno inglese|Corno inglés",
    "Bassoon": "Fagott|Basson|Fagotto|Fagot",
    "Piano": "Klavier|Piano|Pianoforte",
    "Electric Piano": "E-Piano|Piano électrique|Piano elettrico",
    "Guitar": "Gitarre|E-Gitarre|Guitare électrique|Chitarra|Guitarra eléctrica",
    "Bass Guitar": "E-Bass|Basse électrique|Guitare basse|Basso elettrico|"
    "Bajo eléctrico",
    "Double Bass": "Kontrabass|Contrebasse|Contrabbasso|Contrabajo",
    "Violin": "Violine 1|Geigen|Violon|Violino II|Violín",
    "Viola": "Bratsche",
    "Cello": "Violoncelle|Violoncello|Violonchelo",
    "Voice": "Gesang|Stimme|Voix|Chant|Voce|Canto|Voz",
    "Vibraphone": "Vibraphon|Vibrafono|Vibráfono",
    "Accordion (right hand)": "Akkordeon|Accordéon|Fisarmonica|Acordeón",
    "Organ (manuals)": "Orgel|Orgue|Organo|Órgano",
    "Harp": "Harfe|Harpe|Arpa",
    "Chromatic Harmonica": "Mundharmonika|Harmonica chromatique|Armonica cromatica",
    "Diatonic Harmonica in C": "Diatonische Mundharmonika|Harmonica diatonique",
}


@pytest.mark.parametrize(("name", "headings"), ELSEWHERE.items())
def test_headings_in_other_languages_are_read(name: str, headings: str) -> None:
    for heading in headings.split("|"):
        assert find_instrument(heading).name == name, heading


def test_words_of_other_languages_mean_one_thing() -> None:
    """No word stands for two instruments, and none is an English word of the table."""
    meant: dict[str, str] = {}
    for language in LANGUAGES:
        for english, others in language.items():
            for other in others.split():
                assert meant.setdefault(other, english) == english, other
    english = {
        word.casefold()
        for instrument in INSTRUMENTS
        for word in re.findall(r"\w+", instrument.name)
    }
    assert not english & set(meant)


def test_a_harmonica_of_another_key_is_not_taken_for_one_in_c() -> None:
    for name in ("Harmonica in G", "Diatonic Harmonica in A"):
        with pytest.raises(UnknownInstrumentError) as caught:
            find_instrument(name)
        assert "Diatonic Harmonica in C" in caught.value.suggestions


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


def _shared(spans: list[PitchRange]) -> PitchRange:
    """What all of the ranges have in common."""
    return reduce(
        lambda one, other: PitchRange(
            max(one.low, other.low, key=lambda end: end.midi),
            min(one.high, other.high, key=lambda end: end.midi),
        ),
        spans,
    )


@pytest.mark.parametrize("book", STANDARD_BOOKS, ids=lambda book: book.ascii_name)
def test_a_books_comfortable_range_lies_in_what_its_readers_share(book: Book) -> None:
    readers = [find_instrument(name) for name in USUAL_READERS[book.name]]
    assert all(book.serves(reader) for reader in readers)
    shared = _shared([reader.written_range for reader in readers])
    assert book.comfortable_range.low in shared
    assert book.comfortable_range.high in shared
    # and the first of them, for whom the book is laid out, is at ease in all of it
    assert book.comfortable_range.low in readers[0].comfortable_range
    assert book.comfortable_range.high in readers[0].comfortable_range


# Whose range each end comes from (common practice, no source): lowest, highest,
# lowest in comfort (the lowest note of all where marked), highest in comfort.
SET_BY = {
    "C": ("guitar", "guitar", "violin, lowest", "guitar"),
    "B♭": ("trumpet", "trumpet", "tenor sax, lowest", "trumpet"),
    "E♭": ("alto sax", "alto sax", "alto sax", "alto sax"),
    "F": ("mellophone", "mellophone", "horn", "horn"),
    "Bass clef": ("trombone", "trombone", "trombone", "trombone"),
}


@pytest.mark.parametrize("book", STANDARD_BOOKS, ids=lambda book: book.ascii_name)
def test_each_end_of_a_books_range_is_a_readers(book: Book) -> None:
    low, high, low_at_ease, high_at_ease = SET_BY[book.name]
    assert book.written_range.low == find_instrument(low).written_range.low
    assert book.written_range.high == find_instrument(high).written_range.high
    name, _, lowest = low_at_ease.partition(", ")
    reader = find_instrument(name)
    span = reader.written_range if lowest else reader.comfortable_range
    assert book.comfortable_range.low == span.low
    at_ease = find_instrument(high_at_ease).comfortable_range
    assert book.comfortable_range.high == at_ease.high


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
