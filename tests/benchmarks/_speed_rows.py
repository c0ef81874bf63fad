"""What the table of speeds measures, line by line, each with its peer.

The charts are 60 of the real lead sheets in ``shared/leadsheets`` beside the project,
where they are, and those in the project's own ``shared/charts`` otherwise.
"""

from __future__ import annotations

import os
import random
import re
import subprocess
import sys
import tracemalloc
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from functools import cache, partial
from pathlib import Path
from xml.etree import ElementTree as ET
from zipfile import ZipFile

import music21
from _timing import Row, Work
from attrs import evolve, frozen

from leadsheet_theory import (
    make_parts,
    parse_chord,
    parse_symbol,
    proofread,
    read_lead_sheet,
    write_part,
)
from leadsheet_theory.abc import parse_abc
from leadsheet_theory.errors import ChordSymbolError
from leadsheet_theory.instruments import check_range, find_book
from leadsheet_theory.interval import Interval
from leadsheet_theory.key import Key
from leadsheet_theory.leadsheet import Bar, LeadSheet, Lyric, Note, PlacedChord
from leadsheet_theory.leadsheet.folding import fold
from leadsheet_theory.leadsheet.form import play_order
from leadsheet_theory.musicxml import parse_lead_sheet, write_lead_sheet
from leadsheet_theory.pitch import Pitch
from leadsheet_theory.rhythm import Meter, NoteValue, RhythmEvent, beams, lay_out

ROOT = Path(__file__).resolve().parents[2]
REAL = ROOT.parent / "shared" / "leadsheets"
OWN = ROOT / "shared" / "charts"
COMMON = Meter(4, 4)
C_MAJOR = Key.parse("C major")


def charts() -> list[Path]:
    """The files that reading and the parts are measured on."""
    if REAL.is_dir():
        return sorted(REAL.glob("*.mxl"))[2::3]
    return sorted(OWN.glob("*.musicxml"))


def xml_of(path: Path) -> bytes:
    """The XML text of a plain or compressed file."""
    if path.suffix != ".mxl":
        return path.read_bytes()
    with ZipFile(path) as container:
        name = next(
            name for name in container.namelist() if not name.startswith("META-INF/")
        )
        return container.read(name)


def bare_parse(path: Path) -> None:
    """Unzip a chart and parse its XML into a tree, no more."""
    ET.fromstring(xml_of(path))


@cache
def sheets() -> tuple[LeadSheet, ...]:
    """The charts as read."""
    return tuple(read_lead_sheet(path).sheet for path in charts())


def five_parts(sheet: LeadSheet) -> list[bytes]:
    """The five parts of a chart, made and written."""
    return [write_part(part) for part in make_parts(sheet)]


def rows_of_charts() -> Iterator[Row]:
    """Reading, proofreading, and the parts."""
    files = charts()
    bare = Work.on_each(bare_parse, files)
    reading = Work.on_each(read_lead_sheet, files)
    making = Work.on_each(five_parts, sheets())
    unzip = "unzip it and parse its XML"
    for name, work, goal in (
        ("read a chart", reading, 2.4),
        ("make and write the five parts of a chart", making, 4.8),
    ):
        yield Row(name=name, peer=unzip, ours=work, theirs=bare, goal=goal)
        yield Row(
            name=f"{name}, all charts in a burst",
            peer=f"{unzip}, likewise",
            ours=work.in_a_burst(),
            theirs=bare.in_a_burst(),
        )
        yield Row(
            name=f"{name}, Python's collector of garbage at work",
            peer=f"{unzip}, likewise",
            ours=evolve(work, collector=True),
            theirs=evolve(bare, collector=True),
        )
    written = [five_parts(sheet) for sheet in sheets()]
    yield Row(
        name="make and write five parts",
        peer="parse the XML of the five parts",
        ours=making,
        theirs=Work.on_each(lambda parts: list(map(ET.fromstring, parts)), written),
    )
    yield Row(
        name="proofread a chart that has been read",
        peer="read it",
        ours=Work.on_each(proofread, sheets()),
        theirs=reading,
        goal=1.0,
    )
    few = files[:3]
    yield Row(
        name="read a chart",
        peer="read it with music21",
        ours=Work.on_each(read_lead_sheet, few),
        theirs=Work.on_each(partial(music21.converter.parse, forceSource=True), few),
        rounds=2,
    )
    scores = [music21.converter.parse(path) for path in few]
    yield Row(
        name="find the order of play",
        peer="expand the repeats with music21",
        ours=Work.on_each(lambda sheet: play_order(sheet.bars), sheets()[: len(few)]),
        theirs=Work.on_each(_expanded, scores),
        rounds=2,
    )


