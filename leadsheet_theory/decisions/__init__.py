"""Decisions that last: what the arranger decided for a tune, or the band for all."""

from .by_hand import ByHand, decided_by_hand
from .keys import DECISION_KEYS, DecisionKey
from .making import (
    PartArguments,
    decided_order,
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
    "ByHand",
    "Decision",
    "DecisionKey",
    "Decisions",
    "PartArguments",
    "decided_by_hand",
    "decided_order",
    "decided_page",
    "decided_parts",
    "decided_readers",
    "decided_sheet",
    "decided_style",
    "decisions_from",
    "part_arguments",
    "read_decisions",
)
