"""Tunes read from ABC notation.

Source of every case, unless it says otherwise: Chris Walshaw, *The abc music standard
2.1* (2011); the number is that of its section.  Examples marked * are printed there.
Pitches are MIDI keys, times quarter notes from the start of the tune.
"""

from __future__ import annotations

from fractions import Fraction
from io import BytesIO, StringIO
from pathlib import Path

import pytest

from leadsheet_theory import Key, LeadSheet, Meter, Note, TheoryError, play_order
from leadsheet_theory.abc import AbcTune, parse_abc, read_abc
from leadsheet_theory.errors import AbcReadError, NotTextError, UnknownStaffError

ROOT = Path(__file__).resolve().parents[2]


def tune(
    body: str, *, key: str = "C", meter: str = "4/4", unit: str = "1/4"
) -> AbcTune:
    """The one tune with this music."""
    (read,) = parse_abc(f"X:1\nT:Test\nM:{meter}\nL:{unit}\nK:{key}\n{body}\n")
    return read


def heard(sheet: LeadSheet) -> str:
    """The melody: key@onset+duration, r for a rest, ~ for a tie, g for a grace note."""
    said, start = [], Fraction(0)
    for bar in sheet.bars:
        for event in bar.melody:
            place = f"@{start + event.onset}+{event.duration}"
            if not isinstance(event, Note):
                said.append(f"r{place}")
            elif event.grace:
                said.append(f"g{event.pitch.midi}")
            else:
                keys = "/".join(str(p.midi) for p in reversed(event.pitches))
                said.append(f"{keys}{place}{'~' * event.tied_to_next}")
        start += bar.length
    return " ".join(said)


def rules(read: AbcTune) -> list[str]:
    return [finding.rule for finding in read.findings]


NOTES = (
    # 4.1 pitches
    ("1/4", "C, C c c'", "48@0+1 60@1+1 72@2+1 84@3+1"),
    ("1/4", "C,', C' c, c", "48@0+1 72@1+1 60@2+1 72@3+1"),
    # 4.2 and 11.3 accidentals, to the end of the bar, in every octave
    ("1/4", "^F f =F f | F4", "66@0+1 78@1+1 65@2+1 77@3+1 65@4+4"),
    ("1/4", "^^F __B z2", "67@0+1 69@1+1 r@2+2"),
    # 4.3 lengths
    ("1/8", "A A2 A/ A/2 A// A// A/ A3/2 A/2 A", "69@0+1/2 69@1/2+1 69@3/2+1/4 "
     "69@7/4+1/4 69@2+1/8 69@17/8+1/8 69@9/4+1/4 69@5/2+3/4 69@13/4+1/4 69@7/2+1/2"),
    # 4.4 broken rhythm: a dotted, b halved *
    ("1/8", "a>b c<d a>>>b z2", "81@0+3/4 83@3/4+1/4 72@1+1/4 74@5/4+3/4 "
     "81@2+15/16 83@47/16+1/16 r@3+1"),
    # 4.5 rests, also of whole bars
    ("1/4", "z x z2 | Z2 | C4", "r@0+1 r@1+1 r@2+2 r@4+4 r@8+4 60@12+4"),
    # 4.11 ties: over the bar line with the accidental, to the one note only
    ("1/4", "^F4- | F2 F2", "66@0+4~ 66@4+2 65@6+2"),
    # 4.12 grace notes take no time and no part in broken rhythm
    ("1/8", "A<{g}A A{g}<A z4", "69@0+1/4 g79 69@1/4+3/4 69@1+1/4 g79 "
     "69@5/4+3/4 r@2+2"),
    ("1/4", "{!upbow!^c.d[eg]}A4", "g73 g74 g79 69@0+4"),
    # 4.13 tuplets with their defaults; (3:2:2 and (3:2:4 with unequal notes *
    ("1/8", "(3ABc (2AB (5ABABA z", "69@0+1/3 71@1/3+1/3 72@2/3+1/3 69@1+3/4 "
     "71@7/4+3/4 69@5/2+1/5 71@27/10+1/5 69@29/10+1/5 71@31/10+1/5 69@33/10+1/5 "
     "r@7/2+1/2"),
    ("1/8", "(3:2:2G4c2 (3:2:4G2A2Bc", "67@0+4/3 72@4/3+2/3 67@2+2/3 69@8/3+2/3 "
     "71@10/3+1/3 72@11/3+1/3"),
    # 4.17 chords: lengths inside and outside multiply *; the first note decides
    ("1/8", "[C2E2G2]3 z2 | [C2E4]4", "60/64/67@0+3 r@3+1 60/64@4+4"),
    # 4.18 a chord symbol between > and the next note *
    ("1/8", '"C7" A > "F7" B z6', "69@0+3/4 71@3/4+1/4 r@1+3"),
)  # fmt: skip


