"""Decisions in files beside a chart: the same parts as the options make, and clear
words where a file is wrong."""

from __future__ import annotations

from pathlib import Path

import pytest
from pypdf import PdfReader

from leadsheet_theory.__main__ import main

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "shared" / "charts" / "harbourmasters_day_off.musicxml"
SHUFFLE = DEMO.parent / "as_they_come" / "slack_water_shuffle.musicxml"

Output = pytest.CaptureFixture[str]


def made(folder: Path, chart: Path = DEMO, *options: str, **files: str) -> Path:
    """The folder of the parts of a chart, beside which files lie."""
    folder.mkdir()
    (folder / "tune.musicxml").write_bytes(chart.read_bytes())
    for name, text in files.items():
        (folder / f"{name}.toml").write_text(text, encoding="utf-8")
    command = ("parts", str(folder), "--to", str(folder / "parts"), "--musicxml-only")
    assert main([*command, *options]) == 0
    return folder / "parts" / "musicxml"


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


@pytest.mark.parametrize(
    ("text", "options"),
    [
        ('books = ["Bb", "F"]', ("--book", "Bb", "--book", "F")),
        ('instruments = ["tenor sax"]', ("--instrument", "tenor sax")),
        ('respell = ["Bb 16 1 C#"]', ("--respell", "Bb 16 1 C#")),
        ('respell-note = ["Eb 28 7/2 G#"]', ("--respell-note", "Eb 28 7/2 G#")),
        ("[octaves]\nC = -1", ("--octave", "C = -1")),
        ('[names]\n"bass clef" = "Bass"', ("--name", "bass clef = Bass")),
        ('key = "F"', ("--key", "F")),
        ('hits = "none"', ("--hits", "none")),
        ('title = "Low Tide"', ("--title", "Low Tide")),
        ('composer = "the cook"', ("--composer", "the cook")),
        ('heading = "{title}, {book}"', ("--heading", "{title}, {book}")),
        ('hits-label = "band"', ("--hits-label", "band")),
        ('[octaves]\n"Eb 13-16" = -1', ("--octave", "Eb 13-16 = -1")),
        ('correct-chord = ["5 1 Ebm7"]', ("--correct-chord", "5 1 Ebm7")),
        ('correct-note = ["5 2 C5"]', ("--correct-note", "5 2 C5")),
        ("system-breaks = [7, 15]", ("--system-break", "7", "--system-break", "15")),
        ('beams = "half bars"', ("--beams", "half bars")),
        ('beam-apart = ["17 2"]', ("--beam-apart", "17 2")),
        ('beam-joined = ["25 4"]', ("--beam-joined", "25 4")),
        ('cues = "25-27"', ("--cues", "25-27")),
        ('cues = "none"', ("--cues", "none")),
        ('cue-start = "first hit"', ("--cue-start", "first hit")),
        ('cue-cut = "never"', ("--cue-cut", "never")),
        ('without-cues = ["Eb"]', ("--without-cues", "Eb")),
        ('hits-labels = ["29 = tutti"]', ("--hits-label-at", "29 = tutti")),
        ('solos = "3"', ("--solos", "3")),
        ('solo-heading = "{book} 2"', ("--solo-heading", "{book} 2")),
        ('revision = "2"', ("--revision", "2")),
        ('style = "symbols"', ("--style", "symbols")),
        (
            'paper = "letter"\nstaff-size = 7',
            ("--paper", "letter", "--staff-size", "7"),
        ),
        ("bars-per-system = 2", ("--bars-per-system", "2")),
        ("no-solo-page = true", ("--no-solo-page",)),
    ],
)
def test_a_file_makes_the_same_bytes_as_the_option(
    text: str, options: tuple[str, ...], tmp_path: Path
) -> None:
    by_file = contents(made(tmp_path / "file", tune=text))
    by_option = contents(made(tmp_path / "option", DEMO, *options))
    assert by_file == by_option
    assert by_file != contents(made(tmp_path / "neither"))


def test_the_tune_wins_over_the_band_and_what_is_typed_over_both(
    tmp_path: Path,
) -> None:
    band, tune = 'books = ["C"]\nhits-label = "band"', 'books = ["F"]'
    (file,) = made(tmp_path / "one", band=band, tune=tune).iterdir()
    assert file.name == "tune - F.musicxml"
    assert b"band" in file.read_bytes()
    typed = ("--book", "Bb", "--hits-label", "all of us")
    (file,) = made(tmp_path / "two", DEMO, *typed, band=band, tune=tune).iterdir()
    assert file.name == "tune - Bb.musicxml"
    assert b"all of us" in file.read_bytes()


