"""What charts say in their own ways, fact by fact: a file built for each, and what must
come of it.

The elements are those of the W3C's *MusicXML 4.0*; how charts are written, and what a
copyist makes of it, is common practice, no source.
"""

import re
from fractions import Fraction

import pytest
from score_elements import (
    FULL,
    TWO,
    harmony,
    line,
    note,
    read,
    said,
    start,
    words,
)

from leadsheet_theory import make_parts, write_part
from leadsheet_theory.leadsheet import Note, play_order
from leadsheet_theory.proof import proofread

B_FLAT = "<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose>"
THREE = "<time><beats>3</beats><beat-type>4</beat-type></time>"
CUT = "<time><beats>2</beats><beat-type>2</beat-type></time>"
BACK = '<barline location="right"><repeat direction="backward"{}/></barline>'
SEGNO = "<direction><direction-type><segno/></direction-type></direction>"
CODA = "<direction><direction-type><coda/></direction-type></direction>"


# ── Ways to look at what came of a file ──────────────────────────────────────────


def chords(result):
    """The chord symbols, bar by bar, with their beats."""
    return " | ".join(
        " ".join(f"{c.symbol}@{bar.beat_of(c.onset)}" for c in bar.chords)
        for bar in result.sheet.bars
    )


def spread(result):
    """The chord symbols of the C part's first bar, and the remark on them."""
    part = make_parts(result.sheet)[0]
    told = [str(f) for f in part.report.findings if f.rule == "stacked-chords"]
    placed = part.bars[0].bar.chords
    return " ".join(f"{c.symbol}@{c.onset}" for c in placed), len(told)


def kept(result):
    part = make_parts(result.sheet, stacked_chords="kept")[0]
    return [c.onset for c in part.bars[0].bar.chords]


def words_of(result):
    """The words of each bar at concert pitch."""
    return [[d.text for d in bar.directions] for bar in result.sheet.bars]


def words_in_b_flat(result):
    """The words of the first bar of the B♭ part, and how bad what was told is."""
    part = make_parts(result.sheet)[1]
    worst = {f.severity for f in result.findings} & {"error", "warning"}
    texts = [d.text for d in part.bars[0].bar.directions if "Solos" not in d.text]
    return texts, sorted(worst)


def order(result):
    return [result.sheet.bars[i].number for i in play_order(result.sheet.bars).indices]


def order_and_words(result):
    """The order of playing, and the words that are left to print beside the signs."""
    left = [text for texts in words_of(result) for text in texts]
    return order(result), left


def printed_once(result):
    """The words that stand in the second bar of the C part's file."""
    (part, *_) = make_parts(result.sheet, solo_page=False)
    return re.findall("<words>([^<]*)<", write_part(part).decode())


def jumps_told(result):
    told = [str(f) for f in make_parts(result.sheet)[0].report.findings]
    return next(each for each in told if "D.S." in each or "D.C." in each)


def melody(result):
    return [line(bar.melody) for bar in result.sheet.bars]


def values(result):
    """The written values of the first bar of the C part."""
    events = make_parts(result.sheet)[0].bars[0].bar.melody
    return [event.value.name for event in events]


def numbers(result):
    return [bar.number for bar in result.sheet.bars]


def key_and_metre(result):
    told = [f.rule for f in result.findings if f.severity == "warning"]
    return str(result.sheet.key), str(result.sheet.meter), sorted(told)


def people(result):
    sheet = result.sheet
    return sheet.composer, sheet.lyricist, sheet.rights


def in_parts(result):
    """Whether lyricist and rights stand in every part."""
    texts = [write_part(part).decode() for part in make_parts(result.sheet)]
    return all("N. Bollard" in text and "All hands" in text for text in texts)


def syllables(result):
    return [
        (lyric.text, lyric.syllabic)
        for bar in result.sheet.bars
        for event in bar.melody
        if isinstance(event, Note)
        for lyric in event.lyrics
    ]


def proof_rules(result):
    return {finding.rule for finding in proofread(result.sheet)}


