"""What was looked at and is meant: remarks that need not come again."""

from __future__ import annotations

from collections.abc import Collection

from attrs import frozen

from ..leadsheet.bar_numbers import parse_bars
from ..leadsheet.findings import Finding

__all__ = ("Silence", "is_silenced")


@frozen(order=False)
class Silence:
    """A rule that says nothing of a chart, or of some of its bars.

    `rule` is a rule's name, the reading's rules included; `bars` the numbers of the
    bars that it is silent on (0 for a pickup), none for the whole chart.

    >>> Silence.parse("clef")
    Silence(rule='clef', bars=())
    >>> print(Silence.parse("tie: 4, 12-14"))
    tie: 4, 12, 13, 14
    """

    rule: str
    bars: tuple[int, ...] = ()

    @classmethod
    def parse(cls, text: str, /) -> Silence:
        """Read a rule's name, and perhaps a colon and bars: ``tie: 4, 12-14``.

        Raises:
            BarNumberError: if the bars are no numbers.
        """
        rule, _, rest = text.partition(":")
        return cls(rule.strip(), parse_bars(rest))

    def covers(self, finding: Finding, /) -> bool:
        """Whether a finding is meant."""
        return finding.rule == self.rule and (not self.bars or finding.bar in self.bars)

    def __str__(self) -> str:
        return (
            f"{self.rule}: {', '.join(map(str, self.bars))}" if self.bars else self.rule
        )


def is_silenced(finding: Finding, silence: Collection[Silence], /) -> bool:
    """Whether one of the silences covers a finding."""
    return any(each.covers(finding) for each in silence)
