"""How often each documented way to beam gives the groups of a printed bar.

Compared are the scores of music21's corpus (PyPI: music21) whose files carry
beams: for every voice of every bar that holds a note, the primary beams in the file
against those of :func:`leadsheet_theory.rhythm.beams.beam_groups`.  For each score the
single way that fits most of its bars counts.

    python tests/benchmarks/beam_agreement.py [COMPOSER ...]

Columns: scores; bars with notes, and the share the best way gets right; the same
of the bars with two flagged notes or more, where there is something to decide;
the most that any way could get right that looks at rhythm, words and metre only (a
score that prints one rhythm in two ways caps it); the ways that were best.
"""

from __future__ import annotations

import sys
import time
from collections import Counter, defaultdict
from collections.abc import Iterator
from fractions import Fraction
from importlib.util import find_spec
from itertools import compress, product
from pathlib import Path

from _engraved_beams import EngravedBar, engraved_bars, root_of, scores
from attrs import define, evolve, field

from leadsheet_theory.rhythm import (
    BY_BEAT,
    HALF_BAR_WHEN_FILLED,
    HALF_BAR_WHEREVER,
    WHOLE_BAR,
    BeamSetting,
    BeamStyle,
    Meter,
    beam_groups,
)

JOINING = {
    "by beat": BY_BEAT,
    "half bar filled": HALF_BAR_WHEN_FILLED,
    "whole bar filled": WHOLE_BAR,
    "whole beats filled": BeamStyle(half_bar="beats", short_bar="beats"),
    "half bar wherever": HALF_BAR_WHEREVER,
    "half bar, all that touch": BeamStyle(half_bar="always", short_bar="always"),
    "half bar, shorter values too": BeamStyle(
        half_bar="always", short_bar="always", mixed=True
    ),
    "quarters of 2/2": BeamStyle(long_beat="never"),
    "one beam a bar": BeamStyle(
        settings=tuple(
            (Meter(beats, 4), BeamSetting((Fraction(beats),))) for beats in (2, 3, 4)
        )
    ),
}

THRESHOLDS = {"haydn": 97.0, "mozart": 97.0, "schumann_robert": 97.0, "all": 95.0}


EXTRAS = {
    ", over rests": {"over_rests": True},
    ", tuplets apart": {"tuplets_apart": True},
    ", halves apart": {"halves_apart": True},
}


def ways(*, sung: bool) -> Iterator[tuple[str, BeamStyle, bool]]:
    """Each way to group: its name, its style, whether beams follow the words."""
    for name, joined in JOINING.items():
        for chosen in product((False, True), repeat=len(EXTRAS)):
            full, style = name, joined
            for extra in compress(EXTRAS, chosen):
                full, style = full + extra, evolve(style, **EXTRAS[extra])
            yield full, style, False
            if sung:
                yield full + ", by syllable", style, True


@define
class Tally:
    """Counts of a score, a composer, a metre or all."""

    scores: int = 0
    bars: int = 0
    right: int = 0
    open_bars: int = 0
    open_right: int = 0
    cap: int = 0
    best: Counter[str] = field(factory=Counter)

    def add(self, other: Tally) -> None:
        self.scores += other.scores
        self.bars += other.bars
        self.right += other.right
        self.open_bars += other.open_bars
        self.open_right += other.open_right
        self.cap += other.cap
        self.best.update(other.best)

    def row(self, name: str) -> str:
        ways_ = ", ".join(f"{way} ×{n}" for way, n in self.best.most_common(3))
        right, cap = share(self.right, self.bars), share(self.cap, self.bars)
        decided = share(self.open_right, self.open_bars)
        return (
            f"{name:18} {self.scores:5} {self.bars:7} {right:6.2f}"
            f" {self.open_bars:7} {decided:6.2f} {cap:6.2f}  {ways_}"
        )


def share(part: int, whole: int) -> float:
    return 100 * part / whole if whole else 100.0


def is_open(bar: EngravedBar) -> bool:
    """Whether there is something to decide in a bar."""
    return sum(e.kind == "note" and e.value.flags > 0 for e in bar.events) > 1


def our_groups(
    bar: EngravedBar, style: BeamStyle, by_syllable: bool
) -> tuple[tuple[int, ...], ...]:
    sung = [i for i, is_sung in enumerate(bar.syllables) if is_sung]
    return beam_groups(
        bar.events,
        bar.meter,
        style=style,
        start=bar.start,
        syllables=sung if by_syllable else (),
    )


def carries_beams(bars: list[EngravedBar]) -> bool:
    """Whether a score prints beams at all: some files hold only the odd one, and no
    words that would account for flags."""
    beamable = [bar for bar in bars if our_groups(bar, BY_BEAT, False)]
    printed = sum(bool(bar.groups) for bar in beamable)
    return any(any(bar.syllables) for bar in bars) or 10 * printed >= len(beamable)


def shown(bar: EngravedBar, groups: tuple[tuple[int, ...], ...]) -> str:
    """A bar's rhythm with its beams as brackets."""
    letters = {"quarter": "q", "eighth": "e", "16th": "s", "32nd": "t", "64th": "x"}
    starts, ends = {g[0] for g in groups}, {g[-1] for g in groups}
    words = []
    for i, event in enumerate(bar.events):
        value = event.value
        word = "r" * (event.kind == "rest") + letters.get(value.name, value.name[0])
        word += "." * value.dots + "3" * bool(value.tuplet)
        word += "'" * bar.syllables[i]
        words.append("[" * (i in starts) + word + "]" * (i in ends))
    return " ".join(words)


