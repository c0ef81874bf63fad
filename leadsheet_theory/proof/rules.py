"""The rules of the proofreader: what is looked for, how much it matters, what to do,
why, and on whose word."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from attrs import frozen

from ..leadsheet.findings import Severity

__all__ = ("FAULTS", "PROOF_RULES", "Fault", "ProofRule", "rule_named")

_COMMON: Final = "common practice, no source"
_W3C: Final = "W3C, MusicXML 4.0, "


@frozen(order=False)
class ProofRule:
    """A rule of the proofreader.

    `name` is what a finding's `rule` says; `looks_for`, `advice`, `why` and `source`
    are for people.  A finding may matter less or more than the rule's `severity`
    where its page says so.
    """

    name: str
    severity: Severity
    looks_for: str
    advice: str
    why: str
    source: str = _COMMON


PROOF_RULES: Final[tuple[ProofRule, ...]] = (
    # the chart as a whole
    ProofRule(
        "heading",
        "note",
        "a chart without a title, or without anybody who wrote it",
        "give it one",
        "a part without a title is lost on the stand",
        "D. J. Argue, “Music Preparation Fundamentals”",
    ),
    ProofRule(
        "no-melody",
        "warning",
        "a chart without a note of melody",
        "check that the right part was read",
        "there is nothing to play",
    ),
    ProofRule(
        "no-chords",
        "warning",
        "a chart without a chord symbol",
        "check that the right part was read",
        "the rhythm section needs them",
    ),
    ProofRule(
        "clef",
        "note",
        "a tune that lies below middle C for the most part",
        "move it an octave up, or think of the bass clef",
        "ledger lines are hard to read",
        "Wikipedia, “Ledger line”",
    ),
    # key
    ProofRule(
        "key",
        "note",
        "a key signature of seven accidentals or more",
        "write the enharmonic key",
        "nobody reads it at sight",
        "C. Schmidt-Jones, Understanding Basic Music Theory, "
        "“Transposition: Changing Keys”",
    ),
    ProofRule(
        "signature",
        "warning",
        "a key signature that the notes contradict from beginning to end",
        "write the signature of the key that is played",
        "every bar carries signs that the right signature would save",
    ),
    ProofRule(
        "key-change",
        "warning",
        "eight bars or more in another key than the signature's",
        "change the signature there, if the key really changes",
        "the player reads in the wrong key",
    ),
    # bars
    ProofRule(
        "meter",
        "error",
        "a time signature that most of its bars contradict",
        "write the time signature of the bars",
        "nobody can count them",
    ),
    ProofRule(
        "bar-length",
        "error",
        "a bar too long for its metre, or a line in it "
        "with gaps or notes over the bar line",
        "mend the bar",
        "the band parts there",
    ),
    ProofRule(
        "bar-short",
        "error",
        "a bar too short for its metre that neither is a "
        "pickup nor gives one its beats (the last bar: a warning)",
        "fill the bar",
        "the band parts there",
        "J. Feist 2007 on pickups; else common practice",
    ),
    ProofRule(
        "overlap",
        "error",
        "notes of one line that overlap",
        "mend the bar",
        "one player has one line",
    ),
    ProofRule(
        "empty-bar",
        "warning",
        "a bar inside the tune with neither note nor "
        "chord, alone among bars that sound (with a rest in it a query)",
        "fill it, or take it out",
        "nobody knows whether it is played",
    ),
    ProofRule(
        "bar-number",
        "note",
        "bar numbers that skip or repeat",
        "number the bars on, the pickup as 0",
        "a rehearsal needs one number for each bar",
        _W3C + "measure number",
    ),
    ProofRule(
        "hits",
        "error",
        "hits that overlap or run over the bar line",
        "mend the rhythm line",
        "the band can't hit them together",
    ),
    # rhythm
    ProofRule(
        "written-value",
        "error",
        "a note written longer or shorter than it lasts",
        "mend its value or its duration",
        "the page shows what is not played",
        _W3C + "type and duration",
    ),
    ProofRule(
        "rhythm",
        "note",
        "a note or rest that hides the middle of the bar or a beat that must be seen",
        "write it as tied notes, or as two rests",
        "a reader looks for the beats",
        "Berklee, “Imaginary Barlines”; R. Hutchinson, Music Theory for the "
        "21st-Century Classroom 4.6",
    ),
    # the melody
    ProofRule(
        "tie",
        "error",
        "half a tie, or one between different notes",
        "tie to the next note of the same pitch, or not at all",
        "nobody knows whether the note is struck",
        _W3C + "tie",
    ),
    ProofRule(
        "slur",
        "note",
        "half a slur or glissando",
        "give it its other end",
        "it leads nowhere",
        _W3C + "slur",
    ),
    ProofRule(
        "lyric",
        "note",
        "a word that is left open or never begun; a syllable "
        "under a note that is only held",
        "mend the syllables",
        "hyphens run on over the page",
        _W3C + "syllabic",
    ),
    ProofRule(
        "accidental",
        "warning",
        "a note that lost a sign or has one too many: "
        "a like place, its chord, the key and the notes beside it all want the "
        "other",
        "write the other, or let it stand if it is meant",
        "a lost sign is the commonest slip in a tune",
        "J. Gates, Berklee blogs, on checking parts; R. Hutchinson, Music Theory "
        "for the 21st-Century Classroom, on embellishing tones",
    ),
    ProofRule(
        "octave",
        "warning",
        "a note or some notes an octave off: a leap beyond a "
        "ninth that comes straight back",
        "move it an octave",
        "nobody sings it so",
    ),
    ProofRule(
        "double-accidental",
        "note",
        "a double sharp or double flat in the "
        "melody or in a chord symbol's root or bass",
        "respell it unless the harmony wants it",
        "it is read too slowly",
    ),
    ProofRule(
        "enharmonic",
        "note",
        "a chord tone of the melody, foreign to the key, "
        "that is spelled otherwise than the chord spells it, or a lower neighbour "
        "on the letter of its main note",
        "spell it as the chord or the line does",
        "note and symbol should agree",
        "R. Hutchinson, Music Theory for the 21st-Century Classroom 6.2",
    ),
    ProofRule(
        "range",
        "query",
        "notes that no octave brings into the reader's range "
        "(for an instrument: notes outside its range as the tune stands, a "
        "warning)",
        "change the note or the reader",
        "they can't be played",
        "the table of instruments names the source of each range",
    ),
    # chord symbols
    ProofRule(
        "chord-place",
        "error",
        "a chord symbol outside its bar",
        "move it",
        "it belongs to no beat",
    ),
    ProofRule(
        "chord-beat",
        "warning",
        "a chord symbol off the beat where no note begins",
        "put it on the beat",
        "nobody changes chords there",
    ),
    ProofRule(
        "stacked-chords",
        "warning",
        "two chord symbols on one beat",
        "place each on its beat",
        "nobody knows when the second one comes",
    ),
    ProofRule(
        "chord-missing",
        "warning",
        "full bars before the first chord; many bars "
        "without one while the melody leaves the last (a query)",
        "write the chords, or N.C.",
        "the rhythm section does not know what to play",
    ),
    ProofRule(
        "chord-repeated",
        "note",
        "the same symbol again where nothing begins",
        "leave it out",
        "a symbol means a change",
    ),
    ProofRule(
        "chord-root",
        "warning",
        "a chord that the melody contradicts, while the "
        "chord a semitone beside it fits",
        "check its root",
        "a root easily loses its sign",
    ),
    ProofRule(
        "chord-quality",
        "warning",
        "a chord whose third, fifth or seventh the melody contradicts",
        "check its quality",
        "a letter easily gets lost",
        "R. Hutchinson, Music Theory for the 21st-Century Classroom, on available "
        "tensions",
    ),
    ProofRule(
        "chord-spelling",
        "note",
        "a chromatic root that has another name than the chords beside it ask for",
        "name it as the idiom does",
        "it is read at sight by its function",
        "the table of root idioms names the source of each",
    ),
    ProofRule(
        "chord-bass",
        "warning",
        "a slash bass that is no tone of its chord, no step of a line and no pedal",
        "check the bass",
        "it sounds as a slip",
    ),
    ProofRule(
        "chord-text",
        "warning",
        "a chord symbol printed otherwise than it is "
        "meant (one that can't be read: an error)",
        "print what is meant",
        "players read the text",
        _W3C + "kind and its text",
    ),
    ProofRule(
        "chord-ambiguous",
        "note",
        "a chord symbol that handbooks read in two ways",
        "print it so that it can be read in one way",
        "two players play two chords",
    ),
    ProofRule(
        "words",
        "warning",
        "a chord symbol entered as words, or words that came out damaged",
        "enter it as what it is",
        "words are not transposed in the parts",
    ),
    # like places, pickups and pushes
    ProofRule(
        "parallel",
        "query",
        "a bar that differs in one note or one chord from the "
        "bar it is like, with the same bars around both",
        "make them alike, or let it stand if it is meant",
        "a difference between like places is the best sign of a slip",
    ),
    ProofRule(
        "pickup",
        "warning",
        "a repeat or D.C. to the pickup from a full bar; a "
        "bar that restates the pickup without its chord or hits (a query)",
        "let both fit together",
        "the band plays beats too many",
        "J. Feist 2007 on pickups",
    ),
    ProofRule(
        "push",
        "query",
        "hit and melody that anticipate a chord whose symbol stands on the beat after",
        "put the symbol over the push",
        "half the band changes late",
        "D. Darling, “Anticipation”",
    ),
    # form
    ProofRule(
        "repeat",
        "warning",
        "repeat signs that contradict one another",
        "mend the signs",
        "the band parts there",
        "LearnMusicTheory.net 1.8",
    ),
    ProofRule(
        "ending",
        "warning",
        "ending brackets that contradict one another or have no end repeat",
        "mend the brackets",
        "the band parts there",
        "C. Schmidt-Jones, Understanding Basic Music Theory, “Repeats and Other "
        "Musical Road Map Signs”",
    ),
    ProofRule(
        "jump",
        "warning",
        "D.C., D.S. and the signs they lead to that contradict one another, "
        "or bars that nothing leads to",
        "mend the signs",
        "the band parts there",
        _W3C + "sound",
    ),
    ProofRule(
        "section-letter",
        "warning",
        "a section's letter twice over different music, skipped or out of order",
        "letter the sections in order",
        "“from letter B” must mean one place",
        "Wikipedia, “Rehearsal letter”",
    ),
    ProofRule(
        "section",
        "note",
        "a section that starts without a double bar line",
        "set a double bar line before it",
        "the eye looks for it",
        "C. Smith, “Charts”",
    ),
    ProofRule(
        "final-bar",
        "note",
        "a chart that ends without a final bar line",
        "end it with one",
        "nobody knows whether a page is missing",
    ),
)
"""Every rule, in the order of a proofreader's passes."""

