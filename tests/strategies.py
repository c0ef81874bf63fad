"""What hypothesis draws musical values from, for all tests.

One section for each floor; a strategy draws what a musician might write, not
what a type allows.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from itertools import pairwise

from attrs import evolve
from hypothesis import strategies as st

from leadsheet_theory.chords import STYLES, Chord, Degree, HouseStyle, Quality
from leadsheet_theory.chords.table import PRINTED_FORMS
from leadsheet_theory.instruments import (
    INSTRUMENTS,
    STANDARD_BOOKS,
    Instrument,
    PlacedNote,
    Reader,
)
from leadsheet_theory.interval import Interval
from leadsheet_theory.key import MODES, Key
from leadsheet_theory.leadsheet import NO_SIGNS, FormSigns, Jump
from leadsheet_theory.leadsheet.model import (
    Bar,
    LeadSheet,
    Lyric,
    Mark,
    Note,
    PlacedChord,
    Rest,
)
from leadsheet_theory.pitch import STEPS, NoteName, Pitch
from leadsheet_theory.rhythm import Meter, NoteValue, RhythmEvent

# ── Pitches ──────────────────────────────────────────────────────────────────────


def pitches(
    low: int = 0, high: int = 127, *, alter: int = 2
) -> st.SearchStrategy[Pitch]:
    """Spelled pitches with at most so many sharps or flats, between two MIDI keys."""
    return st.sampled_from(_spelled(low, high, alter))


@cache
def _spelled(low: int, high: int, alter: int) -> tuple[Pitch, ...]:
    """All of them, naturals first, so that examples shrink to naturals."""
    signs = sorted(range(-alter, alter + 1), key=abs)
    every = (
        Pitch(step, sign, octave)
        for sign in signs
        for octave in range(low // 12 - 2, high // 12 + 1)
        for step in STEPS
    )
    return tuple(pitch for pitch in every if low <= pitch.midi <= high)


def intervals() -> st.SearchStrategy[Interval]:
    """Intervals up and down, up to two octaves, at most doubly augmented."""
    names = ("P1", "m2", "M2", "m3", "M3", "P4", "A4", "d5", "P5", "m6", "M6", "m7",
             "M7", "P8", "M9", "m10", "A2", "d4", "A5", "d7", "AA4", "P15")  # fmt: skip
    every = [Interval.parse(name) for name in names]
    return st.sampled_from([*every, *(-interval for interval in every)])


def keys() -> st.SearchStrategy[Key]:
    """The keys with at most seven signs, in all modes."""
    return st.builds(Key.from_signature, st.integers(-7, 7), st.sampled_from(MODES))


# ── Instruments and melodies ─────────────────────────────────────────────────────


def instruments() -> st.SearchStrategy[Instrument]:
    """The instruments of the table."""
    return st.sampled_from(INSTRUMENTS)


def readers() -> st.SearchStrategy[Reader]:
    """Instruments and books."""
    return st.sampled_from((*INSTRUMENTS, *STANDARD_BOOKS))


@st.composite
def melodies(
    draw: st.DrawFn, *, low: int = 36, high: int = 96, most: int = 24
) -> tuple[PlacedNote, ...]:
    """Melodies with rests between some of their notes."""
    notes = []
    start = Fraction(0)
    lengths = st.sampled_from([Fraction(n, 12) for n in (12, 6, 24, 4, 18, 48, 3)])
    for _ in range(draw(st.integers(1, most))):
        duration = draw(lengths)
        start += draw(st.sampled_from((Fraction(0), Fraction(0), Fraction(1))))
        notes.append(PlacedNote(draw(pitches(low, high, alter=1)), start, duration))
        start += duration
    return tuple(notes)


# ── Chords ───────────────────────────────────────────────────────────────────────


def note_names(*, alter: int = 1) -> st.SearchStrategy[NoteName]:
    """Note names with at most so many sharps or flats."""
    signs = sorted(range(-alter, alter + 1), key=abs)
    return st.sampled_from([NoteName(step, sign) for sign in signs for step in STEPS])


def printed_qualities() -> st.SearchStrategy[Quality]:
    """The qualities that lead sheets print."""
    return st.sampled_from(list(dict.fromkeys(PRINTED_FORMS.values())))


def any_qualities() -> st.SearchStrategy[Quality]:
    """Any set of degrees whatever, most of them such as no one would print."""
    numbers = st.sampled_from((1, 3, 5, 7, 9, 11, 13, 2, 4, 6))
    degrees = st.builds(Degree, numbers, st.integers(-2, 2))
    return st.builds(Quality, st.sets(degrees, max_size=8))


def chords() -> st.SearchStrategy[Chord]:
    """Chords as lead sheets print them, some over another bass."""
    basses = st.one_of(st.none(), note_names())
    return st.builds(Chord, note_names(), printed_qualities(), basses)


def house_styles() -> st.SearchStrategy[HouseStyle]:
    """The styles that come with the library, and mixtures of their like."""
    mixed = st.builds(
        HouseStyle,
        name=st.just("mixed"),
        major=st.sampled_from(("maj", "MA", "Δ", "M", "Maj", "ma")),
        minor=st.sampled_from(("m", "-", "min", "MI", "mi")),
        minor_major=st.sampled_from(("m({})", "-{}", "min({})", "m/{}")),
        diminished_triad=st.sampled_from(("dim", "°", "o")),
        diminished_seventh=st.sampled_from(("dim", "°", "o")),
        half_diminished=st.sampled_from(("", "ø")),
        augmented=st.sampled_from(("+", "aug")),
        augmented_sevenths=st.sampled_from(("alteration", "sign")),
        six_nine=st.sampled_from(("6/9", "69")),
        brackets=st.sampled_from((("(", ")"), ("", ""), ("[", "]"))),
        separator=st.sampled_from((",", "", " ")),
        descending=st.booleans(),
        flat=st.sampled_from(("b", "♭")),
        sharp=st.sampled_from(("#", "♯")),
        accidentals=st.sampled_from(("ascii", "glyphs")),
    )
    return st.one_of(st.sampled_from(STYLES), mixed)


# ── Forms ────────────────────────────────────────────────────────────────────────

_C_MAJOR = Key.parse("C major")
_COMMON = Meter(4, 4)
_METERS = (
    *(_COMMON,) * 3, Meter(2, 2), Meter(3, 4), Meter(6, 8), Meter(12, 8), Meter(5, 4),
    Meter(7, 8),
)  # fmt: skip
_CHORDS = tuple(Chord(NoteName(step)) for step in STEPS)


def _chord_bar(
    number: int,
    *chords: PlacedChord,
    meter: Meter = _COMMON,
    form: FormSigns = NO_SIGNS,
) -> Bar:
    length = meter.bar_length
    return Bar(
        number=number,
        key=_C_MAJOR,
        meter=meter,
        length=length,
        chords=chords,
        form=form,
    )


@st.composite
def written_out_charts(draw: st.DrawFn, *, most: int = 128) -> tuple[Bar, ...]:
    """Charts written out in full: lettered sections that come back, some with
    another close, of any length; a bar is known by its chord."""
    lengths = st.sampled_from((1, 2, 4, 5, 6, 8, 8, 12, 16))
    bars: list[Bar] = []
    known: dict[str, list[Chord]] = {}
    for letter in draw(st.lists(st.sampled_from("ABC"), min_size=1, max_size=12)):
        if letter not in known:
            length = draw(lengths)
            known[letter] = draw(
                st.lists(st.sampled_from(_CHORDS[:4]), min_size=length, max_size=length)
            )
        chords = list(known[letter])
        if draw(st.booleans()):
            close = draw(st.lists(st.sampled_from(_CHORDS), max_size=2))
            chords[len(chords) - len(close) :] = close
        for place, chord in enumerate(chords):
            section = letter if place == 0 else ""
            bars.append(
                _chord_bar(
                    len(bars) + 1,
                    PlacedChord(Fraction(0), chord),
                    form=FormSigns(section=section),
                )
            )
    return tuple(bars[:most])


@st.composite
def signed_charts(draw: st.DrawFn) -> tuple[Bar, ...]:
    """Charts with repeats, endings and perhaps a jump, in several metres, the chords
    on any eighth, more of them on the beats; some with a pickup."""
    bars: list[Bar] = []
    meter = draw(st.sampled_from(_METERS))

    def add(length: int, form: FormSigns) -> None:
        for _ in range(length):
            chords = draw(_placed_chords(meter))
            bars.append(_chord_bar(len(bars) + 1, *chords, meter=meter, form=form))
            form = evolve(form, ending_starts=False, repeat_start=False)

    for _ in range(draw(st.integers(1, 4))):
        kind = draw(st.sampled_from(("plain", "repeat", "endings")))
        length = draw(st.integers(1, 4))
        add(length, form=FormSigns(repeat_start=kind != "plain"))
        if kind == "repeat":
            bars[-1] = evolve(
                bars[-1], form=evolve(bars[-1].form, repeat_end=draw(st.integers(2, 3)))
            )
        if kind == "endings":
            last = draw(st.integers(2, 3))
            for number in range(1, last + 1):
                add(
                    draw(st.integers(1, 2)),
                    form=FormSigns(ending=(number,), ending_starts=True),
                )
                if number < last:
                    bars[-1] = evolve(
                        bars[-1], form=evolve(bars[-1].form, repeat_end=2)
                    )
    until = draw(st.sampled_from(("none", "", "fine", "coda")))
    if until != "none":
        jump = Jump("capo", until, with_repeats=draw(st.booleans()))  # type: ignore[arg-type]
        at = draw(st.integers(0, len(bars) - 1))
        bars[at] = evolve(
            bars[at],
            form=evolve(bars[at].form, fine=until == "fine", to_coda=until == "coda"),
        )
        bars[-1] = evolve(bars[-1], form=evolve(bars[-1].form, jump=jump))
        if until == "coda":
            add(draw(st.integers(1, 3)), form=FormSigns(coda=False))
            coda = max(index for index, bar in enumerate(bars) if bar.form.jump) + 1
            bars[coda] = evolve(bars[coda], form=evolve(bars[coda].form, coda=True))
    # Nothing sounds before the first chord, on the page or in the tune.
    bars[0] = evolve(bars[0], chords=(PlacedChord(Fraction(0), _CHORDS[0]),))
    if draw(st.booleans()):
        pickup = Bar(number=0, key=_C_MAJOR, meter=meter, length=Fraction(1))
        bars.insert(0, pickup)
    return tuple(bars)


@st.composite
def _placed_chords(draw: st.DrawFn, meter: Meter) -> tuple[PlacedChord, ...]:
    """A few chords on the eighths of a bar, half of them on its beats."""
    eighths = [Fraction(at, 2) for at in range(int(meter.bar_length * 2))]
    onsets = st.one_of(st.sampled_from(meter.beat_starts), st.sampled_from(eighths))
    chosen = sorted(set(draw(st.lists(onsets, max_size=4))))
    return tuple(
        PlacedChord(onset, draw(st.sampled_from(_CHORDS[:3]))) for onset in chosen
    )


# ── Rhythm ───────────────────────────────────────────────────────────────────────

_SIMPLE = ("4/4", "3/4", "2/4", "C|", "3/2", "4/8", "4/2", "1/4")
_COMPOUND = ("6/8", "12/8", "9/8", "3/8", "6/4")
_ADDITIVE = ("5/4", "2+3/4", "7/8", "3+2+2/8", "5/8", "7/4", "3+3+2/8", "2+2+2+3/8")
_METERS = tuple(map(Meter.parse, _SIMPLE + _COMPOUND + _ADDITIVE))


def meters() -> st.SearchStrategy[Meter]:
    """Metres that are printed, 4/4 first."""
    return st.sampled_from(_METERS)


@st.composite
def sounding_bars(
    draw: st.DrawFn, meter: Meter
) -> tuple[tuple[Fraction, Fraction], ...]:
    """Onsets and durations of the notes of a bar, with gaps, on sixteenths or on
    the thirds of a beat."""
    edges = {Fraction(0), meter.bar_length}
    for beat in meter.beat_spans:
        parts = draw(st.sampled_from((1, 2, 4, 3)))
        kept = draw(st.sets(st.integers(0, parts - 1)))
        edges |= {beat.onset + beat.length * part / parts for part in kept}
    ordered = sorted(edges)
    spans = pairwise(ordered)
    return tuple(
        (onset, stop - onset) for onset, stop in spans if draw(st.integers(0, 3))
    )


@st.composite
def loose_bars(draw: st.DrawFn, meter: Meter) -> tuple[RhythmEvent, ...]:
    """A bar of values in any order, as a careless hand might write it, with rests
    and grace notes."""
    names = ("quarter", "eighth", "16th", "32nd", "half")
    left, onset = meter.bar_length, Fraction(0)
    events: list[RhythmEvent] = []
    while left > 0 and len(events) < 16:
        value = NoteValue(draw(st.sampled_from(names)), draw(st.integers(0, 1)))
        if value.duration > left:
            break
        kind = draw(st.sampled_from(("note", "note", "note", "rest", "grace")))
        events.append(RhythmEvent(onset, value, kind))
        onset += events[-1].duration
        left -= events[-1].duration
    return tuple(events)


# ── Charts with mistakes ─────────────────────────────────────────────────────────

_EIGHTHS = st.integers(-1, 9).map(lambda eighths: Fraction(eighths, 2))


@st.composite
def _rough_notes(draw: st.DrawFn) -> Note | Rest:
    onset, duration = draw(_EIGHTHS), abs(draw(_EIGHTHS))
    value = draw(st.none() | st.builds(NoteValue, st.sampled_from(("quarter", "half"))))
    if draw(st.booleans()):
        return Rest(onset, duration, value)
    return Note(
        onset=onset,
        duration=duration,
        pitches=(draw(pitches(40, 90)),),
        value=value,
        tied_from_previous=draw(st.booleans()),
        tied_to_next=draw(st.booleans()),
    )


@st.composite
def rough_sheets(draw: st.DrawFn) -> LeadSheet:
    """Charts as a careless hand enters them: gaps, overlaps, half ties, chords in
    each other's place, bars of any length and number."""
    signs = st.fixed_dictionaries(
        {},
        optional={
            "section": st.sampled_from(("A", "B")),
            "repeat_start": st.just(True),
            "repeat_end": st.integers(0, 3),
            "barline": st.sampled_from(("double", "final")),
        },
    )
    bars = draw(
        st.lists(
            st.builds(
                lambda number, length, melody, placed, more: Bar(
                    number=number, key=Key.from_signature(-3), meter=Meter(4, 4),
                    length=length,
                    melody=tuple(melody), chords=tuple(placed),
                    form=FormSigns(**more),
                ),
                st.integers(0, 5),
                st.integers(1, 10).map(lambda eighths: Fraction(eighths, 2)),
                st.lists(_rough_notes(), max_size=4),
                st.lists(st.builds(PlacedChord, _EIGHTHS, chords()), max_size=3),
                signs,
            ),
            max_size=5,
        )
    )  # fmt: skip
    return LeadSheet(title="A draft", bars=tuple(bars))


