"""The theory behind a jazz lead sheet.

The names needed most; everything else is imported from its module:

- notes: ``pitch``, ``interval``, ``key``, ``spelling``
- chord symbols: ``chords``
- instruments, books, ranges: ``instruments``
- rhythm: ``rhythm``
- the tune: ``leadsheet``
- exercises, marked: ``exercises``
- what players read, what a copyist asks: ``parts``, ``proof``
- files: ``musicxml``, ``abc``, ``midi``; values as plain data: ``data``
- errors: ``errors``
"""

from typing import TYPE_CHECKING

from ._lazy import loaded_when_used

if TYPE_CHECKING:  # checkers and completions read this, Python the table below
    from ._version import __version__ as __version__
    from .abc.reading.read import parse_abc, read_abc
    from .abc.writing.write import write_abc
    from .chords import (
        Chord,
        ChordSymbol,
        HouseStyle,
        parse_changes,
        parse_chord,
        parse_symbol,
        read_chord,
    )
    from .errors import TheoryError
    from .instruments.books import Book, find_book
    from .instruments.instrument import Instrument
    from .instruments.octaves import best_octave
    from .instruments.ranges import check_range
    from .instruments.table import find_instrument
    from .interval import Interval
    from .key import Key
    from .leadsheet.findings import Finding
    from .leadsheet.form import play_order
    from .leadsheet.model import Bar, LeadSheet, Note, Rest
    from .midi.write import write_midi
    from .musicxml.reading.read import read_lead_sheet
    from .musicxml.writing.files import write_parts
    from .musicxml.writing.write import write_lead_sheet, write_part
    from .parts.make import make_parts
    from .parts.model import Part, Respell, RespellNote
    from .parts.solo_changes import solo_changes
    from .pitch import NoteName, Pitch
    from .proof.passes import proofread
    from .rhythm.beams import beam, beam_groups
    from .rhythm.meter import Meter
    from .rhythm.values import NoteValue, lay_out, spell_duration
    from .spelling.melody import spell_melody, spell_note
    from .spelling.transposing import written_key
else:
    __getattr__, __dir__ = loaded_when_used(
        __name__,
        {
            "": (
                "abc chords data errors exercises instruments interval key leadsheet "
                "midi musicxml parts pitch proof rhythm spelling"
            ),
            "_version": "__version__",
            "abc.reading.read": "parse_abc read_abc",
            "abc.writing.write": "write_abc",
            "chords": (
                "Chord ChordSymbol HouseStyle parse_changes parse_chord parse_symbol "
                "read_chord"
            ),
            "errors": "TheoryError",
            "instruments.books": "Book find_book",
            "instruments.instrument": "Instrument",
            "instruments.octaves": "best_octave",
            "instruments.ranges": "check_range",
            "instruments.table": "find_instrument",
            "interval": "Interval",
            "key": "Key",
            "leadsheet.findings": "Finding",
            "leadsheet.form": "play_order",
            "leadsheet.model": "Bar LeadSheet Note Rest",
            "midi.write": "write_midi",
            "musicxml.reading.read": "read_lead_sheet",
            "musicxml.writing.files": "write_parts",
            "musicxml.writing.write": "write_lead_sheet write_part",
            "parts.make": "make_parts",
            "parts.model": "Part Respell RespellNote",
            "parts.solo_changes": "solo_changes",
            "pitch": "NoteName Pitch",
            "proof.passes": "proofread",
            "rhythm.beams": "beam beam_groups",
            "rhythm.meter": "Meter",
            "rhythm.values": "NoteValue lay_out spell_duration",
            "spelling.melody": "spell_melody spell_note",
            "spelling.transposing": "written_key",
        },
    )

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
    "RespellNote",
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
    "parse_abc",
    "parse_changes",
    "parse_chord",
    "parse_symbol",
    "play_order",
    "proofread",
    "read_abc",
    "read_chord",
    "read_lead_sheet",
    "solo_changes",
    "spell_duration",
    "spell_melody",
    "spell_note",
    "write_abc",
    "write_lead_sheet",
    "write_midi",
    "write_part",
    "write_parts",
    "written_key",
)