@pytest.mark.parametrize(("unit", "body", "expected"), NOTES)
def test_notes(unit: str, body: str, expected: str) -> None:
    assert heard(tune(f"{body} |", unit=unit).sheet) == expected


@pytest.mark.parametrize(
    ("meter", "unit"),
    [("2/4", "1/4"), ("3/8", "1/4"), ("3/4", "1/2"), ("6/8", "1/2"), ("C|", "1/2"),
     ("none", "1/2")],
)  # fmt: skip
def test_the_usual_unit_length(meter: str, unit: str) -> None:
    """3.1.7: a sixteenth below 0.75, else an eighth."""
    (read,) = parse_abc(f"X:1\nT:\nM:{meter}\nK:C\nA|\n")
    assert read.sheet.bars[0].melody[0].duration == Fraction(unit)


@pytest.mark.parametrize(
    ("text", "key"),
    [("Am", "A minor"), ("F#Mix", "F# mixolydian"), ("D dorian", "D dorian"),
     ("AMIN", "A minor"), ("EbDor", "Eb dorian"), ("B locrian", "B locrian"),
     ("D =c", "D mixolydian"), ("C clef=bass", "C major"), ("none", "C major")],
)  # fmt: skip
def test_keys(text: str, key: str) -> None:
    """3.1.14."""
    assert tune("C4|", key=text).sheet.key == Key.parse(key)


def test_a_signature_of_its_own() -> None:
    """3.1.14: K:D exp _b _e ^f * and K:D Phr ^f * have the same signs."""
    for text in ("D exp _b _e ^f", "D Phr ^f"):
        read = tune("B E F c|", key=text)
        assert heard(read.sheet) == "70@0+1 63@1+1 66@2+1 72@3+1"
        assert rules(read) == ["key-signs"]


def test_metres() -> None:
    """3.1.6."""
    assert tune("C7|", meter="(2+3+2)/8").sheet.meter == Meter(7, 8, (2, 3, 2))
    changed = tune("C4|[M:3/4]C3|[M:C|]C4|").sheet
    assert [str(bar.meter) for bar in changed.bars] == ["4/4", "3/4", "C|"]


FORMS = (
    # 4.8 bar lines and repeats
    ("|:C4|D4::E4|F4:|", "12123434"),
    ("C4|D4:|E4|F4:|", "12123434"),
    ("C4||D4|E4:|", "12323"),
    ("|::C4|D4::|E4|]", "1212123"),
    # 4.9 and 4.10 endings
    ("|:C4|1D4:|2E4|]", "1213"),
    ("|:C4|[1D4:|[2E4:|G4|]", "12134"),
    ("|:C4|[1,3D4:|[2E4:|G4|]", "1213124"),
    # 3.1.9 P: in the header would come first; labels alone change nothing
    ("P:A\nC4|\nP:B\nE4|]", "12"),
    # 4.14 signs; how they are played is common practice, no source
    ("!segno!C4|D4!dacoda!|E4!D.S.!|!coda!F4|]", "123124"),
    ('C4|D4!fine!|E4"^D.C. al Fine"|]', "12312"),
    ('C4|D4"^To Coda 2"|E4"^D.C. al 2nd Coda"|!coda!F4|"^Coda 2"G4|]', "123125"),
)


@pytest.mark.parametrize(("body", "order"), FORMS)
def test_the_order_of_play(body: str, order: str) -> None:
    indices = play_order(tune(body).sheet.bars).indices
    assert "".join(str(index + 1) for index in indices) == order


@pytest.mark.parametrize(
    ("order", "played"),
    [("ABA", "121"), ("A2B", "112"), ("(AB)2", "1212"), ("AABA", "1121"),
     ("(A2.B)2", "112112"), ("BA", "21"), ("ABAB2A", "121221")],
)  # fmt: skip
def test_the_order_of_parts(order: str, played: str) -> None:
    """3.1.9; where no signs say it the bars are written out."""
    text = f"X:1\nT:\nP:{order}\nM:4/4\nL:1/4\nK:C\nP:A\nC4|\nP:B\nD4|]\n"
    bars = parse_abc(text)[0].sheet.bars
    keys = [bars[index].melody[0].pitch.midi for index in play_order(bars).indices]
    assert "".join("1" if key == 60 else "2" for key in keys) == played


