"""The bass line as a cue: small notes on a staff of their own below a player's part."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from attrs import evolve

from ..errors import DecisionError
from ..instruments.ranges import Reader
from ..interval import OCTAVE, Interval
from ..key import Key
from ..leadsheet.bar_numbers import bars_text
from ..leadsheet.model import Note
from ..spelling.transposing import transpose_melody
from ._added import Events, line_bars
from ._shared import Shared
from .bass_line import cue_label, cue_octaves
from .model import AddedStaff, Part

__all__ = ("with_bass_cue",)


def with_bass_cue(
    part: Part,
    shared: Shared,
    reader: Reader,
    bars: bool | Collection[int],
    *,
    keys: Sequence[Key],
    moves: Sequence[Interval],
) -> Part:
    """The part with the bass line of these bars (by number; of all, if True) below.

    Args:
        part: the part.
        shared: the tune.
        reader: who plays it.
        bars: the numbers of the bars, or whether to cue all.
        keys: the written key of each bar.
        moves: the plain interval from the source to the part in each bar.

    Raises:
        DecisionError: if none of the bars has a bass line.
    """
    if bars is False:
        return part
    lines = _lines(shared, bars)
    # from the plain interval to the one at which the part sounds as the source does
    plain = (-reader.transposition).simple
    own = -(reader.transposition.chromatic + plain.chromatic) // 12
    written = [
        pitch + OCTAVE * own
        for line, move in zip(lines, moves, strict=False)
        for pitch in transpose_melody(
            [p for each in line if isinstance(each, Note) for p in each.pitches], move
        ).pitches
    ]
    octaves = cue_octaves(written, reader)
    staff = AddedStaff(
        clef=reader.clef,
        bars=line_bars(
            shared,
            lines,
            clef=reader.clef,
            keys=keys,
            moves=moves,
            octaves=own + octaves,
            label=cue_label(octaves),
        ),
        small=True,
    )
    return evolve(part, added=(*part.added, staff))


def _lines(shared: Shared, bars: bool | Collection[int]) -> list[Events]:
    """The bass line of the bars that are to be cued."""
    tune = [rhythm.bar for rhythm in shared.rhythms]
    lines = [
        bar.bass_line if bars is True or (bars and bar.number in bars) else ()
        for bar in tune
    ]
    if not any(lines):
        there = [bar.number for bar in tune if bar.bass_line]
        what = f"there is one in {bars_text(there)}" if there else "the tune has none"
        asked = "" if isinstance(bars, bool) else f" in bar {bars_text(bars)}"
        raise DecisionError(f"no bass line to cue{asked}: {what}")
    return lines
