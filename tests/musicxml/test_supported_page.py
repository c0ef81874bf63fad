"""The page that tells what of MusicXML is left out names what the reader leaves out."""

from __future__ import annotations

from pathlib import Path

import pytest

from leadsheet_theory.musicxml.reading._report import (
    ABOUT_THE_FILE,
    ENGRAVING,
    PLAYBACK,
)

PAGE = Path(__file__).resolve().parents[2] / "docs" / "supported.rst"


@pytest.mark.parametrize("element", sorted(ENGRAVING | PLAYBACK | ABOUT_THE_FILE))
def test_elements_left_out_on_purpose_are_documented(element: str) -> None:
    assert f"``{element}``" in PAGE.read_text(encoding="utf-8")
