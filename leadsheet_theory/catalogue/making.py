"""From the bytes of a chart to the files of its parts and a report, in one function
that workers can be given.

The command ``parts`` makes its files here too, so that what it writes and what a
program makes are the same, byte for byte.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import PurePath
from typing import Final

from attrs import evolve, frozen

from .._doors import door
from .._printed import count, wrapped
from ..data.plain import Json
from ..decisions.making import (
    decided_order,
    decided_parts,
    decided_readers,
    decided_style,
)
from ..decisions.model import Decisions
from ..errors import DecisionError
from ..files import Ends, NamedBytes, Wish, plan_names
from ..key import Key
from ..leadsheet.findings import Finding
from ..musicxml.writing.files import part_endings
from ..musicxml.writing.write import write_part
from ..pages import LOOKS, DrawnSizes, Pages, draw_pages, join_pages
from ..parts.model import Part
from ..proof.passes import proofread
from ..proof.silence import Silence, is_silenced
from .charts import NOTHING_DECIDED, Chart, chart_stems, read_charts
from .report import chart_record, hash_of, options_hash, tune_record
from .telling import chart_summary, finding_lines, form_line, with_way_out

__all__ = ("MadeParts", "made_parts", "part_file_ends", "parts_of")

_ALL_PARTS: Final = "all parts"
_REPORT: Final = "report"
_JSON_END: Final = " - report.json"
# the reading's rules that tell what was decided about the staves beside the melody's
_DECIDED: Final = frozenset(
    ("hits", "bass-line", "staff", "chord-part", "chord-parts", "by-hand")
)


@door
def parts_of(
    source: bytes,
    /,
    decisions: Decisions = NOTHING_DECIDED,
    *,
    name: str,
    pdf: bool = False,
) -> tuple[NamedBytes, ...]:
    """The files of a chart's parts, and a report: from bytes to bytes.

    The function is pure and can be sent to other processes and machines.  The files are
    those of the command ``parts``, named alike; the last is the report, a line of JSON
    as in the file of its ``--report``.

    Args:
        source: the bytes of a chart: MusicXML, plain or compressed, or ABC, which may
            hold many tunes.
        decisions: what is decided: for whom, on what paper, in which key.
        name: what the chart's file is called; names begin with it.
        pdf: whether PDF and the report for people are made too.

    Raises:
        TheoryError: if the chart can't be read, or parts can't be made of it as is
            decided.

    >>> from pathlib import Path
    >>> from leadsheet_theory.decisions import decisions_from
    >>> source = Path("shared/charts/rope_walk.musicxml").read_bytes()
    >>> two = decisions_from({"books": ["C", "Bb"]})
    >>> for file in parts_of(source, two, name="rope_walk.musicxml"):
    ...     print(file.name)
    musicxml/rope_walk - C.musicxml
    musicxml/rope_walk - Bb.musicxml
    rope_walk - report.json
    """
    if PurePath(name).name != name:
        raise DecisionError(f"{name!r}: expected a file's name without folders")
    ends = part_file_ends(decisions, pdf=pdf)
    charts = read_charts(source, name=name, decisions=decisions)
    stems = plan_names(Wish(chart.stem, ends) for chart in charts)
    if stems != tuple(chart.stem for chart in charts):
        charts = read_charts(source, name=name, decisions=decisions, stems=stems)
    made = [made_parts(chart, pdf=pdf, questions=True) for chart in charts]
    record = chart_record(
        name,
        source=hash_of(source),
        options=options_hash(decisions, stems=stems, pdf=pdf),
        tunes=[tune.record() for tune in made],
    )
    (stem,) = plan_names([Wish(chart_stems(name, ())[0], (("", _JSON_END),))])
    files = [file for tune in made for file in tune.files]
    return (*files, NamedBytes(f"{stem}{_JSON_END}", f"{record}\n".encode()))


# ── Names ────────────────────────────────────────────────────────────────────────


def part_file_ends(decisions: Decisions, /, *, pdf: bool) -> Ends:
    """How the names of a chart's files end, each after its folder.

    >>> part_file_ends(NOTHING_DECIDED, pdf=False)[0]
    ('musicxml/', ' - C.musicxml')
    """
    ends = [("musicxml/", f"{end}.musicxml") for end in _part_ends(decisions)]
    if pdf:
        all_parts = _end(decisions, _ALL_PARTS)
        ends += [("", f"{end}.pdf") for end in (*_part_ends(decisions), all_parts)]
        ends.append(("", f"{_end(decisions, _REPORT)}.txt"))
    return tuple(ends)


def _part_ends(decisions: Decisions) -> tuple[str, ...]:
    names = (reader.name for reader in decided_readers(decisions))
    return tuple(f"{_in_key(decisions)}{end}" for end in part_endings(names))


def _end(decisions: Decisions, what: str) -> str:
    return f"{_in_key(decisions)} - {what}"


def _in_key(decisions: Decisions) -> str:
    key = decisions.text("key")
    return f" in {Key.parse(key).tonic}" if key else ""


# ── A tune's parts ───────────────────────────────────────────────────────────────


@frozen(order=False, kw_only=True)
class MadeParts:
    """What is made of a tune: its `parts`, the names of their files without what tells
    their kind, the `files`, and what there is to tell: `headline`, the `form` said
    back, what drawing and a proofreader remark."""

    chart: Chart
    parts: tuple[Part, ...]
    names: tuple[str, ...]
    files: tuple[NamedBytes, ...]
    headline: str
    form: tuple[str, ...]
    drawing: tuple[Finding, ...] = ()
    questions: tuple[Finding, ...] = ()

    @property
    def told(self) -> tuple[Finding, ...]:
        """What the reading asks, and what it decided about the staves."""
        silence = self._silence
        return tuple(
            finding
            for finding in self.chart.findings
            if (finding.severity != "note" or finding.rule in _DECIDED)
            and not is_silenced(finding, silence)
        )

    @property
    def _silence(self) -> tuple[Silence, ...]:
        return tuple(map(Silence.parse, self.chart.decisions.texts("silence")))

    def summary(self, *, full: bool) -> Iterator[str]:
        """All about the parts, line by line."""
        yield from self.form
        named = list(zip(self.parts, self.names, strict=True))
        yield from chart_summary(named, full=full, silence=self._silence)
        for told in finding_lines(map(with_way_out, self.told)):
            yield from wrapped(told, "  ")
        measured = self.parts[0].plan.measured
        sizes = "drawn widths and heights" if measured else "estimates of their size"
        yield f"  systems and pages are planned from {sizes}"

    def record(self) -> dict[str, Json]:
        """What the report says of the tune."""
        return tune_record(
            title=self.chart.sheet.title,
            stem=self.chart.stem,
            findings={
                "findings": self.chart.findings,
                "questions": self.questions,
                "drawing": self.drawing,
            },
            parts=self.parts,
            files=self.files,
        )

    def drawing_lines(self) -> Iterator[str]:
        """What drawing remarks, line by line."""
        for line in finding_lines(map(with_way_out, self.drawing)):
            yield from wrapped(line, "  ")


@door
def made_parts(
    chart: Chart, /, *, pdf: bool = False, questions: bool = False
) -> MadeParts:
    """The parts of a tune as is decided for it, and their files.

    Args:
        chart: the tune.
        pdf: whether PDF and a report for people are made.
        questions: whether it is proofread even if there is no report for people.

    Raises:
        TheoryError: if parts can't be made of it as is decided.

    >>> chart, = read_charts(b"X:1\\nT:Bollard\\nK:C\\nCDEF|]", name="bollard.abc")
    >>> made_parts(chart).headline
    'Bollard: 5 parts of 1 bar'
    """
    decisions = chart.decisions
    style = decided_style(decisions)
    look = LOOKS[decisions.text("look", "engraved")]
    road_map = decisions.says("road-map")
    sheet = chart.played
    measure = DrawnSizes(look, style, road_map) if pdf else None
    parts = decided_parts(sheet, decisions, measure=measure)
    names = tuple(f"{chart.stem}{end}" for end in _part_ends(decisions))
    bars = count(sum(bar.counts for bar in sheet.bars), "bar")
    order = decided_order(sheet, decisions)
    drawn = [
        draw_pages(part, look=look, style=style, road_map=road_map)
        for part in (parts if pdf else ())
    ]
    files = [
        NamedBytes(f"musicxml/{name}.musicxml", write_part(part, style=style))
        for name, part in zip(names, parts, strict=True)
    ]
    made = MadeParts(
        chart=chart,
        parts=parts,
        names=names,
        files=(*files, *_pdfs(chart, drawn, names)),
        headline=f"{chart.title}: {count(len(parts), 'part')} of {bars}",
        form=tuple(wrapped(form_line(sheet, order), "  ")),
        drawing=tuple(finding for pages in drawn for finding in pages.findings),
        questions=tuple(_questions(chart)) if pdf or questions else (),
    )
    return _with_report(made) if pdf else made


def _pdfs(
    chart: Chart, drawn: Sequence[Pages], names: Sequence[str]
) -> Iterator[NamedBytes]:
    """The PDF of each part, and one of all."""
    if not drawn:
        return
    for name, pages in zip(names, drawn, strict=True):
        yield NamedBytes(f"{name}.pdf", pages.pdf())
    everything = join_pages(drawn[0].title or chart.stem, drawn)
    name = f"{chart.stem}{_end(chart.decisions, _ALL_PARTS)}.pdf"
    yield NamedBytes(name, everything.pdf())


def _questions(chart: Chart) -> Iterator[Finding]:
    """What a proofreader asks beside what the reading told."""
    for finding in proofread(
        chart.sheet,
        readers=decided_readers(chart.decisions.without("names")),
        silence=tuple(map(Silence.parse, chart.decisions.texts("silence"))),
        reading=chart.findings,
    ):
        if finding.severity != "note" and finding not in chart.findings:
            yield finding


def _with_report(made: MadeParts) -> MadeParts:
    """With what to look at before the parts go to the band, as a file to read."""
    lines = [made.headline, "", "To look at:"]
    for line in finding_lines(made.questions):
        lines += wrapped(line, "  ")
    if not made.questions:
        lines.append("  nothing beside what is told below")
    lines += ["", "What was decided:", *made.summary(full=True), ""]
    end = _end(made.chart.decisions, _REPORT)
    report = NamedBytes(f"{made.chart.stem}{end}.txt", "\n".join(lines).encode())
    return evolve(made, files=(*made.files, report))
