"""The solo page.  That solo changes stand on the beats where the tune has pushes
is common practice, no source."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import pytest
from attrs import evolve
from form_charts import bar, changes, chart, sheet

from leadsheet_theory.leadsheet.model import Bar, Direction, Hit, Note
from leadsheet_theory.parts import SoloChanges, solo_changes
from leadsheet_theory.parts import strong_beats as strong
from leadsheet_theory.pitch import Pitch
from leadsheet_theory.rhythm import Meter


def tune(*chords: str, meter: str = "4/4", form: str = "") -> list[Bar]:
    """Bars with chords by beat (quarters from 1), under the signs of `form`."""
    signs = chart(form) if form else [bar(n, meter) for n in range(1, len(chords) + 1)]
    return [
        evolve(written, chords=changes(text))
        for written, text in zip(signs, chords, strict=True)
    ]


def solo(bars: Sequence[Bar], **options: object) -> SoloChanges:
    return solo_changes(sheet(bars), **options)  # type: ignore[arg-type]


def shown(bars: Sequence[Bar]) -> list[str]:
    return [
        ", ".join(f"{float(c.onset + 1):g} {c.symbol}" for c in bar.chords)
        for bar in bars
    ]


@pytest.mark.parametrize(
    ("meter", "beats"),
    [
        ("4/4", "0 2"),
        ("C|", "0 2"),
        ("2/4", "0 1"),
        ("3/4", "0 1 2"),
        ("6/8", "0 3/2"),
        ("9/8", "0 3/2 3"),
        ("12/8", "0 3/2 3 9/2"),
        ("3+2/4", "0 1 2 3 4"),
        ("2+2+3/8", "0 1 2"),
        ("3+2+2/8", "0 3/2 5/2"),
    ],
)
def test_strong_beats(meter: str, beats: str) -> None:
    assert " ".join(map(str, strong(Meter.parse(meter)))) == beats


@pytest.mark.parametrize(
    ("meter", "written", "page", "moves"),
    [
        # The push before the bar and before the half bar.
        (
            "4/4",
            ["1 F, 4.5 Gm7", "3 C7"],
            ["1 F", "1 Gm7, 3 C7"],
            ["bar 1, beat 4½: Gm7 moves to bar 2, beat 1 (pushed)"],
        ),
        (
            "4/4",
            ["1 F, 2.5 Gm7"],
            ["1 F, 3 Gm7"],
            ["bar 1, beat 2½: Gm7 moves to bar 1, beat 3 (pushed)"],
        ),
        # Written again on the beat: one of the two.
        (
            "4/4",
            ["1 F, 4.5 Gm7", "1 Gm7"],
            ["1 F", "1 Gm7"],
            ["bar 1, beat 4½: Gm7 moves to bar 2, beat 1 (pushed)"],
        ),
        # On a weak beat and held over the strong one.
        (
            "4/4",
            ["1 F, 4 Gm7", ""],
            ["1 F", "1 Gm7"],
            ["bar 1, beat 4: Gm7 moves to bar 2, beat 1 (held over the strong beat)"],
        ),
        # Real changes on weak beats stay.
        ("4/4", ["1 F, 2 Gm7, 3 Am7, 4 Abm7", "1 Gm7"], None, []),
        # A quick chord off the beat stays if another follows before the beat ...
        ("4/4", ["1 F, 2.5 F#dim7, 3 Gm7"], None, []),
        # ... and moves onto a weak beat that it sounds into.
        (
            "4/4",
            ["1 F, 2.5 Gm7, 3.5 Am7, 4.5 C7", "1 F"],
            ["1 F, 3 Gm7, 4 Am7, 4.5 C7", "1 F"],
            [
                "bar 1, beat 2½: Gm7 moves to bar 1, beat 3 (pushed)",
                "bar 1, beat 3½: Am7 moves to bar 1, beat 4 (pushed)",
            ],
        ),
        # N.C. is a stop, not a push.
        ("4/4", ["1 F, 2 N.C."], None, []),
        # Other metres: onto the beat.
        (
            "3/4",
            ["1 F, 2.5 Gm7"],
            ["1 F, 3 Gm7"],
            ["bar 1, beat 2½: Gm7 moves to bar 1, beat 3 (pushed)"],
        ),
        (
            "6/8",
            ["1 F, 3.5 Gm7", "2 C7"],
            ["1 F", "1 Gm7, 2.5 C7"],
            [
                "bar 1, beat 6: Gm7 moves to bar 2, beat 1 (pushed)",
                "bar 2, beat 3: C7 moves to bar 2, beat 4 (pushed)",
            ],
        ),
        (
            "2+2+3/8",
            ["1 F, 2.5 Gm7"],
            ["1 F, 3 Gm7"],
            ["bar 1, beat 4: Gm7 moves to bar 1, beat 5 (pushed)"],
        ),
        (
            "C|",
            ["1 F, 4 Gm7", "3 C7"],
            ["1 F", "1 Gm7, 3 C7"],
            ["bar 1, beat 4: Gm7 moves to bar 2, beat 1 (pushed)"],
        ),
    ],
)
def test_pushes(
    meter: str, written: list[str], page: list[str] | None, moves: list[str]
) -> None:
    found = solo(tune(*written, meter=meter), quick_chords="kept")
    assert shown(found.bars) == (written if page is None else page)
    assert [str(move) for move in found.moves] == moves


def test_nothing_moves_where_pushes_are_kept() -> None:
    written = ["1 F, 4.5 Gm7", "3 C7"]
    found = solo(tune(*written), pushes="kept")
    assert shown(found.bars) == written
    assert not found.moves
    assert shown(solo(tune("1 F, 4 Gm7", ""), weak_beats="kept").bars) == [
        "1 F, 4 Gm7",
        "",
    ]


def test_a_push_before_the_endings_moves_into_each_of_them() -> None:
    bars = tune("1 F, 4.5 Gm7", "3 C7", "3 F7", form="|: 1 [1: 2 :|] [2: 3]")
    found = solo(bars)
    assert shown(found.bars) == ["1 F", "1 Gm7, 3 C7", "1 Gm7, 3 F7"]
    assert [str(move) for move in found.moves] == [
        "bar 1, beat 4½: Gm7 moves to bar 2, beat 1 (pushed)",
        "bar 1, beat 4½: Gm7 moves to bar 3, beat 1 (pushed)",
    ]


def test_a_push_before_a_repeat_sign_is_the_chord_at_its_start() -> None:
    bars = tune("1 F", "1 C7, 4.5 F", "1 Bb", form="|: 1 2 :| 3")
    assert shown(solo(bars).bars) == ["1 F", "1 C7", "1 Bb"]


def test_a_push_at_the_end_leads_to_the_next_chorus() -> None:
    assert shown(solo(tune("1 F", "1 C7, 4.5 F")).bars) == ["1 F", "1 C7"]
    found = solo(tune("1 F", "1 C7, 4.5 Gb7"), quick_chords="kept")
    assert shown(found.bars) == ["1 F", "1 C7, 4.5 Gb7"]
    assert [str(remark) for remark in found.remarks] == [
        "bar 2, beat 4½: Gb7 stays off the strong beats: another chord comes before "
        "it sounds into one"
    ]


def test_a_bar_that_is_also_reached_from_another_chord_takes_no_push() -> None:
    # Bar 2 has no chord of its own: F goes on there the first time.
    bars = tune("1 F", "3 C7", "1 Bb, 4.5 Gm7", form="1 |: 2 3 :|")
    found = solo(bars, restate_at_sections=False)
    assert shown(found.bars) == ["1 F", "3 C7", "1 Bb, 4.5 Gm7"]
    assert [str(remark) for remark in found.remarks] == [
        "bar 3, beat 4½: Gm7 stays off the strong beats: the bar that follows is "
        "reached from other chords too"
    ]


def test_two_chords_a_bar() -> None:
    bars = tune("1 F, 2 F#dim7, 3 Gm7, 4 C7", "1 F, 4.5 Bb7", "3 C7")
    found = solo(bars)
    assert shown(found.bars) == ["1 F, 3 Gm7", "1 F", "1 Bb7, 3 C7"]
    assert [str(move) for move in found.moves] == [
        "bar 1, beat 2: F#dim7 is left out (quick chord)",
        "bar 1, beat 4: C7 is left out (quick chord)",
        "bar 2, beat 4½: Bb7 moves to bar 3, beat 1 (pushed)",
    ]


def test_repeated_chords() -> None:
    bars = tune("1 F", "1 F, 3 F", "1 F", "", form="A= 1-2 B= 3 |: 4 :|")
    assert shown(solo(bars).bars) == ["1 F", "1 F, 3 F", "1 F", "1 F"]
    assert shown(solo(bars, restate_at_sections=False).bars)[3] == ""
    assert shown(solo(bars, repeated="left out").bars) == ["1 F", "", "1 F", "1 F"]
    assert shown(solo(bars, repeated="left out", restate_at_sections=False).bars) == [
        "1 F",
        "",
        "",
        "",
    ]


def test_a_chord_is_not_restated_where_it_depends_on_the_pass() -> None:
    bars = tune("1 F", "3 C7", "1 Bb", form="1 |: 2 3 :|")
    assert shown(solo(bars).bars)[1] == "3 C7"


def test_the_pickup_is_left_out() -> None:
    bars = tune("1 C7", "3 F", "1 Bb", form="0 1-2")
    found = solo(bars)
    assert [
        (bar.number, text)
        for bar, text in zip(found.bars, shown(found.bars), strict=True)
    ] == [
        (1, "1 C7, 3 F"),
        (2, "1 Bb"),
    ]
    assert [str(move) for move in found.moves] == [
        "bar 0, beat 4: C7 moves to bar 1, beat 1 (pickup left out)"
    ]
    found = solo(tune("1 C7", "1 F", form="0 1"))
    assert [str(move) for move in found.moves] == [
        "bar 0, beat 4: C7 is left out (pickup left out)"
    ]


def test_a_bar_that_a_repeat_divides_counts_on_after_it() -> None:
    """Beat 1 before the repeat sign, beats 2 to 4 after it: a chord on the second of
    these stands on beat 3, where it is felt."""
    bars = tune("1 F", "1 C7", "2 Gm7, 3.5 C7", "", form="|: 1 2 :| 3 4")
    bars[1] = evolve(bars[1], length=Fraction(1))
    bars[2] = evolve(bars[2], length=Fraction(3))
    found = solo(bars, restate_at_sections=False)
    assert shown(found.bars) == ["1 F", "1 C7", "2 Gm7", "1 C7"]
    assert [str(move) for move in found.moves] == [
        "bar 3, beat 4½: C7 moves to bar 4, beat 1 (pushed)"
    ]


def test_the_bar_that_lacks_the_pickup_is_whole_and_its_signs_go_on() -> None:
    pickup, first, last = tune("", "1 F", "1 C7", form="|: A= 0 1 2 :|")
    found = solo([pickup, first, evolve(last, length=Fraction(3))])
    assert [bar.length for bar in found.bars] == [4, 4]
    assert (found.bars[0].form.section, found.bars[0].form.repeat_start) == ("A", True)


def test_what_a_solo_page_keeps() -> None:
    note = Note(onset=Fraction(0), duration=Fraction(4), pitches=(Pitch.parse("A4"),))
    pedal = Direction(Fraction(0), "words", "F pedal")
    swing = Direction(Fraction(0), "words", "Swing")
    (first, last) = tune("1 F", "1 C7, 3 N.C.", form="A= 1 B= 2")
    first = evolve(
        first,
        melody=(note,),
        hits=(Hit(Fraction(0), Fraction(1)),),
        directions=(pedal, swing),
    )
    found = solo([first, evolve(last, form=evolve(last.form, barline="final"))]).bars
    assert found[0].melody == found[0].hits == ()
    assert found[0].directions == (pedal,)
    assert (found[0].form.section, found[0].form.barline) == ("A", "double")
    assert (found[1].form.section, found[1].form.barline) == ("B", "final")
    assert shown(found) == ["1 F", "1 C7, 3 N.C."]


FORM = "A= |: 1-6 [1: 7-8 :|] [2: 9-10] B= 11-18 A= 19-26"
AABA = [
    *("1 F", "1 Bb", "1 C7", "1 Dm7", "1 Gm7", "1 C7"),
    *("1 F", "1 C7"),
    *("1 F", "1 F7"),
    *("1 Bb", "1 Bm7b5", "1 F", "1 D7", "1 G7", "1 G7", "1 C7", "1 C+"),
    *("1 F", "1 Bb", "1 C7", "1 Dm7", "1 Gm7", "1 C7", "1 F", "1 F7"),
]


def signs(bars: Sequence[Bar]) -> str:
    """Section letters, repeats and endings in a line, with numbers of bars."""
    words: list[str] = []
    for written in bars:
        if written.form.ending_starts:
            words.append(f"[{','.join(map(str, written.form.ending))}]")
        if written.form.section:
            words.append(written.form.section)
        if written.form.repeat_start:
            words.append("|:")
        if words and words[-1].isdigit():
            words[-1] = str(int(words[-1]) + 1)
        else:
            words.append("1")
        if written.form.repeat_end:
            words.append(":|")
    return " ".join(words)


@pytest.mark.parametrize(
    ("form", "page"),
    [
        ("as written", "A |: 6 [1] 2 :| [2] 2 B 8 A 8"),
        ("written out", "A 8 A 8 B 8 A 8"),
        ("sections clear", "A |: 7 [1] 1 :| [2] 1 B 8 A 8"),
        ("page short", "A |: 7 [1] 1 :| [2] 1 B 8 :| [3] 1"),
    ],
)
def test_the_page_has_a_form_of_its_own(form: str, page: str) -> None:
    found = solo(tune(*AABA, form=FORM), form=form)
    assert signs(found.bars) == page


def test_whole_sections_become_endings() -> None:
    # The melody is written out, A B A C; on the solo page B and C are endings.
    a = ["1 F", "1 Bb", "1 C7", "1 Dm7", "1 Gm7", "1 C7", "1 F", "1 F7"]
    b = ["1 Bb", "1 Bbm", "1 F", "1 D7", "1 Gm7", "1 G7", "1 C7", "1 C+"]
    c = ["1 Bb", "1 Eb7", "1 F", "1 D7", "1 Gm7", "1 C7", "1 F", "1 C7"]
    bars = tune(*a, *b, *a, *c, form="A= 1-8 B= 9-16 A= 17-24 C= 25-32")
    found = solo(bars, form="sections clear")
    assert signs(found.bars) == "A |: 8 [1] B 8 :| [2] C 8"


def test_sections_can_be_left_out() -> None:
    form = "Intro= 1-2 A= Segno 3 ToCoda 4 DS.Coda Tag= Coda 5"
    bars = tune("1 F", "1 C7", "1 F", "1 Bb", "1 F", form=form)
    found = solo(bars, leave_out=("Intro", "Tag"))
    assert [bar.number for bar in found.bars] == [3, 4]
    assert not any(bar.form.jump or bar.form.to_coda for bar in found.bars)
