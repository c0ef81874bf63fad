"""Folding charts that are written out.  The page that each form folds to is
common practice, no source; what its signs play is in the tests of form."""

from __future__ import annotations

import random
from collections.abc import Sequence
from fractions import Fraction
from functools import cache
from itertools import pairwise

import pytest
from attrs import evolve
from form_charts import bar, chart

from leadsheet_theory.chords import parse_chord, parse_symbol
from leadsheet_theory.leadsheet import FormSigns
from leadsheet_theory.leadsheet._fold_search import short_folds, written_bars
from leadsheet_theory.leadsheet.folding import (
    FoldAim,
    find_sections,
    fold,
    sound_of,
    unfold,
)
from leadsheet_theory.leadsheet.form import play_order
from leadsheet_theory.leadsheet.model import (
    Bar,
    Direction,
    Hit,
    Lyric,
    Note,
    PlacedChord,
    Rest,
)
from leadsheet_theory.pitch import Pitch

ONE, FOUR = Fraction(1), Fraction(4)


def written_out(text: str, *, lettered: bool = True) -> tuple[Bar, ...]:
    """Bars from words such as ``A:abcd``: a letter a bar, equal letters alike."""
    bars: list[Bar] = []
    for word in text.split():
        section, _, content = word.rpartition(":")
        for place, sound in enumerate(content):
            note = Note(
                onset=Fraction(0),
                duration=FOUR,
                pitches=(Pitch("C", 0, ord(sound) % 9),),
            )
            letter = section if lettered and place == 0 else ""
            bars.append(
                bar(len(bars) + 1, melody=(note,), form=FormSigns(section=letter))
            )
    return tuple(bars)


def shown(bars: Sequence[Bar], text: str) -> str:
    """The page of such a chart as a line of signs."""
    names = {ord(c) % 9: c for c in text if c.islower()}
    line = ""
    for written in bars:
        if written.form.ending_starts:
            line += f" [{','.join(map(str, written.form.ending))}:"
        if written.form.section:
            line += f" {written.form.section}="
        if written.form.repeat_start:
            line += " |:"
        note = written.melody[0]
        assert isinstance(note, Note)
        line += names[note.pitch.octave]
        if written.form.repeat_end:
            line += ":|" + (
                f"x{written.form.repeat_end}" if written.form.repeat_end > 2 else ""
            )
    return line.strip()


# Letters a to i, as a bar of each must differ from the others.
FORMS = [
    # AABA, second ending.
    (
        "A:aabbcd A:aabbce B:ffgghi A:aabbce",
        "A=aabbcd A=aabbce B=ffgghi A=aabbce",
        "A= |:aabbc [1:d:| [2:e B=ffgghi:| [3:e",
    ),
    # AABA with equal sections: clear, the repeat has no endings.
    (
        "A:abcd A:abcd B:efgh A:abcd",
        "A= |:abcd:| B=efgh A=abcd",
        "A= |:abcd:| B=efgh A=abcd",
    ),
    # ABAC: whole sections as endings.
    (
        "A:abcd B:efgh A:abcd C:ghef",
        "A= |:abcd [1: B=efgh:| [2: C=ghef",
        "A= |:abcd [1: B=efgh:| [2: C=ghef",
    ),
    # A blues, three times.
    ("A:aabacbad A:aabacbad A:aabacbad", "A= |:aabacbad:|x3", "A= |:aabacbad:|x3"),
    # Nothing comes back.
    ("A:abcd B:efgh", "A=abcd B=efgh", "A=abcd B=efgh"),
    # Three endings, the first and the third alike.
    (
        "A:abcdf A:abcdg A:abcdf B:hhhh",
        "A= |:abcdf [1: A=abcdg:| [2: B=hhhh",
        "A= |:abcd [1,3:f:| [2:g:| B=hhhh",
    ),
    # The close is longer the second time.
    (
        "A:abcdef A:abcdegh B:iiii",
        "A=abcdef A=abcdegh B=iiii",
        "A= |:abcde [1:f:| [2:g h B=iiii",
    ),
]


