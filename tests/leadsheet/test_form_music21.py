"""The order of playing beside music21's expansion, for fiddle tunes of its corpus
(*Ryan's Mammoth Collection*, 1883, as ABC) with repeats and endings, and for a
sample of lead sheets where those are at hand."""

from __future__ import annotations

from pathlib import Path

import pytest

music21 = pytest.importorskip("music21")

from expanded_repeats import bars_of, compare  # noqa: E402

from leadsheet_theory.leadsheet.folding import fold, unfold  # noqa: E402
from leadsheet_theory.musicxml import read_lead_sheet  # noqa: E402

SHEETS = Path(__file__).resolve().parents[2] / "../shared/leadsheets"
TUNES = music21.corpus.getPaths(fileExtensions=(".abc",))
TUNES = sorted(path for path in TUNES if path.parent.name == "ryansMammoth")


@pytest.mark.parametrize("path", TUNES[::100], ids=lambda path: path.stem)
def test_fiddle_tunes(path: Path) -> None:
    score = music21.converter.parse(path)
    bars = bars_of(score.parts[0])
    found = compare(bars, score)
    if found.refusal:
        assert found.problems
    elif any("with no start" in problem for problem in found.problems):
        # music21 goes back to the beginning, we to the bar after the repeat before.
        assert len(found.ours) < len(found.theirs)
    else:
        assert found.equal, found
    page = fold(bars, same=lambda bar: bar.number).bars
    assert [b.number for b in unfold(page)] == [b.number for b in unfold(bars)]


@pytest.mark.skipif(not SHEETS.is_dir(), reason="../shared/leadsheets is not here")
@pytest.mark.parametrize("name", ["ls036", "ls044", "ls123", "ls033", "ls160"])
def test_lead_sheets(name: str) -> None:
    """Two D.S. al Coda, one in a repeat, a bracket to draw out, a refusal."""
    path = SHEETS / f"{name}.mxl"
    bars = read_lead_sheet(path).sheet.bars
    found = compare(bars, music21.converter.parse(path))
    if name == "ls160":  # D.C. al Coda without a To Coda
        assert found.refusal
        assert found.problems
    else:
        assert found.equal, found
        assert found.mended == (name == "ls033")
