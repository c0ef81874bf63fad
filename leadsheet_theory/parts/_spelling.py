"""A part's notes under chords that were respelled: they go along with them.

A note that is root, third, fifth or seventh of the source's chord, and named so, is
named by the part's chord too, notes of the key included: where G♯m7 has become A♭m7,
its B and G♯ are B and A♭ (:mod:`~.spelling.chord_tones` says which names are kept
plain).  Other notes change sides with their chord, as letters move together
(C. Schmidt-Jones, *Understanding Basic Music Theory*, "Enharmonic Spelling"), if they
are no notes of the key and don't become harder to read (common practice, no source).
A tied note keeps the name of its attack.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from itertools import accumulate
from typing import Final, Literal

from attrs import frozen

from ..chords import Chord, ChordSymbol
from ..chords.respell import WrittenChords, deciding_chord
from ..errors import RespellError
from ..interval import Interval
from ..key import Key
from ..leadsheet.model import Note
from ..pitch import NoteName, Pitch
from ..spelling._root_search import is_hard_to_read
from ..spelling.chord_tones import is_hard_name, own_names
from ..spelling.respelling import Respelling
from ._pitch import Respelled
from ._rhythm import BarRhythm
from ._shared import Shared, ticks

__all__ = ("Line", "go_along_with_chords", "take_names")

Line = Literal["melody", "counterline"]

_TO_FLATS: Final = Interval(1, 0)
_TO_SHARPS: Final = Interval(-1, 0)
_REASON: Final = "it goes along with its chord"
_ASKED: Final = "asked for"


@frozen(order=False)
class _Sound:
    """One sounding note, tied notes together: which of the line's pitches they are,
    in which bar it starts, and its start and end in divisions from the start of
    the tune."""

    pitches: tuple[int, ...]
    bar: int
    start: int
    end: int


@frozen(order=False)
class _Stretch:
    """A stretch of the tune under one chord, in divisions from the start: the tones of
    the chord in the source and in the part, on the line of fifths, the enharmonic
    step that the part's chord took (-1 to flats, 1 to sharps, or 0), and whether
    some tone of the source's chord is read under a plain name."""

    start: int
    end: int
    source: tuple[int, ...]
    written: tuple[int, ...]
    turn: int
    plain: bool

    def holds(self, sound: _Sound) -> bool:
        """Whether most of a note, or a grace note, stands over it."""
        if sound.start == sound.end:
            return self.start <= sound.start < self.end
        together = min(self.end, sound.end) - max(self.start, sound.start)
        return together > 0 and 2 * together >= sound.end - sound.start


def go_along_with_chords(
    shared: Shared,
    line: Line,
    pitches: list[Pitch],
    respelled: Respelled,
    keys: Sequence[Key],
    written: WrittenChords,
) -> None:
    """Respell the notes that stand over respelled chords, in `pitches` itself, and
    add them to `respelled`.

    Args:
        shared: the tune.
        line: which line of it.
        pitches: its notes in written pitches.
        respelled: what has been respelled in it.
        keys: the written key of each bar.
        written: the tune's chords as the part has them.
    """
    hard = {pitch for pitch in set(pitches) if is_hard_to_read(pitch.fifths)}
    stretches = _stretches(shared, written)
    if not hard and not any(stretch.turn or stretch.plain for stretch in stretches):
        return
    starts = [stretch.start for stretch in stretches]
    concert = _concert(shared, line)
    for sound in _sounds(shared.rhythms, line, shared.divisions):
        first = bisect_right(starts, sound.start) - 1
        over = [each for each in stretches[max(first, 0) :] if each.start < sound.end]
        over = over or stretches[max(first, 0) : first + 1]
        if first < 0 or not over:
            continue
        source_key, key = shared.bars[sound.bar].key, keys[sound.bar]
        for index in sound.pitches:
            old = pitches[index]
            if old not in hard and not any(each.turn or each.plain for each in over):
                continue
            new = _under(over, sound, concert[index], old, source_key, key)
            if new == old:
                continue
            pitches[index] = new
            before = respelled.pop(index, None)
            plain = old if before is None else before.plain
            if new != plain:
                respelled[index] = Respelling(index, plain, new, _REASON)


def take_names(
    shared: Shared,
    line: Line,
    pitches: list[Pitch],
    respelled: Respelled,
    asked: Mapping[int, NoteName],
) -> None:
    """Give single notes the names that were asked for, tied notes alike, in `pitches`
    itself, and add them to `respelled`.

    Raises:
        RespellError: if a name would change the sound.
    """
    if not asked:
        return
    for sound in _sounds(shared.rhythms, line, shared.divisions):
        for wished in [each for each in sound.pitches if each in asked]:
            name, midi = asked[wished], pitches[wished].midi
            new = Pitch.nearest(name, midi)
            if new.midi != midi:
                raise RespellError(
                    f"{name.glyphs} does not sound like {pitches[wished].glyphs}"
                )
            for index in sound.pitches:
                if pitches[index].midi == midi and pitches[index] != new:
                    before = respelled.get(index)
                    plain = pitches[index] if before is None else before.plain
                    pitches[index] = new
                    respelled[index] = Respelling(index, plain, new, _ASKED)


