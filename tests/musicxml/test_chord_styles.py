"""How chord symbols are printed is chosen where a page is written: the files say so."""

from __future__ import annotations

from fractions import Fraction

import pytest

from leadsheet_theory import make_parts, write_lead_sheet, write_part
from leadsheet_theory.chords import STYLES, HouseStyle, NoChord, PolyChord, parse_symbol
from leadsheet_theory.errors import ChoiceError
from leadsheet_theory.instruments import find_book
from leadsheet_theory.key import Key
from leadsheet_theory.leadsheet import Bar, LeadSheet, PlacedChord
from leadsheet_theory.musicxml import parse_lead_sheet
from leadsheet_theory.rhythm import Meter

TEXTS = ("Bb△", "C-7", "Gmi7b5", "F13-9", "NC", "Eb7/Bb", "Bb", "D|C7+", "Ebj7/G")
TUNE = LeadSheet(
    title="Two Gulls",
    bars=tuple(
        Bar(
            number=number,
            key=Key.parse("Bb"),
            meter=Meter(4, 4),
            length=Fraction(4),
            chords=(PlacedChord(Fraction(0), parse_symbol(text)),),
        )
        for number, text in enumerate(TEXTS, start=1)
    ),
)


def texts(file: bytes) -> list[str]:
    """What a reader of the file finds printed."""
    found = []
    for bar in parse_lead_sheet(file).sheet.bars:
        for placed in bar.chords:
            symbol = placed.symbol
            found.append(
                f"{symbol.upper.source}|{symbol.lower.source}"
                if isinstance(symbol, PolyChord)
                else symbol.source
            )
    return found[: len(TEXTS)]


@pytest.mark.parametrize("style", STYLES, ids=lambda style: style.name)
def test_a_page_is_printed_in_its_house_style(style: HouseStyle) -> None:
    # MusicXML has roots and basses as names, so their accidentals are not part of it
    def printed(symbol: object) -> str:
        return symbol.text(style).replace("♭", "b").replace("♯", "#")  # type: ignore[attr-defined]

    wanted = [printed(placed.symbol) for bar in TUNE.bars for placed in bar.chords]
    written = texts(write_lead_sheet(TUNE, style=style))
    assert [each.replace("♭", "b").replace("♯", "#") for each in written] == wanted


def test_a_page_may_keep_the_text_of_its_source() -> None:
    assert texts(write_lead_sheet(TUNE, style="as printed")) == list(TEXTS)


def test_a_transposed_part_keeps_it_too() -> None:
    (part,) = make_parts(TUNE, books=[find_book("Bb")])
    written = write_part(part, style="as printed")
    assert texts(written) == list(TEXTS)  # the reader brings the roots home
    assert b'<root-step>G</root-step></root><kind text="13-9">' in written


def test_a_text_that_means_another_chord_is_not_kept() -> None:
    """The chord is what is meant; the proofreader tells of the text."""
    bar = TUNE.bars[0]
    odd = parse_symbol("Bbm7")
    chords = (
        PlacedChord(Fraction(0), type(odd)(odd.root, odd.quality, source="Bbmaj7")),  # type: ignore[call-arg]
        PlacedChord(Fraction(2), NoChord()),
    )
    sheet = LeadSheet(
        title="Two Gulls",
        bars=(
            Bar(
                number=1, key=bar.key, meter=bar.meter, length=bar.length, chords=chords
            ),
        ),
    )
    assert texts(write_lead_sheet(sheet, style="as printed")) == ["Bbm7", "N.C."]


def test_another_word_is_no_style() -> None:
    with pytest.raises(ChoiceError) as caught:
        write_lead_sheet(TUNE, style="printed")  # type: ignore[arg-type]
    assert "expected one of 'as printed'" in str(caught.value)
