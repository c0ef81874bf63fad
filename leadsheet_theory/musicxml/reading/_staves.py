"""Which staff of a file is what: the melody's, the hits', the bass line's.

The **melody** is the first voice of the first staff that is neither a rhythm nor a bass
line.  Every other staff is judged by :mod:`~leadsheet_theory.leadsheet.staves`,
whatever its place in the file, unless the user says what it is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import accumulate
from typing import Final

from attrs import evolve, frozen

from ...chords import Chord
from ...errors import UnknownStaffError
from ...interval import Interval
from ...leadsheet.model import Note
from ...leadsheet.slash_time import has_slashes
from ...leadsheet.staves import (
    Attack,
    StaffMusic,
    StaffRole,
    StaffVerdict,
    judge_staff,
    judge_staves,
    named_bass_line,
)
from ._header import PartNames
from ._raw import RawBar, RawLine
from ._report import Report
from ._values import quarters
from ._voices import main_voice

__all__ = ("Cast", "PartContent", "Staff", "cast_staves")

_NONE: Final = "none"
_MANY_ATTACKS: Final = 8
# a staff judged so is not the melody's, if there is another
_NO_MELODY: Final = frozenset(("hits", "bass line", "empty"))
_ORNAMENTS: Final = frozenset(("tremolo", "arpeggiate"))


@frozen(order=False, kw_only=True)
class PartContent:
    """One part as read: its staves with a percussion clef, a bass clef and a
    tablature, which of divisions, key and time it does not state, and its ways from
    the written to the sounding pitch."""

    id: str
    names: PartNames
    bars: tuple[RawBar, ...]
    percussion: frozenset[str]
    low: frozenset[str]
    tablature: frozenset[str]
    missing: frozenset[str]
    shifts: frozenset[Interval | None]
    report: Report

    @property
    def title(self) -> str:
        """What to call the part in a message."""
        return f"{self.id} ({self.names.name})" if self.names.name else self.id

    @property
    def name(self) -> str:
        """What the part and its instruments are called."""
        return f"{self.names.name} {self.names.instruments}".strip()


@frozen(eq=False)
class Staff:
    """One staff of a part, or a further voice of the melody's staff, with its voices
    bar by bar; it may hold `cues` alone.  Each is equal to itself alone."""

    part: PartContent
    name: str
    number: int
    of: int
    lines: tuple[tuple[RawLine, ...], ...]
    voice: str = ""
    cues: bool = False

    @property
    def title(self) -> str:
        """What to call the staff in a message."""
        title = self.part.names.name or self.part.id
        return f"{title}, staff {self.number}" if self.of > 1 else title

    @property
    def sung(self) -> bool:
        """Whether it has pitched notes."""
        return any(line.has_notes for lines in self.lines for line in lines)

    @property
    def slashed(self) -> bool:
        """Whether it holds slashes and nothing of pitch."""
        lines = [line for lines in self.lines for line in lines]
        slashed = any(line.strokes or has_slashes(line.events) for line in lines)
        return slashed and not self.sung

    @property
    def is_small(self) -> bool:
        """Whether all of its notes are small."""
        lines = [line for lines in self.lines for line in lines if line.has_notes]
        return self.cues or (bool(lines) and not any(line.large for line in lines))

    @property
    def main_voice(self) -> str:
        """The voice with the melody."""
        return main_voice(self.lines)

    @property
    def voice_names(self) -> list[str]:
        """What its voices are called, the main one first."""
        names = {line.voice for lines in self.lines for line in lines if line.has_notes}
        main = self.main_voice
        return [main, *sorted(names - {main})]

    def voices(self) -> Iterator[Staff]:
        """Its voices, the main one first, each as a staff of its own."""
        for name in self.voice_names:
            lines = tuple(
                tuple(line for line in lines if line.voice == name)
                for lines in self.lines
            )
            yield evolve(self, lines=lines, voice=name)

    def notes(self) -> Iterator[tuple[int, Note]]:
        """Its notes and strokes with the index of their bar."""
        for index, lines in enumerate(self.lines):
            for line in lines:
                for event in (*line.events, *line.strokes):
                    if isinstance(event, Note):
                        yield index, event


@frozen(order=False)
class Cast:
    """Who plays what."""

    melody: Staff
    hits: Staff | None
    bass_line: Staff | None
    doublings: tuple[Staff, ...] = ()


def cast_staves(
    parts: Sequence[PartContent],
    grid: int,
    report: Report,
    *,
    hits: str = "",
    bass_line: str = "",
) -> Cast:
    """Find the melody's staff, the hits' and the bass line's, and tell what was
    decided.

    Args:
        parts: all parts of the file, one of them with a measure.
        grid: the ticks of a quarter note.
        report: what is told of the file as a whole.
        hits, bass_line: the staff that the user names (a part's name or id, and
            after a colon the number of the staff), ``none`` for no staff, or nothing.

    Raises:
        UnknownStaffError: if no staff is so called.
    """
    staves = [staff for part in parts for staff in _staves_of(part)]
    alone = len(staves) == 1 and not (hits or bass_line)
    if alone and len(staves[0].voice_names) == 1:
        # the usual chart: one staff with one voice needs no judging
        return Cast(staves[0], None, None)
    musics = [
        evolve(_music(staff, grid), under_slashes=_under_slashes(staff, staves))
        for staff in staves
    ]
    wishes: dict[StaffRole, str] = {"hits": hits, "bass line": bass_line}
    asked = {role: _named(staves, musics, role, wish) for role, wish in wishes.items()}
    taken = {staves.index(staff) for staff in asked.values() if staff is not None}
    at = _melody(staves, musics, taken)
    melody = staves[at]
    main, *others = melody.voices()
    beside = [staff for index, staff in enumerate(staves) if index != at]
    sections = [
        musics[at].bars[index]
        for index, bar in enumerate(melody.part.bars)
        if bar.signs.section or index == 0
    ]
    judged = dict(
        zip(
            [*beside, *others],
            [
                *judge_staves(
                    [musics[staves.index(staff)] for staff in beside],
                    melody=_top_keys(_music(main, grid)),
                    sections=sections,
                ),
                *(judge_staff(_music(voice, grid)) for voice in others),
            ],
            strict=True,
        )
    )
    found = {
        role: _settled(role, wish, asked[role], judged) for role, wish in wishes.items()
    }
    _tell(judged, found, report, settled=wishes)
    doublings = _judged_as("doubling", judged)
    return Cast(melody, found["hits"], found["bass line"], doublings)


def _top_keys(music: StaffMusic) -> dict[Fraction, int]:
    """The highest key that is struck at each onset."""
    return {each.onset: max(each.keys) for each in music.attacks if each.keys}


def _settled(
    role: StaffRole,
    wish: str,
    asked: Staff | None,
    judged: Mapping[Staff, StaffVerdict],
) -> Staff | None:
    """The staff for a role: the user's, else the first that was judged so."""
    if wish:
        return asked
    return next(iter(_judged_as(role, judged)), None)


