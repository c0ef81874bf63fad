"""What the commands do to files: none is lost, overwritten or taken for another."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest

from leadsheet_theory.__main__ import main
from leadsheet_theory.musicxml.writing.files import is_written_part

ROOT = Path(__file__).resolve().parents[2]
CHARTS = ROOT / "shared" / "charts"
WALTZ = CHARTS / "waltz_for_a_moored_ferry.musicxml"
SHUFFLE = CHARTS / "as_they_come" / "slack_water_shuffle.musicxml"
PARTS = ("parts", "--musicxml-only", "--quiet", "--book", "C")
TUNE = 'X:1\nT:{}\nM:4/4\nL:1/4\nK:C\n"C"CDEF|]\n\n'

Output = pytest.CaptureFixture[str]


def copied(*charts: Path) -> list[str]:
    """The shuffle under other names."""
    for chart in charts:
        chart.parent.mkdir(parents=True, exist_ok=True)
        chart.write_bytes(SHUFFLE.read_bytes())
    return [str(chart) for chart in charts]


def made(folder: Path) -> list[str]:
    """The names of the parts that were made."""
    return sorted(path.name for path in (folder / "musicxml").iterdir())


def test_charts_of_one_name_are_numbered_and_told(
    tmp_path: Path, capsys: Output
) -> None:
    charts = copied(
        tmp_path / "A" / "tune.musicxml",
        tmp_path / "A" / "TUNE.xml",
        tmp_path / "B" / "tune (2).musicxml",
    )
    to = tmp_path / "parts"
    assert main([*PARTS, *charts, "--to", str(to)]) == 0
    assert made(to) == [
        "TUNE (2) - C.musicxml",
        "tune (2) (2) - C.musicxml",
        "tune - C.musicxml",
    ]
    said = capsys.readouterr().err
    assert f"{charts[1]}: the files made from it are called 'TUNE (2)'" in said
    assert "(another file has or needs its name)" in said


def test_tunes_of_one_file_and_other_files_share_no_names(
    tmp_path: Path, capsys: Output
) -> None:
    tunes = tmp_path / "set.abc"
    tunes.write_text(TUNE.format("Ebb") + TUNE.format("Ebb") + TUNE.format("A?B"))
    charts = [str(tunes), *copied(tmp_path / "set, ebb.musicxml")]
    assert main([*PARTS, *charts, "--to", str(tmp_path)]) == 0
    assert made(tmp_path) == [
        "set, A-B - C.musicxml",
        "set, Ebb (2) - C.musicxml",
        "set, Ebb - C.musicxml",
        "set, ebb (3) - C.musicxml",
    ]
    assert "called 'set, Ebb (2)'" in capsys.readouterr().err


def test_parts_of_one_name_are_numbered(tmp_path: Path) -> None:
    named = ("--book", "Bb", "--name", "C = Report", "--name", "Bb = Report")
    command = [*PARTS, *named, *copied(tmp_path / "tune.xml"), "--to", str(tmp_path)]
    assert main(command) == 0
    assert made(tmp_path) == [
        "tune - Report (2).musicxml",
        "tune - Report (3).musicxml",
    ]


def test_names_are_legal_and_not_too_long(tmp_path: Path) -> None:
    charts = copied(tmp_path / f"{'ebb' * 80}.xml", tmp_path / "aux?.xml")
    assert main([*PARTS, *charts, "--to", str(tmp_path)]) == 0
    names = made(tmp_path)
    assert names[0] == "aux- - C.musicxml"
    assert len(names[1]) == 240


def test_a_chart_is_never_written_over(tmp_path: Path) -> None:
    there = tmp_path / "musicxml"
    charts = copied(there / "tune.xml", there / "tune - C.musicxml")
    assert main([*PARTS, *charts, "--to", str(tmp_path)]) == 0
    assert Path(charts[1]).read_bytes() == SHUFFLE.read_bytes()
    assert "tune (2) - C.musicxml" in made(tmp_path)


@pytest.mark.parametrize("command", ["abc", "midi", "setlist"])
def test_no_command_writes_over_what_it_reads(
    command: str, tmp_path: Path, capsys: Output
) -> None:
    (chart,) = copied(tmp_path / "tune.xml")
    with pytest.raises(SystemExit):
        main([command, chart, "--to", chart])
    assert "that is read, and is not written over" in capsys.readouterr().err
    assert Path(chart).read_bytes() == SHUFFLE.read_bytes()


def test_parts_of_an_earlier_run_are_no_charts(tmp_path: Path, capsys: Output) -> None:
    (chart,) = copied(tmp_path / "musicxml" / "tune.xml")
    heading = ("--heading", "")
    assert main([*PARTS, chart, "--to", str(tmp_path), *heading]) == 0
    (part,) = (p for p in (tmp_path / "musicxml").iterdir() if str(p) != chart)
    part.rename(tmp_path / "musicxml" / "another.musicxml")
    assert main([*PARTS, str(Path(chart).parent), "--to", str(tmp_path / "new")]) == 0
    assert made(tmp_path / "new") == ["tune - C.musicxml"]
    assert "a part made earlier, not taken for charts" in capsys.readouterr().err


def test_tunes_of_one_title_are_two_files_of_sound(tmp_path: Path) -> None:
    tunes = tmp_path / "set.abc"
    tunes.write_text(TUNE.format("Ebb") * 2)
    assert main(["midi", str(tunes), "--to", str(tmp_path / "made.mid")]) == 0
    assert sorted(path.name for path in tmp_path.glob("*.mid")) == [
        "made, set, Ebb (2).mid",
        "made, set, Ebb.mid",
    ]


def test_a_chart_named_twice_is_made_once(tmp_path: Path) -> None:
    (chart,) = copied(tmp_path / "charts" / "tune.xml")
    folder = os.path.relpath(tmp_path / "charts")
    assert main([*PARTS, chart, folder, "--to", str(tmp_path)]) == 0
    assert made(tmp_path) == ["tune - C.musicxml"]


def test_names_that_are_no_text(tmp_path: Path) -> None:
    chart = tmp_path / os.fsdecode(b"ebb\xff.xml")
    try:
        copied(chart)
    except OSError:
        pytest.skip("the disk takes no such name")
    report = tmp_path / "report"
    command = [*PARTS, str(tmp_path), "--report", str(report)]
    assert main([*command, "--to", str(tmp_path / "made")]) == 0
    assert made(tmp_path / "made") == ["ebb- - C.musicxml"]
    assert main([*command, "--to", str(tmp_path / "made"), "--resume"]) == 0


def test_demo_charts_are_no_parts() -> None:
    assert not is_written_part(WALTZ.read_bytes())


@pytest.mark.skipif(os.name == "nt", reason="no such pipes")
def test_only_regular_files_are_read(tmp_path: Path, capsys: Output) -> None:
    (chart,) = copied(tmp_path / "tune.xml")
    for name in ("pipe.xml", "pipe.abc", "tune.toml", "band.toml"):
        os.mkfifo(tmp_path / name)
    to = ("--to", str(tmp_path / "made"))
    assert main([*PARTS, str(tmp_path), *to]) == 0
    assert made(tmp_path / "made") == ["tune - C.musicxml"]
    assert "pipe.xml: no regular file, left out" in capsys.readouterr().err
    for name in ("pipe.xml", "pipe.abc"):
        assert main([*PARTS, chart, str(tmp_path / name), *to]) == 1
        assert f"{name}: not a regular file" in capsys.readouterr().err


class TestTerminals:
    def run(self, command: str, **more: str) -> subprocess.CompletedProcess[str]:
        """A command of the shell, with the program's name put in."""
        program = f"{sys.executable} -m leadsheet_theory"
        return subprocess.run(
            ["/bin/sh", "-c", command.replace("PROGRAM", program)],
            cwd=ROOT,
            env={**os.environ, **more},
            stdin=subprocess.DEVNULL,
            capture_output=True,
            encoding="utf-8",
            check=False,
        )

    @pytest.mark.skipif(os.name == "nt", reason="another shell")
    def test_closed_streams(self, tmp_path: Path) -> None:
        (chart,) = copied(tmp_path / "tune.xml")
        command = f"PROGRAM parts --book C {chart} --to {tmp_path} <&- >&- 2>&-"
        done = self.run(command)
        assert done.returncode == 0
        assert made(tmp_path) == ["tune - C.musicxml"]
        assert (tmp_path / "tune - C.pdf").read_bytes()[:5] == b"%PDF-"

    @pytest.mark.skipif(not Path("/dev/full").exists(), reason="no such device")
    def test_a_result_that_cannot_be_written(self) -> None:
        done = self.run("PROGRAM chord Bb7 > /dev/full")
        assert done.returncode == 1
        assert "can't be written: No space left on device" in done.stderr
        assert "Traceback" not in done.stderr

    @pytest.mark.skipif(os.name == "nt", reason="no such terminals")
    @pytest.mark.parametrize("columns", ["3", "40"])
    def test_progress_and_narrow_lines_on_a_terminal(
        self, columns: str, tmp_path: Path
    ) -> None:
        charts = copied(tmp_path / "one.xml", tmp_path / "two.xml")
        ours, theirs = pty.openpty()
        with subprocess.Popen(
            [sys.executable, "-m", "leadsheet_theory", "proofread", *charts],
            cwd=ROOT,
            env={**os.environ, "COLUMNS": columns, "PYTHONIOENCODING": "ascii"},
            stdin=subprocess.DEVNULL,
            stdout=theirs,
            stderr=theirs,
        ) as program:
            os.close(theirs)
            said = b""
            while True:
                try:
                    said += os.read(ours, 10_000)
                except OSError:
                    break
        os.close(ours)
        assert program.returncode == 0
        assert b"Traceback" not in said
        lines = said.decode().splitlines()
        assert lines[0] == "[1/2] one.xml"[: max(int(columns) - 1, 12)]
        shown = " ".join(" ".join(lines[1:3]).split())
        assert shown.startswith("Slack Water Shuffle: nothing ")

    def test_no_progress_where_there_is_no_terminal(
        self, tmp_path: Path, capsys: Output
    ) -> None:
        charts = copied(tmp_path / "one.xml", tmp_path / "two.xml")
        command = ["parts", "--musicxml-only", "--book", "C", *charts]
        assert main([*command, "--to", str(tmp_path)]) == 0
        assert capsys.readouterr().err == ""