def test_a_wish_for_a_book_reaches_the_instruments_that_read_it(tmp_path: Path) -> None:
    sax = ("--instrument", "tenor sax")
    wish = 'respell = ["Bb 16 1 C#", "Eb 16 1 G#"]'
    (file,) = made(tmp_path / "sax", DEMO, *sax, tune=wish).iterdir()
    bar = file.read_text("utf-8").partition('<measure number="16"')[2]
    assert bar.partition("<root-step>")[2].startswith("C<")


def test_the_bass_line_and_the_hits_of_a_file(tmp_path: Path) -> None:
    with_hits = made(tmp_path / "a", SHUFFLE, "--book", "C", tune='hits = "Piano:1"')
    without = made(tmp_path / "b", SHUFFLE, "--book", "C", tune='hits = "none"')
    assert b"<cue/>" in next(with_hits.iterdir()).read_bytes()
    assert b"<cue/>" not in next(without.iterdir()).read_bytes()


@pytest.mark.parametrize(
    ("name", "text", "message"),
    [
        ("tune", 'paper = "A4"\npapr = "A4"', "line 2: no key called 'papr'"),
        ("tune", 'paper = "A4', "line 1: not written as TOML: "),
        ("tune", 'paper = "A7"', "line 1: paper: 'A7' is none of A4, letter"),
        ("tune", "\nbars-per-system = 40", "line 2: bars-per-system: 40: expected 1"),
        ("tune", 'staff-size = "big"', "line 1: staff-size: 'big' is not a number"),
        ("tune", "staff-size = 20", "line 1: staff-size: 20: expected 4 to 9.5"),
        ("tune", 'books = "Bb"', "line 1: books: 'Bb' is not a list of texts"),
        ("tune", 'books = [\n  "C",\n  "H",\n]', "line 3: books: no book called 'H'"),
        ("tune", 'key = "H"', "line 1: key: "),
        ("tune", 'heading = "{tune}"', "line 1: heading: no word {tune} in a heading: "
         "there are {book}, {title}, {page}"),
        ("tune", 'respell = ["Bb 16"]', "line 1: respell: 'Bb 16': expected book, "),
        ("tune", '# now\nrespell = ["Bb 16 3 C#"]',
         "line 2: respell: no chord to respell in bar 16, beat 3: there are "),
        ("tune", '[octaves]\n"C 40-41" = 1',
         "line 2: octaves: no bar 40: the tune ends with bar 32"),
        ("tune", 'correct-chord = ["5 2 Ebm7"]',
         "line 1: correct-chord: no chord in bar 5, beat 2: there are Cm7 on beat 1"),
        ("tune", 'correct-note = ["5 5 C5"]', "line 1: correct-note: no note in bar 5"),
        ("tune", 'correct-note = ["5 2 H"]', "line 1: correct-note: "),
        ("tune", "system-breaks = [\n  9,\n  99,\n]",
         "line 3: system-breaks: no bar 99: the part ends with bar "),
        ("tune", 'system-breaks = ["9"]', "line 1: system-breaks: '9' is not a number"),
        ("tune", '\nhits = "Piano"',
         "line 2: hits: no staff called 'Piano': there are "),
        ("band", 'bass-line = "Bass"', "line 1: bass-line: no staff called 'Bass'"),
        ("tune", 'beams = "long"', "line 1: beams: 'long' is none of by the beat, "),
        ("tune", 'beam-joined = ["13 3"]',
         "line 1: beam-joined: no beam can reach the note in bar 13, beat 3"),
        ("tune", 'beam-apart = ["13 2"]',
         "line 1: beam-apart: no note in bar 13, beat 2: there are notes on 1, "),
        ("tune", '\ncues = "1-4"',
         "line 2: cues: no hits in bar 1-4: there are hits in 25-27, 29-31"),
        ("tune", 'cues = "some"', "line 1: cues: 'some' is no bar: expected a number"),
        ("tune", '[hits-labels]\n"3" = "us"', "line 2: hits-labels: no hits in bar 3"),
        ("tune", "[octaves]\nC = 9", "line 2: octaves: 'C = 9': expected a book and"),
        ("tune", 'silence = ["tie: x"]', "line 1: silence: 'x' is no bar"),
        ("band", 'respell = ["Bb 16 1 C#"]', "line 1: respell is for one tune: put"),
    ],
)  # fmt: skip
def test_a_wrong_file_is_told_with_its_line(
    name: str, text: str, message: str, tmp_path: Path, capsys: Output
) -> None:
    (tmp_path / "tune.musicxml").write_bytes(DEMO.read_bytes())
    file = tmp_path / f"{name}.toml"
    file.write_text(text, encoding="utf-8")
    chart = str(tmp_path / "tune.musicxml")
    to = ("--to", str(tmp_path / "parts"), "--musicxml-only")
    assert main(["parts", chart, *to]) == 1
    assert f"{file}, {message}" in capsys.readouterr().err
    assert not (tmp_path / "parts").exists()


