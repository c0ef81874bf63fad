"""The tune: its model, signs of form, play order, folding, timeline, findings."""

from .chord_texts import ChordTextChange, chord_text_changes
from .divided_bars import join_divided_bars, shorten_pickup
from .findings import Finding, Severity
from .folding import FoldAim, Folded, find_sections, fold, unfold
from .form import PlayOrder, Section, play_order, sections
from .inference import infer_key, infer_meter
from .lyrics import close_words
from .mended import MendedBars
from .model import (
    Bar,
    Direction,
    Hit,
    LeadSheet,
    Lyric,
    Mark,
    Note,
    PlacedChord,
    Rest,
    Slur,
    Swing,
    Tempo,
)
from .signs import NO_SIGNS, FormSigns, Jump
from .stacked_chords import spread_stacked_chords
from .timeline import (
    HeldNote,
    bar_starts,
    held_notes,
    placed_melody,
    section_starts,
)

__all__ = (
    "NO_SIGNS",
    "Bar",
    "ChordTextChange",
    "Direction",
    "Finding",
    "FoldAim",
    "Folded",
    "FormSigns",
    "HeldNote",
    "Hit",
    "Jump",
    "LeadSheet",
    "Lyric",
    "Mark",
    "MendedBars",
    "Note",
    "PlacedChord",
    "PlayOrder",
    "Rest",
    "Section",
    "Severity",
    "Slur",
    "Swing",
    "Tempo",
    "bar_starts",
    "chord_text_changes",
    "close_words",
    "find_sections",
    "fold",
    "held_notes",
    "infer_key",
    "infer_meter",
    "join_divided_bars",
    "placed_melody",
    "play_order",
    "section_starts",
    "sections",
    "shorten_pickup",
    "spread_stacked_chords",
    "unfold",
)
