"""Decisions that last: what the arranger decided for a tune, or the band for all."""

from .keys import DECISION_KEYS, DecisionKey
from .making import (
    PartArguments,
    decided_page,
    decided_parts,
    decided_readers,
    decided_sheet,
    decided_style,
    part_arguments,
)
from .model import Decision, Decisions
from .reading import decisions_from, read_decisions

__all__ = (
    "DECISION_KEYS",
    "Decision",
    "DecisionKey",
    "Decisions",
    "PartArguments",
    "decided_page",
    "decided_parts",
    "decided_readers",
    "decided_sheet",
    "decided_style",
    "decisions_from",
    "part_arguments",
    "read_decisions",
)
