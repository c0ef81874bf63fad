"""Lead sheets: model, form, hits, systems, parts, solo changes, proofreading."""

from .checks import PROOF_RULES, ProofRule, proofread
from .findings import Finding, Severity
from .form import PlayOrder, play_order, sections
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
from .systems import A4, LETTER, Page, PagePlan, check_same_plan, plan_systems

__all__ = (
    "A4",
    "HEADING",
    "LETTER",
    "PROOF_RULES",
    "Bar",
    "ChordMove",
    "ChordRespelling",
    "CueBar",
    "Direction",
    "Finding",
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
    "Severity",
    "Slur",
    "SoloChanges",
    "Tempo",
    "check_same_plan",
    "cue_bars",
    "make_parts",
    "placed_melody",
    "plan_systems",
    "play_order",
    "proofread",
    "section_starts",
    "sections",
    "solo_changes",
)
