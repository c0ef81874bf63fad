"""The bars of the solo page as one part has them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

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

__all__ = ("SoloSpelling", "solo_bars", "solo_small_notes")


class SoloSpelling(Protocol):
    """What of a part's spelling the solo page shows."""

    @property
    def written(self) -> Sequence[SharedBar]:
        """The bars, words in the part's letters."""

    @property
    def keys(self) -> Sequence[Key]:
        """The written keys."""

    @property
    def chords(self) -> WrittenChords:
        """The written chord symbols."""

    @property
    def small(self) -> Sequence[SmallNotes]:
        """The small notes of the solo page."""


def solo_small_notes(
    shared: Shared,
    keys: Sequence[Key],
    moves: Sequence[Interval],
    rules: AccidentalRules | None,
) -> tuple[SmallNotes, ...]:
    """The small notes of the solo page, if there are any."""
    tune = len(shared.rhythms)
    solo = shared.written[tune:]
    if not any(
        bar.source.counterline and bar.counterline_label != LAST_TIME for bar in solo
    ):
        return ()
    bars = [bar.source for bar in solo]
    return tuple(small_notes(bars, keys[tune:], moves[tune:], rules))


def solo_bars(
    shared: Shared, spelling: SoloSpelling, pickup: PartBar, octaves: int
) -> tuple[PartBar, ...]:
    """The bars of the solo page; the small notes that lead back are those of the
    pickup, as they are spelled there."""
    changes = shared.change_starts
    symbols = spelling.chords.symbols
    tune = len(shared.rhythms)
    bars = []
    for index in range(tune, len(shared.written)):
        bar = PartBar(
            shared=spelling.written[index],
            key=spelling.keys[index],
            symbols=symbols[changes[index] : changes[index + 1]],
        )
        if bar.shared.counterline_label == LAST_TIME:
            bar = evolve(
                bar,
                lower_pitches=pickup.pitches,
                lower_stems=tuple(
                    [None if stem is None else "up" for stem in pickup.stems]
                ),
                lower_accidentals=pickup.accidentals,
            )
        elif bar.shared.source.counterline:
            small = spelling.small[index - tune]
            bar = evolve(
                bar,
                lower_pitches=raised(small.pitches, octaves),
                lower_stems=tuple(["up" for _ in bar.shared.source.counterline]),
                lower_accidentals=small.accidentals,
            )
        bars.append(bar)
    return tuple(bars)
