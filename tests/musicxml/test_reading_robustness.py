"""Bad input: our own error, naming the place, and never more than a little time
or memory."""

import io
import pickle
import subprocess
import sys
import zipfile
from pathlib import Path
from random import Random
from textwrap import dedent
from time import process_time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from mutations import MUTATIONS, mutated

from leadsheet_theory.errors import MusicXMLReadError, TheoryError
from leadsheet_theory.musicxml import parse_lead_sheet, read_lead_sheet

HOME = Path(__file__).resolve().parents[2]
CHARTS = sorted((HOME / "shared" / "charts").glob("*.musicxml"))
SHARED = HOME / "../shared/leadsheets"

PLAIN = dedent("""\
    <?xml version="1.0" encoding="UTF-8"?>
    <!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN"
      "http://www.musicxml.org/dtds/partwise.dtd">
    <score-partwise version="4.0">
      <work><work-title>Smørbrød</work-title></work>
      <part-list><score-part id="P1"/></part-list>
      <part id="P1">
        <measure number="1">
          <attributes><divisions>2</divisions><key><fifths>0</fifths></key>
            <time><beats>4</beats><beat-type>4</beat-type></time></attributes>
          <note><pitch><step>C</step><octave>5</octave></pitch><duration>8</duration>
            <type>whole</type></note>
        </measure>
      </part>
    </score-partwise>
    """)
LISTING = (
    '<container><rootfiles><rootfile full-path="{}" '
    'media-type="application/vnd.recordare.musicxml+xml"/></rootfiles></container>'
)


def refusal(data):
    with pytest.raises(MusicXMLReadError) as refused:
        parse_lead_sheet(data if isinstance(data, bytes) else data.encode())
    return str(refused.value)


def zipped(files, compression=zipfile.ZIP_DEFLATED):
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", compression) as container:
        for name, content in files.items():
            container.writestr(name, content)
    return buffer.getvalue()


def with_measure(content, attributes=""):
    """The plain score with its measure's content replaced."""
    head, _, rest = PLAIN.partition('<measure number="1">')
    return (
        head
        + f'<measure number="12">{attributes}{content}'
        + rest.partition("</note>")[2]
    )


# --- the file -----------------------------------------------------------------------


def test_the_score_these_cases_damage_is_read():
    sheet = parse_lead_sheet(PLAIN.encode()).sheet
    assert (sheet.title, len(sheet.bars)) == ("Smørbrød", 1)


@pytest.mark.parametrize(
    ("data", "message"),
    [
        ("", "nothing to read: the file is empty"),
        (" \n", "nothing to read: the file is empty"),
        ("tune", "line 1, column 1: broken XML: syntax error"),
        ("<a>", "line 1, column 4: broken XML: no element found"),
        (PLAIN[:500], "line 11, column 20: broken XML: unclosed token"),
        (
            "<html/>",
            "<html>: not a MusicXML score: expected <score-partwise> or "
            "<score-timewise>",
        ),
        (
            "<opus/>",
            "<opus>: not a MusicXML score: expected <score-partwise> or "
            "<score-timewise>, found a list of scores",
        ),
        ("<score-partwise/>", "a score without a part"),
        (
            '<score-partwise><part id="P1"/></score-partwise>',
            "part P1: a score without a measure",
        ),
        ("PK\3\4 and no more", "a damaged zip file: File is not a zip file"),
    ],
)
def test_what_is_no_score(data, message):
    assert refusal(data) == message


def test_a_zip_without_a_score():
    message = "a zip file without a score: expected META-INF/container.xml to name one"
    assert refusal(zipped({})) == message
    assert (
        refusal(zipped({"cover.png": b"x", "META-INF/notes.xml": b"<a/>"})) == message
    )
    assert refusal(zipped({"META-INF/container.xml": LISTING.format("gone.xml")})) == (
        message
    )


def test_the_score_a_zip_names():
    other = PLAIN.replace("Smørbrød", "Other")
    data = zipped(
        {
            "a.xml": other,
            "META-INF/container.xml": LISTING.format("music/Score.musicxml"),
            "music/score.musicxml": PLAIN,
        }
    )
    assert parse_lead_sheet(data).sheet.title == "Smørbrød"
    unnamed = parse_lead_sheet(zipped({"b.xml": other, "META-INF/container.xml": "<"}))
    assert unnamed.sheet.title == "Other"
    assert str(unnamed.findings[0]) == (
        "the zip names no score that is in it; 'b.xml' is read"
    )


def test_the_first_score_of_several_is_read_and_the_others_named():
    listing = (
        "<container><rootfiles>"
        "<rootfile full-path='a.pdf' media-type='application/pdf'/>"
        "<rootfile full-path='b.xml'/><rootfile full-path='c.xml'/></rootfiles>"
        "</container>"
    )
    files = {"META-INF/container.xml": listing, "b.xml": PLAIN, "c.xml": PLAIN}
    result = parse_lead_sheet(zipped({"a.pdf": b"x", **files}))
    assert str(result.findings[0]) == "the zip also holds c.xml: not read"


