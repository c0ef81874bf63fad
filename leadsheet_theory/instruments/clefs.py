"""Clefs: which note a staff line is, ledger lines, octave signs, choosing a clef.

A staff position counts lines and spaces up from the bottom line: 0 is the
bottom line, 8 the top line, -2 the first ledger line below.

Sources: sign, line and octave change of a clef as in MusicXML 4.0 (``clef``);
octave signs as in its ``octave-shift``.  That four ledger lines
and more take effort, and that flutes, clarinets and low brass still prefer
them to an octave sign: Wikipedia, "Ledger line".
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final, Literal

from attrs import frozen

from .._arguments import check_type
from .._doors import door
from ..errors import ClefError
from ..pitch import Pitch

__all__ = (
    "ALTO_CLEF",
    "BASS_CLEF",
    "BASS_CLEF_8VB",
    "CLEFS",
    "MAX_LEDGER_LINES",
    "PERCUSSION_CLEF",
    "TENOR_CLEF",
    "TREBLE_CLEF",
    "TREBLE_CLEF_8VA",
    "TREBLE_CLEF_8VB",
    "Clef",
    "OctaveSign",
    "choose_clef",
    "octave_signs",
)

MAX_LEDGER_LINES: Final = 3
"""The most ledger lines that are read without effort."""

# sign: the staff place of the note its line stands for; what has no pitch is placed as
# under a treble clef (MusicXML 4.0, ``display-step``)
_SIGN_PLACES: Final = {"G": 32, "F": 24, "C": 28, "percussion": 32}


@frozen(order=False, repr=False)
class Clef:
    """A clef: its `name`, its `sign` on a `line` (1 at the bottom), and the octaves
    that a small 8 or 15 above (positive) or below (negative) moves it.

    >>> TREBLE_CLEF.position(Pitch.parse("E4")), BASS_CLEF.position(Pitch.parse("C4"))
    (0, 10)
    """

    name: str
    sign: Literal["G", "F", "C", "percussion"]
    line: int
    octave_change: int = 0

    def __attrs_post_init__(self) -> None:
        check_type("the name of a clef", self.name, str, "a text")
        check_type("the line of a clef", self.line, int, "a whole number")
        check_type("octaves", self.octave_change, int, "a whole number")
        if self.sign not in _SIGN_PLACES or not 1 <= self.line <= 5:
            raise ClefError(
                f"no clef {self.sign!r} on line {self.line}: "
                f"expected G, F or C on line 1 to 5"
            )

    def __repr__(self) -> str:
        octaves = f", {self.octave_change}" if self.octave_change else ""
        return f"Clef({self.name!r}, {self.sign!r}, {self.line}{octaves})"

    @property
    def bottom_place(self) -> int:
        """The staff place (see :attr:`.Pitch.place`) of the bottom line."""
        return _SIGN_PLACES[self.sign] + 7 * self.octave_change - 2 * (self.line - 1)

    def position(self, written: Pitch, /) -> int:
        """The staff position of a written pitch: 0 bottom line, 8 top line."""
        return written.place - self.bottom_place

    def ledger_lines(self, written: Pitch, /) -> int:
        """How many ledger lines a written pitch needs, above or below the staff.

        >>> BASS_CLEF.ledger_lines(Pitch.parse("C4"))
        1
        >>> TREBLE_CLEF.ledger_lines(Pitch.parse("G5"))
        0
        """
        return ledger_lines_at(written.place - self.bottom_place)


def ledger_lines_at(position: int) -> int:
    """The ledger lines needed at a staff position."""
    if position > 8:
        return (position - 8) // 2
    return -position // 2 if position < 0 else 0


TREBLE_CLEF: Final = Clef("treble", "G", 2)
"""G on the second line."""
BASS_CLEF: Final = Clef("bass", "F", 4)
"""F on the fourth line."""
ALTO_CLEF: Final = Clef("alto", "C", 3)
"""C on the third line."""
TENOR_CLEF: Final = Clef("tenor", "C", 4)
"""C on the fourth line."""
TREBLE_CLEF_8VA: Final = Clef("treble 8va", "G", 2, 1)
"""The treble clef, sounding an octave higher."""
TREBLE_CLEF_8VB: Final = Clef("treble 8vb", "G", 2, -1)
"""The treble clef, sounding an octave lower."""
BASS_CLEF_8VB: Final = Clef("bass 8vb", "F", 4, -1)
"""The bass clef, sounding an octave lower."""
PERCUSSION_CLEF: Final = Clef("percussion", "percussion", 2)
"""The clef of what has no pitch."""

CLEFS: Final[dict[str, Clef]] = {
    clef.name: clef
    for clef in (
        TREBLE_CLEF,
        BASS_CLEF,
        ALTO_CLEF,
        TENOR_CLEF,
        TREBLE_CLEF_8VA,
        TREBLE_CLEF_8VB,
        BASS_CLEF_8VB,
    )
}
"""The clefs of pitches that are in use, by name."""


@door
def choose_clef(
    written: Iterable[Pitch], /, *, usual: Clef = BASS_CLEF, tenor: bool = False
) -> Clef:
    """The clef a part is best written in.

    The usual clef stays unless the tenor clef was asked for, the instrument
    reads bass clef, and the tenor clef needs fewer ledger lines: lead-sheet
    readers of the bass clef don't expect another one.

    Args:
        written: the written pitches of the part.
        usual: the clef the instrument reads.
        tenor: whether the player has asked for tenor clef where it helps.

    >>> high = [Pitch.parse(name) for name in ("E4", "G4", "A4")]
    >>> choose_clef(high).name, choose_clef(high, tenor=True).name
    ('bass', 'tenor')
    """
    if not tenor or usual != BASS_CLEF:
        return usual
    pitches = tuple(written)

    def lines(clef: Clef) -> int:
        return sum(clef.ledger_lines(pitch) for pitch in pitches)

    return TENOR_CLEF if lines(TENOR_CLEF) < lines(BASS_CLEF) else BASS_CLEF


@frozen(order=False)
class OctaveSign:
    """A passage to stand under an octave sign: notes `first` to `last` (indices from
    0, both included), written `octaves` away from where they are now.

    ``8va`` notes are written an octave lower, so `octaves` is -1.
    """

    first: int
    last: int
    octaves: Literal[-2, -1, 1, 2]

    @property
    def text(self) -> str:
        """The sign as printed: ``8va``, ``8vb``, ``15ma``, ``15mb``."""
        return {-1: "8va", 1: "8vb", -2: "15ma", 2: "15mb"}[self.octaves]

    @property
    def size(self) -> int:
        """The size of MusicXML's ``octave-shift``: 8 or 15."""
        return 8 if abs(self.octaves) == 1 else 15


