"""The information fields that hold facts of music: K, M, L, Q, V.

Source: The abc music standard 2.1, sections 3.1.6 (M), 3.1.7 (L), 3.1.8 (Q), 3.1.14
(K), 4.6 (clefs), 7.1 (V).  Durations are quarter notes.
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache
from typing import Final

from attrs import frozen

from ...errors import KeySignatureError, TextError, TheoryError
from ...key import Key, Mode
from ...leadsheet.model import Tempo
from ...pitch import NoteName, Step
from ...rhythm.meter import Meter
from ...rhythm.values import single_value
from .._text import plain_text

__all__ = (
    "Complaint",
    "KeyField",
    "TempoField",
    "VoiceWords",
    "read_key",
    "read_meter",
    "read_tempo",
    "read_unit",
    "read_voice",
    "usual_unit",
)

# the first three letters of a mode count (3.1.14)
_MODES: Final[dict[str, Mode]] = {
    "maj": "major", "ion": "ionian", "min": "minor", "aeo": "aeolian",
    "mix": "mixolydian", "dor": "dorian", "phr": "phrygian", "lyd": "lydian",
    "loc": "locrian",
}  # fmt: skip
_ON_ANY_TONIC: Final[tuple[Mode, ...]] = (
    "major", "minor", "dorian", "phrygian", "lydian", "mixolydian", "locrian",
)  # fmt: skip
_CLEFS: Final = frozenset({"treble", "alto", "tenor", "bass", "perc", "none"})
_SIGNS: Final = {"^^": 2, "^": 1, "=": 0, "_": -1, "__": -2}
_TONIC: Final = re.compile(r"([A-G])([#b♯♭]?)\s*([A-Za-z]*)(?![=\w])")
_LONE_TONIC: Final = re.compile(r"([A-G])([#b♯♭]?)()(?![A-Za-z])")
_WORD: Final = re.compile(r"([a-zA-Z]+)=(\"[^\"]*\"|\S*)|\"([^\"]*)\"|(\S+)")
_SIGNED: Final = re.compile(r"(\^\^|\^|__|_|=)([A-Ga-g])")
_ALL_SIGNS: Final = re.compile(rf"(?:{_SIGNED.pattern})+")
_CLEF: Final = re.compile(r"(treble|alto|tenor|bass|perc|none|[GCF][1-5]?)?([+-]8)?")
_NUMBER: Final = re.compile(r"[+-]?[0-9]{1,2}", re.ASCII)
_UNIT: Final = re.compile(r"([0-9]{1,4})(?: */ *([0-9]{1,4}))?", re.ASCII)
_COUNT: Final = r"([0-9]{1,4}(?:\.[0-9]{1,3})?)"
_TEMPO: Final = re.compile(
    rf"((?:[0-9]{{1,3}} */ *[0-9]{{1,3}} *){{1,4}})= *{_COUNT}", re.ASCII
)
_OLD_TEMPO: Final = re.compile(rf"(?:C([0-9]{{0,2}}) *= *)?{_COUNT}", re.ASCII)
_BEAT: Final = re.compile(r"([0-9]{1,3}) */ *([0-9]{1,3})", re.ASCII)
_QUOTED: Final = re.compile(r'"([^"]*)"')
_ACCIDENTALS: Final = {"": 0, "#": 1, "♯": 1, "b": -1, "♭": -1}
_NATURAL: Final = NoteName("C")
# bagpipe: no signature at all, or F sharp, C sharp and a G that is natural
_BAGPIPE: Final = {"HP": Key(_NATURAL), "Hp": Key(NoteName("A"), "mixolydian")}

Complaint = tuple[str, str, str]
"""Something wrong in a field: rule, severity, message."""


@frozen(order=False, kw_only=True)
class VoiceWords:
    """What K: and V: say of a staff: its clef, octaves and semitones by which it
    sounds away from what is written, octaves by which the letters are shifted."""

    clef: str = ""
    sounds_octaves: int = 0
    transpose: int = 0
    octave: int = 0
    name: str = ""


@frozen(order=False, kw_only=True)
class KeyField:
    """What K: says.  `key` is None where it only tells of the clef; `alters` is what
    the signature does to each letter that it alters."""

    key: Key | None = None
    alters: tuple[tuple[Step, int], ...] = ()
    voice: VoiceWords | None = None
    complaints: tuple[Complaint, ...] = ()


@lru_cache(maxsize=512)
def read_key(text: str) -> KeyField:
    """The field K:, without the letter."""
    text = text.strip()
    complaints: list[Complaint] = []
    key, explicit, rest = _named_key(text, complaints)
    extra, words = _signs_and_words(rest)
    if key is None:
        if words and _only_clef(text):
            return KeyField(voice=_voice_words(text))
        if words or not extra:
            message = f"{text[:20]!r} is no key: expected a tonic A to G"
            complaints.append(("bad-key", "error", f"{message}; C major is assumed"))
        key = Key(_NATURAL)
    alters = dict.fromkeys("FCGDAEB", 0) if explicit else _alters(key)
    alters.update(extra)  # type: ignore[arg-type]
    if extra or explicit:
        key = _nearest_mode(key, alters, complaints)  # type: ignore[arg-type]
    return KeyField(
        key=key,
        alters=tuple((step, alter) for step, alter in alters.items() if alter),  # type: ignore[misc]
        voice=_voice_words(words) if words else None,
        complaints=tuple(complaints),
    )


def _named_key(text: str, complaints: list[Complaint]) -> tuple[Key | None, bool, str]:
    """The key that K: names, whether the signs that follow are all there are, and
    what follows."""
    if not text or re.match(r"none\b", text):
        complaints.append(
            ("key", "note", "no key signature: C major is assumed for the chart")
        )
        return Key(_NATURAL), False, text[4:]
    bagpipe = _BAGPIPE.get(text[:2])
    if bagpipe is not None:
        return bagpipe, False, text[2:]
    found = _TONIC.match(text) or _LONE_TONIC.match(text)
    if found is None:
        return None, False, text
    mode, explicit, used = _mode(found[3], complaints)
    tonic = NoteName(found[1], _ACCIDENTALS[found[2]])  # type: ignore[arg-type]
    rest = text[found.end() if used else found.start(3) :]
    return _key_on(tonic, mode, complaints), explicit, rest


def _key_on(tonic: NoteName, mode: Mode, complaints: list[Complaint]) -> Key:
    """The key on a tonic; C major where there is none."""
    try:
        key = Key(tonic, mode)
    except KeySignatureError as error:
        complaints.append(("bad-key", "error", str(error)))
        return Key(_NATURAL)
    signs = abs(key.signature)
    if signs > 7:
        message = f"{key} has {signs} signs: at most 7 are usual"
        complaints.append(("unusual-key", "warning", message))
    return key


def _mode(word: str, complaints: list[Complaint]) -> tuple[Mode, bool, bool]:
    """The mode a word names, whether the signs that follow are all there are, and
    whether the word was one."""
    if not word:
        return "major", False, True
    if word in ("m", "M"):
        return ("minor" if word == "m" else "major"), False, True
    low = word[:3].lower()
    if low in _MODES:
        return _MODES[low], False, True
    if low == "exp":
        return "major", True, True
    if word in _CLEFS:
        return "major", False, False
    complaints.append(("bad-mode", "error", f"no mode {word[:20]!r}: major is assumed"))
    return "major", False, True


def _alters(key: Key) -> dict[Step, int]:
    return {step: key.alter_of(step) for step in ("F", "C", "G", "D", "A", "E", "B")}


def _signs_and_words(text: str) -> tuple[dict[str, int], str]:
    """The accidentals that a key names, and what else it says."""
    signs: dict[str, int] = {}
    words: list[str] = []
    for word in text.split():
        if _ALL_SIGNS.fullmatch(word):
            for sign, letter in _SIGNED.findall(word):
                signs[letter.upper()] = _SIGNS[sign]
        else:
            words.append(word)
    return signs, " ".join(words)


def _nearest_mode(
    key: Key, alters: dict[Step, int], complaints: list[Complaint]
) -> Key:
    """The key on the same tonic that has these signs, or most of them."""
    best, most = key, -1
    for mode in (key.mode, *_ON_ANY_TONIC):
        candidate = Key(key.tonic, mode)
        alike = sum(candidate.alter_of(step) == alters[step] for step in alters)
        if alike > most:
            best, most = candidate, alike
    if most < 7:
        complaints.append(
            (
                "key-signs",
                "note",
                f"a signature of its own: read as {best}, its other signs stand "
                "before the notes",
            )
        )
    return best


def _only_clef(text: str) -> bool:
    first = text.split()[0]
    return "=" in first or bool(first and _CLEF.fullmatch(first))


def read_voice(text: str) -> VoiceWords:
    """What V: says after the name of the voice."""
    return _voice_words(text)


def _voice_words(text: str) -> VoiceWords:
    clef, octaves, transpose, octave, name = "", 0, 0, 0, ""
    for found in _WORD.finditer(text):
        word = (found[1] or "").lower()
        value = (found[2] or "").strip('"')
        lone = found[4] or ""
        if word in ("name", "nm", "subname", "snm", "sname"):
            name = name or plain_text(value)
        elif word in ("transpose", "octave") and _NUMBER.fullmatch(value):
            if word == "transpose":
                transpose = int(value)
            else:
                octave = max(-9, min(9, int(value)))
        elif word == "clef" or lone:
            clef_found = _CLEF.fullmatch(value if word == "clef" else lone)
            if clef_found is not None:
                clef = clef_found[1] or clef
                octaves = {"+8": 1, "-8": -1}.get(clef_found[2], octaves)
    return VoiceWords(
        clef=clef, sounds_octaves=octaves, transpose=transpose, octave=octave,
        name=name,
    )  # fmt: skip


@lru_cache(maxsize=256)
def read_meter(text: str) -> tuple[Meter | None, Complaint | None]:
    """The metre M: names, None for free metre, and what is wrong with it."""
    plain = re.sub(r"[()\s]", "", text)
    if plain in ("none", ""):
        return None, None
    try:
        return Meter.parse(plain), None
    except TextError:
        message = f"{text.strip()[:20]!r} is no metre: free metre is assumed"
        return None, ("bad-meter", "error", message)
    except TheoryError as error:
        odd = re.fullmatch(r"[1-9][0-9+]*/[1-9][0-9]*", plain) is not None
        rule, severity = ("odd-meter", "warning") if odd else ("bad-meter", "error")
        return None, (rule, severity, f"{error}; free metre is assumed")


@lru_cache(maxsize=256)
def read_unit(text: str) -> tuple[Fraction | None, Complaint | None]:
    """The unit note length L: names, in quarter notes, and what is wrong with it."""
    found = _UNIT.fullmatch(text.strip())
    top, bottom = (int(found[1]), int(found[2] or 1)) if found else (0, 0)
    if not top or not bottom:
        return None, (
            "bad-unit-length",
            "error",
            f"{text.strip()[:20]!r} is no note length such as 1/8: the usual one of "
            "the metre is taken",
        )
    unit = Fraction(4 * top, bottom)
    if top != 1 or bottom & (bottom - 1) or bottom > 512:
        return unit, (
            "bad-unit-length",
            "warning",
            f"a unit of {top}/{bottom}: expected 1, 1/2, 1/4, 1/8 and so on",
        )
    return unit, None


def usual_unit(meter: Meter | None) -> Fraction:
    """The unit note length where L: says none (3.1.7): a sixteenth in metres shorter
    than three quarter notes, else an eighth."""
    short = meter is not None and meter.bar_length < 3
    return Fraction(1, 4) if short else Fraction(1, 2)


@frozen(order=False)
class TempoField:
    """What Q: says: words, and a metronome mark."""

    words: str = ""
    tempo: Tempo | None = None
    complaint: Complaint | None = None


def read_tempo(text: str, unit: Fraction) -> TempoField:
    """The field Q:; a number alone counts unit lengths, which 2.1 deprecates."""
    words = " ".join(filter(None, map(plain_text, _QUOTED.findall(text)))).strip()
    number = _QUOTED.sub("", text).strip()
    if not number and '"' in text:
        return TempoField(words)
    found = _TEMPO.fullmatch(number)
    complaint: Complaint | None = None
    if found is not None:
        pairs = [(int(top), int(bottom)) for top, bottom in _BEAT.findall(found[1])]
        whole = all(bottom for _, bottom in pairs)
        beats = [Fraction(4 * top, bottom) for top, bottom in pairs if whole]
        length, minute = sum(beats, Fraction(0)), Fraction(found[2])
    else:
        found = _OLD_TEMPO.fullmatch(number)
        if found is None:
            message = f"{number[:20]!r} is no tempo: expected one such as 1/4=120"
            return TempoField(words, None, ("bad-tempo", "warning", message))
        length, minute = unit * int(found[1] or 1), Fraction(found[2])
        complaint = (
            "deprecated-tempo",
            "warning",
            f"a tempo of {number} counts unit lengths: write 1/4=…",
        )
    if not length or not minute:
        message = f"{number[:20]!r} is no tempo: expected one above 0"
        return TempoField(words, None, ("bad-tempo", "warning", message))
    value = single_value(length)
    if value is None:
        minute *= length
        value = single_value(Fraction(1))
        complaint = ("tempo", "note", f"tempo {number} is read as a quarter = {minute}")
    return TempoField(words, Tempo(value, minute), complaint)  # type: ignore[arg-type]