# ── Lead sheets as a file can hold them ──────────────────────────────────────────

_PLAIN_VALUES = ("whole", "half", "quarter", "eighth", "16th")


@st.composite
def _whole_lines(draw: st.DrawFn, length: Fraction) -> tuple[Note | Rest, ...]:
    """A line of notes and rests that fills a bar, with words and marks."""
    events: list[Note | Rest] = []
    onset = Fraction(0)
    while onset < length:
        name = draw(st.sampled_from(_PLAIN_VALUES))
        value = NoteValue(name, 0 if name == "16th" else draw(st.integers(0, 1)))
        duration = value.duration
        if onset + duration > length:
            value = _UNDOTTED.get(length - onset, NoteValue("16th"))
            duration = value.duration
        if draw(st.integers(0, 4)) == 0:
            fills = duration == length
            events.append(Rest(onset, duration, None if fills else value, fills))
        else:
            chord = draw(st.lists(pitches(48, 90, alter=1), min_size=1, max_size=2))
            highest = sorted({p.midi: p for p in chord}.values(), key=lambda p: -p.midi)
            events.append(
                Note(
                    onset=onset,
                    duration=duration,
                    pitches=tuple(highest),
                    value=value,
                    lyrics=draw(_LYRICS),
                    marks=draw(_MARKS),
                )
            )
        onset += duration
    return tuple(events)


