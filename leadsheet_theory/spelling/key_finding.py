"""The key of music of which nothing is known but its notes, and how sure that is.

The signature is told by how long and how often each of the twelve sounds is heard, by
the first note and the last; the weights are those of ``_weights``.  Which of its two
keys it is, major or minor, is told by the profile of Bellman (2005) and by whether the
piece ends on the tonic.

Source of the profile: H. Bellman, "About the Determination of Key of a Musical Excerpt"
(CMMR 2005), after the counts of H. Budge (1943); how it does beside the other
published ones, ``tests/benchmarks/key_accuracy.py`` prints.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, sqrt
from typing import Final

from attrs import frozen

from ..errors import EmptyMelodyError
from ..key import Key
from ._note_search import signature_scores

__all__ = ("HeardNote", "LikelyKey", "find_key", "likely_keys")


@frozen(order=False)
class HeardNote:
    """A note as it sounds, its name unknown.

    `midi` is its MIDI number; `onset` and `duration` are in quarter notes from the
    start of the piece; `bar` counts the bars from 0; notes of one `voice` follow
    one another.
    """

    midi: int
    onset: float
    duration: float
    bar: int = 0
    voice: int = 0


@frozen(order=False)
class LikelyKey:
    """A key that notes may be in: its tonic and mode, and its share of all that speaks
    for any key, from 0 to 1."""

    key: Key
    share: float

    def __str__(self) -> str:
        return f"{self.key} ({100 * self.share:.0f} %)"


# semitones above the tonic
_MAJOR: Final = (
    16.80, 0.86, 12.95, 1.41, 13.49, 11.93, 1.25, 20.28, 1.80, 8.04, 0.62, 10.57,
)  # fmt: skip
_MINOR: Final = (
    18.16, 0.69, 12.99, 13.34, 1.07, 11.15, 1.38, 21.07, 7.49, 1.53, 0.92, 10.21,
)  # fmt: skip
_PROFILE: Final = 50
"""What the whole correlation with a profile tells, in the weights' units (by hand)."""
_ENDS_ON_TONIC: Final = 40
"""What the last note tells if it is the tonic (by hand)."""
_NAT: Final = 21.3
"""So many units make one reading e times as likely as the other."""


def find_key(notes: Sequence[HeardNote], /) -> Key:
    """The likeliest key of a piece of which nothing is known but its notes.

    The signature has at most six signs.

    Raises:
        EmptyMelodyError: if there is no note.

    >>> tune = (69, 72, 76, 74, 72, 71, 68, 69)
    >>> str(find_key([HeardNote(n, i, 1) for i, n in enumerate(tune)]))
    'A minor'
    """
    return likely_keys(notes)[0].key


def likely_keys(notes: Sequence[HeardNote], /) -> tuple[LikelyKey, ...]:
    """The keys that a piece may be in, the likeliest first.

    The margin between the first two shares says how sure the first is.

    Raises:
        EmptyMelodyError: if there is no note.

    >>> tune = enumerate((69, 72, 76, 74, 72, 71, 68, 69))
    >>> first, second, *_ = likely_keys([HeardNote(n, i, 1) for i, n in tune])
    >>> print(first.key, "before", second.key, first.share - second.share > 0.5)
    A minor before C major True
    """
    if not notes:
        raise EmptyMelodyError("no notes, no key")
    durations = [0.0] * 12
    numbers = [0] * 12
    for note in notes:
        durations[7 * note.midi % 12] += note.duration
        numbers[7 * note.midi % 12] += 1
    first = min(notes, key=lambda note: (note.onset, note.midi))
    last = min(notes, key=lambda note: (-note.onset, note.midi))
    scores = signature_scores(
        durations, numbers, 7 * first.midi % 12, 7 * last.midi % 12
    )
    heard = durations if any(durations) else [float(number) for number in numbers]
    told: list[tuple[float, Key]] = []
    for signature, score in scores:
        major = Key.from_signature(signature, "major")
        for_major = _told(heard, major, _MAJOR, last)
        for_minor = _told(heard, major.relative, _MINOR, last)
        best = max(for_major, for_minor)
        told.append((score + for_major - best, major))
        told.append((score + for_minor - best, major.relative))
    told.sort(key=lambda each: -each[0])
    top = told[0][0]
    weights = [exp((score - top) / _NAT) for score, _ in told]
    total = sum(weights)
    return tuple(
        LikelyKey(key, weight / total)
        for (_, key), weight in zip(told, weights, strict=True)
    )


def _told(
    heard: Sequence[float], key: Key, profile: Sequence[float], last: HeardNote
) -> float:
    """What the sounds tell for a key's tonic and mode."""
    tonic = key.tonic.pitch_class
    sounds = [heard[7 * (tonic + step) % 12] for step in range(12)]
    ends = _ENDS_ON_TONIC if last.midi % 12 == tonic else 0
    return _PROFILE * _correlation(sounds, profile) + ends


def _correlation(one: Sequence[float], other: Sequence[float]) -> float:
    mean, mean_other = sum(one) / len(one), sum(other) / len(other)
    away = [each - mean for each in one]
    away_other = [each - mean_other for each in other]
    size = sqrt(sum(x * x for x in away) * sum(y * y for y in away_other))
    if not size:
        return 0.0
    return sum(x * y for x, y in zip(away, away_other, strict=True)) / size
