"""Which name a note takes: in a key, in a melody, as a chord's root, in a part."""

from .accidentals import (
    ACCIDENTAL_NAMES,
    NO_COURTESY,
    Accidental,
    AccidentalRules,
    shown_accidentals,
)
from .idioms import (
    ROOT_IDIOMS,
    ROOT_LINKS,
    ChordColour,
    RootIdiom,
    RootLink,
    root_idioms,
)
from .key_finding import HeardNote, LikelyKey, find_key, likely_keys
from .melody import (
    SpelledNotes,
    spell_melody,
    spell_note,
    spell_notes,
)
from .respelling import Respelling
from .roots import HeardChord, spell_chord_roots
from .transposing import (
    SixSigns,
    WrittenMelody,
    transpose_melody,
    written_interval,
    written_key,
    written_keys,
)

__all__ = (
    "ACCIDENTAL_NAMES",
    "NO_COURTESY",
    "ROOT_IDIOMS",
    "ROOT_LINKS",
    "Accidental",
    "AccidentalRules",
    "ChordColour",
    "HeardChord",
    "HeardNote",
    "LikelyKey",
    "Respelling",
    "RootIdiom",
    "RootLink",
    "SixSigns",
    "SpelledNotes",
    "WrittenMelody",
    "find_key",
    "likely_keys",
    "root_idioms",
    "shown_accidentals",
    "spell_chord_roots",
    "spell_melody",
    "spell_note",
    "spell_notes",
    "transpose_melody",
    "written_interval",
    "written_key",
    "written_keys",
)