def _under(
    over: Sequence[_Stretch],
    sound: _Sound,
    source: Pitch,
    old: Pitch,
    source_key: Key,
    key: Key,
) -> Pitch:
    """A note's name under the chords that it sounds over: as the tone that it is of
    the first of them, else of the one that it stands over mostly."""
    mostly = next((each for each in reversed(over) if each.holds(sound)), over[0])
    for stretch in (over[0], mostly):
        place = _own_name(stretch, source, old, source_key, key)
        if place is not None:
            return Pitch.nearest(NoteName.from_fifths(place), old.midi)
    if not mostly.turn or key.is_diatonic(old.name):
        return old
    other = old + (_TO_FLATS if mostly.turn < 0 else _TO_SHARPS)
    if is_hard_to_read(other.fifths) and not is_hard_to_read(old.fifths):
        return old
    return other


def _own_name(
    stretch: _Stretch, source: Pitch, old: Pitch, source_key: Key, key: Key
) -> int | None:
    """The name that the part's chord gives a note, if the source's chord names it as
    the source does."""
    if not stretch.source:
        return None
    signature = source_key.signature
    loose = bool(stretch.turn)  # what is in print both ways stays as the source has it
    named = own_names(stretch.source, signature, loose=loose)[source.pitch_class]
    if named is None or source.fifths not in (named, *stretch.source):
        return None
    if not stretch.turn and is_hard_name(source.fifths, signature):
        return None
    return own_names(stretch.written, key.signature, loose=loose)[old.pitch_class]


def _concert(shared: Shared, line: Line) -> Sequence[Pitch]:
    if line == "melody":
        return shared.melody.pitches
    return [pitch for rhythm in shared.rhythms for pitch in rhythm.counterline.pitches]


def _sounds(rhythms: Iterable[BarRhythm], line: Line, divisions: int) -> list[_Sound]:
    """The sounding notes in order."""
    sounds: list[_Sound] = []
    bar_start = pitch = 0
    for index, rhythm in enumerate(rhythms):
        bar = rhythm.bar
        for event in bar.melody if line == "melody" else bar.counterline:
            if not isinstance(event, Note):
                continue
            start = bar_start + ticks(event.onset, divisions)
            end = start + ticks(event.duration, divisions)
            here = tuple(range(pitch, pitch + len(event.pitches)))
            pitch += len(event.pitches)
            last = sounds[-1] if sounds and event.tied_from_previous else None
            if last is not None and last.end == start:
                sounds[-1] = _Sound(last.pitches + here, last.bar, last.start, end)
            else:
                sounds.append(_Sound(here, index, start, end))
        bar_start += ticks(bar.length, divisions)
    return sounds


def _stretches(shared: Shared, written: WrittenChords) -> list[_Stretch]:
    """The tune's chords with the time that they stand for."""
    divisions = shared.divisions
    count = len(shared.rhythms)
    bars = shared.bars[:count]
    starts = list(accumulate((ticks(bar.length, divisions) for bar in bars), initial=0))
    changes = shared.change_starts[count]
    places = [
        starts[shared.change_bars[index]] + ticks(shared.change_onset(index), divisions)
        for index in range(changes)
    ]
    places.append(starts[-1])
    plain = {each.index: each.plain for each in written.respelled}
    signatures = {key: key.signature for key, _ in shared.key_runs}
    found: list[_Stretch] = []
    for index in range(changes):
        symbol = written.symbols[index]
        new = deciding_chord(symbol)
        turn = 0
        if index in plain and new is not None:
            before = deciding_chord(plain[index])
            turn = new.root.fifths - before.root.fifths if before else 0
        key, source = shared.changes[index]
        found.append(
            _Stretch(
                places[index],
                places[index + 1],
                _tones(source),
                _tones(symbol),
                turn,
                _reads_plain(source, signatures[key]),
            )
        )
    return found


@lru_cache(maxsize=2048)
def _reads_plain(symbol: ChordSymbol, signature: int) -> bool:
    """Whether a chord has a tone whose name is too hard to read."""
    return any(is_hard_name(tone, signature) for tone in _tones(symbol))


@lru_cache(maxsize=2048)
def _tones(symbol: ChordSymbol) -> tuple[int, ...]:
    chord: Chord | None = deciding_chord(symbol)
    return tuple(tone.fifths for tone in chord.tones) if chord is not None else ()