def test_the_proofreader_goes_by_the_file(tmp_path: Path, capsys: Output) -> None:
    chart = tmp_path / "tune.musicxml"
    chart.write_bytes(SHUFFLE.read_bytes())
    command = ["proofread", str(chart), "--least", "note"]
    main(command)
    assert "without a double bar line" in capsys.readouterr().out
    (tmp_path / "band.toml").write_text('silence = ["section: 9"]', encoding="utf-8")
    main(command)
    assert "without a double bar line" not in capsys.readouterr().out


class TestMadeAgain:
    """A correction at rehearsal: what changed, and which pages to print."""

    def made(self, folder: Path, *options: str) -> None:
        command = ("parts", str(DEMO), "--to", str(folder), "--musicxml-only")
        assert main([*command, *options]) == 0

    def test_what_changed_in_which_parts_and_pages(
        self, tmp_path: Path, capsys: Output
    ) -> None:
        self.made(tmp_path)
        assert "since the last time" not in capsys.readouterr().out
        self.made(tmp_path, "--correct-note", "6 1 Ab4", "--respell", "Bb 16 1 C#")
        said = " ".join(capsys.readouterr().out.split())
        assert "changed in C, E♭, F, Bass clef: bar 6; print page 1 anew" in said
        assert "changed in B♭: bars 6, 16-17, 52; print pages 1-2 anew" in said

    def test_another_layout_changes_pages_alone(
        self, tmp_path: Path, capsys: Output
    ) -> None:
        self.made(tmp_path)
        self.made(tmp_path, "--paper", "letter")
        said = " ".join(capsys.readouterr().out.split())
        assert "changed in all parts: the layout; print pages 1-2 anew" in said

    def test_a_mark_of_the_revision_is_no_change(
        self, tmp_path: Path, capsys: Output
    ) -> None:
        self.made(tmp_path, "--revision", "1")
        self.made(tmp_path, "--revision", "12 May")
        said = capsys.readouterr().out
        assert "nothing changed since the last time: no page to print anew" in said
        for file in (tmp_path / "musicxml").iterdir():
            assert file.read_bytes().count(b">rev. 12 May<") == 2  # on each page


EVERYTHING = """
books = ["C, Bb"]
instruments = ["alto sax"]
title = "Low Tide"
composer = "the cook"
key = "F"
respell = ["Bb 16 1 A#"]
correct-chord = ["13 1 Ebm9"]
correct-note = ["6 1 Ab4"]
system-breaks = [7]
beam-apart = ["17 2"]
beams = "half bars"
cues = "25-27"
cue-cut = "bar"
cue-start = "first hit"
without-cues = ["Bb"]
hits-label = "band"
revision = "3"
solos = "2"
solo-chords = "strong beats"
style = "symbols"
paper = "letter"
staff-size = 7
look = "handwritten"
road-map = true
silence = ["tie: 4"]

[octaves]
"Bb 5-8" = 1

[names]
C = "Concert"
"""


def chart_with(folder: Path, text: str) -> str:
    """A chart with a file of decisions beside it."""
    folder.mkdir(exist_ok=True)
    (folder / "tune.musicxml").write_bytes(DEMO.read_bytes())
    (folder / "tune.toml").write_text(text, encoding="utf-8")
    return str(folder / "tune.musicxml")


def test_a_file_of_decisions_reproduces_a_run_byte_for_byte(tmp_path: Path) -> None:
    chart = chart_with(tmp_path, EVERYTHING)
    for run in ("one", "two"):
        assert main(["parts", chart, "--to", str(tmp_path / run)]) == 0
    one, two = (
        {p.relative_to(tmp_path / run): p.read_bytes() for p in files}
        for run in ("one", "two")
        for files in [sorted((tmp_path / run).rglob("*.*"))]
    )
    assert one == two
    assert {path.suffix for path in one} == {".musicxml", ".pdf", ".txt"}
    names = sorted(path.name for path in one if path.suffix == ".musicxml")
    assert names == [
        f"tune in F - {book}.musicxml"
        for book in ("Alto Saxophone in Eb", "Bb", "Concert")
    ]


