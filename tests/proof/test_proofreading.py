"""The proofreader: each rule found where it is broken, and nothing in a good chart.

What the rules say and on whose word stands in ``PROOF_RULES``; the charts here
are invented to break one rule each.
"""

from __future__ import annotations

import pickle
import subprocess
import sys
from fractions import Fraction
from pathlib import Path

import pytest
from attrs import evolve
from rule_examples import EXAMPLES
from written_charts import chart, with_signs

from leadsheet_theory import (
    Bar,
    Finding,
    Key,
    LeadSheet,
    Meter,
    Note,
    Pitch,
    Rest,
    find_instrument,
    parse_chord,
    proofread,
    read_lead_sheet,
)
from leadsheet_theory.errors import BarNumberError, CorrectionError, UnknownRuleError
from leadsheet_theory.leadsheet import FormSigns, PlacedChord
from leadsheet_theory.proof import (
    FAULTS,
    PROOF_RULES,
    Silence,
    apply,
    check_folder,
    is_mechanical,
)

F = Fraction
ROOT = Path(__file__).resolve().parents[2]
B_FLAT = Key.parse("Bb major")
COMMON = Meter(4, 4)


def note(onset: str, duration: str, pitch: str, **more: object) -> Note:
    return Note(
        onset=F(onset), duration=F(duration), pitches=(Pitch.parse(pitch),), **more
    )  # type: ignore[arg-type]


def chords(*texts: tuple[str, str]) -> tuple[PlacedChord, ...]:
    return tuple(PlacedChord(F(onset), parse_chord(text)) for onset, text in texts)


def bar(number: int, *melody: Note | Rest, **more: object) -> Bar:
    """A bar of B♭ major in 4/4, by default with a whole note and its chord."""
    given = {"chords": chords(("0", "Bbmaj7")), **more}
    return Bar(
        number=number,
        key=given.pop("key", B_FLAT),  # type: ignore[arg-type]
        meter=COMMON,
        length=F(given.pop("length", 4)),  # type: ignore[arg-type]
        melody=melody or (note("0", "4", "D5"),),
        **given,  # type: ignore[arg-type]
    )


def sheet(*bars: Bar, title: str = "Ebb at Noon") -> LeadSheet:
    last = evolve(bars[-1], form=evolve(bars[-1].form, barline="final"))
    return LeadSheet(title=title, bars=(*bars[:-1], last), composer="the pilot")


GOOD = sheet(bar(1), bar(2, chords=()))
RULES = [rule.name for rule in PROOF_RULES]


def found(chart: LeadSheet, rule: str) -> list[Finding]:
    return [finding for finding in proofread(chart) if finding.rule == rule]


def test_a_good_chart_is_left_in_peace() -> None:
    assert proofread(GOOD) == ()


def test_each_rule_has_its_example() -> None:
    assert list(EXAMPLES) == [rule for rule in RULES if rule in EXAMPLES]
    assert set(EXAMPLES) == set(RULES)


@pytest.mark.parametrize("rule", RULES)
def test_each_rule_is_found_where_it_is_broken_alone(rule: str) -> None:
    example = EXAMPLES[rule]
    assert found(example.wrong, rule)[0].bar == example.bar
    assert not found(example.right, rule)
    assert not [f for f in proofread(example.wrong, skip=[rule]) if f.rule == rule]


def test_what_can_be_applied_is_mended() -> None:
    mended = []
    for rule, example in EXAMPLES.items():
        (first, *_) = found(example.wrong, rule)
        if is_mechanical(first):
            done = apply(example.wrong, first)
            assert first not in found(done, rule), rule
            assert len(done.bars) == len(example.wrong.bars)
            mended.append(rule)
    assert mended == [
        "signature", "key-change", "meter", "accidental", "octave", "chord-beat",
        "stacked-chords", "chord-repeated", "chord-root", "chord-quality",
        "chord-spelling", "chord-text", "parallel", "push", "section-letter",
        "section", "final-bar",
    ]  # fmt: skip


@pytest.mark.parametrize(
    "rule",
    [
        "accidental",
        "chord-root",
        "chord-beat",
        "stacked-chords",
        "signature",
        "push",
        "octave",
        "meter",
    ],
)
def test_what_is_applied_is_what_is_right(rule: str) -> None:
    example = EXAMPLES[rule]
    assert apply(example.wrong, found(example.wrong, rule)[0]) == example.right


def test_what_cannot_be_applied_says_so() -> None:
    tie = found(EXAMPLES["tie"].wrong, "tie")[0]
    with pytest.raises(CorrectionError, match="nothing to be done mechanically"):
        apply(EXAMPLES["tie"].wrong, tie)
    slip = found(EXAMPLES["accidental"].wrong, "accidental")[0]
    with pytest.raises(CorrectionError, match="bar 2 does not hold Ab4 any more"):
        apply(EXAMPLES["accidental"].right, slip)


def test_an_octave_of_several_notes_is_moved_whole() -> None:
    high = chart("E5:0:2 G5:2:2 | A6:0:2 C7:2:2 | G5:0:4", "C:0 | F:0 | C:0")
    (finding,) = found(high, "octave")
    assert [str(n.pitch) for n in apply(high, finding).bars[1].melody] == ["A5", "C6"]  # type: ignore[union-attr]


def test_the_pages_of_the_rules_are_written_anew() -> None:
    script = ROOT / "docs/tools/write_rule_pages.py"
    done = subprocess.run([sys.executable, str(script), "--check"], check=False)
    assert done.returncode == 0, f"run {script.relative_to(ROOT)}"


