"""The weights of the spelling search, in one place.

All but those said to be set by hand were fitted on half of a set of open lead
sheets (OpenEWLD, every second file) and half of the Bach chorales of music21's
corpus, so that the search finds the names that stand there; then they were evened
out so that a chromatic scale is spelled as the handbooks have it.  How they do on
the other halves, and how weights do that are fitted on other sheets only,
``tests/benchmarks/spelling_accuracy.py`` prints.  A weight of 10 makes the other
reading about 1.6 times less likely.

Places are places on the line of fifths above the tonic of the major scale with
the signature: 0 is its tonic, 5 its leading note, 11 its fourth.  Of the other
five sounds, 6 stands for ♯4 or ♭5, 7 for ♯1 or ♭2, 8 for ♯5 or ♭6, 9 for ♯2 or
♭3, and 10 for ♯6 or ♭7.
"""

from __future__ import annotations

from typing import Final

NO_NOTE: Final = 999
"""Stands for the motion where no note precedes or follows."""

RAISED: Final[dict[int, int]] = {6: -56, 7: -41, 8: -8, 9: -5, 10: 22}
"""What the raised name costs more than the lowered one, by place in the key: ♯4
is at home in a key, and so is ♭7."""

MOTION: Final[dict[int, dict[int, int]]] = {
    # semitones from the note before: to the note after (2: two or more, up or down)
    -2: {-2: -18, -1: 10, 1: -24, 2: -7, NO_NOTE: -11},
    -1: {-2: -16, -1: 41, 1: -32, 2: 1, NO_NOTE: -2},
    1: {-2: -13, -1: 6, 1: -27, 2: -6, NO_NOTE: -9},
    2: {-2: -9, -1: 18, 1: -15, 2: -5, NO_NOTE: -3},
    NO_NOTE: {-2: -12, -1: 14, 1: -24, 2: -4, NO_NOTE: -6},
}
"""What the raised name costs, by the melodic motion into and out of the note: raised
notes go up a semitone, lowered ones go down."""

ALONE: Final[dict[int, int]] = {6: 0, 7: 0, 8: 0, 9: 3, 10: -5}
"""What the raised name costs more in a line that stands alone (set by hand)."""

ALONE_PASSING_UP: Final = -10
"""The same for a note that passes up by semitones (set by hand)."""

NEAR_NOTES: Final = 10
"""How many notes before and after count as near."""

NEAR: Final[tuple[int, ...]] = (
    0, -8, 11, -9, 3, 0,
    6, 3, -13, 13, -3, -1,
)  # fmt: skip
"""What the raised name costs where a note lies near, by the semitones from this one
up to it: G♯ goes with E and B, A♭ with C, F and E♭."""

SOUNDING: Final[tuple[int, ...]] = (
    0, -1, 2, -17, 12, 1,
    0, 7, -15, 11, 0, 4,
)  # fmt: skip
"""The same for notes that sound together with it."""

CHORD_TONE: Final = 30
"""The name that is not the chord's own, where the sound is a chord tone."""

NEXT_CHORD_TONE: Final = 9
"""The same for a tone of the chord that comes next."""

STEP: Final[dict[tuple[int, int], int]] = {
    # (semitones, motion on the line of fifths)
    (1, -5): -11,  # minor second
    (1, 7): 11,  # chromatic semitone
    (-1, 5): -11,  # minor second
    (-1, -7): 11,  # chromatic semitone
    (2, 2): -14,  # major second
    (2, -10): 13,  # diminished third
    (-2, -2): -14,  # major second
    (-2, 10): 12,  # diminished third
}
"""What a step costs by its spelling."""

LEAP: Final[tuple[int, ...]] = (
    -5, -7, -2, -13, -7, -2, 0, 2, 7, 13,
    0, 7, 5, 1, 4, 0, 0, 0, 0,
)  # fmt: skip
"""What any other interval costs by its distance on the line of fifths: up to 5 it is
perfect, major or minor, 6 a tritone, beyond that augmented or diminished."""

ALIKE: Final = 400
"""What a repeated note costs that changes its name: more than anything can gain."""

IN_KEY: Final[tuple[int, ...]] = (40, 40, 30, 30, 30, 20, -20, -30, -10, -30, -20, 30)
"""How well a sound fits the signature of the moment, by place in the key (set by
hand)."""

