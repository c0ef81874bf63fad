"""Which accidentals to show: the bar rule, ties and courtesy accidentals.

Sources: the bar rule, a sign for each octave, ties over the barline and the
places for courtesy signs, Wikipedia, "Accidental (music)"; that a reminder
belongs in the next bar, once, and no further off, C. Harris, *How to Write
Music* (1917), p. 46; that a new attack after a tied note needs its sign again,
and the reminder in another octave of the next bar, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from functools import cache
from typing import Final, Literal

from attrs import frozen

from .._doors import door
from ..errors import LengthMismatchError, PitchRangeError
from ..key import Key
from ..pitch import STEPS, Pitch, Step

__all__ = (
    "ACCIDENTAL_NAMES",
    "NO_COURTESY",
    "Accidental",
    "AccidentalRules",
    "shown_accidentals",
)

ACCIDENTAL_NAMES: Final[dict[int, tuple[str, str]]] = {
    -3: ("triple-flat", "♭𝄫"),
    -2: ("flat-flat", "𝄫"),
    -1: ("flat", "♭"),
    0: ("natural", "♮"),
    1: ("sharp", "♯"),
    2: ("double-sharp", "𝄪"),
    3: ("triple-sharp", "♯𝄪"),
}
"""Semitones of alteration: the MusicXML 4.0 name (``accidental-value``) and sign."""


@frozen(order=False)
class Accidental:
    """A sign before a note: what it says, and whether it is only a reminder.

    >>> Accidental(1).name, Accidental(0, courtesy=True).glyph
    ('sharp', '♮')
    """

    alter: int
    courtesy: bool = False
    parentheses: bool = False

    @property
    def name(self) -> str:
        """The MusicXML 4.0 name: ``sharp``, ``flat-flat`` …

        Raises:
            PitchRangeError: beyond triple sharps and flats, which have none.
        """
        return self._names[0]

    @property
    def glyph(self) -> str:
        """The sign as printed: ``♯``, ``𝄫`` …"""
        return self._names[1]

    @property
    def _names(self) -> tuple[str, str]:
        if self.alter not in ACCIDENTAL_NAMES:
            raise PitchRangeError(
                f"no sign for an alteration of {self.alter:+d} semitones: "
                "at most 3 can be printed"
            )
        return ACCIDENTAL_NAMES[self.alter]


@frozen(order=False, kw_only=True)
class AccidentalRules:
    """Which reminders (courtesy accidentals) are printed beyond the bar rule.

    `next_bar`: the first note on a line or space that the bar before altered;
    ``any-octave`` also where the alteration stood in another octave.
    `other_octave`: in the same bar, the other octave of an altered note.
    `after_tie`: after a note tied over the barline with its accidental, the
    return to the key's own note in that bar.
    `system_tie`: repeat the accidental of a note tied over to a new system.
    `parentheses`: how reminders are printed throughout.
    """

    next_bar: Literal["none", "same-place", "any-octave"] = "any-octave"
    other_octave: bool = True
    after_tie: bool = True
    system_tie: bool = False
    parentheses: bool = False


NO_COURTESY: Final = AccidentalRules(
    next_bar="none", other_octave=False, after_tie=False
)
"""The bar rule alone, as some jazz publishers print."""

_Place = tuple[Step, int]


@door
def shown_accidentals(
    bars: Sequence[Sequence[tuple[Pitch, bool]]],
    keys: Sequence[Key],
    /,
    *,
    rules: AccidentalRules | None = None,
    before: Sequence[Sequence[int]] | None = None,
    system_starts: Collection[int] = (),
) -> tuple[tuple[Accidental | None, ...], ...]:
    """The accidental before each note of each bar, or None.

    Args:
        bars: the notes of each bar in reading order (the notes of a chord one
            after another), each with whether it is tied from the note before;
            written pitches.
        keys: the key signature in force in each bar.
        rules: which reminders to print (all the usual ones, without parentheses).
        before: the bars (by index) that may be read or played just before each
            bar; the bar on the left if not given.  A second ending follows the
            bar before the first ending, as well as the one on its left.
        system_starts: the indices of bars that start a system.

    Raises:
        LengthMismatchError: if there are not as many keys (or `before`) as bars.

    >>> C = Key.parse("C")
    >>> p = Pitch.parse
    >>> bars = [[(p("F#4"), False), (p("F#4"), False)], [(p("F4"), False)]]
    >>> [[a and a.glyph for a in bar] for bar in shown_accidentals(bars, [C, C])]
    [['♯', None], ['♮']]
    """
    if len(keys) != len(bars):
        raise LengthMismatchError(f"{len(keys)} keys for {len(bars)} bars")
    if before is not None and len(before) != len(bars):
        raise LengthMismatchError(
            f"the bars before are given for {len(before)} of {len(bars)} bars"
        )
    altered = {
        index
        for index, (key, notes) in enumerate(zip(keys, bars, strict=True))
        if not all(key.is_diatonic(pitch.name) for pitch, _ in notes)
    }
    shown = signs_in_bars(
        bars.__getitem__,
        keys,
        altered,
        rules=rules,
        before=before,
        system_starts=system_starts,
    )
    return tuple(
        [
            shown[index] if index in shown else (None,) * len(notes)
            for index, notes in enumerate(bars)
        ]
    )


def signs_in_bars(
    notes_of: Callable[[int], Sequence[tuple[Pitch, bool]]],
    keys: Sequence[Key],
    altered: Collection[int],
    /,
    *,
    rules: AccidentalRules | None,
    before: Sequence[Sequence[int]] | None,
    system_starts: Collection[int],
) -> dict[int, tuple[Accidental | None, ...]]:
    """The accidentals of those bars that may have some, by their index: of the
    `altered`, in which a note may be none of the key, and of bars that are read just
    after one of these.

    `notes_of` gives the notes of a bar; the rest is as in :func:`shown_accidentals`.
    """
    using = rules or AccidentalRules()
    starting = frozenset(system_starts)
    left: dict[int, dict[_Place, int]] = {}
    shown: dict[int, tuple[Accidental | None, ...]] = {}
    nothing: dict[_Place, int] = {}
    for index, key in enumerate(keys):
        if before is None:
            reminds = left.get(index - 1, nothing)
        else:
            reminds = {}
            for bar in before[index]:
                reminds.update(left.get(bar, nothing))
        if reminds or index in altered:
            shown[index], leaves = _bar_signs(
                notes_of(index),
                _signature_alters(key.signature),
                reminds,
                using,
                new_system=index in starting,
            )
            if leaves and using.next_bar != "none":
                left[index] = leaves
    return shown


def _bar_signs(
    notes: Sequence[tuple[Pitch, bool]],
    own: dict[Step, int],
    altered: dict[_Place, int],
    rules: AccidentalRules,
    *,
    new_system: bool,
) -> tuple[tuple[Accidental | None, ...], dict[_Place, int]]:
    """The signs of one bar, and what it leaves altered at its end."""
    signs: list[Accidental | None] = []
    in_force: dict[_Place, int] = {}
    sounded: dict[_Place, int] = {}
    reminded: set[_Place] = set()
    unsettled = {step for step, _ in altered}
    unsettled.update(pitch.step for pitch, _ in notes if pitch.alter != own[pitch.step])
    for pitch, tied in notes:
        step, alter = pitch.step, pitch.alter
        if step not in unsettled:  # the key alone says it, in all octaves
            signs.append(None)
            continue
        place = (step, pitch.octave)
        sign: Accidental | None = None
        if tied:
            if new_system and rules.system_tie and place not in sounded:
                sign = _reminder(alter, rules) if alter != own[step] else None
        elif alter != in_force.get(place, own[step]):
            sign = _sign(alter, False, False)
            in_force[place] = alter
            reminded.add(place)
        elif place not in reminded and _wants_reminder(
            place, alter, sounded, altered, rules, fresh=place not in in_force
        ):
            sign = _reminder(alter, rules)
            reminded.add(place)
            in_force[place] = alter
        else:
            in_force[place] = alter
        sounded[place] = alter
        signs.append(sign)
    left = {place: alter for place, alter in sounded.items() if alter != own[place[0]]}
    return tuple(signs), left


def _wants_reminder(
    place: _Place,
    alter: int,
    sounded: dict[_Place, int],
    altered: dict[_Place, int],
    rules: AccidentalRules,
    *,
    fresh: bool,
) -> bool:
    if fresh:
        if rules.after_tie and sounded.get(place, alter) != alter:
            return True
        if altered.get(place, alter) != alter:
            return True
        if rules.next_bar == "any-octave" and _differs(place, alter, altered):
            return True
    return rules.other_octave and _differs(place, alter, sounded)


def _differs(place: _Place, alter: int, notes: dict[_Place, int]) -> bool:
    """Whether another octave of the letter is altered otherwise."""
    step, octave = place
    for (letter, number), other in notes.items():
        if letter == step and number != octave and other != alter:
            return True
    return False


def _reminder(alter: int, rules: AccidentalRules) -> Accidental:
    return _sign(alter, True, rules.parentheses)


@cache
def _sign(alter: int, courtesy: bool, parentheses: bool) -> Accidental:
    return Accidental(alter, courtesy, parentheses)


@cache
def _signature_alters(signature: int) -> dict[Step, int]:
    key = Key.from_signature(signature)
    return {step: key.alter_of(step) for step in STEPS}