def test_chord_symbols_and_annotations_are_told_apart() -> None:
    """4.18 and 4.19; G(Em) * is a chord with another in its place."""
    read = tune('"Am7"C "G/b"D "G(Em)"E "^G7"F | "N.C."C2 "Medium"D2 |')
    first, second = read.sheet.bars
    assert [str(chord.symbol) for chord in first.chords] == ["Am7", "G/B", "G"]
    assert [(d.text, d.onset) for d in first.directions] == [("(Em)", 2), ("G7", 3)]
    assert [str(chord.symbol) for chord in second.chords] == ["N.C."]
    assert [d.text for d in second.directions] == ["Medium"]
    assert rules(read) == ["chord-text"]


def test_decorations() -> None:
    """4.14 and 4.16."""
    read = tune("U: W = !tenuto!\n.C ~D HE WF | !mf!C2 !wobble!D2 |")
    bar, after = read.sheet.bars
    marks = [[mark.kind for mark in n.marks] for n in bar.melody]
    assert marks == [["staccato"], [], ["fermata"], ["tenuto"]]
    assert [d.text for d in bar.directions] == ["~"]
    assert [(d.kind, d.text) for d in after.directions] == [("dynamics", "mf")]
    assert rules(read) == ["unknown-decoration"]


WORDS = (
    # 5.1
    ("one two three four", ["one", "two", "three", "four"]),
    ("syll-a-ble *", ["syll-", "a-", "ble", ""]),
    ("syll-a--ble", ["syll-", "a-", "", "ble"]),
    ("time__ now", ["time_", "", "", "now"]),
    ("of~the~day gone by now", ["of the day", "gone", "by", "now"]),
    (r"one\-two a b c", ["one-two", "a", "b", "c"]),
)


@pytest.mark.parametrize(("words", "expected"), WORDS)
def test_words(words: str, expected: list[str]) -> None:
    melody = tune(f"CDEF|\nw:{words}").sheet.bars[0].melody
    said = []
    for note in melody:
        assert isinstance(note, Note)
        text = "".join(lyric.text for lyric in note.lyrics)
        hyphen = any(lyric.syllabic in ("begin", "middle") for lyric in note.lyrics)
        held = any(lyric.extend for lyric in note.lyrics)
        said.append(text + "-" * hyphen + "_" * held)
    assert said == expected


def test_verses_and_later_lines() -> None:
    """5.1 and 5.2."""
    read = tune("CDEF|\nw:a b c d\nw:e f g h\nGABc|\nw:i j k l")
    first, last = (bar.melody[0] for bar in read.sheet.bars)
    assert [(lyric.text, lyric.verse) for lyric in first.lyrics] == [("a", 1), ("e", 2)]
    assert [(lyric.text, lyric.verse) for lyric in last.lyrics] == [("i", 1)]


def test_voices() -> None:
    """7: the first voice is the melody, one named for rhythm holds the hits; 7.4: an
    overlay is the counterline.  Which is which is this library's choice."""
    read = tune('V:1\nC4|D4|\nV:2 name="Rhythm"\nz2 B2|B4|\nV:3 clef=bass\nC,4|C,4|')
    bars = read.sheet.bars
    assert heard(read.sheet) == "60@0+4 62@4+4"
    assert [(hit.onset, hit.duration) for hit in bars[0].hits] == [(2, 2)]
    assert rules(read) == ["unread"]
    overlaid = tune("C4 & E,4|D4|").sheet.bars
    assert [bool(bar.counterline) for bar in overlaid] == [True, False]


def test_a_part_that_sounds_elsewhere_is_brought_to_concert_pitch() -> None:
    """4.6: transpose= and the 8 at a clef say how the written notes sound."""
    sheet = tune('"D7"D4|', key="D transpose=-2").sheet
    bar = sheet.bars[0]
    assert (str(bar.key), str(bar.melody[0].pitch)) == ("C major", "C4")
    assert str(bar.chords[0].symbol) == "C7"
    assert heard(tune("c4|", key="C treble-8").sheet) == "60@0+4"


