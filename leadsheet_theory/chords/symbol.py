"""Chord symbols as values."""

from __future__ import annotations

from attrs import field, frozen

from ..pitch import NoteName

__all__ = ("Chord", "ChordSymbol", "NoChord", "PolyChord")


@frozen(order=False)
class Chord:
    """A chord symbol: root, quality and perhaps a bass."""

    root: NoteName
    bass: NoteName | None = None
    source: str = field(default="", eq=False)


@frozen(order=False)
class PolyChord:
    """One chord over another."""

    upper: Chord
    lower: Chord
    source: str = field(default="", eq=False)


@frozen(order=False)
class NoChord:
    """N.C.: no chord sounds."""

    source: str = field(default="", eq=False)


ChordSymbol = Chord | PolyChord | NoChord
"""Anything that stands where a chord symbol may."""
