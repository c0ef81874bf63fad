"""Chord roots by what the chord does, in every key and in every book's part.

The rows state facts of the published sources that ``spelling.idioms`` lists; each is
moved through all keys and books, from charts that print it on either side.  A root
that would be odd in a key (E♯, B♯, C♭, F♭, a double accidental) has its plain name
there, and a pair goes over together.
"""

from __future__ import annotations

import csv
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from idiom_rows import broken, part_roots, passage, split_pair

from leadsheet_theory.chords import Chord, parse_chord, parse_symbol
from leadsheet_theory.chords.respell import written_chords
from leadsheet_theory.interval import Interval
from leadsheet_theory.key import Key
from leadsheet_theory.pitch import NoteName
from leadsheet_theory.spelling import ROOT_IDIOMS, ROOT_LINKS, written_key

TABLE = Path(__file__).resolve().parents[2] / "../shared/reference/chord_idioms.csv"
ABSENT = "the reference tables are not beside the project (../shared/reference)"

# key, passage, the names in question, the source by its short name
ROWS = (
    # half-diminished and diminished
    ("C major", "Cmaj7 [F#|Gb]m7(b5) Fm6 Em7", "F#m7b5", "Spitzer"),
    ("C major", "Cmaj7 [F#|Gb]m7(b5) B7 Em7", "F#m7b5", "simplifyingtheory.com"),
    ("C major", "Fmaj7 [F#|Gb]m7(b5) G7 C", "F#m7b5", "simplifyingtheory.com"),
    ("C minor", "Cm [F#|Gb]m7(b5) Fm7 Em7(b5)", "F#m7b5", "Spitzer, by analogy"),
    ("G major", "C [C#|Db]dim7 D7", "C#dim7", "Honshuku"),
    ("C major", "F [F#|Gb]dim7 C/G", "F#dim7", "Birch"),
    ("C major", "Em7 [D#|Eb]dim7 Dm7 G7", "Ebdim7", "Spitzer; Honshuku"),
    ("C major", "C [D#|Eb]dim7 Dm7 G7", "Ebdim7", "Honshuku"),
    ("C major", "C [D#|Eb]dim7 G7 C", "Ebdim7", "Counted 6 : 0"),
    ("C major", "C/E [D#|Eb]dim7 G7/D", "Ebdim7", "Counted 5 : 0"),
    ("C major", "Dm7 [D#|Eb]dim7 Em7", "D#dim7", "Honshuku"),
    ("C major", "C [C#|Db]dim7 Dm7 G7", "C#dim7", "Honshuku"),
    ("C major", "C [C#|Db]dim7 G7/D", "C#dim7", "Honshuku; Counted 6 : 0"),
    ("C major", "G7 [G#|Ab]dim7 Am7", "G#dim7", "Honshuku"),
    ("C major", "Am7 [G#|Ab]dim7 G7", "Abdim7", "Honshuku"),
    ("C minor", "Cm [B|Cb]dim7 Cm", "Bdim7", "Kelley"),
    ("A minor", "Am [C#|Db]dim7 Dm6", "C#dim7", "Kelley"),
    ("C minor", "Cm [F#|Gb]dim7 G7", "F#dim7", "Honshuku"),
    # substitutes
    ("C major", "Em7 [D#|Eb]7 Dm7 [C#|Db]7 Cmaj7", "Eb7 Db7", "Terefenko"),
    ("C major", "Dm7 [G#|Ab]7 G7", "Ab7", "Watkins"),
    ("C major", "C7 [F#|Gb]7 Fmaj7", "Gb7", "Watkins"),
    ("C major", "Cmaj7 [F#|Gb]7 B7 Em", "F#7", "Counted 20 : 4"),
    ("C minor", "Dm7(b5) [Db|C#]7 Cm", "Db7", "Watkins"),
    ("C major", "D7 [Db|C#]7 C7", "Db7", "Counted 71 : 2"),
    ("C major", "C [D#7 G#7 C#7|Eb7 Ab7 Db7] C", "Eb7 Ab7 Db7", "Lawn & Hellmer"),
    # pairs
    ("C major", "[G#m7 C#7|Abm7 Db7] Cmaj7", "Abm7 Db7", "Counted 667 : 1"),
    ("C major", "Em7 A7 [Ebm7 Ab7|D#m7 G#7] Dm7 G7", "Ebm7 Ab7", "Counted 667 : 1"),
    ("C major", "Em7 [Ebm7 Ab7|D#m7 G#7] Dm7 G7 Cmaj7", "Ebm7 Ab7", "no source"),
    ("C major", "[Ebm7 Ab7|D#m7 G#7] Dbmaj7", "Ebm7 Ab7", "Counted 667 : 1"),
    ("C major", "[Bbm7 Eb7|A#m7 D#7] Abmaj7", "Bbm7 Eb7", "Counted 667 : 1"),
    ("C major", "[F#m7(b5) B7|Gbm7(b5) Cb7] Em7", "F#m7b5 B7", "Counted 667 : 1"),
    ("A major", "[D#m7(b5) G#7|Ebm7(b5) Ab7] C#m7", "D#m7b5 G#7", "Counted 667 : 1"),
    ("F major", "[Bbm7 Eb7|A#m7 D#7] Fmaj7", "Bbm7 Eb7", "Coker"),
    ("C minor", "[Bbm7 Eb7|A#m7 D#7] Abmaj7", "Bbm7 Eb7", "Counted 667 : 1"),
    # borrowed chords, secondary dominants
    ("C major", "C [Ab|G#]maj7 G7", "Abmaj7", "Borrowed"),
    ("C major", "C [Eb|D#]maj7 F", "Ebmaj7", "Borrowed"),
    ("C major", "C [Bb|A#] F", "Bb", "Borrowed"),
    ("C major", "C [Db|C#]maj7 C", "Dbmaj7", "Neapolitan"),
    ("A minor", "Am [Bb|A#] E7 Am", "Bb", "Neapolitan"),
    ("C major", "Em7 [Eb|D#]m7 Dm7 G7", "Ebm7", "Counted 2 : 0"),
    ("E major", "E [C#7 F#7|Db7 Gb7] B7 E", "C#7 F#7", "Counted 111 : 0"),
)  # fmt: skip


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row[0]}, {row[1]}")
def test_idioms_hold_in_every_key_and_book(row: tuple[str, str, str, str]) -> None:
    key, context, right, source = row
    assert source
    assert list(broken(passage(key, context, [right]))) == []