def severity(rule):
    def look(result):
        return sorted({f.severity for f in result.findings if f.rule == rule})

    return look


def order_and_rules(rule):
    return lambda result: (order(result), severity(rule)(result))


def sections(result):
    return [bar.form.section for bar in result.sheet.bars]


def system_starts(result):
    part = make_parts(result.sheet)[0]
    return [part.bars[at].bar.number for at in part.plan.system_starts if at < 8]


def solo_lengths(result):
    return {bar.bar.length for bar in make_parts(result.sheet)[0].solo}


# ── Small files ──────────────────────────────────────────────────────────────────


def one(*content, more=""):
    return (start(more=more) + "".join(content) + FULL,)


def typed(text, **options):
    return one(words(text), **options)


def later(text):
    return (start() + note("C5", 1) + words(text) + note("C5", 3),)


def ending(number, text="", stop=False):
    left = (
        f'<barline location="left"><ending number="{number}" type="start">{text}'
        "</ending></barline>"
    )
    right = (
        f'<barline location="right"><ending number="{number}" type="stop"/>'
        '<repeat direction="backward"/></barline>'
    )
    last = (
        f'<barline location="right"><ending number="{number}" type="stop"/></barline>'
    )
    return left + FULL + (last if stop else right)


def other(text, kind="other", root="C", degrees=""):
    return one(harmony(root, kind, degrees, text))


def degree(value, alter, kind):
    return (
        f"<degree><degree-value>{value}</degree-value>"
        f"<degree-alter>{alter}</degree-alter><degree-type>{kind}</degree-type></degree>"
    )


def sung(*pairs, lengths=1):
    return "".join(
        note("C5", lengths, f"<lyric><syllabic>{kind}</syllabic><text>{text}</text>"
             "</lyric>")
        for text, kind in pairs
    )  # fmt: skip


def numeral(root, kind="major", fifths=0):
    return (
        f"<harmony><numeral><numeral-root>{root}</numeral-root><numeral-key>"
        f"<numeral-fifths>{fifths}</numeral-fifths><numeral-mode>major</numeral-mode>"
        f"</numeral-key></numeral><kind>{kind}</kind></harmony>"
    )


def head(*elements):
    return f"<identification>{''.join(elements)}</identification>"


QUARTER = "<type>quarter</type>"
HALF = "<type>half</type>"

