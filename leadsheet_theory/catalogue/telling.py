"""What was made of a chart in words, for a musician to read."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import groupby
from typing import Final

from attrs import evolve

from .._printed import count, symbol_text, wrapped
from ..leadsheet.endings import whole_endings
from ..leadsheet.findings import Finding, beat_text
from ..leadsheet.lead_in import lead_in
from ..leadsheet.model import Bar, LeadSheet
from ..leadsheet.running_order import RunningOrder
from ..parts.model import Part, PartReport
from ..pitch import NoteName
from ..proof.silence import Silence, is_silenced

__all__ = (
    "as_typed",
    "chart_summary",
    "finding_lines",
    "form_line",
    "with_way_out",
)


_SHORT_UNITS: Final = {Fraction(1, 2): "eighth", Fraction(1, 4): "sixteenth"}
_ORDINALS: Final = ("", "first", "second", "third", "fourth")


def form_line(sheet: LeadSheet, order: RunningOrder, /) -> str:
    """The form said back: ``pickup 1½ beats, A 4, first ending 4, …: 32 bars as
    played``."""
    said = []
    tune = whole_endings(sheet.bars)
    before = 0 if sheet.pickup else lead_in(tune)
    if before:
        said.append(f"lead-in {count(before, 'bar')}")
    stretches = _Stretches()
    for bar in tune[:before]:
        stretches(bar)
    for (letter, ending), bars in groupby(tune[before:], stretches):
        stretch = list(bars)
        if stretch[0].is_pickup:
            meter = stretch[0].meter
            units = stretch[0].length / meter.unit
            unit = _SHORT_UNITS.get(meter.unit, "beat")
            said.append(f"pickup {beat_text(units)} {unit}{'s' if units > 1 else ''}")
            continue
        name = letter
        if ending:
            numbers = " and ".join(_ORDINALS[n] if n < 5 else f"{n}." for n in ending)
            name = f"{numbers} ending"
        bars_in_it = sum(bar.counts for bar in stretch)
        if bars_in_it:
            counted = count(bars_in_it, "bar")
            said.append(f"{name} {bars_in_it}" if name else counted)
    played = sum(sheet.bars[at].counts for at in order.head)
    return f"{', '.join(said)}: {count(played, 'bar')} as played"


class _Stretches:
    """The stretch of the form that a bar belongs to: section letter and ending."""

    def __init__(self) -> None:
        self.letter = ""
        self.ending: tuple[int, ...] = ()

    def __call__(self, bar: Bar) -> tuple[str, tuple[int, ...]]:
        ending = tuple(bar.form.ending)
        if bar.form.section or bar.form.coda:
            self.letter = bar.form.section or "coda"
        elif self.ending and not ending:
            self.letter = ""
        self.ending = ending
        return self.letter if not bar.is_pickup else "pickup", ending


def chart_summary(
    parts: Sequence[tuple[Part, str]],
    /,
    *,
    full: bool,
    silence: Collection[Silence] = (),
) -> Iterator[str]:
    """The lines that tell what became of a chart: each part, then what all parts have
    in common; if `full` with its file and all that was respelled.  Nothing is told that
    a `silence` covers."""
    told = {part.name: _told(part, silence) for part, _ in parts}
    first, *others = told.values()
    common = [each for each in first if all(each in other for other in others)]
    for part, file in parts:
        report = part.report
        if full:
            yield f"  {part.name}: {file}"
            yield f"    {_key_and_range(part)}"
            tune = {bar.bar.number for bar in part.bars}
        else:
            yield f"  {part.name}: {_key_and_range(part)}{_how_many(report)}"
        if report.octaves:
            way = "" if full else f" (--octave '{_plain(part.name)} = 0' leaves it)"
            yield from wrapped(f"{_octave_text(part)}{way}", "    ")
        if full:
            yield from _respelled(report, tune)
        for line in finding_lines(f for f in told[part.name] if f not in common):
            yield from wrapped(line, "    ")
    if not full and any(part.report.chords or part.report.notes for part, _ in parts):
        yield from wrapped(_RESPELLED, "  ")
    for line in finding_lines(common):
        yield from wrapped(line, "  ")


def _told(part: Part, silence: Collection[Silence]) -> list[Finding]:
    """What is told of a part, each with its option."""
    return [
        with_way_out(finding)
        for finding in part.report.findings
        if not is_silenced(finding, silence)
    ]


_KEYWORD: Final = re.compile(
    r'\b(hits|bass_line|players_staves|stop_time|slashes)="([^"]*)"'
)


_FLAGS: Final = (
    ("solo_page=False", "--no-solo-page"),
    ('hits="kept"', "--solo-hits"),
    ("with_letters", "--letters"),
)


def as_typed(findings: Iterable[Finding]) -> Iterator[Finding]:
    """Findings whose advice names options as the command line spells them."""
    for finding in findings:
        advice = finding.advice
        for said, option in _FLAGS:
            advice = advice.replace(said, option)
        advice = _KEYWORD.sub(_option, advice)
        yield evolve(finding, advice=advice) if advice != finding.advice else finding


def _option(keyword: re.Match[str]) -> str:
    value = keyword[2]
    quoted = f"'{value}'" if re.search(r"[^\w:.-]", value) else value
    return f"--{keyword[1].replace('_', '-')} {quoted}"


_RESPELLED: Final = (
    "--summary full lists what was respelled; --respell and --respell-note change it"
)


def with_way_out(finding: Finding, /) -> Finding:
    """A finding with the option that changes what was decided; for a doubt that no
    option settles, with the one that it is silenced by."""
    (finding,) = as_typed((finding,))
    if finding.severity == "note" or "--" in finding.advice:
        return finding
    advice = f"{finding.advice}; " if finding.advice else ""
    return evolve(finding, advice=f"{advice}--silence {finding.rule} if it is meant")


def finding_lines(findings: Iterable[Finding], /) -> Iterator[str]:
    """Findings one a line, the same remark at many places only once."""
    by_text: dict[tuple[str, str], list[Finding]] = {}
    for finding in as_typed(findings):
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


def _key_and_range(part: Part) -> str:
    if part.clef.sign == "percussion":
        return "slashes and hits"
    report = part.report
    says = f"key {report.key.glyphs}"
    if report.low is not None and report.high is not None:
        says += f", range {report.low.glyphs} to {report.high.glyphs}"
    return says


def _how_many(report: PartReport) -> str:
    changed = [
        count(len(each), what)
        for each, what in ((report.chords, "chord"), (report.notes, "note"))
        if each
    ]
    return f", {' and '.join(changed)} respelled" if changed else ""


def _octave_text(part: Part) -> str:
    report = part.report
    if report.octave_reason:
        return report.octave_reason.removeprefix(f"{part.name}: ")
    way = "up" if report.octaves > 0 else "down"
    return f"{count(abs(report.octaves), 'octave')} {way}"


# the text of a change, why, and the bar it stands in
_Change = tuple[str, str, int]


def _respelled(report: PartReport, tune: Collection[int]) -> Iterator[str]:
    """What was respelled, reason by reason.

    The solo page follows the tune; only what stands on that page alone is named
    with its bars.
    """
    chords = [
        (f"{symbol_text(c.written)} (not {symbol_text(c.plain)})", c.reason, c.bar)
        for c in report.chords
        if c.bar is not None
    ]
    notes = [
        (f"{n.written.name.glyphs} (not {n.plain.name.glyphs})", n.reason, n.bar)
        for n in report.notes
        if n.bar is not None
    ]
    for what, changes in (("chords", chords), ("notes", notes)):
        if changes:
            yield f"    respelled {what}:"
        for line in _by_reason(changes, tune):
            yield from wrapped(line, "      ")


def _by_reason(changes: Iterable[_Change], tune: Collection[int]) -> Iterator[str]:
    reasons: dict[str, dict[str, list[int]]] = {}
    for text, reason, bar in changes:
        reasons.setdefault(reason, {}).setdefault(text, []).append(bar)
    for reason, texts in reasons.items():
        named = []
        for text, bars in texts.items():
            shown = [bar for bar in bars if bar in tune] or bars
            named.append(f"{text} in {_bars(shown)}")
        yield f"{'; '.join(named)}: {_NAME.sub(_with_glyphs, reason)}"


_NAME: Final = re.compile(r"\b[A-G](?:b\b|#)")


def _with_glyphs(name: re.Match[str]) -> str:
    return NoteName.parse(name[0]).glyphs


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


def _plain(name: str) -> str:
    """A name as it is typed: ``Bb`` for B♭."""
    return name.replace("♭", "b").replace("♯", "#")
