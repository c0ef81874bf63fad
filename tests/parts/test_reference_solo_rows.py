"""What becomes of a head's chords, bars and sections on the solo page, each row of a
reference table where it lies beside the project: the charts are our own, the table says
what happens to them.  Its rows were counted on real lead sheets or are common practice.

Departures: none.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from pathlib import Path

import pytest
from attrs import evolve
from form_charts import bar, changes, chart, sheet

from leadsheet_theory import make_parts
from leadsheet_theory.chords import NoChord, parse_chord
from leadsheet_theory.leadsheet import Bar, Direction, Hit, LeadSheet, PlacedChord
from leadsheet_theory.parts import SoloChanges, solo_changes
from leadsheet_theory.rhythm import Meter
from leadsheet_theory.rhythm.slashes import time_slashes

TABLE = Path(__file__).resolve().parents[3] / "shared/reference" / "solo_page_cases.csv"


def rows() -> Iterator[dict[str, str]]:
    if not TABLE.is_file():
        pytest.skip("no ../shared/reference on this machine")
    with TABLE.open(encoding="utf-8", newline="") as file:
        yield from csv.DictReader(file)


def head(meter: str, *bars: str) -> tuple[Bar, ...]:
    """Bars with chords by beat from 1, in quarters."""
    return tuple(
        bar(number, meter, chords=changes(text))
        for number, text in enumerate(bars, start=1)
    )


def chords(page: SoloChanges) -> str:
    """The chords of a page as :func:`head` takes them, bars parted by a stroke."""
    return " | ".join(
        ", ".join(
            f"{float(placed.onset) + 1:g} {placed.symbol}" for placed in each.chords
        )
        for each in page.bars
    )


def happens(page: SoloChanges) -> str:
    """What became of the head's chords, in the words of the table."""
    if any(move.to_bar is None for move in page.moves):
        return "left out, told"
    if page.moves:
        return "moved"
    told = any(each.rule == "felt-chords" for each in page.remarks)
    return "kept, told" if told else "kept"


def page_of(bars: Sequence[Bar], **options: object) -> SoloChanges:
    return solo_changes(sheet(bars), form="written out", **options)  # type: ignore[arg-type]


# ── Single bars: metre, head, page ───────────────────────────────────────────────

BARS: dict[int, tuple[str, str, str]] = {
    1: ("4/4", "1 Cm7, 3 F7", "1 Cm7, 3 F7"),
    2: ("4/4", "1 Cm7, 4 F7", "1 Cm7, 4 F7"),
    3: ("4/4", "1 C6, 2 A7, 3 Dm7, 4 G7", "1 C6, 2 A7, 3 Dm7, 4 G7"),
    4: ("4/4", "1 C, 2 C#dim", "1 C, 2 C#dim"),
    5: ("4/4", "1 C, 4.5 Fmaj7 |", "1 C | 1 Fmaj7"),
    6: ("4/4", "1 C, 2.5 G7", "1 C, 3 G7"),
    7: ("4/4", "1.5 Dm7", "1 Dm7"),
    8: ("4/4", "1 C, 4.5 Fmaj7 | 1 Fmaj7", "1 C | 1 Fmaj7"),
    9: ("4/4", "1 C, 4.5 Fmaj7 | 1 Gm7", "1 C, 4.5 Fmaj7 | 1 Gm7"),
    10: ("4/4", "1 C, 2 B7, 2.5 Bb7, 3 A7", "1 C, 2 B7, 2.5 Bb7, 3 A7"),
    11: ("4/4", "1 C, 4 B7, 4.5 Bb7 | 1 A7", "1 C, 4 B7, 4.5 Bb7 | 1 A7"),
    12: (
        "4/4",
        "1 C, 1.5 A7, 2 Dm7, 2.5 G7, 3 Em7, 3.5 A7, 4 Dm7, 4.5 G7 | 1 C",
        "1 C, 1.5 A7, 2 Dm7, 2.5 G7, 3 Em7, 3.5 A7, 4 Dm7, 4.5 G7 | 1 C",
    ),
    13: ("2/2", "1 Am7, 2 D7", "1 Am7, 2 D7"),
    14: ("2/2", "1 C#m7, 4 F#7", "1 C#m7, 4 F#7"),
    16: ("3/4", "1 C, 3 G7", "1 C, 3 G7"),
    17: ("3/4", "1 C, 3.5 Am7 |", "1 C | 1 Am7"),
    18: ("6/8", "1 G, 2.5 D7", "1 G, 2.5 D7"),
    19: ("6/8", "1 G, 2 C, 2.5 D7", "1 G, 2 C, 2.5 D7"),
    20: ("12/8", "1 G, 2.5 D7, 4 Em7, 5.5 C", "1 G, 2.5 D7, 4 Em7, 5.5 C"),
    22: ("5/4", "1 Em7, 4 A7", "1 Em7, 4 A7"),
    23: ("7/4", "1 Em7, 5 A7", "1 Em7, 5 A7"),
    25: ("2/4", "1 G, 2 D7", "1 G, 2 D7"),
}

