"""Proofreading the signature: do the notes want another one, here or everywhere.

Each bar is weighed against every signature; a stretch is told only if it is long, if
another signature saves most of its signs, and if the tonic of that key is heard.  Eight
bars are asked for: one to four of secondary dominants or borrowed chords are no change
of key (common practice, no source).  The seventh of a dominant does not count, so that
a blues keeps its signature.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import Final

from ..chords import Chord
from ..key import Key
from ..leadsheet.model import Bar
from ._fit import family_of
from ._remarks import Remark
from ._view import View

__all__ = ("check_keys",)

_STATES: Final = tuple(range(-6, 7))
_CHANGE: Final = 4.5
_LEAST_BARS: Final = 8
_LEAST_SAVED: Final = 10.0
_LEFT: Final = 0.5
"""So much of what the stated signature costs may be left under the other."""
_LEFT_AT_HOME: Final = 0.65
"""… if the last chord is the tonic of that key and not of the stated one."""
_CHORD: Final = 0.7
_WHOLE: Final = 0.8
_NEARLY: Final = 2.0


def check_keys(view: View) -> Iterator[Remark]:
    """Stretches whose notes fit another signature."""
    bars = view.bars
    if len(bars) < _LEAST_BARS:
        return
    sounds = _sounds(view)
    stated = [
        _cost(each, bar.key.signature) for each, bar in zip(sounds, bars, strict=True)
    ]
    if sum(stated) < _LEAST_SAVED:
        return
    costs = [[_cost(each, state) for state in _STATES] for each in sounds]
    path = _path(costs)
    for start, end in _stretches(path, bars):
        if end - start < _LEAST_BARS:
            continue
        sums = [
            sum(row[state] for row in costs[start:end]) for state in range(len(_STATES))
        ]
        found = _best(view, start, end, sums)
        if found is None:
            continue
        new, now = found
        key = bars[start].key
        own = [bar for bar in bars if bar.key == key]
        whole = end - start >= _WHOLE * len(own)
        left = _LEFT_AT_HOME if whole and _ends_on(view, new, key) else _LEFT
        if not _is_better(new, key, now, sum(stated[start:end]), left):
            continue
        if not whole:
            start, end = _trimmed(stated, sounds, new, start, end)
            if end - start < _LEAST_BARS:
                continue
        stretch = bars[start:end]
        yield _remark(stretch, own[0] if whole else stretch[0], new, whole=whole)


def _is_better(new: Key, old: Key, now: float, was: float, left: float) -> bool:
    """Whether another signature saves enough signs, and leaves few of them."""
    return (
        (new.signature - old.signature) % 12 != 0
        and was - now >= _LEAST_SAVED
        and now <= left * was
    )


def _remark(stretch: Sequence[Bar], at: Bar, new: Key, *, whole: bool) -> Remark:
    """That a stretch of bars, or the whole tune, fits another signature."""
    key, last = at.key, stretch[-1].number
    return Remark(
        "signature" if whole else "key-change",
        f"the notes up to bar {last} fit {new.glyphs}, the signature says {key.glyphs}",
        at,
        found=str(key),
        proposed=str(new) if whole else f"{new}, bars {at.number}–{last}",
        why=f"it saves most of the signs in {len(stretch)} bars",
    )


def _trimmed(
    stated: Sequence[float],
    sounds: Sequence[dict[int, float]],
    new: Key,
    start: int,
    end: int,
) -> tuple[int, int]:
    """The stretch without the bars at its ends that the new signature does not suit
    better."""
    saved = [stated[at] - _cost(sounds[at], new.signature) for at in range(start, end)]
    while saved and saved[0] <= 0:
        saved.pop(0)
        start += 1
    while saved and saved[-1] <= 0:
        saved.pop()
        end -= 1
    return start, end


def _best(
    view: View, start: int, end: int, sums: Sequence[float]
) -> tuple[Key, float] | None:
    """The key that a stretch is in, of those whose signature costs nearly the least:
    the one whose tonic is heard most."""
    least = min(sums)
    best: tuple[int, float, Key] | None = None
    for state, cost in zip(_STATES, sums, strict=True):
        if cost > 1.1 * least + _NEARLY:
            continue
        for key in (Key.from_signature(state), Key.from_signature(state, "minor")):
            heard = _tonics(view, start, end, key)
            if heard and (best is None or (heard, -cost) > (best[0], -best[1])):
                best = (heard, cost, key)
    return None if best is None else (best[2], best[1])


def _tonics(view: View, start: int, end: int, key: Key) -> int:
    """How often the tonic chord of a key, or a dominant that leads there, is heard."""
    tonic = int(key.tonic.pitch_class)
    minor = key.mode == "minor"
    count = 0
    for span in view.spans:
        if not start <= span.bar < end or not isinstance(span.symbol, Chord):
            continue
        root, family = int(span.symbol.root.pitch_class), family_of(span.symbol)
        if root == tonic:
            count += 2 * (
                family == "minor" if minor else family in ("major", "major 7")
            )
        elif (root - tonic) % 12 == 7 and family == "dominant":
            count += 1
    return count if count > 1 else 0


def _ends_on(view: View, new: Key, old: Key) -> bool:
    """Whether the last chord is at home in the one key and not in the other."""
    chords = [s.symbol for s in view.spans if isinstance(s.symbol, Chord)]
    if not chords:
        return False
    last = chords[-1].root.pitch_class
    return last == new.tonic.pitch_class and last not in (
        old.tonic.pitch_class,
        old.relative.tonic.pitch_class,
    )


def _sounds(view: View) -> list[dict[int, float]]:
    """What sounds in each bar, by pitch class: notes of the melody, and the triads."""
    heard: list[dict[int, float]] = [{} for _ in view.bars]
    for note in view.sung:
        sound = note.midi % 12
        heard[note.bar][sound] = heard[note.bar].get(sound, 0.0) + 1.0
    for span in view.spans:
        if isinstance(span.symbol, Chord):
            here = heard[span.bar]
            for sound in _triad(span.symbol):
                here[sound] = here.get(sound, 0.0) + _CHORD
    return heard


@lru_cache(maxsize=2048)
def _triad(chord: Chord) -> tuple[int, ...]:
    root = int(chord.root.pitch_class)
    tones = chord.quality.semitones
    if family_of(chord) in ("dim", "augmented"):
        return (root,)
    own = {0, 3, 4, 6, 7} & tones
    if 11 in tones:
        own = own | {11}
    return tuple((root + tone) % 12 for tone in own)


@lru_cache(maxsize=64)
def _scale(signature: int) -> frozenset[int]:
    return frozenset((signature + step) * 7 % 12 for step in range(-1, 6))


def _cost(sounds: dict[int, float], signature: int) -> float:
    scale = _scale(signature)
    return sum(weight for sound, weight in sounds.items() if sound not in scale)


def _path(costs: Sequence[Sequence[float]]) -> list[int]:
    """The cheapest signature of each bar, where each change costs something."""
    total = list(costs[0])
    steps: list[list[int]] = []
    for row in costs[1:]:
        best = min(range(len(total)), key=total.__getitem__)
        change = total[best] + _CHANGE
        step = [
            state if total[state] <= change else best for state in range(len(total))
        ]
        total = [
            total[source] + (_CHANGE if source != state else 0.0) + row[state]
            for state, source in enumerate(step)
        ]
        steps.append(step)
    state = min(range(len(total)), key=total.__getitem__)
    path = [state]
    for step in reversed(steps):
        state = step[state]
        path.append(state)
    return path[::-1]


def _stretches(path: Sequence[int], bars: Sequence[Bar]) -> Iterator[tuple[int, int]]:
    start = 0
    for index in range(1, len(bars) + 1):
        if (
            index == len(bars)
            or path[index] != path[start]
            or bars[index].key != bars[start].key
        ):
            yield start, index
            start = index
