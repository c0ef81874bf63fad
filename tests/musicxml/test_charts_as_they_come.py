"""Six charts in the shapes in which notation programs export, read bar by bar.

Each is an invented tune of ours in ``shared/charts/as_they_come``; what is expected was
read off its drawn pages.
"""

from pathlib import Path

import pytest
from parts_check import schema_errors

from leadsheet_theory import make_parts, read_lead_sheet, write_part
from leadsheet_theory.leadsheet import Mark, Note, Swing, play_order

CHARTS = Path(__file__).resolve().parents[2] / "shared/charts/as_they_come"


def chart(name):
    return read_lead_sheet(CHARTS / f"{name}.musicxml")


def shown(sheet):
    """Each bar in a line: number, chord symbols, melody."""
    lines = []
    for bar in sheet.bars:
        symbols = " ".join(
            str(each.symbol) + (f"@{each.onset}" if each.onset else "")
            for each in bar.chords
        )
        melody = " ".join(
            f"{each.pitch if isinstance(each, Note) else 'rest'}:{each.duration}"
            for each in bar.melody
        )
        lines.append(f"{bar.number} | {symbols} | {melody}")
    return lines


def told(result):
    return [f"{e.severity}: {e}" for e in result.findings if e.severity != "note"]


EXPECTED = {
    "pilot_boat_at_dawn": [
        "0 |  | F4:1/2 G4:1/2",
        "1 | Bbmaj7 Gm7 | Bb4:4",
        "2 | Cm7 | rest:1 Eb5:1 D5:1 C5:1",
        "3 | F7 | A4:2 C5:2",
        "4 | Bbmaj7 Gm7 Cm7 F7 | D5:4",
        "5 | Ebmaj7 F7@3 | G4:2 Bb4:1 A4:1",
        "6 | Bb6 | Bb4:3 rest:1",
        "7 | Bb6 | rest:4",
    ],
    "tide_table": [
        "1 | G6 | G4:1 B4:1 D5:1 B4:1",
        "2 | Em7 | E4:1 G4:1 B4:1 G4:1",
        "3 | Am7 | A4:1 C5:1 E5:1 C5:1",
        "4 | D7 | F#4:1 A4:1 C5:1 A4:1",
        "5 | Cmaj7 | E5:1 D5:1 C5:1 B4:1",
        "6 | D7 | A4:1 B4:1 C5:1 D5:1",
        "7 | G6 | G4:4",
        "8 | Bm7 | B4:1 D5:1 F#5:1 D5:1",
        "9 | Am7 | C5:1 B4:1 A4:1 E4:1",
        "10 | G6 | G4:4",
    ],
    "net_menders_stomp": [
        "1 | C | C5:2 E5:2",
        "2 | F | F5:4",
        "3 | Dm7 | A4:2 F4:2",
        "4 | Am7 D7 Dm7 G7 | E4:4",
        "5 | Am | C5:2 A4:2",
        "6 | D7 | F#4:2 D4:2",
        "7 | Dm7 G7 | B4:4",
        "8 | C6 | C5:4",
    ],
    "foghorn_in_f": [
        "1 | Fmaj9 | F4:1 A4:1 C5:1 A4:1",
        "2 | Bb13sus4 | Bb4:1 D5:1 F5:1 D5:1",
        "3 | C13sus4 | A4:1 G4:1 F4:1 E4:1",
        "4 | F6 | F4:4",
        "5 | Gm7 | D5:1 C5:1 Bb4:1 A4:1",
        "6 | C7 | G4:1 A4:1 Bb4:1 C5:1",
        "7 | D13sus4 | C5:1 A4:1 F4:1 A4:1",
        "8 | Fdim7(no5) | F4:4",
    ],
    "salt_store_waltz": [
        "0 |  | A4:1",
        "1 | Dm | D5:1 F5:1 A5:1",
        "2 | Gm7 | G5:3/2 F5:1/2 D5:1",
        "3 | A7 | E5:1/3 F5:1/3 E5:1/3 C#5:2",
        "4 | Dm | D5:3",
        "5 | Bbmaj7 | D5:1 C5:1 Bb4:1",
        "6 | Gm6 | Bb4:2 G4:1",
        "7 | A7 | A4:1 G4:1 C#4:1",
        "8 | Dm | D4:2",
    ],
    "low_water": [
        "1 | Am | A4:2 B4:1",
        "2 | Dm7 | C5:1 D5:2",
        "3 | E7 | rest:3",
        "4 | Am | A4:3/2 C5:3/2",
        "5 | Fmaj7 | A4:1 C5:1 E5:1",
        "6 | Bm7(b5) | D5:2 F5:1",
        "7 | E7(b9) | E5:1 D5:1 B4:1",
        "8 | Am6 | A4:3",
    ],
}


