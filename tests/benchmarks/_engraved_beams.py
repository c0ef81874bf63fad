"""Read the beams that are printed in MusicXML scores, voice by voice, bar by bar.

Only what beaming needs is read, straight from the XML, so that the whole corpus
takes a minute and not an hour.
"""

from __future__ import annotations

import zipfile
from collections import defaultdict
from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from xml.etree import ElementTree as ET

from attrs import frozen

from leadsheet_theory.errors import TheoryError
from leadsheet_theory.rhythm import VALUE_NAMES, Meter, NoteValue, RhythmEvent, Tuplet


@frozen(order=False)
class EngravedBar:
    """One voice of one bar as printed: `groups` are the indices under each beam;
    `syllables` whether a new syllable starts on each event."""

    place: str
    meter: Meter
    start: Fraction
    events: tuple[RhythmEvent, ...]
    groups: tuple[tuple[int, ...], ...]
    levels: tuple[tuple[str, ...], ...]
    syllables: tuple[bool, ...]


def scores(corpus: Path) -> Iterator[Path]:
    """The MusicXML files under a folder."""
    for path in sorted(corpus.rglob("*")):
        if path.suffix in (".xml", ".musicxml", ".mxl"):
            yield path


def root_of(path: Path) -> ET.Element | None:
    """The score in a plain or compressed file; None if it carries no beams."""
    if path.suffix == ".mxl":
        with zipfile.ZipFile(path) as packed:
            name = next(
                n
                for n in packed.namelist()
                if n.endswith((".xml", ".musicxml")) and not n.startswith("META")
            )
            data = packed.read(name)
    else:
        data = path.read_bytes()
    if b"<beam" not in data.replace(b"\0", b""):
        return None
    return ET.fromstring(data)


def engraved_bars(root: ET.Element) -> Iterator[EngravedBar]:
    """Every voice of every bar of a partwise score that holds a note."""
    for part in root.iterfind("part"):
        divisions, meter = 1, Meter(4, 4)
        first, filled = True, Fraction(0)
        for measure in part.iterfind("measure"):
            for found in measure.iterfind("attributes/divisions"):
                divisions = int(found.text or 1)
            for time in measure.iterfind("attributes/time"):
                meter = _meter(time) or meter
            voices = {
                voice: _events(notes)
                for voice, notes in _voices(measure, divisions).items()
            }
            length = max((_end(events) for events in voices.values()), default=filled)
            start = Fraction(0)
            if first and length < meter.bar_length:
                start = meter.bar_length - length
            elif filled and filled + length == meter.bar_length:
                start = filled
            first = False
            filled = length if not start and length < meter.bar_length else Fraction(0)
            for voice, events in voices.items():
                if any(event.kind == "note" for event, _ in events):
                    place = f"{part.get('id')} bar {measure.get('number')} v. {voice}"
                    yield _bar(place, meter, start, events)


def _meter(time: ET.Element) -> Meter | None:
    beats, beat_type = time.findtext("beats"), time.findtext("beat-type")
    if not beats or not beat_type:
        return None
    try:
        return Meter.parse(f"{beats}/{beat_type}")
    except TheoryError:
        return None


@frozen(order=False)
class _Printed:
    """A note or rest with its onset and end in the divisions of the file."""

    onset: int
    end: int
    divisions: int
    element: ET.Element


def _voices(measure: ET.Element, divisions: int) -> dict[str, list[_Printed]]:
    """The notes and rests of each voice of a measure."""
    at = 0
    voices: dict[str, list[_Printed]] = defaultdict(list)
    for element in measure:
        step = int(element.findtext("duration") or 0)
        if element.tag == "backup":
            at -= step
        elif element.tag == "forward":
            at += step
        elif element.tag == "note" and element.find("chord") is None:
            voice = element.findtext("voice") or "1"
            end = at + step
            voices[voice].append(_Printed(at, end, divisions, element))
            at = end
    return voices


_Events = list[tuple[RhythmEvent, ET.Element]]


def _events(notes: list[_Printed]) -> _Events:
    """The events of a voice, without its grace notes.

    Notes that touch in the file touch here: onsets follow the written values,
    because divisions that don't hold a third round it.
    """
    events: _Events = []
    raw_end = -1
    for note in notes:
        value = _value(note.element)
        if note.element.find("grace") is not None or value is None:
            continue
        onset = Fraction(note.onset, note.divisions)
        if events and note.onset == raw_end:
            onset = events[-1][0].onset + events[-1][0].duration
        raw_end = note.end
        rest = note.element.find("rest") is not None
        event = RhythmEvent(onset, value, "rest" if rest else "note")
        events.append((event, note.element))
    return events


def _end(events: _Events) -> Fraction:
    if not events:
        return Fraction(0)
    return events[-1][0].onset + events[-1][0].duration


def _bar(place: str, meter: Meter, start: Fraction, events: _Events) -> EngravedBar:
    levels = tuple(
        tuple(
            (beam.text or "").strip()
            for beam in sorted(
                element.iterfind("beam"), key=lambda beam: beam.get("number", "1")
            )
        )
        if event.kind == "note"
        else ()
        for event, element in events
    )
    return EngravedBar(
        place,
        meter,
        start,
        tuple(event for event, _ in events),
        _groups(levels),
        levels,
        tuple(element.find("lyric") is not None for _, element in events),
    )


def _groups(levels: tuple[tuple[str, ...], ...]) -> tuple[tuple[int, ...], ...]:
    groups: list[tuple[int, ...]] = []
    group: list[int] = []
    for index, marks in enumerate(levels):
        first = marks[0] if marks else ""
        if first == "begin":
            group = [index]
        elif first in ("continue", "end") and group:
            group.append(index)
        if first == "end" and group:
            groups.append(tuple(group))
            group = []
    return tuple(groups)


@lru_cache(maxsize=4096)
def _noted(name: str, dots: int, actual: int, normal: int) -> NoteValue | None:
    if name not in VALUE_NAMES:
        return None
    tuplet = Tuplet(actual, normal) if actual != normal else None
    return NoteValue(name, dots, tuplet)


def _value(note: ET.Element) -> NoteValue | None:
    ratio = note.find("time-modification")
    actual = int(ratio.findtext("actual-notes") or 1) if ratio is not None else 1
    normal = int(ratio.findtext("normal-notes") or 1) if ratio is not None else 1
    name = note.findtext("type") or ""
    if not name and note.find("rest") is not None:
        return NoteValue("whole")
    return _noted(name, len(note.findall("dot")), actual, normal)