def test_the_part_keeps_a_pair_low_whatever_the_chart_prints() -> None:
    """Common practice, no source: between a lone iii and a lone ii, too."""
    for printed in ("F#m7 B7", "Gbm7 Cb7"):
        source = f"Gm7 {printed} Fm7 Bb7 Ebmaj7"
        part = written_chords(
            [(Key.parse("Eb"), parse_chord(text)) for text in source.split()],
            Interval.parse("M2"),
        )
        assert " ".join(map(str, part.symbols)) == "Am7 Abm7 Db7 Gm7 C7 Fmaj7"


# ── No pair is ever split ────────────────────────────────────────────────────────

QUALITIES = ("m7", "m7b5", "m9", "7", "7b9", "13", "maj7", "", "dim7", "6")
ROOTS = tuple(map(NoteName.from_fifths, range(-6, 7)))
PAIRS = st.tuples(st.sampled_from(ROOTS), st.sampled_from(("m7", "m7b5", "m9"))).map(
    lambda pair: [
        parse_chord(f"{pair[0]}{pair[1]}"),
        parse_chord(f"{NoteName.from_fifths(pair[0].fifths - 1)}7"),
    ]
)
SINGLE = st.tuples(st.sampled_from(ROOTS), st.sampled_from(QUALITIES)).map(
    lambda one: [parse_chord(f"{one[0]}{one[1]}")]
)
KEYS = st.builds(
    Key.from_signature, st.integers(-6, 6), st.sampled_from(("major", "minor"))
)


