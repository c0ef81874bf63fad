"""The melody of a whole tune in one row, with what all parts take from it.

Parts lie an interval away from the source.  So a note of the key stays one, and beams
and chords keep their shape, but for the few notes that are respelled: both are found
once, at concert pitch.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate

from attrs import frozen

from ..pitch import Pitch
from ..rhythm.stems import doubled_centres
from ._rhythm import BarRhythm

__all__ = ("Melody", "melody_of", "positions_of")


@frozen(order=False, kw_only=True)
class Melody:
    """The melody of the whole tune in one row.

    `pitches` are the concert pitches; `different` those that occur, and `numbers` which
    of these each of them is.  `counts` holds how many pitches each event has, `groups`
    the indices of the events under each beam, `graces` those of grace notes.  The
    pitches and the events of bar `n` start at `pitch_starts[n]` and `event_starts[n]`;
    one more entry stands at the end.  `centres` tell which way stems go
    (:func:`~.rhythm.stems.doubled_centres`); `altered` are the bars that have a note
    which is none of the key, and `doubled` those with a counterline beside it.
    """

    pitches: tuple[Pitch, ...]
    different: tuple[Pitch, ...]
    numbers: tuple[int, ...]
    counts: tuple[int, ...]
    groups: tuple[tuple[int, ...], ...]
    graces: tuple[int, ...]
    pitch_starts: tuple[int, ...]
    event_starts: tuple[int, ...]
    centres: tuple[int | None, ...]
    altered: frozenset[int]
    doubled: tuple[int, ...]


def melody_of(rhythms: Sequence[BarRhythm]) -> Melody:
    """The melody of the bars of a tune."""
    lines = [each.melody for each in rhythms]
    event_starts = tuple(accumulate([len(each.counts) for each in lines], initial=0))
    pitch_starts = tuple(accumulate([len(each.pitches) for each in lines], initial=0))
    pitches = tuple([pitch for each in lines for pitch in each.pitches])
    counts = tuple([count for each in lines for count in each.counts])
    both = list(zip(lines, event_starts, strict=False))
    groups = tuple(
        [
            tuple([place + start for place in group])
            for each, start in both
            for group in each.groups
        ]
    )
    # pitches alike are mostly one
    different = {id(pitch): pitch for pitch in pitches}
    number_of = {each: number for number, each in enumerate(different)}
    numbers = tuple([number_of[id(pitch)] for pitch in pitches])
    places = [pitch.place for pitch in different.values()]
    positions = positions_of(counts, [places[number] for number in numbers])
    return Melody(
        pitches=pitches,
        different=tuple(different.values()),
        numbers=numbers,
        counts=counts,
        groups=groups,
        graces=tuple([place + start for each, start in both for place in each.graces]),
        pitch_starts=pitch_starts,
        event_starts=event_starts,
        centres=tuple(doubled_centres(positions, groups)),
        altered=frozenset(_altered(rhythms, tuple(different.values()), numbers)),
        doubled=tuple(
            [at for at, each in enumerate(rhythms) if each.counterline.pitches]
        ),
    )


def positions_of(counts: Sequence[int], places: Sequence[int]) -> list[Sequence[int]]:
    """The staff places of each event's pitches, none for a rest."""
    positions: list[Sequence[int]] = []
    at = 0
    for count in counts:
        positions.append(places[at : at + count])
        at += count
    return positions


def _altered(
    rhythms: Sequence[BarRhythm], different: Sequence[Pitch], numbers: Sequence[int]
) -> list[int]:
    """The bars with a note that is none of their key."""
    fifths = [pitch.fifths for pitch in different]
    strangers: dict[int, set[int]] = {}
    found: list[int] = []
    end = 0
    for index, rhythm in enumerate(rhythms):
        start, end = end, end + len(rhythm.melody.pitches)
        signature = rhythm.bar.key.signature
        strange = strangers.get(signature)
        if strange is None:
            strange = strangers[signature] = {
                number
                for number, place in enumerate(fifths)
                if not -1 <= place - signature <= 5
            }
        if strange and not strange.isdisjoint(numbers[start:end]):
            found.append(index)
    return found