def test_macros() -> None:
    """9.1 * and 9.2 *."""
    text = "X:1\nT:\nm: ~G3 = G{A}G{F}G\nm: ~n2 = (3o/n/m/ n\nM:4/4\nL:1/8\nK:C\n"
    (read,) = parse_abc(f"{text}~G3 ~A2 z3|\n")
    assert heard(read.sheet) == (
        "67@0+1/2 g69 67@1/2+1/2 g65 67@1+1/2 71@3/2+1/6 69@5/3+1/6 67@11/6+1/6 "
        "69@2+1/2 r@5/2+3/2"
    )


STRINGS = (
    (r"Caf\'e", "Café"), (r"\AAse", "Åse"), (r"\ss", "ß"), (r"\vSkoda", "Škoda"),
    (r"\HO", "Ő"), (r"\u00e9t\u00e9", "été"), ("&eacute;t&eacute;", "été"),
    ("gin & tonic", "gin & tonic"), (r"G\&T", "G&T"), (r"50\% more", "50% more"),
    (r"back\\slash", "back\\slash"), ("&copy; 2020", "© 2020"),
)  # fmt: skip


@pytest.mark.parametrize(("text", "title"), STRINGS)
def test_text_strings(text: str, title: str) -> None:
    """8.2."""
    assert parse_abc(f"X:1\nT:{text}\nK:C\nC|\n")[0].sheet.title == title


def test_the_head() -> None:
    text = (
        "X:7\nT:First\nT:Second\nC:A. Writer\nC:words by B. Singer\nN:© the harbour\n"
        'S:Workbook\nQ:"Medium swing" 1/4=160\nM:4/4\nK:F\nF8|\n'
    )
    (read,) = parse_abc(text)
    sheet = read.sheet
    assert (read.number, sheet.title, sheet.subtitle) == (7, "First", "Second")
    assert (sheet.composer, sheet.lyricist) == ("A. Writer", "B. Singer")
    assert sheet.rights == "© the harbour"
    assert sheet.style == "Medium swing"
    assert sheet.tempo is not None
    assert sheet.tempo.per_minute == 160
    assert read.texts == (("S", "Workbook"),)


def test_a_file_of_many_tunes() -> None:
    """2.1 and 2.2: the file header holds for every tune, free text is passed over."""
    text = (
        "%abc-2.1\nM:3/4\nL:1/4\n\nX:1\nT:A\nK:C\nC3|\n\nSome words.\n\n"
        "X:2\nT:B\nM:4/4\nK:G\n% a comment is no empty line\nF4|\n"
    )
    first, second = parse_abc(text.replace("\n", "\r"))
    assert (str(first.sheet.meter), str(second.sheet.meter)) == ("3/4", "4/4")
    assert heard(second.sheet) == "66@0+4"


def test_reading_files(tmp_path: Path) -> None:
    text = "X:1\nT:Café\nM:4/4\nL:1/1\nK:C\nC|\n"
    path = tmp_path / "tune.abc"
    for data in (text.encode(), b"\xef\xbb\xbf" + text.encode()):
        path.write_bytes(data)
        assert read_abc(path)[0].sheet.title == "Café"
    path.write_bytes(text.encode("latin-1"))
    (guessed,) = read_abc(str(path))
    assert (guessed.sheet.title, rules(guessed)) == ("Café", ["charset"])
    named = f"I:abc-charset iso-8859-1\n\n{text}".encode("latin-1")
    assert read_abc(BytesIO(named))[0].sheet.title == "Café"
    assert read_abc(StringIO(text))[0].sheet.title == "Café"
    path.write_text("nothing")
    with pytest.raises(AbcReadError, match=r"tune\.abc: no tune"):
        read_abc(path)


