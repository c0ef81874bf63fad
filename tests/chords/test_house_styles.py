"""How the four styles look, and what an own style may do.

The capitals follow Brandt and Roemer, *Standardized Chord Symbol Notation*
(1976), from memory; signs and letters are those of the printed forms' sources.
"""

from __future__ import annotations

import pytest
from attrs import evolve

from leadsheet_theory.chords import (
    CAPITALS,
    PLAIN_LETTERS,
    SYMBOLS,
    WORDS,
    HouseStyle,
    parse_chord,
    parse_symbol,
    print_chord,
)
from leadsheet_theory.errors import HouseStyleError

PAGE = """
plain letters    symbols       capitals        short words
C                C             C               C
Bb7              B♭7           B♭7             Bb7
Cmaj7            CΔ7           CMA7            CMaj7
Cmaj9(#11)       CΔ9(♯11)      CMA9(♯11)       CMaj9#11
Cm7              C-7           CMI7            Cmin7
Cm(maj7)         C-Δ7          CMI(MA7)        Cmin(Maj7)
C6/9             C6/9          C6/9            C6/9
C6/9(#11)        C6/9(♯11)     C6/9(♯11)       C6/9#11
F#m7(b5)         F♯ø7          F♯MI7(♭5)       F#min7b5
Cm9(b5)          Cø9           CMI9(♭5)        Cmin9b5
Cdim             C°            Cdim            Cdim
Cdim7            C°7           C°7             Cdim7
Cdim(maj7)       C°(Δ7)        Cdim(MA7)       Cdim(Maj7)
Caug             C+            C+              Caug
C7(#5)           C+7           C7(♯5)          C7#5
C7(b9,#11)       C7(♭9,♯11)    C7(♭9,♯11)      C7b9#11
C7(#5,#9)        C+7(♯9)       C7(♯5,♯9)       C7#5#9
C7(b5)           C7(♭5)        C7(♭5)          C7b5
C13(b9)          C13(♭9)       C13(♭9)         C13b9
C7(13)           C7(13)        C7(13)          C7add13
C7sus4           C7sus4        C7SUS4          C7sus4
C(add9)          C(add9)       C(add9)         Cadd9
C(b5)            C(♭5)         C(♭5)           C(b5)
C7alt            C7alt         C7alt           C7alt
C13(no11)        C13(no11)     C13(no11)       C13no11
Ab/Bb            A♭/B♭         A♭/B♭           Ab/Bb
D|C7             D|C7          D|C7            D|C7
N.C.             N.C.          N.C.            N.C.
"""
STYLES = (PLAIN_LETTERS, SYMBOLS, CAPITALS, WORDS)
ROWS = [line.split() for line in PAGE.strip().splitlines()[1:]]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row[0])
def test_the_page_of_styles(row: list[str]) -> None:
    symbol = parse_symbol(row[0])
    assert [print_chord(symbol, style) for style in STYLES] == row
    assert {parse_symbol(text) for text in row} == {symbol}


def test_own_styles() -> None:
    stacked = evolve(SYMBOLS, brackets=("[", "]"), separator=" ", descending=True)
    assert parse_chord("C7b9#11").text(stacked) == "C7[♯11 ♭9]"
    german = evolve(PLAIN_LETTERS, roots="german")
    assert parse_chord("F#m7/B").text(german) == "Fism7/H"
    solfege = evolve(SYMBOLS, roots="solfege")
    assert parse_chord("Bb7/D").text(solfege) == "Si♭7/Re"
    plus_minus = HouseStyle(name="plus and minus", flat="-", sharp="+", minor="m")
    assert parse_chord("C7b9#11").text(plus_minus) == "C7(-9,+11)"


UNREADABLE = [
    (
        {"minor": "maj"},
        "style 'own' prints 1 b3 5 as 'maj', which reads as 1 3 5",
    ),
    (
        {"minor": "mol"},
        "style 'own' prints 1 b3 5 as 'mol', which cannot be read: unreadable",
    ),
    (
        {"minor_major": "m(maj7)"},
        "style 'own': minor_major must hold one {}, not 'm(maj7)'",
    ),
    (
        {"no_chord": "tacet"},
        "style 'own': no_chord 'tacet' cannot be read: expected (N.C.) or (NC) or N or "
        "N.C or N.C. or NC or NC. or NO CHORD or No Chord or No chord or n.c. or nc or "
        "no chord",
    ),
    ({"slash": ":"}, "style 'own': slash ':' cannot be read: expected /"),
    (
        {"flat": "#"},
        "style 'own' prints 1 b3 b5 b7 as 'm7(#5)', which reads as 1 b3 #5 b7",
    ),
]


@pytest.mark.parametrize(("fields", "message"), UNREADABLE)
def test_a_style_that_would_not_read_back_is_refused(
    fields: dict[str, str], message: str
) -> None:
    with pytest.raises(HouseStyleError) as caught:
        HouseStyle(name="own", **fields)  # type: ignore[arg-type]
    assert str(caught.value) == message
