"""Charts of a catalogue: read from the bytes of a file, as is decided for them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from io import BytesIO
from typing import Final

from attrs import frozen

from .._doors import door
from ..abc.reading.read import read_abc
from ..decisions.by_hand import ByHand, decided_by_hand
from ..decisions.making import decided_sheet
from ..decisions.model import Decisions
from ..errors import UnknownStaffError
from ..files import Wish, plan_names, safe_name
from ..leadsheet.findings import Finding
from ..leadsheet.model import LeadSheet
from ..musicxml.reading.read import parse_lead_sheet
from .telling import as_typed

__all__ = ("NOTHING_DECIDED", "Chart", "chart_stems", "read_charts")

NOTHING_DECIDED: Final = Decisions()
"""Where nothing is decided."""
_MOST_OF_A_TITLE: Final = 60
_ANY_END: Final = (("", "."),)

_Read = list[tuple[LeadSheet, tuple[Finding, ...]]]


@frozen(order=False, kw_only=True)
class Chart:
    """A chart that has been read: its `sheet` in its own key, what its file holds
    beside (`findings`), what to call it (`name`), how the files made from it begin
    (`stem`), how many `tunes` stand in its file, and what is decided for it."""

    sheet: LeadSheet
    findings: tuple[Finding, ...]
    name: str
    stem: str
    tunes: int = 1
    decisions: Decisions = NOTHING_DECIDED

    @property
    def played(self) -> LeadSheet:
        """The sheet in the key that it is to be played in."""
        return decided_sheet(self.sheet, self.decisions)

    @property
    def title(self) -> str:
        """The tune's title, or what the chart is called."""
        return self.sheet.title or self.name


@door
def read_charts(
    data: bytes,
    /,
    *,
    name: str,
    decisions: Decisions = NOTHING_DECIDED,
    stems: Sequence[str] = (),
) -> tuple[Chart, ...]:
    """The charts in a file: one in MusicXML, as many as there are tunes in ABC.

    Args:
        data: the bytes of the file.
        name: what the file is called; its ending tells the format, or else what the
            bytes begin with.
        decisions: what is decided for its charts.
        stems: how the names of files made from each begin; by default the name without
            what tells its kind, and where there are several tunes their titles.

    Raises:
        TheoryError: as :func:`.read_lead_sheet` and :func:`.read_abc`.

    >>> tune, = read_charts(b"X:1\\nT:Bollard\\nK:C\\nCDEF|]", name="bollard.abc")
    >>> tune.stem, str(tune.sheet)
    ('bollard', 'Bollard (1 bar, C major, 4/4)')
    """
    try:
        results, by_hand = _read(data, name, decisions)
    except UnknownStaffError as error:
        for decision in (*decisions.of("hits"), *decisions.of("bass-line")):
            if decision.file and decision.value == error.name:
                raise decision.wrong(error) from None
        raise
    sheets = [decided_sheet(read, decisions.without("key")) for read, _ in results]
    named = stems or chart_stems(name, [sheet.title for sheet in sheets])
    if not stems:
        named = plan_names(Wish(stem, _ANY_END) for stem in named)
    alone = len(results) == 1
    return tuple(
        Chart(
            sheet=sheet,
            findings=findings,
            name=name if alone else f"{name}, {sheet.title or 'untitled'}",
            stem=stem,
            tunes=len(results),
            decisions=by_hand.decisions.followed_by(decisions),
        )
        for sheet, (_, findings), stem in zip(sheets, results, named, strict=True)
    )


def _read(data: bytes, name: str, decisions: Decisions) -> tuple[_Read, ByHand]:
    """The tunes of a file with what is told of each, and what was decided by hand."""
    results: _Read
    by_hand = ByHand()
    if _is_xml(data, name):
        result = parse_lead_sheet(
            data,
            hits=decisions.text("hits"),
            bass_line=decisions.text("bass-line"),
        )
        if decisions.text("players-staves") != "left out" and not decisions.of("key"):
            corrected = decided_sheet(result.sheet, decisions)
            by_hand = decided_by_hand(corrected, result.doublings)
        findings = (*result.findings, *by_hand.findings)
        results = [(result.sheet, tuple(as_typed(findings)))]
    else:
        tunes = read_abc(
            BytesIO(data),
            hits=decisions.text("hits"),
            bass_line=decisions.text("bass-line"),
        )
        results = [(tune.sheet, tune.findings) for tune in tunes]
    return results, by_hand


def chart_stems(name: str, titles: Sequence[str], /) -> tuple[str, ...]:
    """How the names of files made from the tunes of a file would begin, were there no
    others.

    >>> chart_stems("set.abc", ["Ebb", "Flow"])
    ('set, Ebb', 'set, Flow')
    """
    base = re.sub(r"(?<=.)\.[^.]*$", "", name)
    if len(titles) < 2:
        return (base,)
    return tuple(f"{base}, {safe_name(each)[:_MOST_OF_A_TITLE]}" for each in titles)


def _is_xml(data: bytes, name: str) -> bool:
    """Whether bytes are MusicXML, plain or compressed, in whatever encoding; the name
    tells where its ending is known."""
    ending = name.rpartition(".")[2].lower()
    if ending in ("musicxml", "xml", "mxl", "abc"):
        return ending != "abc"
    head = data[:200].removeprefix(b"\xef\xbb\xbf").replace(b"\0", b"").lstrip()
    return head.startswith((b"PK", b"<", b"\xff\xfe<", b"\xfe\xff<"))
