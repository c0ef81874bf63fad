"""Printed forms of chord symbols, with the chord each names and who says so.

The table is read by the parser (a form that stands here is looked up; any
other goes through the grammar), by the tests (which hold the grammar against
it) and by the documentation.

`PRACTICE` marks a form that is common practice and that no source we read
states; `BRANDT` is from memory.  Where handbooks differ, the row gives the
reading that we take; the other one is in
:mod:`~leadsheet_theory.chords.ambiguity`.
"""

from __future__ import annotations

from typing import Final

from .quality import Quality

__all__ = ("FORMS", "NO_CHORD_TEXTS", "PRINTED_FORMS")

ARMONIA: Final = "'Material Armonia', course notes: table of four-note chords"
BRANDT: Final = (
    "C. Brandt, C. Roemer, Standardized Chord Symbol Notation, Roerick 1976 "
    "(from memory)"
)
DOBRIAN: Final = "C. Dobrian, jazz chord symbols, Music 16D, UC Irvine 2014"
GARCIA: Final = "A. J. Garcia, 'Clear Chord Symbols', Down Beat 66/10, Oct. 1999"
HANDOUT: Final = "'Chord spelling', handout of a jazz course (author not shown)"
HUTCHINSON: Final = (
    "R. Hutchinson, Music Theory for the 21st-Century Classroom, 6.2 and 31.2"
)
INTEGRATED: Final = "Integrated Music Theory, lessons 3c and 19a"
LYON: Final = "J. Lyon, 'Deciphering Jazz Chord Symbols', 2007"
MUSIC21: Final = "music21 10.5.1, harmony.CHORD_TYPES"
MUSICXML: Final = "W3C, MusicXML 4.0, musicxml.xsd, kind and kind-value"
OMT: Final = "M. Lavengood, 'Chord Symbols', Open Music Theory, 2nd ed."
OPENEWLD: Final = "OpenEWLD, data set of lead sheets: kind texts and kinds"
PRACTICE: Final = "common practice, no source"
SCHMIDT: Final = (
    "C. Schmidt-Jones, 'Beyond Triads: Naming Other Chords', Understanding Basic "
    "Music Theory"
)
TACHOIR: Final = "J. Tachoir, 'Chord Spelling Standardization', Jazz Education Network"
WIKIPEDIA: Final = (
    "Wikipedia: 'Chord notation', 'Jazz harmony', 'Suspended chord', 'Eleventh "
    "chord', 'Altered chord'"
)

