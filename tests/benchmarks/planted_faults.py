# ruff: noqa: ARG001  (all who plant take the same)
"""Which planted faults the proofreader names, and what it says of unplanted charts.

Into each of twenty real charts that are clean for a kind of fault, one fault of it is
planted; it counts as found only if a finding of the right rule names its bar and is an
error, a warning or a query.  The charts are those of the folder ``shared`` beside the
project; nothing here is fitted on those with an even number.

    python tests/benchmarks/planted_faults.py [--charts FOLDER] [--each 20] [--missed]
    python tests/benchmarks/planted_faults.py --fold even
"""

from __future__ import annotations

import argparse
import random
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

from attrs import evolve, frozen

from leadsheet_theory import read_lead_sheet
from leadsheet_theory.chords import Chord, Quality
from leadsheet_theory.key import Key
from leadsheet_theory.leadsheet.model import (
    Bar,
    Hit,
    LeadSheet,
    Note,
    PlacedChord,
    Rest,
)
from leadsheet_theory.leadsheet.signs import Jump
from leadsheet_theory.pitch import NoteName, Pitch
from leadsheet_theory.proof import proofread
from leadsheet_theory.rhythm import Meter

F = Fraction
ROOT = Path(__file__).resolve().parents[2]
CHARTS = ROOT.parent / "shared" / "leadsheets"
Planted = tuple[LeadSheet, frozenset[int], str]
"""The chart with the fault, the bars that may be named, what was done."""


@frozen(order=False)
class Kind:
    """A kind of fault: its name, the rules that name it, who plants it."""

    name: str
    rules: frozenset[str]
    plant: Callable[[LeadSheet, random.Random], Planted | None]
    musical: bool = False


# -- tools


def with_bar(sheet: LeadSheet, index: int, bar: Bar) -> LeadSheet:
    return evolve(sheet, bars=(*sheet.bars[:index], bar, *sheet.bars[index + 1 :]))


def with_form(sheet: LeadSheet, index: int, **signs: object) -> LeadSheet:
    bar = sheet.bars[index]
    return with_bar(sheet, index, evolve(bar, form=evolve(bar.form, **signs)))


def inner(sheet: LeadSheet) -> list[int]:
    """Full bars with two notes or more, away from the ends and from all signs."""
    bars = sheet.bars
    return [
        index
        for index in range(2, len(bars) - 2)
        if all(
            each.length == each.meter.bar_length and not each.form.leads
            for each in bars[index - 1 : index + 2]
        )
        and sum(isinstance(event, Note) for event in bars[index].melody) > 1
    ]


def one(rng: random.Random, choices: Sequence[int]) -> int | None:
    return rng.choice(choices) if choices else None


def plain(sheet: LeadSheet) -> bool:
    """No sign of form but letters and bar lines."""
    return not any(bar.form.leads for bar in sheet.bars)


def named(sheet: LeadSheet, *indices: int) -> frozenset[int]:
    return frozenset(sheet.bars[index].number for index in indices)


def replaced(bar: Bar, place: int, note: Note | Rest) -> Bar:
    return evolve(bar, melody=(*bar.melody[:place], note, *bar.melody[place + 1 :]))


def with_chord(bar: Bar, place: int, chord: PlacedChord) -> Bar:
    return evolve(bar, chords=(*bar.chords[:place], chord, *bar.chords[place + 1 :]))


def untied(bar: Bar) -> bool:
    notes = [event for event in bar.melody if isinstance(event, Note)]
    return not any(n.tied_to_next or n.tied_from_previous or n.grace for n in notes)


# -- bars and ties


