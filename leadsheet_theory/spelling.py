"""Which name a note takes: in a key, in a melody, in a transposed part.

Sources: that a part takes the enharmonic key with fewer signs, and that
sharps may become naturals and back while the letters move together,
C. Schmidt-Jones, *Understanding Basic Music Theory*, "Transposition: Changing
Keys" and "Enharmonic Spelling"; the fifteen usual signatures, C. E. Gardner,
*Essentials of Music Theory*.  At six signs either way, following the source's
side is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache
from math import isfinite
from typing import Final, Literal, get_args

from attrs import frozen

from ._arguments import check_choice
from ._spelling_notes import (
    best_places,
    moment_signatures,
    signature_of,
    signatures_of_bars,
)
from ._spelling_roots import best_roots
from .errors import (
    EmptyMelodyError,
    EnharmonicError,
    LengthMismatchError,
    PitchRangeError,
    RhythmError,
)
from .interval import Interval
from .key import Key
from .pitch import NoteName, Pitch, PitchClass

__all__ = (
    "ChordColour",
    "HeardChord",
    "HeardNote",
    "RespelledNote",
    "SixSigns",
    "SpelledNotes",
    "WrittenMelody",
    "find_key",
    "spell_chord_roots",
    "spell_melody",
    "spell_note",
    "spell_notes",
    "transpose_melody",
    "written_interval",
    "written_key",
    "written_keys",
)

SixSigns = Literal["source", "sharps", "flats"]
"""How to decide between six sharps and six flats: as the source, or always alike."""

ChordColour = Literal[
    "major", "minor", "dominant", "half-diminished", "diminished", "augmented",
    "suspended",
]  # fmt: skip
"""What kind of chord stands on a root, as far as spelling goes."""

_COLOURS: Final[tuple[ChordColour, ...]] = get_args(ChordColour)
_DIMINISHED_SECOND: Final = Interval(1, 0)


def written_key(
    key: Key, by: Interval, /, *, six_signs: SixSigns = "source", most: int = 6
) -> Key:
    """The key in which a part is written that lies an interval above the source.

    Of the keys that sound right it is the one with fewer signs in its
    signature; between six sharps and six flats it stays on the side of the
    source (or of the plain transposition, if the source has no signs).

    Args:
        key: the source's key.
        by: the interval from the source up to the written part.
        six_signs: ``sharps`` (strings, guitar) or ``flats`` (brass, woodwind) settles
            six signs always alike.
        most: so many signs are kept before changing to the enharmonic key (5, 6
            or 7); at 7 the key keeps the interval's own letter.

    >>> M2, M6 = Interval.parse("M2"), Interval.parse("M6")
    >>> str(written_key(Key.parse("Eb"), M2)), str(written_key(Key.parse("B"), M2))
    ('F major', 'Db major')
    >>> str(written_key(Key.parse("E"), M2)), str(written_key(Key.parse("A"), M6))
    ('F# major', 'F# major')
    >>> str(written_key(Key.parse("E"), M2, six_signs="flats"))
    'Gb major'
    """
    check_choice("six_signs", six_signs, get_args(SixSigns))
    signs = key.signature + by.fifths
    if abs(signs) <= 5 or (abs(signs) <= most and abs(signs) == 7):
        return _key(signs, key)
    fewest = (signs + 5) % 12 - 5
    if fewest != 6:
        return _key(fewest, key)
    if six_signs == "source":
        side = key.signature or signs
    else:
        side = 1 if six_signs == "sharps" else -1
    return _key(6 if side > 0 else -6, key)


def written_keys(
    keys: Sequence[Key],
    by: Interval,
    /,
    *,
    six_signs: SixSigns = "source",
    most: int = 6,
) -> tuple[Key, ...]:
    """The written key for each of a tune's keys, in order.

    As :func:`written_key`, but so that the part doesn't jump from sharps to
    flats needlessly: where six signs either way leave a choice and another
    key of the tune must change its side, they go along with it.

    >>> names = [Key.parse("E"), Key.parse("B"), Key.parse("E")]
    >>> [str(k) for k in written_keys(names, Interval.parse("M2"))]
    ['Gb major', 'Db major', 'Gb major']
    """
    plain = [written_key(key, by, six_signs=six_signs, most=most) for key in keys]
    if six_signs != "source":
        return tuple(plain)
    settled = [
        new
        for key, new in zip(keys, plain, strict=True)
        if abs(new.signature) != 6 and new.signature * key.signature < 0
    ]
    moved = {new.signature > 0 for new in settled}
    if len(moved) != 1:
        return tuple(plain)
    sharps = moved.pop()
    return tuple(
        new.enharmonic(sharps=sharps) if abs(new.signature) == 6 else new
        for new in plain
    )


def written_interval(by: Interval, source: Key, written: Key, /) -> Interval:
    """The interval, in letters too, that leads from a source's key to a part's.

    It sounds like `by`; where the written key is not the plain transposition
    it is the enharmonic interval (a diminished third for a major second).

    >>> str(written_interval(Interval.parse("M2"), Key.parse("B"), Key.parse("Db")))
    'd3'

    Raises:
        EnharmonicError: if the written key does not sound `by` above the source.
    """
    excess = written.signature - source.signature - by.fifths
    turns, rest = divmod(excess, -12)
    if rest or written.mode != source.mode:
        raise EnharmonicError(f"{written} is not {source} transposed by {by}")
    return Interval(by.diatonic + turns, by.chromatic)


@frozen(order=False)
class RespelledNote:
    """A note of a part that did not keep the letter of the interval, and why.

    `index` counts the notes of the passage from 0; `plain` is what the
    interval alone would have given.
    """

    index: int
    plain: Pitch
    written: Pitch
    reason: str

    def __str__(self) -> str:
        return f"{self.written.glyphs}, not {self.plain.glyphs}: {self.reason}"


@frozen(order=False)
class WrittenMelody:
    """A melody as a part's reader sees it, with what was respelled in it."""

    pitches: tuple[Pitch, ...]
    respelled: tuple[RespelledNote, ...] = ()


