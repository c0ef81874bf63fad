"""Proofreading the melody: ties, slurs, spelling, and what grates on its chord."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final

from ..chords import Chord
from ..leadsheet.model import Bar, LeadSheet, Note, Rest
from ..pitch import Pitch
from ._remarks import Remark, Span, chord_spans, melody_events

__all__ = ("check_melody",)


def check_melody(sheet: LeadSheet) -> Iterator[Remark]:
    """Everything that concerns the notes of the melody."""
    yield from _ties(sheet)
    yield from _slurs(sheet)
    yield from _spelling(sheet)
    yield from _against_the_chords(sheet)


# -- ties and slurs


def _ties(sheet: LeadSheet) -> Iterator[Remark]:
    pending: tuple[Bar, Note] | None = None
    for bar in sheet.bars:
        first = True
        for event in bar.melody:
            if isinstance(event, Note) and event.grace:
                continue
            arrives = isinstance(event, Note) and event.tied_from_previous
            jumps_in = first and (
                bar.form.repeat_start
                or (bar.form.ending_starts and bar.form.ending[0] > 1)
            )
            if pending is not None and not jumps_in:
                yield from _tie_between(*pending, event)
            elif arrives and pending is None and not jumps_in:
                yield Remark("tie", "a tie comes from nowhere", bar, event.onset)
            pending = None
            if isinstance(event, Note) and event.tied_to_next:
                pending = (bar, event)
            first = False
        if bar.form.repeat_end or bar.form.jump:
            pending = None
    if pending is not None:
        yield Remark("tie", "a tie leads nowhere", pending[0], pending[1].onset)


def _tie_between(bar: Bar, left: Note, right: Note | Rest) -> Iterator[Remark]:
    where = bar, left.onset
    if isinstance(right, Rest):
        yield Remark("tie", "tied to a rest", *where)
        return
    if not right.tied_from_previous:
        yield Remark("tie", f"{left.pitch.glyphs} has half a tie", *where)
        return
    sounds = {pitch.midi: pitch for pitch in right.pitches}
    same = sounds.get(left.pitch.midi)
    if same is None:
        yield Remark(
            "tie",
            f"{left.pitch.glyphs} is tied to {right.pitch.glyphs}",
            *where,
            advice="a slur, or the same note",
        )
    elif same != left.pitch:
        yield Remark(
            "tie",
            f"{left.pitch.glyphs} is tied to {same.glyphs}, which sounds the same",
            *where,
            advice="spell tied notes alike",
        )


def _slurs(sheet: LeadSheet) -> Iterator[Remark]:
    open_: dict[tuple[str, int], tuple[Bar, Fraction]] = {}
    for _, bar, event, _line in melody_events(sheet):
        for slur in event.slurs if isinstance(event, Note) else ():
            key = (slur.kind, slur.number)
            if slur.end == "start":
                open_[key] = (bar, event.onset)
            elif open_.pop(key, None) is None:
                yield Remark(
                    "slur", f"a {slur.kind} ends that never began", bar, event.onset
                )
    for (kind, _number), (bar, onset) in open_.items():
        yield Remark("slur", f"a {kind} begins and never ends", bar, onset)


# -- spelling


def _spelling(sheet: LeadSheet) -> Iterator[Remark]:
    for _, bar, event, _line in melody_events(sheet):
        if isinstance(event, Note) and not event.tied_from_previous:
            for pitch in event.pitches:
                if abs(pitch.alter) > 1:
                    yield Remark(
                        "double-accidental", f"{pitch.glyphs}", bar, event.onset
                    )


# -- melody and chord

# semitones above the root: what grates, and over which chords (tones it needs in
# semitones above the root; tones that excuse it)
_CLASHES: Final[tuple[tuple[int, str, frozenset[int], frozenset[int]], ...]] = (
    (5, "the natural 11th", frozenset((4,)), frozenset((5,))),
    (1, "the flat 9th", frozenset((11,)), frozenset((1,))),
    (1, "the flat 9th", frozenset((3, 10)), frozenset((1,))),
    (1, "the flat 9th", frozenset((4, 9)), frozenset((1, 10))),
    (11, "the major 7th", frozenset((4, 10)), frozenset((11,))),
    (8, "the flat 13th", frozenset((4, 7, 11)), frozenset((8,))),
)  # fmt: skip
_LONG: Final = Fraction(2)
_BEAT: Final = Fraction(1)


def _against_the_chords(sheet: LeadSheet) -> Iterator[Remark]:
    spans = chord_spans(sheet)
    notes = list(_sung(sheet))
    at = 0
    for place, (start, length, bar, note) in enumerate(notes):
        while at + 1 < len(spans) and spans[at + 1].start <= start:
            at += 1
        if not spans or spans[at].start > start:
            continue
        chord = _under(spans, at, start, length)
        if chord is None:
            continue
        yield from _enharmonic(chord, bar, note)
        following = notes[place + 1] if place + 1 < len(notes) else None
        goes_on = (
            following[3].pitch
            if following is not None and following[0] == start + length
            else None
        )
        yield from _clash(chord, bar, note, length, goes_on)


def _sung(sheet: LeadSheet) -> Iterator[tuple[Fraction, Fraction, Bar, Note]]:
    """The melody's notes with tied ones as one: start, whole length, bar, note."""
    held: tuple[Fraction, Fraction, Bar, Note] | None = None
    at = Fraction(0)
    for bar in sheet.bars:
        for note in bar.melody:
            if not isinstance(note, Note) or note.grace:
                continue
            if held is not None and note.tied_from_previous:
                held = (held[0], held[1] + note.duration, held[2], held[3])
                continue
            if held is not None:
                yield held
            held = (at + note.onset, note.duration, bar, note)
        at += bar.length
    if held is not None:
        yield held


