"""The proofreader: each rule found where it is broken, and nothing in a good chart.

What the rules say and on whose word stands in ``PROOF_RULES``; the charts here
are invented to break one rule each.
"""

from __future__ import annotations

import pickle
from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path

import pytest
from attrs import evolve

from leadsheet_theory import (
    Bar,
    Finding,
    Key,
    LeadSheet,
    Meter,
    Note,
    NoteValue,
    Pitch,
    Rest,
    find_instrument,
    parse_chord,
    proofread,
    read_lead_sheet,
)
from leadsheet_theory.errors import UnknownRuleError
from leadsheet_theory.leadsheet import FormSigns, Hit, Jump, PlacedChord, Slur
from leadsheet_theory.proof import PROOF_RULES

F = Fraction
ROOT = Path(__file__).resolve().parents[2]
B_FLAT = Key.parse("Bb major")
COMMON = Meter(4, 4)


def note(onset: str, duration: str, pitch: str, **more: object) -> Note:
    return Note(F(onset), F(duration), (Pitch.parse(pitch),), **more)  # type: ignore[arg-type]


def chords(*texts: tuple[str, str]) -> tuple[PlacedChord, ...]:
    return tuple(PlacedChord(F(onset), parse_chord(text)) for onset, text in texts)


def bar(number: int, *melody: Note | Rest, **more: object) -> Bar:
    """A bar of B♭ major in 4/4, by default with a whole note and its chord."""
    given = {"chords": chords(("0", "Bbmaj7")), **more}
    return Bar(
        number,
        given.pop("key", B_FLAT),  # type: ignore[arg-type]
        COMMON,
        F(given.pop("length", 4)),  # type: ignore[arg-type]
        melody=melody or (note("0", "4", "D5"),),
        **given,  # type: ignore[arg-type]
    )


def sheet(*bars: Bar, title: str = "Ebb at Noon") -> LeadSheet:
    last = evolve(bars[-1], form=evolve(bars[-1].form, barline="final"))
    return LeadSheet(title, (*bars[:-1], last))


GOOD = sheet(bar(1), bar(2))

QUARTER = NoteValue("quarter")

