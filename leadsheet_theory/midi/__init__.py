"""MIDI: a tune or a part to be heard, with the library of the extra ``sound``."""

from .feel import (
    STRAIGHT_STYLES,
    STYLE_TEMPI,
    measured_swing,
    plays_straight,
    swing_at,
    usual_tempo,
)
from .write import write_midi

__all__ = (
    "STRAIGHT_STYLES",
    "STYLE_TEMPI",
    "measured_swing",
    "plays_straight",
    "swing_at",
    "usual_tempo",
    "write_midi",
)
