"""Chord symbols: reading, meaning, printing, exchanging, respelling."""

from typing import TYPE_CHECKING

from .._lazy import loaded_when_used

if TYPE_CHECKING:  # checkers and completions read this, Python the table below
    from ._parse import ChordReading, parse_chord, parse_symbol, read_chord
    from ._typed import (
        TypedSound,
        TypedSounds,
        retyped,
        typed_chord,
        typed_chords,
        typed_sounds,
    )
    from .changes import parse_changes
    from .degrees import (
        chord_number,
        number_chart,
        parse_number,
        parse_numeral,
        read_number_chart,
        roman_numeral,
    )
    from .harte import harte_label, parse_harte
    from .kinds import (
        KINDS,
        HarmonyDegree,
        HarmonyParts,
        chord_from_harmony,
        harmony_of,
    )
    from .naming import ChordName, name_chord
    from .quality import Degree, Quality
    from .respell import WrittenChords, chord_colour, written_chords
    from .styles import (
        CAPITALS,
        PLAIN_LETTERS,
        STYLES,
        SYMBOLS,
        WORDS,
        HouseStyle,
        PrintStyle,
    )
    from .symbol import (
        Chord,
        ChordSymbol,
        NoChord,
        OtherReading,
        PolyChord,
        print_chord,
    )
else:
    __getattr__, __dir__ = loaded_when_used(
        __name__,
        {
            "": "respell",
            "_parse": "ChordReading parse_chord parse_symbol read_chord",
            "_typed": "TypedSound TypedSounds retyped typed_chord typed_chords "
            "typed_sounds",
            "changes": "parse_changes",
            "degrees": "chord_number number_chart parse_number parse_numeral "
            "read_number_chart roman_numeral",
            "harte": "harte_label parse_harte",
            "kinds": "KINDS HarmonyDegree HarmonyParts chord_from_harmony harmony_of",
            "naming": "ChordName name_chord",
            "quality": "Degree Quality",
            "respell": "WrittenChords chord_colour written_chords",
            "styles": "CAPITALS PLAIN_LETTERS STYLES SYMBOLS WORDS HouseStyle "
            "PrintStyle",
            "symbol": "Chord ChordSymbol NoChord OtherReading PolyChord print_chord",
        },
    )

__all__ = (
    "CAPITALS",
    "KINDS",
    "PLAIN_LETTERS",
    "STYLES",
    "SYMBOLS",
    "WORDS",
    "Chord",
    "ChordName",
    "ChordReading",
    "ChordSymbol",
    "Degree",
    "HarmonyDegree",
    "HarmonyParts",
    "HouseStyle",
    "NoChord",
    "OtherReading",
    "PolyChord",
    "PrintStyle",
    "Quality",
    "TypedSound",
    "TypedSounds",
    "WrittenChords",
    "chord_colour",
    "chord_from_harmony",
    "chord_number",
    "harmony_of",
    "harte_label",
    "name_chord",
    "number_chart",
    "parse_changes",
    "parse_chord",
    "parse_harte",
    "parse_number",
    "parse_numeral",
    "parse_symbol",
    "print_chord",
    "read_chord",
    "read_number_chart",
    "retyped",
    "roman_numeral",
    "typed_chord",
    "typed_chords",
    "typed_sounds",
    "written_chords",
)
