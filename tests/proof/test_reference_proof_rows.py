"""The rows of the reference table of proofreading cases, where it is at hand.

It stands in the folder ``shared`` beside the project (``reference/
proofreading_cases.csv``, each row with its source) and is not ours to give away;
without it this test is skipped.  A row expects one kind of fault, or none: no error,
warning or query.  Where it says *note*, a note or a query is right.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest
from attrs import evolve
from written_charts import chart, with_signs

from leadsheet_theory import LeadSheet, NoteValue, Pitch, find_instrument
from leadsheet_theory.leadsheet import (
    Direction,
    Finding,
    Jump,
    Lyric,
    Note,
    PlacedChord,
)
from leadsheet_theory.proof import proofread

F = Fraction
CASES = (
    Path(__file__).resolve().parents[2].parent
    / "shared/reference/proofreading_cases.csv"
)

# the table's kinds, and our rules that name them
RULES = {
    "bar-short": "bar-short",
    "bar-long": "bar-length",
    "metre-mismatch": "meter",
    "tie-lone": "tie",
    "accidental-missing": "accidental tie parallel",
    "octave-slip": "octave",
    "chord-off-beat": "chord-beat",
    "chord-stacked": "stacked-chords",
    "chord-quality": "chord-quality",
    "chord-root": "chord-root",
    "chord-bass": "chord-bass",
    "chord-spelling": "chord-spelling",
    "spelling": "enharmonic",
    "double-accidental": "double-accidental",
    "section-letter": "section-letter",
    "key-change-unmarked": "key-change",
    "signature-mismatch": "signature",
    "chord-missing": "chord-missing",
    "chord-repeated": "chord-repeated",
    "bar-empty": "empty-bar",
    "final-barline": "final-bar",
    "repeat-unmatched": "repeat",
    "ending": "ending",
    "jump": "jump",
    "lyric": "lyric",
    "text-unreadable": "chord-text words",
    "range": "range",
    "overlap": "overlap",
    "rhythm": "rhythm",
    "heading": "heading",
    "clef": "clef",
}

Row = dict[str, str]


def _rows() -> list[Row]:
    if not CASES.exists():
        return []
    with CASES.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _first_notes(sheet: LeadSheet, index: int, *lyrics: tuple[Lyric, ...]) -> LeadSheet:
    """With syllables under the first notes of a bar."""
    bar = sheet.bars[index]
    melody = list(bar.melody)
    for place, words in enumerate(lyrics):
        melody[place] = evolve(melody[place], lyrics=words)  # type: ignore[call-arg]
    bars = list(sheet.bars)
    bars[index] = evolve(bar, melody=tuple(melody))
    return evolve(sheet, bars=tuple(bars))


def _repeat_sign(**signs: object) -> Callable[[LeadSheet], LeadSheet]:
    return lambda sheet: with_signs(sheet, **signs)  # type: ignore[arg-type]


FIRST = {"ending": (1,), "ending_starts": True}
SECOND = {"ending": (2,), "ending_starts": True}

# what stands beside the notes in a row, and how the chart gets it
SIGNS: dict[str, Callable[[LeadSheet], LeadSheet]] = {
    "bar 2 has letter B": _repeat_sign(bar_2={"section": "B"}),
    "start repeat at bar 2": _repeat_sign(
        bar_1={"repeat_end": 0}, bar_2={"repeat_start": True, "repeat_end": 2}
    ),
    "letters A, B, A2": _repeat_sign(
        bar_1={"section": "A"}, bar_2={"section": "B"}, bar_3={"section": "A2"}
    ),
    "Segno bar 1, ToCoda bar 1, DS.Coda bar 2, Coda follows": _repeat_sign(
        bar_1={"segno": True, "to_coda": True},
        bar_2={"jump": Jump("segno", "coda")},
        bar_3={"coda": True},
    ),
    "letters: A bar 1, A bar 3": _repeat_sign(
        bar_1={"section": "A"}, bar_3={"section": "A"}
    ),
    "letters: A bar 1, C bar 2": _repeat_sign(
        bar_1={"section": "A"}, bar_2={"section": "C"}
    ),
    "letters: B bar 1, A bar 2": _repeat_sign(
        bar_1={"section": "B"}, bar_2={"section": "A"}
    ),
    "|: at bar 1, no :|": _repeat_sign(bar_1={"repeat_start": True}),
    ":| after bars 2 and 4, no |:": _repeat_sign(
        bar_2={"repeat_end": 2}, bar_4={"repeat_end": 2}
    ),
    "[2 over bar 3": _repeat_sign(bar_3=SECOND),
    "[1 over bar 2, [2 over bar 3, no :|": _repeat_sign(bar_2=FIRST, bar_3=SECOND),
    "[2 over bar 2 :|, [2 over bar 3": _repeat_sign(
        bar_2={**SECOND, "repeat_end": 2}, bar_3=SECOND
    ),
    "[1 over bar 3 :|, piece ends": _repeat_sign(bar_3={**FIRST, "repeat_end": 2}),
    "[1 start at bar 2, no stop": _repeat_sign(bar_2=FIRST, bar_3={"ending": (1,)}),
    "D.S. at bar 2": _repeat_sign(bar_2={"jump": Jump("segno")}),
    "Segno bar 1, D.S. al Coda bar 2": _repeat_sign(
        bar_1={"segno": True}, bar_2={"jump": Jump("segno", "coda")}
    ),
    "D.C. al Coda bar 2, Coda bar 3": _repeat_sign(
        bar_2={"jump": Jump("capo", "coda")}, bar_3={"coda": True}
    ),
    "D.C. al Fine bar 2": _repeat_sign(bar_2={"jump": Jump("capo", "fine")}),
    "Segno bar 1": _repeat_sign(bar_1={"segno": True}),
    "Segno bars 1 and 2, D.S. bar 3": _repeat_sign(
        bar_1={"segno": True}, bar_2={"segno": True}, bar_3={"jump": Jump("segno")}
    ),
    "D.C. at bar 2, bar 3 has no coda sign": _repeat_sign(bar_2={"jump": Jump("capo")}),
    "syllables: sun- (begin), moon (single)": lambda sheet: _first_notes(
        sheet, 0, (Lyric("sun", "begin"),), (Lyric("moon"),)
    ),
    "syllables: -ing (end) first": lambda sheet: _first_notes(
        sheet, 0, (Lyric("ing", "end"),)
    ),
    "pickup of 1 quarter before bar 1; end repeat after bar 2": _repeat_sign(
        bar_2={"repeat_end": 2}
    ),
    "syllable under the tied note": lambda sheet: _first_notes(
        sheet, 0, (), (Lyric("la"),)
    ),
    "syllable on the first of two tied notes": lambda sheet: _first_notes(
        sheet, 0, (Lyric("la"),)
    ),
    "printed text: C7x(b": lambda sheet: _printed(sheet, "C7x(b"),
    "printed text C9, stored kind dominant": lambda sheet: _printed(sheet, "C9"),
    "text: (A(a-umlaut A-acute))": lambda sheet: _words(sheet, "(A(äÁ))"),
    "words G7(b9) above the staff, no harmony element": lambda sheet: _words(
        sheet, "G7(b9)"
    ),
    "title absent": lambda sheet: evolve(sheet, title=""),
    "creator absent": lambda sheet: evolve(sheet, composer=""),
    "second note carries a tie stop only": lambda sheet: evolve(
        sheet,
        bars=(
            evolve(
                sheet.bars[0],
                melody=(
                    sheet.bars[0].melody[0],
                    evolve(sheet.bars[0].melody[1], tied_from_previous=True),
                ),
            ),
        ),
    ),
    "voice 1 also holds E5 from 2 to 3": lambda sheet: evolve(
        sheet,
        bars=(
            evolve(
                sheet.bars[0],
                melody=(
                    *sheet.bars[0].melody,
                    Note(onset=F(2), duration=F(1), pitches=(Pitch.parse("E5"),)),
                ),
            ),
        ),
    ),
}


def _printed(sheet: LeadSheet, text: str) -> LeadSheet:
    bar = sheet.bars[0]
    symbol = evolve(bar.chords[0].symbol, source=text)
    return evolve(sheet, bars=(evolve(bar, chords=(PlacedChord(F(0), symbol),)),))


def _words(sheet: LeadSheet, text: str) -> LeadSheet:
    bar = sheet.bars[0]
    words = (Direction(F(1), "words", text),)
    return evolve(sheet, bars=(evolve(bar, directions=words), *sheet.bars[1:]))


# rows that can't be put as a chart, or that we read otherwise, and why
DEPARTURES = {
    "syllables: note 1 la, rest la": "a rest carries no syllable in our charts: the "
    "reading reports it",
    "part in B-flat with heading of the C sheet": "our own parts name themselves",
    "second F has no printed sign": "a chart holds sounding notes: what is printed is "
    "decided in the part",
    "sixteen bars like this": "a long passage in another key is a warning, as in the "
    "two rows before, whatever comes before it",
}

# … and by their reasons
OTHERWISE = {
    "the parallel bar has the sharp: phrase comes twice, once without": "a natural "
    "third held over a dominant is a warning, as in the rows before it",
    "no signature given: propose two flats from the notes": "the reading of the file "
    "infers a missing key; a chart always has one",
    "F sharp cancelled in every bar: D minor meant": "no signature saves most of the "
    "signs, as the chord of D major needs its F sharp",
}


def _sheet(row: Row) -> LeadSheet:
    signs = row["signs_and_text"]
    chords = "" if row["chords"].startswith("?") else row["chords"]
    if row["chords"].startswith("?"):
        chords = "C:0"
    key = "C major" if row["key"] == "none" else row["key"]
    meter = "4/4" if row["meter"] == "none" else row["meter"]
    pickup = "implicit, number 0" in signs or "bar 1 is the pickup" in signs
    times = 1
    if "all bars like this" in signs:
        times = 4 if "signature" in row["expected"] else 8
    if "eight bars like this" in signs or "sixteen bars like this" in signs:
        return _passage(row, times=2 if "eight" in signs else 4)
    notes = row["notes"]
    if "Coda follows" in signs:
        notes, chords = f"{notes} | C5:0:4", f"{chords} | C:0"
    if "pickup of 1 quarter" in signs:
        notes, chords, pickup = f"G4:0:1 | {notes}", f" | {chords}", True
    if "alto saxophone" in signs:  # a written F6
        notes, key, chords = notes.replace("F6", "Ab5"), "Eb major", "Eb:0"
    sheet = chart(notes, chords, key=key, meter=meter, times=times, pickup=pickup)
    for words, change in SIGNS.items():
        if words in (signs, signs.removesuffix(" al Coda")):
            sheet = change(sheet)
    if row["expected"] == "rhythm":
        sheet = _valued(sheet)
    if "inner" in signs or row["reason"] in INNER:
        sheet = _inside(sheet, key, meter)
    return sheet


def _valued(sheet: LeadSheet) -> LeadSheet:
    """With each note and rest written in one value."""
    values = {
        F(1, 2): NoteValue("eighth"), F(1): NoteValue("quarter"),
        F(2): NoteValue("half"), F(3): NoteValue("half", 1),
    }  # fmt: skip
    bars = tuple(
        evolve(
            bar,
            melody=tuple(
                evolve(event, value=values[event.duration]) for event in bar.melody
            ),
        )
        for bar in sheet.bars
    )
    return evolve(sheet, bars=bars)


INNER = {"two quarters in 3/4", "five quarters"}


def _passage(row: Row, *, times: int) -> LeadSheet:
    """Eight bars at home before the passage."""
    home = {"C major": "C", "F major": "F", "Eb major": "Eb"}[row["key"]]
    tune = chart(
        f"{home}5:0:4 | {home}5:0:2 {home}5:2:2",
        f"{home}:0 | {home}:0",
        key=row["key"],
        times=4,
    )
    rest = chart(row["notes"], row["chords"], key=row["key"], times=times)
    bars = [evolve(bar, number=n) for n, bar in enumerate((*tune.bars, *rest.bars), 1)]
    return evolve(tune, bars=tuple(bars))


def _inside(sheet: LeadSheet, key: str, meter: str) -> LeadSheet:
    """The bar between two full ones."""
    beats, unit = map(int, meter.split("/"))
    whole = chart(f"C5:0:{F(4 * beats, unit)}", "C:0", key=key, meter=meter).bars[0]
    bars = (whole, *sheet.bars, whole)
    return evolve(
        sheet, bars=tuple(evolve(bar, number=n) for n, bar in enumerate(bars, 1))
    )


def _readers(row: Row) -> list[object]:
    if "B-flat trumpet" in row["signs_and_text"]:
        return [find_instrument("trumpet")]
    if "alto saxophone" in row["signs_and_text"]:
        return [find_instrument("alto sax")]
    return []


def _judge(row: Row, findings: tuple[Finding, ...]) -> str:
    """What is wrong with the findings, or nothing."""
    loud = [f for f in findings if f.severity != "note"]
    loud = [f for f in loud if f.rule != "no-chords"]
    if row["expected"] == "none":
        if loud and row["also_accepted"].replace("note: ", "") == "":
            return f"unwanted: {[f'{f.severity} {f}' for f in loud]}"
        return f"unwanted: {[str(f) for f in loud]}" if loud else ""
    kinds = [row["expected"], *row["also_accepted"].split()]
    if "none" in kinds and not loud:
        return ""
    rules = {name for kind in kinds for name in RULES.get(kind, "").split()}
    named = [f for f in findings if f.rule in rules]
    others = [f for f in loud if f.rule not in rules]
    if not named:
        return f"not named ({row['expected']}); said: {[str(f) for f in findings]}"
    if others:
        return f"besides: {[str(f) for f in others]}"
    severity = named[0].severity
    wanted = {
        "note": ("note", "query"),
        "warning": ("warning", "error"),
        "error": ("error", "warning"),
    }[row["severity"]]
    return "" if severity in wanted else f"is a {severity}, expected {row['severity']}"


def test_rows_of_the_reference_table() -> None:
    rows = _rows()
    if not rows:
        pytest.skip("the reference table of proofreading cases is not at hand")
    wrong = []
    for number, row in enumerate(rows, start=2):
        if row["signs_and_text"] in DEPARTURES or row["reason"] in OTHERWISE:
            continue
        findings = proofread(_sheet(row), readers=_readers(row))  # type: ignore[arg-type]
        problem = _judge(row, findings)
        if problem:
            wrong.append(
                f"line {number} {row['key']} {row['chords']} ; {row['notes']} ; "
                f"{row['signs_and_text']} [{row['reason']}]\n      {problem}"
            )
    assert not wrong, f"{len(wrong)} rows:\n" + "\n".join(wrong)
