"""What was decided for a part: key, octave, respellings, what is out of range."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import accumulate

from attrs import evolve

from ..chords import ChordSymbol
from ..instruments.books import Book
from ..instruments.instrument import Instrument
from ..instruments.octaves import OctaveAdvice
from ..instruments.ranges import check_range
from ..interval import OCTAVE
from ..key import Key
from ..leadsheet.findings import Finding
from ..leadsheet.model import Note, Rest
from ..leadsheet.timeline import Line
from ..pitch import Pitch
from ..spelling.respelling import Respelling
from ._pitch import Respelled
from ._shared import Shared
from .model import PartReport

__all__ = ("out_of_range", "report_of", "respellings")


def report_of(
    shared: Shared,
    reader: Book | Instrument,
    advice: OctaveAdvice | None,
    octaves: int,
    *,
    key: Key,
    respelled: Iterable[Respelling[ChordSymbol]],
    notes: Iterable[Respelling[Pitch]],
) -> PartReport:
    """What was decided for a part in that key.

    Args:
        shared: the tune.
        reader: whom the part is for.
        advice: the octave that it is in, None where there is no note.
        octaves: how far it is from where `notes` stand.
        key: the written key at the start.
        respelled: the chords that were respelled.
        notes: the notes that were.
    """
    chords = []
    for each in respelled:
        bar = shared.change_bars[each.index]
        chords.append(
            evolve(
                each,
                bar=shared.written[bar].number,
                beat=shared.bars[bar].beat_of(shared.change_onset(each.index)),
            )
        )
    if advice is None:
        return PartReport(
            key=key, low=None, high=None, chords=tuple(chords), findings=shared.remarks
        )
    move = OCTAVE * octaves
    outside: Iterable[Finding] = ()
    if advice.cost.outside:
        concert = [note.pitch for note in shared.held]
        outside = out_of_range(shared, concert, reader, advice.octaves)
    return PartReport(
        key=key,
        low=advice.low,
        high=advice.high,
        octaves=advice.octaves,
        octave_reason=advice.reason if advice.octaves else "",
        chords=tuple(chords),
        notes=tuple(
            evolve(note, plain=note.plain + move, written=note.written + move)
            for note in notes
        ),
        findings=(*shared.remarks, *outside),
    )


def respellings(
    shared: Shared, line: Line, respelled: Respelled
) -> Iterator[Respelling[Pitch]]:
    if not respelled:
        return
    starts: Sequence[int] = shared.melody.pitch_starts
    if line == "counterline":
        counts = (len(each.counterline.pitches) for each in shared.rhythms)
        starts = list(accumulate(counts, initial=0))
    for index, each in sorted(respelled.items()):
        bar = bisect_right(starts, index) - 1
        source = shared.rhythms[bar].bar
        events = source.melody if line == "melody" else source.counterline
        onset = _onset_of(events, index - starts[bar])
        yield evolve(each, bar=source.number, beat=source.beat_of(onset))


def _onset_of(events: Iterable[Note | Rest], pitch: int) -> Fraction:
    """The onset of a line's pitch, counted from 0."""
    onsets = [
        event.onset
        for event in events
        if isinstance(event, Note)
        for _ in event.pitches
    ]
    return onsets[pitch]


def out_of_range(
    shared: Shared,
    pitches: Sequence[Pitch],
    reader: Book | Instrument,
    octaves: int,
) -> Iterator[Finding]:
    """What of the tune's held notes, at these concert pitches, a reader can't play so
    many octaves from them."""
    for note in check_range(pitches, reader, octaves=octaves):
        if not note.comfortable_only:
            held = shared.held[note.index]
            bar = shared.bars[held.bar]
            yield Finding(
                rule="range",
                severity="warning",
                message=note.message,
                bar=bar.number,
                beat=bar.beat_of(held.note.onset),
            )