def _expanded(score: music21.stream.Score) -> object:
    try:
        return score.parts[0].expandRepeats()
    except music21.repeat.ExpanderException:
        return None


# ── Growth ───────────────────────────────────────────────────────────────────────


def tune(bars: int) -> LeadSheet:
    """Bars of two halves and two chords, in lines of four."""
    draw = random.Random(3)
    made = []
    for number in range(1, bars + 1):
        pitches = [Pitch(draw.choice("CDEFGAB"), octave=5) for _ in range(2)]
        symbols = [parse_symbol(draw.choice("CDEFGAB") + "m7") for _ in range(2)]
        made.append(
            Bar(
                number=number,
                key=C_MAJOR,
                meter=COMMON,
                length=Fraction(4),
                melody=tuple(
                    Note(
                        onset=Fraction(2 * half),
                        duration=Fraction(2),
                        pitches=(pitches[half],),
                    )
                    for half in range(2)
                ),
                chords=tuple(
                    PlacedChord(Fraction(2 * half), symbols[half]) for half in range(2)
                ),
            )
        )
    return LeadSheet(title="Long", bars=tuple(made))


AABA = (*range(8), *range(6), 8, 9, *range(10, 18), *range(6), 8, 9)


def choruses(bars: int) -> tuple[Bar, ...]:
    """Choruses of 32 bars, each bar a syllable."""
    return tuple(
        Bar(
            number=at + 1,
            key=C_MAJOR,
            meter=COMMON,
            length=Fraction(4),
            melody=(
                Note(
                    onset=Fraction(0),
                    duration=Fraction(4),
                    pitches=(Pitch("C"),),
                    lyrics=(Lyric(str(AABA[at % 32])),),
                ),
            ),
        )
        for at in range(bars)
    )


GRACE = (
    "<note><grace/><pitch><step>{}</step><octave>4</octave></pitch>"
    "<type>eighth</type></note>"
)


def grace_notes(number: int) -> bytes:
    """A chart of one bar, with so many grace notes before its only note."""
    plain = write_lead_sheet(tune(1)).decode()
    notes = "".join(GRACE.format("CDEFGAB"[at % 7]) for at in range(number))
    return plain.replace("<note", notes + "<note", 1).encode()


def from_chart_to_parts(data: bytes) -> None:
    """Read a chart, make its parts and write them."""
    for part in make_parts(parse_lead_sheet(data).sheet):
        write_part(part)


BEATS = (
    (NoteValue("quarter"),),
    (NoteValue("eighth"), NoteValue("eighth")),
    (NoteValue("eighth", 1), NoteValue("16th")),
    (NoteValue("16th"), NoteValue("eighth"), NoteValue("16th")),
    (NoteValue("16th"),) * 4,
)


def bars_to_beam(number: int) -> list[tuple[RhythmEvent, ...]]:
    """Bars of 4/4 with random rhythms, nearly all different."""
    draw = random.Random(number)
    bars = []
    for _ in range(number):
        values = [value for _ in range(4) for value in draw.choice(BEATS)]
        rests = {at for at in range(len(values)) if draw.random() < 0.15}
        bars.append(lay_out(values, rests=rests))
    return bars


def beamed(bars: Sequence[tuple[RhythmEvent, ...]]) -> Work:
    """Beaming some bars, none of them known."""
    return Work.of(
        lambda: [beams.beam(bar, COMMON) for bar in bars],
        sum(map(len, bars)),
        beams._beamed.cache_clear,
    )


def rows_of_growth() -> Iterator[Row]:
    """What long charts cost, bar for bar, against short ones."""
    sizes = (16_000, 1000)
    long, short = (
        Work.of(partial(make_parts, tune(size), solo_page=False), size)
        for size in sizes
    )
    yield Row(
        name="make the parts of a bar, in a tune of 16,000",
        peer="in a tune of 1,000",
        ours=long,
        theirs=short,
        goal=1.2,
        rounds=2,
    )
    for aim in ("page short", "sections clear"):
        long, short = (
            Work.of(partial(fold, choruses(size), aim=aim), size)  # type: ignore[arg-type]
            for size in (10_000, 1000)
        )
        yield Row(
            name=f"fold a bar, {aim}, of 10,000 in choruses",
            peer="of 1,000",
            ours=long,
            theirs=short,
            goal=1.3,
            rounds=3,
        )
    more, fewer = (
        Work.of(partial(from_chart_to_parts, grace_notes(size)))
        for size in (8000, 4000)
    )
    yield Row(
        name="from a chart of one bar with 8,000 grace notes to parts",
        peer="with 4,000",
        ours=more,
        theirs=fewer,
        goal=2.3,
        rounds=3,
    )
    yield Row(
        name="beam an event, in 20,000 different bars",
        peer="in 2,000",
        ours=beamed(bars_to_beam(20_000)),
        theirs=beamed(bars_to_beam(2000)),
        goal=1.2,
        rounds=3,
    )


