"""Scores with their spelling, read for the spelling benchmark."""

from __future__ import annotations

import xml.etree.ElementTree as ET
import zipfile
from pathlib import Path

from attrs import frozen

from leadsheet_theory.chords import Chord, NoChord, PolyChord
from leadsheet_theory.chords.respell import chord_colour
from leadsheet_theory.key import Key
from leadsheet_theory.leadsheet.model import Note
from leadsheet_theory.musicxml import read_lead_sheet
from leadsheet_theory.pitch import NoteName, Pitch
from leadsheet_theory.spelling import HeardChord, HeardNote


@frozen
class Spelled:
    """One attack: how it sounds, its true place on the line of fifths, how many
    printed notes it stands for (tied ones count), and the chord's tones."""

    heard: HeardNote
    place: int
    printed: int = 1
    chord: tuple[NoteName, ...] = ()


@frozen
class Score:
    """A score with its names: its notes by onset, the key of each bar, its chords."""

    name: str
    notes: tuple[Spelled, ...]
    keys: tuple[Key, ...]
    chords: tuple[tuple[HeardChord, int, Key], ...] = ()


def lead_sheet(path: Path) -> Score:
    """A lead sheet as the library reads it."""
    sheet = read_lead_sheet(path).sheet
    rows: list[Spelled] = []
    chords: list[tuple[HeardChord, int, Key]] = []
    start = 0.0
    placed = [
        (bar_start + float(chord.onset), chord.symbol)
        for bar_start, bar in _starts(sheet.bars)
        for chord in bar.chords
    ]
    now: tuple[NoteName, ...] = ()
    at = 0
    for number, bar in enumerate(sheet.bars):
        for chord in bar.chords:
            symbol = chord.symbol
            if isinstance(symbol, NoChord):
                continue
            main = symbol.lower if isinstance(symbol, PolyChord) else symbol
            bass = (main.bass or main.root).pitch_class
            heard = HeardChord(main.root.pitch_class, chord_colour(main), bass)
            chords.append((heard, main.root.fifths, bar.key))
        for item in bar.melody:
            if not isinstance(item, Note):
                continue
            onset = start + float(item.onset)
            while at < len(placed) and placed[at][0] <= onset + 1e-6:
                symbol = placed[at][1]
                now = symbol.tones if isinstance(symbol, (Chord, PolyChord)) else ()
                at += 1
            pitch = item.pitch
            last = rows[-1] if rows else None
            if (
                item.tied_from_previous
                and last is not None
                and last.heard.midi == pitch.midi
            ):
                rows[-1] = Spelled(last.heard, last.place, last.printed + 1, last.chord)
                continue
            heard_note = HeardNote(pitch.midi, onset, float(item.duration), number)
            rows.append(Spelled(heard_note, pitch.fifths, 1, now))
        start += float(bar.length)
    return Score(
        path.name, tuple(rows), tuple(bar.key for bar in sheet.bars), tuple(chords)
    )


def _starts(bars):
    start = 0.0
    for bar in bars:
        yield start, bar
        start += float(bar.length)


def score(path: Path) -> Score:
    """A score in several parts, by a small reader of its own."""
    root = ET.fromstring(_xml(path))
    if root.tag != "score-partwise":
        raise ValueError(f"{path.name} is a {root.tag}")
    lengths: list[float] = []
    keys: dict[int, int] = {}
    found: list[tuple[int, float, float, Pitch, tuple[str, ...], bool]] = []
    for part in root.iter("part"):
        divisions, diatonic, chromatic = 1.0, 0, 0
        for bar, measure in enumerate(part.iter("measure")):
            if bar == len(lengths):
                lengths.append(0.0)
            position = last = 0.0
            for element in measure:
                if element.tag == "attributes":
                    divisions = float(element.findtext("divisions") or divisions)
                    moved = element.find("transpose")
                    if moved is not None:
                        diatonic = int(moved.findtext("diatonic") or 0)
                        chromatic = int(moved.findtext("chromatic") or 0)
                    fifths = element.findtext("key/fifths")
                    if fifths is not None:
                        sounding = int(fifths) + 7 * chromatic - 12 * diatonic
                        keys.setdefault(bar, sounding)
                elif element.tag in ("backup", "forward"):
                    length = float(element.findtext("duration") or 0) / divisions
                    position += length if element.tag == "forward" else -length
                elif element.tag == "note":
                    length = float(element.findtext("duration") or 0) / divisions
                    joined = element.find("chord") is not None
                    onset = last if joined else position
                    pitch = _pitch(element)
                    if pitch is not None:
                        voice = (
                            part.get("id") or "",
                            element.findtext("staff") or "",
                            element.findtext("voice") or "",
                        )
                        tied = any(
                            tie.get("type") == "stop" for tie in element.iter("tie")
                        )
                        moved_pitch = _moved(pitch, diatonic, chromatic)
                        found.append((bar, onset, length, moved_pitch, voice, tied))
                    if not joined:
                        last, position = position, position + length
                lengths[bar] = max(lengths[bar], position)
    return _joined(path.name, lengths, keys, found)


def _joined(name, lengths, keys, found) -> Score:
    starts = [sum(lengths[:bar]) for bar in range(len(lengths))]
    found.sort(key=lambda note: (starts[note[0]] + note[1], note[3].midi))
    voices: dict[tuple[str, ...], int] = {}
    rows: list[Spelled] = []
    held: dict[tuple[int, int], int] = {}
    for bar, onset, length, pitch, voice_name, tied in found:
        voice = voices.setdefault(voice_name, len(voices))
        earlier = held.get((voice, pitch.midi))
        if tied and earlier is not None:
            row = rows[earlier]
            rows[earlier] = Spelled(row.heard, row.place, row.printed + 1)
            continue
        held[voice, pitch.midi] = len(rows)
        heard = HeardNote(pitch.midi, starts[bar] + onset, length, bar, voice)
        rows.append(Spelled(heard, pitch.fifths))
    signature = 0
    signatures = []
    for bar in range(len(lengths)):
        signature = keys.get(bar, signature)
        signatures.append(Key.from_signature(signature))
    return Score(name, tuple(rows), tuple(signatures))


def _xml(path: Path) -> bytes:
    if path.suffix != ".mxl":
        return path.read_bytes()
    with zipfile.ZipFile(path) as archive:
        name = next(
            name
            for name in archive.namelist()
            if name.endswith((".xml", ".musicxml")) and not name.startswith("META-INF")
        )
        return archive.read(name)


def _pitch(note: ET.Element) -> Pitch | None:
    step = note.findtext("pitch/step")
    if step is None:
        return None
    alter = int(float(note.findtext("pitch/alter") or 0))
    return Pitch(step, alter, int(note.findtext("pitch/octave") or 4))


def _moved(pitch: Pitch, diatonic: int, chromatic: int) -> Pitch:
    if not chromatic:
        return pitch
    place = pitch.fifths + 7 * chromatic - 12 * diatonic
    return Pitch.nearest(NoteName.from_fifths(place), pitch.midi + chromatic)