IN_MOMENT: Final = 10
"""What a note in the key of the moment costs if it takes another name because the
chord has it (set by hand)."""

OTHER_SIDE: Final = 200
"""What a signature of the moment must gain for each chord tone that is spelled as
it never would be there, such as B in seven flats (set by hand)."""

STRAY: Final = 3
"""What each step of the moment's signature away from the written one must gain on
every note heard (set by hand)."""

KEY_DURATIONS: Final[tuple[int, ...]] = (
    711, 481, 16, 837, 747, 421,
    -1385, -723, -643, 140, -473, -129,
)  # fmt: skip
"""How much each place in the key tells for a signature, by its share of all that
sounds."""

KEY_NUMBERS: Final[tuple[int, ...]] = (
    240, 503, 346, 371, 701, -231,
    -842, -1141, 117, 443, -644, 136,
)  # fmt: skip
"""The same by its share of the number of notes."""

KEY_LAST: Final[tuple[int, ...]] = (
    90, 5, 1, -4, 8, -21,
    1, -4, -13, -14, -20, -29,
)  # fmt: skip
"""The same for the last note (the lowest, if there are several)."""

KEY_FIRST: Final[tuple[int, ...]] = (
    35, 0, -16, 7, 30, -31,
    11, -2, -2, 8, 6, -47,
)  # fmt: skip
"""The same for the first note."""

FEW_SIGNS: Final = 26
"""What each sign in the signature must gain."""

NEW_KEY: Final = 200
"""What a change of signature within a tune must gain, in units of ten for each note
that it makes diatonic (set by hand)."""

# Chord roots: the handbooks' rules set by hand, then fitted on the same half of the
# lead sheets.

RAISED_ROOT: Final[dict[str, dict[int, int]]] = {
    "diminished": {6: -16, 7: -11, 8: -10, 9: -16, 10: -3},
    "half-diminished": {6: -25, 7: -15, 8: -10, 9: -5, 10: 0},
    "minor": {6: -20, 7: -15, 8: -3, 9: 4, 10: 19},
    "dominant": {6: -1, 7: 10, 8: 13, 9: 24, 10: 31},
    "augmented": {6: -1, 7: 10, 8: 13, 9: 24, 10: 31},
    "suspended": {6: -1, 7: 10, 8: 13, 9: 24, 10: 31},
    "major": {6: 3, 7: 21, 8: 20, 9: 31, 10: 40},
}
"""What the raised name of a root costs, by place in the key: ♯iv is at home with
diminished and minor chords, ♭II, ♭III and ♭VI with dominant and major ones."""

ROOT_TO_NEXT: Final[dict[str, dict[int, int]]] = {
    # semitones up to the next bass
    "diminished": {1: -31, 11: 26},
    "half-diminished": {1: -31, 11: 26},
    "minor": {1: 0, 11: 12},
    "dominant": {1: 2, 11: 14},
    "augmented": {1: 2, 11: 14},
    "suspended": {1: 2, 11: 14},
    "major": {1: 0, 11: 21},
}
"""What the raised name costs by where the bass goes: diminished chords are raised
upward and lowered downward, tritone substitutes lowered."""

ROOT_FROM_LAST: Final[dict[int, int]] = {1: -12, 11: 16}
"""The same for diminished chords, by the semitones from the bass before."""

ROOT_MOTION: Final[tuple[int, ...]] = (0, 0, 2, 8, 6, 2, 4, 8, 7, 9, 18, 24, 30)
"""What the motion from root to root costs, by its distance on the line of fifths."""

ODD_ROOT: Final = 400
"""A root named E♯, B♯, C♭ or F♭ that is not diatonic in the key."""

FOREIGN_ROOT: Final = 60
"""A root further from the key than all of these."""

LEAVING_SOURCE: Final = 30
"""A root that leaves the letter which the source's own spelling gives (set by hand)."""

IDIOM: Final = 80
"""A root that leaves the name which its idiom gives (set by hand)."""

FREE_IDIOM: Final = 20
"""The same for an idiom in which both names are in print (set by hand)."""

LINKED: Final = (300, 60, 30, 200)
"""Neighbours that part, in the order of the links: a pair, a dominant from its target,
other falling fifths, a root from itself (set by hand)."""

ALIKE_ROOTS: Final = 50
"""A root that leaves the name which the same chord has elsewhere (set by hand)."""
