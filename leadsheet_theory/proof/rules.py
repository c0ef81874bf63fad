"""A proofreader for lead sheets.

It reads a chart as a copyist's second pair of eyes does, and asks rather than
alters.  Each rule of :data:`PROOF_RULES` says what is looked for, how much it
matters, what to do and on whose word.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from fractions import Fraction
from typing import Final

from attrs import frozen

from ..errors import UnknownRuleError
from ..instruments.books import STANDARD_BOOKS
from ..instruments.octaves import best_octave
from ..instruments.ranges import Reader, check_range
from ..leadsheet.findings import Finding, Severity
from ..leadsheet.form import play_order
from ..leadsheet.model import LeadSheet
from ..leadsheet.timeline import placed_melody
from ._bars import check_bars
from ._chords import check_chords
from ._form import check_form
from ._melody import check_melody
from ._remarks import Remark, place_of

__all__ = ("PROOF_RULES", "ProofRule", "proofread")

_COMMON: Final = "common practice, no source"


@frozen(order=False)
class ProofRule:
    """A rule of the proofreader.

    `name` is what a finding's `rule` says; `looks_for`, `advice` and `source`
    are for people.
    """

    name: str
    severity: Severity
    looks_for: str
    advice: str
    source: str = _COMMON


PROOF_RULES: Final[tuple[ProofRule, ...]] = (
    # the chart as a whole
    ProofRule("title", "note", "a chart without a title", "give it one"),
    ProofRule("no-melody", "warning", "a chart without a note of melody",
              "check that the right part was read"),
    ProofRule("no-chords", "warning", "a chart without a chord symbol",
              "check that the right part was read"),
    ProofRule("key", "note", "a key signature of seven accidentals or more",
              "write the enharmonic key",
              "C. Schmidt-Jones, Understanding Basic Music Theory, "
              "“Transposition: Changing Keys”"),
    # bars
    ProofRule("bar-length", "error", "a bar too long for its metre, or a line in it "
              "with gaps, overlaps or notes over the bar line", "mend the bar"),
    ProofRule("bar-short", "note", "a bar too short for its metre that is no pickup",
              "check it is meant: a bar may be parted by a repeat, or give its beats "
              "to a pickup"),
    ProofRule("bar-number", "note", "bar numbers that skip or repeat",
              "number the bars on, the pickup as 0",
              "W3C, MusicXML 4.0, measure number"),
    ProofRule("hits", "error", "hits that overlap or run over the bar line",
              "mend the rhythm line"),
    # rhythm
    ProofRule("written-value", "error", "a note written longer or shorter than it "
              "lasts", "mend its value or its duration",
              "W3C, MusicXML 4.0, type and duration"),
    ProofRule("rhythm", "note", "a note or rest that hides the middle of the bar or "
              "a beat that must be seen", "write it as tied notes, or as two rests",
              "Berklee, “Imaginary Barlines”; R. Hutchinson, Music Theory for the "
              "21st-Century Classroom 4.6"),
    # the melody
    ProofRule("tie", "warning", "half a tie, or one between different notes",
              "tie to the next note of the same pitch, or not at all",
              "W3C, MusicXML 4.0, tie"),
    ProofRule("slur", "note", "half a slur or glissando", "give it its other end"),
    ProofRule("double-accidental", "note", "a double sharp or double flat in the "
              "melody or in a chord symbol's root or bass",
              "respell it unless the harmony wants it"),
    ProofRule("enharmonic", "note", "a chord tone of the melody, foreign to the key, "
              "that is spelled otherwise than the chord spells it",
              "spell it as the chord's tone",
              "R. Hutchinson, Music Theory for the 21st-Century Classroom 6.2"),
    ProofRule("clash", "note", "a long note on the beat, not left by step, a semitone "
              "above a tone of its chord that can't bear it",
              "check the note and the chord"),
    ProofRule("range", "warning", "a note no octave brings into the reader's range",
              "change the note or the reader",
              "the table of instruments names the source of each range"),
    # chord symbols
    ProofRule("chord-place", "error", "a chord symbol outside its bar", "move it"),
    ProofRule("stacked-chords", "warning", "two chord symbols on one beat",
              "place each on its beat"),
    ProofRule("chord-text", "warning", "a chord symbol printed otherwise than it is "
              "meant", "print what is meant", "W3C, MusicXML 4.0, kind and its text"),
    ProofRule("chord-ambiguous", "note", "a chord symbol that handbooks read in two "
              "ways", "print it so that it can be read in one way"),
    # form
    ProofRule("repeat", "warning", "repeat signs that contradict one another",
              "mend the signs", "LearnMusicTheory.net 1.8"),
    ProofRule("ending", "warning", "ending brackets that contradict one another or "
              "have no end repeat", "mend the brackets", "C. Schmidt-Jones, "
              "Understanding Basic Music Theory, “Repeats and Other Musical Road Map "
              "Signs”"),
    ProofRule("jump", "warning", "D.C., D.S., fine, segno and coda that contradict one "
              "another, or bars that nothing leads to", "mend the signs",
              "W3C, MusicXML 4.0, sound"),
    ProofRule("section", "note", "a section that starts without a double bar line",
              "set a double bar line before it", "C. Smith, “Charts”"),
    ProofRule("final-bar", "warning", "a chart that ends without a final bar line",
              "end it with one"),
)  # fmt: skip
"""Every rule, in the order of a proofreader's passes."""

