"""Checks of written MusicXML against outside authorities, shared by tests and
benchmarks: the W3C schema, and music21 as an independent reader.

The schema is ``musicxml_4_0.xsd``, which the PyPI package ``musicxml`` carries
unchanged; the two schemas it imports (XML and XLink namespaces) come with the
package ``xmlschema``.  The check itself is libxml2's, by ``lxml``.
"""

import warnings
from bisect import bisect_right
from fractions import Fraction
from functools import cache
from importlib import resources
from io import BytesIO
from pathlib import Path
from zipfile import ZipFile

import music21
from attrs import frozen
from lxml import etree

_NOT_MELODY = (
    music21.harmony.Harmony,
    music21.note.Unpitched,
    music21.percussion.PercussionChord,
)


@cache
def musicxml_schema():
    """The W3C's schema of MusicXML 4.0."""
    package = Path(str(resources.files("musicxml")))
    imported = Path(str(resources.files("xmlschema"))) / "schemas"
    schema = etree.parse(next(package.rglob("musicxml_4_0.xsd")))
    for imports in schema.iter("{*}import"):
        name = imports.get("schemaLocation").rpartition("/")[2]
        imports.set("schemaLocation", (imported / name[:-4].upper() / name).as_uri())
    return etree.XMLSchema(schema)


def schema_errors(data):
    """What is wrong with a file, at most five complaints."""
    schema = musicxml_schema()
    if schema.validate(etree.fromstring(data).getroottree()):
        return []
    return [f"line {error.line}: {error.message}" for error in schema.error_log][:5]


def uneven_bars(part, data):
    """The bars of a written part in which a voice is not as long as the bar: number,
    voice, the bar's length and the voice's, in quarter notes."""
    bars = (*part.bars, *part.solo)
    measures = etree.fromstring(data).findall("part/measure")
    found = []
    if len(measures) != len(bars):
        found.append((0, "", len(bars), len(measures)))
    for part_bar, measure in zip(bars, measures, strict=False):
        wanted = part_bar.shared.source.length
        for voice, length in _voice_lengths(measure).items():
            # the cue, and the hits, stop with the last of them
            wrong = length > wanted or (voice == "1" and length < wanted)
            if wrong:
                found.append((measure.get("number"), voice, wanted, length))
    return found


def _voice_lengths(measure):
    """Where the last note of each voice of a measure ends, in quarter notes."""
    quarter = int(measure.getparent().findtext("measure/attributes/divisions"))
    at = 0
    ends = {}
    for element in measure:
        length = int(element.findtext("duration", "0"))
        if element.tag == "backup":
            at -= length
        elif element.tag == "forward":
            at += length
        elif element.tag == "note" and element.find("chord") is None:
            at += length
            voice = element.findtext("voice", "1")
            ends[voice] = max(ends.get(voice, 0), at)
    return {voice: Fraction(end, quarter) for voice, end in ends.items()}