def test_a_damaged_zip():
    data = bytearray(zipped({"a.xml": PLAIN * 3}))
    data[45] ^= 255
    assert refusal(bytes(data)).startswith("a damaged zip file: ")


def test_a_zip_bomb():
    bomb = zipped({"a.xml": b" " * 30_000_000})
    assert len(bomb) < 50_000
    assert refusal(bomb) == "'a.xml' unpacks to more than 24,000,000 bytes"


def test_large_files():
    assert refusal(b" " * 16_000_001) == (
        "the file has 16,000,001 bytes: at most 16,000,000 are read"
    )
    assert refusal(b"<a>" * 400_001) == "more than 400,000 tags of XML"
    bars = b"<measure/>" * 20_001
    assert refusal(b"<score-partwise><part>" + bars + b"</part></score-partwise>") == (
        "20,001 measures in all parts: at most 20,000 are read"
    )
    parts = b"<part/>" * 101
    assert refusal(b"<score-partwise>" + parts + b"</score-partwise>") == (
        "101 parts: at most 100 are read"
    )


# --- entities -----------------------------------------------------------------------


def with_subset(subset, use=""):
    body = PLAIN.partition("<score-partwise")[2]
    return f"<!DOCTYPE score-partwise [{subset}]><score-partwise" + body.replace(
        "Smørbrød", use
    )


LAUGHS = "".join(
    f"<!ENTITY l{n} '{f'&l{n - 1};' * 10 if n else 'ha'}'>" for n in range(12)
)


@pytest.mark.parametrize(
    ("subset", "use", "name"),
    [
        (LAUGHS, "&l11;", "l0"),
        ("<!ENTITY file SYSTEM 'file:///etc/passwd'>", "&file;", "file"),
        ("<!ENTITY far SYSTEM 'http://localhost:1/x'>", "&far;", "far"),
        ("<!ENTITY % par SYSTEM 'file:///etc/passwd'> %par;", "", "par"),
        ("<!ENTITY plain 'text'>", "", "plain"),
    ],
)
def test_entities_are_refused(subset, use, name):
    assert f"the file declares the entity {name!r}: no score needs one" in refusal(
        with_subset(subset, use)
    )
    wide = with_subset(subset, use).encode("utf-16")
    assert f"the file declares the entity {name!r}" in refusal(wide)


def test_attributes_by_default_are_refused():
    many = " ".join(f"a{number} CDATA 'x'" for number in range(4000))
    subset = f"<!ATTLIST note {many}>"
    assert "the file declares the attribute 'a0'" in refusal(with_subset(subset, ""))
    wide = with_subset(subset, "").encode("utf-16")
    assert "the file declares the attribute 'a0'" in refusal(wide)


def test_the_word_entity_in_a_comment_is_no_declaration():
    data = PLAIN.replace("<part-list>", "<!-- <!ENTITY a 'b'> --><part-list>")
    assert parse_lead_sheet(data.encode()).sheet.title == "Smørbrød"


def test_a_document_type_that_names_a_file_is_not_fetched():
    data = PLAIN.replace("http://www.musicxml.org/dtds/partwise.dtd", "/etc/passwd")
    assert parse_lead_sheet(data.encode()).sheet.title == "Smørbrød"
    assert "undefined entity" in refusal(PLAIN.replace("Smørbrød", "&secret;"))


def test_a_zip_whose_paths_are_written_with_backslashes():
    packed = zipped(
        {
            "music\\other.xml": PLAIN.replace("Smørbrød", "Other"),
            "META-INF\\container.xml": LISTING.format("music\\score.xml"),
            "music\\score.xml": PLAIN,
        }
    )
    assert parse_lead_sheet(packed).sheet.title == "Smørbrød"


# --- encodings ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("declared", "encoding", "title", "remarks"),
    [
        ("UTF-8", "utf-8", "Smørbrød", 0),
        ("UTF-8", "utf-8-sig", "Smørbrød", 0),
        ("UTF-16", "utf-16", "Smørbrød", 0),
        ("UTF-16", "utf-16-be", "Smørbrød", 0),
        ("UTF-16LE", "utf-16-le", "Smørbrød", 0),
        ("UTF-32", "utf-32", "Smørbrød", 0),
        ("ISO-8859-1", "latin-1", "Smørbrød", 0),
        ("windows-1252", "cp1252", "Smørbrød", 0),
        # declared falsely, or unknown
        ("UTF-8", "cp1252", "Smørbrød", 1),
        ("UTF-16", "utf-8", "Smørbrød", 1),
        ("no-such-code", "utf-8", "Smørbrød", 1),
        ("UTF-8", "utf-16", "Smørbrød", 0),
        ("Shift_JIS", "shift_jis", "さくら", 1),
    ],
)
def test_encodings(declared, encoding, title, remarks):
    text = PLAIN.replace("Smørbrød", title).replace('"UTF-8"', f'"{declared}"')
    result = parse_lead_sheet(text.encode(encoding))
    assert result.sheet.title == title
    assert sum(finding.rule == "encoding" for finding in result.findings) == remarks


