"""A part that changes its octave: some bars sound higher or lower than the rest.

Where a reader is to jump an octave is the arranger's choice (common practice, no
source); nothing here advises it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from attrs import evolve

from ..errors import DecisionError
from ..instruments.books import Book
from ..instruments.instrument import Instrument
from ..instruments.octaves import OctaveAdvice
from ..interval import OCTAVE
from ..leadsheet.model import Note
from ..pitch import Pitch
from ..rhythm.stems import MIDDLE_LINE
from ..spelling.accidentals import AccidentalRules
from ..spelling.respelling import Respelling
from ._pitch import accidental_rows, centres_of, raised, stem_directions
from ._report import out_of_range
from ._shared import Shared
from .model import OctaveIn, Part, PartReport

__all__ = ("in_other_octaves",)


def in_other_octaves(
    part: Part,
    shared: Shared,
    reader: Book | Instrument,
    advice: OctaveAdvice | None,
    wishes: Sequence[OctaveIn],
    rules: AccidentalRules | None,
) -> Part:
    """The part in other octaves in the bars that are wished for.

    Raises:
        DecisionError: if there are no such bars.
    """
    if not wishes or advice is None:
        return part
    steps = _steps(part, advice.octaves, wishes)
    pitches: list[Pitch] = []
    lower: list[tuple[Pitch, ...]] = []
    held = 0
    for bar, step in zip(part.bars, steps, strict=True):
        for event in bar.bar.melody:
            if isinstance(event, Note):
                held = held if event.tied_from_previous else step
                pitches += raised(event.pitches, held)
        lower.append(raised(bar.lower_pitches, step))
    middle = part.clef.bottom_place + MIDDLE_LINE
    keys = [bar.key for bar in part.bars]
    stems = stem_directions(shared, centres_of(shared.melody, pitches), middle)
    signs = accidental_rows(shared, pitches, lower, keys, rules=rules, respelled=None)
    starts = shared.melody.pitch_starts
    bars = tuple(
        evolve(
            bar,
            pitches=tuple(pitches[starts[index] : starts[index + 1]]),
            stems=stems[index][0],
            accidentals=signs[index][0],
            lower_pitches=lower[index],
            lower_stems=stems[index][1],
            lower_accidentals=signs[index][1],
        )
        for index, bar in enumerate(part.bars)
    )
    by_bar = {bar.bar.number: step for bar, step in zip(part.bars, steps, strict=True)}
    report = _report(part.report, by_bar, pitches)
    concert = [
        note.pitch + OCTAVE * by_bar.get(shared.bars[note.bar].number, 0)
        for note in shared.held
    ]
    outside = tuple(out_of_range(shared, concert, reader, advice.octaves))
    report = evolve(report, findings=(*shared.remarks, *outside))
    return evolve(part, bars=bars, report=report)


def _report(
    report: PartReport, steps: Mapping[int, int], pitches: Sequence[Pitch]
) -> PartReport:
    """What is told, with the pitches as they are now."""

    def moved(note: Respelling[Pitch]) -> Respelling[Pitch]:
        by = OCTAVE * steps.get(note.bar or 0, 0)
        return evolve(note, plain=note.plain + by, written=note.written + by)

    by_height = sorted(pitches, key=lambda pitch: pitch.midi)
    return evolve(
        report,
        low=by_height[0],
        high=by_height[-1],
        notes=tuple(map(moved, report.notes)),
    )


def _steps(part: Part, usual: int, wishes: Sequence[OctaveIn]) -> list[int]:
    """How many octaves each bar lies from where the part is."""
    numbers = [bar.bar.number for bar in part.bars]
    steps = [0] * len(numbers)
    for wish in wishes:
        inside = [at for at, n in enumerate(numbers) if wish.first <= n <= wish.last]
        if not inside:
            raise DecisionError(
                f"no bar {wish.first}: the tune ends with bar {max(numbers)}"
            )
        for at in inside:
            steps[at] = wish.octaves - usual
    return steps
