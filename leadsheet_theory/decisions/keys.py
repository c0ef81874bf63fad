"""What can be decided: the keys of a file of decisions, in the order of the guide."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Final, Literal, get_args

from attrs import frozen

from ..chords.styles import STYLES
from ..errors import DecisionError
from ..key import Key
from ..leadsheet.felt_chords import ChordChoice
from ..leadsheet.folding import FoldAim
from ..leadsheet.signs import Jump
from ..leadsheet.slash_time import SlashedBars
from ..parts.hits import CueCut, CueStart
from ..parts.solo_changes import SoloForm
from ..parts.systems import PAPERS
from ..proof.silence import Silence
from ..rhythm.beams import (
    BY_BEAT,
    HALF_BAR_WHEN_FILLED,
    HALF_BAR_WHEREVER,
    WHOLE_BAR,
    BeamStyle,
)
from ._wishes import (
    beam_wish,
    between,
    books_called,
    check_heading,
    chord_correction,
    cued_bars,
    label_wish,
    name_wish,
    note_correction,
    note_wish,
    octave_wish,
    one_of,
    reader_called,
    root_wish,
    solos_wish,
    stopped_bars,
)

__all__ = ("BEAM_STYLES", "DECISION_KEYS", "DecisionKey", "key_called")

_Holds = Literal[
    "a text", "a number", "true or false", "a list of texts", "a list of numbers"
]


@frozen(order=False, kw_only=True)
class DecisionKey:
    """A key: what it `holds` (a list may also be a table of names and values), and what
    it `says` in a few words.

    `option` is the option of the command line that says the same, without its dashes;
    `whole` that it is a whole number; `of_tune` that it is for one tune, so that no
    band's file has it, and `of_place` that it names bars of it.  `check` reads a
    value's text, and refuses what can't be.
    """

    name: str
    holds: _Holds = "a text"
    says: str
    option: str
    check: Callable[[str], object] = str
    whole: bool = False
    of_tune: bool = False
    of_place: bool = False

    @property
    def listed(self) -> bool:
        """Whether it holds a list."""
        return self.holds in ("a list of texts", "a list of numbers")


def _key(
    name: str,
    says: str,
    check: Callable[[str], object] = str,
    holds: _Holds = "a text",
    *,
    option: str = "",
    whole: bool = False,
    of_tune: bool = False,
    of_place: bool = False,
) -> DecisionKey:
    return DecisionKey(
        name=name, holds=holds, says=says, option=option or name, check=check,
        whole=whole, of_tune=of_tune or of_place, of_place=of_place,
    )  # fmt: skip


_LIST: Final = "a list of texts"
_LOOKS: Final = ("engraved", "handwritten")
_STYLES: Final = (*(style.name for style in STYLES), "as printed")

BEAM_STYLES: Final[Mapping[str, BeamStyle]] = MappingProxyType(
    {
        "by the beat": BY_BEAT,
        "half bars when filled": HALF_BAR_WHEN_FILLED,
        "half bars": HALF_BAR_WHEREVER,
        "whole short bars": WHOLE_BAR,
    }
)
"""The ways to beam eighths by the names that decisions call them."""

_KEYS: Final = (
    _key("hits", "the staff that holds the hits, or none"),
    _key("bass-line", "the staff that holds a bass line, or none"),
    _key("title", "the title in place of the chart's own", of_tune=True),
    _key("composer", "the composer in place of the chart's own"),
    _key("key", "the concert key of the parts", Key.parse, of_tune=True),
    _key("books", "the books that are made", books_called, _LIST, option="book"),
    _key("instruments", "the instruments that parts are made for", reader_called,
         _LIST, option="instrument"),
    _key("players-staves", "what other names and octaves players' staves in the file "
         "have: taken over or left out", one_of("taken over", "left out")),
    _key("names", "what a book is called on the page and in the names of files",
         name_wish, _LIST, option="name"),
    _key("octaves", "how many octaves above (with a minus below) the chart a part "
         "sounds, all along or in some bars", octave_wish, _LIST, option="octave"),
    _key("correct-chord", "chords in place of the chart's: bar, beat, chord",
         chord_correction, _LIST, of_place=True),
    _key("correct-note", "notes in place of the chart's: bar, beat, pitch",
         note_correction, _LIST, of_place=True),
    _key("respell", "chords under other names: book, bar, beat, root", root_wish,
         _LIST, of_place=True),
    _key("respell-note", "notes under other names: book, bar, beat, name", note_wish,
         _LIST, of_place=True),
    _key("heading", "what stands above the music, with {book}, {title} and {page}",
         check_heading),
    _key("cues", "the hits that are cued: all, none, or those of some bars",
         cued_bars),
    _key("cue-start", "where a cue begins: bar line or first hit",
         one_of(*get_args(CueStart))),
    _key("cue-cut", "where a cue stops: after the last hit of its bar, of its figure, "
         "or never", one_of(*get_args(CueCut))),
    _key("without-cues", "the books and instruments that have no cues",
         reader_called, _LIST),
    _key("hits-label", "what stands over the hits"),
    _key("hits-labels", "what stands over single stretches of hits, by one of their "
         "bars", label_wish, _LIST, option="hits-label-at", of_place=True),
    _key("bass-cue", "the bass line that players read in small notes below: all, none, "
         "or that of some bars", cued_bars),
    _key("stop-time", "the bars in which the rhythm section's hits stand in the staff: "
         "as marked, none, or some bars", stopped_bars),
    _key("melody-cue", "the melody stands in small notes in the rhythm section's books",
         holds="true or false"),
    _key("drum-chords", "chord symbols stand in the drum part too",
         holds="true or false"),
    _key("revision", "a number or a date at the foot of each page"),
    _key("style", "how chord symbols are printed", one_of(*_STYLES)),
    _key("look", "how pages look", one_of(*_LOOKS)),
    _key("paper", "the paper", one_of(*PAPERS)),
    _key("staff-size", "the height of a staff in millimetres",
         between(float, 4, 9.5, " millimetres"), "a number"),
    _key("bars-per-system", "the most bars in a system", between(int, 1, 16),
         "a number", whole=True),
    _key("system-breaks", "bars with which systems begin", between(int, 0, 99_999),
         "a list of numbers", option="system-break", whole=True, of_place=True),
    _key("beams", "how eighths are beamed", one_of(*BEAM_STYLES)),
    _key("beam-apart", "notes before which a beam ends: bar, beat",
         beam_wish("apart"), _LIST, of_place=True),
    _key("beam-joined", "notes that a beam reaches from the note before: bar, beat",
         beam_wish("joined"), _LIST, of_place=True),
    _key("keep-stacked-chords", "chords that stand on one beat are left there",
         holds="true or false"),
    _key("slashes", "which bars get slashes in which the melody is silent under chords",
         one_of(*get_args(SlashedBars))),
    _key("fold", "a tune that is written out gets repeats and endings",
         one_of(*get_args(FoldAim)), of_tune=True),
    _key("letters", "a tune without letters gets some", holds="true or false"),
    _key("solos", "how long the solos last: open, none or a number of choruses",
         solos_wish),
    _key("way-back", "where the solos lead to, such as D.C. al Coda", Jump.parse,
         of_tune=True),
    _key("solo-form", "the repeats and endings of the solo page",
         one_of(*get_args(SoloForm))),
    _key("solo-chords", "which chords the solo page has",
         one_of(*get_args(ChordChoice))),
    _key("solo-hits", "the head's hits are played behind the solos",
         holds="true or false"),
    _key("bar-counts", "every how many bars the solo page counts those of a section",
         between(int, 0, 32), "a number", whole=True),
    _key("solo-heading", "what stands above the solo page", check_heading),
    _key("no-solo-page", "the solo changes are left out", holds="true or false"),
    _key("road-map", "the way through the tune stands under the title",
         holds="true or false"),
    _key("silence", "rules the proofreader says nothing of, or not in some bars",
         Silence.parse, _LIST),
)  # fmt: skip

DECISION_KEYS: Final[Mapping[str, DecisionKey]] = MappingProxyType(
    {key.name: key for key in _KEYS}
)
"""The keys by their names."""


def key_called(name: str, /) -> DecisionKey:
    """The key of that name.

    Raises:
        DecisionError: if there is none.
    """
    try:
        return DECISION_KEYS[name]
    except KeyError:
        known = ", ".join(DECISION_KEYS)
        raise DecisionError(f"no key called {name!r}: there are {known}") from None
