"""Which accidentals are shown: the bar rule, ties and reminders.

Sources of the cases: Wikipedia, "Accidental (music)" (bar rule, octaves, ties,
courtesy signs); C. Harris, *How to Write Music* (1917), p. 46 (the reminder in the
next bar, once, and no further off); where none is named, common practice, no source.
"""

from __future__ import annotations

import pytest

from leadsheet_theory.errors import LengthMismatchError, PitchRangeError
from leadsheet_theory.key import Key
from leadsheet_theory.pitch import Pitch
from leadsheet_theory.spelling import (
    NO_COURTESY,
    Accidental,
    AccidentalRules,
    shown_accidentals,
)


def shown(
    text: str, key: str = "C", rules: AccidentalRules | None = None, **options: object
) -> str:
    """The signs of bars parted by ``|``; ``+`` before a note ties it from the last."""
    bars = [
        [(Pitch.parse(word.lstrip("+")), word.startswith("+")) for word in bar.split()]
        for bar in text.split("|")
    ]
    keys = [Key.parse(key)] * len(bars)
    signs = shown_accidentals(bars, keys, rules=rules, **options)  # type: ignore[arg-type]
    return " | ".join(
        " ".join(
            "-" if a is None else f"({a.glyph})" if a.courtesy else a.glyph for a in bar
        )
        for bar in signs
    )


@pytest.mark.parametrize(
    ("bars", "signs"),
    [
        # an accidental holds to the barline, for its own line or space (Wikipedia)
        ("F#4 F#4 F4 F4", "♯ - ♮ -"),
        ("F#4 A4 | A4 F#4", "♯ - | - ♯"),
        ("F#4 F#5", "♯ ♯"),
        # a double sharp is cancelled by the single sign (common practice)
        ("F##4 F#4 F4", "𝄪 ♯ ♮"),
        ("Bbb4 Bb4", "𝄫 ♭"),
        # a tie carries it over the barline, a new attack needs it again
        ("F#4 | +F#4 F#4", "♯ | - ♯"),
        ("F#4 | +F#4 | F#4", "♯ | - | ♯"),
        # reminders: next bar, once, and no further off (Harris)
        ("F#4 | F4 F4", "♯ | (♮) -"),
        ("F#4 | A4 | F4", "♯ | - | -"),
        ("F#4 F4 | F4", "♯ ♮ | -"),
        # other octaves (Wikipedia; in the next bar common practice)
        ("F#4 F5", "♯ (♮)"),
        ("F#4 | F5", "♯ | (♮)"),
        # after a tie over the barline (Wikipedia)
        ("F#4 | +F#4 F4", "♯ | - (♮)"),
        ("F#4 | +F#4 | F4", "♯ | - | (♮)"),
    ],
)
def test_signs_in_c_major(bars: str, signs: str) -> None:
    assert shown(bars) == signs


@pytest.mark.parametrize(
    ("bars", "key", "signs"),
    [
        ("F#4 F4 F#4", "G", "- ♮ ♯"),
        ("F4 | F#4", "G", "♮ | (♯)"),
        ("Bb4 Eb5 B4 | Bb4", "Bb", "- - ♮ | (♭)"),
        ("Cb5 C5 Cb5", "Gb", "- ♮ ♭"),
    ],
)
def test_signs_in_other_keys(bars: str, key: str, signs: str) -> None:
    assert shown(bars, key) == signs


def test_without_reminders_only_the_bar_rule_holds() -> None:
    assert shown("F#4 F5 | F4 F5", rules=NO_COURTESY) == "♯ - | - -"
    assert shown("F#4 | F4", rules=NO_COURTESY) == "♯ | -"


def test_same_place_reminders_leave_other_octaves_alone() -> None:
    rules = AccidentalRules(next_bar="same-place")
    assert shown("F#4 | F5 F4", rules=rules) == "♯ | - (♮)"


def test_a_second_ending_follows_the_bar_before_the_first() -> None:
    bars = "F#4 | A4 | F4"
    assert shown(bars) == "♯ | - | -"
    assert shown(bars, before=[(), (0,), (1, 0)]) == "♯ | - | (♮)"


def test_a_tie_into_a_new_system_may_repeat_its_sign() -> None:
    rules = AccidentalRules(system_tie=True)
    assert shown("F#4 | +F#4", rules=rules, system_starts={1}) == "♯ | (♯)"
    assert shown("F#4 | +F#4", rules=rules) == "♯ | -"


def test_reminders_may_stand_in_parentheses() -> None:
    bars = [[(Pitch.parse("F#4"), False)], [(Pitch.parse("F4"), False)]]
    rules = AccidentalRules(parentheses=True)
    signs = shown_accidentals(bars, [Key.parse("C")] * 2, rules=rules)
    assert signs[1] == (Accidental(0, courtesy=True, parentheses=True),)
    assert signs[0] == (Accidental(1),)


def test_a_key_change_is_its_own_reminder() -> None:
    bars = [[(Pitch.parse("F#4"), False)], [(Pitch.parse("F4"), False)]]
    keys = [Key.parse("D"), Key.parse("C")]
    assert shown_accidentals(bars, keys) == ((None,), (None,))


def test_errors() -> None:
    with pytest.raises(LengthMismatchError) as error:
        shown_accidentals([[]], [])
    assert str(error.value) == "0 keys for 1 bars"
    with pytest.raises(LengthMismatchError) as error:
        shown_accidentals([[]], [Key.parse("C")], before=[])
    assert str(error.value) == "the bars before are given for 0 of 1 bars"
    with pytest.raises(PitchRangeError) as range_error:
        Accidental(5).name  # noqa: B018
    assert str(range_error.value) == (
        "no sign for an alteration of +5 semitones: at most 3 can be printed"
    )


@pytest.mark.parametrize(
    ("alter", "name"),
    [
        (-2, "flat-flat"),
        (-1, "flat"),
        (0, "natural"),
        (1, "sharp"),
        (2, "double-sharp"),
    ],
)
def test_names_are_those_of_musicxml(alter: int, name: str) -> None:
    """MusicXML 4.0, ``accidental-value``."""
    assert Accidental(alter).name == name
