"""Cues from the rhythm section's hits.  How cues are cut and labelled is common
practice, no source."""

from __future__ import annotations

from fractions import Fraction

import pytest
from attrs import evolve
from form_charts import bar, sheet

from leadsheet_theory.leadsheet.model import Bar, Hit, Mark, Note, Rest
from leadsheet_theory.musicxml import write_part
from leadsheet_theory.parts import (
    CueBar,
    Stretch,
    accented,
    cue_bars,
    make_parts,
    stretches,
)
from leadsheet_theory.pitch import Pitch
from leadsheet_theory.rhythm import NoteValue, Tuplet

G4 = Pitch.parse("G4")


def hits(text: str, meter: str = "4/4", melody: str = "") -> Bar:
    """A bar with hits, ``beat*length`` from beat 1 in quarters, ``+`` tied over;
    the melody likewise."""
    return bar(
        1,
        meter,
        hits=tuple(
            Hit(*span, tied_from_previous=before, tied_to_next=after)
            for span, before, after in map(_read, text.split())
        ),
        melody=tuple(
            Note(
                onset=span[0],
                duration=span[1],
                pitches=(G4,),
                tied_from_previous=before,
                tied_to_next=after,
            )
            for span, before, after in map(_read, melody.split())
        ),
    )


def _read(word: str) -> tuple[tuple[Fraction, Fraction], bool, bool]:
    beat, _, length = word.strip("+").partition("*")
    span = (Fraction(beat) - 1, Fraction(length or "1/2"))
    return span, word.startswith("+"), word.endswith("+")


def shown(cue: CueBar) -> str:
    """The rests and hits, each with its length in quarters."""
    at = Fraction(0)
    words = []
    for event in cue.events:
        assert event.onset == at
        at += event.duration
        kind = "rest" if isinstance(event, Rest) else "hit"
        words.append(f"{kind} {event.duration}")
    assert cue.end == at
    return ", ".join(words)


@pytest.mark.parametrize(
    ("chart", "cut", "cues"),
    [
        # A lone push: rests lead to it, nothing trails.
        (["2.5"], "bar", ["rest 3/2, hit 1/2"]),
        (["1*1 2.5*3/2"], "bar", ["hit 1, rest 1/2, hit 3/2"]),
        (["1"], "never", ["hit 1/2, rest 7/2"]),
        # A figure of two bars: cut after each bar's last hit, or after the figure's.
        (["1", "4.5"], "bar", ["hit 1/2", "rest 7/2, hit 1/2"]),
        (["1", "2.5"], "figure", ["hit 1/2, rest 7/2", "rest 3/2, hit 1/2"]),
        (["1", "2.5"], "never", ["hit 1/2, rest 7/2", "rest 3/2, hit 1/2, rest 2"]),
        # A gap: time goes on.
        (["1", "", "1"], "figure", ["hit 1/2", "", "hit 1/2"]),
        (["", ""], "bar", ["", ""]),
        ([], "bar", []),
        # Held over the barline.
        (["4.5+", "+1*1"], "bar", ["rest 7/2, hit 1/2", "hit 1"]),
    ],
)
def test_cues(chart: list[str], cut: str, cues: list[str]) -> None:
    found = cue_bars([hits(text) for text in chart], cut=cut)  # type: ignore[arg-type]
    assert [shown(cue) for cue in found] == cues


def test_stretches() -> None:
    chart = [hits(text) for text in ("1", "1", "", "", "2", "")]
    assert stretches(chart) == (Stretch(0, 2), Stretch(4, 5))
    assert stretches(chart[:1]) == (Stretch(0, 1),)


@pytest.mark.parametrize("label", ["", "hits", "with bass"])
def test_a_label_stands_where_a_stretch_starts(label: str) -> None:
    chart = [hits(text) for text in ("1", "1", "", "2")]
    found = cue_bars(chart, label=label)
    assert [cue.label for cue in found] == [label, "", "", label]


@pytest.mark.parametrize(
    ("chart", "cues", "accents"),
    [
        # Every hit with the melody: accents on its notes.
        ([("1*1 2.5", "1*1 2.5*1")], [""], [(0, "3/2")]),
        # One hit on its own: the whole bar is cued, as its rhythm is one figure.
        ([("1*1 2.5", "1*3")], ["hit 1, rest 1/2, hit 1/2"], [()]),
        # A melody note that is only held is no attack.
        ([("1*1", "+1*2")], ["hit 1"], [()]),
        # A hit held over a barline follows its attack.
        ([("4.5+", "4.5+"), ("+1*1", "+1*2")], ["", ""], [("7/2",), ()]),
        ([("4.5+", "3*2"), ("+1*1", "1*2")], ["rest 7/2, hit 1/2", "hit 1"], [(), ()]),
        (
            [("1*1", "2*1"), ("+1*1 3*1", "1*2 3*1")],
            ["hit 1", "hit 1, rest 1, hit 1"],
            [(), ()],
        ),
        # Bars that a tie joins go together, however many.
        (
            [("4.5+", "4.5+"), ("+1*1 4.5+", "+1*3 4.5+"), ("+1*1 3*1", "+1*4")],
            ["rest 7/2, hit 1/2", "hit 1, rest 5/2, hit 1/2", "hit 1, rest 1, hit 1"],
            [(), (), ()],
        ),
        # A hit that is tied inside the bar is one hit.
        ([("2.5+ +3*1", "2.5*2")], [""], [("3/2",)]),
    ],
)
def test_accents_in_place_of_cues(
    chart: list[tuple[str, str]], cues: list[str], accents: list[tuple[str, ...]]
) -> None:
    bars = [hits(text, melody=melody) for text, melody in chart]
    found = cue_bars(bars, coinciding="accent", cut="bar")
    assert [shown(cue) for cue in found] == cues
    assert [cue.accents for cue in found] == [
        tuple(map(Fraction, onsets)) for onsets in accents
    ]
    assert not any(cue.accents for cue in cue_bars(bars))


