"""The lines that sound: melody, guide tones, bass, hits and clicks.

Velocities of dynamics: The abc music standard 2.1, section 4.14.  Percussion keys:
General MIDI System Level 1.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from fractions import Fraction
from typing import Final, Literal

from attrs import evolve, frozen

from ..chords import ChordSymbol, NoChord
from ..leadsheet.model import Note
from ._played import Feel, Played, PlayedBar, swung
from ._voicing import bass_key, guide_keys

__all__ = ("Sound", "accompaniment", "melody", "percussion", "words")

_VELOCITIES: Final = {
    "pppp": 20, "ppp": 30, "pp": 45, "p": 60, "mp": 75, "mf": 90, "f": 105, "ff": 120,
    "fff": 124, "ffff": 127,
}  # fmt: skip
_USUAL: Final = 90
_ACCENT: Final = 20
_ACCENTS: Final = frozenset({"accent", "strong-accent"})
_SHORT: Final = frozenset({"staccato", "staccatissimo", "strong-accent", "spiccato"})
_GRACE: Final = Fraction(1, 8)
_COMPING: Final = 62
_BASS: Final = 80
_HIT: Final = 110
_SIDE_STICK, _SNARE = 37, 38
_CLICK: Final = Fraction(1, 4)
_ZERO: Final = Fraction(0)

TempoAt = Callable[[Fraction], Fraction]


@frozen(order=False)
class Sound:
    """A key that sounds from a time to another, in quarter notes, and how loud."""

    start: Fraction
    end: Fraction
    key: int
    velocity: int


def _edges(notes: Iterable[tuple[Fraction, Fraction]]) -> set[Fraction]:
    return {edge for onset, length in notes for edge in (onset, onset + length)}


def melody(
    played: Played,
    feel: Feel,
    tempo: TempoAt,
    *,
    line: Literal["melody", "counterline"] = "melody",
) -> list[Sound]:
    """The notes of the melody or counterline: tied ones are one note, grace notes come
    before the beat, at the cost of the note before."""
    sounds: list[Sound] = []
    held: dict[int, int] = {}  # key: place of the sound that a tie goes on with
    loud = _USUAL
    order = sorted((*played.bars, *played.leads_back), key=lambda each: each.start)
    for each in order:
        bar = each.bar
        ratio = feel.ratio(tempo(each.start))
        if not each.sung:
            held = {}
            continue
        events = bar.melody if line == "melody" else bar.counterline
        notes = [event for event in events if isinstance(event, Note)]
        when = swung(
            each, _edges((e.onset, e.duration) for e in events), ratio, feel.pair
        )
        loudness = {
            direction.onset: _VELOCITIES[direction.text]
            for direction in bar.directions
            if direction.kind == "dynamics" and direction.text in _VELOCITIES
        }
        graces: list[Note] = []
        rested = {e.onset for e in events if not isinstance(e, Note)}
        for note in notes:
            if note.onset in rested and not note.grace:
                held = {}
            loud = next(
                (loudness[at] for at in sorted(loudness, reverse=True)
                 if at <= note.onset), loud,
            )  # fmt: skip
            start = each.start + when[note.onset]
            if note.grace:
                graces.append(note)
                continue
            end = each.start + when[note.onset + note.duration]
            sounds += _graces(graces, start, loud, sounds)
            graces = []
            held = _sound(note, start, end, loud, sounds, held)
    return sounds


def _graces(
    graces: Sequence[Note], start: Fraction, loud: int, before: list[Sound]
) -> Iterator[Sound]:
    if not graces:
        return
    first = max(_ZERO, start - _GRACE * len(graces))
    for place in range(len(before) - 1, max(-1, len(before) - 8), -1):
        if before[place].start < first < before[place].end:
            before[place] = evolve(before[place], end=first)
    step = (start - first) / len(graces)
    for number, grace in enumerate(graces):
        at = first + step * number
        for pitch in grace.pitches:
            if step and 0 <= pitch.midi < 128:
                yield Sound(at, at + step, pitch.midi, loud)


def _sound(
    note: Note,
    start: Fraction,
    end: Fraction,
    loud: int,
    sounds: list[Sound],
    held: dict[int, int],
) -> dict[int, int]:
    """Add a note, or lengthen those that are tied to it; what is held on from it."""
    kinds = {mark.kind for mark in note.marks}
    velocity = min(127, loud + _ACCENT) if kinds & _ACCENTS else loud
    if kinds & _SHORT and not note.tied_to_next:
        end = start + (end - start) / 2
    going_on: dict[int, int] = {}
    for key in dict.fromkeys(pitch.midi for pitch in note.pitches):
        if not 0 <= key < 128:
            continue
        place = held.get(key) if note.tied_from_previous else None
        if place is not None and sounds[place].end == start:
            sounds[place] = evolve(sounds[place], end=end)
        else:
            place = len(sounds)
            sounds.append(Sound(start, end, key, velocity))
        if note.tied_to_next:
            going_on[key] = place
    return going_on


def words(played: Played, feel: Feel, tempo: TempoAt) -> Iterator[tuple[Fraction, str]]:
    """The syllables, each at its note; verse after verse as the bars come again."""
    for each in (*played.bars, *played.leads_back):
        if not each.sung:
            continue
        line = each.bar.melody
        ratio = feel.ratio(tempo(each.start))
        when = swung(
            each, _edges((e.onset, e.duration) for e in line), ratio, feel.pair
        )
        for event in line:
            lyrics = event.lyrics if isinstance(event, Note) else ()
            sung = [lyric for lyric in lyrics if lyric.text]
            if sung:
                verse = min(each.time, max(lyric.verse for lyric in sung))
                chosen = next((x for x in sung if x.verse == verse), sung[0])
                hyphen = "-" if chosen.syllabic in ("begin", "middle") else ""
                yield each.start + when[event.onset], chosen.text + hyphen


def accompaniment(
    played: Played, feel: Feel, tempo: TempoAt
) -> tuple[list[Sound], list[Sound]]:
    """The guide tones and the bass.  A chord sounds until the next, struck anew in each
    bar unless it came less than a beat before; where the rhythm section has hits, the
    guide tones have their rhythm."""
    chords: list[Sound] = []
    basses: list[Sound] = []
    now: ChordSymbol = NoChord()
    keys: tuple[int, ...] = ()
    bass: int | None = None
    for each in played.bars:
        bar = each.bar
        ratio = feel.ratio(tempo(each.start))
        placed = {chord.onset: chord.symbol for chord in bar.chords}
        times = swung(each, {*placed, _ZERO, bar.length}, ratio, feel.pair)
        changes = sorted({_ZERO, *placed})
        sounding: list[tuple[Fraction, tuple[int, ...]]] = []
        for onset, after in zip(changes, [*changes[1:], bar.length], strict=True):
            start, end = each.start + times[onset], each.start + times[after]
            carried = onset not in placed
            now = placed.get(onset, now)
            if not carried or not keys:
                keys = guide_keys(now, keys) or keys
                low = bass_key(now, bass)
                bass = low if low is not None else bass
            silent = isinstance(now, NoChord) or bass is None
            sounding.append((start, () if silent else keys))
            pushed = basses[-1].start if basses and basses[-1].end == start else None
            if silent or bass is None:
                continue
            if carried and pushed is not None and start - pushed < 1:
                chords = [_longer(s, pushed, start, end) for s in chords]
                basses[-1] = evolve(basses[-1], end=end)
                continue
            basses.append(Sound(start, end, bass, _BASS))
            if not bar.hits:
                chords += [Sound(start, end, key, _COMPING) for key in keys]
        chords += _on_hits(each, feel, ratio, sounding)
    return chords, basses


def _longer(sound: Sound, start: Fraction, old: Fraction, new: Fraction) -> Sound:
    pushed = sound.start == start and sound.end == old
    return evolve(sound, end=new) if pushed else sound


def _attacks(
    each: PlayedBar, feel: Feel, ratio: Fraction
) -> Iterator[tuple[Fraction, Fraction, bool]]:
    """When the hits of a bar start and end, and whether they are accented; those tied
    from another are no attack."""
    bar = each.bar
    when = swung(
        each, _edges((hit.onset, hit.duration) for hit in bar.hits), ratio, feel.pair
    )
    for hit in bar.hits:
        if not hit.tied_from_previous:
            accented = any(mark.kind in _ACCENTS for mark in hit.marks)
            start = each.start + when[hit.onset]
            yield start, each.start + when[hit.onset + hit.duration], accented


def _on_hits(
    each: PlayedBar,
    feel: Feel,
    ratio: Fraction,
    sounding: Sequence[tuple[Fraction, tuple[int, ...]]],
) -> Iterator[Sound]:
    """The guide tones in the rhythm of the hits; `sounding` are those of the bar, each
    from a time on."""
    for start, end, accented in _attacks(each, feel, ratio):
        keys = next((now for at, now in reversed(sounding) if at <= start), ())
        for key in keys:
            yield Sound(start, end, key, min(127, _HIT + 10 * accented))


def percussion(played: Played, feel: Feel, tempo: TempoAt) -> Iterator[Sound]:
    """The clicks of the count-in, and the hits."""
    for click in played.clicks:
        yield Sound(click, click + _CLICK, _SIDE_STICK, 100)
    for each in played.bars:
        if each.bar.hits:
            ratio = feel.ratio(tempo(each.start))
            for start, _, accented in _attacks(each, feel, ratio):
                yield Sound(
                    start, start + _CLICK, _SNARE, min(127, _HIT + 15 * accented)
                )
