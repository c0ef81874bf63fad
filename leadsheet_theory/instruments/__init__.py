"""Instruments and books: how they transpose, their clefs and ranges."""

from typing import TYPE_CHECKING

from .._lazy import loaded_when_used

if TYPE_CHECKING:  # checkers and completions read this, Python the table below
    from ._notes import PlacedNote
    from .books import (
        STANDARD_BOOKS,
        USUAL_READERS,
        Book,
        as_readers,
        book_for,
        find_book,
    )
    from .clefs import (
        ALTO_CLEF,
        BASS_CLEF,
        BASS_CLEF_8VB,
        CLEFS,
        MAX_LEDGER_LINES,
        PERCUSSION_CLEF,
        TENOR_CLEF,
        TREBLE_CLEF,
        TREBLE_CLEF_8VA,
        TREBLE_CLEF_8VB,
        Clef,
        OctaveSign,
        choose_clef,
        octave_signs,
    )
    from .instrument import FAMILIES, SIX_SIGNS, Family, Instrument
    from .octaves import (
        BREATH,
        OctaveAdvice,
        OctaveCost,
        SectionAdvice,
        best_octave,
        best_octave_by_section,
        best_octaves,
        octave_costs,
        phrases,
    )
    from .picture import RangePicture, range_picture
    from .ranges import (
        Melody,
        OutOfRange,
        Reader,
        Tessitura,
        check_range,
        placed_notes,
        tessitura,
    )
    from .rhythm_books import (
        DRUMS,
        RHYTHM,
        RHYTHM_BOOKS,
        PartReader,
        RhythmBook,
        as_part_readers,
        find_rhythm_book,
    )
    from .table import INSTRUMENTS, find_instrument
    from .transposing import (
        PitchRange,
        TransposeElement,
        Transposing,
        check_ranges,
        check_sounds,
        transpose_element,
    )
else:
    __getattr__, __dir__ = loaded_when_used(
        __name__,
        {
            "_notes": "PlacedNote",
            "books": "STANDARD_BOOKS USUAL_READERS Book as_readers book_for find_book",
            "clefs": (
                "ALTO_CLEF BASS_CLEF BASS_CLEF_8VB CLEFS MAX_LEDGER_LINES "
                "PERCUSSION_CLEF TENOR_CLEF TREBLE_CLEF TREBLE_CLEF_8VA "
                "TREBLE_CLEF_8VB Clef OctaveSign choose_clef octave_signs"
            ),
            "instrument": "FAMILIES SIX_SIGNS Family Instrument",
            "octaves": (
                "BREATH OctaveAdvice OctaveCost SectionAdvice best_octave "
                "best_octave_by_section best_octaves octave_costs phrases"
            ),
            "picture": "RangePicture range_picture",
            "ranges": (
                "Melody OutOfRange Reader Tessitura check_range placed_notes tessitura"
            ),
            "rhythm_books": (
                "DRUMS RHYTHM RHYTHM_BOOKS PartReader RhythmBook as_part_readers "
                "find_rhythm_book"
            ),
            "table": "INSTRUMENTS find_instrument",
            "transposing": (
                "PitchRange TransposeElement Transposing check_ranges "
                "check_sounds transpose_element"
            ),
        },
    )

__all__ = (
    "ALTO_CLEF",
    "BASS_CLEF",
    "BASS_CLEF_8VB",
    "BREATH",
    "CLEFS",
    "DRUMS",
    "FAMILIES",
    "INSTRUMENTS",
    "MAX_LEDGER_LINES",
    "PERCUSSION_CLEF",
    "RHYTHM",
    "RHYTHM_BOOKS",
    "SIX_SIGNS",
    "STANDARD_BOOKS",
    "TENOR_CLEF",
    "TREBLE_CLEF",
    "TREBLE_CLEF_8VA",
    "TREBLE_CLEF_8VB",
    "USUAL_READERS",
    "Book",
    "Clef",
    "Family",
    "Instrument",
    "Melody",
    "OctaveAdvice",
    "OctaveCost",
    "OctaveSign",
    "OutOfRange",
    "PartReader",
    "PitchRange",
    "PlacedNote",
    "RangePicture",
    "Reader",
    "RhythmBook",
    "SectionAdvice",
    "Tessitura",
    "TransposeElement",
    "Transposing",
    "as_part_readers",
    "as_readers",
    "best_octave",
    "best_octave_by_section",
    "best_octaves",
    "book_for",
    "check_range",
    "check_ranges",
    "check_sounds",
    "choose_clef",
    "find_book",
    "find_instrument",
    "find_rhythm_book",
    "octave_costs",
    "octave_signs",
    "phrases",
    "placed_notes",
    "range_picture",
    "tessitura",
    "transpose_element",
)
