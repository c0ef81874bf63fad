"""Single values out of MusicXML text: numbers, pitches, note values, keys, metres.

A value that decides the music and makes no sense raises an error that names
the place.  Results are cached, as a tune has few different ones.
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache
from typing import Final, Literal, cast
from xml.etree.ElementTree import Element

from ...errors import MeterError, MusicXMLReadError, TheoryError
from ...interval import Interval
from ...key import MODES, Key, Mode
from ...pitch import STEPS, NoteName, Pitch, Step
from ...rhythm.meter import Meter
from ...rhythm.values import VALUE_NAMES, NoteValue, Tuplet, ValueName
from .._vocabulary import DYNAMICS
from ._durations import is_hair
from ._report import Report

__all__ = (
    "Number",
    "dynamics_text",
    "plain",
    "plain_number",
    "quarters",
    "read_integer",
    "read_key",
    "read_key_of_numeral",
    "read_meter",
    "read_name",
    "read_pitch",
    "read_transpose",
    "shift_name",
    "shift_pitch",
    "value_name",
    "written_value",
)

Number = int | Fraction
"""Whole where it can be: most files count in whole divisions."""

_NUMBER: Final = re.compile(
    r"\s{0,20}([+-]?[0-9]{1,12})(?:\.([0-9]{0,12}))?\s{0,20}", re.ASCII
)
_STEPS: Final[dict[str, Step]] = {step: step for step in STEPS}
_VALUES: Final[dict[str, ValueName]] = {name: name for name in VALUE_NAMES}
_MODES: Final[dict[str, Mode]] = {mode: mode for mode in MODES}
# a longer text says no number or note; it isn't kept in a cache either
_LONG: Final = 60
_MAX_BEATS: Final = 99

# semitones of a transposition: letters, where the file doesn't say them
# (the simplest interval of that size)
_LETTERS: Final = (0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6)


@lru_cache(maxsize=4096)
def plain_number(text: str) -> Number:
    """A decimal number of at most 12 digits either side.

    Raises:
        ValueError: the text is anything else.
    """
    match = _NUMBER.fullmatch(text)
    if match is None:
        raise ValueError(text)
    whole, part = int(match[1]), match[2]
    if not part or not part.strip("0"):
        return whole
    return Fraction(text.strip())


def plain(value: Fraction) -> Number:
    """A fraction as an int where it is whole."""
    return value.numerator if value.denominator == 1 else value


@lru_cache(maxsize=8192)
def quarters(ticks: Number, grid: int) -> Fraction:
    """So many parts of a quarter note, of which it has `grid`."""
    return Fraction(ticks, grid)


def read_integer(element: Element, report: Report, low: int, high: int) -> int:
    """The whole number an element holds, from `low` to `high`."""
    text = element.text or ""
    try:
        value = plain_number(text)
    except ValueError:
        value = Fraction(1, 2)
    if not isinstance(value, int) or not low <= value <= high:
        raise report.error(
            f"{text[:20]!r}: expected a whole number from {low} to {high}", element.tag
        )
    return value


# --- notes -----------------------------------------------------------------------


def read_name(element: Element, report: Report, prefix: str) -> NoteName | None:
    """The note that a ``root`` or ``bass`` names; None where it has no step."""
    step = alter = ""
    for child in element:
        tag = child.tag
        if tag == prefix + "step":
            step = (child.text or "").strip()
        elif tag == prefix + "alter":
            alter = (child.text or "").strip()
        else:
            report.unread(tag)
    if not step and not alter:
        return None
    try:
        return _name(step, alter)
    except ValueError:
        raise _bad_note(step, alter, element, report) from None


def read_pitch(element: Element, report: Report) -> Pitch:
    """The pitch that a ``pitch`` (or the place an ``unpitched`` note) states."""
    step = octave = alter = ""
    for child in element:
        tag = child.tag
        text = child.text
        if tag == "step" or tag == "display-step":
            step = text or ""
        elif tag == "octave" or tag == "display-octave":
            octave = text or ""
        elif tag == "alter":
            alter = text or ""
        else:
            report.unread(tag)
    if element.tag == "unpitched" and not step:
        step, octave = "B", "4"
    try:
        return _pitch(step, alter, octave)
    except ValueError:
        whole = _without_microtone(alter)
        if whole is None:
            raise _bad_note(step, alter, element, report, octave) from None
    report.gather(
        "microtone",
        "warning",
        "a note between two keys of the keyboard is carried as the plainer of them",
        element="alter",
    )
    try:
        return _pitch(step, whole, octave)
    except ValueError:
        raise _bad_note(step, alter, element, report, octave) from None


def _without_microtone(alter: str) -> str | None:
    """The whole semitones in an alteration that has a part of one besides."""
    try:
        value = plain_number(alter)
    except ValueError:
        return None
    return None if isinstance(value, int) else str(int(value))


def _bad_note(
    step: str, alter: str, element: Element, report: Report, octave: str = ""
) -> MusicXMLReadError:
    said = " ".join(filter(None, (step[:10], alter[:10], octave[:10])))
    expected = "a step A to G and whole semitones of alteration, at most 7"
    if element.tag in ("pitch", "unpitched"):
        expected += ", and an octave 0 to 9"
    return report.error(f"{said!r} is no note: expected {expected}", element.tag)


@lru_cache(maxsize=256)
def _name(step: str, alter: str) -> NoteName:
    return NoteName(_step(step), _alter(alter))


@lru_cache(maxsize=1024)
def _pitch(step: str, alter: str, octave: str) -> Pitch:
    number = plain_number(octave)
    if not isinstance(number, int) or not 0 <= number <= 9:
        raise ValueError(octave)
    return Pitch(_step(step), _alter(alter), number)


def _step(text: str) -> Step:
    step = _STEPS.get(text.strip() if len(text) < _LONG else "")
    if step is None:
        raise ValueError(text)
    return step


def _alter(text: str) -> int:
    value = plain_number(text) if text and not text.isspace() else 0
    if not isinstance(value, int):
        raise ValueError(text)
    return value


@lru_cache(maxsize=2048)
def shift_pitch(pitch: Pitch, by: Interval) -> Pitch:
    """The pitch moved by an interval."""
    return pitch + by


@lru_cache(maxsize=512)
def shift_name(name: NoteName, by: Interval) -> NoteName:
    """The name moved by an interval."""
    return name + by


# --- note values -------------------------------------------------------------------


def value_name(text: str) -> ValueName | None:
    """The note value of that MusicXML name, if there is one."""
    return _VALUES.get(text) or _VALUES.get(text[:_LONG].strip())


@lru_cache(maxsize=8192)
def written_value(
    name: str,
    dots: int,
    ratio: tuple[int, int],
    ends: Literal["", "start", "stop", "both"],
    ticks: Number,
    *,
    grid: int,
    tick: Number,
) -> tuple[NoteValue | None, Fraction, str]:
    """A note's written value, its exact duration, and what is odd about them.

    `ratio` holds the actual and the normal notes of a tuplet, `ticks` the stated
    duration, `grid` the ticks of a quarter note, `tick` the
    smallest duration the file can state.  A duration that was rounded to that
    is taken from the written value, as is one that is a hair off.  The oddity is
    ``""``, ``"rounded"``, ``"hair"`` or ``"unlike"``, and an unlike value is not kept.
    """
    stated = quarters(ticks, grid)
    known = value_name(name)
    if known is None:
        return None, stated, ""
    tuplet = None
    actual, normal = ratio
    if actual != normal:
        tuplet = Tuplet(
            actual,
            normal,
            starts=ends in ("start", "both"),
            ends=ends in ("stop", "both"),
        )
    value = NoteValue(known, dots, tuplet)
    if not ticks or value.duration == stated:
        return value, stated, ""
    if abs(value.duration - stated) < quarters(tick, grid) and tuplet is not None:
        return value, value.duration, "rounded"
    if is_hair(stated, value.duration):
        return value, value.duration, "hair"
    return None, stated, "unlike"


def dynamics_text(element: Element, report: Report) -> str:
    """The mark that a ``dynamics`` holds, by its MusicXML name or its own words."""
    marks = []
    for child in element:
        if child.tag in DYNAMICS:
            marks.append(child.tag)
        elif child.tag == "other-dynamics":
            marks.append((child.text or "").strip())
        else:
            report.unread(child.tag)
    return " ".join(marks)


# --- key, metre, transposition -------------------------------------------------------


def read_key(element: Element, report: Report) -> Key | None:
    """The key, as written; None for a signature that no key has."""
    fifths: int | None = None
    mode: Mode = "major"
    for child in element:
        tag = child.tag
        if tag == "fifths":
            fifths = read_integer(child, report, -11, 11)
        elif tag == "mode":
            said = (child.text or "").strip().lower()
            if said in _MODES:
                mode = _MODES[said]
            else:
                report.add(
                    "key",
                    "warning",
                    f"a mode {said[:20]!r} has no keys; read as major",
                    element="mode",
                )
        elif tag in ("key-step", "key-alter", "key-accidental"):
            fifths = None
            report.unread(tag, "a signature that no key has")
        else:
            report.unread(tag)
    return None if fifths is None else Key.from_signature(fifths, mode)


def read_key_of_numeral(element: Element, report: Report) -> Key | None:
    """The key that a ``numeral-key`` says; its minor modes all have the same
    signature."""
    fifths = None
    mode: Mode = "major"
    for child in element:
        if child.tag == "numeral-fifths":
            fifths = read_integer(child, report, -7, 7)
        elif child.tag == "numeral-mode":
            mode = "minor" if "minor" in (child.text or "") else "major"
        else:
            report.unread(child.tag)
    return None if fifths is None else Key.from_signature(fifths, mode)


def read_meter(element: Element, report: Report) -> Meter | None:
    """The time signature; None where there is none (senza misura)."""
    pairs: list[tuple[list[int], int]] = []
    groups: list[int] = []
    for child in element:
        tag = child.tag
        if tag == "beats":
            groups = _beats(child, report)
        elif tag == "beat-type":
            pairs.append((groups, read_integer(child, report, 1, 128)))
        elif tag == "senza-misura":
            report.add(
                "meter",
                "warning",
                "free time (senza misura): bars keep the length of their notes",
                element=tag,
            )
        else:
            report.unread(tag)
    if not pairs:
        return None
    parts: list[tuple[int, int]] = []
    for counts, beat_type in pairs:
        if not counts:
            raise report.error("beats of a metre that do not add up", "time")
        parts += [(count, beat_type) for count in counts]
    try:
        return _meter(tuple(parts), element.get("symbol", ""))
    except MeterError as error:
        raise report.error(error.problem, "time") from None


def _beats(element: Element, report: Report) -> list[int]:
    text = (element.text or "").strip()
    try:
        counts = [plain_number(count) for count in text.split("+", 20)]
    except ValueError:
        counts = [0]
    whole = [count for count in counts if isinstance(count, int) and count > 0]
    if len(whole) < len(counts) or sum(whole) > _MAX_BEATS:
        raise report.error(
            f"{text[:20]!r} beats in a bar: expected 1 to {_MAX_BEATS}", "beats"
        )
    return whole


@lru_cache(maxsize=256)
def _meter(parts: tuple[tuple[int, int], ...], symbol: str) -> Meter:
    plain = Meter.of_parts(parts)
    if symbol not in ("common", "cut"):
        return plain
    try:
        return Meter.of_parts(parts, symbol=cast(Literal["common", "cut"], symbol))
    except MeterError:
        return plain


def read_transpose(element: Element, report: Report) -> Interval:
    """The interval from written to sounding."""
    chromatic = octaves = 0
    diatonic: int | None = None
    for child in element:
        tag = child.tag
        if tag == "chromatic":
            chromatic = read_integer(child, report, -48, 48)
        elif tag == "diatonic":
            diatonic = read_integer(child, report, -28, 28)
        elif tag == "octave-change":
            octaves = read_integer(child, report, -4, 4)
        else:
            report.unread(tag)
    if diatonic is None:
        over, semitones = divmod(abs(chromatic), 12)
        diatonic = 7 * over + _LETTERS[semitones]
        diatonic = -diatonic if chromatic < 0 else diatonic
    by = Interval(diatonic + 7 * octaves, chromatic + 12 * octaves)
    try:
        # one that spells a C flat or B sharp beyond all names is none
        _ = [shift_name(name, by) for name in (NoteName("C", -1), NoteName("B", 1))]
    except TheoryError:
        raise report.error(
            f"{chromatic} semitones and {diatonic} letters make no transposition",
            "transpose",
        ) from None
    return by
