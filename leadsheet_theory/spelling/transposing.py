"""Which key a part is written in, and how its notes are spelled there.

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
from typing import Final, Literal, get_args

from attrs import frozen

from .._arguments import check_choice
from .._doors import door
from ..errors import (
    EnharmonicError,
)
from ..interval import Interval
from ..key import Key
from ..pitch import Pitch
from .respelling import Respelling

__all__ = (
    "SixSigns",
    "WrittenMelody",
    "transpose_melody",
    "written_interval",
    "written_key",
    "written_keys",
)

SixSigns = Literal["source", "sharps", "flats"]
"""How to decide between six sharps and six flats: as the source, or always alike."""


_DIMINISHED_SECOND: Final = Interval(1, 0)


@door
def written_key(key: Key, by: Interval, /, *, six_signs: SixSigns = "source") -> Key:
    """The key in which a part is written that lies an interval above the source.

    Of the keys that sound right it is the one with fewer signs in its
    signature; between six sharps and six flats it stays on the side of the
    source (or of the plain transposition, if the source has no signs).

    Args:
        key: the source's key.
        by: the interval from the source up to the written part.
        six_signs: ``sharps`` (strings, guitar) or ``flats`` (brass, woodwind) settles
            six signs always alike.

    >>> M2, M6 = Interval.parse("M2"), Interval.parse("M6")
    >>> str(written_key(Key.parse("Eb"), M2)), str(written_key(Key.parse("B"), M2))
    ('F major', 'Db major')
    >>> str(written_key(Key.parse("E"), M2)), str(written_key(Key.parse("A"), M6))
    ('F# major', 'F# major')
    >>> str(written_key(Key.parse("E"), M2, six_signs="flats"))
    'Gb major'
    """
    check_choice("six_signs", six_signs, get_args(SixSigns))
    return _nearest_key(key, by, six_signs)


def _nearest_key(key: Key, by: Interval, six_signs: SixSigns) -> Key:
    signs = key.signature + by.fifths
    if abs(signs) <= 5:
        return _key(signs, key)
    fewest = (signs + 5) % 12 - 5
    if fewest != 6:
        return _key(fewest, key)
    if six_signs == "source":
        side = key.signature or signs
    else:
        side = 1 if six_signs == "sharps" else -1
    return _key(6 if side > 0 else -6, key)


@door
def written_keys(
    keys: Sequence[Key],
    by: Interval,
    /,
    *,
    six_signs: SixSigns = "source",
) -> tuple[Key, ...]:
    """The written key for each of a tune's keys, in order.

    As :func:`written_key`, but so that the part doesn't jump from sharps to
    flats needlessly: where six signs either way leave a choice and another
    key of the tune must change its side, they go along with it.

    >>> names = [Key.parse("E"), Key.parse("B"), Key.parse("E")]
    >>> [str(k) for k in written_keys(names, Interval.parse("M2"))]
    ['Gb major', 'Db major', 'Gb major']
    """
    check_choice("six_signs", six_signs, get_args(SixSigns))
    plain = [_nearest_key(key, by, six_signs) for key in keys]
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


@door
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
class WrittenMelody:
    """A melody as a part's reader sees it, with what was respelled in it."""

    pitches: tuple[Pitch, ...]
    respelled: tuple[Respelling[Pitch], ...] = ()


@door
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
    respelled: list[Respelling[Pitch]] = []
    for index, pitch in enumerate(pitches):
        new, plain = move(pitch)
        written.append(new)
        if plain is not None:
            respelled.append(Respelling(index, plain, new, NO_DOUBLES))
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