def test_each_kind_of_fault_has_its_rules() -> None:
    for fault in FAULTS:
        assert set(fault.rules) <= set(RULES), fault


class TestSilence:
    """What is meant need not be told again."""

    WRONG = EXAMPLES["chord-beat"].wrong

    def test_a_rule_in_the_whole_chart_or_in_some_bars(self) -> None:
        for text in ("chord-beat", "chord-beat: 1", "chord-beat: 1-3, 7"):
            silence = [Silence.parse(text)]
            rules = {f.rule for f in proofread(self.WRONG, silence=silence)}
            assert "chord-beat" not in rules
        elsewhere = proofread(self.WRONG, silence=[Silence("chord-beat", (2,))])
        assert elsewhere == proofread(self.WRONG)

    def test_it_is_read_back(self) -> None:
        for text in ("tie", "tie: 4, 12, 13"):
            assert str(Silence.parse(text)) == text

    def test_bars_that_are_none(self) -> None:
        with pytest.raises(BarNumberError, match="'four' is no bar"):
            Silence.parse("tie: four")

    def test_a_silence_that_nobody_wrote_is_asked_for(self) -> None:
        gap = Finding(
            rule="gap", severity="note", message="a silence is carried as a rest", bar=1
        )
        (asked,) = proofread(GOOD, reading=[gap])
        assert asked.severity == "query"

    def test_remarks_of_the_reading(self) -> None:
        read = Finding(
            rule="unread",
            severity="warning",
            message="a third voice is not carried",
            bar=1,
        )
        assert read in proofread(GOOD, reading=[read])
        assert proofread(GOOD, reading=[read], silence=[Silence("unread", (1,))]) == ()
        assert proofread(GOOD, reading=[read], skip=["unread"]) == ()


def test_one_cause_is_told_once() -> None:
    waltz = chart("E5:0:3 | D5:0:3 | C5:0:3", "C:0 | G7:0 | C:0", times=20)
    read = [
        Finding(rule="bar-length", severity="warning", message="three", bar=n)
        for n in range(1, 61)
    ]
    loud = [f for f in proofread(waltz, reading=read) if f.severity != "note"]
    assert [finding.rule for finding in loud] == ["meter"]


def test_a_folder_in_several_styles() -> None:
    tunes = [sheet(bar(1, chords=chords(("0", text)))) for text in ("Bbm7", "Bb-7")]
    (finding,) = check_folder(tunes)
    assert finding.rule == "house-style"
    assert check_folder(tunes[:1]) == ()


def test_findings_come_in_the_order_of_the_bars() -> None:
    chart = sheet(
        bar(1, note("0", "4", "Eb5")), bar(3), bar(3, form=FormSigns(section="B"))
    )
    bars = [finding.bar for finding in proofread(chart) if finding.bar is not None]
    assert bars == sorted(bars)


def test_an_unknown_rule_is_an_error() -> None:
    with pytest.raises(UnknownRuleError) as caught:
        proofread(GOOD, skip=["spelling"])
    assert str(caught.value).startswith("no rule called 'spelling': there are heading,")
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
    finding = found(EXAMPLES["accidental"].wrong, "accidental")[0]
    assert isinstance(finding, Finding)
    assert hash(finding) == hash(evolve(finding))


def test_a_head_that_goes_into_solos_needs_no_final_bar_line() -> None:
    open_end = with_signs(EXAMPLES["final-bar"].wrong, bar_4={"to_solos": True})
    assert not found(open_end, "final-bar")


def test_a_chart_without_bars() -> None:
    rules = [
        finding.rule for finding in proofread(LeadSheet(title="Nothing yet", bars=()))
    ]
    assert rules == ["heading", "no-melody", "no-chords"]


def _harmony(kind: str, degree: str) -> bytes:
    return f"""
<score-partwise version="4.0"><part-list><score-part id="P1"><part-name/></score-part>
</part-list><part id="P1"><measure number="1"><attributes><divisions>1</divisions>
<key><fifths>0</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time>
</attributes><harmony><root><root-step>G</root-step></root>{kind}{degree}</harmony>
<note><pitch><step>B</step><octave>4</octave></pitch><duration>4</duration>
<type>whole</type></note></measure></part></score-partwise>""".encode()


def test_degrees_print_beside_the_text_of_the_kind() -> None:
    """W3C, MusicXML 4.0, degree: printed unless ``print-object`` says no."""
    degree = (
        "<degree><degree-value>9</degree-value><degree-alter>-1</degree-alter>"
        "<degree-type>add</degree-type></degree>"
    )
    read = read_lead_sheet(_harmony('<kind text="7">dominant</kind>', degree))
    rules = {f.rule for f in proofread(read.sheet, reading=read.findings)}
    assert "chord-text" not in rules
    other = read_lead_sheet(_harmony('<kind text="m7">dominant</kind>', ""))
    rules = {f.rule for f in proofread(other.sheet, reading=other.findings)}
    assert "chord-text" in rules


def test_a_stack_of_symbols_is_one_remark() -> None:
    four = sheet(bar(1, chords=chords(("0", "Bb6"), ("0", "Gm7"), ("0", "Cm7"))))
    (finding,) = found(four, "stacked-chords")
    assert finding.message == "Bb6, Gm7 and Cm7 stand on one beat"
