"""What of a sheet the text does not hold."""

from __future__ import annotations

from ...leadsheet.findings import Finding, Severity, bar_list

__all__ = ("Remarks",)


class Remarks:
    """The findings of one writing: equal ones become one, with their bars."""

    def __init__(self) -> None:
        self._said: dict[tuple[str, Severity, str], list[int]] = {}

    def add(
        self, rule: str, message: str, bar: int | None = None, *,
        severity: Severity = "warning",
    ) -> None:  # fmt: skip
        """Note that something is not held, or is held in another way."""
        bars = self._said.setdefault((rule, severity, message), [])
        if bar is not None and bar not in bars:
            bars.append(bar)

    def findings(self) -> tuple[Finding, ...]:
        """All of them, by bar."""
        done = []
        for (rule, severity, message), bars in self._said.items():
            if len(bars) > 1:
                message += f" (bars {bar_list(sorted(bars))})"
            done.append(
                Finding(
                    rule=rule,
                    severity=severity,
                    message=message,
                    bar=min(bars) if bars else None,
                )
            )
        done.sort(key=lambda finding: -1 if finding.bar is None else finding.bar)
        return tuple(done)
