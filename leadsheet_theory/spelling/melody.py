"""Which name a note takes: alone in a key, in a melody, in a piece of unknown key.

The search and its weights are in ``_note_search`` and ``_weights``.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import isfinite
from typing import Final, Literal, Protocol, runtime_checkable

from attrs import frozen

from .._arguments import check_choice, check_length
from .._doors import door
from ..errors import (
    LengthMismatchError,
    PitchRangeError,
    RhythmError,
)
from ..key import Key, as_key, keys_at
from ..pitch import NoteName, Pitch
from ._note_search import (
    best_places,
    moment_signatures,
    signatures_of_bars,
)
from .chord_tones import own_names
from .key_finding import HeardNote, find_key

__all__ = (
    "SpelledNotes",
    "spell_melody",
    "spell_note",
    "spell_notes",
)


@frozen(order=False)
class SpelledNotes:
    """What :func:`spell_notes` found: the pitch of each note, in the order given,
    and the key of each bar."""

    pitches: tuple[Pitch, ...]
    keys: tuple[Key, ...]


@runtime_checkable
class _Toned(Protocol):
    """What has tones, such as a chord symbol."""

    @property
    def tones(self) -> tuple[NoteName, ...]:
        """The tones, spelled."""
        ...


_BAR_OF_NOTES: Final = 8


# the flattest name of the twelve, above the signature: in minor, and otherwise
_WINDOW: Final = {True: -2, False: -3}


@door
def spell_note(midi: int, /, *, key: Key | str) -> Pitch:
    """The usual name of a single note in a key, nothing else known.

    A note of the key keeps its name.  Of the others, ♯1, ♯4 and ♯5 are raised in
    major and ♭3 and ♭7 lowered; in minor all but ♭2 are raised.  (These are the
    commoner names in melodies, counted over the 180 OpenEWLD lead sheets.)

    >>> str(spell_note(63, key="Bb major"))
    'Eb4'
    >>> [str(spell_note(n, key=Key.parse("A minor"))) for n in (66, 68, 70)]
    ['F#4', 'G#4', 'Bb4']

    Raises:
        PitchRangeError: if `midi` is not 0 to 127.
        KeySyntaxError: if the text of a key names none.
    """
    _check_midi((midi,))
    key = as_key(key)
    minor = key.mode in ("minor", "aeolian")
    first = key.signature + _WINDOW[minor]
    return _pitch(first + (7 * midi - first) % 12, midi)


@door
def spell_melody(
    midi: Sequence[int],
    /,
    *,
    key: Key | str | Sequence[Key | str],
    bars: Sequence[int] | None = None,
    chords: Sequence[_Toned | Sequence[NoteName]] | None = None,
    doubles: Literal["respell", "keep"] = "respell",
) -> tuple[Pitch, ...]:
    """The names of a melody's notes in a known key, the whole tune weighed at once.

    Root, third, fifth and seventh of the chord are named as the chord names them
    (:func:`~.chord_tones.own_names`).  For other notes are weighed the key, the key of
    the moment, the chord and the next one, the direction of chromatic steps, the notes
    near by and the intervals between neighbours; a repeated note keeps its name.  A
    note of the key of the moment keeps the name it has there.

    Args:
        midi: the notes in order, as MIDI numbers; a tied note counts once.
        key: the key, or the key at each note; a key may be given as its text.
        bars: the number of the bar that each note stands in.
        chords: the chord symbol at each note (N.C. where there is none), or its
            tones, spelled, the root first.
        doubles: write plain names for double accidentals, or keep them.

    Raises:
        LengthMismatchError: if `key`, `bars` or `chords` doesn't fit the notes.
        PitchRangeError: if a number is not 0 to 127.

    >>> C = Key.parse("C")
    >>> " ".join(map(str, spell_melody((67, 68, 69, 68, 67, 66, 67), key=C)))
    'G4 G#4 A4 Ab4 G4 F#4 G4'
    >>> from leadsheet_theory.chords import parse_chord
    >>> over = [parse_chord(text) for text in ("E7", "E7", "Am")]
    >>> " ".join(map(str, spell_melody((64, 68, 69), key="C major", chords=over)))
    'E4 G#4 A4'
    """
    _check_midi(midi)
    check_choice("doubles", doubles, ("respell", "keep"))
    count = len(midi)
    keys = keys_at(key, count)
    if bars is None:
        bars = [number // _BAR_OF_NOTES for number in range(count)]
    else:
        check_length("bars", bars, count)
    heard: list[tuple[int, ...]] | None = None
    coming: list[tuple[int, ...]] | None = None
    if chords is not None:
        check_length("chords", chords, count)
        heard = _places_of(
            [each if each.__class__ is tuple else _tones_of(each) for each in chords]
        )
        coming = _coming(heard)
    groups: list[int] = []
    counts: list[list[int]] = []
    tones: list[list[int]] = []
    signatures: list[int] = []
    bar: int | None = None
    chord: tuple[int, ...] = ()
    for number, sound in enumerate(midi):
        if bars[number] != bar:
            bar = bars[number]
            chord = ()
            counts.append([0] * 12)
            tones.append([])
            signatures.append(keys[number].signature)
        here = counts[-1]
        here[7 * sound % 12] += 1
        if heard is not None and heard[number] != chord:
            chord = heard[number]
            tones[-1].extend(chord)
            for tone in chord:
                here[tone % 12] += 1
        groups.append(len(counts) - 1)
    moments = moment_signatures(counts, signatures, tones)
    written = [signatures[group] for group in groups]
    places = best_places(
        midi,
        [moments[group] for group in groups],
        chords=heard,
        next_chords=coming,
        named=None if heard is None else _named(midi, heard, written),
    )
    if doubles == "respell":
        places = [
            place if -9 < place < 13 else place + (12 if place < 0 else -12)
            for place in places
        ]
    return tuple(map(_pitch, places, midi))


def _named(
    midi: Sequence[int], chords: Sequence[tuple[int, ...]], signatures: Sequence[int]
) -> list[int | None]:
    """The names that the chords give their own tones."""
    named: list[int | None] = [None] * len(midi)
    chord: tuple[int, ...] | None = None
    signature = 0
    own: tuple[int | None, ...] = ()
    last = len(midi) - 1
    for index, number in enumerate(midi):
        if chords[index] is not chord or signatures[index] != signature:
            chord, signature = chords[index], signatures[index]
            own = own_names(chord, signature) if chord else (None,) * 12
        name = own[number % 12]
        if name is None:
            continue
        if (
            0 < index < last
            and midi[index - 1] == number + 1 == midi[index + 1]
            and chord
            and name - chord[0] in (-2, -3, -6)
        ):
            continue
        named[index] = name
    return named


@door
def spell_notes(
    notes: Sequence[HeardNote],
    /,
    *,
    keys: Sequence[Key] | None = None,
) -> SpelledNotes:
    """The names of all notes of a piece in one or more voices.

    Without `keys` nothing is known but the notes: the key (or, where much tells
    for a change, several keys) and the names are found together.

    Args:
        notes: the notes, in any order; tied notes as one.
        keys: the key of each bar, from bar 0.

    Raises:
        LengthMismatchError: if a note stands in a bar that has no key.
        PitchRangeError: if a number is not 0 to 127.
        RhythmError: if an onset or a duration is no finite number.

    >>> take = [HeardNote(n, i, 1, i // 4) for i, n in
    ...         enumerate((62, 64, 66, 67, 69, 71, 73, 74))]
    >>> found = spell_notes(take)
    >>> str(found.keys[0]), " ".join(map(str, found.pitches))
    ('D major', 'D4 E4 F#4 G4 A4 B4 C#5 D5')
    """
    if not notes:
        return SpelledNotes((), tuple(keys or ()))
    _check_heard(notes)
    order = sorted(range(len(notes)), key=lambda at: (notes[at].onset, notes[at].midi))
    heard = [notes[at] for at in order]
    bars = max(note.bar for note in notes) + 1
    counts = [[0] * 12 for _ in range(bars)]
    for note in heard:
        counts[note.bar][7 * note.midi % 12] += 1
    if keys is None:
        keys = _keys_of(heard, counts)
    elif len(keys) < bars:
        raise LengthMismatchError(f"{len(keys)} keys for {bars} bars")
    moments = moment_signatures(counts, [keys[bar].signature for bar in range(bars)])
    midi = [note.midi for note in heard]
    voices = [note.voice for note in heard]
    places = best_places(
        midi,
        [moments[note.bar] for note in heard],
        voices=voices,
        sounding=_sounding(heard),
    )
    pitches: list[Pitch] = [_pitch(0, 60)] * len(notes)
    for at, place, number in zip(order, places, midi, strict=True):
        pitches[at] = _pitch(place, number)
    return SpelledNotes(tuple(pitches), tuple(keys))


def _check_heard(notes: Sequence[HeardNote]) -> None:
    """Let pass only notes with a number, a time and a bar."""
    _check_midi([note.midi for note in notes])
    if not isfinite(sum(note.onset + note.duration for note in notes)):
        raise RhythmError(
            "notes without a time: expected finite numbers",
            *next(
                (note.onset, note.duration)
                for note in notes
                if not isfinite(note.onset + note.duration)
            ),
        )
    if min(note.bar for note in notes) < 0:
        raise LengthMismatchError("a note stands before bar 0")


def _keys_of(heard: Sequence[HeardNote], counts: list[list[int]]) -> tuple[Key, ...]:
    """The key of each bar: one for the piece, or one for each section of it."""
    signatures = signatures_of_bars(counts)
    if len(set(signatures)) == 1:
        return (find_key(heard),) * len(counts)
    sections: list[list[HeardNote]] = []
    before: int | None = None
    starts: list[int] = []
    for bar, signature in enumerate(signatures):
        if signature != before:
            starts.append(bar)
            sections.append([])
            before = signature
    section_of = [0] * len(counts)
    for number, start in enumerate(starts):
        for bar in range(start, len(counts)):
            section_of[bar] = number
    for note in heard:
        sections[section_of[note.bar]].append(note)
    found = [find_key(section) if section else None for section in sections]
    known = next((key for key in found if key is not None), Key(NoteName("C")))
    keys: list[Key] = []
    for bar in range(len(counts)):
        known = found[section_of[bar]] or known
        keys.append(known)
    return tuple(keys)


def _sounding(heard: Sequence[HeardNote]) -> list[int]:
    """The pitch classes that sound with each note, as a mask of 12 bits."""
    masks: list[int] = []
    held: list[tuple[float, int]] = []
    at = 0
    while at < len(heard):
        onset = heard[at].onset
        end = at
        while end < len(heard) and heard[end].onset == onset:
            note = heard[end]
            held.append((onset + note.duration, 1 << note.midi % 12))
            end += 1
        held = [(until, bit) for until, bit in held if until > onset + 1e-6]
        mask = 0
        for _, bit in held:
            mask |= bit
        masks.extend([mask] * (end - at))
        at = end
    return masks


def _tones_of(chord: _Toned | Sequence[NoteName]) -> tuple[NoteName, ...]:
    return chord.tones if isinstance(chord, _Toned) else tuple(chord)


def _coming(chords: list[tuple[int, ...]]) -> list[tuple[int, ...]]:
    """At each note the next chord that is another."""
    coming: list[tuple[int, ...]] = [()] * len(chords)
    for at in range(len(chords) - 2, -1, -1):
        same = chords[at + 1] == chords[at]
        coming[at] = coming[at + 1] if same else chords[at + 1]
    return coming


def _places_of(chords: Sequence[tuple[NoteName, ...]]) -> list[tuple[int, ...]]:
    """The places of each chord's tones, worked out where the chord changes."""
    places: list[tuple[int, ...]] = []
    before: tuple[NoteName, ...] | None = None
    now: tuple[int, ...] = ()
    for chord in chords:
        if chord is not before:
            before = chord
            now = tuple(tone.fifths for tone in chord)
        places.append(now)
    return places


@lru_cache(maxsize=4096)
def _pitch(place: int, midi: int) -> Pitch:
    return Pitch.nearest(NoteName.from_fifths(place), midi)


def _check_midi(midi: Sequence[int]) -> None:
    for number in midi:
        if not 0 <= number <= 127:
            raise PitchRangeError(f"{number} is no MIDI number: expected 0 to 127")