@door
def octave_signs(
    written: Sequence[Pitch], /, *, clef: Clef, shortest: int = 3
) -> tuple[OctaveSign, ...]:
    """Where an octave sign would make a part easier to read.

    A sign is advised over a run of at least `shortest` notes that all need
    ledger lines on the same side, from the first to the last of them that
    needs more than three.  It is advice for keyboards, strings and mallets:
    wind players want the ledger lines (common practice).

    >>> run = [Pitch.parse(name) for name in ("G5", "A6", "C7", "B6", "F5")]
    >>> sign, = octave_signs(run, clef=TREBLE_CLEF)
    >>> sign.text, sign.first, sign.last
    ('8va', 1, 3)
    """
    positions = [clef.position(pitch) for pitch in written]
    sides = [
        0 if not ledger_lines_at(place) else 1 if place > 8 else -1
        for place in positions
    ]
    signs: list[OctaveSign] = []
    start = 0
    while start < len(sides):
        stop = start
        while stop < len(sides) and sides[stop] == sides[start]:
            stop += 1
        hard = [
            place
            for place in range(start, stop)
            if ledger_lines_at(positions[place]) > MAX_LEDGER_LINES
        ]
        if hard and hard[-1] - hard[0] + 1 >= shortest:
            lowered = [
                positions[place] - 7 * sides[start]
                for place in range(hard[0], hard[-1] + 1)
            ]
            two = any(ledger_lines_at(place) > MAX_LEDGER_LINES for place in lowered)
            signs.append(OctaveSign(hard[0], hard[-1], _octaves(sides[start], two)))
        start = stop
    return tuple(signs)


def _octaves(side: int, two: bool) -> Literal[-2, -1, 1, 2]:
    if side > 0:
        return -2 if two else -1
    return 2 if two else 1