@pytest.mark.parametrize(("text", "clear", "short"), FORMS)
def test_forms(text: str, clear: str, short: str) -> None:
    bars = written_out(text)
    for aim, expected in (("sections clear", clear), ("page short", short)):
        folded = fold(bars, aim=aim)  # type: ignore[arg-type]
        assert shown(folded.bars, text) == expected.replace("g h B", "gh B")
        assert unfold(folded.bars) == bars
        assert not folded.remarks


def test_a_64_bar_form_is_found_without_letters() -> None:
    a, b = "abcdefghaabbccdd", "iihhggffeeddccbb"
    bars = written_out(a + a + b + a, lettered=False)
    assert [(s.name, s.start) for s in find_sections(bars)] == [
        ("A", 0),
        ("A", 16),
        ("B", 32),
        ("A", 48),
    ]
    assert shown(fold(bars).bars, a + b) == f"|:{a}:|{b}{a}"


def test_sections_of_any_length_are_found_by_their_repetition() -> None:
    a, b = "abcdefgabc", "hihiggg"
    bars = written_out(a + a + b + a, lettered=False)
    assert shown(fold(bars).bars, a + b) == f"|:{a}:|{b}{a}"


A, B, C, D = "abcdefgh", "iihhggff", "aabbccdd", "aabbccde"


@pytest.mark.parametrize(
    ("played", "page"),
    [
        # the same four bars many times are counted in eights, from the top
        ("abcd" * 6 + "aefghiee", "|:abcdabcd:|x3aefghiee"),
        # an ending is not taken again after another
        ((A + B + A + C) + (A + B + A + D), f"|:{A}{B}{A} [1:{C}:| [2:{D}"),
    ],
)
def test_repeats_that_nothing_marks_lie_as_players_count(
    played: str, page: str
) -> None:
    bars = written_out(played, lettered=False)
    assert shown(fold(bars).bars, page) == page


def test_sections_are_read_from_letters_double_bars_or_repetition() -> None:
    def names(bars: Sequence[Bar]) -> str:
        return " ".join(f"{s.name}{s.end - s.start}" for s in find_sections(bars))

    lettered = written_out("A:abcd B:efgh")
    assert names(lettered) == "A4 B4"
    doubled = [
        evolve(
            bar,
            form=evolve(
                bar.form,
                section="",
                barline="double" if bar.number % 4 == 0 else "regular",
            ),
        )
        for bar in written_out("A:abcd B:efgh A:abcd")
    ]
    assert names(doubled) == "A4 B4 A4"
    assert names(written_out("A:abcdabcefghiabcdabcd", lettered=False)) == "20"
    twelve = "aaaabbaacbad"
    assert names(written_out(twelve * 2, lettered=False)) == "A12 A12"
    assert names(()) == ""
    pickup = bar(0, length=ONE)
    assert names([pickup, *doubled]) == "A4 B4 A4"


@pytest.mark.parametrize(
    ("last", "names"), [("abciefgi", "A A B A"), ("abiiefgi", "A A B C")]
)
def test_a_section_with_other_turns_keeps_its_letter(last: str, names: str) -> None:
    """Three bars in four are shared (common practice, no source)."""
    bars = list(written_out(f"abcdefgh abcdefgh ijklmnop {last}", lettered=False))
    for end in (7, 15, 23):
        bars[end] = evolve(bars[end], form=FormSigns(barline="double"))
    assert " ".join(section.name for section in find_sections(bars)) == names


def test_no_repeat_is_played_more_than_four_times() -> None:
    page = fold(written_out("abcd " * 8, lettered=False), aim="sections clear").bars
    assert max(bar.form.repeat_end for bar in page) == 4
    assert len(play_order(page).indices) == 32
    assert len(page) == 8


