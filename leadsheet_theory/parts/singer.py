"""Keys for a singer: in which concert keys a tune lies within a voice's range.

What a singer names is a lowest and a highest note that are easy to sing; a tune fits
where all of it lies between them.  Of the keys that fit those come first in which the
melody leaves as much room above as below, then those with fewer signs (common practice,
no source).
"""

from __future__ import annotations

from attrs import frozen

from .._doors import door
from ..errors import EmptyMelodyError, RangeOrderError
from ..interval import OCTAVE, Interval
from ..key import Key
from ..leadsheet.model import LeadSheet, Note
from ..pitch import Pitch
from ..spelling.transposing import written_interval, written_key

__all__ = ("SingerKey", "singer_keys")


@frozen(order=False)
class SingerKey:
    """A concert key that suits a voice: the lowest and the highest note of the melody
    in it, as they sound, and the semitones that stay free below and above."""

    key: Key
    low: Pitch
    high: Pitch
    below: int
    above: int

    def __str__(self) -> str:
        return f"{self.key}: {self.low} to {self.high}"


@door
def singer_keys(sheet: LeadSheet, low: Pitch, high: Pitch, /) -> tuple[SingerKey, ...]:
    """The concert keys in which a tune lies within a voice's range, the best first.

    None fits where the melody spans more than the range.

    Args:
        sheet: the tune at concert pitch.
        low: the voice's lowest comfortable note, sounding.
        high: its highest one.

    Raises:
        RangeOrderError: if `low` sounds above `high`.
        EmptyMelodyError: if the sheet has no note.

    >>> from leadsheet_theory.musicxml import read_lead_sheet
    >>> tune = read_lead_sheet("shared/charts/harbourmasters_day_off.musicxml").sheet
    >>> for each in singer_keys(tune, Pitch.parse("F3"), Pitch.parse("C5"))[:3]:
    ...     print(each)
    D major: F#3 to B4
    Eb major: G3 to C5
    Db major: F3 to Bb4
    """
    if low.midi > high.midi:
        raise RangeOrderError(str(low), str(high))
    pitches = [
        event.pitch
        for bar in sheet.bars
        for event in bar.melody
        if isinstance(event, Note)
    ]
    if not pitches:
        raise EmptyMelodyError(f"{sheet.title!r} has no note: expected a melody")
    lowest = min(pitches, key=lambda pitch: pitch.midi)
    highest = max(pitches, key=lambda pitch: pitch.midi)
    source = sheet.key
    found: dict[Key, SingerKey] = {}
    for semitones in range(low.midi - lowest.midi, high.midi - highest.midi + 1):
        octaves, rest = divmod(semitones, 12)
        plain = _UPWARD[rest]
        key = written_key(source, plain)
        by = written_interval(plain, source, key) + OCTAVE * octaves
        fit = SingerKey(
            key,
            lowest + by,
            highest + by,
            lowest.midi + semitones - low.midi,
            high.midi - highest.midi - semitones,
        )
        if key not in found or _unevenness(fit) < _unevenness(found[key]):
            found[key] = fit
    return tuple(sorted(found.values(), key=_unevenness))


# an interval of each number of semitones, for keys near each other
_UPWARD = tuple(
    Interval.parse(name)
    for name in ("P1", "m2", "M2", "m3", "M3", "P4", "A4", "P5", "m6", "M6", "m7", "M7")
)


def _unevenness(fit: SingerKey) -> tuple[int, int]:
    return abs(fit.above - fit.below), abs(fit.key.signature)
