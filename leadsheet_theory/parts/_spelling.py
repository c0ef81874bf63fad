"""A part's melody under chords that were respelled: it goes along with them.

Where A♯m7–D♯7 becomes B♭m7–E♭7 the notes above it change sides too, as letters
move together (C. Schmidt-Jones, *Understanding Basic Music Theory*, "Enharmonic
Spelling").  A note of the key keeps its name, and no note takes a name that is
harder to read (C♭, F♭, E♯, B♯, a double accidental): common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import accumulate
from typing import Final

from attrs import frozen

from ..chords.respell import WrittenChords, deciding_chord
from ..interval import Interval
from ..key import Key
from ..leadsheet.model import Note
from ..pitch import Pitch
from ..spelling._root_search import is_hard_to_read
from ..spelling.respelling import Respelling
from ._pitch import Respelled
from ._rhythm import BarRhythm
from ._shared import Shared, ticks

__all__ = ("go_along_with_chords",)

_TO_FLATS: Final = Interval(1, 0)
_TO_SHARPS: Final = Interval(-1, 0)
_REASON: Final = "it goes along with its chord"


@frozen(order=False)
class _Sound:
    """One sounding note, tied notes together: which of the melody's pitches they
    are, in which bar it starts, and its start and end in divisions from the start
    of the tune."""

    pitches: tuple[int, ...]
    bar: int
    start: int
    end: int


@frozen(order=False)
class _Stretch:
    """A stretch of the tune under a respelled chord, in divisions from the start,
    and the enharmonic step that the chord took."""

    start: int
    end: int
    by: Interval

    def holds(self, sound: _Sound) -> bool:
        """Whether most of a note, or a grace note, stands over it."""
        if sound.start == sound.end:
            return self.start <= sound.start < self.end
        together = min(self.end, sound.end) - max(self.start, sound.start)
        return together > 0 and 2 * together >= sound.end - sound.start


def go_along_with_chords(
    shared: Shared,
    pitches: list[Pitch],
    respelled: Respelled,
    keys: Sequence[Key],
    written: WrittenChords,
) -> None:
    """Respell the notes that stand over respelled chords, in `pitches` itself, and
    add them to `respelled`.

    Args:
        shared: the tune.
        pitches: the melody in written pitches.
        respelled: what has been respelled in it.
        keys: the written key of each bar.
        written: the tune's chords as the part has them.
    """
    stretches = list(_stretches(shared, written)) if written.respelled else []
    if not stretches:
        return
    for sound in _sounds(shared.rhythms, shared.divisions):
        under = next((each for each in stretches if each.holds(sound)), None)
        if under is None:
            continue
        for index in sound.pitches:
            old = pitches[index]
            new = _respelled(old, under.by, keys[sound.bar])
            if new == old:
                continue
            pitches[index] = new
            before = respelled.pop(index, None)
            plain = old if before is None else before.plain
            if new != plain:
                respelled[index] = Respelling(index, plain, new, _REASON)


def _sounds(rhythms: Iterable[BarRhythm], divisions: int) -> list[_Sound]:
    """The sounding notes in order."""
    sounds: list[_Sound] = []
    bar_start = pitch = 0
    for index, rhythm in enumerate(rhythms):
        for event in rhythm.bar.melody:
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
        bar_start += ticks(rhythm.bar.length, divisions)
    return sounds


def _stretches(shared: Shared, written: WrittenChords) -> Iterator[_Stretch]:
    divisions = shared.divisions
    count = len(shared.rhythms)
    starts = list(
        accumulate(
            (ticks(bar.length, divisions) for bar in shared.bars[:count]), initial=0
        )
    )
    changes = shared.change_starts[count]

    def place(index: int) -> int:
        if index >= changes:
            return starts[-1]
        bar = shared.change_bars[index]
        return starts[bar] + ticks(shared.change_onset(index), divisions)

    for change in written.respelled:
        plain, new = deciding_chord(change.plain), deciding_chord(change.written)
        turns = new.root.fifths - plain.root.fifths if plain and new else 0
        if change.index < changes and turns:
            yield _Stretch(
                place(change.index),
                place(change.index + 1),
                _TO_FLATS if turns < 0 else _TO_SHARPS,
            )


def _respelled(pitch: Pitch, by: Interval, key: Key) -> Pitch:
    if key.is_diatonic(pitch.name):
        return pitch
    other = pitch + by
    if is_hard_to_read(other.fifths) and not is_hard_to_read(pitch.fifths):
        return pitch
    return other
