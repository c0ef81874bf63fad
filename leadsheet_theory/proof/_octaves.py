"""Notes an octave off: a wide leap out that comes straight back.

Out and back by a ninth and a seventh is sung once in some thousand steps (counted on
public-domain song sheets; a common fault of entering notes), an octave leap often.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import pairwise
from typing import Final

from ..pitch import Pitch
from ._remarks import Remark
from ._view import Sung, View

__all__ = ("check_octaves",)

_OCTAVE: Final = 12
_OUT: Final = 13
_BACK: Final = 10
_MOST_NOTES: Final = 8
_SINGLE: Final = 11
_CALM: Final = 8
"""So wide a leap beside it tells that leaping is the tune's manner …"""
_MANNER: Final = 3
"""… and so do so many of them."""
_CLOSE: Final = 5
"""Moved an octave, the notes go on by a fourth at most."""
_DOUBT: Final = 10


def check_octaves(view: View) -> Iterator[Remark]:
    """Notes, or runs of up to a bar, that an octave would bring back into the line."""
    sung = view.sung
    ways = Counter((a.midi, b.midi) for a, b in pairwise(sung))
    found: list[Remark] = []
    place = 1
    while place < len(sung) - 1:
        end = _run(sung, place, view.grid)
        if end is None:
            place += 1
            continue
        # what comes again is meant
        into = (sung[place - 1].midi, sung[place].midi)
        away = (sung[end - 1].midi, sung[end].midi)
        if ways[into] == 1 and ways[away] == 1 and _is_calm(sung, place, end):
            found.append(_remark(view, place, end))
        place = end
    if len(found) < _MANNER:
        yield from found


def _run(sung: tuple[Sung, ...], start: int, grid: int) -> int | None:
    """The end of the notes from `start` that are an octave off, None if they aren't."""
    if sung[start].fresh:
        return None
    before = sung[start - 1]
    out = sung[start].midi - before.midi
    # after a long note a new phrase may begin in another octave
    if abs(out) < (_OUT if before.length >= 3 * grid else _DOUBT):
        return None
    move = -_OCTAVE if out > 0 else _OCTAVE
    for end in range(start + 1, min(start + _MOST_NOTES + 1, len(sung))):
        back = sung[end].midi - sung[end - 1].midi
        if sung[end].fresh:
            return None
        if back * out < 0 and abs(back) >= _DOUBT:
            wide = (
                max(abs(out), abs(back)) >= _OUT and min(abs(out), abs(back)) >= _BACK
            )
            close = abs(out + move) <= _CLOSE and abs(back - move) <= _CLOSE
            single = end == start + 1 and _near(out + move, back - move)
            single = single and min(abs(out), abs(back)) >= _SINGLE
            return end if (wide and (close or end == start + 1)) or single else None
        if abs(back) > _CLOSE:
            return None
    return None


def _is_calm(sung: tuple[Sung, ...], start: int, end: int) -> bool:
    """Whether the line before and after goes on without wide leaps."""
    steps = [
        abs(sung[at].midi - sung[at - 1].midi)
        for at in (start - 1, end + 1)
        if 0 < at < len(sung) and not sung[at].fresh
    ]
    return all(step < _CALM for step in steps)


def _near(into: int, away: int) -> bool:
    """Whether a single note moved an octave lies a step or a third from both
    neighbours; the octave of a neighbour is meant."""
    return 0 < abs(into) <= 4 and 0 < abs(away) <= 4


def _remark(view: View, start: int, end: int) -> Remark:
    note = view.sung[start]
    pitch = note.note.pitch
    down = note.midi > view.sung[start - 1].midi
    pitches = [each.note.pitch for each in view.sung[start:end]]
    by = -1 if down else 1
    moved = [Pitch(each.step, each.alter, each.octave + by) for each in pitches]
    meant = moved[0]
    out = abs(note.midi - view.sung[start - 1].midi)
    back = abs(view.sung[end].midi - view.sung[end - 1].midi)
    sure = max(out, back) >= _OUT and min(out, back) >= _BACK
    count = end - start
    more = "" if count == 1 else f" and {count - 1} more"
    return Remark(
        "octave",
        f"{pitch.glyphs}{more} {'above' if down else 'below'} the line, which comes "
        f"straight back: {meant.glyphs} would go on by step or small leap",
        view.bars[note.bar],
        note.onset,
        found=" ".join(map(str, pitches)),
        proposed=" ".join(map(str, moved)),
        severity=None if sure else "query",
    )