@pytest.mark.parametrize(
    ("decided", "typed"),
    [
        ('solo-form = "as written"', "--solo-form|as written"),
        ('solo-chords = "a beat or longer"', "--solo-chords|a beat or longer"),
        ('way-back = "D.C."', "--way-back|D.C."),
        ("solos = 3", "--solos|3"),
        ("solo-hits = true", "--solo-hits"),
        ("bar-counts = 4", "--bar-counts|4"),
        ('solo-heading = "{book}: changes"', "--solo-heading|{book}: changes"),
        ("revision = 2", "--revision|2"),
        ("revision = 2026-11-27", "--revision|2026-11-27"),
        ("road-map = true", "--road-map"),
        ('silence = ["hits"]', "--silence|hits"),
    ],
)
def test_what_is_decided_is_what_is_typed(
    tmp_path: Path, decided: str, typed: str
) -> None:
    drawn = "road-map" in decided or "silence" in decided
    only = ["--book", "C", *([] if drawn else ["--musicxml-only"])]

    def made(name: str, text: str, options: list[str]) -> dict[Path, bytes]:
        chart = chart_with(tmp_path / name, text)
        to = tmp_path / name / "to"
        assert main(["parts", chart, "--to", str(to), *only, *options]) == 0
        return {p.relative_to(to): p.read_bytes() for p in sorted(to.rglob("*.*"))}

    as_decided = made("file", decided, [])
    assert as_decided == made("typed", "", typed.split("|"))
    if "solo-chords" not in decided:  # the chart has no chord shorter than a beat
        assert as_decided != made("plain", "", [])


class TestOtherCommands:
    """Every command goes by what concerns it."""

    def test_the_changes_in_boxes(self, tmp_path: Path) -> None:
        decided = 'correct-chord = ["13 1 Ebm9"]\nkey = "F"\nbooks = ["C", "Bb"]'
        chart = chart_with(tmp_path, f'title = "Low Tide"\n{decided}')
        assert main(["grid", chart, "--to", str(tmp_path), "--html"]) == 0
        pages = {p.name: p.read_text("utf-8") for p in tmp_path.glob("*.html")}
        assert sorted(pages) == ["tune - Bb chords.html", "tune - C chords.html"]
        assert "Cm9" in pages["tune - C chords.html"]  # a third lower, in F
        assert "Low Tide" in pages["tune - C chords.html"]

    def test_a_chart_to_be_heard(self, tmp_path: Path) -> None:
        heard = {}
        for name, text in (
            ("as_is", ""),
            ("key", 'key = "F"'),
            ("note", 'correct-note = ["6 1 Ab4"]'),
            ("octave", "[octaves]\nBb = 1"),
        ):
            chart = chart_with(tmp_path / name, text)
            to = ("--to", str(tmp_path / f"{name}.mid"), "--for", "Bb")
            assert main(["midi", chart, *to]) == 0
            heard[name] = (tmp_path / f"{name}.mid").read_bytes()
        assert len(set(heard.values())) == len(heard)

    def test_the_words_alone(self, tmp_path: Path, capsys: Output) -> None:
        chart = tmp_path / "tune.musicxml"
        chart.write_bytes(
            (DEMO.parent / "waltz_for_a_moored_ferry.musicxml").read_bytes()
        )
        (tmp_path / "tune.toml").write_text('title = "Low Tide"', encoding="utf-8")
        assert main(["lyrics", str(chart), "--to", str(tmp_path)]) == 0
        assert capsys.readouterr().out.startswith("Low Tide: ")

    def test_a_book_for_each_chair(self, tmp_path: Path) -> None:
        charts = tmp_path / "charts"
        chart_with(
            charts, 'title = "Low Tide"\nkey = "F"\ncorrect-chord = ["13 1 Ebm9"]'
        )
        band = 'books = ["C"]\npaper = "letter"\n[names]\nC = "Concert"'
        (charts / "band.toml").write_text(band, encoding="utf-8")
        assert main(["bind", str(charts), "--to", str(tmp_path / "books")]) == 0
        (book,) = (tmp_path / "books").iterdir()
        pages = PdfReader(book).pages
        text = "\n".join(page.extract_text() for page in pages)
        assert "Low Tide" in text
        assert "Concert – lead sheet (concert F major)" in " ".join(text.split())
        assert round(float(pages[0].mediabox.width)) == 612  # letter, in points

    def test_a_folder_of_abc(self, tmp_path: Path) -> None:
        (tmp_path / "tune.abc").write_text(
            "X:1\nT:Bollard\nM:4/4\nL:1/4\nK:F\nV:1\nV:2\n"
            'V:1\n"F"A2 c2 |]\nV:2\nz c z e |]\n',
            encoding="utf-8",
        )
        cued = {}
        for name, text in (("hits", 'hits = "2"'), ("none", "")):
            (tmp_path / "tune.toml").write_text(text, encoding="utf-8")
            to = ("--to", str(tmp_path / name), "--book", "C", "--musicxml-only")
            assert main(["parts", str(tmp_path / "tune.abc"), *to]) == 0
            (file,) = (tmp_path / name / "musicxml").iterdir()
            cued[name] = b"<cue/>" in file.read_bytes()
        assert cued == {"hits": True, "none": False}