# ── Chords and pitches ───────────────────────────────────────────────────────────

SUFFIXES = (
    "", "m", "7", "m7", "maj7", "6", "m6", "dim", "dim7", "m7b5", "+", "+7", "9", "m9",
    "M9", "11", "13", "m11", "sus4", "sus2", "7sus4", "mM7", "ø7", "7b9", "7b5b9",
)  # fmt: skip
SYMBOLS = tuple(
    root + suffix for root in ("C", "F#", "Bb", "Eb") for suffix in SUFFIXES
)
REFUSED = (
    *(symbol + tail for symbol in SYMBOLS for tail in ("(zz", "zz", "(b13", "/H", "/")),
    *("H" + suffix for suffix in SUFFIXES),
    *("Swing", "Fine", "D.C. al Coda", "Ad lib.", "Bossa", "Easy", "Coda", "rit."),
)
CONTRADICTED = tuple(
    root + suffix for root in "CDEFGAB" for suffix in ("7(b5,#11)", "13(b13)", "9add9")
)
BY_GRAMMAR = tuple(
    root + suffix + "(b9,b13)"
    for root in ("C", "F#", "Bb", "Eb")
    for suffix in ("7", "m7", "maj7")
)
_SYMBOL = re.compile(r"([A-G])([#b]*)([^/]*)(?:/([A-G][#b]*))?$")


@frozen(order=False)
class _Two:
    """A frozen value of two fields."""

    one: object
    two: object


def forget() -> None:
    """Empty every cache of the library."""
    for name, module in list(sys.modules.items()):
        if name.startswith("leadsheet_theory"):
            for value in list(vars(module).values()):
                clear = getattr(value, "cache_clear", None)
                if clear is not None and "leadsheet_theory" in value.__module__:
                    clear()


def _refused(symbols: Sequence[str]) -> None:
    for symbol in symbols:
        try:
            parse_symbol(symbol)
        except ChordSymbolError:
            continue
        raise AssertionError(symbol)


def _by_grammar() -> None:
    for symbol in BY_GRAMMAR:
        parse_symbol(symbol)


def _matched() -> None:
    for symbol in SYMBOLS:
        found = _SYMBOL.match(symbol)
        assert found
        _Two(found[1], found[3])


def _compared(sounds: Sequence[int], low: int, high: int) -> list[int]:
    return [sound for sound in sounds if not low <= sound <= high]


def _moved(pitches: Sequence[Pitch], third: Interval) -> None:
    for pitch in pitches:
        pitch + third


def rows_of_values() -> Iterator[Row]:
    """Chord symbols, pitches, and notes out of range."""
    accepted = Work.of(
        lambda: [parse_symbol(each) for each in SYMBOLS], len(SYMBOLS), forget
    )
    yield Row(
        name="read a chord symbol for the first time",
        peer="match a regular expression and make a frozen value",
        ours=accepted,
        theirs=Work.of(_matched, len(SYMBOLS)),
        rounds=30,
    )
    refused, contradicted = (
        Work.of(partial(_refused, symbols), len(symbols), forget)
        for symbols in (REFUSED, CONTRADICTED)
    )
    yield Row(
        name="refuse what is no chord symbol: wrong letters, ends and words",
        peer="read a chord symbol for the first time",
        ours=refused,
        theirs=accepted,
        goal=2,
        rounds=30,
    )
    by_grammar = Work.of(_by_grammar, len(BY_GRAMMAR), forget)
    yield Row(
        name="the same",
        peer="read a chord symbol that is in no table, by the grammar",
        ours=refused,
        theirs=by_grammar,
        rounds=30,
    )
    yield Row(
        name="refuse a chord symbol whose degrees contradict each other",
        peer="read one that is in no table, by the grammar",
        ours=contradicted,
        theirs=by_grammar,
        rounds=30,
    )
    again = range(100)
    yield Row(
        name="read a chord symbol again",
        peer="match a regular expression and make a frozen value",
        ours=Work.of(
            lambda: [parse_chord(each) for _ in again for each in SYMBOLS],
            100 * len(SYMBOLS),
        ),
        theirs=Work.of(_matched, len(SYMBOLS)),
    )
    of_music21 = [symbol.replace("b", "-", 1) for symbol in SYMBOLS if "b" in symbol]
    yield Row(
        name="read a chord symbol for the first time",
        peer="read it with music21",
        ours=accepted,
        theirs=Work.of(
            lambda: [music21.harmony.ChordSymbol(each[:2]) for each in of_music21],
            len(of_music21),
        ),
        rounds=3,
    )
    pitches = [
        Pitch(letter, octave=octave) for letter in "CDEFGAB" for octave in (3, 5)
    ]
    third = Interval.parse("m3")
    yield Row(
        name="a pitch and an interval added",
        peer="a frozen value made",
        ours=Work.of(
            lambda: [_moved(pitches, third) for _ in range(500)], 500 * len(pitches)
        ),
        theirs=Work.of(lambda: [_Two(1, each) for each in range(7000)], 7000),
    )
    each_once = [
        Pitch(letter, alter, octave)
        for letter in "CDEFGAB"
        for alter in (-1, 0, 1)
        for octave in range(9)
    ]
    yield Row(
        name="a pitch and an interval added for the first time",
        peer="a frozen value made",
        ours=Work.of(partial(_moved, each_once, third), len(each_once), forget),
        theirs=Work.of(lambda: [_Two(1, each) for each in range(7000)], 7000),
        rounds=30,
    )
    reader = find_book("Bb")
    melody = [Pitch(letter, octave=4) for letter in "CDEFGAB"] * 1000
    sounds = [pitch.midi for pitch in melody]
    yield Row(
        name="check the range of a note that lies in it",
        peer="compare a number with two",
        ours=Work.of(lambda: check_range(melody, reader), len(melody)),
        theirs=Work.of(lambda: _compared(sounds, 40, 90), len(melody)),
        goal=10,
    )


