"""Staves beside a part's own as MusicXML 4.0: a bass line below, small notes above.

Staves are numbered from the top.  One that has no note in a system is not printed
there (MusicXML 4.0, ``staff-details``, ``print-object``).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Final

from attrs import frozen

from ...instruments.clefs import PERCUSSION_CLEF, Clef
from ...key import Key
from ...leadsheet.model import Note, Rest
from ...parts.model import AddedBar, AddedStaff, PartBar
from ._head import clef_xml
from ._line import (
    MIDDLE,
    Entry,
    Filler,
    Same,
    label_of,
    line_of,
    melody_entries,
    move,
    on_staff,
    slash_entries,
    slash_place,
)
from ._signs import key_xml
from ._text import in_divisions

__all__ = ("AddedStaves", "added_staves")

_VOICE: Final = 4
"""Voices of a part's own staff are numbered below this."""

_SMALL: Final = "<staff-type>cue</staff-type>"
_SMALL_SIZE: Final = "<staff-size>75</staff-size>"


@frozen(order=False, eq=False)
class _Numbered:
    """A staff with its number and, where its printing begins or ends, the index of the
    bar and whether it is printed from there on."""

    staff: AddedStaff
    number: int
    printed: dict[int, bool]

    def bar(self, index: int, length: Fraction) -> AddedBar:
        """What it holds in a bar: a rest where it is not printed."""
        changes = [at for at in self.printed if at <= index]
        if not changes or self.printed[max(changes)]:
            return self.staff.bars[index]
        return AddedBar(events=(Rest(Fraction(0), length, whole_bar=True),))


@frozen(order=False, eq=False)
class AddedStaves:
    """All staves of a part but its own, whose number and clef are `own` and `clef`."""

    own: int
    clef: Clef
    staves: tuple[_Numbered, ...]

    def clefs(self) -> str:
        """How many staves there are, and their clefs."""
        if not self.staves:
            return clef_xml(self.clef)
        clefs = {each.number: each.staff.clef for each in self.staves}
        clefs[self.own] = self.clef
        return f"<staves>{len(clefs)}</staves>" + "".join(
            clef_xml(clefs[number], number=number) for number in sorted(clefs)
        )

    def keys(self, key: Key) -> str:
        """The key; it is not shown on a staff without pitches."""
        if self.clef != PERCUSSION_CLEF:
            return key_xml(key)
        if not self.staves:
            return key_xml(key, shown=False)
        numbers = sorted([self.own, *(each.number for each in self.staves)])
        return "".join(
            key_xml(key, shown=number != self.own, number=number) for number in numbers
        )

    def details(self, index: int) -> str:
        """What begins or ends to be printed with a bar."""
        text = ""
        for each in self.staves:
            small = each.staff.small and not index
            if index not in each.printed and not small:
                continue
            shown = each.printed.get(index, True)
            text += (
                f'<staff-details number="{each.number}"'
                f' print-object="{"yes" if shown else "no"}">'
                f"{_SMALL + _SMALL_SIZE if small else ''}</staff-details>"
            )
        return text

    def music(
        self, index: int, part_bar: PartBar, divisions: int, filler: Filler
    ) -> tuple[str, str]:
        """What stands on those above the own staff, from the bar's start to its start,
        and on those below, from the bar's end to its end."""
        length = in_divisions(part_bar.shared.source.length, divisions)
        above = below = ""
        for each in self.staves:
            line, at = _line(
                each.bar(index, part_bar.shared.source.length),
                filler,
                clef=each.staff.clef,
                key=part_bar.key,
                divisions=divisions,
                voice=_VOICE + each.number,
                small=each.staff.small,
            )
            if not line:
                continue
            line = on_staff(line, each.number)
            if each.staff.above:
                above += f"{line}{move(at, 0)}"
            else:
                below += f"{move(length, 0)}{line}{move(at, length)}"
        return above, below


def added_staves(
    staves: Sequence[AddedStaff], clef: Clef, bars: Sequence[PartBar]
) -> AddedStaves:
    """The staves beside a part's own, numbered; `bars` are all of the part's."""
    if not staves:
        return AddedStaves(1, clef, ())
    starts = [index for index, bar in enumerate(bars) if bar.shared.starts_system]
    if starts[:1] != [0]:
        starts.insert(0, 0)
    above = [staff for staff in staves if staff.above]
    below = [staff for staff in staves if not staff.above]
    own = len(above) + 1
    numbered = [
        *enumerate(above, start=1),
        *enumerate(below, start=own + 1),
    ]
    return AddedStaves(
        own,
        clef,
        tuple(
            _Numbered(staff, number, dict(_printed(staff, [*starts, len(bars)])))
            for number, staff in numbered
        ),
    )


def _printed(staff: AddedStaff, starts: Sequence[int]) -> Iterator[tuple[int, bool]]:
    """Where the staff begins or ends to be printed: in each system with a note."""
    before = True
    for start, end in pairwise(starts):
        shown = any(bar.has_notes for bar in staff.bars[start:end])
        if shown != before:
            yield start, shown
        before = shown


def _line(
    bar: AddedBar,
    filler: Filler,
    *,
    clef: Clef,
    key: Key,
    divisions: int,
    voice: int,
    small: bool,
) -> tuple[str, int]:
    """What stands in a bar of a staff, from the bar's start, and where it ends."""
    entries: Iterable[Entry]
    if bar.slashes:
        head = slash_place(clef, MIDDLE, key)
        entries = slash_entries(Same(bar.slashes), head, divisions, voice)
    else:
        entries = melody_entries(
            bar.events, bar.look.beams, divisions, voice, cue=small
        )
    first = next((each for each in bar.events if isinstance(each, Note)), None)
    label = () if first is None else label_of(first, bar.label, divisions)
    line = line_of(entries, 0, label)
    pitches = [
        pitch
        for event in bar.events
        if isinstance(event, Note)
        for pitch in event.pitches
    ]
    texts = filler.filled(line, pitches, bar.look.stems, bar.look.accidentals)
    return "".join(texts), line.end
