"""Many charts: several processes, a report, and going on after an end too soon."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from leadsheet_theory.__main__ import main
from leadsheet_theory.cli._processes import each_result, jobs_asked
from leadsheet_theory.cli._report import Report
from leadsheet_theory.cli._say import UsageError

ROOT = Path(__file__).resolve().parents[2]
CHARTS = ROOT / "shared" / "charts"
SHUFFLE = CHARTS / "as_they_come" / "slack_water_shuffle.musicxml"
PARTS = ("parts", "--musicxml-only", "--quiet", "--book", "C, Bb")

Output = pytest.CaptureFixture[str]


def catalogue(folder: Path, number: int) -> Path:
    """A folder of so many charts, one of them torn."""
    charts = folder / "charts"
    charts.mkdir()
    text = SHUFFLE.read_text("utf-8")
    for index in range(number):
        chart = charts / f"tune {index:03}.musicxml"
        chart.write_text(text.replace("Slack Water", f"Slack {index}"), "utf-8")
    (charts / "torn.musicxml").write_text(text[:3000], "utf-8")
    return charts


def content(folder: Path) -> dict[str, bytes]:
    """All files of a folder."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


class TestParts:
    def run(self, charts: Path, to: Path, *options: str) -> int:
        report = ("--report", str(to / "report.jsonl"))
        return main([*PARTS, str(charts), "--to", str(to), *report, *options])

    def test_processes_make_the_same_and_a_bad_chart_stops_none(
        self, tmp_path: Path, capsys: Output
    ) -> None:
        charts = catalogue(tmp_path, 5)
        assert self.run(charts, tmp_path / "one", "--jobs", "1") == 1
        one = capsys.readouterr()
        assert self.run(charts, tmp_path / "two", "--jobs", "2") == 1
        two = capsys.readouterr()
        assert content(tmp_path / "one") == content(tmp_path / "two")
        assert one.out.replace("one", "two") == two.out
        assert one.err == two.err
        assert "1 chart of 6 failed:" in two.err
        lines = (tmp_path / "one" / "report.jsonl").read_text().splitlines()
        records = [json.loads(line) for line in lines]
        assert [Path(record["chart"]).name for record in records] == [
            "torn.musicxml",
            *(f"tune {index:03}.musicxml" for index in range(5)),
        ]
        assert records[0]["failed"]["code"] == "musicxml-read"
        (tune,) = records[1]["tunes"]
        assert len(tune["files"]) == 2

    def test_going_on_does_what_is_left(self, tmp_path: Path, capsys: Output) -> None:
        charts = catalogue(tmp_path, 3)
        whole, part = tmp_path / "whole", tmp_path / "part"
        assert self.run(charts, whole) == 1
        assert self.run(charts, part) == 1
        report = part / "report.jsonl"
        lines = report.read_text().splitlines(keepends=True)
        torn = part / ".report.jsonl.unfinished"
        torn.write_text("".join(lines[:2]) + lines[2][:50])  # as a kill leaves it
        report.unlink()
        (part / "musicxml" / "tune 001 - C.musicxml").unlink()
        changed = charts / "tune 000.musicxml"
        before = (part / "musicxml" / "tune 001 - Bb.musicxml").stat().st_mtime_ns
        (part / "musicxml" / ".tune 001 - C.musicxml.unfinished").write_text("to")
        capsys.readouterr()
        assert self.run(charts, part, "--resume") == 1
        assert "1 chart had not changed" in capsys.readouterr().err
        assert content(part) == content(whole)
        after = (part / "musicxml" / "tune 001 - Bb.musicxml").stat().st_mtime_ns
        assert after != before
        changed.write_bytes(changed.read_bytes().replace(b"Slack 0", b"Slack X"))
        assert self.run(charts, part, "--resume") == 1
        said = capsys.readouterr()
        assert said.out.startswith("Slack X Shuffle: ")
        assert said.out.count("written to") == 1
        assert "2 charts had not changed" in said.err
        assert self.run(charts, part, "--resume", "--style", "symbols") == 1
        assert "had not changed" not in capsys.readouterr().err

    def test_a_decision_that_changes_is_a_change(
        self, tmp_path: Path, capsys: Output
    ) -> None:
        charts = catalogue(tmp_path, 2)
        to = tmp_path / "made"
        assert self.run(charts, to) == 1
        (charts / "tune 001.toml").write_text('composer = "the cook"')
        capsys.readouterr()
        assert self.run(charts, to, "--resume") == 1
        assert capsys.readouterr().out.startswith("Slack 1 Shuffle")

    def test_wrong_options(self, tmp_path: Path, capsys: Output) -> None:
        chart = str(catalogue(tmp_path, 1) / "tune 000.musicxml")
        for options, says in (
            (["--resume"], "--resume needs --report FILE"),
            (["--jobs", "0"], "--jobs 0: expected at least 1"),
            (["--report", str(tmp_path)], "a folder, not a file"),
            (["--report", chart], "that is read, and is not written over"),
        ):
            with pytest.raises(SystemExit):
                main([*PARTS, chart, "--to", str(tmp_path), *options])
            assert says in capsys.readouterr().err


class TestProofread:
    def test_a_report_and_going_on(self, tmp_path: Path, capsys: Output) -> None:
        charts = catalogue(tmp_path, 5)
        loud = charts / "tune 002.musicxml"
        loud.write_bytes(loud.read_bytes().replace(b"Slack 2 Shuffle", b"SLACK"))
        command = ["proofread", str(charts), "--report", str(tmp_path / "report.jsonl")]
        said = []
        for jobs in ("1", "2"):
            assert main([*command, "--jobs", jobs]) == 1
            said.append(capsys.readouterr())
        assert said[0] == said[1]
        assert said[0].out.count("nothing to remark") == 5
        assert "titles in capitals and in small letters: SLACK" in said[0].out
        report = (tmp_path / "report.jsonl").read_bytes()
        assert main([*command, "--resume"]) == 1
        again = capsys.readouterr()
        assert "5 charts had not changed" in again.err
        assert again.out == said[0].out.splitlines(keepends=True)[-1]
        assert (tmp_path / "report.jsonl").read_bytes() == report