def test_the_arranger_fixes_the_letters() -> None:
    # Heard as sixteen bars with a close of its own, or as four sections.
    text = "abcdefghabcdiigh"
    bars = written_out(text, lettered=False)
    one = fold(bars, letters={1: "A", 9: "A"}).bars
    assert shown(one, text) == "A=abcdefgh A=abcdiigh"
    four = fold(bars, letters={1: "A", 5: "B", 9: "A", 13: "C"}).bars
    assert shown(four, text) == "A= |:abcd [1: B=efgh:| [2: C=iigh"
    apart = fold(bars, letters={1: "A", 9: "C"}).bars
    assert shown(apart, text) == "A=abcdefgh C=abcdiigh"


def test_a_chart_with_signs_is_played_out_first() -> None:
    text = "A= |: 1-6 [1: 7-8 :|] [2: 9-10] B= 11-18"
    bars = chart(text)
    assert len(fold(bars, aim="page short").bars) <= len(bars)
    assert len(unfold(bars)) == 24


def test_endings_that_part_a_section_become_whole_ones() -> None:
    """Eight bars, and four that two endings of four complete: the sections are eight
    bars long, though nothing marks them."""
    text = "abcdefghaicbdeegfbbhai"
    bars = written_out(text[:16] + text[:12] + "iggb", lettered=False)
    folded = fold(bars, letter=True).bars
    assert shown(folded, text) == "A= |:abcdefgh [1: B=aicbdeeg:| [2: C=aicbiggb"
    assert len(folded) == 24
    assert [bar.number for bar in folded if bar.form.barline == "double"] == [8, 16]
    assert unfold(fold(bars).bars) == bars


def test_a_section_starts_after_a_repeat() -> None:
    """A repeat closes its section, as a double bar does (common practice, no
    source), so four bars that come twice after it are a section of their own."""
    bars = [
        evolve(b, chords=(PlacedChord(Fraction(0), parse_chord(root)),))
        for b, root in zip(chart("|: 1-4 :| 5-12"), "FGABCDEFCDEF", strict=True)
    ]
    bars[7] = evolve(bars[7], form=FormSigns(barline="double"))
    page = fold(bars).bars
    assert [bar.number for bar in page if bar.form.repeat_start] == [1, 5]
    assert [bar.number for bar in page if bar.form.repeat_end] == [4, 8]
    assert len(page) == 8


def test_a_short_page_of_a_chart_with_jumps_is_not_longer() -> None:
    bars = [
        evolve(b, chords=(PlacedChord(Fraction(0), parse_chord(root)),))
        for b, root in zip(
            chart("A= |: 1-4 :| B= 5-8 DC.Fine"), "FGABCDEF", strict=True
        )
    ]
    bars[3] = evolve(bars[3], form=evolve(bars[3].form, fine=True))
    folded = fold(bars, aim="page short").bars
    assert len(folded) <= len(bars)
    assert _sounds(unfold(folded)) == _sounds(unfold(bars))


def _sounds(bars: Sequence[Bar]) -> list[object]:
    return [sound_of(written) for written in bars]


def test_unfolding_keeps_pickups_and_one_final_barline() -> None:
    bars = chart("|: 0 1 2 :|")
    bars = (*bars[:2], evolve(bars[2], form=evolve(bars[2].form, barline="final")))
    out = unfold(bars)
    assert [b.number for b in out] == [0, 1, 2, 0, 3, 4]
    assert [b.form.barline for b in out][2::3] == ["double", "final"]


def test_words_of_a_later_pass_are_told() -> None:
    bars = list(written_out("A:abcd A:abcd"))
    bars[0] = evolve(bars[0], directions=(Direction(Fraction(0), "words", "Swing"),))
    bars[6] = evolve(bars[6], directions=(Direction(ONE, "words", "softer"),))
    folded = fold(bars)
    assert len(folded.bars) == 4
    assert folded.bars[0].directions == bars[0].directions
    assert [str(remark) for remark in folded.remarks] == [
        "bar 7, beat 2: 'softer' stands in a later pass only and is left out"
    ]