def kind_of(bar: EngravedBar, ours: tuple[tuple[int, ...], ...]) -> str:
    """What a disagreement looks like; slurs and phrases are not read, so named as
    likely only."""
    printed = bar.groups
    tuplet = any(event.value.tuplet for event in bar.events)
    if not printed:
        return "no beam printed: a syllable a flag, or left out"
    over_rest = any(
        bar.events[i].kind == "rest" for g in printed for i in range(g[0], g[-1])
    )
    if over_rest:
        return "beamed over a rest here, not elsewhere in the score"
    bar_beam = any(sum(bar.events[i].duration for i in group) > 2 for group in printed)
    if bar_beam:
        return "one beam past the half bar (repeated notes, accompaniment)"
    if tuplet:
        return "tuplets joined or parted otherwise than elsewhere"
    ends_ours, ends_printed = {g[-1] for g in ours}, {g[-1] for g in printed}
    inside = {i for g in printed for i in g}
    if ends_printed > ends_ours:
        return "parted where the score elsewhere joins (often as the slurs go)"
    if ends_printed < ends_ours:
        return "joined further than elsewhere in the score"
    if any(i not in inside for g in ours for i in g):
        return "a flag where the score elsewhere beams (a syllable, a slur, a phrase)"
    return "grouped across the beats (syncopation, 3+3 in simple time)"


def main(composers: list[str]) -> None:
    spec = find_spec("music21")
    if spec is None or spec.origin is None:
        sys.exit("music21 is not installed: its corpus is what this compares with")
    corpus = Path(spec.origin).parent / "corpus"
    started = time.perf_counter()
    by_composer: dict[str, Tally] = defaultdict(Tally)
    by_meter: dict[tuple[str, str], Counter[str]] = defaultdict(Counter)
    classes: Counter[str] = Counter()
    examples: dict[str, str] = {}
    without: list[str] = []
    every = Tally()
    for path in scores(corpus):
        name = path.relative_to(corpus).as_posix()
        composer = name.partition("/")[0]
        if composers and composer not in composers:
            continue
        root = root_of(path)
        bars = list(engraved_bars(root)) if root is not None else []
        if not bars:
            continue
        if not carries_beams(bars):
            without.append(f"{name} ({len(bars)} bars)")
            continue
        tally = Tally(scores=1, bars=len(bars))
        decided = [bar for bar in bars if is_open(bar)]
        tally.open_bars = len(decided)
        tried: dict[str, list[tuple[tuple[int, ...], ...]]] = {}
        for way, style, by_syllable in ways(sung=any(any(b.syllables) for b in bars)):
            tried[way] = [our_groups(bar, style, by_syllable) for bar in decided]
        fits = {
            way: sum(g == bar.groups for g, bar in zip(groups, decided, strict=True))
            for way, groups in tried.items()
        }
        best = max(fits, key=fits.__getitem__)
        tally.open_right = fits[best]
        easy = sum(not bar.groups for bar in bars) - sum(
            not bar.groups for bar in decided
        )
        tally.right = fits[best] + easy
        printed: dict[object, Counter[object]] = defaultdict(Counter)
        for bar in decided:
            rhythm = (bar.meter, bar.start, bar.events, bar.syllables)
            printed[rhythm][bar.groups] += 1
        tally.cap = easy + sum(max(each.values()) for each in printed.values())
        tally.best[best] += 1
        for bar, groups in zip(decided, tried[best], strict=True):
            key = (composer, str(bar.meter))
            by_meter[key]["bars"] += 1
            for way in JOINING:
                by_meter[key][way] += 0
            if groups == bar.groups:
                by_meter[key]["best"] += 1
                continue
            kind = kind_of(bar, groups)
            classes[kind] += 1
            example = (
                f"{name} {bar.place}, {bar.meter}: printed {shown(bar, bar.groups)}"
            )
            examples.setdefault(kind, f"{example} | best way {shown(bar, groups)}")
        for way in JOINING:
            for bar, groups in zip(decided, tried[way], strict=True):
                by_meter[composer, str(bar.meter)][way] += groups == bar.groups
        by_composer[composer].add(tally)
        every.add(tally)
    print("composer          scores    bars  right    open  right    cap  best ways")
    for composer, tally in sorted(by_composer.items(), key=lambda pair: -pair[1].bars):
        print(tally.row(composer))
    print(every.row("all"))
    print()
    print("Open bars by composer and metre: share that each way gets right")
    print(
        " " * 26 + " ".join(f"{i:>6}" for i in range(1, len(JOINING) + 1)) + "   best"
    )
    for number, way in enumerate(JOINING, 1):
        print(f"  {number}: {way}")
    for (composer, meter), counts in sorted(by_meter.items()):
        bars_ = counts["bars"]
        if bars_ >= 20:
            shares = " ".join(f"{share(counts[way], bars_):6.1f}" for way in JOINING)
            best_share = share(counts["best"], bars_)
            print(f"{composer:16} {meter:5} {bars_:4} {shares} {best_share:6.1f}")
    print()
    print("Disagreements with the best way, by convention")
    for kind, number in classes.most_common():
        print(f"{number:5}  {kind}\n       {examples[kind]}")
    print()
    print(f"Left out, as their files print next to no beams: {'; '.join(without)}")
    for name, least in THRESHOLDS.items():
        tally = every if name == "all" else by_composer.get(name)
        if tally is None or not tally.bars:
            continue  # a collection that was not read
        got, cap = share(tally.right, tally.bars), share(tally.cap, tally.bars)
        print(f"{name}: {got:.2f} % (aim {least:.0f} %), cap {cap:.2f} %")
    print(f"{time.perf_counter() - started:.0f} s")


if __name__ == "__main__":
    main(sys.argv[1:])
