"""Players who have the melody again in a staff of their own: how it is written there.

An arranger who respells a note for one player, or puts the tune an octave lower, has
decided something for everybody who reads that player's book.
"""

from __future__ import annotations

from fractions import Fraction

from attrs import frozen

from ..interval import Interval
from ..pitch import NoteName, Pitch

__all__ = ("Doubling", "WrittenNote", "WrittenRoot")


@frozen(order=False)
class WrittenNote:
    """A note as the player reads it: its bar's number, its onset in quarter notes."""

    bar: int
    onset: Fraction
    pitch: Pitch


@frozen(order=False)
class WrittenRoot:
    """The root of a chord symbol as the player reads it, placed likewise."""

    bar: int
    onset: Fraction
    root: NoteName


@frozen(order=False, kw_only=True)
class Doubling:
    """A player's staff that has the melody again.

    `name` is what the file calls the player, `transposition` leads from the written to
    the sounding pitch, `low_clef` says whether the staff has a bass clef; the `notes`
    are those that are struck.
    """

    name: str
    transposition: Interval
    low_clef: bool
    notes: tuple[WrittenNote, ...]
    roots: tuple[WrittenRoot, ...] = ()
