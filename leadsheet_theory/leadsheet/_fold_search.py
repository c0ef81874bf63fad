"""The search behind folding: which stretches of a chart are passes of a repeat.

Bars are numbers here, equal where the bars are.  Both searches go from the end
of the chart to its start and keep for each place the best page for the rest.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from itertools import groupby
from typing import Final

from attrs import frozen

__all__ = ("Fold", "clear_folds", "short_folds", "written_bars")

_BAR: Final = 1 << 20
"""What a written bar costs; signs cost little and only decide between equals."""
_REPEAT_SIGNS: Final = 2
_BRACKET: Final = 2

_MOST_ENDINGS: Final = 8
_LONGEST_PASS: Final = 128

_MOST_PASSES: Final = 4
"""The most passes of a repeat on a clear page: more are miscounted, so that a longer
stretch is written for fewer (common practice, no source)."""

_MOST_TRIES: Final = 16
"""How many ways to choose three passes and more are tried from one place."""

_TRIED: Final = 2
"""How many lengths are tried, from the longest down: a shorter repeat may leave
more for the next one."""


@frozen(order=False)
class Fold:
    """A stretch that is played in passes.

    `starts` are the places where the passes start in the played chart, `body`
    the bars that every pass shares, `endings` where each pass's own ending
    starts and ends; none in a plain repeat.  `end` is the place just past the
    last pass.
    """

    starts: tuple[int, ...]
    body: int
    endings: tuple[tuple[int, int], ...]
    end: int


def short_folds(
    ids: Sequence[int],
    /,
    *,
    starts: Collection[int] | None,
    shortest: int,
    longest_ending: int | None = None,
) -> tuple[Fold, ...]:
    """The folds of the shortest page.

    Repeats of three passes and more with endings are tried a few from each place,
    the earliest first, which finds the shortest page of every short chart; a long
    one with many of them may hide a better choice.

    Args:
        ids: the chart's bars as numbers.
        starts: where a repeat may start; None for anywhere.
        shortest: the fewest bars that a repeat may share.
        longest_ending: the most bars under a bracket; None for any number.
    """
    count = len(ids)
    most_ending = count if longest_ending is None else longest_ending
    cost = [0] * (count + 1)
    chosen: list[Fold | None] = [None] * count
    runs = _Runs(ids)
    for here in range(count - 1, -1, -1):
        # no pass starts further off: each costs less than what is to be beaten
        furthest = here + _MOST_ENDINGS * (cost[here + 1] // _BAR + 1)
        alike = runs.from_here_on(here, furthest)
        best = cost[here + 1] + _BAR
        if not alike:
            cost[here] = best
            continue
        fold: Fold | None = None
        if starts is None or here in starts:
            for there, length in alike.items():
                apart = there - here
                if apart * _BAR >= best:
                    break
                if length >= apart >= shortest:
                    most = 1 + length // apart
                    for passes in range(most, max(1, most - _TRIED), -1):
                        end = here + passes * apart
                        price = apart * _BAR + _REPEAT_SIGNS + cost[end]
                        if price < best:
                            best, fold = price, _plain(here, apart, passes)
                shared = min(length, apart - 1, count - there - 1)
                least = max(shortest, apart - most_ending)
                for body in range(shared, max(shared - _TRIED, least - 1), -1):
                    end = there + body + 1
                    price = (
                        (apart + 1) * _BAR + (_REPEAT_SIGNS + 2 * _BRACKET) + cost[end]
                    )
                    if price < best:
                        best, fold = price, _with_endings((here, there), body, end)
            best, fold = _many_endings(
                ids,
                here,
                alike,
                cost,
                shortest=shortest,
                most_ending=most_ending,
                beats=(best, fold),
            )
        cost[here], chosen[here] = best, fold
    return _taken(ids, chosen, starts or ())


class _Runs:
    """How far two stretches of a chart are the same, asked from its end to its start.

    A run is kept for each distance: where it ends and from where on it is known, so
    that to go on with one is one comparison of what lies before.
    """

    __slots__ = ("_ids", "_known", "_places")

    def __init__(self, ids: Sequence[int]) -> None:
        self._ids = ids
        self._places: dict[int, list[int]] = {}
        self._known: dict[int, tuple[int, int]] = {}

    def from_here_on(self, here: int, furthest: int) -> dict[int, int]:
        """For each later place with the same bar, the nearest first and up to the first
        beyond the `furthest`, how many bars from here on are those from it on."""
        ids, known = self._ids, self._known
        same = self._places.setdefault(ids[here], [])
        alike: dict[int, int] = {}
        for there in reversed(same):
            apart = there - here
            end, start = known.get(apart, (0, 0))
            if end <= here or ids[here:start] != ids[there : start + apart]:
                end = self._end(here, there)
            known[apart] = end, here
            alike[there] = end - here
            if there > furthest:
                break
        same.append(here)
        return alike

    def _end(self, here: int, there: int) -> int:
        """Where the run ends that starts at two places."""
        ids = self._ids
        while there < len(ids) and ids[here] == ids[there]:
            here += 1
            there += 1
        return here


def _plain(start: int, body: int, passes: int) -> Fold:
    end = start + passes * body
    return Fold(tuple(range(start, end, body)), body, (), end)


def _with_endings(starts: tuple[int, ...], body: int, end: int) -> Fold:
    closes = (*starts[1:], end)
    endings = tuple(
        (start + body, close) for start, close in zip(starts, closes, strict=True)
    )
    return Fold(starts, body, endings, end)


def _many_endings(
    ids: Sequence[int],
    here: int,
    alike: dict[int, int],
    cost: Sequence[int],
    *,
    shortest: int,
    most_ending: int,
    beats: tuple[int, Fold | None],
) -> tuple[int, Fold | None]:
    """Three passes and more with endings: the best and its cost, if it `beats` the
    best so far."""
    best, fold = beats
    if len(alike) < 2:
        return beats
    rooms = [(there, min(length, there - here - 1)) for there, length in alike.items()]
    bodies = {room - less for _, room in rooms for less in (0, 1)}
    for body in sorted(bodies):
        if body < shortest:
            continue
        places = [there for there, room in rooms if room >= body]
        if len(places) < 2 or (body + 2) * _BAR >= best:
            break
        best, fold = _endings_after(
            ids,
            here,
            body,
            places,
            cost,
            most_ending=most_ending,
            beats=(best, fold),
        )
    return best, fold


def _endings_after(
    ids: Sequence[int],
    here: int,
    body: int,
    places: Sequence[int],
    cost: Sequence[int],
    *,
    most_ending: int,
    beats: tuple[int, Fold | None],
) -> tuple[int, Fold | None]:
    """The best endings for passes of so many bars that may start at `places`, if
    they beat the best so far."""
    best, fold = beats
    tries = _MOST_TRIES
    # Ways to go on, the earliest passes first: the passes, the different endings so
    # far, their bars, and the first of `places` that is still open.
    ways: list[tuple[tuple[int, ...], frozenset[tuple[int, ...]], int, int]]
    ways = [((here,), frozenset(), body, 0)]
    while ways and tries:
        passes, endings, bars, at = ways.pop()
        last = passes[-1] + body
        while at < len(places) and places[at] <= last:
            at += 1
        if at == len(places):
            continue
        tries -= 1
        there = places[at]
        ending = tuple(ids[last:there])
        total = bars if ending in endings else bars + len(ending)
        if total * _BAR >= best or len(ending) > most_ending:
            continue
        ways.append((passes, endings, bars, at + 1))
        known = endings | {ending}
        if len(passes) > 1:
            signs = _REPEAT_SIGNS + _BRACKET * (len(known) + 1)
            for end, length in _closings(ids, there + body, known, total):
                price = length * _BAR + signs + cost[end]
                if price < best:
                    best = price
                    fold = _with_endings((*passes, there), body, end)
        if len(passes) + 2 <= _MOST_ENDINGS:
            ways.append(((*passes, there), known, total, at + 1))
    return best, fold


def _closings(
    ids: Sequence[int], close: int, known: frozenset[tuple[int, ...]], total: int
) -> Iterator[tuple[int, int]]:
    """Where the last ending may stop: after a bar of its own, or after one that is
    an earlier ending again; each with the bars on the page."""
    if close < len(ids):
        yield close + 1, total + 1
    for one in known:
        end = close + len(one)
        if end <= len(ids) and tuple(ids[close:end]) == one:
            yield end, total


def _taken(
    ids: Sequence[int], chosen: Sequence[Fold | None], starts: Collection[int]
) -> tuple[Fold, ...]:
    """The folds along the best page."""
    folds: list[Fold] = []
    at = 0
    while at < len(ids):
        fold = chosen[at]
        if fold is not None:
            folds.append(fold)
        at = at + 1 if fold is None else fold.end
    limits = [*(fold.starts[0] for fold in folds[1:]), len(ids)]
    return tuple(
        _drawn_out(ids, fold, limit, starts)
        for fold, limit in zip(folds, limits, strict=False)
    )


def _drawn_out(
    ids: Sequence[int], fold: Fold, limit: int, starts: Collection[int]
) -> Fold:
    """The fold with its last bracket as long as the others, up to the next
    repeat or section; a bracket that serves an earlier pass too stays."""
    *others, (first, end) = fold.endings or ((0, 0),)
    if not others or any(ids[a:b] == ids[first:end] for a, b in others):
        return fold
    limit = min(limit, first + max(b - a for a, b in others))
    while end < limit and end not in starts:
        end += 1
    return _with_endings(fold.starts, fold.body, end)


def clear_folds(
    ids: Sequence[int], bounds: Sequence[int], /, *, shortest: int
) -> tuple[Fold, ...]:
    """The folds of the shortest page that keeps its sections.

    Every pass holds the same number of whole sections, and so does every ending, which
    is no longer than the body and is taken on passes that follow each other.

    Args:
        ids: the chart's bars as numbers.
        bounds: where the sections start, and the end of the chart.
        shortest: the fewest bars that a repeat may share.
    """
    count = len(bounds) - 1
    cost = [0] * (count + 1)
    chosen: list[Fold | None] = [None] * count
    step = [1] * count
    inner = frozenset(bounds)
    # by first section and number of sections: the passes of the longest plain repeat,
    # and the section before which the cheapest ends
    repeats: dict[tuple[int, int], tuple[int, int]] = {}
    for here in range(count - 1, -1, -1):
        start = bounds[here]
        cost[here] = cost[here + 1] + (bounds[here + 1] - start) * _BAR
        for width in range(1, (count - here) // 2 + 1):
            again = here + width
            length = bounds[again] - start
            if length > _LONGEST_PASS:
                break
            if length < shortest:
                continue
            passes, end = 1, bounds[again + width]
            if end - bounds[again] == length == _alike(ids, start, bounds[again], end):
                passes, last = repeats.get((again, width), (1, again + width))
                passes += 1
                if cost[again + width] <= cost[last]:
                    last = again + width
                repeats[here, width] = passes, last
                price = length * _BAR + _REPEAT_SIGNS + cost[last]
                times = (last - here) // width
                if price < cost[here] and times <= _MOST_PASSES:
                    cost[here], step[here] = price, last - here
                    chosen[here] = _plain(start, length, times)
            starts = range(here, count, width)
            for last, found in _with_closes(
                ids, bounds, starts, passes, inner=inner, shortest=shortest
            ):
                price = _price(ids, found) + cost[last]
                if price < cost[here]:
                    cost[here], step[here] = price, last - here
                    chosen[here] = found
    folds: list[Fold] = []
    at = 0
    while at < count:
        fold = chosen[at]
        if fold is not None:
            folds.append(fold)
        at += step[at]
    return tuple(folds)


def _alike(ids: Sequence[int], one: int, other: int, end: int) -> int:
    """How many bars from two places on are the same, up to the end of the second."""
    length = end - other
    if ids[one : one + length] == ids[other:end]:
        return length
    return next(at for at in range(length) if ids[one + at] != ids[other + at])


def _with_closes(
    ids: Sequence[int],
    bounds: Sequence[int],
    firsts: range,
    alike: int,
    /,
    *,
    inner: Collection[int],
    shortest: int,
) -> Iterator[tuple[int, Fold]]:
    """The folds of passes that start with the sections `firsts`, of which so many are
    `alike`, and close differently; each with the section that it ends before.  `inner`
    are the `bounds` once more, to look one up."""
    here, width = firsts.start, firsts.step
    start, shared = bounds[here], bounds[here + width] - bounds[here]
    longest = min(len(bounds) - 1, here + _MOST_ENDINGS * width)
    for last in range(here + (alike + 1) * width, longest + 1, width):
        end = bounds[last]
        shared = min(shared, _alike(ids, start, bounds[last - width], end))
        if shared < shortest:
            break
        fold = _closed(tuple(bounds[here:last:width]), shared, end, inner)
        if fold is not None and not _takes_turns(ids, fold):
            yield last, fold


def _closed(
    starts: tuple[int, ...], shared: int, end: int, bounds: Collection[int]
) -> Fold | None:
    """Passes that close each with sections of its own, if there are such."""
    closes = (*starts[1:], end)
    lengths = [close - start for start, close in zip(starts, closes, strict=True)]
    bodies = range(min(shared, min(lengths) - 1), 0, -1)
    body = next(
        (each for each in bodies if all(start + each in bounds for start in starts)), 0
    )
    if max(lengths) - body > body:
        return None
    return _with_endings(starts, body, end)


def _takes_turns(ids: Sequence[int], fold: Fold) -> bool:
    """Whether an ending comes again after another: nobody keeps count of these."""
    runs = [ending for ending, _ in groupby(ids[a:b] for a, b in fold.endings)]
    return any(ending in runs[:at] for at, ending in enumerate(runs))


def written_bars(ids: Sequence[int], folds: Sequence[Fold]) -> int:
    """How many bars the page has that these folds make of a chart."""
    folded = sum(fold.end - fold.starts[0] for fold in folds)
    return len(ids) - folded + sum(_price(ids, fold) // _BAR for fold in folds)


def _price(ids: Sequence[int], fold: Fold) -> int:
    endings = {tuple(ids[first:end]) for first, end in fold.endings}
    bars = fold.body + sum(map(len, endings))
    return bars * _BAR + _REPEAT_SIGNS + _BRACKET * len(endings)