FACTS = [
    # words that are chords
    ("several chords in one word, with dashes", typed("Bb-Bdim-Cm7-F7"), chords,
     "Bb@1 Bdim@1 Cm7@1 F7@1"),
    ("two chords in one word", typed("A7D7"), chords, "A7@1 D7@1"),
    ("several chords in one word, with strokes and blanks", typed("Dm7 | G7 C6"),
     chords, "Dm7@1 G7@1 C6@1"),
    ("a fifth and a flat fifth move with the part", typed("F5b5"), words_in_b_flat,
     (["G(b5,no3)"], [])),
    ("a raised figure moves with the part", typed("C²"), words_in_b_flat,
     (["Dsus2"], [])),
    ("figures that are no chord's", typed("F79"), words_in_b_flat, ([], ["error"])),
    ("words with a chord's letters are no chord", later("Ad lib"), words_in_b_flat,
     (["Ad lib"], [])),
    ("a word that is a chord's letters is no chord", later("Dim the lamps"),
     words_in_b_flat, (["Dim the lamps"], [])),
    ("a chord among words moves with the part", later("2nd time Am7"),
     words_in_b_flat, (["2nd time Bm7"], [])),
    ("a repeat's count and a chord", later("4x Bb7"), chords, "Bb7@2"),
    ("a pedal moves with the part", typed("G pedal"), words_in_b_flat,
     (["A pedal"], [])),
    ("a B♭ source's pedal", typed("G pedal", more=B_FLAT), words_of, [["F pedal"]]),
    ("a B♭ source's word over a harmony",
     one(harmony("D", "minor-seventh"), words("Am7"), more=B_FLAT), words_of,
     [["Gm7"]]),
    ("a B♭ source's words that are chords", typed("A7D7", more=B_FLAT), chords,
     "G7@1 C7@1"),
    ("a chord beside damaged text is not half transposed",
     typed("Bb7 \u0192\u00b6 F7"), words_in_b_flat, ([], ["error"])),
    ("a flat sign in a wrong encoding", typed("Bb\u00e2\u2122\u00ad7"),
     words_in_b_flat, ([], ["error"])),
    ("a sign that got lost", typed("B\ufffd7"), words_in_b_flat, ([], ["error"])),
    # words of form
    ("a jump without its blanks",
     (start() + FULL, words("D.C.alFine") + FULL, FULL), order_and_words,
     ([1, 2, 1, 2, 3], [])),
    ("repeats said before a jump",
     (start() + FULL, FULL + words("Fine"),
      FULL + words("3 repeats then D.C. al Fine") + BACK.format("")),
     order_and_words, ([1, 2, 3, 1, 2, 3, 1, 2, 3, 1, 2], [])),
    ("to the coda in words, followed by its sign",
     (start() + FULL, FULL + words("To Coda") + CODA, FULL + words("D.C. al Coda"),
      CODA + FULL), order_and_words, ([1, 2, 3, 1, 2, 4], [])),
    ("what words say besides a jump is printed once",
     (start() + FULL, FULL + words("D.C. al Fine (2nd time only)")), printed_once,
     ["(2nd time only)", "D.C. al Fine"]),
    ("the word before a coda sign is part of it",
     (start() + FULL, FULL + words("To") + CODA, FULL + words("D.C. al") + CODA,
      CODA + FULL), order_and_words, ([1, 2, 3, 1, 2, 4], [])),
    ("a dal segno without a segno is told, and goes back to the start",
     (start() + FULL, FULL + words("D.S.")), jumps_told,
     "bar 2: D.S., but no segno before it: read as D.C."),
    ("a jump to a coda that is not there is told",
     (start() + FULL, FULL + words("D.C. al Coda")), jumps_told,
     "bar 2: D.C. al coda, but no to coda: played to the end"),
    ("endings numbered 2 and 2",
     (start() + FULL, ending(2), ending(2, stop=True)), order, [1, 2, 1, 3]),
    ("endings numbered 1 and 1",
     (start() + FULL, ending(1), ending(1, stop=True)), order, [1, 2, 1, 3]),
    # metre and key that are not said
    ("bars of three quarters without a metre",
     (start(time="") + note("D5", 3), *[note("D5", 2) + note("E5", 1)] * 4),
     key_and_metre, ("C major", "3/4", ["meter"])),
    ("bars of six eighths under beams of three, without a metre",
     tuple(
         (start(time="", divisions=2) if not n else "")
         + (note("D5", 1, "<type>eighth</type><beam number='1'>begin</beam>")
            + note("E5", 1, "<type>eighth</type><beam number='1'>continue</beam>")
            + note("F5", 1, "<type>eighth</type><beam number='1'>end</beam>")) * 2
         for n in range(4)
     ), lambda result: str(result.sheet.meter), "6/8"),
    ("a minor key that is not said",
     (start(key="") + harmony("D", "minor") + note("D5", 2) + note("F5", 2),
      harmony("G", "minor") + note("Bb4", 2) + note("G4", 2),
      harmony("A", "dominant") + note("C#5", 2) + note("E5", 2),
      harmony("D", "minor") + note("D5", 4)),
     key_and_metre, ("D minor", "4/4", ["key"])),
    ("a metre that the bars contradict",
     (start(), *[note("C5", 3)] * 6), lambda result: "meter" in proof_rules(result),
     True),
    ("a signature that the notes contradict",
     (start(key="<key><fifths>4</fifths></key>")
      + harmony("F") + note("F4", 2) + note("A4", 2),
      *[harmony("Bb") + note("Bb4", 2) + note("D5", 2),
        harmony("F") + note("F5", 2) + note("C5", 2)] * 4),
     lambda result: bool(proof_rules(result) & {"key", "signature", "key-signature"}),
     True),
    # bars
    ("a bar in two measures is one",
     (start() + FULL, note("C5", 3), ('number="X1" implicit="yes"', note("D5", 1)),
      FULL), numbers, [1, 2, 3]),
    ("a bar in two measures without a word on it is one",
     (start() + FULL, note("C5", 1), note("D5", 3), FULL), numbers, [1, 2, 3]),
    ("a bar in two measures is never parted",
     (start() + FULL, FULL, FULL, note("C5", 2),
      ('number="X1" implicit="yes"', note("D5", 2)), FULL, FULL, FULL, FULL),
     system_starts, [1, 5]),
    ("a bar in two measures is whole on the solo page",
     (start() + harmony() + FULL, note("C5", 2), note("D5", 2), FULL), solo_lengths,
     {4}),
    ("a full first bar that holds a pickup after rests",
     (start() + note("rest", 3) + note("G4", 1), FULL, FULL), numbers, [0, 1, 2]),
    ("remarks name the file's own number",
     (start() + note("rest", 3) + note("G4", 1), FULL, FULL + "<figured-bass/>"),
     lambda result: said(result)[0].partition(":")[0], "bar 2 (3 in the file)"),
    ("beats are quarters where the metre's beat is a half",
     (start(time=CUT) + harmony() + note("C5", 3) + harmony("F") + note("D5", 1),),
     chords, "C@1 F@4"),
    # syllables
    ("an open syllable is closed where the next word begins",
     (start() + sung(("har", "begin"), ("slow", "single"), ("now", "single"),
                     ("go", "single")),),
     lambda result: syllables(result)[0], ("har", "single")),
    ("an open syllable is closed before a bar of rest",
     (start() + sung(("har", "begin"), lengths=4), note("rest", 4),
      sung(("bour", "end"), lengths=4)),
     lambda result: syllables(result)[0], ("har", "single")),
    ("a word over a short rest stays one",
     (start() + sung(("har", "begin")) + note("rest", 1) + sung(("bour", "end"))
      + note("C5", 1),),
     syllables, [("har", "begin"), ("bour", "end")]),
    ("an extender that only stops is kept",
     (start() + note("C5", 2) + note("C5", 2, '<lyric><extend type="stop"/></lyric>'),),
     lambda result: b'<extend type="stop"/>' in write_part(
         make_parts(result.sheet)[0]), True),
    # chord symbols as programs write them
    ("a text that says more than its kind", other("7alt"), chords, "C7alt@1"),
    ("a thirteenth sus in the text", other("13sus4"), chords, "C13sus4@1"),
    ("a half-diminished in the text", other("m7b5"), chords, "Cm7(b5)@1"),
    ("a text that repeats the root", other("C7", "dominant"), chords, "C7@1"),
    ("a kind that no standard knows, and its text", other("maj7#11", "lydian"), chords,
     "Cmaj7(#11)@1"),
    ("a kind that no standard knows, and a text that repeats the root",
     other("Cmaj7#11", "lydian"), chords, "Cmaj7(#11)@1"),
    ("a suspended thirteenth by degrees",
     other("13sus4", "dominant-13th", degrees=degree(3, 0, "subtract")
           + degree(4, 0, "add")), chords, "C13sus4@1"),
    ("a suspended fourth with a seventh by degrees",
     other("13sus", "suspended-fourth", degrees=degree(7, -1, "add")
           + degree(9, 0, "add") + degree(13, 0, "add")), chords, "C13sus4@1"),
    ("a suspended seventh by degrees",
     other("7sus", "suspended-fourth", degrees=degree(7, -1, "add")), chords,
     "C7sus4@1"),
    ("an alternate chord is printed nowhere",
     one(harmony("C"), harmony("F").replace("<harmony>", '<harmony type="alternate">')),
     chords, "C@1"),
    ("a numeral is read by its key", one(numeral(5, "dominant")), chords, "G7@1"),
    ("a numeral in another key", one(numeral(2, "minor-seventh", fifths=-2)), chords,
     "Cm7@1"),
    ("a diminished seventh without its fifth",
     other("dim7(no5)", "diminished-seventh", degrees=degree(5, -1, "subtract")),
     chords, "Cdim7(no5)@1"),
    *[
        (f"the stray kind {kind}", one(harmony("C", kind)), chords, f"{symbol}@1")
        for kind, symbol in (
            ("augmented-dominant-ninth", "C9(#5)"), ("minor-major-13th", "Cm(maj13)"),
            ("minor-major-ninth", "Cm(maj9)"), ("minor-major-11th", "Cm(maj11)"),
        )
    ],
    # form as programs write it
    ("da capo to the segno",
     (start() + FULL, SEGNO + FULL, FULL + words("D.C. al Segno")), order,
     [1, 2, 3, 1]),
    ("a repeat taken again after the jump",
     (start() + FULL, FULL + BACK.format(' after-jump="yes"'),
      FULL + words("D.C.")), order, [1, 2, 1, 2, 3, 1, 2, 1, 2, 3]),
    ("an ending printed otherwise than it is numbered",
     (start() + FULL, ending(1, "1.-2."), ending(2, "3.", stop=True)), order,
     [1, 2, 1, 2, 1, 3]),
    ("a repeat of no time is played twice, and told",
     (start() + FULL + BACK.format(' times="0"'), FULL), order_and_rules("repeat"),
     ([1, 1, 2], ["warning"])),
    ("a repeat of one time is played twice, and told",
     (start() + FULL + BACK.format(' times="1"'), FULL), order_and_rules("repeat"),
     ([1, 1, 2], ["warning"])),
    # lengths
    ("a tick short and a tick long",
     (start(divisions=480) + note("C5", 479, QUARTER) + note("D5", 481, QUARTER)
      + note("E5", 960, HALF),), values, ["quarter", "quarter", "half"]),
    ("a tick short and a tick long without values",
     (start(divisions=480) + note("C5", 479) + note("D5", 481) + note("E5", 960),),
     values, ["quarter", "quarter", "half"]),
    ("a rest of four quarters in three",
     (start(time=THREE) + note("rest", 4), note("C5", 3)), melody,
     ["rest:3", "C5:3"]),
    ("a rest of four quarters in two",
     (start(time=TWO) + note("rest", 4, "<type>whole</type>"), note("C5", 2)), melody,
     ["rest:2", "C5:2"]),
    ("a bar's rest fills its bar whatever its length",
     (start() + FULL, note("rest", 1).replace("<rest/>", '<rest measure="yes"/>'),
      FULL), melody, ["C5:4", "rest:4", "C5:4"]),
    ("a length that no values show spoils its bar alone",
     (start(divisions=97) + note("C5", 13) + note("D5", 97 * 4 - 13),
      note("E5", 97 * 4)),
     lambda result: (len(make_parts(result.sheet)), melody(result)[1],
                     "warning" in severity("written-value")(result)),
     (5, "E5:4", True)),
    ("rests about slashes are one bar's rest",
     (start() + note("B4", 2, "<notehead>slash</notehead>") + note("rest", 2),
      FULL, FULL), melody, ["rest:4", "C5:4", "C5:4"]),
    # small things
    ("framed words in mid-bar are words",
     (start() + note("C5", 2) + words("Tutti", 'enclosure="square"') + note("C5", 2),),
     sections, [""]),
    ("framed words at the start are a section",
     one(words("Tutti", 'enclosure="square"')), sections, ["Tutti"]),
    ("words after the last note belong to their bar",
     (start() + FULL + words("dolce"), FULL), words_of, [["dolce"], []]),
    ("a typed chord after the last note belongs to its bar",
     (start() + note("C5", 2) + note("D5", 2) + words("G7"), FULL), chords, "G7@3 | "),
    # stacked chord symbols
    ("two symbols on one spot", one(harmony("C"), harmony("F")), spread,
     ("C@0 F@2", 1)),
    ("four symbols on one spot",
     one(harmony("C"), harmony("A"), harmony("D"), harmony("G")), spread,
     ("C@0 A@1 D@2 G@3", 1)),
    ("symbols on one spot are read as entered", one(harmony("C"), harmony("F")),
     chords, "C@1 F@1"),
    ("symbols on one spot may be kept", one(harmony("C"), harmony("F")), kept, [0, 0]),
]  # fmt: skip