@pytest.mark.parametrize("name", EXPECTED)
def test_a_chart_is_read_bar_by_bar(name):
    result = chart(name)
    sheet = result.sheet
    assert shown(sheet) == EXPECTED[name]
    assert (sheet.composer, sheet.lyricist) == ("The Net Loft Seven", "O. Halyard")
    assert sheet.rights.startswith("An invented tune")
    for part in make_parts(sheet):
        assert not schema_errors(write_part(part))
        for each in (*part.bars, *part.solo):
            onsets = [placed.onset for placed in each.bar.chords]
            assert len(set(onsets)) == len(onsets)


def test_ticks_a_hair_off_and_a_divided_bar():
    result = chart("pilot_boat_at_dawn")
    assert not told(result)
    bars = result.sheet.bars
    assert bars[5].source_number == "6"
    syllables = [
        (lyric.text, lyric.syllabic)
        for bar in bars
        for event in bar.melody
        if isinstance(event, Note)
        for lyric in event.lyrics
    ]
    assert syllables == [
        ("ear", "begin"), ("ly", "end"), ("light", "single"), ("har", "single"),
        ("slow", "single"),
    ]  # fmt: skip


def test_a_swing_equation_and_two_codas():
    result = chart("tide_table")
    sheet = result.sheet
    assert sheet.swing == Swing(2, 1, equation=True)
    order = [sheet.bars[index].number for index in play_order(sheet.bars).indices]
    assert order == [
        *(1, 2, 3, 4), *(5, 6), *(5, 6), *(5, 7), *(2, 3), 8, *(2, 3, 4), *(9, 10)
    ]  # fmt: skip
    assert told(result) == [
        "warning: bar 6: an ending of number 1 is printed '1.-2.': read as printed"
    ]


def test_words_of_a_transposed_part():
    result = chart("net_menders_stomp")
    words = [each.text for bar in result.sheet.bars for each in bar.directions]
    assert words == ["F pedal", "Gm7"]
    assert [bar.form.section for bar in result.sheet.bars if bar.form.section] == [
        "A", "B",
    ]  # fmt: skip
    assert [line.partition(":")[0] for line in told(result)] == [
        "error", "warning", "warning",
    ]  # fmt: skip
    pedals = [
        each.text
        for part in make_parts(result.sheet)
        for each in part.bars[1].bar.directions
    ]
    assert pedals == ["F pedal", "G pedal", "D pedal", "C pedal", "F pedal"]


def test_hits_on_the_lower_staff_and_an_alternate_chord():
    result = chart("foghorn_in_f")
    bars = result.sheet.bars
    assert [len(bar.hits) for bar in bars] == [3, 3, 0, 3, 0, 3, 0, 3]
    assert [str(each.symbol) for each in bars[2].alternate_chords] == ["Gm7"]
    assert not told(result)


def test_a_key_and_a_metre_that_are_not_said():
    result = chart("salt_store_waltz")
    assert (str(result.sheet.key), str(result.sheet.meter)) == ("D minor", "3/4")
    assert len(told(result)) == 2


def test_a_rest_too_long_framed_words_and_a_tremolo():
    result = chart("low_water")
    bars = result.sheet.bars
    assert [bar.form.section for bar in bars] == ["A", *[""] * 3, "B", *[""] * 3]
    assert [each.text for each in bars[0].directions] == ["hold back"]
    assert [len(bar.hits) for bar in bars] == [2, 0, 2, 0, 2, 0, 2, 0]
    assert [event.marks for event in bars[3].melody] == [
        (Mark("tremolo", strokes=3, end="start"),),
        (Mark("tremolo", strokes=3, end="stop"),),
    ]
    assert not told(result)