def transpose_melody(
    pitches: Sequence[Pitch],
    by: Interval,
    /,
    *,
    doubles: Literal["respell", "keep"] = "respell",
) -> WrittenMelody:
    """The pitches moved by an interval, without new double accidentals.

    Give the interval between the two *keys* (:func:`written_interval`), so
    that a part in an enharmonic key moves all its letters together.  Each note
    keeps the letter of that interval, and so its meaning in the key, but a
    note that would take a double sharp or flat where the source has none takes
    its plain name (with ``doubles="keep"`` it keeps its letter).  The same
    source note is always written alike, so ties and repeats hold.

    >>> melody = [Pitch.parse(p) for p in ("A4", "G#4", "A4", "A#4", "B4")]
    >>> part = transpose_melody(melody, Interval.parse("M6"))
    >>> " ".join(map(str, part.pitches))
    'F#5 E#5 F#5 G5 G#5'
    >>> print(part.respelled[0])
    G5, not F𝄪5: no double accidental where the source has none
    """
    check_choice("doubles", doubles, ("respell", "keep"))
    move = _mover(by, doubles == "keep")
    written: list[Pitch] = []
    respelled: list[RespelledNote] = []
    for index, pitch in enumerate(pitches):
        new, plain = move(pitch)
        written.append(new)
        if plain is not None:
            respelled.append(RespelledNote(index, plain, new, NO_DOUBLES))
    return WrittenMelody(tuple(written), tuple(respelled))


NO_DOUBLES: Final = "no double accidental where the source has none"


@lru_cache(maxsize=256)
def _mover(
    by: Interval, keep_doubles: bool
) -> Callable[[Pitch], tuple[Pitch, Pitch | None]]:
    """A function from a pitch to its written pitch and, if it was respelled, the
    plain one."""

    @lru_cache(maxsize=512)
    def move(pitch: Pitch) -> tuple[Pitch, Pitch | None]:
        plain = pitch + by
        if keep_doubles or abs(plain.alter) < 2 or abs(pitch.alter) > 1:
            return plain, None
        return plain + _towards_naturals(plain.alter), plain

    return move


def _towards_naturals(alter: int) -> Interval:
    """The enharmonic step that takes two accidentals off."""
    return _DIMINISHED_SECOND if alter > 0 else -_DIMINISHED_SECOND


def _key(signature: int, like: Key) -> Key:
    return Key.from_signature(signature, like.mode)


@frozen(order=False)
class HeardNote:
    """A note as it sounds, its name unknown.

    `midi` is its MIDI number; `onset` and `duration` are in quarter notes from the
    start of the piece; `bar` counts the bars from 0; notes of one `voice` follow
    one another.
    """

    midi: int
    onset: float
    duration: float
    bar: int = 0
    voice: int = 0


@frozen(order=False)
class SpelledNotes:
    """What :func:`spell_notes` found: the pitch of each note, in the order given,
    and the key of each bar."""

    pitches: tuple[Pitch, ...]
    keys: tuple[Key, ...]


@frozen(order=False)
class HeardChord:
    """A chord as it sounds: its root, its colour and, if it is another, its bass."""

    root: PitchClass
    colour: ChordColour = "major"
    bass: PitchClass | None = None

    def __attrs_post_init__(self) -> None:
        check_choice("colour", self.colour, _COLOURS)


_BAR_OF_NOTES: Final = 8
# the flattest name of the twelve, above the signature: in minor, and otherwise
_WINDOW: Final = {True: -2, False: -3}


def spell_note(midi: int, /, *, key: Key) -> Pitch:
    """The usual name of a single note in a key, nothing else known.

    A note of the key keeps its name.  Of the others, ♯1, ♯4 and ♯5 are raised in
    major and ♭3 and ♭7 lowered; in minor all but ♭2 are raised.  (These are the
    commoner names in melodies, counted over the 180 OpenEWLD lead sheets.)

    >>> str(spell_note(63, key=Key.parse("Bb major")))
    'Eb4'
    >>> [str(spell_note(n, key=Key.parse("A minor"))) for n in (66, 68, 70)]
    ['F#4', 'G#4', 'Bb4']

    Raises:
        PitchRangeError: if `midi` is not 0 to 127.
    """
    _check_midi((midi,))
    minor = key.mode in ("minor", "aeolian")
    first = key.signature + _WINDOW[minor]
    return _pitch(first + (7 * midi - first) % 12, midi)


