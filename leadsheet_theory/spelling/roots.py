"""Which name a chord's root takes among its neighbours.

The search and its weights are in ``_root_search`` and ``_weights``.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, get_args

from attrs import frozen

from .._arguments import check_choice
from .._doors import door
from ..key import Key, keys_at
from ..pitch import NoteName, PitchClass
from ._root_search import best_roots, heard_roots
from .idioms import ChordColour

__all__ = (
    "HeardChord",
    "spell_chord_roots",
)

_COLOURS: Final[tuple[ChordColour, ...]] = get_args(ChordColour)


@frozen(order=False)
class HeardChord:
    """A chord as it sounds: its root, its colour and, if it is another, its bass."""

    root: PitchClass
    colour: ChordColour = "major"
    bass: PitchClass | None = None

    def __attrs_post_init__(self) -> None:
        check_choice("colour", self.colour, _COLOURS)


@door
def spell_chord_roots(
    chords: Sequence[HeardChord], /, *, key: Key | str | Sequence[Key | str]
) -> tuple[NoteName, ...]:
    """The names of the roots of a chord sequence, the whole sequence weighed at once.

    A chord in one of the :data:`~.idioms.ROOT_IDIOMS` is named by it, and neighbours
    of the :data:`~.idioms.ROOT_LINKS` stand on one side.  Where neither tells, the
    key, the root motion, the colour and the direction of the bass are weighed, and
    chords that are alike are named alike.  E♯, B♯, C♭ and F♭ are only used where the
    key has them.

    Args:
        chords: the chords in order.
        key: the key, or the key at each chord; a key may be given as its text.

    Raises:
        LengthMismatchError: if there are not as many keys as chords.

    >>> dim, minor = "diminished", "minor"
    >>> up = [HeardChord(0), HeardChord(1, dim), HeardChord(2, minor)]
    >>> down = [HeardChord(4, minor), HeardChord(3, dim), HeardChord(2, minor)]
    >>> " ".join(map(str, spell_chord_roots(up + down, key=Key.parse("C"))))
    'C C# D E Eb D'
    """
    keys = keys_at(key, len(chords))
    heard = heard_roots(
        [
            (
                chord.root % 12,
                chord.colour,
                (chord.root if chord.bass is None else chord.bass) % 12,
            )
            for chord in chords
        ],
        keys,
    )
    places = best_roots(heard, [each.signature for each in keys])
    return tuple(map(NoteName.from_fifths, places))
