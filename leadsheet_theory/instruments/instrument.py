"""An instrument: its clefs, its transposition, its ranges."""

from __future__ import annotations

from typing import Final, Literal, get_args

from attrs import Factory, field, frozen

from .._printed import Shown, Told
from ..errors import (
    ClefError,
)
from ..interval import Interval
from ..spelling.transposing import SixSigns
from .clefs import Clef
from .transposing import PitchRange, Transposing, check_ranges

__all__ = (
    "FAMILIES",
    "SIX_SIGNS",
    "Family",
    "Instrument",
)

Family = Literal[
    "woodwind", "brass", "strings", "plucked strings", "keyboard",
    "pitched percussion", "voice",
]  # fmt: skip
"""The families of instruments."""


SIX_SIGNS: Final[dict[str, SixSigns]] = {
    "woodwind": "flats",
    "brass": "flats",
    "strings": "sharps",
    "plucked strings": "sharps",
}
"""Which of six sharps and six flats a family reads more easily; the others follow the
source (C. Schmidt-Jones, *Understanding Basic Music Theory*, "Transposition: Changing
Keys": winds prefer flats, strings sharps)."""

FAMILIES: Final[tuple[Family, ...]] = get_args(Family)
"""The families in the order of a score."""


@frozen(order=False, repr=False, kw_only=True)
class Instrument(Transposing, Told, Shown):
    """An instrument as one clef convention writes it.

    `clefs` holds one clef, or two for a grand staff.  `six_signs` says which side its
    players read at six signs (:data:`SIX_SIGNS`).  An instrument of your
    own needs no entry anywhere: build it and pass it to any function, or put
    it in front of the table where names are looked up.

    >>> from leadsheet_theory.instruments import INSTRUMENTS, find_instrument
    >>> from leadsheet_theory.instruments import CLEFS, PitchRange
    >>> from leadsheet_theory.interval import Interval
    >>> from leadsheet_theory.key import Key
    >>> from leadsheet_theory.pitch import Pitch
    >>> alto = find_instrument("Alto Sax")
    >>> str(alto.transposition), str(alto.written(Pitch.parse("Eb4")))
    ('-M6', 'C5')
    >>> str(alto.interval_to(find_instrument("tsx")))
    'P4'
    >>> str(alto.written_key(Key.parse("E")))
    'Db major'
    >>> mine = Instrument(name="Tenor Violin", clefs=(CLEFS["bass"],),
    ...                   transposition=Interval.parse("P1"),
    ...                   written_range=PitchRange.parse("G2-A5"),
    ... comfortable_range=PitchRange.parse("G2-D5"))
    >>> find_instrument("tenor violin", instruments=(mine, *INSTRUMENTS)) == mine
    True
    """

    name: str
    clefs: tuple[Clef, ...]
    transposition: Interval
    written_range: PitchRange
    comfortable_range: PitchRange
    family: Family | Literal[""] = ""
    sound_id: str = ""
    six_signs: SixSigns = Factory(
        lambda self: SIX_SIGNS.get(self.family, "source"), takes_self=True
    )
    aliases: tuple[str, ...] = ()
    source: str = field(default="", eq=False)

    def __attrs_post_init__(self) -> None:
        if not self.clefs:
            raise ClefError(
                f"{self.name} has no clef: expected one, or two for a grand staff"
            )
        check_ranges(self)

    @property
    def clef(self) -> Clef:
        """The clef for a single line of melody."""
        return self.clefs[0]

    @property
    def ascii_name(self) -> str:
        """The name without printed signs: ``Trumpet in Bb``."""
        return self.name.replace("♭", "b").replace("♯", "#")

    @property
    def sounding_range(self) -> PitchRange:
        """The range as it sounds."""
        return self.written_range + self.transposition

    def __str__(self) -> str:
        return self.name