# what is wrong: the rule, where it is told, and what is read all the same
FAULTS = (
    ("CDE>|C4|", "broken-rhythm-across-bar", 4, "60@0+1 62@1+1 64@2+3/2 60@7/2+4"),
    ("(3AB|C4|", "tuplet-too-short", 1, "69@0+2/3 71@2/3+2/3 60@4/3+4"),
    ("C0D3|", "bad-length", 2, "60@0+1 62@1+3"),
    ("C99999999999D3|", "length-too-large", 2, "60@0+1 62@1+3"),
    ("[CEG", "chord-not-closed", 1, "60/64/67@0+1"),
    ("D4{gC4|", "grace-not-closed", 3, "62@0+4 g79 g60"),
    ('"Am7 A4|', "string-not-closed", 1, ""),
    ('"H7"C4|', "unknown-chord-root", 1, "60@0+4"),
    ("C2-D2|", "tie-different-pitch", 3, "60@0+2 62@2+2"),
    ("C4| 1 D4:|", "ending-not-adjacent", 5, "60@0+4 62@4+4"),
    ("C2éD2|", "unreadable-characters", 3, "60@0+2 62@2+2"),
    ("C2 !da capo! D2|", "bad-decoration-name", 4, "60@0+2 62@2+2"),
    ("CDEF|\nw:a b c d e", "too-many-syllables", 11, "60@0+1 62@1+1 64@2+1 65@3+1"),
    ("C4|[J:x]D4|", "unknown-field", 5, "60@0+4 62@4+4"),
    ("C4|CD|E4|", "bar-length", 4, "60@0+4 60@4+1 62@5+1 64@6+4"),
    ("C4|\nG:group|C4|", "field-not-allowed-in-body", 1, "60@0+4"),
)


@pytest.mark.parametrize(("body", "rule", "column", "expected"), FAULTS)
def test_faults_are_told_with_their_place(
    body: str, rule: str, column: int, expected: str
) -> None:
    read = tune(body)
    places = {(f.rule, f.line, f.column) for f in read.findings}
    assert (rule, 6 + body.count("\n"), column) in places
    assert heard(read.sheet) == expected


@pytest.mark.parametrize("text", ["", " \n", "Only some words.\n", "w:x\n\nC:me\n"])
def test_a_text_without_a_tune_is_refused(text: str) -> None:
    with pytest.raises(AbcReadError) as error:
        parse_abc(text)
    assert isinstance(error.value, TheoryError)


def test_what_is_no_text_is_refused() -> None:
    with pytest.raises(NotTextError):
        parse_abc(None)  # type: ignore[arg-type]


def test_the_demo_tune() -> None:
    (read,) = read_abc(ROOT / "shared" / "charts" / "lamplighters_round.abc")
    sheet = read.sheet
    assert read.findings == ()
    assert str(sheet) == "Lamplighter's Round (10 bars, F major, 4/4)"
    numbers = [sheet.bars[i].number for i in play_order(sheet.bars).indices]
    assert numbers == [0, 1, 2, 3, 4, 1, 2, 3, 5, 6, 7, 8, 9]


def test_remarks_without_end_are_counted() -> None:
    read = tune("C4|" + "*" * 3000)
    assert len(read.findings) == 2001
    assert read.findings[-1].message == "1000 more remarks are left out"


class TestVoicesThatAreNamed:
    """The user says which voice holds the hits, and which one a bass line."""

    TEXT = """X:1
T:Bollard
M:4/4
L:1/4
K:F
V:1 name="Horns"
V:2 name="Piano"
V:3 name="Left hand" clef=bass
V:1
"F"A2 c2 | "Bb7"f4 |]
V:2
z c z e | z2 z c |]
V:3
F,2 C,2 | z4 |]
"""

    def test_the_text_decides_where_nothing_is_named(self) -> None:
        (bar, _) = parse_abc(self.TEXT)[0].sheet.bars
        assert (bar.hits, bar.bass_line) == ((), ())
        assert len(bar.counterline) == 4

    @pytest.mark.parametrize("names", [("2", "3"), ("piano", "Left hand")])
    def test_hits_and_bass_line(self, names: tuple[str, str]) -> None:
        (tune,) = parse_abc(self.TEXT, hits=names[0], bass_line=names[1])
        bar, last = tune.sheet.bars
        assert [str(hit.onset) for hit in bar.hits] == ["1", "3"]
        pitches = [str(e.pitch) for e in bar.bass_line if isinstance(e, Note)]
        assert pitches == ["F3", "C3"]
        assert last.bass_line == () == bar.counterline

    def test_no_hits(self) -> None:
        text = self.TEXT.replace('"Piano"', '"Hits"')
        assert parse_abc(text)[0].sheet.bars[0].hits
        (tune,) = parse_abc(text, hits="none")
        assert not tune.sheet.bars[0].hits
        assert any("voice Hits is not carried" in f.message for f in tune.findings)

    def test_a_voice_that_is_not_there(self) -> None:
        with pytest.raises(UnknownStaffError, match="there are Horns, Piano, Left"):
            parse_abc(self.TEXT, hits="Drums")
