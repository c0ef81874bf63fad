"""The worked notebook of the documentation runs from top to bottom."""

from __future__ import annotations

from pathlib import Path

import nbformat
from nbclient import NotebookClient

ROOT = Path(__file__).resolve().parents[2]
NOTEBOOK = ROOT / "docs" / "notebooks" / "a_tune.ipynb"


def test_it_runs_and_shows_music_not_text() -> None:
    notebook = nbformat.read(NOTEBOOK, as_version=4)
    assert not any(cell.get("outputs") for cell in notebook.cells), "kept without"
    client = NotebookClient(
        notebook, timeout=120, resources={"metadata": {"path": str(ROOT)}}
    )
    cells = client.execute().cells
    shown = [output for cell in cells for output in cell.get("outputs", ())]
    for output in shown:
        text = output.get("text") or output["data"]["text/plain"]
        assert len(text) < 10_000
    kinds = [set(output.get("data", ())) for output in shown]
    assert sum("text/html" in kind for kind in kinds) >= 6
    assert "image/svg+xml" in kinds[-1]
    said = "".join(output.get("text", "") for output in shown)
    assert "F♯ is enharmonically" in said or "F♯" in said