# how many slashes a bar has, and their dots
SLASHES = {
    15: ("2/2", "0000"),
    18: ("6/8", "11"),
    20: ("12/8", "1111"),
    21: ("9/8", "111"),
    22: ("5/4", "00000"),
    23: ("7/4", "0000000"),
    24: ("2+2+3/8", "001"),
    25: ("2/4", "00"),
}


@pytest.mark.parametrize("number", BARS)
def test_chords_of_single_bars(number: int) -> None:
    meter, before, after = BARS[number]
    page = page_of(head(meter, *before.split("|")))
    assert chords(page) == after


@pytest.mark.parametrize("number", SLASHES)
def test_slashes(number: int) -> None:
    meter, dots = SLASHES[number]
    found = time_slashes(Meter.parse(meter))
    assert "".join(str(slash.value.dots) for slash in found) == dots


# ── Whole charts: what happens, in the words of the table ────────────────────────


def plain(form: str, text: str = "1 F") -> list[Bar]:
    return [
        evolve(each, chords=() if each.is_pickup else changes(text))
        for each in chart(form)
    ]


def a_break() -> str:
    bars = plain("A= 1-8")
    bars[3] = evolve(bars[3], chords=(PlacedChord(Fraction(0), NoChord()),))
    page = page_of(bars)
    assert not any(isinstance(c.symbol, NoChord) for b in page.bars for c in b.chords)
    return happens(page)


def a_silent_section() -> str:
    silent = (PlacedChord(Fraction(0), NoChord()),)
    bars = plain("A= 1-8 B= 9-16")
    bars[8:] = [evolve(each, chords=silent) for each in bars[8:]]
    page = page_of(bars)
    assert isinstance(page.bars[8].chords[0].symbol, NoChord)
    return happens(page)


def a_pedal() -> str:
    bars = plain("A= 1-8")
    words = Direction(Fraction(0), "words", "Eb pedal")
    bars[4] = evolve(bars[4], directions=(words,))
    page = page_of(bars)
    assert page.bars[4].directions == (words,)
    return happens(page)


def a_slash_chord() -> str:
    page = page_of(head("4/4", "1 C/E"))
    assert chords(page) == "1 C/E"
    return happens(page)


def other_changes() -> str:
    bars = plain("A= 1-8")
    words = Direction(Fraction(0), "words", "(Am7)")
    bars[2] = evolve(
        bars[2],
        directions=(words,),
        alternate_chords=(PlacedChord(Fraction(0), parse_chord("Am7")),),
    )
    page = page_of(bars)
    assert not any("Am7" in str(each.chords) for each in page.bars)
    told = "other changes are not on the solo page: (Am7)"
    return "left out, told" if told in [r.message for r in page.remarks] else ""


def two_endings() -> str:
    bars = plain("|: A= 1-6 [1: 7-8 :|] [2: 9-10]")
    bars[7] = evolve(bars[7], chords=changes("1 Gm7, 3 C7"))
    kept = 0
    for form in ("sections clear", "as written", "page short", "written out"):
        page = solo_changes(sheet(bars), form=form)
        symbols = {str(c.symbol) for b in page.bars for c in b.chords}
        kept += symbols == {"F", "Gm7", "C7"}
    return "kept" if kept == 4 else ""


