"""Parts as files in a folder: what they are called, and that each is whole."""

from __future__ import annotations

from pathlib import Path

from attrs import evolve

from leadsheet_theory import make_parts, read_lead_sheet, write_part, write_parts
from leadsheet_theory.chords import SYMBOLS

ROOT = Path(__file__).resolve().parents[2]
SHEET = read_lead_sheet(ROOT / "shared/charts/rope_walk.musicxml").sheet


def test_each_part_is_a_file_named_after_tune_and_part(tmp_path: Path) -> None:
    parts = make_parts(evolve(SHEET, title="Ebb / Flow?"), books=["Bb", "flute"])
    paths = write_parts(parts, tmp_path / "new", style=SYMBOLS)
    assert [path.name for path in paths] == [
        "Ebb - Flow- - Bb.musicxml",
        "Ebb - Flow- - Flute.musicxml",
    ]
    for path, part in zip(paths, parts, strict=True):
        assert path.read_bytes() == write_part(part, style=SYMBOLS)
    assert len(list(tmp_path.rglob("*.*"))) == 2


def test_the_name_may_be_chosen(tmp_path: Path) -> None:
    (path,) = write_parts(make_parts(SHEET, books="F"), tmp_path, name="Set 2")
    assert path == tmp_path / "Set 2 - F.musicxml"
    assert path.exists()
