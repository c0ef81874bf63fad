"""A part's melody under chords that were respelled: it goes along with them.

Where A♯m7–D♯7 becomes B♭m7–E♭7 the notes above it change sides too, as letters
move together (C. Schmidt-Jones, *Understanding Basic Music Theory*, "Enharmonic
Spelling").  A note of the key keeps its name, and no note takes a name that is
harder to read (C♭, F♭, E♯, B♯, a double accidental): common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import accumulate
from typing import Final

from attrs import evolve, frozen

from ..chords import Chord, ChordSymbol, PolyChord
from ..chords.respell import WrittenChords
from ..interval import Interval
from ..key import Key
from ..pitch import Pitch
from ..spelling import RespelledNote
from ._part_pitch import WrittenLine
from .model import Bar, Note, PlacedChord

__all__ = ("along_with_chords",)

_TO_FLATS: Final = Interval(1, 0)
_TO_SHARPS: Final = Interval(-1, 0)
_HARD_TO_READ: Final = frozenset((-8, -7, 11, 12))  # F♭, C♭, E♯, B♯ by fifths
_REASON: Final = "it goes along with its chord"
_NOTHING: Final = Fraction(0)

# a note's place: the index of its bar, and of its event there
_Place = tuple[int, int]


@frozen(order=False)
class _Moved:
    """A stretch of the tune under a respelled chord, in quarter notes from the
    start, and the enharmonic step that the chord took."""

    start: Fraction
    end: Fraction
    by: Interval


def along_with_chords(
    lines: Sequence[WrittenLine],
    bars: Sequence[Bar],
    keys: Sequence[Key],
    changes: Sequence[tuple[int, PlacedChord]],
    written: WrittenChords,
) -> list[WrittenLine]:
    """The melody, bar by bar, with the notes under respelled chords respelled.

    Args:
        lines: the melody's written notes.
        bars: the source's bars, as many.
        keys: the written key of each bar.
        changes: the source's chords with the indices of their bars; those of
            bars beyond the melody's don't count.
        written: the same chords as the part has them.
    """
    new = list(lines)
    if not written.respelled:
        return new
    starts = list(accumulate((bar.length for bar in bars), initial=_NOTHING))
    moved = list(_moved(changes, written, starts))
    if not moved:
        return new
    for chain, start, end in _sounding(lines, starts):
        under = _chord_under(moved, start, end)
        if under is None:
            continue
        first = chain[0]
        note = lines[first[0]].events[first[1]]
        assert isinstance(note, Note)
        names = {
            pitch: _respelled(pitch, under.by, keys[first[0]]) for pitch in note.pitches
        }
        if any(old != name for old, name in names.items()):
            for index, place in chain:
                new[index] = _with_names(new[index], place, names)
    return new


def _moved(
    changes: Sequence[tuple[int, PlacedChord]],
    written: WrittenChords,
    starts: Sequence[Fraction],
) -> Iterator[_Moved]:
    count = len(starts) - 1
    places = [
        starts[index] + placed.onset for index, placed in changes if index < count
    ]
    for change in written.respelled:
        if change.index >= len(places):
            continue
        end = places[change.index + 1] if change.index + 1 < len(places) else starts[-1]
        turns = _fifths(change.written) - _fifths(change.plain)
        if turns:
            by = _TO_FLATS if turns < 0 else _TO_SHARPS
            yield _Moved(places[change.index], end, by)


def _fifths(symbol: ChordSymbol) -> int:
    if isinstance(symbol, PolyChord):
        return symbol.lower.root.fifths
    return symbol.root.fifths if isinstance(symbol, Chord) else 0


def _sounding(
    lines: Sequence[WrittenLine], starts: Sequence[Fraction]
) -> Iterator[tuple[list[_Place], Fraction, Fraction]]:
    """Each note of the melody, tied ones as one: where they stand, start and end."""
    chain: list[_Place] = []
    start = end = _NOTHING
    for index, line in enumerate(lines):
        for place, event in enumerate(line.events):
            if not isinstance(event, Note):
                continue
            at = starts[index] + event.onset
            if chain and event.tied_from_previous and at == end:
                chain.append((index, place))
            else:
                if chain:
                    yield chain, start, end
                chain, start = [(index, place)], at
            end = at + event.duration
    if chain:
        yield chain, start, end


def _chord_under(
    moved: Sequence[_Moved], start: Fraction, end: Fraction
) -> _Moved | None:
    """The respelled chord under most of a note (or where a grace note stands)."""
    for each in moved:
        if each.start <= start == end < each.end:
            return each
        shared = min(each.end, end) - max(each.start, start)
        if shared > 0 and 2 * shared >= end - start:
            return each
    return None


def _respelled(pitch: Pitch, by: Interval, key: Key) -> Pitch:
    if key.is_diatonic(pitch.name):
        return pitch
    other = pitch + by
    harder = abs(other.alter) > 1 or other.fifths in _HARD_TO_READ
    if harder and not (abs(pitch.alter) > 1 or pitch.fifths in _HARD_TO_READ):
        return pitch
    return other


def _with_names(
    line: WrittenLine, place: int, names: Mapping[Pitch, Pitch]
) -> WrittenLine:
    note = line.events[place]
    assert isinstance(note, Note)
    first = sum(
        len(event.pitches) for event in line.events[:place] if isinstance(event, Note)
    )
    pitches = tuple(names[pitch] for pitch in note.pitches)
    others = [
        each
        for each in line.respelled
        if not first <= each.index < first + len(pitches)
    ]
    for index, (old, new) in enumerate(zip(note.pitches, pitches, strict=True), first):
        if old != new:
            others.append(RespelledNote(index, old, new, _REASON))
    return WrittenLine(
        (
            *line.events[:place],
            evolve(note, pitches=pitches),
            *line.events[place + 1 :],
        ),
        (*line.pitches[:first], *pitches, *line.pitches[first + len(pitches) :]),
        tuple(others),
    )
