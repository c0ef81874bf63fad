"""What is no chord symbol is refused: where, why, and what would be right.

That a symbol is refused at all is a rule of a strict grammar (common practice,
no source) but for those that name one.
"""

from __future__ import annotations

import copy
import pickle
import time

import pytest

from leadsheet_theory.chords import parse_chord, parse_symbol, read_chord
from leadsheet_theory.errors import ChordSymbolError, TextError, TheoryError

MESSAGES = {
    "": "nothing to read: expected a chord symbol\n  \n  ^",
    "H7": ("no root: expected a root: a letter A to G; did you mean 'B7'?\n  H7\n  ^"),
    "Es7": (
        "unreadable: expected an alteration, add, no, sus, a slash bass or the end; "
        "did you mean 'Eb7'?\n"
        "  Es7\n"
        "   ^^"
    ),
    "bb7": (
        "no root: expected a root: a letter A to G; did you mean 'Bb7'?\n  bb7\n  ^"
    ),
    "B♭may7": (
        "unreadable: expected an alteration, add, no, sus, a slash bass or the end; "
        "did you mean 'B♭maj7'?\n"
        "  B♭may7\n"
        "      ^^"
    ),
    "C7(b9": (
        "bracket not closed: expected ')'; did you mean 'C7(b9)'?\n  C7(b9\n    ^"
    ),
    # A typing code for the triangle, which no chart prints (common practice)
    "C^7": (
        "a caret is typed, not printed: expected Δ or maj; did you mean 'Cmaj7'?\n"
        "  C^7\n"
        "   ^"
    ),
    "Ebm^9/Bb": (
        "a caret is typed, not printed: expected Δ or maj; did you mean "
        "'Ebm(maj9)/Bb'?\n"
        "  Ebm^9/Bb\n"
        "     ^"
    ),
    "C7 (b9 , , #11)": (
        "nothing between the signs: expected a degree\n  C7 (b9 , , #11)\n           ^"
    ),
    "C7b9)": (
        "bracket not opened: expected no closing bracket; did you mean 'C7b9'?\n"
        "  C7b9)\n"
        "      ^"
    ),
    "C()": (
        "nothing between the signs: expected a degree; did you mean 'C'?\n  C()\n    ^"
    ),
    "C/": (
        "no bass note after the slash: expected one note name; did you mean 'C'?\n"
        "  C/\n"
        "    ^"
    ),
    "C/Emaj7": (
        "not a bass note: expected one note name; did you mean 'C|Emaj7'?\n"
        "  C/Emaj7\n"
        "    ^^^^^"
    ),
    "C/7": (
        "7 after a slash is neither a bass note nor an added degree: expected a bass "
        "note A to G, or 9, 11 or 13\n"
        "  C/7\n"
        "    ^"
    ),
    "C8": (
        "8 is not a chord number: expected one of 2, 4, 5, 6, 7, 9, 11, 13\n  C8\n   ^"
    ),
    "Cdim6": (
        "6 does not go with this chord: expected one of 7, 9, 11, 13\n  Cdim6\n      ^"
    ),
    "C7b": (
        "a sign without a degree: expected 5, 9, 11 or 13; did you mean 'C7'?\n"
        "  C7b\n"
        "    ^"
    ),
    # Helping musicians: b11 is the third, #13 the seventh (High-Yield Music
    # Theory 4, 4.1.9)
    "C7#13": (
        "no chord has a #13: expected b5, #5, b9, #9, #11 or b13\n  C7#13\n    ^^^"
    ),
    # Dobrian 2014
    "C7#11b5": (
        "#11 beside b5 is the same note: expected one or the other\n"
        "  C7#11b5\n"
        "       ^^"
    ),
    # Dobrian 2014
    "Cm7#9": (
        "#9 on a minor chord is its third: expected one or the other\n  Cm7#9\n     ^^"
    ),
    "C7b9 9": (
        "natural and altered 9 together: expected add9 if both are meant\n"
        "  C7b9 9\n"
        "       ^"
    ),
    "C+b5": (
        "two fifths that contradict each other: expected one or the other\n"
        "  C+b5\n"
        "    ^^"
    ),
    "Csus3": ("3 is no suspension: expected sus2 or sus4\n  Csus3\n      ^"),
    "Am7 D7": (
        "unreadable: expected an alteration, add, no, sus, a slash bass or the end\n"
        "  Am7 D7\n"
        "      ^^"
    ),
    "C1 3": (
        "a number with a blank in it: expected 11 or 13; did you mean 'C13'?\n"
        "  C1 3\n"
        "   ^^^"
    ),
    "C on": "unreadable: expected an alteration, add, no, sus, a slash bass or the "
    "end\n  C on\n     ^",
    "[Cmaj7": (
        "no root: expected a root: a letter A to G; did you mean 'Cmaj7'?\n"
        "  [Cmaj7\n"
        "  ^"
    ),
    "%": "no root: expected a root: a letter A to G\n  %\n  ^",
}