def _judged_as(
    role: StaffRole, judged: Mapping[Staff, StaffVerdict]
) -> tuple[Staff, ...]:
    return tuple(staff for staff, verdict in judged.items() if verdict.role == role)


def _under_slashes(staff: Staff, staves: Sequence[Staff]) -> bool:
    """Whether it stands under a staff of its part that holds slashes alone."""
    return staff.number > 1 and any(
        other.slashed
        for other in staves
        if other.part is staff.part and other.number == staff.number - 1
    )


def _staves_of(part: PartContent) -> list[Staff]:
    """The staves of a part: a staff without other notes has its cues for them, else
    these are told as lost."""
    names = sorted(
        {line.staff for bar in part.bars for line in (*bar.lines, *bar.small)},
        key=_number,
    )
    staves = []
    for number, name in enumerate(names or ["1"], start=1):
        lines = _on_staff(name, (bar.lines for bar in part.bars))
        small = _on_staff(name, (bar.small for bar in part.bars))
        cues = _has_notes(small) and not _has_notes(lines)
        if not cues:
            _tell_lost(part.report, small)
        staff = Staff(part, name, number, len(names), small if cues else lines)
        staves.append(evolve(staff, cues=cues) if cues else staff)
    return staves


def _on_staff(
    name: str, bars: Iterable[Iterable[RawLine]]
) -> tuple[tuple[RawLine, ...], ...]:
    return tuple([tuple([line for line in bar if line.staff == name]) for bar in bars])