@pytest.mark.parametrize(
    ("measures", "look", "expected"),
    [row[1:] for row in FACTS],
    ids=[row[0] for row in FACTS],
)
def test_a_fact_of_charts(measures, look, expected):
    assert look(read(*measures)) == expected


NAMES = [
    ("a name without a role is the composer's",
     ("<creator>N. Bollard</creator>",), ("N. Bollard", "", "")),
    ("a second name without a role wrote the words",
     ('<creator type="composer">The Net Loft</creator>',
      "<creator>N. Bollard</creator>"), ("The Net Loft", "N. Bollard", "")),
    ("a poet wrote the words",
     ('<creator type="poet">N. Bollard</creator>',), ("", "N. Bollard", "")),
    ("lyricist and rights",
     ('<creator type="lyricist">N. Bollard</creator>', "<rights>All hands</rights>"),
     ("", "N. Bollard", "All hands")),
]  # fmt: skip


@pytest.mark.parametrize(
    ("elements", "expected"), [r[1:] for r in NAMES], ids=[r[0] for r in NAMES]
)
def test_a_fact_of_the_head(elements, expected):
    result = read(start() + FULL, head=head(*elements))
    assert people(result) == expected


def test_lyricist_and_rights_stand_in_every_part():
    result = read(
        start() + FULL,
        head=head(
            '<creator type="lyricist">N. Bollard</creator>',
            "<rights>All hands</rights>",
        ),
    )
    assert in_parts(result)