@pytest.mark.parametrize(("text", "message"), MESSAGES.items())
def test_whole_messages(text: str, message: str) -> None:
    with pytest.raises(ChordSymbolError) as caught:
        parse_chord(text)
    assert str(caught.value) == message


PAGE = """
    Hm Fis7 Sol7 c cm7 e♭7 E##b C#b Cb#7 C### ♭B7 C♮7 Cmaj7# C7# Cxyz Cfoo7 Cmajor-ish
    /C C//E C/H C/E/G C/Eb# C7(,b9) C7((b9) C10 C12 C15 C79 C713 C7b2 Cadd Cadd8
    Cno Cno2 Csus5 Csus2sus2 C7b9b9 C9b9 C13b13 C11#11 C7#7 Cmm7 Cmaj7min Cdimaug
    Cø°7 Cdim#5 C5maj7 C7b11 Cm11#9 Cdimsus4 C7altb9 C9alt C7aug# C9(9)
    C7(no2) C7(no9) Cm(add3b) Cdom V7 1-7 7 maj7 #11 X7 J Am7-D7 N.C.7 C|
    |C C|D|E C|N.C. Cadd## Cadd14 C7(b9,#11 C7b9#
"""


@pytest.mark.parametrize("text", [*PAGE.split(), "C7\tF7", "   ", "C 7 ?"])
def test_refused(text: str) -> None:
    reading = read_chord(text)
    assert reading.error is not None, reading.symbol
    assert 0 <= reading.error.start <= len(text)
    if reading.error.suggestion:
        assert read_chord(reading.error.suggestion).error is None


def test_error_keeps_data_and_pickles() -> None:
    error = read_chord("C7(b9").error
    assert isinstance(error, (ChordSymbolError, TextError, TheoryError, ValueError))
    again = pickle.loads(pickle.dumps(error))
    assert (again.text, again.start, again.end) == ("C7(b9", 2, 3)
    assert again.expected == "')'" and again.suggestion == "C7(b9)"


def refused(text: str) -> ChordSymbolError:
    with pytest.raises(ChordSymbolError) as caught:
        parse_symbol(text)
    return caught.value


@pytest.mark.parametrize("text", ["C7(b9", "Cm7zz", "C/H", "Hm7", "Swing", "C7|"])
def test_what_is_told_later_is_the_same_however_it_is_asked_for(text: str) -> None:
    told = refused(text)
    says, data = str(told), vars(told)
    for again in (pickle.loads(pickle.dumps(refused(text))), copy.copy(refused(text))):
        assert (vars(again), str(again)) == (data, says)
    assert refused(text).args == told.args == (told.problem,)
    assert repr(refused(text)) == f"ChordSymbolError({told.problem!r})"
    assert refused(text).end == told.end
    assert not hasattr(refused(text), "crotchet")


def test_the_lenient_reader_keeps_the_readable_part() -> None:
    reading = read_chord("Ebm7xyz")
    assert str(reading.symbol) == "Ebm7"
    assert reading.error is not None and reading.error.start == 4
    assert read_chord("Ebm7").error is None
    assert read_chord("?").symbol is None


@pytest.mark.parametrize(
    "garbage",
    ["C7(b9" * 200_000, "(" * 1_000_000, "é" * 1_000_000, "C" + "b" * 999_999],
)
def test_a_megabyte_of_garbage_is_refused_at_once(garbage: str) -> None:
    start = time.process_time()
    reading = read_chord(garbage)
    assert time.process_time() - start < 0.05
    assert reading.error is not None
    assert len(str(reading.error)) < 300
