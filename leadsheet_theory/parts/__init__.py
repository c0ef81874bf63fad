"""Parts: what each player reads, made from one lead sheet."""

from .bass_line import bass_line_clef
from .hits import CueBar, CueCut, CueStart, Stretch, accented, cue_bars, stretches
from .make import HEADING, SOLO_HEADING, in_key, make_parts
from .measuring import Measure, planned_by
from .model import (
    Look,
    OctaveIn,
    Part,
    PartBar,
    PartReport,
    Rebeam,
    Respell,
    RespellNote,
    SharedBar,
)
from .singer import SingerKey, singer_keys
from .solo_changes import SoloChanges, SoloForm, solo_changes
from .systems import (
    A4,
    LETTER,
    PAPERS,
    Page,
    PagePlan,
    SectionStarts,
    check_same_plan,
    plan_systems,
)

__all__ = (
    "A4",
    "HEADING",
    "LETTER",
    "PAPERS",
    "SOLO_HEADING",
    "CueBar",
    "CueCut",
    "CueStart",
    "Look",
    "Measure",
    "OctaveIn",
    "Page",
    "PagePlan",
    "Part",
    "PartBar",
    "PartReport",
    "Rebeam",
    "Respell",
    "RespellNote",
    "SectionStarts",
    "SharedBar",
    "SingerKey",
    "SoloChanges",
    "SoloForm",
    "Stretch",
    "accented",
    "bass_line_clef",
    "check_same_plan",
    "cue_bars",
    "in_key",
    "make_parts",
    "plan_systems",
    "planned_by",
    "singer_keys",
    "solo_changes",
    "stretches",
)