@given(
    KEYS,
    st.lists(st.one_of(PAIRS, SINGLE), min_size=1, max_size=8),
    st.sampled_from(("P1", "M2", "M6", "P5")),
)
def test_no_pair_is_split(key: Key, blocks: list[list[Chord]], by: str) -> None:
    chords = [chord for block in blocks for chord in block]
    part = written_chords([(key, chord) for chord in chords], Interval.parse(by))
    new = [chord for chord in part.symbols if isinstance(chord, Chord)]
    for one, two in pairwise(new):
        assert not split_pair((one, one.root.fifths), (two, two.root.fifths)), new


@given(KEYS, st.lists(SINGLE, min_size=1, max_size=3), st.sampled_from(ROWS))
def test_the_same_chord_is_spelled_alike(
    key: Key, between: list[list[Chord]], row: tuple[str, str, str, str]
) -> None:
    """A passage that comes twice is spelled alike both times."""
    one = passage(row[0], row[1], [row[2]]).moved(key.signature)
    middle = [chord for block in between for chord in block]
    rest = parse_symbol("N.C.")
    twice = [*one.chords, rest, *middle, rest, *one.chords]
    part = written_chords([(one.key, chord) for chord in twice], Interval.parse("M2"))
    count = len(one.chords)
    assert part.symbols[:count][1:-1] == part.symbols[-count:][1:-1]


# ── The collected rows ───────────────────────────────────────────────────────────


def reference() -> list[dict[str, str]]:
    if not TABLE.exists():
        return []
    with TABLE.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def chord_rows() -> list[dict[str, str]]:
    """The rows that put chord roots in question."""
    return [
        row
        for row in reference()
        if "over " not in row["context"]
        and "melody" not in row["context"]
        and "/[" not in row["context"]
        and row["key"] != "any key"
        and ("[" in row["context"] or row["context"].startswith("turnaround"))
    ]


@pytest.mark.skipif(not reference(), reason=ABSENT)
def test_the_collected_rows_hold_in_every_key_and_book() -> None:
    wrong: list[str] = []
    rows = chord_rows()
    assert len(rows) > 200
    for row in rows:
        good = [row["right"], *filter(None, [row["also_accepted"]])]
        context = row["context"]
        if context.startswith("turnaround"):
            # the printed names of this key: those of other keys are another row's
            tonic, *names = row["right"].split()
            context = f"{tonic} [{' '.join(names)}|{' '.join(names)}] {tonic}"
            one = passage(row["key"], context, [each.split(" ", 1)[1] for each in good])
            found = part_roots(one, Interval.parse("P1"))
            if found not in one.good:
                wrong.append(f"{row['key']}, {row['context']}: {found}")
            continue
        one = passage(row["key"], context, good)
        assert one.asked and one.good, row
        wrong += broken(one)
    assert wrong == []


def test_the_tables_read_like_a_page() -> None:
    for row in (*ROOT_IDIOMS, *ROOT_LINKS):
        assert row.name and row.source
    rows = {(row.name, row.degrees, row.next_up) for row in ROOT_IDIOMS}
    assert len(rows) == len(ROOT_IDIOMS)


@pytest.mark.parametrize(
    ("up", "keys", "chords", "names"),
    [
        # the tonic or a chord of the new key has its own name there, whatever the
        # chord on the same sound before the change was called: common practice
        ("M2", "F# minor, Db major", "C#7alt Dbmaj7", "D#7alt Ebmaj7"),
        ("P5", "F# minor, Db major", "C#7alt Dbmaj7", "G#7alt Abmaj7"),
        ("M2", "G major, Db major", "F#7 Gbmaj7", "G#7 Abmaj7"),
        # a pair is one thought across the change
        ("M2", "Db major, D major", "Em7 A7", "F#m7 B7"),
    ],
)
def test_a_new_key_names_its_own_chords(
    up: str, keys: str, chords: str, names: str
) -> None:
    by = Interval.parse(up)
    source = [Key.parse(key) for key in keys.split(", ")]
    symbols = [parse_symbol(text) for text in chords.split()]
    written = written_chords(
        list(zip(source, symbols, strict=True)),
        by,
        keys=[written_key(key, by) for key in source],
    )
    assert [str(symbol) for symbol in written.symbols] == names.split()
