"""Keys: tonic, mode, signature, scale.

Sources: the order of the signatures and the seven modes of the major scale,
any handbook of theory (e.g. *Open Music Theory* v2, "Major scales, scale
degrees, and key signatures"; "Diatonic modes").  The mode names are those of
MusicXML 4.0 (``mode``).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Final, Literal, get_args

from attrs import field, frozen

from ._arguments import check_type
from ._printed import Parsed, Shown
from ._scan import Scanner, nearest
from .errors import (
    KeySignatureError,
    KeySyntaxError,
    LengthMismatchError,
    PitchSyntaxError,
)
from .interval import Interval
from .pitch import NoteName, Step, _read_name

__all__ = ("MODES", "Key", "Mode")

Mode = Literal[
    "major", "minor", "ionian", "dorian", "phrygian", "lydian",
    "mixolydian", "aeolian", "locrian",
]  # fmt: skip
"""The modes that MusicXML 4.0 names."""

MODES: Final[tuple[Mode, ...]] = get_args(Mode)
"""All of them, in the order of :data:`Mode`."""

# mode: where its tonic lies on the line of fifths above the tonic of the
# major scale with the same signature
_TONIC_FIFTHS: Final[dict[Mode, int]] = {
    "lydian": -1,
    "major": 0,
    "ionian": 0,
    "mixolydian": 1,
    "dorian": 2,
    "minor": 3,
    "aeolian": 3,
    "phrygian": 4,
    "locrian": 5,
}
_MODE_WORDS: Final[dict[str, Mode]] = {
    "": "major", "M": "major", "maj": "major", "m": "minor", "min": "minor",
    "-": "minor", **{mode: mode for mode in MODES},
}  # fmt: skip
_MAX_SIGNATURE: Final = 14
_SHARP_ORDER: Final[tuple[Step, ...]] = ("F", "C", "G", "D", "A", "E", "B")


@frozen(order=False, cache_hash=True, repr=False)
class Key(Parsed, Shown):
    """A tonic and a mode.

    >>> key = Key.parse("Eb major")
    >>> key.signature
    -3
    >>> " ".join(map(str, key.scale))
    'Eb F G Ab Bb C D'
    >>> str(key.relative), str(key.parallel)
    ('C minor', 'Eb minor')
    """

    tonic: NoteName
    mode: Mode = field(default="major")

    def __attrs_post_init__(self) -> None:
        check_type("a tonic", self.tonic, NoteName, "a NoteName")
        if self.mode not in _TONIC_FIFTHS:
            raise KeySignatureError(
                f"no mode {self.mode!r}: expected one of {', '.join(MODES)}"
            )
        if abs(self.signature) > _MAX_SIGNATURE:
            raise KeySignatureError(
                f"{self} would have {abs(self.signature)} accidentals: "
                f"at most {_MAX_SIGNATURE} are named"
            )

    @classmethod
    def parse(cls, text: str, /) -> Key:
        """Read ``Bb major``, ``F# minor``, ``D dorian``, ``Ebm``, ``G``.

        Raises:
            KeySyntaxError: if the text names no key.
        """
        scan = Scanner(text)
        try:
            step, alter = _read_name(scan)
        except PitchSyntaxError as error:
            raise KeySyntaxError(
                "not a key",
                text=text,
                start=error.start,
                end=error.end,
                expected="a tonic A to G",
            ) from None
        tonic = NoteName(step, alter)
        start = scan.at
        word = scan.rest.strip()
        mode = _MODE_WORDS.get(word) or _MODE_WORDS.get(word.lower())
        if mode is None:
            likely = nearest(word.lower()[:20], MODES)
            raise KeySyntaxError(
                "no such mode",
                text=text,
                start=start + (len(scan.rest) - len(scan.rest.lstrip())),
                end=len(text),
                expected="major, minor or the name of a mode",
                suggestion=f"{tonic} {likely}" if likely else "",
            )
        return cls(tonic, mode)

    @classmethod
    def from_signature(cls, fifths: int, /, mode: Mode = "major") -> Key:
        """The key with so many sharps (positive) or flats (negative).

        >>> str(Key.from_signature(-3)), str(Key.from_signature(2, "minor"))
        ('Eb major', 'B minor')

        Raises:
            KeySignatureError: beyond 14 accidentals, or if there is no such mode.
        """
        return _key_of(fifths, mode)

    @property
    def signature(self) -> int:
        """The key signature: so many sharps, or (negative) flats.

        Signatures beyond 7 are theoretical: no one writes them.
        """
        return self.tonic.fifths - _TONIC_FIFTHS[self.mode]

    @property
    def scale(self) -> tuple[NoteName, ...]:
        """The seven notes upward from the tonic (minor is natural minor)."""
        return _scale_of(self.signature, self.tonic.fifths)

    def is_diatonic(self, note: NoteName, /) -> bool:
        """Whether the note stands in the scale, as spelled."""
        return -1 <= note.fifths - self.signature <= 5

    def alter_of(self, step: Step, /) -> int:
        """What the signature does to a letter, in semitones.

        >>> Key.parse("D major").alter_of("F")
        1
        """
        return (self.signature + 6 - _SHARP_ORDER.index(step)) // 7

    @property
    def relative(self) -> Key:
        """The minor key with this signature, or from a minor key the major one.

        From any other mode, the major key.
        """
        return Key.from_signature(
            self.signature, "minor" if self.mode in ("major", "ionian") else "major"
        )

    @property
    def parallel(self) -> Key:
        """The minor key on this tonic, or from a minor key (or any other mode) the
        major one."""
        return Key(self.tonic, "minor" if self.mode in ("major", "ionian") else "major")

    def enharmonic(self, *, sharps: bool) -> Key:
        """The key that sounds the same with sharps, or with flats, in its signature.

        A key that already has them (or none) comes back unchanged.

        >>> str(Key.parse("Db major").enharmonic(sharps=True))
        'C# major'
        """
        have = self.signature
        want = have + 12 if sharps and have < 0 else have
        want = have - 12 if not sharps and have > 0 else want
        return Key.from_signature(want, self.mode) if want != have else self

    def __add__(self, by: Interval, /) -> Key:
        if not isinstance(by, Interval):
            return NotImplemented
        return Key(self.tonic + by, self.mode)

    def __sub__(self, by: Interval, /) -> Key:
        if not isinstance(by, Interval):
            return NotImplemented
        return Key(self.tonic - by, self.mode)

    @property
    def glyphs(self) -> str:
        """The key with printed signs: ``B♭ major``."""
        return f"{self.tonic.glyphs} {self.mode}"

    def __str__(self) -> str:
        return f"{self.tonic} {self.mode}"


def as_key(key: Key | str, /) -> Key:
    """A key, or the one that a text names.

    Raises:
        KeySyntaxError: if the text names no key.
        NotTextError: if it is neither.
    """
    return key if isinstance(key, Key) else Key.parse(key)


def keys_at(key: Key | str | Sequence[Key | str], count: int, /) -> Sequence[Key]:
    """The key at each of so many notes or chords: one for all, or one for each.

    Raises:
        KeySyntaxError: if a text names no key.
        LengthMismatchError: if there are more or fewer keys than notes.
    """
    if isinstance(key, Key | str):
        return (as_key(key),) * count
    check_type("key", key, Sequence, "a key, its text, or one for each note")
    if len(key) != count:
        raise LengthMismatchError(
            f"{len(key)} {'key' if len(key) == 1 else 'keys'} for {count} notes or "
            "chords: expected one key for all, or one for each"
        )
    return [as_key(each) for each in key]


@cache
def _key_of(fifths: int, mode: Mode) -> Key:
    if mode not in _TONIC_FIFTHS:
        raise KeySignatureError(f"no mode {mode!r}: expected one of {', '.join(MODES)}")
    if abs(fifths) > _MAX_SIGNATURE:
        raise KeySignatureError(
            f"a signature of {abs(fifths)} accidentals: "
            f"at most {_MAX_SIGNATURE} are named"
        )
    return Key(NoteName.from_fifths(fifths + _TONIC_FIFTHS[mode]), mode)


@cache
def _scale_of(signature: int, tonic: int) -> tuple[NoteName, ...]:
    degree = {
        (4 * (place - tonic)) % 7: place
        for place in range(signature - 1, signature + 6)
    }
    return tuple(NoteName.from_fifths(degree[number]) for number in range(7))
