"""What a staff beside the melody is for: hits, a bass line, another line, nothing.

Arrangers enter the rhythm section's hits as notes, at any pitch, in a player's staff
with rests elsewhere.  Rhythm tells them from everything else: nearly every hit is
followed by silence, and most of the time nothing sounds.  Pitch only helps, and a
name counts where the notes don't contradict it.

Sources: percussion clef, notes without pitch and slash heads as rhythm, MusicXML 4.0
(``clef``, ``unpitched``, ``notehead``).  The shares that part hits from other music
were measured on melodies, piano staves and choral parts of open collections and on
invented hits; no handbook states any.  The rest is common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from itertools import pairwise
from statistics import median_low
from typing import Final, Literal

from attrs import evolve, frozen

__all__ = (
    "BASS_LINE",
    "Attack",
    "StaffMusic",
    "StaffRole",
    "StaffVerdict",
    "judge_staff",
    "judge_staves",
    "named_bass_line",
    "named_for_hits",
)

StaffRole = Literal[
    "hits", "bass line", "counterline", "doubling", "left out", "ask", "empty"
]
"""What a staff is for; ``doubling`` is the melody again, ``ask`` a question for the
arranger."""

# The shares that part hits from everything else (measured, see above)
_GAPS: Final = Fraction(1, 2)  # of the attacks, at least, silence follows
_FEW_GAPS: Final = Fraction(3, 10)  # with fewer the staff is a line
_SOUND: Final = Fraction(3, 5)  # of the time, at most, something sounds
_ALIKE: Final = Fraction(3, 5)  # of neighbours have the same pitches
_DOUBLES: Final = Fraction(9, 10)  # of the attacks fall on the melody's
_ONE_BY_ONE: Final = Fraction(19, 20)  # of a bass line's attacks are single notes
_ON_THE_ROOT: Final = Fraction(7, 10)  # of a bass line's bars begin on root or fifth
_TELLING: Final = 4  # attacks at least, before a likeness tells anything
_LOW: Final = 48  # C3: a bass line's median lies below

# Names that say what a part holds, in English and as MusicXML's sounds say it
_NAMES: Final[tuple[tuple[str, re.Pattern[str]], ...]] = tuple(
    (kind, re.compile(rf"\b({words})\b", re.IGNORECASE))
    for kind, words in (
        ("hits", "hits?|cues?|kicks?|ensemble|tutti|figures?|punch(es)?|stabs?"
                 "|slash(es)?|rhythms?(?! *(guitar|gtr))"),
        ("drums", "drums?|drum ?set|percussion"),
        ("bass", "bass(?! *(clef|clarinet|cl|sax\\w*|trombone|tbn|trumpet|flute|voice))"
                 "|contrabass|double ?bass|sousaphone"),
        ("keys", "piano|pno|keyboards?|keys|organ|guitar|gtr|vibraphone|vibes"
                 "|accordion"),
        ("horn", "trumpet|tpt|cornet|fl[uü]gelhorn|horn|trombone|tbn|tuba|euphonium|sax"
                 "|saxophone|clarinet|cl|flute|oboe|bassoon|violin|viola|cello"),
        ("voice", "voice|vocals?|vox|soprano|alto|tenor|baritone|singer|choir"),
    )
)  # fmt: skip
BASS_LINE: Final = "Bass line"
"""A part that is so called holds the bass line, whatever its notes are."""

_SECTIONS_DIFFER: Final = "its sections differ: hits in one, other music in another"
_RHYTHM_PLAYERS: Final = frozenset(("hits", "drums", "bass", "keys"))


@frozen(order=False)
class Attack:
    """Notes that are struck together: where, how long (tied notes joined, in quarter
    notes from the start of the tune) and at which sounding MIDI keys (none where the
    notes have no pitch)."""

    onset: Fraction
    duration: Fraction
    keys: frozenset[int] = frozenset()

    @property
    def end(self) -> Fraction:
        """Where it stops sounding."""
        return self.onset + self.duration


@frozen(order=False, kw_only=True)
class StaffMusic:
    """A staff as far as its purpose shows in it.

    `name` is its part's name; `number` counts the part's staves from 1, of which it
    has `staves`.  `bars` are the starts of its bars and where the last one ends,
    `beat` the length of a beat, `roots` the root and fifth (pitch classes) of the
    chord on each bar's first beat (none where there is none).  `unpitched` says whether
    clef or heads make it a rhythm; `beat_slashes` that slashes without stems fill it;
    `small`, `sung`, `tablature` and `ornaments` that its notes are cue-sized, have
    syllables, stand on a tablature, or are ornamented; `voice` that it is a further
    voice of the melody's staff, `under_slashes` that the staff above it in its part
    holds slashes alone.
    """

    attacks: tuple[Attack, ...]
    bars: tuple[Fraction, ...]
    beat: Fraction = Fraction(1)
    roots: tuple[frozenset[int], ...] = ()
    name: str = ""
    number: int = 1
    staves: int = 1
    low_clef: bool = False
    unpitched: bool = False
    beat_slashes: bool = False
    small: bool = False
    sung: bool = False
    tablature: bool = False
    ornaments: bool = False
    voice: bool = False
    under_slashes: bool = False


@frozen(order=False)
class StaffVerdict:
    """What a staff was taken for, and why in a few words.

    For a staff that is asked about, `offers` holds the likeliest answers, the first
    one first.
    """

    role: StaffRole
    reason: str
    offers: tuple[StaffRole, ...] = ()


# ── What is counted ──────────────────────────────────────────────────────────────


@frozen(order=False)
class _Shares:
    """The shares of a stretch of music on which its purpose is judged."""

    gap: Fraction
    sound: Fraction
    alike: Fraction
    one_shape: bool
    single: Fraction

    @property
    def hits(self) -> bool:
        return self.gap >= _GAPS and self.sound <= _SOUND


def _shares(attacks: Sequence[Attack], time: Fraction) -> _Shares:
    count = len(attacks)
    followed = [a.end < b.onset for a, b in pairwise(attacks)]
    gaps = sum(followed) + 1  # the last is followed by silence, or ends the stretch
    if count > 1 and attacks[-1].end >= attacks[0].onset + time:
        gaps -= 1
    same = sum(a.keys == b.keys for a, b in pairwise(attacks))
    sounding = sum((attack.duration for attack in attacks), Fraction(0))
    return _Shares(
        Fraction(gaps, count),
        min(sounding / time, Fraction(1)) if time else Fraction(1),
        Fraction(same, count - 1) if count > 1 else Fraction(1),
        same == count - 1,
        Fraction(sum(len(attack.keys) <= 1 for attack in attacks), count),
    )


def _steady(staff: StaffMusic, attacks: Sequence[Attack]) -> bool:
    """Whether every beat of every bar that has an attack has one, and nothing else:
    a count-in or a groove."""
    if len(attacks) < _TELLING:
        return False
    onsets = {attack.onset for attack in attacks}
    if any(attack.duration > staff.beat for attack in attacks):
        return False
    beats: set[Fraction] = set()
    for start, end in pairwise(staff.bars):
        if any(start <= onset < end for onset in onsets):
            at = start
            while at < end:
                beats.add(at)
                at += staff.beat
    return onsets == beats


def _called(staff: StaffMusic) -> str:
    return next((kind for kind, words in _NAMES if words.search(staff.name)), "")


def named_for_hits(name: str, /) -> bool:
    """Whether a part's name says that it holds hits: ``Hits``, ``Rhythm``, ``Drums``.

    >>> named_for_hits("Rhythm section"), named_for_hits("Rhythm guitar")
    (True, False)
    """
    return any(
        words.search(name) for kind, words in _NAMES if kind in ("hits", "drums")
    )


def named_bass_line(name: str, /) -> bool:
    """Whether a part is called just what a bass line is.

    >>> named_bass_line("Bass line"), named_bass_line("Bass")
    (True, False)
    """
    return name.strip().casefold() == BASS_LINE.casefold()


def _on_the_root(staff: StaffMusic, attacks: Sequence[Attack]) -> bool:
    """Whether the bars that start with an attack start on root or fifth; where no
    chord is known, nothing speaks against it."""
    struck = {attack.onset: attack.keys for attack in attacks}
    known = [
        any(key % 12 in tones for key in struck[start])
        for start, tones in zip(staff.bars, staff.roots, strict=False)
        if tones and start in struck
    ]
    return not known or Fraction(sum(known), len(known)) >= _ON_THE_ROOT


def _is_low(attacks: Sequence[Attack]) -> bool:
    keys = [min(attack.keys) for attack in attacks if attack.keys]
    return bool(keys) and median_low(keys) < _LOW


# ── One stretch ──────────────────────────────────────────────────────────────────


def _ask(reason: str, *offers: StaffRole) -> StaffVerdict:
    return StaffVerdict("ask", reason, offers)


def _by_marks(staff: StaffMusic, shares: _Shares) -> StaffVerdict | None:
    """What clef, heads and other plain marks say."""
    attacks = staff.attacks
    if named_bass_line(staff.name):
        return StaffVerdict("bass line", f"named {staff.name}")
    if staff.under_slashes:
        return StaffVerdict("bass line", "the staff under the slashes")
    if staff.tablature:
        return StaffVerdict("left out", "a tablature is a player's fingering")
    if staff.unpitched:
        if _steady(staff, attacks):
            return StaffVerdict("left out", "the beat, not hits")
        goes_on = shares.gap < _FEW_GAPS and shares.sound > _SOUND
        if goes_on and len(attacks) >= _TELLING and _called(staff) == "drums":
            return StaffVerdict("left out", "a groove all along, not hits", ("hits",))
        return StaffVerdict("hits", "notes without pitch")
    if staff.staves > 2:
        return _ask("a part of more than two staves", "hits", "bass line")
    if staff.sung:
        return StaffVerdict("counterline", "it has syllables")
    if staff.ornaments and not shares.hits:
        return StaffVerdict("left out", "a written-out part with ornaments")
    if staff.small:
        return _ask("small notes: hits, or a cue of the melody", "hits", "left out")
    return None


def _by_name(staff: StaffMusic, shares: _Shares) -> StaffVerdict | None:
    """What the name says, where the notes agree with it."""
    called = _called(staff)
    bass = called == "bass" and _is_low(staff.attacks)
    if bass and (shares.single >= _ONE_BY_ONE or shares.gap >= _GAPS):
        offers: tuple[StaffRole, ...] = ("hits",) if shares.hits else ()
        return StaffVerdict("bass line", f"named {staff.name}", offers)
    if called in ("hits", "drums") and not staff.low_clef and staff.number == 1:
        if shares.gap >= _FEW_GAPS or shares.one_shape:
            if _steady(staff, staff.attacks):
                return StaffVerdict("left out", "the beat, not hits")
            return StaffVerdict("hits", f"named {staff.name}")
        return _ask(
            f"named {staff.name}, but it moves without rests", "counterline", "hits"
        )
    if called in ("horn", "voice"):
        if shares.hits:
            return _ask("a horn's figures, rests elsewhere", "counterline", "hits")
        if not staff.voice:
            return StaffVerdict("counterline", f"named {staff.name}")
    return None


def _one_attack(staff: StaffMusic) -> StaffVerdict:
    """A lone attack is a hit if it is short or comes before the beat."""
    (attack,) = staff.attacks
    start = max((bar for bar in staff.bars if bar <= attack.onset), default=Fraction(0))
    off_beat = (attack.onset - start) % staff.beat
    player = _called(staff) in _RHYTHM_PLAYERS
    if player and (attack.duration <= staff.beat or off_beat):
        return StaffVerdict("hits", "one attack, rests elsewhere")
    return _ask("one note in all", "hits", "counterline")


def _by_rhythm(staff: StaffMusic, shares: _Shares) -> StaffVerdict:
    """What the rhythm says, and then the pitches."""
    attacks = staff.attacks
    low = staff.number > 1 or (staff.low_clef and not staff.voice)
    if len(attacks) == 1 and not low:
        return _one_attack(staff)
    if not low or not _is_low(attacks):
        if _steady(staff, attacks):
            return StaffVerdict("left out", "an attack on every beat: accompaniment")
        # a note held below the melody, in the melody's own staff, is a line
        held = staff.voice and shares.sound > _SOUND
        if shares.one_shape and not held:
            return StaffVerdict("hits", "one pitch or chord shape throughout")
        if shares.hits:
            return StaffVerdict("hits", "short attacks with silence after them")
        if shares.gap >= _FEW_GAPS and shares.sound <= _SOUND:
            if shares.alike >= _ALIKE:
                return StaffVerdict("hits", "the same pitches, rests elsewhere")
            return _ask("some silences between its notes", "hits", "counterline")
    elif shares.single >= _ONE_BY_ONE and _on_the_root(staff, attacks):
        return StaffVerdict("bass line", "low, one note at a time")
    return _line(staff, shares)


def _line(staff: StaffMusic, shares: _Shares) -> StaffVerdict:
    """Music that is neither hits nor a bass line."""
    player = _called(staff) in _RHYTHM_PLAYERS
    if not player and staff.staves == 1:
        bars = len(staff.bars) - 1
        if shares.single < 1 or len(staff.attacks) > bars:
            return StaffVerdict("counterline", "a line of its own")
        if len(staff.attacks) == bars and not staff.voice and bars > 1:
            return _ask("one long note a bar", "counterline", "left out")
        return StaffVerdict("counterline", "a line of its own")
    if shares.sound <= _SOUND:
        return _ask("runs with rests around them: fills, or hits", "hits", "left out")
    if len(staff.attacks) <= len(staff.bars) - 1 and shares.single < _ONE_BY_ONE:
        return _ask("one long chord a bar: long hits, or a pad", "hits", "left out")
    return StaffVerdict("left out", "a written-out accompaniment")


def judge_staff(
    staff: StaffMusic, /, *, melody: Mapping[Fraction, int] | None = None
) -> StaffVerdict:
    """What one staff is for, judged by itself and as a whole.

    Args:
        staff: the staff.
        melody: the melody's sounding MIDI keys by where they are struck, to tell a
            player who doubles it.

    >>> quarters = [Fraction(bar * 4) for bar in range(9)]
    >>> punches = tuple(Attack(at + Fraction(3, 2), Fraction(1, 2), frozenset((67,)))
    ...                 for at in quarters[:8])
    >>> judge_staff(StaffMusic(attacks=punches, bars=tuple(quarters), name="Piano"))
    StaffVerdict(role='hits', reason='one pitch or chord shape throughout', offers=())
    """
    if not staff.attacks:
        if staff.beat_slashes:
            return StaffVerdict("left out", "slashes for the beats hold no rhythm")
        return StaffVerdict("empty", "rests only")
    shares = _shares(staff.attacks, staff.bars[-1] - staff.bars[0])
    marked = _by_marks(staff, shares)
    if marked is not None:
        return marked
    doubling = _doubling(staff, melody or {})
    if doubling is not None:
        return doubling
    return _by_name(staff, shares) or _by_rhythm(staff, shares)


def _doubling(staff: StaffMusic, melody: Mapping[Fraction, int]) -> StaffVerdict | None:
    """Whether nearly all attacks are the melody's, at its pitch or octaves apart, or
    a voice that goes along with it."""
    if len(staff.attacks) < _TELLING:
        return None
    with_it = [attack for attack in staff.attacks if attack.onset in melody]
    if Fraction(len(with_it), len(staff.attacks)) <= _DOUBLES or 2 * len(with_it) < len(
        melody
    ):
        return None
    alike = sum(
        melody[attack.onset] % 12 in {key % 12 for key in attack.keys}
        for attack in with_it
    )
    if alike > len(with_it) * _DOUBLES:
        more = any(len({key % 12 for key in a.keys}) > 1 for a in with_it)
        if not more:
            return StaffVerdict("doubling", "it plays the melody")
    if _called(staff) in ("horn", "voice", ""):
        return StaffVerdict("counterline", "it goes along with the melody")
    return StaffVerdict(
        "left out", "it goes along with the melody", ("counterline", "left out")
    )


# ── Several staves, section by section ───────────────────────────────────────────


def judge_staves(
    staves: Sequence[StaffMusic],
    /,
    *,
    melody: Mapping[Fraction, int] | None = None,
    sections: Sequence[Fraction] = (),
) -> tuple[StaffVerdict, ...]:
    """What each staff beside the melody is for.

    Each is judged by itself, as a whole and section by section; where sections
    disagree, where two staves could be the hits with different rhythms, or where a
    low staff lies under a written-out right hand, the arranger is asked.

    Args:
        staves: the staves beside the melody's, those of a part one after another.
        melody: as in :func:`judge_staff`.
        sections: where the tune's sections start, in quarter notes.
    """
    whole = [judge_staff(staff, melody=melody) for staff in staves]
    found = [
        _agreed(staff, verdict, lambda part: judge_staff(part, melody=melody), sections)
        for staff, verdict in zip(staves, whole, strict=True)
    ]
    for index, staff in enumerate(staves):
        above = staves[index - 1] if index and _are_one_part(staves, index) else None
        upper = None if above is None else found[index - 1]
        if upper is not None and found[index].role not in ("empty", "left out"):
            found[index] = _under(staff, found[index], upper, staves[index - 1])
        if upper is not None and upper.role == "left out":
            found[index - 1] = _vamp(upper, staff, staves[index - 1])
    return tuple(_one_rhythm(staves, found))


def _are_one_part(staves: Sequence[StaffMusic], index: int) -> bool:
    """Whether the staff before one lies above it in the same part."""
    above, staff = staves[index - 1], staves[index]
    same = (above.name, above.staves) == (staff.name, staff.staves)
    return same and above.number == staff.number - 1


def _agreed(
    staff: StaffMusic,
    whole: StaffVerdict,
    judge: Callable[[StaffMusic], StaffVerdict],
    sections: Sequence[Fraction],
) -> StaffVerdict:
    """The verdict on the whole, or the question that sections raise that differ."""
    if whole.role not in ("hits", "left out", "counterline", "ask") or staff.unpitched:
        return whole
    roles: set[StaffRole] = set()
    for start, end in pairwise([*sections, staff.bars[-1]]):
        inside = tuple(a for a in staff.attacks if start <= a.onset < end)
        if len(inside) > 2:
            bars = tuple(bar for bar in staff.bars if start <= bar <= end)
            roles.add(judge(evolve(staff, attacks=inside, bars=bars)).role)
    if len(roles) > 1 and "hits" in roles:
        return _ask(_SECTIONS_DIFFER, "hits", "left out")
    return whole


def _under(
    staff: StaffMusic, own: StaffVerdict, upper: StaffVerdict, above: StaffMusic
) -> StaffVerdict:
    """The verdict on a low staff, given the one above it in its part."""
    if staff.under_slashes or named_bass_line(staff.name):
        return own
    shares = _shares(staff.attacks, staff.bars[-1] - staff.bars[0])
    if upper.role == "empty":
        if shares.hits:
            return _ask("figures in the low staff alone", "hits", "bass line")
        return own
    single = shares.single >= _ONE_BY_ONE and _is_low(staff.attacks)
    if upper.role == "hits" and single:
        return StaffVerdict("bass line", "one low note at a time, under the hits")
    if above.ornaments or upper.reason == _SECTIONS_DIFFER:
        return _ask("the left hand of a written-out part", "bass line", "left out")
    if upper.role == "left out" and not upper.offers and above.attacks:
        moving = _shares(above.attacks, above.bars[-1] - above.bars[0])
        if moving.single >= _ONE_BY_ONE and not moving.one_shape:
            return _ask("the left hand of a written-out part", "bass line", "left out")
    return own


def _vamp(upper: StaffVerdict, staff: StaffMusic, above: StaffMusic) -> StaffVerdict:
    """Both hands in one rhythm: a figure of the rhythm section, or accompaniment."""
    same = [a.onset for a in staff.attacks] == [a.onset for a in above.attacks]
    if same and staff.attacks and not _steady(above, above.attacks):
        return _ask("both hands in one rhythm: a figure, or accompaniment",
                    "hits", "left out")  # fmt: skip
    return upper


def _one_rhythm(
    staves: Sequence[StaffMusic], found: Sequence[StaffVerdict]
) -> list[StaffVerdict]:
    """Where two parts hold hits that differ, neither is taken unasked, unless one
    alone is named for them, or else is a drummer's or without pitch."""
    rhythms = {
        index: [attack.onset for attack in staves[index].attacks]
        for index, verdict in enumerate(found)
        if verdict.role == "hits"
    }
    if len({tuple(rhythm) for rhythm in rhythms.values()}) < 2:
        return list(found)
    named = [index for index in rhythms if _called(staves[index]) == "hits"] or [
        index
        for index in rhythms
        if _called(staves[index]) == "drums" or staves[index].unpitched
    ]
    settled = list(found)
    for index in rhythms:
        if len(named) == 1:
            if index != named[0]:
                settled[index] = StaffVerdict(
                    "left out", f"the hits are those of {staves[named[0]].name}",
                    ("hits",),
                )  # fmt: skip
        else:
            settled[index] = _ask(
                "two staves hold hits that differ", "hits", "left out"
            )
    return settled