def outside_sections() -> str:
    page = page_of(plain("Intro= 1-4 A= 5-12 B= 13-20 Tag= 21-24"))
    assert len(page.bars) == 16
    told = {each.message for each in page.remarks}
    names = {f"{name} is not played in solos" for name in ("Intro", "Tag")}
    return "left out, told" if names <= told else ""


def a_pickup() -> str:
    page = page_of(plain("0 A= 1-8"))
    return "left out" if len(page.bars) == 8 else ""


def a_split_bar() -> str:
    first, second = (
        bar(8, length=Fraction(length), chords=changes(text))
        for length, text in ((1, "1 F"), (3, "1 C7"))
    )
    bars = [*plain("A= 1-7"), first, second, *plain("B= 9-15")]
    bars[8] = evolve(bars[8], form=evolve(bars[9].form, section="B"))
    bars[9] = evolve(bars[9], form=evolve(bars[9].form, section=""))
    page = page_of(bars)
    whole = all(each.length == 4 for each in page.bars)
    return "joined" if whole and len(page.bars) == 15 else ""


def stacked() -> str:
    page = page_of(head("4/4", "1 F, 1 D7, 3 Gm7"))
    assert chords(page) == "1 F, 2 D7, 3 Gm7"
    told = any(each.rule == "stacked-chords" for each in page.remarks)
    return "spread" if told else ""


def hits_in_the_head() -> str:
    bars = plain("A= 1-8")
    bars[3] = evolve(bars[3], hits=(Hit(Fraction(1), Fraction(1)),))
    page = page_of(bars)
    told = any("hits" in each.message for each in page.remarks)
    kept = page_of(bars, hits="kept")
    assert any(each.hits for each in kept.bars)
    return "left out, told" if told and not any(b.hits for b in page.bars) else ""


def one_chord_in_each_bar() -> str:
    (part,) = make_parts(sheet(plain("A= 1-8")), books=["C"])
    printed = [bool(each.symbols) for each in part.solo]
    starts = [each.starts_system for each in part.solo]
    return "kept" if printed == starts else ""


def letters() -> str:
    source: LeadSheet = sheet(plain("A= 1-8 B= 9-16"))
    for form in ("sections clear", "as written", "written out"):
        page = solo_changes(source, form=form)
        named = {each.form.section for each in page.bars} - {""}
        assert named == {"A", "B"}
    return "kept"


CHARTS: dict[int, Callable[[], str]] = {
    26: a_break,
    27: a_silent_section,
    28: a_pedal,
    29: a_slash_chord,
    30: other_changes,
    31: two_endings,
    32: outside_sections,
    33: a_pickup,
    34: a_split_bar,
    35: stacked,
    36: hits_in_the_head,
    37: one_chord_in_each_bar,
    38: letters,
}


@pytest.mark.parametrize("number", CHARTS)
def test_whole_charts(number: int) -> None:
    assert CHARTS[number]()


# ── The table ────────────────────────────────────────────────────────────────────


def ours(number: int) -> str:
    """What happens in the case of a row; slashes alone are kept."""
    if number in CHARTS:
        return CHARTS[number]()
    if number not in BARS:
        return "kept"
    meter, before, _ = BARS[number]
    page = page_of(head(meter, *before.split("|")))
    restated = before.endswith("| 1 Fmaj7")
    return "merged" if page.moves and restated else happens(page)


def test_every_row_of_the_table() -> None:
    table = list(rows())
    assert len(table) == len(BARS.keys() | SLASHES.keys() | CHARTS.keys()) == 38
    unlike = []
    for number, row in enumerate(table, start=1):
        what, _, told = row["what_happens"].partition(", ")
        found = ours(number)
        if found.partition(",")[0] != what or (told and told not in found):
            unlike.append((number, row["what_happens"], found))
        meter = BARS.get(number, ("",))[0] or row["meter"]
        assert meter == row["meter"], number
    assert not unlike
