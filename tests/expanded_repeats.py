"""The order of playing as music21 expands it, for comparison with ours."""

from __future__ import annotations

import warnings

import music21
from attrs import frozen
from form_charts import bar

from leadsheet_theory.leadsheet import FormSigns
from leadsheet_theory.leadsheet.form import _read_brackets, play_order
from leadsheet_theory.leadsheet.model import Bar


@frozen(order=False)
class Comparison:
    """Both orders as indices of written bars.

    `refusal` is what music21 raised; `mended` says that it expanded the score only
    after ending brackets that stop short of their repeat were drawn out.
    """

    ours: tuple[int, ...]
    theirs: tuple[int, ...]
    refusal: str
    mended: bool
    problems: tuple[str, ...]

    @property
    def equal(self) -> bool:
        return not self.refusal and self.ours == self.theirs


def compare(bars: tuple[Bar, ...], score: music21.stream.Stream) -> Comparison:
    """Compare our order for bars with music21's for the same score's first part."""
    part = score.parts[0] if score.hasPartLikeStreams() else score
    order = play_order(bars)
    problems = tuple(map(str, order.problems))
    refusal, theirs = _expanded(part)
    mended = False
    if refusal and any("stops short" in problem for problem in problems):
        _draw_out(part, bars)
        refusal, theirs = _expanded(part)
        mended = not refusal
    return Comparison(order.indices, theirs, refusal, mended, problems)


def _expanded(part: music21.stream.Stream) -> tuple[str, tuple[int, ...]]:
    for place, measure in enumerate(part.getElementsByClass("Measure")):
        measure.groups = [str(place)]
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            expanded = part.expandRepeats()
    except (music21.exceptions21.Music21Exception, IndexError) as error:
        return f"{type(error).__name__}: {error}".strip(), ()
    measures = expanded.getElementsByClass("Measure")
    return "", tuple(int(measure.groups[0]) for measure in measures)


def _draw_out(part: music21.stream.Stream, bars: tuple[Bar, ...]) -> None:
    """Draw music21's brackets out as ours are read."""
    measures = list(part.getElementsByClass("Measure"))
    lasts = {bracket.first: bracket.last for bracket in _read_brackets(bars, [])}
    for bracket in part.recurse().getElementsByClass("RepeatBracket"):
        first = measures.index(bracket.getFirst())
        for measure in measures[first + 1 : lasts[first] + 1]:
            if not bracket.hasSpannedElement(measure):
                bracket.addSpannedElements(measure)


def bars_of(part: music21.stream.Stream) -> tuple[Bar, ...]:
    """Bare bars with the repeats and endings of a music21 part."""
    endings: dict[object, tuple[int, ...]] = {}
    starting = set()
    for bracket in part.recurse().getElementsByClass("RepeatBracket"):
        starting.add(bracket.getFirst())
        for measure in bracket.getSpannedElements():
            endings[measure] = tuple(bracket.numberRange)
    bars = []
    for place, measure in enumerate(part.getElementsByClass("Measure"), start=1):
        left, right = measure.leftBarline, measure.rightBarline
        bars.append(
            bar(
                place,
                form=FormSigns(
                    repeat_start=getattr(left, "direction", "") == "start",
                    repeat_end=2 if getattr(right, "direction", "") == "end" else 0,
                    ending=endings.get(measure, ()),
                    ending_starts=measure in starting,
                ),
            )
        )
    return tuple(bars)
