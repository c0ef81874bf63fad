"""What holds of every spelling."""

from __future__ import annotations

from hypothesis import assume, given
from hypothesis import strategies as st
from strategies import chords, intervals, keys, pitches

from leadsheet_theory.chords import Chord
from leadsheet_theory.chords.respell import written_chords
from leadsheet_theory.interval import Interval
from leadsheet_theory.key import Key
from leadsheet_theory.pitch import NoteName, Pitch
from leadsheet_theory.spelling import (
    NO_COURTESY,
    ChordColour,
    HeardChord,
    HeardNote,
    shown_accidentals,
    spell_chord_roots,
    spell_melody,
    spell_note,
    spell_notes,
    transpose_melody,
    written_interval,
    written_key,
)
from leadsheet_theory.spelling.chord_tones import own_names

FIFTH = Interval.parse("P5")
MELODIES = st.lists(st.integers(36, 96), min_size=1, max_size=40)
USUAL_KEYS = st.integers(-5, 5).map(Key.from_signature)
COLOURS: st.SearchStrategy[ChordColour] = st.sampled_from(
    ("major", "minor", "dominant", "half-diminished", "diminished")
)
HEARD_CHORDS = st.lists(
    st.builds(HeardChord, st.integers(0, 11), COLOURS), min_size=1, max_size=16
)
TAKES = st.lists(
    st.builds(
        lambda midi, quarter, voice: HeardNote(midi, quarter, 1, quarter // 4, voice),
        st.integers(36, 96),
        st.integers(0, 31),
        st.integers(0, 2),
    ),
    min_size=1,
    max_size=40,
)

# ── The sound never changes ──────────────────────────────────────────────────────


@given(MELODIES, keys())
def test_melodies_sound_as_before(midi: list[int], key: Key) -> None:
    assert [pitch.midi for pitch in spell_melody(midi, key=key)] == midi
    assert [spell_note(number, key=key).midi for number in midi] == midi


@given(TAKES)
def test_takes_sound_as_before(take: list[HeardNote]) -> None:
    found = spell_notes(take)
    assert [pitch.midi for pitch in found.pitches] == [note.midi for note in take]
    assert len(found.keys) == max(note.bar for note in take) + 1
    assert all(abs(key.signature) <= 6 for key in found.keys)


@given(HEARD_CHORDS, USUAL_KEYS)
def test_roots_sound_as_before(heard: list[HeardChord], key: Key) -> None:
    names = spell_chord_roots(heard, key=key)
    assert [name.pitch_class for name in names] == [chord.root for chord in heard]


@given(st.lists(chords(), max_size=12), USUAL_KEYS, intervals())
def test_parts_sound_as_their_chords(
    source: list[Chord], key: Key, by: Interval
) -> None:
    part = written_chords([(key, chord) for chord in source], by)
    for chord, written in zip(source, part.symbols, strict=True):
        assert isinstance(written, Chord)
        assert written.sounds_like(chord.transposed(by))
    assert {one.index for one in part.respelled} <= set(range(len(source)))


@given(st.lists(pitches(40, 90, alter=2), max_size=20), USUAL_KEYS, intervals())
def test_parts_sound_as_their_melody(
    melody: list[Pitch], key: Key, by: Interval
) -> None:
    moved = written_interval(by, key, written_key(key, by))
    part = transpose_melody(melody, moved)
    assert [p.midi - by.chromatic for p in part.pitches] == [p.midi for p in melody]
    for source, written in zip(melody, part.pitches, strict=True):
        assert abs(source.alter) > 1 or abs(written.alter) < 2


# ── Spelling twice is spelling once ──────────────────────────────────────────────


@given(MELODIES, USUAL_KEYS)
def test_melodies_are_settled(midi: list[int], key: Key) -> None:
    once = spell_melody(midi, key=key)
    assert spell_melody([pitch.midi for pitch in once], key=key) == once


@given(TAKES)
def test_takes_are_settled(take: list[HeardNote]) -> None:
    once = spell_notes(take)
    assert spell_notes(take, keys=once.keys) == once
    backward = spell_notes(take[::-1])
    assert sorted(map(str, backward.pitches)) == sorted(map(str, once.pitches))


@given(st.lists(chords(), max_size=12), USUAL_KEYS)
def test_charts_are_settled(source: list[Chord], key: Key) -> None:
    once = written_chords([(key, chord) for chord in source])
    twice = written_chords([(key, chord) for chord in once.symbols])
    assert twice.symbols == once.symbols


# ── A fifth higher, all names are a fifth higher ─────────────────────────────────


@given(MELODIES, st.integers(-4, 3))
def test_melodies_move_with_their_key(midi: list[int], signature: int) -> None:
    """Names with double signs among them: without, keys of many signs differ."""
    low = spell_melody(midi, key=Key.from_signature(signature), doubles="keep")
    raised = [number + 7 for number in midi]
    high_key = Key.from_signature(signature + 1)
    high = spell_melody(raised, key=high_key, doubles="keep")
    assert [pitch + FIFTH for pitch in low] == list(high)


@given(MELODIES, keys())
def test_no_double_signs_unless_asked(midi: list[int], key: Key) -> None:
    assert all(abs(pitch.alter) < 2 for pitch in spell_melody(midi, key=key))


@given(MELODIES, USUAL_KEYS, chords())
def test_a_chord_names_its_own_tones(midi: list[int], key: Key, chord: Chord) -> None:
    """But where it has no say, and for lower neighbours."""
    tones = chord.tones
    own = own_names(tuple(tone.fifths for tone in tones), key.signature)
    found = spell_melody(midi, key=key, chords=[tones] * len(midi))
    for at, pitch in enumerate(found):
        name = own[pitch.pitch_class]
        neighbours = {midi[max(0, at - 1)], midi[min(at + 1, len(midi) - 1)]}
        if name is not None and neighbours != {pitch.midi + 1}:
            assert pitch.fifths == name


@given(HEARD_CHORDS)
def test_roots_move_with_their_key(heard: list[HeardChord]) -> None:
    """From C major to G major, without A♯: elsewhere C♭ or E♯, which nobody writes
    as a root, would come into the window of one of the two keys."""
    assume(all(chord.root != 10 for chord in heard))
    low = spell_chord_roots(heard, key=Key.parse("C"))
    moved = [HeardChord((c.root + 7) % 12, c.colour) for c in heard]  # type: ignore[arg-type]
    high = spell_chord_roots(moved, key=Key.parse("G"))
    assert [name + FIFTH for name in low] == list(high)


# ── Rules of the trade ───────────────────────────────────────────────────────────


@given(HEARD_CHORDS, USUAL_KEYS)
def test_no_odd_roots_outside_the_key(heard: list[HeardChord], key: Key) -> None:
    for name in spell_chord_roots(heard, key=key):
        odd = str(name) in ("E#", "B#", "Cb", "Fb")
        assert not odd or key.is_diatonic(name)
        assert abs(name.alter) < 2


@given(MELODIES, USUAL_KEYS)
def test_repeated_notes_keep_their_name(midi: list[int], key: Key) -> None:
    doubled = [number for number in midi for _ in range(2)]
    found = spell_melody(doubled, key=key, bars=[n // 8 for n in range(len(doubled))])
    assert found[::2] == found[1::2]


@given(keys(), intervals())
def test_written_keys_have_few_signs(key: Key, by: Interval) -> None:
    written = written_key(key, by)
    assert abs(written.signature) <= 6
    assert written.mode == key.mode
    moved = written_interval(by, key, written)
    assert moved.chromatic == by.chromatic
    assert NoteName.from_fifths(key.tonic.fifths + moved.fifths) == written.tonic
    for six in ("sharps", "flats"):
        other = written_key(key, by, six_signs=six)  # type: ignore[arg-type]
        assert other == written or abs(other.signature) == 6


@given(
    st.lists(st.lists(pitches(55, 79, alter=1), max_size=6), min_size=1, max_size=4),
    USUAL_KEYS,
)
def test_the_signs_say_what_sounds(bars: list[list[Pitch]], key: Key) -> None:
    """Whoever reads the signs by the bar rule alone plays the right notes."""
    notes = [[(pitch, False) for pitch in bar] for bar in bars]
    for rules in (None, NO_COURTESY):
        signs = shown_accidentals(notes, [key] * len(bars), rules=rules)
        for bar, shown in zip(bars, signs, strict=True):
            in_force: dict[tuple[str, int], int] = {}
            for pitch, sign in zip(bar, shown, strict=True):
                place = (pitch.step, pitch.octave)
                if sign is not None:
                    in_force[place] = sign.alter
                read = in_force.get(place, key.alter_of(pitch.step))
                assert read == pitch.alter
                assert sign is None or sign.alter == pitch.alter
