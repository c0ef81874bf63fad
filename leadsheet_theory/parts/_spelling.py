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
from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import lru_cache
from typing import Final

from attrs import frozen

from ..chords import Chord, ChordSymbol
from ..chords.respell import WrittenChords, deciding_chord
from ..errors import RespellError
from ..interval import Interval
from ..key import Key
from ..leadsheet.timeline import HeldNote, Line, bar_starts, held_notes
from ..pitch import NoteName, Pitch
from ..spelling._root_search import is_hard_to_read
from ..spelling.chord_tones import is_hard_name, own_names, own_tone
from ..spelling.respelling import Respelling
from ._pitch import Respelled
from ._shared import Shared

__all__ = ("go_along_with_chords", "take_names")

_TO_FLATS: Final = Interval(1, 0)
_TO_SHARPS: Final = Interval(-1, 0)
_REASON: Final = "it goes along with its chord"
_ASKED: Final = "asked for"


@frozen(order=False)
class _Stretch:
    """A stretch of the tune under one chord, in quarter notes from the start: the
    chord's tones in the source and in the part, on the line of fifths, the enharmonic
    step that the part's chord took (-1 to flats, 1 to sharps, or 0), and whether
    some tone of the source's chord is read under a plain name."""

    start: Fraction
    end: Fraction
    source: tuple[int, ...]
    written: tuple[int, ...]
    turn: int
    plain: bool

    def holds(self, sound: HeldNote) -> bool:
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
    for sound in _held(shared, line):
        first = bisect_right(starts, sound.start) - 1
        over = [each for each in stretches[max(first, 0) :] if each.start < sound.end]
        over = over or stretches[max(first, 0) : first + 1]
        if first < 0 or not over:
            continue
        source_key, key = shared.bars[sound.bar].key, keys[sound.bar]
        for index in sound.indices:
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
    for sound in _held(shared, line):
        for wished in [each for each in sound.indices if each in asked]:
            name, midi = asked[wished], pitches[wished].midi
            new = Pitch.nearest(name, midi)
            if new.midi != midi:
                raise RespellError(
                    f"{name.glyphs} does not sound like {pitches[wished].glyphs}"
                )
            for index in sound.indices:
                if pitches[index].midi == midi and pitches[index] != new:
                    before = respelled.get(index)
                    plain = pitches[index] if before is None else before.plain
                    pitches[index] = new
                    respelled[index] = Respelling(index, plain, new, _ASKED)


def _under(
    over: Sequence[_Stretch],
    sound: HeldNote,
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
    own = own_tone(stretch.source, source.pitch_class)
    if own is None:
        return None
    tone, settled = own
    signature = source_key.signature
    hard = is_hard_name(tone, signature)
    if source.fifths != tone and not hard:
        return None
    if not stretch.turn and (not settled or is_hard_name(source.fifths, signature)):
        return None  # in print both ways: it stays as the source has it
    new = stretch.written[0] + tone - stretch.source[0]
    if is_hard_name(new, key.signature):
        names = own_names(stretch.written, key.signature, loose=True)
        return names[old.pitch_class]
    return new


def _held(shared: Shared, line: Line) -> tuple[HeldNote, ...]:
    if line == "melody":
        return shared.held
    return held_notes([each.bar for each in shared.rhythms], line=line)


def _concert(shared: Shared, line: Line) -> Sequence[Pitch]:
    if line == "melody":
        return shared.melody.pitches
    return [pitch for rhythm in shared.rhythms for pitch in rhythm.counterline.pitches]


def _stretches(shared: Shared, written: WrittenChords) -> list[_Stretch]:
    """The tune's chords with the time that they stand for."""
    tune = shared.bars[: len(shared.rhythms)]
    starts = bar_starts(tune)
    changes = shared.change_starts[len(tune)]
    places = [
        starts[shared.change_bars[index]] + shared.change_onset(index)
        for index in range(changes)
    ]
    places.append(starts[-1] + tune[-1].length)
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