def spell_melody(
    midi: Sequence[int],
    /,
    *,
    key: Key | Sequence[Key],
    bars: Sequence[int] | None = None,
    chords: Sequence[tuple[NoteName, ...]] | None = None,
) -> tuple[Pitch, ...]:
    """The names of a melody's notes in a known key, the whole tune weighed at once.

    Weighed are the key, the key of the moment, the chord and the next one, the
    direction of chromatic steps, the notes near by and the intervals between
    neighbours; a repeated note keeps its name.  A note of the key of the moment
    keeps the name it has there, unless the chord has another.

    Args:
        midi: the notes in order, as MIDI numbers; a tied note counts once.
        key: the key, or the key at each note.
        bars: the number of the bar that each note stands in.
        chords: the tones of the chord at each note, spelled; empty where there
            is none.

    Raises:
        LengthMismatchError: if `key`, `bars` or `chords` doesn't fit the notes.
        PitchRangeError: if a number is not 0 to 127.

    >>> C = Key.parse("C")
    >>> " ".join(map(str, spell_melody((67, 68, 69, 68, 67, 66, 67), key=C)))
    'G4 G#4 A4 Ab4 G4 F#4 G4'
    """
    _check_midi(midi)
    count = len(midi)
    keys = (key,) * count if isinstance(key, Key) else key
    _check_length("keys", keys, count)
    if bars is None:
        bars = [number // _BAR_OF_NOTES for number in range(count)]
    else:
        _check_length("bars", bars, count)
    heard: list[tuple[int, ...]] | None = None
    coming: list[tuple[int, ...]] | None = None
    if chords is not None:
        _check_length("chords", chords, count)
        heard = _places_of(chords)
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
    places = best_places(
        midi,
        [moments[group] for group in groups],
        chords=heard,
        next_chords=coming,
    )
    return tuple(map(_pitch, places, midi))


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


def find_key(notes: Sequence[HeardNote], /) -> Key:
    """The key of a piece of which nothing is known but its notes.

    The signature has at most six signs; whether the key is major or minor is told
    by the last (lowest) note and by which tonic is heard more.

    Raises:
        EmptyMelodyError: if there is no note.

    >>> tune = (69, 72, 76, 74, 72, 71, 68, 69)
    >>> str(find_key([HeardNote(n, i, 1) for i, n in enumerate(tune)]))
    'A minor'
    """
    if not notes:
        raise EmptyMelodyError("no notes, no key")
    durations = [0.0] * 12
    numbers = [0] * 12
    for note in notes:
        durations[7 * note.midi % 12] += note.duration
        numbers[7 * note.midi % 12] += 1
    first = min(notes, key=lambda note: (note.onset, note.midi))
    last = min(notes, key=lambda note: (-note.onset, note.midi))
    end = 7 * last.midi % 12
    signature = signature_of(durations, numbers, 7 * first.midi % 12, end)
    final = (end - signature) % 12
    if final in (0, 3):
        minor = final == 3
    else:
        heard = [durations[(signature + place) % 12] for place in range(12)]
        minor = heard[3] + heard[8] > heard[0] + heard[1]
    return Key.from_signature(signature, "minor" if minor else "major")


def spell_chord_roots(
    chords: Sequence[HeardChord], /, *, key: Key | Sequence[Key]
) -> tuple[NoteName, ...]:
    """The names of the roots of a chord sequence, the whole sequence weighed at once.

    Weighed are the key, the root motion, the colour (♭II, ♭III and ♭VI for dominant
    and major chords, ♯iv for diminished and minor ones) and the direction of the
    bass: diminished chords are raised upward and lowered downward, tritone
    substitutes lowered.  E♯, B♯, C♭ and F♭ are only used where the key has them.

    Args:
        chords: the chords in order.
        key: the key, or the key at each chord.

    Raises:
        LengthMismatchError: if there are not as many keys as chords.

    >>> dim, minor = "diminished", "minor"
    >>> up = [HeardChord(0), HeardChord(1, dim), HeardChord(2, minor)]
    >>> down = [HeardChord(4, minor), HeardChord(3, dim), HeardChord(2, minor)]
    >>> " ".join(map(str, spell_chord_roots(up + down, key=Key.parse("C"))))
    'C C# D E Eb D'
    """
    keys = (key,) * len(chords) if isinstance(key, Key) else key
    _check_length("keys", keys, len(chords))
    places = best_roots(
        [
            (
                chord.root % 12,
                chord.colour,
                (chord.root if chord.bass is None else chord.bass) % 12,
            )
            for chord in chords
        ],
        [one.signature for one in keys],
    )
    return tuple(map(NoteName.from_fifths, places))


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


def _check_length(what: str, given: Sequence[object], count: int) -> None:
    if len(given) != count:
        raise LengthMismatchError(f"{len(given)} {what} for {count} notes or chords")