LINE = (
    '"F"c>A "Bb7"Bc d2 (3efg | "C7"e2 c>d [ce]4 | ^f2 =f2 {g}a4- | a2 z2 "Gm7"b2 a2 |\n'
)
ABC = "%abc-2.1\nX:1\nT:Speed\nM:4/4\nL:1/8\nK:F\n" + LINE * 8


def rows_of_abc() -> Iterator[Row]:
    """Reading ABC."""
    yield Row(
        name="read a tune of 32 bars in ABC",
        peer="read it with music21",
        ours=Work.of(lambda: parse_abc(ABC)),
        theirs=Work.of(lambda: music21.converter.parse(ABC, format="abc")),
        rounds=4,
    )


# ── Start and memory ─────────────────────────────────────────────────────────────


def _started(*arguments: str) -> Work:
    """Python started with the library compiled, as it stands where it is installed: the
    first round, which is not counted, writes what the compiler gives."""
    run = partial(
        subprocess.run,
        [sys.executable, *arguments],
        cwd=Path(sys.modules["leadsheet_theory"].__path__[0]).parent,
        env={**os.environ, "PYTHONDONTWRITEBYTECODE": ""},
        stdout=subprocess.DEVNULL,
        check=True,
    )
    return Work.of(run)


def rows_of_starting() -> Iterator[Row]:
    """From the shell to the answer, and importing."""
    standard = _started("-c", "import attrs, fractions, argparse, functools")
    for name, ours, goal in (
        ("`chord C` from the shell", ("-m", "leadsheet_theory", "chord", "C"), 2),
        ("`import leadsheet_theory`", ("-c", "import leadsheet_theory"), None),
        (
            "`from leadsheet_theory import make_parts`",
            ("-c", "from leadsheet_theory import make_parts"),
            None,
        ),
    ):
        yield Row(
            name=name,
            peer="Python with attrs and the same standard modules",
            ours=_started(*ours),
            theirs=standard,
            goal=goal,
            rounds=10,
        )


def kept_bytes(make: Callable[[], object]) -> int:
    """The bytes that what is made takes, as long as it is kept."""
    make()
    tracemalloc.start()
    kept = make()
    size = tracemalloc.get_traced_memory()[0]
    tracemalloc.stop()
    del kept
    return size


def memory() -> dict[str, float]:
    """Kilobytes a bar that charts take, read and made into parts."""
    files, read = charts(), sheets()
    bars = sum(len(sheet.bars) for sheet in read)
    kept: dict[str, Callable[[], object]] = {
        "a bar as read": lambda: [read_lead_sheet(path).sheet for path in files],
        "a bar of five parts": lambda: [make_parts(sheet) for sheet in read],
        "a bar of the source as a tree of XML": lambda: [
            ET.fromstring(xml_of(path)) for path in files
        ],
    }
    return {name: kept_bytes(make) / bars / 1000 for name, make in kept.items()}


GROUPS: dict[str, Callable[[], Iterator[Row]]] = {
    "charts": rows_of_charts,
    "growth": rows_of_growth,
    "values": rows_of_values,
    "abc": rows_of_abc,
    "start": rows_of_starting,
}
"""The groups of lines, by the name under which they are asked for."""
