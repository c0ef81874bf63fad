"""The command line as its users meet it: what is printed, written and returned."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from fractions import Fraction
from pathlib import Path

import pytest
from attrs import evolve
from pypdf import PdfReader

from leadsheet_theory import read_lead_sheet
from leadsheet_theory.__main__ import main
from leadsheet_theory.abc import read_abc
from leadsheet_theory.cli import COMMANDS
from leadsheet_theory.errors import DrawingError
from leadsheet_theory.leadsheet import Rest
from leadsheet_theory.musicxml import parse_lead_sheet, write_lead_sheet

ROOT = Path(__file__).resolve().parents[2]
CHARTS = ROOT / "shared" / "charts"
DEMO = CHARTS / "harbourmasters_day_off.musicxml"
SHUFFLE = CHARTS / "as_they_come" / "slack_water_shuffle.musicxml"
WALTZ = CHARTS / "waltz_for_a_moored_ferry.musicxml"

Output = pytest.CaptureFixture[str]


def shell(*arguments: str, **more: object) -> subprocess.CompletedProcess[str]:
    """The command as a program of its own."""
    return subprocess.run(
        [sys.executable, "-m", "leadsheet_theory", *arguments],
        cwd=ROOT,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        encoding="utf-8",
        check=False,
        **more,  # type: ignore[call-overload]
    )


def usage_error(capsys: Output, *arguments: str) -> str:
    """What is said of a command that is given wrongly; its exit code is 2."""
    with pytest.raises(SystemExit) as caught:
        main(arguments)
    assert caught.value.code == 2
    return capsys.readouterr().err.splitlines()[-1]


@pytest.mark.parametrize("command", COMMANDS)
def test_a_wrong_call_is_answered_in_two_lines(command: str, capsys: Output) -> None:
    with pytest.raises(SystemExit):
        main([command, "--no-such-option"])
    usage, error = capsys.readouterr().err.splitlines()
    assert usage.startswith("usage: ") and usage.endswith(" [options]")
    assert "error: " in error


def test_no_option_of_the_parts_stands_outside_a_group(capsys: Output) -> None:
    with pytest.raises(SystemExit):
        main(["parts", "--help"])
    plain = capsys.readouterr().out.split("\noptions:\n")[1].split("\n\n")[0]
    assert plain.count("\n  -") + 1 == 3  # help, folder, and whether MusicXML alone


PARTS = ("parts", "--musicxml-only")  # without drawing, which takes its time


class TestParts:
    def test_the_five_books_are_the_usual_set(
        self, tmp_path: Path, capsys: Output
    ) -> None:
        assert main([*PARTS, str(DEMO), "--to", str(tmp_path)]) == 0
        names = sorted(path.name for path in (tmp_path / "musicxml").iterdir())
        assert names == [
            f"harbourmasters_day_off - {book}.musicxml"
            for book in ("Bass clef", "Bb", "C", "Eb", "F")
        ]
        for path in (tmp_path / "musicxml").iterdir():
            assert path.read_bytes().startswith(b"<?xml")
        out = capsys.readouterr().out
        assert out.startswith(
            f"Harbourmaster's Day Off: 5 parts of 32 bars written to {tmp_path}\n"
        )
        assert "B♭: key B♭ major, range D4 to G5, " in out
        assert "an octave down, written C3–F4" in out
        assert "an octave down" in out
        assert "(--octave 'Bass clef = 0' leaves it)" in " ".join(out.split())
        assert len(out.splitlines()) <= 20
        form = "pickup 1½ beats, A 4, first ending 4, second ending 4, B 8, C 12: "
        assert form in " ".join(out.split())

    @pytest.mark.parametrize(
        ("meter", "pickup", "said"),
        [
            ("6/8", "B", "pickup 1 eighth,"),
            ("6/8", "ABc", "pickup 3 eighths,"),
            ("4/4", "B", "pickup ½ beat,"),
            ("4/4", "B2 c2", "pickup 2 beats,"),
            ("2/2", "B2", "pickup ½ beat,"),
        ],
    )
    def test_a_pickup_is_counted_as_its_metre_is(
        self, tmp_path: Path, capsys: Output, meter: str, pickup: str, said: str
    ) -> None:
        bar = "B6" if meter == "6/8" else "B8"
        chart = tmp_path / "tune.abc"
        chart.write_text(f"X:1\nT:Tune\nM:{meter}\nL:1/8\nK:C\n{pickup} | {bar} |]\n")
        assert main([*PARTS, str(chart), "--to", str(tmp_path / "to")]) == 0
        assert said in capsys.readouterr().out

    def test_the_coda_is_told_apart(self, tmp_path: Path, capsys: Output) -> None:
        chart = DEMO.parent / "rope_walk.musicxml"
        command = [*PARTS, str(chart), "--to", str(tmp_path), "--musicxml-only"]
        assert main(command) == 0
        assert "  A 8, B 4, coda 3: 22 bars as played\n" in capsys.readouterr().out

    def test_all_that_was_respelled(self, tmp_path: Path, capsys: Output) -> None:
        command = [*PARTS, str(DEMO), "--to", str(tmp_path), "--summary", "full"]
        assert main(command) == 0
        assert "D♭m7 (not C♯m7) in bars 1 and 21" in capsys.readouterr().out

    def test_books_and_instruments_of_ones_own_choice(
        self, tmp_path: Path, capsys: Output
    ) -> None:
        chosen = ("--book", "Bb", "--instrument", "bass trombone", "--book", "b-flat")
        assert main([*PARTS, str(DEMO), "--to", str(tmp_path), *chosen]) == 0
        assert sorted(path.stem for path in (tmp_path / "musicxml").iterdir()) == [
            "harbourmasters_day_off - Bass Trombone",
            "harbourmasters_day_off - Bb",
        ]
        assert "2 parts of 32 bars" in capsys.readouterr().out

    def test_one_chord_of_one_part_respelled(self, tmp_path: Path) -> None:
        wish = ("--respell", "Bb 16 1 C#")
        books = ("--book", "Bb", "--book", "C")
        assert main([*PARTS, str(DEMO), "--to", str(tmp_path), *books, *wish]) == 0
        for book, step in (("Bb", "C"), ("C", "B")):
            file = tmp_path / "musicxml" / f"harbourmasters_day_off - {book}.musicxml"
            text = file.read_text(encoding="utf-8")
            bar = text[text.index('<measure number="16"') :]
            assert bar[bar.index("<root-step>") :].startswith(f"<root-step>{step}<")

    def test_the_heading_and_the_label_of_the_hits(self, tmp_path: Path) -> None:
        texts = ("--heading", "{title} / {book}", "--hits-label", "hits with drums")
        command = [*PARTS, str(DEMO), "--to", str(tmp_path), "--book", "F", *texts]
        assert main(command) == 0
        (file,) = (tmp_path / "musicxml").iterdir()
        written = file.read_text(encoding="utf-8")
        assert "Day Off / F" in written
        assert "hits with drums" in written

    def test_house_style_paper_and_bars_to_a_system(self, tmp_path: Path) -> None:
        command = [*PARTS, str(DEMO), "--to", str(tmp_path), "--book", "C"]
        look = ("--style", "symbols", "--paper", "letter", "--bars-per-system", "8")
        assert main([*command, *look]) == 0
        (file,) = (tmp_path / "musicxml").iterdir()
        written = file.read_text(encoding="utf-8")
        assert 'text="△7"' in written or 'text="Δ7"' in written
        systems = re.findall(r'number="(\d+)">\s*<print new-system="yes"', written)
        assert systems[:3] == ["9", "13", "21"]

    def test_chord_symbols_as_the_source_prints_them(self, tmp_path: Path) -> None:
        chart = tmp_path / "tune.musicxml"
        text = DEMO.read_text(encoding="utf-8")
        chart.write_text(text.replace('text="maj7"', 'text="△"'), encoding="utf-8")
        command = [*PARTS, str(chart), "--to", str(tmp_path), "--book", "Eb"]
        assert main([*command, "--style", "as printed"]) == 0
        written = (tmp_path / "musicxml" / "tune - Eb.musicxml").read_text(
            encoding="utf-8"
        )
        assert '<kind text="△">major-seventh' in written
        assert 'text="maj7"' not in written

    def test_what_all_parts_have_in_common_is_told_once(
        self, tmp_path: Path, capsys: Output
    ) -> None:
        assert main([*PARTS, str(DEMO), "--to", str(tmp_path)]) == 0
        out = capsys.readouterr().out
        moved = "  note: 13 chords are moved onto the beat on the solo page ("
        assert out.count(moved) == out.count("on the solo page") == 1

    def test_chords_that_stand_on_one_beat_are_spread_unless_kept(
        self, tmp_path: Path, capsys: Output
    ) -> None:
        chart = tmp_path / "tune.musicxml"
        harmony = (
            "<harmony><root><root-step>{}</root-step></root><kind>{}</kind></harmony>"
        )
        chart.write_text(
            "<score-partwise><part-list><score-part id='P'><part-name/></score-part>"
            "</part-list><part id='P'><measure number='1'><attributes><divisions>1"
            "</divisions></attributes>"
            + harmony.format("D", "minor-seventh")
            + harmony.format("G", "dominant")
            + "<note><pitch><step>G</step><octave>4</octave></pitch><duration>4"
            "</duration></note></measure></part></score-partwise>",
            encoding="utf-8",
        )
        command = [*PARTS, str(chart), "--to", str(tmp_path), "--book", "C"]
        part = tmp_path / "musicxml" / "tune - C.musicxml"
        offsets = []
        for options in ([], ["--keep-stacked-chords"]):
            assert main(command + options) == 0
            offsets.append(
                re.findall("<offset>(.*?)</offset>", part.read_text("utf-8"))
            )
        assert offsets == [["2"], []]
        out = " ".join(capsys.readouterr().out.split())
        assert out.count("are spread over the beats up to the next") == 1

    def test_without_a_solo_page(self, tmp_path: Path) -> None:
        command = [*PARTS, str(DEMO), "--to", str(tmp_path), "--book", "C"]
        assert main([*command, "--no-solo-page"]) == 0
        (file,) = (tmp_path / "musicxml").iterdir()
        assert '<measure number="33"' not in file.read_text(encoding="utf-8")

    def test_many_charts_give_a_line_each(self, tmp_path: Path, capsys: Output) -> None:
        assert main([*PARTS, str(CHARTS), "--to", str(tmp_path)]) == 0
        out, err = capsys.readouterr()
        assert err == ""
        assert len(list((tmp_path / "musicxml").iterdir())) == 20
        assert "respelled" not in out

    def test_a_file_of_many_tunes(self, tmp_path: Path, capsys: Output) -> None:
        tunes = tmp_path / "set.abc"
        text = 'X:1\nT:{}\nM:4/4\nL:1/4\nK:C\n"C"CDEF|]\n\n'
        tunes.write_text("".join(map(text.format, ("Low Tide", "High/Tide"))))
        made = tmp_path / "made"
        command = [*PARTS, str(tunes), "--to", str(made), "--book", "C"]
        assert main(command) == 0
        assert {path.name for path in (made / "musicxml").iterdir()} == {
            "set, Low Tide - C.musicxml", "set, High-Tide - C.musicxml",
        }  # fmt: skip
        assert "Low Tide: 1 part of 1 bar" in capsys.readouterr().out

    def test_a_bad_chart_stops_no_other_and_is_named_at_the_end(
        self, tmp_path: Path, capsys: Output
    ) -> None:
        torn = tmp_path / "torn.musicxml"
        torn.write_bytes(DEMO.read_bytes()[:5000])
        missing = tmp_path / "missing.mxl"
        to = tmp_path / "parts"
        charts = [str(torn), str(missing), str(WALTZ)]
        assert main([*PARTS, *charts, "--to", str(to), "--quiet"]) == 1
        out, err = capsys.readouterr()
        assert out.startswith("Waltz for a Moored Ferry: 5 parts")
        lines = err.splitlines()
        assert lines[0] == "2 charts of 3 failed:"
        assert lines[1].startswith(f"  {torn}: ")
        assert lines[2] == f"  {missing}: no such file or directory"
        assert len(list((to / "musicxml").iterdir())) == 5

    def test_charts_of_one_name_do_not_replace_each_other(self, tmp_path: Path) -> None:
        charts = []
        for folder in ("a", "b"):
            (tmp_path / folder).mkdir()
            charts.append(tmp_path / folder / "tune.xml")
            charts[-1].write_bytes(WALTZ.read_bytes())
        to = tmp_path / "parts"
        command = [*PARTS, *map(str, charts), "--to", str(to), "--book", "C"]
        assert main([*command, "--quiet"]) == 0
        assert sorted(path.name for path in (to / "musicxml").iterdir()) == [
            "tune (2) - C.musicxml",
            "tune - C.musicxml",
        ]

    @pytest.mark.parametrize(
        ("options", "message"),
        [
            (
                ("--book", "H"),
                "--book: no book called 'H': there are C, Bb, Eb, F, Bass clef, "
                "Rhythm, Drums",
            ),
            (
                ("--instrument", "xyzzy"),
                "--instrument: no instrument called 'xyzzy'",
            ),
            (
                ("--respell", "H 16 1 C#"),
                "--respell: no instrument called 'H'; did you mean 'English Horn'?",
            ),
            (
                ("--respell", "Bb 16"),
                "--respell: 'Bb 16': expected book, bar, beat and name, as in "
                "'Bb 22 3 Gb'",
            ),
        ],
    )
    def test_wrong_options(
        self,
        options: tuple[str, ...],
        message: str,
        tmp_path: Path,
        capsys: Output,
    ) -> None:
        said = usage_error(
            capsys, "parts", str(DEMO), "--to", str(tmp_path / "parts"), *options
        )
        assert said == f"python -m leadsheet_theory parts: error: {message}"
        assert not (tmp_path / "parts").exists()

    def test_a_folder_without_charts(self, tmp_path: Path, capsys: Output) -> None:
        said = usage_error(capsys, "parts", str(tmp_path), "--to", str(tmp_path))
        assert said.endswith(f"error: no MusicXML or ABC file in the folder {tmp_path}")

    def test_a_chord_to_respell_that_is_not_there(
        self, tmp_path: Path, capsys: Output
    ) -> None:
        wish = ("--respell", "Bb 99 1 C#")
        assert main([*PARTS, str(DEMO), "--to", str(tmp_path), *wish]) == 1
        assert "1 chart of 1 failed:" in capsys.readouterr().err


class TestReaders:
    @pytest.mark.parametrize(
        ("text", "books"),
        [
            ("C, Bb", ["Bb", "C"]),
            ("all", ["Bass clef", "Bb", "C", "Drums", "Eb", "F", "Rhythm"]),
            ("all but F, bass clef", ["Bb", "C", "Drums", "Eb", "Rhythm"]),
        ],
    )
    def test_several_books_in_one_option(
        self, text: str, books: list[str], tmp_path: Path
    ) -> None:
        assert main([*PARTS, str(WALTZ), "--to", str(tmp_path), "--book", text]) == 0
        made = sorted(path.stem for path in (tmp_path / "musicxml").iterdir())
        assert made == [f"{WALTZ.stem} - {book}" for book in books]

    def test_books_and_instruments_as_a_table(self, capsys: Output) -> None:
        assert main(["instruments"]) == 0
        head, first, *_ = capsys.readouterr().out.splitlines()
        assert head.split() == ["name", "clef", "sounds", "written", "range"]
        assert first.split() == ["C", "treble", "P1", "E3–E6"]
        assert main(["instruments", "tenor", "sax"]) == 0
        assert "-M9" in capsys.readouterr().out

    def test_no_such_instrument(self, capsys: Output) -> None:
        said = usage_error(capsys, "instruments", "xyzzy")
        assert said.endswith("error: no book or instrument called 'xyzzy'")


class TestStaves:
    """The hits and the bass line of a pianist's staves, found or asked for."""

    def made(self, tmp_path: Path, capsys: Output, *options: str) -> tuple[str, str]:
        """What is said of the part in C, and its file."""
        to = ("--to", str(tmp_path), "--book", "C")
        assert main([*PARTS, str(SHUFFLE), *to, *options]) == 0
        (file,) = (tmp_path / "musicxml").iterdir()
        return " ".join(capsys.readouterr().out.split()), file.read_text("utf-8")

    def test_what_was_found_is_told_with_the_option_that_changes_it(
        self, tmp_path: Path, capsys: Output
    ) -> None:
        said, written = self.made(tmp_path, capsys)
        assert "the hits are those of Piano, staff 1" in said
        assert "(--hits none takes none, --hits NAME:STAFF those of another)" in said
        assert "the bass line is that of Piano, staff 2 (--bass-line none" in said
        assert "7 chord symbols of P2 (Piano) stand with the melody's" in said
        assert written.count("<cue/>") > 0

    def test_the_option_changes_it(self, tmp_path: Path, capsys: Output) -> None:
        said, written = self.made(tmp_path, capsys, "--hits", "none")
        assert "the hits are those" not in said
        assert "<cue/>" not in written

    def test_a_staff_that_is_not_there(self, tmp_path: Path, capsys: Output) -> None:
        wrong = (str(SHUFFLE), "--to", str(tmp_path), "--hits", "Drums")
        assert main([*PARTS, *wrong]) == 1
        said = capsys.readouterr().err
        assert "no staff called 'Drums': there are C part, Piano:1, Piano:2" in said

    @pytest.mark.parametrize("typed", ["--hit", "--bass", "--hits-lab"])
    def test_no_option_is_completed_from_its_first_letters(
        self, typed: str, tmp_path: Path, capsys: Output
    ) -> None:
        command = (*PARTS, str(SHUFFLE), "--to", str(tmp_path), typed, "Piano")
        assert f"unrecognized arguments: {typed} Piano" in usage_error(capsys, *command)


