"""Chord symbols: reading, meaning, printing, exchanging, respelling."""

from .symbol import Chord, ChordSymbol, NoChord, PolyChord

__all__ = ("Chord", "ChordSymbol", "NoChord", "PolyChord")
