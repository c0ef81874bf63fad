"""The codes of findings, beside those of the proofreader's rules.

A code is what a finding's `rule` says: it stays the same between patch versions, while
the words of the message may be bettered.  What a program does about a finding, and any
words of its own or in another language, hang on the code.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

__all__ = ("FINDING_CODES",)

_READING: Final = {
    # what a file says and a sheet can't hold, or says in several ways
    "unread": "something of the file is not carried",
    "layout": "elements that only engrave the source are left out",
    "playback": "elements for playback alone are left out",
    "metadata": "elements about the file are left out",
    "hidden": "what the source hides is not printed",
    "title": "where the title was found, or that there is none",
    "creator": "a name without a role, and the role it is taken for",
    "encoding": "the encoding of the text, where it is not as the file says",
    "container": "which score of a compressed file is read",
    "timewise": "the score is ordered by measures, not by parts",
    "parts": "parts that differ in their bars",
    "staff": "a staff that is not carried, and why",
    "bass-line": "which staff is read as the bass line",
    "chord-part": "which part's chord symbols are read",
    "chord-parts": "parts whose chord symbols differ",
    "chord-words": "words that look like a chord symbol",
    "chord-lengths": "notes of one chord that differ in length",
    "chord-ties": "notes of one chord that differ in their ties",
    "backup": "a voice that goes back before its bar",
    "offset": "a sign that is placed outside its bar",
    "gap": "a silence that is not written",
    "microtone": "a note between two keys of the keyboard",
    "measure-repeat": "signs that repeat a bar are written out",
    "slashes": "slashes that are kept, put in or left out",
    "coda": "how a coda sign is read",
    "tempo": "a tempo mark that is not carried as it stands",
    "swing": "how eighths are played, and where that was found",
    "lyrics": "open words of the lyrics are closed",
    "ties": "an open tie is closed or left out",
}

_ABC: Final = {
    # ABC notation: what is written against the standard, and how it is read
    "bad-charset": "a character set that is none of the standard's",
    "bad-decoration-name": "a decoration whose name can't be one",
    "bad-inline-field": "a field in the line that can't be read",
    "bad-macro": "a macro that is none",
    "bad-parts": "an order of parts that can't be read",
    "bad-rest": "a rest of no bars",
    "bad-tuplet": "a tuplet that can't be read",
    "bad-u": "a letter that is given no meaning",
    "bad-x": "a number of a tune that is none",
    "bar-line": "a bar that ends without a bar line",
    "broken-rhythm-across-bar": "broken rhythm over a bar line",
    "broken-rhythm-no-first": "broken rhythm without a first note",
    "broken-rhythm-too-long": "more than three signs of broken rhythm",
    "broken-rhythm-unequal": "broken rhythm between notes of unequal length",
    "charset": "the character set that the text is read in",
    "chord-not-closed": "a chord without its end",
    "chord-without-note": "a chord symbol before no note",
    "continuation-before-empty-line": "a line that goes on in an empty one",
    "decoration": "how a decoration is carried",
    "decoration-not-closed": "a decoration without its end",
    "deprecated-field": "a field that the standard gives up",
    "empty-chord": "a chord without notes",
    "ending-list": "numbers of an ending that can't be read",
    "ending-not-adjacent": "an ending that does not touch its bar line",
    "ending-range": "numbers of an ending that run backwards",
    "ending-repeated": "an ending that stands twice",
    "ending-without-first": "an ending without a first one",
    "field-not-allowed-in-body": "a field that may not stand in the music",
    "grace-not-closed": "grace notes without their end",
    "include-not-read": "a file that is asked for and never opened",
    "lyrics-before-music": "words before any note",
    "macro-loops": "a macro that holds itself",
    "missing-k": "a tune without a key",
    "missing-t": "a tune without a title",
    "missing-x": "a tune without a number",
    "parts-order": "an order of parts that is written out",
    "plus-chord": "a chord in an obsolete writing",
    "repeat-not-closed": "a repeat without its end",
    "rest-too-long": "a rest of more bars than can be",
    "second-x": "a second number in one tune",
    "slur-not-closed": "a slur without its end",
    "space-in-chord": "a space within a chord",
    "stray-brace": "a brace without its other",
    "stray-bracket": "a bracket without its other",
    "stray-number": "a number that belongs to nothing",
    "stray-sign": "a sign that belongs to nothing",
    "stray-slur-end": "the end of a slur that never began",
    "stray-text": "a line that is no field",
    "string-not-closed": "a quotation mark without its other",
    "t-not-second": "a title that does not follow the number",
    "tie-not-adjacent": "a tie that touches no note before it",
    "tie-on-rest": "a tie after a rest",
    "tie-to-nothing": "a tie to no note",
    "too-long": "a tune that is cut",
    "too-many": "remarks that are left out",
    "too-many-syllables": "more syllables than notes",
    "tuplet-too-short": "a tuplet that lacks notes",
    "unknown-decoration": "a decoration that nobody knows",
    "unknown-field": "a field that is not known",
    "unknown-part": "an order that names parts there are not",
    "voices": "voices that differ in their bars",
}

_WRITING: Final = {
    # what written ABC does not hold
    "accidentals": "accidentals that are written otherwise",
    "bar-lines": "bar lines that are written otherwise",
    "bar-numbers": "how bars are counted when read back",
    "chords": "chord symbols that are written otherwise",
    "dynamics": "dynamics that are lost",
    "endings": "endings that are written otherwise",
    "graces": "grace notes that are written otherwise",
    "marks": "marks that are lost or written otherwise",
    "places": "places of words that are lost",
    "repeats": "repeats that are written otherwise",
    "slurs": "slurs that are lost",
    "solos": "changes for the solos that are lost",
}

_MAKING: Final = {
    # what was decided when parts were made and drawn
    "by-hand": "what a part has from a player's staff of the file",
    "data": "a field that a newer version wrote",
    "felt-chords": "a chord that is moved onto the beat, or can't be",
    "folding": "what folding a tune leaves out",
    "form": "a sign of form that a part adds",
    "hidden-rests": "rests that are hidden under cues",
    "house-style": "charts of a folder that are not of one style",
    "letters": "letters that a tune lacks, or is given",
    "page-fonts": "words that the fonts of the pages have no letters for",
    "plan": "parts whose plan of systems differs",
    "solo-chorus": "a chorus that is kept as the solo page",
    "solo-page": "what is moved or left out on the solo page",
    "stop-time": "where time stops, and hits stand in the staff",
}

FINDING_CODES: Final[Mapping[str, str]] = MappingProxyType(
    {**_READING, **_ABC, **_WRITING, **_MAKING}
)
"""What each code of a finding tells, save those of :data:`.PROOF_RULES`."""
