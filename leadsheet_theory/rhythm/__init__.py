"""Rhythm: metres, written values, bars, beams, stems, slashes."""

from .bars import RhythmProblem, rhythm_problems, spell_bar
from .beams import (
    BY_BEAT,
    HALF_BAR_WHEN_FILLED,
    HALF_BAR_WHEREVER,
    WHOLE_BAR,
    BeamMark,
    BeamSetting,
    BeamStyle,
    Joining,
    beam,
    beam_groups,
)
from .meter import Division, Meter, MeterKind, MetricSpan
from .slashes import counted_beats, time_slashes
from .stems import MIDDLE_LINE, StemDirection, StemVoice, stem, stems
from .values import (
    TREMOLO,
    VALUE_NAMES,
    EventKind,
    NoteValue,
    RhythmEvent,
    Tuplet,
    ValueName,
    lay_out,
    single_value,
    spell_duration,
    total_duration,
)

__all__ = (
    "BY_BEAT",
    "HALF_BAR_WHEN_FILLED",
    "HALF_BAR_WHEREVER",
    "MIDDLE_LINE",
    "TREMOLO",
    "VALUE_NAMES",
    "WHOLE_BAR",
    "BeamMark",
    "BeamSetting",
    "BeamStyle",
    "Division",
    "EventKind",
    "Joining",
    "Meter",
    "MeterKind",
    "MetricSpan",
    "NoteValue",
    "RhythmEvent",
    "RhythmProblem",
    "StemDirection",
    "StemVoice",
    "Tuplet",
    "ValueName",
    "beam",
    "beam_groups",
    "counted_beats",
    "lay_out",
    "rhythm_problems",
    "single_value",
    "spell_bar",
    "spell_duration",
    "stem",
    "stems",
    "time_slashes",
    "total_duration",
)
