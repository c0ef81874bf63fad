"""What is written in ABC and read back is the sheet, in all that ABC holds.

What it does not hold is told by the writer; the comparison leaves out, on both sides,
what no ABC says or says otherwise: on which of a tuplet's notes its bracket begins, the
value of a note whose duration says it, where dynamics stand, the numbers of slurs.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import chords, keys, meters, pitches, rough_sheets, written_sheets

from leadsheet_theory import LeadSheet, Note, read_lead_sheet
from leadsheet_theory.abc import parse_abc, read_abc, write_abc
from leadsheet_theory.leadsheet import (
    Bar,
    Direction,
    FormSigns,
    Hit,
    Jump,
    Lyric,
    Mark,
    PlacedChord,
    Rest,
    Tempo,
)
from leadsheet_theory.rhythm import NoteValue, Tuplet
from leadsheet_theory.rhythm.values import single_value

PROJECT = Path(__file__).resolve().parents[2]
SHEETS = PROJECT / "../shared/leadsheets"


def value_of(event: Note | Rest | Hit) -> object:
    value = event.value or single_value(event.duration, dots=3)
    if value is None or value.duration != event.duration:
        return None
    ratio = value.tuplet and (value.tuplet.actual, value.tuplet.normal)
    return value.name, value.dots, ratio


def event_of(event: Note | Rest, bar: Bar) -> object:
    common = (event.onset, event.duration, event.marks)
    if isinstance(event, Rest):
        return (*common, event.duration == bar.length or value_of(event))
    return (
        *common,
        event.pitches,
        event.tied_from_previous,
        event.tied_to_next,
        event.grace or value_of(event),
        [(e.text, e.syllabic, e.verse, e.extend != "") for e in event.lyrics if e.text],
        sorted(slur.end for slur in event.slurs if slur.kind == "slur"),
    )


def held(bar: Bar) -> dict[str, object]:
    """What ABC holds of a bar."""
    return {
        "bar-numbers": bar.number,
        "key": (bar.key, bar.meter, bar.length),
        "notes": [event_of(event, bar) for event in bar.melody],
        "counterline": [event_of(event, bar) for event in bar.counterline],
        "chords": bar.chords,
        "hits": [(h.onset, h.duration, value_of(h), h.marks, h.tied_to_next)
                 for h in bar.hits],
        "directions": sorted(
            (d.onset, d.kind, d.text, str(d.tempo), d.kind == "words" and d.above)
            for d in bar.directions
        ),
        "form": bar.form,
    }  # fmt: skip


# the aspects that a finding of the writer is about
ABOUT = {
    "words": {"notes", "directions"}, "ties": {"notes"}, "slurs": {"notes"},
    "marks": {"notes", "hits"}, "graces": {"notes"}, "endings": {"form"},
    "repeats": {"form"}, "bar-lines": {"form"}, "bar-numbers": {"bar-numbers"},
    "meter": {"key"}, "chords": {"chords", "directions"}, "tempo": {"directions"},
}  # fmt: skip


def differences(sheet: LeadSheet) -> Iterator[str]:
    """Where the sheet read back is another, and the writer has not said so."""
    written = write_abc(sheet)
    told = set[str]().union(*(ABOUT.get(f.rule, ()) for f in written.findings))
    (tune,) = parse_abc(written.text)
    again = tune.sheet
    for name in ("title", "subtitle", "composer", "lyricist", "arranger", "style",
                 "tempo", "rights"):  # fmt: skip
        if getattr(sheet, name) != getattr(again, name):
            yield f"{name}: {getattr(sheet, name)!r} / {getattr(again, name)!r}"
    if len(sheet.bars) != len(again.bars):
        yield f"{len(sheet.bars)} / {len(again.bars)} bars"
    for one, two in zip(sheet.bars, again.bars, strict=False):
        mine, read = held(one), held(two)
        for name in mine:
            if name not in told and mine[name] != read[name]:
                yield f"bar {one.number}, {name}: {mine[name]} / {read[name]}"


@pytest.mark.parametrize("chart", sorted((PROJECT / "shared/charts").glob("*.*")))
def test_the_demo_charts(chart: Path) -> None:
    read = read_abc(chart)[0] if chart.suffix == ".abc" else read_lead_sheet(chart)
    assert list(differences(read.sheet)) == []
    assert {f.severity for f in write_abc(read.sheet).findings} <= {"note"}


def test_real_lead_sheets() -> None:
    if not SHEETS.is_dir():
        pytest.skip("no ../shared/leadsheets on this machine")
    for path in sorted(SHEETS.glob("*.mxl"))[::6]:
        assert list(differences(read_lead_sheet(path).sheet)) == [], path.name


@settings(max_examples=30)
@given(written_sheets())
def test_generated_sheets(sheet: LeadSheet) -> None:
    assert list(differences(sheet)) == []


@settings(max_examples=30)
@given(rough_sheets())
def test_whatever_is_written_can_be_read(sheet: LeadSheet) -> None:
    written = write_abc(sheet)
    assert len(parse_abc(written.text)) == 1
    assert write_abc(sheet) == written


_EIGHTH = Fraction(1, 2)
_VALUES = (
    NoteValue("eighth"),
    NoteValue("quarter"),
    NoteValue("16th"),
    NoteValue("eighth", 1),
    NoteValue("half"),
    NoteValue("quarter", 2),
)
_TRIPLETS = tuple(
    NoteValue("eighth", tuplet=Tuplet(3, 2, starts=not at, ends=at == 2))
    for at in range(3)
)
_MARKS = st.sampled_from(("staccato", "accent", "tenuto", "fermata", "strong-accent"))


@st.composite
def lines(draw: st.DrawFn, length: Fraction) -> tuple[Note | Rest, ...]:
    """A line that fills a bar: any spelling, triplets, grace notes, marks."""
    events: list[Note | Rest] = []
    onset = Fraction(0)
    while onset < length:
        group = draw(st.sampled_from((*((value,) for value in _VALUES), _TRIPLETS)))
        if onset + sum(value.duration for value in group) > length:
            group = (None,)
        for value in group:
            duration = length - onset if value is None else value.duration
            pitch = (draw(pitches(45, 90)),)
            if draw(st.integers(0, 9)) == 0:
                events.append(
                    Note(
                        onset=onset,
                        duration=Fraction(0),
                        pitches=pitch,
                        grace=draw(st.sampled_from(("plain", "slashed"))),
                    )
                )
            if value is not None and draw(st.integers(0, 4)) == 0:
                events.append(Rest(onset=onset, duration=duration, value=value))
            else:
                marks = draw(st.lists(_MARKS.map(Mark), max_size=1))
                events.append(
                    Note(
                        onset=onset,
                        duration=duration,
                        pitches=pitch,
                        value=value,
                        marks=tuple(marks),
                    )
                )
            onset += duration
    return tuple(events)


@st.composite
def sheets(draw: st.DrawFn) -> LeadSheet:
    """Sheets with all that ABC holds: changes of key and metre, chords anywhere, words,
    repeats, endings, jumps, ties over the bar line, syllables, hits."""
    meter, key = draw(meters()), draw(keys())
    bars: list[Bar] = []
    count = draw(st.integers(2, 6))
    for index in range(count):
        if index and draw(st.integers(0, 3)) == 0:
            meter, key = draw(meters()), draw(keys())
        length = meter.bar_length
        onsets = st.integers(0, int(2 * length) - 1).map(lambda at: at * _EIGHTH)
        last = index == count - 1
        words = st.sampled_from(("softly", "Am", 'say "go"', "50% & more", "\\u00e9"))
        form = FormSigns(
            section=draw(st.sampled_from(("", "", "A", "B2", "Last Verse"))),
            repeat_start=index == 0 and draw(st.booleans()),
            repeat_end=draw(st.sampled_from((0, 2, 3))) if last else 0,
            segno=index == 0 and draw(st.booleans()),
            fine=index == 1 and draw(st.booleans()),
            barline="regular" if last else draw(st.sampled_from(("regular", "dashed"))),
            jump=draw(
                st.sampled_from(
                    (
                        None,
                        Jump("segno"),
                        Jump("capo", "fine"),
                        Jump("segno", "coda", with_repeats=True),
                    )
                )
            )
            if last
            else None,
        )
        bars.append(
            Bar(
                number=index + 1,
                key=key,
                meter=meter,
                length=length,
                melody=draw(lines(length)),
                chords=tuple(
                    PlacedChord(at, draw(chords()))
                    for at in sorted(draw(st.sets(onsets, max_size=3)))
                ),
                hits=draw(
                    st.sampled_from(
                        (
                            (),
                            (),
                            (
                                Hit(
                                    onset=Fraction(1, 2),
                                    duration=_EIGHTH,
                                    value=NoteValue("eighth"),
                                ),
                            ),
                        )
                    )
                ),
                directions=tuple(
                    Direction(
                        onset=at,
                        kind="words",
                        text=draw(words),
                        above=draw(st.booleans()),
                    )
                    for at in draw(st.lists(onsets, max_size=2))
                ),
                form=form,
            )
        )
    return LeadSheet(
        title=draw(st.sampled_from(("Slack Water", "Ä & ö", "50%", ""))),
        bars=tuple(_tied_and_sung(bars, draw)),
        composer=draw(st.sampled_from(("", "The Net Loft Seven, others"))),
        lyricist=draw(st.sampled_from(("", "A. Singer"))),
        style=draw(st.sampled_from(("", "Medium swing"))),
        tempo=draw(
            st.sampled_from((None, Tempo(NoteValue("quarter", 1), Fraction(185, 2))))
        ),
    )


def _tied_and_sung(bars: list[Bar], draw: st.DrawFn) -> Iterator[Bar]:
    """The bars with some notes tied to the next of the same pitch, and syllables."""
    syllables = draw(st.lists(st.text("abé-_*~| ", min_size=1, max_size=4)))
    joined = False
    tied = False
    for place, bar in enumerate(bars):
        line: list[Note | Rest] = []
        for at, event in enumerate(bar.melody):
            if isinstance(event, Note) and not event.grace:
                rest_of_line = [
                    *bar.melody[at + 1 :],
                    *(bars[place + 1].melody if place + 1 < len(bars) else ()),
                ]
                after = next(
                    (e for e in rest_of_line if not (isinstance(e, Note) and e.grace)),
                    None,
                )
                same = isinstance(after, Note) and any(
                    pitch.midi == event.pitch.midi for pitch in after.pitches
                )
                goes_on = same and draw(st.booleans())
                event = evolve(event, tied_from_previous=tied, tied_to_next=goes_on)
                tied = goes_on
                if syllables and (text := syllables.pop().strip()):
                    more = draw(st.booleans())
                    kinds = {
                        (False, False): "single",
                        (False, True): "begin",
                        (True, True): "middle",
                        (True, False): "end",
                    }
                    lyric = Lyric(text, kinds[joined, more])  # type: ignore[arg-type]
                    event = evolve(event, lyrics=(lyric,))
                    joined = more
            elif isinstance(event, Rest):
                tied = False
            line.append(event)
        yield evolve(bar, melody=tuple(line))


@settings(max_examples=50)
@given(sheets())
def test_generated_sheets_with_all_that_abc_holds(sheet: LeadSheet) -> None:
    assert list(differences(sheet)) == []
