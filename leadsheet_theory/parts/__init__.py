"""Parts: what each player reads, made from one lead sheet."""

from .bass_line import bass_line_clef
from .hits import CueBar, CueCut, CueStart, Stretch, accented, cue_bars, stretches
from .letters import offered_letters, with_letters
from .make import HEADING, SOLO_HEADING, in_key, make_parts
from .measuring import Measure, planned_by
from .model import (
    AddedBar,
    AddedStaff,
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
from .rhythm_part import RhythmBar, rhythm_bars
from .singer import SingerKey, singer_keys
from .solo_changes import SoloChanges, SoloForm, solo_changes
from .stop_time import TIME_STOPS, TIME_WORDS, TimeStop, time_stops
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
    "TIME_STOPS",
    "TIME_WORDS",
    "AddedBar",
    "AddedStaff",
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
    "RhythmBar",
    "SectionStarts",
    "SharedBar",
    "SingerKey",
    "SoloChanges",
    "SoloForm",
    "Stretch",
    "TimeStop",
    "accented",
    "bass_line_clef",
    "check_same_plan",
    "cue_bars",
    "in_key",
    "make_parts",
    "offered_letters",
    "plan_systems",
    "planned_by",
    "rhythm_bars",
    "singer_keys",
    "solo_changes",
    "stretches",
    "time_stops",
    "with_letters",
)
