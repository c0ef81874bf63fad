"""Whole files: nothing is passed over in silence, and an independent reader hears
the same.

The independent readers are music21 (BSD, PyPI) and, for counting, the standard
library's `xml.etree`.  The files are the project's charts, the lead sheets and a
few dozen tunes of music21's packaged corpus, and, where it lies beside the
project, a folder of 180 lead sheets of the open data set OpenEWLD.
"""

import re
import zipfile
from collections import Counter
from fractions import Fraction
from functools import cache
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

music21 = pytest.importorskip("music21")

from leadsheet_theory.chords import NoChord, PolyChord  # noqa: E402
from leadsheet_theory.leadsheet.model import Note  # noqa: E402
from leadsheet_theory.musicxml import (  # noqa: E402
    parse_lead_sheet,
    read_lead_sheet,
    write_part,
)
from leadsheet_theory.parts import make_parts  # noqa: E402

HOME = Path(__file__).resolve().parents[2]
CHARTS = sorted((HOME / "shared" / "charts").glob("*.musicxml"))
SHARED = HOME / "../shared/leadsheets"
SHEETS = sorted(SHARED.glob("*.mxl")) if SHARED.is_dir() else []
no_shared = pytest.mark.skipif(
    not SHEETS, reason="no ../shared/leadsheets here; music21's corpus stands in for it"
)


def xml_of(path):
    if path.suffix != ".mxl":
        return path.read_bytes()
    with zipfile.ZipFile(path) as container:
        (name,) = (n for n in container.namelist() if not n.startswith("META-INF"))
        return container.read(name)


# --- nothing is passed over in silence -----------------------------------------------


# every element whose content reaches the lead sheet; all others must be reported
CARRIED = frozenset(
    """
    accent actual-notes alter articulations attributes backup bar-style barline bass
    bass-alter bass-step beat-type beat-unit beat-unit-dot beats breath-mark caesura
    chord chromatic coda creator credit credit-type credit-words degree degree-alter
    degree-type degree-value diatonic direction direction-type display-octave
    display-step divisions dot down-bow duration dynamics ending extend f fermata ff
    fifths forward glissando grace harmony identification inversion key kind line lyric
    measure measure-style metronome mf mode movement-title mp normal-notes normal-type
    notations note notehead octave octave-change offset ornaments part part-list
    part-name per-minute pitch rehearsal repeat rest rights root root-alter root-step
    score-part score-partwise segno sign slash slur sound staccato step strong-accent
    syllabic
    technical tenuto text tie tied time time-modification transpose tuplet type
    unpitched up-bow voice words work work-title
    """.split()  # noqa: SIM905
)


def reported(result):
    """The elements that the findings name."""
    names = set()
    for finding in result.findings:
        names.add(finding.element)
        if finding.rule in ("layout", "playback", "metadata"):
            names.update(finding.message.rpartition(": ")[2].split(", "))
        names.update(re.findall(r"<([a-z-]+)>", finding.message))
    return names


def passed_over(element, known, found):
    """Elements that are neither carried nor named; what stands in a named one is
    named with it."""
    if element.tag not in known:
        found[element.tag] += 1
        return
    if element.tag in CARRIED:
        for child in element:
            passed_over(child, known, found)


@pytest.mark.parametrize("path", CHARTS, ids=lambda path: path.stem)
def test_every_element_of_the_charts_is_carried_or_reported(path):
    data = xml_of(path)
    found = Counter()
    passed_over(ET.fromstring(data), CARRIED | reported(parse_lead_sheet(data)), found)
    assert found == {}


@no_shared
def test_every_element_of_180_lead_sheets_is_carried_or_reported():
    found = Counter()
    for path in SHEETS:
        data = xml_of(path)
        result = read_lead_sheet(path)
        passed_over(ET.fromstring(data), CARRIED | reported(result), found)
    assert len(SHEETS) == 180
    assert found == {}


def places(root):
    """Every element that holds elements and is itself carried."""
    for element in root.iter():
        if element.tag in CARRIED and (
            len(element) or element.tag in ("rest", "tuplet")
        ):
            yield element


def test_an_unknown_element_anywhere_is_reported():
    text = xml_of(HOME / "tests" / "musicxml" / "every_element.musicxml")
    root = ET.fromstring(text)
    silent = []
    for parent in list(places(root)):
        mystery = ET.SubElement(parent, "mystery")
        if "mystery" not in reported(parse_lead_sheet(ET.tostring(root))):
            silent.append(parent.tag)
        parent.remove(mystery)
    assert silent == []


# --- an independent reader hears the same --------------------------------------------


