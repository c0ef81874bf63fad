"""The bars of the solo page as one part has them."""

from __future__ import annotations

from collections.abc import Sequence

from attrs import evolve

from ..chords.respell import WrittenChords
from ..interval import Interval
from ..key import Key
from ..spelling.accidentals import AccidentalRules
from ._behind_solos import SmallNotes, small_notes
from ._pitch import raised
from ._road_signs import LAST_TIME
from ._shared import Shared
from .model import PartBar, SharedBar

__all__ = ("plain_solo_bars", "solo_bars", "solo_small_notes")


def solo_small_notes(
    shared: Shared,
    keys: Sequence[Key],
    moves: Sequence[Interval],
    rules: AccidentalRules | None,
) -> tuple[SmallNotes, ...]:
    """The small notes of the solo page, if there are any."""
    tune = len(shared.rhythms)
    solo = shared.written[tune:]
    if all(solo[at].counterline_label == LAST_TIME for at in shared.small_bars):
        return ()
    bars = [bar.source for bar in solo]
    return tuple(small_notes(bars, keys[tune:], moves[tune:], rules))


def plain_solo_bars(
    shared: Shared,
    written: Sequence[SharedBar],
    keys: Sequence[Key],
    chords: WrittenChords,
) -> tuple[PartBar, ...]:
    """The bars of the solo page without the pitches of their small notes.

    Args:
        shared: the tune.
        written: its bars, words in the part's letters.
        keys: the written keys.
        chords: the written chord symbols.
    """
    tune = len(shared.rhythms)
    symbols = chords.symbols
    return tuple(
        [
            PartBar(shared=bar, key=key, symbols=symbols[start:end])
            for bar, key, start, end in zip(
                written[tune:],
                keys[tune:],
                shared.change_starts[tune:],
                shared.change_starts[tune + 1 :],
                strict=False,
            )
        ]
    )


def solo_bars(
    shared: Shared,
    plain: tuple[PartBar, ...],
    small: Sequence[SmallNotes],
    pickup: PartBar,
    octaves: int,
) -> tuple[PartBar, ...]:
    """The bars of the solo page with their small notes, so many octaves from where they
    were spelled; those that lead back are the pickup's, as they are spelled there."""
    if not shared.small_bars:
        return plain
    bars = list(plain)
    for index in shared.small_bars:
        bar = plain[index]
        if bar.shared.counterline_label == LAST_TIME:
            bars[index] = evolve(
                bar,
                lower_pitches=pickup.pitches,
                lower_stems=tuple(
                    [None if stem is None else "up" for stem in pickup.stems]
                ),
                lower_accidentals=pickup.accidentals,
            )
        else:
            bars[index] = evolve(
                bar,
                lower_pitches=raised(small[index].pitches, octaves),
                lower_stems=tuple(["up" for _ in bar.shared.source.counterline]),
                lower_accidentals=small[index].accidentals,
            )
    return tuple(bars)