def _is_note(event: Note | Rest) -> bool:
    return isinstance(event, Note)


_UNDOTTED = {NoteValue(name).duration: NoteValue(name) for name in _PLAIN_VALUES}
_LYRICS = st.one_of(
    st.just(()),
    st.builds(
        lambda text, syllabic: (Lyric(text, syllabic),),
        st.text("abcdeé&<", min_size=1, max_size=5),
        st.sampled_from(("single", "begin", "middle", "end")),
    ),
)
_MARKS = st.one_of(
    st.just(()),
    st.sampled_from(("accent", "staccato", "fermata", "scoop", "trill-mark")).map(
        lambda kind: (Mark(kind),)
    ),
)


_WORDS = st.text("abcé&<'", min_size=1, max_size=5)


@st.composite
def written_sheets(draw: st.DrawFn) -> LeadSheet:
    """Lead sheets in which all that is given can stand in a MusicXML file."""
    meter = draw(st.sampled_from((Meter(4, 4), Meter(3, 4), Meter(6, 8))))
    key = Key.from_signature(draw(st.integers(-6, 6)))
    count = draw(st.integers(2, 6))
    length = meter.bar_length
    lines = _whole_lines(length).filter(lambda line: any(map(_is_note, line)))
    bass_lines = draw(st.sampled_from((st.just(()), st.just(()) | lines)))
    bars = []
    for number in range(1, count + 1):
        onsets = sorted(draw(st.sets(st.integers(0, int(2 * length) - 1), max_size=2)))
        bars.append(
            Bar(
                number=number,
                key=key,
                meter=meter,
                length=length,
                melody=draw(_whole_lines(length)),
                bass_line=draw(bass_lines),
                chords=tuple(
                    PlacedChord(Fraction(onset, 2), draw(chords())) for onset in onsets
                ),
                form=FormSigns(
                    section=draw(st.sampled_from(("", "", "A", "B"))),
                    repeat_start=number == 1 and draw(st.booleans()),
                    repeat_end=draw(st.sampled_from((0, 2, 3)))
                    if number == count
                    else 0,
                    barline="regular",
                ),
            )
        )
    return LeadSheet(
        title=" ".join(draw(st.lists(_WORDS, min_size=1, max_size=3))),
        bars=tuple(bars),
        composer=draw(st.sampled_from(("", "The Net Loft Seven"))),
    )