_BY_NAME: Final[Mapping[str, ProofRule]] = MappingProxyType(
    {rule.name: rule for rule in PROOF_RULES}
)


def rule_named(name: str, /) -> ProofRule | None:
    """The rule of that name, or None."""
    return _BY_NAME.get(name)


@frozen(order=False)
class Fault:
    """A kind of fault as proofreaders sort them: the rules that name it, and how much
    it matters at most."""

    name: str
    rules: tuple[str, ...]
    severity: Severity


_FAULTS: Final[tuple[tuple[str, str, Severity], ...]] = (
    ("bar too short", "bar-short", "error"),
    ("bar too long", "bar-length", "error"),
    ("metre mismatch", "meter", "error"),
    ("tie that does not tie", "tie", "error"),
    ("empty bar", "empty-bar", "warning"),
    ("rhythm hard to read", "rhythm", "note"),
    ("notes overlap", "overlap", "error"),
    ("letter twice, skipped or out of order", "section-letter", "warning"),
    ("no final bar line", "final-bar", "note"),
    ("repeat unmatched", "repeat", "error"),
    ("ending unmatched", "ending", "error"),
    ("jump that leads nowhere", "jump", "error"),
    ("signature against the notes", "signature", "warning"),
    ("key change unmarked", "key-change", "warning"),
    ("accidental missing", "accidental tie", "warning"),
    ("octave slip", "octave", "warning"),
    ("wrong quality", "chord-quality", "warning"),
    ("wrong root", "chord-root", "warning"),
    ("wrong bass", "chord-bass", "warning"),
    ("chord off the beat", "chord-beat", "warning"),
    ("chords stacked", "stacked-chords", "warning"),
    ("chord missing", "chord-missing", "warning"),
    ("chord repeated", "chord-repeated", "note"),
    ("chord spelled oddly", "chord-spelling double-accidental", "note"),
    ("note spelled oddly", "enharmonic", "note"),
    ("double accidental", "double-accidental", "note"),
    ("lyric astray", "lyric", "note"),
    ("text unreadable", "chord-text words", "error"),
    ("out of range", "range", "warning"),
    ("heading incomplete", "heading", "note"),
    ("wrong clef", "clef", "note"),
    ("unlike a like place", "parallel accidental octave", "query"),
    ("pickup does not fit", "pickup", "warning"),
    ("push before its chord", "push", "query"),
)  # fmt: skip
FAULTS: Final[tuple[Fault, ...]] = tuple(
    Fault(name, tuple(rules.split()), severity) for name, rules, severity in _FAULTS
)
"""Which rule names which kind of fault."""
