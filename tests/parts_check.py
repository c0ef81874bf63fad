"""Checks of written MusicXML against outside authorities, shared by tests and
benchmarks: the W3C schema, and music21 as an independent reader.

The schema is ``musicxml_4_0.xsd``, which the PyPI package ``musicxml`` carries
unchanged; the two schemas it imports (XML and XLink namespaces) come with the
package ``xmlschema``.
"""

import warnings
from fractions import Fraction
from functools import cache
from importlib import resources
from pathlib import Path

import music21
import xmlschema

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
    return xmlschema.XMLSchema(
        str(next(package.rglob("musicxml_4_0.xsd"))),
        locations=[
            ("http://www.w3.org/XML/1998/namespace", str(imported / "XML/xml.xsd")),
            ("http://www.w3.org/1999/xlink", str(imported / "XLINK/xlink.xsd")),
        ],
        allow="local",
    )


def schema_errors(data):
    """What is wrong with a file, at most five complaints."""
    errors = musicxml_schema().iter_errors(data.decode())
    return [f"{e.path}: {e.reason}" for e, _ in zip(errors, range(5), strict=False)]


def parsed(data):
    """A score read by music21."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return music21.converter.parse(data, format="musicxml", forceSource=True)


def _measures(score, bars=None):
    part = score.parts[0]
    return list(part.getElementsByClass(music21.stream.Measure))[:bars]


def _sounds_higher(measure):
    """Semitones from written to sounding."""
    instrument = measure.getContextByClass(music21.instrument.Instrument)
    interval = instrument.transposition if instrument is not None else None
    return interval.semitones if interval is not None else 0


def heard_notes(score, bars=None):
    """What is heard of the melody: onset, duration and MIDI keys of each attack.

    Tied notes count as one; slashes and other unpitched notes don't count.
    """
    heard = []
    open_ties = {}
    onset_of_measure = Fraction(0)
    for measure in _measures(score, bars):
        shift = _sounds_higher(measure)
        found = []
        for element in measure.recurse().notes:
            if isinstance(element, _NOT_MELODY):
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
        onset_of_measure += Fraction(measure.highestTime)
    return [tuple(each) for each in heard]


def heard_chords(score, bars=None):
    """What is heard of the chord symbols: measure, onset, root and bass pitch class."""
    heard = []
    for number, measure in enumerate(_measures(score, bars)):
        shift = _sounds_higher(measure)
        for element in measure.recurse().getElementsByClass(music21.harmony.Harmony):
            onset = Fraction(element.getOffsetInHierarchy(measure))
            if isinstance(element, music21.harmony.NoChord):
                heard.append((number, onset, "N.C.", "N.C."))
                continue
            root, bass = element.root(), element.bass()
            heard.append(
                (
                    number,
                    onset,
                    (root.pitchClass + shift) % 12,
                    (bass.pitchClass + shift) % 12,
                )
            )
    return heard
