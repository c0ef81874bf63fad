"""For each rule of the proofreader a wrong chart and the right one.

The pages of the documentation are written from these (``docs/tools/
write_rule_pages.py``), and the tests hold that the wrong chart gets the remark and the
right one does not.  All of them are invented.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from attrs import evolve, frozen
from written_charts import chart, with_signs

from leadsheet_theory import LeadSheet, NoteValue
from leadsheet_theory.chords import parse_chord
from leadsheet_theory.leadsheet import (
    Direction,
    Hit,
    Jump,
    Lyric,
    PlacedChord,
    Slur,
)

F = Fraction

__all__ = ("EXAMPLES", "Example")


@frozen(order=False)
class Example:
    """A wrong chart, the bar that is named, the right chart, and what to add."""

    wrong: LeadSheet
    bar: int | None
    right: LeadSheet
    says: str = ""


def _bar(sheet: LeadSheet, number: int, **changes: object) -> LeadSheet:
    """With something else in a bar."""
    bars = tuple(
        evolve(bar, **changes) if bar.number == number else bar  # type: ignore[arg-type]
        for bar in sheet.bars
    )
    return evolve(sheet, bars=bars)


def _notes(sheet: LeadSheet, number: int, *changes: dict[str, object]) -> LeadSheet:
    """With something else at the notes of a bar, one after the other."""
    bar = next(bar for bar in sheet.bars if bar.number == number)
    melody = tuple(
        evolve(event, **(changes[place] if place < len(changes) else {}))  # type: ignore[arg-type]
        for place, event in enumerate(bar.melody)
    )
    return _bar(sheet, number, melody=melody)


def _printed(sheet: LeadSheet, text: str) -> LeadSheet:
    """With another text for the first chord."""
    symbol = evolve(sheet.bars[0].chords[0].symbol, source=text)
    return _bar(sheet, 1, chords=(PlacedChord(F(0), symbol),))


def _final(sheet: LeadSheet) -> LeadSheet:
    last = sheet.bars[-1].number
    return with_signs(sheet, **{f"bar_{last}": {"barline": "final"}})


TUNE: Final = _final(
    chart(
        "G4:0:2 E5:2:2 | D5:0:4 | C5:0:2 B4:2:2 | C5:0:4",
        "C:0 | G7:0 | Am7:0 G7:2 | C:0",
    )
)
FIRST: Final = {"ending": (1,), "ending_starts": True}
SECOND: Final = {"ending": (2,), "ending_starts": True}

_PHRASE = "E5:0:1 D5:1:1 C5:2:1 G4:3:1 | A4:0:2 C5:2:2 | B4:0:1 D5:1:1 G4:2:2 | C5:0:4"
_CHANGES = "C:0 | Am7:0 | G7:0 | C:0"
_AGAIN = f"{_PHRASE} | {_PHRASE}"
_AGAIN_CHANGES = f"{_CHANGES} | {_CHANGES}"
_IN_A_FLAT = "Ab4:0:2 C5:2:2 | Db5:0:2 F5:2:2 | Eb5:0:2 Db5:2:2 | C5:0:2 Ab4:2:2"
_A_FLAT_CHANGES = "Ab:0 | Db:0 | Eb7:0 | Ab:0"
_AT_HOME = chart("C5:0:2 E5:2:2 | G4:0:4", "C:0 | G7:0", times=4)
_ASIDE = chart(_IN_A_FLAT, _A_FLAT_CHANGES, times=2)
_MODULATES = evolve(
    _AT_HOME,
    bars=tuple(
        evolve(bar, number=n) for n, bar in enumerate((*_AT_HOME.bars, *_ASIDE.bars), 1)
    ),
)
_A_FLAT = chart("C5:0:4", key="Ab major").bars[0].key
_WITH_PICKUP = chart(
    "G4:0:1 | C5:0:4 | D5:0:4 | E5:0:4", " | C:0 | G7:0 | C:0", pickup=True
)
_RESTATES = with_signs(
    chart(
        "B4:0:1 | C5:0:4 | D5:0:4 | C5:0:3 B4:3:1",
        "G7:0 | C:0 | G7:0 | C:0",
        pickup=True,
    ),
    bar_1={"repeat_start": True},
    bar_3={"repeat_end": 2},
)
_PUSH = chart("E5:0:2 D5:2:3/2 C5:7/2:1/2~ | C5:0:4", "C:0 | F:0")
_HITS = (Hit(F(7, 2), F(1, 2), tied_to_next=True),)


def _pushed(sheet: LeadSheet) -> LeadSheet:
    return _bar(
        _bar(sheet, 1, hits=_HITS), 2, hits=(Hit(F(0), F(1), tied_from_previous=True),)
    )


def _numbered(sheet: LeadSheet, *numbers: int) -> LeadSheet:
    bars = tuple(
        evolve(bar, number=number)
        for bar, number in zip(sheet.bars, numbers, strict=True)
    )
    return evolve(sheet, bars=bars)


def _full(sheet: LeadSheet, number: int, length: int = 4) -> LeadSheet:
    return _bar(sheet, number, length=F(length))


EXAMPLES: Final[dict[str, Example]] = {
    "heading": Example(evolve(TUNE, title=""), None, TUNE),
    "no-melody": Example(chart("r:0:4", "C:0"), None, TUNE),
    "no-chords": Example(chart("C5:0:4"), None, TUNE),
    "clef": Example(
        chart("C3:0:2 D3:2:2 | E3:0:2 G3:2:2", "C:0 | G7:0"),
        1,
        chart("C4:0:2 D4:2:2 | E4:0:2 G4:2:2", "C:0 | G7:0"),
    ),
    "key": Example(
        chart("C#5:0:4", "C#6:0", key="C# major"),
        1,
        chart("Db5:0:4", "Db6:0", key="Db major"),
    ),
    "signature": Example(
        chart(_IN_A_FLAT, _A_FLAT_CHANGES, times=3),
        1,
        chart(_IN_A_FLAT, _A_FLAT_CHANGES, key="Ab major", times=3),
    ),
    "key-change": Example(
        _MODULATES,
        9,
        evolve(
            _MODULATES,
            bars=tuple(
                evolve(bar, key=_A_FLAT) if bar.number > 8 else bar
                for bar in _MODULATES.bars
            ),
        ),
        "One to seven bars in another key are a passing matter and get no remark.",
    ),
    "meter": Example(
        chart("E5:0:3 | D5:0:3 | C5:0:3 | A4:0:3", "C:0 | G7:0 | Am:0 | F:0"),
        1,
        chart(
            "E5:0:3 | D5:0:3 | C5:0:3 | A4:0:3", "C:0 | G7:0 | Am:0 | F:0", meter="3/4"
        ),
        "However many bars contradict it, this is one remark.",
    ),
    "bar-length": Example(
        chart("C5:0:4 | C5:0:2 D5:2:1 E5:3:1 F5:4:1 | E5:0:4", "C:0 | F:0 | C:0"),
        2,
        chart("C5:0:4 | C5:0:1 D5:1:1 E5:2:1 F5:3:1 | E5:0:4", "C:0 | F:0 | C:0"),
    ),
    "bar-short": Example(
        chart("C5:0:4 | C5:0:2 D5:2:1 | E5:0:4", "C:0 | F:0 | C:0"),
        2,
        chart("C5:0:4 | C5:0:2 D5:2:2 | E5:0:4", "C:0 | F:0 | C:0"),
        "A pickup, the last bar that gives the pickup its beats, and a bar that a "
        "double bar line or a repeat parts in two are as they should be.",
    ),
    "overlap": Example(
        _full(chart("C5:0:3 D5:2:2", "C:0"), 1), 1, chart("C5:0:2 D5:2:2", "C:0")
    ),
    "empty-bar": Example(
        chart("E5:0:4 | r:0:4 | D5:0:4", "C:0 | | G7:0"),
        2,
        chart("E5:0:4 | r:0:4 | D5:0:4", "C:0 | F:0 | G7:0"),
        "A whole-bar rest under a chord is no empty bar.",
    ),
    "bar-number": Example(_numbered(TUNE, 1, 2, 4, 5), 4, TUNE),
    "hits": Example(
        _bar(TUNE, 1, hits=(Hit(F(0), F(2)), Hit(F(1), F(1)))),
        1,
        _bar(TUNE, 1, hits=(Hit(F(0), F(1)), Hit(F(1), F(1)))),
    ),
    "written-value": Example(
        _notes(TUNE, 2, {"value": NoteValue("quarter")}),
        2,
        _notes(TUNE, 2, {"value": NoteValue("whole")}),
    ),
    "rhythm": Example(
        _notes(
            chart("E5:0:3/2 D5:3/2:1 C5:5/2:3/2", "C:0"),
            1,
            {},
            {"value": NoteValue("quarter")},
        ),
        1,
        chart("E5:0:3/2 D5:3/2:1/2~ D5:2:1/2 C5:5/2:3/2", "C:0"),
    ),
    "tie": Example(
        chart("C5:0:2~ D5:2:2", "C:0"),
        1,
        chart("C5:0:2~ C5:2:2", "C:0"),
        "A tie into a second ending that is played after a repeat is in order.",
    ),
    "slur": Example(
        _notes(TUNE, 1, {"slurs": (Slur("start"),)}),
        1,
        _notes(TUNE, 1, {"slurs": (Slur("start"),)}, {"slurs": (Slur("stop"),)}),
    ),
    "lyric": Example(
        _notes(
            TUNE, 1, {"lyrics": (Lyric("har", "begin"),)}, {"lyrics": (Lyric("tide"),)}
        ),
        1,
        _notes(
            TUNE,
            1,
            {"lyrics": (Lyric("har", "begin"),)},
            {"lyrics": (Lyric("bour", "end"),)},
        ),
    ),
    "accidental": Example(
        chart("E5:0:2 D5:2:2 | G4:0:1 Ab4:1:1 E4:2:2 | D4:0:4", "C:0 | C:0 | G7:0"),
        2,
        chart("E5:0:2 D5:2:2 | G4:0:1 A4:1:1 E4:2:2 | D4:0:4", "C:0 | C:0 | G7:0"),
        "Suspensions, appoggiaturas, neighbours, passing and chromatic leading notes, "
        "pushes and blue notes are no slips and get no remark; nor does a note that a "
        "like bar has as well.  Where the signs are weaker it is a query.",
    ),
    "octave": Example(
        chart("C5:0:1 D5:1:1 E6:2:1 F5:3:1", "C:0"),
        1,
        chart("C5:0:1 D5:1:1 E5:2:1 F5:3:1", "C:0"),
        "A wide leap that stays, an octave leap and a leap that comes again are meant.",
    ),
    "double-accidental": Example(
        chart("Ebb5:0:4", "C7:0", key="F major"),
        1,
        chart("D5:0:4", "C7:0", key="F major"),
    ),
    "enharmonic": Example(
        chart("A4:0:1 Ab4:1:1 A4:2:2", "Am:0"),
        1,
        chart("A4:0:1 G#4:1:1 A4:2:2", "Am:0"),
    ),
    "range": Example(
        chart("D2:0:2 D6:2:2", "C:0"),
        1,
        chart("D4:0:2 D5:2:2", "C:0"),
        "Each book gets the octave that suits it best; a remark comes if none does.",
    ),
    "chord-place": Example(
        _bar(TUNE, 2, chords=(PlacedChord(F(4), parse_chord("G7")),)), 2, TUNE
    ),
    "chord-beat": Example(
        chart("E5:0:2 D5:2:2", "C:0 G7:9/4"),
        1,
        chart("E5:0:2 D5:2:2", "C:0 G7:2"),
        "A symbol over a pushed note stands where it should.  On a half beat without a "
        "note it is a note.",
    ),
    "stacked-chords": Example(
        chart("E5:0:4", "C:0 Am7:0"), 1, chart("E5:0:4", "C:0 Am7:2")
    ),
    "chord-missing": Example(
        chart("E5:0:4 | D5:0:4 | C5:0:4", " | | C:0"),
        1,
        chart("E5:0:4 | D5:0:4 | C5:0:4", "C:0 | G7:0 | C:0"),
        "One chord may hold for four bars; from seven without a symbol it is a query, "
        "from four if the melody leaves the chord.",
    ),
    "chord-repeated": Example(
        chart("E5:0:4 | E5:0:4", "C:0 | C:0"),
        2,
        chart("E5:0:4 | E5:0:4", "C:0 | "),
        "At a new section, after a repeat and every four bars it helps the reader.",
    ),
    "chord-root": Example(
        chart("A4:0:4 | Bb4:0:2 F5:2:2 | E5:0:4", "F:0 | B:0 | C7:0", key="F major"),
        2,
        chart("A4:0:4 | Bb4:0:2 F5:2:2 | E5:0:4", "F:0 | Bb:0 | C7:0", key="F major"),
        "A chord a semitone beside the key that the melody fits is a substitute.",
    ),
    "chord-quality": Example(
        chart("E5:0:4 | E5:0:3 G5:3:1 | D5:0:4", "C:0 | Cm:0 | G7:0"),
        2,
        chart("E5:0:4 | E5:0:3 G5:3:1 | D5:0:4", "C:0 | C:0 | G7:0"),
        "Tensions, suspended chords and both thirds over a dominant with ♯9 are right.",
    ),
    "chord-spelling": Example(
        chart("C5:0:2 A4:2:2 | F4:0:4", "C:0 D#dim7:2 | Dm7:0"),
        1,
        chart("C5:0:2 A4:2:2 | F4:0:4", "C:0 Ebdim7:2 | Dm7:0"),
    ),
    "chord-bass": Example(
        chart("E5:0:2 F5:2:2 | D5:0:4", "C/E:0 F:2 | G7/C#:0"),
        2,
        chart("E5:0:2 F5:2:2 | D5:0:4", "C/E:0 F:2 | G7/D:0"),
    ),
    "chord-text": Example(
        _printed(chart("C5:0:4", "C7:0"), "Cm7"),
        1,
        _printed(chart("C5:0:4", "C7:0"), "C7"),
        "Degrees that the file prints beside the text are no contradiction.",
    ),
    "chord-ambiguous": Example(
        chart("F5:0:4", "C11:0"),
        1,
        chart("F5:0:4", "C9sus4:0"),
        "Said once for each form; a plain *dim* is left in peace.",
    ),
    "words": Example(
        _bar(TUNE, 2, directions=(Direction(F(2), "words", "G7(b9)"),)),
        2,
        _bar(
            TUNE,
            2,
            chords=(
                PlacedChord(F(0), parse_chord("G7")),
                PlacedChord(F(2), parse_chord("G7(b9)")),
            ),
        ),
    ),
    "parallel": Example(
        chart(
            _AGAIN.replace("A4:0:2 C5:2:2", "A4:0:2 D5:2:2", 1), _AGAIN_CHANGES, times=1
        ),
        2,
        chart(_AGAIN, _AGAIN_CHANGES),
        "Only where the bars around both are the same; the last bar of a section often "
        "differs and is left in peace.",
    ),
    "pickup": Example(
        with_signs(_WITH_PICKUP, bar_0={"repeat_start": True}, bar_3={"repeat_end": 2}),
        3,
        with_signs(_WITH_PICKUP, bar_1={"repeat_start": True}, bar_3={"repeat_end": 2}),
        "A bar that restates the pickup before a repeat, but without the pickup's "
        "chord or hits, is asked for too.",
    ),
    "push": Example(
        _pushed(_PUSH),
        2,
        _pushed(
            _bar(
                _bar(
                    _PUSH,
                    1,
                    chords=(
                        PlacedChord(F(0), parse_chord("C")),
                        PlacedChord(F(7, 2), parse_chord("F")),
                    ),
                ),
                2,
                chords=(),
            )
        ),
    ),
    "repeat": Example(
        with_signs(TUNE, bar_2={"repeat_start": True}),
        2,
        with_signs(TUNE, bar_2={"repeat_start": True}, bar_4={"repeat_end": 2}),
        "An end repeat alone goes back to the top; a second one without a start is a "
        "warning, a start that nothing closes an error.",
    ),
    "ending": Example(
        with_signs(TUNE, bar_3=SECOND),
        3,
        with_signs(TUNE, bar_2={**FIRST, "repeat_end": 2}, bar_3=SECOND),
    ),
    "jump": Example(
        with_signs(TUNE, bar_4={"jump": Jump("segno")}),
        4,
        with_signs(TUNE, bar_2={"segno": True}, bar_4={"jump": Jump("segno")}),
    ),
    "section-letter": Example(
        with_signs(TUNE, bar_1={"section": "A"}, bar_3={"section": "C"}),
        3,
        with_signs(TUNE, bar_1={"section": "A"}, bar_3={"section": "B"}),
        "A letter may come again over the same music, or with a figure (A, B, A2).",
    ),
    "section": Example(
        with_signs(TUNE, bar_1={"section": "A"}, bar_3={"section": "B"}),
        3,
        with_signs(
            TUNE,
            bar_1={"section": "A"},
            bar_2={"barline": "double"},
            bar_3={"section": "B"},
        ),
    ),
    "final-bar": Example(with_signs(TUNE, bar_4={"barline": "regular"}), 4, TUNE),
}
"""The examples by the rule's name."""