def _under(
    spans: Sequence[Span], at: int, start: Fraction, length: Fraction
) -> Chord | None:
    """The chord that sounds longest under a note; an anticipation belongs to the
    chord it is held into."""
    best, longest = spans[at].symbol, Fraction(0)
    for span in spans[at:]:
        if span.start >= start + length:
            break
        shared = min(span.end, start + length) - max(span.start, start)
        if shared > longest:
            best, longest = span.symbol, shared
    return best if isinstance(best, Chord) else None


def _enharmonic(chord: Chord, bar: Bar, note: Note) -> Iterator[Remark]:
    for pitch in note.pitches:
        if pitch.pitch_class not in chord.pitch_classes or pitch.name in chord.notes:
            continue
        if bar.key.is_diatonic(pitch.name):
            continue
        tone = next(t for t in chord.notes if t.pitch_class == pitch.pitch_class)
        yield Remark(
            "enharmonic",
            f"{pitch.name.glyphs} over {chord}, whose tone is {tone.glyphs}",
            bar,
            note.onset,
        )


def _clash(
    chord: Chord, bar: Bar, note: Note, length: Fraction, goes_on: Pitch | None
) -> Iterator[Remark]:
    """A note of a beat or more on a beat that grates and doesn't move off by step."""
    on_beat = note.onset.denominator == 1
    if length < _BEAT or (not on_beat and length < _LONG):
        return
    steps = None if goes_on is None else abs(goes_on.midi - note.pitch.midi)
    if steps is not None and steps <= 2 and length < _LONG:
        return
    root = chord.root.pitch_class
    above = (note.pitch.pitch_class - root) % 12
    tones = {(tone - root) % 12 for tone in chord.pitch_classes}
    for semitones, what, over, excused in _CLASHES:
        if above == semitones and over <= tones and not excused & tones:
            yield Remark(
                "clash", f"{note.pitch.glyphs} is {what} of {chord}", bar, note.onset
            )
            return