class TestBind:
    def test_books_that_have_not_changed_stay(
        self, tmp_path: Path, capsys: Output
    ) -> None:
        charts = catalogue(tmp_path, 1)
        (charts / "torn.musicxml").unlink()
        to = tmp_path / "books"
        report = ("--report", str(to / "report.jsonl"))
        command = ["bind", str(charts), "--to", str(to), "--book", "C", *report]
        assert main(command) == 0
        made = content(to)
        assert set(made) == {"Band book - C.pdf", "report.jsonl"}
        assert len(made["report.jsonl"].splitlines()) == 2
        capsys.readouterr()
        assert main([*command, "--resume"]) == 0
        assert capsys.readouterr().err == "the books have not changed\n"
        assert content(to) == made
        assert main([*command, "--resume", "--numbered"]) == 0
        assert content(to)["Band book - C.pdf"] != made["Band book - C.pdf"]


# ── The processes ────────────────────────────────────────────────────────────────


def _squared(number: int) -> int:
    if number == 7:
        os._exit(3)
    return number * number


def _minus(number: int) -> int:
    return -number


def test_a_process_that_dies_stops_no_other_work() -> None:
    found = list(each_result(_squared, range(10), jobs=2, died=_minus))
    assert found == [-7 if n == 7 else n * n for n in range(10)]


@pytest.mark.parametrize(
    ("asked", "charts", "jobs"), [(3, 1, 3), (None, 1, 1), (None, 7, 1)]
)
def test_a_few_charts_need_no_processes(
    asked: int | None, charts: int, jobs: int
) -> None:
    assert jobs_asked(asked, charts) == jobs
    with pytest.raises(UsageError):
        jobs_asked(0, 1)


def test_a_report_is_whole_or_that_of_before(tmp_path: Path) -> None:
    file = tmp_path / "report"
    with Report(file, resume=False) as report:
        report.add("a", '{"chart":"a"}')
        report.add("b", '{"chart":"b"}')
    before = file.read_bytes()
    with (
        pytest.raises(ZeroDivisionError),
        Report(file, resume=False) as report,
    ):
        report.add("a", '{"chart":"a","new":1}')
        raise ZeroDivisionError
    assert file.read_bytes() == before
    with pytest.raises(KeyboardInterrupt), Report(file, resume=True) as report:
        assert report.earlier("a") == '{"chart":"a","new":1}'
        assert report.earlier("c") == ""
        report.add("a", '{"chart":"a","new":2}')
        raise KeyboardInterrupt
    assert file.read_text() == '{"chart":"a","new":2}\n{"chart":"b"}\n'
    assert [path.name for path in tmp_path.iterdir()] == ["report"]


@pytest.mark.skipif(os.name == "nt", reason="signals of another kind")
class TestEndedTooSoon:
    """The program is ended while it works; a second run does what is left."""

    def begin(self, charts: Path, to: Path, *options: str) -> subprocess.Popen[str]:
        report = ("--report", str(to / "report.jsonl"), "--jobs", "2")
        command = [*PARTS, str(charts), "--to", str(to), *report, *options]
        return subprocess.Popen(
            [sys.executable, "-m", "leadsheet_theory", *command],
            cwd=ROOT,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            encoding="utf-8",
            start_new_session=True,
        )

    def ended(
        self, charts: Path, to: Path, end: Callable[[subprocess.Popen[str]], None]
    ) -> tuple[int, str]:
        """The exit code and the complaints of a run that is ended once it has begun to
        write."""
        with self.begin(charts, to) as program:
            while not list((to / "musicxml").glob("tune 002 - *.musicxml")):
                time.sleep(0.01)
            end(program)
            _, said = program.communicate()
        return program.returncode, said

    def ended_early(
        self,
        charts: Path,
        to: Path,
        end: Callable[[subprocess.Popen[str]], None],
        code: int,
    ) -> tuple[Path, str]:
        """The folder of a run that was ended before it was done, and its complaints; on
        a busy machine a run may be done first, and another is tried."""
        for number in range(5):
            folder = to.with_name(f"{to.name} {number}")
            ended, said = self.ended(charts, folder, end)
            if ended == code:
                return folder, said
        pytest.fail(f"five runs ended with {ended}")

    def test_killed_and_interrupted(self, tmp_path: Path) -> None:
        charts = catalogue(tmp_path, 40)
        with self.begin(charts, tmp_path / "whole") as program:
            program.communicate()
        killed, _ = self.ended_early(
            charts, tmp_path / "killed", lambda program: program.kill(), -signal.SIGKILL
        )
        interrupted, said = self.ended_early(
            charts,
            tmp_path / "interrupted",
            lambda program: os.killpg(program.pid, signal.SIGINT),
            130,
        )
        assert "of 41 charts done, of the others nothing is written; --resume" in said
        assert "Traceback" not in said
        lines = (interrupted / "report.jsonl").read_text().splitlines()
        parts = list((interrupted / "musicxml").iterdir())
        assert len(parts) == 2 * (len(lines) - 1) < 80
        for folder in (killed, interrupted):
            with self.begin(charts, folder, "--resume") as program:
                program.communicate()
            assert content(folder) == content(tmp_path / "whole")