def parsed(data):
    """A score read by music21."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return music21.converter.parse(
            data.decode(), format="musicxml", forceSource=True
        )


def _measures(score, bars=None):
    part = score.parts[0]
    return list(part.getElementsByClass(music21.stream.Measure))[:bars]


def _sounds_higher(measure, transposes):
    """Semitones from written to sounding.

    Where a file says nothing of a transposition music21 takes one from the MIDI
    program's number; MusicXML doesn't, so neither is it done here.
    """
    if not transposes:
        return 0
    instrument = measure.getContextByClass(music21.instrument.Instrument)
    interval = instrument.transposition if instrument is not None else None
    return interval.semitones if interval is not None else 0


def _is_slash(element):
    return getattr(element, "notehead", "") == "slash"


def heard_notes(score, bars=None, *, transposes=True):
    """What is heard of the melody: onset, duration and MIDI keys of each attack.

    Tied notes count as one; slashes and other unpitched notes don't count.
    """
    heard = []
    open_ties = {}
    onset_of_measure = Fraction(0)
    for measure in _measures(score, bars):
        shift = _sounds_higher(measure, transposes)
        found = []
        for element in measure.recurse().notes:
            if isinstance(element, _NOT_MELODY) or _is_slash(element):
                continue
            onset = Fraction(element.getOffsetInHierarchy(measure))
            found.append((onset, element))
        found.sort(key=lambda pair: pair[0])
        for onset, element in found:
            keys = tuple(sorted(p.midi + shift for p in element.pitches))
            grace = element.duration.isGrace
            length = Fraction(0) if grace else Fraction(element.duration.quarterLength)
            start = onset_of_measure + onset
            tie = element.tie.type if element.tie is not None else ""
            if tie in ("continue", "stop") and keys in open_ties:
                index = open_ties.pop(keys)
                heard[index][1] += length
            else:
                index = len(heard)
                heard.append([start, length, keys])
            if tie in ("start", "continue"):
                open_ties[keys] = index
        onset_of_measure += _length(measure)
    return [tuple(each) for each in heard]


def heard_chords(score, bars=None, *, transposes=True):
    """What is heard of the chord symbols: onset in the tune, root and bass pitch
    class, and the index of the measure at that onset."""
    heard = []
    onset_of_measure = Fraction(0)
    starts = []
    for measure in _measures(score, bars):
        starts.append(onset_of_measure)
        shift = _sounds_higher(measure, transposes)
        for element in measure.recurse().getElementsByClass(music21.harmony.Harmony):
            onset = onset_of_measure + Fraction(element.getOffsetInHierarchy(measure))
            if isinstance(element, music21.harmony.NoChord):
                heard.append((onset, "N.C.", "N.C."))
                continue
            root, bass = element.root(), element.bass()
            sounds = [(name.pitchClass + shift) % 12 for name in (root, bass)]
            heard.append((onset, *sounds))
        onset_of_measure += _length(measure)
    heard.sort(key=lambda each: each[0])
    return [(*each, bisect_right(starts, each[0]) - 1) for each in heard]


def _length(measure):
    """The length of a measure by its notes and rests, in quarter notes."""
    return max(
        (
            Fraction(element.getOffsetInHierarchy(measure))
            + Fraction(element.duration.quarterLength)
            for element in measure.recurse().notesAndRests
            if not isinstance(element, music21.harmony.Harmony)
        ),
        default=Fraction(0),
    )


@frozen
class Heard:
    """What music21 hears in a file, bar by bar."""

    notes: list
    chords: list


def heard(data, bars=None):
    """What music21 hears in the bytes of a MusicXML file, plain or compressed."""
    if data[:2] == b"PK":
        with ZipFile(BytesIO(data)) as archive:
            data = archive.read(
                next(n for n in archive.namelist() if not n.startswith("META-INF"))
            )
    score = parsed(data)
    transposes = b"<transpose" in data
    return Heard(
        heard_notes(score, bars, transposes=transposes),
        heard_chords(score, bars, transposes=transposes),
    )


def typed_chords(findings):
    """The numbers of the bars in which words were read as chord symbols, which
    music21 leaves as words; and of the bars after, where those stand that the file
    has at the end of a bar."""
    bars = {each.bar for each in findings if "read as a chord symbol" in each.message}
    return bars | {bar + 1 for bar in bars}


def _first(notes):
    return notes[0][0] if notes else Fraction(0)


def _shifted(placed, by):
    return [(onset + by, *rest) for onset, *rest in placed]


def differences(source, part_data, part, typed=frozenset()):
    """What music21 hears otherwise in a part than in its source: pairs of what
    (notes, chords) and the first place where they differ.

    In the bars whose numbers are in `typed` the part may have more chords.
    """
    read_back = heard(part_data, len(part.bars))
    octaves = 12 * part.report.octaves
    lowered = [
        (onset, length, tuple(key - octaves for key in keys))
        for onset, length, keys in read_back.notes
    ]
    # a pickup may lose the rests before it, two measures of one bar are joined: places
    # count from the first note, and chords without their measure
    shift = _first(lowered) - _first(source.notes)
    for kind, wanted, found in (
        ("notes", _shifted(source.notes, shift), lowered),
        ("chords", _shifted(source.chords, shift), read_back.chords),
    ):
        if kind == "chords" and typed:
            found = [
                each
                for each in found
                if each[:-1] in {chord[:-1] for chord in wanted}
                or part.bars[each[-1]].shared.number not in typed
            ]
        if kind == "chords":
            wanted, found = ([each[:-1] for each in line] for line in (wanted, found))
        if wanted == found:
            continue
        place = next(
            (n for n, (a, b) in enumerate(zip(wanted, found, strict=False)) if a != b),
            min(len(wanted), len(found)),
        )
        yield (
            kind,
            f"{len(wanted)} in the source, {len(found)} in the part; first apart: "
            f"{wanted[place : place + 1]} and {found[place : place + 1]}",
        )