def _has_notes(bars: Iterable[Iterable[RawLine]]) -> bool:
    return any(
        line.has_notes or line.strokes for lines in bars if lines for line in lines
    )


def _tell_lost(report: Report, small: Sequence[Sequence[RawLine]]) -> None:
    """Say which cue notes are lost; rests between them are not."""
    for index, lines in enumerate(small):
        for line in lines:
            for event in line.events:
                if isinstance(event, Note):
                    report.index = index
                    report.unread("note", "a cue note")


def _number(name: str) -> tuple[int, str]:
    return (int(name), "") if name.isdecimal() else (0, name)


def _melody(
    staves: Sequence[Staff], musics: Sequence[StaffMusic], taken: set[int]
) -> int:
    """The index of the melody's staff: of those that the user has not taken for
    something else, the first that is no rhythm and no bass line."""

    def rank(index: int) -> tuple[bool, bool, bool, int]:
        music = musics[index]
        role = judge_staff(music).role
        rhythm = role in _NO_MELODY and (
            index > 0 or music.unpitched or len(music.attacks) >= _MANY_ATTACKS
            or role == "empty"
        )  # fmt: skip
        alone = len(staves) == 1
        other = index in taken or music.under_slashes or named_bass_line(music.name)
        other = other or music.small
        return other, not staves[index].sung, rhythm and not alone, index

    return min(range(len(staves)), key=rank)


def _music(staff: Staff, grid: int) -> StaffMusic:
    """What of a staff shows its purpose."""
    part = staff.part
    starts = tuple(
        accumulate(
            (quarters(bar.length, grid) for bar in part.bars), initial=Fraction(0)
        )
    )
    notes = [note for _, note in staff.notes()]
    first = part.bars[0].meter if part.bars else None
    return StaffMusic(
        attacks=tuple(_attacks(staff.notes(), starts)),
        bars=starts,
        beat=first.beat_spans[0].length if first is not None else Fraction(1),
        roots=tuple(_roots(bar) for bar in part.bars),
        name=part.name,
        number=staff.number,
        staves=staff.of,
        low_clef=staff.name in part.low,
        unpitched=staff.name in part.percussion
        or (not staff.sung and any(line.strokes for ls in staff.lines for line in ls)),
        small=staff.is_small,
        beat_slashes=any(line.has_slashes for lines in staff.lines for line in lines),
        sung=any(note.lyrics for note in notes),
        tablature=staff.name in part.tablature,
        ornaments=any(
            note.grace or any(mark.kind in _ORNAMENTS for mark in note.marks)
            for note in notes
        ),
        voice=bool(staff.voice),
    )


def _attacks(
    notes: Iterable[tuple[int, Note]], starts: Sequence[Fraction]
) -> list[Attack]:
    """The attacks of a staff, tied notes joined, those at one place as one."""
    struck: dict[Fraction, tuple[Fraction, set[int]]] = {}
    ends: dict[int, Fraction] = {}  # MIDI key: where the attack that holds it began
    placed = sorted(
        ((starts[index] + note.onset, note) for index, note in notes),
        key=lambda each: each[0],
    )
    for onset, note in placed:
        if note.grace:
            continue
        keys = {pitch.midi for pitch in note.pitches}
        begun = next((ends[key] for key in keys if key in ends), None)
        if note.tied_from_previous and begun is not None:
            length = onset + note.duration - begun
            struck[begun] = max(struck[begun][0], length), struck[begun][1]
        else:
            before = struck.get(onset, (Fraction(0), set()))
            struck[onset] = max(before[0], note.duration), before[1] | keys
            begun = onset
        for key in keys:
            if note.tied_to_next:
                ends[key] = begun
            else:
                ends.pop(key, None)
    return [
        Attack(onset, duration, frozenset(keys))
        for onset, (duration, keys) in struck.items()
    ]


