"""The theory behind a jazz lead sheet.

The names needed most; everything else is imported from its module:

- notes: ``pitch``, ``interval``, ``key``, ``spelling``, ``accidentals``
- chord symbols: ``chords``
- instruments: ``instruments``, ``ranges``, ``clefs``
- rhythm: ``meter``, ``rhythm``, ``rhythm_bars``, ``beams``, ``stems``, ``slashes``
- lead sheets and parts: ``leadsheet``
- files: ``musicxml``
- errors: ``errors``
"""

from .beams import beam, beam_groups
from .chords import Chord, ChordSymbol, HouseStyle, parse_chord, read_chord
from .errors import TheoryError
from .instruments import Book, Instrument, find_book, find_instrument
from .interval import Interval
from .key import Key
from .leadsheet import (
    Bar,
    Finding,
    LeadSheet,
    Note,
    Part,
    Respell,
    Rest,
    make_parts,
    play_order,
    proofread,
    solo_changes,
)
from .meter import Meter
from .musicxml import read_lead_sheet, write_lead_sheet, write_part
from .pitch import NoteName, Pitch
from .ranges import best_octave, check_range
from .rhythm import NoteValue, lay_out, spell_duration
from .spelling import spell_melody, spell_note, written_key

__all__ = (
    "Bar",
    "Book",
    "Chord",
    "ChordSymbol",
    "Finding",
    "HouseStyle",
    "Instrument",
    "Interval",
    "Key",
    "LeadSheet",
    "Meter",
    "Note",
    "NoteName",
    "NoteValue",
    "Part",
    "Pitch",
    "Respell",
    "Rest",
    "TheoryError",
    "beam",
    "beam_groups",
    "best_octave",
    "check_range",
    "find_book",
    "find_instrument",
    "lay_out",
    "make_parts",
    "parse_chord",
    "play_order",
    "proofread",
    "read_chord",
    "read_lead_sheet",
    "solo_changes",
    "spell_duration",
    "spell_melody",
    "spell_note",
    "write_lead_sheet",
    "write_part",
    "written_key",
)
