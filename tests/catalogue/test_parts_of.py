"""From the bytes of a chart to files: the function that workers are given."""

from __future__ import annotations

import json
import pickle
from pathlib import Path

import pytest

from leadsheet_theory.__main__ import main
from leadsheet_theory.catalogue import parts_of, read_charts
from leadsheet_theory.data import DATA_FORMAT, DATA_VERSION, from_data
from leadsheet_theory.decisions import decisions_from
from leadsheet_theory.errors import AbcReadError, DecisionError, MusicXMLReadError
from leadsheet_theory.leadsheet import Finding
from leadsheet_theory.parts import PartReport

ROOT = Path(__file__).resolve().parents[2]
WALTZ = ROOT / "shared" / "charts" / "waltz_for_a_moored_ferry.musicxml"
TUNE = b'X:1\nT:Ebb\nM:4/4\nL:1/4\nK:C\n"C"CDEF|]\n\n'
TWO = decisions_from({"books": ["Bb", "bass clef"], "key": "F"})


def value(data: object) -> object:
    whole = {"format": DATA_FORMAT, "version": DATA_VERSION, "value": data}
    return from_data(whole)  # type: ignore[arg-type]


def test_it_can_be_sent_to_a_worker_and_gives_the_same() -> None:
    there = pickle.loads(pickle.dumps(parts_of))
    files = there(WALTZ.read_bytes(), TWO, name=WALTZ.name)
    assert files == parts_of(WALTZ.read_bytes(), TWO, name=WALTZ.name)
    assert pickle.loads(pickle.dumps(files)) == files


def test_the_files_are_those_of_the_command(tmp_path: Path) -> None:
    report = tmp_path / "report.jsonl"
    options = ["--book", "Bb", "--book", "bass clef", "--key", "F"]
    to = ["--to", str(tmp_path / "made"), "--report", str(report)]
    command = ["parts", str(WALTZ), *to, *options]
    assert main(command) == 0
    *files, last = parts_of(WALTZ.read_bytes(), TWO, name=WALTZ.name, pdf=True)
    made = {
        path.relative_to(tmp_path / "made").as_posix(): path.read_bytes()
        for path in (tmp_path / "made").rglob("*")
        if path.is_file()
    }
    assert {file.name: file.data for file in files} == made
    assert len(made) == 6
    ours = json.loads(last.data)
    theirs = json.loads(report.read_text())
    assert theirs["chart"] == str(WALTZ)
    assert {**ours, "chart": str(WALTZ)} == theirs


def test_the_report_holds_values_and_hashes() -> None:
    *files, last = parts_of(WALTZ.read_bytes(), name=WALTZ.name)
    report = json.loads(last.data)
    (tune,) = report["tunes"]
    assert tune["files"] == {file.name: file.sha256 for file in files}
    kinds = {type(value(data)) for data in (*tune["findings"], *tune["questions"])}
    assert kinds <= {Finding}
    reports = [value(part["report"]) for part in tune["parts"]]
    assert all(isinstance(each, PartReport) for each in reports)
    assert report["failed"] is None
    assert len(report["input"]) == len(report["options"]) == 64


def test_tunes_of_one_file_have_names_of_their_own() -> None:
    files = parts_of(TUNE * 2, decisions_from({"books": ["C"]}), name="set.abc")
    assert [file.name for file in files] == [
        "musicxml/set, Ebb - C.musicxml",
        "musicxml/set, Ebb (2) - C.musicxml",
        "set - report.json",
    ]


@pytest.mark.parametrize("name", ["../tune.xml", "a/tune.xml"])
def test_a_name_leads_nowhere(name: str) -> None:
    with pytest.raises(DecisionError, match="without folders"):
        parts_of(WALTZ.read_bytes(), name=name)


@pytest.mark.parametrize(
    ("data", "name", "error"),
    [
        (b"", "tune.mxl", MusicXMLReadError),
        (b"<a/>", "tune", MusicXMLReadError),
        (b"", "tune", AbcReadError),
        (b"PK\3\4", "tune", MusicXMLReadError),
    ],
)
def test_what_is_no_chart_is_refused(
    data: bytes, name: str, error: type[Exception]
) -> None:
    with pytest.raises(error):
        parts_of(data, name=name)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_bytes_tell_their_format_where_the_name_does_not(encoding: str) -> None:
    text = WALTZ.read_text("utf-8").replace('encoding="UTF-8"', "")
    (chart,) = read_charts(text.encode(encoding), name="waltz")
    assert chart.sheet.title == "Waltz for a Moored Ferry"
    (tune,) = read_charts(TUNE, name="tune")
    assert tune.sheet.title == "Ebb"