def short_bar(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    at = one(rng, [i for i in inner(sheet) if untied(sheet.bars[i])])
    if at is None:
        return None
    bar = sheet.bars[at]
    last = bar.melody[-1]
    cut = evolve(bar, melody=bar.melody[:-1], length=bar.length - last.duration,
                 chords=tuple(c for c in bar.chords if c.onset < last.onset)
                 )  # fmt: skip
    return with_bar(sheet, at, cut), named(sheet, at), f"without {last.duration}"


def long_bar(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    at = one(rng, [i for i in inner(sheet) if untied(sheet.bars[i])])
    if at is None:
        return None
    bar = sheet.bars[at]
    last = bar.melody[-1]
    more = F(1, 2)
    longer = evolve(last, duration=last.duration + more, value=None)
    long = evolve(replaced(bar, len(bar.melody) - 1, longer), length=bar.length + more)
    return with_bar(sheet, at, long), named(sheet, at), "an eighth too many"


def gap(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    at = one(rng, [i for i in inner(sheet) if untied(sheet.bars[i])])
    if at is None:
        return None
    bar = sheet.bars[at]
    place = rng.randrange(len(bar.melody))
    cut = evolve(bar, melody=(*bar.melody[:place], *bar.melody[place + 1 :]))
    return with_bar(sheet, at, cut), named(sheet, at), "a note taken out"


def overlap(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    at = one(rng, [i for i in inner(sheet) if untied(sheet.bars[i])])
    if at is None:
        return None
    bar = sheet.bars[at]
    first = evolve(bar.melody[0], duration=bar.melody[0].duration + F(1, 2), value=None)
    return with_bar(sheet, at, replaced(bar, 0, first)), named(sheet, at), "overlap"


def wrong_metre(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    meters = {(bar.meter.beats, bar.meter.beat_type) for bar in sheet.bars}
    if len(meters) > 1 or len(sheet.bars) < 8:
        return None
    (is_now,) = meters
    other = {(4, 4): (3, 4), (3, 4): (4, 4), (2, 2): (3, 4), (2, 4): (3, 4),
             (6, 8): (4, 4), (12, 8): (4, 4)}.get(is_now)  # fmt: skip
    if other is None:
        return None
    bars = tuple(evolve(bar, meter=Meter(*other)) for bar in sheet.bars)
    return evolve(sheet, bars=bars), named(sheet, 0, 1), f"{is_now} as {other}"


def tie_elsewhere(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    places = [
        (i, p)
        for i in inner(sheet)
        if untied(sheet.bars[i])
        for p, (a, b) in enumerate(pairwise(sheet.bars[i].melody))
        if isinstance(a, Note) and isinstance(b, Note) and a.pitch.midi != b.pitch.midi
    ]
    if not places:
        return None
    at, place = rng.choice(places)
    bar = sheet.bars[at]
    left = evolve(bar.melody[place], tied_to_next=True)
    right = evolve(bar.melody[place + 1], tied_from_previous=True)
    tied = replaced(replaced(bar, place, left), place + 1, right)
    return with_bar(sheet, at, tied), named(sheet, at), "tied to another note"


def half_tie(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    places = [
        (i, p)
        for i in inner(sheet)
        for p, event in enumerate(sheet.bars[i].melody)
        if isinstance(event, Note) and not event.tied_to_next and not event.grace
        and not event.tied_from_previous
    ]  # fmt: skip
    if not places:
        return None
    at, place = rng.choice(places)
    half = evolve(sheet.bars[at].melody[place], tied_to_next=True)
    bar = replaced(sheet.bars[at], place, half)
    return with_bar(sheet, at, bar), named(sheet, at), "half a tie"


def empty_bar(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    at = one(
        rng,
        [
            i
            for i in inner(sheet)
            if untied(sheet.bars[i]) and sheet.bars[i + 1].chords
            and untied(sheet.bars[i - 1]) and untied(sheet.bars[i + 1])
        ],
    )  # fmt: skip
    if at is None:
        return None
    bar = sheet.bars[at]
    rest = Rest(F(0), bar.length, None, whole_bar=True)
    return (
        with_bar(sheet, at, evolve(bar, melody=(rest,), chords=())),
        named(sheet, at),
        "emptied",
    )


# -- form


def lettered(
    sheet: LeadSheet, letters: Sequence[str]
) -> tuple[LeadSheet, list[int]] | None:
    if any(bar.form.section for bar in sheet.bars) or len(sheet.bars) < 26:
        return None
    start = 0 if not sheet.bars[0].is_pickup else 1
    at = [start, start + 8, start + 16]
    for index, letter in zip(at, letters, strict=True):
        sheet = with_form(sheet, index, section=letter)
    return sheet, at


def alike(sheet: LeadSheet, one: int, other: int) -> bool:
    """Whether two of the first four bars of both places have the same notes."""
    pairs = zip(sheet.bars[one : one + 4], sheet.bars[other : other + 4], strict=False)
    return sum(notes_of(a) == notes_of(b) for a, b in pairs) >= 2


def notes_of(bar: Bar) -> list[tuple[F, int]]:
    return [(e.onset, e.pitch.midi) for e in bar.melody if isinstance(e, Note)]


def repeated_letter(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    done = lettered(sheet, rng.choice((("A", "B", "B"), ("A", "B", "A"))))
    if (
        done is None
        or alike(sheet, *done[1][-2:])
        or alike(sheet, done[1][0], done[1][2])
    ):
        return None
    return done[0], named(sheet, done[1][2]), "letter twice"


def skipped_letter(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    done = lettered(sheet, ("A", "B", "D"))
    return (
        None if done is None else (done[0], named(sheet, done[1][2]), "letter skipped")
    )


def start_without_end(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    at = one(rng, inner(sheet)) if plain(sheet) else None
    if at is None:
        return None
    return with_form(sheet, at, repeat_start=True), named(sheet, at), "|: alone"


def second_end(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    places = inner(sheet) if plain(sheet) and not sheet.bars[0].is_pickup else []
    if len(places) < 6:
        return None
    first, second = places[1], places[-1]
    done = with_form(with_form(sheet, first, repeat_end=2), second, repeat_end=2)
    return done, named(sheet, second), ":| twice, no |:"


def second_without_first(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    at = one(rng, inner(sheet)) if plain(sheet) else None
    if at is None:
        return None
    done = with_form(sheet, at, ending=(2,), ending_starts=True)
    return done, named(sheet, at), "[2 alone"


def first_without_second(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    if not plain(sheet) or sheet.bars[0].is_pickup:
        return None
    last = len(sheet.bars) - 1
    done = with_form(sheet, last, ending=(1,), ending_starts=True, repeat_end=2)
    return done, named(sheet, last), "[1 at the end"


def first_without_repeat(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    places = inner(sheet) if plain(sheet) and not sheet.bars[0].is_pickup else []
    if not places:
        return None
    at = rng.choice(places)
    done = with_form(sheet, at, ending=(1,), ending_starts=True)
    done = with_form(done, at + 1, ending=(2,), ending_starts=True)
    return done, named(sheet, at, at + 1), "[1 without :|"


def same_endings(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    places = inner(sheet) if plain(sheet) and not sheet.bars[0].is_pickup else []
    if not places:
        return None
    at = rng.choice(places)
    done = with_form(sheet, at, ending=(2,), ending_starts=True, repeat_end=2)
    done = with_form(done, at + 1, ending=(2,), ending_starts=True)
    return done, named(sheet, at, at + 1), "[2 twice"


def _jump(jump: Jump) -> Callable[[LeadSheet, random.Random], Planted | None]:
    def plant(sheet: LeadSheet, rng: random.Random) -> Planted | None:
        if not plain(sheet) or sheet.bars[0].is_pickup:
            return None
        last = len(sheet.bars) - 1
        return with_form(sheet, last, jump=jump), named(sheet, last), str(jump)

    return plant


def lone_segno(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    at = one(rng, inner(sheet)) if plain(sheet) else None
    if at is None:
        return None
    return with_form(sheet, at, segno=True), named(sheet, at), "segno unused"


def lone_coda(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    at = one(rng, inner(sheet)) if plain(sheet) else None
    if at is None:
        return None
    return with_form(sheet, at, coda=True), named(sheet, at), "coda unused"


def with_pickup(sheet: LeadSheet) -> bool:
    bars = sheet.bars
    return (
        plain(sheet)
        and bars[0].is_pickup
        and len(bars) > 8
        and bars[0].length < bars[0].meter.bar_length
    )


def full_end(sheet: LeadSheet) -> LeadSheet:
    """With a last bar that is full."""
    bar = sheet.bars[-1]
    missing = bar.meter.bar_length - bar.length
    if not missing:
        return sheet
    rest = Rest(bar.length, missing)
    return with_bar(
        sheet,
        len(sheet.bars) - 1,
        evolve(bar, melody=(*bar.melody, rest), length=bar.meter.bar_length),
    )


def repeat_with_pickup(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    if not with_pickup(sheet):
        return None
    sheet = full_end(sheet)
    last = len(sheet.bars) - 1
    done = with_form(with_form(sheet, 0, repeat_start=True), last, repeat_end=2)
    return done, named(sheet, 0, last), "the repeat takes the pickup in"


def capo_with_pickup(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    if not with_pickup(sheet):
        return None
    sheet = full_end(sheet)
    last = len(sheet.bars) - 1
    places = inner(sheet)
    if not places:
        return None
    done = with_form(sheet, places[0], fine=True)
    done = with_form(done, last, jump=Jump("capo", "fine"))
    return done, named(sheet, 0, last), "D.C. to a pickup that does not fit"


def short_end(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    if not with_pickup(sheet):
        return None
    last = len(sheet.bars) - 1
    bar = full_end(sheet).bars[-1]
    gone = F(1) if bars_length(sheet) != 1 else F(1, 2)
    event = bar.melody[-1]
    if len(bar.melody) > 1 or event.duration <= gone:
        return None
    cut = evolve(event, duration=event.duration - gone, value=None)
    if isinstance(cut, Rest):
        cut = evolve(cut, whole_bar=False)
    bar = evolve(replaced(bar, 0, cut), length=bar.length - gone)
    return with_bar(sheet, last, bar), named(sheet, last), "last bar short by another"


def bars_length(sheet: LeadSheet) -> F:
    return sheet.bars[0].length


def pickup_without_chord(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    """The last bar restates the pickup, which has a chord, without the chord."""
    if not with_pickup(sheet) or not untied(sheet.bars[0]):
        return None
    bars = sheet.bars
    pickup = bars[0]
    last = len(bars) - 1
    full = full_end(sheet).bars[-1]
    if any(isinstance(event, Rest) and event.whole_bar for event in pickup.melody):
        return None
    start = full.length - pickup.length
    chord = next((c.symbol for c in bars[last - 1].chords), None)
    if chord is None or start <= 0 or not full.chords:
        return None
    first = full.melody[0]
    if isinstance(first, Rest) or first.tied_from_previous:
        return None
    tail = tuple(evolve(each, onset=each.onset + start) for each in pickup.melody)
    held = evolve(first, onset=F(0), duration=start, value=None, tied_to_next=False)
    end = evolve(full, melody=(held, *tail), chords=full.chords[:1])
    hits = (Hit(F(0), pickup.length),) if rng.random() < 0.5 else ()
    chords = () if hits else (PlacedChord(F(0), chord),)
    opening = evolve(pickup, chords=chords, hits=hits)
    done = with_bar(with_bar(sheet, last, end), 0, opening)
    done = with_form(with_form(done, 1, repeat_start=True), last, repeat_end=2)
    return done, named(sheet, last), "the pickup restated without hit or chord"


# -- chords in their places


def stacked(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    at = one(rng, [i for i in inner(sheet) if len(sheet.bars[i].chords) > 1])
    if at is None:
        return None
    bar = sheet.bars[at]
    onto = evolve(bar.chords[1], onset=bar.chords[0].onset)
    return with_bar(sheet, at, with_chord(bar, 1, onto)), named(sheet, at), "stacked"


def off_beat(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    at = one(rng, [i for i in inner(sheet) if sheet.bars[i].chords])
    if at is None:
        return None
    bar = sheet.bars[at]
    place = rng.randrange(len(bar.chords))
    late = evolve(bar.chords[place], onset=bar.chords[place].onset + F(1, 4))
    return with_bar(sheet, at, with_chord(bar, place, late)), named(sheet, at), "1/16"


def no_chords(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    places = [i for i in inner(sheet) if i + 9 < len(sheet.bars)]
    if not places or any(not bar.chords for bar in sheet.bars[1:]):
        return None
    at = rng.choice(places)
    bars = [
        evolve(bar, chords=()) if at <= index < at + 8 else bar
        for index, bar in enumerate(sheet.bars)
    ]
    done = evolve(sheet, bars=tuple(bars))
    return done, named(sheet, *range(at - 1, at + 8)), "eight bars without a chord"


def late_first_chord(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    if len(sheet.bars) < 12:
        return None
    start = 1 if sheet.bars[0].is_pickup else 0
    if not all(bar.chords for bar in sheet.bars[start : start + 4]):
        return None
    bars = [
        evolve(bar, chords=()) if index < start + 3 else bar
        for index, bar in enumerate(sheet.bars)
    ]
    done = evolve(sheet, bars=tuple(bars))
    return done, named(sheet, 0, 1, 2, 3), "no chord in the first bars"


# -- the notes against all else


def _shift(note: Note, semitones: int) -> Note:
    pitch = note.pitch
    return evolve(
        note,
        pitches=(Pitch(pitch.step, pitch.alter + semitones, pitch.octave),
                 *note.pitches[1:]),
    )  # fmt: skip


def _slips(sheet: LeadSheet, index: int) -> list[tuple[int, int]]:
    """Places in a bar where a sign may be lost or be one too many."""
    bar = sheet.bars[index]
    found = []
    for place, event in enumerate(bar.melody):
        if not isinstance(event, Note) or event.tied_to_next or event.grace:
            continue
        if event.tied_from_previous:
            continue
        found += [(place, by) for by in (-1, 1) if abs(event.pitch.alter + by) <= 1]
    return found


def _same_as(sheet: LeadSheet, index: int) -> list[int]:
    bars = sheet.bars

    def music(bar: Bar) -> object:
        return (
            tuple(
                (e.onset, e.duration, e.pitch.midi if isinstance(e, Note) else None)
                for e in bar.melody
            ),
            bar.chords,
        )

    return [
        i
        for i, bar in enumerate(bars)
        if i != index and music(bar) == music(bars[index])
    ]


def parallel_slip(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    """A semitone off what every parallel bar has, in a stretch that comes again."""
    places = [i for i in inner(sheet) if in_likeness(sheet, i)]
    at = one(rng, [i for i in places if _slips(sheet, i)])
    if at is None:
        return None
    place, by = rng.choice(_slips(sheet, at))
    bar = sheet.bars[at]
    slipped = replaced(bar, place, _shift(bar.melody[place], by))  # type: ignore[arg-type]
    return with_bar(sheet, at, slipped), named(sheet, at, *_same_as(sheet, at)), f"{by}"


def in_likeness(sheet: LeadSheet, index: int) -> bool:
    """Whether a bar comes again with at least two bars before and after it."""
    return any(
        all(
            0 <= other + step < len(sheet.bars)
            and other + step in _same_as(sheet, index + step)
            for step in (-2, -1, 1, 2)
        )
        for other in _same_as(sheet, index)
        if index - 2 >= 0 and index + 2 < len(sheet.bars)
    )


def chord_tone_slip(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    """A chord's third or seventh in the melody, a quarter note or longer, that lost or
    got a sign."""
    found = []
    for index in inner(sheet):
        bar = sheet.bars[index]
        for place, by in _slips(sheet, index):
            note = bar.melody[place]
            under = [c for c in bar.chords if c.onset <= note.onset]
            if not under or note.duration < 1:
                continue
            chord = under[-1].symbol
            if isinstance(chord, Chord) and note.pitch.pitch_class in [  # type: ignore[union-attr]
                tone.pitch_class for tone in chord.guide_tones
            ]:
                found.append((index, place, by))
    if not found:
        return None
    at, place, by = rng.choice(found)
    bar = sheet.bars[at]
    slipped = replaced(bar, place, _shift(bar.melody[place], by))  # type: ignore[arg-type]
    return with_bar(sheet, at, slipped), named(sheet, at), f"{bar.melody[place]} {by}"


def any_slip(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    """Any note on any place that lost or got a sign."""
    found = [(i, *slip) for i in inner(sheet) for slip in _slips(sheet, i)]
    if not found:
        return None
    at, place, by = rng.choice(found)
    bar = sheet.bars[at]
    slipped = replaced(bar, place, _shift(bar.melody[place], by))  # type: ignore[arg-type]
    return with_bar(sheet, at, slipped), named(sheet, at), f"{bar.melody[place]} {by}"


def octave_slip(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    """A note an octave off, with a neighbour on each side that is a step or third."""
    found = []
    for index in inner(sheet):
        bar = sheet.bars[index]
        for place in range(1, len(bar.melody) - 1):
            three = bar.melody[place - 1 : place + 2]
            if not untied(bar) or not all(isinstance(each, Note) for each in three):
                continue
            before, note, after = (each.pitch.midi for each in three)  # type: ignore[union-attr]
            for by in (-1, 1):
                if (before - note) * by <= 0 and (after - note) * by <= 0:
                    continue
                if abs(before - note) <= 4 and abs(after - note) <= 4:
                    found.append((index, place, by))
    if not found:
        return None
    at, place, by = rng.choice(found)
    bar = sheet.bars[at]
    note = bar.melody[place]
    pitch = note.pitch  # type: ignore[union-attr]
    moved = evolve(note, pitches=(Pitch(pitch.step, pitch.alter, pitch.octave + by),))
    return with_bar(sheet, at, replaced(bar, place, moved)), named(sheet, at), f"{by}"


def wide_octave_slip(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    """A leap beyond a ninth that comes straight back."""
    found = []
    for index in inner(sheet):
        bar = sheet.bars[index]
        for place in range(1, len(bar.melody) - 1):
            three = bar.melody[place - 1 : place + 2]
            if not untied(bar) or not all(isinstance(each, Note) for each in three):
                continue
            before, note, after = (each.pitch.midi for each in three)  # type: ignore[union-attr]
            for by in (-12, 12):
                if min(abs(note + by - before), abs(note + by - after)) > 14:
                    continue
                if abs(note + by - before) >= 13 and abs(note + by - after) >= 10:
                    found.append((index, place, by // 12))
    if not found:
        return None
    at, place, by = rng.choice(found)
    bar = sheet.bars[at]
    note = bar.melody[place]
    pitch = note.pitch  # type: ignore[union-attr]
    moved = evolve(note, pitches=(Pitch(pitch.step, pitch.alter, pitch.octave + by),))
    return with_bar(sheet, at, replaced(bar, place, moved)), named(sheet, at), f"{by}"


def _plain_chord(sheet: LeadSheet, rng: random.Random) -> tuple[int, int] | None:
    """A chord with three notes or more under it, alone on its place."""
    found = []
    for index in inner(sheet):
        bar = sheet.bars[index]
        if len({c.onset for c in bar.chords}) < len(bar.chords):
            continue
        for place, placed in enumerate(bar.chords):
            end = (
                bar.chords[place + 1].onset
                if place + 1 < len(bar.chords)
                else bar.length
            )
            notes = {
                e.pitch.pitch_class
                for e in bar.melody
                if isinstance(e, Note) and placed.onset <= e.onset < end
            }
            chord = placed.symbol
            if isinstance(chord, Chord) and len(notes) > 1 and chord.bass is None:
                found.append((index, place))
    return rng.choice(found) if found else None


def chord_root(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    """The root's sign lost, or one too many."""
    found = _plain_chord(sheet, rng)
    if found is None:
        return None
    at, place = found
    bar = sheet.bars[at]
    chord = bar.chords[place].symbol
    assert isinstance(chord, Chord)
    choices = [by for by in (-1, 1) if abs(chord.root.alter + by) <= 1]
    root = NoteName(chord.root.step, chord.root.alter + rng.choice(choices))
    wrong = PlacedChord(bar.chords[place].onset, Chord(root, chord.quality))
    done = with_bar(sheet, at, with_chord(bar, place, wrong))
    return done, named(sheet, at), f"{wrong.symbol} for {chord}"


_QUALITIES = {
    "1 3 5": ("1 b3 5",),
    "1 b3 5": ("1 3 5",),
    "1 3 5 b7": ("1 b3 5 b7", "1 3 5 7"),
    "1 b3 5 b7": ("1 3 5 7",),
    "1 3 5 7": ("1 b3 5 b7",),
    "1 3 5 6": ("1 b3 5 6",),
    "1 b3 5 6": ("1 3 5 6",),
}


def chord_quality(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    """Minor for major or the like, where the melody has the third or the seventh that
    the chord has not."""
    found = []
    for index in inner(sheet):
        bar = sheet.bars[index]
        if len({c.onset for c in bar.chords}) < len(bar.chords):
            continue
        for place, placed in enumerate(bar.chords):
            chord = placed.symbol
            if not isinstance(chord, Chord) or chord.bass is not None:
                continue
            end = (
                bar.chords[place + 1].onset
                if place + 1 < len(bar.chords)
                else bar.length
            )
            for formula in _QUALITIES.get(chord.quality.formula, ()):
                wrong = Chord(chord.root, Quality.from_formula(formula))
                lost = chord.pitch_classes - wrong.pitch_classes
                if any(
                    isinstance(e, Note) and e.pitch.pitch_class in lost
                    and placed.onset <= e.onset < end and e.duration >= 1
                    for e in bar.melody
                ):  # fmt: skip
                    found.append((index, place, wrong))
    if not found:
        return None
    at, place, wrong = rng.choice(found)
    bar = sheet.bars[at]
    done = with_bar(
        sheet, at, with_chord(bar, place, evolve(bar.chords[place], symbol=wrong))
    )
    return done, named(sheet, at), f"{wrong} for {bar.chords[place].symbol}"


# -- keys


def _moved(bar: Bar, old: Key, new: Key) -> Bar:
    """A bar in another key, under the signature that it had."""
    steps = new.tonic.pitch_class - old.tonic.pitch_class
    steps -= 12 if steps > 6 else 0

    def note(event: Note | Rest) -> Note | Rest:
        if isinstance(event, Rest):
            return event
        names = [
            NoteName.from_fifths(p.fifths + new.tonic.fifths - old.tonic.fifths)
            for p in event.pitches
        ]
        return evolve(
            event,
            pitches=tuple(
                Pitch.nearest(name, p.midi + steps)
                for name, p in zip(names, event.pitches, strict=True)
            ),
        )

    return evolve(
        bar,
        melody=tuple(note(event) for event in bar.melody),
        chords=tuple(
            evolve(c, symbol=c.symbol.into_key(old, new))
            if isinstance(c.symbol, Chord)
            else c
            for c in bar.chords
        ),
    )


def key_change(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    """Twelve bars in another key under the old signature."""
    key = sheet.bars[0].key
    if len(sheet.bars) < 28 or any(bar.key != key for bar in sheet.bars):
        return None
    by = rng.choice([n for n in (-4, -3, 3, 4) if abs(key.signature + n) <= 6])
    new = Key.from_signature(key.signature + by, key.mode)
    at = rng.choice((8, 16))
    bars = [
        _moved(bar, key, new) if at <= index < at + 12 else bar
        for index, bar in enumerate(sheet.bars)
    ]
    done = evolve(sheet, bars=tuple(bars))
    return done, named(sheet, *range(at - 2, at + 4)), f"{key} to {new}"


def wrong_signature(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    key = sheet.bars[0].key
    if len(sheet.bars) < 16 or any(bar.key != key for bar in sheet.bars):
        return None
    by = rng.choice([n for n in (-3, -2, 2, 3) if abs(key.signature + n) <= 6])
    wrong = Key.from_signature(key.signature + by, key.mode)
    bars = tuple(evolve(bar, key=wrong) for bar in sheet.bars)
    return evolve(sheet, bars=bars), named(sheet, 0, 1), f"{wrong} for {key}"


# -- like places and pushes


def parallel_note(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    """One note a step off in a bar of a section that comes again."""
    places = [
        i for i in inner(sheet) if in_likeness(sheet, i) and untied(sheet.bars[i])
    ]
    at = one(rng, places)
    if at is None:
        return None
    bar = sheet.bars[at]
    notes = [p for p, e in enumerate(bar.melody) if isinstance(e, Note)]
    place = rng.choice(notes)
    note = bar.melody[place]
    scale = bar.key.scale
    pitch = note.pitch  # type: ignore[union-attr]
    up = rng.choice((-1, 1))
    letters = [name.step for name in scale]
    name = scale[(letters.index(pitch.step) + up) % 7]
    moved = evolve(note, pitches=(Pitch.nearest(name, pitch.midi + 2 * up),))
    done = with_bar(sheet, at, replaced(bar, place, moved))
    return done, named(sheet, at, *_same_as(sheet, at)), f"{pitch}"


def parallel_chord(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    """One chord that differs in a section that comes again."""
    places = [i for i in inner(sheet) if in_likeness(sheet, i) and sheet.bars[i].chords]
    at = one(rng, places)
    if at is None:
        return None
    bar = sheet.bars[at]
    place = rng.randrange(len(bar.chords))
    here = bar.chords[place].symbol
    others = [
        c.symbol for b in sheet.bars for c in b.chords
        if isinstance(c.symbol, Chord) and isinstance(here, Chord)
        and c.symbol.root != here.root
    ]  # fmt: skip
    if not others:
        return None
    wrong = evolve(bar.chords[place], symbol=rng.choice(others))
    done = with_bar(sheet, at, with_chord(bar, place, wrong))
    return done, named(sheet, at, *_same_as(sheet, at)), f"{wrong.symbol} for {here}"


def late_push(sheet: LeadSheet, rng: random.Random) -> Planted | None:
    """Hit and melody on the last eighth tied over, the symbol on the next downbeat."""
    found = []
    for index in inner(sheet):
        bar, after = sheet.bars[index], sheet.bars[index + 1]
        last = bar.melody[-1]
        if (
            isinstance(last, Note) and last.tied_to_next
            and last.onset == bar.length - F(1, 2)
            and after.chords and after.chords[0].onset == 0
            and not any(c.onset >= last.onset for c in bar.chords)
        ):  # fmt: skip
            found.append(index)
    at = one(rng, found)
    if at is None:
        return None
    bar, after = sheet.bars[at], sheet.bars[at + 1]
    onset = bar.melody[-1].onset
    first = evolve(bar, hits=(Hit(onset, F(1, 2), tied_to_next=True),))
    second = evolve(after, hits=(Hit(F(0), F(1), tied_from_previous=True),))
    done = with_bar(with_bar(sheet, at, first), at + 1, second)
    return done, named(sheet, at, at + 1), "the symbol after the push"


def _kind(name: str, rules: str, plant: object, *, musical: bool = False) -> Kind:
    return Kind(name, frozenset(rules.split()), plant, musical)  # type: ignore[arg-type]


KINDS = (
    _kind("a bar too short", "bar-short bar-length", short_bar),
    _kind("a bar too long", "bar-length", long_bar),
    _kind("a note missing", "bar-length", gap),
    _kind("notes that overlap", "overlap", overlap),
    _kind("another metre", "meter", wrong_metre),
    _kind("a tie to another note", "tie", tie_elsewhere),
    _kind("half a tie", "tie", half_tie),
    _kind("an empty bar", "empty-bar", empty_bar),
    _kind("a letter twice", "section-letter", repeated_letter),
    _kind("a letter skipped", "section-letter", skipped_letter),
    _kind("start repeat alone", "repeat", start_without_end),
    _kind("end repeat twice", "repeat", second_end),
    _kind("second ending alone", "ending", second_without_first),
    _kind("first ending alone", "ending", first_without_second),
    _kind("first ending, no repeat", "ending", first_without_repeat),
    _kind("two second endings", "ending", same_endings),
    _kind("D.S. without segno", "jump", _jump(Jump("segno"))),
    _kind("al coda without coda", "jump", _jump(Jump("capo", "coda"))),
    _kind("al fine without fine", "jump", _jump(Jump("capo", "fine"))),
    _kind("segno unused", "jump", lone_segno),
    _kind("coda unused", "jump", lone_coda),
    _kind("repeat with pickup", "pickup", repeat_with_pickup),
    _kind("D.C. to a pickup", "pickup", capo_with_pickup),
    _kind("last bar too short", "bar-short bar-length pickup", short_end),
    _kind("pickup without chord", "pickup", pickup_without_chord),
    _kind("chords stacked", "stacked-chords", stacked),
    _kind("chord off the beat", "chord-beat", off_beat),
    _kind("bars without chord", "chord-missing", no_chords),
    _kind("first chord missing", "chord-missing", late_first_chord),
    _kind("slip at a like place", "accidental parallel", parallel_slip, musical=True),
    _kind("chord tone slip", "accidental chord-quality chord-root parallel",
          chord_tone_slip, musical=True),
    _kind("any slip", "accidental chord-quality chord-root parallel", any_slip,
          musical=True),
    _kind("octave slip", "octave", octave_slip, musical=True),
    _kind("wide octave slip", "octave", wide_octave_slip, musical=True),
    _kind("root a semitone off", "chord-root chord-quality parallel", chord_root,
          musical=True),
    _kind("wrong quality", "chord-quality chord-root accidental parallel",
          chord_quality, musical=True),
    _kind("key change unmarked", "key-change", key_change, musical=True),
    _kind("wrong signature", "signature", wrong_signature, musical=True),
    _kind("note unlike its like", "parallel accidental octave", parallel_note,
          musical=True),
    _kind("chord unlike its like", "parallel chord-root chord-quality", parallel_chord,
          musical=True),
    _kind("push before its chord", "push", late_push, musical=True),
)  # fmt: skip


def found_in(sheet: LeadSheet, kind: Kind, bars: frozenset[int] | None) -> bool:
    """Whether a finding of the kind's rules names one of the bars (or any bar)."""
    return any(
        finding.rule in kind.rules
        and finding.severity != "note"
        and (bars is None or finding.bar in bars or finding.bar is None)
        for finding in proofread(sheet, readers=())
    )


def measure(
    charts: Sequence[tuple[str, LeadSheet]], kind: Kind, each: int
) -> Iterator[tuple[str, bool, str]]:
    """Plant in so many charts: the chart, whether it was found, what was planted."""
    done = 0
    for name, sheet in charts:
        if done == each:
            return
        rng = random.Random(f"{kind.name} {name}")
        for _ in range(8):
            planted = kind.plant(sheet, rng)
            if planted is None:
                break
            broken, bars, what = planted
            if found_in(sheet, kind, bars):
                continue
            done += 1
            yield name, found_in(broken, kind, bars), f"bars {sorted(bars)[:3]}: {what}"
            break


def charts_of(folder: Path, fold: str) -> list[tuple[str, LeadSheet]]:
    """The charts, shuffled; only those with an odd or an even number."""
    paths = sorted(folder.glob("*.mxl"))
    paths = [
        path
        for number, path in enumerate(paths, start=1)
        if fold == "all" or (number % 2 == 0) == (fold == "even")
    ]
    random.Random("order").shuffle(paths)
    return [(path.stem, read_lead_sheet(path).sheet) for path in paths]


def unplanted(charts: Sequence[tuple[str, LeadSheet]], show: str) -> None:
    """What is said of the charts as they are."""
    rules: Counter[tuple[str, str]] = Counter()
    for name, sheet in charts:
        for finding in proofread(sheet):
            rules[finding.severity, finding.rule] += 1
            if finding.rule == show:
                print(f"    {name} {finding.severity}: {finding}")
    for severity in ("error", "warning", "query", "note"):
        of_it = {r: n for (s, r), n in rules.items() if s == severity}
        print(f"{severity}: {sum(of_it.values()) / len(charts):.2f} a chart;",
              ", ".join(f"{r} {n}" for r, n in sorted(of_it.items())))  # fmt: skip
    loud = sum(
        n for (s, r), n in rules.items()
        if s in ("error", "warning") and r != "stacked-chords"
    )  # fmt: skip
    print(
        f"errors and warnings besides stacked chords: {loud / len(charts):.2f} a chart"
    )


def speed(charts: Sequence[tuple[str, LeadSheet]], folder: Path) -> None:
    """The time of proofreading against that of reading."""
    data = [(folder / f"{name}.mxl").read_bytes() for name, _ in charts]
    start = time.perf_counter()
    for each in data:
        read_lead_sheet(each)
    reading = time.perf_counter() - start
    start = time.perf_counter()
    for _, sheet in charts:
        proofread(sheet)
    proofreading = time.perf_counter() - start
    print(f"proofreading takes {proofreading / reading:.2f} times as long as reading")


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--charts", type=Path, default=CHARTS)
    parser.add_argument("--each", type=int, default=20)
    parser.add_argument("--fold", choices=("all", "odd", "even"), default="all")
    parser.add_argument("--missed", action="store_true", help="list what was missed")
    parser.add_argument("--only", default="", help="kinds whose name has this")
    parser.add_argument("--show", default="", help="list the findings of a rule")
    options = parser.parse_args()
    if not options.charts.is_dir():
        print(f"no charts in {options.charts}: nothing measured")
        return 0
    charts = charts_of(options.charts, options.fold)
    for musical in (False, True):
        found = total = 0
        for kind in KINDS:
            if kind.musical != musical or options.only not in kind.name:
                continue
            results = list(measure(charts, kind, options.each))
            good = sum(right for _, right, _ in results)
            found, total = found + good, total + len(results)
            print(f"{kind.name:28}{good:4} of {len(results)}")
            if options.missed:
                for name, right, what in results:
                    if not right:
                        print(f"    {name} {what}")
        if total:
            name = "musical" if musical else "structural"
            print(f"{name}: {found} of {total}, {found / total:.1%}\n")
    if not options.only:
        unplanted(charts, options.show)
        speed(charts, options.charts)
    return 0


if __name__ == "__main__":
    sys.exit(main())
