"""The proofreader: what a copyist would ask about a chart."""

from .rules import PROOF_RULES, ProofRule, proofread

__all__ = (
    "PROOF_RULES",
    "ProofRule",
    "proofread",
)