BROKEN: Mapping[str, tuple[LeadSheet, str]] = {
    "title": (evolve(GOOD, title=" "), "the chart has no title (give it one)"),
    "no-melody": (
        sheet(bar(1, Rest(F(0), F(4), whole_bar=True))),
        "no note in the whole chart (check that the right part was read)",
    ),
    "no-chords": (
        sheet(bar(1, chords=())),
        "no chord symbol in the whole chart (check that the right part was read)",
    ),
    "key": (
        sheet(bar(1, key=Key.parse("C# major"), chords=chords(("0", "C#6")))),
        "bar 1: C♯ major has 7 accidentals (write the enharmonic key)",
    ),
    "bar-length": (
        sheet(bar(1, note("0", "3", "D5"))),
        "bar 1, beat 4: 1 quarter missing in the melody (mend the bar)",
    ),
    "bar-short": (
        sheet(bar(1, note("0", "3", "D5"), length=3), bar(2)),
        "bar 1: only 3 quarters in a bar of 4/4 (check it is meant: a bar may be "
        "parted by a repeat, or give its beats to a pickup)",
    ),
    "bar-number": (
        sheet(bar(1), bar(3)),
        "bar 3: bar 1 is followed by 3 (number the bars on, the pickup as 0)",
    ),
    "hits": (
        sheet(bar(1, hits=(Hit(F(0), F(2)), Hit(F(1), F(1))))),
        "bar 1, beat 2: an overlap in the hits (mend the rhythm line)",
    ),
    "written-value": (
        sheet(bar(1, note("0", "4", "D5", value=QUARTER))),
        "bar 1, beat 1: written as 1 quarter, lasts 4 quarters (mend its value or its "
        "duration)",
    ),
    "rhythm": (
        sheet(
            bar(
                1,
                note("0", "3/2", "D5"),
                note("3/2", "1", "F5", value=QUARTER),
                note("5/2", "3/2", "D5"),
            )
        ),
        "bar 1, beat 2½: the quarter hides the middle of the bar (write an eighth and "
        "an eighth)",
    ),
    "tie": (
        sheet(bar(1, note("0", "4", "D5", tied_to_next=True)), bar(2)),
        "bar 1, beat 1: D5 has half a tie (tie to the next note of the same pitch, or "
        "not at all)",
    ),
    "slur": (
        sheet(bar(1, note("0", "4", "D5", slurs=(Slur("start"),)))),
        "bar 1, beat 1: a slur begins and never ends (give it its other end)",
    ),
    "double-accidental": (
        sheet(bar(1, note("0", "4", "Ebb5"))),
        "bar 1, beat 1: E𝄫5 (respell it unless the harmony wants it)",
    ),
    "enharmonic": (
        sheet(bar(1, note("0", "4", "F#4"), chords=chords(("0", "Ebm7")))),
        "bar 1, beat 1: F♯ over Ebm7, whose tone is G♭ (spell it as the chord's tone)",
    ),
    "clash": (
        sheet(bar(1, note("0", "4", "Eb5"))),
        "bar 1, beat 1: E♭5 is the natural 11th of Bbmaj7 (check the note and the "
        "chord)",
    ),
    "range": (
        sheet(bar(1, note("0", "2", "D2"), note("2", "2", "D7"))),
        "bar 1, beat 3: D9 is above the range of the C book (written, to E6) "
        "(change the note or the reader)",
    ),
    "chord-place": (
        sheet(bar(1, chords=chords(("4", "Bb6")))),
        "bar 1: Bb6 stands outside its bar (move it)",
    ),
    "stacked-chords": (
        sheet(bar(1, chords=chords(("0", "Bb6"), ("0", "Gm7")))),
        "bar 1, beat 1: Bb6 and Gm7 stand on one beat (place each on its beat)",
    ),
    "chord-text": (
        sheet(
            bar(
                1,
                chords=(
                    PlacedChord(F(0), evolve(parse_chord("Bbm7"), source="Bbmaj7")),
                ),
                key=Key.parse("Bb minor"),
            )
        ),
        "bar 1, beat 1: printed is “Bbmaj7”, meant is Bbm7 (print what is meant)",
    ),
    "chord-ambiguous": (
        sheet(bar(1, chords=chords(("0", "Bb11")))),
        "bar 1, beat 1: “Bb11” is read as Bb11; some read Bb9sus4 (the third is left "
        "out: Wikipedia, 'Eleventh chord'; Dobrian 2014) (print it so that it can be "
        "read in one way)",
    ),
    "repeat": (
        sheet(bar(1), bar(2, form=FormSigns(repeat_start=True))),
        "bar 2: a start repeat that nothing closes: left out",
    ),
    "ending": (
        sheet(bar(1), bar(2, form=FormSigns(ending=(1,), ending_starts=True))),
        "bar 2: an ending without an end repeat: played as it stands",
    ),
    "jump": (
        sheet(bar(1), bar(2, form=FormSigns(jump=Jump("segno")))),
        "bar 2: D.S., but no segno before it: read as D.C.",
    ),
    "section": (
        sheet(bar(1), bar(2, form=FormSigns(section="B"))),
        "bar 2: section B starts without a double bar line (set a double bar line "
        "before it)",
    ),
    "final-bar": (
        LeadSheet("Ebb at Noon", (bar(1),)),
        "bar 1: the last bar line is not a final one (end it with one)",
    ),
}


# Each row of the table of clashes: a whole note, its chord, what is said or nothing
# (common practice, no source).
CLASHES = [
    ("Eb5", "Bbmaj7", "E♭5 is the natural 11th of Bbmaj7"),
    ("Eb5", "Bb7sus4", ""),
    ("Eb5", "Bbm7", ""),
    ("Cb5", "Bbmaj7", "C♭5 is the flat 9th of Bbmaj7"),
    ("Cb5", "Bbm7", "C♭5 is the flat 9th of Bbm7"),
    ("Cb5", "Bb6", "C♭5 is the flat 9th of Bb6"),
    ("Cb5", "Bb7", ""),
    ("A4", "Bb7", "A4 is the major 7th of Bb7"),
    ("A4", "Bbmaj7", ""),
    ("Gb4", "Bbmaj7", "G♭4 is the flat 13th of Bbmaj7"),
    ("Gb4", "Bb7", ""),
    ("F#4", "Bbmaj7#5", ""),
]


@pytest.mark.parametrize(("pitch", "symbol", "said"), CLASHES)
def test_what_grates_on_its_chord(pitch: str, symbol: str, said: str) -> None:
    chart = sheet(bar(1, note("0", "4", pitch), chords=chords(("0", symbol))))
    found = [finding for finding in proofread(chart) if finding.rule == "clash"]
    assert [finding.message for finding in found] == ([said] if said else [])


def test_a_good_chart_is_left_in_peace() -> None:
    assert proofread(GOOD) == ()


