"""Exercises marked: chord tones, key signatures, intervals, transpositions."""

from .checks import (
    check_interval,
    check_signature,
    check_spelling,
    check_transposition,
)
from .marking import VERDICTS, MarkedNote, Marking, Verdict

__all__ = (
    "VERDICTS",
    "MarkedNote",
    "Marking",
    "Verdict",
    "check_interval",
    "check_signature",
    "check_spelling",
    "check_transposition",
)
