"""Chord symbols entered on one beat: spread over the beats up to the next (common
practice, no source)."""

from fractions import Fraction

import pytest

from leadsheet_theory import make_parts
from leadsheet_theory.chords import parse_chord
from leadsheet_theory.errors import ChoiceError
from leadsheet_theory.key import Key
from leadsheet_theory.leadsheet import (
    Bar,
    LeadSheet,
    PlacedChord,
    spread_stacked_chords,
)
from leadsheet_theory.parts import solo_changes
from leadsheet_theory.rhythm import Meter


def bar(number, meter, *chords, length=None):
    """A bar with chords given as "symbol onset"."""
    placed = [chord.split() for chord in chords]
    return Bar(
        number=number,
        key=Key.parse("C"),
        meter=meter,
        length=meter.bar_length if length is None else Fraction(length),
        chords=tuple(
            PlacedChord(Fraction(onset), parse_chord(symbol))
            for symbol, onset in placed
        ),
    )


FOUR = Meter(4, 4)


@pytest.mark.parametrize(
    ("meter", "chords", "spread"),
    [
        (FOUR, ("C 0", "F 0"), "C 0, F 2"),
        (FOUR, ("C 0", "F 0", "G 0"), "C 0, F 2, G 3"),
        (FOUR, ("C 0", "F 0", "G 0", "A 0"), "C 0, F 1, G 2, A 3"),
        (FOUR, ("C 0", "D 0", "E 0", "F 0", "G 0"), "C 0, D 1, E 2, F 5/2, G 7/2"),
        (FOUR, ("C 0", "F 0", "G 2"), "C 0, F 1, G 2"),
        (FOUR, ("C 0", "F 2", "G 2"), "C 0, F 2, G 3"),
        (FOUR, ("F 2", "G 2", "C 0"), "C 0, F 2, G 3"),
        (FOUR, ("C 0", "F 0", "C 0"), "C 0, F 2, C 3"),
        (FOUR, ("C 0", "C 0", "F 0", "F 0"), "C 0, F 2"),
        (FOUR, ("C 7/2", "F 7/2"), "C 7/2, F 15/4"),
        (Meter(3, 4), ("C 0", "F 0"), "C 0, F 2"),
        (Meter(6, 8), ("C 0", "F 0"), "C 0, F 3/2"),
        (Meter(2, 2), ("C 0", "F 0"), "C 0, F 2"),
    ],
)
def test_where_stacked_chords_go(meter, chords, spread):
    (after,) = spread_stacked_chords([bar(1, meter, *chords)]).bars
    assert ", ".join(f"{c.symbol} {c.onset}" for c in after.chords) == spread


def test_one_remark_names_all_bars():
    tune = [bar(n, FOUR, "C 0", *(["F 0"] if n != 2 else [])) for n in (1, 2, 3, 4)]
    spread = spread_stacked_chords(tune)
    assert spread.bars[1] is tune[1]
    assert [str(remark) for remark in spread.remarks] == [
        "bar 1: chord symbols entered on one beat are spread over the beats up to the "
        "next (bars 1, 3, 4)"
    ]
    assert spread_stacked_chords(spread.bars).remarks == ()


def test_parts_and_solo_page_spread_them_unless_told_otherwise():
    sheet = LeadSheet(
        title="Two Buoys", bars=(bar(1, FOUR, "Dm7 0", "G7 0"), bar(2, FOUR, "C 0"))
    )

    def places(bars):
        return [[placed.onset for placed in each.chords] for each in bars]

    for part in make_parts(sheet):
        assert places(each.bar for each in part.bars) == [[0, 2], [0]]
        assert places(each.bar for each in part.solo) == [[0, 2], [0]]
        remarks = [r for r in part.report.findings if r.rule == "stacked-chords"]
        assert len(remarks) == 1
    assert places(solo_changes(sheet).bars) == [[0, 2], [0]]
    for part in make_parts(sheet, stacked_chords="kept"):
        assert places(each.bar for each in (*part.bars, *part.solo)) == 2 * [
            [0, 0],
            [0],
        ]
    with pytest.raises(ChoiceError, match="stacked_chords"):
        make_parts(sheet, stacked_chords="dropped")
    with pytest.raises(ChoiceError, match="stacked_chords"):
        solo_changes(sheet, stacked_chords="dropped")