@pytest.mark.parametrize("rule", [rule.name for rule in PROOF_RULES])
def test_each_rule_is_found_where_it_is_broken(rule: str) -> None:
    chart, message = BROKEN[rule]
    found = [finding for finding in proofread(chart) if finding.rule == rule]
    assert str(found[0]) == message
    assert not [f for f in proofread(chart, skip=[rule]) if f.rule == rule]


@pytest.mark.parametrize("rule", PROOF_RULES, ids=lambda rule: rule.name)
def test_the_documentation_lists_each_rule(rule: object) -> None:
    page = (ROOT / "docs/howto/proofreading.rst").read_text(encoding="utf-8")
    for text in (rule.name, rule.severity, rule.looks_for, rule.source):  # type: ignore[attr-defined]
        assert text in page


def test_findings_come_in_the_order_of_the_bars() -> None:
    chart = sheet(
        bar(1, note("0", "4", "Eb5")), bar(3), bar(3, form=FormSigns(section="B"))
    )
    bars = [finding.bar for finding in proofread(chart) if finding.bar is not None]
    assert bars == sorted(bars)


def test_an_unknown_rule_is_an_error() -> None:
    with pytest.raises(UnknownRuleError) as caught:
        proofread(GOOD, skip=["spelling"])
    assert str(caught.value).startswith("no rule called 'spelling': there are title,")
    assert pickle.loads(pickle.dumps(caught.value)).name == "spelling"


def test_a_reader_of_ones_own() -> None:
    chart = sheet(bar(1, note("0", "2", "C3"), note("2", "2", "F5")))
    horn = find_instrument("flugelhorn")
    found = proofread(chart, readers=[horn])
    assert {finding.rule for finding in found} <= {"range"}
    assert proofread(chart, readers=[]) == ()


class TestWhatIsNoFault:
    """Things a proofreader must not stumble over."""

    def test_an_anticipation_belongs_to_the_chord_it_is_held_into(self) -> None:
        held = (
            bar(
                1,
                note("0", "7/2", "D5"),
                note("7/2", "1/2", "Eb5", tied_to_next=True),
            ),
            bar(
                2,
                note("0", "4", "Eb5", tied_from_previous=True),
                chords=chords(("0", "Cm7")),
            ),
        )
        assert proofread(sheet(*held)) == ()

    def test_a_suspension_that_resolves_by_step(self) -> None:
        resolved = bar(1, note("0", "1", "Eb5"), note("1", "3", "D5"))
        assert proofread(sheet(resolved)) == ()

    def test_the_fourth_of_a_suspended_chord(self) -> None:
        sus = bar(1, note("0", "4", "Bb4"), chords=chords(("0", "F7sus4")))
        assert proofread(sheet(sus)) == ()

    def test_the_flat_ninth_of_a_dominant(self) -> None:
        dominant = bar(1, note("0", "4", "Gb4"), chords=chords(("0", "F7")))
        assert proofread(sheet(dominant)) == ()

    def test_a_tie_into_a_second_ending(self) -> None:
        tied = (
            bar(
                1,
                note("0", "4", "D5", tied_to_next=True),
                form=FormSigns(repeat_start=True),
            ),
            bar(
                2,
                note("0", "4", "D5", tied_from_previous=True),
                form=FormSigns(ending=(1,), ending_starts=True, repeat_end=2),
            ),
            bar(
                3,
                note("0", "4", "D5", tied_from_previous=True),
                form=FormSigns(ending=(2,), ending_starts=True),
            ),
        )
        assert proofread(sheet(*tied)) == ()

    def test_a_pickup(self) -> None:
        pickup = bar(0, note("0", "1", "F4"), length=1, chords=())
        assert proofread(sheet(pickup, bar(1))) == ()

    @pytest.mark.parametrize(
        "chart", ["harbourmasters_day_off", "waltz_for_a_moored_ferry", "rope_walk"]
    )
    def test_the_demo_charts(self, chart: str) -> None:
        tune = read_lead_sheet(ROOT / f"shared/charts/{chart}.musicxml").sheet
        rules = {finding.rule for finding in proofread(tune)}
        assert rules <= {"double-accidental"}


def test_a_finding_is_a_value() -> None:
    (finding,) = proofread(BROKEN["clash"][0])
    assert isinstance(finding, Finding)
    assert hash(finding) == hash(evolve(finding))


def test_a_chart_without_bars() -> None:
    rules = [finding.rule for finding in proofread(LeadSheet("Nothing yet", ()))]
    assert rules == ["no-melody", "no-chords"]
