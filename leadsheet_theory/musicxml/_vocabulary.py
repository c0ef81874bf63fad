"""Words of MusicXML 4.0 that reader and writer share.

Source: W3C Music Notation Community Group, *MusicXML 4.0*, ``musicxml.xsd``.
"""

from __future__ import annotations

from typing import Final

from ..leadsheet.signs import Barline
from ..rhythm.values import NoteValue, Tuplet, ValueName

__all__ = (
    "BAR_STYLES",
    "DYNAMICS",
    "FINE",
    "JUMPS",
    "MARK_GROUPS",
    "REPEATED_JUMP",
    "SWING_VALUES",
    "TO_CODA",
    "TREMOLO_MARK",
)

TREMOLO_MARK: Final = "tremolo"
"""The mark that has strokes, and may go from one note to another."""

MARK_GROUPS: Final[dict[str, str]] = {
    **dict.fromkeys(
        (
            "trill-mark", "turn", "delayed-turn", "inverted-turn",
            "delayed-inverted-turn", "vertical-turn", "inverted-vertical-turn",
            "shake", "mordent", "inverted-mordent", "schleifer",
            "haydn", TREMOLO_MARK,
        ),
        "ornaments",
    ),
    **dict.fromkeys(
        (
            "up-bow", "down-bow", "harmonic", "open-string", "thumb-position",
            "double-tongue", "triple-tongue", "stopped", "snap-pizzicato", "heel",
            "toe", "fingernails", "brass-bend", "flip", "smear", "open",
            "half-muted", "golpe",
        ),
        "technical",
    ),
    **dict.fromkeys(
        (
            "accent", "strong-accent", "staccato", "tenuto", "detached-legato",
            "staccatissimo", "spiccato", "scoop", "plop", "doit", "falloff",
            "breath-mark", "caesura", "stress", "unstress", "soft-accent",
        ),
        "articulations",
    ),
    "fermata": "",
    "arpeggiate": "",
}  # fmt: skip
"""Each mark that can stand on a note alone, and the group of ``notations`` it is in
(``""``: in ``notations`` itself)."""

DYNAMICS: Final = frozenset(
    {
        "p", "pp", "ppp", "pppp", "ppppp", "pppppp", "f", "ff", "fff", "ffff",
        "fffff", "ffffff", "mp", "mf", "sf", "sfp", "sfpp", "fp", "rf", "rfz", "sfz",
        "sffz", "fz", "n", "pf", "sfzp",
    }
)  # fmt: skip
"""The elements of ``dynamics``."""

BAR_STYLES: Final[dict[str, Barline]] = {
    "regular": "regular", "light-light": "double", "light-heavy": "final",
    "dashed": "dashed", "dotted": "dashed", "heavy-light": "regular",
    "heavy-heavy": "final",
}  # fmt: skip
"""Each ``bar-style`` and our bar line for it, the one that is written first."""

JUMPS: Final = {"capo": "D.C.", "segno": "D.S."}
"""Where a jump goes back to, as the trade writes it."""

REPEATED_JUMP: Final = "with repeats"
TO_CODA: Final = "To Coda"
FINE: Final = "Fine"


def _pair(long: ValueName, short: ValueName) -> tuple[NoteValue, NoteValue]:
    return (
        NoteValue(long, tuplet=Tuplet(3, 2, starts=True)),
        NoteValue(short, tuplet=Tuplet(3, 2, ends=True)),
    )


SWING_VALUES: Final[dict[tuple[str, int, int], tuple[NoteValue, NoteValue]]] = {
    ("eighth", 1, 1): (NoteValue("eighth"), NoteValue("eighth")),
    ("eighth", 2, 1): _pair("quarter", "eighth"),
    ("eighth", 3, 1): (NoteValue("eighth", dots=1), NoteValue("16th")),
    ("16th", 1, 1): (NoteValue("16th"), NoteValue("16th")),
    ("16th", 2, 1): _pair("eighth", "16th"),
    ("16th", 3, 1): (NoteValue("16th", dots=1), NoteValue("32nd")),
}
"""The right side of the equation of a swing, by its unit and the parts of the pair:
two notes of the unit are played so."""
