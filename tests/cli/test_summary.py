"""The summary of ``parts`` leads to decisions: each doubt names its option, and each
option does what is said of it."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from leadsheet_theory.__main__ import main

ROOT = Path(__file__).resolve().parents[2]
CHARTS = sorted((ROOT / "shared" / "charts").rglob("*.musicxml"))
DEMO = ROOT / "shared" / "charts" / "harbourmasters_day_off.musicxml"

Output = pytest.CaptureFixture[str]

_OPTION = re.compile(r"--[a-z-]+(?: '[^']*'| [A-Za-z0-9:.-]+)?")
_LISTING = ("--summary", "--respell", "--respell-note")  # these have tests of their own


def summary(chart: Path, folder: Path, capsys: Output, *options: str) -> list[str]:
    """The remarks of the summary, each in one line."""
    command = ("parts", str(chart), "--to", str(folder), "--musicxml-only")
    assert main([*command, "--book", "C, bass clef", *options]) == 0
    remarks: list[str] = []
    for line in capsys.readouterr().out.splitlines()[1:]:
        text = line.strip()
        indent = len(line) - len(line.lstrip())
        starts = re.match(r"(note|query|warning|error): |[^ ].*: key ", text)
        if starts or indent == 2 or text.startswith(("an octave", "2 octaves")):
            remarks.append(text)
        else:
            remarks[-1] += f" {text}"
    return remarks


@pytest.mark.parametrize("chart", CHARTS, ids=lambda path: path.stem)
def test_each_doubt_names_an_option_that_settles_it(
    chart: Path, tmp_path: Path, capsys: Output
) -> None:
    told = summary(chart, tmp_path / "usual", capsys)
    tried = 0
    for remark in told:
        doubtful = re.match(r"(query|warning|error): ", remark)
        options = [
            option
            for option in _OPTION.findall(remark)
            if option.split()[0] not in _LISTING and not option.isupper()
        ]
        assert options or not doubtful, remark
        for option in options:
            if "NAME:STAFF" in option:
                continue
            words = shlex.split(option)
            if words[0] in ("--no-solo-page", "--solo-hits", "--letters"):
                words = words[:1]
            again = summary(chart, tmp_path / str(tried), capsys, *words)
            assert remark not in again, option
            tried += 1


def test_the_summary_of_the_demo_is_short(tmp_path: Path, capsys: Output) -> None:
    assert main(["parts", str(DEMO), "--to", str(tmp_path), "--musicxml-only"]) == 0
    assert len(capsys.readouterr().out.splitlines()) <= 20


def test_what_was_respelled_is_listed_where_it_says(
    tmp_path: Path, capsys: Output
) -> None:
    said = " ".join(summary(DEMO, tmp_path, capsys, "--book", "Bb"))
    assert "--summary full lists what was respelled" in said
    full = summary(DEMO, tmp_path, capsys, "--book", "Bb", "--summary", "full")
    assert any("respelled chords:" in remark for remark in full)


def test_reading_is_silenced_like_any_rule(tmp_path: Path, capsys: Output) -> None:
    chart = ROOT / "shared" / "charts" / "as_they_come" / "tide_table.musicxml"
    assert any("printed '1.-2.'" in each for each in summary(chart, tmp_path, capsys))
    (tmp_path / "tune.musicxml").write_bytes(chart.read_bytes())
    (tmp_path / "tune.toml").write_text('silence = ["ending: 6"]', encoding="utf-8")
    told = summary(tmp_path / "tune.musicxml", tmp_path, capsys)
    assert not any("printed '1.-2.'" in each for each in told)