def test_no_hyphen_runs_into_the_solo_page():
    open_word = sung(("har", "begin"), lengths=4)
    result = read(start() + harmony() + FULL, harmony("F") + open_word)
    assert syllables(result) == [("har", "single")]
    for part in make_parts(result.sheet):
        text = write_part(part).decode()
        assert "<syllabic>begin</syllabic>" not in text
        assert text.count("<lyric number") == 1
        assert part.solo


def test_a_duration_in_half_ticks_is_what_it_says():
    (bar,) = read(start(divisions=2) + note("C5", "0.5") * 4 + note("D5", 6)).sheet.bars
    assert [event.duration for event in bar.melody] == [*[Fraction(1, 4)] * 4, 3]


PIANO = "".join(
    f'<score-part id="{name}"><part-name>{called}</part-name></score-part>'
    for name, called in (("P1", "Melody"), ("P2", "Piano"))
)
FLATS = "<key><fifths>-3</fifths><mode>minor</mode></key>"


def silent(*starts):
    bars = "".join(
        f'<measure number="{number}">{begin}'
        '<note><rest measure="yes"/><duration>3</duration></note></measure>'
        for number, begin in enumerate(starts, 1)
    )
    return f'<part id="P2">{bars}</part>'


def test_a_part_without_key_and_metre_has_those_of_another():
    later = f"<attributes>{CUT}</attributes>"
    result = read(
        note("C5", 3),
        note("G5", 3),
        note("C5", 4),
        part_list=PIANO,
        parts=silent(start(time=THREE, key=FLATS), "", later),
    )
    bars = result.sheet.bars
    assert [str(bar.key) for bar in bars] == ["C minor"] * 3
    assert [str(bar.meter) for bar in bars] == ["3/4", "3/4", "2/2"]
    assert not said(result)
    assert len([f for f in result.findings if "has that of another" in str(f)]) == 2


def test_a_transposed_part_without_a_key_has_the_sounding_one_of_another():
    moved = f"<attributes>{B_FLAT}</attributes>"
    result = read(
        moved + note("D5", 3),
        note("A5", 3),
        part_list=PIANO,
        parts=silent(start(time=THREE, key=FLATS), ""),
    )
    assert melody(result) == ["C5:3", "G5:3"]
    assert str(result.sheet.key) == "C minor"
    assert str(make_parts(result.sheet)[1].bars[0].key) == "D minor"