class TestPages:
    def test_a_pdf_each_one_of_all_musicxml_apart_and_a_report(
        self, tmp_path: Path
    ) -> None:
        books = ("--book", "Bb", "--book", "C")
        command = ["parts", str(WALTZ), "--to", str(tmp_path), *books]
        look = ("--look", "handwritten", "--paper", "9x12", "--staff-size", "7")
        assert main([*command, *look]) == 0
        stem = WALTZ.stem
        assert sorted(
            str(path.relative_to(tmp_path)) for path in tmp_path.rglob("*.*")
        ) == [
            f"musicxml/{stem} - Bb.musicxml",
            f"musicxml/{stem} - C.musicxml",
            f"{stem} - Bb.pdf",
            f"{stem} - C.pdf",
            f"{stem} - all parts.pdf",
            f"{stem} - report.txt",
        ]
        single = PdfReader(tmp_path / f"{stem} - Bb.pdf")
        everything = PdfReader(tmp_path / f"{stem} - all parts.pdf")
        assert len(everything.pages) == 2 * len(single.pages)
        assert float(single.pages[0].mediabox.width) == pytest.approx(9 * 72, abs=0.1)
        assert [item.title for item in everything.outline] == [
            "Waltz for a Moored Ferry (B♭)",
            "Waltz for a Moored Ferry (C)",
        ]
        report = (tmp_path / f"{stem} - report.txt").read_text("utf-8")
        assert report.startswith("Waltz for a Moored Ferry: 2 parts of 16 bars\n")
        assert "To look at:" in report

    def test_without_the_libraries_a_line_says_how_to_get_pages(
        self, tmp_path: Path, capsys: Output, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setattr("leadsheet_theory.cli.parts.can_draw", lambda: False)
        assert main(["parts", str(WALTZ), "--to", str(tmp_path), "--book", "C"]) == 0
        assert [path.suffix for path in tmp_path.rglob("*.*")] == [".musicxml"]
        last = capsys.readouterr().out.splitlines()[-1]
        assert last.startswith("for PDF pages: pip install 'leadsheet-theory[pages]'")

    def test_a_part_that_cannot_be_drawn_leaves_no_file(
        self, tmp_path: Path, capsys: Output, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        def refuse(*_: object, **__: object) -> object:
            raise DrawingError("the part can't be drawn")

        monkeypatch.setattr("leadsheet_theory.catalogue.making.draw_pages", refuse)
        assert main(["parts", str(WALTZ), "--to", str(tmp_path), "--book", "C"]) == 1
        assert not list(tmp_path.iterdir())
        assert "the part can't be drawn" in capsys.readouterr().err

    def test_a_staff_no_page_can_have(self, tmp_path: Path, capsys: Output) -> None:
        command = ("parts", str(WALTZ), "--to", str(tmp_path), "--staff-size", "12")
        said = usage_error(capsys, *command)
        assert said.endswith("error: --staff-size: 12.0: expected 4 to 9.5 millimetres")


class TestChord:
    def test_tells_tones_degrees_and_bass(self, capsys: Output) -> None:
        assert main(["chord", "Bb7(b9)/D", "N.C."]) == 0
        assert capsys.readouterr().out == (
            "B♭7(♭9)/D\n"
            "  tones   B♭ D F A♭ C♭\n"
            "  degrees 1 3 5 b7 b9\n"
            "  bass    D\n"
            "N.C.\n"
        )

    def test_tells_the_other_reading(self, capsys: Output) -> None:
        assert main(["chord", "C11"]) == 0
        assert "  some read it as C9sus4 (" in capsys.readouterr().out

    def test_transposes(self, capsys: Output) -> None:
        assert main(["chord", "Ebmaj7", "--for", "alto sax"]) == 0
        assert main(["chord", "Ebmaj7", "--down", "m3"]) == 0
        assert main(["chord", "Ebmaj7", "--up", "M2", "--for", "trumpet"]) == 0
        heads = capsys.readouterr().out.splitlines()[::3]
        assert heads == ["Cmaj7", "Cmaj7", "Gmaj7"]

    def test_for_a_reader_in_a_key(self, capsys: Output) -> None:
        """Spelled as in a part: never G sharp major seven, nor G sharp minor."""
        assert main(["chord", "Bmaj7", "--for", "alto sax"]) == 0
        assert capsys.readouterr().out.startswith("A♭maj7\n")
        assert main(["chord", "F#m7", "--for", "Bb", "--key", "Eb"]) == 0
        said = capsys.readouterr().out
        assert said.startswith("A♭m7\n")
        assert "in F major: biii7, or b3m7" in said

    def test_prints_in_a_house_style(self, capsys: Output) -> None:
        assert main(["chord", "Bbm7b5", "--style", "capitals MA and MI"]) == 0
        assert capsys.readouterr().out.startswith("B♭MI7(♭5)\n")

    def test_a_bad_symbol_stops_no_other(self, capsys: Output) -> None:
        assert main(["chord", "Hm7", "Cm7"]) == 1
        out, err = capsys.readouterr()
        assert out.startswith("Cm7\n")
        assert "\n  Hm7\n  ^" in err

    def test_wrong_options(self, capsys: Output) -> None:
        with pytest.raises(SystemExit):
            main(["chord", "C", "--up", "2"])
        assert "chord: error: not an interval" in capsys.readouterr().err
        assert "error: no instrument" in usage_error(
            capsys, "chord", "C", "--for", "xyzzy"
        )


class TestProofread:
    def test_a_clean_chart(self, capsys: Output) -> None:
        assert main(["proofread", str(DEMO), "--least", "warning"]) == 0
        assert (
            capsys.readouterr().out == "Harbourmaster's Day Off: nothing to remark.\n"
        )

    def test_notes_alone_are_no_fault(self, capsys: Output) -> None:
        assert main(["proofread", str(WALTZ)]) == 0
        assert "note:" not in capsys.readouterr().out
        assert main(["proofread", str(WALTZ), "--least", "note"]) == 0
        out = capsys.readouterr().out
        assert "  note: bar 12, beat 3: B𝄫4 (respell it unless" in out

    def test_warnings_give_exit_code_1(self, tmp_path: Path, capsys: Output) -> None:
        worse = self._with_a_late_chord(tmp_path)
        assert main(["proofread", str(worse)]) == 1
        assert "  warning: bar 14, beat 1¼: " in capsys.readouterr().out

    def test_silence_in_one_bar(self, tmp_path: Path, capsys: Output) -> None:
        worse = self._with_a_late_chord(tmp_path)
        assert main(["proofread", str(worse), "--silence", "chord-beat: 14"]) == 0
        assert main(["proofread", str(worse), "--silence", "chord-beat: 3"]) == 1
        assert usage_error(
            capsys, "proofread", str(worse), "--silence", "chord-beat: two"
        ).endswith("expected a number such as 4, or 12-14")

    def test_a_corrected_file_beside_the_chart(
        self, tmp_path: Path, capsys: Output
    ) -> None:
        worse = self._with_a_late_chord(tmp_path)
        before = worse.read_bytes()
        assert main(["proofread", str(worse), "--correct"]) == 1
        assert "  1 correction in worse.corrected.musicxml" in capsys.readouterr().out
        assert worse.read_bytes() == before
        better = tmp_path / "worse.corrected.musicxml"
        assert main(["proofread", str(better)]) == 0
        capsys.readouterr()
        assert main(["proofread", str(worse), "--correct"]) == 1
        assert "is there already, not written over" in capsys.readouterr().err

    @staticmethod
    def _with_a_late_chord(folder: Path) -> Path:
        """The demo chart with the chord of bar 14 a sixteenth late."""
        sheet = read_lead_sheet(DEMO).sheet
        bar = next(bar for bar in sheet.bars if bar.number == 14)
        late = evolve(bar.chords[0], onset=Fraction(1, 4))
        bars = tuple(
            evolve(bar, chords=(late,), melody=(Rest(Fraction(0), bar.length),))
            if each is bar
            else each
            for each in sheet.bars
        )
        path = folder / "worse.musicxml"
        path.write_bytes(write_lead_sheet(evolve(sheet, bars=bars)))
        return path

    def test_another_reader_and_a_rule_left_out(self, capsys: Output) -> None:
        command = ["proofread", str(WALTZ), "--instrument", "tuba", "--quiet"]
        assert main([*command, "--skip", "double-accidental", "--skip", "range"]) == 0
        assert "B𝄫4" not in capsys.readouterr().out

    def test_the_rules(self, capsys: Output) -> None:
        assert main(["proofread", "--rules"]) == 0
        assert "range (query): notes that no octave brings" in capsys.readouterr().out

    def test_wrong_options(self, capsys: Output) -> None:
        assert usage_error(capsys, "proofread").endswith("are required: CHART")
        assert usage_error(capsys, "proofread", str(DEMO), "--skip", "taste").endswith(
            "error: no rule called 'taste': --rules lists them"
        )


class TestProgram:
    def test_help_names_commands_and_exit_codes(self) -> None:
        done = shell("--help")
        assert done.returncode == 0
        for word in ("parts", "chord", "proofread", "exit codes:"):
            assert word in done.stdout

    @pytest.mark.parametrize("command", ["parts", "chord", "proofread"])
    def test_each_command_has_help(self, command: str, capsys: Output) -> None:
        with pytest.raises(SystemExit) as caught:
            main([command, "--help"])
        assert caught.value.code == 0
        out = capsys.readouterr().out
        assert "python -m leadsheet_theory" in out
        assert "exit codes:" in out

    def test_no_command(self) -> None:
        done = shell()
        assert done.returncode == 2
        assert done.stderr.endswith("required: COMMAND\n")

    def test_a_terminal_that_knows_no_flats(self) -> None:
        poor = {**os.environ, "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"}
        done = shell("chord", "Bb7", env=poor)
        assert (done.returncode, done.stderr) == (0, "")
        assert done.stdout.startswith("Bb7\n  tones   Bb D F Ab\n")

    @pytest.mark.skipif(os.name == "nt", reason="pipes of another kind")
    def test_a_reader_that_leaves_early(self) -> None:
        with subprocess.Popen(
            [sys.executable, "-m", "leadsheet_theory", "proofread", str(CHARTS)],
            cwd=ROOT,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
        ) as program:
            assert program.stdout is not None
            assert program.stderr is not None
            program.stdout.close()
            said = program.stderr.read().decode()
        assert program.returncode == 1
        assert "Traceback" not in said
        assert "failed" not in said

    def test_no_traceback_for_bad_input(self, tmp_path: Path) -> None:
        bad = tmp_path / "bad.mxl"
        bad.write_bytes(b"PK\x03\x04 not really")
        done = shell("parts", str(bad), "--to", str(tmp_path))
        assert done.returncode == 1
        assert "Traceback" not in done.stderr
        assert f"  {bad}: " in done.stderr


def test_a_fault_of_our_own_stops_no_other_chart(
    tmp_path: Path, capsys: Output, monkeypatch: pytest.MonkeyPatch
) -> None:
    def read(data: bytes, **options: str) -> object:
        if data == DEMO.read_bytes():
            raise ZeroDivisionError("a slip of ours")
        return parse_lead_sheet(data, **options)

    monkeypatch.setattr("leadsheet_theory.catalogue.charts.parse_lead_sheet", read)
    command = [*PARTS, str(DEMO), str(WALTZ), "--to", str(tmp_path), "--quiet"]
    assert main(command) == 1
    out, err = capsys.readouterr()
    assert out.startswith("Waltz")
    assert "a fault of this program: ZeroDivisionError('a slip of ours')" in err


class TestAbc:
    def test_charts_as_text(self, tmp_path: Path, capsys: Output) -> None:
        file = tmp_path / "made" / "tunes.abc"
        assert main(["abc", str(CHARTS), "--to", str(file), "--quiet"]) == 0
        tunes = read_abc(file)
        assert [tune.number for tune in tunes] == [1, 2, 3, 4]
        assert tunes[0].sheet == read_lead_sheet(DEMO).sheet
        out = capsys.readouterr().out
        assert "Harbourmaster's Day Off: 32 bars written" in out
        assert "!marcato! is no name of ABC 2.1" in out

    def test_a_folder_is_no_file(self, tmp_path: Path, capsys: Output) -> None:
        said = usage_error(capsys, "abc", str(DEMO), "--to", str(tmp_path))
        assert said.endswith(f"--to {tmp_path}: a folder, not a file")


class TestMidi:
    def test_a_chart_to_be_heard(self, tmp_path: Path, capsys: Output) -> None:
        file = tmp_path / "made" / "tune.mid"
        assert main(["midi", str(DEMO), "--to", str(file), "--choruses", "1"]) == 0
        assert file.read_bytes()[:4] == b"MThd"
        assert capsys.readouterr().out.startswith("Harbourmaster's Day Off: written to")
        part = tmp_path / "alto.mid"
        command = ["midi", str(DEMO), "--to", str(part), "--for", "alto sax"]
        assert main([*command, "--written", "--swing", "straight"]) == 0
        assert part.read_bytes() != file.read_bytes()

    def test_what_goes_wrong_is_said(self, tmp_path: Path, capsys: Output) -> None:
        command = ["midi", str(DEMO), "--to", str(tmp_path / "a.mid")]
        assert "add --for" in usage_error(capsys, *command, "--written")
        assert "zither" in usage_error(capsys, *command, "--for", "zither")
        said = usage_error(capsys, "midi", str(CHARTS), "--to", str(tmp_path / "a.mid"))
        assert said.endswith("midi takes one chart at a time")


class TestNew:
    def test_a_blank_chart_makes_parts(self, tmp_path: Path, capsys: Output) -> None:
        chart = tmp_path / "low_tide.musicxml"
        form = ("--form", "A8 B4 1:4 2:4", "--pickup", "3/2", "--key", "Eb")
        assert main(["new", "Low Tide", *form, "--to", str(chart)]) == 0
        assert capsys.readouterr().out == f"Low Tide: 20 bars written to {chart}\n"
        assert main([*PARTS, str(chart), "--to", str(tmp_path / "parts")]) == 0
        said = "pickup 1½ beats, A 8, B 4, first ending 4, second ending 4: 32 bars as"
        assert said in " ".join(capsys.readouterr().out.split())
        said = usage_error(capsys, "new", "Low Tide", *form, "--to", str(chart))
        assert said.endswith("is there already; it is not written over")

    @pytest.mark.parametrize(
        ("options", "message"),
        [
            (("--form", "A8", "--pickup", "x"), "--pickup 'x': expected a number of"),
            (("--form", "A8", "--pickup", "4"), "a pickup of 4 beats: expected less"),
            (("--form", "A8", "--key", "H"), ""),
            (("--form", "A8 x"), ""),
        ],
    )
    def test_wrong_options(
        self, options: tuple[str, ...], message: str, tmp_path: Path, capsys: Output
    ) -> None:
        to = tmp_path / "tune.musicxml"
        assert message in usage_error(capsys, "new", "Gulls", *options, "--to", str(to))
        assert not to.exists()
