"""Lines of changes: bars, blanks, the simile mark, and where they go wrong."""

from __future__ import annotations

import pytest

from leadsheet_theory.chords import NoChord, parse_changes
from leadsheet_theory.errors import ChordSymbolError, NotTextError


@pytest.mark.parametrize(
    ("text", "bars"),
    [
        ("Fm7 Bb7 | Ebmaj7", ["Fm7 Bb7", "Ebmaj7"]),
        ("| Fm7  Bb7|Ebmaj7 |", ["Fm7 Bb7", "Ebmaj7"]),
        ("F#m7b5/C | % | %", ["F#m7(b5)/C"] * 3),
        ("C | | G7", ["C", "", "G7"]),
        ("C || G7 ||", ["C", "G7"]),
        ("| C | F |\n| G7 | C |\n", ["C", "F", "G7", "C"]),
        ("C | F\nG7\n\n% | C", ["C", "F", "G7", "G7", "C"]),
        ("N.C. | E7(♯9)", ["N.C.", "E7(#9)"]),
        ("", []),
        ("  |  ", []),
    ],
)
def test_bars_of_chords(text: str, bars: list[str]) -> None:
    assert [" ".join(map(str, bar)) for bar in parse_changes(text)] == bars


def test_roots_have_the_names_asked_for() -> None:
    ((first, second),) = parse_changes("Fis7 H", roots="german")
    assert (str(first), str(second)) == ("F#7", "B")
    assert parse_changes("N.C.") == ((NoChord(),),)


@pytest.mark.parametrize(
    ("text", "place", "problem", "meant"),
    [
        ("Fm7 | Ebmay7 | C", "y7", "unreadable", "Ebmaj7"),
        ("% | C", "%", "nothing to repeat", ""),
        ("C | % G7", "%", "a simile mark beside chords", ""),
        ("C\nH7", "H7", "no root", "B7"),
    ],
)
def test_what_cannot_be_read_is_shown_in_the_whole_line(
    text: str, place: str, problem: str, meant: str
) -> None:
    with pytest.raises(ChordSymbolError) as caught:
        parse_changes(text)
    error = caught.value
    assert (error.text, error.problem, error.suggestion) == (text, problem, meant)
    assert text[error.start :].startswith(place)


def test_a_line_is_a_text() -> None:
    with pytest.raises(NotTextError):
        parse_changes(None)  # type: ignore[arg-type]