def test_equal_bars_are_equal_in_sound_chords_and_rhythm() -> None:
    def note(pitch: str, **fields: object) -> Note:
        return Note(
            onset=Fraction(0), duration=ONE, pitches=(Pitch.parse(pitch),), **fields
        )  # type: ignore[arg-type]

    chord = PlacedChord(Fraction(0), parse_chord("F#7"))
    model = bar(1, melody=(note("F#4"), Rest(ONE, Fraction(3))), chords=(chord,))
    alike = [
        evolve(
            model, number=7, form=evolve(model.form, barline="double", repeat_end=2)
        ),
        evolve(model, melody=(note("Gb4"), Rest(ONE, Fraction(3)))),
        evolve(model, chords=(PlacedChord(Fraction(0), parse_chord("Gb7")),)),
    ]
    assert {sound_of(other) for other in alike} == {sound_of(model)}
    unlike = [
        evolve(model, melody=(note("F#5"), Rest(ONE, Fraction(3)))),
        evolve(model, melody=(note("F#4", lyrics=(Lyric("la"),)),)),
        evolve(model, chords=(PlacedChord(ONE, parse_chord("F#7")),)),
        evolve(model, chords=(PlacedChord(Fraction(0), parse_chord("F#maj7")),)),
        evolve(model, chords=(PlacedChord(Fraction(0), parse_symbol("N.C.")),)),
        evolve(model, hits=(Hit(Fraction(0), ONE),)),
        evolve(model, directions=(Direction(Fraction(0), "dynamics", "mf"),)),
    ]
    assert sound_of(model) not in {sound_of(other) for other in unlike}


def test_other_equalities_can_be_asked_for() -> None:
    bars = written_out("A:abcd A:efgh")
    assert len(fold(bars, same=lambda bar: bar.length).bars) == 4


def _shortest(ids: tuple[int, ...]) -> int:
    """The fewest bars of any page, by trying every page."""

    @cache
    def rest(at: int) -> int:
        if at == len(ids):
            return 0
        fewest = 1 + rest(at + 1)
        for body in range(1, (len(ids) - at) // 2 + 1):
            shared = ids[at : at + body]
            end = at + body
            while ids[end : end + body] == shared:
                end += body
                fewest = min(fewest, body + rest(end))
            fewest = min(fewest, with_endings(body, (at,)))
        return fewest

    def with_endings(body: int, passes: tuple[int, ...]) -> int:
        fewest = len(ids)
        close = passes[-1] + body
        if len(passes) > 1:
            spans = pairwise(passes)
            endings = {ids[one + body : other] for one, other in spans}
            for end in range(close + 1, len(ids) + 1):
                bars = body + sum(map(len, endings | {ids[close:end]}))
                fewest = min(fewest, bars + rest(end))
        for there in range(close + 1, len(ids) - body + 1):
            if ids[there : there + body] == ids[passes[0] : passes[0] + body]:
                fewest = min(fewest, with_endings(body, (*passes, there)))
        return fewest

    return rest(0)


def test_no_page_is_shorter() -> None:
    draw = random.Random(20)
    for _ in range(300):
        length, sounds = draw.randint(1, 12), draw.choice((2, 2, 3, 4))
        ids = tuple(draw.randrange(sounds) for _ in range(length))
        folds = short_folds(ids, starts=None, shortest=1)
        assert written_bars(ids, folds) == _shortest(ids), ids


@pytest.mark.parametrize("aim", ["sections clear", "page short"])
def test_a_fold_is_read_without_a_problem(aim: FoldAim) -> None:
    for text, _, _ in FORMS:
        assert play_order(fold(written_out(text), aim=aim).bars).problems == ()
