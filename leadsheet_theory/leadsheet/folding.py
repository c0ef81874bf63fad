"""Folding: the page that plays a chart which is written out.

The other way round from :mod:`.form`: from bars as they are played (or a chart
written out in full) to the shortest page, with repeats and endings, and back.
How charts are folded is common practice, no source; what the signs mean is in
:mod:`.form`.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Mapping, Sequence
from functools import lru_cache
from itertools import pairwise
from operator import eq
from typing import Final, Literal, get_args

from attrs import evolve, frozen

from .._arguments import check_choice
from .._doors import door
from ..chords import Chord, ChordSymbol, NoChord
from ._fold_search import Fold, clear_folds, short_folds, written_bars
from .divided_bars import numbered_through
from .endings import whole_endings
from .findings import Finding
from .form import Section, play_order, sections
from .model import Bar, Note, Rest
from .signs import FormSigns

__all__ = ("FoldAim", "Folded", "find_sections", "fold", "sound_of", "unfold")

FoldAim = Literal["sections clear", "page short"]
"""What a page is folded for.

``"sections clear"``: every pass of a repeat and every ending holds whole sections, so
that none is parted, be the page longer for it.  ``"page short"``: as few bars as can
be; an ending may be the close of a section, or hold the bridge and go back once more.
"""

_SECTION_LENGTHS: Final = (16, 12, 8)
"""Lengths tried where nothing marks the sections, the longest first."""

_EIGHT: Final = 8
"""The usual length of a section, cut to where endings would part a longer one."""

_LONGEST_ENDING: Final = 4
"""The longest close of a section that is looked for where nothing marks sections."""

_LETTERS: Final = "ABCDEFGHJKLMNPQRSTUVWXYZ"
"""Section letters; I and O look like figures and are skipped (common practice,
no source)."""


@frozen(order=False)
class Folded:
    """A folded page, and what it could not carry: words and tempo marks that
    stand in a later pass only."""

    bars: tuple[Bar, ...]
    remarks: tuple[Finding, ...] = ()


@door
def unfold(bars: Sequence[Bar], /) -> tuple[Bar, ...]:
    """The chart written out as it is played, without repeats, endings or jumps.

    Bars are numbered through; a pickup keeps 0, also where a repeat goes back to
    it.  A final barline stays at the end alone.

    >>> from fractions import Fraction
    >>> from leadsheet_theory.key import Key
    >>> from leadsheet_theory.rhythm import Meter
    >>> bar = Bar(number=1, key=Key.parse("F major"), meter=Meter(4, 4),
    ...           length=Fraction(4),
    ...           form=FormSigns(repeat_end=3))
    >>> [(bar.number, bar.form.repeat_end) for bar in unfold([bar])]
    [(1, 0), (2, 0), (3, 0)]
    """
    if not any(bar.form.leads for bar in bars):
        return tuple(bars)
    indices = play_order(bars).indices
    played: list[Bar] = []
    for place, index in enumerate(indices, start=1):
        bar = bars[index]
        barline = bar.form.barline
        if barline == "final" and place < len(indices):
            barline = "double"
        played.append(
            evolve(bar, form=FormSigns(section=bar.form.section, barline=barline))
        )
    return numbered_through(played)


@door
def fold(
    bars: Sequence[Bar],
    /,
    *,
    aim: FoldAim = "sections clear",
    letters: Mapping[int, str] | None = None,
    same: Callable[[Bar], Hashable] | None = None,
    shortest_repeat: int = 4,
    letter: bool = False,
) -> Folded:
    """The page that plays these bars, with repeats and endings.

    A chart that has signs already is played out first.  What comes out plays
    the same bars; a short page is never longer than what went in.  Words and tempo
    marks do not keep bars apart: the first pass has its own, and what a later one
    has besides is told.

    Args:
        bars: bars as they are played, or a chart.
        aim: what the page is folded for.
        letters: section letters by bar number of the played chart, in place of
            those that the bars have.
        same: what must be equal in two bars for one to stand for both;
            :func:`sound_of` if not given.
        shortest_repeat: the fewest bars that a repeat may share.
        letter: give letters to the sections of a clear page where none has one and
            there is more than one.

    Raises:
        ChoiceError: if `aim` is no :data:`FoldAim`.

    >>> from fractions import Fraction
    >>> from leadsheet_theory.key import Key
    >>> from leadsheet_theory.rhythm import Meter
    >>> from leadsheet_theory.chords import parse_chord
    >>> from leadsheet_theory.leadsheet.model import PlacedChord
    >>> roots = "F Bb C F F Bb C G".split()
    >>> chart = [Bar(number=n, key=Key.parse("F major"), meter=Meter(4, 4),
    ...              length=Fraction(4),
    ...              chords=(PlacedChord(Fraction(0), parse_chord(root)),))
    ...          for n, root in enumerate(roots, start=1)]
    >>> for bar in fold(chart, shortest_repeat=3, aim="page short").bars:
    ...     print(bar.number, bar.chords[0].symbol, bar.form.ending)
    1 F ()
    2 Bb ()
    3 C ()
    4 F (1,)
    5 G (2,)
    """
    check_choice("aim", aim, get_args(FoldAim))
    played = unfold(bars)
    if letters is not None:
        played = tuple(
            evolve(bar, form=evolve(bar.form, section=letters[bar.number]))
            if bar.number in letters and bar.counts
            else bar
            for bar in played
        )
    ids = _ids(played, same or sound_of)
    if aim == "page short":
        marked = {section.start for section in sections(played) if section.name}
        folds = short_folds(ids, starts=marked or None, shortest=shortest_repeat)
    else:
        ways: dict[tuple[int, ...], tuple[Fold, ...]] = {}
        for starts in _section_starts(bars, played, ids, shortest_repeat):
            bounds = tuple(sorted({0, *starts, len(ids)}))
            if bounds not in ways:
                ways[bounds] = clear_folds(ids, bounds, shortest=shortest_repeat)
        bounds, folds = min(ways.items(), key=lambda way: written_bars(ids, way[1]))
        if letter and not any(bar.form.section for bar in played):
            played = _with_letters(played, ids, bounds)
    page, remarks = _page(played, ids, folds)
    if aim == "page short" and len(page) > len(bars):
        return Folded(tuple(bars))
    return Folded(page, remarks)


def _with_letters(
    played: Sequence[Bar], ids: Sequence[int], bounds: Sequence[int]
) -> tuple[Bar, ...]:
    """The bars with letters at these bounds and double bars before them, if that makes
    more than one section."""
    first = 1 if played and played[0].is_pickup else 0
    found = _lettered(ids, [first, *(at for at in bounds if at > first)])
    if len(found) < 2:
        return tuple(played)
    bars = list(played)
    for section in found:
        start = section.start
        named = evolve(bars[start].form, section=section.name)
        bars[start] = evolve(bars[start], form=named)
        if start and bars[start - 1].form.barline == "regular":
            closed = evolve(bars[start - 1].form, barline="double")
            bars[start - 1] = evolve(bars[start - 1], form=closed)
    return tuple(bars)


def sound_of(bar: Bar, /) -> Hashable:
    """What two bars must share to sound alike: length and metre, key, the
    melody's pitches and rhythm with its words and marks, chords, hits and
    dynamics.  How notes and chords are spelled does not count.
    """
    # times as pairs of numbers: fractions are slow to tell apart by hash
    return (
        bar.length.as_integer_ratio(),
        bar.meter,
        bar.key,
        tuple([_event_sound(event) for event in bar.melody]),
        tuple([_event_sound(event) for event in bar.counterline]),
        tuple(
            [
                (placed.onset.as_integer_ratio(), _chord_sound(placed.symbol))
                for placed in bar.chords
            ]
        ),
        tuple([(h.onset, h.duration, h.tied_to_next, h.marks) for h in bar.hits]),
        tuple(
            [
                (direction.onset, direction.text)
                for direction in bar.directions
                if direction.kind == "dynamics"
            ]
        ),
    )


def _event_sound(event: Note | Rest) -> Hashable:
    if isinstance(event, Rest):
        return (event.onset, event.duration, event.marks)
    return (
        event.onset,
        event.duration,
        tuple(pitch.midi for pitch in event.pitches),
        event.tied_from_previous,
        event.tied_to_next,
        event.grace,
        event.lyrics,
        event.marks,
        event.slurs,
    )


@lru_cache(maxsize=4096)
def _chord_sound(symbol: ChordSymbol, /) -> Hashable:
    """What two chord symbols must share to sound alike: root, tones and bass."""
    if isinstance(symbol, NoChord):
        return None
    if isinstance(symbol, Chord):
        bass = symbol.bass or symbol.root
        return (symbol.root.pitch_class, bass.pitch_class, symbol.pitch_classes)
    return (_chord_sound(symbol.upper), _chord_sound(symbol.lower))


def _ids(played: Sequence[Bar], same: Callable[[Bar], Hashable]) -> list[int]:
    """A number for each bar, the same for bars that may stand for one another."""
    known: dict[Hashable, int] = {}
    ids: list[int] = []
    for bar in played:
        divided_at = bar.divided_at.as_integer_ratio()
        alike = (same(bar), bar.form.section, bar.is_pickup, divided_at)
        ids.append(known.setdefault(alike, len(known)))
    return ids


def _section_starts(
    written: Sequence[Bar], played: Sequence[Bar], ids: Sequence[int], shortest: int
) -> list[set[int]]:
    """Where the sections of a played chart may start: at its letters, or these and
    its double bars, or those with the long ones cut into eights; without letters
    likewise at its signs or double bars, else where equal lengths or the passes of a
    short page show them."""
    if any(bar.form.section for bar in played):
        named = {section.start for section in sections(played)}
        marked = named.union(_double_bars(played))
        return [named, marked, _in_eights(played, marked, more_than=2 * _EIGHT)]
    signed = (
        _signed_starts(whole_endings(written))
        if any(bar.form.leads for bar in written)
        else ()
    )
    found = set(signed) or {each.start for each in _found_sections(played, ids)}
    ways = [found, _in_eights(played, found)]
    if not signed and not _double_bars(played):
        folds = short_folds(
            ids, starts=None, shortest=shortest, longest_ending=_LONGEST_ENDING
        )
        first = 1 if played and played[0].is_pickup else 0
        if all(_counts_well(fold, first) for fold in folds):
            ways.append({place for fold in folds for place in (*fold.starts, fold.end)})
    return ways


def _counts_well(fold: Fold, first: int) -> bool:
    """Whether a repeat that nothing in the chart marks lies so that players would count
    it: of eight bars or more, or of fewer twice, as the halves of one stretch."""
    start = max(fold.starts[0] - first, 0)
    halves = len(fold.starts) == 2 and start % fold.body == 0
    return fold.body >= _EIGHT or halves


def _in_eights(
    played: Sequence[Bar], starts: Collection[int], *, more_than: int = _EIGHT
) -> set[int]:
    """The starts with every longer stretch of several times eight bars cut into
    eights."""
    first = 1 if played and played[0].is_pickup else 0
    bounds = sorted({first, *(at for at in starts if at > first), len(played)})
    cut = set(starts)
    for start, end in pairwise(bounds):
        if end - start > more_than and (end - start) % _EIGHT == 0:
            cut.update(range(start, end, _EIGHT))
    return cut


def _double_bars(played: Sequence[Bar]) -> list[int]:
    """The places after double bars within a chart."""
    first = 1 if played and played[0].is_pickup else 0
    return [
        place
        for place in range(first + 1, len(played))
        if played[place - 1].form.barline in ("double", "final")
    ]


def _signed_starts(written: Sequence[Bar]) -> set[int]:
    """The places of the played chart where a sign or a barline starts a section."""
    indices = play_order(written).indices
    found: set[int] = set()
    for place, index in enumerate(indices):
        bar = written[index]
        earlier = indices[place - 1] if place else -1
        before = written[earlier] if place else None
        if bar.form.section or bar.form.arrives or index <= earlier:
            found.add(place)
        elif before is not None and not bar.form.ending:
            closes = (
                before.form.ending
                or before.form.repeat_end
                or before.form.barline != "regular"
            )
            if closes:
                found.add(place)
    return found


@door
def find_sections(played: Sequence[Bar], /) -> tuple[Section, ...]:
    """The sections of a chart that is written out, lettered where nothing is.

    Letters that stand there are kept.  Else double bars show the sections; else
    the chart is cut into equal lengths of 16, 12 or 8 bars, the longest of
    those that show the most repetition.  Sections that share more than their first
    half, or three bars in four of eight or more, have the same letter.  One section
    without a name comes back where nothing shows any.

    >>> from fractions import Fraction
    >>> from leadsheet_theory.key import Key
    >>> from leadsheet_theory.rhythm import Meter
    >>> form = [Bar(number=n, key=Key.parse("F major"), meter=Meter(4, 4),
    ...             length=Fraction(4),
    ...             form=FormSigns(barline="regular" if n % 8 else "double"))
    ...         for n in range(1, 25)]
    >>> [(section.name, section.start) for section in find_sections(form)]
    [('A', 0), ('A', 8), ('A', 16)]
    """
    if any(bar.form.section for bar in played):
        return sections(played)
    return _found_sections(played, _ids(played, sound_of))


def _found_sections(played: Sequence[Bar], ids: Sequence[int]) -> tuple[Section, ...]:
    count = len(ids)
    if not count:
        return ()
    first = 1 if played[0].is_pickup else 0
    doubles = _double_bars(played)
    if doubles:
        return _lettered(ids, _with_returns(ids, [first, *doubles, count]))
    best: tuple[Section, ...] = ()
    most = 0
    for length in _SECTION_LENGTHS:
        if (count - first) % length == 0 and count - first > length:
            bounds = [*range(first, count, length), count]
            tried = _lettered(ids, bounds, closely=True)
            letters = [section.name for section in tried]
            saved = length * (len(letters) - len(set(letters)))
            if saved > most:
                best, most = _lettered(ids, bounds), saved
    return best or (Section("", 0, count),)


def _with_returns(ids: Sequence[int], bounds: Sequence[int]) -> list[int]:
    """The bounds of sections, and those inside long sections where an earlier section
    comes back, by eights, with more than half of its bars."""
    found = [bounds[0]]
    for start, end in pairwise(bounds):
        models = [
            ids[one : one + (two - one) // 2 + 1]
            for one, two in pairwise(found)
            if two - one >= _EIGHT
        ]
        found += [
            place
            for place in range(start + _EIGHT, end - _EIGHT + 1, _EIGHT)
            if any(ids[place : place + len(model)] == model for model in models)
        ]
        found.append(end)
    return found


def _lettered(
    ids: Sequence[int], bounds: Sequence[int], *, closely: bool = False
) -> tuple[Section, ...]:
    """Sections with letters, the same one where more than the first half is shared or,
    if not looked at `closely`, three bars in four of as many."""
    found: list[Section] = []
    for start, end in pairwise(bounds):
        new = Section("", start, end)
        alike = (each.name for each in found if _opens_like(ids, new, each))
        close = (each.name for each in found if _mostly_like(ids, new, each))
        name = next(alike, "") or ("" if closely else next(close, ""))
        if not name:
            used = len({each.name for each in found})
            turn, place = divmod(used, len(_LETTERS))
            name = _LETTERS[place] * (turn + 1)
        found.append(Section(name, start, end))
    return tuple(found)


def _opens_like(ids: Sequence[int], one: Section, other: Section) -> bool:
    """Whether sections share more than their first half."""
    half = max(one.end - one.start, other.end - other.start) // 2
    opening = ids[one.start : one.start + half + 1]
    return opening == ids[other.start : other.start + half + 1]


def _mostly_like(ids: Sequence[int], one: Section, other: Section) -> bool:
    """Whether sections of the same length share three bars in four, such as a last A
    with another turn of the harmony."""
    here, there = ids[one.start : one.end], ids[other.start : other.end]
    shared = sum(map(eq, here, there))
    return len(here) == len(there) >= _EIGHT and 4 * shared >= 3 * len(here)


def _page(
    played: Sequence[Bar], ids: Sequence[int], folds: Sequence[Fold]
) -> tuple[tuple[Bar, ...], tuple[Finding, ...]]:
    """Write the folds out as bars with signs."""
    page: list[Bar] = []
    remarks: list[Finding] = []
    at = 0
    for found in folds:
        page += played[at : found.starts[0]]
        page += _fold_bars(played, ids, found, remarks)
        at = found.end
    page += played[at:]
    return numbered_through(page), tuple(remarks)


def _fold_bars(
    played: Sequence[Bar], ids: Sequence[int], found: Fold, remarks: list[Finding]
) -> list[Bar]:
    first, *later = found.starts
    bars = list(played[first : first + found.body])
    for start in later:
        for model, bar in zip(bars, played[start : start + found.body], strict=True):
            _tell_words(model, bar, remarks)
    bars[0] = evolve(bars[0], form=evolve(bars[0].form, repeat_start=True))
    if not found.endings:
        last = played[found.end - 1].form.barline
        bars[-1] = evolve(
            bars[-1],
            form=evolve(bars[-1].form, repeat_end=len(found.starts), barline=last),
        )
        return bars
    brackets: dict[tuple[int, ...], tuple[int, list[int]]] = {}
    for number, (start, end) in enumerate(found.endings, start=1):
        known = brackets.setdefault(tuple(ids[start:end]), (start, []))
        known[1].append(number)
        models = played[known[0] : known[0] + end - start]
        for model, bar in zip(models, played[start:end], strict=True):
            _tell_words(model, bar, remarks)
    last_pass = len(found.endings)
    for content, (start, passes) in brackets.items():
        stop = start + len(content)
        for at in range(start, stop):
            form = evolve(
                played[at].form,
                ending=tuple(passes),
                ending_starts=at == start,
                repeat_end=2 if at + 1 == stop and passes != [last_pass] else 0,
            )
            bars.append(evolve(played[at], form=form))
    return bars


def _tell_words(model: Bar, bar: Bar, remarks: list[Finding]) -> None:
    """Tell of words in a later pass that the page's bar does not have."""
    if not bar.directions:
        return
    remarks.extend(
        Finding(
            rule="folding",
            severity="warning",
            message=f"{direction.text or 'a tempo mark'!r} stands in a later pass only "
            "and is left out",
            bar=bar.number,
            beat=bar.beat_of(direction.onset),
        )
        for direction in bar.directions
        if direction not in model.directions
    )
