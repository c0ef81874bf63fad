"""Slips of the pen in the melody and in the chords: which reading fits better.

Each note is weighed against itself with a sign lost or added, each chord against its
root a semitone off and against the qualities that are easily taken for it: by the
chord, the key, the neighbours, the rest of the tune, and above all by the like places.
A slip is told only if the other reading is better by a good deal.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import log
from typing import Final

from attrs import frozen

from ..chords import Chord, Quality
from ..key import Key
from ..leadsheet.findings import Severity
from ..pitch import NoteName, Pitch
from ._fit import family_of, is_minor, note_cost, over_chord, scale_of
from ._parallels import Likeness
from ._remarks import Remark
from ._view import Sung, View

__all__ = ("check_slips",)

_DOUBT: Final = 1.5
"""By so much another reading must be better to be asked for …"""
_SURE: Final = 2.6
_UNSEEN: Final = 0.7
"""A gain counts less where no chord bears witness."""
_MANNER: Final = 0.35
_GATE: Final = 0.6
"""… and by so much to be called very likely."""

_CLEAR: Final = 2.2
"""A root that the melody clears only in part must gain so much; and the melody must
gain a little by another root, and more by another quality:"""
_LITTLE: Final = 0.25
_SOME: Final = 0.9
_SHARPEST: Final = 10
"""The sharpest root of a key on the line of fifths, from its major tonic."""

_TAKEN_FOR: Final = {
    "1 3 5": ("1 b3 5",),
    "1 b3 5": ("1 3 5",),
    "1 3 5 b7": ("1 b3 5 b7", "1 3 5 7"),
    "1 b3 5 b7": ("1 3 5 b7", "1 b3 b5 b7"),
    "1 b3 b5 b7": ("1 b3 5 b7",),
    "1 3 5 7": ("1 3 5 b7", "1 b3 5 b7"),
    "1 3 5 6": ("1 b3 5 6",),
    "1 b3 5 6": ("1 3 5 6",),
    "1 3 5 b7 9": ("1 b3 5 b7 9",),
    "1 b3 5 b7 9": ("1 3 5 b7 9",),
    "1 3 #5": ("1 3 5",),
}
"""Qualities that a lost or added letter turns into one another."""
_OTHERS: Final = {
    formula: tuple(map(Quality.from_formula, others))
    for formula, others in _TAKEN_FOR.items()
}

# what the way from a root to the next costs, by semitones up
_MOTION: Final = (0.0, 0.8, 0.3, 0.4, 0.4, 0.0, 1.0, 0.3, 0.4, 0.4, 0.3, 0.5)


@frozen(order=False, kw_only=True)
class _Case:
    """A reading that is better by so much, and the remark it is worth."""

    gain: float
    span: int
    is_chord: bool
    remark: Remark


def check_slips(view: View, likeness: Likeness) -> Iterator[Remark]:
    """Notes and chords that are likely to be slips."""
    minor = {key: is_minor(view, key) for key in {bar.key for bar in view.bars}}
    weigh = _Weighing(view, likeness, minor)
    best: dict[tuple[int, int], _Case] = {}
    cases = [*weigh.notes(), *weigh.chords()]
    # where much is odd, oddness is the tune's manner: a slip must stand out from it
    needed = _DOUBT + _MANNER * (len(cases) - 1)
    for case in cases:
        if case.gain < needed:
            continue
        # one cause, one finding: the better explanation of what stands under a chord
        where = (case.span, 0) if case.span >= 0 else (-1, id(case))
        if where not in best or case.gain > best[where].gain:
            best[where] = case
    for case in best.values():
        yield case.remark


class _Weighing:
    """One chart being weighed; never leaves the function above."""

    def __init__(self, view: View, likeness: Likeness, minor: dict[Key, bool]) -> None:
        self.view = view
        self.likeness = likeness
        self.minor = minor
        self.by_span: dict[int, list[int]] = {}
        self.usage: Counter[tuple[int, int]] = Counter()
        for place, index in enumerate(view.over):
            self.by_span.setdefault(index, []).append(place)
            self.usage[self._root(place), view.sung[place].midi % 12] += 1
        self.figures = [self._figure(place) for place in range(len(view.sung))]
        self.times = Counter(self.figures)
        self.sounds = Counter(note.midi % 12 for note in view.sung)
        self.vocabulary = Counter(
            (span.symbol.root.pitch_class, family_of(span.symbol))
            for span in view.spans
            if isinstance(span.symbol, Chord)
        )

    def _root(self, place: int) -> int:
        chord = self.view.chord_over(place)
        return -1 if chord is None else int(chord.root.pitch_class)

    # -- notes

    def notes(self) -> Iterator[_Case]:
        """Notes that fit better with a sign more or less."""
        for place, note in enumerate(self.view.sung):
            if self._comes_again(place) or self.likeness.same.get(note.bar):
                continue
            minor = self.minor[self.view.bars[note.bar].key]
            cost = note_cost(self.view, place, 0, minor=minor)
            if cost < _GATE:
                continue
            if self.view.is_free(place) or self.view.is_crowded(place):
                continue
            if any(figure(self.view, place) for figure in (_leads_on, _turns, _runs)):
                continue
            if self._is_tone(place, note):
                continue
            for by in (-1, 1):
                if not self._is_likely(place, note, by):
                    continue
                other = note_cost(self.view, place, by, minor=minor)
                gain = cost - other + self._habit(place, note, by)
                if self.view.chord_over(place) is None:
                    gain *= _UNSEEN
                if gain >= _DOUBT:
                    yield self._note_case(place, note, by, gain)

    def _is_likely(self, place: int, note: Sung, by: int) -> bool:
        """Whether a note with another sign belongs to the key or to its chord."""
        pitch = note.note.pitch
        if abs(pitch.alter + by) > 1:
            return False
        name = NoteName(pitch.step, pitch.alter + by)
        key = self.view.bars[note.bar].key
        if key.is_diatonic(name):
            return True
        chord = self.view.chord_over(place)
        if chord is not None and name in chord.notes:
            return True
        return self.minor[key] and name.fifths - key.signature in (6, 8)

    def _is_tone(self, place: int, note: Sung) -> bool:
        """Whether a note sounds a tone of its chord, under whatever name."""
        chord = self.view.chord_over(place)
        return chord is not None and note.midi % 12 in chord.pitch_classes

    def _comes_again(self, place: int) -> bool:
        """Whether the tune has the same way into and out of a note elsewhere."""
        return self.times[self.figures[place]] > 1

    def _figure(self, place: int) -> tuple[int, int, int]:
        before, after = self.view.before(place), self.view.next_of(place)
        return (
            -1 if before is None else before.midi,
            self.view.sung[place].midi,
            -1 if after is None else after.midi,
        )

    def _habit(self, place: int, note: Sung, by: int) -> float:
        """What the rest of the tune does over the same chord."""
        root, sound = self._root(place), note.midi % 12
        here = self.usage[root, sound] - 1
        there = self.usage[root, (sound + by) % 12]
        over = 0.5 * log((there + 0.7) / (here + 0.7))
        anywhere = 0.4 * log(
            (self.sounds[(sound + by) % 12] + 1) / (self.sounds[sound] - 1 + 1)
        )
        return max(-1.5, min(1.0, over)) + max(-1.2, min(0.8, anywhere))

    def _note_case(self, place: int, note: Sung, by: int, gain: float) -> _Case:
        bar = self.view.bars[note.bar]
        pitch = note.note.pitch
        meant = Pitch(pitch.step, pitch.alter + by, pitch.octave)
        chord = self.view.chord_over(place)
        over = "" if chord is None else f" over {chord}"
        sure: Severity = "warning" if gain >= _SURE else "query"
        return _Case(
            gain=gain,
            span=self.view.over[place],
            is_chord=False,
            remark=Remark(
                "accidental",
                f"{pitch.glyphs}{over} where {meant.glyphs} would fit",
                bar,
                note.onset,
                found=str(pitch),
                proposed=str(meant),
                why="it goes better with chord, key and the notes beside it",
                severity=sure,
            ),
        )

    # -- chords

    def chords(self) -> Iterator[_Case]:
        """Chords that fit better with another root or another quality."""
        for index, places in self.by_span.items():
            if index < 0 or self.view.spans[index].crowded:
                continue
            chord = self.view.spans[index].symbol
            if not isinstance(chord, Chord):
                continue
            if self.likeness.same.get(self.view.spans[index].bar):
                continue
            yield from self._chord(index, chord, places)

    def _chord(self, index: int, chord: Chord, places: list[int]) -> Iterator[_Case]:
        bar = self.view.spans[index].bar
        places = [place for place in places if self.view.sung[place].bar <= bar]
        key = self.view.bars[bar].key
        minor = self.minor[key]
        sung = self._melody(places, chord, minor=minor)
        if sung < _LITTLE:
            return
        heard = {self.view.sung[place].midi % 12 for place in places}
        cost = sung + self._place(index, chord, own=1)
        best: tuple[float, Chord, str] | None = None
        for other, rule in _readings(chord, key.signature):
            if not heard & (other.pitch_classes - chord.pitch_classes):
                continue
            eased = sung - self._melody(places, other, minor=minor)
            gain = cost - sung + eased - self._place(index, other, own=0)
            if rule == "chord-root":
                clears = self._clears(places, chord, other)
                enough = eased >= _LITTLE and (clears or gain >= _CLEAR)
            else:
                enough = eased >= _SOME
            if enough and (best is None or gain > best[0]):
                best = (gain, other, rule)
        if best is None or best[0] < _DOUBT:
            return
        gain, other, rule = best
        span = self.view.spans[index]
        yield _Case(
            gain=gain,
            span=index,
            is_chord=True,
            remark=Remark(
                rule,
                f"the melody contradicts {chord}; {other} would fit",
                self.view.bars[span.bar],
                span.placed.onset,
                found=str(chord),
                proposed=str(other),
                why="the notes under it and the chords beside it",
                severity=_how_sure(gain, chord, other),
            ),
        )

    def _clears(self, places: list[int], chord: Chord, other: Chord) -> bool:
        """Whether two notes or more are foreign to the one and at home in the other."""
        sung = {self.view.sung[place].midi % 12 for place in places}
        at_home = sung & other.pitch_classes
        return len(at_home) > 1 and len(at_home) > len(sung & chord.pitch_classes)

    def _melody(self, places: list[int], chord: Chord, *, minor: bool) -> float:
        return sum(
            over_chord(self.view, place, 0, chord, minor=minor) for place in places
        )

    def _place(self, index: int, chord: Chord, *, own: int) -> float:
        """What a chord costs where it stands: by its key, the chords beside it and how
        often the tune has it."""
        view = self.view
        span = view.spans[index]
        key = view.bars[span.bar].key
        scale = scale_of(key, minor=self.minor[key])
        before = _neighbour(view, index, -1)
        after = _neighbour(view, index, 1)
        root = chord.root.pitch_class
        cost = 0.0
        family = family_of(chord)
        foreign = float(sum(tone.pitch_class not in scale for tone in chord.tones[:4]))
        motion = 0.3 if after is None else _MOTION[(after - root) % 12]
        if after is not None:
            way = (after - root) % 12
            leads = (
                family in ("dominant", "major", "augmented") and way in (5, 11)
            ) or (family in ("dim", "half dim") and way in (1, 5))
            if leads:
                foreign *= 0.35
        cost += 0.5 * foreign + motion + _odd_root(chord, key.signature)
        if before is not None:
            cost += _MOTION[(root - before) % 12]
        count = self.vocabulary[root, family] - own
        return cost - 0.6 * log(1 + max(0, count))


def _how_sure(gain: float, chord: Chord, other: Chord) -> Severity:
    """A plain fifth over an altered one is asked for at most."""
    altered = {6, 8} & chord.quality.semitones and 7 in other.quality.semitones
    if chord.root == other.root and altered:
        return "query"
    return "warning" if gain >= _SURE else "query"


def _leads_on(view: View, place: int) -> bool:
    """Whether a note goes on as chromatic notes do: a raised one up and a lowered one
    down to the letter beside it, or as one of a run of semitones."""
    note = view.sung[place]
    bar = view.bars[note.bar]
    pitch = note.note.pitch
    raised = pitch.alter - bar.key.alter_of(pitch.step)
    before, after = view.before(place), view.next_of(place)
    at = place
    while after is not None and after.midi == note.midi and at + 2 < len(view.sung):
        at += 1
        after = view.next_of(at)
    if after is None or note.length >= 3 * view.grid:
        return False
    way = after.midi - note.midi
    if abs(way) != 1:
        return False
    if before is not None and before.midi == after.midi:  # a neighbour
        return True
    if way == raised and after.note.pitch.step != pitch.step:
        return True
    if way == -raised and note.length < view.grid:  # a blue note that is bent
        return True
    return before is not None and note.midi - before.midi == way


def _runs(view: View, place: int) -> bool:
    """Whether a short note ends a run of semitones, or stands in a run of steps, as in
    a scale of another key."""
    sung = view.sung
    if place < 2 or sung[place].length > view.grid:
        return False
    steps = [sung[at].midi - sung[at - 1].midi for at in (place - 1, place)]
    if steps[0] == steps[1] and abs(steps[0]) == 1:
        return True
    return any(_is_scale(sung[start - 1 : start + 4]) for start in (place - 1, place))


def _is_scale(notes: Sequence[Sung]) -> bool:
    """Whether five notes go up or down by steps."""
    ways = [b.midi - a.midi for a, b in pairwise(notes)]
    return len(ways) > 3 and (
        all(0 < way <= 2 for way in ways) or all(-2 <= way < 0 for way in ways)
    )


def _turns(view: View, place: int) -> bool:
    """Whether a note and the next one turn around the note before and after both."""
    before, after = view.before(place), view.next_of(place)
    if before is None or after is None or place + 2 >= len(view.sung):
        return False
    last = view.sung[place + 2]
    return (
        last.midi == before.midi
        and abs(view.sung[place].midi - before.midi) <= 2
        and abs(after.midi - last.midi) <= 2
        and view.sung[place].length <= view.grid
    )


def _odd_root(chord: Chord, signature: int) -> float:
    """What a root costs that is seldom written in a key, such as a flat tonic."""
    away = chord.root.fifths - signature
    sharpest = 10 if 3 in chord.quality.semitones else 6
    return 0.0 if -6 <= away <= sharpest else 0.8


def _neighbour(view: View, index: int, step: int) -> int | None:
    """The root's sound of the chord before or after, if it is another symbol."""
    at = index + step
    if not 0 <= at < len(view.spans) or view.spans[at].crowded:
        return None
    symbol = view.spans[at].symbol
    return int(symbol.root.pitch_class) if isinstance(symbol, Chord) else None


def _readings(chord: Chord, signature: int) -> Iterator[tuple[Chord, str]]:
    """What a chord may have been meant to be."""
    if chord.bass is None:
        for by in (-1, 1):
            root = NoteName(chord.root.step, chord.root.alter + by)
            if abs(root.alter) <= 1 and -6 <= root.fifths - signature <= _SHARPEST:
                yield Chord(root, chord.quality), "chord-root"
    for quality in _OTHERS.get(chord.quality.formula, ()):
        yield Chord(chord.root, quality, chord.bass), "chord-quality"
