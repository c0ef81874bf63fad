"""Metre and key of a tune that says neither.

The metre is read from how long the bars are and from what is beamed together, the key
from notes and chord symbols (:func:`~.spelling.key_finding.find_key`).  Which metre a
bar of six eighths has is told by its beams, in threes or in twos (common practice, no
source).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from ..chords import Chord
from ..key import Key
from ..pitch import Pitch
from ..rhythm.meter import Meter
from ..spelling.key_finding import HeardNote, find_key
from .model import Bar, Note

__all__ = ("infer_key", "infer_meter")

_COMMON: Final = Meter(4, 4)
_THREE_EIGHTHS: Final = Fraction(3, 2)
# quarter notes in a bar: its metre where eighths are beamed in threes
_COMPOUND: Final = {
    Fraction(3): Meter(6, 8), Fraction(9, 2): Meter(9, 8), Fraction(6): Meter(12, 8),
}  # fmt: skip
# the octaves of a chord's root and of its tones above
_OCTAVES: Final = (2, 3, 3, 3)
# so many different notes tell a key; with fewer the last chord is home
_ENOUGH: Final = 5


def infer_meter(
    lengths: Sequence[Fraction], beams: Sequence[Fraction] = (), /
) -> Meter:
    """The metre of bars that are so long, given what each beam lasts, in quarter notes.

    The most frequent length decides, the first and the last bar left out where there
    are others.

    >>> three = [Fraction(1), *[Fraction(3)] * 8, Fraction(2)]
    >>> print(infer_meter(three), infer_meter(three, [Fraction(3, 2)] * 4))
    3/4 6/8
    """
    inner = lengths[1:-1] or lengths
    counted = Counter(length for length in inner if length > 0)
    if not counted:
        return _COMMON
    ((length, _),) = counted.most_common(1)
    in_threes = sum(beam == _THREE_EIGHTHS for beam in beams)
    if length in _COMPOUND and (2 * in_threes > len(beams) or length.denominator > 1):
        return _COMPOUND[length]
    unit = 4 * length.denominator
    return Meter(length.numerator, unit) if unit <= 32 else _COMMON


def infer_key(bars: Sequence[Bar], /) -> Key:
    """The key of a tune by its notes and its chord symbols, whose roots are heard as
    bass notes; that of the last chord, or C major, where there is too little of either.

    >>> from leadsheet_theory.chords import parse_chord
    >>> from leadsheet_theory.leadsheet import PlacedChord
    >>> def bar(number, symbol, *names):
    ...     notes = [Note(onset=Fraction(at), duration=Fraction(1),
    ...                   pitches=(Pitch.parse(name),))
    ...              for at, name in enumerate(names)]
    ...     return Bar(number=number, key=Key.parse("C"), meter=Meter(4, 4),
    ...                length=Fraction(4), melody=tuple(notes),
    ...                chords=(PlacedChord(Fraction(0), parse_chord(symbol)),))
    >>> tune = (bar(1, "Dm", "D5", "F5", "E5", "D5"), bar(2, "Gm", "G4", "Bb4", "A4"),
    ...         bar(3, "A7", "A4", "C#5", "E5"), bar(4, "Dm", "D5"))
    >>> str(infer_key(tune))
    'D minor'
    """
    heard: list[HeardNote] = []
    last: Chord | None = None
    start = Fraction(0)
    for bar in bars:
        for event in bar.melody:
            if isinstance(event, Note) and event.duration:
                onset, length = float(start + event.onset), float(event.duration)
                heard += [HeardNote(each.midi, onset, length) for each in event.pitches]
        ends = [placed.onset for placed in bar.chords[1:]] + [bar.length]
        for placed, end in zip(bar.chords, ends, strict=False):
            if isinstance(placed.symbol, Chord) and end > placed.onset:
                last = placed.symbol
                onset, length = float(start + placed.onset), float(end - placed.onset)
                heard += [
                    HeardNote(Pitch(tone.step, tone.alter, octave).midi, onset, length)
                    for octave, tone in zip(_OCTAVES, last.tones, strict=False)
                ]
        start += bar.length
    if len({note.midi % 12 for note in heard}) >= _ENOUGH:
        return find_key(heard)
    if last is None:
        return Key.from_signature(0)
    minor = (3, -1) in {(each.number, each.alter) for each in last.quality.degrees}
    return Key(last.root, "minor" if minor else "major")
