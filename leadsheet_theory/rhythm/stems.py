"""Stems: which way they point.

One voice follows the middle-line rule: below the middle line up, above it down, on
it down; several notes under one beam follow the note farthest from the middle
line (*Open Music Theory*, stems; E. Gould, *Behind Bars*, pp. 14-15, as sampled: no
clear case is down; for beamed groups the theory syllabus of the Associated Board,
grade 3).  Where two voices share a staff, or a cue stands above the melody, the
upper one's stems all point up and the lower one's all down (for cues M. McGrain,
*Music Notation*, 1990).  Grace notes point up, in a lower voice down (common
practice, no source).

Staff positions count lines and spaces up from the bottom line: 0 is the bottom
line, 4 the middle line.  They are those of written pitches: transpose first.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from typing import Final, Literal, get_args

from .._arguments import check_choice
from .._doors import door

__all__ = ("MIDDLE_LINE", "StemDirection", "StemVoice", "stem", "stems")

StemDirection = Literal["up", "down", "none"]
"""A stem's direction, as MusicXML 4.0 names it (``stem-value``)."""

StemVoice = Literal["only", "upper", "lower"]
"""Whether a voice has the staff to itself, or shares it as the upper or the lower."""

_VOICES: Final = get_args(StemVoice)

MIDDLE_LINE: Final = 4
"""The staff position of the middle line."""


def stem(
    positions: Iterable[int],
    /,
    *,
    middle: int = MIDDLE_LINE,
    voice: StemVoice = "only",
) -> StemDirection:
    """The stem of a note, a chord, or a beamed group with notes at these positions.

    Any count of diatonic steps will do for `positions` if `middle` is the
    middle line's in the same count.

    >>> stem([3]), stem([4]), stem([3, 8]), stem([0, 8])
    ('up', 'down', 'down', 'down')
    >>> stem([3], voice="lower")
    'down'
    """
    if voice != "only":
        check_choice("voice", voice, _VOICES)
        return "up" if voice == "upper" else "down"
    lowest = highest = middle
    for position in positions:
        if position < lowest:
            lowest = position
        elif position > highest:
            highest = position
    return "up" if middle - lowest > highest - middle else "down"


@door
def stems(
    positions: Sequence[Sequence[int]],
    groups: Iterable[Sequence[int]] = (),
    /,
    *,
    middle: int = MIDDLE_LINE,
    voice: StemVoice = "only",
    graces: Collection[int] = (),
) -> tuple[StemDirection | None, ...]:
    """The stems of a bar, one for each event; None for a rest.

    `positions` holds the staff positions of each event's notes, ``()`` for a rest;
    `groups` the indices under each beam (:func:`.beam_groups`), and each
    group takes one direction; `graces` the indices of grace notes.

    >>> stems([[0], [], [3], [8]], [(2, 3)])
    ('up', None, 'down', 'down')
    """
    if voice == "only":
        side: StemDirection = "up"  # of grace notes
        found = directions(doubled_centres(positions, groups), middle)
    else:
        side = stem((), voice=voice)
        found = [side if notes else None for notes in positions]
    for place in graces:
        found[place] = side
    return tuple(found)


def doubled_centres(
    positions: Sequence[Sequence[int]], groups: Iterable[Sequence[int]]
) -> list[int | None]:
    """Twice the place half-way between the lowest and the highest note of each event,
    or of the whole beam that it stands under; None for a rest."""
    found: list[int | None] = [
        min(notes) + max(notes) if notes else None for notes in positions
    ]
    for group in groups:
        together = [position for place in group for position in positions[place]]
        if together:
            centre = min(together) + max(together)
            for place in group:
                if positions[place]:
                    found[place] = centre
    return found


def directions(
    centres: Iterable[int | None], middle: int
) -> list[StemDirection | None]:
    """The stems of one voice by its :func:`doubled_centres`: the note farthest from
    the middle line lies below it where the centre does."""
    twice = 2 * middle
    return [
        None if centre is None else "up" if centre < twice else "down"
        for centre in centres
    ]
