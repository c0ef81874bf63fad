"""Bars in which something was put right."""

from __future__ import annotations

from attrs import frozen

from .findings import Finding
from .model import Bar

__all__ = ("MendedBars",)


@frozen(order=False)
class MendedBars:
    """The bars of a tune after something in them was put right, and one remark that
    says what and in which bars; none where nothing was."""

    bars: tuple[Bar, ...]
    remarks: tuple[Finding, ...] = ()
