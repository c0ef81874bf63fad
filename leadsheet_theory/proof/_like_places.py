"""Like places that are unlike in one note or one chord."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Final

from ..chords import Chord
from ..leadsheet.model import Bar, Note, PlacedChord, Rest
from ._fit import chord_cost
from ._parallels import Difference, Likeness
from ._remarks import Remark
from ._view import View

__all__ = ("check_like_places",)

_OCTAVE: Final = 12
_SLIP: Final = 2
"""A slip of the pen is a step or two off."""
_LONG: Final = 2


def check_like_places(view: View, likeness: Likeness) -> Iterator[Remark]:
    """Each bar that alone differs from those it should be like, once."""
    told: set[tuple[int, int, str, int]] = set()
    for bar, differences in sorted(likeness.twins.items()):
        for what in ("note", "chord"):
            for place in sorted({d.place for d in differences if d.what == what}):
                here = [d for d in differences if (d.what, d.place) == (what, place)]
                remark = _odd(view, likeness, bar, here, told)
                if remark is not None:
                    yield remark


def _odd(
    view: View,
    likeness: Likeness,
    bar: int,
    here: list[Difference],
    told: set[tuple[int, int, str, int]],
) -> Remark | None:
    """The remark, if this bar is the odd one: fewer bars have what it has, or as many
    and it comes later."""
    what, place = here[0].what, here[0].place
    if any(
        (d.what, d.place) == (what, place)
        for same in likeness.same.get(bar, ())
        for d in likeness.twins.get(same, ())
    ):
        return None  # two like places have it so: a variation
    values = Counter(_value(view.bars[d.other], what, place) for d in here)
    value, _ = values.most_common(1)[0]
    others = [d.other for d in here if _value(view.bars[d.other], what, place) == value]
    holders = {*others, *(j for i in others for j in likeness.same.get(i, ()))}
    count = len(holders)
    if count == 1 and not _is_odder(view, bar, min(others), what, place):
        return None
    if any((other, bar, what, place) in told for other in others):
        return None
    told.update((bar, other, what, place) for other in others)
    number = view.bars[others[0]].number
    if what == "chord":
        return _chord(view.bars[bar], view.bars[others[0]], place)
    return _note(view.bars[bar], view.bars[others[0]], place, count, number)


def _is_odder(view: View, bar: int, other: int, what: str, place: int) -> bool:
    """Of two bars that differ, whether this is the one to ask for: the one whose note
    goes worse with its chord, else the later one."""
    if what == "note":
        costs = [_cost(view.bars[index], place) for index in (bar, other)]
        if costs[0] != costs[1]:
            return costs[0] > costs[1]
    return bar > other


def _cost(bar: Bar, place: int) -> float:
    event = _events(bar)[place]
    under = [c.symbol for c in bar.chords if c.onset <= event.onset]
    if not under or not isinstance(under[-1], Chord) or not isinstance(event, Note):
        return 0.0
    return chord_cost(int(event.pitch.pitch_class), under[-1])


def _events(bar: Bar) -> list[Note | Rest]:
    return [event for event in bar.melody if event.duration]


def _value(bar: Bar, what: str, place: int) -> object:
    if what == "chord":
        return bar.chords[place]
    event = _events(bar)[place]
    return event.pitch.midi if isinstance(event, Note) else None


def _note(bar: Bar, other: Bar, place: int, count: int, number: int) -> Remark | None:
    here, there = _events(bar)[place], _events(other)[place]
    assert isinstance(here, Note)
    assert isinstance(there, Note)
    apart = abs(here.pitch.midi - there.pitch.midi)
    far = abs(here.pitch.place - there.pitch.place) > _SLIP
    if apart not in (1, _OCTAVE) and (
        (far and count == 1) or _is_variation(bar, here, there)
    ):
        return None
    rule = "accidental" if apart == 1 else "octave" if apart == _OCTAVE else "parallel"
    return Remark(
        rule,
        f"{here.pitch.glyphs}, but {there.pitch.glyphs} in bar {number}, which is like "
        "it in all else",
        bar,
        here.onset,
        found=str(here.pitch),
        proposed=str(there.pitch),
        why="the bars around both are the same",
        severity="warning" if count > 1 and rule != "parallel" else "query",
    )


def _is_variation(bar: Bar, here: Note, there: Note) -> bool:
    """Whether two notes differ as variations do: long and at home in the chord."""
    under = [c.symbol for c in bar.chords if c.onset <= here.onset]
    long = here.duration >= _LONG
    return long and (
        not under
        or {here.pitch.pitch_class, there.pitch.pitch_class} <= under[-1].pitch_classes
    )


def _chord(bar: Bar, other: Bar, place: int) -> Remark | None:
    here, there = bar.chords[place], other.chords[place]
    if not _tells(here, there):
        return None
    return Remark(
        "parallel",
        f"{here.symbol}, but {there.symbol} in bar {other.number}, which is like it in "
        "all else",
        bar,
        here.onset,
        found=str(here.symbol),
        proposed=str(there.symbol),
        why="the bars around both are the same",
        severity="query",
    )


def _tells(here: PlacedChord, there: PlacedChord) -> bool:
    """Whether two chords contradict each other, not only colour one another."""
    one, two = here.symbol, there.symbol
    if not (isinstance(one, Chord) and isinstance(two, Chord)):
        return False
    if one.root != two.root:
        return not (
            one.pitch_classes <= two.pitch_classes
            or two.pitch_classes <= one.pitch_classes
        )
    thirds = [{3, 4} & chord.quality.semitones for chord in (one, two)]
    return thirds[0] != thirds[1]