def test_white_space_and_namespaces_do_not_matter():
    spaced = PLAIN.replace(">C<", "> C\n<").replace(">8<", ">\t8 <")
    named = PLAIN.replace("<score-partwise", '<score-partwise xmlns="urn:w3c"')
    plain = parse_lead_sheet(PLAIN.encode()).sheet
    assert parse_lead_sheet(spaced.encode()).sheet == plain
    assert parse_lead_sheet(named.encode()).sheet == plain


# --- impossible music ---------------------------------------------------------------


NOTE = (
    "<note><pitch><step>{}</step>{}<octave>{}</octave></pitch>"
    "<duration>{}</duration></note>"
)


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (
            "<attributes><divisions>0</divisions></attributes>",
            "<divisions>: '0' divisions of a quarter note: expected a number from 1 to "
            "1,000,000",
        ),
        (
            "<attributes><divisions>-2</divisions></attributes>",
            "<divisions>: '-2' divisions of a quarter note: expected a number from 1 "
            "to 1,000,000",
        ),
        (
            NOTE.format("C", "", 4, -4),
            "<duration>: a duration of -4: expected 0 or more",
        ),
        (
            NOTE.format("C", "", 4, "nan"),
            "<duration>: 'nan' is no duration: expected a number of divisions",
        ),
        (
            NOTE.format("C", "", 4, "9" * 400),
            "<duration>: '99999999999999999999' is no duration: expected a number of "
            "divisions",
        ),
        (
            NOTE.format("C", "", 4, "99999999"),
            "<duration>: a duration of 99999999 divisions: at most 1000 quarter notes "
            "are read",
        ),
        (
            NOTE.format("H", "", 4, 1),
            "<pitch>: 'H 4' is no note: expected a step A to G and whole semitones of "
            "alteration, at most 7, and an octave 0 to 9",
        ),
        (
            NOTE.format("C", "<alter>99</alter>", 10, 1),
            "<pitch>: 'C 99 10' is no note: expected a step A to G and whole semitones "
            "of alteration, at most 7, and an octave 0 to 9",
        ),
        ("<note><rest/></note>", "<note>: a note without a duration"),
        (
            "<note><duration>1</duration></note>",
            "<note>: a note without a pitch, nor a rest",
        ),
        ("<backup/>", "<backup>: no duration"),
        (
            "<attributes><key><fifths>99</fifths></key></attributes>",
            "<fifths>: '99': expected a whole number from -11 to 11",
        ),
        (
            "<attributes><time><beats>0</beats><beat-type>4</beat-type></time>"
            "</attributes>",
            "<beats>: '0' beats in a bar: expected 1 to 99",
        ),
        (
            "<attributes><time><beats>4</beats><beat-type>5</beat-type></time>"
            "</attributes>",
            "<time>: a beat type of 5: expected 1, 2, 4, 8, 16, 32, 64 or 128",
        ),
        (
            "<harmony><root><root-step>X</root-step></root><kind>major</kind></harmony>",
            "<root>: 'X' is no note: expected a step A to G and whole semitones of "
            "alteration, at most 7",
        ),
        (
            "<barline><repeat/></barline>",
            "<repeat>: direction '': expected forward or backward",
        ),
        (
            "<attributes><measure-style><measure-repeat type='start'>1</measure-repeat>"
            "</measure-style></attributes>",
            "<measure-repeat>: repeats bars before the first",
        ),
    ],
)
def test_impossible_music_is_refused_with_its_place(content, message):
    said = refusal(with_measure(content))
    assert said == f"part P1, measure 12, {message}"


def test_an_error_keeps_its_place_as_data_and_can_be_pickled(tmp_path):
    path = tmp_path / "tune.musicxml"
    path.write_text(with_measure(NOTE.format("C", "", 4, -4)), encoding="utf-8")
    with pytest.raises(MusicXMLReadError) as refused:
        read_lead_sheet(path)
    error = pickle.loads(pickle.dumps(refused.value))
    assert (error.part, error.measure, error.element, error.source) == (
        "P1", "12", "duration", "tune.musicxml",
    )  # fmt: skip
    assert str(error) == (
        "tune.musicxml, part P1, measure 12, <duration>: a duration of -4: "
        "expected 0 or more"
    )
    assert isinstance(error, TheoryError)
    assert isinstance(error, ValueError)


