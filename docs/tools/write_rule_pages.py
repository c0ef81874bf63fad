"""Write a page for each rule of the proofreader, and the list of them.

The rules come from the package, the charts from ``tests/rule_examples.py``:

    python docs/tools/write_rule_pages.py [--check]
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from rule_examples import EXAMPLES, Example  # noqa: E402

from leadsheet_theory import LeadSheet  # noqa: E402
from leadsheet_theory.leadsheet import Bar, Hit, Note, Rest  # noqa: E402
from leadsheet_theory.leadsheet.findings import beat_text  # noqa: E402
from leadsheet_theory.leadsheet.signs import NO_SIGNS  # noqa: E402
from leadsheet_theory.proof import FAULTS, PROOF_RULES, ProofRule, proofread  # noqa: E402

PAGES = ROOT / "docs" / "rules"
MOST_BARS = 4

_NAMES = {
    Fraction(1, 4): "sixteenth", Fraction(1, 2): "eighth",
    Fraction(3, 4): "dotted eighth",
    Fraction(1): "quarter", Fraction(3, 2): "dotted quarter", Fraction(2): "half",
    Fraction(3): "dotted half", Fraction(4): "whole",
}  # fmt: skip


def _event(event: Note | Rest | Hit) -> str:
    length = _NAMES.get(event.duration, f"{event.duration} quarters")
    value = event.value
    if value is not None and value.duration != event.duration:
        length += f" (printed as a {value.name})"
    if isinstance(event, Rest):
        return f"rest {length}"
    tie = " tied" if event.tied_to_next else ""
    if isinstance(event, Hit):
        return f"on {beat_text(event.onset + 1)} {length}{tie}"
    words = "".join(
        f" “{lyric.text}{'-' if lyric.syllabic in ('begin', 'middle') else ''}”"
        for lyric in event.lyrics
    )
    slurs = "".join(f" slur {slur.end}s" for slur in event.slurs)
    return f"{event.pitch.glyphs} {length}{tie}{slurs}{words}"


def _signs(bar: Bar) -> str:
    form = bar.form
    said = [f"section {form.section}"] if form.section else []
    said += ["|:"] if form.repeat_start else []
    said += ["segno"] if form.segno else []
    if form.ending_starts:
        said.append(f"ending {', '.join(map(str, form.ending))}")
    said += [":|"] if form.repeat_end else []
    if form.jump is not None:
        said.append("D.S." if form.jump.back_to == "segno" else "D.C.")
    if form.barline != NO_SIGNS.barline:
        said.append(f"{form.barline} bar line")
    return ", ".join(said)


def _lines(sheet: LeadSheet, around: int | None) -> Iterator[str]:
    """The chart as text: the bars around the one that matters."""
    bars = list(sheet.bars)
    yield f"{sheet.title or '(no title)'}, {bars[0].key.glyphs}, {bars[0].meter}"
    at = next((i for i, bar in enumerate(bars) if bar.number == around), 0)
    start = max(0, min(at - 1, len(bars) - MOST_BARS))
    shown = bars[start : start + MOST_BARS]
    if start:
        yield f"(bars {bars[0].number} to {bars[start - 1].number} before)"
    before = bars[0].key
    for bar in shown:
        if bar.key != before and bar is not bars[0]:
            yield f"new signature: {bar.key.glyphs}"
        before = bar.key
        chords = "  ".join(
            f"{placed.symbol.source or placed.symbol} on {beat_text(placed.onset + 1)}"
            for placed in bar.chords
        )
        yield f"bar {bar.number}{': ' if _signs(bar) else ''}{_signs(bar)}"
        if chords:
            yield f"    chords  {chords}"
        for direction in bar.directions:
            yield f"    words   “{direction.text}”"
        yield f"    notes   {', '.join(_event(event) for event in bar.melody)}"
        if bar.hits:
            yield f"    hits    {', '.join(_event(hit) for hit in bar.hits)}"
    rest = len(bars) - start - len(shown)
    if rest:
        yield f"({rest} more)"


def page(rule: ProofRule, example: Example) -> str:
    """The page of one rule."""
    found = next(f for f in proofread(example.wrong) if f.rule == rule.name)
    title = f"``{rule.name}``"
    silence = f"{rule.name}" if example.bar is None else f"{rule.name}: {example.bar}"
    parts = [
        title,
        "=" * len(title),
        "",
        f"**{rule.severity.capitalize()}.**  Looks for {rule.looks_for}.",
        "",
        f"Why: {rule.why}.  What to do: {rule.advice}.",
        "",
    ]
    if example.says:
        parts += [example.says, ""]
    parts += [
        "Wrong::",
        "",
        *(f"    {line}" for line in _lines(example.wrong, example.bar)),
    ]
    parts += ["", "The remark::", "", f"    {found.severity}: {found}", ""]
    parts += [
        "Right::",
        "",
        *(f"    {line}" for line in _lines(example.right, example.bar)),
    ]
    parts += [
        "",
        f"*Source: {rule.source}.*",
        "",
        "To silence it: in a call with "
        f'``proofread(sheet, skip=["{rule.name}"])`` or, where it is meant, '
        f'``silence=[Silence.parse("{silence}")]``; in a shell with '
        f'``--skip {rule.name}`` or ``--silence "{silence}"``.',
        "",
    ]
    return "\n".join(parts)


def index() -> str:
    """The list of all rules, and which faults they name."""
    lines = ["Rules of the proofreader", "========================", ""]
    lines += ["A page for each, with a wrong chart and the right one.", ""]
    lines += [".. toctree::", "   :maxdepth: 1", ""]
    lines += [f"   {rule.name}" for rule in PROOF_RULES]
    lines += ["", "Kinds of faults", "---------------", ""]
    lines += ["Faults as proofreaders sort them, the rules that name each, and how"]
    lines += ["much it matters at most.", "", ".. list-table::"]
    lines += ["   :header-rows: 1", ""]
    rows = [("fault", "rules", "at most")]
    rows += [
        (
            fault.name,
            ", ".join(f":doc:`{name} <{name}>`" for name in fault.rules),
            fault.severity,
        )
        for fault in FAULTS
    ]
    for first, *others in rows:
        lines += [f"   * - {first}", *(f"     - {other}" for other in others)]
    return "\n".join([*lines, ""])


def pages() -> dict[str, str]:
    """All pages by the name of their file."""
    written = {
        f"{rule.name}.rst": page(rule, EXAMPLES[rule.name]) for rule in PROOF_RULES
    }
    return {"index.rst": index(), **written}


def main() -> int:
    """Write the pages, or compare them."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--check", action="store_true", help="only compare")
    options = parser.parse_args()
    old = {p.name: p.read_text(encoding="utf-8") for p in PAGES.glob("*.rst")}
    new = pages()
    if options.check:
        return int(old != new)
    PAGES.mkdir(exist_ok=True)
    for name in old.keys() - new.keys():
        (PAGES / name).unlink()
    for name, text in new.items():
        (PAGES / name).write_text(text, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
