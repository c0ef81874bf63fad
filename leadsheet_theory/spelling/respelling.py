"""One value for whatever a part spells otherwise than the plain interval would."""

from __future__ import annotations

from fractions import Fraction
from typing import Generic, TypeVar

from attrs import frozen

from ..pitch import Pitch

__all__ = ("Respelling",)

_Sound = TypeVar("_Sound")


@frozen(order=False)
class Respelling(Generic[_Sound]):
    """A note or a chord symbol of a part that did not keep the letter of the
    interval, and why.

    `index` counts the notes or the chords from 0, of the passage or of the tune;
    `plain` is what the interval between the keys alone would have given, `written`
    what the part shows.  In a part, `bar` is the bar's number and `beat` counts from 1
    in the metre's printed unit; elsewhere both are None.

    >>> E_sharp, F = Pitch.parse("E#5"), Pitch.parse("F5")
    >>> print(Respelling(3, E_sharp, F, "the key has no sharps"))
    F5, not E♯5: the key has no sharps
    >>> print(Respelling(3, E_sharp, F, "the key has no sharps", bar=2))
    bar 2: F5, not E♯5 (the key has no sharps)
    """

    index: int
    plain: _Sound
    written: _Sound
    reason: str
    bar: int | None = None
    beat: Fraction | None = None

    def __str__(self) -> str:
        says = f"{_text(self.written)}, not {_text(self.plain)}"
        if self.bar is None:
            return f"{says}: {self.reason}"
        return f"bar {self.bar}: {says} ({self.reason})"


def _text(sound: object) -> str:
    return sound.glyphs if isinstance(sound, Pitch) else str(sound)