def test_a_missing_file_is_the_callers_error(tmp_path):
    with pytest.raises(FileNotFoundError):
        read_lead_sheet(tmp_path / "none.musicxml")


# --- random damage ------------------------------------------------------------------


def outcome(data):
    """Read, and say how it went; anything but a reading or our refusal is raised."""
    start = process_time()
    try:
        parse_lead_sheet(data)
    except MusicXMLReadError as error:
        assert str(error)
        assert error.element or not error.measure
    assert process_time() - start < 5


@pytest.mark.parametrize("seed", range(240))
def test_damaged_charts(seed):
    random = Random(seed)
    data = CHARTS[seed % len(CHARTS)].read_bytes()
    if seed % 8 == 0:
        data = zipped(
            {"a.xml": data, "META-INF/container.xml": LISTING.format("a.xml")}
        )
    outcome(mutated(data, random)[1])


def test_damaged_sheets_of_an_open_data_set():
    if not SHARED.is_dir():
        pytest.skip("no ../shared/leadsheets here; the project's charts are damaged")
    random = Random(7)
    for path in sorted(SHARED.glob("*.mxl"))[::6]:
        with zipfile.ZipFile(path) as container:
            (name,) = (n for n in container.namelist() if not n.startswith("META"))
            data = container.read(name)
        for mutation in MUTATIONS[:4]:
            outcome(mutation(path.read_bytes(), random))
        for _ in range(4):
            outcome(mutated(data, random)[1])


@given(st.binary(max_size=400))
def test_any_bytes(data):
    outcome(data)


@settings(max_examples=30)
@given(st.text(max_size=60), st.sampled_from(["duration", "step", "words", "kind"]))
def test_any_text_in_an_element(text, name):
    escaped = text.replace("&", "&amp;").replace("<", "&lt;")
    content = f"<{name}>{escaped}</{name}>"
    inside = {
        "duration": f"<note><rest/>{content}</note>",
        "step": f"<note><pitch>{content}<octave>4</octave></pitch>"
        "<duration>8</duration></note>",
        "words": f"<direction><direction-type>{content}</direction-type></direction>",
        "kind": f"<harmony><root><root-step>C</root-step></root>{content}</harmony>",
    }[name]
    outcome(with_measure(inside).encode("utf-8", "replace"))


# --- memory and time, in a process of their own ---------------------------------------


BOMBS = {
    "deep": "b'<score-partwise>' + b'<a>' * 199_000 + b'</a>' * 199_000"
    " + b'</score-partwise>'",
    "attributes": "b'<score-partwise>' + b''.join(b'<a%d b%d=\"%d\"/>' % (i, i, i)"
    " for i in range(399_000)) + b'</score-partwise>'",
    "unread": "b'<score-partwise><part><measure>' + b''.join(b'<x%d/>' % i"
    " for i in range(150_000)) + b'</measure></part></score-partwise>'",
    "words": "b'<score-partwise><part><measure><direction><direction-type>'"
    " + b'<words>to be</words>' * 199_000"
    " + b'</direction-type></direction></measure></part></score-partwise>'",
    "chords": "b'<score-partwise><part><measure>' + b''.join("
    "b'<harmony><root><root-step>C</root-step></root><kind>z%d</kind></harmony>' % i"
    " for i in range(20_000)) + b'</measure></part></score-partwise>'",
}
MEASURE = """
import resource, sys, time
from leadsheet_theory.musicxml import parse_lead_sheet
from leadsheet_theory.errors import MusicXMLReadError
data = {data}
start = time.process_time()
try:
    parse_lead_sheet(data)
except MusicXMLReadError:
    pass
print(time.process_time() - start, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
"""


# A program's peak of memory counts what it was before it became Python: a copy of the
# process that started it.  So the tests start a small one, which starts the measured.
IN_BETWEEN = "import subprocess, sys; subprocess.run(sys.argv[1:], check=True)"


def cost_of(data: str) -> tuple[float, float]:
    """Seconds of processor time and kilobytes of memory that reading takes."""
    pytest.importorskip("resource", reason="memory is measured on Unix only")
    measured = (sys.executable, "-c", MEASURE.format(data=data))
    done = subprocess.run(
        [sys.executable, "-c", IN_BETWEEN, *measured],
        capture_output=True,
        text=True,
        cwd=HOME,
        check=True,
    )
    seconds, kilobytes = map(float, done.stdout.split())
    return seconds, kilobytes


@pytest.mark.parametrize("name", BOMBS)
def test_the_worst_files_that_are_read(name):
    seconds, kilobytes = cost_of(BOMBS[name])
    assert seconds < 30
    assert kilobytes < 500_000


def test_memory_is_that_of_reading_not_of_the_tests():
    ballast = b"x" * 200_000_000
    assert cost_of("b'no XML'")[1] < len(ballast) / 1000 / 2
