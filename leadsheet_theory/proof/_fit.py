"""How well a note goes with its chord, its key and its neighbours.

The table of fits reads like a handbook's page of available tensions and avoid notes
(R. Hutchinson, *Music Theory for the 21st-Century Classroom*; *Open Music Theory*,
"Embellishing tones"); the figures are costs, 0 for a chord tone up to 3 for the third
that contradicts the chord's own.  They are ours (common practice, no source), set so
that what melodies do every day costs next to nothing.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from ..chords import Chord
from ..key import Key
from ..pitch import NoteName, Step
from ._view import View, degrees_of

__all__ = (
    "chord_cost",
    "family_of",
    "is_minor",
    "note_cost",
    "over_chord",
    "scale_of",
)

# semitones above the root:  0  b9   9   b3   3   11  #11  5  b13  13  b7   7
_FITS: Final = {
    "major":     (0, 3.0, 0.3, 3.0, 0.0, 1.2, 1.2, 0.0, 2.0, 0.2, 1.5, 0.3),
    "major 7":   (0, 3.0, 0.3, 3.0, 0.0, 1.3, 0.8, 0.0, 2.0, 0.2, 2.8, 0.0),
    "dominant":  (0, 0.6, 0.3, 2.6, 0.0, 0.9, 0.7, 0.0, 0.6, 0.3, 0.0, 2.6),
    "minor":     (0, 2.2, 0.3, 0.0, 3.0, 0.3, 2.2, 0.0, 1.0, 0.5, 0.2, 0.9),
    "half dim":  (0, 1.0, 0.5, 0.0, 2.8, 0.3, 0.0, 2.0, 0.3, 1.2, 0.0, 1.8),
    "dim":       (0, 1.0, 0.6, 0.0, 1.5, 0.5, 0.0, 1.2, 0.6, 0.0, 1.0, 0.5),
    "augmented": (0, 2.0, 0.3, 1.5, 0.0, 1.2, 0.4, 1.8, 0.0, 0.6, 0.5, 1.0),
    "suspended": (0, 1.0, 0.2, 1.0, 0.4, 0.2, 1.5, 0.0, 1.2, 0.3, 0.3, 1.2),
    "no third":  (0, 1.5, 0.3, 0.3, 0.3, 0.8, 1.2, 0.0, 1.2, 0.3, 0.3, 0.6),
}  # fmt: skip
"""Families of chords, and what each note above the root costs."""

#  semitones:     0    1     2    3    4     5     6    7     8    9   10   11   12
_LEAPS: Final = (0.0, 0.15, 0.1, 0.2, 0.25, 0.3, 1.2, 0.35, 0.8, 0.6, 1.0, 1.2, 0.5)
_BEYOND: Final = 2.5
"""What the step to the next note costs: thirds, fourths and fifths are sung easily, a
tritone or a seventh seldom (*Open Music Theory*, "Melodic writing")."""


_EASY: Final = 0.3
_EARLY: Final = 0.5
"""So much less costs a note that the next chord has, as an anticipation does."""
_BLUE: Final = 0.5
"""What a blue note costs over the chords I, IV and V: meant, more often than not
(Wikipedia, "Blue note")."""


@lru_cache(maxsize=4096)
def family_of(chord: Chord) -> str:
    """The row of the table that a chord belongs to."""
    tones = chord.quality.semitones
    third = 4 if 4 in tones else 3 if 3 in tones else 0
    if not third:
        return "suspended" if {2, 5} & tones else "no third"
    if third == 3:
        if 6 in tones and 7 not in tones:
            return "half dim" if 10 in tones else "dim"
        return "minor"
    if 8 in tones and 7 not in tones:
        return "augmented"
    if 10 in tones:
        return "dominant"
    return "major 7" if 11 in tones else "major"


def chord_cost(pitch_class: int, chord: Chord) -> float:
    """What a note costs over a chord."""
    root, tones = degrees_of(chord)
    above = (pitch_class - root) % 12
    return 0.0 if above in tones else _FITS[family_of(chord)][above]


@lru_cache(maxsize=256)
def scale_of(key: Key, *, minor: bool) -> frozenset[int]:
    """The pitch classes of a key; in minor with the raised sixth and seventh."""
    own = frozenset(int(name.pitch_class) for name in key.scale)
    if not minor:
        return own
    tonic = (key.signature + 3) * 7 % 12  # the sixth of the major key
    return own | {(tonic + 9) % 12, (tonic + 11) % 12}


def is_minor(view: View, key: Key) -> bool:
    """Whether a signature is used in minor: as the key says, or as the last chord and
    the dominant of the minor key say."""
    if key.mode in ("minor", "aeolian"):
        return True
    if key.mode not in ("major", "ionian"):
        return False
    tonic = (key.signature + 3) * 7 % 12
    symbols = [span.symbol for span in view.spans]
    chords = [symbol for symbol in symbols if isinstance(symbol, Chord)]
    if not chords:
        return False
    last = chords[-1]
    if last.root.pitch_class == tonic and family_of(last) == "minor":
        return True
    ends = sum(
        chord.root.pitch_class == tonic and family_of(chord) == "minor"
        for chord in chords
    )
    major = sum(
        chord.root.pitch_class == (tonic + 3) % 12 and family_of(chord) != "minor"
        for chord in chords
    )
    return ends > 2 * major


def leap_cost(semitones: int) -> float:
    """What it costs to go on by so many semitones."""
    size = abs(semitones)
    return _LEAPS[size] if size < len(_LEAPS) else _BEYOND


def over_chord(view: View, place: int, by: int, chord: Chord, *, minor: bool) -> float:
    """What a note of the melody, moved by so many semitones, costs over a chord: less
    if it is short or off the beat, or if the figure or the blues excuses it."""
    note = view.sung[place]
    midi = note.midi + by
    cost = chord_cost(midi % 12, chord)
    if not cost:
        return 0.0
    if not minor and _is_blue(view, place, by, chord):
        cost = min(cost, _BLUE)
    before, after = view.before(place), view.next_of(place)
    if note.length < 3 * view.grid and midi % 12 in view.next_sounds(place):
        cost *= _EARLY
    return (
        cost
        * _weight(view, place)
        * _ease(
            note.length / view.grid,
            step_in=before is not None and 0 < abs(before.midi - midi) <= 2,
            step_on=after is not None and 0 < abs(after.midi - midi) <= 2,
            prepared=before is not None and before.midi == midi,
        )
    )


def note_cost(view: View, place: int, by: int, *, minor: bool) -> float:
    """What a note of the melody costs in all, moved by so many semitones: over its
    chord, in its key, by its name and beside its neighbours."""
    note = view.sung[place]
    midi = note.midi + by
    before, after = view.before(place), view.next_of(place)
    key = view.bars[note.bar].key
    chord = view.chord_over(place)
    total = 0.0 if chord is None else over_chord(view, place, by, chord, minor=minor)
    pitch = note.note.pitch
    name = NoteName(pitch.step, pitch.alter + by)
    if midi % 12 not in scale_of(key, minor=minor):
        blue = chord is not None and not minor and _is_blue(view, place, by, chord)
        total += (_BLUE if blue else 1.0) * _chromatic(
            None if after is None else (after.midi - midi, after.note.pitch.step),
            None if before is None else (before.midi - midi, before.note.pitch.step),
            name,
            is_tone=(chord is not None and _belongs(midi % 12, chord))
            or midi % 12 in view.sounds_beside(place)
            or _belongs_next(view, place, midi % 12),
        )
    total += _spelling(name, key, chord, minor=minor)
    if before is not None:
        total += leap_cost(midi - before.midi)
    if after is not None:
        total += leap_cost(after.midi - midi)
    return total


def _belongs(pitch_class: int, chord: Chord) -> bool:
    """Whether a note is a tone or an easy tension of a chord, or the altered ninth,
    eleventh or thirteenth that a dominant takes."""
    if chord_cost(pitch_class, chord) <= _EASY:
        return True
    above = (pitch_class - chord.root.pitch_class) % 12
    return above in (1, 6, 8) and family_of(chord) == "dominant"


def _belongs_next(view: View, place: int, pitch_class: int) -> bool:
    """Whether a note just before a chord belongs to that."""
    symbol = view.next_symbol(place)
    return isinstance(symbol, Chord) and _belongs(pitch_class, symbol)


def _is_blue(view: View, place: int, by: int, chord: Chord) -> bool:
    """Whether a note is the lowered third, fifth or seventh of a major key over I, IV
    or V: a third over dominants only; and not against the same note unlowered just
    before it in the bar."""
    note = view.sung[place]
    key = view.bars[note.bar].key
    tonic = key.signature * 7 % 12
    degree = (note.midi + by - tonic) % 12
    if degree in (3, 6, 10) and view.is_bluesy:
        return True
    if degree not in (3, 6, 10) or (chord.root.pitch_class - tonic) % 12 not in (
        0,
        5,
        7,
    ):
        return False
    family = family_of(chord)
    if degree == 3 and family != "dominant":
        return False
    third = (chord.root.pitch_class + 4) % 12
    if (note.midi + by + 1) % 12 != third or family != "dominant":
        return True
    return not any(
        view.sung[at].bar == note.bar and view.sung[at].midi % 12 == third
        for at in range(max(0, place - 8), place)
    )


def _weight(view: View, place: int) -> float:
    """How much a note is heard: long ones and those on the beat more."""
    note = view.sung[place]
    quarters = note.length / view.grid
    if note.onset.denominator == 1:
        return min(1.5, 0.5 + 0.5 * quarters)
    return min(1.2, 0.3 + 0.5 * quarters)


def _ease(quarters: float, *, step_in: bool, step_on: bool, prepared: bool) -> float:
    """How far the figure excuses a note: suspension, appoggiatura, passing note."""
    ease = 1.0
    if step_on:
        ease = 0.9 if quarters >= 3 else 0.35 if step_in else 0.45
    if prepared:
        ease *= 0.6
    return ease


_Beside = tuple[int, Step] | None


def _chromatic(
    after: _Beside, before: _Beside, name: NoteName, *, is_tone: bool
) -> float:
    """What a note foreign to the key costs: little if it goes on by a semitone to the
    letter beside it, as a leading note does."""
    cost = 1.2
    if after is not None and abs(after[0]) == 1:
        cost *= 0.3 if after[1] != name.step else 0.5
    elif (
        before is not None
        and after is not None
        and abs(before[0]) <= 2
        and abs(after[0]) <= 2
        and before[0] * after[0] < 0
    ):
        cost *= 0.6  # a passing note in another scale
    elif before is not None and abs(before[0]) == 1:
        cost *= 0.6
    return cost * 0.3 if is_tone else cost


# places on the line of fifths from the major tonic: what a name costs there
_NAMES: Final = {-8: 1.0, -7: 1.0, -6: 0.3, 9: 0.2, 10: 0.4, 11: 0.9, 12: 0.9}
_FAR: Final = 1.4


def _spelling(name: NoteName, key: Key, chord: Chord | None, *, minor: bool) -> float:
    """What a name costs that is seldom written in a key, such as a flat tonic."""
    away = name.fifths - key.signature
    if -5 <= away <= 8 or (chord is not None and name in chord.notes):
        return 0.0
    if minor and away <= 10:
        return 0.0
    return _NAMES.get(away, _FAR)
