"""What is played behind the solos: hits above the slashes, backgrounds as small notes.

They stand where the user puts them, in bars of the solo page; so does the pickup that
leads back to the head (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from attrs import evolve, frozen

from ..interval import Interval
from ..key import Key
from ..leadsheet.findings import Finding
from ..leadsheet.model import Bar, Hit, Note, Rest
from ..pitch import Pitch
from ..rhythm.beams import BeamMark, BeamStyle
from ..spelling.accidentals import Accidental, AccidentalRules, shown_accidentals
from ..spelling.transposing import transpose_melody
from ._rhythm import BarRhythm, bar_rhythm
from .hits import CueBar

__all__ = (
    "BACKGROUNDS",
    "Behind",
    "SmallNotes",
    "behind_solos",
    "small_notes",
    "voices_lost",
)

BACKGROUNDS: Final = "backgrounds"
"""What stands over the first small notes that are played behind a solo."""


@frozen(order=False, kw_only=True)
class Behind:
    """What stands in a bar of the solo page besides its slashes: the bar, whose
    counterline is its small notes, with their beams and label, and the hits."""

    bar: Bar
    beams: tuple[tuple[BeamMark, ...], ...] = ()
    label: str = ""
    cue: tuple[Hit | Rest, ...] = ()
    cue_beams: tuple[tuple[BeamMark, ...], ...] = ()
    cue_label: str = ""


def behind_solos(
    solo: Sequence[Bar],
    cues: Sequence[CueBar],
    *,
    style: BeamStyle,
    divisions: int,
) -> tuple[Behind, ...]:
    """What stands in each bar of the solo page, the melody that was put there as small
    notes."""
    found: list[Behind] = []
    before = False
    for each, cue in zip(solo, cues, strict=True):
        bar = _in_one_line(each)
        sung = _has_notes(bar.melody)
        if not sung and not cue.events:
            plain = evolve(bar, melody=(), hits=()) if bar.melody or bar.hits else bar
            found.append(Behind(bar=plain))
            before = False
            continue
        rhythm = bar_rhythm(bar, cue, style=style, divisions=divisions)
        notes, beams = _notes_of(rhythm) if sung else ((), ())
        found.append(
            Behind(
                bar=evolve(bar, melody=(), counterline=notes),
                beams=beams,
                label="" if before or not sung else BACKGROUNDS,
                cue=rhythm.cue,
                cue_beams=rhythm.cue_beams,
                cue_label=rhythm.cue_label,
            )
        )
        before = sung
    return tuple(found)


def voices_lost(solo: Sequence[Bar]) -> Iterator[Finding]:
    """Tell of bars of a solo page with two voices, of which the first alone is kept."""
    for place, bar in enumerate(solo, start=1):
        both = bar.counterline and bar.melody
        if both and all(map(_has_notes, (bar.melody, bar.counterline))):
            yield Finding(
                rule="solo-page",
                severity="warning",
                message="a second voice behind the solos is not carried (bar "
                f"{place} of the solo page)",
            )


def _has_notes(line: Sequence[Note | Rest]) -> bool:
    return bool(line) and any(isinstance(event, Note) for event in line)


def _in_one_line(bar: Bar) -> Bar:
    """The bar with its second voice for its melody, if it has that alone."""
    if not bar.counterline:
        return bar
    sung = _has_notes(bar.melody)
    return evolve(bar, melody=bar.melody if sung else bar.counterline, counterline=())


def _notes_of(
    rhythm: BarRhythm,
) -> tuple[tuple[Note, ...], tuple[tuple[BeamMark, ...], ...]]:
    """The notes of a bar without its rests, and their beams."""
    events = rhythm.bar.melody
    beams = rhythm.melody.beams or ((),) * len(events)
    notes = [
        (event, marks)
        for event, marks in zip(events, beams, strict=True)
        if isinstance(event, Note)
    ]
    return tuple(note for note, _ in notes), tuple(marks for _, marks in notes)


@frozen(order=False)
class SmallNotes:
    """The small notes of a bar as one part has them."""

    pitches: tuple[Pitch, ...]
    accidentals: tuple[Accidental | None, ...]


def small_notes(
    bars: Sequence[Bar],
    keys: Sequence[Key],
    moves: Sequence[Interval],
    rules: AccidentalRules | None,
) -> Iterator[SmallNotes]:
    """The small notes of the bars of a solo page in written pitch."""
    rows: list[list[tuple[Pitch, bool]]] = []
    for bar, move in zip(bars, moves, strict=True):
        notes = [each for each in bar.counterline if isinstance(each, Note)]
        if not notes:
            rows.append([])
            continue
        moved = transpose_melody(
            [pitch for note in notes for pitch in note.pitches], move
        ).pitches
        tied = [note.tied_from_previous for note in notes for _ in note.pitches]
        rows.append(list(zip(moved, tied, strict=True)))
    shown = shown_accidentals(rows, keys, rules=rules)
    for row, accidentals in zip(rows, shown, strict=True):
        yield SmallNotes(tuple(pitch for pitch, _ in row), accidentals)
