"""The solo page.  That solo changes stand on the beats where the tune has pushes
is common practice, no source."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import get_args

import pytest
from attrs import evolve
from form_charts import bar, changes, chart, sheet

from leadsheet_theory.leadsheet import strong_beats as strong
from leadsheet_theory.leadsheet import unfold
from leadsheet_theory.leadsheet.model import Bar, Direction, Hit, Note, Rest
from leadsheet_theory.leadsheet.signs import NO_SIGNS
from leadsheet_theory.parts import (
    SoloChanges,
    SoloForm,
    plan_systems,
    solo_changes,
)
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
        # A chord on a beat stays there, be the beat weak.
        ("4/4", ["1 F, 4 Gm7", ""], None, []),
        ("4/4", ["1 F, 2 Gm7, 3 Am7, 4 Abm7", "1 Gm7"], None, []),
        # One that another follows before the beat is no push ...
        ("4/4", ["1 F, 2.5 F#dim7, 3 Gm7"], None, []),
        ("4/4", ["1 F, 4.5 Fmaj7", "1 Gm7"], None, []),
        # ... and one that is held over a weak beat moves onto that.
        (
            "4/4",
            ["1 F, 2.5 Gm7, 3.5 Am7, 4.5 C7", "1 F"],
            ["1 F, 3 Gm7, 4 Am7, 4.5 C7", "1 F"],
            [
                "bar 1, beat 2½: Gm7 moves to bar 1, beat 3 (pushed)",
                "bar 1, beat 3½: Am7 moves to bar 1, beat 4 (pushed)",
            ],
        ),
        # After a rest on beat 1 the chord is that of the bar.
        (
            "4/4",
            ["1 F", "1.5 Gm7"],
            ["1 F", "1 Gm7"],
            ["bar 2, beat 1½: Gm7 moves to bar 2, beat 1 (comes in late)"],
        ),
        # ... but one in the last third of the beat anticipates beat 2.
        (
            "6/8",
            ["1 F", "2 C7", ""],
            ["1 F", "2.5 C7", ""],
            ["bar 2, beat 3: C7 moves to bar 2, beat 4 (pushed)"],
        ),
        (
            "4/4",
            ["1 F, 1.5 Gm7"],
            ["1 F, 2 Gm7"],
            ["bar 1, beat 1½: Gm7 moves to bar 1, beat 2 (pushed)"],
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
        # In cut time players count quarters.
        ("C|", ["1 F, 4 Gm7", "3 C7"], None, []),
        (
            "C|",
            ["1 F, 4.5 Gm7", "3 C7"],
            ["1 F", "1 Gm7, 3 C7"],
            ["bar 1, beat 4½: Gm7 moves to bar 2, beat 1 (pushed)"],
        ),
    ],
)
def test_pushes(
    meter: str, written: list[str], page: list[str] | None, moves: list[str]
) -> None:
    found = solo(tune(*written, meter=meter), breaks="kept", repeated="kept")
    assert shown(found.bars) == (written if page is None else page)
    assert [str(move) for move in found.moves] == moves


def test_nothing_moves_where_pushes_are_kept() -> None:
    written = ["1 F, 4.5 Gm7", "3 C7"]
    found = solo(tune(*written), pushes="kept")
    assert shown(found.bars) == written
    assert not found.moves


def test_a_push_before_the_endings_moves_into_each_of_them() -> None:
    bars = tune("1 F, 4.5 Gm7", "3 C7", "3 F7", form="|: 1 [1: 2 :|] [2: 3]")
    found = solo(bars, form="as written")
    assert shown(found.bars) == ["1 F", "1 Gm7, 3 C7", "1 Gm7, 3 F7"]
    assert [str(move) for move in found.moves] == [
        "bar 1, beat 4½: Gm7 moves to bar 2, beat 1 (pushed)",
        "bar 1, beat 4½: Gm7 moves to bar 3, beat 1 (pushed)",
    ]


def test_a_push_before_a_repeat_sign_is_the_chord_at_its_start() -> None:
    bars = tune("1 F", "1 C7, 4.5 F", "1 Bb", form="|: 1 2 :| 3")
    assert shown(solo(bars, form="as written").bars) == ["1 F", "1 C7", "1 Bb"]


def test_a_push_at_the_end_leads_to_the_next_chorus() -> None:
    assert shown(solo(tune("1 F", "1 C7, 4.5 F")).bars) == ["1 F", "1 C7"]
    found = solo(tune("1 F", "1 C7, 4.5 Gb7"))
    assert shown(found.bars) == ["1 F", "1 C7, 4.5 Gb7"]
    assert [str(remark) for remark in found.remarks] == [
        "bar 2, beat 4½: Gb7 stays off the beat: another chord comes before the next "
        "one"
    ]


def test_a_push_into_a_bar_belongs_to_it_on_every_pass() -> None:
    # Bar 2 is reached from bar 1 and, the second time, from bar 3.
    bars = tune("1 F, 4.5 Bb", "3 C7", "1 Bb, 3 Gm7", form="1 |: 2 3 :|")
    found = solo(bars, form="as written")
    assert shown(found.bars) == ["1 F", "1 Bb, 3 C7", "1 Bb, 3 Gm7"]
    assert shown(solo(bars, form="written out").bars) == [
        "1 F",
        "1 Bb, 3 C7",
        "1 Bb, 3 Gm7",
        "1 Bb, 3 C7",
        "1 Bb, 3 Gm7",
    ]


def test_fewer_chords_on_request() -> None:
    bars = tune("1 F, 2 F#dim7, 3 Gm7, 4 C7", "1 F, 4 B7, 4.5 Bb7", "1 C7, 4 D7", "")
    assert shown(solo(bars, chords="a beat or longer").bars) == [
        "1 F, 2 F#dim7, 3 Gm7, 4 C7",
        "1 F, 4 Bb7",
        "1 C7, 4 D7",
        "",
    ]
    found = solo(bars, chords="strong beats")
    assert shown(found.bars) == ["1 F, 3 Gm7", "1 F", "1 C7", "1 D7"]
    assert [str(move) for move in found.moves] == [
        "bar 1, beat 2: F#dim7 is left out (quick chord)",
        "bar 1, beat 4: C7 is left out (quick chord)",
        "bar 2, beat 4: B7 is left out (quick chord)",
        "bar 2, beat 4½: Bb7 is left out (quick chord)",
        "bar 3, beat 4: D7 moves to bar 4, beat 1 (held over the strong beat)",
    ]


def test_a_break_is_played_through_and_a_silent_section_is_not() -> None:
    silent = tune("1 F", "1 N.C.", "1 Bb", "1 N.C.", "", form="A= 1-3 B= 4-5")
    found = solo(silent)
    assert shown(found.bars) == ["1 F", "", "1 Bb", "1 N.C.", ""]
    assert [str(move) for move in found.moves] == [
        "bar 2, beat 1: N.C. is left out (the break is played through)"
    ]
    assert shown(solo(silent, breaks="kept").bars)[1] == "1 N.C."


def test_repeated_chords() -> None:
    bars = tune("1 F", "1 F, 3 F", "1 F", "", form="A= 1-2 B= 3 |: 4 :|")
    asked = {"form": "as written"}
    assert shown(solo(bars, **asked).bars) == ["1 F", "", "1 F", "1 F"]
    assert shown(solo(bars, **asked, repeated="kept").bars)[1] == "1 F, 3 F"
    assert shown(solo(bars, **asked, restate_at_sections=False).bars) == [
        "1 F",
        "",
        "",
        "",
    ]


def test_sections_are_alike_whichever_writes_its_chord_again() -> None:
    """The second A goes on with the chord that the first one starts with."""
    first, bridge = ["1 F", "1 Gm7", "1 C7", "1 F"] * 2, ["1 Bb", "1 F"] * 4
    bars = tune(*first, "", *first[1:], *bridge, *first)
    page = solo(bars).bars
    assert [(bar.form.section, bar.number) for bar in page if bar.form.section] == [
        ("A", 1),
        ("B", 9),
        ("A", 17),
    ]
    assert shown(page[:2]) == ["1 F", "1 Gm7"]
    assert page[7].form.repeat_end == 2


def test_a_chord_is_not_restated_where_it_depends_on_the_pass() -> None:
    bars = tune("1 F", "3 C7", "1 Bb", form="1 |: 2 3 :|")
    assert shown(solo(bars, form="as written").bars)[1] == "3 C7"


def test_a_chord_pushed_into_the_pickup_opens_the_page() -> None:
    bars = tune("4.5 F", "3 C7", "1 Bb", form="0 |: 1-2 :|")
    bars[0] = evolve(bars[0], length=Fraction(3, 2), chords=changes("2 F"))
    found = solo(bars)
    assert [
        (bar.number, text)
        for bar, text in zip(found.bars, shown(found.bars), strict=True)
    ] == [
        (1, "1 F, 3 C7"),
        (2, "1 Bb"),
        (3, "1 F, 3 C7"),
        (4, "1 Bb"),
    ]
    assert [str(move) for move in found.moves] == [
        "bar 0, beat 4½: F moves to bar 1, beat 1 (pushed)"
    ]
    found = solo(tune("1 C7", "1 F", form="0 1"))
    assert [str(move) for move in found.moves] == [
        "bar 0, beat 4: C7 is left out (pickup left out)"
    ]


@pytest.mark.parametrize("form", get_args(SoloForm))
def test_a_letter_over_the_pickup_stands_over_the_first_bar(form: str) -> None:
    bars = tune("", *["1 F", "1 C7"] * 4, form="A= 0 |: 1-4 :| B= 5-8")
    letters = [bar.form.section for bar in solo(bars, form=form).bars]
    assert letters[0] == "A" and "B" in letters


def test_bars_before_the_letter_a_are_an_introduction() -> None:
    """A form begins with its letter A (common practice, no source)."""
    bars = tune("1 Gm7", "1 C7", *["1 F", "1 C7"] * 4, form="1-2 A= 3-6 B= 7-10")
    found = solo(bars)
    assert shown(found.bars)[0] == "1 F" and len(found.bars) == 8
    assert [each.message for each in found.remarks] == [
        "what stands before the letter A is not played in solos"
    ]
    assert shown(solo(bars, leave_out=()).bars)[0] == "1 Gm7"
    bars[2] = evolve(bars[2], form=evolve(bars[2].form, section="B"))
    assert shown(solo(bars).bars)[0] == "1 Gm7"


def leading_in(*numbers: int) -> list[Bar]:
    """Eight bars of chords after whole bars that lead in: a rest, then a note."""
    bars = tune("", *["1 F", "1 C7"] * 4, form="A= 1 |: 2-5 :| B= 6-9")
    if len(numbers) == 2:
        bars.insert(0, evolve(bars[0], number=1))
    note = Note(onset=Fraction(3), duration=Fraction(1), pitches=(Pitch.parse("C5"),))
    first = evolve(bars[0], melody=(Rest(Fraction(0), Fraction(3)), note))
    leading = [first, evolve(first, form=NO_SIGNS)][: len(numbers)]
    rest = bars[len(numbers) :]
    return [
        evolve(bar, number=number)
        for number, bar in enumerate([*leading, *rest], start=1)
    ]


@pytest.mark.parametrize("numbers", [(1,), (1, 2)])
@pytest.mark.parametrize("form", get_args(SoloForm))
def test_whole_bars_that_lead_in_are_not_played(
    numbers: tuple[int, ...], form: str
) -> None:
    """Common practice, no source."""
    found = solo(leading_in(*numbers), form=form)
    assert found.bars[0].form.section == "A"
    assert shown(found.bars)[0] == "1 F"
    assert len(found.bars) == (12 if form == "written out" else 8)
    which = "bar 1" if numbers == (1,) else "bars 1 and 2"
    assert f"what leads in ({which}) is not played in solos" in [
        remark.message for remark in found.remarks
    ]


def test_a_whole_bar_that_leads_in_joins_the_first_system() -> None:
    assert plan_systems(leading_in(1)).system_starts == (0, 5)
    assert plan_systems(leading_in(1, 2)).system_starts == (0, 2, 6)


def test_a_bar_that_a_sign_divides_is_one_whole_bar() -> None:
    """Beat 1 before the repeat sign, beats 2 to 4 after it: a chord on the second of
    these stands on beat 3, where it is felt."""
    bars = tune("1 F", "1 C7", "2 Gm7, 3.5 C7", "", form="|: 1 2 :| 3 4")
    bars[1] = evolve(bars[1], length=Fraction(1))
    bars[2] = evolve(bars[2], length=Fraction(3))
    found = solo(bars, form="written out", restate_at_sections=False)
    assert shown(found.bars) == ["1 F", "1 C7", "1 F", "1 C7, 3 Gm7", "1 C7"]
    assert {bar.length for bar in found.bars} == {Fraction(4)}
    assert [str(move) for move in found.moves] == [
        "bar 3, beat 4½: C7 moves to bar 4, beat 1 (pushed)"
    ]


HELD = Note(
    onset=Fraction(0),
    duration=Fraction(3),
    pitches=(Pitch.parse("F4"),),
    tied_from_previous=True,
)
REST = Rest(Fraction(3), Fraction(1))


@pytest.mark.parametrize(
    ("form", "last", "chord", "left_out"),
    [
        ("1-17", (HELD, REST), "", True),
        ("|: 1-11 [1: 12 :|] [2: 13-14", (HELD, REST), "", True),
        # a new chord, a note struck, a form of fours with it: all is played
        ("1-17", (HELD, REST), "1 F", False),
        ("1-17", (evolve(HELD, tied_from_previous=False), REST), "", False),
        ("1-17", (evolve(REST, onset=Fraction(0), shown="slashes"),), "", False),
        ("1-16", (HELD, REST), "", False),
        ("|: 1-10 [1: 11-12 :|] [2: 13-14", (HELD, REST), "", False),
    ],
)
def test_a_last_bar_that_holds_the_last_note_is_not_played(
    form: str, last: tuple[Note | Rest, ...], chord: str, left_out: bool
) -> None:
    """Common practice, no source."""
    bars = tune(*["1 F, 3 C7"] * (len(chart(form)) - 1), chord, form=form)
    bars[-1] = evolve(bars[-1], melody=last)
    found = solo(bars, form="written out")
    played = len(unfold(bars))
    assert len(found.bars) == (played - 1 if left_out else played)
    told = "the last bar, which holds the last note, is not played in solos"
    assert (told in [remark.message for remark in found.remarks]) == left_out


def test_what_a_solo_page_keeps() -> None:
    note = Note(onset=Fraction(0), duration=Fraction(4), pitches=(Pitch.parse("A4"),))
    pedal = Direction(Fraction(0), "words", "F pedal")
    swing = Direction(Fraction(0), "words", "Swing")
    (first, last) = tune("1 F", "1 C7", form="A= 1 B= 2")
    first = evolve(
        first,
        melody=(note,),
        hits=(Hit(Fraction(0), Fraction(1)),),
        directions=(pedal, swing),
    )
    found = solo([first, evolve(last, form=evolve(last.form, barline="final"))]).bars
    assert found[0].melody == found[0].hits == ()
    assert found[0].directions == (pedal,)
    assert [(bar.form.section, bar.form.barline) for bar in found] == [
        ("A", "double"),
        ("B", "double"),
    ]


def test_changes_in_brackets_belong_to_the_head() -> None:
    words = Direction(Fraction(0), "words", "(Abm7)")
    (only,) = tune("1 F")
    found = solo([evolve(only, directions=(words,))])
    assert found.bars[0].directions == ()
    assert [str(remark) for remark in found.remarks] == [
        "bar 1, beat 1: other changes are not on the solo page: (Abm7)"
    ]


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
        ("sections clear", "A 8 A 8 B 8 A 8"),
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


@pytest.mark.parametrize(
    "form",
    [
        "|: 1-6 [1: 7-8 :|] [2: 9-10] 11-18 19-26",
        "|: 1-6 [1: 7] 8 :| [2: 9] 10 11-18 19-26",  # brackets over one bar alone
        # the coda closes the last section
        "|: 1-6 ToCoda [1: 7-8 :|] [2: 9-10] 11-18 DC.Coda Coda 19-20",
        "|: 1-6 ToCoda [1: 7] 8 :| [2: 9] 10 11-18 DC.Coda Coda 19-20",
    ],
)
def test_sections_are_whole_without_letters(form: str) -> None:
    chords = AABA[:18] + (AABA[-2:] if "Coda" in form else AABA[-8:])
    assert signs(solo(tune(*chords, form=form)).bars) in (
        "A 8 A 8 B 8 A 8",
        "A |: 8 [1] B 8 :| [2] A 8",
    )


def test_a_double_bar_at_to_coda_is_no_section() -> None:
    tail = ["1 Bbm7", "1 Eb7", "1 Ab", "1 D7", "1 G7", "1 Db7", "1 Eb7"]
    bars = tune(*AABA[:8], *tail, *AABA[4:6], form="1-6 ToCoda 7-15 DC.Coda Coda 16-17")
    for barline in ("regular", "double"):
        closed = evolve(bars[5].form, barline=barline)
        bars[5] = evolve(bars[5], form=closed)
        assert "6" not in signs(solo(bars).bars).split()


def test_what_no_solo_is_played_over_is_left_out_and_told() -> None:
    form = "Intro= 1-2 A= Segno 3 ToCoda 4 DS.Coda Tag= Coda 5"
    bars = tune("1 F", "1 C7", "1 F", "1 Bb", "1 F", form=form)
    found = solo(bars)
    assert shown(found.bars) == ["1 F", "1 Bb"]
    assert [str(remark) for remark in found.remarks] == [
        "Intro is not played in solos",
        "Tag is not played in solos",
    ]
    assert len(solo(bars, leave_out=()).bars) == 4
