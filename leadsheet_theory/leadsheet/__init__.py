"""The tune: its model, signs of form, play order, folding, timeline, findings."""

from .blank import FormStretch, blank_sheet, form_text, parse_form
from .chord_texts import ChordTextChange, chord_text_changes
from .divided_bars import join_divided_bars, shorten_pickup
from .doublings import Doubling, WrittenNote, WrittenRoot
from .felt_chords import (
    ChordChoice,
    ChordMove,
    FeltChords,
    MoveReason,
    anticipated_chords,
    felt_chords,
    starts_in_metre,
    strong_beats,
)
from .finding_codes import FINDING_CODES
from .findings import Finding, Severity
from .folding import FoldAim, Folded, find_sections, fold, unfold
from .form import PlayOrder, Section, play_order, sections
from .inference import infer_key, infer_meter
from .lead_in import lead_in
from .lyrics import close_words
from .mended import MendedBars
from .model import (
    Bar,
    Direction,
    HeadShape,
    Hit,
    LeadSheet,
    Lyric,
    Mark,
    Note,
    NoteHead,
    PlacedChord,
    Rest,
    RestLook,
    Slur,
    SoloChorus,
    Solos,
    Swing,
    Tempo,
)
from .open_ties import OpenTies, complete_ties, open_ties
from .running_order import RunningOrder, running_order, solos_text
from .signs import NO_SIGNS, FormSigns, Jump
from .slash_time import (
    SlashedBars,
    joined_slashes,
    silent_bars,
    slashed,
    to_be_slashed,
)
from .stacked_chords import spread_stacked_chords
from .timeline import (
    HeldNote,
    bar_starts,
    held_notes,
    placed_melody,
    section_starts,
)

__all__ = (
    "FINDING_CODES",
    "NO_SIGNS",
    "Bar",
    "ChordChoice",
    "ChordMove",
    "ChordTextChange",
    "Direction",
    "Doubling",
    "FeltChords",
    "Finding",
    "FoldAim",
    "Folded",
    "FormSigns",
    "FormStretch",
    "HeadShape",
    "HeldNote",
    "Hit",
    "Jump",
    "LeadSheet",
    "Lyric",
    "Mark",
    "MendedBars",
    "MoveReason",
    "Note",
    "NoteHead",
    "OpenTies",
    "PlacedChord",
    "PlayOrder",
    "Rest",
    "RestLook",
    "RunningOrder",
    "Section",
    "Severity",
    "SlashedBars",
    "Slur",
    "SoloChorus",
    "Solos",
    "Swing",
    "Tempo",
    "WrittenNote",
    "WrittenRoot",
    "anticipated_chords",
    "bar_starts",
    "blank_sheet",
    "chord_text_changes",
    "close_words",
    "complete_ties",
    "felt_chords",
    "find_sections",
    "fold",
    "form_text",
    "held_notes",
    "infer_key",
    "infer_meter",
    "join_divided_bars",
    "joined_slashes",
    "lead_in",
    "open_ties",
    "parse_form",
    "placed_melody",
    "play_order",
    "running_order",
    "section_starts",
    "sections",
    "shorten_pickup",
    "silent_bars",
    "slashed",
    "solos_text",
    "spread_stacked_chords",
    "starts_in_metre",
    "strong_beats",
    "to_be_slashed",
    "unfold",
)