def heard_by_music21(score):
    """Melody notes (bar, onset, duration, keys) and chords (bar, onset, root, bass)
    of the first part, ties left as they are."""
    part = score.parts[0]
    notes, chords = [], []
    for bar, measure in enumerate(part.getElementsByClass(music21.stream.Measure)):
        voices = list(measure.voices)
        holders = [voices[0], measure] if voices else [measure]
        for holder in holders:
            for element in holder.getElementsByClass(music21.note.GeneralNote):
                if isinstance(element, music21.harmony.Harmony) or element.isRest:
                    continue
                keys = tuple(sorted(pitch.midi for pitch in element.pitches))
                grace = element.duration.isGrace
                length = Fraction(0 if grace else element.quarterLength)
                notes.append((bar, Fraction(element.offset), length, keys))
        for chord in measure.recurse().getElementsByClass(music21.harmony.Harmony):
            onset = Fraction(chord.getOffsetInHierarchy(measure))
            if isinstance(chord, music21.harmony.NoChord):
                chords.append((bar, onset, None, None))
            else:
                ends = chord.root().pitchClass, chord.bass().pitchClass
                chords.append((bar, onset, *ends))
    return sorted(notes), sorted(chords, key=str)


def heard_by_us(result):
    """The same from our sheet, without chord symbols that were typed as words."""
    typed = {
        (finding.bar, finding.message)
        for finding in result.findings
        if finding.rule == "chord-words" and "read as" in finding.message
    }
    notes, chords = [], []
    for index, bar in enumerate(result.sheet.bars):
        for event in bar.melody:
            if isinstance(event, Note):
                keys = tuple(sorted(pitch.midi for pitch in event.pitches))
                notes.append((index, event.onset, event.duration, keys))
        for placed in bar.chords:
            symbol = placed.symbol
            if isinstance(symbol, NoChord):
                chords.append((index, placed.onset, None, None))
            else:
                lower = symbol.lower if isinstance(symbol, PolyChord) else symbol
                bass = lower.bass or lower.root
                root = lower.root.pitch_class, bass.pitch_class
                chords.append((index, placed.onset, *root))
    return sorted(notes), sorted(chords, key=str), len(typed)


def parsed(data):
    return music21.converter.parse(data, format="musicxml", forceSource=True)


def _without_rests(placed, shift):
    return [(bar, onset - shift * (bar == 0), *rest) for bar, onset, *rest in placed]


def assert_same(data):
    result = parse_lead_sheet(data)
    ours, our_chords, typed = heard_by_us(result)
    theirs, their_chords = heard_by_music21(parsed(data))
    # a pickup loses the rests before it
    shift = 0
    if ours and theirs and result.sheet.bars[0].is_pickup:
        shift = theirs[0][1] - ours[0][1]
    theirs = _without_rests(theirs, shift)
    their_chords = _without_rests(their_chords, shift)
    assert ours == theirs
    assert Counter(their_chords) - Counter(our_chords) == {}
    more = Counter(our_chords) - Counter(their_chords)
    assert sum(more.values()) == typed


@no_shared
@pytest.mark.parametrize("path", SHEETS[::12], ids=lambda path: path.stem)
def test_music21_hears_the_same_in_the_lead_sheets(path):
    assert_same(xml_of(path))


@cache
def corpus_tunes():
    """The lead sheets of music21's corpus, and every 100th tune of a fiddlers' book
    of 1883, which it has as ABC and writes as MusicXML."""
    tunes = {}
    for path in music21.corpus.getComposer("leadSheet"):
        tunes[path.stem] = xml_of(path)
    for path in music21.corpus.getComposer("ryansMammoth")[::100]:
        tune = music21.corpus.parse(path)
        exporter = music21.musicxml.m21ToXml.GeneralObjectExporter(tune)
        tunes[path.stem] = exporter.parse()
    return tunes


def test_music21_hears_the_same_in_its_own_lead_sheets_and_tunes():
    assert len(corpus_tunes()) == 13
    for data in corpus_tunes().values():
        assert_same(data)


def test_every_element_of_music21s_tunes_is_carried_or_reported():
    for data in corpus_tunes().values():
        found = Counter()
        known = CARRIED | reported(parse_lead_sheet(data))
        passed_over(ET.fromstring(data), known, found)
        assert found == {}


# --- our own parts -------------------------------------------------------------------


FORM = (
    "key", "meter", "length", "hits", "form",
)  # fmt: skip


@pytest.mark.parametrize("path", CHARTS, ids=lambda path: path.stem)
def test_a_written_part_reads_back_as_the_chart_it_was_made_from(path):
    sheet = read_lead_sheet(path).sheet
    for part in make_parts(sheet, solo_page=False):
        bars = parse_lead_sheet(write_part(part)).sheet.bars[: len(sheet.bars)]
        for ours, back in zip(sheet.bars, bars, strict=True):
            assert [getattr(ours, name) for name in FORM] == [
                getattr(back, name) for name in FORM
            ]
            assert [
                (placed.onset, placed.symbol.pitch_classes) for placed in ours.chords
            ] == [(placed.onset, placed.symbol.pitch_classes) for placed in back.chords]
            moved = {
                (before.onset - after.onset, before.pitch.midi - after.pitch.midi)
                for before, after in zip(ours.melody, back.melody, strict=True)
                if isinstance(before, Note)
            }
            assert moved <= {(0, 0)} or moved <= {(0, 12)}
