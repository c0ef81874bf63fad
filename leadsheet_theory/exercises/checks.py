"""Exercises in spelling, marked: chords, key signatures, intervals, transpositions.

What is right follows from the definitions: a chord is spelled by thirds (*Open Music
Theory* v2, "Triads" and "Seventh chords"), a signature has its accidentals in the order
F C G D A E B or back (the same, "Key signatures"), an interval's number counts letters
(the same, "Intervals"), and a transposed note keeps the letters of the interval
(C. Schmidt-Jones, *Understanding Basic Music Theory*, "Transposition: Changing Keys").

Notes are given as values or as text: names (``Eb``), where octaves matter pitches
(``Eb4``), several parted by blanks or commas.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Final, TypeVar

from ..chords import Chord, Degree, NoChord, parse_symbol
from ..chords.symbol import ChordSymbol
from ..errors import ExerciseError
from ..instruments.transposing import Transposing
from ..interval import Interval
from ..key import Key
from ..pitch import STEPS, NoteName, Pitch
from .marking import MarkedNote, Marking

__all__ = (
    "check_interval",
    "check_signature",
    "check_spelling",
    "check_transposition",
)

_Given = TypeVar("_Given")

_SHARPS: Final = tuple(map(NoteName.parse, ("F#", "C#", "G#", "D#", "A#", "E#", "B#")))
_FLATS: Final = tuple(map(NoteName.parse, ("Bb", "Eb", "Ab", "Db", "Gb", "Cb", "Fb")))


# ── Chords ───────────────────────────────────────────────────────────────────────


def check_spelling(
    chord: ChordSymbol | str, answer: str | Iterable[NoteName | str], /
) -> Marking:
    """Mark the tones that someone has written for a chord symbol, in any order.

    >>> marking = check_spelling("Ebm7b5", "Eb Gb A Db")
    >>> marking.right, [str(note.given) for note in marking.of("right")]
    (False, ['Eb', 'Gb', 'Db'])
    >>> print(marking.of("misspelled")[0].why)
    A sounds right, but the diminished fifth of E♭ is B𝄫: a fifth counts five letters
    >>> print(check_spelling("G7", "G B D"))
    G7: G, B and D are right; F is missing

    Raises:
        ChordSymbolError: if a text is no chord symbol.
        PitchSyntaxError: if the answer has a word that is no note name.
        ExerciseError: if the symbol is N.C., which has no tones.
    """
    symbol = parse_symbol(chord) if isinstance(chord, str) else chord
    if isinstance(symbol, NoChord):
        raise ExerciseError("N.C. has no tones: expected a chord")
    wanted = symbol.notes if isinstance(symbol, Chord) else symbol.tones
    return _marked(
        f"{symbol}",
        wanted,
        _names(answer),
        misspelled=lambda given, tone: (
            f"{given.glyphs} sounds right, but {_tone_text(symbol, tone)}"
        ),
        foreign=lambda given, twin: (
            f"{given.glyphs} is no tone of {symbol}"
            + (f": {_tone_text(symbol, twin, reason=False)}" if twin else "")
        ),
    )


def _tone_text(symbol: ChordSymbol, tone: NoteName, *, reason: bool = True) -> str:
    """``the minor third of C is E♭: a third counts three letters``."""
    if not isinstance(symbol, Chord):
        return f"the chord has {tone.glyphs}"
    degree = _degree_of(symbol, tone)
    if degree is None:
        return f"the bass is {tone.glyphs}"
    if degree.number == 1:
        return f"the root is {tone.glyphs}"
    number, counted = _NUMBERS[degree.number]
    quality = Interval(degree.number - 1, degree.semitones).quality
    named = f"{_QUALITIES.get(quality, '')} {number}".strip()
    what = f"the {named} of {symbol.root.glyphs} is {tone.glyphs}"
    return f"{what}: a {number} counts {counted} letters" if reason else what


_QUALITIES: Final = {
    "P": "perfect", "M": "major", "m": "minor", "A": "augmented", "d": "diminished",
}  # fmt: skip
_NUMBERS: Final = {
    2: ("second", "two"), 3: ("third", "three"), 4: ("fourth", "four"),
    5: ("fifth", "five"), 6: ("sixth", "six"), 7: ("seventh", "seven"),
    9: ("ninth", "nine"), 11: ("eleventh", "eleven"), 13: ("thirteenth", "thirteen"),
}  # fmt: skip


def _degree_of(chord: Chord, tone: NoteName) -> Degree | None:
    for degree, own in zip(chord.quality.degrees, chord.tones, strict=True):
        if own == tone:
            return degree
    return None


# ── Key signatures ───────────────────────────────────────────────────────────────


def check_signature(
    key: Key | str, answer: str | Iterable[NoteName | str], /
) -> Marking:
    """Mark the accidentals that someone has written for a key signature, in order.

    >>> print(check_signature("E major", "F# C# D# G#"))
    E major: F♯ and C♯ are right; D♯ stands where G♯ should; G♯ stands where D♯ should
    >>> print(check_signature("C minor", "Bb Eb G#"))
    C minor: B♭ and E♭ are right; G♯ sounds right, but C minor has flats: A♭
    >>> check_signature("C major", "").right
    True

    Raises:
        KeySyntaxError: if a text is no key.
        PitchSyntaxError: if the answer has a word that is no note name.
        ExerciseError: if the key would have more than seven sharps or flats.
    """
    asked = Key.parse(key) if isinstance(key, str) else key
    count = asked.signature
    if abs(count) > len(STEPS):
        raise ExerciseError(
            f"{asked} has no usual signature: expected at most seven sharps or flats"
        )
    side = "sharps" if count > 0 else "flats"
    wanted = _SHARPS[:count] if count > 0 else _FLATS[:-count]
    given = _names(answer)
    marking = _marked(
        f"{asked}",
        wanted,
        given,
        misspelled=lambda given, tone: (
            f"{given.glyphs} sounds right, but {asked} has {side}: {tone.glyphs}"
        ),
        foreign=lambda given, twin: (
            f"{given.glyphs} does not belong to {asked}"
            + (f", which has {twin.glyphs}" if twin else "")
        ),
    )
    if {note.verdict for note in marking.notes} != {"right"}:
        return marking
    return Marking(marking.task, tuple(_in_order(wanted, given)))


def _in_order(
    wanted: Sequence[NoteName], given: Sequence[NoteName]
) -> Iterator[MarkedNote]:
    for there, name in zip(wanted, given, strict=True):
        if there == name:
            yield MarkedNote(name, there, "right")
        else:
            why = f"{name.glyphs} stands where {there.glyphs} should"
            yield MarkedNote(name, there, "out of order", why)


# ── Intervals ────────────────────────────────────────────────────────────────────


def check_interval(
    low: Pitch | NoteName | str,
    interval: Interval | str,
    answer: Pitch | NoteName | str,
    /,
) -> Marking:
    """Mark the note that someone has written at an interval from another.

    With octaves (``Eb4``) or without (``Eb``), both notes alike.

    >>> print(check_interval("Eb4", "m3", "Gb4"))
    a minor third up from E♭4: all right
    >>> print(check_interval("Eb4", "m3", "F#4"))
    a minor third up from E♭4: F♯4 sounds right, but E♭4 moves to G♭4
    >>> print(check_interval("C", "-M6", "E"))
    a major sixth down from C: E is wrong: C moves to E♭

    Raises:
        PitchSyntaxError: if a text is no note.
        IntervalSyntaxError: if a text is no interval.
        ExerciseError: if one note has an octave and the other has none.
    """
    step = Interval.parse(interval) if isinstance(interval, str) else interval
    start, given = _note(low), _note(answer)
    if type(start) is not type(given):
        raise ExerciseError(
            f"{start.glyphs} and {given.glyphs}: expected an octave with both, or with "
            "neither"
        )
    way = "down" if (step.diatonic, step.chromatic) < (0, 0) else "up"
    task = f"{step.words} {way} from {start.glyphs}"
    return Marking(task, (_moved(start, step, given),))


# ── Transpositions ───────────────────────────────────────────────────────────────


def check_transposition(
    notes: str | Iterable[Pitch | NoteName | str],
    by: Interval | Transposing | str,
    answer: str | Iterable[Pitch | NoteName | str],
    /,
) -> Marking:
    """Mark notes that someone has transposed, one by one: by an interval, or from
    concert pitch for an instrument or a book.

    >>> print(check_transposition("C4 E4 G4", "M2", "D4 Gb4 A4"))
    a major second up: D4 and A4 are right; G♭4 sounds right, but E4 moves to F♯4
    >>> from leadsheet_theory.instruments import find_instrument
    >>> print(check_transposition("C4 E4", find_instrument("tenor sax"), "D4 F#5"))
    for Tenor Saxophone in B♭: F♯5 is right; D4 stands an octave too low: C4 moves to D5

    Raises:
        PitchSyntaxError: if a text is no note.
        IntervalSyntaxError: if a text is no interval.
        ExerciseError: if some notes have octaves and others none.
    """
    if isinstance(by, Transposing):
        step, task = -by.transposition, f"for {by.name}"
    else:
        step = Interval.parse(by) if isinstance(by, str) else by
        way = "down" if (step.diatonic, step.chromatic) < (0, 0) else "up"
        task = f"{step.words} {way}"
    starts, given = _notes(notes), _notes(answer)
    if len({type(note) for note in (*starts, *given)}) > 1:
        raise ExerciseError(
            "some notes with an octave, some without: expected all alike"
        )
    marked = [
        _moved(note, step, other) for note, other in zip(starts, given, strict=False)
    ]
    for extra in given[len(starts) :]:
        why = f"{extra.glyphs} has no note to come from"
        marked.append(MarkedNote(extra, None, "foreign", why))
    marked += [
        MarkedNote(None, left + step, "missing") for left in starts[len(given) :]
    ]
    return Marking(task, tuple(marked))


# ── What they share ──────────────────────────────────────────────────────────────


def _moved(
    start: Pitch | NoteName, by: Interval, given: Pitch | NoteName
) -> MarkedNote:
    """A note that should lie at an interval from another."""
    wanted = start + by
    if given == wanted:
        return MarkedNote(given, wanted, "right")
    moves = f"{start.glyphs} moves to {wanted.glyphs}"
    if isinstance(given, Pitch) and isinstance(wanted, Pitch):
        if given.midi == wanted.midi:
            return MarkedNote(
                given, wanted, "misspelled", f"{given.glyphs} sounds right, but {moves}"
            )
        octaves, rest = divmod(given.midi - wanted.midi, 12)
        if not rest:
            far = Interval(7 * abs(octaves), 12 * abs(octaves)).words
            side = "high" if octaves > 0 else "low"
            why = f"{given.glyphs} stands {far} too {side}: {moves}"
            return MarkedNote(given, wanted, "wrong octave", why)
    elif given.pitch_class == wanted.pitch_class:
        return MarkedNote(
            given, wanted, "misspelled", f"{given.glyphs} sounds right, but {moves}"
        )
    return MarkedNote(given, wanted, "foreign", f"{given.glyphs} is wrong: {moves}")


def _marked(
    task: str,
    wanted: Sequence[NoteName],
    given: Sequence[NoteName],
    *,
    misspelled: Callable[[NoteName, NoteName], str],
    foreign: Callable[[NoteName, NoteName | None], str],
) -> Marking:
    """Names marked against those wanted, in any order; the sentences are made of the
    name and the one wanted with its sound, or with its letter."""
    open_ = list(wanted)
    marked: list[MarkedNote] = []
    for name in given:
        if name in open_:
            open_.remove(name)
            marked.append(MarkedNote(name, name, "right"))
            continue
        if name in wanted:
            why = f"{name.glyphs} is given twice"
            marked.append(MarkedNote(name, name, "repeated", why))
            continue
        alike = [tone for tone in wanted if tone.pitch_class == name.pitch_class]
        if not alike:
            twin = next((each for each in open_ if each.step == name.step), None)
            twin = None if twin in given else twin
            marked.append(MarkedNote(name, None, "foreign", foreign(name, twin)))
            continue
        # rather a tone that the answer lacks than one that it has too
        lacking = [tone for tone in alike if tone in open_ and tone not in given]
        tone = (lacking or alike)[0]
        marked.append(MarkedNote(name, tone, "misspelled", misspelled(name, tone)))
        if lacking:
            open_.remove(tone)
    marked += [MarkedNote(None, tone, "missing") for tone in open_]
    return Marking(task, tuple(marked))


def _names(answer: str | Iterable[NoteName | str]) -> tuple[NoteName, ...]:
    return tuple(
        NoteName.parse(word) if isinstance(word, str) else word
        for word in _words(answer)
    )


def _notes(
    notes: str | Iterable[Pitch | NoteName | str],
) -> tuple[Pitch | NoteName, ...]:
    return tuple(map(_note, _words(notes)))


def _words(answer: str | Iterable[_Given]) -> Iterable[_Given | str]:
    return answer.replace(",", " ").split() if isinstance(answer, str) else answer


def _note(note: Pitch | NoteName | str) -> Pitch | NoteName:
    """A pitch where an octave is given, else a name."""
    if not isinstance(note, str):
        return note
    return Pitch.parse(note) if note[-1:].isdigit() else NoteName.parse(note)