_RULES: Final = {rule.name: rule for rule in PROOF_RULES}


def proofread(
    sheet: LeadSheet,
    /,
    *,
    readers: Sequence[Reader] = STANDARD_BOOKS,
    skip: Collection[str] = (),
) -> tuple[Finding, ...]:
    """What a proofreader would ask about a chart, in the order of its bars.

    Args:
        sheet: the chart, at concert pitch.
        readers: whose ranges to check the melody against; each gets the octave
            that suits it best.
        skip: names of rules that don't matter now.

    Raises:
        UnknownRuleError: if `skip` names no rule.

    >>> from fractions import Fraction as F
    >>> from leadsheet_theory import Key, Meter, Pitch
    >>> from leadsheet_theory.leadsheet import Bar, Note
    >>> note = Note(F(0), F(3), (Pitch.parse("B4"),))
    >>> bar = Bar(1, Key.parse("Bb major"), Meter(4, 4), F(4), melody=(note,))
    >>> for finding in proofread(LeadSheet("Ebb at Noon", (bar,))):
    ...     print(finding)
    no chord symbol in the whole chart (check that the right part was read)
    bar 1: the last bar line is not a final one (end it with one)
    bar 1, beat 4: 1 quarter missing in the melody (mend the bar)
    """
    for name in skip:
        if name not in _RULES:
            raise UnknownRuleError(name, tuple(_RULES))
    found = [_finding(remark) for remark in _remarks(sheet)]
    found += _out_of_range(sheet, readers)
    found += play_order(sheet.bars).problems
    kept = (finding for finding in found if finding.rule not in skip)
    return tuple(sorted(kept, key=_place))


def _place(finding: Finding) -> tuple[int, Fraction]:
    return (
        -1 if finding.bar is None else finding.bar,
        Fraction(0) if finding.beat is None else finding.beat,
    )


def _remarks(sheet: LeadSheet) -> Iterator[Remark]:
    yield from check_form(sheet)
    yield from check_bars(sheet)
    yield from check_melody(sheet)
    yield from check_chords(sheet)


def _out_of_range(sheet: LeadSheet, readers: Sequence[Reader]) -> Iterator[Finding]:
    melody = placed_melody(sheet)
    if not melody:
        return
    rule = _RULES["range"]
    for reader in readers:
        advice = best_octave(melody, reader)
        if not advice.cost.outside:
            continue
        for note in check_range(melody, reader, octaves=advice.octaves):
            if not note.comfortable_only:
                yield Finding(
                    rule.name,
                    rule.severity,
                    note.message,
                    bar=note.bar,
                    beat=note.beat,
                    advice=rule.advice,
                )


def _finding(remark: Remark) -> Finding:
    rule = _RULES[remark.rule]
    bar = remark.bar
    beat = None
    if bar is not None and remark.onset is not None:
        beat = place_of(bar, remark.onset)
    return Finding(
        rule.name,
        rule.severity,
        remark.message,
        bar=None if bar is None else bar.number,
        beat=beat,
        advice=remark.advice or rule.advice,
    )
