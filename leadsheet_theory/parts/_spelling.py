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

from collections.abc import Mapping, Sequence
from typing import Final

from attrs import frozen

from ..chords.respell import WrittenChords, deciding_chord
from ..errors import RespellError
from ..interval import Interval
from ..key import Key
from ..leadsheet.timeline import Line
from ..pitch import NoteName, Pitch
from ..spelling._root_search import is_hard_to_read
from ..spelling.chord_tones import is_hard_name, own_names, own_tone
from ..spelling.respelling import Respelling
from ._pitch import WrittenLine
from ._shared import Shared
from ._sounds import Sound, tones_of

__all__ = ("go_along_with_chords", "take_names")

_TO_FLATS: Final = Interval(1, 0)
_TO_SHARPS: Final = Interval(-1, 0)
_REASON: Final = "it goes along with its chord"
_ASKED: Final = "asked for"


def go_along_with_chords(
    shared: Shared,
    which: Line,
    line: WrittenLine,
    keys: Sequence[Key],
    written: WrittenChords,
) -> None:
    """Respell the notes that stand over respelled chords, in `line` itself.

    Args:
        shared: the tune.
        which: which line of it.
        line: its notes as they are written so far.
        keys: the written key of each bar.
        written: the tune's chords as the part has them.
    """
    hard = {id(each) for each in line.different if is_hard_to_read(each.fifths)}
    turns = _turns(written)
    if not hard and not turns and not shared.reads_plain:
        return
    found = shared.sounds(which)
    # those over chords that were respelled or have a tone under a plain name
    waiting = {
        number
        for at, span in enumerate(shared.spans)
        if span.plain or at in turns
        for number in found.by_span[at]
    }
    numbers = set(waiting)
    if hard:
        numbers.update(
            found.by_pitch[index]
            for index, pitch in enumerate(line.pitches)
            if id(pitch) in hard and index in found.by_pitch
        )
    concert = _concert(shared, which)
    for number in sorted(numbers):
        sound = found.sounds[number]
        under = _chords_under(shared, sound, keys, written, turns)
        for index in sound.pitches:
            old = line.pitches[index]
            if number in waiting or id(old) in hard:
                _rename(line, index, _named(under, concert[index], old))
    _take_neighbours_along(line, found.sounds, keys, written)


def _take_neighbours_along(
    line: WrittenLine,
    sounds: Sequence[Sound],
    keys: Sequence[Key],
    written: WrittenChords,
) -> None:
    """Let what stands in a bar beside notes that changed sides change with them, where
    that makes it a note of the key or of its chord: D♭ B♭, not D♭ A♯."""
    sides: dict[int, int] = {}
    for sound in sounds if line.respelled else ():
        for index in sound.pitches:
            if index in line.respelled:
                change = line.respelled[index]
                sides[sound.bar] = change.written.fifths - change.plain.fifths
    for sound in sounds if sides else ():
        side = sides.get(sound.bar, 0)
        for index in sound.pitches if side else ():
            old, key = line.pitches[index], keys[sound.bar]
            if index in line.respelled or not old.alter or key.is_diatonic(old.name):
                continue
            other = old + (_TO_FLATS if side < 0 else _TO_SHARPS)
            tones = tones_of(written.symbols[sound.mostly])
            if key.is_diatonic(other.name) or (
                other.fifths in tones and old.fifths not in tones
            ):
                _rename(line, index, other)


def _chords_under(
    shared: Shared,
    sound: Sound,
    keys: Sequence[Key],
    written: WrittenChords,
    turns: Mapping[int, int],
) -> list[_Under]:
    """The chord at the start of a sound, and the one that it mostly stands over."""
    return [
        _Under(
            shared.spans[at].tones,
            tones_of(written.symbols[at]),
            turns.get(at, 0),
            shared.bars[sound.bar].key.signature,
            keys[sound.bar],
        )
        for at in (sound.first, sound.mostly)
    ]


def _rename(line: WrittenLine, index: int, new: Pitch) -> None:
    """Give a note the name that goes along with its chord."""
    old = line.pitches[index]
    if new == old:
        return
    line.pitches[index] = new
    before = line.respelled.pop(index, None)
    plain = old if before is None else before.plain
    if new != plain:
        line.respelled[index] = Respelling(index, plain, new, _REASON)


def take_names(
    shared: Shared, which: Line, line: WrittenLine, asked: Mapping[int, NoteName]
) -> None:
    """Give single notes of a line the names that were asked for, tied notes alike, in
    `line` itself.

    Raises:
        RespellError: if a name would change the sound.
    """
    if not asked:
        return
    pitches, respelled = line.pitches, line.respelled
    for sound in shared.sounds(which).sounds:
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


@frozen(order=False)
class _Under:
    """A chord over a note: its tones in the source and in the part, on the line of
    fifths, the enharmonic step that it took (-1 to flats, 1 to sharps, 0), and the
    keys."""

    source: tuple[int, ...]
    written: tuple[int, ...]
    turn: int
    source_signature: int
    key: Key

    def own_name(self, source: Pitch, old: Pitch) -> int | None:
        """The name that the part's chord gives a note, if the source's chord names it
        as the source does."""
        own = own_tone(self.source, source.pitch_class) if self.source else None
        if own is None:
            return None
        tone, settled = own
        if source.fifths != tone and not is_hard_name(tone, self.source_signature):
            return None
        hard = is_hard_name(source.fifths, self.source_signature)
        if not self.turn and (not settled or hard):
            return None  # in print both ways: it stays as the source has it
        new = self.written[0] + tone - self.source[0]
        signature = self.key.signature
        if is_hard_name(new, signature):
            return own_names(self.written, signature, loose=True)[old.pitch_class]
        return new


def _named(under: Sequence[_Under], source: Pitch, old: Pitch) -> Pitch:
    """A note's name under the chords that it sounds over: as the tone that it is of
    the first of them, else of the one that it stands over mostly."""
    for each in under:
        place = each.own_name(source, old)
        if place is not None:
            return Pitch.nearest(NoteName.from_fifths(place), old.midi)
    mostly = under[-1]
    if not mostly.turn or mostly.key.is_diatonic(old.name):
        return old
    other = old + (_TO_FLATS if mostly.turn < 0 else _TO_SHARPS)
    if is_hard_to_read(other.fifths) and not is_hard_to_read(old.fifths):
        return old
    return other


def _turns(written: WrittenChords) -> dict[int, int]:
    """The enharmonic steps that chords took, by their index."""
    turns: dict[int, int] = {}
    for each in written.respelled:
        plain, new = deciding_chord(each.plain), deciding_chord(each.written)
        if plain and new and plain.root != new.root:
            turns[each.index] = new.root.fifths - plain.root.fifths
    return turns


def _concert(shared: Shared, line: Line) -> Sequence[Pitch]:
    if line == "melody":
        return shared.melody.pitches
    return [pitch for rhythm in shared.rhythms for pitch in rhythm.counterline.pitches]
