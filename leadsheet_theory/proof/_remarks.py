"""What the single checks hand to the proofreader: remarks without their rule's text."""

from __future__ import annotations

from fractions import Fraction

from attrs import field, frozen

from ..leadsheet.findings import Severity
from ..leadsheet.model import Bar

__all__ = ("Remark", "place_text", "quarters")


@frozen(order=False)
class Remark:
    """One thing noticed: under which rule, what and where.

    `found`, `proposed` and `why` are those of a finding; `severity` stands where it is
    another than the rule's own.
    """

    rule: str
    message: str
    bar: Bar | None = None
    onset: Fraction | None = None
    advice: str = field(default="", kw_only=True)
    found: str = field(default="", kw_only=True)
    proposed: str = field(default="", kw_only=True)
    why: str = field(default="", kw_only=True)
    severity: Severity | None = field(default=None, kw_only=True)


def place_text(bar: Bar, onset: Fraction) -> str:
    """A place as a finding proposes it: ``bar 4, beat 5/2``."""
    return f"bar {bar.number}, beat {bar.beat_of(onset)}"


def quarters(length: Fraction) -> str:
    """A length in words: ``1 quarter``, ``3/2 quarters``."""
    return f"{length} quarter{'' if length == 1 else 's'}"