def _roots(bar: RawBar) -> frozenset[int]:
    for place, symbol in bar.chords:
        if place == 0 and isinstance(symbol, Chord):
            bass = symbol.bass or symbol.root
            root = symbol.root.pitch_class
            return frozenset((root, (root + 7) % 12, bass.pitch_class))
    return frozenset()


# ── What the user says, and what is told ─────────────────────────────────────────


def _named(
    staves: Sequence[Staff], musics: Sequence[StaffMusic], role: StaffRole, wish: str
) -> Staff | None:
    """The staff that the user names."""
    if not wish or wish.casefold() == _NONE:
        return None
    name, _, number = wish.rpartition(":")
    if not number.isdecimal():
        name, number = wish, ""
    matching = [
        index
        for index, staff in enumerate(staves)
        if name.casefold()
        in (staff.part.names.name.casefold(), staff.part.id.casefold())
        and (not number or staff.number == int(number))
    ]
    if not matching:
        raise UnknownStaffError(wish, tuple(_called(staff) for staff in staves))
    likely = [index for index in matching if judge_staff(musics[index]).role == role]
    filled = [index for index in matching if musics[index].attacks]
    if role == "bass line":
        return staves[(likely or filled[-1:] or matching)[0]]
    return staves[(likely or filled or matching)[0]]


def _called(staff: Staff) -> str:
    name = staff.part.names.name or staff.part.id
    return f"{name}:{staff.number}" if staff.of > 1 else name


def _tell(
    judged: Mapping[Staff, StaffVerdict],
    found: Mapping[StaffRole, Staff | None],
    report: Report,
    *,
    settled: Mapping[StaffRole, str],
) -> None:
    """Say what each staff was taken for, and how to decide otherwise."""
    for staff, verdict in judged.items():
        element = "part" if staff.of == 1 else "staff"
        if staff == found["hits"]:
            attacks = sum(not note.tied_from_previous for _, note in staff.notes())
            bars = len({at for at, _ in staff.notes()})
            reason = "" if settled["hits"] else f": {verdict.reason}"
            report.add(
                "hits",
                "note",
                f"the hits are those of {staff.title}{reason} ({attacks} in {bars} "
                "bars; pitches are not kept)",
                advice='hits="none" takes none, hits="NAME:STAFF" those of another',
            )
        elif staff == found["bass line"]:
            report.add(
                "bass-line",
                "note",
                f"the bass line is that of {staff.title}",
                advice='bass_line="none" takes none',
            )
        elif staff.voice:
            continue  # a counterline
        elif verdict.role == "ask" and not _is_settled(verdict, settled):
            offers = " or ".join(verdict.offers)
            report.add(
                "staff",
                "query",
                f"{staff.title} is not carried: {verdict.reason}; is it {offers}?",
                advice=_how(verdict, staff),
                element=element,
            )
        elif verdict.role in ("hits", "bass line", "counterline", "left out", "ask"):
            report.add(
                "unread",
                "note" if settled.get(verdict.role) else "warning",
                f"{staff.title} is not carried: {verdict.reason}",
                element=element,
            )


def _is_settled(verdict: StaffVerdict, settled: Mapping[StaffRole, str]) -> bool:
    return any(settled.get(offer) for offer in verdict.offers)


def _how(verdict: StaffVerdict, staff: Staff) -> str:
    """The option that answers the question."""
    ways = [
        f'{offer.replace(" ", "_")}="{_called(staff)}"'
        for offer in verdict.offers
        if offer in ("hits", "bass line")
    ]
    return " or ".join(ways)