def test_the_label_moves_on_to_the_first_cue_that_is_printed() -> None:
    bars = [hits("1*1", melody="1*4"), hits("2*1", melody="1*4")]
    found = cue_bars(bars, coinciding="accent", label="hits")
    assert [cue.label for cue in found] == ["", "hits"]


def test_hits_out_of_order_or_over_one_another_are_played_one_at_a_time() -> None:
    assert shown(cue_bars([hits("3*1 1*4")])[0]) == "hit 2, hit 1"
    assert shown(cue_bars([hits("1*1 1*2")])[0]) == "hit 2"


def test_accents_are_written_on_the_melody() -> None:
    bars = hits("1*1 3*1", melody="1*1 2*1 3*2")
    (cue,) = cue_bars([bars], coinciding="accent")
    marks = [event.marks for event in accented(bars, cue).melody]
    assert marks == [(Mark("accent"),), (), (Mark("accent"),)]
    # Once is enough, and without a cue to stand for the bar stays as it is.
    assert accented(accented(bars, cue), cue) == accented(bars, cue)
    assert accented(bars, CueBar()) is bars


@pytest.mark.parametrize(
    ("start", "cut", "cues"),
    [
        ("bar line", "figure", ["rest 1, hit 1/2, rest 5/2", "rest 2, hit 1/2"]),
        ("first hit", "figure", ["hit 1/2, rest 5/2", "rest 2, hit 1/2"]),
        ("first hit", "bar", ["hit 1/2", "hit 1/2"]),
        ("first hit", "never", ["hit 1/2, rest 5/2", "rest 2, hit 1/2, rest 3/2"]),
    ],
)
def test_a_cue_begins_at_the_bar_line_or_with_its_first_hit(
    start: str, cut: str, cues: list[str]
) -> None:
    chart = [hits("2"), hits("3")]
    found = cue_bars(chart, start=start, cut=cut)  # type: ignore[arg-type]
    told = [
        ", ".join(
            f"{'rest' if isinstance(event, Rest) else 'hit'} {event.duration}"
            for event in cue.events
        )
        for cue in found
    ]
    assert told == cues


def test_a_hit_that_is_held_over_the_bar_line_is_split_and_tied() -> None:
    chart = [hits("4.5*2"), hits("4*1")]
    first, second = cue_bars(chart)
    assert shown(first) == "rest 7/2, hit 1/2"
    assert shown(second) == "hit 3/2, rest 3/2, hit 1"
    pushed, held = first.events[-1], second.events[0]
    assert isinstance(pushed, Hit) and pushed.tied_to_next
    assert isinstance(held, Hit) and held.tied_from_previous and not held.tied_to_next
    # At the end of the tune there is no bar to go on in.
    (last,) = cue_bars(chart[:1])
    assert shown(last) == "rest 7/2, hit 1/2"


def numbered(*texts: str) -> list[Bar]:
    return [evolve(hits(text), number=n) for n, text in enumerate(texts, 1)]


def test_only_some_bars_are_cued_and_no_tie_leads_out_of_them() -> None:
    chart = numbered("4.5+", "+1*1 4.5+", "+1*1")
    found = cue_bars(chart, only=(2,))
    assert [shown(cue) for cue in found] == ["", "hit 1, rest 5/2, hit 1/2", ""]
    ties = [
        (hit.tied_from_previous, hit.tied_to_next)
        for hit in found[1].events
        if isinstance(hit, Hit)
    ]
    assert ties == [(False, False), (False, False)]


def test_single_stretches_have_labels_of_their_own() -> None:
    chart = numbered("1", "1", "", "2", "", "3")
    found = cue_bars(chart, label="hits", labels={2: "horns", 6: ""})
    assert [cue.label for cue in found] == ["horns", "", "", "hits", "", ""]


def test_hits_in_triplets_have_their_figure() -> None:
    """Also where the source says only the ratio of their values, or none."""
    written = hits("2*1/3 7/3*1/3 8/3*1/3")
    valued = tuple(
        evolve(hit, value=NoteValue("eighth", tuplet=Tuplet(3, 2)))
        for hit in written.hits
    )
    for bars in (written, evolve(written, hits=valued)):
        for part in make_parts(sheet([bars]), books=["C", "Rhythm", "drum set"]):
            xml = write_part(part).decode()
            assert xml.count('<tuplet type="start"') == 1
            assert xml.count('<tuplet type="stop"') == 1
