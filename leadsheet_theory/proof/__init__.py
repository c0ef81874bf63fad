"""The proofreader: what a copyist would ask about a chart."""

from .corrections import apply, is_mechanical
from .folder import check_folder
from .passes import proofread
from .rules import FAULTS, PROOF_RULES, Fault, ProofRule, rule_named
from .silence import Silence, is_silenced

__all__ = (
    "FAULTS",
    "PROOF_RULES",
    "Fault",
    "ProofRule",
    "Silence",
    "apply",
    "check_folder",
    "is_mechanical",
    "is_silenced",
    "proofread",
    "rule_named",
)
