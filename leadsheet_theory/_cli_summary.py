"""The words of the command line: what was made, for a musician to read."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from textwrap import wrap

from .chords import ChordSymbol
from .leadsheet import Finding, Part, PartReport

__all__ = ("chart_summary", "count", "finding_lines", "symbol_text")

_WIDTH = 88


def count(number: int, what: str) -> str:
    """A number and its noun: ``1 part``, ``5 parts``."""
    return f"{number} {what}{'' if number == 1 else 's'}"


def symbol_text(symbol: ChordSymbol) -> str:
    """A chord symbol as it is printed."""
    return str(symbol).replace("b", "♭").replace("#", "♯")


def chart_summary(parts: Sequence[tuple[Part, str]], /) -> Iterator[str]:
    """The lines that tell what became of a chart: each part with its file."""
    for part, file in parts:
        report = part.report
        yield f"  {part.name}: {file}"
        yield f"    {_key_and_range(report)}"
        yield from _respelled(report)
        yield from _indented(map(str, report.findings))


def finding_lines(findings: Iterable[Finding], /) -> Iterator[str]:
    """Findings one a line, the same remark at many places only once."""
    by_text: dict[tuple[str, str], list[Finding]] = {}
    for finding in findings:
        by_text.setdefault((finding.message, finding.advice), []).append(finding)
    for same in by_text.values():
        first = same[0]
        if len(same) == 1:
            yield f"{first.severity}: {first}"
            continue
        bars = _bars([f.bar for f in same if f.bar is not None])
        advice = f" ({first.advice})" if first.advice else ""
        place = f"{bars}: " if bars else f"{len(same)} times: "
        yield f"{first.severity}: {place}{first.message}{advice}"


def _key_and_range(report: PartReport) -> str:
    says = f"key {report.key.glyphs}"
    if report.low is not None and report.high is not None:
        says += f", range {report.low.glyphs} to {report.high.glyphs}"
    if report.octaves:
        way = "up" if report.octaves > 0 else "down"
        says += f", {count(abs(report.octaves), 'octave')} {way}"
    if report.octave_reason:
        says += f": {report.octave_reason}"
    return says


def _respelled(report: PartReport) -> Iterator[str]:
    chords = [
        (symbol_text(c.written), symbol_text(c.plain), c.reason, c.bar)
        for c in report.chords
    ]
    notes = [
        (n.written.name.glyphs, n.plain.name.glyphs, n.reason, n.bar)
        for n in report.notes
    ]
    for what, changes in (("chords", chords), ("notes", notes)):
        if not changes:
            continue
        lines = []
        for reason, group in groupby(
            sorted(changes, key=lambda c: c[2]), key=lambda c: c[2]
        ):
            pairs: dict[str, list[int]] = {}
            for written, plain, _, bar in group:
                pairs.setdefault(f"{written} (not {plain})", []).append(bar)
            named = "; ".join(f"{pair} {_bars(bars)}" for pair, bars in pairs.items())
            lines.append(f"{named}: {reason}")
        yield f"    respelled {what}:"
        for line in lines:
            yield from wrap(
                line, _WIDTH, initial_indent="      ", subsequent_indent="        "
            )


def _bars(bars: Sequence[int]) -> str:
    """``bar 3``, ``bars 1, 5 and 21``; beyond six bars the number of the rest."""
    each = sorted(set(bars))
    if not each:
        return ""
    if len(each) == 1:
        return f"bar {each[0]}"
    if len(each) > 6:
        shown = ", ".join(map(str, each[:5]))
        return f"bars {shown} and {len(each) - 5} more"
    return f"bars {', '.join(map(str, each[:-1]))} and {each[-1]}"


def _indented(lines: Iterable[str]) -> Iterator[str]:
    for line in lines:
        yield from wrap(line, _WIDTH, initial_indent="    ", subsequent_indent="      ")
