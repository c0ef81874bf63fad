"""Lead sheets: model, form, hits, systems, parts, solo changes, proofreading."""

from .checks import PROOF_RULES, ProofRule, proofread
from .findings import Finding, Severity
from .folding import FoldAim, Folded, find_sections, fold, unfold
from .form import PlayOrder, Section, play_order, sections
from .hits import CueBar, cue_bars
from .melody import placed_melody, section_starts
from .model import (
    Bar,
    Direction,
    Hit,
    Jump,
    LeadSheet,
    Lyric,
    Mark,
    Note,
    PlacedChord,
    Rest,
    Slur,
    Tempo,
)
from .normalize import ChordTextChange, normalize_chords
from .parts import (
    HEADING,
    ChordRespelling,
    Look,
    NoteRespelling,
    Part,
    PartBar,
    PartReport,
    Respell,
    make_parts,
)
from .solo_changes import ChordMove, SoloChanges, solo_changes
from .systems import (
    A4,
    LETTER,
    Page,
    PagePlan,
    check_same_plan,
    plan_of,
    plan_systems,
)

__all__ = (
    "A4",
    "HEADING",
    "LETTER",
    "PROOF_RULES",
    "Bar",
    "ChordMove",
    "ChordRespelling",
    "ChordTextChange",
    "CueBar",
    "Direction",
    "Finding",
    "FoldAim",
    "Folded",
    "Hit",
    "Jump",
    "LeadSheet",
    "Look",
    "Lyric",
    "Mark",
    "Note",
    "NoteRespelling",
    "Page",
    "PagePlan",
    "Part",
    "PartBar",
    "PartReport",
    "PlacedChord",
    "PlayOrder",
    "ProofRule",
    "Respell",
    "Rest",
    "Section",
    "Severity",
    "Slur",
    "SoloChanges",
    "Tempo",
    "check_same_plan",
    "cue_bars",
    "find_sections",
    "fold",
    "make_parts",
    "normalize_chords",
    "placed_melody",
    "plan_of",
    "plan_systems",
    "play_order",
    "proofread",
    "section_starts",
    "sections",
    "solo_changes",
    "unfold",
)