FORMS: Final[tuple[tuple[str, str, str], ...]] = (
    # degrees, source, what is printed after the root (nothing for the triad)
    ("1 3 5", OMT, ""),
    ("1 3 5", WIKIPEDIA, "M maj"),
    ("1 3 5", HANDOUT, "MA"),
    ("1 3 5 7", INTEGRATED, "Δ M7"),
    ("1 3 5 7", MUSICXML, "△"),
    ("1 3 5 7", WIKIPEDIA, "maj7"),
    ("1 3 5 7", TACHOIR, "Maj7"),
    ("1 3 5 7", ARMONIA, "ma7"),
    ("1 3 5 7", HANDOUT, "MA7"),
    ("1 3 5 7", DOBRIAN, "Δ7"),
    ("1 3 5 7", GARCIA, "∆7"),
    ("1 3 5 7", PRACTICE, "j7 7M maj.7"),
    ("1 3 5 6", DOBRIAN, "6"),
    ("1 3 5 6", LYON, "M6 ma6"),
    ("1 3 5 6", WIKIPEDIA, "maj6"),
    ("1 3 5 6", INTEGRATED, "(add6)"),
    ("1 3 5 6 9", INTEGRATED, "6/9"),
    ("1 3 5 6 9", DOBRIAN, "69"),
    ("1 3 5 6 9", HANDOUT, "6(9)"),
    ("1 3 5 6 9", PRACTICE, "6add9"),
    ("1 3 5 6 9 #11", PRACTICE, "6/9#11"),
    ("1 3 5 7 9", DOBRIAN, "maj9 M9 Δ9"),
    ("1 3 5 7 9", OPENEWLD, "Maj9"),
    ("1 3 5 7 9", LYON, "ma9"),
    ("1 3 5 7 9", HANDOUT, "maj7(9)"),
    ("1 3 5 7 9 11", MUSICXML, "maj11"),
    ("1 3 5 7 9 11", MUSIC21, "M11"),
    ("1 3 5 7 9 11 13", MUSICXML, "maj13"),
    ("1 3 5 7 9 11 13", HANDOUT, "MA13"),
    ("1 3 5 7 9 11 13", PRACTICE, "Δ13"),
    ("1 3 5 7 #11", DOBRIAN, "maj7#11 maj7(#11) Δ7#11"),
    ("1 3 5 7 9 #11", DOBRIAN, "maj9#11 maj9(#11)"),
    ("1 3 5 7 9 #11 13", PRACTICE, "maj13(#11)"),
    ("1 3 #5 7", ARMONIA, "maj7#5 maj7(#5) Maj7(+5)"),
    ("1 3 #5 7", DOBRIAN, "Δ7#5"),
    ("1 3 #5 7", MUSIC21, "+maj7 augmaj7"),
    ("1 3 b5 7", DOBRIAN, "maj7b5"),
    ("1 3 b5 7", ARMONIA, "maj7(b5) Maj7(-5)"),
    ("1 4 5 7", PRACTICE, "maj7sus4"),
    ("1 3 5 9", DOBRIAN, "add9 (add9)"),
    ("1 2 3 5", WIKIPEDIA, "add2 (add2)"),
    ("1 2 5", DOBRIAN, "2 sus2"),
    ("1 3 4 5", OPENEWLD, "add4"),
    ("1 3 5 11", SCHMIDT, "add11"),
    ("1 3 5 #11", INTEGRATED, "(add#11)"),
    ("1 3 5 #11", PRACTICE, "(#11)"),
    ("1 3 b5", PRACTICE, "(b5)"),
    ("1 5", DOBRIAN, "5"),
    ("1 5", PRACTICE, "(no3) (omit3)"),
    ("1 3", PRACTICE, "(no5)"),
    ("1 3 5 b7", OMT, "7"),
    ("1 3 5 b7", WIKIPEDIA, "dom7"),
    ("1 3 5 b7 9", DOBRIAN, "9"),
    ("1 3 5 b7 9", PRACTICE, "7(9) 7/9"),
    ("1 3 5 b7 9 11", INTEGRATED, "11"),
    ("1 3 5 b7 9 11 13", INTEGRATED, "13"),
    ("1 3 5 b7 13", HANDOUT, "7(13)"),
    ("1 3 5 b7 13", PRACTICE, "7add13"),
    ("1 3 5 6 b7", PRACTICE, "7/6"),
    ("1 3 5 b7 b9", DOBRIAN, "7b9"),
    ("1 3 5 b7 b9", INTEGRATED, "7(b9) 7♭9"),
    ("1 3 5 b7 b9", GARCIA, "7-9 7(-9)"),
    ("1 b3 5 b7 9", DOBRIAN, "-9 m9 min9"),
    ("1 b3 5 b7 9", PRACTICE, "mi9"),
    ("1 3 5 b7 #9", DOBRIAN, "7#9 7♯9"),
    ("1 3 5 b7 #9", PRACTICE, "7(#9)"),
    ("1 3 5 b7 #9", GARCIA, "7+9 7(+9)"),
    ("1 3 5 b7 #9 b13", PRACTICE, "7(#9)(b13)"),
    ("1 3 5 b7 #9 b13", HANDOUT, "7#9b13"),
    ("1 3 5 b7 #11", DOBRIAN, "7#11"),
    ("1 3 5 b7 #11", INTEGRATED, "7(#11)"),
    ("1 3 5 b7 #11", GARCIA, "7+11"),
    ("1 3 5 b7 9 #11", DOBRIAN, "9#11"),
    ("1 3 5 b7 9 #11", PRACTICE, "9(#11)"),
    ("1 3 b5 b7", DOBRIAN, "7b5"),
    ("1 3 b5 b7", ARMONIA, "7(b5) 7(-5)"),
    ("1 3 b5 b7", PRACTICE, "7-5"),
    ("1 3 5 b7 b13", INTEGRATED, "7b13 7(b13)"),
    ("1 3 #5 b7", DOBRIAN, "7#5 +7"),
    ("1 3 #5 b7", ARMONIA, "7(#5) 7(+5)"),
    ("1 3 #5 b7", GARCIA, "7+5"),
    ("1 3 #5 b7", WIKIPEDIA, "aug7"),
    ("1 3 #5 b7", OPENEWLD, "7+"),
    ("1 3 #5 b7", PRACTICE, "7aug"),
    ("1 3 #5 b7 9", OPENEWLD, "9#5 9+"),
    ("1 3 #5 b7 9", MUSIC21, "+9 aug9"),
    ("1 3 b5 b7 9", DOBRIAN, "9b5"),
    ("1 3 b5 b7 b9", WIKIPEDIA, "7b5b9 7(b5b9)"),
    ("1 3 b5 b7 #9", WIKIPEDIA, "7b5#9"),
    ("1 3 #5 b7 b9", WIKIPEDIA, "7#5b9"),
    ("1 3 #5 b7 #9", WIKIPEDIA, "7#5#9 +7(#9) 7(#5,#9)"),
    ("1 3 5 b7 b9 #11", PRACTICE, "7b9#11 7(b9,#11)"),
    ("1 3 5 b7 b9 b13", PRACTICE, "7b9b13 7(b9,b13)"),
    ("1 3 5 b7 #9 #11", PRACTICE, "7#9#11"),
    ("1 3 5 b7 b9 #9", PRACTICE, "7b9#9"),
    ("1 3 5 b7 b9 13", HANDOUT, "13b9 13(b9) 13-9"),
    ("1 3 5 b7 9 #11 13", PRACTICE, "13#11 13(#11)"),
    ("1 3 5 b7 #9 13", PRACTICE, "13#9"),
    ("1 3 b5 #5 b7 b9 #9", WIKIPEDIA, "7alt 7(alt)"),
    ("1 3 b5 #5 b7 b9 #9", PRACTICE, "alt alt7"),
    ("1 4 5 b7", DOBRIAN, "7sus4 7sus"),
    ("1 4 5 b7", WIKIPEDIA, "sus7"),
    ("1 4 5 b7", PRACTICE, "7(sus4)"),
    ("1 4 5 b7 9", WIKIPEDIA, "9sus4"),
    ("1 4 5 b7 9", DOBRIAN, "9sus"),
    ("1 4 5 b7 9 13", PRACTICE, "13sus4"),
    ("1 4 5 b7 9 13", MUSICXML, "13sus"),
    ("1 4 5 b7 b9", PRACTICE, "7sus4(b9) sus(b9) 7susb9"),
    ("1 2 5 b7", PRACTICE, "7sus2"),
    ("1 5 b7", PRACTICE, "7(no3)"),
    ("1 3 b7", PRACTICE, "7no5 7omit5"),
    ("1 4 5", DOBRIAN, "sus sus4"),
    ("1 4 5", PRACTICE, "(sus4)"),
    ("1 4 5", SCHMIDT, "4"),
    ("1 2 4 5", PRACTICE, "sus2sus4 sus24"),
    ("1 b3 5", OMT, "m mi -"),
    ("1 b3 5", INTEGRATED, "min"),
    ("1 b3 5", WIKIPEDIA, "−"),
    ("1 b3 5", BRANDT, "MI"),
    ("1 b3 5 6", DOBRIAN, "m6 -6"),
    ("1 b3 5 6", WIKIPEDIA, "min6"),
    ("1 b3 5 6", HANDOUT, "mi6"),
    ("1 b3 5 6 9", DOBRIAN, "m69 -69 m6/9"),
    ("1 b3 5 b6", PRACTICE, "m(b6)"),
    ("1 b3 5 b7", WIKIPEDIA, "m7 min7"),
    ("1 b3 5 b7", DOBRIAN, "-7"),
    ("1 b3 5 b7", ARMONIA, "mi7"),
    ("1 b3 5 b7", BRANDT, "MI7"),
    ("1 b3 5 b7 9 11", WIKIPEDIA, "m11"),
    ("1 b3 5 b7 9 11", DOBRIAN, "-11"),
    ("1 b3 5 b7 9 11", MUSICXML, "min11"),
    ("1 b3 5 b7 9 11 13", MUSICXML, "m13"),
    ("1 b3 5 b7 11", HANDOUT, "m7(11)"),
    ("1 b3 5 b7 11", PRACTICE, "m7/11 m7add11"),
    ("1 b3 5 b7 #11", DOBRIAN, "m7#11"),
    ("1 b3 5 b7 b9", PRACTICE, "m7b9"),
    ("1 b3 5 9", DOBRIAN, "m(add9) madd9 -(add9) min(add9)"),
    ("1 2 b3 5", PRACTICE, "m(add2)"),
    ("1 b3 5 7", ARMONIA, "m(maj7) min(maj7) -(maj7) m(#7) m(+7)"),
    ("1 b3 5 7", DOBRIAN, "mMaj7 -Δ7 -maj7 mΔ7"),
    ("1 b3 5 7", WIKIPEDIA, "mM7 m/M7 m(M7) minmaj7 min/maj7"),
    ("1 b3 5 7", HANDOUT, "-Δ mi(MA7)"),
    ("1 b3 5 7", MUSIC21, "m#7"),
    ("1 b3 5 7 9", DOBRIAN, "m(maj9) mMaj9 -Δ9"),
    ("1 b3 5 7 9", MUSIC21, "mM9"),
    ("1 b3 b5 b7", OMT, "m7b5"),
    ("1 b3 b5 b7", HANDOUT, "m7(b5) mi7(b5)"),
    ("1 b3 b5 b7", ARMONIA, "m7-5 m7(-5) -7(b5) mi7b5"),
    ("1 b3 b5 b7", DOBRIAN, "-7b5 ø7"),
    ("1 b3 b5 b7", INTEGRATED, "min7b5 min7(b5) ø"),
    ("1 b3 b5 b7", WIKIPEDIA, "∅"),
    ("1 b3 b5 b7", PRACTICE, "Ø7"),
    ("1 b3 b5 b7 9", MUSIC21, "ø9"),
    ("1 b3 b5 b7 9", DOBRIAN, "-9b5"),
    ("1 b3 b5 b7 9 11", DOBRIAN, "ø11 -11b5"),
    ("1 b3 #5 b7", DOBRIAN, "-7#5 m7#5"),
    ("1 b3 b5", OMT, "m(b5) m(-5) dim º"),
    ("1 b3 b5", HUTCHINSON, "°"),
    ("1 b3 b5", DOBRIAN, "o"),
    ("1 b3 b5", PRACTICE, "0"),
    ("1 b3 #5", OPENEWLD, "m#5"),
    ("1 b3 b5 bb7", ARMONIA, "dim7 º7"),
    ("1 b3 b5 bb7", INTEGRATED, "°7"),
    ("1 b3 b5 bb7", DOBRIAN, "o7"),
    ("1 b3 b5 bb7 9", MUSIC21, "dim9"),
    ("1 b3 b5 bb7 9", DOBRIAN, "o9"),
    ("1 b3 b5 7", PRACTICE, "dim(maj7) °(maj7) °Δ7"),
    ("1 b3 b5 bb7 7", PRACTICE, "dim7(maj7)"),
    ("1 3 #5", OMT, "+ aug"),
    ("1 3 #5", PRACTICE, "(#5)"),
    ("1 3 #5", GARCIA, "+5 (+5)"),
)  # fmt: skip
"""Rows of degrees, source and printed forms, parted by spaces."""

PRINTED_FORMS: Final[dict[str, Quality]] = {
    form: Quality.from_formula(formula)
    for formula, _, forms in FORMS
    for form in forms.split() or ("",)
}
"""Every printed form of the table, and what it means."""

NO_CHORD_TEXTS: Final = frozenset(
    {"N.C.", "N.C", "NC", "NC.", "N", "n.c.", "nc", "no chord", "No chord",
     "No Chord", "NO CHORD", "(N.C.)", "(NC)"}
)  # fmt: skip
"""What is printed where no chord sounds (common practice; ``N``: Harte syntax)."""
